"""Both strings on a step picture: pieces, joints, twin clamps, cable, and what is left out."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.floor_cable import cable_items, cable_labels
from abreast.drawing.floor_cuts import cut_items, cut_labels
from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_symbols import HALF_MM
from abreast.drawing.floor_view import FloorView
from abreast.drawing.scene import Fill, Item, Layer, Line, Outline, Rect
from abreast.model.procedure import FloorJoint, FloorPiece

__all__ = ["joint_marks", "string_items", "string_labels"]

_THIN, _HEAVY = 0.25, 0.65
_LEAST_MM = 2.6
_FILLS: dict[str, Fill] = {"esp": "light", "base": "grey", "Y-tool": "grey", "union": "light"}


def string_items(view: FloorView) -> Iterator[Item]:
    """All that belongs to the strings, the lower things first."""
    for name in view.offsets:
        piece = view.pieces[name]
        if view.shows(view.offsets[name] + piece.top_m):
            yield from _piece(view, piece)
    for name, how in view.after.joints.items():
        if how != "entered":
            yield from _made(view, view.joints[name])
    yield from _clamps(view)
    yield from cable_items(view)
    yield from cut_items(view)
    yield from _arrow(view)


def string_labels(view: FloorView) -> Iterator[FloorLabel]:
    """Words about the strings."""
    yield from _piece_labels(view)
    yield from _joint_labels(view)
    yield from _clamp_labels(view)
    yield from cable_labels(view)
    yield from cut_labels(view)
    yield from _lift_labels(view)
    yield from _union_labels(view)


# --- pieces -----------------------------------------------------------------------------


def _piece(view: FloorView, piece: FloorPiece) -> Iterator[Item]:
    at = view.offsets[piece.id]
    top, bottom = view.y(at + piece.top_m), view.y(at + piece.bottom_m)
    line = _HEAVY if piece.id in view.changes.new else _THIN
    if piece.string == "base":
        yield from _base(view, piece, top, bottom, line)
    elif piece.string == "Y-tool":
        yield from _ytool(view, piece, top, bottom, line)
    else:
        x_mm, half = view.x(piece.id), view.half_mm(piece)
        layer: Layer = "esp" if piece.string == "esp" else "bypass"
        fill = _FILLS.get(piece.string, "white")
        yield Rect(x_mm - half, top, 2 * half, bottom - top, layer, fill, line, piece.id)
        if piece.string == "union":
            inner = half * 0.5
            yield Rect(x_mm - inner, top, 2 * inner, (bottom - top) / 2, layer, "white", 0.2)
        if piece.neck is not None and view.in_window(at + piece.neck.z_m):
            y_mm, narrow = view.y(at + piece.neck.z_m), half * 0.75
            yield Rect(x_mm - half, y_mm - 0.8, 2 * half, 1.6, layer, "white", 0.0)
            yield Rect(x_mm - narrow, y_mm - 0.8, 2 * narrow, 1.6, layer, fill, line)


def _base(
    view: FloorView, piece: FloorPiece, top: float, bottom: float, line: float
) -> Iterator[Item]:
    """A block under the ESP seat and a post up to the bypass connection."""
    seats = [
        one.z_m for one in view.joints.values() if one.sort == "seat" and one.lower == piece.id
    ]
    seat = view.y(view.offsets[piece.id] + seats[0]) if seats else (top + bottom) / 2
    seat = min(max(seat, top), bottom)
    left, right = view.layout.esp_mm - 4.6, view.layout.bypass_mm + 3.4
    post = view.layout.bypass_mm - 3.4
    yield Rect(post, top, right - post, bottom - top, "esp", "grey", line, piece.id)
    yield Rect(left, seat, right - left, bottom - seat, "esp", "grey", line)


def _ytool(
    view: FloorView, piece: FloorPiece, top: float, bottom: float, line: float
) -> Iterator[Item]:
    """A block with a leg down to each string."""
    at = view.offsets[piece.id]
    faces = {view.x(one.lower): one.z_m for one in view.joints.values() if one.upper == piece.id}
    columns = (view.layout.esp_mm, view.layout.bypass_mm)
    ends = [min(max(view.y(at + faces.get(x, piece.bottom_m)), top), bottom) for x in columns]
    face = max(top + (bottom - top) * 0.3, min(ends) - 0.25 * (bottom - top))
    left, right = columns[0] - 4.6, columns[1] + 3.4
    for x_mm, end in zip(columns, ends, strict=True):
        yield Rect(x_mm - 1.8, face, 3.6, max(end - face, 0.0), "esp", "grey", line)
    yield Rect(left, top, right - left, face - top, "esp", "grey", line, piece.id)
    for x_mm in columns:
        yield Line(x_mm, face, view.layout.middle_mm, top, "esp", 0.4)


def _piece_labels(view: FloorView) -> Iterator[FloorLabel]:
    """Names of the pieces that stand in the window."""
    low, high = view.layout.window_m
    for name, at in view.offsets.items():
        piece = view.pieces[name]
        if name in view.changes.new or name in view.raised or piece.string == "union":
            continue
        top, bottom = min(at + piece.top_m, high), max(at + piece.bottom_m, low)
        if top <= bottom or view.y(bottom) - view.y(top) < _LEAST_MM:
            continue
        left = view.is_left(name) or piece.string in ("base", "Y-tool")
        x_mm = _edge(view, piece, left)
        y_mm = view.y(bottom) * 0.5 + view.y(top) * 0.5
        yield FloorLabel((x_mm, y_mm), (_full(piece),), left, rank=3, plain=True, part=name)


def _edge(view: FloorView, piece: FloorPiece, left: bool) -> float:
    if piece.string in ("base", "Y-tool"):
        return view.layout.esp_mm - 4.6 if left else view.layout.bypass_mm + 3.4
    return view.x(piece.id) + (-1 if left else 1) * view.half_mm(piece)


def _full(piece: FloorPiece) -> str:
    if not piece.name or piece.id.casefold() in piece.name.casefold():
        return piece.name or piece.id
    return (
        f"{piece.id} {piece.name}" if piece.name.casefold() not in piece.id.casefold() else piece.id
    )


def _lift_labels(view: FloorView) -> Iterator[FloorLabel]:
    """What came from the rack, and what hangs free beside the string."""
    moved = view.changes.moved_m
    for group in view.components:
        new = [one for one in group if one in view.changes.new]
        free = [one for one in group if one in view.raised]
        if not new and not free:
            continue
        names = new or free
        first = view.pieces[names[0]]
        left = view.is_left(first.id)
        at = view.offsets[first.id]
        y_mm = view.y(at + first.bottom_m) * 0.6 + view.y(at + first.top_m) * 0.4
        rows = [view.named(names)]
        if view.hangs_free(group) and len(view.components) > 1:
            rows.append("hangs free" + (", drawn higher" if free else ""))
        tag = ""
        if new:
            rows.append("new, from the rack")
        yield FloorLabel((_edge(view, first, left), y_mm), tuple(rows), left, tag, first.id)
    if moved:
        by_m = next(iter(moved.values()))
        whole = len(moved) == len(view.offsets)
        what = "the whole string" if whole else view.named(list(moved))
        word = f"{'HOISTED' if by_m > 0 else 'LOWERED'} {view.length(abs(by_m))}"
        at_mm = (view.layout.middle_mm + 1.6, _arrow_mm(view))
        yield FloorLabel(at_mm, (what,), False, word)


def _arrow_mm(view: FloorView) -> float:
    top, bottom = view.layout.window_mm
    return top + 0.3 * (bottom - top)


def _arrow(view: FloorView) -> Iterator[Item]:
    """A broad arrow between the strings for a move."""
    if not view.changes.moved_m:
        return
    way = -1.0 if next(iter(view.changes.moved_m.values())) > 0 else 1.0
    x, y = view.layout.middle_mm, _arrow_mm(view)
    tip, tail, neck = y + way * 5.5, y - way * 5.5, y + way * 2.0
    points = (
        (x - 0.9, tail),
        (x + 0.9, tail),
        (x + 0.9, neck),
        (x + 2.1, neck),
        (x, tip),
        (x - 2.1, neck),
        (x - 0.9, neck),
    )
    yield Outline(points, "landing", "white", _HEAVY)


def _union_labels(view: FloorView) -> Iterator[FloorLabel]:
    """The union with its turns and its lock."""
    union = view.procedure.union
    if union is None or union.piece not in view.offsets or union.piece in view.changes.new:
        return
    piece, at = view.pieces[union.piece], view.offsets[union.piece]
    middle = at + (piece.bottom_m + piece.top_m) / 2
    word, turns = view.changes.union, view.after.union_turns
    if not word and not view.in_window(middle):
        return
    rows = [_full(piece)]
    if turns is not None:
        rows.append("*snug" if not turns else f"*{turns:+.2f} turns from snug")
    if view.after.union_locked:
        rows.append("*locked")
    at_mm = (_edge(view, piece, False), view.y(middle))
    yield FloorLabel(at_mm, tuple(rows), False, word, union.piece, 0 if word else 1, None, True)


# --- joints and twin clamps ---------------------------------------------------------------


def _joint_places(view: FloorView, joint: FloorJoint) -> Iterator[tuple[float, float, float]]:
    """x, y and half width of a joint, when it is on the picture."""
    at = view.at_m(joint.lower, joint.z_m)
    if at is None or not view.shows(at):
        return
    piece = view.pieces[joint.upper]
    if piece.string in ("base", "Y-tool", "tubing"):
        piece = view.pieces[joint.lower]
    yield view.x(piece.id), view.y(at), view.half_mm(piece)


def _made(view: FloorView, joint: FloorJoint) -> Iterator[Item]:
    """A collar, thin where it was made in the workshop."""
    workshop = joint.sort == "workshop"
    for x_mm, y_mm, half in _joint_places(view, joint):
        wide = half + (0.2 if workshop else 0.7)
        yield Line(x_mm - wide, y_mm, x_mm + wide, y_mm, "joint", 0.2 if workshop else 0.55)


def joint_marks(view: FloorView) -> Iterator[Item]:
    """Marks on joints that are entered or have changed, over all that stands before them."""
    for name, how in view.after.joints.items():
        changed = name in view.changes.joints
        if how != "entered" and not changed:
            continue
        for x_mm, y_mm, half in _joint_places(view, view.joints[name]):
            if how != "entered":
                wide = half + 1.1
                yield Rect(x_mm - wide, y_mm - 1.0, 2 * wide, 2.0, "joint", "none", _HEAVY)
                continue
            yield Rect(x_mm - half, y_mm - 0.5, 2 * half, 1.0, "joint", "white", 0.0)
            for way in (-1, 1):  # arrow heads at the gap
                edge, far = x_mm + way * (half + 0.3), x_mm + way * (half + 1.9)
                points = ((edge, y_mm), (far, y_mm - 1.0), (far, y_mm + 1.0))
                fill: Fill = "black" if changed else "white"
                yield Outline(points, "joint", fill, 0.3, name)


def _joint_labels(view: FloorView) -> Iterator[FloorLabel]:
    named = dict.fromkeys((*view.changes.joints, *view.after.joints))
    for name in named:
        word, how = view.changes.joints.get(name, ""), view.after.joints.get(name)
        if not word and how != "entered":
            continue
        joint = view.joints[name]
        for x_mm, y_mm, half in _joint_places(view, joint):
            left = x_mm < view.layout.middle_mm
            x_at = x_mm + (-1 if left else 1) * (half + 0.8)
            rows = [f"joint {name}"]
            if how == "entered":
                rows.append("entered, NOT made up")
            yield FloorLabel((x_at, y_mm), tuple(rows), left, word, name, rank=0)


def _bar_ends(view: FloorView) -> tuple[float, float]:
    return view.layout.esp_mm - HALF_MM + 0.4, view.layout.bypass_mm + 3.2


def _clamps(view: FloorView) -> Iterator[Item]:
    """White bars across both strings with black bolted ears; dashed: taken off."""
    left, right = _bar_ends(view)
    for clamp in view.procedure.clamps:
        at = view.clamp_at_m(clamp)
        word = view.changes.clamps.get(clamp.id, "")
        if at is None or not view.shows(at):
            continue
        y_mm = view.y(at)
        if clamp.id in view.after.twin_clamps:
            line = _HEAVY if word else _THIN
            yield Rect(left, y_mm - 1.0, right - left, 2.0, "clamp", "white", line, clamp.id)
            for x_mm in (left, right - 1.2):
                yield Rect(x_mm, y_mm - 1.0, 1.2, 2.0, "clamp", "black", 0.0)
        elif word:
            for edge in (y_mm - 1.0, y_mm + 1.0):
                yield Line(left, edge, right, edge, "clamp", 0.4, (0.8, 0.6))
            yield Line(left, y_mm - 1.0, right, y_mm + 1.0, "clamp", 0.4, (0.8, 0.6))


def _clamp_labels(view: FloorView) -> Iterator[FloorLabel]:
    _, right = _bar_ends(view)
    for clamp in view.procedure.clamps:
        at, word = view.clamp_at_m(clamp), view.changes.clamps.get(clamp.id, "")
        if at is None or not view.shows(at):
            continue
        if word or (clamp.id in view.after.twin_clamps and view.in_window(at)):
            rank = 0 if word else 2
            words = f"{clamp.id} twin clamp"
            yield FloorLabel((right, view.y(at)), (words,), False, word, clamp.id, rank)
