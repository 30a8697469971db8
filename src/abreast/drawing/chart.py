"""Axes for charts on a sheet: figures in the job's units on both sides, true to their ticks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from abreast.drawing.ruler import tick_step
from abreast.drawing.scene import Item, Layer, Line, Rect, Text

__all__ = ["Axes", "Axis"]

_ROOM_MM, _TICK_MM = 9.0, 1.2


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
    """A chart: its box on paper [mm], ``x`` to the right, ``y`` from top to bottom."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    x: Axis
    y: Axis
    size_mm: float = 2.3

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a pair of values lies on paper [mm]."""
        across = (x - self.x.start) / ((self.x.end - self.x.start) or 1.0)
        down = (y - self.y.start) / ((self.y.end - self.y.start) or 1.0)
        return self.left_mm + across * self.width_mm, self.top_mm + down * self.height_mm

    def frame(self) -> Iterator[Item]:
        """Grid, ticks with figures, titles, and the border."""
        yield from self._across()
        yield from self._down()
        yield Rect(self.left_mm, self.top_mm, self.width_mm, self.height_mm, "ruler", "none", 0.3)

    def _across(self) -> Iterator[Item]:
        bottom = self.top_mm + self.height_mm
        for value in self.x.ticks(self.width_mm, _ROOM_MM * self.size_mm / 2):
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
