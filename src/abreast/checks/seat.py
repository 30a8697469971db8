"""Is the seat height or stick-down one that can be set?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.model import SeatRange, seat_range
from abreast.units import Dimension

__all__ = ["SEAT"]

_SAME_M = 1e-4


def _places(context: Context) -> Iterator[tuple[str, SeatRange]]:
    yield "", seat_range(context.job)


def _judge(context: Context, allowed: SeatRange) -> Verdict:
    seat_m, locked_m = context.choice.seat_m, allowed.locked_m
    name = "Stick-down" if context.job.is_top_hung else "Seat height"
    text = (
        f"{name} {context.length(seat_m)}; from {context.length(allowed.min_m)} to"
        f" {context.length(allowed.max_m)} can be set."
    )
    low_m, high_m = allowed.min_m, allowed.max_m
    if locked_m is not None:
        text += f" It is fixed at {context.length(locked_m)}."
        low_m = high_m = locked_m
    elif abs(seat_m - allowed.planned_m) > _SAME_M:
        text += f" The job had planned {context.length(allowed.planned_m)}: set it anew."
    can_be_set = low_m - _SAME_M <= seat_m <= high_m + _SAME_M
    return Verdict(
        # An end of the range is as good as its middle: nothing moves once it is set.
        status="ok" if can_be_set else "exceeds",
        text=text,
        dimension=Dimension.LENGTH,
        value=seat_m,
        limit=low_m if seat_m < low_m else high_m,
        action="" if can_be_set else "plan again with a height that can be set",
    )


SEAT = Check(
    id="seat",
    question="Can the seat height or stick-down of the plan be set?",
    places=_places,
    judge=_judge,
    basis="range of the base support or entry guide",
)
