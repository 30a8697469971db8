"""Is there free bypass pipe at the plate for the holder of the bypass?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.stages import bypass_items
from abreast.model import Landing, free_body_ends_m, rack_item
from abreast.units import Dimension

__all__ = ["HOLDING_GRIP"]

_SAME_M = 1e-6


def _places(context: Context) -> Iterator[tuple[str, Landing]]:
    held = context.job.load_path in ("both-held", "bypass-held")
    for landing in context.job.landings:
        if held or landing.grip_low_m.is_given:
            yield landing.id, landing


def _judge(context: Context, landing: Landing) -> Verdict:
    state = next((s for s in context.assembly.landings if s.id == landing.id), None)
    if state is None:
        return not_checked(f"the bypass pieces still to be run before {landing.id}")
    low_m = state.neck_m + landing.grip_low_m.si
    high_m = state.neck_m + landing.grip_high_m.si
    room_m, name = max(_room(context, low_m, high_m), default=(float("-inf"), ""))
    if room_m < -_SAME_M:
        return Verdict(
            status="exceeds",
            text=f"From {context.length(landing.grip_low_m.si)} to"
            f" {context.length(landing.grip_high_m.si)} from the plate there is no free pipe:"
            " a connection lies there.",
            action="choose pieces whose connections clear the plate",
        )
    return Verdict(
        status="ok",
        text=f"{name} is free at the plate, {context.length(room_m)} beyond the grip's nearer end.",
        dimension=Dimension.LENGTH,
        value=room_m,
        limit=0.0,
    )


def _room(context: Context, low_m: float, high_m: float) -> Iterator[tuple[float, str]]:
    """Free pipe beyond the grip's nearer end for each piece [m]; negative: it does not fit."""
    for piece in bypass_items(context.assembly):
        if piece.top_m <= low_m or piece.bottom_m >= high_m:
            continue
        upset_m, coupling_m = free_body_ends_m(context.job, rack_item(context.job, piece.id))
        yield min(low_m - piece.bottom_m - upset_m, piece.top_m - coupling_m - high_m), piece.id


HOLDING_GRIP = Check(
    id="holding-grip",
    question="Is there free bypass pipe at the plate for the holder of the bypass?",
    places=_places,
    judge=_judge,
    basis="grip length as stated for the landing",
)
