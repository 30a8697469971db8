"""The straight body between two walls: a linear program as oracle, and what holds for any way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from abreast.mechanics.channel import Stretch, least_width, longest_through
from abreast.mechanics.channel import walls_of as walls_to

ONES = st.builds(
    Stretch,
    st.floats(0.3, 4.0),
    st.floats(0.05, 0.09),
    st.just(0.0) | st.floats(-0.03, 0.03),
    st.just(0.0) | st.floats(0.0, 6e-3),
)
WAYS = st.lists(ONES, min_size=1, max_size=5)
BENDS = st.just(0.0) | st.floats(-4e-3, 4e-3)
SHARES = st.floats(0.05, 0.95)


def walls_of(way, bend):
    """All stretches curved by the same amount on top of their own."""
    return walls_to([replace(one, bend_rad_m=one.bend_rad_m + bend) for one in way])


def whole(way):
    return sum(one.length_m for one in way)


def widest_by_program(way, bend, start_m, length_m):
    """Largest d with axis - w/2 + d/2 <= a + b x <= axis + w/2 - d/2 at every sample."""
    rows, limits, top_m, shift_m, slope = [], [], 0.0, 0.0, 0.0
    for one in way:
        low, high = max(start_m, top_m), min(start_m + length_m, top_m + one.length_m)
        if high >= low:
            x = np.linspace(low, high, 150)
            t = (x - top_m) / one.length_m
            arcs = np.where(t < 0.5, 2 * t**2, 1 - 2 * (1 - t) ** 2)
            run, curve = x - top_m, one.bend_rad_m + bend
            axis = shift_m + one.offset_m * arcs + slope * run + curve * run**2 / 2
            ones = np.ones_like(x)
            rows += [np.c_[ones, x - start_m, ones / 2], np.c_[-ones, start_m - x, ones / 2]]
            limits += [axis + one.width_m / 2, one.width_m / 2 - axis]
        curve = one.bend_rad_m + bend
        shift_m += one.offset_m + slope * one.length_m + curve * one.length_m**2 / 2
        slope += curve * one.length_m
        top_m += one.length_m
    # In millimetres, so that the solver's tolerance is far below what is compared.
    a, b = np.vstack(rows), np.concatenate(limits) * 1e3
    return linprog([0, 0, -1], A_ub=a, b_ub=b, bounds=[(None, None)] * 3).x[2] / 1e3


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, SHARES, st.lists(st.floats(0, 1), min_size=3, max_size=8))
def test_no_place_is_tighter_by_linear_programming(way, bend, share, places):
    """scipy's linprog (HiGHS) for single places of the body, against the least of all places."""
    length_m = share * whole(way)
    found = least_width(walls_of(way, bend), length_m)
    room_m = whole(way) - length_m
    widths = [widest_by_program(way, bend, one * room_m, length_m) for one in (0, 1, *places)]
    assert found.width_m <= min(widths) + 4e-5
    # Where it stops is a place of the body, and there the program finds no more either.
    at_m = min(max(found.last_m - length_m, 0.0), room_m)
    spots = (at_m, min(found.first_m, room_m))
    assert min(widest_by_program(way, bend, one, length_m) for one in spots) == pytest.approx(
        found.width_m, abs=4e-5
    )


@settings(max_examples=100, deadline=None)
@given(WAYS, BENDS, SHARES, SHARES)
def test_a_longer_body_is_never_thicker(way, bend, one, two):
    walls = walls_of(way, bend)
    short, long = sorted((one * whole(way), two * whole(way)))
    assert least_width(walls, long).width_m <= least_width(walls, short).width_m + 1e-9


@settings(max_examples=100, deadline=None)
@given(WAYS, BENDS, st.floats(0.02, 0.09), st.floats(0.0, 0.02))
def test_a_thicker_body_is_never_longer(way, bend, od_m, more_m):
    walls = walls_of(way, bend)
    assert longest_through(walls, od_m + more_m) <= longest_through(walls, od_m) + 1e-9


@settings(max_examples=100, deadline=None)
@given(WAYS, BENDS, st.floats(0.03, 0.06), SHARES)
def test_a_way_is_the_same_from_its_other_end(way, bend, od_m, share):
    back = [replace(one, offset_m=-one.offset_m) for one in reversed(way)]
    there, here = walls_of(way, bend), walls_of(back, bend)
    assert longest_through(here, od_m) == pytest.approx(longest_through(there, od_m), abs=1e-5)
    length_m = share * whole(way)
    width_m = least_width(there, length_m).width_m
    assert least_width(here, length_m).width_m == pytest.approx(width_m, abs=1e-8)


@settings(max_examples=100, deadline=None)
@given(WAYS, BENDS, st.floats(0.03, 0.06))
def test_the_longest_body_is_as_thick_as_its_way_lets_it(way, bend, od_m):
    walls = walls_of(way, bend)
    length_m = longest_through(walls, od_m)
    if 0.0 < length_m < whole(way):
        assert least_width(walls, length_m).width_m == pytest.approx(od_m, abs=1e-8)
        assert least_width(walls, length_m + 0.01).width_m < od_m


@settings(max_examples=100, deadline=None)
@given(WAYS, st.lists(st.sampled_from([1, -1]), min_size=5, max_size=5), SHARES)
def test_bends_all_to_one_side_are_the_worst(way, sides, share):
    """Each bend moves the middle of three contacts by a share of itself, of one sign for all."""
    mixed = [
        replace(one, bend_rad_m=one.bend_rad_m * side)
        for one, side in zip(way, sides, strict=False)
    ]
    length_m = share * whole(way)
    worst_m = min(least_width(walls_to(way, side), length_m).width_m for side in (1.0, -1.0))
    assert least_width(walls_to(mixed), length_m).width_m >= worst_m - 4e-5


def test_contacts_are_in_order_and_on_the_way():
    walls = walls_of([Stretch(5, 0.07, 0), Stretch(0.7, 0.06, 0.02), Stretch(9, 0.05, 0)], 1e-3)
    found = least_width(walls, 3.0)
    assert 0 <= found.first_m <= found.middle_m <= found.last_m <= walls.length_m
    assert found.last_m - found.first_m <= 3.0 + 1e-9


def test_a_long_way_is_cut_into_few_corners():
    walls = walls_of([Stretch(1000.0, 0.07, 0.0)], 5e-3)
    assert len(walls.depth_m) <= 801
