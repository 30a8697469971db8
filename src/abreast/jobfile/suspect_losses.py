"""Overall and effective lengths taken for one another, and losses of the wrong thread."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from statistics import median

from abreast.jobfile.suspicion import Suspect, length_text
from abreast.model import Job, RackItem
from abreast.model.bypass import pin_ends

__all__ = ["loss_suspects"]

_SAME_M = 0.0006
_ROUNDING_M = 0.004
_LEAST_GROUP = 3


def loss_suspects(job: Job) -> Iterator[Suspect]:
    """Make-up losses that look wrong, and effective lengths typed as overall ones."""
    losses = {thread.id: thread.make_up_loss_m.known for thread in job.threads}
    for index, thread in enumerate(job.threads):
        if thread.make_up_loss_m.known == 0:
            message = "a made-up thread that loses no length"
            proposal = "Give the loss of the data sheet; accept 0 only for a face-to-face joint"
            yield Suspect("threads", index, "make_up_loss", "no-loss", message, proposal)
    for index, item in enumerate(job.rack):
        yield from _own_loss(job, index, item, losses)
        yield from _supplied(job, index, item, losses)
    yield from _pattern(job, losses)


def _expected(item: RackItem, losses: dict[str, float | None]) -> float | None:
    pins = [losses.get(end.thread) for end in pin_ends(item.lower_end, item.upper_end)]
    known = [loss for loss in pins if loss is not None]
    return sum(known) if pins and len(known) == len(pins) else None


def _of_other(item: RackItem, loss_m: float, losses: dict[str, float | None]) -> str:
    """Remark that a loss is that of another thread."""
    for thread, other in losses.items():
        if thread != item.lower_end.thread and other and abs(other - loss_m) < _ROUNDING_M:
            return f", but that of thread {thread}"
    return ""


def _own_loss(
    job: Job, index: int, item: RackItem, losses: dict[str, float | None]
) -> Iterator[Suspect]:
    own, expected = item.make_up_loss_m.known, _expected(item, losses)
    if own is None or expected is None or abs(own - expected) <= _ROUNDING_M:
        return
    other = _of_other(item, own, losses) if own else ""
    message = (
        f"make-up loss {length_text(job, own)} is not that of its thread,"
        f" {length_text(job, expected)}{other}"
    )
    proposal = "Check the thread of the piece; leave the cell blank to take that of the thread"
    yield Suspect("rack", index, "make_up_loss", "other-loss", message, proposal, item.id)


def _supplied(
    job: Job, index: int, item: RackItem, losses: dict[str, float | None]
) -> Iterator[Suspect]:
    """A supplier's effective length against overall less loss."""
    overall, effective = item.overall_m.known, item.effective_m.known
    own = item.make_up_loss_m.known
    loss = _expected(item, losses) if own is None else own
    if overall is None or effective is None or loss is None:
        return
    taken = overall - effective
    if abs(taken - loss) <= _ROUNDING_M:
        return
    if abs(taken) <= _SAME_M:
        field, what = "overall", "overall and effective length are the same: one was copied"
    elif abs(taken - 2 * loss) <= _ROUNDING_M:
        field, what = "effective", "effective length has the loss taken off twice"
    else:
        other = _of_other(item, taken, losses)
        field = "effective"
        what = (
            f"overall less effective is {length_text(job, taken)}, not the loss"
            f" {length_text(job, loss)} of its thread{other}"
        )
    proposal = "Measure the overall length again; the tool takes the loss off itself"
    yield Suspect("rack", index, field, "overall-effective", what, proposal, item.id)


def _pattern(job: Job, losses: dict[str, float | None]) -> Iterator[Suspect]:
    """Pups that are all short of nominal by the loss: effective lengths in the overall column?"""
    short: dict[str, list[float]] = defaultdict(list)
    for item in job.rack:
        overall, nominal = item.overall_m.known, item.nominal_m.known
        if item.kind == "pup" and overall is not None and nominal is not None:
            short[item.lower_end.thread].append(nominal - overall)
    for thread, missing in short.items():
        loss = losses.get(thread)
        if not loss or len(missing) < _LEAST_GROUP:
            continue
        if abs(median(missing) - loss) < loss / 4:
            message = (
                f"the {len(missing)} pups with thread {thread} are shorter than nominal by"
                f" {length_text(job, median(missing))}, about their make-up loss: effective lengths"
                " may stand in the overall column"
            )
            proposal = "Tape one pup end to end; correct the lengths or accept the heading"
            yield Suspect("rack", None, "overall", "all-effective", message, proposal)
