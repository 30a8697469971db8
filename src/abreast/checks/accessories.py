"""Is each accessory run once, its profile where it is wanted?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, inside, plural
from abreast.checks.stages import bypass_items
from abreast.model import Accessory, rack_item
from abreast.units import Dimension

__all__ = ["ACCESSORIES"]


def _places(context: Context) -> Iterator[tuple[str, Accessory]]:
    for need in context.job.accessories:
        yield need.id, need


def _judge(context: Context, need: Accessory) -> Verdict:
    found = [piece for piece in bypass_items(context.assembly) if piece.kind == need.kind]
    if len(found) != 1:
        return Verdict(
            status="exceeds",
            text=f"{plural(len(found), need.kind)} in the bypass; exactly one is wanted.",
            dimension=Dimension.COUNT,
            value=float(len(found)),
            limit=1.0,
            action=f"plan again with one {need.kind}",
        )
    profile_m = found[0].bottom_m + rack_item(context.job, found[0].id).profile_m.si
    low, high = need.window_low_m.si, need.window_high_m.si
    judged = inside(profile_m, low, high)
    return Verdict(
        status="exceeds" if judged.status == "exceeds" else "ok",
        text=f"Profile of {found[0].id} at {context.length(profile_m)} above the ESP's lower face;"
        f" wanted from {context.length(low)} to {context.length(high)}.",
        dimension=Dimension.LENGTH,
        value=profile_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action="" if judged.status != "exceeds" else "plan again: the profile is out of its window",
    )


ACCESSORIES = Check(
    id="accessory",
    question="Is each accessory run once, its profile where it is wanted?",
    places=_places,
    judge=_judge,
    basis="window of the job",
)
