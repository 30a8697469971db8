"""Do the lengths that were measured twice agree?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, plural
from abreast.model import Quantity, RackItem, esp_string, make_up_loss_m, rack_item, tail_items
from abreast.units import Dimension

__all__ = ["MEASURED"]


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two lengths of one thing; ``second`` may be missing."""

    name: str
    first_m: float
    second: Quantity


def _places(context: Context) -> Iterator[tuple[str, tuple[_Pair, ...]]]:
    """Pieces whose lengths disagree by themselves, those measured once, all others together."""
    agreement_m = context.job.rules.measure_agreement_m.si
    pieces = list(_pieces(context))
    twice = [p for p in pieces if p.second.is_given]
    apart = [p for p in twice if abs(p.first_m - p.second.si) > agreement_m]
    for pair in apart:
        yield pair.name, (pair,)
    good = tuple(p for p in twice if p not in apart)
    if good:
        yield "bypass and tail", good
    once = tuple(p for p in pieces if not p.second.is_given)
    if once:
        yield "measured once", once
    for pair in (*_made_up(context), *_esp(context)):
        yield pair.name, (pair,)


def _pieces(context: Context) -> Iterator[_Pair]:
    """Every piece of the rack that is run; parts of the base and tail of their own have a sheet."""
    job = context.job
    used = [item for item in tail_items(job) if isinstance(item, RackItem)]
    used += [rack_item(job, name) for name in context.choice.items]
    for item in used:
        yield _Pair(item.id, item.overall_m.si, item.overall_2_m)


def _made_up(context: Context) -> Iterator[_Pair]:
    """Lifts made up beforehand: their parts less the inner make-up loss, and the tape."""
    job, chosen = context.job, context.choice.lifts or ()
    by_pieces = {lift.pieces: lift for lift in job.lifts}
    for pieces in chosen:
        if len(pieces) < 2:
            continue
        items = [rack_item(job, name) for name in pieces]
        inner_m = sum(make_up_loss_m(job, item) for item in items[1:])
        summed_m = sum(item.overall_m.si for item in items) - inner_m
        lift = by_pieces.get(pieces)
        name = f"lift {lift.id}" if lift else f"lift {'+'.join(pieces)}"
        second = lift.overall_m if lift else Quantity.not_measured()
        yield _Pair(name, summed_m, second)


def _esp(context: Context) -> Iterator[_Pair]:
    """ESP pieces measured on location, against their sheet."""
    for piece in esp_string(context.job):
        if piece.remeasured_m.is_given and piece.length_m.is_given:
            yield _Pair(piece.id, piece.length_m.si, piece.remeasured_m)


def _judge(context: Context, row: tuple[_Pair, ...]) -> Verdict:
    missing = [pair.name for pair in row if not pair.second.is_given]
    if missing:
        return not_checked(f"a second measurement of {', '.join(missing)}")
    worst = max(row, key=lambda pair: abs(pair.first_m - pair.second.si))
    apart_m = abs(worst.first_m - worst.second.si)
    judged = at_most(apart_m, context.job.rules.measure_agreement_m.si)
    return Verdict(
        status=judged.status,
        text=f"{plural(len(row), 'piece')}; the two lengths of {worst.name} differ most:"
        f" {context.length(worst.first_m, 3)} and {context.length(worst.second.si, 3)}, allowed"
        f" {context.length(judged.limit, 3)}.",
        dimension=Dimension.LENGTH,
        value=apart_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action="" if judged.status != "exceeds" else "measure again, two people, protectors off",
    )


MEASURED = Check(
    id="measured-twice",
    question="Do the lengths that were measured twice agree?",
    places=_places,
    judge=_judge,
    basis="agreement by the rules of the job: common practice",
)
