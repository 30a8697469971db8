"""Plan view of a step picture: looking down, clockwise positive, with the bypass line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from abreast.drawing.floor_view import FloorView
from abreast.drawing.scene import Circle, Item, Line, Outline, Rect, Text

__all__ = ["PLAN_MM", "plan_items"]

PLAN_MM = 29.0
"""Height of the plan view."""
_ROUND_MM, _TYPE = 8.6, 2.2


def plan_items(view: FloorView) -> Iterator[Item]:
    """The plan in the lower left corner; sizes are not to scale, angles are true."""
    left, right = 0.8, view.layout.left_mm[1]
    bottom, top = view.layout.end_mm - 0.4, view.layout.end_mm - PLAN_MM
    yield Rect(left, top, right - left, bottom - top, "frame", "white", 0.25)
    x_mm = (left + right) / 2
    yield Text(x_mm, top + 2.5, "LOOKING DOWN", _TYPE, "label", "middle", bold=True)
    middle = (x_mm - 1.0, top + 13.0)
    yield from _circles(view, middle)
    yield from _axis(middle)
    yield from _pothead(view, middle)
    words = _words(view)
    yield Text(x_mm, bottom - 0.9, words, _TYPE, "label", "middle")


def _esp_mm(middle: tuple[float, float]) -> tuple[float, float]:
    return middle[0] - 3.0, middle[1]


def _circles(view: FloorView, middle: tuple[float, float]) -> Iterator[Item]:
    x_mm, y_mm = middle
    yield Circle(x_mm, y_mm, _ROUND_MM, "limit", "none", 0.4)
    strings = {view.pieces[one].string for one in view.after.offsets}
    here: tuple[float, ...] = () if "esp" in strings else (0.8, 0.6)
    yield Circle(*_esp_mm(middle), 4.4, "esp", "light" if not here else "none", 0.35, here)
    here = () if strings & {"bypass", "tail", "union"} else (0.8, 0.6)
    yield Circle(x_mm + 5.2, y_mm, 2.4, "bypass", "white", 0.35, here)


def _axis(middle: tuple[float, float]) -> Iterator[Item]:
    """The bypass line, 0°, and 90° clockwise of it: down the page, as one looks down."""
    x_mm, y_mm = middle
    ex, _ = _esp_mm(middle)
    dash = (2.0, 0.6, 0.4, 0.6)
    yield Line(ex, y_mm, x_mm + _ROUND_MM + 1.0, y_mm, "limit", 0.2, dash)
    yield Text(x_mm + _ROUND_MM + 1.3, y_mm + 0.8, "0°", _TYPE, "limit")
    yield Line(ex, y_mm, ex, y_mm + _ROUND_MM + 0.2, "limit", 0.12, dash)
    yield Text(ex - 0.6, y_mm + _ROUND_MM + 2.0, "90°", _TYPE, "limit", "end")
    radius, points = 6.6, []
    for n in range(9):
        angle = math.radians(-62 + 6 * n)
        points.append((ex + radius * math.cos(angle), y_mm + radius * math.sin(angle)))
    for (x1, y1), (x2, y2) in pairwise(points):
        yield Line(x1, y1, x2, y2, "limit", 0.3)
    tip_x, tip_y = points[-1]
    yield Outline(
        ((tip_x - 1.2, tip_y - 0.5), (tip_x + 0.7, tip_y - 0.8), (tip_x + 0.1, tip_y + 0.9)),
        "limit",
        "black",
        0.0,
    )


def _pothead(view: FloorView, middle: tuple[float, float]) -> Iterator[Item]:
    cable = view.procedure.cable
    if cable is None or cable.angle_rad is None:
        return
    (ex, ey), angle = _esp_mm(middle), cable.angle_rad

    def at(radius: float, turn: float) -> tuple[float, float]:
        return ex + radius * math.cos(angle + turn), ey + radius * math.sin(angle + turn)

    corners = (at(4.4, -0.3), at(5.6, -0.24), at(5.6, 0.24), at(4.4, 0.3))
    yield Outline(corners, "cable", "black", 0.25, cable.piece)
    yield Line(ex, ey, *at(4.4, 0.0), "cable", 0.2)


def _words(view: FloorView) -> str:
    cable = view.procedure.cable
    if cable is None:
        return "clockwise +"
    if cable.angle_rad is None:
        return "pothead angle not known"
    return f"clockwise +, pothead {math.degrees(cable.angle_rad):.0f}°"
