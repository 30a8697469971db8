"""Can each lift be made up by hand where its lower end stands?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, inside
from abreast.checks.stages import bypass_lifts, stages
from abreast.model import LandingState
from abreast.spaceout.placing import UNION_ID
from abreast.units import Dimension

__all__ = ["LIFT_REACH"]


@dataclass(frozen=True, slots=True)
class _Joint:
    """A connection made up by hand: its height, and the section that hangs meanwhile."""

    name: str
    height_m: float
    state: LandingState | None


def _places(context: Context) -> Iterator[tuple[str, _Joint]]:
    assembly = context.assembly
    hanging = {lift.name: stage.state for stage in stages(assembly) for lift in stage.lifts}
    for number, lift in enumerate(bypass_lifts(assembly)):
        if all(piece.status == "run" for piece in lift.pieces):
            continue
        # The first lift goes on the base while the tail hangs at hand height: nothing to judge.
        if number > 0 or lift.name in hanging:
            yield lift.name, _Joint(lift.name, lift.bottom_m, hanging.get(lift.name))
    if assembly.union is not None and assembly.landings:
        yield UNION_ID, _Joint(UNION_ID, assembly.union.bottom_m, assembly.landings[-1])


def _judge(context: Context, joint: _Joint) -> Verdict:
    if joint.state is None:
        return _pre_run(context, joint)
    above_m = joint.height_m - joint.state.neck_m
    low, high = joint.state.window_m
    judged = inside(above_m, low, high)
    return Verdict(
        status=judged.status,
        text=f"{joint.name} is made up {context.length(above_m)} above the plate while"
        f" {joint.state.piece} hangs; reach {context.length(low)} to {context.length(high)}.",
        dimension=Dimension.LENGTH,
        value=above_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action=""
        if judged.status != "exceeds"
        else "make it up with the lift below it beforehand, or change the pieces below it",
    )


def _pre_run(context: Context, joint: _Joint) -> Verdict:
    rule = context.job.rules.pre_run_height_m
    if rule.state == "not applicable":
        return Verdict(
            status="exceeds",
            text=f"{joint.name} would be made up before the first ESP section on top of another"
            f" lift, and this job has no pre-run ({rule.reason}).",
            action="allow a pre-run in the rules, or make the two lifts up as one",
        )
    judged = at_most(joint.height_m, rule.si)
    return Verdict(
        status=judged.status,
        text=f"{joint.name} is made up before the first ESP section, the string lowered for it; its"
        f" lower end ends up at {context.length(joint.height_m)}, a pre-run is allowed to"
        f" {context.length(rule.si)} above the ESP's lower face.",
        dimension=Dimension.LENGTH,
        value=joint.height_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action="" if judged.status != "exceeds" else "make it up at a landing",
    )


LIFT_REACH = Check(
    id="lift-reach",
    question="Is each lift, and the union, made up within reach of hands?",
    places=_places,
    judge=_judge,
    basis="working window of the job; pre-run height of its rules",
)
