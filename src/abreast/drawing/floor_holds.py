"""What holds what on a step picture: holders with their loads, lines, gear and hoists."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from abreast.drawing.floor_changes import Grip
from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_layout import HOIST_MM
from abreast.drawing.floor_scaled import scaled
from abreast.drawing.floor_symbols import HALF_MM, Mark, extent, ghost, symbol
from abreast.drawing.floor_view import FloorView, Held
from abreast.drawing.fonts import clipped
from abreast.drawing.scene import Circle, Item, Line, Rect, Text
from abreast.drawing.spread import spread
from abreast.mechanics.ledger import StepNumbers
from abreast.mechanics.ledger.state import Guard, Hold

__all__ = ["hold_items", "hold_labels"]

_SLACK = (1.0, 0.8)
_TAUT_MM, _SLACK_MM = 0.7, 0.3
_GEAR_MM, _BLOCK_MM, _CLEAR_MM = 4.8, 4.4, 1.3
_NEAR_M, _CARRIES_N = 0.2, 0.5
_ICON = 0.6
_OVER_SLIPS_MM = 4.2


def hold_items(view: FloorView, numbers: StepNumbers) -> Iterator[Item]:
    """Lines first, then the holders over them."""
    for hoist, holds in _hoists(view).items():
        yield from _hoist(view, hoist, holds)
    for held in view.held:
        place = _place(view, held)
        if place is not None:
            yield from symbol(view.kind(held.grip[0]), _mark(view, held, place, numbers))
    for guard in view.after.guards:
        yield from _guard(view, guard)
    yield from _ghosts(view)


def hold_labels(view: FloorView, numbers: StepNumbers) -> Iterator[FloorLabel]:
    """Words about holders, safety clamps and hoists."""
    for held in view.held:
        yield _label(view, held, numbers)
    yield from _guard_labels(view)
    yield from _ghost_labels(view)
    yield from _hoist_labels(view, numbers)


# --- holders ----------------------------------------------------------------------------


def _place(view: FloorView, held: Held) -> tuple[float, float] | None:
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


def _mark(view: FloorView, held: Held, place: tuple[float, float], numbers: StepNumbers) -> Mark:
    holder, on = held.grip
    carries = held.taut and any(high > _CARRIES_N for _, high in _loads(held, numbers))
    half = view.half_mm(view.pieces[on])
    return Mark(*place, half, carries, held.grip in view.changes.grips, holder)


def _loads(held: Held, numbers: StepNumbers) -> Iterator[tuple[float, float]]:
    for hold in held.holds:
        yield _load(hold, numbers)


def _load(hold: Hold, numbers: StepNumbers) -> tuple[float, float]:
    for one in numbers.holds:
        if (one.holder, one.on, one.by) == (hold.holder, hold.on, hold.by):
            return one.low_n, one.high_n
    return 0.0, 0.0


def _label(view: FloorView, held: Held, numbers: StepNumbers) -> FloorLabel:
    holder, on = held.grip
    kind = view.kind(holder)
    name = holder if kind.casefold() in holder.casefold() else f"{holder} {kind}"
    rows = [name]
    place = _place(view, held)
    several = sum(one.grip[0] == holder for one in view.held) > 1
    if several or place is None:
        rows.append(f"on {on}" + (", on the rack" if place is None else ""))
    for hold in held.holds if place is not None else ():
        rows += _hold_rows(view, hold, numbers)
    left = view.is_left(on)
    tag = view.changes.grips.get(held.grip, "")
    if place is None:
        at_mm = (0.0, view.layout.window_mm[0] - 4.0)
        icon = partial(_icon, kind, holder)
        return FloorLabel(at_mm, tuple(rows), left, tag, holder, 0, icon)
    half, above, below = extent(kind, view.half_mm(view.pieces[on]))
    edge_mm = -2.7 if kind == "lifting sub" else (below - above) / 2  # its head, not its stem
    at_mm = (place[0] + (-half if left else half), place[1] + edge_mm)
    return FloorLabel(at_mm, tuple(rows), left, tag, holder)


def _icon(kind: str, part: str, x_mm: float, y_mm: float) -> Iterator[Item]:
    """A stub of pipe with the holder on it, for a piece that is still on the rack."""
    yield Rect(x_mm - 0.5, y_mm - 2.0, 1.0, 4.6, "esp", "white", 0.2)
    for item in symbol(kind, Mark(x_mm, y_mm, 0.5, part=part)):
        yield scaled(item, _ICON, (x_mm, y_mm))


def _hold_rows(view: FloorView, hold: Hold, numbers: StepNumbers) -> Iterator[str]:
    if not hold.by:
        yield "fitted, held by nothing"
        return
    by_line = hold.by in view.lines
    where = f"hangs from {hold.by}" if by_line else f"in the {hold.by}"
    if not by_line and view.kind(hold.holder) != "slips":
        where = f"stands on {hold.by}"
    if hold.gear:
        where += f" by {', '.join(_gear_name(view, one) for one in hold.gear)}"
    yield where
    yield f"*{_carried(view, hold, numbers)}"


def _gear_name(view: FloorView, gear: str) -> str:
    kind = view.kind(gear)
    return gear if kind == "other" or kind.casefold() in gear.casefold() else f"{kind} {gear}"


def _carried(view: FloorView, hold: Hold, numbers: StepNumbers) -> str:
    low, high = _load(hold, numbers)
    if not hold.taut:
        return "slack, carries 0"
    least, most = view.load(low), view.load(high)
    if least == most:
        return f"carries {most}"
    return f"carries {least.rsplit(' ', 1)[0]}–{most}"


# --- safety clamps, and what is gone --------------------------------------------------------


def _guard_place(view: FloorView, guard: Guard) -> tuple[float, float] | None:
    at = view.at_m(guard.on, guard.z_m)
    if at is None:
        return None
    y_mm = view.y(at)
    for held in view.held:  # clear of the symbol of the slips below it
        below = view.at_m(guard.on, held.holds[0].z_m)
        if held.grip[1] == guard.on and held.support and below is not None:
            y_mm = min(y_mm, view.y(below) - _OVER_SLIPS_MM)
    return view.x(guard.on), y_mm


def _guard(view: FloorView, guard: Guard) -> Iterator[Item]:
    place = _guard_place(view, guard)
    if place is not None:
        half = view.half_mm(view.pieces[guard.on])
        changed = (guard.holder, guard.on) in view.changes.guards
        yield from symbol("safety clamp", Mark(*place, half, False, changed, guard.holder))


def _guard_labels(view: FloorView) -> Iterator[FloorLabel]:
    for guard in view.after.guards:
        place = _guard_place(view, guard) or (0.0, view.layout.window_mm[1])
        left = view.is_left(guard.on)
        tag = view.changes.guards.get((guard.holder, guard.on), "")
        at_mm = (place[0] + (-2.6 if left else 2.6), place[1])
        words = guard.holder
        if "safety clamp" not in words.casefold():
            words += " safety clamp"
        rows = (words, "back-up, carries nothing")
        yield FloorLabel(at_mm, rows, left, tag, guard.holder)


def _gone(view: FloorView) -> Iterator[tuple[Grip, float, float]]:
    """What was taken off pieces that are still there, and where it was."""
    for grip, hold in view.changes.gone.items():
        at = view.at_m(grip[1], hold.z_m)
        if at is not None:
            yield grip, view.x(grip[1]), view.y(at)
    for guard in view.changes.gone_guards:
        place = _guard_place(view, guard)
        if place is not None:
            yield (guard.holder, guard.on), *place


def _ghosts(view: FloorView) -> Iterator[Item]:
    for _, x_mm, y_mm in _gone(view):
        yield from ghost(x_mm, y_mm)


def _ghost_labels(view: FloorView) -> Iterator[FloorLabel]:
    for (holder, on), x_mm, y_mm in _gone(view):
        left = view.is_left(on)
        reach = -HALF_MM if left else HALF_MM
        kind = view.kind(holder)
        words = holder if kind.casefold() in holder.casefold() else f"{holder} {kind}"
        yield FloorLabel((x_mm + reach, y_mm), (f"{words}, no longer here",), left, "TAKEN OFF")


# --- hoists -----------------------------------------------------------------------------


def _hoists(view: FloorView) -> dict[str, list[Hold]]:
    """Holds of each hoist; a free one has none."""
    found: dict[str, list[Hold]] = {one.hoist: [] for one in view.procedure.lines}
    for held in view.held:
        for hold in held.on_lines:
            if hold.by in view.lines and _place(view, held) is not None:
                found.setdefault(view.lines[hold.by].hoist, []).append(hold)
    return found


def _hoist_places(view: FloorView) -> dict[str, float]:
    """Middle of each hoist: over what hangs from it, hoists apart, free ones out of the way."""
    found, (left, right) = _hoists(view), view.layout.drawn_mm
    busy = {
        hoist: sum(view.x(one.on) for one in holds) / len(holds)
        for hoist, holds in found.items()
        if holds
    }
    aside = left if max(busy.values(), default=0.0) > view.layout.middle_mm else right
    wanted = {hoist: busy.get(hoist, aside) for hoist in found}
    if not busy and len(found) == 1:
        return dict.fromkeys(found, view.layout.middle_mm)
    order = sorted(wanted, key=lambda one: wanted[one])
    widths = [_width_mm(view) + 1.0] * len(order)
    middles = spread([wanted[one] for one in order], widths, left, right + 1e-6)
    return dict(zip(order, middles, strict=True))


def _width_mm(view: FloorView) -> float:
    left, right = view.layout.drawn_mm
    return min(11.0, (right - left) / max(len(_hoists(view)), 1) - 1.0)


def _hoist(view: FloorView, hoist: str, holds: list[Hold]) -> Iterator[Item]:
    """The block with its name, and a line down to each holder."""
    x_mm, half = _hoist_places(view)[hoist], _width_mm(view) / 2
    bottom = HOIST_MM + _BLOCK_MM
    taut = any(one.taut for one in holds)
    for dx in (-0.8, 0.8):
        yield Line(x_mm + dx, HOIST_MM - 1.6, x_mm + dx, HOIST_MM, "clamp", 0.3)
    yield Rect(x_mm - half, HOIST_MM, 2 * half, _BLOCK_MM, "clamp", "white", 0.6 if taut else 0.3)
    name = clipped(hoist, 2 * half - 0.6, 2.2, bold=True)
    yield Text(x_mm, HOIST_MM + 3.0, name, 2.2, "clamp", "middle", bold=True, part=hoist)
    if not holds:  # an open hook with nothing in it
        yield Line(x_mm, bottom, x_mm, bottom + 1.4, "clamp", 0.4)
        yield Circle(x_mm, bottom + 2.5, 1.1, "clamp", "white", 0.4)
    for hold in holds:
        yield from _line(view, hold, (x_mm, bottom))


def _line(view: FloorView, hold: Hold, top_mm: tuple[float, float]) -> Iterator[Item]:
    held = next(one for one in view.held if one.grip == (hold.holder, hold.on))
    place = _place(view, held)
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


def _hoist_labels(view: FloorView, numbers: StepNumbers) -> Iterator[FloorLabel]:
    found, places = _hoists(view), _hoist_places(view)
    for hoist, holds in found.items():
        left = places[hoist] < view.layout.middle_mm
        edge = places[hoist] + (-1 if left else 1) * _width_mm(view) / 2
        rows = list(_hoist_rows(view, hoist, holds, numbers))
        if rows:
            at_mm = (edge, HOIST_MM + 2.0)
            yield FloorLabel(at_mm, tuple(rows), left, part=hoist, rank=1, plain=True)


def _hoist_rows(
    view: FloorView, hoist: str, holds: list[Hold], numbers: StepNumbers
) -> Iterator[str]:
    now, was = numbers.indicator_after_n, numbers.indicator_before_n
    if not holds:
        yield "free, holds nothing"
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
