"""Is every lift short enough to be stood up, and of no more pieces than allowed?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, plural
from abreast.checks.loads import Lift, lifts
from abreast.model import Quantity
from abreast.units import Dimension

__all__ = ["LIFT_SIZES"]


def _places(context: Context) -> Iterator[tuple[str, Lift]]:
    every = lifts(context.assembly)
    tail = [lift for lift in every if lift.kind == "tail"]
    if tail:
        yield "longest tail piece", max(tail, key=lambda lift: lift.length_m)
    for lift in every:
        if lift.kind in ("bypass", "esp"):
            yield lift.name, lift


def _limits(context: Context, lift: Lift) -> list[tuple[str, Quantity]]:
    """The lengths a lift is held to; one that does not apply is none."""
    job = context.job
    limits = [
        ("the longest that can be stood up", job.hoisting.max_overall_m),
        ("the longest the catwalk takes", job.rig.catwalk_length_m),
    ]
    if lift.kind == "bypass" and job.rules.max_lift_length_m.is_given:
        limits.append(("the longest lift by the rules", job.rules.max_lift_length_m))
    return [(what, limit) for what, limit in limits if limit.state != "not applicable"]


def _judge(context: Context, lift: Lift) -> Verdict:
    most = context.job.rules.max_lift_pieces
    if lift.kind == "bypass" and len(lift.pieces) > most:
        return Verdict(
            status="exceeds",
            text=f"{lift.name} is {plural(len(lift.pieces), 'piece')}; the rules allow {most} in"
            " one lift.",
            value=float(len(lift.pieces)),
            limit=float(most),
            dimension=Dimension.COUNT,
            action="make fewer pieces up beforehand, or change the rule",
        )
    return _length(context, lift)


def _length(context: Context, lift: Lift) -> Verdict:
    limits = _limits(context, lift)
    told = f"{lift.name}: {plural(len(lift.pieces), 'piece')}, {context.length(lift.length_m)}"
    missing = [limit.label for _, limit in limits if not limit.is_given]
    known = [(what, limit) for what, limit in limits if limit.is_given]
    what, least = min(known, key=lambda one: one[1].si, default=("", Quantity.not_measured()))
    if not known or (missing and lift.length_m <= least.si):
        return not_checked(*(missing or ["a limit of length"]), text=f"{told}.")
    judged = at_most(lift.length_m, least.si)
    return Verdict(
        status=judged.status,
        text=f"{told}; {what} is {context.length(least.si)}.",
        dimension=Dimension.LENGTH,
        value=lift.length_m,
        limit=least.si,
        utilisation=judged.utilisation,
        basis=f"limit of the rig: {least.origin}",
        action="" if judged.status != "exceeds" else "lift it in parts",
        assumptions=("overall lengths summed, make-up loss inside the lift counted",),
    )


LIFT_SIZES = Check(
    id="lift-size",
    question="Is every lift short enough to be stood up, and of no more pieces than allowed?",
    places=_places,
    judge=_judge,
)
