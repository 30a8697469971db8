"""The path of the hole from its survey: minimum curvature, positions, dogleg severity."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from abreast.formulas.guard import finite, not_negative, require, within

__all__ = [
    "Position",
    "Station",
    "Step",
    "Vector",
    "direction",
    "dogleg_angle",
    "dogleg_severity",
    "interpolate",
    "minimum_curvature",
    "position_at",
    "positions",
    "radius_of_curvature",
]

Vector = tuple[float, float, float]
"""North, east and down."""
# Nearer to opposite than this, rounding decides which way the arc turns.
_LEAST_HALF_COSINE = 1e-6
_OPPOSITE = "the two directions are opposite, no single arc joins them; check the angles"
# A horizontal part of a unit vector below this is rounding: the hole is vertical there.
_VERTICAL = 1e-14


@dataclass(frozen=True, slots=True)
class Station:
    """One station of a survey.

    Parameters
    ----------
    md_m : float
        Measured depth [m].
    inclination_rad : float
        Inclination from vertical, 0 to pi [rad].
    azimuth_rad : float
        Azimuth clockwise from north [rad]; any turn is as good as any other,
        and on a vertical station it has no meaning.

    Raises
    ------
    InputError
        ``out-of-range``.
    """

    md_m: float
    inclination_rad: float
    azimuth_rad: float

    def __post_init__(self) -> None:
        finite("md_m", self.md_m)
        within("inclination_rad", self.inclination_rad, 0.0, math.pi)
        finite("azimuth_rad", self.azimuth_rad)


@dataclass(frozen=True, slots=True)
class Step:
    """Displacement along one interval north, east and down [m], and its dogleg [rad]."""

    length_m: float
    north_m: float
    east_m: float
    down_m: float
    dogleg_rad: float

    @property
    def ratio_factor(self) -> float:
        """(2/beta) tan(beta/2), 1 for a straight interval."""
        return _ratio_factor(math.tan(self.dogleg_rad / 2))

    @property
    def dogleg_rad_m(self) -> float:
        """Dogleg severity, the curvature of the arc [rad/m]."""
        return self.dogleg_rad / self.length_m


@dataclass(frozen=True, slots=True)
class Position:
    """A station and where it is: north, east and down (true vertical depth) [m]."""

    station: Station
    north_m: float
    east_m: float
    down_m: float

    @property
    def place_m(self) -> Vector:
        """North, east and down [m]."""
        return self.north_m, self.east_m, self.down_m


def direction(station: Station) -> Vector:
    """Unit vector down the hole: north, east, down.

    Examples
    --------
    >>> direction(Station(0.0, 0.0, 1.0))
    (0.0, 0.0, 1.0)
    """
    across = math.sin(station.inclination_rad)
    return (
        across * math.cos(station.azimuth_rad),
        across * math.sin(station.azimuth_rad),
        math.cos(station.inclination_rad),
    )


def _deeper(upper: Station, lower: Station) -> None:
    reason = f"{upper.md_m!r} must be less than the depth of the lower station, {lower.md_m!r}"
    require(upper.md_m < lower.md_m, "upper.md_m", reason)


def _half_angle(upper: Station, lower: Station) -> tuple[float, float]:
    """Sine and cosine of half the dogleg, each a root of a sum of squares."""
    turn = (lower.azimuth_rad - upper.azimuth_rad) / 2
    less = (lower.inclination_rad - upper.inclination_rad) / 2
    more = (lower.inclination_rad + upper.inclination_rad) / 2
    same, other = math.cos(turn), math.sin(turn)
    sine = math.hypot(same * math.sin(less), other * math.sin(more))
    cosine = math.hypot(same * math.cos(less), other * math.cos(more))
    return sine, cosine


def dogleg_angle(upper: Station, lower: Station) -> float:
    r"""Angle between the hole directions at two stations, 0 to pi [rad].

    Notes
    -----
    With inclinations I and azimuths A,

    .. math::

        \sin^2\tfrac{\beta}{2} &= \cos^2\tfrac{\Delta A}{2}\sin^2\tfrac{\Delta I}{2}
            + \sin^2\tfrac{\Delta A}{2}\sin^2\tfrac{I_1+I_2}{2}, \\
        \cos^2\tfrac{\beta}{2} &= \cos^2\tfrac{\Delta A}{2}\cos^2\tfrac{\Delta I}{2}
            + \sin^2\tfrac{\Delta A}{2}\cos^2\tfrac{I_1+I_2}{2} .

    This is the cosine rule of the sphere in half angles. Nothing is subtracted
    from nearly the same, so it holds to rounding for any angle; the arccosine
    form loses every digit below 1e-8 rad.

    Examples
    --------
    >>> from math import degrees, radians
    >>> upper = Station(0, radians(15), radians(20))
    >>> round(degrees(dogleg_angle(upper, Station(30, radians(25), radians(45)))), 3)
    12.952
    """
    sine, cosine = _half_angle(upper, lower)
    return 2 * math.atan2(sine, cosine)


def _ratio_factor(half_tangent: float) -> float:
    return half_tangent / math.atan(half_tangent) if half_tangent > 0 else 1.0


def minimum_curvature(upper: Station, lower: Station) -> Step:
    r"""Displacement along one survey interval, taken as a circular arc.

    The arc is tangent to the hole direction at both stations.

    Parameters
    ----------
    upper, lower : Station
        Two stations, ``lower`` the deeper one along the hole.

    Returns
    -------
    Step
        Length of the interval, increments north, east and down [m], and the
        dogleg, 0 to pi [rad].

    Raises
    ------
    InputError
        ``out-of-range``: depth does not increase, or the two directions are
        opposite within 2e-6 rad, so that no single arc joins them.

    Notes
    -----
    With the dogleg :math:`\beta` of :func:`dogleg_angle`, each increment is

    .. math:: \tfrac12 F\,\Delta MD\,(t_1 + t_2), \quad F = \tfrac2\beta\tan\tfrac\beta2

    with t the direction cosines: ratio-factor form, Taylor and Mason 1972;
    Sawaryn and Thorogood, SPE Drilling & Completion 20(1), 2005 (SPE 84246).
    How the hole winds between two stations is not in a survey.

    Examples
    --------
    A quarter circle of 90 m, from vertical to horizontal, due north:

    >>> step = minimum_curvature(Station(0, 0, 0), Station(90, math.pi / 2, 0))
    >>> round(step.north_m, 4), round(step.down_m, 4)
    (57.2958, 57.2958)
    """
    _deeper(upper, lower)
    length = lower.md_m - upper.md_m
    sine, cosine = _half_angle(upper, lower)
    require(cosine > _LEAST_HALF_COSINE, "lower.inclination_rad", _OPPOSITE)
    half = _ratio_factor(sine / cosine) * length / 2
    north, east, down = (
        half * (a + b) for a, b in zip(direction(upper), direction(lower), strict=True)
    )
    return Step(length, north, east, down, 2 * math.atan2(sine, cosine))


def dogleg_severity(upper: Station, lower: Station) -> float:
    """Dogleg per length of hole between two stations, the curvature of the arc [rad/m].

    Multiplied by 30 m or 100 ft (30.48 m) it is the figure of a survey sheet.

    Raises
    ------
    InputError
        ``out-of-range``: depth does not increase.

    Examples
    --------
    3 degrees in 30 m:

    >>> from math import degrees, radians
    >>> severity = dogleg_severity(Station(0, 0, 0), Station(30, radians(3), 0))
    >>> round(degrees(severity * 30), 6), round(degrees(severity * 30.48), 6)
    (3.0, 3.048)
    """
    _deeper(upper, lower)
    return dogleg_angle(upper, lower) / (lower.md_m - upper.md_m)


def radius_of_curvature(severity_rad_m: float) -> float:
    """Radius of the arc that has a dogleg severity [m]; infinite for a straight hole.

    Examples
    --------
    3 degrees in 30 m:

    >>> round(radius_of_curvature(math.radians(3) / 30), 2)
    572.96
    """
    severity = not_negative("severity_rad_m", severity_rad_m)
    return 1 / severity if severity else math.inf


def interpolate(upper: Station, lower: Station, md_m: float) -> Station:
    r"""The station that a depth inside an interval would have, on its arc.

    Angles do not change evenly along an arc in space: half-way between two
    stations is not at half the inclination and azimuth.

    Parameters
    ----------
    upper, lower : Station
        The ends of the interval.
    md_m : float
        Measured depth, from that of ``upper`` to that of ``lower`` [m].

    Returns
    -------
    Station
        Azimuth from 0 to 2 pi; at an end, that station as it is. Where the
        arc is vertical, the azimuth is that of the upper station.

    Raises
    ------
    InputError
        ``out-of-range``: as :func:`minimum_curvature`, or the depth is outside.

    Notes
    -----
    The direction moves on a great circle,
    :math:`t = [\sin((1-s)\beta)\,t_1 + \sin(s\beta)\,t_2]/\sin\beta` with s the
    share of the interval: constant curvature in one plane (Sawaryn and
    Thorogood 2005).

    Examples
    --------
    >>> from math import degrees, radians
    >>> upper = Station(1800, radians(24), radians(56))
    >>> middle = interpolate(upper, Station(2000, radians(30), radians(58)), 1900)
    >>> round(degrees(middle.inclination_rad), 4), round(degrees(middle.azimuth_rad), 4)
    (26.9965, 57.1029)
    """
    bend = minimum_curvature(upper, lower).dogleg_rad
    within("md_m", md_m, upper.md_m, lower.md_m)
    if md_m in (upper.md_m, lower.md_m):
        return upper if md_m == upper.md_m else lower
    share = (md_m - upper.md_m) / (lower.md_m - upper.md_m)
    near, far = _shares(share, bend)
    north, east, down = (
        near * a + far * b for a, b in zip(direction(upper), direction(lower), strict=True)
    )
    across = math.hypot(north, east)
    azimuth = math.atan2(east, north) if across > _VERTICAL else upper.azimuth_rad
    return Station(md_m, math.atan2(across, down), azimuth % math.tau)


def _shares(share: float, bend: float) -> tuple[float, float]:
    """Weights of the two end directions in the direction between them."""
    whole = math.sin(bend)
    if not whole:
        return 1 - share, share
    return math.sin((1 - share) * bend) / whole, math.sin(share * bend) / whole


def positions(
    stations: Sequence[Station], start_m: Vector = (0.0, 0.0, 0.0)
) -> tuple[Position, ...]:
    """Where every station of a survey is.

    Parameters
    ----------
    stations : sequence of Station
        At least one, each deeper than the one before.
    start_m : tuple of float
        North, east and down of the first station [m]. A survey that does not
        begin at the zero of depths needs it: nothing is assumed above.

    Returns
    -------
    tuple of Position
        One for each station.

    Raises
    ------
    InputError
        ``out-of-range``: there is no station, or an interval is refused by
        :func:`minimum_curvature`; the field counts stations from 1.

    Examples
    --------
    >>> hole = [Station(0, 0, 0), Station(500, 0, 0), Station(590, math.pi / 2, 0)]
    >>> round(positions(hole)[-1].down_m, 4)
    557.2958
    """
    require(len(stations) > 0, "stations", "give at least one station")
    found = [Position(stations[0], *(finite("start_m", value) for value in start_m))]
    for number, (upper, lower) in enumerate(pairwise(stations), 2):
        deeper = f"{lower.md_m!r} must be deeper than {upper.md_m!r}, the station before"
        require(lower.md_m > upper.md_m, f"stations.{number}.md_m", deeper)
        joined = _half_angle(upper, lower)[1] > _LEAST_HALF_COSINE
        require(joined, f"stations.{number}.inclination_rad", _OPPOSITE)
        found.append(_beyond(found[-1], lower))
    return tuple(found)


def _beyond(upper: Position, lower: Station) -> Position:
    step = minimum_curvature(upper.station, lower)
    north, east, down = upper.place_m
    return Position(lower, north + step.north_m, east + step.east_m, down + step.down_m)


def position_at(known: Sequence[Position], md_m: float) -> Position:
    """Direction and position at any depth of a survey, on the arc between its stations.

    Parameters
    ----------
    known : sequence of Position
        As :func:`positions` gives them.
    md_m : float
        Measured depth, from that of the first station to that of the last [m].

    Raises
    ------
    InputError
        ``out-of-range``: beyond the survey; nothing is extrapolated.

    Examples
    --------
    >>> hole = positions([Station(0, 0, 0), Station(90, math.pi / 2, 0)])
    >>> round(position_at(hole, 45).north_m, 4)
    16.7815
    """
    require(len(known) > 0, "stations", "give at least one station")
    within("md_m", md_m, known[0].station.md_m, known[-1].station.md_m)
    after = bisect_left(known, md_m, key=lambda one: one.station.md_m)
    if known[after].station.md_m == md_m:
        return known[after]
    upper = known[after - 1]
    return _beyond(upper, interpolate(upper.station, known[after].station, md_m))
