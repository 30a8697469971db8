"""The cable and the drag on the way down: what leans on the casing, and what that takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.passing_words import (
    Source,
    Worst,
    at,
    bend,
    held,
    no_numbers,
    share,
    spread,
    worst,
)
from abreast.mechanics.needs import needs_of
from abreast.model import Quantity
from abreast.units import Dimension

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = [
    "Cable",
    "cable_check",
    "drag_check",
    "judge_cable",
    "judge_drag",
]

CablePart = Literal["cable", "guard"]
_SLIDING = "friction factor of the job times the side forces, slowly and without turning"
_AMONG = "drag is that of the string, weight also that of 20 m of tubing over it"


# --- cable ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Cable:
    """The cable itself, or the guard over it."""

    run: RunIn
    part: CablePart


def cable_check(run_of: Source) -> Check[Cable]:
    """The check of the side force on cable and guard, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, Cable]]:
        run = run_of(context)
        kinds = {
            disc.kind
            for beam in run.beams.values()
            for string in beam.twin.strings
            for disc in string.discs
        }
        if "cable" in kinds:
            yield "cable", Cable(run, "cable")
        if "guard" in kinds:
            yield "guard of the cable", Cable(run, "guard")

    return Check(
        id="passage-cable",
        question="Is the cable spared by the casing?",
        places=places,
        judge=judge_cable,
    )


def judge_cable(context: Context, asked: Cable) -> Verdict:
    """The greatest side force on the cable at one place against what it may bear."""
    run, part = asked.run, asked.part
    found = worst(run, lambda place: place.cable_n if part == "cable" else place.guard_n)
    if found is None:
        return no_numbers(run)
    limit = Quantity.not_measured("there is no MLE")
    if context.job.mle is not None:
        limit = context.job.mle.side_load_n
    return held(
        run,
        text=_cable_text(context, run, part, found, limit),
        dimension=Dimension.FORCE,
        value=found.value,
        limit=limit.known,
        needs=needs_of(limit),
        basis=f"limit: {limit.origin}" if limit.is_given else "",
        action="it may be crushed there: turn the pothead away, or give it a guard, or pass slowly"
        " and test the cable after it",
        assumptions=("the cable keeps its angle all along, and a guard covers all of it",),
    )


def _cable_text(
    context: Context, run: RunIn, part: CablePart, found: Worst, limit: Quantity
) -> str:
    name = "The cable itself" if part == "cable" else "The guard over the cable"
    if found.value <= 0:
        return f"{name} does not touch the casing at any place with numbers."
    behind = " The cable lies behind it." if part == "guard" else ""
    may = f", may bear {context.load(limit.si)}" if limit.is_given else ""
    return (
        f"{name} is pressed by at most {context.load(found.value)} at one place{may};"
        f" {at(context, found)}; {spread(found, context.load)};"
        f" {bend(context, run, found.place)}.{behind}"
    )


# --- drag ----------------------------------------------------------------------------------


def drag_check(run_of: Source) -> Check[RunIn]:
    """The check of drag, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, RunIn]]:
        yield "lowering", run_of(context)

    return Check(
        id="passage-drag",
        question="Does the twin string go down by its own weight, and how much does it drag?",
        places=places,
        judge=judge_drag,
    )


def judge_drag(context: Context, run: RunIn) -> Verdict:
    """Drag while lowering against the weight that hangs; picking up is told beside it."""
    friction = context.job.friction.cased_ratio
    if run.hole.friction_ratio is None:
        return not_checked("the friction factor of the casing (cased of section friction)")
    down = worst(run, lambda place: _part(run, place, "lowering"), ("lowering",))
    if down is None:
        return no_numbers(run)
    weight_n = _weight_n(run, down.place, "lowering")
    drag_n = down.place.drag_n or 0.0
    up = worst(run, lambda place: _part(run, place, "picking up"), ("picking up",))
    verdict = held(
        run,
        text=f"{_dragged(context, run, down)}{_pushed(context, drag_n - weight_n)}"
        f"{_raised(context, run, up)}",
        dimension=Dimension.FORCE,
        value=drag_n,
        limit=max(weight_n, 0.0),
        basis=f"physics: more drag than weight needs a push from above; friction factor"
        f" {friction.si:g}: {friction.origin}",
        action="go slowly there and watch the weight: the tubing above must push, see the hook"
        " load",
        assumptions=(_SLIDING, _AMONG),
    )
    if verdict.status != "exceeds":
        return verdict
    # The tubing may well push it down: the hook load answers for the whole string, and its own
    # weight is no limit that is used by more than all of it.
    return replace(verdict, status="near limit", limit=None, utilisation=None)


def _pushed(context: Context, push_n: float) -> str:
    if push_n <= 0:
        return ""
    return (
        f" By its own weight it stops there: the tubing above must push with"
        f" {context.load(push_n)}. Whether the whole string goes down is asked of the hook load."
    )


def _weight_n(run: RunIn, place: Place, way: str) -> float:
    """What hangs at the upper end of the model, all drag taken off it [N]."""
    all_drag_n = (run.hole.friction_ratio or 0.0) * place.side_n
    return place.top_n + all_drag_n * (1.0 if way == "lowering" else -1.0)


def _part(run: RunIn, place: Place, way: str) -> float | None:
    """Drag over hanging weight; None without a friction factor."""
    if place.drag_n is None:
        return None
    return place.drag_n / max(_weight_n(run, place, way), 1e-9)


def _dragged(context: Context, run: RunIn, found: Worst) -> str:
    drag, weight = found.place.drag_n or 0.0, _weight_n(run, found.place, found.way)
    return (
        f"Drag takes {context.load(drag)} of the {context.load(weight)} that hang;"
        f" {at(context, found)}; {spread(found, share)};"
        f" {bend(context, run, found.place)}.{_wedge(found)}"
    )


def _wedge(found: Worst) -> str:
    """How many times the drag at the best roll: abreast across the low side, both lean out."""
    if found.best <= 0:
        return ""
    return f" The worst roll drags {found.value / found.best:.1f} times as much as the best."


def _raised(context: Context, run: RunIn, found: Worst | None) -> str:
    if found is None:
        return " Picking up: no numbers."
    return (
        f" Picking up it adds {context.load(found.place.drag_n or 0.0)};"
        f" {at(context, found)}; {spread(found, share)}."
    )
