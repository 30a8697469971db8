"""Does the lifting clamp of each landing fit its neck?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.gear import lifting_clamp
from abreast.model import EspPiece, Holder, Landing
from abreast.units import Dimension

__all__ = ["HOLDER_FIT"]


def _places(context: Context) -> Iterator[tuple[str, Landing]]:
    for landing in context.job.landings:
        yield landing.id, landing


def _judge(context: Context, landing: Landing) -> Verdict:
    holder = lifting_clamp(context.job, landing)
    piece = next(p for p in context.job.esp if p.id == landing.piece)
    neck_m = piece.neck_od_m.si
    low_m, high_m = holder.neck_od_min_m.si, holder.neck_od_max_m.si
    faults = list(_faults(context, holder, piece))
    text = (
        f"{holder.id} takes necks of {context.small(low_m)} to {context.small(high_m)}; the neck of"
        f" {piece.id} is {context.small(neck_m)}."
    )
    along = [one.label for one in (holder.height_m, piece.neck_length_m) if not one.is_given]
    if along and not faults:
        return not_checked(*along, text=text)
    return Verdict(
        status="exceeds" if faults else "ok",
        text=text + "".join(f" {fault}." for fault in faults),
        dimension=Dimension.LENGTH,
        value=neck_m,
        limit=low_m if neck_m < low_m else high_m,
        action="fit the right clamp or insert, measured against the neck" if faults else "",
    )


def _faults(context: Context, holder: Holder, piece: EspPiece) -> Iterator[str]:
    neck_m = piece.neck_od_m.si
    if holder.type != "lifting clamp":
        yield f"{holder.id} is no lifting clamp but {holder.type}"
    if not holder.neck_od_min_m.si <= neck_m <= holder.neck_od_max_m.si:
        yield "It does not fit"
    if holder.insert and piece.neck_insert and holder.insert != piece.neck_insert:
        yield f"Insert {holder.insert} is in it, the neck needs {piece.neck_insert}"
    height_m, length_m = holder.height_m.known, piece.neck_length_m.known
    if height_m is not None and length_m is not None and height_m > length_m:
        yield f"It is {context.length(height_m)} high, the neck {context.length(length_m)} long"


HOLDER_FIT = Check(
    id="holder-fit",
    question="Does the lifting clamp of each landing fit its neck?",
    places=_places,
    judge=_judge,
    basis="sizes of the clamp and of the neck",
)
