"""Survey intervals that geometry decides exactly."""

import math

import pytest

from abreast.errors import InputError
from abreast.formulas.survey import (
    Station,
    direction,
    dogleg_angle,
    dogleg_severity,
    interpolate,
    minimum_curvature,
    position_at,
    positions,
    radius_of_curvature,
)


def at(md, inclination_deg, azimuth_deg):
    return Station(md, math.radians(inclination_deg), math.radians(azimuth_deg))


@pytest.mark.parametrize("angle_deg", [0.001, 1, 30, 60, 90, 120, 170])
def test_arc_in_a_vertical_plane(angle_deg):
    """R sin I down, R (1 - cos I) out: a circle."""
    angle = math.radians(angle_deg)
    radius = 1200 / angle
    step = minimum_curvature(at(0, 0, 0), at(1200, angle_deg, 0))
    assert step.down_m == pytest.approx(radius * math.sin(angle), abs=1e-9)
    assert step.north_m == pytest.approx(radius * (2 * math.sin(angle / 2) ** 2), abs=1e-9)
    assert step.east_m == 0
    assert step.dogleg_rad == pytest.approx(angle, rel=1e-14)
    assert radius_of_curvature(step.dogleg_rad_m) == pytest.approx(radius, rel=1e-14)


def test_sixty_degrees_in_one_step_in_figures():
    """From 0 to 60 degrees in 1200 ft: R 1145.9156, RF 1.102658, worked by hand."""
    step = minimum_curvature(at(0, 0, 0), at(1200, 60, 0))
    assert step.down_m == pytest.approx(992.3920, abs=5e-5)
    assert step.north_m == pytest.approx(572.9578, abs=5e-5)
    assert step.ratio_factor == pytest.approx(1.102658, abs=5e-7)


@pytest.mark.parametrize("turns", [0, 1, -1])
def test_azimuth_wraps_through_north(turns):
    """350 to 10 degrees is a turn of 20 degrees, and goes due north by symmetry."""
    step = minimum_curvature(at(1000, 40, 350), at(1100, 40, 10 + 360 * turns))
    assert step.north_m == pytest.approx(63.56754, abs=5e-6)
    assert step.east_m == pytest.approx(0, abs=1e-12)
    assert step.down_m == pytest.approx(76.92551, abs=5e-6)
    assert math.degrees(step.dogleg_rad) == pytest.approx(12.81729, abs=5e-6)
    half = math.asin(math.sin(math.radians(40)) * math.sin(math.radians(10)))
    assert step.dogleg_rad == pytest.approx(2 * half, rel=1e-14)


def test_azimuth_of_a_vertical_station_has_no_meaning():
    step = minimum_curvature(at(0, 0, 10), at(100, 0, 190))
    assert (step.north_m, step.east_m, step.down_m, step.dogleg_rad) == (0, 0, 100, 0)
    one, other = (minimum_curvature(at(0, 0, az), at(100, 20, 70)) for az in (0, 233))
    assert one.north_m == pytest.approx(other.north_m, abs=1e-12)
    assert one.dogleg_rad == pytest.approx(other.dogleg_rad, rel=1e-14)


def test_level_turn_is_a_flat_circle():
    step = minimum_curvature(at(0, 90, 0), at(100, 90, 90))
    radius = 200 / math.pi
    assert step.north_m == pytest.approx(radius, rel=1e-14)
    assert step.east_m == pytest.approx(radius, rel=1e-14)
    assert step.down_m == pytest.approx(0, abs=1e-12)


def test_middle_of_an_arc_is_not_the_mean_of_the_angles():
    """Worked outside by the vector mean of the two directions: 26.996507, 57.102866 degrees."""
    upper, lower = at(1800, 24, 56), at(2000, 30, 58)
    middle = interpolate(upper, lower, 1900)
    assert math.degrees(middle.inclination_rad) == pytest.approx(26.996507, abs=5e-7)
    assert math.degrees(middle.azimuth_rad) == pytest.approx(57.102866, abs=5e-7)
    north, east, down = position_at(positions([upper, lower]), 1900).place_m
    assert north == pytest.approx(23.70512, abs=5e-6)
    assert east == pytest.approx(35.92570, abs=5e-6)
    assert down == pytest.approx(90.25007, abs=5e-6)


@pytest.mark.parametrize("angle", [1e-3, 1e-6, 1e-8, 1e-10, 1e-12, 1e-100, 1e-300])
@pytest.mark.parametrize("start", [0.0, 1.0, math.pi / 2])
def test_small_dogleg_keeps_its_digits(angle, start):
    """A turn in azimuth by 'angle' bends the hole by sin(I) times it, to the third order."""
    level = dogleg_angle(Station(0, start, 0.0), Station(1, start, angle))
    expected = 2 * math.asin(math.sin(start) * math.sin(angle / 2))
    assert level == pytest.approx(expected, rel=1e-13, abs=0)
    build = dogleg_angle(Station(0, 0.0, 0), Station(1, angle, 0))
    assert build == pytest.approx(angle, rel=1e-14, abs=0)


