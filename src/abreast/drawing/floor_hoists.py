"""Hoists on a step picture: blocks, lines, gear, down to the holders that hang from them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_layout import HOIST_MM
from abreast.drawing.floor_symbols import HALF_MM, Mark, extent, symbol
from abreast.drawing.floor_view import FloorView, Held
from abreast.drawing.fonts import clipped
from abreast.drawing.scene import Circle, Item, Line, Rect, Text
from abreast.drawing.spread import spread
from abreast.mechanics.ledger import StepNumbers
from abreast.mechanics.ledger.state import Hold

__all__ = ["hoist_items", "hoist_labels", "holder_place"]

_SLACK = (1.0, 0.8)
_TAUT_MM, _SLACK_MM = 0.7, 0.3
_GEAR_MM, _BLOCK_MM, _CLEAR_MM = 4.8, 4.4, 1.3
_WIDE_MM, _FREE_MM, _APART_MM = 11.0, 3.6, 1.0
_NEAR_M = 0.2


@dataclass(frozen=True, slots=True)
class _Hoist:
    """A hoist with what hangs from it, and where it is drawn; a free one is small."""

    name: str
    holds: tuple[Hold, ...]
    x_mm: float
    width_mm: float


def holder_place(view: FloorView, held: Held) -> tuple[float, float] | None:
    """Where a holder is drawn; None: its piece is on the rack."""
    holder, on = held.grip
    at = view.at_m(on, held.holds[0].z_m)
    if at is None:
        return None
    y_mm = view.y(at)
    kind = view.kind(holder)
    if held.support and kind != "slips":
        return view.x(on), y_mm - extent(kind, 0.0)[2]
    if kind in ("lifting clamp", "holding clamp"):  # clear of the plate it does not stand on
        level = view.y(view.level_m)
        if 0 <= at - view.level_m < _NEAR_M:
            y_mm = min(y_mm, level - extent(kind, 0.0)[2] - _CLEAR_MM)
    if kind == "elevator":  # under the upset
        y_mm += 1.1
    return view.x(on), y_mm


def _hoists(view: FloorView) -> list[_Hoist]:
    """Hoists from the left: each over what hangs from it, free ones out of the way."""
    found: dict[str, list[Hold]] = {one.hoist: [] for one in view.procedure.lines}
    for held in view.held:
        for hold in held.on_lines:
            if hold.by in view.lines and holder_place(view, held) is not None:
                found[view.lines[hold.by].hoist].append(hold)
    left, right = view.layout.drawn_mm
    busy = {
        name: sum(view.x(one.on) for one in holds) / len(holds)
        for name, holds in found.items()
        if holds
    }
    free = len(found) - len(busy) if busy else 0
    room = right - left - free * (_FREE_MM + _APART_MM)
    wide = min(_WIDE_MM, room / max(len(found) - free, 1) - _APART_MM)
    aside = left if max(busy.values(), default=0.0) > view.layout.middle_mm else right
    first = view.layout.middle_mm if not busy else aside
    wanted = sorted((busy.get(name, first), name) for name in found)
    widths = [wide if name in busy or not busy else _FREE_MM for _, name in wanted]
    middles = spread(
        [x_mm for x_mm, _ in wanted],
        [one + _APART_MM for one in widths],
        left,
        right + 1e-6,
    )
    return [
        _Hoist(name, tuple(found[name]), x_mm, width)
        for (_, name), x_mm, width in zip(wanted, middles, widths, strict=True)
    ]


def hoist_items(view: FloorView) -> Iterator[Item]:
    """Blocks with their names, and a line down to each holder."""
    for one in _hoists(view):
        x_mm, half = one.x_mm, one.width_mm / 2
        bottom, line = HOIST_MM + _BLOCK_MM, 0.6 if any(hold.taut for hold in one.holds) else 0.3
        for dx in (-0.8, 0.8):
            yield Line(x_mm + dx, HOIST_MM - 1.6, x_mm + dx, HOIST_MM, "clamp", 0.3)
        yield Rect(x_mm - half, HOIST_MM, 2 * half, _BLOCK_MM, "clamp", "white", line)
        if one.width_mm > _FREE_MM:
            name = clipped(one.name, 2 * half - 0.6, 2.2, bold=True)
            yield Text(x_mm, HOIST_MM + 3.0, name, 2.2, "clamp", "middle", bold=True)
        if not one.holds:  # an open hook with nothing in it
            yield Line(x_mm, bottom, x_mm, bottom + 1.4, "clamp", 0.4)
            yield Circle(x_mm, bottom + 2.5, 1.1, "clamp", "white", 0.4)
        for hold in one.holds:
            yield from _line(view, hold, (x_mm, bottom))


def _line(view: FloorView, hold: Hold, top_mm: tuple[float, float]) -> Iterator[Item]:
    held = next(one for one in view.held if one.grip == (hold.holder, hold.on))
    place = holder_place(view, held)
    if place is None:
        return
    x_mm, y_mm = place
    width, dash = (_TAUT_MM, ()) if hold.taut else (_SLACK_MM, _SLACK)
    above = y_mm - (3.4 if view.kind(hold.holder) in ("lifting sub", "slings") else 0.0)
    marks: list[Item] = []
    for gear in reversed(hold.gear):
        kind = view.kind(gear)
        if kind == "slings":
            apex = max(top_mm[1] + 2.4, min(above - 9.0, above - 0.35 * (above - top_mm[1])))
            reach = HALF_MM - 0.6
            for way in (-1, 1):
                marks.append(
                    Line(x_mm, apex, x_mm + way * reach, above + 1.2, "clamp", width, dash)
                )
            above = apex
        else:
            above = max(above - (1.0 if kind == "elevator" else _GEAR_MM), top_mm[1] + 1.5)
            half = view.half_mm(view.pieces[hold.on])
            marks += symbol(kind, Mark(x_mm, above, half * 0.6, hold.taut, part=""))
    if view.kind(hold.holder) == "elevator" or (
        hold.gear and view.kind(hold.gear[-1]) == "elevator"
    ):
        half = view.half_mm(view.pieces[hold.on]) + 2.1
        neck = max(top_mm[1] + 1.5, above - 8.0)
        for way in (-1, 1):  # bails
            yield Line(x_mm + way * half, above, x_mm + way * 1.2, neck, "clamp", width, dash)
        yield Line(x_mm - 1.2, neck, x_mm + 1.2, neck, "clamp", max(width, 0.5))
        above = neck
    yield Line(*top_mm, x_mm, above, "clamp", width, dash)
    yield from marks


def hoist_labels(view: FloorView, numbers: StepNumbers) -> Iterator[FloorLabel]:
    """What the indicator shows, how far the hook may rise, and which hoist is free."""
    for one in _hoists(view):
        left = one.x_mm < view.layout.middle_mm
        edge = one.x_mm + (-1 if left else 1) * one.width_mm / 2
        rows = tuple(_hoist_rows(view, one.name, one.holds, numbers))
        if rows:
            rank = 1 if one.holds else 2
            yield FloorLabel((edge, HOIST_MM + 2.0), rows, left, rank=rank, plain=True)


def _hoist_rows(
    view: FloorView, hoist: str, holds: tuple[Hold, ...], numbers: StepNumbers
) -> Iterator[str]:
    now, was = numbers.indicator_after_n, numbers.indicator_before_n
    if not holds:
        yield f"{hoist} free"
        return
    main = hoist == view.procedure.lines[0].hoist
    if main and now is not None:
        yield f"*indicator {_span(view, now)}"
        if was is not None and _span(view, was) != _span(view, now):
            yield f"before: {_span(view, was)}"
    if main and numbers.hook_left_m is not None:
        yield f"hook may rise {view.length(numbers.hook_left_m)}"


def _span(view: FloorView, load_n: tuple[float, float]) -> str:
    least, most = view.load(load_n[0]), view.load(load_n[1])
    return most if least == most else f"{least.rsplit(' ', 1)[0]}–{most}"
