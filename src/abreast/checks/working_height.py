"""Does the bypass top stand within reach at each landing?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, inside, not_checked
from abreast.model import Landing
from abreast.units import Dimension

__all__ = ["WORKING_HEIGHT"]


def _places(context: Context) -> Iterator[tuple[str, Landing]]:
    for landing in context.job.landings:
        yield landing.id, landing


def _judge(context: Context, landing: Landing) -> Verdict:
    state = next((s for s in context.assembly.landings if s.id == landing.id), None)
    if state is None:
        return not_checked(f"the bypass pieces still to be run before {landing.id}")
    low, high = state.window_m
    above_m = state.above_plate_m
    judged = inside(above_m, low, high)
    room_m = min(above_m - low, high - above_m)
    margin = (
        f"{context.length(room_m)} inside its nearer end"
        if room_m >= 0
        else f"{context.length(-room_m)} outside"
    )
    side = "above" if above_m >= 0 else "BELOW"
    return Verdict(
        status=judged.status,
        text=f"Bypass top {context.length(abs(above_m))} {side} the plate, window"
        f" {context.length(low)} to {context.length(high)}: {margin}.",
        dimension=Dimension.LENGTH,
        value=above_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action="" if judged.status != "exceeds" else "choose pieces that bring the box into reach",
    )


WORKING_HEIGHT = Check(
    id="working-height",
    question="Does the bypass top stand within reach when the ESP section hangs on the plate?",
    places=_places,
    judge=_judge,
    basis="working window of the job",
    needs="the table of landings",
)
