"""The drift dummy of both invented jobs, what it proves, and what it asks for."""

from __future__ import annotations

import math

import pytest
from tests.checks.twins import FT, IN, choice_1, choice_2, job_1, job_2, with_row, with_section

from abreast.errors import InputError, MissingInputError
from abreast.mechanics.dummy_for import dummy_for, dummy_words
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble


def dummy(job, choice, *args):
    return dummy_for(job, assemble(job, choice), *args)


def test_quernstone():
    """By hand: 3.07 + 0.3 deg/100 ft; kappa L^2/8 of 27.42 ft 0.664 in, room 8.525 - 8.420 in,
    so 0.559 in to bend. 0.105 in is below a third of 0.664: the motor lies on the bend,
    2 EI kappa/sqrt(6c/kappa) with the sum of both EI."""
    found = dummy(job_1(), choice_1())
    assert found.name == "motor"
    assert [md / FT for md in found.curve.at_md_m] == pytest.approx([4300, 4330])
    assert found.drift_m == pytest.approx(8.525 * IN)
    motor = next(one for one in job_1().esp if one.id == "motor")
    both_nm2 = motor.ei_nm2.si + job_1().pipe.ei_nm2.si
    assert found.real.ei_nm2 == pytest.approx(both_nm2)
    sagitta_in = found.curve.rad_m * (27.42 * FT) ** 2 / 8 / IN
    assert sagitta_in == pytest.approx(0.664, abs=0.002)
    assert found.must_bend_m / IN == pytest.approx(0.559, abs=0.003)
    clear_m, bend = found.drift_m - found.real.od_m, found.curve.rad_m
    force_n = 2 * found.real.ei_nm2 * bend / math.sqrt(6 * clear_m / bend)
    assert found.proof.real_n == pytest.approx(force_n)
    bar_nm2 = 2.07e11 * math.pi / 64 * found.bar_m**4
    assert bar_nm2 == pytest.approx(found.dummy.ei_nm2)


@pytest.mark.parametrize(("job", "choice"), [(job_1(), choice_1()), (job_2(), choice_2())])
def test_the_gauge_is_as_wide_as_the_string_and_lies_unbent(job, choice):
    """Chord of the outer wall over the inner one: 2 sqrt((D - d)(2R + d)), plane geometry."""
    found = dummy(job, choice)
    gauge, radius_m = found.gauge, 1 / found.curve.rad_m
    longest_m = 2 * math.sqrt((found.drift_m - gauge.od_m) * (2 * radius_m + gauge.od_m))
    assert gauge.longest_m == pytest.approx(longest_m)
    assert gauge.of == "Y-tool"
    assert gauge.length_m == pytest.approx(job.ytool.length_m.si)
    assert gauge.od_m >= found.real.od_m
    words = " ".join(dummy_words(job, found))
    assert "passes that bend unbent" in words
    assert "would stick" in words


def test_a_dummy_of_its_own_size_proves_all_but_the_cable():
    proof = dummy(job_2(), choice_2()).proof
    assert len(proof.proves) == 3
    assert len(proof.does_not_prove) == 1
    assert proof.dummy_n == pytest.approx(proof.real_n)


def test_a_dummy_at_hand_is_made_to_push_as_hard():
    found = dummy(job_1(), choice_1(), 6.0, 8.40 * IN)
    assert (found.dummy.length_m, found.dummy.od_m) == (6.0, 8.40 * IN)
    assert found.proof.dummy_n == pytest.approx(found.proof.real_n)
    assert any("thinner" in line for line in found.proof.does_not_prove)
    with pytest.raises(InputError, match="pushes nowhere"):
        dummy(job_1(), choice_1(), 1.0, 8.40 * IN)


def test_a_straight_hole_asks_no_bending():
    flat = tuple(
        one.model_copy(update={"inclination_rad": Quantity.of(0.0)}) for one in job_1().survey
    )
    job = job_1().model_copy(update={"survey": flat})
    job = with_section(job, "survey_head", tortuosity_rad_m=1e-5)
    found = dummy(job, choice_1())
    assert found.must_bend_m < 0 and found.proof.real_n == 0
    assert "lies unbent" in " ".join(dummy_words(job, found))
    none = with_section(job, "survey_head", tortuosity_rad_m=0.0)
    with pytest.raises(MissingInputError, match="survey with a bend"):
        dummy(none, choice_1())


def test_what_the_survey_does_not_see_is_said():
    job = with_section(job_1(), "survey_head", tortuosity_rad_m=None)
    assert "Not checked: needs tortuosity" in dummy_words(job, dummy(job, choice_1()))[0]


@pytest.mark.parametrize(
    ("job", "needs"),
    [
        (job_1().model_copy(update={"survey": ()}), "survey of two stations"),
        (job_1().model_copy(update={"casing": ()}), "table of casing"),
        (with_section(job_1(), "ytool", max_od_m=8.6 * IN), "narrower than the smallest drift"),
        (with_row(job_1(), "esp", "motor", ei_nm2=None, bore_m=None, wall_m=None), "EI|ei|bore"),
        (with_section(job_1(), "setting", ytool_top_md_m=None), "ytool top md|depth"),
    ],
)
def test_what_is_missing_is_asked_for(job, needs):
    with pytest.raises(MissingInputError, match=needs):
        dummy(job, choice_1())
