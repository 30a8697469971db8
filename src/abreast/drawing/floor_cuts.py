"""What a step picture leaves out of the strings: break marks, and how much is gone."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_view import FloorView
from abreast.drawing.scene import Item, Line, Rect

__all__ = ["cut_items", "cut_labels"]

_SIDES = {"esp": "ESP side", "bypass": "bypass side", "tubing": "tubing"}
_HALF_MM = {"esp": 3.9, "bypass": 2.9, "tubing": 2.9}
_BOTH_MM = 11.2
_LEAST_M = 0.05
_DEEP_M = -1e9


def _stretches(view: FloorView, side: str, low_m: float, high_m: float) -> list[tuple[str, float]]:
    """Pieces of one side between two heights, lowest first, with the length that lies there."""
    found = []
    for name, at in view.offsets.items():
        sides = view.sides(name)
        deep = low_m == _DEEP_M
        if side not in sides or (len(sides) > 1 and deep == (side == "tubing")):
            continue  # what joins both strings is cut once, and counts for both below
        piece = view.pieces[name]
        part = min(at + piece.top_m, high_m) - max(at + piece.bottom_m, low_m)
        if part > _LEAST_M:
            found.append((at + piece.bottom_m, name, part))
    return [(name, part) for _, name, part in sorted(found)]


def _cuts(view: FloorView) -> Iterator[tuple[str, float, str, bool]]:
    """Side, y, words and whether across both strings; no words: the same cut goes on."""
    for side in _SIDES:
        said: set[tuple[str, ...]] = set()
        cuts = [
            (one.y_mm, _stretches(view, side, one.low_m, one.high_m)) for one in view.heights.breaks
        ]
        for y_mm, parts in cuts:
            names = tuple(name for name, _ in parts)
            if not parts:
                continue
            same = [cut for _, found in cuts for cut in found if (cut[0],) == names]
            words = "" if names in said else _words(view, same or parts)
            said.add(names)
            yield side, y_mm, words, any(len(view.sides(name)) > 1 for name in names)
        if _stretches(view, side, _DEEP_M, view.heights.end_m):
            yield side, view.layout.end_mm - 1.3, "", False


def _words(view: FloorView, parts: list[tuple[str, float]]) -> str:
    length = view.length(sum(part for _, part in parts))
    names = view.named(list(dict.fromkeys(name for name, _ in parts)), 2)
    return f"{length} cut of {names}"


def cut_items(view: FloorView) -> Iterator[Item]:
    """Two slanted strokes with blank paper between, wherever something is left out."""
    for side, y_mm, _, both in _cuts(view):
        x_mm, half = view.column_mm(side), _BOTH_MM if both else _HALF_MM[side]
        gap, high = 1.1, 0.8
        yield Rect(x_mm - half, y_mm - gap / 2, 2 * half, gap, "joint", "white", 0.0)
        for edge in (y_mm - gap / 2, y_mm + gap / 2):
            yield Line(x_mm - half, edge + high / 2, x_mm + half, edge - high / 2, "joint", 0.3)


def cut_labels(view: FloorView) -> Iterator[FloorLabel]:
    """The length that is left out of each piece, and of each string below."""
    for side, y_mm, words, both in _cuts(view):
        left = side == "esp"
        half = _BOTH_MM if both else _HALF_MM[side]
        x_at = view.column_mm(side) + (-half if left else half)
        if words:
            yield FloorLabel((x_at, y_mm), (words,), left, rank=1, plain=True)
    told = []
    for side, name in _SIDES.items():
        parts = _stretches(view, side, _DEEP_M, view.heights.end_m)
        if parts:
            told.append(f"{view.length(sum(part for _, part in parts))} of {name}")
    if told:
        at_mm = (view.layout.bypass_mm + _HALF_MM["bypass"], view.layout.end_mm - 1.3)
        yield FloorLabel(at_mm, (f"further down: {', '.join(told)}",), False, rank=1, plain=True)
