"""Surveys that look wrong: depths, angles out of range or in the wrong unit, jumps.

The bounds are common practice, no source: they only decide what is asked back,
never what is used. Depths that do not increase from one row to the next are
errors already; here is what lies across a row without a depth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from abreast.formulas.survey import Station, dogleg_angle, dogleg_severity
from abreast.jobfile.survey_gaps import LONG_M, Gap, gaps
from abreast.jobfile.survey_reach import reach_suspects
from abreast.jobfile.survey_reported import better_as_radians, reported_suspects
from abreast.jobfile.survey_rows import FARTHEST_M, StationRow, station_rows, unit_typed
from abreast.jobfile.suspicion import Suspect, length_text
from abreast.model import Job
from abreast.units import Dimension, show

__all__ = ["survey_suspects"]

# No string is run through more; a station in error shows up as more.
_SHARPEST_RAD_M = math.radians(10) / 30
# Two stations close together make a large severity of the rounding of their angles.
_LEAST_JUMP_RAD = math.radians(3)
# Away and back again within two intervals.
_SHARP_RAD_M = math.radians(3) / 30
_DETOUR_RAD = math.radians(10)
_LONG_STEP_M = 600.0
_STEPS = 3.0
_SHORTEST_M = 0.01
_LEAST_STATIONS = 4
_SLACK_RAD = 1e-9
# No arc can be told between directions so nearly opposite.
_RIGHT_BACK_RAD = math.radians(170)


def survey_suspects(job: Job) -> Iterator[Suspect]:
    """What looks wrong in the survey of a job."""
    yield from _depths(job)
    strange = list(_ranges(job))
    yield from strange
    if any(one.index is None for one in strange):
        return  # every bend would be wrong too
    rows = station_rows(job)
    if _are_radians(rows):
        yield _radians()
        return
    yield from _far_apart(job, rows)
    yield from reach_suspects(job)
    yield from _jumps(job, rows)
    yield from reported_suspects(job, rows)


def _depths(job: Job) -> Iterator[Suspect]:
    known = [(n, row.md_m.si) for n, row in enumerate(job.survey) if row.md_m.is_given]
    if _is_upside_down([depth for _, depth in known]):
        message = "every depth is less than the one above it"
        yield Suspect("survey", None, "md", "order", message, "Turn the rows about: top first")
    else:
        yield from _repeats(job)
    for index, depth in known:
        if abs(depth) > FARTHEST_M:
            message = f"{length_text(job, depth)} is no depth of a well"
            yield Suspect("survey", index, "md", "depth", message, "Check the cell and its unit")
        elif depth < 0:
            message = f"{length_text(job, depth)} is above the zero of depths"
            yield Suspect("survey", index, "md", "depth", message, "Check its sign and the datum")
    for (before, upper), (index, lower) in pairwise(known):
        if index > before + 1 and lower <= upper:
            message = (
                f"{length_text(job, lower)} is not deeper than {length_text(job, upper)},"
                " the last depth given above it"
            )
            proposal = "Check both depths; a survey runs from the top down"
            yield Suspect("survey", index, "md", "depth", message, proposal)


def _is_upside_down(depths_m: Sequence[float]) -> bool:
    falls = all(lower < upper for upper, lower in pairwise(depths_m))
    return len(depths_m) >= _LEAST_STATIONS and falls


def _repeats(job: Job) -> Iterator[Suspect]:
    """A station that is there twice; with other angles, one of them is wrong."""
    for index, (upper, lower) in enumerate(pairwise(job.survey), 1):
        if not lower.md_m.is_given or lower.md_m.known != upper.md_m.known:
            continue
        same = (lower.inclination_rad, lower.azimuth_rad) == (
            upper.inclination_rad,
            upper.azimuth_rad,
        )
        what = "the same angles" if same else "other angles"
        message = f"{length_text(job, lower.md_m.si)} is there twice, with {what} in the row above"
        proposal = (
            "Delete one of the two rows" if same else "Check which is right; delete the other"
        )
        yield Suspect("survey", index, "md", "repeated", message, proposal)


def _ranges(job: Job) -> Iterator[Suspect]:
    bounds = {"inclination": (0.0, math.pi), "azimuth": (-math.pi, math.tau + _SLACK_RAD)}
    for field, (low, high) in bounds.items():
        given = [getattr(row, f"{field}_rad").known for row in job.survey]
        off = [
            (n, one) for n, one in enumerate(given) if one is not None and not low <= one <= high
        ]
        usual = "0 to 180°" if field == "inclination" else "0 to 360°"
        if len(off) >= _LEAST_STATIONS and 3 * len(off) > len(given):
            yield _range_of_many(job, field, [one for _, one in off], usual)
        else:
            yield from (_range(job, index, field, one, usual) for index, one in off)


def _range_of_many(job: Job, field: str, angles_rad: Sequence[float], usual: str) -> Suspect:
    """A column in another unit is one thing that is wrong."""
    most = show(max(angles_rad, key=abs), Dimension.ANGLE, job.units)
    message = f"{len(angles_rad)} of {len(job.survey)} are outside {usual}, the farthest {most}"
    proposal = "Degrees in a column of radians? Correct the unit of the heading"
    return Suspect("survey", None, field, "angle", message, proposal)


def _range(job: Job, index: int, field: str, angle_rad: float, usual: str) -> Suspect:
    shown = show(angle_rad, Dimension.ANGLE, job.units)
    message = f"{field} {shown} is outside {usual}"
    proposal = "Check the cell and the unit of the heading: degrees or radians"
    return Suspect("survey", index, field, "angle", message, proposal)


def _are_radians(rows: Sequence[StationRow]) -> bool:
    """Whether a column of degrees holds nothing that could not be radians, and fits as such."""
    inclined = [one for one in rows if one.station.inclination_rad > 0]
    headings = (
        unit_typed(one.row.inclination_rad for one in rows),
        unit_typed(one.row.azimuth_rad for one in inclined),
    )
    if headings != ("°", "°") or len(inclined) < _LEAST_STATIONS:
        return False
    steepest = max(one.station.inclination_rad for one in inclined)
    widest = max(one.station.azimuth_rad for one in inclined)
    if math.degrees(steepest) > math.pi or math.degrees(widest) > math.tau:
        return False
    better = better_as_radians(rows)
    if better is not None:
        return better
    return len({one.station.azimuth_rad for one in inclined}) >= _LEAST_STATIONS


def _radians() -> Suspect:
    message = (
        "no inclination is above 3.14° and no azimuth above 6.28°:"
        " the angles may be radians in a column of degrees"
    )
    proposal = "Ask who sent the survey; write [rad] in the headings, or accept this one"
    return Suspect("survey", None, "inclination", "angle-unit", message, proposal)


def _far_apart(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    """Intervals that hide the hole: one far longer than the rest, and the long ones."""
    jump = list(_long_step(job, rows))
    yield from jump
    asked = {one.index for one in jump}
    rest = [pair for pair in pairwise(rows) if pair[1].index not in asked]
    long = [pair for pair in rest if list(gaps([one.station.md_m for one in pair]))]
    if long:
        yield _long_found(job, long)


def _long_step(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    """A depth that leaves the rest far behind: a digit too many, or a part left out."""
    steps = [(lower.station.md_m - upper.station.md_m, lower) for upper, lower in pairwise(rows)]
    if len(steps) < _LEAST_STATIONS - 1:
        return
    (second, _), (longest, lower) = sorted(steps, key=lambda one: one[0])[-2:]
    if longest > max(_LONG_STEP_M, _STEPS * second):
        message = (
            f"{length_text(job, longest)} below the station above; the next longest interval is"
            f" {length_text(job, second)}"
        )
        proposal = "Check the depth: a digit too many, or stations left out?"
        yield Suspect("survey", lower.index, "md", "depth-jump", message, proposal)


_Pair = tuple[StationRow, StationRow]


def _of_many(job: Job, pairs: Sequence[_Pair]) -> tuple[int | None, str]:
    """Row and words of the longest interval; of several, the heading and their count."""
    long_m = [round(lower.station.md_m - upper.station.md_m, 3) for upper, lower in pairs]
    upper, lower = pairs[long_m.index(max(long_m))]
    gap = Gap(upper.station.md_m, lower.station.md_m)
    words = f"no station between {gap.words(job.units)}"
    more = len(pairs) - 1
    if not more:
        return lower.index, words
    plural = "1 more interval" if more == 1 else f"{more} more intervals"
    return None, f"{words}, and none in {plural}"


def _long_found(job: Job, pairs: Sequence[_Pair]) -> Suspect:
    """Accepted or not, the doglegs there stay unknown."""
    index, words = _of_many(job, pairs)
    most = show(LONG_M, Dimension.LENGTH, job.units, digits=0)
    message = f"{words}: over more than {most} nobody knows how the hole runs, even if vertical"
    proposal = "Add the stations; accepted, the doglegs there are not checked"
    return Suspect("survey", index, "md", "stations-apart", message, proposal)


def _bends(upper: StationRow, lower: StationRow, severity_rad_m: float) -> bool:
    """Whether the hole between two rows bends by more than rounding, and as sharply as that."""
    a, b = upper.station, lower.station
    if b.md_m - a.md_m < _SHORTEST_M:
        return False
    return dogleg_angle(a, b) > _LEAST_JUMP_RAD and dogleg_severity(a, b) > severity_rad_m


def _is_off(upper: StationRow, middle: StationRow, lower: StationRow) -> bool:
    """Whether the hole bends away to the middle row and back, as by one wrong angle."""
    a, b, c = upper.station, middle.station, lower.station
    away, back = dogleg_angle(a, b), dogleg_angle(b, c)
    if back > _RIGHT_BACK_RAD:
        return False  # asked about at the lower row
    both = _bends(upper, middle, _SHARP_RAD_M) and _bends(middle, lower, _SHARP_RAD_M)
    return both and away + back - dogleg_angle(a, c) > _DETOUR_RAD


def _jumps(job: Job, rows: Sequence[StationRow]) -> Iterator[Suspect]:
    """Bends that no hole has; a station off between two that agree is asked about once."""
    blamed = -1
    for place, (upper, lower) in enumerate(pairwise(rows), 1):
        if blamed == place - 1:
            continue
        if dogleg_angle(upper.station, lower.station) > _RIGHT_BACK_RAD:
            blamed = place
            yield _turn_found(job, upper, lower)
            continue
        is_off = place + 1 < len(rows) and _is_off(upper, lower, rows[place + 1])
        if is_off:
            blamed = place
        if is_off or _bends(upper, lower, _SHARPEST_RAD_M):
            yield _jump_found(job, upper, lower)


def _turn_found(job: Job, upper: StationRow, lower: StationRow) -> Suspect:
    a, b = upper.station, lower.station
    bend = show(dogleg_angle(a, b), Dimension.ANGLE, job.units)
    message = f"the hole would turn right back, {bend} from the station above"
    proposal = "Check both angles of both rows; an azimuth may be 180° off"
    return Suspect("survey", lower.index, _field(a, b), "survey-turn", message, proposal)


def _field(a: Station, b: Station) -> str:
    """The angle that changes more."""
    turn = abs(math.remainder(b.azimuth_rad - a.azimuth_rad, math.tau))
    sideways = math.sin((a.inclination_rad + b.inclination_rad) / 2) * turn
    return "azimuth" if sideways > abs(b.inclination_rad - a.inclination_rad) else "inclination"


def _jump_found(job: Job, upper: StationRow, lower: StationRow) -> Suspect:
    a, b = upper.station, lower.station
    bend = show(dogleg_angle(a, b), Dimension.ANGLE, job.units)
    severity = show(dogleg_severity(a, b), Dimension.DOGLEG, job.units)
    message = (
        f"the hole would bend {bend} in {length_text(job, b.md_m - a.md_m)} ({severity})"
        " from the station above"
    )
    proposal = "Check depth and angles of both against the survey sheet"
    return Suspect("survey", lower.index, _field(a, b), "survey-jump", message, proposal)
