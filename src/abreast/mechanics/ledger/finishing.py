"""Actions of cable and union, confirmations, and the hand-over."""

from __future__ import annotations

from dataclasses import replace

from abreast.mechanics.ledger.book import Book, is_final_count
from abreast.mechanics.ledger.closed import is_closed, legs
from abreast.mechanics.ledger.joining import covered, must_reach
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import State
from abreast.model.floor_actions import (
    Confirm,
    ConnectMle,
    DisconnectMle,
    HandOver,
    LockUnion,
    Reel,
    Remark,
    SnugUnion,
    Splice,
    TurnUnion,
    UnlockUnion,
)
from abreast.model.procedure import CableLine, Due, FloorUnion

__all__ = [
    "confirm",
    "connect_mle",
    "disconnect_mle",
    "hand_over",
    "lock_union",
    "reel",
    "remark",
    "snug_union",
    "splice",
    "turn_union",
    "unlock_union",
]


def _cable(book: Book) -> CableLine:
    if book.procedure.cable is None:
        raise Fault("known", "The procedure has no cable.")
    return book.procedure.cable


def _at_pothead(book: Book, state: State) -> None:
    cable = _cable(book)
    if cable.piece not in state.offsets:
        raise Fault("order", f"{cable.piece} with the pothead is not there yet.")
    at_m = state.at_m(cable.piece, cable.z_m)
    must_reach(book, state, at_m, cable.reach_m or book.site.reach_m, "The pothead")
    covered(state)


def connect_mle(book: Book, state: State, action: ConnectMle) -> State:
    """The MLE is on; the reel holds."""
    _at_pothead(book, state)
    if state.mle:
        raise Fault("order", "The MLE is connected already.")
    return replace(state, mle=True, reel="hold")


def disconnect_mle(book: Book, state: State, action: DisconnectMle) -> State:
    """The MLE is off."""
    _at_pothead(book, state)
    if not state.mle:
        raise Fault("order", "The MLE is not connected.")
    for name in state.twin_clamps:
        if book.clamps[name].z_m > _cable(book).z_m:
            raise Fault("cable", f"{name} still holds the MLE.", f"take {name} off first")
    return replace(state, mle=False, reel="hold")


def reel(book: Book, state: State, action: Reel) -> State:
    """The reel follows or holds."""
    _cable(book)
    return replace(state, reel=action.to)


def splice(book: Book, state: State, action: Splice) -> State:
    """MLE and power cable are one."""
    cable = _cable(book)
    if not state.mle:
        raise Fault("cable", "The MLE is not connected: there is nothing to splice.")
    if state.spliced:
        raise Fault("order", "The cable is spliced already.")
    if state.reel != "hold":
        raise Fault("cable", "The reel follows while the cable is cut.", "hold the reel first")
    union = book.procedure.union
    if union is not None and not is_closed(book, state):
        raise Fault("order", "The frame is not closed yet; the splice sits above the Y-tool.")
    if cable.splice_z_m is None:
        raise Fault("known", "The procedure states no splice.")
    covered(state)
    return replace(state, spliced=True)


def _union(book: Book) -> FloorUnion:
    if book.procedure.union is None:
        raise Fault("known", "The procedure has no adjustable union.")
    return book.procedure.union


def _must_be_closed(book: Book, state: State, union: FloorUnion) -> None:
    for name in legs(book, union):
        if state.joints.get(name) not in ("made", "recorded"):
            raise Fault(
                "order", f"Joint {name} of the frame is not made up.", f"make up {name} first"
            )


def snug_union(book: Book, state: State, action: SnugUnion) -> State:
    """The union is snug; turns count from here."""
    _must_be_closed(book, state, _union(book))
    if state.union_locked or state.union_turns is not None:
        raise Fault("order", "The union was snug before.")
    carrying = next((one for one in state.holds if one.taut), None)
    held = None
    if carrying is not None:
        held = (book.pieces[carrying.on].string, carrying.z_m)
    return replace(state, union_turns=0.0, snug=held)


def turn_union(book: Book, state: State, action: TurnUnion) -> State:
    """The union takes the bypass up, or gives it back."""
    union = _union(book)
    _must_be_closed(book, state, union)
    if state.union_locked and (book.procedure.purpose == "run" or action.turns > 0):
        raise Fault("order", "The union is locked.", "unlock it first")
    if state.union_turns is None:
        raise Fault(
            "order", "The union is not snug: turns have no zero.", "run it to snug and mark it"
        )
    turns = state.union_turns + action.turns
    _in_stroke(book, union, turns)
    covered(state)
    return replace(state, union_turns=turns)


def _in_stroke(book: Book, union: FloorUnion, turns: float) -> None:
    if union.travel_m is None or union.to_closed_m is None:
        return
    taken_m = turns * union.travel_m
    if taken_m > union.to_closed_m + 1e-9:
        raise Fault(
            "height",
            f"{turns:g} turns need {book.length(taken_m)} of stroke;"
            f" {book.length(union.to_closed_m)} is left to closed.",
            "stop: find the wrong length before closing",
        )
    if union.to_open_m is not None and -taken_m > union.to_open_m + 1e-9:
        raise Fault("height", f"{-turns:g} turns back would open the union to its end.")


def lock_union(book: Book, state: State, action: LockUnion) -> State:
    """The union is locked as turned."""
    union = _union(book)
    _must_be_closed(book, state, union)
    if state.union_locked:
        raise Fault("order", "The union is locked already.")
    if state.union_turns is None:
        raise Fault("order", "The union is not snug.", "run it to snug and mark it")
    wanted = union.turns_wanted
    if wanted is not None and abs(state.union_turns - wanted) > 0.13:
        raise Fault(
            "order",
            f"The union stands {state.union_turns:g} turns from snug; the programme says"
            f" {wanted:g}.",
            f"turn {wanted - state.union_turns:+g} turns first",
        )
    covered(state)
    return replace(state, union_locked=True)


