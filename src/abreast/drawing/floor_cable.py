"""The cable on a step picture: pothead, splice, and up along the ESP to its reel."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_view import FloorView
from abreast.drawing.scene import Circle, Fill, Item, Line, Rect

__all__ = ["cable_items", "cable_labels"]

_THIN_MM, _HEAVY_MM = 0.25, 0.65


def _pothead(view: FloorView) -> tuple[float, float] | None:
    cable = view.procedure.cable
    if cable is None:
        return None
    at = view.at_m(cable.piece, cable.z_m)
    if at is None:
        return None
    x_mm = view.layout.esp_mm - view.half_mm(view.pieces[cable.piece])
    return x_mm, view.y(at) if view.shows(at) else view.layout.end_mm - 1.0


def _reel_mm(view: FloorView) -> tuple[float, float]:
    return view.layout.drawn_mm[0] + 2.0, view.layout.window_mm[0] - 17.4


def cable_items(view: FloorView) -> Iterator[Item]:
    """Pothead, and the cable up along the ESP to its reel."""
    place = _pothead(view)
    if place is None:
        return
    x_mm, y_mm = place
    part = view.procedure.cable.piece if view.procedure.cable else ""
    on = view.after.mle
    fill: Fill = "black" if on else "white"
    line = _HEAVY_MM if view.changes.cable else _THIN_MM
    yield Rect(x_mm - 0.9, y_mm - 0.7, 1.4, 1.4, "cable", fill, line, part)
    if not on:
        return
    along = view.layout.esp_mm - 3.7
    reel_x, reel_y = _reel_mm(view)
    top = view.layout.window_mm[0]
    width = 0.9 if view.changes.cable or view.changes.reel else 0.6
    dash = (1.6, 0.5)
    yield Line(x_mm - 0.4, y_mm, along, y_mm - 0.9, "cable", width)
    yield Line(along, min(y_mm - 0.9, view.layout.end_mm), along, top, "cable", width, dash)
    yield Line(along, top, reel_x + 0.9, reel_y + 1.4, "cable", width, dash)
    yield Circle(reel_x, reel_y, 2.0, "cable", "white", _HEAVY_MM if view.changes.reel else 0.35)
    yield Circle(reel_x, reel_y, 0.7, "cable", "black", 0.0)
    if view.after.reel == "hold":  # a brake across the reel
        yield Line(reel_x - 1.4, reel_y - 1.4, reel_x + 1.4, reel_y + 1.4, "cable", 0.5)
        yield Line(reel_x - 1.4, reel_y + 1.4, reel_x + 1.4, reel_y - 1.4, "cable", 0.5)


def cable_labels(view: FloorView) -> Iterator[FloorLabel]:
    """Words about pothead, reel and splice."""
    place, cable = _pothead(view), view.procedure.cable
    if place is None or cable is None:
        return
    at = view.at_m(cable.piece, cable.z_m)
    if view.changes.cable or (at is not None and view.in_window(at)):
        words = "MLE on pothead" if view.after.mle else "pothead, no MLE yet"
        rank = 0 if view.changes.cable else 3
        at_mm = (place[0] - 0.9, place[1])
        yield FloorLabel(at_mm, (words,), True, view.changes.cable, cable.piece, rank, plain=True)
    if view.after.mle:
        x_mm, y_mm = _reel_mm(view)
        words = "reel follows" if view.after.reel == "follow" else "reel held"
        rank = 0 if view.changes.reel else 1
        yield FloorLabel((x_mm - 2.0, y_mm), (words,), True, view.changes.reel, "", rank)
    splice = None if cable.splice_z_m is None else _splice_m(view, cable.splice_z_m)
    if splice is not None and (view.changes.splice or view.after.spliced):
        at_mm = (view.layout.esp_mm - 3.7, view.y(splice))
        yield FloorLabel(at_mm, ("splice",), True, view.changes.splice, "splice", 1)


def _splice_m(view: FloorView, z_m: float) -> float | None:
    """The splice, at the offset of the string above the Y-tool."""
    found = max(view.offsets, key=lambda one: view.pieces[one].top_m, default=None)
    at = None if found is None else view.at_m(found, z_m)
    return at if at is not None and view.shows(at) else None
