"""Labels moved apart as little as can be, exactly and without trial."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

from abreast.errors import InputError

__all__ = ["isotonic", "spread"]


def isotonic(values: Sequence[float]) -> list[float]:
    """The rising sequence nearest to the values in least squares.

    Notes
    -----
    Pool-adjacent-violators: neighbours that fall are replaced by their mean
    until nothing falls (Ayer, Brunk, Ewing, Reid and Silverman, Annals of
    Mathematical Statistics 26, 1955; cited from memory). One pass, O(n).

    Examples
    --------
    >>> isotonic([1.0, 4.0, 2.0, 6.0])
    [1.0, 3.0, 3.0, 6.0]
    """
    blocks: list[tuple[float, int]] = []
    for value in values:
        total, count = value, 1
        while blocks and blocks[-1][0] * count >= total * blocks[-1][1]:
            other, others = blocks.pop()
            total, count = total + other, count + others
        blocks.append((total, count))
    return [total / count for total, count in blocks for _ in range(count)]


def spread(
    wanted_mm: Sequence[float], heights_mm: Sequence[float], low_mm: float, high_mm: float
) -> list[float]:
    """Middles of labels that do not overlap, in the order given, nearest to where they are wanted.

    Parameters
    ----------
    wanted_mm : sequence of float
        Where the middle of each label should be.
    heights_mm : sequence of float
        Height of each label, gaps included.
    low_mm, high_mm : float
        Between these all labels must lie.

    Returns
    -------
    list of float
        The middles: the least sum of squared moves of all placings that keep
        the order, the gaps and the ends. Exact: less the room below each label
        it is isotonic regression with bounds, and that is the free one, clipped.

    Raises
    ------
    InputError
        If the labels do not fit at all.
    """
    if not wanted_mm:
        return []
    room, need = high_mm - low_mm, sum(heights_mm)
    if need > room + 1e-9:
        message = f"{len(wanted_mm)} labels need {need:.0f} mm of paper, there are {room:.0f} mm"
        raise InputError(message, code="labels-do-not-fit")
    steps = ((one + other) / 2 for one, other in pairwise(heights_mm))
    below = list(accumulate(steps, initial=heights_mm[0] / 2))
    free = isotonic([want - gap for want, gap in zip(wanted_mm, below, strict=True)])
    most = max(low_mm, low_mm + room - need)
    return [min(max(value, low_mm), most) + gap for value, gap in zip(free, below, strict=True)]
