"""The order in which pieces go into the well, and the number each has on every sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.model import Assembly, PlacedPiece

__all__ = ["Numbered", "lift_names", "running_order"]

_LONGEST_LIFT = 9
"""Signs of the name of a lift that a label has room for."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """A piece with its running number.

    ``part`` names the part of the string it is in; ``is_foot`` tells whether it is
    of the tail, or the base support or entry guide on top of that.
    """

    number: int
    part: str
    piece: PlacedPiece
    is_foot: bool = False

    @property
    def top_m(self) -> float:
        """Height of the connection on top of it; a base support reaches higher than its own."""
        return self.piece.bottom_m + self.piece.effective_m

    @property
    def top_md_m(self) -> float | None:
        """Measured depth of that connection."""
        bottom_md_m = self.piece.bottom_md_m
        return None if bottom_md_m is None else bottom_md_m - self.piece.effective_m


def running_order(assembly: Assembly) -> tuple[Numbered, ...]:
    """Every piece of the twin string, numbered from 1 as it goes into the well.

    First the tail and the base support or entry guide; then for each landing the
    bypass pieces made up before it and the ESP pieces that land with it; last
    what is added after the last landing, the Y-tool and the union.

    Parameters
    ----------
    assembly : Assembly
        The string, planned or run.
    """
    pieces = list(_in_order(assembly))
    parts = _parts(assembly)
    foot = _foot_place(assembly) + 1
    return tuple(Numbered(n, parts[piece], piece, n <= foot) for n, piece in enumerate(pieces, 1))


def _in_order(assembly: Assembly) -> Iterator[PlacedPiece]:
    foot = _foot_place(assembly)
    yield from assembly.pieces[: foot + 1]
    rest = assembly.pieces[foot + 1 :]
    landings = [landing.id for landing in assembly.landings]
    for name in (*landings, *_unreached(rest, landings)):
        yield from (p for p in rest if p.landing == name and p.side == "bypass")
        yield from (p for p in rest if p.landing == name and p.side == "esp")
    last = [p for p in rest if not p.landing]
    yield from (p for p in last if p.kind != "union" and p.side != "both")
    yield from (p for p in last if p.kind == "union")
    yield from (p for p in last if p.side == "both")


def _unreached(rest: tuple[PlacedPiece, ...], landings: list[str]) -> list[str]:
    """Landings of a string that is not finished: named by pieces only."""
    names = dict.fromkeys(piece.landing for piece in rest if piece.landing)
    return [name for name in names if name not in landings]


def _foot_place(assembly: Assembly) -> int:
    """Where the base support or entry guide stands in the list; the tail is before it."""
    for place, piece in enumerate(assembly.pieces):
        if piece.side == "both" or (assembly.arrangement == "top-hung" and piece.kind == "guide"):
            return place
    return -1


def _parts(assembly: Assembly) -> dict[PlacedPiece, str]:
    foot = _foot_place(assembly)
    names = {"esp": "ESP", "bypass": "bypass", "both": "both"}
    return {
        piece: "tail" if place < foot else names[piece.side]
        for place, piece in enumerate(assembly.pieces)
    }


def lift_names(assembly: Assembly) -> dict[str, str]:
    """What the label of a piece calls each lift of several pieces, by the name of the lift.

    A name that is too long for a label gives way to the number of the lift, counted
    from the lowest; the pieces then stand in the notes of the sheet.
    """
    pieces = [one for one in assembly.side("bypass") if one.lift not in ("", one.id)]
    lifts = list(dict.fromkeys(one.lift for one in pieces))
    return {
        lift: lift if len(lift) <= _LONGEST_LIFT or str(number) in lifts else str(number)
        for number, lift in enumerate(lifts, 1)
    }
