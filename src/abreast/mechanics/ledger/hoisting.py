"""Actions of lines: pick up, latch, take, slack off, hoist, lower, lay down."""

from __future__ import annotations

from dataclasses import replace

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.fitting import (
    grip_m,
    is_clamp,
    is_free,
    must_fit,
    must_hang,
    takes_sub,
)
from abreast.mechanics.ledger.loads import NOTHING_N, Loads, loads
from abreast.mechanics.ledger.moving import must_be_clear, must_not_stand_free, must_reach_hook
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import Hold, JointState, State
from abreast.model.floor_actions import (
    Hoist,
    Latch,
    LayDown,
    Lower,
    PickUp,
    SlackOff,
    StateTension,
    Take,
    Unlatch,
)
from abreast.model.procedure import FloorHolder, FloorPiece

__all__ = [
    "latch",
    "lay_down",
    "move",
    "pick_up",
    "slack_off",
    "state_tension",
    "take",
    "unlatch",
]

_SAME_M = 1e-6
_ALOFT = ("elevator", "lifting sub", "lifting clamp")


def pick_up(book: Book, state: State, action: PickUp) -> State:
    """New pieces hang from a line, their lower end at the working level."""
    _free_line(book, state, action.line)
    _free_hook(book, state, action.line)
    for name in action.pieces:
        book.piece(name)
        if name in state.offsets:
            raise Fault("order", f"{name} is off the rack already.", "check its id")
    if action.on not in action.pieces:
        raise Fault("order", f"{action.on} is not one of the pieces of this lift.")
    lift = set(action.pieces)
    made: dict[str, JointState] = {
        one.id: "recorded" for one in book.joints.values() if {one.lower, one.upper} <= lift
    }
    for name in made:
        if book.joints[name].sort != "workshop":
            raise Fault(
                "loose",
                f"Joint {name} is made on the floor: its torque can't be there before the lift.",
                "run the pieces one by one, or state the joint as made in the workshop",
            )
    if len(made) < len(lift) - 1:
        raise Fault(
            "loose", f"{' and '.join(action.pieces)} are not joined: they can't go up as one lift."
        )
    hold = _line_hold(book, state, action.line, action.holder, action.on, action.gear)
    bottom_m = min(book.pieces[one].bottom_m for one in lift)
    offset_m = book.level_m(state) - bottom_m
    fitted = state.hold_of(action.holder, action.on)
    holds = tuple(one for one in state.holds if one is not fitted)
    return replace(
        state,
        offsets={**state.offsets, **dict.fromkeys(action.pieces, offset_m)},
        joints={**state.joints, **made},
        holds=(*holds, replace(hold, taut=True)),
    )


def _free_line(book: Book, state: State, line: str) -> None:
    book.line(line)
    hold = state.on_line(line)
    if hold is not None:
        raise Fault(
            "line", f"{line} is on {hold.on} already.", f"unlatch {line} from {hold.on} first"
        )


def _free_hook(book: Book, state: State, line: str) -> None:
    """A fault when the hoist of a line is made fast elsewhere by another of its lines."""
    for hold in state.holds:
        other = book.lines.get(hold.by)
        if other is not None and other.id != line and other.hoist == book.lines[line].hoist:
            raise Fault(
                "line",
                f"{other.id} of the same hoist is on {hold.on}: one hook can't lift new pieces"
                " meanwhile.",
                f"unlatch {other.id} first",
            )


def _line_hold(
    book: Book, state: State, line: str, holder: str, on: str, gear: tuple[str, ...]
) -> Hold:
    """The hold of a line: a clamp or sub fitted before, or an elevator closed now."""
    one, piece = book.holder(holder), book.piece(on)
    for name in gear:
        must_hang(book.holder(name))
        is_free(book, state, name)
    if is_clamp(one) or one.type == "lifting sub":
        fitted = state.hold_of(holder, on)
        if fitted is None:
            raise Fault("fit", f"{holder} is not on {on}.", f"fit {holder} on {on} first")
        if not gear:
            raise Fault(
                "fit", f"Nothing is between {line} and {holder}.", "name slings or elevator"
            )
        if one.type == "lifting sub" and not any(takes_sub(book.holder(name)) for name in gear):
            raise Fault("fit", f"No elevator is closed on lifting sub {holder}.", "name it in gear")
        return replace(fitted, by=line if not fitted.by else fitted.by, gear=gear, taut=False)
    if one.type not in ("elevator", "slings", "tugger", "hook", "other"):
        raise Fault("fit", f"A line can't hold by {one.type} {holder}.")
    is_free(book, state, holder)
    must_fit(book, one, piece)
    _bare_top(book, state, one, piece)
    return Hold(holder, on, grip_m(one, piece), line, False, gear)


def _bare_top(book: Book, state: State, holder: FloorHolder, piece: FloorPiece) -> None:
    if holder.type != "elevator":
        return
    on_top = [one for one in book.at_piece[piece.id] if one.lower == piece.id]
    if any(one.id in state.joints for one in on_top):
        raise Fault("height", f"{piece.id} has something on top: {holder.id} can't be closed on it")


