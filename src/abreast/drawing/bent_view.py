"""Both strings in one plane of their hole: walls, bands, touching places with the push of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, isnan

from abreast.drawing.scene import Circle, Fill, Item, Layer, Line, Outline, Point, Rect
from abreast.mechanics.bent_shape import BentPart, BentShape, Touch

__all__ = ["HALF_MM", "REACH_MM", "View", "arrow", "look", "view_items"]

HALF_MM, REACH_MM = 14.5, 7.0
"""Room for the casing to each side of its axis, and for arrows beyond it, on A4 [mm]."""
_LEAST_MM = 0.7
# What lies behind comes first.
_ACROSS = ("block", "esp", "bypass", "clamp", "neck", "cable")
_BESIDE = ("block", "esp", "cable", "bypass", "clamp", "neck")


@dataclass(frozen=True)
class View:
    """Where depths and sideways places lie on paper.

    Parameters
    ----------
    shape : BentShape
        What is drawn.
    axis_mm : float
        Where the casing axis is.
    top_mm, bottom_mm : float
        Ends of the drawing.
    top_md_m, mm_per_m, times : float
        Depth at its top, paper per depth, and how many times that sideways.
    plane : {"x", "y"}
        ``x``: across both strings; ``y``: turned a quarter, seen from the bypass.
    f : float
        Paper per size on A4.
    """

    shape: BentShape
    axis_mm: float
    top_mm: float
    bottom_mm: float
    top_md_m: float
    mm_per_m: float
    times: float
    plane: str
    f: float

    def y_mm(self, md_m: float) -> float:
        """Where a depth lies on paper."""
        at = self.top_mm + (md_m - self.top_md_m) * self.mm_per_m
        return min(max(at, self.top_mm), self.bottom_mm)

    def side_mm(self, size_m: float) -> float:
        """A sideways size on paper."""
        return size_m * self.mm_per_m * self.times

    def x_mm(self, x_m: float, y_m: float) -> float:
        """Where a point beside the casing axis lies on paper."""
        return self.axis_mm + self.side_mm(x_m if self.plane == "x" else -y_m)

    def wall_mm(self, md_m: float) -> float:
        """Half of the casing on paper at a depth."""
        radii = [
            one.diameter_m / 2
            for one in self.shape.casing
            if one.top_md_m - 1e-6 <= md_m <= one.bottom_md_m + 1e-6
        ]
        return self.side_mm(min(radii)) if radii else HALF_MM * self.f

    def push(self, one: Touch) -> float:
        """The push of the wall in this plane, to the right positive [N]."""
        away = hypot(one.x_m, one.y_m)
        share = one.x_m if self.plane == "x" else -one.y_m
        return -one.force_n * share / away if away else 0.0


def look(part: BentPart) -> tuple[str, Layer, Fill]:
    """The group of a part, its layer and its fill."""
    if part.kind == "block":
        return "block", "clamp", "white"
    if part.kind == "clamp":
        return "clamp", "clamp", "grey"
    if part.kind == "neck":
        return "neck", "esp", "white"
    if part.kind in ("cable", "guard"):
        return "cable", "cable", "grey"
    layer: Layer = "joint" if part.kind == "coupling" else "bypass" if part.string else "esp"
    return ("bypass", layer, "white") if part.string else ("esp", layer, "light")


def view_items(view: View, most_n: float) -> Iterator[Item]:
    """The view; ``most_n`` is the push of the longest arrow [N]."""
    yield from _walls(view)
    order = _ACROSS if view.plane == "x" else _BESIDE
    parts = sorted(view.shape.parts, key=lambda one: order.index(look(one)[0]))
    for part in parts:
        yield from _part(view, part)
    yield from _axes(view)
    for touch in view.shape.touches:
        yield from _touch(view, touch, most_n)


def _walls(view: View) -> Iterator[Item]:
    """Both walls with their steps, and the axis of the casing."""
    wide = 0.6 * view.f
    for side in (-1, 1):
        before: Point | None = None
        for wall in view.shape.casing:
            if wall.bottom_md_m <= view.top_md_m:
                continue
            x_mm = view.axis_mm + side * view.side_mm(wall.diameter_m / 2)
            top, bottom = view.y_mm(wall.top_md_m), view.y_mm(wall.bottom_md_m)
            if before is not None and before[0] != x_mm:
                yield Line(before[0], top, x_mm, top, "casing", wide)
            yield Line(x_mm, top, x_mm, bottom, "casing", wide)
            before = x_mm, bottom
    dash = (2 * view.f, 0.7 * view.f, 0.4 * view.f, 0.7 * view.f)
    yield Line(view.axis_mm, view.top_mm, view.axis_mm, view.bottom_mm, "grid", 0.15, dash)


def _part(view: View, part: BentPart) -> Iterator[Item]:
    """A part as a band; where it is too short to be seen, as a bar."""
    if part.md_m[-1] < view.top_md_m:
        return
    _, layer, fill = look(part)
    half, line = view.side_mm(part.radius_m), 0.2 * view.f
    rows = [
        (view.x_mm(float(x), float(y)), view.y_mm(float(md)))
        for md, x, y in zip(part.md_m, part.x_m, part.y_m, strict=True)
    ]
    high = rows[-1][1] - rows[0][1]
    if high < _LEAST_MM * view.f:
        x_mm = sum(x for x, _ in rows) / len(rows)
        middle = (rows[0][1] + rows[-1][1]) / 2
        tall = _LEAST_MM * view.f
        top = min(max(middle - tall / 2, view.top_mm), view.bottom_mm - tall)
        yield Rect(x_mm - half, top, 2 * half, tall, layer, fill, line, part.name)
        return
    left, right = [(x - half, y) for x, y in rows], [(x + half, y) for x, y in rows]
    yield Outline((*left, *reversed(right)), layer, fill, line, part.name)


def _axes(view: View) -> Iterator[Item]:
    """The axis of each string; where no body is modelled it is all that is drawn."""
    for number, one in enumerate(view.shape.lines):
        rows = list(zip(one.md_m, one.x_m, one.y_m, one.radius_m, strict=True))
        for (md1, x1, y1, r1), (md2, x2, y2, _) in zip(rows[::2], rows[1::2], strict=True):
            if md2 <= view.top_md_m:
                continue
            wide = (0.8 if isnan(r1) else 0.15) * view.f
            a, b = view.x_mm(float(x1), float(y1)), view.x_mm(float(x2), float(y2))
            layer: Layer = "bypass" if number else "esp"
            yield Line(a, view.y_mm(float(md1)), b, view.y_mm(float(md2)), layer, wide)


def _touch(view: View, touch: Touch, most_n: float) -> Iterator[Item]:
    """A dot where it touches, and outside of the casing the push in this plane."""
    if touch.md_m < view.top_md_m:
        return
    y_mm, push = view.y_mm(touch.md_m), view.push(touch)
    yield Circle(view.x_mm(touch.x_m, touch.y_m), y_mm, 0.5 * view.f, "limit", "black", 0.0)
    long_mm = REACH_MM * view.f * abs(push) / most_n
    if long_mm < 0.5 * view.f:
        return
    side = -1 if push > 0 else 1  # the wall that pushes to the right is the left one
    head = view.axis_mm + side * (view.wall_mm(touch.md_m) + 0.4 * view.f)
    yield from arrow((head + side * long_mm, y_mm), (head, y_mm), view.f)


def arrow(tail: Point, head: Point, f: float, layer: Layer = "limit") -> Iterator[Item]:
    """An arrow from one point to another."""
    (x1, y1), (x2, y2) = tail, head
    long_mm = hypot(x2 - x1, y2 - y1)
    if not long_mm:
        return
    ux, uy = (x2 - x1) / long_mm, (y2 - y1) / long_mm
    tip = min(1.5 * f, long_mm)
    foot = x2 - tip * ux, y2 - tip * uy
    yield Line(x1, y1, *foot, layer, 0.45 * f)
    wing = 0.45 * tip
    corners = (
        (x2, y2),
        (foot[0] - wing * uy, foot[1] + wing * ux),
        (foot[0] + wing * uy, foot[1] - wing * ux),
    )
    yield Outline(corners, layer, "black", 0.0)
