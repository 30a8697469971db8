"""No more detail than paper can show: curves and bars thinned so that nothing visible is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from abreast.drawing.scene import Point

__all__ = ["Bar", "tallest", "thinned"]

Bar = tuple[float, float, float]
"""Where a bar begins and ends along its axis, and its value."""


def thinned(
    points: Sequence[Point], within_mm: float, at: Callable[[float, float], Point] | None = None
) -> list[Point]:
    """A curve without the points that lie nearer than a pen's width to the one kept before.

    Parameters
    ----------
    points : sequence of pairs
        The curve.
    within_mm : float
        A point this near to the last one kept is left out [mm].
    at : callable, optional
        From a pair to its place on paper; without it the pairs are places on paper.

    Returns
    -------
    list of pairs
        First and last stay. Every point left out lies within ``within_mm`` of one that is kept.

    Examples
    --------
    >>> thinned([(0.0, 0.0), (0.01, 0.0), (0.02, 5.0), (1.0, 0.0)], 0.1)
    [(0.0, 0.0), (0.02, 5.0), (1.0, 0.0)]
    """
    kept: list[Point] = []
    last: Point | None = None
    for one in points:
        x, y = one if at is None else at(*one)
        if last is None or (x - last[0]) ** 2 + (y - last[1]) ** 2 > within_mm**2:
            kept.append(one)
            last = x, y
    if kept and kept[-1] != points[-1]:
        kept.append(points[-1])
    return kept


def tallest(bars: Iterable[Bar], width: float) -> list[Bar]:
    """Neighbouring bars joined until they are a pen's width wide, each as tall as its tallest.

    Parameters
    ----------
    bars : iterable of (start, end, value)
        In order along their axis, each beginning where the one before ends or later.
    width : float
        A pen's width, in the unit of the axis.

    Returns
    -------
    list of (start, end, value)
        None that was as wide as the pen is joined to another; the greatest value stays.

    Examples
    --------
    >>> tallest([(0, 1, 3), (1, 2, 7), (2, 3, 1), (3, 9, 2)], 2)
    [(0, 2, 7), (2, 3, 1), (3, 9, 2)]
    """
    joined: list[Bar] = []
    for start, end, value in bars:
        if joined and end - joined[-1][0] <= width:
            first, _, most = joined[-1]
            joined[-1] = first, end, max(most, value)
        else:
            joined.append((start, end, value))
    return joined
