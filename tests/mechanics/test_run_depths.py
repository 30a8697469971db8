"""Where a string is looked at on its way down."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.mechanics.run_depths import beside, even_depths, sharp_depths, turning_depths


def hole(*rows: tuple[float, float]):
    """A hole in one plane from depth [m] and inclination [deg]."""
    stations = [Station(md, math.radians(angle), 0.0) for md, angle in rows]
    return path_frame(positions(stations))


BEND = hole((0, 0), (500, 0), (509, 1.0), (1500, 1.0))


def test_a_short_bend_is_met_in_steps_of_half_its_length():
    found = sharp_depths(BEND, 30.0, 20.0, 1000.0, 20.0)
    assert found[0] >= 500 - 30 and found[-1] <= 509
    assert {round(b - a, 3) for a, b in pairwise(found)} == {5.0}


def test_a_bend_is_looked_at_as_closely_however_far_apart_the_rest_is():
    usual = sharp_depths(BEND, 30.0, 20.0, 1000.0, 20.0)
    assert sharp_depths(BEND, 30.0, 20.0, 1000.0, 100.0) == usual


def test_where_a_place_of_the_string_stands_at_a_station():
    """Places at 0 and 30 m of the string, stations at 500 and 509 m."""
    found = turning_depths(BEND, [0.0, 30.0], 20.0, 1000.0)
    assert found == [20.0, 470.0, 479.0, 500.0, 509.0, 1000.0]


def test_a_straight_hole_has_no_sharp_place():
    assert sharp_depths(hole((0, 10), (1000, 10)), 30.0, 20.0, 900.0, 20.0) == []


def test_ten_thousand_short_intervals_give_no_more_than_the_limit():
    crooked = hole(*((0.3 * k, 5 + (k % 2)) for k in range(4000)))
    assert 0 < len(sharp_depths(crooked, 30.0, 20.0, 1100.0, 20.0)) <= 150


def test_between_the_worst_and_its_neighbours():
    assert beside([0.0, 20.0, 40.0, 60.0], [20.0]) == [5.0, 10.0, 15.0, 25.0, 30.0, 35.0]
    assert beside([0.0, 20.0], [0.0, 20.0]) == [5.0, 10.0, 15.0]
    assert beside([7.0], [7.0]) == []


@given(
    first=st.floats(0, 100),
    length=st.floats(0, 5000),
    step=st.floats(1, 500),
)
def test_even_depths_begin_and_end_where_they_should(first, length, step):
    found = even_depths(first, first + length, step)
    assert found[0] == first
    assert found[-1] == pytest.approx(first + length)
    gaps = [b - a for a, b in pairwise(found)]
    assert all(gap <= max(step, length / 150) * (1 + 1e-9) for gap in gaps)
    assert len(found) <= 152
