"""Axes for charts on a sheet: figures in the job's units on both sides, true to their ticks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from abreast.drawing.fonts import width_mm
from abreast.drawing.ruler import tick_step
from abreast.drawing.scene import Fill, Item, Layer, Line, Outline, Rect, Text

__all__ = ["Axes", "Axis"]

_ROOM_MM, _TICK_MM = 9.0, 1.2
_DASH_MM = 2.0, 1.2
_THIN_MM, _LEAST_MM = 1.0, 0.3


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: values at its two ends, in the unit that is printed, and its title."""

    start: float
    end: float
    title: str

    def ticks(self, length_mm: float, room_mm: float) -> tuple[float, ...]:
        """Round values along it, at least ``room_mm`` apart."""
        span = abs(self.end - self.start)
        if not span:
            return (self.start,)
        step = tick_step(span * room_mm / length_mm)
        low, high = sorted((self.start, self.end))
        first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
        return tuple(number * step for number in range(first, last + 1))


@dataclass(frozen=True, slots=True)
class Axes:
    """A chart: its box on paper [mm], ``x`` to the right, ``y`` from top to bottom.

    Figures across stand at least ``room_mm`` apart, for words of 2 mm.
    """

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    x: Axis
    y: Axis
    size_mm: float = 2.3
    room_mm: float = _ROOM_MM

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a pair of values lies on paper [mm]."""
        across = (x - self.x.start) / ((self.x.end - self.x.start) or 1.0)
        down = (y - self.y.start) / ((self.y.end - self.y.start) or 1.0)
        return self.left_mm + across * self.width_mm, self.top_mm + down * self.height_mm

    def frame(self, *, figures_down: bool = True) -> Iterator[Item]:
        """Grid, ticks with figures, titles, and the border.

        Without ``figures_down`` there are none beside ``y``: a track next to one that has them.
        """
        yield from self._across()
        down = self._down()
        yield from down if figures_down else (one for one in down if not isinstance(one, Text))
        yield Rect(self.left_mm, self.top_mm, self.width_mm, self.height_mm, "ruler", "none", 0.3)

    def _across(self) -> Iterator[Item]:
        bottom = self.top_mm + self.height_mm
        for value in self.x.ticks(self.width_mm, self.room_mm * self.size_mm / 2):
            x_mm, _ = self.at(value, self.y.start)
            yield Line(x_mm, self.top_mm, x_mm, bottom, "grid", 0.1)
            yield Line(x_mm, bottom, x_mm, bottom + _TICK_MM, "ruler", 0.2)
            y_mm = bottom + _TICK_MM + self.size_mm
            yield Text(x_mm, y_mm, f"{value:g}", self.size_mm, "ruler", "middle")
        middle, y_mm = self.left_mm + self.width_mm / 2, bottom + _TICK_MM + 2.5 * self.size_mm
        yield Text(middle, y_mm, self.x.title, self.size_mm, "ruler", "middle", bold=True)

    def _down(self) -> Iterator[Item]:
        right = self.left_mm + self.width_mm
        for value in self.y.ticks(self.height_mm, 2.5 * self.size_mm):
            _, y_mm = self.at(self.x.start, value)
            yield Line(self.left_mm, y_mm, right, y_mm, "grid", 0.1)
            yield Line(self.left_mm - _TICK_MM, y_mm, self.left_mm, y_mm, "ruler", 0.2)
            x_mm = self.left_mm - _TICK_MM - 0.5
            yield Text(x_mm, y_mm + 0.35 * self.size_mm, f"{value:g}", self.size_mm, "ruler", "end")
        title_mm = self.top_mm - 0.8 * self.size_mm
        yield Text(self.left_mm, title_mm, self.y.title, self.size_mm, "ruler", bold=True)

    def curve(
        self, points: Sequence[tuple[float, float]], layer: Layer = "casing", width_mm: float = 0.45
    ) -> Iterator[Item]:
        """A line through points."""
        placed = [self.at(x, y) for x, y in points]
        for (x1, y1), (x2, y2) in pairwise(placed):
            yield Line(x1, y1, x2, y2, layer, width_mm)

    def band(
        self,
        low: Sequence[tuple[float, float]],
        high: Sequence[tuple[float, float]],
        layer: Layer = "casing",
        fill: Fill = "light",
    ) -> Iterator[Item]:
        """What lies between two curves; nothing where there are less than two points."""
        if len(low) > 1 and len(high) > 1:
            points = tuple(self.at(*one) for one in (*low, *reversed(high)))
            yield Outline(points, layer, fill, 0.0)

    def bar(
        self,
        x: tuple[float, float],
        y: tuple[float, float],
        layer: Layer = "casing",
        fill: Fill = "grey",
        line_mm: float = 0.1,
    ) -> Iterator[Item]:
        """A bar over a span of each axis, cut off at the border; thin ones stay visible.

        One thinner than 1 mm has lines at its two ends only, the thinnest none: outlines of
        thin bars side by side would run together to black.
        """
        left, right = sorted(_inside(value, self.x) for value in x)
        high, low = sorted((_inside(value, self.y) for value in y), key=lambda v: self.at(0, v)[1])
        (x1, y1), (x2, y2) = self.at(left, high), self.at(right, low)
        wide, tall = max(abs(x2 - x1), 0.05), max(y2 - y1, 0.05)
        is_thin = tall < _THIN_MM
        yield Rect(min(x1, x2), y1, wide, tall, layer, fill, 0.0 if is_thin else line_mm)
        if _LEAST_MM < tall < _THIN_MM:
            for x_mm in (min(x1, x2), min(x1, x2) + wide):
                yield Line(x_mm, y1, x_mm, y1 + tall, layer, line_mm)

    def level(self, value: float, words: str = "", width_mm: float = 0.4) -> Iterator[Item]:
        """A dashed limit across the chart at a value of ``y``, its name on it at the right."""
        x1, y_mm = self.at(self.x.start, value)
        x2, _ = self.at(self.x.end, value)
        yield Line(x1, y_mm, x2, y_mm, "limit", width_mm, _DASH_MM)
        if words:
            yield from self.tag(x2 - 0.4 * self.size_mm, y_mm - 0.35 * self.size_mm, words)

    def upright(self, value: float, width_mm: float = 0.4) -> Iterator[Item]:
        """A dashed limit down the chart at a value of ``x``."""
        x_mm, y1 = self.at(value, self.y.start)
        _, y2 = self.at(value, self.y.end)
        yield Line(x_mm, y1, x_mm, y2, "limit", width_mm, _DASH_MM)

    def tag(self, right_mm: float, y_mm: float, words: str) -> Iterator[Item]:
        """Words on white that end at a place, so that no curve behind them crosses them."""
        size = self.size_mm
        wide = width_mm(words, size, bold=True)
        box = (right_mm - wide - 0.14 * size, y_mm - 0.8 * size, wide + 0.28 * size, 1.05 * size)
        yield Rect(*box, "limit", "white", 0.0)
        yield Text(right_mm - wide, y_mm, words, size, "limit", bold=True)


def _inside(value: float, axis: Axis) -> float:
    """The value, or the end of the axis beyond which it lies."""
    low, high = sorted((axis.start, axis.end))
    return min(max(value, low), high)
