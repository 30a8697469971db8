"""What joins both strings on the way down: a locked union in a bend, clamps that grip."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.checks.passing_words import (
    Source,
    Worst,
    at,
    bend,
    depth,
    gaps,
    held,
    known,
    no_numbers,
    share,
    spread,
    taken,
    ways,
    worst,
)
from abreast.mechanics.clamp_bend import BESIDE_A_CONTACT, bend_at_clamps_n, holds_m
from abreast.mechanics.needs import needs_of
from abreast.mechanics.run_depths import turning_depths
from abreast.model import Job, TwinClamp
from abreast.units import Dimension, show

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = [
    "Gripped",
    "United",
    "asked_in_bends",
    "clamp_grip_check",
    "judge_clamp_grip",
    "judge_stroke",
    "judge_union",
    "union_check",
]

_LOCK_AFTER = "pass the bends with the union able to move where the design allows, lock it after"
_TAKEN_UP = "the union is taken up by the whole quarter turns of the plan before it is locked"
_DRAG_ONLY = "what a grip carries of weight and heat is not in it; bends do not change its drag"
_SLIPS_IN_BENDS = (
    " That is more than may be used: it may slip there, as its maker allows. Then it slides along"
    " the bypass and need not come back: mark the bypass at it, read the mark when it is pulled."
)
_FOLLOW = (
    f"bends: no clamp slips, and both strings turn {BESIDE_A_CONTACT:g} times as much as the hole,"
    " as beside a contact; an upper bound of what room leaves"
)


# --- union ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class United:
    """What is asked of the union: the force in a locked one, the stroke of a free one."""

    run: RunIn
    about: Literal["force", "stroke"]


def union_check(run_of: Source) -> Check[United]:
    """The check of a locked union, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, United]]:
        if context.job.is_top_hung:
            return
        run = run_of(context)
        yield "force", United(run, "force")
        if any(one.union == "free" for one in _every(run)):
            yield "stroke", United(run, "stroke")

    return Check(
        id="passage-union",
        question="Does the union bear the bends on the way, locked or able to move?",
        places=places,
        judge=lambda context, asked: (
            judge_union(context, asked.run)
            if asked.about == "force"
            else judge_stroke(context, asked.run)
        ),
    )


def _every(run: RunIn) -> list[Place]:
    return [one for _, group in ways(run) for one in group]


def judge_union(context: Context, run: RunIn) -> Verdict:
    """The greatest force in a locked union against its rating; a free one carries none."""
    every = _every(run)
    if every and all(one.union == "free" for one in every):
        return _free(run)
    pulled = worst(run, lambda place: place.union_n if place.union == "locked" else None)
    if pulled is None:
        return no_numbers(run)
    found = worst(run, lambda place: abs(place.union_n) if place.union == "locked" else None)
    assert found is not None, "as many places as of the pull"
    rating = context.job.union.rating_n
    limit = f", rating {context.load(rating.si)}" if rating.is_given else ""
    return held(
        run,
        text=f"Locked, it carries at most {context.load(found.value)}{limit};"
        f" {at(context, found)}; {spread(found, context.load)};"
        f" {bend(context, run, found.place)}. {_both_ways(context, run)}",
        dimension=Dimension.FORCE,
        value=found.value,
        limit=rating.known,
        needs=needs_of(rating),
        basis=f"rating taken for pull and push alike: {rating.origin}" if rating.is_given else "",
        action=_LOCK_AFTER,
        assumptions=(_TAKEN_UP,),
    )


def _both_ways(context: Context, run: RunIn) -> str:
    """Whether the bypass is pulled or pushed, and how far the bends change it."""
    forces = [
        one.union_n for _, group in ways(run) for one in known(group) if one.union == "locked"
    ]
    low, high = min(forces), max(forces)
    if low >= 0:
        return (
            f"The bypass is pulled everywhere, by {context.load(low)} to {context.load(high)};"
            " where that is more than bypass, base support and tail weigh, the ESP stands on the"
            " base."
        )
    pushed = f"The bypass is pushed by up to {context.load(-low)}"
    return f"{pushed}." if high <= 0 else f"{pushed} and pulled by up to {context.load(high)}."


