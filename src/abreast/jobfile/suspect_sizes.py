"""Diameters, masses and densities that look wrong. Bounds: common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator

from abreast.errors import InputError
from abreast.jobfile.suspicion import Suspect, length_text
from abreast.model import CasingString, Job, Part, Quantity, RackItem
from abreast.standards import pipe_remarks
from abreast.units import Dimension, parse, show

__all__ = ["size_suspects"]

_POUND_KG = 0.45359237
_NAMED = re.compile(r"\s*(?P<od>[0-9]+(?:[ -][0-9]+/[0-9]+)?)\s*in\s+(?P<weight>[0-9.]+)\s*lb/ft")
_HALF_MM = 0.0005


def size_suspects(job: Job) -> Iterator[Suspect]:
    """Sizes, masses and densities that do not go together."""
    yield from _esp(job)
    yield from _pairs(job)
    yield from _casing(job)
    for index, item in enumerate(job.rack):
        yield from _mass(job, index, item)
    yield from _density(job)


def _esp(job: Job) -> Iterator[Suspect]:
    for index, piece in enumerate(job.esp):
        body, largest, neck = (
            piece.body_od_m.known,
            piece.max_od_m.known,
            piece.neck_od_m.known,
        )
        if body is not None and largest is not None and largest < body - 1e-9:
            message = (
                f"largest diameter {length_text(job, largest, small=True)} is below that of the"
                f" body {length_text(job, body, small=True)}"
            )
            proposal = "The two may be swapped; the checks use the largest over the whole length"
            yield Suspect("esp", index, "max_od", "sizes", message, proposal)
        if neck is not None and body is not None and neck > body + 1e-9:
            message = "the clamp neck is thicker than the body"
            proposal = "Measure the neck: the insert of the lifting clamp hangs on it"
            yield Suspect("esp", index, "neck_od", "sizes", message, proposal)


def _pairs(job: Job) -> Iterator[Suspect]:
    """A connection is no thinner than its body, a drift smaller than its bore."""
    yield from _smaller("job", None, job.pipe, ("joint_od", "body_od"), "pipe.")
    yield from _smaller("job", None, job.pipe, ("body_od", "bore"), "pipe.")
    yield from _smaller("job", None, job.pipe, ("bore", "drift"), "pipe.", strict=True)
    for index, item in enumerate(job.rack):
        yield from _smaller("rack", index, item, ("joint_od", "body_od"), piece=item.id)


def _smaller(
    table: str,
    index: int | None,
    part: Part,
    names: tuple[str, str],
    prefix: str = "",
    *,
    piece: str = "",
    strict: bool = False,
) -> Iterator[Suspect]:
    large, small = (getattr(part, f"{name}_m") for name in names)
    assert isinstance(large, Quantity)
    if not (large.is_given and small.is_given):
        return
    if large.si > small.si + 1e-9 or (not strict and large.si >= small.si - 1e-9):
        return
    high, low = (name.replace("_", " ") for name in names)
    message = f"{high} is {'not larger' if strict else 'smaller'} than {low}"
    yield Suspect(table, index, f"{prefix}{names[0]}", "sizes", message, "Check both", piece)


def _casing(job: Job) -> Iterator[Suspect]:
    for index, one in enumerate(job.casing):
        od_m, weight_kg_m = _od_and_weight(one)
        for remark in pipe_remarks(
            "casing",
            od_m=od_m,
            wall_m=one.wall_m.known,
            bore_m=one.bore_m.known,
            drift_m=one.drift_m.known,
            weight_kg_m=weight_kg_m,
            system=job.units,
        ):
            field = "drift" if remark.code.startswith("drift") else "bore"
            what, _, then = remark.message.rpartition("; ")
            message, proposal = (what, then) if what else (remark.message, "Check the casing tally")
            proposal = proposal[0].upper() + proposal[1:]
            yield Suspect("casing", index, field, remark.code, message, proposal)


def _od_and_weight(one: CasingString) -> tuple[float | None, float | None]:
    """Diameter and nominal weight as given, else as its name says (9-5/8 in 47 lb/ft)."""
    od_m, weight = one.od_m.known, one.weight_kg_m.known
    found = _NAMED.match(one.name)
    if found is None:
        return od_m, weight
    try:
        named_od = parse(f"{found['od']} in", Dimension.LENGTH).si
        named_weight = parse(f"{found['weight']} lb/ft", Dimension.MASS_PER_LENGTH).si
    except InputError:
        return od_m, weight
    return (
        named_od if od_m is None else od_m,
        named_weight if weight is None else weight,
    )


def _mass(job: Job, index: int, item: RackItem) -> Iterator[Suspect]:
    """Mass per length of a piece of the bypass pipe, against the pipe."""
    mass, overall = item.mass_kg.known, item.overall_m.known
    per_m = job.pipe.mass_per_length_kg_m.known
    plain = item.kind in ("joint", "pup") and not item.body_od_m.is_given
    if not plain or mass is None or overall is None or not per_m or overall <= 0:
        return
    usual = per_m * overall
    if 0.75 * usual - 3 <= mass <= 1.25 * usual + 5:
        return
    typed = item.mass_kg.typed.replace(" ", "")
    swap = ""
    if typed.endswith("kg") and abs(mass * _POUND_KG / usual - 1) < 0.25:
        swap = f"Pounds may stand for kilograms: {typed[:-2]} lb would fit. "
    elif typed.endswith("lb") and abs(mass / _POUND_KG / usual - 1) < 0.25:
        swap = f"Kilograms may stand for pounds: {typed[:-2]} kg would fit. "
    shown = show(mass / overall, Dimension.MASS_PER_LENGTH, job.units)
    usual_shown = show(per_m, Dimension.MASS_PER_LENGTH, job.units)
    message = f"weighs {shown}, the pipe {usual_shown}"
    proposal = f"{swap}Check the mass, its unit and the length"
    yield Suspect("rack", index, "mass", "mass", message, proposal, item.id)


def _density(job: Job) -> Iterator[Suspect]:
    for field in ("annulus", "oil", "water"):
        density = getattr(job.fluids, f"{field}_kg_m3").known
        if density is not None and not 500 <= density <= 2500:
            shown = show(density, Dimension.DENSITY, "SI")
            message = f"{shown} is no density of a well fluid"
            proposal = "Check the unit: ppg and SG are a factor of 8.35 apart"
            yield Suspect("job", None, f"fluids.{field}", "density", message, proposal)
