"""A straight body between two walls: where it stops, and the least room it has."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from abreast.mechanics.channel_walls import (
    Piece,
    Stretch,
    Walls,
    pieces_of,
    sag_for,
    seen,
    walls_of,
)

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Corners = npt.NDArray[np.intp]
else:
    Array = Corners = Any

__all__ = ["Contacts", "Stretch", "least_width", "longest_through"]

_FINE = 8000
"""A chord lies off its arc by the room over this."""
_ROUGH = 16
"""So much rougher the first time, which only tells how far to look."""
_COARSE_CORNERS, _MOST_CORNERS = 400, 16_000
_WORK = 1e6
_FINEST_M = 2.5e-7
"""Room is not told finer than four times this."""
_ROUNDS = 4
_BLOCK = 48
# No slope yet; infinity would make nothing of a run of 0.
_STEEP_DOWN = -1e300
_BETWEEN = 2.0
"""Corners are looked at, and between two of them there may be less room by so many sags.

With both outer contacts on straight chords a body that moves on has the least room
in between where their slopes differ: h^2/4L of the difference, h from corner to
corner: two sags where corners are as close as that difference over L asks.
"""
_CLOSE_M = 1e-10
_THINNER_M = 1e-9


@dataclass(frozen=True, slots=True)
class Contacts:
    """The width that is left for a straight body, and the depths of the contacts [m].

    Parameters
    ----------
    width_m : float
        Diameter of the thickest body that goes through; never more than it is.
    short_m : float
        How much more it may be at most.
    first_m, middle_m, last_m : float
        Depths of the contacts.
    stretch : int
        The number of the stretch where the middle one lies.
    bend_rad_m : float
        Curvature of the wall there.
    even : bool
        Whether all three lie in one width and one curvature.
    """

    width_m: float
    first_m: float
    middle_m: float
    last_m: float
    stretch: int
    short_m: float = 0.0
    bend_rad_m: float = 0.0
    even: bool = False


@dataclass(frozen=True, slots=True)
class _Stops:
    """Corners where a body starts that is stopped: at which depth, and by what."""

    start: Corners
    middle: Corners
    last: Corners
    depth_m: Array


def longest_through(
    stretches: Sequence[Stretch], side: float, od_m: float, most_m: float = math.inf
) -> float:
    """Length of the longest straight body of a diameter that goes through [m].

    Parameters
    ----------
    stretches, side
        As for :func:`abreast.mechanics.channel_walls.pieces_of`.
    od_m : float
        The diameter [m].
    most_m : float
        Nothing longer is looked at [m].

    Returns
    -------
    float
        ``most_m`` if one of that length goes through, the whole channel if all of
        it does; 0 if it is thicker than the channel. Never more than it is.

    Notes
    -----
    A way of one even bend is exact, sqrt(8 c/kappa) with the clearance c.
    Else chords lie off their arcs by c/8000, which makes it too short by 0.03 %
    at most where an even bend decides; ways of very many bends are coarser.
    """
    import numpy as np

    pieces = pieces_of(stretches, side)
    clear_m = min(one.width_m for one in pieces) - od_m
    if clear_m < -_CLOSE_M:
        return 0.0
    whole_m = math.fsum(one.length_m for one in pieces)
    ends = [one.longest_m(od_m) for one in pieces]
    bound = [end for one, end in zip(pieces, ends, strict=True) if end <= one.length_m]
    # The walls do not depend on ``most_m``, so that answers to it agree to the last digit.
    reach_m = min([whole_m, *bound])
    if len(pieces) == 1 or min(most_m, reach_m) <= 0:
        return min(most_m, reach_m)
    bent_m = min((one.width_m for one in pieces if one.bend_rad_m), default=math.inf) - od_m
    wanted_m = max(min(bent_m, 1.0), _CLOSE_M) / _FINE
    # A body so much thinner passes walls of few corners if the true one passes its own.
    near = seen(pieces, reach_m)
    own = np.array([abs(one.bend_rad_m) for one in near])
    sag_m = sag_for(near, _ROUGH * wanted_m, _corners(near, reach_m), own)
    thin_m = od_m - 2 * sag_m
    reach_m = min(reach_m, _shortest(walls_of(near, sag_m, own), near, thin_m, reach_m))
    near = seen(pieces, reach_m)
    for least_m in (reach_m / 2, 0.0):
        bends = _close(near, reach_m, least_m)
        sag_m = sag_for(near, wanted_m, _corners(near, reach_m), bends)
        walls, between_m = walls_of(near, sag_m, bends), _BETWEEN * sag_m if bends.any() else 0.0
        found_m = _shortest(walls, near, od_m + between_m, reach_m)
        if found_m >= least_m:
            break
    return max(min(found_m, most_m), 0.0)


def _corners(pieces: Sequence[Piece], reach_m: float) -> int:
    """As many corners as may be looked at, each with all in its reach, in a fair time."""
    whole_m = math.fsum(one.length_m for one in pieces)
    return min(int(math.sqrt(_WORK * max(whole_m / reach_m, 1.0))), _MOST_CORNERS)


def _shortest(walls: Walls, pieces: Sequence[Piece], od_m: float, most_m: float) -> float:
    """Least length at which a body is stopped anywhere, ``most_m`` at most [m]."""
    import numpy as np

    clear_m, bend = _around(pieces, most_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        sure_m = np.sqrt(8 * np.maximum(clear_m - od_m, 0.0) / bend)
    sure_m[bend <= 0] = np.where(clear_m[bend <= 0] > od_m - _CLOSE_M, np.inf, 0.0)
    for most_sure_m in (float(sure_m.min()) * 1.2, math.inf):
        for view, _ in walls.views():
            sure = sure_m[view.piece]
            starts = np.flatnonzero((sure <= most_sure_m) & (sure < most_m * (1 + 1e-9)))
            stops = _stops(view, od_m, most_m, starts, shrink=True)
            lengths_m = stops.depth_m - view.depth_m[stops.start]
            most_m = min(most_m, float(lengths_m.min(initial=math.inf)))
    return most_m


def _around(pieces: Sequence[Piece], reach_m: float) -> tuple[Array, Array]:
    """Least width and sharpest bend of all that a body on each piece may reach."""
    import numpy as np

    ends = np.array(list(accumulate((one.length_m for one in pieces), initial=0.0)))
    first = np.maximum(np.searchsorted(ends, ends[:-1] - reach_m, "right") - 1, 0)
    last = np.minimum(np.searchsorted(ends, ends[1:] + reach_m, "left"), len(pieces))
    width = np.array([one.width_m for one in pieces])
    bend = np.array([abs(one.bend_rad_m) for one in pieces])
    spans = list(zip(first, last, strict=True))
    return (
        np.array([width[a:b].min() for a, b in spans]),
        np.array([bend[a:b].max() for a, b in spans]),
    )


def least_width(stretches: Sequence[Stretch], side: float, length_m: float) -> Contacts:
    """Diameter of the thickest straight body of a length that goes through, and its contacts.

    Parameters
    ----------
    stretches, side
        As for :func:`abreast.mechanics.channel_walls.pieces_of`.
    length_m : float
        The length, no more than that of the channel [m].

    Notes
    -----
    A way of one even bend is exact, its width less kappa L^2/8. Else chords lie
    off their arcs by an 8000th of what the body lacks of the narrowest width, so
    that width is at most a 2000th of that, or 1 um, too small; ways of very many
    bends are coarser, and ``short_m`` says how much.
    """
    pieces = pieces_of(stretches, side)
    if len(pieces) == 1:
        return _even(pieces[0], length_m)
    near = seen(pieces, length_m)
    narrow_m = min(one.width_m for one in pieces)
    bends = _close(near, length_m, length_m)
    sag_m = sag_for(near, 0.0, _COARSE_CORNERS, bends)
    finest_m = sag_for(near, 0.0, _corners(near, length_m), bends)
    for _ in range(_ROUNDS):
        found = _tightest(near, max(sag_m, _CLOSE_M), length_m)
        wanted_m = max(
            (narrow_m - found.width_m - found.short_m) / _FINE, sag_m / 64, finest_m, _FINEST_M
        )
        if sag_m <= wanted_m * 1.01:
            break
        sag_m = wanted_m
    return found


def _even(piece: Piece, length_m: float) -> Contacts:
    width_m = piece.width_m - abs(piece.bend_rad_m) * length_m**2 / 8
    bend = abs(piece.bend_rad_m)
    middle_m = length_m / 2 if bend else 0.0
    last_m = length_m if bend else 0.0
    return Contacts(width_m, 0.0, middle_m, last_m, 0, 0.0, bend, True)


def _tightest(pieces: Sequence[Piece], sag_m: float, length_m: float) -> Contacts:
    """The same on walls of a sag.

    By duality the width for one place of the body is the least over all three
    contacts, high, low and high wall or mirrored, of the height of the chord of the
    outer two over the middle one. The diameter is brought down to the least of
    those that stop it until none does; each step is one of finitely many, and what
    a thinner body is stopped at stops a thicker one too.
    """
    import numpy as np

    clear_m, bend = _around(pieces, length_m)
    walls = walls_of(pieces, sag_m, _close(pieces, length_m, length_m))
    width = walls.high_m - walls.low_m
    place = int(width.argmin())
    width_m = float(width[place])
    at_m, middle = [float(walls.depth_m[place])] * 3, int(walls.piece[place])
    sure_m = clear_m - bend * length_m**2 / 8 - 2 * sag_m
    for least_sure_m in (float(sure_m.min()) * 0.9 + width_m * 0.1, math.inf):
        for view, turned in walls.views():
            sure = sure_m[view.piece]
            starts = np.flatnonzero((sure <= least_sure_m) & (sure < width_m))
            # A little thinner: past a corner that just touches there may be less room.
            while tighter := _tighter(view, length_m, width_m - _THINNER_M, starts):
                less_m, starts, places_m, corner = tighter
                if less_m >= width_m:
                    break
                whole_m, width_m = (view.length_m if turned else 0.0), less_m
                at_m = sorted(abs(whole_m - one) for one in places_m)
                middle = int(view.piece[corner])
    if not bend.any():
        return _told(pieces, width_m, at_m, middle, 0.0)
    between_m = _BETWEEN * sag_m
    return _told(pieces, width_m - between_m, at_m, middle, 2 * sag_m + between_m)


def _close(pieces: Sequence[Piece], reach_m: float, least_m: float) -> Array:
    """Curvature that corners on each piece are as close for, for bodies of a least length.

    Its own, and the mean over the body: what the slopes in reach differ by over its length.
    """
    import numpy as np

    ends = np.array(list(accumulate((one.length_m for one in pieces), initial=0.0)))
    turns = (one.bend_rad_m * one.length_m for one in pieces)
    slope = np.array(list(accumulate(turns, initial=0.0)))
    first = np.maximum(np.searchsorted(ends, ends[:-1] - reach_m, "right") - 1, 0)
    last = np.minimum(np.searchsorted(ends, ends[1:] + reach_m, "left"), len(pieces))
    own = np.array([abs(one.bend_rad_m) for one in pieces])
    spans = list(zip(first, last, strict=True))
    sharpest = np.array([own[a:b].max() for a, b in spans])
    if least_m <= 0:
        return sharpest
    mean = np.array([float(np.ptp(slope[a : b + 1])) for a, b in spans]) / least_m
    close: Array = np.maximum(own, np.minimum(sharpest, mean))
    return close


def _told(
    pieces: Sequence[Piece], width_m: float, at_m: Sequence[float], middle: int, short_m: float
) -> Contacts:
    """Contacts with the lengths put back that were left out above the middle one."""
    one = pieces[middle]
    ends = list(accumulate((piece.length_m for piece in pieces), initial=0.0))
    left_m = math.fsum(piece.cut_m for piece in pieces[:middle])
    if one.cut_m and at_m[1] > ends[middle] + one.length_m / 2:
        left_m += one.cut_m
    even = ends[middle] - 1e-9 <= at_m[0] and at_m[2] <= ends[middle + 1] + 1e-9
    first_m, middle_m, last_m = (float(depth_m) + left_m for depth_m in at_m)
    bend = abs(one.bend_rad_m)
    return Contacts(width_m, first_m, middle_m, last_m, one.stretch, short_m, bend, even)


def _stops(
    walls: Walls, od_m: float, reach_m: float, start: Corners, shrink: bool = False
) -> _Stops:
    """Where a body that starts at a corner of the high wall and passes over the low one stops.

    It starts as high as it can. To clear the low wall so far it must rise by a
    slope at least; it stops where that line cuts the high wall. All corners are
    followed together, some corners at a time, as far as ``reach_m``; with ``shrink`` only
    as far as the shortest that is stopped.
    """
    import numpy as np

    x, high, low = walls.depth_m, walls.high_m, walls.low_m + od_m
    slope, middle = np.full(len(start), _STEEP_DOWN), start.copy()
    found: list[tuple[Corners, Corners, Corners, Array]] = []
    step = 1
    while True:
        first = start + step
        keep = first < len(x)
        keep[keep] &= x[first[keep] - 1] - x[start[keep]] < reach_m
        start, slope, middle = start[keep], slope[keep], middle[keep]
        if not len(start):
            break
        reached = start[:, None] + np.arange(step, step + _BLOCK)
        there = np.minimum(reached, len(x) - 1)
        run = x[there] - x[start][:, None]
        ahead = (reached < len(x)) & (run > 0) & (x[there - 1] - x[start][:, None] < reach_m)
        rise = (low[there] - high[start][:, None]) / np.where(ahead, run, 1.0)
        rise[~ahead] = _STEEP_DOWN
        steep = np.maximum.accumulate(np.maximum(rise, slope[:, None]), axis=1)
        over = high[there] - high[start][:, None] - np.where(ahead, steep * run, 0.0)
        blocked = ahead & (over < -_CLOSE_M)
        stopped = blocked.any(axis=1)
        place = np.where(stopped, blocked.argmax(axis=1), _BLOCK - 1)
        rows = np.arange(len(start))
        steepest = steep[rows, place]
        here = (rise >= steepest[:, None]).argmax(axis=1)
        middle = np.where(steepest > slope, there[rows, here], middle)
        if stopped.any():
            one, last, tilt = start[stopped], there[rows, place][stopped], steepest[stopped]
            before = high[last - 1] - high[one] - tilt * (x[last - 1] - x[one])
            past = over[rows, place][stopped]
            share = np.clip(before / np.maximum(before - past, _CLOSE_M), 0.0, 1.0)
            depth_m = x[last - 1] + share * (x[last] - x[last - 1])
            found.append((one, middle[stopped], last, depth_m))
            if shrink:
                reach_m = min(reach_m, float((depth_m - x[one]).min()))
        start, slope, middle = start[~stopped], steepest[~stopped], middle[~stopped]
        step += _BLOCK
    if not found:
        none = np.zeros(0, dtype=np.intp)
        return _Stops(none, none, none, np.zeros(0))
    return _Stops(*(np.concatenate(part) for part in zip(*found, strict=True)))


def _tighter(
    view: Walls, length_m: float, od_m: float, starts: Corners
) -> tuple[float, Corners, Sequence[float], int] | None:
    """Least width of all contacts that stop a body of a length and diameter; the starts of all."""
    import numpy as np

    x, high = view.depth_m, view.high_m
    stops = _stops(view, od_m, length_m, starts)
    short = np.flatnonzero(stops.depth_m - x[stops.start] < length_m - _CLOSE_M)
    if not len(short):
        return None
    start, middle, last = (one[short] for one in (stops.start, stops.middle, stops.last))
    end = np.minimum(x[last], x[start] + length_m)
    step = x[last] - x[last - 1]
    share = np.where(step > 0, (end - x[last - 1]) / np.where(step > 0, step, 1.0), 1.0)
    at_end = high[last - 1] + share * (high[last] - high[last - 1])
    chord = high[start] + (x[middle] - x[start]) / (end - x[start]) * (at_end - high[start])
    width = chord - view.low_m[middle]
    best = int(width.argmin())
    places = (float(x[start[best]]), float(x[middle[best]]), float(end[best]))
    return float(width[best]), start, places, int(middle[best])
