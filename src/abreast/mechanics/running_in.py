"""The twin string on its way down, up again and where it hangs: worst and best roll by depth."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import groupby

from abreast.errors import MissingInputError
from abreast.jobfile.survey_gaps import gap_words
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.processes import processes
from abreast.mechanics.run_depths import beside, even_depths, sharp_depths
from abreast.mechanics.run_string import survey_gaps, survey_needs
from abreast.mechanics.twin_beam import Union
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.mechanics.twin_beam_hole import Hole, Way
from abreast.mechanics.twin_beam_lines import JobBeam, read_twin_beam
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place, sweep
from abreast.model import Assembly, Job, convert_depth_m
from abreast.units import Dimension, show

__all__ = ["Band", "NarrowTrial", "RunIn", "bands", "run_in", "union_states"]

Progress = Callable[[str, int, int], None]
Stop = Callable[[], bool]

STEP_M = 20.0
"""Depths are looked at so far apart, nearer to one another round the worst places [m]."""
_SHARES = (0.0, 0.25, 0.5, 0.75)
_JOINT_M = 9.5


@dataclass(frozen=True, slots=True)
class NarrowTrial:
    """What the worst places would be if the casing were narrower than its nominal bore.

    Parameters
    ----------
    share : float
        Where the wall was taken: 0 at the drift, 1 at the nominal inner diameter.
    places : tuple of Place
        Every roll at each of those places.
    """

    share: float
    places: tuple[Place, ...]

    @property
    def all_pass(self) -> bool:
        """A shape was found at every place and roll."""
        return all(one.found for one in self.places)


@dataclass(frozen=True, slots=True)
class RunIn:
    """All that the contact model says of one run; every depth is that of the Y-tool's top.

    Parameters
    ----------
    beams : mapping
        The beams by state of the union, as they were modelled.
    hole : Hole
        Course of the hole, casing at its nominal inner diameter.
    top_above_zero_m : float
        How far the top of the Y-tool is above the zero of the beams [m].
    down, up : tuple of Place
        While lowering, and while picking up; by depth, then roll.
    hung : tuple of Place
        At rest at the planned depth and a joint above and below it.
    narrow : tuple of NarrowTrial
        The worst places with the casing between drift and nominal bore.
    crooked : tuple of Place
        The worst places with the survey's allowance for tortuosity added to every
        bend; empty: the survey states none.
    step_m : float
        Distance of the depths that were looked at first [m].
    assumptions : tuple of str
        What the numbers rest on.
    whole : bool
        False: it was stopped before the end.
    """

    beams: Mapping[Union, JobBeam]
    hole: Hole
    top_above_zero_m: float
    down: tuple[Place, ...]
    up: tuple[Place, ...]
    hung: tuple[Place, ...]
    narrow: tuple[NarrowTrial, ...]
    planned_md_m: float
    step_m: float
    assumptions: tuple[str, ...]
    whole: bool = True
    crooked: tuple[Place, ...] = ()

    @property
    def length_m(self) -> float:
        """From the top of the Y-tool to the lower end of the string [m]."""
        beam = next(iter(self.beams.values()))
        return max(beam.twin.ends_m()) + self.top_above_zero_m

    def drag_n(self, way: Way, md_m: float) -> float | None:
        """Greatest drag of all rolls at a depth, between the depths that were looked at [N].

        None: no friction factor, or no shape was found at a depth next to it. Above
        the first depth and below the last it is that of the first or last.
        """
        places = {"down": self.down, "up": self.up, "still": self.hung}[way]
        found = bands(places, lambda one: one.drag_n)
        after = bisect_left([band.md_m for band in found], md_m)
        looked_at = after < len(found) and found[after].md_m == md_m
        near = found[after if looked_at else max(after - 1, 0) : after + 1]
        if not near or any(band.faults or not band.points for band in near):
            return None
        first, last = near[0], near[-1]
        share = (md_m - first.md_m) / (last.md_m - first.md_m) if last is not first else 0.0
        return first.high + share * (last.high - first.high)

    def at_rest(self, job: Job, top_md_m: float) -> tuple[Place, ...]:
        """Every roll with the string hanging at another depth, in the states the union has there.

        Raises
        ------
        InputError
            ``out-of-range``: string or survey do not reach there.
        """
        found: list[Place] = []
        for union in union_states(job, top_md_m):
            at_m = top_md_m + self.top_above_zero_m
            done = sweep(self.beams[union].twin, self.hole, [at_m], ROLLS_RAD, way="still")
            found += [replace(one, md_m=top_md_m) for one in done]
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Band:
    """One depth: a value at each roll, and the rolls at which there is none.

    Parameters
    ----------
    md_m : float
        Depth of the Y-tool's top [m].
    points : tuple of (Place, float)
        Places with their value, lowest first.
    faults : tuple of Place
        Places where no shape was found: does not fit, buckled, not found.
    """

    md_m: float
    points: tuple[tuple[Place, float], ...]
    faults: tuple[Place, ...]

    @property
    def low(self) -> float:
        """The value at the best roll."""
        return self.points[0][1]

    @property
    def high(self) -> float:
        """The value at the worst roll."""
        return self.points[-1][1]


def bands(places: Iterable[Place], value: Callable[[Place], float | None]) -> tuple[Band, ...]:
    """Lowest and highest value of all rolls at each depth, depths in order.

    Places without numbers are ``faults``; those whose value is None are left out.
    """
    found = []
    for md_m, group in groupby(sorted(places, key=_order), key=lambda one: one.md_m):
        here = tuple(group)
        known = [(one, value(one)) for one in here if one.found]
        points = sorted(((one, v) for one, v in known if v is not None), key=lambda pair: pair[1])
        faults = tuple(one for one in here if not one.found)
        found.append(Band(md_m, tuple(points), faults))
    return tuple(found)


def union_states(job: Job, md_m: float) -> tuple[Union, ...]:
    """Whether the union is free or locked with the Y-tool at a depth; both if nobody says."""
    locked_from = job.union.locked_from_md_m
    if job.is_top_hung or locked_from.state == "not applicable":
        return ("free",)
    if not locked_from.is_given:
        return ("free", "locked")
    return ("locked",) if md_m >= locked_from.si - 1e-6 else ("free",)


def run_in(
    job: Job,
    assembly: Assembly,
    *,
    step_m: float = STEP_M,
    workers: int = 1,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> RunIn:
    """Sweep a twin string from below the wellhead to where it is to hang.

    Parameters
    ----------
    job, assembly : Job, Assembly
        The well and the string; its union must be set.
    step_m : float
        Distance between the depths looked at first; greater where the well is
        so deep that they would be more than 150 [m].
    workers : int
        Processes.
    progress : callable, optional
        Told what is being done, how many places of it are done, and of how many.
    stop : callable, optional
        Asked now and then; True ends the work, and what was found is returned.

    Raises
    ------
    MissingInputError
        For anything the contact model needs that is not given.

    Notes
    -----
    Eight rolls at each depth: nobody knows how a string turns while it is run.
    Between the wellhead and the first depth the string is not wholly in the
    hole; there only the cross-sections are checked.
    """
    with processes(workers) as pool:
        return _Run(job, assembly, step_m, pool, progress, stop).run()


class _Run:
    def __init__(
        self,
        job: Job,
        assembly: Assembly,
        step_m: float,
        pool: Executor | None,
        progress: Progress | None,
        stop: Stop | None,
    ) -> None:
        self.job, self.pool, self.progress, self.stop = job, pool, progress, stop
        self.hole = read_hole(job)
        states = {one for md in (0.0, math.inf) for one in union_states(job, md)}
        self.beams = {one: read_twin_beam(job, assembly, union=one) for one in sorted(states)}
        beam = next(iter(self.beams.values()))
        self.above_m = assembly.top_m - beam.zero_m
        self.stopped = False
        setting = job.setting
        self.planned_m = convert_depth_m(
            job, setting.ytool_top_md_m.si, setting.datum or job.depth_datum
        )
        self.foot_m = self.planned_m + max(beam.twin.ends_m()) + self.above_m
        self.first_m, last_m = self._reach(beam)
        if self.planned_m > last_m + 1e-6:
            raise MissingInputError(needs=self._unreached())
        self.last_m = last_m
        if self.planned_m < self.first_m:
            raise MissingInputError(needs="a planned depth at which the string is in the hole")
        self.step_m = step_m
        rigid_m = beam.twin.rigid_m
        foot_m = rigid_m[1] if len(rigid_m) == 2 else beam.twin.strings[0].bottom_m
        self.stiff_m = foot_m + self.above_m

    def _reach(self, beam: JobBeam) -> tuple[float, float]:
        """Least and greatest depth of the Y-tool's top with all of the model in casing [m]."""
        ends = sorted(beam.twin.ends_m())
        top_m = max(min(one.top_md_m for one in self.hole.bores), self.hole.path.md_m[0])
        foot_m = min(max(one.bottom_md_m for one in self.hole.bores), self.hole.path.md_m[-1])
        return top_m - ends[0] - self.above_m, foot_m - ends[-1] - self.above_m

    def _unreached(self) -> str:
        """Survey or casing, whichever does not reach the lower end of the string."""
        end_m = float(self.hole.path.md_m[-1])
        if end_m < self.foot_m - 1e-6:
            return survey_needs(self.job, self.foot_m, end_m)
        return f"casing down to the lower end of the string at {self._length(self.foot_m)}"

    def run(self) -> RunIn:
        even = even_depths(self.first_m, self.planned_m, self.step_m)
        gap_m = even[1] - even[0] if len(even) > 1 else 0.0
        sharp = sharp_depths(
            self.hole.path, self.stiff_m, self.first_m, self.planned_m, self.step_m
        )
        depths = sorted({*even, *sharp})
        down = self._sweep("lowering", depths, "down")
        down += self._sweep("worst places", beside(depths, self._worst(down)), "down")
        up = self._sweep("picking up", sorted({*even[:-1:2], even[-1], *sharp[::2]}), "up")
        joint_m = next((one.joint_m.si for one in self.job.upper if one.joint_m.is_given), _JOINT_M)
        hung_at = [self.planned_m + k * joint_m for k in (-1, 0, 1)]
        hung_at = [md for md in hung_at if self.first_m <= md <= self.last_m]
        hung = self._sweep("hanging", hung_at, "still")
        narrow, untried = self._narrow(down)
        crooked = self._crooked(down)
        beam = next(iter(self.beams.values()))
        return RunIn(
            self.beams,
            self.hole,
            self.above_m,
            tuple(sorted(down, key=_order)),
            tuple(sorted(up, key=_order)),
            tuple(sorted(hung, key=_order)),
            narrow,
            self.planned_m,
            gap_m,
            (*beam.assumptions, *self._said(gap_m), *untried),
            not self.stopped,
            crooked,
        )

    def _said(self, gap_m: float) -> Iterator[str]:
        yield "casing round, stiff and at its nominal inner diameter"
        yield (
            f"depths {self._length(gap_m)} apart, nearer in sharp bends and beside the worst: what"
            " is narrow for less is asked about by the widths of the parts only (see drift)"
        )
        first = self._length(self.first_m)
        yield f"Y-tool looked at from {first} down, eight rolls at each depth"
        found = survey_gaps(self.job, float(self.hole.path.md_m[0]), self.foot_m)
        yield from gap_words(found, self.job.units)
        if self.hole.friction_ratio is None:
            yield "no friction factor is given: no drag"
        if len(self.beams) == 2 and not self.job.union.locked_from_md_m.is_given:
            yield "nobody says from which depth the union is locked: free and locked are looked at"

    def _length(self, length_m: float) -> str:
        return show(length_m, Dimension.LENGTH, self.job.units, digits=0)

    def _sweep(
        self, what: str, tops_m: Sequence[float], way: Way, hole: Hole | None = None
    ) -> list[Place]:
        """Places at depths of the Y-tool's top, in every state that the union has there."""
        found: list[Place] = []
        for union, beam in self.beams.items():
            here = [md for md in tops_m if union in union_states(self.job, md)]
            if not here or self.stopped:
                continue
            done = sweep(
                beam.twin,
                hole or self.hole,
                [md + self.above_m for md in here],
                ROLLS_RAD,
                way=way,
                pool=self.pool,
                progress=self._tell(what),
                stop=self.stop,
            )
            self.stopped = self.stopped or len(done) < len(here) * len(ROLLS_RAD)
            found += [replace(one, md_m=one.md_m - self.above_m) for one in done]
        return found

    def _tell(self, what: str) -> Callable[[int, int], None] | None:
        tell = self.progress
        return None if tell is None else lambda done, total: tell(what, done, total)

    def _worst(self, down: Sequence[Place], *, walls_only: bool = False) -> list[float]:
        """Depths at which something is worst of all, or what the walls do only."""
        fine = [one for one in down if one.found]
        if not fine:
            return [down[0].md_m] if down else []
        measures: list[Callable[[Place], float]] = [
            lambda one: one.side_n,
            lambda one: max(one.cable_n, one.guard_n),
            self._use,
        ]
        if not walls_only:
            measures += [
                lambda one: one.stress_pa or 0.0,
                lambda one: abs(one.union_n),
                lambda one: max(map(abs, (one.grips_n or {}).values()), default=0.0),
            ]
        tops = ((max(fine, key=measure), measure) for measure in measures)
        return sorted({one.md_m for one, measure in tops if measure(one) > 0})

    def _use(self, place: Place) -> float:
        worst = worst_bent(self.job, place)
        return worst.use if worst is not None else place.moment_nm * 1e-9

    def _narrow(self, down: Sequence[Place]) -> tuple[tuple[NarrowTrial, ...], tuple[str, ...]]:
        """The trials that were made in full, and in words why there are none."""
        depths, trials = self._worst(down, walls_only=True), []
        for share in _SHARES if depths else ():
            try:
                hole = read_hole(self.job, share=share)
                places = self._sweep("narrower casing", depths, "down", hole)
            except MissingInputError as fault:
                return (), (f"narrower casing is not tried: needs {fault.needs}",)
            if self.stopped:
                break
            trials.append(NarrowTrial(share, tuple(sorted(places, key=_order))))
        return tuple(trials), ()

    def _crooked(self, down: Sequence[Place]) -> tuple[Place, ...]:
        head = self.job.survey_head
        more = None if head is None else head.tortuosity_rad_m.known
        if not more:
            return ()
        hole = replace(self.hole, allowance_rad_m=more)
        places = self._sweep("sharper bends", self._worst(down, walls_only=True), "down", hole)
        return tuple(sorted(places, key=_order))


def _order(place: Place) -> tuple[float, str, float]:
    return place.md_m, place.union, place.roll_rad
