"""Side force on the way down: who leans on the casing, and whether each part bears it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.part_limits import needs_by_field, side_limits
from abreast.checks.passing_words import (
    Source,
    Worst,
    at,
    bend,
    gaps,
    held,
    known,
    listed,
    no_numbers,
    spread,
    taken,
    ways,
    worst,
    worst_of,
)
from abreast.mechanics.cable import CABLE_ID
from abreast.model import Job
from abreast.units import Dimension

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = ["judge_side_force", "side_force_check"]

_ONE_PLACE = (
    "side force at one place: of one point of the model; a body that lies along the wall shares"
    " its force among points a metre apart"
)
_LESS_SIDE = (
    "it may be damaged there: a union that can move in the bends, a stronger part, or its maker's"
    " agreement in writing"
)
_LEAST_N = 1e-9


def side_force_check(run_of: Source) -> Check[RunIn]:
    """The check of all side forces together, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, RunIn]]:
        yield "whole string", run_of(context)

    return Check(
        id="passage-side-force",
        question="How hard does the string lean on the casing, and do the parts bear it?",
        places=places,
        judge=judge_side_force,
    )


def judge_side_force(context: Context, run: RunIn) -> Verdict:
    """The part that is nearest to what it may bear at one place; the sum of all beside it."""
    total = worst(run, lambda place: place.side_n)
    if total is None:
        return no_numbers(run)
    sides = _Sides(context.job, run)
    nearest = worst(run, lambda place: max(sides.uses(place).values(), default=None))
    summed = _summed(context, total) + sides.most_unrated(context)
    if nearest is None:
        return _unlimited(context, run, sides, total, summed)
    uses = sides.uses(nearest.place)
    name = max(uses, key=uses.__getitem__)
    found = worst_of(run, nearest, lambda place: _force(place, name))
    limit = sides.limits[name].value
    return held(
        run,
        text=f"Nearest to what it may bear is {name}: {context.load(found.value)} at one place,"
        f" limit {context.load(limit.si)}; {at(context, found)}; {spread(found, context.load)};"
        f" {bend(context, run, found.place)}. {summed}",
        dimension=Dimension.FORCE,
        value=found.value,
        limit=limit.si,
        needs=sides.needs,
        basis=f"limit: {limit.origin}",
        action=_LESS_SIDE,
        assumptions=sides.assumptions,
    )


def _summed(context: Context, total: Worst) -> str:
    touching = listed(total.place.touching) or "nothing"
    return (
        f"All side forces together are at most {context.load(total.value)}; {at(context, total)};"
        f" {spread(total, context.load)}. Touching there: {touching}."
    )


def _unlimited(context: Context, run: RunIn, sides: _Sides, total: Worst, summed: str) -> Verdict:
    """No part that touches has a limit: nobody states one, or the job says there is none."""
    where = bend(context, run, total.place)
    told = Verdict(
        status="ok",
        text=f"{summed} {where[0].upper()}{where[1:]}.",
        dimension=Dimension.FORCE,
        value=total.value,
        basis="no part that touches has a limit by the job" if sides.unlimited else "physics",
        assumptions=(*sides.assumptions, *taken(run)),
    )
    open_ = (*sides.needs, *gaps(run))
    if not open_:
        return told
    asked = not_checked(*open_)
    return replace(told, status=asked.status, action=asked.action, needs=asked.needs, basis="")


def _force(place: Place, name: str) -> float:
    return (place.walls_n or {}).get(name, 0.0)


class _Sides:
    """Side force of every part that touches anywhere; the cable has a question of its own."""

    def __init__(self, job: Job, run: RunIn) -> None:
        self.limits = side_limits(job)
        self.most_n: dict[str, float] = {}
        for place in (one for _, group in ways(run) for one in known(group)):
            for name, force_n in (place.walls_n or {}).items():
                if name != CABLE_ID:
                    self.most_n[name] = max(self.most_n.get(name, 0.0), force_n)
        states = {name: self.limits[name].value.state for name in sorted(self.most_n)}
        self.unrated = [name for name, state in states.items() if state == "not measured"]
        self.unlimited = [name for name, state in states.items() if state == "not applicable"]

    def uses(self, place: Place) -> dict[str, float]:
        """Force over limit of each part that touches and has one."""
        return {
            name: force_n / max(limit_n, _LEAST_N)
            for name, force_n in (place.walls_n or {}).items()
            if name in self.most_n and (limit_n := self.limits[name].value.known) is not None
        }

    @property
    def needs(self) -> tuple[str, ...]:
        """The limits that nobody states."""
        return needs_by_field("side force", (self.limits[name] for name in self.unrated))

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What counts as one place, and what the job says has no limit."""
        none = f"no limit of side force by the job (n/a): {', '.join(self.unlimited)}"
        return (_ONE_PLACE, none) if self.unlimited else (_ONE_PLACE,)

    def most_unrated(self, context: Context) -> str:
        """The greatest force on a part without a limit, to ask its maker about."""
        if not self.unrated:
            return ""
        name = max(self.unrated, key=self.most_n.__getitem__)
        force = context.load(self.most_n[name])
        return f" Of parts without a limit most is on {name}: {force} at one place."
