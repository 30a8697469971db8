"""The smallest circle that encloses given discs: exact, by the one to three that decide it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations
from math import hypot, isfinite
from typing import NamedTuple

from abreast.formulas.guard import finite, not_negative, require

__all__ = ["Disc", "Enclosing", "Triplet", "enclosing_circle"]

Triplet = tuple[float, float, float]
"""Centre x, centre y and radius of a round outline [m]; a :class:`Disc` is one."""
_ROUNDING = 1e-12
"""Share of the whole size that rounding may leave a disc outside."""


class Disc(NamedTuple):
    """A round outline: its centre and its radius [m]; radius 0 is a point."""

    x_m: float
    y_m: float
    radius_m: float


class Enclosing(NamedTuple):
    """The smallest enclosing circle.

    ``deciding`` are the positions, in the list given, of the one to three discs
    that touch the circle and fix it; taking any other disc away changes nothing.
    """

    x_m: float
    y_m: float
    radius_m: float
    deciding: tuple[int, ...]

    @property
    def diameter_m(self) -> float:
        """Its diameter [m]: the smallest bore that lets the discs pass side by side."""
        return 2 * self.radius_m


def enclosing_circle(discs: Sequence[Triplet]) -> Enclosing:
    r"""The smallest circle round discs at given places; it encloses their hull too.

    Parameters
    ----------
    discs : sequence of Disc or of (x, y, radius)
        At least one [m]. They may touch, overlap, contain one another or be
        equal. A polygon is its corners with radius 0, a rectangle with round
        corners the four discs of its corner arcs.

    Returns
    -------
    Enclosing
        Centre and radius [m], and which discs decide.

    Raises
    ------
    InputError
        ``out-of-range``: no disc, a number that is not finite, a negative radius.

    Notes
    -----
    The circle is unique and is fixed by one, two or three discs. From the
    largest disc on, the disc that sticks out most is added to those that decide,
    and the smallest circle over their subsets is taken; the radius grows each
    time, so it ends. A pair gives :math:`R = (d + r_1 + r_2)/2`. Three discs
    give :math:`|p - c_i| = R - r_i`; differences of pairs make :math:`p` linear
    in :math:`R`, put back they make a quadratic. The circle that touches three
    discs need not be the smallest one round them.

    Examples
    --------
    Radii 1, 2, 3 on a 3-4-5 triangle touch one another. The circle that touches
    all three has radius 6, but a smaller one goes round them:

    >>> enclosing_circle([(0, 0, 1), (3, 0, 2), (0, 4, 3)]).radius_m
    5.0
    """
    _refuse(discs)
    x0, y0, _ = discs[0]
    near = [(x - x0, y - y0, r) for x, y, r in discs]  # far from the origin digits are lost
    circle, deciding = _grow(near)
    return Enclosing(circle[0] + x0, circle[1] + y0, circle[2], tuple(sorted(deciding)))


def _refuse(discs: Sequence[Triplet]) -> None:
    require(len(discs) > 0, "discs", "give at least one disc")
    if all(isfinite(x) and isfinite(y) and 0 <= r < math.inf for x, y, r in discs):
        return
    for place, (x, y, r) in enumerate(discs, 1):
        finite(f"discs.{place}.x_m", x)
        finite(f"discs.{place}.y_m", y)
        not_negative(f"discs.{place}.radius_m", r)


def _grow(discs: Sequence[Triplet]) -> tuple[Triplet, tuple[int, ...]]:
    """From the largest disc on; the radius that comes out takes all discs at its centre."""
    slack = _ROUNDING * max(abs(x) + abs(y) + r for x, y, r in discs)
    first = max(range(len(discs)), key=lambda i: discs[i][2])
    best: Triplet = discs[first]
    deciding: tuple[int, ...] = (first,)
    while True:
        far, reach = _farthest(best, discs)
        if reach - best[2] <= slack or far in deciding:
            return (best[0], best[1], reach), deciding
        found, names = _least(discs, (*deciding, far), _WITH_LAST[len(deciding)], slack)
        if found[2] <= best[2]:  # rounding has eaten the growth
            every = tuple(range(len(discs)))
            subsets = (names for size in (1, 2, 3) for names in combinations(every, size))
            best, deciding = _least(discs, every, subsets, slack)
            return (best[0], best[1], _farthest(best, discs)[1]), deciding
        best, deciding = found, names


def _farthest(circle: Triplet, discs: Sequence[Triplet]) -> tuple[int, float]:
    """The disc that reaches farthest from the centre of a circle, and how far."""
    x0, y0, _ = circle
    reach = [hypot(x - x0, y - y0) + r for x, y, r in discs]
    most = max(reach)
    return reach.index(most), most


_WITH_LAST = {
    old: tuple((*some, old) for size in (0, 1, 2) for some in combinations(range(old), size))
    for old in (1, 2, 3)
}
"""The subsets of at most three that hold the last one, fewest first, by the number before it."""


def _least(
    discs: Sequence[Triplet],
    among: tuple[int, ...],
    subsets: Iterable[tuple[int, ...]],
    slack: float,
) -> tuple[Triplet, tuple[int, ...]]:
    """The smallest circle round some discs, of those that subsets of them fix.

    Circles are compared by what they need to take all, so that rounding can't
    let a right one fall out.
    """
    kept = [discs[i] for i in among]
    best, least, names = kept[0], math.inf, among[:1]
    for subset in subsets:
        circle = _through(kept, subset)
        if circle is None:
            continue
        reach = _farthest(circle, kept)[1]
        if reach < least:
            best, least, names = circle, reach, tuple(among[i] for i in subset)
        if len(subset) < 3 and reach - circle[2] <= slack:
            break  # one or two that take all are the answer
    return best, names


def _through(discs: Sequence[Triplet], names: tuple[int, ...]) -> Triplet | None:
    """The smallest circle that one, two or three discs touch from within; None: there is none."""
    if len(names) == 1:
        return discs[names[0]]
    if len(names) == 2:
        return _pair(discs[names[0]], discs[names[1]])
    return _triple(discs[names[0]], discs[names[1]], discs[names[2]])


def _pair(a: Triplet, b: Triplet) -> Triplet | None:
    dx, dy = b[0] - a[0], b[1] - a[1]
    apart = hypot(dx, dy)
    if apart <= abs(a[2] - b[2]):  # one holds the other
        return None
    radius = (apart + a[2] + b[2]) / 2
    along = (radius - a[2]) / apart
    return a[0] + along * dx, a[1] + along * dy, radius


def _triple(a: Triplet, b: Triplet, c: Triplet) -> Triplet | None:
    """With ``a`` as origin and s = R - r_a: p = u + v s and |p| = s."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    det = bx * cy - by * cx
    if det == 0:  # centres in a line: two of the discs decide
        return None
    b_more, c_more = b[2] - a[2], c[2] - a[2]
    b_half = (bx * bx + by * by - b_more * b_more) / 2
    c_half = (cx * cx + cy * cy - c_more * c_more) / 2
    ux, uy = (b_half * cy - c_half * by) / det, (c_half * bx - b_half * cx) / det
    vx, vy = (b_more * cy - c_more * by) / det, (c_more * bx - b_more * cx) / det
    least = max(0.0, b_more, c_more)
    s = _root(vx * vx + vy * vy - 1, ux * vx + uy * vy, ux * ux + uy * uy, least)
    return None if s is None else (a[0] + ux + vx * s, a[1] + uy + vy * s, a[2] + s)


def _root(a: float, b: float, c: float, least: float) -> float | None:
    """The smallest root of a s^2 + 2 b s + c = 0 that is not below ``least``."""
    inner = b * b - a * c
    if not 0 <= inner < math.inf:
        return None
    q = -(b + math.copysign(math.sqrt(inner), b))
    roots = [root for root in (q / a if a else -1.0, c / q if q else -1.0) if root >= least]
    return min(roots, default=None)
