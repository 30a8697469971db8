"""Side force by part, and stress of tubing and tail: the limits of the job, and what is asked."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.passing_runs import ROLLS, answers, bare_run, filled, place, swapped
from tests.checks.twins import amend, job_1, job_2, with_row, with_section

from abreast.checks.part_limits import pipe_yields, side_limits
from abreast.mechanics.cable import CABLE_ID
from abreast.model import Quantity
from abreast.standards import grade

SIDE = "passage-side-force:whole string"
OTHERS = "passage-stress:tubing and tail"
JOBS = {1: job_1, 2: job_2}


def leaning(number=2, **walls_n):
    """A run with one place where these parts lean on the casing."""
    run = filled(number, "free", walls_n={})
    names = {name.replace("_", " "): force_n for name, force_n in walls_n.items()}
    more = place(run, 1000.0, ROLLS[2], walls_n=names, side_n=9000.0)
    return swapped(run, "down", 6, more)


# --- side force ----------------------------------------------------------------------------


@pytest.mark.parametrize("number", [1, 2])
def test_every_part_that_may_touch_has_a_field_for_its_limit(number):
    """A part without one could never be cleared; the cable is asked by passage-cable."""
    twin = bare_run(number).beams["free"].twin
    names = {disc.name for string in twin.strings for disc in string.discs} - {CABLE_ID}
    assert names <= side_limits(JOBS[number]()).keys()
    assert len(names) > 30


@pytest.mark.parametrize(
    ("force_n", "status"), [(5000.0, "ok"), (7300.0, "near limit"), (8100.0, "exceeds")]
)
def test_the_part_nearest_to_what_it_bears_is_told_beside_the_sum(force_n, status):
    """Motor 8 kN, entry guide 3 kN, Y-tool 12 kN: the tables of job 2."""
    found = answers(leaning(motor=force_n, entry_guide=1500.0, **{"Y-tool": 7400.0}))[SIDE]
    assert found.status == status and found.utilisation == pytest.approx(force_n / 8e3)
    assert found.limit == pytest.approx(8e3) and found.basis == "limit: invented"
    assert f"bear is motor: {force_n / 1e3:.2f} kN at one place, limit 8.00 kN" in found.text
    assert "Y-tool top at 1000 m (RT), roll 180°" in found.text
    assert f"between 0.00 kN at the best and {force_n / 1e3:.2f} kN" in found.text
    assert "All side forces together are at most 9.00 kN" in found.text
    assert "Touching there: motor, entry guide, Y-tool" in found.text
    assert bool(found.action) == (status != "ok")


def test_the_best_roll_is_that_of_the_same_depth():
    """At 500 and 1500 m the motor is free; at 1000 m it leans at every roll."""
    run = filled(2, "free", walls_n={})
    for index, roll in zip(range(4, 8), ROLLS, strict=True):
        lean = place(run, 1000.0, roll, walls_n={"motor": 300.0 + 100.0 * index})
        run = swapped(run, "down", index, lean)
    text = answers(run)[SIDE].text
    assert "between 0.70 kN at the best and 1.00 kN at the worst roll" in text


def test_a_weak_part_counts_before_a_stronger_push():
    found = answers(leaning(motor=4000.0, entry_guide=2000.0))[SIDE]
    assert found.value == pytest.approx(2000.0) and "entry guide" in found.text.split(";")[0]


def test_parts_without_a_limit_are_asked_by_table_and_field():
    job = with_row(job_2(), "esp", "pump-1", side_load_n=None)
    job = with_row(
        with_row(job, "esp", "motor", side_load_n=None), "clamps", "C2", side_load_n=None
    )
    job = with_section(job, "ytool", side_load_n=None)
    walls_n = {"pump-1": 100.0, "pump-1 neck": 50.0, "C2 clamp": 900.0, "Y-tool": 5.0}
    found = answers(leaning(motor=700.0, entry_guide=1500.0, **walls_n), job=job)[SIDE]
    assert found.status == "not checked" and found.limit == pytest.approx(3e3)
    assert found.needs == (
        "side force of C2 (column side_load of table clamps)",
        "side force of Y-tool (side_load of section ytool)",
        "side force of motor, pump-1 (column side_load of table esp)",
    )
    assert "Of parts without a limit most is on C2 clamp: 0.90 kN" in found.text
    over = answers(leaning(motor=700.0, entry_guide=3100.0), job=job)[SIDE]
    assert over.status == "exceeds"


def test_with_no_limit_at_all_the_sum_is_told_and_the_limit_asked():
    job = with_row(job_2(), "esp", "motor", side_load_n=None)
    found = answers(leaning(motor=700.0), job=job)[SIDE]
    assert found.status == "not checked" and found.limit is None
    assert found.value == pytest.approx(9000.0) and found.action
    assert found.needs == ("side force of motor (column side_load of table esp)",)


def test_a_part_of_no_limit_is_told_and_not_asked():
    none = Quantity.not_applicable("solid block")
    job = with_section(job_2(), "ytool", side_load_n=none)
    found = answers(leaning(**{"Y-tool": 5e4}), job=job)[SIDE]
    assert found.status == "ok" and found.limit is None and "(n/a): Y-tool" in found.assumptions[1]
    found = answers(leaning(motor=8100.0, **{"Y-tool": 5e4}), job=job)[SIDE]
    assert found.status == "exceeds" and "Y-tool" in found.assumptions[1]


def test_the_cable_has_a_question_of_its_own():
    found = answers(leaning(motor=100.0, **{CABLE_ID: 1e5}))[SIDE]
    assert found.status == "ok" and found.value == pytest.approx(100.0)


def test_a_rack_piece_bears_what_the_pipe_does_unless_it_says_or_is_otherwise():
    """7 kN for the pipe of job 2."""
    job = job_2()
    assert side_limits(job)["Q07 connection"].value.si == pytest.approx(7e3)
    own = with_row(job, "rack", "Q07", side_load_n=2e3)
    assert side_limits(own)["Q07"].value.si == pytest.approx(2e3)
    other = side_limits(with_row(job, "rack", "Q07", body_od_m=0.0603))["Q07"]
    assert not other.value.is_given and other.field == "column side_load of table rack"
    bare = with_section(job, "pipe", side_load_n=None)
    found = answers(leaning(Q07=50.0, **{"K01 connection": 30.0}), job=bare)[SIDE]
    assert found.needs == ("side force of bypass pipe (side_load of section pipe)",)


def test_of_two_parts_with_one_name_the_stricter_counts():
    job = job_2()
    for limit, counted in ((20e3, 8e3), (1e3, 1e3), (None, None)):
        twin = amend(job.upper[0], id="motor", side_load_n=limit)
        both = job.model_copy(update={"upper": (twin, *job.upper[1:])})
        assert side_limits(both)["motor"].value.known == counted


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["motor", "Y-tool", "C1 clamp", "Q07", "entry guide", "U2 connection"]),
        st.floats(0, 2e4),
        min_size=1,
    ),
    st.sets(st.sampled_from(["esp", "clamps", "ytool", "guide"])),
)
def test_a_part_that_touches_never_passes_without_its_limit(walls_n, open_in):
    job = job_2()
    names = {"esp": "motor", "clamps": "C1 clamp", "ytool": "Y-tool", "guide": "entry guide"}
    for where in open_in:
        if where in ("esp", "clamps"):
            job = with_row(job, where, names[where].removesuffix(" clamp"), side_load_n=None)
        else:
            job = with_section(job, where, side_load_n=None)
    found = answers(leaning(**walls_n), job=job)[SIDE]
    limits = side_limits(job)
    over = any(
        force_n > (limits[n].value.known or math.inf) * (1 + 1e-6) for n, force_n in walls_n.items()
    )
    lacking = any(names[where] in walls_n for where in open_in)
    if lacking or over:
        assert found.status == ("exceeds" if over else "not checked")
    else:
        assert found.status in ("ok", "near limit") or found.utilisation == pytest.approx(1.0)


# --- yield ---------------------------------------------------------------------------------


@pytest.mark.parametrize("number", [1, 2])
def test_tubing_and_tail_of_the_jobs_yield_as_l80(number):
    """API Spec 5CT: grade L80 yields at 80,000 psi."""
    found = answers(filled(number), number)[OTHERS]
    assert found.status == "ok" and found.limit == pytest.approx(grade("L80").yield_pa, rel=2e-3)


def test_pieces_without_a_yield_are_named_and_the_others_judged():
    job = with_row(job_1(), "upper", "U3", yield_pa=None)
    job = with_row(with_row(job, "tail", "nipple", yield_pa=None), "upper", "U2", yield_pa=None)
    found = answers(filled(1), 1, job)[OTHERS]
    assert found.status == "not checked" and found.limit == pytest.approx(551.6e6, rel=1e-3)
    assert found.needs == (
        "yield strength of U3, U2 (column yield of table upper)",
        "yield strength of nipple (column yield of table bypass)",
    )
    assert "nearest to its limit in" in found.text
    for name in ("U3", "U2", "nipple"):
        assert f"limit in {name}" not in found.text
    weak = with_row(job, "tail", "tail guide", yield_pa=1e3)
    over = answers(filled(1), 1, weak)[OTHERS]
    assert over.status == "exceeds" and "nearest to its limit in tail guide" in over.text


def test_with_no_yield_the_greatest_stress_is_told():
    job = with_section(job_2(), "guide", yield_pa=None)
    for name in ("U1", "U2", "U3"):
        job = with_row(job, "upper", name, yield_pa=None)
    found = answers(filled(2), job=job)[OTHERS]
    assert found.status == "not checked" and found.value > 0 and found.limit is None
    assert "yield strength of U3, U2, U1 (column yield of table upper)" in found.needs
    assert "yield strength of entry guide (yield of section guide)" in found.needs


def test_a_rack_piece_of_its_own_size_has_its_own_yield():
    """A pup of thicker body on the rack: not of the pipe, so its own steel counts."""
    job = with_row(job_2(), "rack", "Q07", body_od_m=0.0603)
    assert not pipe_yields(job)["Q07"].value.is_given
    found = answers(filled(2), job=job)[OTHERS]
    assert found.needs == ("yield strength of Q07 (column yield of table rack)",)
    weak = answers(filled(2), job=with_row(job, "rack", "Q07", yield_pa=1e3))[OTHERS]
    assert weak.status == "exceeds" and "Q07" in weak.text
    none = answers(filled(2), job=with_row(job, "rack", "Q07", yield_pa=0.0))[OTHERS]
    assert none.status == "exceeds"
    # And one of the pipe that is of weaker steel.
    soft = with_row(job_2(), "rack", "Q07", yield_pa=1e3)
    found = answers(filled(2), job=soft)["passage-stress:bypass pipe"]
    assert found.status == "exceeds" and "nearest to its limit in Q07" in found.text
