"""Depths at which a string is looked at on its way down: evenly, nearer where the hole bends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from abreast.formulas.path_frame import PathFrame

__all__ = ["beside", "even_depths", "sharp_depths", "turning_depths"]

_MOST_EVEN, _MOST_SHARP = 150, 150
_NEAREST_M, _FARTHEST_M = 2.5, 20.0
_SHARP = 0.5
_FLAT_RAD_M = math.radians(0.5) / 30.0


def even_depths(first_m: float, last_m: float, step_m: float) -> list[float]:
    """Depths from first to last, so far apart or, where they would be over 150, farther [m]."""
    step_m = max(step_m, (last_m - first_m) / _MOST_EVEN)
    count = max(1, math.ceil((last_m - first_m) / step_m - 1e-9))
    return [first_m + (last_m - first_m) * k / count for k in range(count + 1)]


def sharp_depths(
    path: PathFrame, length_m: float, first_m: float, last_m: float, step_m: float
) -> list[float]:
    """Depths of the top of a string at which any of it lies in a sharp interval of the survey.

    Parameters
    ----------
    path : PathFrame
        The hole.
    length_m : float
        From the top of the string to where its stiff part ends [m].
    first_m, last_m, step_m : float
        As for :func:`even_depths`.

    Returns
    -------
    list of float
        Half an interval apart, as the string meets a short bend in a stretch
        about as long as the bend, however far apart the even depths are; not
        nearer than a quarter of the step or 5 m, whichever is less, nor than 2.5 m,
        and farther where they would be over 150. Sharp is an interval with half the
        severity of the sharpest, and at least 0.5 deg/30 m.
    """
    severities = path.severity_rad_m.tolist()
    least = max(_FLAT_RAD_M, _SHARP * max(severities))
    sharp = [
        (upper, lower)
        for (upper, lower), bend in zip(pairwise(path.md_m.tolist()), severities, strict=True)
        if bend >= least and upper - length_m < last_m and lower > first_m
    ]
    step_m = min(step_m, _FARTHEST_M)
    nearest_m = max(_NEAREST_M, step_m / 4)
    while True:
        found = set()
        for upper, lower in sharp:
            gap_m = max(nearest_m, min(step_m, (lower - upper) / 2))
            low, high = max(upper - length_m, first_m), min(lower, last_m)
            for k in range(math.ceil(low / gap_m), math.floor(high / gap_m) + 1):
                found.add(round(k * gap_m, 3))
        if len(found) <= _MOST_SHARP:
            return sorted(found)
        nearest_m *= 2


def turning_depths(
    path: PathFrame, places_m: Sequence[float], first_m: float, last_m: float
) -> list[float]:
    """Depths of a string's zero at which one of its places stands at a station of the survey.

    Parameters
    ----------
    path : PathFrame
        The hole.
    places_m : sequence of float
        Where on the string the hole's direction is asked for, from its zero [m].
    first_m, last_m : float
        How far the zero goes [m]; both ends are among the answers.

    Notes
    -----
    Between two of them every place stays on one arc each, so that what is made of
    the directions there changes smoothly: its extremes are at these depths or near.
    """
    stands = (md_m - at_m for md_m in path.md_m.tolist() for at_m in places_m)
    return sorted({first_m, last_m, *(zero for zero in stands if first_m < zero < last_m)})


def beside(known: Sequence[float], worst: Sequence[float]) -> list[float]:
    """Depths between each of the worst and its neighbours, a quarter of the way apart [m]."""
    order = sorted(set(known))
    found = set()
    for md_m in worst:
        at = order.index(md_m)
        for other in (*order[max(at - 1, 0) : at], *order[at + 1 : at + 2]):
            found |= {round(md_m + (other - md_m) * k / 4, 3) for k in (1, 2, 3)}
    return sorted(found - set(order))
