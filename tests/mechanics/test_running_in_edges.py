"""Runs at the edge of what can be looked at: lost shapes, unknown drifts, shallow depths."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest
from tests.checks.passing_runs import assembled, bare_run, place
from tests.checks.twins import amend, job_1, job_2, with_row, with_section

from abreast.errors import InputError, MissingInputError
from abreast.mechanics.down_hole import _confirmed
from abreast.mechanics.run_string import survey_positions, survey_stations
from abreast.mechanics.running_in import RunIn, run_in
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place
from abreast.model import Job, Quantity

NO_AZIMUTH = Quantity.not_applicable("vertical")


@cache
def shallow() -> RunIn:
    """The string at rest so high that a joint higher it would stand out of the hole."""
    job = with_section(job_2(), "setting", ytool_top_md_m=24.0)
    casing = tuple(amend(one, drift_m=None) for one in job.casing)
    return run_in(job.model_copy(update={"casing": casing}), assembled(2), step_m=600.0)


def test_a_joint_above_the_first_depth_is_left_out() -> None:
    run = shallow()
    depths = {one.md_m for one in run.hung}
    assert 24.0 in depths
    assert min(depths) >= min(one.md_m for one in run.down)
    assert all(one.found for one in run.hung)


def test_a_drift_that_nobody_knows_takes_only_the_trials_away() -> None:
    run = shallow()
    assert run.down and run.whole
    assert run.narrow == ()
    assert any("narrower casing is not tried: needs drift of" in one for one in run.assumptions)


def test_a_stopped_run_has_no_trials_made_in_part() -> None:
    job = with_section(job_2(), "setting", ytool_top_md_m=24.0)
    done: list[str] = []
    run = run_in(
        job,
        assembled(2),
        step_m=600.0,
        progress=lambda what, *_: done.append(what),
        stop=lambda: "narrower casing" in done,
    )
    assert not run.whole
    depths = {one.md_m for trial in run.narrow for one in trial.places}
    assert [len(one.places) for one in run.narrow] == [len(depths) * len(ROLLS_RAD)]


@pytest.mark.parametrize(
    ("md_m", "drag_n"),
    [(50.0, 10.0), (100.0, 10.0), (150.0, 15.0), (200.0, 20.0), (250.0, None), (300.0, None),
     (350.0, None), (400.0, 40.0), (500.0, 40.0)],
)  # fmt: skip
def test_drag_is_not_read_across_a_depth_without_a_shape(md_m: float, drag_n: float | None) -> None:
    run = bare_run(2)
    down = [place(run, at, drag_n=at / 10) for at in (100.0, 200.0, 300.0, 400.0)]
    down[2] = Place(300.0, 0.0, "buckled")
    assert replace(run, down=tuple(down)).drag_n("down", md_m) == drag_n


def confirmed(job: Job, *places: Place) -> Any:
    run: Any = SimpleNamespace(at_rest=lambda *_: places)
    return _confirmed(job, run, 1000.0)


def test_a_string_that_the_casing_holds_up_is_not_called_settled() -> None:
    run = bare_run(2)
    stands, leans = place(run, 1000.0), replace(place(run, 1000.0, math.pi), state="leans")
    assert confirmed(job_2(), stands).state == "settled"
    found = confirmed(job_2(), stands, leans)
    assert found.state == "held by the casing only at 1 of 2 rolls"
    assert found.moment_ratio is None and found.side_force_n == 4000.0


def test_where_it_hangs_a_limit_that_nobody_stated_is_asked_for() -> None:
    job = with_row(job_2(), "esp", "motor", moment_nm=None)
    run = bare_run(2)
    found = confirmed(job, place(run, 1000.0))
    assert found.moment_ratio is None
    assert found.state.startswith("not checked: needs moment of ESP piece motor")
    # What is stated and broken stays broken.
    assert confirmed(job, place(run, 1000.0, moment_nm=1e6)).refuses


def test_a_vertical_station_needs_no_azimuth() -> None:
    job = job_1()
    upright = amend(job.survey[0], inclination_rad=0.0, azimuth_rad=NO_AZIMUTH)
    changed = job.model_copy(update={"survey": (upright, *job.survey[1:])})
    assert survey_stations(changed)[0].azimuth_rad == 0.0
    bent = amend(job.survey[5], azimuth_rad=None)
    with pytest.raises(MissingInputError, match="azimuth"):
        survey_stations(job.model_copy(update={"survey": (*job.survey[:5], bent)}))


@pytest.mark.parametrize("inclination_deg", [-5.0, 200.0])
def test_an_impossible_inclination_is_told_by_its_row(inclination_deg: float) -> None:
    job = job_2()
    rows = (*job.survey[:3], amend(job.survey[3], inclination_rad=math.radians(inclination_deg)))
    with pytest.raises(InputError) as refused:
        survey_stations(job.model_copy(update={"survey": rows}))
    assert str(refused.value.where) == "survey.csv, row 5, inclination"


def test_a_hole_that_turns_right_back_is_told_by_its_row() -> None:
    job = job_2()
    flat = [
        amend(job.survey[n], inclination_rad=math.pi / 2, azimuth_rad=math.pi * n) for n in (0, 1)
    ]
    with pytest.raises(InputError) as refused:
        survey_positions(job.model_copy(update={"survey": tuple(flat)}))
    assert str(refused.value.where) == "survey.csv, row 3, inclination"
