"""What lies on the rack: lifts that can go up next, and the gear they hang from."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.mechanics.ledger import Ledger, State
from abreast.mechanics.ledger.book import Book
from abreast.model import floor_actions as fa
from abreast.model.procedure import FloorPiece

__all__ = ["gears", "made_before", "next_lifts"]


def made_before(book: Book, piece: str) -> frozenset[str]:
    """The pieces that go up and down with a piece: their joints are made in the workshop."""
    found, ahead = {piece}, [piece]
    while ahead:
        for joint in book.at_piece[ahead.pop()]:
            other = {joint.lower, joint.upper} - found
            if joint.sort == "workshop" and other:
                found |= other
                ahead += other
    return frozenset(found)


def next_lifts(book: Book, state: State) -> Iterator[tuple[FloorPiece, ...]]:
    """What is on the rack and comes next on what is in the hole, each bottom to top."""
    seen: set[str] = set()
    for name in book.pieces:
        if name in state.offsets or name in seen:
            continue
        lift = made_before(book, name)
        seen |= lift
        below = [
            joint.lower
            for one in lift
            for joint in book.at_piece[one]
            if joint.upper == one and joint.lower not in lift
        ]
        if all(one in state.offsets for one in below):
            yield tuple(sorted((book.pieces[one] for one in lift), key=lambda one: one.top_m))


def gears(ledger: Ledger) -> dict[str, tuple[tuple[str, ...], ...]]:
    """What goes between line and holder: as the steps use it, else what fits by its sort."""
    found: dict[str, dict[tuple[str, ...], None]] = {}
    start = ledger.procedure.start
    if start.gear:
        found.setdefault(start.holder, {})[start.gear] = None
    for step in ledger.procedure.steps:
        if isinstance(step.action, fa.PickUp | fa.Latch) and step.action.gear:
            found.setdefault(step.action.holder, {})[step.action.gear] = None
    sort = {"lifting sub": "elevator", "lifting clamp": "slings", "holding clamp": "slings"}
    for holder in ledger.procedure.holders:
        if holder.type in sort and holder.id not in found:
            for gear in ledger.procedure.holders:
                if gear.type == sort[holder.type]:
                    found.setdefault(holder.id, {})[(gear.id,)] = None
    return {holder: tuple(gears) for holder, gears in found.items()}
