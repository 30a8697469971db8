"""A coarse run of the invented top-hung job, and faults put into it."""

from __future__ import annotations

import functools
from dataclasses import replace

from tests.drawing.strings import CHOICE_2

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.running_in import RunIn, run_in
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Assembly, Job, Quantity
from abreast.spaceout.assemble import assemble


@functools.cache
def run_2() -> tuple[Job, Assembly, RunIn]:
    job = read_job(example_path("skerrow_a09")).require_job()
    string = assemble(job, CHOICE_2)
    return job, string, run_in(job, string, step_m=250.0)


def lost(place: Place, state: str) -> Place:
    """A place as it is when no shape was found there."""
    return Place(place.md_m, place.roll_rad, state, union=place.union)


def faulty(run: RunIn) -> RunIn:
    """Buckled at some rolls of three depths, nothing fits at the next two, and two more."""
    depths = sorted({one.md_m for one in run.down})
    down = []
    for one in run.down:
        row, number = depths.index(one.md_m), round(one.roll_deg / 45)
        if row in (4, 5, 6) and number % 2:
            down.append(lost(one, "buckled"))
        elif row in (7, 8):
            down.append(lost(one, "does not fit"))
        elif row == 10 and number in (3, 5):
            down.append(lost(one, "not found" if number == 3 else "buckled"))
        elif row == 11:
            down.append(replace(one, state="leans"))
        else:
            down.append(one)
    up = tuple(lost(one, "buckled") if one.md_m == depths[-1] else one for one in run.up)
    return replace(run, down=tuple(down), up=up)


def shapeless(run: RunIn) -> RunIn:
    """No shape at all."""
    parts = {
        way: tuple(lost(one, "buckled") for one in getattr(run, way))
        for way in ("down", "up", "hung")
    }
    return replace(run, **parts)


def unlimited(job: Job) -> Job:
    """The job with no limit of any bending moment."""
    none = Quantity.not_measured()
    both = {"moment_nm": none, "upper_joint_moment_nm": none}
    found = {"esp": tuple(one.model_copy(update=both) for one in job.esp)}
    threads = (one.model_copy(update={"moment_nm": none}) for one in job.threads)
    found["threads"] = tuple(threads)
    for name in ("union", "ytool", "pipe"):
        found[name] = getattr(job, name).model_copy(update={"moment_nm": none})
    return Job.model_validate(job.model_copy(update=found).model_dump())
