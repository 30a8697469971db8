"""What a suspicion is: a cell that can be read but looks wrong, and what is proposed."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.model import FixedPiece, Job, Quantity, RackItem
from abreast.units import Dimension, show

__all__ = ["Suspect", "length_text", "number_typed", "resolved_tail"]


@dataclass(frozen=True, slots=True)
class Suspect:
    """One suspected cell.

    Parameters
    ----------
    table : str
        Field of the job that holds the table; ``job`` for a key of ``job.toml``.
    index : int or None
        Entry of the table from 0, bottom to top; None means its heading.
    field : str
        Column, or ``section.key``.
    code : str
        Short fixed word.
    message, proposal : str
        What is suspected, and what to do.
    piece : str
        Id of the rack piece that is blocked; blank: the whole job is.
    """

    table: str
    index: int | None
    field: str
    code: str
    message: str
    proposal: str
    piece: str = ""


def resolved_tail(job: Job) -> list[tuple[int, RackItem | FixedPiece]]:
    """Entry and piece of the tail, bottom to top, without rack pieces that are not there."""
    rack = {item.id: item for item in job.rack}
    found: list[tuple[int, RackItem | FixedPiece]] = []
    for index, piece in enumerate(job.tail):
        if not piece.rack:
            found.append((index, piece))
        elif piece.id in rack:
            found.append((index, rack[piece.id]))
    return found


def length_text(job: Job, length_m: float, *, small: bool = False) -> str:
    """A length in the job's units, to the millimetre or the hundredth of a foot."""
    return show(length_m, Dimension.LENGTH, job.units, small=small)


def number_typed(quantity: Quantity) -> str:
    """The number of a length as typed, without its unit; blank when it was no plain decimal."""
    number = quantity.typed.split(" ")[0]
    return number if number.replace(".", "", 1).isdigit() else ""
