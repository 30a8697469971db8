"""A straight body between two walls: where it stops, and the least room it has."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Corners = npt.NDArray[np.intp]
else:
    Array = Corners = Any

__all__ = ["Contacts", "Stretch", "Walls", "least_width", "longest_through", "walls_of"]

_SAG_M = 1e-5
"""How far a chord of a wall may lie off its arc."""
_MOST_POINTS = 800
_CLOSE_M = 1e-10


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of the channel with one width.

    Parameters
    ----------
    length_m, width_m : float
        Its length and width [m].
    offset_m : float
        Sideways shift of its axis, in two equal arcs [m].
    bend_rad_m : float
        Curvature of its axis besides [rad/m].
    """

    length_m: float
    width_m: float
    offset_m: float = 0.0
    bend_rad_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Walls:
    """Both walls as polygons over the depth, and the stretch of each corner."""

    depth_m: Array
    high_m: Array
    low_m: Array
    owner: tuple[int, ...]

    def views(self) -> Iterator[tuple[Walls, bool]]:
        """The walls as they are and mirrored, read from the top and from the end.

        A body that starts at a corner is looked at from above, one that ends at a
        corner from below; the middle contact lies on either wall.
        """
        for turned, one in ((False, self), (True, self._turned())):
            yield one, turned
            yield Walls(one.depth_m, -one.low_m, -one.high_m, one.owner), turned

    def _turned(self) -> Walls:
        whole_m = self.depth_m[-1]
        return Walls(
            whole_m - self.depth_m[::-1], self.high_m[::-1], self.low_m[::-1], self.owner[::-1]
        )

    @property
    def length_m(self) -> float:
        """Length of the channel [m]."""
        return float(self.depth_m[-1])


@dataclass(frozen=True, slots=True)
class Contacts:
    """The width that is left for a straight body, and the depths of the contacts [m].

    ``stretch`` is the number of the stretch where the middle one lies.
    """

    width_m: float
    first_m: float
    middle_m: float
    last_m: float
    stretch: int


@dataclass(frozen=True, slots=True)
class _Stops:
    """For each corner where a body starts: at which depth it stops, and what stops it."""

    start: Corners
    middle: Corners
    last: Corners
    depth_m: Array


def walls_of(stretches: Sequence[Stretch], side: float = 1.0) -> Walls:
    """The walls of a channel whose stretches curve to one side, smoothly joined, and shift.

    Parameters
    ----------
    stretches : sequence of Stretch
        From the top down.
    side : float
        1 or -1: which way all of them curve, as seen from their shifts.

    Notes
    -----
    Corners stand where a stretch ends and along every arc, so close that chord
    and arc differ by 0.01 mm; a channel of more than 800 corners is coarser.
    """
    import numpy as np

    steps = [_steps(one, _SAG_M) for one in stretches]
    if sum(steps) > _MOST_POINTS:
        sag_m = _SAG_M * (sum(steps) / _MOST_POINTS) ** 2
        steps = [_steps(one, sag_m) for one in stretches]
    depth, axis, half, owner = [], [], [], []
    above_m, across_m, slope = 0.0, 0.0, 0.0
    for number, (one, count) in enumerate(zip(stretches, steps, strict=True)):
        share = np.linspace(0.0, 1.0, count + 1)
        arcs = np.where(share < 0.5, 2 * share**2, 1 - 2 * (1 - share) ** 2)
        run, bend = share * one.length_m, side * one.bend_rad_m
        depth.append(above_m + run)
        axis.append(across_m + slope * run + bend * run**2 / 2 + one.offset_m * arcs)
        half.append(np.full(count + 1, one.width_m / 2))
        owner += [number] * (count + 1)
        above_m, across_m = above_m + one.length_m, float(axis[-1][-1])
        slope += bend * one.length_m
    x, y, r = (np.concatenate(one) for one in (depth, axis, half))
    return Walls(x, y + r, y - r, tuple(owner))


