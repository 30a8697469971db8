"""Words of the work pack: lengths in the units of the job, and the name of a status."""

from __future__ import annotations

from typing import Any

from abreast.model import Choice, Job, Plan
from abreast.units import Dimension, display_unit, feet_inches, figure, show

__all__ = [
    "Data",
    "by_tape",
    "length",
    "length_unit",
    "lifts_of",
    "seat_name",
    "shift",
    "two_ways",
    "verdict",
    "with_unit",
]

Data = dict[str, Any]
"""Plain data for a template: texts, flags, and lists of the same."""


def verdict(plan: Plan) -> str:
    """What came of the search, in a line; a plan without a proof says so."""
    if plan.status == "optimal":
        over = sum(one.status == "exceeds" for one in plan.findings)
        if over:
            limits = "a limit is" if over == 1 else f"{over} limits are"
            return f"DO NOT RUN IT SO: {limits} exceeded. Space-out found and proved"
        return "Space-out found and proved"
    if plan.status == "stopped":
        found = "Space-out found, NOT PROVED" if plan.choice else "NO SPACE-OUT FOUND"
        return f"{found}: the search was stopped"
    return {
        "infeasible": "NO SPACE-OUT: nothing closes",
        "blocked": "NOT PLANNED: open suspicions",
    }[plan.status]


def length_unit(job: Job) -> str:
    """The unit of lengths along the string."""
    return display_unit(Dimension.LENGTH, job.units)


def length(job: Job, length_m: float | None) -> str:
    """A length as bare digits, for a column whose heading carries the unit; blank for None."""
    return "" if length_m is None else figure(length_m, Dimension.LENGTH, job.units)


def with_unit(job: Job, length_m: float) -> str:
    """A length with its unit."""
    return show(length_m, Dimension.LENGTH, job.units)


def by_tape(job: Job, length_m: float) -> str:
    """A length to be measured with a tape: in oilfield units also in inches by sixteenths."""
    text = with_unit(job, length_m)
    return f"{text} ({feet_inches(length_m)})" if job.units == "oilfield" else text


def two_ways(job: Job, length_m: float) -> str:
    """A length that is set by hand, in two notations: a slip in one is seen in the other."""
    if job.units == "oilfield":
        return by_tape(job, length_m)
    return f"{with_unit(job, length_m)} ({length_m * 1000:.0f} mm)"


def shift(job: Job, by_m: float) -> str:
    """How far a piece is moved, with its sign: up is positive."""
    sign = "+" if by_m > 0 else ""
    return f"{sign}{show(by_m, Dimension.LENGTH, job.units, small=True)}"


def seat_name(job: Job) -> str:
    """What a choice calls ``seat_m`` in this arrangement."""
    return "stick-down" if job.is_top_hung else "seat height"


def lifts_of(choice: Choice) -> list[tuple[str, ...]]:
    """The pieces of a choice bottom to top, those of one lift together."""
    if choice.lifts is None:
        return [(item,) for item in choice.items]
    lifted = sum(len(lift) for lift in choice.lifts)
    singles = choice.items[: len(choice.items) - lifted]
    return [*((item,) for item in singles), *choice.lifts]
