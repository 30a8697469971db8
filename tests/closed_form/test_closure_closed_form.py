"""The closure and its error in closed form, and the identity between search and raw lengths."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import FT, IN, choice_1, choice_2, found, job_1, job_2, with_section

from abreast.checks import face_difference_m, raw_closure
from abreast.spaceout.assemble import assemble
from abreast.spaceout.budget import closure_budget, measured_esp_lengths, reserve_m


def test_closure_of_job_1_by_hand():
    """Invented scenario, feet: 108.05 + 0.62 - (3.10 - 0.90 - 0.25) = 106.72 to fill;
    30.73 + 11.78 + 19.82 + 19.79 + 11.83 + 9.77 = 103.72 of pipe leave 3.00: mid-stroke."""
    job, choice = job_1(), choice_1()
    raw = raw_closure(job, assemble(job, choice), choice)
    assert raw.gap_m / FT == pytest.approx(106.72, abs=1e-9)
    assert raw.bypass_m / FT == pytest.approx(103.72, abs=1e-9)
    assert raw.union_m / FT == pytest.approx(3.00, abs=1e-9)
    assert face_difference_m(job, assemble(job, choice), choice) / FT == pytest.approx(2.38)


def test_closure_of_job_2_by_hand():
    """Metres: 27.55 + 0.16 + 1.65 - 0.32 = 29.04; five pieces 28.493 overall less 5 x 0.062."""
    job, choice = job_2(), choice_2()
    raw = raw_closure(job, assemble(job, choice), choice)
    assert raw.gap_m == pytest.approx(29.04)
    assert raw.bypass_m == pytest.approx(28.493 - 5 * 0.062)
    assert raw.union_m == pytest.approx(0.857)


def test_likely_error_of_job_1_is_a_third_of_an_inch():
    """Nine ESP lengths of 0.06 in, six joints of 0.05 in, 0.25 in common: printed +-0.33 in.
    The intake is joined to its pump in the workshop, so ten pieces make nine lengths."""
    job = job_1()
    assert measured_esp_lengths(job) == 9
    error = closure_budget(job, 6)
    by_hand = math.sqrt(9 * 0.06**2 + 6 * 0.05**2 + 0.25**2)
    assert by_hand == pytest.approx(0.33, abs=0.005)
    assert error.quadrature_m / IN == pytest.approx(by_hand)
    assert error.worst_m / IN == pytest.approx(9 * 0.06 + 6 * 0.05 + 0.25)
    assert reserve_m(job, 6) == pytest.approx(3 * error.quadrature_m)


def test_sun_and_shade_over_the_string():
    """20 degF over 105 ft: 0.17 in printed; over this job's 108.05 ft 6.9e-6 x 20 x 1,296.6."""
    reference = job_1().rules.tape_reference_k.si
    job = with_section(job_1(), "rules", tape_k=reference + 20 / 1.8)
    finding = found(job, choice_1())["closure-error:tape temperature"]
    assert finding.value / IN == pytest.approx(6.9e-6 * 20 * 108.05 * 12, rel=1e-6)
    assert finding.value / IN * 105 / 108.05 == pytest.approx(0.17, abs=0.005)


@settings(max_examples=50, deadline=None)
@given(
    st.permutations(choice_1().items),
    st.integers(1, 6),
    st.floats(0.0, 0.5 * FT),
)
def test_gap_is_base_to_leg_for_every_order_and_number(items, count, seat_m):
    """u + sum(effective) + z0 = leg face, whatever is run and in which order."""
    job = job_1()
    choice = choice_1(items=tuple(items[:count]), lifts=None, seat_m=seat_m)
    assembly = assemble(job, choice)
    raw = raw_closure(job, assembly, choice)
    assert raw.base_m + raw.bypass_m + raw.union_m == pytest.approx(assembly.bypass_leg_m)
    assert raw.base_m + raw.bypass_m == pytest.approx(assembly.union.bottom_m)


@settings(max_examples=40, deadline=None)
@given(st.floats(-0.05, 0.05))
def test_a_union_set_wrong_by_so_much_is_found_wrong_by_so_much(wrong_m):
    choice = choice_1(union_m=3.00 * FT + wrong_m)
    finding = found(job_1(), choice)["closure"]
    assert finding.value == pytest.approx(abs(wrong_m), abs=1e-9)
    assert (finding.status == "exceeds") == (abs(wrong_m) > finding.limit * (1 + 1e-9))


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 30), st.integers(0, 30))
def test_each_further_piece_widens_the_reserve(items, more):
    job = job_1()
    near, far = closure_budget(job, items), closure_budget(job, items + more)
    assert far.quadrature_m >= near.quadrature_m
    assert far.worst_m - near.worst_m == pytest.approx(more * 0.05 * IN)
    assert near.quadrature_m <= near.worst_m
