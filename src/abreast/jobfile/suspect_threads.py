"""Connections: what would not screw together, found before it is picked up."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from abreast.jobfile.suspicion import Suspect, resolved_tail
from abreast.model import End, Job, RackItem
from abreast.units import Dimension, show

__all__ = ["thread_suspects"]


def thread_suspects(job: Job) -> Iterator[Suspect]:
    """Pieces of the wrong thread, hand or ends, and joints of the tail that don't mate."""
    yield from _tail(job)
    yield from _closing(job)
    fits = _fitting(job)
    for index, item in enumerate(job.rack):
        if item.status == "usable":
            yield from _ends(index, item)
            yield from _reach(job, index, item, fits)
    yield from _torques(job)


def _bottom(job: Job) -> End | None:
    part = job.base or job.guide
    return part.upper_end if part is not None else None


def _fitting(job: Job) -> dict[str, set[str]]:
    """Threads that occur in bypass and tail, crossovers of the rack counted in."""
    bottom = _bottom(job)
    bypass = _crossed(job, bottom.thread, down=False) if bottom is not None else set()
    tail = _crossed(job, job.base.lower_end.thread, down=True) if job.base is not None else set()
    return {"bypass": bypass, "tail": tail, "both": bypass | tail}


def _crossed(job: Job, start: str, *, down: bool) -> set[str]:
    """Threads that can be reached from one by the crossovers of the rack."""
    steps: dict[str, set[str]] = {}
    for item in job.rack:
        if item.kind == "crossover":
            near, far = item.lower_end.thread, item.upper_end.thread
            near, far = (far, near) if down else (near, far)
            steps.setdefault(near, set()).add(far)
    known, fresh = {start}, [start]
    while fresh:
        new = steps.get(fresh.pop(), set()) - known
        known |= new
        fresh += new
    return known


def _closing(job: Job) -> Iterator[Suspect]:
    bottom = _bottom(job)
    if bottom is None:
        return
    section = "base" if job.base is not None else "guide"
    if bottom.gender != "box":
        message = f"{bottom} does not take the pin of the bypass"
        yield _key(f"{section}.upper_end", message, "Give the end that looks up; it is a box")
    union = job.union.lower_end
    if union.gender != "pin":
        message = f"{union} does not go into the box of the bypass"
        yield _key("union.lower_end", message, "Give the end that looks down; it is a pin")
    if union.thread not in _crossed(job, bottom.thread, down=False):
        message = f"{union} and {bottom} have no thread in common and no crossover is on the rack"
        yield _key("union.lower_end", message, "Correct the thread, or add the crossover")


def _key(field: str, message: str, proposal: str) -> Suspect:
    return Suspect("job", None, field, "thread", message, proposal)


def _ends(index: int, item: RackItem) -> Iterator[Suspect]:
    """A string runs pin down, box up."""
    for end, name, wanted in (
        (item.lower_end, "lower_end", "pin"),
        (item.upper_end, "upper_end", "box"),
    ):
        if end.gender in ("pin", "box") and end.gender != wanted:
            message = f"its {name.replace('_', ' ')} is a {end.gender}: no {wanted} to make up"
            proposal = "Correct the ends, or lay the piece aside until a crossover is at hand"
            yield Suspect("rack", index, name, "ends", message, proposal, item.id)
    same = item.lower_end.thread == item.upper_end.thread
    if item.kind in ("joint", "pup") and not same:
        message = f"a {item.kind} with {item.lower_end} and {item.upper_end}"
        proposal = "Correct the ends, or call it a crossover"
        yield Suspect("rack", index, "upper_end", "ends", message, proposal, item.id)


def _reach(job: Job, index: int, item: RackItem, fits: dict[str, set[str]]) -> Iterator[Suspect]:
    """Whether the thread of a piece occurs where the piece is kept for."""
    wanted = fits[item.usable_for]
    if item.kind == "crossover" or not wanted:
        return
    hands = {thread.id: thread.hand for thread in job.threads}
    for end, name in ((item.lower_end, "lower_end"), (item.upper_end, "upper_end")):
        if end.thread in wanted or end.gender not in ("pin", "box"):
            continue
        hand = ", and is left-hand" if hands.get(end.thread) == "left" else ""
        where = "tail" if item.usable_for == "tail" else "bypass"
        message = f"thread {end.thread} occurs nowhere in the {where} ({_listed(wanted)}){hand}"
        proposal = "Gauge the thread; correct it, move the piece, or have a crossover"
        yield Suspect("rack", index, name, "thread", message, proposal, item.id)
        return


def _listed(threads: set[str]) -> str:
    return ", ".join(sorted(threads))


def _tail(job: Job) -> Iterator[Suspect]:
    pieces = resolved_tail(job)
    for (before, lower), (index, upper) in pairwise(pieces):
        if index != before + 1:
            continue
        below, above = lower.upper_end, upper.lower_end
        if below is not None and above is not None and not below.mates(above):
            message = f"{above} does not go into {below} of {lower.id}"
            proposal = "Correct the ends or the order, or put a crossover between"
            yield Suspect("tail", index, "id", "thread", message, proposal)
    if pieces and job.base is not None:
        last, highest = pieces[-1]
        top = highest.upper_end
        if top is not None and not top.mates(job.base.lower_end):
            message = f"{job.base.lower_end} of the base does not go into {top}"
            proposal = "Correct the ends or the order, or put a crossover on top"
            yield Suspect("tail", last, "id", "thread", message, proposal)


def _torques(job: Job) -> Iterator[Suspect]:
    for index, thread in enumerate(job.threads):
        low, best, high = (
            thread.torque_min_nm.known,
            thread.torque_opt_nm.known,
            thread.torque_max_nm.known,
        )
        steps = [one for one in (low, best, high) if one is not None]
        if steps != sorted(steps):
            message = "the torques do not rise from least to greatest"
            proposal = "Check the three figures and their units"
            yield Suspect("threads", index, "torque_opt", "torque", message, proposal)
        elif steps and not 50 <= steps[-1] <= 60_000:
            # Common practice, no source: tubing to large casing connections.
            shown = show(steps[-1], Dimension.TORQUE, job.units)
            message = f"{shown} is no make-up torque of a pipe"
            proposal = "Check the unit of the torques"
            yield Suspect("threads", index, "torque_opt", "torque", message, proposal)
