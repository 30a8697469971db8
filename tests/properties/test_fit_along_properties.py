"""What holds for whatever lies close together: taking more as one never needs less room."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.mechanics.test_fit_along import section

from abreast.mechanics.fit_along import stretches, widest

PLACE, SIZE = st.floats(-3, 3), st.floats(0.01, 3)
DISCS = st.lists(st.tuples(PLACE, PLACE, SIZE), min_size=1, max_size=3)
LENGTH = st.floats(0, 3)
MANY = settings(deadline=None, max_examples=150)


@st.composite
def strings(draw, most=6):
    """Sections upwards, some meeting, some with a gap."""
    rows, at_m = [], 0.0
    for discs in draw(st.lists(DISCS, min_size=1, max_size=most)):
        at_m += draw(st.sampled_from((0.0, 0.0, 0.3, 1.0)))
        top_m = at_m + draw(st.sampled_from((0.05, 0.2, 2.0)))
        rows.append(section(at_m, top_m, *discs))
        at_m = top_m
    return rows


def turned(rows, angle_rad):
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    return [
        section(
            one.bottom_m,
            one.top_m,
            *((c * x - s * y, s * x + c * y, r) for x, y, r in one.cut.discs),
        )
        for one in rows
    ]


@MANY
@given(strings(), LENGTH)
def test_two_are_together_just_when_less_than_the_length_is_between_them(rows, length_m):
    runs = [{id(one) for one in run.sections} for run in stretches(rows, length_m)]
    for k, low in enumerate(rows):
        assert any(id(low) in run for run in runs)
        for high in rows[k + 1 :]:
            gap_m = high.bottom_m - low.top_m
            if abs(gap_m - length_m) > 1e-6:
                assert any({id(low), id(high)} <= run for run in runs) == (gap_m < length_m)
    assert not any(a < b for a in runs for b in runs)  # none is part of another


@MANY
@given(strings(), LENGTH)
def test_never_smaller_than_any_section_and_no_larger_than_all_as_one(rows, length_m):
    found = widest(rows, length_m).diameter_m
    assert found >= max(one.diameter_m for one in rows) - 1e-8
    assert found <= widest(rows, 1e6).diameter_m + 1e-8


@MANY
@given(strings())
def test_without_a_length_it_is_the_section_check(rows):
    alone = [run.diameter_m for run in stretches(rows, 0.0)]
    assert alone == pytest.approx([one.diameter_m for one in rows], abs=1e-12)


@MANY
@given(strings(), LENGTH, LENGTH)
def test_a_longer_length_never_needs_less(rows, one_m, other_m):
    less, more = (widest(rows, length_m).diameter_m for length_m in sorted((one_m, other_m)))
    assert more >= less - 1e-8


@MANY
@given(strings(), LENGTH, st.floats(-math.pi, math.pi))
def test_turning_the_string_changes_nothing(rows, length_m, angle_rad):
    assert widest(turned(rows, angle_rad), length_m).diameter_m == pytest.approx(
        widest(rows, length_m).diameter_m, abs=1e-8
    )


@MANY
@given(strings(), LENGTH)
def test_what_decides_lies_in_it_and_needs_the_same_circle(rows, length_m):
    found = widest(rows, length_m)
    shapes = {shape for one in found.sections for shape in one.shapes}
    assert found.deciding and shapes.issuperset(found.deciding)
    again = widest(
        [section(0, 1, *(disc for shape in found.deciding for disc in shape.discs))], 0.0
    )
    assert again.diameter_m == pytest.approx(found.diameter_m, abs=1e-8)
