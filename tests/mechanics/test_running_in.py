"""What a run down a hole must keep to, held on a coarse run of the invented top-hung job."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import groupby, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import choice_2, job_1, job_2, with_section

from abreast.errors import MissingInputError
from abreast.mechanics.processes import processes
from abreast.mechanics.running_in import NarrowTrial, RunIn, bands, run_in, union_states
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place, sweep
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble

STEP_M = 310.0  # an even number of depths: every other one leaves the last out
WAYS = {"down": "down", "up": "up", "still": "hung"}


@pytest.fixture(scope="module")
def told():
    """A run, and what it told of its progress."""
    job, said = job_2(), []
    found = run_in(
        job,
        assemble(job, choice_2()),
        step_m=STEP_M,
        progress=lambda *one: said.append(one),
    )
    return found, said


@pytest.fixture(scope="module")
def run(told) -> RunIn:
    return told[0]


def depths(places) -> list[float]:
    return sorted({one.md_m for one in places})


# --- places --------------------------------------------------------------------------------


def test_every_depth_has_every_roll_once(run):
    for group in (run.down, run.up, run.hung, *(one.places for one in run.narrow)):
        for _, here in groupby(group, key=lambda one: one.md_m):
            assert [one.roll_rad for one in here] == list(ROLLS_RAD)


def test_depths_are_in_order_and_the_whole_string_is_in_the_well(run):
    """Casing from 0 to 2,720 m; 20 m of tubing and the Y-tool above, the entry guide below."""
    for group in (run.down, run.up, run.hung):
        assert [one.md_m for one in group] == sorted(one.md_m for one in group)
        assert all(one.md_m >= 20.0 for one in group)
        assert all(one.md_m + run.length_m <= 2720.0 for one in group)
    assert run.planned_md_m == pytest.approx(2150.0)
    assert depths(run.down)[-1] == pytest.approx(2150.0)
    assert depths(run.up)[-1] == pytest.approx(2150.0)
    # 20 m of what is above the Y-tool and its 1.16 m less the 0.16 m its legs differ by.
    assert depths(run.down)[0] < 25.0


def test_it_hangs_at_the_planned_depth_and_a_joint_to_either_side(run):
    joint_m = next(one.joint_m.si for one in job_2().upper if one.joint_m.is_given)
    assert depths(run.hung) == pytest.approx([2150 - joint_m, 2150, 2150 + joint_m])


def test_no_step_is_longer_than_asked_and_the_worst_has_near_neighbours(run):
    looked = depths(run.down)
    gap_m = run.step_m
    assert gap_m <= STEP_M
    even = [looked[0] + gap_m * k for k in range(round((looked[-1] - looked[0]) / gap_m) + 1)]
    nearest = [min(looked, key=lambda md, at=at: abs(md - at)) for at in even]
    assert even[-1] == pytest.approx(2150.0)
    assert nearest == pytest.approx(even)  # none of the even steps is left out
    gaps_m = [below - above for above, below in pairwise(looked)]
    assert max(gaps_m) <= gap_m * (1 + 1e-9)
    for measure in (lambda one: one.side_n, lambda one: one.stress_pa):
        at = looked.index(max(run.down, key=measure).md_m)
        around = gaps_m[max(at - 1, 0) : at + 1]
        assert max(around) < 0.5 * gap_m


def test_picking_up_is_looked_at_at_every_other_depth_and_where_it_is_to_hang(run):
    """Of the even steps; the last of them is asked for although it is an odd one."""
    looked, below = depths(run.up), depths(run.down)
    assert set(looked) < set(below)
    even = [below[0] + run.step_m * k for k in range(round((2150 - below[0]) / run.step_m) + 1)]
    assert len(even) % 2 == 0
    for at_m in (*even[::2], even[-1]):
        assert min(abs(md - at_m) for md in looked) < 1e-6


def test_bands_run_from_the_best_roll_to_the_worst(run):
    for places in (run.down, run.up, run.hung):
        found = bands(places, lambda one: one.side_n)
        assert [one.md_m for one in found] == depths(places)
        for band in found:
            values = [one.side_n for one in places if one.md_m == band.md_m]
            assert not band.faults
            assert (band.low, band.high) == (min(values), max(values))
            assert [value for _, value in band.points] == sorted(values)


def test_what_has_no_value_is_in_no_band_and_no_fault(run):
    found = bands(run.down, lambda one: None if one.roll_rad else one.moment_nm)
    assert all(len(one.points) == 1 and not one.faults for one in found)


@settings(max_examples=30, deadline=None)
@given(st.sets(st.integers(0, 7), min_size=1, max_size=8), st.data())
def test_faults_stand_apart_from_values(run, lost, data):
    here = [one for one in run.down if one.md_m == run.down[0].md_m]
    state = st.sampled_from(["buckled", "does not fit", "not found"])
    spoiled = [
        Place(one.md_m, one.roll_rad, data.draw(state)) if number in lost else one
        for number, one in enumerate(here)
    ]
    [band] = bands(spoiled, lambda one: one.side_n)
    assert {one.roll_rad for one in band.faults} == {ROLLS_RAD[k] for k in lost}
    assert len(band.points) == 8 - len(lost)
    assert all(place.found for place, _ in band.points)


def test_leaning_places_have_values(run):
    here = [one for one in run.down if one.md_m == run.down[0].md_m]
    [band] = bands([replace(one, state="leans") for one in here], lambda one: one.side_n)
    assert len(band.points) == 8 and not band.faults


# --- physics -------------------------------------------------------------------------------


def test_friction_slackens_what_goes_down_and_tightens_what_comes_up(run):
    """Same depth and roll: drag takes from the pull at the top, or adds to it."""
    down = {(one.md_m, one.roll_rad): one for one in run.down}
    for one in run.up:
        assert one.top_n > down[one.md_m, one.roll_rad].top_n
        # The job's friction factor; what the tubing above drags is its own.
        assert 0.4 * 0.25 * one.side_n < one.drag_n <= 0.25 * one.side_n * (1 + 1e-9)


def test_the_wall_carries_what_weighs_across_it(run):
    """No less than the weight across the hole that the wall alone can hold, at any roll.

    At 48 degrees: all masses of the model but the 20 m of tubing, which hang from
    both of their ends, in brine, BF 1 - 1080/7850.
    """
    beam = run.beams["free"]
    weight_n = sum(
        one.weight_n_m * (one.bottom_m - one.top_m)
        for string in beam.twin.strings
        for one in string.segments
        if one.kind != "tubing"
    )
    across_n = weight_n * (1 - 1080 / 7850) * math.sin(math.radians(48))
    deep = [one for one in run.down if one.md_m > 1900]
    assert deep and min(one.side_n for one in deep) > across_n


def test_narrower_casing_is_no_easier(run):
    """From nominal towards the drift the strings are bent and wedged more, at each roll and depth.

    Half a per cent is left for what a shape does when it changes its contacts.
    """
    shares = [one.share for one in run.narrow]
    assert shares == sorted(shares) and shares[0] == 0.0 and shares[-1] < 1.0
    nominal = {(one.md_m, one.roll_rad): one.side_n for one in run.down}
    wider = nominal
    for trial in reversed(run.narrow):
        now = {(one.md_m, one.roll_rad): one.side_n for one in trial.places if one.found}
        assert now
        for key, side_n in now.items():
            assert side_n > wider[key] * 0.995, (trial.share, key)
        wider = now
    drift = {(one.md_m, one.roll_rad): one.side_n for one in run.narrow[0].places}
    assert any(side_n > 1.2 * nominal[key] for key, side_n in drift.items())


def test_narrower_casing_is_tried_where_something_is_worst(run):
    at_m = max(run.down, key=lambda one: one.side_n).md_m
    assert all(at_m in depths(one.places) for one in run.narrow)
    assert all(set(depths(one.places)) <= set(depths(run.down)) for one in run.narrow)


def test_a_trial_passes_only_with_a_shape_at_every_place(run):
    places = run.narrow[-1].places
    gone = Place(places[0].md_m, places[0].roll_rad, "buckled")
    assert NarrowTrial(0.5, places).all_pass
    assert not NarrowTrial(0.5, (gone, *places[1:])).all_pass
    assert NarrowTrial(0.5, (replace(places[0], state="leans"), *places[1:])).all_pass


# --- drag ----------------------------------------------------------------------------------


@pytest.mark.parametrize("way", WAYS)
def test_drag_is_that_of_the_worst_roll_and_straight_between_depths(run, way):
    found = bands(getattr(run, WAYS[way]), lambda one: one.drag_n)
    for band in found:
        assert run.drag_n(way, band.md_m) == pytest.approx(band.high)
    for above, below in pairwise(found):
        between = run.drag_n(way, above.md_m + 0.25 * (below.md_m - above.md_m))
        assert between == pytest.approx(0.75 * above.high + 0.25 * below.high)


def test_no_friction_factor_gives_no_drag(run):
    bare = replace(run, down=tuple(replace(one, drag_n=None) for one in run.down))
    assert bare.drag_n("down", 1000.0) is None
    assert bare.drag_n("up", 1000.0) is not None
    assert replace(run, down=()).drag_n("down", 1000.0) is None


def test_drag_is_not_known_beside_a_place_without_a_shape(run):
    """One roll of one depth is lost: there and next to it nothing is told, elsewhere all is."""
    looked = depths(run.down)
    at_m = looked[2]
    gone = tuple(
        Place(one.md_m, one.roll_rad, "buckled") if one.md_m == at_m and one.roll_deg == 90 else one
        for one in run.down
    )
    spoiled = replace(run, down=gone)
    for md_m in ((looked[1] + at_m) / 2, at_m, (at_m + looked[3]) / 2):
        assert spoiled.drag_n("down", md_m) is None
        assert run.drag_n("down", md_m) is not None
    for md_m in (looked[0], looked[1], looked[3], looked[-1]):
        assert spoiled.drag_n("down", md_m) == run.drag_n("down", md_m)
    assert spoiled.drag_n("up", at_m) == run.drag_n("up", at_m)


# --- union ---------------------------------------------------------------------------------


def declared(locked_from):
    return job_1().model_copy(
        update={"union": job_1().union.model_copy(update={"locked_from_md_m": locked_from})}
    )


def locked_from(md_m: float) -> Quantity:
    old = job_1().union.locked_from_md_m
    return replace(old, given=md_m, state="given", reason="", typed="")


@pytest.mark.parametrize(
    ("locked", "above", "below"),
    [
        (Quantity.not_measured(), ("free", "locked"), ("free", "locked")),
        (locked_from(0.0), ("locked",), ("locked",)),
        (locked_from(1000.0), ("free",), ("locked",)),
        (Quantity.not_applicable("nothing to lock"), ("free",), ("free",)),
    ],
)
def test_union_states_follow_what_the_job_declares(locked, above, below):
    job = declared(locked)
    assert union_states(job, 999.0) == above
    assert union_states(job, 1000.0) == below
    assert union_states(job, 2500.0) == below


def test_a_top_hung_union_is_never_locked(run):
    for locked in (Quantity.not_measured(), locked_from(0.0)):
        union = job_2().union.model_copy(update={"locked_from_md_m": locked})
        job = job_2().model_copy(update={"union": union})
        assert union_states(job, 5000.0) == ("free",)
    assert set(run.beams) == {"free"}
    assert {one.union for one in run.down} == {"free"}


# --- the work itself -----------------------------------------------------------------------


def test_progress_only_grows_and_ends_at_all(told):
    run, said = told
    kinds = [what for what, _ in groupby(said, key=lambda one: one[0])]
    assert kinds[:4] == ["lowering", "worst places", "picking up", "hanging"]
    assert "narrower casing" in kinds[4:]
    counted = 0
    for what, group in groupby(said, key=lambda one: (one[0], one[2])):
        steps = list(group)
        if what[0] in kinds[:4]:
            assert [done for _, done, _ in steps] == sorted({done for _, done, _ in steps})
            assert steps[-1][1] == steps[-1][2]
            counted += steps[-1][2]
        assert all(0 < done <= total for _, done, total in steps)
    assert counted == len(run.down) + len(run.up) + len(run.hung)


@pytest.mark.parametrize("after", ["", "lowering", "worst places", "picking up", "hanging"])
def test_stopped_it_is_not_whole_and_invents_nothing(run, after):
    """What is there is what the whole run has there; of what was to come there is nothing."""
    job, said, pressed = job_2(), [], []

    def stop():  # said once, and remembered
        if pressed or (after and after not in said):
            return False
        pressed.append(True)
        return True

    part = run_in(
        job,
        assemble(job, choice_2()),
        step_m=STEP_M,
        progress=lambda what, *_: said.append(what),
        stop=stop,
    )
    assert run.whole and not part.whole
    for way in ("down", "up", "hung"):
        known = {(one.md_m, one.roll_rad): one for one in getattr(run, way)}
        for one in getattr(part, way):
            whole = known[one.md_m, one.roll_rad]
            assert one.state == whole.state
            assert one.side_n == pytest.approx(whole.side_n, rel=1e-6)
    assert said[-1:] == ([after] if after else [])  # nothing is begun after it
    assert bool(part.down) == bool(after)
    assert bool(part.up) == (after in ("picking up", "hanging"))
    assert bool(part.hung) == (after == "hanging")
    assert not any(one.places for one in part.narrow)
    assert (part.planned_md_m, part.step_m) == (run.planned_md_m, run.step_m)


def test_processes_find_the_same(run):
    """Three depths of the run, in two processes, to the last digit."""
    some = [md + run.top_above_zero_m for md in depths(run.up)[1:4]]
    twin = run.beams["free"].twin
    alone = sweep(twin, run.hole, some, ROLLS_RAD[::4], way="up")
    with processes(2) as pool:
        assert sweep(twin, run.hole, some, ROLLS_RAD[::4], way="up", pool=pool) == alone
    known = {(round(one.md_m, 6), one.roll_rad): one for one in run.up}
    for one in alone:
        same = known[round(one.md_m - run.top_above_zero_m, 6), one.roll_rad]
        assert one.side_n == pytest.approx(same.side_n, rel=1e-6)
        assert one.moment_nm == pytest.approx(same.moment_nm, rel=1e-6)


def test_at_rest_is_what_hangs_there(run):
    found = run.at_rest(job_2(), 2150.0)
    hung = [one for one in run.hung if one.md_m == pytest.approx(2150.0)]
    assert [one.roll_rad for one in found] == [one.roll_rad for one in hung]
    assert {one.md_m for one in found} == {2150.0}
    for one, other in zip(found, hung, strict=True):
        assert one.side_n == pytest.approx(other.side_n, rel=1e-6)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (lambda job: with_section(job, "setting", ytool_top_md_m=2719.0), "a survey down to"),
        (lambda job: with_section(job, "setting", ytool_top_md_m=10.0), "planned depth"),
        (lambda job: with_section(job, "fluids", fluid_level_md_m=None), "fluid level"),
    ],
)
def test_what_a_run_lacks_is_asked_for(change, word):
    job = change(job_2())
    with pytest.raises(MissingInputError, match=word):
        run_in(job, assemble(job, choice_2()), step_m=STEP_M)
