"""Cells that can be read but look wrong; nothing is mended in silence.

Each suspicion names a cell and proposes something. A person corrects the cell
or accepts it in ``corrections.csv``; until then the piece, or the job, is
blocked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.model import Job

__all__ = ["Suspect", "suspects"]


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


def suspects(job: Job) -> Iterator[Suspect]:
    """Everything in a job that looks wrong."""
    yield from ()