def latch(book: Book, state: State, action: Latch) -> State:
    """A line is on the string and slack."""
    _free_line(book, state, action.line)
    if action.on not in state.offsets:
        book.piece(action.on)
        raise Fault("order", f"{action.on} is on the rack: pick it up instead.")
    hold = _line_hold(book, state, action.line, action.holder, action.on, action.gear)
    _reachable(book, state, hold)
    fitted = state.hold_of(action.holder, action.on)
    if fitted is not None and fitted.by:  # a landed clamp keeps standing, the line is slack on it
        both = replace(fitted, gear=(), by=fitted.by)
        slack = replace(hold, by=action.line, taut=False)
        return replace(state.swap(fitted, both), holds=(*state.swap(fitted, both).holds, slack))
    holds = tuple(one for one in state.holds if one is not fitted)
    return replace(state, holds=(*holds, hold))


def _reachable(book: Book, state: State, hold: Hold) -> None:
    above_m = state.at_m(hold.on, hold.z_m) - book.level_m(state)
    low, high = book.site.reach_m
    kind = book.holders[hold.holder].type
    rides = book.procedure.load_path == "both-held" and kind == "lifting sub"
    if rides or (book.procedure.purpose == "pull" and kind in _ALOFT):
        high = max(high, above_m)  # what stands tall is taken from the board, by a rider
    if not low - book.site.land_play_m <= above_m <= high + _SAME_M:
        raise Fault(
            "height",
            f"{hold.on} would be gripped {book.length(above_m)} above the working level; hands"
            f" reach {book.length(low)} to {book.length(high)}.",
            "bring it to working height first",
        )


def unlatch(book: Book, state: State, action: Unlatch) -> State:
    """The line is free; a clamp or sub stays on the piece."""
    hold = book.hold_on(state, action.line)
    _, high_n = loads(book, state).of(hold)
    if high_n > NOTHING_N or hold.taut:
        raise Fault(
            "empty",
            f"{action.line} may still carry up to {book.load(high_n)} by {hold.holder} on"
            f" {hold.on}.",
            f"let another holder take the load, then slack off {action.line}",
        )
    must_not_stand_free(book, state, hold)
    holder = book.holders[hold.holder]
    stays = is_clamp(holder) or holder.type == "lifting sub"
    twin = next(
        (o for o in state.holds if o is not hold and o.holder == hold.holder and o.on == hold.on),
        None,
    )
    if not stays or twin is not None:
        return state.swap(hold, None)
    return state.swap(hold, replace(hold, by="", gear=()))


def take(book: Book, state: State, action: Take) -> State:
    """Lines carry the whole component; all else on it is slack."""
    mine = [book.hold_on(state, line) for line in action.lines]
    found = loads(book, state)
    numbers = {found.component[one.on] for one in mine}
    if len(numbers) > 1:
        raise Fault("line", f"{' and '.join(action.lines)} are on different strings.")
    number = numbers.pop()
    for hold in mine:
        _no_entered(book, state, hold.on, found)

    def after(one: Hold) -> Hold:
        if found.component.get(one.on) != number:
            return one
        taut = any(one is two for two in mine)
        return replace(one, taut=taut, least_n=None, most_n=None)

    moved = replace(state, holds=tuple(after(one) for one in state.holds))
    must_reach_hook(book, moved)
    return moved


def _no_entered(book: Book, state: State, on: str, found: Loads) -> None:
    members = set(found.members(on))
    for name, how in state.joints.items():
        joint = book.joints[name]
        if how == "entered" and {joint.lower, joint.upper} & members:
            raise Fault(
                "loose",
                f"Joint {name} is entered but not made up: no load through it.",
                f"make up {name} first",
            )


def slack_off(book: Book, state: State, action: SlackOff) -> State:
    """Lines give their load to what is landed, set or latched otherwise."""
    mine = [book.hold_on(state, line) for line in action.lines]
    found = loads(book, state)
    numbers = {found.component[one.on] for one in mine}

    def engaged(one: Hold, number: int) -> bool:
        same = found.component.get(one.on) == number
        return same and not any(one is two for two in mine) and bool(one.by)

    for number in numbers:
        heirs = [one for one in state.holds if engaged(one, number)]
        if not heirs:
            on = next(one.on for one in mine if found.component[one.on] == number)
            raise Fault(
                "held",
                f"Nothing else holds {on}: if {' and '.join(action.lines)} slack off, it falls.",
                "land a clamp on the plate or set slips first",
            )

    def after(one: Hold) -> Hold:
        if any(one is two for two in mine):
            return replace(one, taut=False, least_n=None, most_n=None)
        if any(engaged(one, number) for number in numbers):
            keeps = one.taut or one.by not in book.lines
            return replace(one, taut=keeps, least_n=None, most_n=None)
        return one

    slacked = replace(state, holds=tuple(after(one) for one in state.holds))
    for number in numbers:
        if not any(one.taut and found.component.get(one.on) == number for one in slacked.holds):
            on = next(one.on for one in mine if found.component[one.on] == number)
            raise Fault("held", f"The other line on {on} is slack too: nothing would hold it.")
    return slacked


