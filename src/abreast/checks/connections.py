"""Does every connection mate: one pin, one box, the same thread?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from abreast.checks.base import Check, Context, Verdict, not_checked, plural
from abreast.model import End, rack_item, tail_items
from abreast.spaceout.placing import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = ["CONNECTIONS", "Mating", "matings"]


@dataclass(frozen=True, slots=True)
class Mating:
    """Two ends that are made up on one another; None is an end that nobody has described."""

    lower: str
    upper: str
    box: End | None
    pin: End | None

    @property
    def name(self) -> str:
        """The two pieces, lower first."""
        return f"{self.lower} to {self.upper}"


_Piece = tuple[str, End | None, End | None]


def _strings(context: Context) -> Iterator[tuple[_Piece, ...]]:
    """The rows of pieces whose ends the job holds: id, lower end, upper end."""
    job = context.job
    below: list[_Piece] = [(p.id, p.lower_end, p.upper_end) for p in tail_items(job)]
    if job.base is not None:
        below.append((BASE_ID, job.base.lower_end, job.base.upper_end))
    elif job.guide is not None:
        below.append((GUIDE_ID, None, job.guide.upper_end))
    items = (rack_item(job, name) for name in context.choice.items)
    string = [*below, *((i.id, i.lower_end, i.upper_end) for i in items)]
    if context.assembly.union is not None:
        string.append((UNION_ID, job.union.lower_end, None))
    yield tuple(string)
    upper = ((p.id, p.lower_end, p.upper_end) for p in job.upper)
    yield ((YTOOL_ID, None, job.ytool.upper_end), *upper)


def matings(context: Context) -> tuple[Mating, ...]:
    """Every connection of which the job holds both pieces, bottom to top."""
    return tuple(
        Mating(lower, upper, box, pin)
        for string in _strings(context)
        for (lower, _, box), (upper, pin, _) in pairwise(string)
    )


def _fits(mating: Mating) -> bool:
    if mating.box is None or mating.pin is None:
        return False
    both_flanged = mating.box.gender == mating.pin.gender == "flange"
    return mating.box.mates(mating.pin) or (both_flanged and mating.box.thread == mating.pin.thread)


def _places(context: Context) -> Iterator[tuple[str, tuple[Mating, ...]]]:
    """Each connection in doubt by itself, all others together; then what the job can't hold."""
    every = matings(context)
    good = tuple(m for m in every if _fits(m))
    for mating in every:
        if mating not in good:
            yield mating.name, (mating,)
    if good:
        yield "other connections" if len(good) < len(every) else "all connections", good
    yield "ESP flanges and Y-tool legs", ()


def _judge(context: Context, row: tuple[Mating, ...]) -> Verdict:
    if not row:
        return replace(
            not_checked("the lower ends of the ESP pieces and the ends of the Y-tool's legs"),
            action="a job does not hold them: fit these parts together in the workshop, and sign",
        )
    if len(row) == 1 and not _fits(row[0]):
        return _misfit(row[0])
    return _all_fit(context, row)


def _misfit(mating: Mating) -> Verdict:
    if mating.box is None or mating.pin is None:
        name = mating.lower if mating.box is None else mating.upper
        return not_checked(f"{'upper' if mating.box is None else 'lower'} end of {name}")
    text = f"{mating.lower} has {mating.box} up, {mating.upper} has {mating.pin} down"
    if mating.box.thread != mating.pin.thread:
        cure = f"run a crossover {mating.box.thread} to {mating.pin.thread}, or another piece"
    else:
        cure = "turn a piece round or run another: a pin goes into a box"
    return Verdict(status="exceeds", text=f"{text}: they don't mate.", action=cure)


def _all_fit(context: Context, row: tuple[Mating, ...]) -> Verdict:
    hand = {thread.id: thread.hand for thread in context.job.threads}
    left = [m.name for m in row if m.box is not None and hand.get(m.box.thread) == "left"]
    threads = sorted({m.box.thread for m in row if m.box is not None and m.box.thread})
    text = f"{plural(len(row), 'connection')} mate, threads {', '.join(threads)}."
    if not left:
        return Verdict(status="ok", text=text)
    return Verdict(
        status="near limit",
        text=f"{text} Left-hand thread at {', '.join(left)}.",
        action="turning the string to the right may open a left-hand thread: mark it, hold it back",
    )


CONNECTIONS = Check(
    id="connections",
    question="Does every connection mate: one pin, one box, the same thread?",
    places=_places,
    judge=_judge,
    basis="ends and threads as in the tables",
)
