"""The whole string of a run, bottom up, as hook load sees it: the twin, then what is above it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from abreast.errors import MissingInputError
from abreast.formulas.survey import Station
from abreast.mechanics.hook_load import Drag, Fluids, StringItem
from abreast.model import Assembly, Job, UpperItem, convert_depth_m

__all__ = ["running_drag", "running_fluids", "running_items", "survey_stations"]

_SHORTEST_M = 0.5


def survey_stations(job: Job) -> tuple[Station, ...]:
    """The stations of a job's survey, depths from the datum of the job.

    Raises
    ------
    MissingInputError
        If there are fewer than two stations, or no statement of their datum.
    """
    if len(job.survey) < 2:
        raise MissingInputError(needs="a survey of two stations or more in survey.csv")
    if job.survey_head is None:
        raise MissingInputError(needs="section survey: its datum and north")
    datum = job.survey_head.datum
    return tuple(
        Station(
            convert_depth_m(job, one.md_m.si, datum), one.inclination_rad.si, one.azimuth_rad.si
        )
        for one in job.survey
    )


def running_items(job: Job, assembly: Assembly) -> tuple[StringItem, ...]:
    """Twin string, then the completion above it joint by joint, bottom up.

    Parameters
    ----------
    job : Job
        Completion above the Y-tool, cable, twin clamps, depth of the Y-tool.
    assembly : Assembly
        The twin string.

    Returns
    -------
    tuple of StringItem
        The twin is one item: it is run as one. Tubing "to fit" is filled up to
        the datum of depths with joints of its average length.

    Raises
    ------
    MissingInputError
        If a mass, a length or the depth of the Y-tool is missing.
    """
    twin = _twin(job, assembly)
    room_m = _ytool_top_m(job) - _fixed_m(job)
    above = tuple(_upper(job, room_m))
    return (twin, *above)


def _twin(job: Job, assembly: Assembly) -> StringItem:
    mass_kg = 0.0
    for piece in assembly.pieces:
        if piece.mass_kg is None:
            raise MissingInputError(needs=f"mass of {piece.id}")
        mass_kg += piece.mass_kg
    fitted = {one.id for one in assembly.clamps}
    mass_kg += sum(one.mass_kg.si for one in job.clamps if one.id in fitted)
    bottom_m = min(one.bottom_m for one in assembly.pieces)
    return StringItem("twin string", assembly.top_m - bottom_m, mass_kg)


def _ytool_top_m(job: Job) -> float:
    datum = job.setting.datum or job.depth_datum
    return convert_depth_m(job, job.setting.ytool_top_md_m.si, datum)


def _fixed_m(job: Job) -> float:
    return sum(one.length_m.si for one in job.upper if one.length_m.is_given)


def _upper(job: Job, room_m: float) -> Iterator[StringItem]:
    to_fit = [one for one in job.upper if not one.length_m.is_given]
    if not job.upper:
        raise MissingInputError(needs="the completion above the Y-tool in upper.csv")
    if len(to_fit) > 1:
        raise MissingInputError(needs=f"length of {to_fit[1].id}: only one item can be to fit")
    if room_m < 0:
        raise MissingInputError(needs="a completion that is no longer than the depth of the Y-tool")
    for item in job.upper:
        if item.length_m.is_given:
            yield _piece(job, item, item.id, item.length_m.si)
        else:
            yield from _joints(job, item, room_m)


def _joints(job: Job, item: UpperItem, room_m: float) -> Iterator[StringItem]:
    joint_m = item.joint_m.si
    whole = math.floor(room_m / joint_m + 1e-9)
    for number in range(whole):
        yield _piece(job, item, f"{item.id}.{number + 1}", joint_m)
    rest_m = room_m - whole * joint_m
    if rest_m >= _SHORTEST_M:
        yield _piece(job, item, f"{item.id}.rest", rest_m)


def _piece(job: Job, item: UpperItem, name: str, length_m: float) -> StringItem:
    mass_kg = _mass_kg(item, length_m) + _cable_kg(job, item, length_m)
    clamps = 1 if item.kind in ("tubing", "joint") and "cable" in item.lines else 0
    return StringItem(name, length_m, mass_kg, item.bore_m.or_else(0.0), clamps)


def _mass_kg(item: UpperItem, length_m: float) -> float:
    if item.mass_kg.is_given:
        return item.mass_kg.si
    return item.mass_per_length_kg_m.si * length_m


def _cable_kg(job: Job, item: UpperItem, length_m: float) -> float:
    if job.cable is None or "cable" not in item.lines:
        return 0.0
    return job.cable.mass_per_length_kg_m.si * length_m


def running_fluids(job: Job) -> Fluids:
    """The fluid in the well while running, the same inside the string as outside.

    Notes
    -----
    The string fills through pump, bypass and valves while it is run slowly; a
    string that stays empty weighs less, and that is not counted here.
    """
    density = job.fluids.annulus_kg_m3.si
    level = job.fluids.fluid_level_md_m
    level_m = -math.inf
    if level.is_given:
        level_m = convert_depth_m(job, level.si, job.fluids.datum or job.depth_datum)
    return Fluids(density, density, level_m, level_m)


def running_drag(job: Job, twin_n: float | None = None) -> Drag:
    """The user's friction factor, and the drag of the twin string when it is known [N]."""
    return Drag(job.friction.cased_ratio.si, twin_n)
