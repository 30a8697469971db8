"""Items of a picture drawn larger or smaller about a point."""

from __future__ import annotations

from dataclasses import replace

from abreast.drawing.scene import Circle, Item, Line, Outline, Point, Rect, Text

__all__ = ["scaled"]


def scaled(item: Item, factor: float, about_mm: Point = (0.0, 0.0)) -> Item:
    """An item with everything times a factor, about a point that keeps its place."""
    f, (x0, y0) = factor, about_mm

    def x(value: float) -> float:
        return x0 + (value - x0) * f

    def y(value: float) -> float:
        return y0 + (value - y0) * f

    if isinstance(item, Text):
        return replace(item, x_mm=x(item.x_mm), y_mm=y(item.y_mm), size_mm=item.size_mm * f)
    if isinstance(item, Line):
        return Line(
            x(item.x1_mm),
            y(item.y1_mm),
            x(item.x2_mm),
            y(item.y2_mm),
            item.layer,
            item.width_mm * f,
            tuple(one * f for one in item.dash_mm),
        )
    if isinstance(item, Rect):
        return replace(
            item,
            x_mm=x(item.x_mm),
            y_mm=y(item.y_mm),
            width_mm=item.width_mm * f,
            height_mm=item.height_mm * f,
            line_mm=item.line_mm * f,
        )
    if isinstance(item, Circle):
        return replace(
            item,
            x_mm=x(item.x_mm),
            y_mm=y(item.y_mm),
            radius_mm=item.radius_mm * f,
            line_mm=item.line_mm * f,
            dash_mm=tuple(one * f for one in item.dash_mm),
        )
    assert isinstance(item, Outline)
    points = tuple((x(left), y(top)) for left, top in item.points_mm)
    return replace(item, points_mm=points, line_mm=item.line_mm * f)