def _free(run: RunIn) -> Verdict:
    """Able to move: bends put nothing into it. Its rating is not asked for."""
    text = "The union can move all the way: bends put no force into it; the ESP side carries all."
    if open_ := gaps(run):
        return not_checked(*open_, text=text)
    return Verdict(
        status="ok",
        text=text,
        basis="declared: from which depth it is locked",
        assumptions=("friction of its seal is not in it", *taken(run)),
    )


def judge_stroke(context: Context, run: RunIn) -> Verdict:
    """How far a union that can move is drawn by the bends, against what is left of its stroke."""
    union = context.assembly.union
    if union is None:
        return not_checked("the union as set")
    spacing = context.job.setting.axis_spacing_m
    ends_m = next(iter(run.beams.values())).twin.rigid_m
    zeros_m = _turning(run, "free", ends_m)
    turn_rad, zero_m = max((_turn_rad(run, zero_m, ends_m), zero_m) for zero_m in zeros_m)
    md_m = zero_m - run.top_above_zero_m
    moves_m, left_m = spacing.si * turn_rad, min(union.to_close_m, union.to_open_m)
    turned = show(turn_rad, Dimension.ANGLE, context.job.units)
    return held(
        run,
        text=f"Able to move, it closes or opens by up to {context.small(moves_m)} in the bends,"
        f" as the string is rolled; left to closed {context.small(union.to_close_m)}, to open"
        f" {context.small(union.to_open_m)}. Y-tool top at {depth(context, md_m)}"
        f" ({context.job.depth_datum}): the hole turns {turned} from Y-tool to base support.",
        dimension=Dimension.LENGTH,
        value=moves_m,
        limit=max(left_m, 0.0),
        basis="physics: distance of the axes times the turn of the hole; stroke of the union",
        action="choose pieces that leave the union more stroke to both sides",
        assumptions=(
            "Y-tool and base support lie along the hole; stretch and heat of the strings are not"
            " in it",
        ),
    )


def _turn_rad(run: RunIn, zero_m: float, ends_m: Sequence[float]) -> float:
    """Angle between the hole at Y-tool and at base support [rad]."""
    import numpy as np

    tangents = run.hole.path.at(zero_m + np.array(ends_m)).tangent
    chord = float(np.linalg.norm(tangents[0] - tangents[-1]))
    return 2 * math.asin(min(chord / 2, 1.0))


# --- clamps --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Gripped:
    """One twin clamp that grips both strings, or may."""

    run: RunIn
    clamp: TwinClamp


