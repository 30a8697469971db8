"""Are the slings long enough for the bypass that stands between them?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_least
from abreast.model import LandingState
from abreast.units import Dimension

__all__ = ["SLINGS"]


def _places(context: Context) -> Iterator[tuple[str, LandingState]]:
    tallest = max(context.assembly.landings, key=lambda s: s.above_plate_m, default=None)
    if tallest is not None:
        yield tallest.id, tallest


def _judge(context: Context, state: LandingState) -> Verdict:
    sling_m = context.job.rig.sling_length_m.si
    margin = context.job.hoisting.sling_margin_m
    needed_m = state.above_plate_m + margin.si
    judged = at_least(sling_m, needed_m)
    return Verdict(
        status=judged.status,
        text=f"Slings of {context.length(sling_m)}; the bypass stands"
        f" {context.length(state.above_plate_m)} above the lifting clamp, with margin"
        f" {context.length(needed_m)} is needed.",
        dimension=Dimension.LENGTH,
        value=sling_m,
        limit=needed_m,
        utilisation=judged.utilisation,
        basis=f"margin: {margin.origin}",
        action={
            "near limit": "watch bails and hook beside the bypass",
            "exceeds": "use longer slings: bails and hook foul the bypass",
        }.get(judged.status, ""),
    )


SLINGS = Check(
    id="slings",
    question="Are the slings long enough for the bypass that stands between them?",
    places=_places,
    judge=_judge,
)
