"""What stands still on a step picture: floor, false rotary, cover, BOP elements, rulers."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_view import Element, FloorView
from abreast.drawing.scene import Anchor, Circle, Item, Line, Outline, Rect, Text
from abreast.mechanics.ledger.state import ROTARY
from abreast.units import Dimension, display_unit, to_si

__all__ = ["ground_items", "ground_labels", "rulers"]

_HOLE_MM, _SLAB_MM, _FLOOR_MM = 10.6, 1.3, 1.6
_PLATE_GAP_MM = 0.5
_TYPE = 2.2


def ground_items(view: FloorView) -> Iterator[Item]:
    """Floor, hole, plate, cover and BOP elements."""
    left, right = view.layout.drawn_mm
    middle, y_mm = view.layout.middle_mm, view.y(0.0)
    for start, end in ((left, middle - _HOLE_MM), (middle + _HOLE_MM, right)):
        yield Rect(start, y_mm, end - start, _FLOOR_MM, "landing", "black", 0.0)
    for x_mm in (middle - _HOLE_MM, middle + _HOLE_MM):
        yield Line(x_mm, y_mm, x_mm, view.layout.end_mm, "casing", 0.3)
    yield from _bushing(view, y_mm)
    yield from _plate(view)
    if view.after.covered:
        yield from _cover(view, y_mm)
    for element in view.elements:
        yield from _element(view, element)


def _plate(view: FloorView) -> Iterator[Item]:
    if view.after.plate == "off":
        return
    left, right = view.layout.drawn_mm
    middle, y_mm, floor = view.layout.middle_mm, view.y(view.site.plate_m), view.y(0.0)
    line = 0.65 if view.changes.plate else 0.3
    for way, edge in ((-1, left), (1, right)):
        leg = middle + way * (_HOLE_MM + 1.2)
        for x_mm in (leg - 0.5, leg + 0.5):
            yield Line(x_mm, y_mm + _SLAB_MM, x_mm, floor, "landing", line)
        inner = middle + way * (_HOLE_MM - 0.6)
        start, end = sorted((edge, inner))
        yield Rect(start, y_mm, end - start, _SLAB_MM, "landing", "grey", line)
    if view.after.plate == "closed":
        yield from _closed(view, y_mm, line)


def _standing(view: FloorView, at_m: float) -> list[tuple[float, float]]:
    """Left and right of what passes a height, from the left."""
    found = []
    for name, at in view.offsets.items():
        piece = view.pieces[name]
        if at + piece.bottom_m < at_m < at + piece.top_m:
            x_mm, half = view.x(name), view.half_mm(piece)
            if piece.string in ("base", "Y-tool"):
                x_mm, half = view.layout.middle_mm, 10.0
            found.append((x_mm - half - _PLATE_GAP_MM, x_mm + half + _PLATE_GAP_MM))
    return sorted(found)


def _closed(view: FloorView, y_mm: float, line: float) -> Iterator[Item]:
    """The halves closed round what stands in them."""
    middle = view.layout.middle_mm
    start, last = middle - _HOLE_MM + 0.6, middle + _HOLE_MM - 0.6
    for left, right in [*_standing(view, view.site.plate_m), (last, last)]:
        if left > start:
            yield Rect(start, y_mm, left - start, _SLAB_MM, "landing", "grey", line)
        start = max(start, right)


def _bushing(view: FloorView, y_mm: float) -> Iterator[Item]:
    """What holders in the rotary stand in: a bowl from the edge of the hole to the holder."""
    middle = view.layout.middle_mm
    beside = _standing(view, 0.0)
    for held in view.held:
        if held.support != ROTARY or held.grip[1] not in view.offsets:
            continue
        x_mm = view.x(held.grip[1])
        pipe = view.half_mm(view.pieces[held.grip[1]])
        slips = view.kind(held.grip[0]) == "slips"
        left = max([middle - _HOLE_MM, *(end for _, end in beside if end < x_mm)])
        right = min([middle + _HOLE_MM, *(end for end, _ in beside if end > x_mm)])
        for way, edge in ((-1, left), (1, right)):
            near = x_mm + way * (pipe + (2.3 if slips else 0.6))
            foot = x_mm + way * (pipe + (0.3 if slips else 0.6))
            points = ((edge, y_mm), (near, y_mm), (foot, y_mm + 2.0), (edge, y_mm + 2.0))
            if (edge - near) * way > 0:
                yield Outline(points, "landing", "light", 0.3)


def _cover(view: FloorView, y_mm: float) -> Iterator[Item]:
    """Two boards over the hole, hatched."""
    middle, line = view.layout.middle_mm, 0.65 if view.changes.cover else 0.3
    left, right = middle - _HOLE_MM - 0.8, middle + _HOLE_MM + 0.8
    yield Rect(left, y_mm - 1.4, right - left, 1.4, "landing", "white", line)
    for n in range(int((right - left) / 1.4)):
        x_mm = left + 1.4 * n
        yield Line(x_mm, y_mm, x_mm + 1.4, y_mm - 1.4, "landing", 0.2)


# --- below the floor --------------------------------------------------------------------


def _element(view: FloorView, element: Element) -> Iterator[Item]:
    """Rubber ring for an annular, rams with a face, or a plain box."""
    left, right = view.layout.drawn_mm
    middle, y_mm = view.layout.middle_mm, view.y(-element.depth_m)
    kind = f"{element.kind} {element.name}".casefold()
    for way, edge in ((-1, left), (1, right)):
        inner = middle + way * (_HOLE_MM - 0.2)
        start, end = sorted((edge, inner))
        yield Rect(start, y_mm - 1.1, end - start, 2.2, "casing", "white", 0.3)
        if "annular" in kind:
            yield Circle((start + end) / 2, y_mm, 0.8, "casing", "grey", 0.25)
        elif "shear" in kind or "blind" in kind:
            tip = middle + way * (_HOLE_MM - 1.6)
            points = ((inner, y_mm - 0.9), (tip, y_mm + 0.9), (inner, y_mm + 0.9))
            yield Outline(points, "casing", "black", 0.2)
        else:
            near, far = sorted((inner, middle + way * (_HOLE_MM + 1.0)))
            yield Rect(near, y_mm - 0.9, far - near, 1.8, "casing", "black", 0.0)


def across(view: FloorView, depth_m: float) -> list[str]:
    """What stands at a depth below the floor, ESP side first."""
    found = []
    for side in ("esp", "bypass", "tubing"):
        for name, at in view.after.offsets.items():
            piece = view.pieces[name]
            if at + piece.bottom_m <= -depth_m < at + piece.top_m and side in view.sides(name):
                found.append(name)
    cable = view.procedure.cable
    if cable is not None and view.after.mle and cable.piece in view.after.offsets:
        offset = view.after.offsets[cable.piece]
        spliced = view.after.spliced and cable.splice_z_m is not None
        if offset + cable.z_m <= -depth_m and found:
            high = spliced and offset + (cable.splice_z_m or 0.0) <= -depth_m
            found.append("cable" if high else "MLE")
    return list(dict.fromkeys(found))


def ground_labels(view: FloorView) -> Iterator[FloorLabel]:
    """Words about floor, plate, cover and elements."""
    left, right = view.layout.drawn_mm
    plate, floor = view.after.plate, view.y(0.0) + 0.6
    tag = view.changes.plate
    if plate == "off":
        rows = ("false rotary", "taken away") if tag else ("rig floor", "no false rotary")
        yield FloorLabel((left, floor), rows, True, tag, "plate", rank=0 if tag else 1, plain=True)
    else:
        y_mm = view.y(view.site.plate_m) + 0.6
        words = f"false rotary {plate.upper()}"
        height = f"{view.length(view.site.plate_m)} above floor"
        yield FloorLabel((left, y_mm), (words, height), True, tag, "plate", rank=0, plain=True)
        yield FloorLabel((left, floor), ("rig floor",), True, rank=3, plain=True)
    if view.after.covered or view.changes.cover:
        words = "hole covered" if view.after.covered else "hole open"
        at_mm = (view.layout.middle_mm + _HOLE_MM + 0.8, view.y(0.0) - 0.7)
        yield FloorLabel(at_mm, (words,), False, view.changes.cover, "cover", rank=0)
    for element in view.elements:
        found = across(view, element.depth_m)
        words, y_mm = ", ".join(found) or "nothing across", view.y(-element.depth_m)
        if view.plan_view:  # the plan takes the place of the names on the left
            words = f"{element.name}: {words}"
        else:
            name = f"{element.name} {view.length(element.depth_m)}"
            yield FloorLabel((left, y_mm), (name,), True, rank=1, plain=True)
        yield FloorLabel((right, y_mm), (words,), False, rank=1, plain=True)


# --- rulers -----------------------------------------------------------------------------


def rulers(view: FloorView, left_end_mm: float) -> Iterator[Item]:
    """Heights above the floor on the left edge, above the plate on the right one."""
    yield from _ruler(view, 0.0, 1.0, 1, "floor", left_end_mm)
    if view.after.plate != "off":
        edge = view.layout.width_mm - 1.0
        yield from _ruler(view, view.site.plate_m, edge, -1, "plate", view.layout.end_mm)


def _ruler(
    view: FloorView, zero_m: float, x_mm: float, way: int, name: str, end_mm: float
) -> Iterator[Item]:
    unit = display_unit(Dimension.LENGTH, view.procedure.units)
    step_m = to_si(1.0 if unit == "ft" else 0.5, unit, Dimension.LENGTH)
    low, high = view.layout.window_m
    top, bottom = view.y(high), min(view.y(low), end_mm)
    anchor: Anchor = "start" if way > 0 else "end"
    for row, words in enumerate((unit, name)):
        y_mm = top - 3.6 + 2.5 * row
        yield Text(x_mm - 0.2 * way, y_mm, words, _TYPE, "ruler", anchor)
    yield Line(x_mm, top, x_mm, bottom, "ruler", 0.2)
    first, last = int((low - zero_m) // step_m) + 1, int((high - zero_m) // step_m)
    for n in range(first, last + 1):
        y_mm = view.y(zero_m + n * step_m)
        if y_mm > bottom - 0.2:
            continue
        whole = n % 2 == 0
        yield Line(x_mm, y_mm, x_mm + way * (1.4 if whole else 0.8), y_mm, "ruler", 0.2)
        if whole and top + 0.9 < y_mm < bottom - 0.9:
            figure = f"{n * (1 if unit == 'ft' else 0.5):g}"
            at = x_mm + way * 1.8
            yield Text(at, y_mm + 0.8, figure, _TYPE, "ruler", anchor, bold=n == 0)
            if n:
                left, right = view.layout.drawn_mm
                if name == view.level:
                    yield Line(left, y_mm, right, y_mm, "grid", 0.1)
