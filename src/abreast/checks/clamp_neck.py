"""Does every twin clamp sit clear of the ESP joints beside it?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.model import PlacedClamp
from abreast.units import Dimension

__all__ = ["CLAMP_NECK"]

_SAME_M = 1e-6


def _places(context: Context) -> Iterator[tuple[str, PlacedClamp]]:
    for placed in context.assembly.clamps:
        yield placed.id, placed


def _judge(context: Context, placed: PlacedClamp) -> Verdict:
    clamp = next(one for one in context.job.clamps if one.id == placed.id)
    faces = {piece.top_m for piece in context.assembly.side("esp")}
    faces |= {piece.bottom_m for piece in context.assembly.side("esp")}
    half_m = clamp.length_m.si / 2
    clear_m = min(abs(face - placed.height_m) for face in faces) - half_m
    moved = ""
    if placed.shift_m > 0 or placed.shift_m < 0:
        allowed_m = clamp.shift_up_m.si if placed.shift_m > 0 else clamp.shift_down_m.si
        moved = f" It is shifted by {context.length(placed.shift_m)}."
        if abs(placed.shift_m) > allowed_m + _SAME_M:
            return Verdict(
                status="exceeds",
                text=f"{moved.strip()} {context.length(allowed_m)} is allowed.",
                dimension=Dimension.LENGTH,
                value=abs(placed.shift_m),
                limit=allowed_m,
                action="move the clamp back to where it may sit",
            )
    return Verdict(
        status="ok" if clear_m >= -_SAME_M else "exceeds",
        text=f"{clamp.id} ends {context.length(clear_m)} from the nearest ESP joint.{moved}"
        if clear_m >= 0
        else f"{clamp.id} reaches {context.length(-clear_m)} over the nearest ESP joint.{moved}",
        dimension=Dimension.LENGTH,
        value=clear_m,
        limit=0.0,
        action="" if clear_m >= -_SAME_M else "shift the clamp, or give its place on the neck",
        assumptions=("as long on the ESP side as along the bypass",),
    )


CLAMP_NECK = Check(
    id="clamp-neck",
    question="Does every twin clamp sit clear of the ESP joints beside it?",
    places=_places,
    judge=_judge,
    basis="physics: a clamp does not close over a flange",
)
