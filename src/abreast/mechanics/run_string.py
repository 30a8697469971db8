"""The whole string of a run, bottom up, as hook load sees it: the twin, then what is above it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from abreast.errors import InputError, MissingInputError, Where
from abreast.formulas.guard import positive, require
from abreast.formulas.survey import Position, Station, position_at, positions
from abreast.jobfile.survey_gaps import Gap, gaps
from abreast.mechanics.cable import pothead
from abreast.mechanics.hook_string import Drag, Fluids, StringItem
from abreast.model import Assembly, Job, SurveyStation, UpperItem, convert_depth_m
from abreast.units import Dimension, show

__all__ = [
    "LANDING_STRING",
    "RunPiece",
    "run_pieces",
    "running_drag",
    "running_fluids",
    "running_hole",
    "running_items",
    "running_words",
    "survey_gaps",
    "survey_needs",
    "survey_positions",
    "survey_stations",
    "told_by_row",
]

LANDING_STRING = "landing string"
_SHORTEST_M = 0.5
_MOST_JOINTS = 2000


@dataclass(frozen=True, slots=True)
class RunPiece:
    """One piece that is run, and the row of the upper completion it comes from.

    The twin string comes from none: it is run as one piece.
    """

    item: StringItem
    source: UpperItem | None = None


@dataclass(frozen=True, slots=True)
class _Lead:
    """The MLE: its mass beside the twin [kg], and how far it reaches above the Y-tool [m]."""

    beside_kg: float = 0.0
    above_m: float = 0.0
    per_m_kg: float = 0.0
    missing: str = ""


def survey_stations(job: Job) -> tuple[Station, ...]:
    """The stations of a job's survey, depths from the datum of the job.

    Raises
    ------
    MissingInputError
        If there are fewer than two stations, no statement of their datum, or no
        azimuth where the hole is not vertical.
    InputError
        ``out-of-range``: an inclination that is not from 0 to 180 degrees.
    """
    if len(job.survey) < 2:
        raise MissingInputError(needs="a survey of two stations or more in survey.csv")
    if job.survey_head is None:
        raise MissingInputError(needs="section survey: its datum and north")
    datum = job.survey_head.datum
    for row, one in enumerate(job.survey, 2):
        if not 0 <= one.inclination_rad.si <= math.pi:
            where = Where("survey.csv", row, "inclination")
            message = "is not from 0 to 180 degrees; correct it"
            raise InputError(message, code="out-of-range", where=where)
    return tuple(_station(job, one, datum) for one in job.survey)


def _station(job: Job, row: SurveyStation, datum: str) -> Station:
    """A station from the datum of the job; a vertical hole has no azimuth."""
    inclination = row.inclination_rad.si
    azimuth = row.azimuth_rad.or_else(0.0) if inclination == 0 else row.azimuth_rad.si
    return Station(convert_depth_m(job, row.md_m.si, datum), inclination, azimuth)


def survey_gaps(job: Job, top_md_m: float, foot_md_m: float) -> tuple[Gap, ...]:
    """Intervals of the survey that are too long to tell a dogleg, between two depths [m]."""
    found = gaps(one.md_m for one in survey_stations(job))
    return tuple(one for one in found if one.overlaps(top_md_m, foot_md_m))


def survey_needs(job: Job, foot_md_m: float, last_md_m: float) -> str:
    """What a survey lacks that ends above a depth, in the units of the job [m]."""
    foot, last = (show(md, Dimension.LENGTH, job.units, digits=1) for md in (foot_md_m, last_md_m))
    return f"a survey down to {foot}; it ends at {last}"


def survey_positions(job: Job) -> tuple[Position, ...]:
    """The stations of a job's survey and where they are; a fault is told by its row.

    Raises
    ------
    MissingInputError
        As :func:`survey_stations`.
    InputError
        ``out-of-range``: depths do not increase, or the hole turns right back.
    """
    stations = survey_stations(job)
    try:
        return positions(stations)
    except InputError as fault:
        raise told_by_row(job, stations, fault) from None


def told_by_row(job: Job, stations: Sequence[Station], fault: InputError) -> InputError:
    """A fault in the stations of a survey, by its row and in the units of the job.

    A fault that is not in a station, ``stations.<number>.<name>``, comes back as it is.
    """
    _, _, place = fault.where.field.partition("stations.")
    number, _, field = place.partition(".")
    if not number.isdigit():
        return fault
    message = fault.message
    if field == "md_m":
        upper, lower = (
            show(one.md_m, Dimension.LENGTH, job.units)
            for one in stations[int(number) - 2 : int(number)]
        )
        message = f"{lower} must be deeper than {upper}, the station before"
    where = Where("survey.csv", int(number) + 1, field.removesuffix("_rad").removesuffix("_m"))
    return InputError(message, code=fault.code, where=where)


def running_hole(job: Job) -> tuple[Position, ...]:
    """The hole from the datum of depths down.

    Raises
    ------
    MissingInputError
        As :func:`survey_stations`, or if the survey begins below the datum:
        nothing is assumed above it.
    """
    hole = survey_positions(job)
    first_m = hole[0].station.md_m
    if first_m > 0:
        below = show(first_m, Dimension.LENGTH, job.units)
        raise MissingInputError(
            needs=f"a survey that begins at {job.depth_datum} or above; it begins {below} below"
        )
    if first_m == 0 or hole[-1].station.md_m <= 0:
        return hole
    return (position_at(hole, 0.0), *(one for one in hole if one.station.md_m > 0))


def running_items(job: Job, assembly: Assembly) -> tuple[StringItem, ...]:
    """The items of :func:`run_pieces` alone."""
    return tuple(one.item for one in run_pieces(job, assembly))


def run_pieces(job: Job, assembly: Assembly) -> tuple[RunPiece, ...]:
    """Twin string, then the completion above it joint by joint, then the landing string; bottom up.

    Parameters
    ----------
    job : Job
        Completion above the Y-tool, cable, MLE, twin clamps, depth of the Y-tool.
    assembly : Assembly
        The twin string.

    Raises
    ------
    MissingInputError
        If a mass, a length, the union or the depth of the Y-tool is missing.

    Notes
    -----
    Tubing "to fit" goes up to the fixed reference of depths, where the hanger
    lands; what is above it is a landing string, taken as the tubing without
    cable.
    """
    lead = _lead(job, assembly)
    above_m = _above_reference_m(job)
    pieces = [RunPiece(_twin(job, assembly, lead.beside_kg))]
    height_m = 0.0
    for piece in _upper(job, _ytool_top_m(job) - above_m - _fixed_m(job)):
        pieces.append(_dressed(job, piece, lead, height_m))
        height_m += piece.item.length_m
    if above_m > _SHORTEST_M:
        pieces.append(_landing_string(job, above_m))
    return tuple(pieces)


def _twin(job: Job, assembly: Assembly, lead_kg: float) -> StringItem:
    if assembly.union is None:
        raise MissingInputError(needs="the bypass pieces still to be run, and the union as set")
    mass_kg = lead_kg
    for piece in assembly.pieces:
        if piece.mass_kg is None:
            raise MissingInputError(needs=f"mass of {piece.id}")
        mass_kg += piece.mass_kg
    fitted = {one.id for one in assembly.clamps}
    mass_kg += sum(one.mass_kg.si for one in job.clamps if one.id in fitted)
    bottom_m = min(one.bottom_m for one in assembly.pieces)
    return StringItem("twin string", assembly.top_m - bottom_m, mass_kg, own_drag=True)


def _lead(job: Job, assembly: Assembly) -> _Lead:
    """The MLE runs from the pothead past the Y-tool to the splice."""
    port, mle = pothead(job), job.mle
    if mle is None or port is None:
        lacking = "the section of the MLE" if mle is None else "a port of kind pothead"
        return _Lead(missing=lacking)
    per_m_kg, length_m = mle.mass_per_length_kg_m.known, mle.length_m.known
    if per_m_kg is None or length_m is None:
        return _Lead(missing="length and mass per length of the MLE")
    start_m = assembly.piece(port.piece).bottom_m + port.height_m.si
    beside_m = min(assembly.top_m - start_m, length_m)
    return _Lead(per_m_kg * beside_m, length_m - beside_m, per_m_kg)


def _ytool_top_m(job: Job) -> float:
    datum = job.setting.datum or job.depth_datum
    return convert_depth_m(job, job.setting.ytool_top_md_m.si, datum)


def _above_reference_m(job: Job) -> float:
    """From the fixed reference of depths up to the datum of the job [m]."""
    return next(one.elevation_m.si for one in job.datums if one.id == job.depth_datum)


def _fixed_m(job: Job) -> float:
    return sum(one.length_m.si for one in job.upper if one.length_m.is_given)


def _upper(job: Job, room_m: float) -> Iterator[RunPiece]:
    to_fit = [one for one in job.upper if not one.length_m.is_given]
    if not job.upper:
        raise MissingInputError(needs="the completion above the Y-tool in upper.csv")
    if len(to_fit) > 1:
        raise MissingInputError(needs=f"length of {to_fit[1].id}: only one item can be to fit")
    if room_m < 0:
        raise MissingInputError(needs="a completion that is no longer than the depth of the Y-tool")
    if not to_fit and room_m > job.setting.tolerance_m.or_else(0.0) + _SHORTEST_M:
        gap = show(room_m, Dimension.LENGTH, job.units)
        needs = f"the rest of the completion in upper.csv: {gap} are missing up to its hanger"
        raise MissingInputError(needs=f"{needs}; one item may be to fit")
    for item in job.upper:
        length_m = item.length_m.or_else(room_m)
        if item.joint_m.is_given or not item.length_m.is_given:
            yield from _joints(item, length_m)
        else:
            yield RunPiece(_bare(item, item.id, length_m), item)


def _joints(item: UpperItem, length_m: float) -> Iterator[RunPiece]:
    joint_m = positive("joint_m", item.joint_m.si)
    many = f"{length_m / joint_m:.0f} joints of {item.id}; its average joint is too short"
    require(length_m / joint_m <= _MOST_JOINTS, "joint_m", many)
    whole = math.floor(length_m / joint_m + 1e-9)
    for number in range(whole):
        yield RunPiece(_bare(item, f"{item.id}.{number + 1}", joint_m), item)
    rest_m = length_m - whole * joint_m
    if rest_m >= _SHORTEST_M:
        yield RunPiece(_bare(item, f"{item.id}.rest", rest_m), item)


def _bare(item: UpperItem, name: str, length_m: float) -> StringItem:
    clamps = 1 if item.kind in ("tubing", "joint", "pup") and "cable" in item.lines else 0
    return StringItem(name, length_m, _mass_kg(item, length_m), item.bore_m.or_else(0.0), clamps)


def _mass_kg(item: UpperItem, length_m: float) -> float:
    """Of the piece itself: by its length where the row holds several joints."""
    whole_m = item.length_m.known
    if item.mass_kg.is_given:
        return item.mass_kg.si * (length_m / whole_m if whole_m else 1.0)
    return item.mass_per_length_kg_m.si * length_m


def _dressed(job: Job, piece: RunPiece, lead: _Lead, height_m: float) -> RunPiece:
    """The piece with what is strapped to it, its lower end at a height above the Y-tool."""
    source = piece.source
    if source is None or "cable" not in source.lines:
        return piece
    length_m = piece.item.length_m
    lead_m = min(max(lead.above_m - height_m, 0.0), length_m)
    strapped_kg = lead.per_m_kg * lead_m
    if job.cable is not None:
        strapped_kg += job.cable.mass_per_length_kg_m.si * (length_m - lead_m)
    return replace(piece, item=replace(piece.item, mass_kg=piece.item.mass_kg + strapped_kg))


def _landing_string(job: Job, length_m: float) -> RunPiece:
    for item in reversed(job.upper):
        if item.kind in ("tubing", "joint", "pup") and item.mass_per_length_kg_m.is_given:
            mass_kg = item.mass_per_length_kg_m.si * length_m
            bare = StringItem(LANDING_STRING, length_m, mass_kg, item.bore_m.or_else(0.0))
            return RunPiece(bare, item)
    raise MissingInputError(needs="tubing with its mass per length in upper.csv")


def running_words(job: Job, assembly: Assembly) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the weight of the string leaves out, and what it assumes, in words."""
    left = ["mass of cable clamps and bands: not counted"]
    lead = _lead(job, assembly)
    if lead.missing:
        left.append(f"mass of the MLE: not counted: needs {lead.missing}")
    lines = {name.strip() for one in job.upper for name in one.lines.split(";") if name.strip()}
    if "cable" in lines and job.cable is None:
        left.append("mass of the cable: not counted: needs section cable")
    if others := sorted(lines - {"cable"}):
        left.append(f"mass of {' and '.join(others)}: not counted")
    assumed = ["the twin string is full of the fluid of the well"]
    if job.friction.inside_level_md_m.state == "not measured":
        assumed.append("the tubing fills as it is run: the fluid inside stands as high as outside")
    if _above_reference_m(job) > _SHORTEST_M:
        assumed.append("the landing string is as the tubing, without cable")
    return tuple(left), tuple(assumed)


def running_fluids(job: Job) -> Fluids:
    """The fluid in the well while running, and how far the string is filled with it.

    Raises
    ------
    MissingInputError
        If the density, or the level in the well, is missing.

    Notes
    -----
    A level inside that nobody stated is that outside: the string fills as it is
    run. "Not applicable" is a string that stays empty.
    """
    density = job.fluids.annulus_kg_m3.si
    datum = job.fluids.datum or job.depth_datum
    outside_m = convert_depth_m(job, job.fluids.fluid_level_md_m.si, datum)
    inside = job.friction.inside_level_md_m
    if inside.state == "not applicable":
        return Fluids(density, density, outside_m, math.inf)
    return Fluids(density, density, outside_m, inside.or_else(outside_m))


def running_drag(job: Job, down_n: float | None = None, up_n: float | None = None) -> Drag:
    """The user's friction factor and clamp allowance, with the drag of the twin if known [N]."""
    return Drag(job.friction.cased_ratio.si, down_n, job.friction.clamp_drag_n.known, up_n)
