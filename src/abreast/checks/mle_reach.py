"""Is the motor lead long enough, and where does its splice come?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_least
from abreast.errors import MissingInputError
from abreast.mechanics.cable import pothead
from abreast.model import UpperItem
from abreast.units import Dimension
from abreast.units.constants import FOOT_M

__all__ = ["MLE_REACH"]

_LAID_RATIO = 0.99
"""Share of its length that counts along the string, once laid: common practice, no source."""
_ABOVE_YTOOL_M = 3 * FOOT_M
_CLEAR_M = 2 * FOOT_M
"""Splice above the Y-tool, and from a coupling or its clamp: common practice, no source."""
Part = Literal["length", "splice"]


def _places(_context: Context) -> Iterator[tuple[str, Part]]:
    yield "length", "length"
    yield "splice", "splice"


def _judge(context: Context, part: Part) -> Verdict:
    return _length(context) if part == "length" else _splice(context)


def _end_m(context: Context) -> float:
    """Free end of the laid MLE above the Y-tool [m]."""
    port, mle = pothead(context.job), context.job.mle
    if mle is None:
        raise MissingInputError(needs="the section of the MLE")
    if port is None:
        raise MissingInputError(needs="a port of kind pothead")
    start_m = context.assembly.piece(port.piece).bottom_m + port.height_m.si
    return start_m + _LAID_RATIO * mle.length_m.si - context.assembly.top_m


def _length(context: Context) -> Verdict:
    end_m = _end_m(context)
    judged = at_least(end_m, _ABOVE_YTOOL_M)
    side = "above" if end_m >= 0 else "BELOW"
    return Verdict(
        status=judged.status,
        text=f"Laid from the pothead the MLE ends {context.length(abs(end_m))} {side} the Y-tool;"
        f" at least {context.length(_ABOVE_YTOOL_M)} above is wanted.",
        dimension=Dimension.LENGTH,
        value=end_m,
        limit=_ABOVE_YTOOL_M,
        utilisation=judged.utilisation,
        action="" if judged.status == "ok" else "take a longer MLE: no splice beside the Y-tool",
        assumptions=("1 % of its length goes into laying",),
    )


def _splice(context: Context) -> Verdict:
    end_m = _end_m(context)
    if end_m < 0:
        return Verdict(
            status="exceeds",
            text="The splice would come below the Y-tool's top.",
            action="take a longer MLE",
        )
    item, low_m, high_m = _item_at(context, end_m)
    nearest_m = min(end_m - low_m, high_m - end_m)
    judged = at_least(nearest_m, _CLEAR_M)
    elsewhere = [one.id for one in context.job.upper if one.splice and one.id != item.id]
    status = "near limit" if judged.status == "ok" and elsewhere else judged.status
    return Verdict(
        status=status,
        text=f"The splice comes on {item.id}, {context.length(end_m - low_m)} above its lower and"
        f" {context.length(high_m - end_m)} below its upper connection; at least"
        f" {context.length(_CLEAR_M)} is wanted."
        + (f" The table has the splice on {', '.join(elsewhere)}." if elsewhere else ""),
        dimension=Dimension.LENGTH,
        value=nearest_m,
        limit=_CLEAR_M,
        utilisation=judged.utilisation,
        action=_how(judged.status == "ok", elsewhere),
        assumptions=("cable clamps stand at the couplings", "1 % of the MLE goes into laying"),
    )


def _how(clear: bool, elsewhere: list[str]) -> str:
    if not clear:
        return "another pup above the Y-tool, so that the splice is clear of coupling and clamp"
    return "settle in the table of the upper completion what takes the splice" if elsewhere else ""


def _item_at(context: Context, height_m: float) -> tuple[UpperItem, float, float]:
    """The item above the Y-tool at a height, and its ends above the Y-tool [m]."""
    low_m = 0.0
    for item in context.job.upper:
        high_m = low_m + item.length_m.si
        if height_m <= high_m:
            return item, low_m, high_m
        low_m = high_m
    raise MissingInputError(needs="the table of the upper completion, up to the splice")


MLE_REACH = Check(
    id="mle-reach",
    question="Is the motor lead long enough, and does its splice come where it may?",
    places=_places,
    judge=_judge,
    basis="distances: common practice",
)
