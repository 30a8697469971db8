"""What a landing looks like: the plate, the working window, and where the bypass top stands."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.scene import Item, Line, Rect
from abreast.drawing.view import View
from abreast.model import LandingState

__all__ = ["PLATE_MM", "face_dimension", "landings", "lane_mm"]

PLATE_MM = 9.0
"""How far a plate reaches to each side of the ESP axis, on A4."""


def landings(view: View) -> Iterator[Item]:
    """Plate, window and bypass top of every landing; windows in two lanes, so they never touch."""
    for number, landing in enumerate(view.assembly.landings):
        x_mm = lane_mm(view, number)
        yield from _plate(view, landing, x_mm)
        yield from _window(view, landing, x_mm)


def lane_mm(view: View, number: int) -> float:
    """Where the window of a landing is drawn: neighbours take turns on two lanes."""
    return view.sheet.windows_mm + view.mm(2.4) * (number % 2)


def _plate(view: View, landing: LandingState, x_mm: float) -> Iterator[Item]:
    y_mm, reach = view.y(landing.neck_m), view.mm(PLATE_MM)
    left, right = view.sheet.esp_mm - reach, view.sheet.esp_mm + reach
    yield Line(left, y_mm, right, y_mm, "landing", view.mm(0.5))
    dash = (view.mm(0.8), view.mm(0.6))
    yield Line(right, y_mm, x_mm, y_mm, "landing", view.mm(0.2), dash)


def _window(view: View, landing: LandingState, x_mm: float) -> Iterator[Item]:
    low, high = (view.y(landing.neck_m + end) for end in landing.window_m)
    yield Line(x_mm, view.y(landing.neck_m), x_mm, low, "landing", view.mm(0.2))
    tick = view.mm(0.9)
    yield Line(x_mm, low, x_mm, high, "landing", view.mm(0.7))
    for y_mm in (low, high):
        yield Line(x_mm - tick, y_mm, x_mm + tick, y_mm, "landing", view.mm(0.3))
    side, top = view.mm(0.8), view.y(landing.bypass_top_m)
    yield Line(view.sheet.bypass_mm, top, x_mm, top, "landing", view.mm(0.2))
    yield Rect(x_mm - side, top - side, 2 * side, 2 * side, "landing", "black", 0.0)


def face_dimension(view: View) -> Iterator[Item]:
    """The distance to be taped before the Y-tool is made up: bypass top to ESP leg face."""
    if view.assembly.union is None:
        return
    x_mm = (view.sheet.esp_mm + view.sheet.bypass_mm) / 2 + view.mm(1.5)
    low, high = view.y(view.assembly.union.bottom_m), view.y(view.assembly.esp_leg_m)
    yield Line(x_mm, low, x_mm, high, "landing", view.mm(0.25))
    for y_mm in (low, high):
        yield Line(x_mm - view.mm(1.2), y_mm, x_mm + view.mm(1.2), y_mm, "landing", view.mm(0.3))
