"""The two strings themselves: bodies, connections, base support, Y-tool, union, clamps."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from abreast.drawing.canvas import Canvas
from abreast.drawing.scene import Fill, Item, Line, Rect
from abreast.drawing.view import View
from abreast.model import Job, PlacedPiece

__all__ = ["break_mark", "clamp_bars", "cut_ends", "strings"]

_FILLS: dict[str, Fill] = {
    "motor": "grey",
    "pump": "light",
    "nipple": "grey",
    "crossover": "light",
    "union": "light",
    "guide": "light",
}
_THICKEST_MM = 2.4
"""Height of a twin clamp on a stretched sheet, so that it does not hide what is behind."""
_SHORTER = 0.98
"""Share of its true length on paper below which a part is marked as shortened."""


def strings(view: View) -> Iterator[Item]:
    """All bodies, the lower ones and those behind first."""
    yield from _base(view)
    yield from _ytool(view)
    for one in view.part("ESP"):
        yield from _esp_piece(view, one.piece)
    for one in view.part("tail", "bypass"):
        yield from _bypass_piece(view, one.piece)
    yield from _tubing(view)
    yield from _tail_break(view)
    yield from _shortened(view)


def _bar(
    view: View, piece: PlacedPiece, x_mm: float, half_mm: float, ends_m: tuple[float, float]
) -> Rect:
    top, bottom = view.y(ends_m[1]), view.y(ends_m[0])
    return Rect(
        x_mm - half_mm,
        top,
        2 * half_mm,
        bottom - top,
        "esp" if piece.side != "bypass" else "bypass",
        fill=_FILLS.get(piece.kind, "white"),
        line_mm=view.mm(0.3),
        part=piece.id,
    )


def _esp_piece(view: View, piece: PlacedPiece) -> Iterator[Item]:
    x_mm, half = view.sheet.esp_mm, view.half_mm(piece)
    yield _bar(view, piece, x_mm, half, (piece.bottom_m, piece.top_m))
    y_mm, wide = view.y(piece.top_m), half + view.mm(0.5)
    yield Line(x_mm - wide, y_mm, x_mm + wide, y_mm, "joint", view.mm(0.6))


def _bypass_piece(view: View, piece: PlacedPiece) -> Iterator[Item]:
    x_mm, half = view.sheet.bypass_mm, view.half_mm(piece)
    yield _bar(view, piece, x_mm, half, (piece.bottom_m, piece.top_m))
    if piece.kind == "union":
        yield from _telescope(view, piece, half)
    wide, high = half + view.mm(0.7), view.mm(0.9)
    y_mm = view.y(piece.bottom_m)
    yield Rect(x_mm - wide, y_mm - high / 2, 2 * wide, high, "joint", "black", 0.0)


def _telescope(view: View, piece: PlacedPiece, half_mm: float) -> Iterator[Item]:
    """The union's sliding tube: a narrower one inside the upper half."""
    x_mm, middle = view.sheet.bypass_mm, (piece.bottom_m + piece.top_m) / 2
    top, bottom = view.y(piece.top_m), view.y(middle)
    inner = half_mm * 0.5
    yield Rect(x_mm - inner, top, 2 * inner, bottom - top, "bypass", "white", view.mm(0.2))


def _base(view: View) -> Iterator[Item]:
    """The base support: a block under the ESP seat, and a post to the bypass connection."""
    job, found = view.job, [p for p in view.assembly.pieces if p.kind == "base support"]
    if job.base is None or not found:
        return
    seat_m = -view.assembly.seat_m
    left, right = view.sheet.esp_mm - view.mm(7), view.sheet.bypass_mm + view.mm(4)
    bottom, seat, top = view.y(found[0].bottom_m), view.y(seat_m), view.y(found[0].top_m)
    post = view.sheet.bypass_mm - view.mm(4)
    yield Rect(post, top, right - post, bottom - top, "esp", "light", view.mm(0.3), found[0].id)
    yield Rect(left, seat, right - left, bottom - seat, "esp", "light", view.mm(0.3), found[0].id)
    yield from _nose(view, job, seat_m)


def _nose(view: View, job: Job, seat_m: float) -> Iterator[Item]:
    reach = job.base.nose_below_shoulder_m.known if job.base is not None else None
    if reach is None:
        return
    x_mm, half = view.sheet.esp_mm, view.mm(2.2)
    top = view.y(0.0)
    yield Rect(x_mm - half, top, 2 * half, view.y(-reach) - top, "esp", "white", view.mm(0.2))
    wide = view.mm(7)
    yield Line(x_mm - wide, view.y(seat_m), x_mm + wide, view.y(seat_m), "joint", view.mm(0.6))


