"""Actions of holders: clamps, slips, safety clamps, the plate and the cover."""

from __future__ import annotations

from dataclasses import replace

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.fitting import (
    grip_m,
    is_clamp,
    is_free,
    must_fit,
    must_grip_slick,
    sub_on,
)
from abreast.mechanics.ledger.joining import covered
from abreast.mechanics.ledger.loads import NOTHING_N, loads
from abreast.mechanics.ledger.moving import must_pass
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import PLATE, Guard, Hold, State
from abreast.model.floor_actions import (
    Cover,
    Fit,
    FitSafetyClamp,
    Land,
    PullSlips,
    Remove,
    RemoveSafetyClamp,
    SetPlate,
    SetSlips,
)
from abreast.model.procedure import FloorHolder

__all__ = [
    "cover",
    "fit",
    "fit_safety_clamp",
    "land",
    "pull_slips",
    "remove",
    "remove_safety_clamp",
    "set_plate",
    "set_slips",
]


_DEEP_M = 0.01


def fit(book: Book, state: State, action: Fit) -> State:
    """A clamp or lifting sub is on a piece and carries nothing."""
    holder, piece = book.holder(action.holder), book.piece(action.on)
    if not is_clamp(holder) and holder.type != "lifting sub":
        raise Fault("fit", f"{holder.id} is a {holder.type}: it is latched or set, not fitted.")
    if state.hold_of(holder.id, piece.id) is not None:
        raise Fault("order", f"{holder.id} is on {piece.id} already.")
    is_free(book, state, holder.id)
    _no_bolts_fall(state, holder, piece.id)
    z_m = grip_m(holder, piece)
    if holder.type == "holding clamp":
        z_m = _at_plate(book, state, piece.id)
        must_grip_slick(book, holder, piece, z_m)
    else:
        must_fit(book, holder, piece)
    if holder.type == "lifting sub":
        _bare(book, state, piece.id, holder.id)
    return replace(state, holds=(*state.holds, Hold(holder.id, piece.id, z_m)))


def _no_bolts_fall(state: State, holder: FloorHolder, on: str) -> None:
    """A fault when a clamp is bolted on or off over the open hole; on the rack nothing falls."""
    if on in state.offsets and is_clamp(holder):
        covered(state)


def _at_plate(book: Book, state: State, piece: str) -> float:
    """The height of a piece that stands at the plate [m]."""
    if piece not in state.offsets:
        raise Fault("order", f"{piece} is on the rack: a holding clamp is fitted at the plate.")
    return book.site.plate_m - state.offsets[piece]


def _bare(book: Book, state: State, piece: str, holder: str) -> None:
    if sub_on(book, state, piece):
        raise Fault("order", f"{piece} has a lifting sub on already.")
    for joint in book.at_piece[piece]:
        if joint.lower == piece and joint.id in state.joints:
            raise Fault("height", f"{piece} has {joint.upper} on top: {holder} does not go on.")


def remove(book: Book, state: State, action: Remove) -> State:
    """The holder is off; it carried nothing."""
    book.piece(action.on)
    book.holder(action.holder)
    on = [one for one in state.holds if (one.holder, one.on) == (action.holder, action.on)]
    if not on:
        raise Fault("order", f"{action.holder} is not on {action.on}.")
    _no_bolts_fall(state, book.holder(action.holder), action.on)
    found = loads(book, state)
    for hold in on:
        high_n = found.of(hold)[1]
        if hold.taut or high_n > NOTHING_N:
            raise Fault(
                "empty",
                f"{action.holder} on {action.on} may still carry up to {book.load(high_n)}.",
                "let another holder take the load, and see it empty",
            )
        if hold.by in book.lines:
            raise Fault(
                "empty",
                f"{hold.by} is still on {action.holder}: it would come off with the line.",
                f"unlatch {hold.by} first",
            )
    return replace(state, holds=tuple(one for one in state.holds if one not in on))


def land(book: Book, state: State, action: Land) -> State:
    """A clamp stands on the plate and carries nothing yet."""
    holder = book.holder(action.holder)
    if not is_clamp(holder):
        raise Fault("fit", f"{holder.id} is a {holder.type}: it does not stand on the plate.")
    there = [one for one in state.holds if one.holder == holder.id and one.on in state.offsets]
    hold = min(
        there,
        key=lambda one: abs(state.at_m(one.on, one.z_m) - book.site.plate_m),
        default=None,
    )
    if hold is None:
        raise Fault("order", f"{holder.id} is on nothing over the hole.", f"fit {holder.id} first")
    if state.plate != "closed":
        raise Fault("clear", "The plate of the false rotary is not closed.", "close the plate")
    if any(one.holder == holder.id and one.by == PLATE for one in state.holds):
        raise Fault("order", f"{holder.id} stands on the plate already.")
    off_m = state.at_m(hold.on, hold.z_m) - book.site.plate_m
    if abs(off_m) > book.site.land_play_m:
        side = "above" if off_m > 0 else "below"
        raise Fault(
            "height",
            f"{holder.id} on {hold.on} is {book.length(abs(off_m))} {side} the plate: it can't"
            " stand on it.",
            "lower until it stands on the plate" if off_m > 0 else "hoist first",
        )
    if hold.by:
        return replace(
            state,
            holds=(
                *state.holds,
                replace(hold, by=PLATE, taut=False, gear=(), least_n=None, most_n=None),
            ),
        )
    return state.swap(hold, replace(hold, by=PLATE))


