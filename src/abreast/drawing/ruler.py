"""The one ruler of the sheet: true heights on its left, true depths on its right."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from abreast.drawing.body import break_mark
from abreast.drawing.canvas import Canvas
from abreast.drawing.fonts import width_mm
from abreast.drawing.scene import Anchor, Item, Line, Text
from abreast.drawing.view import View
from abreast.units import Dimension, to_si, to_unit

__all__ = ["depth_ruler", "ruler", "ruler_heading", "tick_step"]

_SIZE_MM, _ROOM_MM = 2.5, 11.0


def tick_step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below ``least``.

    Examples
    --------
    >>> tick_step(0.3), tick_step(7.1), tick_step(20.0)
    (0.5, 10.0, 20.0)
    """
    power = 1.0
    while power > least:
        power /= 10
    while power * 10 <= least:
        power *= 10
    return next(power * step for step in (1, 2, 5, 10) if power * step >= least * (1 - 1e-9))


def ruler(view: View) -> Iterator[Item]:
    """The ruler with its ticks; the tail's end is told even where the tail is broken."""
    x_mm, sheet = view.sheet.ruler_mm, view.sheet
    low_m, top_m = _to_scale_m(view)
    yield Line(x_mm, view.y(top_m), x_mm, view.y(low_m), "ruler", view.mm(0.35))
    for height_m in _rounds_m(view, 0.0, up=True):
        y_mm = view.y(height_m)
        yield from _tick(view, y_mm, _whole(view, height_m), -1)
        yield Line(sheet.left_mm[0], y_mm, sheet.right_mm[1], y_mm, "grid", view.mm(0.1))
    if view.depth_of_zero_m is not None:
        for height_m in _rounds_m(view, view.depth_of_zero_m, up=False):
            text = _whole(view, view.depth_of_zero_m - height_m)
            yield from _tick(view, view.y(height_m), text, 1)
    yield from _minor(view)
    yield from _tail_end(view)


def ruler_heading(view: View) -> Iterator[Item]:
    """What the figures left and right of the ruler are."""
    size, x_mm, y_mm = view.mm(2.3), view.sheet.ruler_mm, view.sheet.top_mm - view.mm(1.6)
    yield Text(x_mm - view.mm(1.5), y_mm, f"z [{view.unit}]", size, "ruler", "end", bold=True)
    if view.depth_of_zero_m is not None:
        yield Text(x_mm + view.mm(1.5), y_mm, f"MD [{view.unit}]", size, "ruler", bold=True)


def depth_ruler(view: Canvas) -> Iterator[Item]:
    """A ruler of depths alone, on a sheet whose heights are depths turned over."""
    x_mm, (low_m, top_m) = view.sheet.ruler_mm, _to_scale_m(view)
    yield Line(x_mm, view.y(top_m), x_mm, view.y(low_m), "ruler", view.mm(0.35))
    for height_m in _rounds_m(view, 0.0, up=False):
        y_mm = view.y(height_m)
        yield from _tick(view, y_mm, _whole(view, -height_m), -1)
        yield Line(view.sheet.left_mm[0], y_mm, view.sheet.right_mm[1], y_mm, "grid", view.mm(0.1))
    for height_m in _rounds_m(view, 0.0, up=False, room_mm=1.8):
        y_mm = view.y(height_m)
        yield Line(x_mm - view.mm(1.1), y_mm, x_mm, y_mm, "ruler", view.mm(0.15))


def _to_scale_m(view: Canvas) -> tuple[float, float]:
    broken = view.heights.broken_m
    low_m = view.heights.heights_m[0] if broken is None else broken
    return low_m, view.heights.heights_m[-1]


def _rounds_m(view: Canvas, zero_m: float, *, up: bool, room_mm: float = 9.0) -> list[float]:
    """Heights of round numbers, counted up or down from ``zero_m``, at least so far apart."""
    low_m, top_m = _to_scale_m(view)
    ends = sorted((low_m, top_m)) if up else sorted((zero_m - top_m, zero_m - low_m))
    first, last = (to_unit(end, view.unit, Dimension.LENGTH) for end in ends)
    step = tick_step(
        to_unit(view.mm(room_mm) * view.heights.scale / 1000, view.unit, Dimension.LENGTH)
    )
    counts = range(ceil(first / step - 1e-9), floor(last / step + 1e-9) + 1)
    found = [to_si(count * step, view.unit, Dimension.LENGTH) for count in counts]
    return found if up else [zero_m - one for one in found]


def _whole(view: Canvas, length_m: float) -> str:
    value = to_unit(length_m, view.unit, Dimension.LENGTH)
    commas = "," if view.system == "oilfield" else ""
    digits = 0 if abs(value - round(value)) < 1e-6 else 1
    text = f"{value:{commas}.{digits}f}"
    return "0" if text == "-0" else text


def _tick(view: Canvas, y_mm: float, text: str, side: int) -> Iterator[Item]:
    """A long tick with its figure, left of the ruler (-1) or right of it (1)."""
    x_mm = view.sheet.ruler_mm
    yield Line(x_mm, y_mm, x_mm + side * view.mm(2), y_mm, "ruler", view.mm(0.3))
    size = min(view.mm(_SIZE_MM), view.mm(_ROOM_MM) / max(width_mm(text, 1.0), 1e-9))
    anchor: Anchor = "end" if side < 0 else "start"
    yield Text(x_mm + side * view.mm(2.6), y_mm + 0.35 * size, text, size, "ruler", anchor)


def _minor(view: View) -> Iterator[Item]:
    x_mm = view.sheet.ruler_mm
    for height_m in _rounds_m(view, 0.0, up=True, room_mm=1.8):
        y_mm = view.y(height_m)
        yield Line(x_mm - view.mm(1.1), y_mm, x_mm, y_mm, "ruler", view.mm(0.15))
    if view.depth_of_zero_m is not None:
        for height_m in _rounds_m(view, view.depth_of_zero_m, up=False, room_mm=1.8):
            y_mm = view.y(height_m)
            yield Line(x_mm, y_mm, x_mm + view.mm(1.1), y_mm, "ruler", view.mm(0.15))


def _tail_end(view: View) -> Iterator[Item]:
    """Where the tail is broken: the ruler is broken too, and its true end is written."""
    if view.heights.broken_m is None:
        return
    x_mm, end_m = view.sheet.ruler_mm, view.heights.heights_m[0]
    foot, end = view.y(view.heights.broken_m), view.y(end_m)
    yield Line(x_mm, foot, x_mm, end, "ruler", view.mm(0.35), (view.mm(1), view.mm(1)))
    yield from break_mark(view, x_mm, foot + view.mm(1.6), view.mm(2.4))
    yield from _tick(view, end, view.length(end_m), -1)
    yield from _tick(view, end, view.depth(end_m), 1)