def _ytool(view: View) -> Iterator[Item]:
    """The Y-tool: a block from the bypass leg face up, with its ESP leg reaching lower."""
    assembly, found = view.assembly, [p for p in view.assembly.pieces if p.kind == "Y-tool"]
    if not found:
        return
    left, right = view.sheet.esp_mm - view.mm(7), view.sheet.bypass_mm + view.mm(4)
    low_m = max(assembly.esp_leg_m, assembly.bypass_leg_m)
    top, face = view.y(assembly.top_m), view.y(low_m)
    for x_mm, leg_m in _legs(view):
        half = view.mm(3.6)
        y_mm = view.y(leg_m)
        yield Rect(x_mm - half, face, 2 * half, y_mm - face, "esp", "white", view.mm(0.3))
    yield Rect(left, top, right - left, face - top, "esp", "white", view.mm(0.3), found[0].id)
    for x_mm, _ in _legs(view):
        yield Line(x_mm, face, _middle_mm(view), top, "esp", view.mm(0.5))


def _legs(view: View) -> tuple[tuple[float, float], tuple[float, float]]:
    assembly = view.assembly
    return (
        (view.sheet.esp_mm, assembly.esp_leg_m),
        (view.sheet.bypass_mm, assembly.bypass_leg_m),
    )


def _middle_mm(view: View) -> float:
    return (view.sheet.esp_mm + view.sheet.bypass_mm) / 2


def _tubing(view: View) -> Iterator[Item]:
    """The tubing that goes on to surface above the Y-tool."""
    x_mm, half, y_mm = _middle_mm(view), view.mm(2.6), view.y(view.assembly.top_m)
    for side in (-half, half):
        yield Line(x_mm + side, y_mm, x_mm + side, y_mm - view.mm(4), "bypass", view.mm(0.3))
    yield from break_mark(view, x_mm, y_mm - view.mm(4), half + view.mm(1))


def _shortened(view: View) -> Iterator[Item]:
    """A break mark on every part that the stretched sheet draws shorter than true to scale."""
    linear = view.heights.true_mm_per_m
    for one in view.part("ESP", "bypass", "tail"):
        low, high = view.shown_m(one.piece.bottom_m, one.piece.top_m)
        if view.y(low) - view.y(high) >= linear * (high - low) * _SHORTER:
            continue
        bottom_m, top_m = view.heights.longest_m(low, high)
        x_mm = view.sheet.esp_mm if one.piece.side == "esp" else view.sheet.bypass_mm
        y_mm = view.y(bottom_m + 0.3 * (top_m - bottom_m))
        yield from break_mark(view, x_mm, y_mm, view.half_mm(one.piece) + view.mm(1.2))


def cut_ends(view: View) -> Iterator[Item]:
    """Where another sheet goes on with a string."""
    sides = (("ESP",), view.sheet.esp_mm, 7.5), (("bypass", "tail"), view.sheet.bypass_mm, 4.5)
    for end_m in (end for end in view.window_m if isfinite(end)):
        for parts, x_mm, half in sides:
            pieces = [one.piece for one in view.numbered if one.part in parts]
            if any(p.bottom_m < end_m for p in pieces) and any(p.top_m > end_m for p in pieces):
                yield from break_mark(view, x_mm, view.y(end_m), view.mm(half))


def _tail_break(view: View) -> Iterator[Item]:
    if view.heights.broken_m is not None:
        y_mm = view.y(view.heights.broken_m) + view.mm(1.6)
        yield from break_mark(view, view.sheet.bypass_mm, y_mm, view.mm(4.5))


def break_mark(view: Canvas, x_mm: float, y_mm: float, half_mm: float) -> Iterator[Item]:
    """Two slanted strokes with blank paper between: something is left out here."""
    high, gap = view.mm(0.7), view.mm(0.9)
    left, right = x_mm - half_mm, x_mm + half_mm
    yield Rect(left, y_mm - gap / 2, 2 * half_mm, gap, "joint", "white", 0.0)
    for side in (-gap / 2, gap / 2):
        yield Line(
            left, y_mm + side + high / 2, right, y_mm + side - high / 2, "joint", view.mm(0.3)
        )


def clamp_bars(view: View) -> Iterator[Item]:
    """The twin clamps: white bars across both strings, with black ears where they are bolted."""
    left, right = view.sheet.esp_mm - view.mm(7), view.sheet.bypass_mm + view.mm(4)
    for clamp in view.assembly.clamps:
        if not view.shows(clamp.height_m):
            continue
        length = _clamp_length_m(view.job, clamp.id)
        y_mm = view.y(clamp.height_m)
        high = max(view.mm(1.3), abs(view.y(clamp.height_m + length) - y_mm))
        high = min(high, view.mm(_THICKEST_MM)) if view.heights.is_stretched else high
        top, ear = y_mm - high / 2, view.mm(1.1)
        yield Rect(left, top, right - left, high, "clamp", "white", view.mm(0.35), clamp.id)
        for x_mm in (left, right - ear):
            yield Rect(x_mm, top, ear, high, "clamp", "black", 0.0, clamp.id)


def _clamp_length_m(job: Job, clamp_id: str) -> float:
    found = (one.length_m.known for one in job.clamps if one.id == clamp_id)
    return next(found, None) or 0.0
