"""What lies close together: which sections one length holds, and the circle round them.

Closed forms by school geometry: two circles of which neither holds the other
need (D1 + D2)/2 + the distance of their centres. The oracle is a general
minimiser (scipy) that knows nothing of deciding discs.
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import minimize
from tests.checks.twins import IN, amend, choice_1, choice_2, job_1, job_2

from abreast.formulas.enclosing import Disc, enclosing_circle
from abreast.mechanics.fit import FitSection, fit
from abreast.mechanics.fit_along import fit_along, stretches, widest
from abreast.mechanics.outlines import Outline
from abreast.mechanics.passages import passages
from abreast.mechanics.section import Slice
from abreast.spaceout.assemble import assemble


def section(bottom_m, top_m, *discs):
    """A section of pieces named after their height and place."""
    shapes = tuple(
        Outline(f"{bottom_m:g}.{place}", "both", "", bottom_m, top_m, (Disc(*disc),))
        for place, disc in enumerate(discs)
    )
    cut = Slice(bottom_m, top_m, shapes)
    circle = enclosing_circle(cut.discs) if discs else None
    return FitSection(cut, circle, (), None, None, None)


def held(sections, length_m):
    return [[one.bottom_m for one in run.sections] for run in stretches(sections, length_m)]


LADDER = [section(k, k + 0.5, (0, 0, 1)) for k in range(4)]  # gaps of 0.5


# --- which sections ------------------------------------------------------------------------


def test_no_length_holds_each_by_itself():
    assert held(LADDER, 0.0) == [[0], [1], [2], [3]]


def test_a_length_holds_what_it_can_touch_at_once():
    """From 0.5 to 1 is 0.5, from 0.5 to 2 is 1.5: only what is longer than the gap reaches over."""
    assert held(LADDER, 0.5) == [[0], [1], [2], [3]]
    assert held(LADDER, 0.501) == [[0, 1], [1, 2], [2, 3]]
    assert held(LADDER, 1.6) == [[0, 1, 2], [1, 2, 3]]
    assert held(LADDER, 9.0) == [[0, 1, 2, 3]]


def test_a_long_section_is_not_hidden_by_short_ones():
    rows = [section(0, 5, (0, 0, 1)), section(5, 5.1, (0, 0, 1)), section(5.1, 9, (0, 0, 1))]
    assert held(rows, 0.05) == [[0, 5], [5, 5.1]]
    assert held(rows, 0.11) == [[0, 5, 5.1]]


# --- the circle ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "diameter"),
    [
        ((0, 0, 2), (3, 0, 1), 6.0),  # (4 + 2)/2 + 3
        ((0, 0, 2), (0, 4, 2), 8.0),
        ((0, 0, 2), (0, 0, 1.5), 4.0),  # the same centre: the larger
        ((0, 0, 2), (0.4, 0.3, 1.5), 4.0),  # 0.5 off: just within
        ((0, 0, 2), (0.6, 0.8, 1.5), 4.5),  # 1.0 off: (4 + 3)/2 + 1
    ],
)
def test_two_sections_of_different_centres(first, second, diameter):
    rows = [section(0, 1, first), section(1.2, 2, second)]
    found = widest(rows, 0.3)
    assert found.diameter_m == pytest.approx(diameter, rel=1e-12)
    assert widest(rows, 0.1).diameter_m == pytest.approx(2 * max(first[2], second[2]))


def test_it_tells_what_decides_and_how_far_apart():
    rows = [section(0, 1, (0, 0, 2)), section(1.2, 2, (3, 0, 1), (0, 0, 0.5))]
    found = widest(rows, 0.3)
    assert [shape.name for shape in found.deciding] == ["0.0", "1.2.0"]
    assert found.facing_m == (1, 1.2)


def test_of_unknown_sizes_there_is_no_circle():
    found = widest([section(0, 1), section(1, 2)], 0.3)
    assert (found.diameter_m, found.deciding) == (0.0, ())


def test_against_a_general_minimiser():
    """Least R with every disc inside, by SLSQP of scipy on random stretches."""
    pick = random.Random(7)
    for _ in range(25):
        rows, at_m = [], 0.0
        for _ in range(pick.randint(2, 5)):
            discs = [
                (pick.uniform(-2, 2), pick.uniform(-2, 2), pick.uniform(0.1, 2))
                for _ in range(pick.randint(1, 3))
            ]
            rows.append(section(at_m, at_m + 0.1, *discs))
            at_m += 0.15
        every = np.array([disc for row in rows for disc in row.cut.discs])
        inside = {
            "type": "ineq",
            "fun": lambda v, d=every: v[2] - d[:, 2] - np.hypot(*(d[:, :2] - v[:2]).T),
        }
        start = [*every[:, :2].mean(axis=0), 9.0]
        best = minimize(lambda v: v[2], start, constraints=inside, options={"ftol": 1e-12})
        assert best.success
        assert widest(rows, 1.0).circle.radius_m == pytest.approx(best.fun, abs=1e-6)


# --- the invented jobs ---------------------------------------------------------------------


def close_1(job=None):
    job = job or job_1()
    found = fit(job, assemble(job, choice_1()))
    return {one.passage.name: one for one in fit_along(found) if one is not None}


def test_base_support_of_job_1_by_hand():
    """Base 8.44 in at 1.74 in; tail coupling 3.668 at 4.25, motor 5.40 at 0, 0.43 ft above it."""
    one = close_1()["9-5/8 in 47 lb/ft L80"]
    assert one.alone.diameter_m / IN == pytest.approx(8.45)
    assert one.meeting.diameter_m / IN == pytest.approx(4.22 + 1.834 + (4.25 - 1.74))
    assert [shape.name for shape in one.meeting.deciding] == ["P25 connection", "base support"]
    assert one.together.diameter_m / IN == pytest.approx(4.22 + 2.70 + 1.74)
    assert [shape.name for shape in one.together.deciding] == ["base support", "motor"]
    low_m, high_m = one.together.facing_m
    assert (high_m - low_m) / IN == pytest.approx(0.43 * 12)  # 3.83 less 3.40 ft


def test_a_rig_opening_holds_only_what_meets():
    one = close_1()["false rotary"]
    assert one.together.diameter_m == one.meeting.diameter_m


def test_nothing_of_job_2_needs_more_than_its_motor():
    job = job_2()
    found = fit(job, assemble(job, choice_2()))
    for one in filter(None, fit_along(found)):
        assert one.together.diameter_m * 1000 == pytest.approx(45.7 + 30.165 + 76.65)


def test_only_what_passes_a_bore_is_looked_at_in_it():
    """A liner from just above the nipple is passed by the tail alone: 2 x 2.25 in its guide."""
    job = job_1()
    nipple_m = 5847 * 0.3048
    casings = tuple(
        amend(one, top_md_m=nipple_m - 1.0) if one.name.startswith("7 in") else one
        for one in job.casing
    )
    one = close_1(job.model_copy(update={"casing": casings}))["7 in 29 lb/ft L80 liner"]
    assert one.together.diameter_m / IN == pytest.approx(4.50)


# --- the straight length -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("od_in", "mandrel_in"),
    [(7.0, 6), (8.625, 6), (9.625, 12), (13.375, 12), (None, 12), (30.0, 12)],
)
def test_the_drift_mandrel_of_a_casing(od_in, mandrel_in):
    """API Spec 5CT: 6 in under 9-5/8 in, 12 in from there up; with no size the longer."""
    job = job_1()
    od_m = None if od_in is None else od_in * IN
    rows = [amend(one, od_m=od_m) if one.name.startswith("9-5/8") else one for one in job.casing]
    ways = passages(job.model_copy(update={"casing": tuple(rows)}), None)
    way = next(one for one in ways if one.name.startswith("9-5/8"))
    assert way.straight_m / IN == pytest.approx(mandrel_in)


def test_a_narrow_place_counts_as_long_as_it_is():
    ways = {one.name: one for one in passages(job_1(), None)}
    assert ways["tubing-head seal bore"].straight_m == pytest.approx(0.8 * 0.3048)
    assert ways["stage collar"].straight_m == pytest.approx(12 * IN)  # 2.5 ft long
    assert ways["false rotary"].straight_m == 0.0
    bare = tuple(amend(one, length_m=None) for one in job_1().openings)
    ways = {one.name: one for one in passages(job_1().model_copy(update={"openings": bare}), None)}
    assert ways["tubing-head seal bore"].straight_m == pytest.approx(12 * IN)


def test_what_lean_and_bending_give_over_a_mandrel_is_about_the_margin():
    """Base support at the drift: room over length, and a cantilever at the moment it may bear.

    Over 12 in 0.048 in, over 3 ft ten times as much: so parts metres apart are not taken as one.
    """
    base = job_1().base
    room_in, length_in = 8.525 - base.max_od_m.si / IN, base.length_m.si / IN
    curve = base.moment_nm.si / base.ei_nm2.si * IN

    def given_in(apart_in):
        return room_in / length_in * apart_in + curve * apart_in**2 / 2

    assert given_in(12) == pytest.approx(0.048, abs=1e-3)
    assert given_in(0.43 * 12) == pytest.approx(0.015, abs=1e-3)
    assert given_in(36) > 5 * given_in(12)
    assert given_in(0.43 * 12) < (8.660 - 8.525) / 5  # no help for base support and motor
