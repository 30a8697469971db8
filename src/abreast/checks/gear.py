"""Which holders of the rig take which lift, as far as the tables say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.model import Holder, Job, Landing, Quantity

__all__ = ["Gear", "bypass_gear", "lifting_clamp", "of_type", "section_gear", "top_gear", "weakest"]


@dataclass(frozen=True, slots=True)
class Gear:
    """Something that carries, and what it may carry [N]."""

    name: str
    rating_n: Quantity


def of_type(job: Job, *types: str, sides: Sequence[str] = ()) -> tuple[Holder, ...]:
    """The holders of some types, for some sides if any are named."""
    return tuple(h for h in job.holders if h.type in types and (not sides or h.side in sides))


def lifting_clamp(job: Job, landing: Landing) -> Holder:
    """The lifting clamp of a landing: as declared, else the weakest that fits its neck.

    Raises
    ------
    MissingInputError
        If none is declared and none fits.
    """
    if landing.holder:
        declared = [holder for holder in job.holders if holder.id == landing.holder]
        if not declared:
            raise MissingInputError(needs=f"holder {landing.holder} in the table of holders")
        return declared[0]
    neck_m = next(p for p in job.esp if p.id == landing.piece).neck_od_m
    fitting = [h for h in of_type(job, "lifting clamp") if _fits(h, neck_m)]
    if not fitting:
        raise MissingInputError(needs=f"the lifting clamp of landing {landing.id}")
    return min(fitting, key=lambda holder: holder.rating_n.or_else(0.0))


def _fits(holder: Holder, neck_od_m: Quantity) -> bool:
    low, high, neck = holder.neck_od_min_m.known, holder.neck_od_max_m.known, neck_od_m.known
    return None not in (low, high, neck) and low <= neck <= high  # type: ignore[operator]


def _gear(holders: Sequence[Holder]) -> list[Gear]:
    return [Gear(holder.id, holder.rating_n) for holder in holders]


def section_gear(job: Job, landing: str) -> list[Gear]:
    """What lifts an ESP section: its lifting clamp, the slings, the block."""
    of_landing = next((one for one in job.landings if one.id == landing), None)
    if of_landing is None:
        raise MissingInputError(needs="a landing for this ESP section")
    slings = of_type(job, "slings", sides=("esp", "both", "any"))
    block = Gear("block", job.rig.block_rating_n)
    return [*_gear([lifting_clamp(job, of_landing), *slings]), block]


def bypass_gear(job: Job) -> list[Gear]:
    """What may lift a bypass or tail piece: elevators and lifting subs of that side."""
    sides = ("bypass", "both", "any")
    found = _gear(of_type(job, "elevator", "lifting sub", sides=sides))
    if not found:
        raise MissingInputError(
            needs="an elevator or lifting sub for the bypass in the table of holders"
        )
    return found


def top_gear(job: Job) -> list[Gear]:
    """What may lift the Y-tool: elevators of the tubing, and the block."""
    found = _gear(of_type(job, "elevator", sides=("tubing", "both", "any")))
    if not found:
        raise MissingInputError(needs="an elevator for the tubing in the table of holders")
    return [*found, Gear("block", job.rig.block_rating_n)]


def weakest(gear: Sequence[Gear], load_n: float) -> Gear:
    """The gear with the lowest rating for a load [N].

    Raises
    ------
    MissingInputError
        If a rating is missing, unless the load is above one that is known: then
        that one is the answer, whatever the others may carry.
    """
    known = [one for one in gear if one.rating_n.is_given]
    least = min(known, key=lambda one: one.rating_n.si, default=None)
    if least is not None and load_n > least.rating_n.si:
        return least
    missing = [one.name for one in gear if not one.rating_n.is_given]
    if missing or least is None:
        raise MissingInputError(needs=f"rating of {', '.join(missing)}")
    return least
