"""The hole of a job for the contact model: survey, casing, narrow places, fluid level, friction."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.errors import MissingInputError
from abreast.formulas.path_frame import path_frame
from abreast.mechanics.needs import needs_of
from abreast.mechanics.run_string import survey_positions
from abreast.mechanics.twin_beam_hole import Bore, Hole
from abreast.model import CasingString, Job, Opening, convert_depth_m

__all__ = ["Wall", "read_hole"]

Wall = Literal["drift", "bore"]


def read_hole(job: Job, *, wall: Wall = "bore", share: float | None = None) -> Hole:
    """The hole that a job's string passes, depths from the job's datum.

    Parameters
    ----------
    job : Job
        Survey, casing, openings that are in place, fluid level, friction factor.
    wall : {"drift", "bore"}
        Where the wall is taken: at the drift, which is known to pass (a special
        drift where one was proved), or at the nominal inner diameter.
    share : float, optional
        A wall between both instead: 0 at the drift, 1 at the inner diameter.

    Raises
    ------
    MissingInputError
        If survey, its datum, a depth, a size, or the fluid level is missing. A
        friction factor may be missing: no drag is worked out then.
    """
    positions = survey_positions(job)
    if not job.casing:
        raise MissingInputError(needs="the casing in casing.csv")
    level = job.fluids.fluid_level_md_m
    if not level.is_given:
        raise MissingInputError(needs=needs_of(level)[0])
    return Hole(
        path_frame(positions),
        tuple(_bores(job, (1.0 if wall == "bore" else 0.0) if share is None else share)),
        convert_depth_m(job, level.si, job.fluids.datum or job.depth_datum),
        job.friction.cased_ratio.known,
    )


def _bores(job: Job, share: float) -> Iterator[Bore]:
    for casing in job.casing:
        datum = casing.datum or job.depth_datum
        top_m, shoe_m = (
            convert_depth_m(job, depth.si, datum) for depth in (casing.top_md_m, casing.shoe_md_m)
        )
        yield Bore(casing.name, top_m, shoe_m, _diameter_m(casing, share))
    for place in job.openings:
        if not place.in_place:
            continue
        top_m = convert_depth_m(job, place.md_m.si, place.datum or job.depth_datum)
        yield Bore(place.name, top_m, top_m + place.length_m.si, _diameter_m(place, share))


def _diameter_m(place: CasingString | Opening, share: float) -> float:
    if share >= 1.0:
        return place.bore_m.si
    special = place.special_drift_m if isinstance(place, CasingString) else place.drift_m
    proved = special.is_given and special.si > place.drift_m.or_else(0.0)
    drift_m = special.si if proved else place.drift_m.si
    return drift_m + share * max(place.bore_m.si - drift_m, 0.0)
