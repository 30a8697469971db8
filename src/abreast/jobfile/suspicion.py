"""What a suspicion is: a cell that can be read but looks wrong, and what is proposed."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.model import Job, Quantity
from abreast.units import Dimension, show

__all__ = ["Suspect", "length_text", "number_typed"]


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


def length_text(job: Job, length_m: float, *, small: bool = False) -> str:
    """A length in the job's units, to the millimetre or the hundredth of a foot."""
    return show(length_m, Dimension.LENGTH, job.units, small=small)


def number_typed(quantity: Quantity) -> str:
    """The number of a length as typed, without its unit; blank when it was no plain decimal."""
    number = quantity.typed.split(" ")[0]
    return number if number.replace(".", "", 1).isdigit() else ""