def unlock_union(book: Book, state: State, action: UnlockUnion) -> State:
    """The lock is open; turns can be given back."""
    if not state.union_locked:
        raise Fault("order", "The union is not locked.")
    if state.union_turns and abs(state.union_turns) > 1e-9:
        raise Fault(
            "empty",
            f"The union still carries {state.union_turns:g} turns: unlocked under load it jumps.",
            "let block or clamp hold, and turn back the recorded turns first",
        )
    covered(state)
    return replace(state, union_locked=False)


def confirm(book: Book, state: State, action: Confirm) -> State:
    """Something due is done."""
    due = book.dues.get(action.due)
    if due is None:
        raise Fault("known", f"Nothing is due by the name {action.due!r:.60}.")
    if due.after and due.after not in state.done:
        raise Fault(
            "due", f"'{due.id}' is confirmed too early: {due.text} comes after '{due.after}'."
        )
    _can_be_done(book, state, due)
    return replace(state, confirmed=state.confirmed | {due.id})


def _can_be_done(book: Book, state: State, due: Due) -> None:
    """A fault when what is confirmed can't be true yet: too little there, or too much left."""
    cable, union = book.procedure.cable, book.procedure.union
    if is_final_count(due):
        _counted_in(book, state)
    if due.id == "reading before MLE" and cable is not None and cable.piece not in state.offsets:
        raise Fault("due", f"'{due.id}' is confirmed too early: {cable.piece} is on the rack.")
    if due.id == "reading before splice" and not state.mle:
        raise Fault("due", f"'{due.id}' is confirmed too early: the MLE is not connected.")
    if due.id == "face difference" and union is not None:
        for name in legs(book, union):
            joint = book.joints[name]
            faces = {"esp", "bypass"} & {book.pieces[joint.lower].string}
            if faces and joint.lower not in state.offsets:
                raise Fault(
                    "due",
                    f"'{due.id}' is confirmed too early: {joint.lower} is not there to measure.",
                )


def remark(book: Book, state: State, action: Remark) -> State:
    """Nothing changes."""
    return state


def hand_over(book: Book, state: State, action: HandOver) -> State:
    """All is as it must be at the end."""
    if book.procedure.purpose == "pull":
        _empty_hole(state)
    else:
        _complete(book, state)
    _counted_in(book, state)
    if state.plate != "off":
        raise Fault("clear", "The false rotary is still there.", "remove the false rotary")
    if state.covered:
        raise Fault("clear", "The cover is still on.", "count the tools and take the cover away")
    for hold in state.holds:
        if hold.by in ("plate", "rotary") and not hold.taut:
            raise Fault(
                "held",
                f"{hold.holder} is set on {hold.on} and carries nothing.",
                "slack off until it carries, or take it out",
            )
    return replace(state, handed_over=True)


def _empty_hole(state: State) -> None:
    if state.offsets:
        raise Fault("order", f"{next(iter(state.offsets))} is not laid down yet.")


def _complete(book: Book, state: State) -> None:
    for name in book.pieces:
        if name not in state.offsets:
            raise Fault("order", f"{name} has not been run.", f"run {name}")
    for joint in book.joints.values():
        if state.joints.get(joint.id) != "recorded" and joint.sort not in ("seat", "workshop"):
            raise Fault(
                "torque", f"Joint {joint.id} is not made up and recorded.", f"record {joint.id}"
            )
        if joint.sort == "seat" and joint.retained and joint.id not in state.locked_seats:
            raise Fault(
                "seat", f"The retainer of {joint.id} is not locked.", f"lock the seat {joint.id}"
            )
    _seated(book, state)
    for name in book.clamps:
        if name not in state.twin_clamps:
            raise Fault("order", f"Twin clamp {name} is not fitted.", f"fit {name}")
    if book.procedure.union is not None and not state.union_locked:
        raise Fault("order", "The union is not locked.", "lock the union")
    cable = book.procedure.cable
    if cable is not None and not state.mle:
        raise Fault("cable", "The MLE is not connected.")
    if cable is not None and cable.splice_z_m is not None and not state.spliced:
        raise Fault("cable", "The cable is not spliced.", "splice the cable")


def _seated(book: Book, state: State) -> None:
    for joint in book.joints.values():
        if joint.sort == "seat" and state.joints.get(joint.id) not in ("made", "recorded"):
            raise Fault("seat", f"The ESP is not on its seat {joint.id}.", f"make up {joint.id}")
        if joint.sort == "seat" and joint.retained and joint.id not in state.locked_seats:
            raise Fault(
                "seat", f"The ESP's seat, joint {joint.id}, is not locked.", f"lock {joint.id}"
            )


def _counted_in(book: Book, state: State) -> None:
    for hold in state.holds:
        holder = book.holders[hold.holder]
        if holder.type in ("lifting clamp", "holding clamp", "lifting sub") and not (
            hold.by and book.pieces[hold.on].string in ("Y-tool", "tubing")
        ):
            raise Fault(
                "lost", f"{holder.id} is still on {hold.on}.", f"take {holder.id} off and count"
            )
    for guard in state.guards:
        held = any(
            one.on == guard.on and book.holders[one.holder].type == "slips" for one in state.holds
        )
        if not held:
            raise Fault(
                "lost", f"{guard.holder} is still on {guard.on}.", f"take {guard.holder} off"
            )
