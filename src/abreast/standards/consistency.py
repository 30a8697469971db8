"""Do the figures given for one pipe fit one another? Slips that a table can catch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from abreast.errors import InputError
from abreast.formulas.tubulars import drift_diameter, plain_end_weight
from abreast.standards.pipes import Casing, Tubing, casing_table, nearest_pipe, tubing_table
from abreast.units import Dimension, System, show, to_si

__all__ = ["Remark", "pipe_remarks"]

Kind = Literal["casing", "tubing"]
# Two rounded diameters and two rounded walls: 0.1 mm each at most.
_ROUNDING_M = 0.0002
# Metric tables print drifts to 0.1 mm.
_DRIFT_ROUNDING_M = 0.0001
_SAME_WEIGHT_KG_M = to_si(0.05, "lb/ft")
_SAME_OD_M = 0.0005
# Nominal weight over plain-end weight, least and greatest of the tables, a little widened.
_LIGHTEST, _HEAVIEST = 1.0, 1.07


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing that does not fit, with a fixed code and a sentence that says what to do."""

    code: str
    message: str


@dataclass(frozen=True, slots=True)
class _Pipe:
    kind: Kind
    od_m: float | None
    wall_m: float | None
    bore_m: float | None
    drift_m: float | None
    weight_kg_m: float | None
    system: System

    def size(self, length_m: float) -> str:
        return show(length_m, Dimension.LENGTH, self.system, small=True)

    def weight(self, weight_kg_m: float) -> str:
        return show(weight_kg_m, Dimension.MASS_PER_LENGTH, self.system)


def pipe_remarks(
    kind: Kind,
    *,
    od_m: float | None = None,
    wall_m: float | None = None,
    bore_m: float | None = None,
    drift_m: float | None = None,
    weight_kg_m: float | None = None,
    system: System = "oilfield",
) -> tuple[Remark, ...]:
    """What does not fit among the figures given for one pipe.

    Only figures that were given are compared; no remark does not mean that the
    pipe was checked.

    Parameters
    ----------
    kind : {"casing", "tubing"}
        Which API table the pipe belongs to.
    od_m, wall_m, bore_m, drift_m : float, optional
        Diameters and wall [m], as far as they are known.
    weight_kg_m : float, optional
        Nominal weight [kg/m].
    system : {"oilfield", "SI"}
        Units of the sentences.

    Returns
    -------
    tuple of Remark
        Codes: ``bore-not-od-less-walls``, ``drift-is-bore``,
        ``drift-above-bore``, ``drift-above-api``, ``weight-not-bore`` (table),
        ``weight-not-wall`` (plain-end formula).

    Examples
    --------
    >>> inch = 0.0254
    >>> for remark in pipe_remarks(
    ...     "casing", od_m=9.625 * inch, bore_m=8.681 * inch, drift_m=8.681 * inch
    ... ):
    ...     print(remark.code)
    drift-is-bore
    """
    pipe = _Pipe(kind, od_m, wall_m, bore_m, drift_m, weight_kg_m, system)
    return (*_of_bore(pipe), *_of_drift(pipe), *_of_weight(pipe))


def _of_bore(pipe: _Pipe) -> Iterator[Remark]:
    if pipe.od_m is None or pipe.wall_m is None or pipe.bore_m is None:
        return
    expected = pipe.od_m - 2 * pipe.wall_m
    if abs(expected - pipe.bore_m) > _ROUNDING_M:
        yield Remark(
            "bore-not-od-less-walls",
            f"outside diameter {pipe.size(pipe.od_m)} less two walls of {pipe.size(pipe.wall_m)}"
            f" is {pipe.size(expected)}, not {pipe.size(pipe.bore_m)}; correct one of the three",
        )


def _of_drift(pipe: _Pipe) -> Iterator[Remark]:
    if pipe.drift_m is None or pipe.bore_m is None:
        return
    excess = pipe.drift_m - pipe.bore_m
    api = _api_drift(pipe)
    hint = f"; the API drift is {pipe.size(api)}" if api is not None else ""
    if abs(excess) <= _DRIFT_ROUNDING_M:
        yield Remark(
            "drift-is-bore",
            f"drift {pipe.size(pipe.drift_m)} is the inside diameter itself{hint}",
        )
    elif excess > 0:
        yield Remark(
            "drift-above-bore",
            f"drift {pipe.size(pipe.drift_m)} is larger than the inside diameter"
            f" {pipe.size(pipe.bore_m)}{hint}",
        )
    elif api is not None and pipe.drift_m > api + _DRIFT_ROUNDING_M:
        yield Remark(
            "drift-above-api",
            f"drift {pipe.size(pipe.drift_m)} is above the API drift {pipe.size(api)}; it holds"
            " only if the pipe was ordered and drifted to it: give the proof",
        )


def _api_drift(pipe: _Pipe) -> float | None:
    if pipe.od_m is None or pipe.bore_m is None:
        return None
    try:
        return drift_diameter(pipe.od_m, pipe.bore_m, pipe.kind)
    except InputError:
        return None


def _of_weight(pipe: _Pipe) -> Iterator[Remark]:
    if pipe.weight_kg_m is None or pipe.od_m is None:
        return
    bore = pipe.bore_m
    if bore is None and pipe.wall_m is not None:
        bore = pipe.od_m - 2 * pipe.wall_m
    if bore is None or not 0 < bore < pipe.od_m:
        return
    row = _named(pipe)
    if row is None:
        yield from _against_formula(pipe, pipe.od_m, bore, pipe.weight_kg_m)
    elif abs(row.bore_m - bore) > _ROUNDING_M:
        near = nearest_pipe(pipe.kind, pipe.od_m, bore)
        fits = near is not None and abs(near.bore_m - bore) <= _ROUNDING_M
        other = f", which is that of {near.name}" if near is not None and fits else ""
        yield Remark(
            "weight-not-bore",
            f"{row.name} has an inside diameter of {pipe.size(row.bore_m)}, not"
            f" {pipe.size(bore)}{other}; check weight and size",
        )


def _named(pipe: _Pipe) -> Casing | Tubing | None:
    """The table's pipe of this diameter and nominal weight."""
    table: tuple[Casing | Tubing, ...]
    table = casing_table() if pipe.kind == "casing" else tubing_table()
    for row in table:
        if pipe.od_m is None or abs(row.od_m - pipe.od_m) > _SAME_OD_M:
            continue
        if any(abs(w - (pipe.weight_kg_m or 0.0)) < _SAME_WEIGHT_KG_M for w in row.weights_kg_m):
            return row
    return None


def _against_formula(
    pipe: _Pipe, od_m: float, bore_m: float, weight_kg_m: float
) -> Iterator[Remark]:
    plain = plain_end_weight(od_m, (od_m - bore_m) / 2)
    if not _LIGHTEST <= weight_kg_m / plain <= _HEAVIEST:
        yield Remark(
            "weight-not-wall",
            f"nominal weight {pipe.weight(weight_kg_m)} does not fit the wall, which weighs"
            f" {pipe.weight(plain)} plain-end (nominal is 0 to 7 % more); check weight and wall",
        )
