"""Where things lie on a step picture: its columns, and a height's place on the paper.

All sizes are millimetres of a picture 88 mm wide; a larger one is this one enlarged.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from abreast.model.procedure import Procedure

__all__ = ["FOOT_MM", "TYPE_MM", "Break", "Heights", "Layout", "layout_of"]

TYPE_MM = 2.2
BANNER_MM, HOIST_MM, UPPER_MM = 11.8, 13.4, 26.0
UPPER_HIGH_MM, FOOT_MM = 17.0, 3.4
_BREAK_MM, _ROW_MM, _END_MM = 5.0, 4.4, 6.0
_DRAWN_MM = 29.0
_BELOW_M, _LEAST_ABOVE_M, _SPARE_M = 0.35, 1.8, 0.2
_MOST_ABOVE_M, _MOST_PLATE_M = 2.2, 4.0
_SAME_M = 0.02
_END_M = 1.0


@dataclass(frozen=True, slots=True)
class Layout:
    """Columns and zones of a picture [mm]."""

    width_mm: float
    height_mm: float
    left_mm: tuple[float, float]
    """Labels of the ESP side."""
    right_mm: tuple[float, float]
    """Labels of the bypass side."""
    esp_mm: float
    bypass_mm: float
    window_mm: tuple[float, float]
    """Top and bottom of what is to scale."""
    window_m: tuple[float, float]
    """Lowest and highest height of what is to scale, above the floor."""
    end_mm: float
    """Where the drawing ends below."""
    scale: float

    @property
    def middle_mm(self) -> float:
        """Between both strings."""
        return (self.esp_mm + self.bypass_mm) / 2

    @property
    def drawn_mm(self) -> tuple[float, float]:
        """Left and right of the drawing."""
        return self.left_mm[1] + 1.0, self.right_mm[0] - 1.0


def layout_of(procedure: Procedure, elements: int, width_mm: float, height_mm: float) -> Layout:
    """The layout of all pictures of a procedure, so that the floor keeps its place in a film."""
    ruler, side = 5.6, (width_mm - _DRAWN_MM) / 2
    site = procedure.site
    windows = [one.window_m[1] for one in procedure.joints if one.window_m]
    above_m = max([_LEAST_ABOVE_M, site.reach_m[1], *windows])
    high_m = min(max(site.plate_m, 0.0), _MOST_PLATE_M) + min(above_m, _MOST_ABOVE_M) + _SPARE_M
    end = height_mm - FOOT_MM
    top = UPPER_MM + UPPER_HIGH_MM
    bottom = end - _END_MM - min(_ROW_MM * (elements + 1), 0.35 * (end - top))
    per_m = (bottom - top) / (high_m + _BELOW_M)
    scale = 5.0 * ceil(1000 / per_m / 5.0)
    low_m = -_BELOW_M
    return Layout(
        width_mm,
        height_mm,
        (ruler, side),
        (width_mm - side, width_mm - ruler),
        width_mm / 2 - 6.5,
        width_mm / 2 + 6.5,
        (top, bottom),
        (low_m, low_m + (bottom - top) * scale / 1000),
        end,
        scale,
    )


@dataclass(frozen=True, slots=True)
class Break:
    """A stretch of heights that is left out."""

    low_m: float
    high_m: float
    y_mm: float


class Heights:
    """Where a height lies: to scale near the working level, shortened above and below it.

    Parameters
    ----------
    layout : Layout
        The picture.
    events_m : iterable of float
        Heights above the floor that must be told apart above and below the window.
    """

    def __init__(self, layout: Layout, events_m: Iterable[float]) -> None:
        low_m, high_m = layout.window_m
        top, bottom = layout.window_mm
        self.breaks: list[Break] = []
        events = sorted(set(events_m))
        above = _apart([one for one in events if one > high_m + _SAME_M])
        below = _apart([-one for one in reversed(events) if one < low_m - _SAME_M])
        knots = [(low_m, bottom), (high_m, top)]
        knots += self._above(layout, [high_m, *above])
        self._end_m = low_m - _END_M if not below else -below[-1] - _END_M
        steps = [*below, -self._end_m]
        row = min(_ROW_MM, (layout.end_mm - bottom - 2.0) / len(steps))
        knots += [(-depth, bottom + row * (n + 1)) for n, depth in enumerate(steps[:-1])]
        knots.append((self._end_m, layout.end_mm - 0.6))
        knots.sort()
        self._at = [one[0] for one in knots]
        self._y = [one[1] for one in knots]

    def _above(self, layout: Layout, marks: Sequence[float]) -> list[tuple[float, float]]:
        per_m = 1000 / layout.scale
        sizes = [min((high - low) * per_m, _BREAK_MM) for low, high in pairwise(marks)]
        shrink = min(1.0, (UPPER_HIGH_MM - 3.0) / sum(sizes)) if sizes else 1.0
        y_mm, knots = layout.window_mm[0], []
        for (low, high), size in zip(pairwise(marks), sizes, strict=True):
            if (high - low) * per_m > size * shrink * 1.02:
                self.breaks.append(Break(low, high, y_mm - size * shrink / 2))
            y_mm -= size * shrink
            knots.append((high, y_mm))
        return knots

    @property
    def end_m(self) -> float:
        """Height below which nothing is drawn."""
        return self._end_m

    def y(self, at_m: float) -> float:
        """Place of a height above the floor [mm]; beyond the ends, the end."""
        at = min(max(bisect_right(self._at, at_m) - 1, 0), len(self._at) - 2)
        low, high = self._at[at], self._at[at + 1]
        share = min(max((at_m - low) / (high - low), 0.0), 1.0)
        return self._y[at] + share * (self._y[at + 1] - self._y[at])


def _apart(rising: Sequence[float]) -> list[float]:
    """Values of a rising row that can be told apart."""
    kept: list[float] = []
    for one in rising:
        if not kept or one - kept[-1] > _SAME_M:
            kept.append(one)
    return kept
