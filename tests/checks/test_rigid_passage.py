"""Rigid gauges in the bends of the way: numbers by hand, chords of arcs, and never a pass."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.passing_runs import ROLLS, assembled, bare_run, filled, lost, swapped
from tests.checks.twins import (
    FT,
    IN,
    LBF,
    amend,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.checks.base import Context, answer
from abreast.checks.rigid_passage import rigid_passage_check
from abreast.errors import MissingInputError
from abreast.formulas.rigid_tool import longest_rigid_tool
from abreast.formulas.survey import Station, dogleg_severity, position_at, positions
from abreast.mechanics.hole_arcs import hole_arcs
from abreast.mechanics.rigid_passage import rigid_passage
from abreast.model import Job, Quantity
from abreast.spaceout.assemble import assemble

PSI, MM = 6894.757293168, 0.001
LONGEST, SET, TWIN = "longest ESP piece, motor", "motor set", "whole twin"
# A joint for the pup: its upper connection, 3.02 in, then stands beside the motor.
BESIDE_MOTOR = {"items": ("P01", "B05", "P07", "P04", "P08", "P10"), "lifts": None}


def bodies(job: Job, choice):
    return {one.name: one for one in rigid_passage(job, assemble(job, choice)).bodies}


def test_motor_set_of_job_1_by_hand():
    """3.07 deg/100 ft: R = 5729.58/3.07 = 1866.3 ft = 22396 in.

    Guide, gauge and motor 0.62 + 2.06 + 27.42 = 30.10 ft = 361.2 in. A connection
    beside the motor: (5.40 + 3.02)/2 + 4.25 = 8.46 in. s = 361.2^2/(8 R) = 0.728 in,
    c = 8.681 - 8.46 = 0.221 in; sqrt(8 R c) = 199 in = 16.6 ft; 30e6 psi 5.40/(2 R)
    = 3617 psi. c is below s/3, it lies on the bend: EI/R = 404.8e6/22396 = 18074 lbf in,
    a = sqrt(6 R c) = 172.3 in, 2 EI/(R a) = 209.8 lbf, 361.2 - 2 a = 16.6 in of it lie.
    """
    one = bodies(job_1(), choice_1(**BESIDE_MOTOR))[SET]
    assert one.length_m / FT == pytest.approx(30.10, abs=0.005)
    assert one.width_m / IN == pytest.approx(8.46, abs=5e-4)
    assert set(one.widest) == {"motor", "P01 connection"}
    assert [md / FT for md in one.bend.at_md_m] == pytest.approx([4300, 4330])
    assert math.degrees(one.bend.rad_m) * 100 * FT == pytest.approx(3.07, abs=0.005)
    assert one.sagitta_m / IN == pytest.approx(0.728, abs=2e-3)
    assert one.bend.arc_m / IN == pytest.approx(0.728, abs=2e-3)
    assert one.room_m / IN == pytest.approx(0.221, abs=5e-4)
    assert one.longest_surveyed_m / FT == pytest.approx(16.6, abs=0.05)
    assert one.stress_surveyed_pa / PSI == pytest.approx(3617, rel=2e-3)
    assert one.side_force_surveyed_n / LBF == pytest.approx(209.8, abs=0.5)
    assert one.must_bend


def test_allowance_adds_to_every_bend():
    """0.3 deg/100 ft more, 3.37: s = 0.80 in, unbent to 15.8 ft, 3,970 psi; by hand.

    It lies on the bend: a = sqrt(6 R c) = 164.5 in, 2 EI/(R a) = 241.3 lbf, 32.2 in lie.
    """
    one = bodies(job_1(), choice_1(**BESIDE_MOTOR))[SET]
    assert one.needed_m / IN == pytest.approx(0.800, abs=2e-3)
    assert one.longest_m / FT == pytest.approx(15.82, abs=0.02)
    assert one.stress_pa / PSI == pytest.approx(3971, rel=2e-3)
    assert one.side_force_n / LBF == pytest.approx(241.3, abs=0.6)
    assert one.lies_m / IN == pytest.approx(32.2, abs=0.3)


def test_as_planned_the_base_support_is_the_widest_of_the_motor_set():
    """8.44 in for 8.46: no connection lies beside the motor; 8.681 - 8.44 = 0.241 in."""
    found = bodies(job_1(), choice_1())
    assert found[SET].widest == ("base support",)
    assert found[SET].room_m / IN == pytest.approx(0.241, abs=5e-4)
    assert found[SET].room_at_drift_m / IN == pytest.approx(0.085, abs=5e-4)
    assert found[LONGEST].widest == ("C1 clamp",)
    assert found[LONGEST].length_m / FT == pytest.approx(27.42)


def test_a_long_body_needs_what_the_arcs_need_and_not_the_sharpest_dogleg_all_along():
    """30 ft of 3.07 deg/100 ft cost a body of 113 ft less than 500 ft of 2.1 deg/100 ft."""
    one = bodies(job_1(), choice_1())[TWIN]
    assert [md / FT for md in one.bend.at_md_m] == pytest.approx([2250, 2350])
    # 113.40 ft at 2.1 deg/100 ft: (1360.8 in)^2 / (8 x 32741 in) = 7.07 in.
    assert one.sagitta_m / IN == pytest.approx(7.07, abs=0.01)
    assert 0.99 < one.bend.arc_m / one.sagitta_m < 1.0
    assert one.stress_pa is None and one.side_force_n is None  # no one beam
    # Its width, 8.45 in, in the sharpest interval: sqrt(8 x 22396 x 0.231) in = 16.95 ft.
    assert one.longest_surveyed_m / FT == pytest.approx(16.95, abs=0.02)


def test_motor_set_of_job_2_by_hand():
    """2.45 deg/30 m: R = 701.6 m; 10.74 m: s = 20.6 mm; 157.07 - 152.515 = 4.6 mm; 5.06 m."""
    one = bodies(job_2(), choice_2())[SET]
    assert one.bend.at_md_m == pytest.approx((640, 700))
    assert one.bend.arc_m / MM == pytest.approx(20.55, abs=0.05)
    assert one.room_m / MM == pytest.approx(4.555, abs=0.01)
    assert one.longest_surveyed_m == pytest.approx(math.sqrt(8 * 701.6 * 0.004555), abs=0.01)
    assert not bodies(job_2(), choice_2())[TWIN].needs


def test_the_place_is_where_it_lacks_most_and_not_where_the_bend_is_sharpest():
    """A narrow place of 152.6 mm in a straight hole leaves 152.6 - 152.515 = 0.085 mm."""
    rows = tuple(
        amend(one, bore_m=152.6 * MM, drift_m=152.6 * MM) if "tie-back" in one.name else one
        for one in job_2().openings
    )
    job = straight(job_2().model_copy(update={"openings": rows}))
    first = amend(job.survey[0], inclination_rad=0.05 - math.radians(1.0))
    job = job.model_copy(update={"survey": (first, *job.survey[1:])})
    one = bodies(job, choice_2())[SET]
    assert one.bend.top_md_m < 1261 and one.bend.bottom_md_m > 1255
    assert one.bend.rad_m == 0.0 and one.bend.at_md_m[0] > 150  # not that of the first interval
    assert one.room_m / MM == pytest.approx(152.6 - 152.515, abs=0.01)


def straight(job: Job) -> Job:
    """The job in a straight hole."""
    rows = tuple(amend(one, inclination_rad=0.05, azimuth_rad=1.0) for one in job.survey)
    return job.model_copy(update={"survey": rows})


# --- chords --------------------------------------------------------------------------------


def test_height_over_a_chord_is_that_of_a_circle():
    """R - R cos(L/2R), exact."""
    arcs = hole_arcs(positions([Station(0, 0, 0.3), Station(900, 0.9, 0.3)]))
    for length_m in (5.0, 30.0, 300.0):
        height = arcs.heights_m(np.array([100.0]), length_m)[0]
        assert height == pytest.approx(1000 * (1 - math.cos(length_m / 2000)), rel=1e-9)


INC = st.floats(0.0, 0.6)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(INC, st.floats(0, 0.4)), min_size=3, max_size=7), st.floats(2, 80))
def test_no_arc_stands_off_more_than_its_sharpest_dogleg_allows(rows, length_m):
    """|y''| <= kappa keeps a curve within kappa L^2/8 of its chord; joints of arcs are smooth."""
    stations = [Station(30.0 * k, *row) for k, row in enumerate(rows)]
    arcs = hole_arcs(positions(stations))
    whole_m = stations[-1].md_m
    length_m = min(length_m, whole_m)
    tops = np.linspace(0, whole_m - length_m, 15)
    sharpest = max(dogleg_severity(*pair) for pair in pairwise(stations))
    heights = arcs.heights_m(tops, length_m)
    bend = sharpest * length_m
    most = sharpest * length_m**2 / 8 / max(math.cos(bend / 2), 0.3) if bend < 2 else math.inf
    assert np.all(heights <= most * (1 + 1e-9) + 1e-9)
    # A rod half as long never needs more.
    assert arcs.heights_m(tops, length_m / 2).max() <= heights_all(arcs, whole_m, length_m) + 1e-9
    inner = arcs.places_m(np.linspace(0.1, whole_m - 0.1, 9))
    known = positions(stations)
    for at, place in zip(np.linspace(0.1, whole_m - 0.1, 9), inner, strict=True):
        assert place == pytest.approx(position_at(known, float(at)).place_m, abs=1e-8)


def heights_all(arcs, whole_m: float, length_m: float) -> float:
    return float(arcs.heights_m(np.linspace(0, whole_m - length_m, 200), length_m).max())


# --- answers -------------------------------------------------------------------------------


def answers(run, number: int = 2, job: Job | None = None):
    job = job or (job_1, job_2)[number - 1]()
    choice = (choice_1, choice_2)[number - 1]()
    context = Context(job, assemble(job, choice), choice)

    def run_of(_):
        if isinstance(run, Exception):
            raise run
        return run

    found = answer(rigid_passage_check(run_of), context)
    return {one.id.partition(":")[2]: one for one in found}


def test_must_bend_is_told_with_both_numbers_and_refers_to_passage():
    one = answers(filled(1), 1)[SET]
    assert one.status == "ok" and one.limit is None and one.utilisation is None
    assert "Must bend: 0.800 in against 0.241 in" in one.text
    assert "see passage for what that does" in one.text
    assert "3.07°/100 ft at 4300 ft to 4330 ft (RKB)" in one.text
    assert "0.085 in at the drift" in one.text
    assert "on its middle" in one.text and "of which lies on the bend" in one.text
    assert "passes" not in one.text.lower()


@pytest.mark.parametrize("state", ["buckled", "not found", "does not fit"])
def test_must_bend_is_no_pass_while_the_contact_model_is_open(state):
    run = filled(2)
    run = swapped(run, "down", 3, lost(run, 500.0, ROLLS[3], state, "motor"))
    assert {one.status for one in answers(run).values()} == {"not checked"}


def test_must_bend_where_only_the_casing_holds_it_is_near_its_limit():
    run = filled(2)
    run = swapped(run, "up", 1, replace(run.up[1], state="leans"))
    for one in answers(run).values():
        assert one.status == "near limit" and "only the casing holds it" in one.action


@pytest.mark.parametrize("run", ["none", "stopped", "empty"])
def test_must_bend_is_no_pass_without_the_contact_model(run):
    given_ = {
        "none": MissingInputError(needs="fluid level"),
        "stopped": replace(filled(2), whole=False),
        "empty": bare_run(2),
    }[run]
    found = answers(given_)
    assert {one.status for one in found.values()} == {"not checked"}
    assert all("Must bend" in one.text and one.needs and one.action for one in found.values())


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda job: with_section(job, "survey_head", tortuosity_rad_m=None), "tortuosity"),
        (lambda job: with_section(job, "pipe", youngs_pa=None), "youngs"),
        (lambda job: with_row(job, "esp", "motor", ei_nm2=None), "ei of"),
        (lambda job: with_section(job, "survey_head", datum="nowhere"), "nowhere"),
        (lambda job: job.model_copy(update={"survey": ()}), "survey"),
        (lambda job: job.model_copy(update={"survey": job.survey[:9]}), "survey down to"),
        (lambda job: job.model_copy(update={"casing": ()}), "casing"),
    ],
)
def test_what_is_missing_is_named_and_no_pass(change, word):
    found = answers(filled(2), job=change(job_2()))
    asked = [one for one in found.values() if one.status == "not checked"]
    assert asked and all(one.action for one in asked)
    assert any(word in need.lower() for one in asked for need in one.needs)
    assert not any("rigid gauge." in one.text and one.status == "ok" for one in found.values())


def test_a_straight_hole_lets_rigid_gauges_pass_without_the_contact_model():
    """No allowance, no bend: the tie-back leaves 155.6 - 152.515 = 3.085 mm, and none is needed."""
    job = with_section(
        straight(job_2()), "survey_head", tortuosity_rad_m=Quantity.not_applicable("gyro")
    )
    found = answers(MissingInputError(needs="friction"), job=job)
    assert found[SET].status == "ok" and "Passes as a rigid gauge." in found[SET].text
    assert found[SET].limit == pytest.approx(3.085 * MM, abs=2e-5)
    assert found[SET].value == pytest.approx(0.0, abs=1e-9)


def test_a_straight_survey_without_an_allowance_is_no_pass():
    job = with_section(straight(job_2()), "survey_head", tortuosity_rad_m=None)
    one = answers(filled(2), job=job)[SET]
    assert one.status == "not checked" and "tortuosity" in one.needs[0]
    assert "Passes as far as the survey sees." in one.text


def test_a_gauge_that_passes_the_bore_and_not_the_drift_is_near_its_limit():
    """Allowance of 0.3 deg/30 m: 10.74 m need 2.5 mm; 3.1 at the tie-back, less at its drift."""
    one = answers(filled(2), job=straight(job_2()))[SET]
    assert one.status == "near limit" and "not at the drift" in one.text and one.action
    assert one.value == pytest.approx(math.radians(0.3) / 30 * 10.74**2 / 8, rel=1e-6)


def test_wider_than_the_bore_exceeds():
    job = with_row(job_2(), "esp", "motor", body_od_m=0.098, max_od_m=0.098)
    found = answers(filled(2), job=with_section(job, "setting", axis_spacing_m=0.0805))
    assert {one.status for one in found.values()} == {"exceeds"}
    assert all(one.action for one in found.values())


def test_longest_rod_is_that_of_the_formula():
    one = rigid_passage(job_2(), assembled(2)).bodies[1]
    radius_m = 1 / (math.radians(2.45 + 0.3) / 30)
    longest = longest_rigid_tool(one.bend.bore_m, one.width_m, radius_m)
    assert one.longest_m == pytest.approx(longest, rel=1e-3)
