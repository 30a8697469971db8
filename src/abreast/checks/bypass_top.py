"""Does the bypass top ever go below the plate?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.checks.stages import Stage, stages
from abreast.units import Dimension

__all__ = ["BYPASS_TOP"]


def _places(context: Context) -> Iterator[tuple[str, Stage]]:
    for stage in stages(context.assembly):
        yield stage.state.id, stage


def _told(context: Context, stage: Stage) -> str:
    on_landing, *after = (_signed(context, above) for above in stage.above_plate_m())
    told = [f"{on_landing} on landing"]
    told += [f"{top} after {lift.name}" for lift, top in zip(stage.lifts, after, strict=True)]
    return ", ".join(told)


def _signed(context: Context, above_m: float) -> str:
    where = "above" if above_m >= 0 else "BELOW"
    return f"{context.length(abs(above_m))} {where} the plate"


def _judge(context: Context, stage: Stage) -> Verdict:
    lowest_m = min(stage.above_plate_m())
    low_m = stage.state.window_m[0]
    return Verdict(
        status="exceeds" if lowest_m < 0 else "near limit" if lowest_m < low_m else "ok",
        text=f"While {stage.state.piece} hangs the bypass top is {_told(context, stage)}.",
        dimension=Dimension.LENGTH,
        value=lowest_m,
        limit=0.0,
        action=""
        if lowest_m >= low_m
        else "add a lift before this landing, or a longer one: a box"
        " below the plate can't be made up",
        assumptions=("while the next section is lowered the top only comes down to its landing",),
    )


BYPASS_TOP = Check(
    id="bypass-top",
    question="Does the bypass top stay above the plate on landing, before and after every lift?",
    places=_places,
    judge=_judge,
    basis="physics: a box below the plate can't be reached",
    needs="landings that the bypass reaches",
)
