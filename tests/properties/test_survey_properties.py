"""What holds for every survey: turning, mirroring, going back and splitting change nothing."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abreast.formulas.survey import (
    Station,
    direction,
    dogleg_angle,
    interpolate,
    minimum_curvature,
    position_at,
    positions,
)

ANGLES = st.floats(0.0, math.pi)
AZIMUTHS = st.floats(-7.0, 7.0)
LENGTHS = st.floats(0.1, 1000.0)
FEW = settings(deadline=None, max_examples=60)


@st.composite
def intervals(draw):
    """Two stations whose directions are not near to opposite."""
    upper = Station(draw(st.floats(0, 5000)), draw(ANGLES), draw(AZIMUTHS))
    lower = Station(upper.md_m + draw(LENGTHS), draw(ANGLES), draw(AZIMUTHS))
    assume(dogleg_angle(upper, lower) < 3.0)
    return upper, lower


def place(step):
    return step.north_m, step.east_m, step.down_m


def turned(station, by_rad):
    return Station(station.md_m, station.inclination_rad, station.azimuth_rad + by_rad)


@FEW
@given(intervals())
def test_chord_is_that_of_the_arc(pair):
    """2 R sin(beta/2), whatever way it lies."""
    step = minimum_curvature(*pair)
    half = step.dogleg_rad / 2
    chord = step.length_m * (math.sin(half) / half if half else 1.0)
    assert math.hypot(*place(step)) == pytest.approx(chord, rel=1e-9)


@FEW
@given(intervals())
def test_dogleg_is_the_angle_between_the_directions(pair):
    """By cross and dot product of the two unit vectors."""
    a, b = (direction(one) for one in pair)
    cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    dot = math.fsum(x * y for x, y in zip(a, b, strict=True))
    assert dogleg_angle(*pair) == pytest.approx(math.atan2(math.hypot(*cross), dot), abs=1e-14)


@FEW
@given(intervals(), AZIMUTHS)
def test_turning_north_turns_the_place_along(pair, by_rad):
    before = minimum_curvature(*pair)
    after = minimum_curvature(*(turned(one, by_rad) for one in pair))
    c, s = math.cos(by_rad), math.sin(by_rad)
    north, east, down = place(before)
    expected = (north * c - east * s, north * s + east * c, down)
    assert place(after) == pytest.approx(expected, abs=1e-9)
    assert after.dogleg_rad == pytest.approx(before.dogleg_rad, abs=1e-14)


@FEW
@given(intervals())
def test_mirror_and_way_back(pair):
    upper, lower = pair
    there = minimum_curvature(upper, lower)
    mirrored = minimum_curvature(
        *(Station(s.md_m, s.inclination_rad, -s.azimuth_rad) for s in pair)
    )
    assert place(mirrored) == pytest.approx((there.north_m, -there.east_m, there.down_m), abs=1e-9)
    # the hole walked upwards: both directions reversed, the order too
    back = minimum_curvature(
        Station(0.0, math.pi - lower.inclination_rad, lower.azimuth_rad + math.pi),
        Station(there.length_m, math.pi - upper.inclination_rad, upper.azimuth_rad + math.pi),
    )
    assert place(back) == pytest.approx([-value for value in place(there)], abs=1e-8)


@FEW
@given(intervals(), st.floats(0.01, 0.99))
def test_splitting_an_interval_changes_nothing(pair, share):
    upper, lower = pair
    middle = interpolate(upper, lower, upper.md_m + share * (lower.md_m - upper.md_m))
    whole = positions([upper, lower])[-1]
    split = positions([upper, middle, lower])[-1]
    assert split.place_m == pytest.approx(whole.place_m, abs=1e-8)
    both = dogleg_angle(upper, middle) + dogleg_angle(middle, lower)
    assert both == pytest.approx(dogleg_angle(upper, lower), abs=1e-10)


@FEW
@given(intervals(), st.floats(0.05, 0.95))
def test_place_moves_along_the_direction(pair, share):
    """The derivative of the position is the direction, by a central difference."""
    upper, lower = pair
    length = lower.md_m - upper.md_m
    known, h = positions(pair), length * 1e-4
    middle = upper.md_m + share * length
    low, high = position_at(known, middle - h), position_at(known, middle + h)
    slope = [(b - a) / (2 * h) for a, b in zip(low.place_m, high.place_m, strict=True)]
    assert slope == pytest.approx(direction(interpolate(upper, lower, middle)), abs=1e-6)
