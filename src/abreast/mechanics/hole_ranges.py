"""Sharpest dogleg and extremes of inclination between any two depths of a survey, quickly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import require
from abreast.formulas.survey import Station

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Places = npt.NDArray[np.int64]
else:
    Array = Places = Any

__all__ = ["HoleRanges", "hole_ranges"]

_EDGE_M = 1e-9
# Nearer to opposite than this, rounding decides which way the arc turns.
_LEAST_HALF_COSINE = 1e-6


@dataclass(frozen=True, slots=True)
class HoleRanges:
    """A survey made ready for many questions; made by :func:`hole_ranges`.

    Parameters
    ----------
    md_m : array
        Depths of the stations [m].
    severity_rad_m : array
        Dogleg severity of each interval, allowance included [rad/m].
    """

    md_m: Array
    severity_rad_m: Array
    _bend_rad: Array
    _tangent: Array
    _knots_m: Array
    _sharpest: _Greatest
    _steepest: _Greatest
    _flattest: _Greatest

    @property
    def first_m(self) -> float:
        """Depth of the first station [m]."""
        return float(self.md_m[0])

    @property
    def last_m(self) -> float:
        """Depth of the last station [m]."""
        return float(self.md_m[-1])

    def sharpest(self, top_m: Array, bottom_m: Array) -> Places:
        """The sharpest interval that overlaps each range; one that only touches does not count.

        Parameters
        ----------
        top_m, bottom_m : array
            Ends of the ranges, the lower one deeper [m].

        Returns
        -------
        array of int
            Number of the interval, counted from 0 at the top; the uppermost of equals.
        """
        import numpy as np

        first = np.searchsorted(self.md_m[1:], np.asarray(top_m) + _EDGE_M, side="right")
        last = np.searchsorted(self.md_m[:-1], np.asarray(bottom_m) - _EDGE_M, side="left") - 1
        most = len(self.severity_rad_m) - 1
        first = np.minimum(first, most)
        return self._sharpest.within(first, np.clip(last, first, most))

    def inclination(self, top_m: Array, bottom_m: Array) -> tuple[Array, Array]:
        """Least and greatest inclination of each range, inside arcs too [rad]."""
        import numpy as np

        top, bottom = np.asarray(top_m, float), np.asarray(bottom_m, float)
        ends = np.stack((self._inclination_at(top), self._inclination_at(bottom)))
        low, high = ends.min(axis=0), ends.max(axis=0)
        first = np.searchsorted(self._knots_m, top, side="left")
        last = np.searchsorted(self._knots_m, bottom, side="right") - 1
        inside = first <= last
        a, b = np.where(inside, first, 0), np.where(inside, last, 0)
        steep = self._steepest.values[self._steepest.within(a, b)]
        flat = -self._flattest.values[self._flattest.within(a, b)]
        low = np.where(inside, np.minimum(low, flat), low)
        return low, np.where(inside, np.maximum(high, steep), high)

    def _inclination_at(self, md_m: Array) -> Array:
        """Inclination on the arcs; depths a rounding error outside count as the end."""
        import numpy as np

        place = np.clip(
            np.searchsorted(self.md_m, md_m, side="right") - 1, 0, len(self._bend_rad) - 1
        )
        upper, lower = self.md_m[place], self.md_m[place + 1]
        share = np.clip((md_m - upper) / (lower - upper), 0.0, 1.0)
        return _inclination(_between(self._tangent, self._bend_rad, place, share))


@dataclass(frozen=True, slots=True)
class _Greatest:
    """The place of the greatest of values within any span: a table of spans of 1, 2, 4, 8."""

    values: Array
    rows: tuple[Places, ...]

    def within(self, first: Places, last: Places) -> Places:
        import numpy as np

        span = np.asarray(last) - first + 1
        level = np.frexp(span.astype(float))[1] - 1
        found = np.empty(np.shape(first), dtype=np.int64)
        for row, table in enumerate(self.rows):
            here = level == row
            left, right = table[first[here]], table[last[here] + 1 - (1 << row)]
            found[here] = np.where(self.values[right] > self.values[left], right, left)
        return found


def _greatest(values: Array) -> _Greatest:
    import numpy as np

    rows: list[Places] = [np.arange(len(values))]
    span = 1
    while 2 * span <= len(values):
        left, right = rows[-1][:-span], rows[-1][span:]
        rows.append(np.where(values[right] > values[left], right, left))
        span *= 2
    return _Greatest(values, tuple(rows))


def hole_ranges(stations: Sequence[Station], allowance_rad_m: float = 0.0) -> HoleRanges:
    """A survey made ready for many questions.

    Parameters
    ----------
    stations : sequence of Station
        At least two, each deeper than the one before.
    allowance_rad_m : float
        Dogleg that the survey does not see, added to every interval [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: too few stations, depths that do not increase, or two
        opposite directions, which no single arc joins; the field counts
        stations from 1.

    Notes
    -----
    Minimum curvature, as in :mod:`abreast.formulas.survey`. Inclination is at an
    extreme at a station, at an end of the range, or where an arc passes its
    steepest or flattest point, d cos(I) / ds = 0: these points and the stations
    are the knots. Both tables answer in a time that does not grow with the
    number of stations.
    """
    import numpy as np

    require(len(stations) > 1, "stations", "give at least two stations of the survey")
    md, inc, azi = (
        np.array([getattr(one, name) for one in stations])
        for name in ("md_m", "inclination_rad", "azimuth_rad")
    )
    for n in np.flatnonzero(np.diff(md) <= 0)[:1]:
        deeper = f"{md[n + 1]:g} must be deeper than {md[n]:g}, the station before"
        require(False, f"stations.{n + 2}.md_m", deeper)
    bend = _bends(inc, azi)
    tangent = np.stack((np.sin(inc) * np.cos(azi), np.sin(inc) * np.sin(azi), np.cos(inc)), -1)
    severity = bend / np.diff(md) + allowance_rad_m
    knots_m, knots_rad = _knots(md, inc, tangent, bend)
    return HoleRanges(
        md,
        severity,
        bend,
        tangent,
        knots_m,
        _greatest(severity),
        _greatest(knots_rad),
        _greatest(-knots_rad),
    )


def _bends(inc: Array, azi: Array) -> Array:
    """Dogleg of every interval, by the half angles of the sphere."""
    import numpy as np

    turn, less, more = np.diff(azi) / 2, np.diff(inc) / 2, (inc[1:] + inc[:-1]) / 2
    sine = np.hypot(np.cos(turn) * np.sin(less), np.sin(turn) * np.sin(more))
    cosine = np.hypot(np.cos(turn) * np.cos(less), np.sin(turn) * np.cos(more))
    for n in np.flatnonzero(cosine <= _LEAST_HALF_COSINE)[:1]:
        apart = (
            "the hole turns right back from the station before, and no single arc joins"
            " opposite directions; check the angles of both, or give a station between"
        )
        require(False, f"stations.{n + 2}.inclination_rad", apart)
    found: Array = 2 * np.arctan2(sine, cosine)
    return found


def _between(tangent: Array, bend: Array, place: Places, share: Array) -> Array:
    """Directions on arcs, on great circles."""
    import numpy as np

    angle = bend[place]
    whole = np.sin(angle)
    straight = whole == 0
    safe = np.where(straight, 1.0, whole)
    near = np.where(straight, 1 - share, np.sin((1 - share) * angle) / safe)
    far = np.where(straight, share, np.sin(share * angle) / safe)
    found: Array = near[..., None] * tangent[place] + far[..., None] * tangent[place + 1]
    return found


def _inclination(tangent: Array) -> Array:
    import numpy as np

    found: Array = np.arctan2(np.hypot(tangent[..., 0], tangent[..., 1]), tangent[..., 2])
    return found


def _knots(md: Array, inc: Array, tangent: Array, bend: Array) -> tuple[Array, Array]:
    """Depths and inclinations of the stations and of the turning points of arcs."""
    import numpy as np

    first, last = tangent[:-1, 2], tangent[1:, 2]
    angle = np.arctan2(last - first * np.cos(bend), first * np.sin(bend)) % np.pi
    bent = np.flatnonzero((bend > 0) & (angle > 0) & (angle < bend))
    share = angle[bent] / bend[bent]
    turn_m = md[bent] + np.diff(md)[bent] * share
    turn_rad = _inclination(_between(tangent, bend, bent, share))
    depths, tilts = np.concatenate((md, turn_m)), np.concatenate((inc, turn_rad))
    order = np.argsort(depths, kind="stable")
    return depths[order], tilts[order]