def set_slips(book: Book, state: State, action: SetSlips) -> State:
    """Slips are set at their support and carry nothing yet."""
    holder, piece = book.holder(action.holder), book.piece(action.on)
    if holder.type != "slips":
        raise Fault("fit", f"{holder.id} is a {holder.type}, not slips.")
    is_free(book, state, holder.id)
    if action.on not in state.offsets:
        raise Fault("order", f"{action.on} is on the rack.")
    if action.support == PLATE and state.plate != "closed":
        raise Fault("clear", "The plate of the false rotary is not closed.", "close the plate")
    z_m = book.support_m(action.support) - state.offsets[piece.id]
    must_grip_slick(book, holder, piece, z_m)
    return replace(
        state, holds=(*state.holds, Hold(holder.id, piece.id, z_m, action.support, False))
    )


def pull_slips(book: Book, state: State, action: PullSlips) -> State:
    """Slips are out; they carried nothing."""
    book.holder(action.holder)
    hold = state.hold_of(action.holder)
    if hold is None:
        raise Fault("order", f"{action.holder} are not set.")
    high_n = loads(book, state).of(hold)[1]
    if hold.taut or high_n > NOTHING_N:
        raise Fault(
            "empty",
            f"Slips {action.holder} may still carry up to {book.load(high_n)}.",
            "let a line take the load first",
        )
    return state.swap(hold, None)


def fit_safety_clamp(book: Book, state: State, action: FitSafetyClamp) -> State:
    """A safety clamp is on, close above the slips on the same piece."""
    holder, piece = book.holder(action.holder), book.piece(action.on)
    if holder.type != "safety clamp":
        raise Fault("fit", f"{holder.id} is a {holder.type}, not a safety clamp.")
    is_free(book, state, holder.id)
    slips = [
        one
        for one in state.holds
        if one.on == piece.id and book.holders[one.holder].type == "slips"
    ]
    if not slips:
        raise Fault("back-up", f"No slips are set on {piece.id}.", "set the slips first")
    if action.gap_m > book.site.safety_gap_m + 1e-9:
        raise Fault(
            "back-up",
            f"Safety clamp {holder.id} would sit {book.length(action.gap_m)} above the slips; at"
            f" most {book.length(book.site.safety_gap_m)} is allowed.",
            "set it lower",
        )
    z_m = slips[0].z_m + action.gap_m
    must_grip_slick(book, holder, piece, z_m)
    guard = Guard(holder.id, piece.id, z_m, action.gap_m)
    return replace(state, guards=(*state.guards, guard))


def remove_safety_clamp(book: Book, state: State, action: RemoveSafetyClamp) -> State:
    """The safety clamp is off."""
    book.holder(action.holder)
    guards = tuple(one for one in state.guards if one.holder != action.holder)
    if len(guards) == len(state.guards):
        raise Fault("order", f"Safety clamp {action.holder} is not fitted.")
    return replace(state, guards=guards)


def set_plate(book: Book, state: State, action: SetPlate) -> State:
    """The false rotary is open, closed or off."""
    standing = [one for one in state.holds if one.by == PLATE]
    if standing and action.to != "closed":
        one = standing[0]
        raise Fault(
            "empty",
            f"{one.holder} on {one.on} stands on the plate.",
            "let a line take the load, hoist, and take it off first",
        )
    if action.to == "closed":
        _none_below_plate(book, state)
        must_pass(book, replace(state, plate="closed"), state.offsets, 0.0)
    return replace(state, plate=action.to)


def _none_below_plate(book: Book, state: State) -> None:
    """A fault when closing would leave a clamp or lifting sub of the string under the plate."""
    top_m = book.site.plate_m - book.site.land_play_m
    for one in state.holds:
        if one.on not in state.offsets or book.holders[one.holder].type == "slips":
            continue
        members = loads(book, state).members(one.on)
        deep = any(state.at_m(piece, book.pieces[piece].bottom_m) < -_DEEP_M for piece in members)
        if deep and state.at_m(one.on, one.z_m) < top_m:
            raise Fault(
                "lost",
                f"{one.holder} on {one.on} would be below the closed plate.",
                f"hoist, or take {one.holder} off first",
            )


def cover(book: Book, state: State, action: Cover) -> State:
    """The hole is covered round the string, or open."""
    return replace(state, covered=action.on)
