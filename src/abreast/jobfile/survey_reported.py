"""Doglegs and true vertical depths that a survey sheet reports, against those computed.

A reported figure may have been worked out with finer angles than the sheet
prints. So a single one is asked about only when the rounding of the angles
cannot explain it; a whole column is compared with what another unit would give.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast.errors import AbreastError
from abreast.formulas.survey import dogleg_severity, minimum_curvature
from abreast.jobfile.survey_rows import (
    StationRow,
    angles_scaled,
    courses,
    half_digit,
    unit_typed,
)
from abreast.jobfile.suspicion import Suspect
from abreast.model import Job, Quantity
from abreast.units import Dimension, is_known, show, to_si, units_of

__all__ = ["better_as_radians", "reported_suspects"]

_PER_RADIAN = 180 / math.pi
# Another unit must explain the column this much better, in squares, to be named.
_MUCH_BETTER = 9.0
_LEAST_FIGURES = 3
_NEARLY_ALL = 0.8
_OVER_ROUNDING = 1.2
_ROUNDING_M = 0.02
_MIXED = 1e-12


@dataclass(frozen=True, slots=True)
class _Pair:
    """A reported figure, the computed one, and how far rounding may set them apart; SI."""

    index: int
    reported: float
    computed: float
    slack: float

    @property
    def is_off(self) -> bool:
        return abs(self.reported - self.computed) > self.slack


def reported_suspects(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    """Reported doglegs and depths that the stations do not give."""
    yield from _doglegs(job, rows)
    yield from _depths(job, rows)


def better_as_radians(rows: Sequence[StationRow]) -> bool | None:
    """Whether reported figures fit far better if the angles are radians; None without any."""
    scaled = angles_scaled(rows, _PER_RADIAN)
    verdicts = [
        _MUCH_BETTER * _misfit(compare(scaled)) < _misfit(compare(rows))
        for compare in (_dogleg_pairs, _drop_pairs)
        if len(compare(rows)) >= _LEAST_FIGURES
    ]
    return any(verdicts) if verdicts else None


def _misfit(pairs: Sequence[_Pair], factor: float = 1.0) -> float:
    """Sum of squares of what reported figures differ from the computed ones times a factor."""
    differences = [one.reported - factor * one.computed for one in pairs]
    return sum(one * one for one in differences)


def _dogleg_pairs(rows: Sequence[StationRow]) -> list[_Pair]:
    figure = half_digit(one.row.dogleg_rad_m for one in rows)
    tilt = half_digit(one.row.inclination_rad for one in rows)
    turn = half_digit(one.row.azimuth_rad for one in rows)
    found = []
    for upper, lower in courses(rows):
        reported = lower.row.dogleg_rad_m.known
        if reported is None:
            continue
        a, b = upper.station, lower.station
        widest = max(math.sin(a.inclination_rad), math.sin(b.inclination_rad)) + tilt
        slack = _OVER_ROUNDING * figure + 2 * (tilt + widest * turn) / (b.md_m - a.md_m)
        found.append(_Pair(lower.index, reported, dogleg_severity(a, b), slack + _MIXED))
    return found


def _both_shown(job: Job, cell: Quantity, pair: _Pair, dimension: Dimension) -> tuple[str, str]:
    """Reported and computed figure in the unit of the cell, else in that of the job."""
    unit = cell.typed.partition(" ")[2]
    known = unit if is_known(unit) else None
    reported, computed = (
        show(value, dimension, job.units, unit=known) for value in (pair.reported, pair.computed)
    )
    return reported, computed


def _doglegs(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    pairs = _dogleg_pairs(rows)
    other = _other_unit(rows, pairs)
    if other:
        yield _dogleg_unit(rows, other)
        return
    off = [one for one in pairs if one.is_off]
    if _whole_column(off, pairs):
        yield _strange("dogleg", "dogleg-differs", len(off), len(pairs))
        return
    for one in off:
        reported, computed = _both_shown(
            job, job.survey[one.index].dogleg_rad_m, one, Dimension.DOGLEG
        )
        message = f"reported {reported}, but this station and the one above give {computed}"
        proposal = "Check depth and angles of both against the survey sheet, and the unit"
        yield Suspect("survey", one.index, "dogleg", "dogleg-differs", message, proposal)


def _whole_column(off: Sequence[_Pair], pairs: Sequence[_Pair]) -> bool:
    return len(off) >= _LEAST_FIGURES and 2 * len(off) > len(pairs)


def _strange(field: str, code: str, off: int, of: int) -> Suspect:
    message = f"{off} of {of} reported figures are not those of the stations"
    proposal = "Check that the survey is of this wellbore, and the units of its headings"
    return Suspect("survey", None, field, code, message, proposal)


def _other_unit(rows: Sequence[StationRow], pairs: Sequence[_Pair]) -> str:
    """The unit in which the reported doglegs would be right, if theirs is not the one."""
    heading = unit_typed(one.row.dogleg_rad_m for one in rows)
    figure = half_digit(one.row.dogleg_rad_m for one in rows)
    telling = [o for o in pairs if abs(o.reported - o.computed) > _OVER_ROUNDING * figure]
    if not heading or len(telling) < _LEAST_FIGURES:
        return ""
    factors = dict(_factors(heading))
    best = min(factors, key=lambda unit: _misfit(pairs, factors[unit]))
    much = _MUCH_BETTER * _misfit(pairs, factors[best]) < _misfit(pairs)
    return best if much and _fits(pairs, factors[best]) else ""


def _fits(pairs: Sequence[_Pair], factor: float) -> bool:
    """Whether nearly all figures are right but for the factor."""
    slack = max(1.0, factor)
    near = [o for o in pairs if abs(o.reported - factor * o.computed) <= slack * o.slack]
    return len(near) >= _NEARLY_ALL * len(pairs)


def _factors(heading: str) -> Iterator[tuple[str, float]]:
    """Reported over computed for every unit that the figures may be in instead."""
    taken = to_si(1.0, heading, Dimension.DOGLEG)
    for unit in units_of(Dimension.DOGLEG):
        meant = to_si(1.0, unit.symbol, Dimension.DOGLEG)
        if not math.isclose(taken, meant):
            yield unit.symbol, taken / meant
    if heading.startswith("°"):
        yield heading.replace("°", "rad", 1), 1 / _PER_RADIAN


def _dogleg_unit(rows: Sequence[StationRow], other: str) -> Suspect:
    heading = unit_typed(one.row.dogleg_rad_m for one in rows)
    ratio = dict(_factors(heading))[other]
    message = (
        f"the reported doglegs are {ratio:.5g} times those of the stations:"
        f" {other} may stand in a column of {heading}"
    )
    proposal = "Ask who sent the survey; correct the unit in the heading"
    return Suspect("survey", None, "dogleg", "dogleg-unit", message, proposal)


@dataclass(frozen=True, slots=True)
class _Drop:
    """A station with a reported depth: how far it is down and out from the first, computed."""

    index: int
    reported_m: float
    down_m: float
    out_m: float


def _drops(rows: Sequence[StationRow]) -> list[_Drop]:
    """Stations with a reported depth, as far as the survey can be followed from the top."""
    found = []
    down = out = 0.0
    for place, lower in enumerate(rows):
        if place:
            try:
                step = minimum_curvature(rows[place - 1].station, lower.station)
            except AbreastError:
                break
            down += step.down_m
            out += math.hypot(step.north_m, step.east_m)
        reported = lower.row.tvd_m.known
        if reported is not None:
            found.append(_Drop(lower.index, reported, down, out))
    return found


def _drop_pairs(rows: Sequence[StationRow]) -> list[_Pair]:
    """Reported against computed gain in depth, each from the last station that agrees.

    A station off that the next one does not follow is one slip; one that the
    next follows is a step in the survey, and the count goes on from there.
    """
    tilt = half_digit(one.row.inclination_rad for one in rows)
    figure = half_digit(one.row.tvd_m for one in rows)
    drops = _drops(rows)
    found: list[_Pair] = []
    bases = drops[:1]
    for drop in drops[1:]:
        pairs = [_drop_pair(base, drop, tilt, figure) for base in bases]
        agrees = any(not pair.is_off for pair in pairs)
        found.append(next((pair for pair in pairs if not pair.is_off), pairs[0]))
        bases = [drop] if agrees else [bases[0], drop]
    return found


def _drop_pair(base: _Drop, drop: _Drop, tilt: float, figure: float) -> _Pair:
    slack = 2 * _OVER_ROUNDING * figure + tilt * (drop.out_m - base.out_m) + _ROUNDING_M
    expected = base.reported_m + drop.down_m - base.down_m
    return _Pair(drop.index, drop.reported_m, expected, slack)


def _depths(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    pairs = _drop_pairs(rows)
    off = [one for one in pairs if one.is_off]
    if _whole_column(off, pairs):
        yield _strange("tvd", "tvd-differs", len(off), len(pairs))
        return
    for one in off:
        reported, computed = _both_shown(job, job.survey[one.index].tvd_m, one, Dimension.LENGTH)
        message = (
            f"reported {reported}, but going on from the stations above gives {computed}"
            " by minimum curvature"
        )
        proposal = "Check the depths and the inclination against the survey sheet"
        yield Suspect("survey", one.index, "tvd", "tvd-differs", message, proposal)