def state_tension(book: Book, state: State, action: StateTension) -> State:
    """A check bounds the load of a line until the next action that can shift it."""
    hold = book.hold_on(state, action.line)
    low_n, high_n = loads(book, state).of(hold)
    if not hold.taut:
        raise Fault("slack", f"{action.line} is slack: it carries nothing.", "take with it first")
    most_n = action.most_n if action.most_n is not None else high_n
    if action.least_n > high_n + NOTHING_N or most_n < max(low_n, action.least_n) - NOTHING_N:
        raise Fault(
            "rating",
            f"{action.line} is said to carry {book.load(action.least_n)} to {book.load(most_n)};"
            f" by weight it carries {book.load(low_n)} to {book.load(high_n)}: something hangs up,"
            " or something else carries.",
            "stop and find out",
        )
    return state.swap(hold, replace(hold, least_n=action.least_n, most_n=action.most_n))


def move(book: Book, state: State, action: Hoist | Lower) -> State:
    """The string of the lines comes to a new height."""
    mine = [book.hold_on(state, line) for line in action.lines]
    found = loads(book, state)
    numbers = {found.component[one.on] for one in mine}
    if len(numbers) > 1:
        raise Fault("line", f"{' and '.join(action.lines)} are on different strings.")
    members = set(found.members(mine[0].on))
    by_m = action.to_m - (state.offsets[mine[0].on] + action.z_m)
    _direction(book, action, by_m)
    must_be_clear(book, state, action, members, mine, found, by_m)
    offsets = {piece: at + by_m if piece in members else at for piece, at in state.offsets.items()}
    one_hoist = len({book.lines[line].hoist for line in action.lines}) == 1

    def after(one: Hold) -> Hold | None:
        if one.on not in members:
            return one
        if one.by and one.by not in book.lines:  # a landed clamp leaves the plate
            hung = any(one.holder == two.holder and one.on == two.on for two in mine)
            return None if hung else replace(one, by="", taut=False)
        return one if one_hoist else replace(one, least_n=None, most_n=None)

    kept = tuple(new for one in state.holds if (new := after(one)) is not None)
    moved = replace(state, offsets=offsets, holds=kept)
    must_reach_hook(book, moved)
    return moved


def _direction(book: Book, action: Hoist | Lower, by_m: float) -> None:
    if action.do == "lower" and by_m > _SAME_M:
        raise Fault(
            "height",
            f"This lowering would raise the string by {book.length(by_m)}.",
            "a lowering before it is missing or the heights are wrong",
        )
    if action.do == "hoist" and by_m < -_SAME_M:
        raise Fault(
            "height",
            f"This hoisting would lower the string by {book.length(-by_m)}.",
            "a hoisting before it is missing or the heights are wrong",
        )


def lay_down(book: Book, state: State, action: LayDown) -> State:
    """What hangs from the line alone goes back to the rack."""
    hold = book.hold_on(state, action.line)
    found = loads(book, state)
    members = set(found.members(hold.on))
    others = [one for one in state.holds if one.on in members and one is not hold and one.by]
    if others or not hold.taut:
        named = ", ".join(one.holder for one in others) or "the line is slack"
        raise Fault("line", f"{hold.on} does not hang from {action.line} alone: {named}.")
    _above_level(book, state, members)
    for name in state.joints:
        joint = book.joints[name]
        if len({joint.lower, joint.upper} & members) == 1:
            raise Fault("order", f"Joint {name} is not parted.", f"break out and part {name}")
    clamped = [
        one
        for one in state.twin_clamps
        if {book.clamps[one].esp, book.clamps[one].bypass} & members
    ]
    if clamped:
        raise Fault("order", f"Twin clamp {clamped[0]} is still on.", f"take {clamped[0]} off")
    if state.mle and book.procedure.cable and book.procedure.cable.piece in members:
        raise Fault("cable", "The MLE is still connected.", "disconnect the MLE first")
    stays = tuple(
        replace(one, by="", gear=(), taut=False)
        for one in state.holds
        if one.on in members
        and (is_clamp(book.holders[one.holder]) or book.holders[one.holder].type == "lifting sub")
    )
    return replace(
        state,
        offsets={piece: at for piece, at in state.offsets.items() if piece not in members},
        joints={
            name: how
            for name, how in state.joints.items()
            if book.joints[name].lower not in members
        },
        holds=(*(one for one in state.holds if one.on not in members), *stays),
        locked_seats=frozenset(
            one for one in state.locked_seats if book.joints[one].lower not in members
        ),
    )


def _above_level(book: Book, state: State, members: set[str]) -> None:
    lowest = min(members, key=lambda one: state.at_m(one, book.pieces[one].bottom_m))
    at_m = state.at_m(lowest, book.pieces[lowest].bottom_m)
    if at_m < book.level_m(state) - book.site.land_play_m:
        raise Fault(
            "height",
            f"{lowest} still hangs in the hole: its lower end is"
            f" {book.length(book.level_m(state) - at_m)} below the working level.",
            "hoist, hold the lower part, and break out what is above",
        )
