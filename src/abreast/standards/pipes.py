"""Casing and tubing of API Spec 5CT / ISO 11960."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeVar

from abreast.errors import InputError
from abreast.standards.tables import read_table, same_size
from abreast.units import Dimension, show, to_si

__all__ = [
    "Casing",
    "Tubing",
    "casing",
    "casing_table",
    "nearest_pipe",
    "tubing",
    "tubing_table",
]

_SAME_OD_M = 0.0005
_SAME_WEIGHT_KG_M = to_si(0.05, "lb/ft")


@dataclass(frozen=True, slots=True)
class Casing:
    """One size and weight of casing; lengths in m, weight in kg/m.

    ``weight_kg_m`` is the nominal weight: it names the pipe. ``special_drift_m``
    holds only for pipe ordered and drifted to it.
    """

    size: str
    weight_kg_m: float
    od_m: float
    wall_m: float
    bore_m: float
    drift_m: float
    special_drift_m: float | None
    coupling_od_m: float | None
    clearance_coupling_od_m: float | None
    source: str

    @property
    def weights_kg_m(self) -> tuple[float, ...]:
        """The nominal weights by which it is called."""
        return (self.weight_kg_m,)

    @property
    def name(self) -> str:
        """As it is called, for example ``9-5/8 in 47 lb/ft``."""
        return _name(self.size, self.weight_kg_m)


@dataclass(frozen=True, slots=True)
class Tubing:
    """One size and wall of tubing; lengths in m, weights in kg/m.

    Non-upset and external-upset pipe of one wall have different nominal weights.
    """

    size: str
    nue_weight_kg_m: float
    eue_weight_kg_m: float | None
    od_m: float
    wall_m: float
    bore_m: float
    drift_m: float
    nue_coupling_od_m: float | None
    eue_coupling_od_m: float | None
    clearance_coupling_od_m: float | None
    upset_od_m: float | None
    source: str

    @property
    def weights_kg_m(self) -> tuple[float, ...]:
        """The nominal weights by which it is called."""
        known = (self.nue_weight_kg_m, self.eue_weight_kg_m)
        return tuple(weight for weight in known if weight is not None)

    @property
    def name(self) -> str:
        """As it is called, by its upset weight where there is one."""
        return _name(self.size, self.weights_kg_m[-1])


Pipe = TypeVar("Pipe", Casing, Tubing)


def _name(size: str, weight_kg_m: float) -> str:
    weight = show(weight_kg_m, Dimension.MASS_PER_LENGTH, "oilfield").removesuffix(" lb/ft")
    return f"{size} in {weight.rstrip('0').rstrip('.')} lb/ft"


@cache
def casing_table() -> tuple[Casing, ...]:
    """Every casing of the table, 7 to 13-3/8 in."""
    return read_table("casing.csv", Casing)


@cache
def tubing_table() -> tuple[Tubing, ...]:
    """Every tubing of the table, 2-3/8 to 4-1/2 in."""
    return read_table("tubing.csv", Tubing)


def casing(size: str, weight_lb_ft: float) -> Casing:
    """Casing by the name the trade gives it.

    Parameters
    ----------
    size : str
        ``9-5/8``, ``9 5/8 in``, ``9.625`` or ``244.5 mm``.
    weight_lb_ft : float
        Nominal weight as the trade says it [lb/ft].

    Raises
    ------
    InputError
        ``not-in-table``, with the sizes or weights there are.

    Examples
    --------
    >>> round(casing("9-5/8", 47).bore_m / 0.0254, 3)
    8.681
    """
    return _by_weight(same_size(casing_table(), size), weight_lb_ft)


def tubing(size: str, weight_lb_ft: float) -> Tubing:
    """Tubing by its size and its non-upset or external-upset weight.

    Raises
    ------
    InputError
        ``not-in-table``, with the sizes or weights there are.

    Examples
    --------
    >>> tubing("2-7/8", 6.4) is tubing("2-7/8", 6.5)
    True
    """
    return _by_weight(same_size(tubing_table(), size), weight_lb_ft)


def _by_weight(rows: list[Pipe], weight_lb_ft: float) -> Pipe:
    wanted = to_si(weight_lb_ft, "lb/ft")
    for row in rows:
        if any(abs(weight - wanted) < _SAME_WEIGHT_KG_M for weight in row.weights_kg_m):
            return row
    names = ", ".join(row.name for row in rows)
    message = f"{rows[0].size} in {weight_lb_ft:g} lb/ft is not in the table; it has {names}"
    raise InputError(message, code="not-in-table")


def nearest_pipe(
    kind: Literal["casing", "tubing"], od_m: float, bore_m: float
) -> Casing | Tubing | None:
    """The pipe of the table with this outside diameter and the nearest bore.

    Parameters
    ----------
    kind : {"casing", "tubing"}
        Which table.
    od_m, bore_m : float
        Outside and inside diameter [m].

    Returns
    -------
    Casing or Tubing or None
        None when the table has no pipe of that outside diameter.

    Examples
    --------
    >>> nearest_pipe("casing", 0.2445, 0.2205).name
    '9-5/8 in 47 lb/ft'
    """
    table: tuple[Casing | Tubing, ...] = casing_table() if kind == "casing" else tubing_table()
    near = [row for row in table if abs(row.od_m - od_m) <= _SAME_OD_M]
    return min(near, key=lambda row: abs(row.bore_m - bore_m), default=None)