def clamp_grip_check(run_of: Source) -> Check[Gripped]:
    """The check of clamps that grip, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, Gripped]]:
        run = run_of(context)
        used = {placed.id for placed in context.assembly.clamps}
        for clamp in context.job.clamps:
            if clamp.id in used and not clamp.grip.startswith("slides"):
                yield clamp.id, Gripped(run, clamp)

    return Check(
        id="passage-clamp-grip",
        question="Does the clamp hold the bypass while it is run?",
        places=places,
        judge=judge_clamp_grip,
    )


def judge_clamp_grip(context: Context, asked: Gripped) -> Verdict:
    """What a clamp must hand over against the share of its grip that may be used.

    Drag is worked out; of the bends there is an upper bound only, so that a
    clamp may be kept by it and never condemned. One that may slip in bends by
    its maker's word is asked for the drag alone, and told to slip.
    """
    run, clamp, use = asked.run, asked.clamp, context.job.rules.grip_use_ratio
    if clamp.grip == "not stated":
        return not_checked(f"grip of twin clamp {clamp.id}: what it does to the strings")
    found = worst(run, lambda place: _handed(place.grips_n, clamp.id))
    if found is None:
        return no_numbers(run)
    grip = clamp.grip_load_n
    may_n = grip.si * use.si if grip.is_given and use.is_given else None
    bends_n, md_m = asked_in_bends(context.job, run, clamp)
    both_n = found.value + bends_n
    slides = may_n is not None and found.value <= may_n < both_n
    open_ = slides and clamp.may_slip != "yes"
    text = (
        f"Drag on the bypass asks at most {context.load(found.value)} of it"
        f"{_of_grip(context, clamp)}; {at(context, found)}; {spread(found, context.load)}."
        f"{_slips(found, clamp)} Bends ask up to {context.load(bends_n)} more if nothing slips:"
        f" Y-tool top at {depth(context, md_m)}.{_SLIPS_IN_BENDS if slides and not open_ else ''}"
    )
    return held(
        run,
        text=text,
        dimension=Dimension.FORCE,
        value=found.value if slides or may_n is None or found.value > may_n else both_n,
        limit=may_n,
        needs=(
            *needs_of(grip, use),
            *((_may_slip(context, clamp, both_n / use.si),) if open_ else ()),
        ),
        basis=f"grip: {grip.origin}; share of it: {use.origin}" if may_n is not None else "",
        action="more torque or more clamps that grip, or declare that it slides and run it again",
        assumptions=(_DRAG_ONLY, _FOLLOW),
    )


def asked_in_bends(job: Job, run: RunIn, clamp: TwinClamp) -> tuple[float, float]:
    """What bends ask of a clamp if nothing slips: an upper bound [N], and the depth of it [m].

    Parameters
    ----------
    job : Job
        Distance of the axes of both strings.
    run : RunIn
        The way down; the depth is that of the top of the Y-tool.
    clamp : TwinClamp
        One that grips both strings.
    """
    spacing_m = job.setting.axis_spacing_m.si
    most = (0.0, run.planned_md_m)
    for union, beam in run.beams.items():
        zeros_m = _turning(run, union, holds_m(beam.twin))
        forces = bend_at_clamps_n(beam.twin, run.hole.path, zeros_m, spacing_m).get(clamp.id)
        if forces is not None and zeros_m:
            tops_m = [zero_m - run.top_above_zero_m for zero_m in zeros_m]
            bound_n = BESIDE_A_CONTACT * forces
            most = max(most, *zip(bound_n.tolist(), tops_m, strict=True))
    return most


def _turning(run: RunIn, union: str, places_m: Sequence[float]) -> list[float]:
    """Depths of the zero of the beams where what the hole turns along the string is extreme [m].

    A clamp asks most where it stands at the end of a bend, wherever the run was looked at.
    """
    zeros_m = [one.md_m + run.top_above_zero_m for one in _every(run) if one.union == union]
    if not zeros_m:
        return []
    return turning_depths(run.hole.path, places_m, min(zeros_m), max(zeros_m))


def _may_slip(context: Context, clamp: TwinClamp, grip_n: float) -> str:
    """What is open where the bound is over the grip."""
    if clamp.may_slip == "no":
        return (
            f"a grip of {context.load(grip_n)} of {clamp.id} (column grip_load of table clamps),"
            " as it must not slip in bends, or its maker's word that it may"
        )
    return (
        f"whether {clamp.id} may slip along the bypass in the bends (column may_slip of table"
        f" clamps); a grip of {context.load(grip_n)} would hold"
    )


def _handed(grips_n: dict[str, float] | None, name: str) -> float | None:
    force_n = (grips_n or {}).get(name)
    return None if force_n is None else abs(force_n)


def _of_grip(context: Context, clamp: TwinClamp) -> str:
    grip, use = clamp.grip_load_n, context.job.rules.grip_use_ratio
    if not (grip.is_given and use.is_given):
        return ""
    return f"; {share(use.si)} of its grip of {context.load(grip.si)} may be used"


def _slips(found: Worst, clamp: TwinClamp) -> str:
    """A clamp that slips no longer does what the model takes it to do."""
    grip_n = clamp.grip_load_n.known
    if grip_n is None or at_most(found.value, grip_n).status != "exceeds":
        return ""
    return (
        " It would slip: then the bypass is pushed by its drag down to the next clamp or its"
        " end, and the numbers of this run do not hold."
    )
