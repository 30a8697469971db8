"""The straight body between two walls: a linear program as oracle, and what holds for any way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from abreast.mechanics.channel import Stretch, least_width, longest_through
from abreast.mechanics.channel_walls import pieces_of, seen, walls_of

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


def bent(way, bend):
    """All stretches curved by the same amount on top of their own."""
    return [replace(one, bend_rad_m=one.bend_rad_m + bend) for one in way]


def thickest(way, bend, length_m):
    return least_width(bent(way, bend), 1.0, length_m)


def longest(way, bend, od_m):
    return longest_through(bent(way, bend), 1.0, od_m)


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
    """scipy's linprog (HiGHS) for single places of the body, against the least of all places.

    150 samples a stretch of 4 m leave walls uncurbed by less than 5 um between them.
    """
    length_m = share * whole(way)
    found = thickest(way, bend, length_m)
    room_m = whole(way) - length_m
    widths = [widest_by_program(way, bend, one * room_m, length_m) for one in (0, 1, *places)]
    assert found.width_m <= min(widths) + 1e-9
    # Where it stops is a place of the body, and there the program finds no more either.
    at_m = min(max(found.last_m - length_m, 0.0), room_m)
    # A hair on both sides: at a step both widths are there.
    spots = [
        min(max(spot + hair, 0.0), room_m)
        for spot in (at_m, found.first_m)
        for hair in (-1e-7, 0.0, 1e-7)
    ]
    least_m = min(widest_by_program(way, bend, one, length_m) for one in spots)
    assert least_m - found.width_m <= 2e-5 + found.short_m


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, SHARES, SHARES)
def test_a_longer_body_is_never_thicker(way, bend, one, two):
    """But for what a width may be told too small."""
    short, long = sorted((one * whole(way), two * whole(way)))
    most = thickest(way, bend, short)
    assert thickest(way, bend, long).width_m <= most.width_m + most.short_m + 1e-9


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, st.floats(0.02, 0.09), st.floats(0.0, 0.02))
def test_a_thicker_body_is_never_longer(way, bend, od_m, more_m):
    assert longest(way, bend, od_m + more_m) <= longest(way, bend, od_m) * 1.001 + 1e-9


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, st.floats(0.03, 0.06), SHARES)
def test_a_way_is_the_same_from_its_other_end(way, bend, od_m, share):
    back = [replace(one, offset_m=-one.offset_m) for one in reversed(way)]
    assert longest(back, bend, od_m) == pytest.approx(longest(way, bend, od_m), abs=1e-5)
    length_m = share * whole(way)
    width_m = thickest(way, bend, length_m).width_m
    assert thickest(back, bend, length_m).width_m == pytest.approx(width_m, abs=1e-8)


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, st.floats(0.03, 0.06))
def test_the_longest_body_is_as_thick_as_its_way_lets_it(way, bend, od_m):
    """Both are told too small, the width by ``short_m`` and the length by 0.06 %, or so."""
    length_m = longest(way, bend, od_m)
    if 0.0 < length_m < whole(way) - 1e-9:
        there = thickest(way, bend, length_m)
        slack_m = (min(one.width_m for one in way) - od_m) / 1000
        assert od_m - there.short_m - 1e-8 <= there.width_m <= od_m + there.short_m + slack_m
        assert thickest(way, bend, min(length_m * 1.001 + 0.01, whole(way))).width_m < od_m


@settings(max_examples=25, deadline=None)
@given(WAYS, st.lists(st.sampled_from([1, -1]), min_size=5, max_size=5), SHARES)
def test_bends_all_to_one_side_are_the_worst(way, sides, share):
    """Each bend moves the middle of three contacts by a share of itself, of one sign for all."""
    mixed = [
        replace(one, bend_rad_m=one.bend_rad_m * side)
        for one, side in zip(way, sides, strict=False)
    ]
    length_m = share * whole(way)
    worst_m = min(least_width(way, side, length_m).width_m for side in (1.0, -1.0))
    found = least_width(mixed, 1.0, length_m)
    assert found.width_m + found.short_m >= worst_m - 1e-9


def test_contacts_are_in_order_and_on_the_way():
    way = [Stretch(5, 0.07, 0), Stretch(0.7, 0.06, 0.02), Stretch(9, 0.05, 0)]
    found = thickest(way, 1e-3, 3.0)
    assert 0 <= found.first_m <= found.middle_m <= found.last_m <= whole(way)
    assert found.last_m - found.first_m <= 3.0 + 1e-9


# --- even bends: y = kappa x^2/2 leaves w - kappa L^2/8, so L = sqrt(8 c/kappa) ---------------


@pytest.mark.parametrize(
    ("width_m", "od_m", "bend", "length_m"),
    [(0.0500, 0.0496, 0.01, 0.565685), (0.0762, 0.0755, 0.0058, 0.982607)],
)
def test_a_way_of_one_bend_is_exact(width_m, od_m, bend, length_m):
    """300 m: sqrt(8 x 0.0004/0.01) and sqrt(8 x 0.0007/0.0058), however it is parted."""
    for way in ([Stretch(300.0, width_m)], [Stretch(100.0, width_m), Stretch(200.0, width_m)]):
        assert longest(way, bend, od_m) == pytest.approx(length_m, abs=5e-7)
        found = thickest(way, bend, length_m)
        assert found.width_m == pytest.approx(od_m, abs=1e-8)
        assert found.even and found.short_m == 0.0


@pytest.mark.parametrize("wider_m", [1e-5, 0.001, 0.02])
@pytest.mark.parametrize(("od_m", "bend"), [(0.0496, 0.01), (0.045, 0.001), (0.04999, 0.0058)])
def test_beside_a_wider_way_it_is_short_by_six_in_ten_thousand(wider_m, od_m, bend):
    """The narrow bend decides; never too long."""
    way = [Stretch(100.0, 0.05), Stretch(200.0, 0.05 + wider_m)]
    exact_m = np.sqrt(8 * (0.05 - od_m) / bend)
    assert exact_m * (1 - 6e-4) < longest(way, bend, od_m) <= exact_m * (1 + 1e-12)
    found = thickest(way, bend, 20.0)
    exact_m = 0.05 - bend * 20.0**2 / 8
    assert found.width_m <= exact_m + 1e-12
    assert exact_m - found.width_m <= found.short_m + 1e-12
    assert found.short_m <= (0.05 - exact_m) / 950 + 1e-6


@settings(max_examples=25, deadline=None)
@given(WAYS, BENDS, st.floats(1e-7, 1e-3))
def test_chords_never_lie_outside_the_channel(way, bend, sag_m):
    """Each wall at 40 places of each piece, against the parabola it stands for."""
    pieces = pieces_of(bent(way, bend))
    walls = walls_of(pieces, sag_m, np.array([abs(one.bend_rad_m) for one in pieces]))
    top_m = across_m = slope = 0.0
    for one in pieces:
        run = np.linspace(0.001, 0.999, 40) * one.length_m
        axis = across_m + slope * run + one.bend_rad_m * run**2 / 2
        for wall, side in ((walls.high_m, 1.0), (walls.low_m, -1.0)):
            off_m = side * (
                axis + side * one.width_m / 2 - np.interp(top_m + run, walls.depth_m, wall)
            )
            assert off_m.min() >= -1e-12
            assert off_m.max() <= sag_m * (1 + 1e-6) + 1e-12
        top_m, across_m = (
            top_m + one.length_m,
            float(across_m + slope * one.length_m + one.bend_rad_m * one.length_m**2 / 2),
        )
        slope += one.bend_rad_m * one.length_m


def test_what_is_left_out_of_a_long_way_changes_nothing():
    """Depths are told with it: the tight place is the nipple, 500 m down."""
    way = [Stretch(500.0, 0.06), Stretch(0.3, 0.045), Stretch(500.0, 0.055)]
    found = thickest(way, 1e-3, 3.0)
    assert 496.9 < found.first_m <= found.middle_m <= found.last_m < 503.4
    near = thickest([Stretch(9.0, 0.06), way[1], Stretch(9.0, 0.055)], 1e-3, 3.0)
    assert found.width_m == pytest.approx(near.width_m, abs=found.short_m + near.short_m)
    assert sum(one.length_m for one in seen(pieces_of(way), 3.0)) == pytest.approx(12.3)


def test_no_clearance_in_a_bend_leaves_no_length():
    assert longest([Stretch(10.0, 0.05), Stretch(10.0, 0.06)], 1e-3, 0.05) == 0.0
    assert longest([Stretch(10.0, 0.05), Stretch(10.0, 0.06)], 0.0, 0.05) == 20.0
    assert longest([Stretch(10.0, 0.05), Stretch(10.0, 0.06)], 0.0, 0.0501) == 0.0


def test_past_a_corner_that_just_touches():
    """The body starts and ends on steps 2.28 m apart; half-way a shorter one just touches."""
    way = [Stretch(1.9, 0.0688), Stretch(0.5843, 0.0888, -0.01324), Stretch(3.308, 0.0634, 1e-9)]
    back = [replace(one, offset_m=-one.offset_m) for one in reversed(way)]
    width_m = thickest(way, 0.0, 2.28182).width_m
    assert thickest(back, 0.0, 2.28182).width_m == pytest.approx(width_m, abs=1e-8)


@pytest.mark.parametrize("clear_m", [0.002, 0.01, 0.04])
def test_the_worst_place_may_lie_between_all_corners(clear_m):
    """Straight, an arc of 0.2 m that turns by 0.02, straight: both ends on straight walls.

    Symmetric, so by hand: the ends stand at +-L/2, off the arc's tangent by
    0.01 (L/2 - 0.05), which is c at L = 2 (c/0.01 + 0.05).
    """
    way = [Stretch(20.0, 0.06), Stretch(0.2, 0.06, 0.0, 0.1), Stretch(20.0, 0.06)]
    exact_m = 2 * (clear_m / 0.01 + 0.05)
    found_m = longest(way, 0.0, 0.06 - clear_m)
    assert exact_m * (1 - 1e-2) < found_m <= exact_m * (1 + 1e-9)
    there = thickest(way, 0.0, exact_m)
    assert 0.06 - clear_m - there.short_m - 1e-9 <= there.width_m <= 0.06 - clear_m + 1e-9
