"""Is stroke left in the union both ways?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_least, inside, not_checked
from abreast.model import PlacedUnion
from abreast.units import Dimension

__all__ = ["STROKE"]

Part = Literal["usable part", "ends"]


def _places(_context: Context) -> Iterator[tuple[str, Part]]:
    yield "usable part", "usable part"
    yield "ends", "ends"


def _judge(context: Context, part: Part) -> Verdict:
    union = context.assembly.union
    if union is None:
        return not_checked("the union as set")
    return _usable(context, union) if part == "usable part" else _ends(context, union)


def _turns(context: Context, union: PlacedUnion) -> str:
    travel_m = context.job.union.travel_per_turn_m.known
    left = (union.to_close_m, union.to_open_m)
    lengths = f"{context.length(left[0])} to closed, {context.length(left[1])} to open"
    if not travel_m:
        return lengths
    return f"{lengths} ({left[0] / travel_m:.1f} and {left[1] / travel_m:.1f} turns)"


def _usable(context: Context, union: PlacedUnion) -> Verdict:
    low, high = context.job.union.window_m
    judged = inside(union.length_m, low, high)
    stated = context.job.union.usable_low_m.is_given
    return Verdict(
        status=judged.status,
        text=f"Union at {context.length(union.length_m)}, to be used from {context.length(low)} to"
        f" {context.length(high)}; left: {_turns(context, union)}.",
        dimension=Dimension.LENGTH,
        value=union.length_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis="usable stroke as stated in the job" if stated else "",
        action="" if judged.status == "ok" else "choose pieces that close nearer to mid-stroke",
    )


def _ends(context: Context, union: PlacedUnion) -> Verdict:
    rule = context.job.rules.stroke_reserve_ratio
    least_m = rule.si * context.job.union.stroke_m
    left_m = min(union.to_close_m, union.to_open_m)
    judged = at_least(left_m, least_m)
    return Verdict(
        status=judged.status,
        text=f"The nearer end is {context.length(left_m)} away; at least"
        f" {context.length(least_m)} ({rule.si:.0%} of the stroke) is kept.",
        dimension=Dimension.LENGTH,
        value=left_m,
        limit=least_m,
        utilisation=judged.utilisation,
        basis=f"rule of the job: {rule.origin}",
        action="" if judged.status == "ok" else "do not close: the union runs into its end",
    )


STROKE = Check(
    id="union-stroke",
    question="Is stroke left in the union both ways?",
    places=_places,
    judge=_judge,
    basis="middle half of the stroke: common practice",
)
