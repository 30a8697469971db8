"""First pages of the work pack: whose it is, who signed, and the plan in a few lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from abreast import __version__
from abreast.documents.alternatives import blocking_words, by_reason
from abreast.documents.workpack_origins import DOUBTFUL, given_values
from abreast.documents.workpack_words import (
    Data,
    by_tape,
    length,
    lifts_of,
    seat_name,
    two_ways,
    verdict,
    with_unit,
)
from abreast.model import Assembly, Job, Plan, Signature, seat_range
from abreast.units import Dimension, display_unit, show

__all__ = ["cover", "summary"]

Fact = tuple[str, str]
SAME_M = 1e-6
"""Seats that differ by less are the same."""


def cover(job: Job, plan: Plan) -> Data:
    """What stands on the first page and, in part, at the foot of every page."""
    return {
        "job": job.name,
        "well": job.well or "not stated",
        "revision": job.revision.number,
        "revision_note": job.revision.note,
        "note": job.note,
        "is_draft": job.revision.is_draft,
        "fingerprint": plan.fingerprint,
        "made_by": f"abreast {__version__}",
        "verdict": verdict(plan),
        "has_plan": plan.assembly is not None,
        "signatures": list(_signatures(job)),
        "facts": list(_facts(job)),
    }


def _signatures(job: Job) -> Iterator[Data]:
    revision = job.revision
    signed: tuple[tuple[str, Signature | None], ...] = (
        ("Prepared", revision.prepared),
        ("Checked", revision.checked),
        ("Approved", revision.approved),
    )
    for role, one in signed:
        yield {
            "role": role,
            "name": one.name if one else "",
            "day": one.day.isoformat() if one else "",
        }


def _facts(job: Job) -> Iterator[Fact]:
    yield "Arrangement", f"{job.arrangement}; load path declared as {job.load_path}"
    yield "Bypass pipe", job.pipe.name
    yield "Units", _units(job)
    yield "Depths", _datum(job)
    yield "Heights", _heights(job)


def _units(job: Job) -> str:
    kinds = (
        ("lengths along the string", Dimension.LENGTH, False),
        ("diameters and gaps", Dimension.LENGTH, True),
        ("masses", Dimension.MASS, False),
        ("loads", Dimension.FORCE, False),
        ("torques", Dimension.TORQUE, False),
    )
    named = (f"{name} in {display_unit(kind, job.units, small=s)}" for name, kind, s in kinds)
    return ", ".join(named)


def _datum(job: Job) -> str:
    zeros = [
        f"{one.id} is {with_unit(job, one.elevation_m.si)} above it"
        for one in job.datums
        if one.elevation_m.is_given
    ]
    text = f"MD from {job.depth_datum}, positive down. Fixed reference: {job.depth_reference}"
    return "; ".join([text, *zeros])


def _heights(job: Job) -> str:
    if job.is_top_hung:
        return "z up from the motor base; stick-down is how far the entry guide ends below it"
    return (
        "z up from the ESP seating shoulder as it is set; the shoulder of the base lies lower by"
        " the seat height"
    )


def summary(job: Job, plan: Plan, dropped: Mapping[str, str]) -> Data:
    """The plan in a few lines; when there is none, what is in the way."""
    assembly = plan.assembly
    planned = plan.choice is not None and assembly is not None
    return {
        "verdict": verdict(plan),
        "proof": plan.proof,
        "facts": list(_plan_facts(job, plan, assembly)) if planned and assembly is not None else [],
        "landings": list(_landings(job, assembly)) if assembly else [],
        "counts": _counts(plan),
        "irreplaceable": list(plan.irreplaceable),
        "blocking": blocking_words(plan),
        "cures": list(plan.cures),
        "dropped": by_reason(dropped),
        "given": _origin_counts(job),
    }


def _plan_facts(job: Job, plan: Plan, assembly: Assembly) -> Iterator[Fact]:
    if plan.choice is None:
        return
    lifts = ("+".join(lift) for lift in lifts_of(plan.choice))
    yield "Run, bottom up", ", ".join(lifts)
    yield seat_name(job).capitalize(), _seat(job, assembly)
    union = assembly.union
    if union is None:
        yield "Union", "not set"
    else:
        yield "Union", f"{by_tape(job, union.length_m)}, {_off(job, union.from_target_m)}"
        yield (
            "Stroke left",
            f"{by_tape(job, union.to_close_m)} to fully closed;"
            f" {by_tape(job, union.to_open_m)} to fully open",
        )
        yield "Tape check", tape_check(job, assembly)
    if job.in_well.pieces or job.in_well.landings_passed:
        run = ", ".join(job.in_well.pieces) or "no bypass pipe"
        yield "In the well", f"{run}; landings passed: {job.in_well.landings_passed}"


def _seat(job: Job, assembly: Assembly) -> str:
    """The seat as chosen; that it is not the one the job had planned must not be overlooked."""
    allowed, text = seat_range(job), two_ways(job, assembly.seat_m)
    if allowed.locked_m is not None:
        return f"{text}, locked"
    if abs(assembly.seat_m - allowed.planned_m) <= SAME_M:
        return f"{text}, as the job had planned it"
    return f"SET ANEW: {text}; the job had planned {two_ways(job, allowed.planned_m)}"


def _off(job: Job, off_m: float) -> str:
    text = show(abs(off_m), Dimension.LENGTH, job.units, small=True)
    if float(text.split()[0].replace(",", "")) == 0.0:
        return "at the wanted length"
    return f"{text} {'longer' if off_m > 0 else 'shorter'} than wanted"


def tape_check(job: Job, assembly: Assembly) -> str:
    """What the tape must read before the Y-tool goes on; blank when the union is not set."""
    if assembly.union is None:
        return ""
    face_m = assembly.esp_leg_m - assembly.union.bottom_m
    side = "above" if face_m >= 0 else "below"
    return f"ESP face {by_tape(job, abs(face_m))} {side} the bypass top, before the Y-tool goes on"


def _landings(job: Job, assembly: Assembly) -> Iterator[Data]:
    for landing in assembly.landings:
        low, high = landing.window_m
        yield {
            "id": landing.id,
            "piece": landing.piece,
            "added": ", ".join(landing.added) or "no pipe",
            "above": length(job, landing.above_plate_m),
            "window": f"{length(job, low)} to {length(job, high)}",
        }


def _counts(plan: Plan) -> list[Fact]:
    found = Counter[str](one.status for one in plan.findings)
    names = ("exceeds", "near limit", "not checked", "ok")
    return [(name, str(found[name])) for name in names]


def _origin_counts(job: Job) -> list[Fact]:
    found = Counter[str](one.origin.kind for one in given_values(job))
    total = str(found.total())
    return [("given in all", total), *((kind, str(found[kind])) for kind in DOUBTFUL)]
