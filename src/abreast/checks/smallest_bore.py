"""What is the smallest bore of the whole bypass path, and where?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.mechanics.bores import PathBore, path_bores
from abreast.units import Dimension

__all__ = ["SMALLEST_BORE"]


def _places(_context: Context) -> Iterator[tuple[str, str]]:
    yield "bypass path", "bypass path"


def _judge(context: Context, _: str) -> Verdict:
    bores = path_bores(context.job, context.assembly)
    known = [(bore.bore_m, bore) for bore in bores if bore.bore_m is not None]
    needs = tuple(dict.fromkeys(need for bore in bores for need in bore.needs))
    if context.assembly.union is None:
        needs = (*needs, "the bypass pieces still to be run")
    smallest = min(known, key=lambda one: one[0], default=None)
    if smallest is None:
        return not_checked(*needs)
    bore_m, place = smallest
    text = f"{context.small(bore_m)}: {place.what} of {place.piece}{_depth(context, place)}."
    if needs:
        return not_checked(*needs, text=f"Of those known, {text}")
    return Verdict(
        status="ok",
        text=f"{text} Above it {_above(context, bores, place)}.",
        dimension=Dimension.LENGTH,
        value=bore_m,
        assumptions=("round bores; plugs, valves and bends not counted",),
    )


def _depth(context: Context, place: PathBore) -> str:
    placed = next((p for p in context.assembly.pieces if p.id == place.piece), None)
    if placed is None or placed.top_md_m is None or placed.bottom_md_m is None:
        return ""
    top, bottom = context.length(placed.top_md_m), context.length(placed.bottom_md_m)
    return f", {top} to {bottom} from {context.assembly.datum}"


def _above(context: Context, bores: tuple[PathBore, ...], place: PathBore) -> str:
    """The smallest that a tool meets before it."""
    before = bores[: bores.index(place)]
    least = min(before, key=lambda one: one.bore_m or 0.0, default=None)
    if least is None or least.bore_m is None:
        return "there is nothing smaller to meet first"
    return f"the smallest is {context.small(least.bore_m)}, {least.what} of {least.piece}"


SMALLEST_BORE = Check(
    id="smallest-bore",
    question="What is the smallest bore of the whole bypass path, and where?",
    places=_places,
    judge=_judge,
    basis="diameters stated in the job",
)