def _steps(one: Stretch, sag_m: float) -> int:
    """Chords along a stretch; an S-bend gets an even number, to have its middle."""
    bend = abs(one.bend_rad_m) + 4 * abs(one.offset_m) / one.length_m**2
    count = max(1, math.ceil(one.length_m * math.sqrt(bend / (8 * sag_m))))
    return count + count % 2 if one.offset_m else count


def _stops(walls: Walls, od_m: float, reach_m: float) -> _Stops:
    """Where a body that starts at a corner of the high wall and passes over the low one stops.

    It starts as high as it can. To clear the low wall so far it must rise by a
    slope at least; it stops where that line cuts the high wall. Looked at as far
    as a body of length ``reach_m`` reaches, and one corner on.
    """
    import numpy as np

    x, high, low = walls.depth_m, walls.high_m, walls.low_m
    corners = np.arange(len(x))
    wide = int((np.searchsorted(x, x + reach_m, "right") - corners).max())
    reached = corners[:, None] + np.arange(1, wide + 1)
    there = np.minimum(reached, len(x) - 1)
    run = x[there] - x[:, None]
    ahead = (reached < len(x)) & (run > 0)
    run[~ahead] = 1.0
    rise = (low[there] + od_m - high[:, None]) / run
    rise[~ahead] = -np.inf
    slope = np.maximum.accumulate(rise, axis=1)
    over = high[there] - high[:, None] - np.where(ahead, slope, 0.0) * run
    blocked = ahead & (over < -_CLOSE_M)
    start = np.flatnonzero(blocked.any(axis=1))
    place = blocked[start].argmax(axis=1)
    last, steep, past = there[start, place], slope[start, place], over[start, place]
    middle = there[start, (rise[start] >= steep[:, None]).argmax(axis=1)]
    before = high[last - 1] - high[start] - steep * (x[last - 1] - x[start])
    share = np.clip(before / np.maximum(before - past, _CLOSE_M), 0.0, 1.0)
    return _Stops(start, middle, last, x[last - 1] + share * (x[last] - x[last - 1]))


def longest_through(walls: Walls, od_m: float, most_m: float = math.inf) -> float:
    """Length of the longest straight body of a diameter that goes through [m].

    ``most_m`` if one of that length does, the whole channel if all of it does; 0
    if it is thicker than the channel.
    """
    if od_m > _narrowest(walls).width_m + _CLOSE_M:
        return 0.0
    most_m = min(most_m, walls.length_m)
    found = [most_m]
    for view, _ in walls.views():
        stops = _stops(view, od_m, most_m)
        found += (stops.depth_m - view.depth_m[stops.start]).tolist()
    return min(found)


def least_width(walls: Walls, length_m: float) -> Contacts:
    """Diameter of the thickest straight body of a length that goes through, and its contacts.

    Notes
    -----
    By duality the width for one place of the body is the least over all three
    contacts, high, low and high wall or mirrored, of the height of the chord of
    the outer two over the middle one. The diameter is brought down to the least
    of those that stop it until none does; each step is one of finitely many.
    """
    found = _narrowest(walls)
    while True:
        tighter = [
            one
            for view, turned in walls.views()
            if (one := _tighter(view, turned, length_m, found.width_m)) is not None
        ]
        least = min(tighter, key=lambda one: one.width_m, default=found)
        if least.width_m >= found.width_m - _CLOSE_M:
            return found
        found = least


def _narrowest(walls: Walls) -> Contacts:
    width = walls.high_m - walls.low_m
    place = int(width.argmin())
    depth_m = float(walls.depth_m[place])
    return Contacts(float(width[place]), depth_m, depth_m, depth_m, walls.owner[place])


def _tighter(view: Walls, turned: bool, length_m: float, od_m: float) -> Contacts | None:
    """The least width of all contacts that stop a body of a length and diameter."""
    import numpy as np

    x, high = view.depth_m, view.high_m
    stops = _stops(view, od_m, length_m)
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
    zero_m = view.length_m if turned else 0.0
    places = (x[start[best]], x[middle[best]], end[best])
    first_m, middle_m, last_m = sorted(abs(zero_m - float(one)) for one in places)
    stretch = view.owner[int(middle[best])]
    return Contacts(float(width[best]), first_m, middle_m, last_m, stretch)
