"""Hidden lines: what of a straight line is left when later shapes are laid over it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from abreast.drawing.scene import Box, Item, Point, Rect

__all__ = ["Segment", "covers", "visible"]

Segment = tuple[Point, Point]
_EDGE_MM = 1e-6


def covers(items: Sequence[Item]) -> list[list[Box]]:
    """For each item, the boxes of all that is laid over it and can't be seen through."""
    found: list[list[Box]] = []
    above: list[Box] = []
    for item in reversed(items):
        left, top, right, bottom = item.box_mm
        found.append(
            [b for b in above if b[0] <= right and b[2] >= left and b[1] <= bottom and b[3] >= top]
        )
        if isinstance(item, Rect) and item.fill != "none":
            above.append(item.box_mm)
    return found[::-1]


def visible(segment: Segment, boxes: Iterable[Box]) -> list[Segment]:
    """The parts of a segment that lie within none of the boxes; their edges hide nothing.

    Notes
    -----
    Each box takes away one stretch of the parameter along the segment, by the
    slabs of its sides (Liang and Barsky, 1984; cited from memory).
    """
    (x1, y1), (x2, y2) = segment
    hidden = []
    for left, top, right, bottom in boxes:
        across = _inside(x1, x2 - x1, left, right)
        along = _inside(y1, y2 - y1, top, bottom)
        first, last = max(across[0], along[0], 0.0), min(across[1], along[1], 1.0)
        if first < last:
            hidden.append((first, last))
    return [
        ((x1 + a * (x2 - x1), y1 + a * (y2 - y1)), (x1 + b * (x2 - x1), y1 + b * (y2 - y1)))
        for a, b in _left_over(hidden)
    ]


def _inside(start: float, step: float, low: float, high: float) -> tuple[float, float]:
    """Where a coordinate is between two bounds, as a stretch of the parameter."""
    low, high = low + _EDGE_MM, high - _EDGE_MM
    if abs(step) < _EDGE_MM:
        return (0.0, 1.0) if low < start < high else (1.0, 0.0)
    one, other = (low - start) / step, (high - start) / step
    return min(one, other), max(one, other)


def _left_over(hidden: list[tuple[float, float]]) -> list[tuple[float, float]]:
    found, at = [], 0.0
    for first, last in sorted(hidden):
        if first > at:
            found.append((at, first))
        at = max(at, last)
    return [*found, (at, 1.0)] if at < 1.0 else found
