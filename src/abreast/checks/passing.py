"""Does a shape of the twin string exist at every depth and roll of its way?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from abreast.checks.base import Check, Context, Verdict, not_checked, plural
from abreast.checks.passing_bending import moment_check, stress_check
from abreast.checks.passing_crooked import crooked_check
from abreast.checks.passing_forces import cable_check, drag_check
from abreast.checks.passing_joints import clamp_grip_check, union_check
from abreast.checks.passing_narrow import narrow_check
from abreast.checks.passing_sides import side_force_check
from abreast.checks.passing_words import (
    SETTLED,
    Source,
    count,
    depths,
    gaps,
    listed,
    rolls,
    taken,
    ways,
)
from abreast.mechanics.twin_beam_solve import LEANS

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = ["Asked", "judge_passage", "passage_check", "passing_checks"]

_BASIS = "contact of both strings with the casing, at its nominal inner diameter"
_LOCK_AFTER = "pass there with the union able to move and lock it after, or take it up by less"
_HEADS = {
    "does not fit": "Does not fit",
    LEANS: "Would buckle between its clamps if the casing did not hold it",
    "buckled": "Buckles between its clamps, with no shape that the casing holds,",
    "not found": "No shape found within the steps allowed",
}
_NEEDS = {
    "buckled": "a state of the union, or less drag, in which the strings do not buckle",
    "not found": "a shape where the contact model found none",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """One way the string moves, and its places."""

    run: RunIn
    places: tuple[Place, ...]


def passing_checks(run_of: Source) -> tuple[Check[Any], ...]:
    """All checks of the way down, for the place where the run is kept."""
    makers = (
        passage_check,
        narrow_check,
        crooked_check,
        moment_check,
        stress_check,
        side_force_check,
        cable_check,
        drag_check,
        union_check,
        clamp_grip_check,
    )
    return tuple(maker(run_of) for maker in makers)


def passage_check(run_of: Source) -> Check[Asked]:
    """The check, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, Asked]]:
        run = run_of(context)
        yield from ((name, Asked(run, group)) for name, group in ways(run))

    return Check(
        id="passage",
        question="Does the twin string pass every depth at every roll?",
        places=places,
        judge=judge_passage,
        basis=_BASIS,
    )


def judge_passage(context: Context, asked: Asked) -> Verdict:
    """What was found at the places of one way, and what was not."""
    run, places = asked.run, asked.places
    if not places:
        return not_checked(*gaps(run) or ("places on this way",))
    states = dict.fromkeys(one.state for one in places)
    groups = {state: [one for one in places if one.state == state] for state in states}
    text = " ".join(_told(context, state, group, places) for state, group in groups.items())
    if "does not fit" in groups:
        parts = {one.where for one in groups["does not fit"] if one.where}
        return Verdict(
            status="exceeds",
            text=text,
            action=f"do not run it through: measure the inner diameter there, or smaller"
            f" {listed(sorted(parts)) or 'parts'}",
            assumptions=taken(run),
        )
    needs = [] if run.whole else ["the sweep to its end: it was stopped"]
    needs += [
        _NEEDS.get(state, f"an answer to '{state}'") for state in groups if state not in SETTLED
    ]
    if needs:
        pushed = [one for state in (LEANS, "buckled") for one in groups.get(state, ())]
        locked = any(one.union == "locked" for one in pushed)
        verdict = not_checked(*needs, text=text)
        return replace(
            verdict,
            action=_LOCK_AFTER if locked else _todo(groups),
            assumptions=taken(run),
        )
    if LEANS in groups:
        leaning = groups[LEANS]
        locked = any(one.union == "locked" for one in leaning)
        return Verdict(
            status="near limit",
            text=text,
            action=_LOCK_AFTER if locked else _todo(groups),
            assumptions=taken(run),
        )
    return Verdict(status="ok", text=text, assumptions=taken(run))


def _todo(groups: dict[str, list[Place]]) -> str:
    if LEANS in groups or "buckled" in groups:
        return "look at what pushes the strings there: drag, or a clamp that grips"
    return "work these places out again, or by another method"


def _told(context: Context, state: str, group: Sequence[Place], places: tuple[Place, ...]) -> str:
    """One sentence on the places of one state."""
    if state == "ok" and len(group) == len(places):
        stations = len({one.md_m for one in places})
        turns = len({round(one.roll_rad, 6) for one in places})
        return (
            f"A shape was found at all {plural(len(places), 'place')}: {plural(stations, 'depth')},"
            f" Y-tool top at {depths(context, group, places)} ({context.job.depth_datum}),"
            f" {plural(turns, 'roll')} each{_union(context, group)}. Casing at its nominal inner"
            " diameter; for narrower casing see passage-narrow."
        )
    if state == "ok":
        return f"It stands by itself at {count(len(group), len(places))}."
    parts = sorted({one.where for one in group if one.where})
    deep = f", {listed(parts)} deepest in the wall" if parts else ""
    return (
        f"{_HEADS.get(state, f'Found {state}')} at {count(len(group), len(places))}{deep}:"
        f" Y-tool top at {depths(context, group, places)} ({context.job.depth_datum}),"
        f" {rolls(group, places)}{_union(context, group)}."
    )


def _union(context: Context, group: Sequence[Place]) -> str:
    if context.job.is_top_hung:
        return ""
    return f", union {' and '.join(sorted({one.union for one in group}))}"
