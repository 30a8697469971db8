"""Where to set a job's twin string: every half joint of tubing, ranked, with the reasons."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf, sin

from abreast.errors import AbreastError, InputError, MissingInputError, Where
from abreast.jobfile.survey_gaps import gap_words, gaps_needed
from abreast.jobfile.survey_rows import half_digit
from abreast.mechanics.hole_ranges import HoleRanges, hole_ranges
from abreast.mechanics.run_string import survey_gaps, survey_needs, survey_stations, told_by_row
from abreast.mechanics.setting_bounds import (
    bound_needs,
    bounds,
    first_perforation_m,
    hole_top_m,
    submergence_words,
)
from abreast.mechanics.setting_depth import Candidate, candidates
from abreast.mechanics.setting_limits import Hung, Lacking, Topic, hung, limit_of
from abreast.mechanics.setting_places import (
    SAME_RAD_M,
    WINDOW_M,
    ContactResult,
    Passed,
    Place,
    SettingScan,
)
from abreast.model import Assembly, Job, Quantity, convert_depth_m
from abreast.units import Dimension, show

__all__ = ["Confirm", "where_to_set"]

Confirm = Callable[[float], ContactResult]
"""From a depth of the Y-tool's top [m] to what the contact model finds there."""
MOST_PLACES = 4000
_CONFIRMED = 3
_SAME_M = 1e-6
_BEGINS_M = 1.0


