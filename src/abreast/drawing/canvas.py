"""A sheet in the making: where a height lies on it, and which stretch of heights it shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import inf, isinf

from abreast.drawing.scene import Item, Line, Rect, Text
from abreast.drawing.sheet import HeightMap, Sheet
from abreast.units import Dimension, System, display_unit, figure, show

__all__ = ["EVERYTHING", "Canvas", "Window", "clipped_items"]

Window = tuple[float, float]
"""Lowest and highest height that a sheet shows [m]."""
EVERYTHING: Window = (-inf, inf)
_SAME_M = 1e-6


@dataclass(frozen=True, kw_only=True)
class Canvas:
    """A sheet with a map of heights; heights outside the window are another sheet's."""

    sheet: Sheet
    heights: HeightMap
    system: System
    window_m: Window = EVERYTHING

    @property
    def unit(self) -> str:
        """The unit of lengths, heights and depths."""
        return display_unit(Dimension.LENGTH, self.system)

    def length(self, length_m: float) -> str:
        """A length or height without its unit."""
        return figure(length_m, Dimension.LENGTH, self.system)

    def across(self, size_m: float) -> str:
        """A size across the string with its unit, inches or millimetres."""
        return show(size_m, Dimension.LENGTH, self.system, small=True)

    def y(self, height_m: float) -> float:
        """Place of a height on paper [mm]."""
        return self.heights.y(height_m)

    def on_sheet(self, height_m: float) -> float:
        """Place of a height on paper, but at the edge of the drawing when it lies beyond [mm]."""
        return min(max(self.y(height_m), self.sheet.top_mm), self.sheet.bottom_mm)

    def mm(self, on_a4_mm: float) -> float:
        """A size on this sheet that has the given size on A4 [mm]."""
        return on_a4_mm * self.sheet.factor

    @property
    def span_mm(self) -> tuple[float, float]:
        """Top and bottom of the drawing on paper, where another sheet goes on or it ends."""
        low, high = self.window_m
        top = self.sheet.top_mm if isinf(high) else self.y(high)
        return top, self.sheet.bottom_mm if isinf(low) else self.y(low)

    def shows(self, bottom_m: float, top_m: float | None = None) -> bool:
        """Whether a height, or any part of a stretch of heights, is on this sheet."""
        low, high = self.window_m
        if top_m is None or top_m <= bottom_m:
            return low <= bottom_m < high
        return bottom_m < high - _SAME_M and top_m > low + _SAME_M

    def shown_m(self, bottom_m: float, top_m: float) -> Window:
        """What this sheet shows of a stretch of heights."""
        low, high = self.window_m
        return max(bottom_m, low), min(top_m, high)

    def middle_m(self, bottom_m: float, top_m: float) -> float:
        """Middle of what this sheet shows of a stretch of heights."""
        return sum(self.shown_m(bottom_m, top_m)) / 2


def clipped_items(items: Iterable[Item], top_mm: float, bottom_mm: float) -> Iterator[Item]:
    """What lies between two heights of the paper; shapes that cross them are cut there."""
    for item in items:
        _, top, _, bottom = item.box_mm
        if top >= top_mm and bottom <= bottom_mm:
            yield item
        elif bottom < top_mm or top > bottom_mm or isinstance(item, Text):
            continue
        elif isinstance(item, Rect):
            y_mm = max(top, top_mm)
            yield replace(item, y_mm=y_mm, height_mm=min(bottom, bottom_mm) - y_mm)
        elif isinstance(item, Line):
            yield _cut(item, top_mm, bottom_mm)


def _cut(line: Line, top_mm: float, bottom_mm: float) -> Line:
    """The part of a line between two heights of the paper; it does cross there."""
    high = line.y2_mm - line.y1_mm
    ends = sorted(((top_mm - line.y1_mm) / high, (bottom_mm - line.y1_mm) / high))
    first, last = max(0.0, ends[0]), min(1.0, ends[1])
    wide = line.x2_mm - line.x1_mm
    return replace(
        line,
        x1_mm=line.x1_mm + first * wide,
        y1_mm=line.y1_mm + first * high,
        x2_mm=line.x1_mm + last * wide,
        y2_mm=line.y1_mm + last * high,
    )
