"""Passage of wireline tools through a bent bore: which stiff length passes, and where it stops."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from abreast.formulas.guard import finite, not_negative, positive, require

__all__ = [
    "Bore",
    "Passage",
    "Stiff",
    "longest_stiff",
    "plug_force",
    "smallest_bore",
    "tool_passes",
    "tool_table",
]

_FINE_M = 0.02
_COARSE_M = 0.25
_NEAR_M = 1.0
_MOST = 200
_LEAST_M = 0.01
_TOUCH_M = 1e-9
Verdict = Literal["passes", "passes bent", "does not pass", "not checked"]


@dataclass(frozen=True, slots=True)
class Bore:
    """A piece of the way, from its upper to its lower end.

    Parameters
    ----------
    name : str
        What it is.
    length_m : float
        Its length [m].
    bore_m : float
        Diameter that is free: the drift of pipe, the bore of a nipple [m].
    offset_m : float
        Sideways shift of the axis from its upper to its lower end, in two equal arcs [m].
    """

    name: str
    length_m: float
    bore_m: float
    offset_m: float = 0.0

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("bore_m", self.bore_m)
        finite("offset_m", self.offset_m)


@dataclass(frozen=True, slots=True)
class Stiff:
    """One part of a tool string that does not knuckle.

    Parameters
    ----------
    name : str
        What it is.
    length_m, od_m : float
        Length between knuckles and largest diameter [m].
    ei_nm2 : float or None
        Bending stiffness; None: it is not bent [N m2].
    """

    name: str
    length_m: float
    od_m: float
    ei_nm2: float | None = None

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("od_m", self.od_m)
        if self.ei_nm2 is not None:
            positive("ei_nm2", self.ei_nm2)


@dataclass(frozen=True, slots=True)
class Passage:
    """What becomes of one stiff part.

    Parameters
    ----------
    name : str
        The part.
    verdict : {"passes", "passes bent", "does not pass", "not checked"}
        ``passes bent``: with the force given, which no limit has judged unless
        one was given.
    where : str
        The piece with the least room.
    depth_m : float
        Depth of the middle of the three places that decide, below the top of the way [m].
    room_m : float
        Diametral room there beyond the clearance asked for; negative: what the
        part must bend [m].
    force_n, moment_nm : float or None
        Force in the middle and moment that bend it so far [N, N m].
    words : str
        In one sentence.
    """

    name: str
    verdict: Verdict
    where: str
    depth_m: float
    room_m: float
    force_n: float | None
    moment_nm: float | None
    words: str


@dataclass(frozen=True, slots=True)
class _Point:
    """A place on the way: depth, offset of the axis, bore, piece."""

    depth_m: float
    axis_m: float
    bore_m: float
    name: str


def plug_force(difference_pa: float, seal_od_m: float) -> float:
    """Force of a pressure difference on a plug [N].

    Parameters
    ----------
    difference_pa : float
        Pressure on one side less that on the other; the sign stays [Pa].
    seal_od_m : float
        Diameter of its seal [m].

    Notes
    -----
    Delta p pi d^2 / 4.

    Examples
    --------
    500 psi on 2.30 in, 2,077 lbf:

    >>> round(plug_force(500 * 6894.757, 2.30 * 0.0254) / 4.4482216)
    2077
    """
    return (
        finite("difference_pa", difference_pa) * math.pi / 4 * positive("seal_od_m", seal_od_m) ** 2
    )


def smallest_bore(way: Sequence[Bore]) -> Bore:
    """The narrowest piece; of several the uppermost.

    Raises
    ------
    InputError
        ``out-of-range``: there is no piece.
    """
    require(len(way) > 0, "way", "give at least one piece of the way")
    return min(way, key=lambda one: one.bore_m)


def tool_passes(
    way: Sequence[Bore],
    part: Stiff,
    curvature_rad_m: float = 0.0,
    clearance_m: float = 0.0,
    most_force_n: float | None = None,
) -> Passage:
    r"""Whether a stiff part of a tool passes the whole way.

    Parameters
    ----------
    way : sequence of Bore
        From the top down; the part starts within it and ends within it.
    part : Stiff
        The part.
    curvature_rad_m : float
        Curvature of the hole, taken in the plane of every offset, to both sides [rad/m].
    clearance_m : float
        Diametral clearance to keep [m].
    most_force_n : float or None
        Side force that may bend it; None: the force is stated, not judged [N].

    Raises
    ------
    InputError
        ``out-of-range``: a negative clearance, the part longer than the way.

    Notes
    -----
    Plane channel. At each place the straight line with the most room between
    the walls is sought; by duality that room is the least gap between the convex
    hulls of both walls. Where it is negative, three points touch, and the part
    bends as a beam over the outer two,
    :math:`F = 3EI\,l\,\delta/(a^2 b^2)` (Roark; Timoshenko), 48 EI delta / l^3
    in the middle. A part that touches more often is not reckoned: the force is
    then approximate.
    """
    require(len(way) > 0, "way", "give at least one piece of the way")
    not_negative("clearance_m", clearance_m)
    not_negative("curvature_rad_m", curvature_rad_m)
    whole_m = math.fsum(one.length_m for one in way)
    reason = f"{part.length_m:g} m is longer than the way that is given ({whole_m:g} m)"
    require(part.length_m <= whole_m, "length_m", reason)
    tight = smallest_bore(way)
    if part.od_m + clearance_m > tight.bore_m:
        return _too_thick(way, part, tight, clearance_m)
    found = [
        _tightest(_points(way, sign * curvature_rad_m), part, clearance_m)
        for sign in ((1.0, -1.0) if curvature_rad_m else (1.0,))
    ]
    return _verdict(part, min(found, key=lambda one: one.room_m), most_force_n)


def _too_thick(way: Sequence[Bore], part: Stiff, tight: Bore, clearance_m: float) -> Passage:
    above_m = math.fsum(one.length_m for one in way[: list(way).index(tight)])
    room_m = tight.bore_m - part.od_m - clearance_m
    words = f"{-room_m * 1e3:.2f} mm too thick for {tight.name}, {above_m:.2f} m down"
    return Passage(part.name, "does not pass", tight.name, above_m, room_m, None, None, words)


def _verdict(part: Stiff, tight: _Tight, most_force_n: float | None) -> Passage:
    room_m, name, depth_m = tight.room_m, tight.middle.name, tight.middle.depth_m
    place = f"{name}, {depth_m:.2f} m down"

    def answer(verdict: Verdict, words: str, *bent: float) -> Passage:
        force_n, moment_nm = bent if bent else (None, None)
        return Passage(part.name, verdict, name, depth_m, room_m, force_n, moment_nm, words)

    if room_m >= -_TOUCH_M:
        return answer("passes", f"passes straight, {room_m * 1e3:.2f} mm to spare at {place}")
    bend = f"must bend {-room_m * 1e3:.2f} mm at {place}"
    if part.ei_nm2 is None:
        return answer("not checked", f"{bend}: not checked: needs EI of the part")
    a = tight.middle.depth_m - tight.first.depth_m
    b = tight.last.depth_m - tight.middle.depth_m
    if min(a, b) <= _TOUCH_M:
        return answer("does not pass", f"a step in the bore at {place} stops it")
    force_n = 3 * part.ei_nm2 * (a + b) * -room_m / (a * b) ** 2
    moment_nm = force_n * a * b / (a + b)
    words = f"{bend}, with {force_n:.0f} N"
    if most_force_n is not None and force_n > most_force_n:
        words += f", more than {most_force_n:.0f} N"
        return answer("does not pass", words, force_n, moment_nm)
    words += "; no limit is given for that force" if most_force_n is None else ""
    return answer("passes bent", words, force_n, moment_nm)


def _points(way: Sequence[Bore], curvature_rad_m: float) -> list[_Point]:
    """The way as points: fine in and near bends and steps, coarse in long pipe."""
    found: list[_Point] = []
    above_m, shift_m = 0.0, 0.0
    for one in way:
        for share in _shares(one):
            depth_m = above_m + share * one.length_m
            axis_m = shift_m + one.offset_m * _two_arcs(share)
            axis_m += curvature_rad_m * depth_m**2 / 2
            found.append(_Point(depth_m, axis_m, one.bore_m, one.name))
        above_m += one.length_m
        shift_m += one.offset_m
    return found


def _two_arcs(share: float) -> float:
    """Share of the offset after a share of the length: two arcs that meet in the middle."""
    return 2 * share**2 if share < 0.5 else 1 - 2 * (1 - share) ** 2


def _shares(one: Bore) -> list[float]:
    near_m = one.length_m if one.offset_m else min(_NEAR_M, one.length_m / 2)
    step_m = max(_FINE_M, one.length_m / _MOST) if one.offset_m else _FINE_M * 5
    fine = max(1, math.ceil(near_m / step_m))
    ends = [near_m * k / fine for k in range(fine + 1)]
    rest_m = one.length_m - 2 * near_m
    if rest_m <= 0:
        return sorted({*(x / one.length_m for x in ends), *(1 - x / one.length_m for x in ends)})
    count = max(1, math.ceil(rest_m / max(_COARSE_M, one.length_m / _MOST)))
    inner = [near_m + rest_m * k / count for k in range(count + 1)]
    return sorted(
        {*(x / one.length_m for x in (*ends, *inner)), *(1 - x / one.length_m for x in ends)}
    )


@dataclass(frozen=True, slots=True)
class _Tight:
    """Least room of a straight part, and the three places that decide it."""

    room_m: float
    first: _Point
    middle: _Point
    last: _Point


def _tightest(points: Sequence[_Point], part: Stiff, clearance_m: float) -> _Tight:
    """The place with the least room, the part starting or ending at any point."""
    whole_m = points[-1].depth_m
    flipped = [replace(one, depth_m=whole_m - one.depth_m) for one in reversed(points)]
    down = _sweep(points, part.length_m, part.od_m + clearance_m)
    up = _sweep(flipped, part.length_m, part.od_m + clearance_m)
    if down.room_m <= up.room_m:
        return down
    turned = [replace(one, depth_m=whole_m - one.depth_m) for one in (up.last, up.middle, up.first)]
    return _Tight(up.room_m, *turned)


def _sweep(points: Sequence[_Point], length_m: float, od_m: float) -> _Tight:
    found: list[_Tight] = []
    end = 0
    for start, first in enumerate(points):
        stop_m = first.depth_m + length_m
        if stop_m > points[-1].depth_m + _TOUCH_M and found:
            break
        while end < len(points) - 1 and points[end].depth_m < stop_m - _TOUCH_M:
            end += 1
        stretch = [*points[start:end], _between(points[end - 1], points[end], stop_m)]
        found.append(_room(stretch, od_m))
    return min(found, key=lambda one: one.room_m)


def _between(upper: _Point, lower: _Point, depth_m: float) -> _Point:
    gap_m = lower.depth_m - upper.depth_m
    share = min((depth_m - upper.depth_m) / gap_m, 1.0) if gap_m > 0 else 1.0
    axis_m = upper.axis_m + share * (lower.axis_m - upper.axis_m)
    return replace(lower, depth_m=upper.depth_m + share * gap_m, axis_m=axis_m)


def _room(points: Sequence[_Point], od_m: float) -> _Tight:
    """Room by duality: the least gap between the hulls of both walls."""
    high = _hull([(one, one.axis_m + (one.bore_m - od_m) / 2) for one in points], 1.0)
    low = _hull([(one, one.axis_m - (one.bore_m - od_m) / 2) for one in points], -1.0)
    return min((*_gaps(high, low, 1.0), *_gaps(low, high, -1.0)), key=lambda one: one.room_m)


_Wall = list[tuple[_Point, float]]


def _hull(wall: _Wall, side: float) -> _Wall:
    """The stretched thread along a wall: of the upper wall from below, of the lower from above."""
    found: _Wall = []
    for one in wall:
        if found and one[0].depth_m - found[-1][0].depth_m <= _TOUCH_M:
            if side * (one[1] - found[-1][1]) >= 0:
                continue
            found.pop()
        while len(found) > 1 and side * _turn(found[-2], found[-1], one) <= 0:
            found.pop()
        found.append(one)
    return found


def _turn(a: tuple[_Point, float], b: tuple[_Point, float], c: tuple[_Point, float]) -> float:
    run_m, rise_m = b[0].depth_m - a[0].depth_m, b[1] - a[1]
    return run_m * (c[1] - a[1]) - rise_m * (c[0].depth_m - a[0].depth_m)


def _gaps(corners: _Wall, thread: _Wall, side: float) -> Iterator[_Tight]:
    """Gap at each corner of one hull to the piece of the other hull abreast of it."""
    place = 0
    for corner, height_m in corners:
        while place < len(thread) - 2 and thread[place + 1][0].depth_m < corner.depth_m:
            place += 1
        (first, left_m), (last, right_m) = thread[place], thread[min(place + 1, len(thread) - 1)]
        run_m = last.depth_m - first.depth_m
        share = (corner.depth_m - first.depth_m) / run_m if run_m > 0 else 0.0
        gap_m = side * (height_m - left_m - share * (right_m - left_m))
        yield _Tight(gap_m, first, corner, last)


def longest_stiff(
    way: Sequence[Bore], od_m: float, curvature_rad_m: float = 0.0, clearance_m: float = 0.0
) -> float:
    """Longest part of a diameter that passes straight [m]; the whole way if all of it does.

    Parameters
    ----------
    way, curvature_rad_m, clearance_m
        As for :func:`tool_passes`.
    od_m : float
        Diameter of the part [m].

    Returns
    -------
    float
        To 1 cm, on the short side; 0: too thick for the narrowest piece.

    Raises
    ------
    InputError
        ``out-of-range``: as for :func:`tool_passes`.
    """

    def passes(length_m: float) -> bool:
        part = Stiff("", length_m, od_m)
        return tool_passes(way, part, curvature_rad_m, clearance_m).verdict == "passes"

    low_m, high_m = _LEAST_M, math.fsum(one.length_m for one in way)
    if passes(high_m):
        return high_m
    if not passes(low_m):
        return 0.0
    while high_m - low_m > _LEAST_M:
        middle_m = (low_m + high_m) / 2
        low_m, high_m = (middle_m, high_m) if passes(middle_m) else (low_m, middle_m)
    return low_m


def tool_table(
    way: Sequence[Bore],
    ods_m: Sequence[float],
    curvature_rad_m: float = 0.0,
    clearance_m: float = 0.0,
) -> tuple[tuple[float, float], ...]:
    """Diameter and longest stiff length for each diameter asked for [m]."""
    return tuple((od, longest_stiff(way, od, curvature_rad_m, clearance_m)) for od in ods_m)
