"""Runs made by hand for the checks of the way down: real strings, invented numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

from tests.checks.twins import choice_1, choice_2, job_1, job_2

from abreast.checks.base import Context, answer
from abreast.checks.passing import passing_checks
from abreast.mechanics.running_in import NarrowTrial, RunIn
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.mechanics.twin_beam_lines import read_twin_beam
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Finding, Job
from abreast.spaceout.assemble import assemble

ROLLS = tuple(math.radians(90.0 * k) for k in range(4))
CHOICES = {1: choice_1, 2: choice_2}
JOBS = {1: job_1, 2: job_2}


@cache
def assembled(number: int) -> Any:
    return assemble(JOBS[number](), CHOICES[number]())


@cache
def bare_run(number: int, union: str = "free") -> RunIn:
    """Beams and hole of a job, and no places."""
    job = JOBS[number]()
    string = assembled(number)
    beam = read_twin_beam(job, string, union=union)
    above_m = string.top_m - beam.zero_m
    return RunIn(
        {union: beam}, read_hole(job), above_m, (), (), (), (), 1706.88, 300.0, ("by hand",)
    )


def place(run: RunIn, md_m: float, roll_rad: float = 0.0, **numbers: Any) -> Place:
    """A place with modest numbers for every part; ``moment_nm`` is that of all of them."""
    union, beam = next(iter(run.beams.items()))
    moment_nm = numbers.pop("moment_nm", 100.0)
    segments = [one for string in beam.twin.strings for one in string.segments]
    fields: dict[str, Any] = {
        "moments_nm": {(one.name, one.kind): moment_nm for one in segments},
        "joints_nm": {one.name: moment_nm for one in segments},
        "side_n": 4000.0,
        "drag_n": 1000.0,
        "top_n": 9000.0,
        "walls_n": {"motor": 400.0, "C1 clamp": 300.0},
        "grips_n": {one.name: 20.0 for one in beam.twin.links if one.grips},
        "union": union,
    }
    return Place(md_m, roll_rad, "ok", **(fields | numbers))


def lost(run: RunIn, md_m: float, roll_rad: float, state: str, where: str = "") -> Place:
    """A place without a shape."""
    return Place(md_m, roll_rad, state, where, union=next(iter(run.beams)))


def filled(number: int, union: str = "free", **numbers: Any) -> RunIn:
    """Three depths at four rolls, lowering, picking up and at rest, and trials that hold."""
    run = bare_run(number, union)
    depths_m = (500.0, 1000.0, 1500.0)
    places = tuple(place(run, md_m, roll, **numbers) for md_m in depths_m for roll in ROLLS)
    trials = tuple(NarrowTrial(share, places[:4]) for share in (0.0, 0.25, 0.5, 0.75))
    return replace(run, down=places, up=places[:8], hung=places[8:], narrow=trials)


def swapped(run: RunIn, way: str, index: int, new: Place) -> RunIn:
    """The run with one place exchanged."""
    places = list(getattr(run, way))
    places[index] = new
    return replace(run, **{way: tuple(places)})


def answers(run: RunIn | Exception, number: int = 2, job: Job | None = None) -> dict[str, Finding]:
    """All findings about a run by their id."""
    context = Context(job or JOBS[number](), assembled(number), CHOICES[number]())

    def run_of(_: Context) -> RunIn:
        if isinstance(run, Exception):
            raise run
        return run

    return {one.id: one for check in passing_checks(run_of) for one in answer(check, context)}
