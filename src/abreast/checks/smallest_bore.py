"""What is the smallest bore of the whole bypass path, and where?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.mechanics.bores import PathBore, Smallest, smallest_on_path
from abreast.units import Dimension

__all__ = ["SMALLEST_BORE"]


def _places(context: Context) -> Iterator[tuple[str, Smallest]]:
    yield "bypass path", smallest_on_path(context.job, context.assembly)


def _judge(context: Context, found: Smallest) -> Verdict:
    place = found.place
    if place is None or place.bore_m is None:
        return not_checked(*found.needs)
    text = f"{context.small(place.bore_m)}: {place.what} of {place.piece}{_depth(context, found)}."
    if found.needs:
        return not_checked(*found.needs, text=f"Of those known, {text}")
    return Verdict(
        status="ok",
        text=f"{text} Above it {_above(context, found.before)}.",
        dimension=Dimension.LENGTH,
        value=place.bore_m,
        assumptions=("round bores; plugs, valves and bends not counted",),
    )


def _depth(context: Context, found: Smallest) -> str:
    if not found.depths:
        return ""
    datum, top_m, bottom_m = found.depths[0]
    top, bottom = context.length(top_m), context.length(bottom_m)
    return f", {top} from {datum}" if top == bottom else f", {top} to {bottom} from {datum}"


def _above(context: Context, before: PathBore | None) -> str:
    """The smallest that a tool meets before it."""
    if before is None or before.bore_m is None:
        return "there is nothing smaller to meet first"
    return f"the smallest is {context.small(before.bore_m)}, {before.what} of {before.piece}"


SMALLEST_BORE = Check(
    id="smallest-bore",
    question="What is the smallest bore of the whole bypass path, and where?",
    places=_places,
    judge=_judge,
    basis="diameters stated in the job",
)