def where_to_set(job: Job, assembly: Assembly, confirm: Confirm | None = None) -> SettingScan:
    """Depths for the top of the Y-tool, ranked, the planned one among them.

    Parameters
    ----------
    job : Job
        Survey, planned depth with its tolerance, limits of pieces and rules,
        casing, openings, perforations, joint of the tubing.
    assembly : Assembly
        The twin string, planned or as run.
    confirm : callable, optional
        The contact model at a depth; asked at the planned depth, a joint higher
        and lower, at the best within the window round it, and at the best three.

    Returns
    -------
    SettingScan
        Every half joint of tubing from the planned depth up and down: from where
        the assembly is wholly in the hole to where its lower end reaches the
        perforations or the end of the survey.

    Raises
    ------
    MissingInputError
        If the survey, the planned depth or the ESP pieces are missing, or the
        survey ends above the lower end of the string.
    InputError
        If the survey is no survey, or begins below the string at its planned depth.

    Notes
    -----
    Each depth is judged with the tolerance of the depth at both ends, and the
    survey's tortuosity added to every dogleg. Rank: limits kept; well known;
    within the setting limit also a joint off; dogleg in steps of 0.1 degrees per
    30 m; distance to the planned depth. Common practice, no source.
    """
    return _Search(job, assembly).result(confirm)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Depths to look at, their distance, and where they end [m]."""

    tops_m: list[float]
    step_m: float | None


class _Search:
    """One job and one string."""

    def __init__(self, job: Job, assembly: Assembly) -> None:
        self.job = job
        self.hung: Hung = hung(job, assembly)
        head = job.survey_head
        self.allowance_rad_m = (
            _given_or_0(head.tortuosity_rad_m, "survey.tortuosity") if head else 0.0
        )
        self.hole = _hole(job, self.allowance_rad_m)
        setting = job.setting
        self.planned_m = convert_depth_m(
            job, setting.ytool_top_md_m.si, setting.datum or job.depth_datum
        )
        self.tolerance_m = _given_or_0(setting.tolerance_m, "setting.tolerance")
        self.joint_m = _joint_m(job)
        self.bounds = bounds(job, assembly, self.tolerance_m)
        self.needs = bound_needs(job, assembly)
        self.submergence = submergence_words(job, assembly)
        self._refuse_outside()

    def _refuse_outside(self) -> None:
        low_m, high_m = self._room()
        if low_m - _SAME_M <= self.planned_m <= high_m + _SAME_M:
            return
        if low_m - _SAME_M <= self.planned_m:
            foot_m = self._foot_m(self.planned_m) + self.hung.tail_m
            raise MissingInputError(needs=survey_needs(self.job, foot_m, self.hole.last_m))
        ends = self.planned_m - self.tolerance_m, self._foot_m(self.planned_m)
        top, foot, first, last = (
            self._shown(md) for md in (*ends, self.hole.first_m, self.hole.last_m)
        )
        message = (
            f"at its planned depth, tolerance included, the string lies from {top} to {foot},"
            f" but the survey goes from {first} to {last} ({self.job.depth_datum}); correct the"
            " depth or its datum, or give the stations that are missing"
        )
        where = Where(file="job.toml", field="setting.ytool_top_md")
        raise InputError(message, code="out-of-range", where=where)

    def _shown(self, md_m: float) -> str:
        return show(md_m, Dimension.LENGTH, self.job.units, digits=1)

    def _foot_m(self, top_m: float) -> float:
        return top_m + self.hung.straight.length_m + self.tolerance_m

    def _room(self) -> tuple[float, float]:
        """Depths of the Y-tool at which the survey holds the assembly."""
        low_m = self.hole.first_m + self.tolerance_m
        return low_m, self.hole.last_m - self._foot_m(0.0)

    def grid(self) -> _Grid:
        """Half joints from the planned depth; wider steps where there would be too many."""
        if self.joint_m is None:
            return _Grid([self.planned_m], None)
        low_m, high_m = self._room()
        top_m, open_m = hole_top_m(self.job), first_perforation_m(self.job)
        low_m = max(low_m, -inf if top_m is None else top_m + self.tolerance_m)
        if open_m is not None:
            high_m = min(high_m, open_m - self.tolerance_m - self.hung.length_m)
        half_m = self.joint_m / 2
        step_m = half_m * max(1, ceil((high_m - low_m) / half_m / MOST_PLACES))
        first = ceil((low_m - self.planned_m) / step_m - _SAME_M)
        last = floor((high_m - self.planned_m) / step_m + _SAME_M)
        lowest, highest = self._room()
        tops = {self.planned_m + n * step_m for n in range(first, last + 1)} | {self.planned_m}
        off = (self.planned_m - self.joint_m, self.planned_m + self.joint_m)
        tops |= {one for one in off if lowest <= one <= highest}
        return _Grid(sorted(min(max(one, lowest), highest) for one in tops), step_m)

    def result(self, confirm: Confirm | None) -> SettingScan:
        grid = self.grid()
        found = candidates(
            self.hole, self.hung.straight, grid.tops_m, self.hung.limits, self.tolerance_m
        )
        places = sorted(self.places(found), key=lambda one: one.rank_key)
        if confirm is not None:
            places = _confirmed(places, confirm, self.joint_m, WINDOW_M[self.job.units])
        planned = next(one for one in places if one.is_planned)
        return SettingScan(
            places=tuple(places),
            planned=planned,
            higher=_off(places, self.joint_m, -1),
            lower=_off(places, self.joint_m, 1),
            straight=self.hung.straight,
            tail_m=self.hung.tail_m,
            joint_m=self.joint_m,
            step_m=grid.step_m,
            tolerance_m=self.tolerance_m,
            allowance_rad_m=self.allowance_rad_m,
            limits=self.hung.limits,
            bounds=self.bounds,
            passed=tuple(self.passed()),
            lacking=tuple(self.lacking()),
            assumptions=(*self.assumptions(grid, confirm), *self.rounding(planned.candidate)),
            system=self.job.units,
            datum=self.job.depth_datum,
            confirmed=confirm is not None,
        )

    def places(self, found: Sequence[Candidate]) -> Iterator[Place]:
        tops = [one.top_md_m for one in found]
        feet = [one.bottom_md_m for one in found]
        off_m = self.tolerance_m
        slides = (
            [None] * len(found)
            if self.joint_m is None
            else self._sharpest(tops, feet, off_m + self.joint_m, off_m + self.joint_m)
        )
        tails = (
            self._sharpest(feet, feet, off_m, off_m + self.hung.tail_m)
            if self.hung.tail_m > _SAME_M
            else [None] * len(found)
        )
        most = self.hung.limits.setting_rad_m
        for one, slide, tail in zip(found, slides, tails, strict=True):
            yield Place(
                one,
                one.top_md_m - self.planned_m,
                slide,
                tail,
                most is None or slide is None or not most.broken_by(slide),
                tuple(bound for bound in self.bounds if bound.refuses(one.top_md_m)),
            )

    def _sharpest(
        self, tops_m: Sequence[float], feet_m: Sequence[float], above_m: float, below_m: float
    ) -> list[float | None]:
        """Sharpest dogleg of ranges made longer at both ends; None where they leave the survey."""
        import numpy as np

        high, low = np.array(tops_m) - above_m, np.array(feet_m) + below_m
        inside = (high >= self.hole.first_m - _SAME_M) & (low <= self.hole.last_m + _SAME_M)
        sharp = self.hole.severity_rad_m[self.hole.sharpest(high, low)]
        return [s if ok else None for s, ok in zip(sharp.tolist(), inside.tolist(), strict=True)]

    def passed(self) -> Iterator[Passed]:
        """The way down, for the whole string and for each ESP piece."""
        import numpy as np

        rows = {one.id: one for one in self.job.esp}
        deepest_m = min(self.planned_m + self.hung.length_m + self.tolerance_m, self.hole.last_m)
        ways = [("", limit_of(self.job.rules.max_dogleg_pass_rad_m), deepest_m)]
        for one in self.hung.straight.bodies:
            foot_m = self.planned_m + one.from_top_m + one.length_m + self.tolerance_m
            ways.append((one.name, limit_of(rows[one.name].pass_dogleg_rad_m), foot_m))
        feet = np.array([foot_m for _, _, foot_m in ways])
        for (name, limit, foot_m), place in zip(
            ways, self.hole.sharpest(0 * feet + self.hole.first_m, feet).tolist(), strict=True
        ):
            upper, lower = self.hole.md_m[place : place + 2].tolist()
            severity = float(self.hole.severity_rad_m[place])
            yield Passed(name, limit, severity, (upper, lower), foot_m)

    def lacking(self) -> Iterator[Lacking]:
        yield from self.hung.lacking
        yield from (Lacking("well", need) for need in self.needs)
        top_m = hole_top_m(self.job)
        if self.hole.first_m > (0.0 if top_m is None else top_m) + _BEGINS_M:
            yield Lacking("passing", f"the survey above {self._shown(self.hole.first_m)}")
        yield from self._unseen()
        if self.joint_m is None:
            yield Lacking("well", "the joint of the tubing to fit in upper.csv, for other depths")

    def _unseen(self) -> Iterator[Lacking]:
        """Intervals of the survey that hide the hole: on the way, and where it may hang."""
        joint_m = self.joint_m or 0.0
        top_m = self.planned_m - self.tolerance_m - joint_m
        foot_m = self._foot_m(self.planned_m) + self.hung.tail_m
        on_the_way = survey_gaps(self.job, self.hole.first_m, foot_m)
        for need in gaps_needed(on_the_way, self.job.units):
            yield Lacking("passing", need)
        beside = survey_gaps(self.job, top_m, foot_m + joint_m)
        for need in gaps_needed(beside, self.job.units):
            topics: tuple[Topic, ...] = ("setting", "stress", "hole")
            yield from (Lacking(topic, need) for topic in topics)

    def assumptions(self, grid: _Grid, confirm: Confirm | None) -> Iterator[str]:
        straight, tail = (self._shown(m) for m in (self.hung.straight.length_m, self.hung.tail_m))
        yield f"{straight} from the Y-tool top to the lowest ESP piece or base must lie straight"
        if self.hung.tail_m > _SAME_M:
            yield f"the tail, {tail} below it, is not held to the setting limit"
        head = self.job.survey_head
        if head is not None and head.tortuosity_rad_m.is_given:
            added = show(self.allowance_rad_m, Dimension.DOGLEG, self.job.units)
            yield f"{added} added to every interval: tortuosity of the survey"
        else:
            yield "no tortuosity stated: nothing is added for doglegs between stations"
        foot_m = self._foot_m(self.planned_m) + self.hung.tail_m
        yield from gap_words(survey_gaps(self.job, self.hole.first_m, foot_m), self.job.units)
        if not self.job.setting.tolerance_m.is_given:
            yield "no tolerance of the setting depth stated: taken as 0"
        if not self.job.perforations:
            yield "no perforations stated: depths to the end of the survey are looked at"
        yield self.submergence
        if grid.step_m is not None and self.joint_m and grid.step_m > self.joint_m / 2 + _SAME_M:
            yield f"every {self._shown(grid.step_m)}, not every half joint: there are too many"
        if confirm is None:
            yield "not confirmed by the contact model"

    def rounding(self, planned: Candidate) -> Iterator[str]:
        """How much of the sharpest dogleg the digits of the survey may make by themselves."""
        upper, lower = planned.dogleg_interval_md_m
        tilt, turn = (
            half_digit(getattr(one, name) for one in self.job.survey)
            for name in ("inclination_rad", "azimuth_rad")
        )
        angle_rad = 2 * (tilt + sin(planned.inclination_rad[1]) * turn)
        severity = angle_rad / (lower - upper)
        if severity > SAME_RAD_M:
            made, long = (
                show(severity, Dimension.DOGLEG, self.job.units),
                self._shown(lower - upper),
            )
            yield f"digits of the survey alone may make {made} in the sharpest interval ({long})"


def _hole(job: Job, allowance_rad_m: float) -> HoleRanges:
    """The survey made ready; a fault in it is told by its row."""
    stations = survey_stations(job)
    try:
        return hole_ranges(stations, allowance_rad_m)
    except InputError as fault:
        raise told_by_row(job, stations, fault) from None


def _given_or_0(value: Quantity, field: str) -> float:
    """An optional allowance, 0 when nobody gave one; that is told with the assumptions."""
    given = value.or_else(0.0)
    if given < 0:
        where = Where(file="job.toml", field=field)
        message = f"{value.typed or format(given, 'g')} is below 0; correct its sign"
        raise InputError(message, code="out-of-range", where=where)
    return given


def _joint_m(job: Job) -> float | None:
    """The joint of the tubing that is to fit, else of any tubing."""
    rows = sorted(job.upper, key=lambda one: one.length_m.is_given)
    known = (one.joint_m.known for one in rows)
    return next((joint for joint in known if joint is not None and joint > 0), None)


def _off(places: Sequence[Place], joint_m: float | None, way: int) -> Place | None:
    if joint_m is None:
        return None
    wanted = way * joint_m
    return next((one for one in places if abs(one.from_planned_m - wanted) <= _SAME_M), None)


def _confirmed(
    places: Sequence[Place], confirm: Confirm, joint_m: float | None, window_m: float
) -> list[Place]:
    """Planned depth, a joint off, best within the window, best three, by the contact model."""
    asked = {one.top_md_m for one in places[:_CONFIRMED]}
    near = [one for one in places if one.is_planned]
    near += [one for way in (-1, 1) if (one := _off(places, joint_m, way)) is not None]
    near += [one for one in places if abs(one.from_planned_m) <= window_m][:1]
    asked |= {one.top_md_m for one in near}
    return [
        replace(one, contact=_asked(confirm, one.top_md_m)) if one.top_md_m in asked else one
        for one in places
    ]


def _asked(confirm: Confirm, top_md_m: float) -> ContactResult:
    try:
        return confirm(top_md_m)
    except AbreastError as fault:
        return ContactResult(str(fault))
