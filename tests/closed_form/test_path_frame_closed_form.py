"""The frame along a hole where its turning has a closed form.

Carried round a closed loop of directions, a frame that never turns about the hole comes back
turned by the area that the directions enclose on the unit sphere (Gauss-Bonnet; textbooks of
differential geometry). Triangle: tan(E/2) = t1.(t2 x t3)/(1 + t1.t2 + t2.t3 + t3.t1) (Van
Oosterom and Strackee 1983, from memory).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, direction, interpolate, positions

FEW = settings(deadline=None, max_examples=60)


def along(*angles_deg, step_m=100.0):
    """A hole by inclination and azimuth at each station."""
    return path_frame(
        positions(
            [
                Station(step_m * k, math.radians(inc), math.radians(azi))
                for k, (inc, azi) in enumerate(angles_deg)
            ]
        )
    )


def frame_at(path, md_m):
    found = path.at(np.array([float(md_m)]))
    return found.tangent[0], found.side[0], found.across[0]


def turn_between(first, last):
    """Angle from one frame to another with the same tangent, clockwise looking down the hole."""
    (tangent, side, across), (other, turned, _) = first, last
    assert tangent == pytest.approx(other, abs=1e-9)
    return math.atan2(turned @ across, turned @ side)


def test_two_planar_bends():
    """Down, then north, then level to the east: north comes to point up and stays up."""
    path, half = along((0, 0), (90, 0), (90, 90)), math.sqrt(0.5)
    for md_m, side in (
        (0, (1, 0, 0)),
        (50, (half, 0, -half)),
        (100, (0, 0, -1)),
    ):
        assert frame_at(path, md_m)[1] == pytest.approx(side, abs=1e-12)
    tangent, side, across = frame_at(path, 150)
    assert tangent == pytest.approx((half, half, 0), abs=1e-12)
    assert side == pytest.approx((0, 0, -1), abs=1e-12)
    assert across == pytest.approx((-half, half, 0), abs=1e-12)


def test_round_an_eighth_of_the_sphere():
    """Down, north, east and down again: turned by pi/2, north has become east."""
    path = along((0, 0), (90, 0), (90, 90), (0, 90))
    assert frame_at(path, 300)[1] == pytest.approx((0, 1, 0), abs=1e-12)
    assert turn_between(frame_at(path, 0), frame_at(path, 300)) == pytest.approx(math.pi / 2)


@FEW
@given(st.lists(st.tuples(st.floats(0, 180), st.floats(0, 360)), min_size=3, max_size=3))
def test_round_any_triangle(angles):
    corners = [
        np.array(direction(Station(0, *(math.radians(one) for one in pair)))) for pair in angles
    ]
    a, b, c = corners
    bottom = 1 + a @ b + b @ c + c @ a
    assume(min(np.linalg.norm(p + q) for p, q in ((a, b), (b, c), (c, a))) > 0.05)
    area = 2 * math.atan2(float(a @ np.cross(b, c)), float(bottom))
    path = along(*angles, angles[0])
    turned = turn_between(frame_at(path, 0), frame_at(path, 300))
    assert math.remainder(turned - area, math.tau) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("inclination_deg", [0.01, 5, 30, 60, 89, 90, 120])
@pytest.mark.parametrize("count", [12, 720])
def test_one_turn_of_a_helix(inclination_deg, count):
    """Stations on a cone of directions: count triangles from the vertical, exact for any step.

    With short steps it is 2 pi (1 - cos I), the cap of the sphere.
    """
    azimuths = [360.0 * k / count for k in range(count + 1)]
    path = along(*((inclination_deg, azimuth) for azimuth in azimuths), step_m=1.0)
    t, step = math.tan(math.radians(inclination_deg) / 2) ** 2, math.tau / count
    area = 2 * count * math.atan2(t * math.sin(step), 1 + t * math.cos(step))
    turned = turn_between(frame_at(path, 0), frame_at(path, count))
    assert math.remainder(turned - area, math.tau) == pytest.approx(0, abs=1e-8)
    if count == 720:
        cap = math.tau * (1 - math.cos(math.radians(inclination_deg)))
        assert math.remainder(turned - cap, math.tau) == pytest.approx(0, abs=1e-4)


@st.composite
def holes(draw, most_deg=150.0):
    count = draw(st.integers(2, 6))
    pairs = st.tuples(st.floats(0, most_deg), st.floats(0, 360))
    angles = draw(st.lists(pairs, min_size=count, max_size=count))
    stations = [
        Station(100.0 * k, *(math.radians(one) for one in pair)) for k, pair in enumerate(angles)
    ]
    ends = [np.array(direction(one)) for one in stations]
    assume(all(np.linalg.norm(p + q) > 0.1 for p, q in pairwise(ends)))
    return stations


@FEW
@given(holes(), st.floats(0.01, 0.99))
def test_it_never_turns_about_the_hole(stations, share):
    """The change of a side has no part across: by a central difference anywhere on the way."""
    path = path_frame(positions(stations))
    here = (share + np.arange(len(stations) - 1)) * 100.0
    mine, h = path.at(here), 1e-3
    change = (path.at(here + h).side - path.at(here - h).side) / (2 * h)
    inside = (share * 100 > 2 * h) & ((1 - share) * 100 > 2 * h)
    assert inside
    assert np.sum(change * mine.across, axis=1) == pytest.approx(0, abs=1e-8)
    for one, other in ((mine.tangent, mine.side), (mine.tangent, mine.across)):
        assert np.sum(one * other, axis=1) == pytest.approx(0, abs=1e-12)
    assert np.linalg.norm(mine.side, axis=1) == pytest.approx(1, abs=1e-12)


@FEW
@given(holes(), st.floats(0.05, 0.95))
def test_a_station_between_changes_nothing(stations, share):
    upper, lower = stations[-2:]
    middle = interpolate(upper, lower, upper.md_m + 100 * share)
    one = path_frame(positions(stations))
    other = path_frame(positions([*stations[:-1], middle, lower]))
    md_m = np.linspace(0, lower.md_m, 23)
    assert other.at(md_m).side == pytest.approx(one.at(md_m).side, abs=1e-9)
    assert other.at(md_m).tangent == pytest.approx(one.at(md_m).tangent, abs=1e-9)


@FEW
@given(holes(), st.floats(-6, 6))
def test_north_does_not_matter(stations, by_rad):
    """All azimuths turned: angles between the high side and the frame change all alike."""
    turned = [Station(s.md_m, s.inclination_rad, s.azimuth_rad + by_rad) for s in stations]
    md_m = np.linspace(0, stations[-1].md_m, 17)
    one, other = (path_frame(positions(rows)).at(md_m) for rows in (stations, turned))
    c, s = math.cos(by_rad), math.sin(by_rad)
    about = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    assert other.tangent == pytest.approx(one.tangent @ about.T, abs=1e-9)
    moved = one.side @ about.T
    angle = np.arctan2(np.sum(moved * other.across, axis=1), np.sum(moved * other.side, axis=1))
    assert np.cos(angle - angle[0]) == pytest.approx(1, abs=1e-9)


@FEW
@given(st.lists(st.tuples(st.floats(0, 0.2), st.floats(0, 360)), min_size=3, max_size=40))
def test_no_spin_in_a_hole_that_is_nearly_vertical(angles):
    """Azimuth jumps about; the side stays where it was, within the tilt of the hole.

    A frame turned by the azimuth would spin: north by as much as the azimuth jumps.
    """
    path = along(*angles, step_m=10.0)
    sides = path.at(np.linspace(0, 10.0 * (len(angles) - 1), 101)).side
    first = sides[0]
    assert np.max(np.abs(sides - first)) < 2 * math.radians(0.2) + 1e-4
    assert first[0] > 0.99999


def test_a_vertical_hole_keeps_north_whatever_its_azimuths_say():
    path = along((0, 10), (0, 200), (0, 355))
    assert frame_at(path, 150)[1] == pytest.approx((1, 0, 0), abs=1e-12)


def test_beyond_the_survey_and_one_station_are_refused():
    with pytest.raises(InputError, match="two stations"):
        along((0, 0))
    with pytest.raises(InputError, match="not further"):
        along((0, 0), (10, 0)).at(np.array([100.1]))
