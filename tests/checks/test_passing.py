"""The way down: a shape at every place or no pass; a real coarse run; what was never found."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.passing_runs import (
    ROLLS,
    answers,
    assembled,
    filled,
    lost,
    place,
    swapped,
)
from tests.checks.twins import job_1, job_2, with_section

from abreast.checks.passing_narrow import narrow_in_short
from abreast.errors import MissingInputError
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import NarrowTrial, run_in
from abreast.model import Quantity
from abreast.units import Dimension, show

STATES = ("does not fit", "buckled", "not found", "a later state")
PASSAGE = {"passage:lowering": "down", "passage:picking up": "up", "passage:hanging": "hung"}


@pytest.fixture(scope="module")
def coarse():
    return run_in(job_2(), assembled(2), step_m=300.0)


def test_a_real_run_is_answered_from_its_places(coarse):
    found = answers(coarse)
    every = (*coarse.down, *coarse.up, *coarse.hung)
    force = found["passage-side-force:whole string"]
    # Limits of the tables of job 2, in kN.
    limits_n = {"motor": 8e3, "Y-tool": 12e3, "entry guide": 3e3, "base": 4e3, "gauge": 4e3}
    limits_n |= dict.fromkeys(("U1 connection", "U2 connection"), 12e3)
    limits_n |= {"pup": 5e3, "adjustable union": 5e3} | {f"C{k} clamp": 6e3 for k in range(1, 5)}
    uses = [
        force_n / limits_n.get(name, 7e3)
        for one in every
        for name, force_n in one.walls_n.items()
        if name != "MLE"
    ]
    assert force.status == "ok" and force.utilisation == pytest.approx(max(uses))
    lean = max(every, key=lambda one: one.side_n)
    assert f"together are at most {show(lean.side_n, Dimension.FORCE, 'SI')}" in force.text
    assert f"roll {math.degrees(lean.roll_rad):.0f}°" in force.text
    drag = found["passage-drag:lowering"]
    friction = job_2().friction.cased_ratio.si
    share = max(one.drag_n / (one.top_n + friction * one.side_n) for one in coarse.down)
    assert drag.utilisation == pytest.approx(share)
    use = max(worst_bent(job_2(), one).use for one in every)
    moments = [one for name, one in found.items() if name.startswith("passage-moment")]
    assert max(one.utilisation for one in moments) == pytest.approx(use)
    assert all("by the rules" not in one.text for one in found.values())
    assert not any(name.startswith("passage-union") for name in found)  # top-hung


def test_every_way_is_asked(coarse):
    found = answers(coarse)
    for name, way in PASSAGE.items():
        places = getattr(coarse, way)
        assert found[name].status == "ok"
        assert f"all {len(places)} places" in found[name].text
        assert "(RT)" in found[name].text and "passage-narrow" in found[name].text


def test_a_string_that_does_not_fit_exceeds():
    run = filled(2)
    gone = lost(run, 1000.0, ROLLS[1], "does not fit", "motor")
    found = answers(swapped(run, "down", 5, gone))
    one = found["passage:lowering"]
    assert one.status == "exceeds"
    assert "Does not fit at 1 of 12 places, motor deepest in the wall" in one.text
    assert "Y-tool top at 1000 m (RT), roll 90°" in one.text and "motor" in one.action
    assert found["passage:picking up"].status == "ok"
    assert found["passage-moment:ESP joints"].status == "not checked"


@pytest.mark.parametrize(
    ("state", "said", "asked"),
    [
        ("buckled", "Buckles between its clamps", "in which the strings do not buckle"),
        ("not found", "No shape found", "a shape where the contact model found none"),
        ("a later state", "Found a later state", "an answer to 'a later state'"),
    ],
)
def test_a_place_without_a_shape_is_no_pass(state, said, asked):
    run = filled(2)
    for index in (4, 6, 10):
        old = run.up[index - 4] if index < 8 else run.down[index]
        run = swapped(run, "down", index, lost(run, old.md_m, run.down[index].roll_rad, state))
    one = answers(run)["passage:lowering"]
    assert one.status == "not checked"
    assert f"{said}" in one.text and "3 of 12 places" in one.text
    assert any(asked in need for need in one.needs)


def test_what_the_casing_alone_holds_has_numbers_and_is_near_a_limit():
    run = filled(2)
    held = replace(place(run, 1000.0, ROLLS[1], moment_nm=1800.0), state="leans")
    found = answers(swapped(run, "down", 5, held))
    way = found["passage:lowering"]
    assert way.status == "near limit" and "if the casing did not hold it" in way.text
    assert any("kicked once" in one for one in way.assumptions)
    one = found["passage-moment:ESP joints"]
    assert one.value == pytest.approx(1800.0) and one.status == "near limit"
    assert "roll 90° (held by the casing only)" in one.text
    assert any("kicked once" in other for other in one.assumptions)
    over = replace(held, joints_nm=dict.fromkeys(held.joints_nm, 2100.0))
    found = answers(swapped(run, "down", 5, over))
    assert found["passage-moment:ESP joints"].status == "exceeds"


def test_depths_without_a_shape_are_told_in_ranges():
    run = filled(1, "locked")
    gone = [
        lost(run, md_m, ROLLS[0], "buckled")
        for md_m in (304.8 * 1, 304.8 * 2, 304.8 * 4, 304.8 * 5, 304.8 * 7)
    ]
    fine = [place(run, 304.8 * k, ROLLS[0]) for k in (3, 6, 8)]
    one = answers(replace(run, down=(*gone, *fine)), 1)["passage:lowering"]
    assert "1000 to 2000 ft; 4000 to 5000 ft; 7000 ft (RKB), roll 0°, union locked" in one.text
    assert "lock it after" in one.action


def test_many_rolls_are_counted_by_depth():
    run = filled(2)
    rolls = [math.radians(45.0 * k) for k in range(8)]
    gone = [lost(run, 700.0, roll, "buckled") for roll in rolls]
    gone += [lost(run, 800.0, roll, "buckled") for roll in rolls[:2]]
    one = answers(replace(run, down=(*gone, place(run, 800.0, rolls[2]))))["passage:lowering"]
    assert "2 to 8 of 8 rolls at each" in one.text


def test_a_stopped_sweep_is_no_pass():
    run = replace(filled(2), whole=False, hung=())
    found = answers(run)
    assert found["passage:hanging"].needs == ("the sweep to its end: it was stopped",)
    assert {one.status for one in found.values()} == {"not checked"}


def test_what_the_run_lacks_is_asked_for_once_a_check():
    found = answers(MissingInputError(needs="survey"))
    assert {one.status for one in found.values()} == {"not checked"}
    assert {one.needs for one in found.values()} == {("survey",)}
    assert len(found) == 9  # top-hung: the union is not asked


def test_no_number_at_all_is_no_pass():
    run = filled(1, "locked")
    gone = tuple(lost(run, 500.0, roll, "buckled") for roll in ROLLS)
    trials = (NarrowTrial(0.0, gone),)
    found = answers(replace(run, down=gone, up=gone, hung=gone, narrow=trials), 1)
    assert {one.status for one in found.values()} == {"not checked"}


# --- narrower casing -----------------------------------------------------------------------


def narrow(*held, run=None, job=None):
    """The answer where the trials hold or not, from the drift up."""
    run = run or filled(2)
    fine = (place(run, 1000.0),)
    gone = (lost(run, 1000.0, 0.0, "buckled"),)
    trials = tuple(NarrowTrial(k / 4, fine if holds else gone) for k, holds in enumerate(held))
    return answers(replace(run, narrow=trials), job=job)["passage-narrow:worst depths"]


def test_it_holds_at_the_drift():
    one = narrow(True, True, True, True)
    assert one.status == "ok" and "holds at the drift" in one.text
    # 7 in 29 lb/ft: drift 6.059 in by API Spec 5CT.
    assert one.value == pytest.approx(0.15390, abs=1e-4)


def test_below_the_least_that_holds_it_is_not_checked():
    one = narrow(False, False, True, True)
    assert one.status == "not checked" and "caliper" in one.needs[0]
    assert "holds down to 50 % of the way" in one.text and "1 of 1 buckled" in one.text
    # A wider trial that fails leaves only what is wider still.
    assert "holds down to 75 %" in narrow(True, True, False, True).text
    assert "Nothing narrower" in narrow(True, True, True, False).text
    assert narrow(True, True, True, False).value is None


def test_narrower_casing_in_short_says_what_every_trial_found():
    """The weakest of job 2 is a joint of 2,000 N m, so that 2,200 N m are 110 % of its limit."""
    run = filled(2)
    gone = lost(run, 1000.0, 0.0, "does not fit")
    at_drift = NarrowTrial(0.0, (gone, gone, place(run, 1000.0, moment_nm=1000.0)))
    half = NarrowTrial(0.5, (place(run, 1000.0, moment_nm=2200.0),))
    told = narrow_in_short(job_2(), replace(run, narrow=(half, at_drift)))
    assert told == (
        "narrower casing, at its drift (153.9 mm): 2 of 3 places do not fit, 50 % of a moment"
        " limit; 50 % of the way to the bore (155.5 mm): 110 % of a moment limit"
    )
    assert narrow_in_short(job_2(), replace(run, narrow=())) == ""


def test_a_narrow_trial_over_a_limit_does_not_hold():
    run = filled(2)
    bent = NarrowTrial(0.0, (place(run, 1000.0, moment_nm=4000.0),))
    pressed = NarrowTrial(0.25, (place(run, 1000.0, guard_n=7000.0),))
    fine = NarrowTrial(0.5, (place(run, 1000.0),))
    text = answers(replace(run, narrow=(fine, pressed, bent)))["passage-narrow:worst depths"].text
    # The weakest of job 2 is a joint of 2,000 N m; its cable may bear 6 kN.
    assert "bent to 200 % of its limit" in text and "pressed by 7.00 kN" in text
    assert "holds down to 50 %" in text


def test_a_drift_without_limits_is_no_pass():
    job = with_section(job_2(), "mle", side_load_n=None)
    one = narrow(True, True, True, True, job=job)
    assert one.status == "not checked" and any("side load" in need for need in one.needs)


# --- never a pass --------------------------------------------------------------------------

JOB_1_LIMITS = (
    ("union", "moment_nm", "passage-moment:union and blocks"),
    ("ytool", "moment_nm", "passage-moment:union and blocks"),
    ("base", "moment_nm", "passage-moment:union and blocks"),
    ("pipe", "yield_pa", "passage-stress:bypass pipe"),
    ("mle", "side_load_n", "passage-cable:guard of the cable"),
    ("union", "rating_n", "passage-union:force"),
    ("rules", "grip_use_ratio", "passage-clamp-grip:C1"),
)


@pytest.mark.parametrize(("section", "field", "name"), JOB_1_LIMITS)
def test_a_missing_limit_is_no_pass(section, field, name):
    run = filled(1, "locked")
    assert name.startswith("passage-clamp") or answers(run, 1)[name].status == "ok"
    one = answers(run, 1, with_section(job_1(), section, **{field: None}))[name]
    assert one.status == "not checked" and one.needs
    assert one.limit is None or "moment" in name


def test_a_connection_of_its_own_moment_needs_none_of_the_pipe():
    """A thread states what it bears; one that does not has the moment of the pipe, or none."""
    job = with_section(job_1(), "pipe", moment_nm=None)
    run = filled(1, "locked")
    assert answers(run, 1, job)["passage-moment:bypass pieces"].status == "ok"
    bare = tuple(
        one.model_copy(update={"moment_nm": Quantity.not_measured()}) for one in job.threads
    )
    job = job.model_copy(update={"threads": bare})
    one = answers(run, 1, job)["passage-moment:bypass pieces"]
    assert one.status == "not checked" and one.needs


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["down", "up", "hung"]), st.integers(0, 3), st.sampled_from(STATES)
        ),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from([1, 2]),
    st.sampled_from([1.0, 50.0, 5e4]),
)
def test_nothing_passes_while_a_place_has_no_shape(faults, number, moment_nm):
    run = filled(number, "locked" if number == 1 else "free", moment_nm=moment_nm)
    for way, index, state in faults:
        old = getattr(run, way)[index]
        run = swapped(run, way, index, lost(run, old.md_m, old.roll_rad, state, "motor"))
    hit = {way for way, _, _ in faults}
    for name, one in answers(run, number).items():
        only = PASSAGE.get(name) or ("hung" if "where it hangs" in name else None)
        if only is None or only in hit:
            assert one.status in ("not checked", "exceeds"), name
            assert one.action
        if one.status == "exceeds" and name not in PASSAGE:
            assert one.value > one.limit


@settings(max_examples=15, deadline=None)
@given(st.permutations(range(12)))
def test_the_order_of_places_does_not_matter(order):
    run = filled(2)
    places = [
        place(
            run,
            one.md_m,
            one.roll_rad,
            side_n=1000.0 + k,
            moment_nm=100.0 + k,
            drag_n=1000.0 + k,
            guard_n=float(k),
            walls_n={"motor": 100.0 + k, "C1 clamp": 10.0 + k},
            grips_n={f"C{clamp}": 20.0 + k for clamp in range(1, 5)},
        )
        for k, one in enumerate(run.down)
    ]
    ordered, mixed = (
        answers(replace(run, down=tuple(group))) for group in (places, [places[k] for k in order])
    )
    assert ordered == mixed
