"""Goals for the search: what is wanted, and how many actions are left at least."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from abreast.mechanics.ledger import Hold, Ledger, State
from abreast.mechanics.ledger.book import Book
from abreast.model.procedure import FloorJoint
from abreast.procedure.rack import made_before

__all__ = ["Goal", "holder_off", "laid_down", "landed"]

_TAKING_OUT = frozenset(
    [
        "unlatch",
        "take",
        "slack_off",
        "lay_down",
        "latch",
        "hoist",
        "lower",
        "fit",
        "remove",
        "land",
        "set_slips",
        "pull_slips",
        "remove_safety_clamp",
        "break_out",
        "pull_apart",
        "remove_twin_clamp",
        "disconnect_mle",
    ]
)
_HOLDING = frozenset(
    [
        "unlatch",
        "take",
        "slack_off",
        "latch",
        "hoist",
        "lower",
        "fit",
        "remove",
        "land",
        "set_slips",
        "pull_slips",
        "remove_safety_clamp",
        "set_plate",
    ]
)


@dataclass(frozen=True, slots=True)
class Goal:
    """A state that is wanted.

    Parameters
    ----------
    name : str
        What is wanted, in words.
    met : callable
        True for a state that is wanted.
    left : callable
        How many actions are left at least. The search is as short as can be only
        if this is never too many.
    kinds : frozenset of str
        Kinds of actions worth trying; empty: all.
    """

    name: str
    met: Callable[[State], bool]
    left: Callable[[State], int]
    kinds: frozenset[str] = field(default_factory=frozenset)

    def __call__(self, state: State) -> bool:
        """Whether the state is wanted."""
        return self.met(state)


def laid_down(ledger: Ledger, piece: str) -> Goal:
    """A piece is back on the catwalk: a joint is rejected, a section comes out again."""
    book = ledger.book
    book.piece(piece)
    lift = made_before(book, piece)

    def left(state: State) -> int:
        return _left_to_lay_down(book, state, lift) if piece in state.offsets else 0

    return Goal(f"{piece} laid down", lambda state: piece not in state.offsets, left, _TAKING_OUT)


def holder_off(ledger: Ledger, holder: str) -> Goal:
    """A holder is on nothing any more."""
    book = ledger.book
    book.holder(holder)

    def left(state: State) -> int:
        hold = state.hold_of(holder)
        if hold is None:
            return int(any(one.holder == holder for one in state.guards))
        stays = book.holders[holder].type in ("lifting clamp", "holding clamp", "lifting sub")
        return 1 + int(hold.taut) + int(stays and hold.by in book.lines)

    return Goal(f"{holder} off", lambda state: left(state) == 0, left, _HOLDING)


def landed(ledger: Ledger, piece: str) -> Goal:
    """The string stands on the plate by a lifting clamp on the neck of a piece; lines are slack."""
    book = ledger.book
    book.piece(piece)

    def stand(state: State) -> Hold | None:
        return next((one for one in state.holds if one.on == piece and one.by == "plate"), None)

    def left(state: State) -> int:
        there = stand(state)
        if there is not None and there.taut:
            return int(
                any(one.on == piece and one.taut and one is not there for one in state.holds)
            )
        neck = book.pieces[piece].neck
        fitted = any(
            one.on == piece and book.holders[one.holder].type == "lifting clamp"
            for one in state.holds
        )
        off_m = 0.0
        if neck is not None and piece in state.offsets:
            off_m = abs(state.at_m(piece, neck.z_m) - book.site.plate_m)
        moves = int(off_m > book.site.land_play_m)
        return 1 + int(there is None) + int(not fitted) + moves + int(state.plate != "closed")

    return Goal(f"the string landed on the neck of {piece}", lambda s: left(s) == 0, left, _HOLDING)


# --- how far away -----------------------------------------------------------------------


def _left_to_lay_down(book: Book, state: State, lift: frozenset[str]) -> int:
    at_ends = [
        book.joints[name]
        for name in state.joints
        if (book.joints[name].lower in lift) != (book.joints[name].upper in lift)
    ]
    below = [one for one in at_ends if one.upper in lift]
    above = [one for one in at_ends if one.lower in lift]
    made = sum(state.joints[one.id] != "entered" for one in at_ends)
    lines = [one for one in state.holds if one.on in lift and one.by in book.lines]
    least = 1 + made + int(bool(below)) + 2 * int(bool(above))
    if not lines and not above:
        least += 1 + int(_needs_sub(book, state, lift))
    if below and not above and not all(_at_hands(book, state, one) for one in below):
        least += _to_working_height(book, state, lines)
    return least


def _needs_sub(book: Book, state: State, lift: frozenset[str]) -> bool:
    grips = any(one.on in lift for one in state.holds if one.by not in ("plate", "rotary"))
    elevator = any(not book.pieces[one].flush for one in lift)
    return not grips and not elevator


def _at_hands(book: Book, state: State, joint: FloorJoint) -> bool:
    low, high = joint.window_m or book.site.reach_m
    above_m = state.at_m(joint.lower, joint.z_m) - book.level_m(state)
    play_m = book.site.land_play_m
    return low - play_m <= above_m <= high + play_m


def _to_working_height(book: Book, state: State, lines: list[Hold]) -> int:
    """Move, and set something below; take before, and pull what is set."""
    taut = any(one.taut for one in lines)
    slips = sum(book.holders[one.holder].type == "slips" for one in state.holds)
    return 2 + int(not taut) + int(slips > 0)
