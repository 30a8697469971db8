"""Which of the rig's holders lifts, hangs or backs up what: chosen from the job's table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from abreast.checks.gear import of_type
from abreast.errors import MissingInputError
from abreast.model import Holder, Job, Landing

__all__ = [
    "bypass_lift",
    "holding_clamp",
    "is_flush",
    "landing_clamps",
    "safety_clamp",
    "sling_gear",
    "slips_for",
    "top_elevator",
]

_PIPE_SIDES = ("bypass", "both", "any")
_SAME = 0.01


def _says(holder: Holder, word: str) -> bool:
    return bool(word) and word in holder.pipe.split()


def is_flush(job: Job, thread: str) -> bool:
    """Whether pipe of this upper thread needs a lifting sub: no elevator is dressed for it."""
    elevators = of_type(job, "elevator", sides=_PIPE_SIDES)
    if any(_says(one, thread) for one in elevators):
        return False
    return bool(of_type(job, "lifting sub", sides=_PIPE_SIDES))


def bypass_lift(job: Job, thread: str) -> tuple[str, tuple[str, ...], bool]:
    """Holder, gear above it, and whether the holder is a lifting sub.

    Raises
    ------
    MissingInputError
        If neither elevator nor lifting sub is in the table.
    """
    elevators = of_type(job, "elevator", sides=_PIPE_SIDES)
    if not is_flush(job, thread):
        fitting = [one for one in elevators if _says(one, thread)] or list(elevators)
        if not fitting:
            raise MissingInputError(
                needs=f"an elevator or lifting sub for thread {thread} in holders.csv"
            )
        return fitting[0].id, (), False
    subs = of_type(job, "lifting sub", sides=_PIPE_SIDES)
    sub = next((one for one in subs if _says(one, thread)), subs[0])
    over = [one for one in elevators if "lifting" in one.pipe] or list(elevators)
    if not over:
        raise MissingInputError(needs="an elevator for the lifting subs in holders.csv")
    return sub.id, (over[0].id,), True


def _of_size(holders: Sequence[Holder], od_m: float | None) -> Holder | None:
    for one in holders:
        own = one.pipe_od_m.known
        if own is None or od_m is None or abs(own - od_m) <= _SAME * od_m:
            return one
    return None


def slips_for(job: Job, od_m: float | None, sides: Iterable[str] = _PIPE_SIDES) -> str:
    """Slips for pipe of a diameter; blank when there are none."""
    found = _of_size(of_type(job, "slips", sides=tuple(sides)), od_m)
    return "" if found is None else found.id


def safety_clamp(job: Job, od_m: float | None) -> str:
    """A safety clamp for pipe of a diameter; blank when there is none."""
    found = _of_size(of_type(job, "safety clamp"), od_m)
    return "" if found is None else found.id


def holding_clamp(job: Job) -> str:
    """The clamp that holds the bypass on the plate.

    Raises
    ------
    MissingInputError
        If there is none in the table.
    """
    found = of_type(job, "holding clamp", sides=_PIPE_SIDES)
    if not found:
        raise MissingInputError(needs="a holding clamp for the bypass in holders.csv")
    return found[0].id


def sling_gear(job: Job) -> tuple[str, ...]:
    """Slings between a line and a lifting clamp: the longest, for the bypass stands between.

    Raises
    ------
    MissingInputError
        If there are none in the table.
    """
    found = of_type(job, "slings", sides=("esp", "both", "any"))
    if not found:
        raise MissingInputError(needs="slings for the lifting clamps in holders.csv")
    return (max(found, key=lambda one: one.height_m.or_else(0.0)).id,)


def top_elevator(job: Job) -> str:
    """The elevator that takes the Y-tool.

    Raises
    ------
    MissingInputError
        If there is none for the tubing.
    """
    found = of_type(job, "elevator", sides=("tubing", "both", "any"))
    if not found:
        raise MissingInputError(needs="an elevator for the tubing in holders.csv")
    return found[0].id


def landing_clamps(job: Job, landings: Sequence[Landing]) -> tuple[str, ...]:
    """A lifting clamp for each landing: as declared, else one that fits and is not in use.

    Raises
    ------
    MissingInputError
        If no lifting clamp fits a neck.
    """
    found: list[str] = []
    for landing in landings:
        if landing.holder:
            found.append(landing.holder)
            continue
        fitting = [one for one in of_type(job, "lifting clamp") if _fits(job, one, landing)]
        if not fitting:
            raise MissingInputError(needs=f"the lifting clamp of landing {landing.id}")
        last = found[-1] if found else ""
        free = [one for one in fitting if one.id != last or one.count > 1] or fitting
        found.append(max(free, key=lambda one: one.rating_n.or_else(0.0)).id)
    return tuple(found)


def _fits(job: Job, holder: Holder, landing: Landing) -> bool:
    part = next(one for one in job.esp if one.id == landing.piece)
    low, high = holder.neck_od_min_m.known, holder.neck_od_max_m.known
    neck = part.neck_od_m.known
    if holder.insert and part.neck_insert and holder.insert != part.neck_insert:
        return False
    return low is not None and high is not None and neck is not None and low <= neck <= high
