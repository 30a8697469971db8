"""A flat cable on a round string: its outline, its gap to a neighbour, the angles where it fits.

Angles are measured at the centre of the string the cable lies on, from the line
to its neighbour, looking down, clockwise positive. With x along that line and,
looking down, y clockwise of it, the cable at angle t lies towards (cos t, sin t).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import cos, hypot, sin

from abreast.formulas.enclosing import Disc, Triplet, enclosing_circle
from abreast.formulas.guard import not_negative, positive, require

__all__ = ["FlatCable", "Window", "angle_windows", "common_windows", "edge_margin", "fold_angle"]

Window = tuple[float, float]
"""Lowest and highest angle on one side, within 0 and pi [rad]."""
_RESOLUTION_RAD = math.radians(1e-4)
_STEP_RAD = math.radians(0.5)
_TOUCH = 1e-9
"""Share of a size by which a rounding error may overlap or exceed."""


@dataclass(frozen=True, slots=True)
class FlatCable:
    """A flat cable with round corners, flat on a round string.

    Parameters
    ----------
    seat_m : float
        Radius of the string it lies on [m].
    thickness_m : float
        Off the string, with any guard over it [m].
    width_m : float
        Along the circumference [m].
    corner_radius_m : float
        Radius of its corners [m]; 0 is sharp. Not above half of either size.
    """

    seat_m: float
    thickness_m: float
    width_m: float
    corner_radius_m: float = 0.0

    def __post_init__(self) -> None:
        not_negative("seat_m", self.seat_m)
        positive("thickness_m", self.thickness_m)
        positive("width_m", self.width_m)
        not_negative("corner_radius_m", self.corner_radius_m)
        most_m = min(self.thickness_m, self.width_m) / 2 * (1 + _TOUCH)
        reason = (
            f"{self.corner_radius_m:g} must not be above half the thickness or width ({most_m:g})"
        )
        require(self.corner_radius_m <= most_m, "corner_radius_m", reason)

    @property
    def _inner(self) -> float:
        return self.seat_m + self.corner_radius_m

    @property
    def _outer(self) -> float:
        return max(self.seat_m + self.thickness_m - self.corner_radius_m, self._inner)

    @property
    def _half(self) -> float:
        return max(self.width_m / 2 - self.corner_radius_m, 0.0)

    @property
    def corner_rad(self) -> float:
        """Angle between its middle and its outer corner [rad]."""
        return math.atan2(self._half, self._outer)

    def discs(self, angle_rad: float) -> tuple[Disc, ...]:
        """Its four corner arcs as discs when it lies at an angle; their hull is its outline."""
        c, s, radius = cos(angle_rad), sin(angle_rad), self.corner_radius_m
        return tuple(
            Disc(off * c - along * s, off * s + along * c, radius)
            for off in (self._inner, self._outer)
            for along in (-self._half, self._half)
        )

    def gap(self, angle_rad: float, disc: Triplet) -> float:
        """Gap between the cable at an angle and a disc [m]; negative: they overlap.

        The least distance between the two outlines; once the disc's centre lies
        within the corner centres it is minus both radii, not the full depth.
        """
        x, y, radius = disc
        c, s = cos(angle_rad), sin(angle_rad)
        off, along = x * c + y * s, abs(y * c - x * s)
        outside = max(off - self._outer, self._inner - off, 0.0)
        return hypot(outside, max(along - self._half, 0.0)) - self.corner_radius_m - radius


def angle_windows(
    cable: FlatCable,
    fixed: Sequence[Triplet],
    neighbours: Sequence[Triplet],
    bore_m: float,
) -> tuple[Window, ...]:
    r"""Angles at which the cable passes a bore beside fixed discs, clear of its neighbours.

    Parameters
    ----------
    cable : FlatCable
        The cable, on a string with its centre at the origin.
    fixed : sequence of discs
        All that passes the bore with it: the string, its neighbour, a clamp [m].
        Centres on the line to the neighbour (y = 0, x >= 0).
    neighbours : sequence of discs
        Those that the cable may not overlap; also on that line.
    bore_m : float
        Diameter that all of it must pass [m].

    Returns
    -------
    tuple of (low, high)
        Windows within 0 and pi, rising [rad]; the other side is their mirror
        image. Empty: the cable fits nowhere.

    Raises
    ------
    InputError
        ``out-of-range``: a centre off the line, or a bore that is not above 0.

    Notes
    -----
    Seen from a centre on or above the line, cable and discs come apart as the
    angle grows, so the smallest circle round all grows with it, until the far
    corner of the cable has passed the opposite side: one edge, found by
    bisection to 0.0001 degrees, and a second one where a cable that lies flat
    opposite the neighbour fits again; the last bit before 180 degrees in steps. The
    gap to a neighbour falls until a corner of the cable points at it and rises
    after that: at most two edges. With one neighbour there are at most three
    windows; the lowest, at 0, only where the cable goes between the strings.

    Examples
    --------
    A 5.13 in pump beside 3.02 in at 4.25 in, a sharp cable of 0.60 by 1.30 in,
    in 8.525 in:

    >>> cable = FlatCable(2.565, 0.60, 1.30)
    >>> pair = [(0.0, 0.0, 2.565), (4.25, 0.0, 1.51)]
    >>> [(low, high)] = angle_windows(cable, pair, pair[1:], 8.525)
    >>> round(math.degrees(low), 1), round(math.degrees(high), 1)
    (28.9, 126.7)
    """
    positive("bore_m", bore_m)
    for x, y, _ in (*fixed, *neighbours):
        require(y == 0 and x >= 0, "fixed", "every centre must lie on the line to the neighbour")

    def fits(angle: float) -> bool:
        circle = enclosing_circle([*fixed, *cable.discs(angle)])
        return 2 * circle.radius_m <= bore_m * (1 + _TOUCH)

    if not fits(0.0):
        return ()
    windows = _fitting(fits, math.pi - cable.corner_rad)
    for disc in neighbours:
        windows = common_windows(windows, _clear_of(cable, disc))
    return windows


def _fitting(fits: Callable[[float], bool], farthest: float) -> tuple[Window, ...]:
    """The angles at which it fits; it fits at 0, and least where a corner points away."""
    if fits(farthest):
        return ((0.0, _highest(fits, farthest)),)
    low: Window = (0.0, _edge(fits, 0.0, farthest))
    return (low, (_edge(fits, math.pi, farthest), math.pi)) if fits(math.pi) else (low,)


def _highest(fits: Callable[[float], bool], farthest: float) -> float:
    """The highest angle up to which it fits; it fits at 0 and at ``farthest``."""
    good = farthest
    while good < math.pi:
        angle = min(good + _STEP_RAD, math.pi)
        if not fits(angle):
            return _edge(fits, good, angle)
        good = angle
    return math.pi


def _clear_of(cable: FlatCable, disc: Triplet) -> tuple[Window, ...]:
    """The angles at which the cable does not overlap a disc."""
    touch = -_TOUCH * (disc[2] + cable.thickness_m)

    def clear(angle: float) -> bool:
        return cable.gap(angle, disc) >= touch

    nearest = cable.corner_rad
    if clear(nearest):
        return ((0.0, math.pi),)
    found: list[Window] = []
    if clear(0.0):
        found.append((0.0, _edge(clear, 0.0, nearest)))
    if clear(math.pi):
        found.append((_edge(clear, math.pi, nearest), math.pi))
    return tuple(found)


def _edge(holds: Callable[[float], bool], good: float, bad: float) -> float:
    """The last angle at which something holds, between one where it does and one where not."""
    while abs(good - bad) > _RESOLUTION_RAD:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return good


def common_windows(one: Iterable[Window], other: Iterable[Window]) -> tuple[Window, ...]:
    """The angles within both sets of windows.

    Examples
    --------
    >>> common_windows([(0.5, 2.0)], [(0.0, 0.6), (1.0, 3.0)])
    ((0.5, 0.6), (1.0, 2.0))
    """
    others = tuple(other)
    both = ((max(a, c), min(b, d)) for a, b in one for c, d in others)
    return tuple(sorted((low, high) for low, high in both if low <= high))


def fold_angle(angle_rad: float) -> float:
    """An angle on either side as the same angle on the clockwise side, 0 to pi [rad].

    Examples
    --------
    >>> round(math.degrees(fold_angle(math.radians(275))))
    85
    """
    return abs(math.remainder(angle_rad, 2 * math.pi))


def edge_margin(windows: Sequence[Window], angle_rad: float) -> float | None:
    """How far an angle on one side is inside a window, to its nearer edge [rad].

    Negative: it is outside, that far from the nearest window. None: there is no
    window. An end at 0 or at pi is no edge: the window goes on to the other side.

    Examples
    --------
    >>> round(math.degrees(edge_margin([(math.radians(29), math.radians(123))], math.radians(85))))
    38
    """
    margins = [_margin(window, angle_rad) for window in windows]
    return max(margins, default=None)


def _margin(window: Window, angle_rad: float) -> float:
    low, high = window
    below = math.inf if low <= 0 else angle_rad - low
    above = math.inf if high >= math.pi else high - angle_rad
    return min(below, above)