@pytest.mark.parametrize("short", [1e-2, 1e-4, 1e-5])
def test_dogleg_near_a_half_turn_keeps_its_digits(short):
    step = minimum_curvature(Station(0, math.pi / 2, 0), Station(1, math.pi / 2, math.pi - short))
    assert math.pi - step.dogleg_rad == pytest.approx(short, rel=1e-9)
    # an arc of nearly half a circle spans its diameter
    span = math.hypot(step.north_m, step.east_m)
    assert span == pytest.approx(2 / step.dogleg_rad * math.cos(short / 2), rel=1e-9)


def test_straight_hole():
    step = minimum_curvature(at(100, 30, 90), at(300, 30, 90))
    assert (step.dogleg_rad, step.ratio_factor) == (0, 1)
    assert step.down_m == pytest.approx(200 * math.cos(math.radians(30)), rel=1e-15)
    assert step.east_m == pytest.approx(100, rel=1e-14)
    assert radius_of_curvature(0) == math.inf
    inside = interpolate(at(100, 30, 90), at(300, 30, 90), 150)
    assert math.degrees(inside.inclination_rad) == pytest.approx(30)
    assert math.degrees(inside.azimuth_rad) == pytest.approx(90)


def test_first_station_may_lie_anywhere():
    known = positions([at(500, 0, 0), at(600, 0, 0)], (10.0, -20.0, 480.0))
    assert known[-1].place_m == (10.0, -20.0, 580.0)
    assert position_at(known, 550).place_m == (10.0, -20.0, 530.0)
    assert position_at(known, 500) is known[0]
    assert position_at(known, 600) is known[1]


def test_vertical_point_of_an_arc_keeps_an_azimuth():
    middle = interpolate(at(0, 0, 25), at(100, 0, 80), 50)
    assert middle.inclination_rad == 0
    assert math.degrees(middle.azimuth_rad) == pytest.approx(25)
    through = interpolate(at(0, 10, 0), at(100, 10, 180), 50)
    assert through.inclination_rad == pytest.approx(0, abs=1e-15)
    assert math.isfinite(through.azimuth_rad)


def test_direction_is_north_east_down():
    assert direction(at(0, 90, 90)) == pytest.approx((0, 1, 0), abs=1e-15)
    assert direction(at(0, 180, 0)) == pytest.approx((0, 0, -1), abs=1e-15)


REFUSED = {
    "same depth": (lambda: minimum_curvature(at(5, 0, 0), at(5, 1, 0)), "upper.md_m"),
    "shallower": (lambda: dogleg_severity(at(5, 0, 0), at(4, 1, 0)), "upper.md_m"),
    "third station not deeper": (
        lambda: positions([at(0, 0, 0), at(5, 0, 0), at(5, 0, 0)]),
        "stations.3.md_m",
    ),
    "negative inclination": (lambda: at(0, -0.1, 0), "inclination_rad"),
    "beyond upwards": (lambda: at(0, 180.1, 0), "inclination_rad"),
    "no number": (lambda: Station(0, math.nan, 0), "inclination_rad"),
    "no azimuth": (lambda: Station(0, 0, math.inf), "azimuth_rad"),
    "no depth": (lambda: Station(math.nan, 0, 0), "md_m"),
    "up after down": (
        lambda: minimum_curvature(at(0, 0, 0), at(9, 180, 0)),
        "lower.inclination_rad",
    ),
    "level and back": (
        lambda: minimum_curvature(at(0, 90, 0), at(9, 90, 180)),
        "lower.inclination_rad",
    ),
    "above the interval": (lambda: interpolate(at(5, 0, 0), at(9, 1, 0), 4.9), "md_m"),
    "below the survey": (lambda: position_at(positions([at(0, 0, 0), at(9, 1, 0)]), 9.1), "md_m"),
    "no station": (lambda: positions([]), "stations"),
    "no position": (lambda: position_at([], 1), "stations"),
    "bad start": (lambda: positions([at(0, 0, 0)], (0.0, math.nan, 0.0)), "start_m"),
    "negative severity": (lambda: radius_of_curvature(-1e-3), "severity_rad_m"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused(name):
    call, field = REFUSED[name]
    with pytest.raises(InputError) as caught:
        call()
    assert (caught.value.code, caught.value.where.field) == ("out-of-range", field)
