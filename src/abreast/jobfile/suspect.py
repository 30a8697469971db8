"""Cells that can be read but look wrong; nothing is mended in silence.

Each suspicion names a cell and proposes something. A person corrects the cell
or accepts it in ``corrections.csv``; until then the piece, or the job, is
blocked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from abreast.jobfile.suspect_lengths import length_suspects
from abreast.jobfile.suspect_losses import loss_suspects
from abreast.jobfile.suspect_order import order_suspects
from abreast.jobfile.suspect_papers import paper_suspects
from abreast.jobfile.suspect_sizes import size_suspects
from abreast.jobfile.suspect_survey import survey_suspects
from abreast.jobfile.suspect_threads import thread_suspects
from abreast.jobfile.suspicion import Suspect
from abreast.model import Job

__all__ = ["QUESTIONS", "Suspect", "suspects"]

QUESTIONS: tuple[Callable[[Job], Iterator[Suspect]], ...] = (
    length_suspects,
    loss_suspects,
    order_suspects,
    thread_suspects,
    size_suspects,
    paper_suspects,
    survey_suspects,
)


def suspects(job: Job) -> Iterator[Suspect]:
    """Everything in a job that looks wrong, question by question.

    A piece that is rejected or laid aside is out of the question.
    """
    aside = {item.id for item in job.rack if item.status in ("rejected", "laid aside")}
    for question in QUESTIONS:
        yield from (one for one in question(job) if one.piece not in aside)
