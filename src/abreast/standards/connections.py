"""API tubing connections: length lost at make-up, and make-up torque."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from abreast.errors import InputError
from abreast.formulas.makeup import TorqueWindow, make_up_loss
from abreast.standards.tables import read_table, same_size
from abreast.units import to_si

__all__ = [
    "EueTorque",
    "MakeUp",
    "api_make_up",
    "eue_torque",
    "eue_torque_table",
    "make_up_table",
]

_SAME_WEIGHT_KG_M = to_si(0.05, "lb/ft")


@dataclass(frozen=True, slots=True)
class MakeUp:
    """Coupling and thread length of one API tubing connection [m]."""

    size: str
    end: str
    coupling_length_m: float
    thread_length_m: float
    source: str

    @property
    def loss_m(self) -> float:
        """Length lost when power tight [m]."""
        return make_up_loss(self.coupling_length_m)


@dataclass(frozen=True, slots=True)
class EueTorque:
    """Printed make-up torque of external-upset tubing [N·m], reference compound."""

    size: str
    weight_kg_m: float
    grade: str
    minimum_nm: float
    optimum_nm: float
    maximum_nm: float
    source: str

    @property
    def window(self) -> TorqueWindow:
        """Least, best and greatest torque."""
        return TorqueWindow(self.minimum_nm, self.optimum_nm, self.maximum_nm)


@cache
def make_up_table() -> tuple[MakeUp, ...]:
    """Every connection of the table: EUE and NUE, 2-3/8 to 4-1/2 in."""
    return read_table("make_up_loss.csv", MakeUp)


@cache
def eue_torque_table() -> tuple[EueTorque, ...]:
    """Every row of the torque table."""
    return read_table("eue_torque.csv", EueTorque)


def api_make_up(size: str, end: str) -> MakeUp:
    """Make-up of an API tubing connection.

    Only EUE and NUE: the loss of any other connection is on its data sheet and
    is never taken from here.

    Parameters
    ----------
    size : str
        For example ``2-7/8``.
    end : str
        ``EUE`` (also EU) or ``NUE`` (also NU).

    Raises
    ------
    InputError
        ``not-in-table``.

    Examples
    --------
    >>> round(api_make_up("2-7/8", "EU").loss_m / 0.0254, 4)
    2.125
    """
    wanted = {"EU": "EUE", "NU": "NUE"}.get(end.strip().upper(), end.strip().upper())
    for row in same_size(make_up_table(), size):
        if row.end == wanted:
            return row
    message = f"{end!r} is not an API tubing thread of the table; take the loss from its data sheet"
    raise InputError(message, code="not-in-table")


def eue_torque(size: str, weight_lb_ft: float, grade: str) -> EueTorque:
    """Printed make-up torque of external-upset tubing.

    Parameters
    ----------
    size : str
        For example ``2-7/8``.
    weight_lb_ft : float
        Nominal weight as the trade says it [lb/ft].
    grade : str
        For example ``L80``; type letters such as L80-1 are dropped.

    Raises
    ------
    InputError
        ``not-in-table``, with what there is for that size.

    Examples
    --------
    >>> round(eue_torque("2-7/8", 6.5, "L80").optimum_nm / 1.355818)
    2250
    """
    rows = same_size(eue_torque_table(), size)
    wanted = grade.strip().upper().replace("-", "")[:3]
    weight = to_si(weight_lb_ft, "lb/ft")
    for row in rows:
        if row.grade == wanted and abs(row.weight_kg_m - weight) < _SAME_WEIGHT_KG_M:
            return row
    has = ", ".join(f"{row.weight_kg_m / to_si(1.0, 'lb/ft'):.4g} {row.grade}" for row in rows)
    message = f"{size} {weight_lb_ft:g} lb/ft {grade} has no torque in the table; it has {has}"
    raise InputError(message, code="not-in-table")
