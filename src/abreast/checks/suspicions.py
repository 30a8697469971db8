"""Is any cell that looks wrong still open?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.model import Suspicion, tail_items

__all__ = ["SUSPICIONS"]


def _places(context: Context) -> Iterator[tuple[str, Suspicion | None]]:
    for one in context.job.suspicions:
        row = f" row {one.row}" if one.row is not None else ""
        yield f"{one.file}{row} {one.field}{f' {one.piece}' if one.piece else ''}", one
    if not context.job.suspicions:
        yield "", None


def _judge(context: Context, suspicion: Suspicion | None) -> Verdict:
    if suspicion is None:
        return Verdict(status="ok", text="Nothing on file looks wrong and is still open.")
    used = {*context.choice.items, *(item.id for item in tail_items(context.job))}
    if suspicion.piece and suspicion.piece not in used:
        return Verdict(
            status="near limit",
            text=f"{suspicion.text.rstrip('.')}. {suspicion.piece} is not run.",
            action="correct or accept it in corrections.csv; until then the piece stays out",
        )
    what = f"{suspicion.piece} is run with it" if suspicion.piece else "It touches the whole job"
    return Verdict(
        status="exceeds",
        text=f"{suspicion.text.rstrip('.')}. {what}.",
        action="correct or accept it in corrections.csv before anything is run",
    )


SUSPICIONS = Check(
    id="suspicions",
    question="Is any cell that looks wrong still open?",
    places=_places,
    judge=_judge,
    basis="plausibility of the tables as read",
)
