"""Does a holder fit a piece, is it there, and where does it grip?"""

from __future__ import annotations

from abreast.mechanics.ledger.book import CLAMPS, Book
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import State
from abreast.model.procedure import FloorHolder, FloorPiece

__all__ = [
    "grip_m",
    "is_clamp",
    "is_free",
    "must_fit",
    "must_grip_slick",
    "must_hang",
    "sub_on",
    "takes_sub",
]

_SAME = 0.01
_TINY_M = 1e-6


def must_fit(book: Book, holder: FloorHolder, piece: FloorPiece) -> None:
    """A fault unless the holder fits the piece: neck, insert, pipe."""
    if holder.type == "lifting clamp":
        _neck(book, holder, piece)
        return
    if holder.type in ("elevator", "lifting sub", "slips", "safety clamp", "holding clamp"):
        _pipe(book, holder, piece)
    if holder.type == "elevator" and piece.string == "esp" and piece.grip_od_m is None:
        raise Fault(
            "fit",
            f"{piece.id} has no pipe that elevator {holder.id} could be closed on.",
            f"fit a lifting clamp on {piece.id}",
        )
    if holder.type == "elevator" and piece.flush:
        raise Fault(
            "fit",
            f"{piece.id} has no upset: elevator {holder.id} can't hold it.",
            f"fit a lifting sub on {piece.id}",
        )


def must_hang(holder: FloorHolder) -> None:
    """A fault unless the holder can be gear between a line and what it holds."""
    if holder.type in (*CLAMPS, "slips", "safety clamp", "lifting sub"):
        raise Fault("fit", f"{holder.id} is a {holder.type}: it is no gear of a line.")


def takes_sub(holder: FloorHolder) -> bool:
    """Whether gear can be closed on a lifting sub; slings alone can't."""
    return holder.type not in ("slings", "tugger")


def _neck(book: Book, holder: FloorHolder, piece: FloorPiece) -> None:
    neck = piece.neck
    if neck is None:
        raise Fault("fit", f"{piece.id} has no neck for lifting clamp {holder.id}.")
    if holder.insert and neck.insert and holder.insert != neck.insert:
        raise Fault(
            "fit",
            f"Lifting clamp {holder.id} has insert {holder.insert}; the neck of {piece.id} needs"
            f" {neck.insert}.",
            f"use a clamp with insert {neck.insert}",
        )
    if holder.neck_od_m is None or neck.od_m is None:
        return
    low, high = holder.neck_od_m
    if not low - _TINY_M <= neck.od_m <= high + _TINY_M:
        raise Fault(
            "fit",
            f"Lifting clamp {holder.id} fits necks of {book.small(low)} to {book.small(high)}; the"
            f" neck of {piece.id} is {book.small(neck.od_m)}.",
            "use the clamp made for this neck",
        )


def _pipe(book: Book, holder: FloorHolder, piece: FloorPiece) -> None:
    if holder.pipe_od_m is None or piece.grip_od_m is None:
        return
    if abs(holder.pipe_od_m - piece.grip_od_m) > _SAME * piece.grip_od_m:
        raise Fault(
            "fit",
            f"{holder.id} is dressed for {book.small(holder.pipe_od_m)}; {piece.id} is"
            f" {book.small(piece.grip_od_m)}.",
            f"use a {holder.type} for {book.small(piece.grip_od_m)}",
        )


def grip_m(holder: FloorHolder, piece: FloorPiece) -> float:
    """Height at which a holder other than slips grips a piece [m]."""
    if holder.type == "lifting clamp" and piece.neck is not None:
        return piece.neck.z_m
    return piece.top_m


def must_grip_slick(book: Book, holder: FloorHolder, piece: FloorPiece, z_m: float) -> None:
    """A fault unless the height is on slick pipe of the piece."""
    must_fit(book, holder, piece)
    if any(low - _TINY_M <= z_m <= high + _TINY_M for low, high in piece.slick_m):
        return
    where = ", ".join(f"{book.length(a)} to {book.length(b)}" for a, b in piece.slick_m)
    raise Fault(
        "height",
        f"{holder.id} would grip {piece.id} at z {book.length(z_m)}, where it is not slick"
        f" (slick at z {where or 'nowhere stated'}).",
        "move the string so that slick pipe stands at the support",
    )


def is_free(book: Book, state: State, name: str) -> None:
    """A fault when all of a holder's count are in use."""
    holder = book.holder(name)
    where = {one.on for one in state.holds if one.holder == name or name in one.gear}
    where |= {one.on for one in state.guards if one.holder == name}
    if len(where) >= holder.count:
        raise Fault(
            "fit",
            f"{name} is in use on {', '.join(sorted(where))}; there is no other.",
            f"free {name}",
        )


def sub_on(book: Book, state: State, piece: str) -> str:
    """The lifting sub on a piece; blank when there is none."""
    for hold in state.holds:
        if hold.on == piece and book.holders[hold.holder].type == "lifting sub":
            return hold.holder
    return ""


def is_clamp(holder: FloorHolder) -> bool:
    """Whether it is a clamp that can stand on the plate."""
    return holder.type in CLAMPS
