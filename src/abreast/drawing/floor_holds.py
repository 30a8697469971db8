"""Holders on a step picture, with their loads, and those that this step took off."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from abreast.drawing.floor_changes import Grip
from abreast.drawing.floor_hoists import hoist_items, hoist_labels, holder_place
from abreast.drawing.floor_labels import FloorLabel
from abreast.drawing.floor_scaled import scaled
from abreast.drawing.floor_symbols import HALF_MM, Mark, extent, ghost, symbol
from abreast.drawing.floor_view import FloorView, Held
from abreast.drawing.scene import Item, Rect
from abreast.mechanics.ledger import StepNumbers
from abreast.mechanics.ledger.state import Guard, Hold

__all__ = ["hold_items", "hold_labels"]

_CARRIES_N = 0.5
_ICON = 0.6
_OVER_SLIPS_MM = 4.2


def hold_items(view: FloorView, numbers: StepNumbers) -> Iterator[Item]:
    """Lines first, then the holders over them."""
    yield from hoist_items(view)
    for held in view.held:
        place = holder_place(view, held)
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
    yield from hoist_labels(view, numbers)


# --- holders ----------------------------------------------------------------------------


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
    place = holder_place(view, held)
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
