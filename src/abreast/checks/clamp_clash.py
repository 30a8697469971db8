"""Does every twin clamp close on free pipe, clear of connections, the union and its neighbour?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_least, not_checked
from abreast.model import PlacedClamp, TwinClamp, free_body_ends_m, rack_item
from abreast.spaceout.placing import UNION_ID
from abreast.units import Dimension

__all__ = ["CLAMP_CLASH"]


@dataclass(frozen=True, slots=True)
class _Seated:
    clamp: TwinClamp
    placed: PlacedClamp
    above: tuple[TwinClamp, PlacedClamp] | None


def _places(context: Context) -> Iterator[tuple[str, _Seated]]:
    part = {clamp.id: clamp for clamp in context.job.clamps}
    placed = context.assembly.clamps
    for number, one in enumerate(placed, 1):
        above = (part[placed[number].id], placed[number]) if number < len(placed) else None
        yield one.id, _Seated(part[one.id], one, above)


def _clearance_m(context: Context, clamp: TwinClamp) -> float:
    own = clamp.clearance_m
    return own.si if own.is_given else context.job.rules.clamp_margin_m.si


def _judge(context: Context, seated: _Seated) -> Verdict:
    clamp, placed = seated.clamp, seated.placed
    if not placed.on_item:
        if context.assembly.union is None:
            return not_checked("the bypass piece that will stand at this clamp")
        return _clash(f"{clamp.id} finds no bypass pipe at its height")
    if placed.on_item == UNION_ID:
        return _clash(f"{clamp.id} would close on the adjustable union")
    overlap_m = _overlap_m(seated)
    if overlap_m > 0 and seated.above is not None:
        return _clash(f"{clamp.id} and {seated.above[0].id} overlap by {context.length(overlap_m)}")
    return _free_pipe(context, clamp, placed)


def _clash(text: str) -> Verdict:
    return Verdict(
        status="exceeds", text=f"{text}.", action="shift the clamp, or change the pieces beside it"
    )


def _overlap_m(seated: _Seated) -> float:
    if seated.above is None:
        return 0.0
    part, placed = seated.above
    halves_m = (seated.clamp.length_m.si + part.length_m.si) / 2
    return halves_m - (placed.height_m - seated.placed.height_m)


def _free_pipe(context: Context, clamp: TwinClamp, placed: PlacedClamp) -> Verdict:
    piece = next(p for p in context.assembly.side("bypass") if p.id == placed.on_item)
    upset_m, coupling_m = free_body_ends_m(context.job, rack_item(context.job, piece.id))
    half_m = clamp.length_m.si / 2
    below_m = placed.height_m - half_m - (piece.bottom_m + upset_m)
    above_m = piece.top_m - coupling_m - (placed.height_m + half_m)
    least_m = _clearance_m(context, clamp)
    free_m = min(below_m, above_m)
    judged = at_least(free_m, least_m)
    return Verdict(
        status=judged.status,
        text=f"On {piece.id}: {context.length(below_m)} of free pipe below {clamp.id},"
        f" {context.length(above_m)} above; {context.length(least_m)} is needed.",
        dimension=Dimension.LENGTH,
        value=free_m,
        limit=least_m,
        utilisation=judged.utilisation,
        action=_cure(context, clamp, placed, below_m, above_m) if judged.status != "ok" else "",
    )


def _cure(
    context: Context, clamp: TwinClamp, placed: PlacedClamp, below_m: float, above_m: float
) -> str:
    """Which way the clamp should move, and whether it may."""
    least_m = _clearance_m(context, clamp)
    if below_m < above_m:
        way, short_m, room = "up", least_m - below_m, clamp.shift_up_m.known
        left_m = None if room is None else room - placed.shift_m
    else:
        way, short_m, room = "down", least_m - above_m, clamp.shift_down_m.known
        left_m = None if room is None else room + placed.shift_m
    if left_m is None:
        return f"it is not known whether the clamp may move {way}: fill in its shift"
    if short_m <= left_m:
        return f"shift the clamp {way} by {context.length(max(short_m, 0.0))}"
    return f"it may move {way} only {context.length(left_m)}: change the pieces beside it"


CLAMP_CLASH = Check(
    id="clamp-clash",
    question="Does every twin clamp close on free pipe, clear of connections and of the union?",
    places=_places,
    judge=_judge,
    basis="physics: a clamp does not close on an upset; margin by the rules of the job",
    needs="the table of twin clamps",
)
