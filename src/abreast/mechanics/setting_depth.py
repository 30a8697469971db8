"""Where the assembly may hang: every survey interval along it, ranked, with reasons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import finite, not_negative, require
from abreast.formulas.rigid_tool import sagitta
from abreast.formulas.survey import Station
from abreast.mechanics.hole_ranges import HoleRanges, hole_ranges
from abreast.mechanics.setting_types import (
    YOUNG_PA,
    Assembly,
    Body,
    BodyState,
    Broken,
    Candidate,
    Limit,
    Limits,
    stress_text,
)

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = [
    "YOUNG_PA",
    "Assembly",
    "Body",
    "BodyState",
    "Broken",
    "Candidate",
    "Limit",
    "Limits",
    "candidates",
    "scan",
    "stress_text",
]

_ROUNDING = 1e-9


def scan(
    stations: Sequence[Station],
    assembly: Assembly,
    tops_md_m: Sequence[float],
    limits: Limits,
    allowance_rad_m: float = 0.0,
    tolerance_m: float = 0.0,
) -> tuple[Candidate, ...]:
    """Candidates for the depth of the top of the assembly, the best first.

    Parameters
    ----------
    stations : sequence of Station
        The survey, at least two stations.
    assembly : Assembly
        What hangs there.
    tops_md_m : sequence of float
        Depths to look at [m].
    limits : Limits
        Limits of the user.
    allowance_rad_m : float
        Dogleg between stations that the survey does not see, added everywhere [rad/m].
    tolerance_m : float
        How far off, up or down, it may come to hang; the hole that it may then
        lie in is looked at too [m].

    Returns
    -------
    tuple of Candidate
        Those that no limit refuses first; then by dogleg along the assembly.

    Raises
    ------
    InputError
        ``out-of-range``: the survey is no survey, the assembly is longer than it,
        or reaches out of it at a depth asked for.

    Notes
    -----
    Every interval that overlaps the assembly counts with its whole dogleg
    severity: a chord over the assembly would hide a local bend. An interval
    that only touches an end does not count.

    Examples
    --------
    Straight down to 300 m, then 3 degrees in 30 m:

    >>> from math import degrees, radians
    >>> hole = [Station(0, 0, 0), Station(300, 0, 0), Station(330, radians(3), 0)]
    >>> best, other = scan(hole, Assembly(30.0, 0.1), [300.0, 270.0], Limits())
    >>> best.top_md_m, round(degrees(other.dogleg_rad_m * 30), 6)
    (270.0, 3.0)
    """
    not_negative("allowance_rad_m", allowance_rad_m)
    found = candidates(
        hole_ranges(stations, allowance_rad_m), assembly, tops_md_m, limits, tolerance_m
    )
    return tuple(
        sorted(found, key=lambda one: (len(one.broken) > 0, one.dogleg_rad_m, one.top_md_m))
    )


def candidates(
    hole: HoleRanges,
    assembly: Assembly,
    tops_md_m: Sequence[float],
    limits: Limits,
    tolerance_m: float = 0.0,
) -> tuple[Candidate, ...]:
    """The same for a survey made ready, in the order of the depths; see :func:`scan`."""
    import numpy as np

    require(len(tops_md_m) > 0, "tops_md_m", "give at least one depth")
    not_negative("tolerance_m", tolerance_m)
    span_m = hole.last_m - hole.first_m
    reason = f"{assembly.length_m:g} m is longer than the whole survey ({span_m:g} m)"
    require(assembly.length_m <= span_m, "length_m", reason)
    for top_m in tops_md_m:
        _inside(hole, finite("tops_md_m", top_m), assembly.length_m, tolerance_m)
    top = np.array(tops_md_m, dtype=float)
    return tuple(_found(hole, assembly, top, limits, tolerance_m))


def _inside(hole: HoleRanges, top_m: float, length_m: float, tolerance_m: float) -> None:
    high_m, low_m = top_m - tolerance_m, top_m + length_m + tolerance_m
    reason = (
        f"from {high_m:.2f} to {low_m:.2f} m the assembly reaches out of the survey"
        f" ({hole.first_m:g} to {hole.last_m:g} m)"
    )
    inside = hole.first_m - _ROUNDING <= high_m and low_m <= hole.last_m + _ROUNDING
    require(inside, "tops_md_m", reason)


def _found(
    hole: HoleRanges, assembly: Assembly, top: Array, limits: Limits, tolerance_m: float
) -> Iterator[Candidate]:
    high, low = top - tolerance_m, top + assembly.length_m + tolerance_m
    here, way = hole.sharpest(high, low), hole.sharpest(0 * low + hole.first_m, low)
    flat, steep = hole.inclination(high, low)
    bodies = [_states(hole, assembly, one, top, tolerance_m) for one in assembly.bodies]
    rows = zip(
        top.tolist(),
        zip(hole.severity_rad_m[here].tolist(), _interval(hole, here), strict=True),
        zip(hole.severity_rad_m[way].tolist(), _interval(hole, way), strict=True),
        zip(flat.tolist(), steep.tolist(), strict=True),
        zip(*bodies, strict=True) if bodies else [()] * len(top),
        strict=True,
    )
    not_checked = limits.not_checked
    for top_m, along, passed, tilt, states in rows:
        stress_pa = assembly.young_pa * along[0] * assembly.od_m / 2
        yield Candidate(
            top_m,
            top_m + assembly.length_m,
            *along,
            *passed,
            tilt,
            stress_pa,
            None if assembly.stiff_length_m is None else sagitta(assembly.stiff_length_m, along[0]),
            states,
            tuple(_broken(limits, along, passed, tilt[1], stress_pa, states)),
            not_checked,
        )


def _interval(hole: HoleRanges, place: Any) -> list[tuple[float, float]]:
    upper, lower = hole.md_m[place].tolist(), hole.md_m[place + 1].tolist()
    return list(zip(upper, lower, strict=True))


def _states(
    hole: HoleRanges, assembly: Assembly, body: Body, top: Array, tolerance_m: float
) -> list[BodyState]:
    high = top + body.from_top_m - tolerance_m
    low = high + body.length_m + 2 * tolerance_m
    bend = hole.severity_rad_m[hole.sharpest(high, low)]
    tilts = zip(*(one.tolist() for one in hole.inclination(high, low)), strict=True)
    od_m = body.od_m
    return [
        BodyState(body, one, tilt, None if od_m is None else assembly.young_pa * one * od_m / 2)
        for one, tilt in zip(bend.tolist(), tilts, strict=True)
    ]


def _broken(
    limits: Limits,
    along: tuple[float, tuple[float, float]],
    passed: tuple[float, tuple[float, float]],
    inclination_rad: float,
    stress_pa: float,
    states: Sequence[BodyState],
) -> Iterator[Broken]:
    bend, run = limits.setting_rad_m, limits.running_rad_m
    if bend and bend.broken_by(along[0]):
        yield Broken("dogleg", along[0], bend, along[1])
    if run and run.broken_by(passed[0]):
        yield Broken("way", passed[0], run, passed[1])
    if limits.inclination_rad and limits.inclination_rad.broken_by(inclination_rad):
        yield Broken("inclination", inclination_rad, limits.inclination_rad)
    if limits.stress_pa and limits.stress_pa.broken_by(stress_pa):
        yield Broken("stress", stress_pa, limits.stress_pa)
    for one in states:
        yield from _broken_body(one)


def _broken_body(one: BodyState) -> Iterator[Broken]:
    tilt, stress, steepest = one.body.inclination_rad, one.body.stress_pa, one.inclination_rad[1]
    if tilt and tilt.broken_by(steepest):
        yield Broken("inclination", steepest, tilt, body=one.body.name)
    if stress and one.stress_pa is not None and stress.broken_by(one.stress_pa):
        yield Broken("stress", one.stress_pa, stress, body=one.body.name)
