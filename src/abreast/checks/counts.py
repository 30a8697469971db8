"""Are there enough lifting clamps, lifting subs and twin clamps to go round?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_least, not_checked, plural
from abreast.checks.gear import lifting_clamp, of_type
from abreast.checks.stages import bypass_lifts
from abreast.units import Dimension

__all__ = ["COUNTS"]

What = Literal["lifting clamps", "lifting subs", "twin clamps"]


def _places(_context: Context) -> Iterator[tuple[str, What]]:
    yield "lifting clamps", "lifting clamps"
    yield "lifting subs", "lifting subs"
    yield "twin clamps", "twin clamps"


def _judge(context: Context, what: What) -> Verdict:
    if what == "lifting clamps":
        return _lifting_clamps(context)
    return _lifting_subs(context) if what == "lifting subs" else _twin_clamps(context)


def _lifting_clamps(context: Context) -> Verdict:
    landings = context.job.landings
    if not landings:
        return not_checked("the table of landings")
    used = [lifting_clamp(context.job, landing) for landing in landings]
    clash = [
        f"{lower.id} stands on the plate at {below.id} and would lift the section of {above.id}"
        for (below, lower), (above, upper) in pairwise(zip(landings, used, strict=True))
        if lower.id == upper.id and lower.count < 2
    ]
    names = ", ".join(f"{at.id} {holder.id}" for at, holder in zip(landings, used, strict=True))
    return Verdict(
        status="exceeds" if clash else "ok",
        text=f"{'; '.join(clash)}." if clash else f"No clamp is wanted twice at a time: {names}.",
        basis="physics: one clamp stands on the plate while the next lifts",
        action="take two clamps of that size" if clash else "",
    )


def _lifting_subs(context: Context) -> Verdict:
    subs = of_type(context.job, "lifting sub", sides=("bypass", "both", "any"))
    if not subs:
        return not_checked("the lifting subs of the bypass in the table of holders")
    count = sum(sub.count for sub in subs)
    lifted = len(bypass_lifts(context.assembly))
    judged = at_least(float(count), 1.0)
    return Verdict(
        status=judged.status,
        text=f"{plural(count, 'lifting sub')} for {plural(lifted, 'bypass lift')}; each comes off"
        " before the box goes below the plate: out equals in.",
        dimension=Dimension.COUNT,
        value=float(count),
        limit=1.0,
        utilisation=judged.utilisation,
        basis="common practice: count before lowering",
        action="" if judged.status == "ok" else "have a second lifting sub on the rig",
    )


def _twin_clamps(context: Context) -> Verdict:
    """Each ESP section, from one neck to the next, with a twin clamp of its own."""
    states = context.assembly.landings
    if not states:
        return not_checked("landings that the bypass reaches")
    heights = [clamp.height_m for clamp in context.assembly.clamps]
    bare, below_m = [], float("-inf")
    for state in states:
        if not any(below_m < height <= state.neck_m + 1e-6 for height in heights):
            bare.append(state.id)
        below_m = state.neck_m + 1e-6
    total = len(context.job.clamps)
    text = f"{plural(total, 'twin clamp')} for {plural(len(states), 'ESP section')}"
    return Verdict(
        status="near limit" if bare else "ok",
        text=f"{text}; no twin clamp on the section of {', '.join(bare)}."
        if bare
        else f"{text}, one at least on each; run equals planned.",
        dimension=Dimension.COUNT,
        value=float(total),
        limit=float(len(states)),
        basis="common practice: a twin clamp at each neck",
        action="add a twin clamp, or show that the free length stands" if bare else "",
    )


COUNTS = Check(
    id="counts",
    question="Are there enough lifting clamps, lifting subs and twin clamps?",
    places=_places,
    judge=_judge,
)
