"""How much room does each part have, and would it still with a connection beside it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.fit_once import fit_of
from abreast.checks.fit_words import BY_ITSELF, assumed, corner_needs, told
from abreast.formulas.enclosing import enclosing_circle
from abreast.mechanics.fit import Fit, FitSection
from abreast.mechanics.outlines import string_items
from abreast.model import EspPiece, esp_string, rack_item
from abreast.units import Dimension

__all__ = ["ENVELOPE", "WORST_TALLY"]


@dataclass(frozen=True, slots=True)
class _Part:
    """The sections in which a part stands, and those of them that it decides."""

    found: Fit
    sections: tuple[FitSection, ...]
    decided: tuple[FitSection, ...]


def _places(context: Context) -> Iterator[tuple[str, _Part]]:
    found = fit_of(context)
    for name, pieces in _groups(context):
        sections = [s for s in found.sections if any(s.has(piece) for piece in pieces)]
        decided = [s for s in sections if not s.deciders.isdisjoint(pieces)]
        yield name, _Part(found, tuple(sections), tuple(decided))


def _groups(context: Context) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every ESP piece and block by itself; bypass, tail and twin clamps each as one."""
    assembly, job = context.assembly, context.job
    tail = tuple(piece.id for piece in job.tail)
    if tail:
        yield "tail", tail
    for piece in (*assembly.side("esp"), *assembly.side("both")):
        yield piece.id, (piece.id,)
    yield "bypass", tuple(p.id for p in assembly.side("bypass") if p.id not in tail)
    if assembly.clamps:
        yield "twin clamps", tuple(clamp.id for clamp in assembly.clamps)


def _judge(context: Context, part: _Part) -> Verdict:
    found = part.found
    gaps = [s.cut.gap_m for s in part.sections if s.cut.gap_m is not None]
    gap_m = min(gaps, default=None)
    if gap_m is not None and gap_m < 0:
        return _overlap(context, part, gap_m)
    tightest = min(part.decided or part.sections, key=_tightness, default=None)
    needs = _part_needs(part)
    if tightest is None:
        return not_checked(*dict.fromkeys((*needs, "its diameter")))
    if tightest.clearance_m is not None and tightest.clearance_m < 0:
        needs = corner_needs(found, tightest)  # else it is too large, whatever is missing
    if needs:
        return not_checked(*dict.fromkeys(needs))
    return _verdict(context, found, tightest, gap_m)


def _part_needs(part: _Part) -> tuple[str, ...]:
    needs = tuple(need for section in part.sections for need in section.cut.needs)
    if any(section.limit_m is None for section in part.sections):
        return (*needs, *part.found.way_needs)
    return needs


def _tightness(section: FitSection) -> tuple[float, float]:
    """Least clearance first; sections without one by their size."""
    clearance_m = section.clearance_m
    return (float("inf") if clearance_m is None else clearance_m), -section.diameter_m


def _overlap(context: Context, part: _Part, gap_m: float) -> Verdict:
    section = min(part.sections, key=lambda s: 0.0 if s.cut.gap_m is None else s.cut.gap_m)
    names = " and ".join(shape.name for shape in section.cut.side("esp", "bypass"))
    return Verdict(
        status="exceeds",
        text=f"{names} do not fit side by side: at the axis spacing of"
        f" {context.small(context.job.setting.axis_spacing_m.si)} they overlap by"
        f" {context.small(-gap_m)}.",
        dimension=Dimension.LENGTH,
        value=gap_m,
        limit=0.0,
        action="change the pieces so that the two are not abreast, or the axis spacing",
        assumptions=assumed(context, part.found),
    )


def _verdict(context: Context, found: Fit, section: FitSection, gap_m: float | None) -> Verdict:
    limit_m, room_m = section.limit_m or 0.0, section.clearance_m or 0.0
    margin_m = context.job.rules.envelope_margin_m.si if room_m >= 0 else 0.0
    side = "under" if room_m >= 0 else "OVER"
    beside = "" if gap_m is None else f" Between the two strings {context.small(gap_m)}."
    return Verdict(
        status="exceeds" if room_m < 0 else "near limit" if room_m < margin_m else "ok",
        text=f"At its tightest {told(context, section)}: {context.small(section.diameter_m)},"
        f" {context.small(abs(room_m))} {side} the smallest drift it passes,"
        f" {context.small(limit_m)}.{beside}",
        dimension=Dimension.LENGTH,
        value=section.diameter_m,
        limit=limit_m,
        utilisation=section.diameter_m / limit_m,
        action=""
        if room_m >= margin_m
        else "see the question of the drift for where, and for what it needs",
        assumptions=(*assumed(context, found), BY_ITSELF),
    )


ENVELOPE = Check(
    id="envelope",
    question="How much room has each part where it is tightest?",
    places=_places,
    judge=_judge,
    basis="physics: smallest circle round all that stands abreast; margin by the rules",
)


# --- wherever a connection comes -----------------------------------------------------------


def _any_place(context: Context) -> Iterator[tuple[str, None]]:
    yield "", None


def _any_tally(context: Context, _: None) -> Verdict:
    found = fit_of(context)
    if found.way_needs:
        return not_checked(*found.way_needs)
    joint_m = max(_joints_m(context))
    worst = max(esp_string(context.job), key=lambda piece: piece.max_od_m.si)
    limit_m = _limit_m(found, worst)
    circle_m = _pair_m(context, worst, joint_m)
    room_m = limit_m - circle_m
    fits = room_m >= context.job.rules.envelope_margin_m.si
    side = "under" if room_m >= 0 else "OVER"
    return Verdict(
        status="ok" if fits else "near limit",
        text=f"With a connection of {context.small(joint_m)} beside {worst.id}:"
        f" {context.small(circle_m)}, {context.small(abs(room_m))} {side} the smallest drift it"
        f" passes, {context.small(limit_m)}.",
        dimension=Dimension.LENGTH,
        value=circle_m,
        limit=limit_m,
        utilisation=circle_m / limit_m,
        action=""
        if fits
        else f"keep connections away from {worst.id}: look at the fit after each change of pieces",
        assumptions=("the widest connection that is run beside the widest ESP piece",),
    )


def _joints_m(context: Context) -> Iterator[float]:
    for placed in string_items(context.job, context.assembly):
        own = rack_item(context.job, placed.id).joint_od_m
        yield (own if own.is_given else context.job.pipe.joint_od_m).si


def _limit_m(found: Fit, piece: EspPiece) -> float:
    return min(s.limit_m for s in found.of(piece.id) if s.limit_m is not None)


def _pair_m(context: Context, piece: EspPiece, joint_m: float) -> float:
    spacing_m = context.job.setting.axis_spacing_m.si
    pair = [(0.0, 0.0, piece.max_od_m.si / 2), (spacing_m, 0.0, joint_m / 2)]
    return enclosing_circle(pair).diameter_m


WORST_TALLY = Check(
    id="worst-tally",
    question="Would it fit with a connection beside the widest ESP piece?",
    places=_any_place,
    judge=_any_tally,
    basis="physics: smallest circle round both; margin by the rules of the job",
)
