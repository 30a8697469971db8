"""What holds for every survey: turning, mirroring, going back and splitting change nothing."""

from __future__ import annotations

import math
from decimal import Context, Decimal, localcontext
from itertools import pairwise

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


# --- whole surveys -------------------------------------------------------------------------


@st.composite
def surveys(draw):
    """Up to six stations, no two neighbours near to opposite."""
    angles = draw(st.lists(st.tuples(ANGLES, AZIMUTHS), min_size=2, max_size=6))
    stations = [Station(120.0 * k, *pair) for k, pair in enumerate(angles)]
    assume(all(dogleg_angle(*pair) < 3.0 for pair in pairwise(stations)))
    return stations


@FEW
@given(surveys(), AZIMUTHS, st.floats(0, 1))
def test_turning_north_turns_the_whole_survey(stations, by_rad, share):
    """Depths and doglegs stay, places and azimuths turn, also between stations."""
    md_m = share * stations[-1].md_m
    one = position_at(positions(stations), md_m)
    other = position_at(positions([turned(s, by_rad) for s in stations]), md_m)
    c, s = math.cos(by_rad), math.sin(by_rad)
    north, east, down = one.place_m
    assert other.place_m == pytest.approx(
        (north * c - east * s, north * s + east * c, down), abs=1e-8
    )
    a, b = direction(one.station), direction(other.station)
    assert b == pytest.approx((a[0] * c - a[1] * s, a[0] * s + a[1] * c, a[2]), abs=1e-9)


@FEW
@given(surveys(), st.floats(0.02, 0.98), st.floats(0, 1))
def test_a_station_on_the_arc_changes_nothing_below_it_or_around(stations, share, asked):
    number = int(share * (len(stations) - 1))
    inside = share * (len(stations) - 1) - number
    assume(0.01 < inside < 0.99)
    upper, lower = stations[number : number + 2]
    middle = interpolate(upper, lower, upper.md_m + 120.0 * inside)
    md_m = asked * stations[-1].md_m
    whole = position_at(positions(stations), md_m)
    split = position_at(positions([*stations[: number + 1], middle, *stations[number + 1 :]]), md_m)
    assert split.place_m == pytest.approx(whole.place_m, abs=1e-7)
    assert direction(split.station) == pytest.approx(direction(whole.station), abs=1e-9)


# --- rounding ------------------------------------------------------------------------------

FINE = Context(prec=60)


def sine_and_cosine(angle):
    """Taylor series in 60 digits; no angle here is above 7."""
    x = Decimal(angle)
    found, term = [Decimal(0), Decimal(1)], Decimal(1)
    for k in range(1, 90):
        term = FINE.divide(FINE.multiply(term, x), Decimal(k))
        sign = -1 if (k // 2) % 2 else 1
        found[1 - k % 2] = FINE.add(found[1 - k % 2], sign * term)
    return found


def fine_direction(station):
    (si, ci), (sa, ca) = (
        sine_and_cosine(one) for one in (station.inclination_rad, station.azimuth_rad)
    )
    return FINE.multiply(si, ca), FINE.multiply(si, sa), ci


SMALL = st.builds(
    lambda digits, sign: sign * 10.0**-digits, st.floats(0, 16), st.sampled_from([-1, 1])
)


@settings(deadline=None, max_examples=150)
@given(ANGLES, st.floats(0, 6.3), SMALL, SMALL, st.booleans())
def test_dogleg_holds_to_rounding(inclination, azimuth, more, turn, back):
    """Against 60 digits, from 1e-16 rad to nearly pi: a few units in the last place.

    With b the angle found, sin(true - b) = |t1 x t2| cos b - t1.t2 sin b is its error.
    """
    upper = Station(0.0, inclination, azimuth)
    about = (math.pi - inclination, azimuth + math.pi) if back else (inclination, azimuth)
    lower = Station(1.0, min(max(about[0] + more, 0.0), math.pi), about[1] + turn)
    found = dogleg_angle(upper, lower)
    with localcontext(FINE):
        a, b = fine_direction(upper), fine_direction(lower)
        dot = sum(p * q for p, q in zip(a, b, strict=True))
        cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
        sine, cosine = sine_and_cosine(found)
        error = sum(p * p for p in cross).sqrt() * cosine - dot * sine
    slight = 2e-15 if back else 4e-16 if found > 1e-9 else 1e-30
    assert abs(float(error)) <= 4e-15 * found + slight
