"""May the string move: clear, no slack, cable free, hook high enough?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.closed import is_closed
from abreast.mechanics.ledger.loads import NOTHING_N, Loads, loads
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import Hold, State
from abreast.model.floor_actions import Hoist, Lower

__all__ = [
    "must_be_clear",
    "must_not_be_slack",
    "must_not_stand_free",
    "must_pass",
    "must_reach_hook",
]

_SAME_M = 1e-6


def must_be_clear(
    book: Book,
    state: State,
    action: Hoist | Lower,
    members: set[str],
    mine: Sequence[Hold],
    found: Loads,
    by_m: float,
) -> None:
    """A fault when anything is in the way of a move of ``by_m``, up positive."""
    _carried_by_lines(book, state, members, mine)
    _hoist_alone(book, state, members, mine)
    _not_tied(book, state, members)
    _no_loose_joint(book, state, members)
    must_not_be_slack(book, state, members, found)
    _cable(book, state, members)
    if action.do == "lower":
        _hole_open(state, members)
        _clamps_stay_above(book, state, members, by_m)
        _recorded(book, state, members, by_m)
        _nothing_forgotten(book, state, members, by_m)
    must_pass(book, state, members, by_m)


def _carried_by_lines(book: Book, state: State, members: set[str], mine: Sequence[Hold]) -> None:
    for one in state.holds:
        if one.on not in members or any(one is two for two in mine):
            continue
        kind = book.holders[one.holder].type
        if kind == "slips":
            raise Fault("clear", f"Slips {one.holder} are still set on {one.on}.", "pull the slips")
        if one.taut:
            raise Fault(
                "clear",
                f"{one.holder} on {one.on} still carries.",
                "let the lines take the whole load first",
            )
        if one.by in book.lines:
            raise Fault("line", f"{one.by} is still on {one.on}.", f"unlatch {one.by}")
    for one in mine:
        if not one.taut:
            raise Fault(
                "slack", f"{one.by} is slack on {one.on}.", f"let {one.by} take the load first"
            )


def _hoist_alone(book: Book, state: State, members: set[str], mine: Sequence[Hold]) -> None:
    """A fault when a hoist that moves is also on something else."""
    moving = {book.lines[one.by].hoist for one in mine}
    for one in state.holds:
        if one.by in book.lines and one.on not in members and book.lines[one.by].hoist in moving:
            raise Fault(
                "line",
                f"{one.by} is on {one.on} and moves with the same hoist.",
                f"unlatch {one.by} first",
            )


def _not_tied(book: Book, state: State, members: set[str]) -> None:
    """A fault when a twin clamp ties what moves to what stands."""
    for name in state.twin_clamps:
        clamp = book.clamps[name]
        if len({clamp.esp, clamp.bypass} & members) == 1:
            raise Fault(
                "clear",
                f"Twin clamp {name} ties {clamp.esp} to {clamp.bypass}, and only one would move.",
                f"take {name} off, or move both",
            )


def _no_loose_joint(book: Book, state: State, members: set[str]) -> None:
    for name, how in state.joints.items():
        joint = book.joints[name]
        if how == "entered" and {joint.lower, joint.upper} & members:
            raise Fault(
                "loose", f"Joint {name} is entered but not made up.", f"make up {name} first"
            )


def must_not_be_slack(book: Book, state: State, members: set[str], found: Loads) -> None:
    """A fault when the ESP side could be slack or pushed while a twin string moves."""
    if book.procedure.load_path == "bypass-held":
        return
    strings = {book.pieces[one].string for one in members}
    if "esp" not in strings or "Y-tool" in strings or not strings - {"esp"}:
        return
    esp = [
        low
        for hold, low, _ in found.holds
        if hold.taut and hold.on in members and book.pieces[hold.on].string == "esp"
    ]
    if not esp or max(esp) <= NOTHING_N:
        raise Fault(
            "slack",
            "The ESP side could hang slack, or be pushed together on its cable, while the string"
            " moves.",
            "hold the ESP by its lifting clamp, and state by a check that its line is tight",
        )


def must_not_stand_free(book: Book, state: State, freed: Hold) -> None:
    """A fault when the ESP would stand on its seat with nothing on it that holds it."""
    if book.procedure.load_path == "bypass-held" or book.pieces[freed.on].string != "esp":
        return
    found = loads(book, state)
    members = set(found.members(freed.on))
    strings = {book.pieces[one].string for one in members}
    if "Y-tool" in strings or not strings - {"esp"}:
        return
    on_esp = [one for one in state.holds if one.on in members and one is not freed and one.by]
    if not any(book.pieces[one.on].string == "esp" for one in on_esp):
        raise Fault(
            "slack",
            "The ESP would stand on its seat, pushed by its own weight, with nothing to hold it.",
            "land its lifting clamp, or keep the line",
        )


def _cable(book: Book, state: State, members: set[str]) -> None:
    cable = book.procedure.cable
    if cable is None or not state.mle or cable.piece not in members or state.reel == "follow":
        return
    raise Fault(
        "cable",
        "The cable is connected and the reel is held: moving the string would pull the cable.",
        "let the reel follow first",
    )


def _hole_open(state: State, members: set[str]) -> None:
    if state.covered:
        raise Fault("clear", "The hole is covered.", "take the cover away and count the tools")
    for guard in state.guards:
        if guard.on in members:
            raise Fault(
                "clear",
                f"Safety clamp {guard.holder} is still on {guard.on}.",
                f"take {guard.holder} off before lowering",
            )
    for one in state.holds:
        if one.on in members and one.by in ("plate", "rotary"):
            raise Fault(
                "clear",
                f"{one.holder} stands on the {one.by}: the string can't go down.",
                "hoist, take it off, then lower",
            )


def _clamps_stay_above(book: Book, state: State, members: set[str], by_m: float) -> None:
    level_m = book.level_m(state)
    for one in state.holds:
        if one.on not in members:
            continue
        at_m = state.at_m(one.on, one.z_m) + by_m
        if at_m < level_m - book.site.land_play_m:
            raise Fault(
                "lost",
                f"{one.holder} on {one.on} would go {book.length(level_m - at_m)} below the"
                " working level.",
                f"take {one.holder} off first, or lower less",
            )


def _recorded(book: Book, state: State, members: set[str], by_m: float) -> None:
    level_m = book.level_m(state)
    for name, how in state.joints.items():
        joint = book.joints[name]
        if how == "recorded" or joint.lower not in members or joint.sort in ("seat", "workshop"):
            continue
        if state.at_m(joint.lower, joint.z_m) + by_m < level_m - _SAME_M:
            raise Fault(
                "torque",
                f"Joint {name} would go below the working level and its torque is not recorded.",
                f"record the torque of {name}",
            )


def _nothing_forgotten(book: Book, state: State, members: set[str], by_m: float) -> None:
    """A fault when a twin clamp, the MLE or the lock of the union would be left behind."""
    if book.procedure.purpose == "pull":
        return
    lowest_m = book.level_m(state) + book.site.reach_m[0] - book.site.land_play_m - by_m
    for clamp in book.procedure.clamps:
        if clamp.id in state.twin_clamps or clamp.esp not in members:
            continue
        if state.at_m(clamp.esp, clamp.z_m) < lowest_m:
            raise Fault(
                "order",
                f"The place of {clamp.id} would go below the reach of hands, and it is not fitted.",
                f"fit {clamp.id} first",
            )
    cable = book.procedure.cable
    if cable is not None and not state.mle and cable.piece in members:
        low_m = lowest_m + min(0.0, (cable.reach_m or book.site.reach_m)[0] - book.site.reach_m[0])
        if state.at_m(cable.piece, cable.z_m) < low_m:
            raise Fault(
                "cable",
                "The pothead would go below the reach of hands, and the MLE is not connected.",
                "connect the MLE first",
            )
    if is_closed(book, state) and not state.union_locked:
        raise Fault(
            "order", "The frame is closed and the union is not locked.", "lock the union first"
        )


def must_pass(book: Book, state: State, members: Iterable[str], by_m: float) -> None:
    """A fault when a piece is too wide for plate or rotary that it passes or stands in."""
    for at_m, opening_m, what, there in (
        (book.site.plate_m, book.site.plate_opening_m, "the closed plate", state.plate == "closed"),
        (0.0, book.site.rotary_opening_m, "the rotary", True),
    ):
        if opening_m is None or not there:
            continue
        for name in members:
            piece = book.pieces[name]
            if piece.max_od_m is None or piece.max_od_m <= opening_m:
                continue
            low = state.at_m(name, piece.bottom_m) + min(by_m, 0.0)
            high = state.at_m(name, piece.top_m) + max(by_m, 0.0)
            if low < at_m < high:
                raise Fault(
                    "clear",
                    f"{name} ({book.small(piece.max_od_m)}) does not pass {what}"
                    f" ({book.small(opening_m)}).",
                    f"open {what}",
                )


def must_reach_hook(book: Book, state: State) -> None:
    """A fault when a line's hook would be too high, or slings too short beside the bypass."""
    for hold in state.holds:
        if hold.by not in book.lines or hold.on not in state.offsets:
            continue
        line = book.lines[hold.by]
        gear_m = sum(book.holders[one].length_m for one in hold.gear)
        hook_m = state.at_m(hold.on, hold.z_m) + gear_m + book.site.block_clearance_m
        if line.hook_max_m is not None and hook_m > line.hook_max_m + _SAME_M:
            raise Fault(
                "height",
                f"The hook of {hold.by} would stand {book.length(hook_m)} above the floor; it"
                f" reaches {book.length(line.hook_max_m)}.",
                "use shorter gear or a shorter lift",
            )
        _slings(book, state, hold)


def _slings(book: Book, state: State, hold: Hold) -> None:
    slings = [book.holders[one] for one in hold.gear if book.holders[one].type == "slings"]
    if not slings or book.pieces[hold.on].string != "esp":
        return
    tops = [
        state.at_m(name, book.pieces[name].top_m)
        for name in state.offsets
        if book.pieces[name].string == "bypass"
    ]
    if not tops:
        return
    needs_m = max(tops) - state.at_m(hold.on, hold.z_m) + book.site.sling_margin_m
    have_m = sum(one.length_m for one in slings)
    if have_m > 0 and needs_m > have_m + _SAME_M:
        raise Fault(
            "height",
            f"The bypass stands up beside slings of {book.length(have_m)}: {book.length(needs_m)}"
            f" are needed above {hold.holder}.",
            "use longer slings, or run the bypass later",
        )
