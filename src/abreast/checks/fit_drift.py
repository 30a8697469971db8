"""Does every part pass every bore on its way from the rig floor to its depth?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.fit_once import fit_of
from abreast.checks.fit_words import BY_ITSELF, assumed, corner_needs, rooms, told
from abreast.mechanics.fit import Clearance, Fit, FitSection
from abreast.model.plan import FindingStatus
from abreast.units import Dimension

__all__ = ["DRIFT", "Way", "lacking", "ways"]


@dataclass(frozen=True, slots=True)
class Way:
    """One bore, or a length of the hole that has none stated, and the fit it is taken from."""

    found: Fit
    clearance: Clearance | None = None
    bare_m: tuple[float, float] | None = None


def ways(context: Context) -> Iterator[tuple[str, Way]]:
    """Every bore on the way down, and every length of the hole that has none stated."""
    found = fit_of(context)
    for clearance in found.clearances:
        yield clearance.passage.name, Way(found, clearance)
    if not context.job.casing:
        yield "casing", Way(found)
    for bare_m in found.uncovered_m:
        yield (
            f"{context.length(bare_m[0])} to {context.length(bare_m[1])}",
            Way(found, bare_m=bare_m),
        )


def lacking(context: Context, way: Way) -> Verdict | None:
    """The answer where no bore or no depth is stated; None: it can be judged."""
    if way.bare_m is not None:
        top, bottom = (context.length(depth_m) for depth_m in way.bare_m)
        return not_checked(f"the bore of the hole from {top} to {bottom}")
    if way.clearance is None:
        return not_checked("the table of casing")
    passage = way.clearance.passage
    if passage.behind:
        return Verdict(status="ok", text=f"Behind {passage.behind} all the way: nothing passes it.")
    if passage.kind != "rig" and way.found.depth_needs:
        return not_checked(*way.found.depth_needs)
    return None if way.clearance.section else not_checked("a piece that passes it")


def _judge(context: Context, way: Way) -> Verdict:
    answer = lacking(context, way)
    clearance = way.clearance
    if answer is not None or clearance is None or clearance.section is None:
        return answer or not_checked("a piece that passes it")
    return _too_wide(context, way.found, clearance, clearance.section) or _under(
        context, way.found, clearance, clearance.section
    )


def _too_wide(
    context: Context, found: Fit, clearance: Clearance, section: FitSection
) -> Verdict | None:
    over_bore, over_drift = _negative(clearance.to_bore_m), _negative(clearance.to_drift_m)
    if not over_bore and not over_drift:
        return None
    if missing := corner_needs(found, section):
        return not_checked(*missing, text=_text(context, clearance, section))
    judged = _too_large if over_bore else _over_drift
    return judged(context, found, clearance, section)


def _negative(room_m: float | None) -> bool:
    return room_m is not None and room_m < 0


def _under(context: Context, found: Fit, clearance: Clearance, section: FitSection) -> Verdict:
    """What is known passes; whether all is known."""
    if missing := (*clearance.passage.needs, *clearance.needs):
        return not_checked(*dict.fromkeys(missing), text=_text(context, clearance, section))
    margin = context.job.rules.envelope_margin_m
    near = (clearance.to_drift_m or 0.0) < margin.si
    return _verdict(
        context,
        found,
        clearance,
        section,
        status="near limit" if near else "ok",
        action=f"less than the margin of {context.small(margin.si)}: measure what decides it,"
        " or gauge the way down"
        if near
        else "",
    )


def _over_drift(context: Context, found: Fit, clearance: Clearance, section: FitSection) -> Verdict:
    wanted = context.small(clearance.envelope_m + context.job.rules.envelope_margin_m.or_else(0.0))
    return _verdict(
        context,
        found,
        clearance,
        section,
        status="exceeds",
        action=f"it is over the drift and under the bore: it needs a special drift of {wanted},"
        " proved in this very pipe, or smaller parts",
    )


def _too_large(context: Context, found: Fit, clearance: Clearance, section: FitSection) -> Verdict:
    wanted = context.small(clearance.envelope_m)
    what = {
        "rig": f"it needs an opening of more than {wanted}",
        "casing": f"it needs a casing of more than {wanted}",
        "opening": f"it needs another {clearance.passage.name}, of more than {wanted}",
    }
    return _verdict(
        context,
        found,
        clearance,
        section,
        status="exceeds",
        action=f"it does not pass: {what[clearance.passage.kind]}, or smaller parts",
    )


def _verdict(
    context: Context,
    found: Fit,
    clearance: Clearance,
    section: FitSection,
    *,
    status: FindingStatus,
    action: str,
) -> Verdict:
    way = clearance.passage
    limit_m = way.drift_m if way.drift_m is not None else way.bore_m
    return Verdict(
        status=status,
        text=_text(context, clearance, section),
        dimension=Dimension.LENGTH,
        value=clearance.envelope_m,
        limit=limit_m,
        utilisation=clearance.envelope_m / limit_m if limit_m else None,
        basis="physics: opening in the plate" if way.kind == "rig" else _basis(clearance),
        action=action,
        assumptions=(*assumed(context, found), BY_ITSELF),
    )


def _basis(clearance: Clearance) -> str:
    if clearance.passage.special:
        return "special drift, proved in this casing; margin by the rules of the job"
    return "drift of the pipe; margin by the rules of the job"


def _text(context: Context, clearance: Clearance, section: FitSection) -> str:
    room = rooms(context, clearance.passage, section.diameter_m)
    return f"Widest is {told(context, section)}, {context.small(section.diameter_m)}: {room}."


DRIFT = Check(
    id="drift",
    question="Does every part pass every bore on its way from the rig floor to its depth?",
    places=ways,
    judge=_judge,
    basis="physics: smallest circle round all that stands abreast",
)
