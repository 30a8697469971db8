"""Would parts of the string pass as rigid gauges, or must they bend?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.checks.passing_words import Source, gaps, ways
from abreast.errors import MissingInputError
from abreast.mechanics.rigid_passage import RigidBody, RigidPassage, rigid_passage
from abreast.mechanics.setting_depth import stress_text
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.units import Dimension, show

__all__ = ["Rod", "judge_rigid_passage", "rigid_passage_check"]

_BASIS = "physics: height of the surveyed arc over the rod's chord; rod with free ends in a bend"


@dataclass(frozen=True, slots=True)
class Rod:
    """One rigid body, what all of them rest on, and how the contact model stands.

    Parameters
    ----------
    body, found : RigidBody, RigidPassage
        It and all of them.
    open : tuple of str
        What keeps the contact model from an answer.
    leans : bool
        Whether it answers with places that only the casing holds.
    """

    body: RigidBody
    found: RigidPassage
    open: tuple[str, ...]
    leans: bool = False


def rigid_passage_check(run_of: Source) -> Check[Rod]:
    """The check, for the place where the run of the contact model is kept."""

    def places(context: Context) -> Iterator[tuple[str, Rod]]:
        found = rigid_passage(context.job, context.assembly)
        open_, leans = _passage(context, run_of)
        yield from ((one.name, Rod(one, found, open_, leans)) for one in found.bodies)

    return Check(
        id="rigid-passage",
        question="What would a rigid gauge need in the bends of the way, and what has it?",
        places=places,
        judge=judge_rigid_passage,
        basis=_BASIS,
        needs="an ESP piece in the string",
    )


def _passage(context: Context, run_of: Source) -> tuple[tuple[str, ...], bool]:
    """What keeps the contact model from an answer of its own, and whether some places lean."""
    try:
        run = run_of(context)
    except MissingInputError as fault:
        return (fault.needs,), False
    return gaps(run), any(one.state == LEANS for _, places in ways(run) for one in places)


def judge_rigid_passage(context: Context, rod: Rod) -> Verdict:
    """Passes as a rigid gauge, or must bend; that alone is no fault and no pass."""
    body, found = rod.body, rod.found
    text = _text(context, body)
    if body.longest_m <= 0:
        verdict = Verdict(
            status="exceeds",
            text=f"{text} Wider than what is in place on its way: no rod of it passes.",
            action="see drift: a smaller part, or the inner diameter measured",
        )
    elif body.must_bend:
        verdict = _bends(context, rod, text)
    elif found.needs:
        verdict = not_checked(*found.needs, text=f"{text} Passes as far as the survey sees.")
    else:
        verdict = _rigid(context, body, text)
    limit_m = None if body.must_bend else body.room_m
    return replace(
        verdict,
        dimension=Dimension.LENGTH,
        value=body.needed_m,
        limit=limit_m,
        assumptions=found.assumptions,
    )


def _bends(context: Context, rod: Rod, text: str) -> Verdict:
    body = rod.body
    small = context.small
    unseen = " No allowance for what the survey does not see." if rod.found.needs else ""
    words = (
        f"{text} Must bend: {small(body.needed_m)} against {small(body.room_m)}"
        f"{_cost(context, body)}; see passage for what that does.{unseen}"
    )
    needs = (*body.needs, *rod.found.needs, *rod.open)
    if needs:
        return replace(not_checked(*needs, text=words), action="settle passage first")
    if rod.leans:
        action = "see passage: at some places only the casing holds it"
        return Verdict(status="near limit", text=words, action=action)
    return Verdict(status="ok", text=words)


def _rigid(context: Context, body: RigidBody, text: str) -> Verdict:
    if body.needed_m > body.room_at_drift_m:
        return Verdict(
            status="near limit",
            text=f"{text} Passes as a rigid gauge at the nominal bore, not at the drift.",
            action="measure the inner diameter there, or rely on passage",
        )
    judged = at_most(body.needed_m, body.room_m)
    return Verdict(
        status=judged.status,
        text=f"{text} Passes as a rigid gauge.",
        utilisation=judged.utilisation,
        action="" if judged.status == "ok" else "rely on passage, which lets it bend",
    )


def _text(context: Context, body: RigidBody) -> str:
    bend, small, units = body.bend, context.small, context.job.units
    ends = " to ".join(context.length(md, digits=0) for md in bend.at_md_m)
    allowed = (
        f" ({small(body.needed_m)} with {show(bend.allowance_rad_m, Dimension.DOGLEG, units)}"
        " allowance)"
        if bend.allowance_rad_m
        else ""
    )
    longest = (
        f" Unbent up to {context.length(body.longest_m)}"
        if 0 < body.longest_m < body.length_m
        else ""
    )
    bare = (
        f" ({context.length(body.longest_surveyed_m)} without the allowance)"
        if longest and bend.allowance_rad_m and math.isfinite(body.longest_surveyed_m)
        else ""
    )
    return (
        f"{context.length(body.length_m)} by {small(body.width_m)}"
        f" ({' and '.join(body.widest)}), worst in {show(bend.rad_m, Dimension.DOGLEG, units)}"
        f" at {ends} ({context.job.depth_datum}): a rigid gauge would need"
        f" {small(bend.arc_m)}{allowed} and has {small(body.room_m)}"
        f" ({small(body.room_at_drift_m)} at the drift).{longest}{bare}{'.' if longest else ''}"
    )


def _cost(context: Context, body: RigidBody) -> str:
    """Stress and side force of a body that bends, where they are known."""
    parts = []
    if body.stress_pa is not None:
        parts.append(f"bending stress {stress_text(body.stress_pa, context.job.units)}")
    if body.side_force_n is not None:
        along = f", {context.length(body.lies_m)} of which lies on the bend" if body.lies_m else ""
        parts.append(f"{context.load(body.side_force_n)} on its middle{along}")
    return f" ({'; '.join(parts)})" if parts else ""
