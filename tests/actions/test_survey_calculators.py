"""Calculators on the survey: the figures of a survey sheet, and one sentence for nonsense."""

from __future__ import annotations

import math

import pytest
from tests.published.test_survey_published import TABLE

from abreast.actions.calculators import example, run
from abreast.errors import InputError

FT = 0.3048


def station(md_m, inclination_deg, azimuth_deg):
    return {
        "md_m": float(md_m),
        "inclination_rad": math.radians(inclination_deg),
        "azimuth_rad": math.radians(azimuth_deg),
    }


def rows(*stations):
    return [station(*one) for one in stations]


def test_interval_of_the_handbook():
    """*Formulas and Calculations for Drilling, Production and Workover*: 27.22, 19.45, 94.01 ft."""
    upper, lower = station(3500 * FT, 15, 20), station(3600 * FT, 25, 45)
    found = run("survey-interval", {"upper": upper, "lower": lower})
    moves = [found[f"{way}_m"] / FT for way in ("north", "east", "down")]
    assert moves == pytest.approx([27.2183, 19.4508, 94.0123], abs=5e-5)
    assert math.degrees(found["dogleg_rad"]) == pytest.approx(12.95165, abs=5e-6)
    assert found["ratio_factor"] == pytest.approx(1.004280, abs=5e-7)


def test_table_of_twenty_stations():
    """The invented well that was worked outside by two routes."""
    found = run("survey-table", {"stations": [station(r[0] * FT, r[1], r[2]) for r in TABLE]})
    for one, row in zip(found["stations"], TABLE, strict=True):
        place = [one[f"{way}_m"] / FT for way in ("down", "north", "east")]
        assert place == pytest.approx(row[3:6], abs=0.0005001), row
        assert math.degrees(one["dogleg_rad"]) == pytest.approx(row[6], abs=0.00005001)
        per_100_ft = math.degrees(one["dogleg_rad_m"]) * 100 * FT
        assert per_100_ft == pytest.approx(row[7], abs=0.00005001)
        assert one["ratio_factor"] == pytest.approx(row[8], abs=5.001e-7)
    sharpest = math.degrees(found["sharpest_rad_m"]) * 100 * FT
    assert sharpest == pytest.approx(3.0357, abs=5e-5)


def test_position_half_way_is_on_the_arc():
    """26.996507, 57.102866 degrees; 23.70512, 35.92570, 90.25007: worked outside."""
    given = {"stations": rows((1800, 24, 56), (2000, 30, 58)), "md_m": 1900.0}
    found = run("survey-position", given)
    angles = [math.degrees(found[f"{angle}_rad"]) for angle in ("inclination", "azimuth")]
    assert angles == pytest.approx([26.996507, 57.102866], abs=5e-7)
    place = [found[f"{way}_m"] for way in ("north", "east", "down")]
    assert place == pytest.approx([23.70512, 35.92570, 90.25007], abs=5e-6)


@pytest.mark.parametrize(
    ("degrees", "radius_ft"), [(1, 5729.58), (3, 1909.86), (8, 716.20), (15, 381.97)]
)
def test_dogleg_and_radius(degrees, radius_ft):
    """R = 18000/(pi DLS); 1 deg/100 ft is 0.98425 deg/30 m."""
    given = {"course_m": 30.48, "lower_inclination_rad": math.radians(degrees)}
    given |= {"upper_inclination_rad": 0.0, "upper_azimuth_rad": 0.0, "lower_azimuth_rad": 5.0}
    found = run("dogleg", given)
    assert math.degrees(found["per_100_ft_rad"]) == pytest.approx(degrees, rel=1e-12)
    assert math.degrees(found["per_30_m_rad"]) == pytest.approx(0.984252 * degrees, rel=1e-6)
    assert found["radius_m"] / FT == pytest.approx(radius_ft, abs=0.005)


def test_turn_through_north_vertical_and_level_holes():
    wrap = run("survey-interval", {"upper": station(0, 40, 350), "lower": station(100, 40, 10)})
    assert wrap["east_m"] == pytest.approx(0, abs=1e-12)
    assert wrap["north_m"] == pytest.approx(63.56754, abs=5e-6)
    drop = run("survey-table", {"stations": rows((0, 0, 10), (100, 0, 190))})
    assert drop["stations"][1] | {"md_m": 0} == drop["stations"][0] | {"down_m": 100.0}
    level = run("survey-table", {"stations": rows((0, 90, 90), (100, 90, 90))})["stations"][1]
    assert [level["east_m"], level["down_m"]] == pytest.approx([100, 0], abs=1e-12)
    ring = run("dogleg", {**example("dogleg"), "upper_inclination_rad": 0.0} | turned_over())
    assert ring["dogleg_rad"] == pytest.approx(math.pi)


def turned_over():
    return {"lower_inclination_rad": math.pi}


def test_ten_thousand_stations():
    many = [station(k, 30 * math.sin(k / 2000) ** 2, k / 100) for k in range(10_000)]
    found = run("survey-table", {"stations": many})["stations"]
    assert len(found) == 10_000
    there = run("survey-position", {"stations": many, "md_m": 7000.0})
    assert there["down_m"] == found[7000]["down_m"]


UP, DOWN = station(0, 0, 0), station(100, 10, 0)
SURVEYS = {
    "none": ([], "stations"),
    "no list": ("survey.csv", "stations"),
    "a text": ([UP, {**DOWN, "md_m": "100"}], "stations.2.md_m"),
    "no azimuth": ([UP, {"md_m": 1.0, "inclination_rad": 0.1}], "stations.2.azimuth_rad"),
    "misspelt": ([UP, {**DOWN, "md_ft": 1.0}], "stations.2.md_ft"),
    "not a number": ([UP, {**DOWN, "inclination_rad": math.nan}], "stations.2.inclination_rad"),
    "endless": ([UP, {**DOWN, "md_m": math.inf}], "stations.2.md_m"),
    "huge": ([UP, {**DOWN, "md_m": 1e300}], "stations.2.md_m"),
    "inclination in degrees": (
        [UP, {**DOWN, "inclination_rad": 30.0}],
        "stations.2.inclination_rad",
    ),
    "azimuth in degrees": ([UP, {**DOWN, "azimuth_rad": 45.0}], "stations.2.azimuth_rad"),
    "inclination below 0": ([UP, {**DOWN, "inclination_rad": -0.1}], "stations.2.inclination_rad"),
    "depth twice": ([UP, DOWN, DOWN], "stations.3.md_m"),
    "back up": ([UP, DOWN, UP], "stations.3.md_m"),
    "turned right back": (
        rows((0, 0, 0), (50, 5, 0), (100, 175, 180)),
        "stations.3.inclination_rad",
    ),
    "level and back": (rows((0, 90, 0), (100, 90, 180)), "stations.2.inclination_rad"),
    "too many": ([UP] * 20_001, "stations"),
}


@pytest.mark.parametrize("name", SURVEYS)
def test_a_survey_that_cannot_be_is_refused_by_every_calculator(name):
    stations, field = SURVEYS[name]
    for calculator in ("survey-table", "survey-position", "soft-string", "setting-depth"):
        with pytest.raises(InputError) as caught:
            run(calculator, {**example(calculator), "stations": stations})
        assert caught.value.where.field == field, calculator
        assert "\n" not in caught.value.message


@pytest.mark.parametrize(
    ("name", "changes", "field"),
    [
        ("survey-interval", {"lower": UP, "upper": UP}, "upper.md_m"),
        ("survey-interval", {"lower": UP, "upper": DOWN}, "upper.md_m"),
        ("survey-interval", {"lower": None}, "lower"),
        ("survey-interval", {"lower": [100, 10, 0]}, "lower"),
        ("survey-interval", {"upper": UP, "lower": station(9, 180, 0)}, "lower.inclination_rad"),
        ("dogleg", {"course_m": 0.0}, "course_m"),
        ("dogleg", {"course_m": -30.0}, "course_m"),
        ("dogleg", {"lower_inclination_rad": 3.2}, "lower_inclination_rad"),
        ("survey-position", {"md_m": 600.1}, "md_m"),
        ("survey-position", {"stations": [UP]}, "md_m"),
    ],
)
def test_nonsense_is_refused_with_its_field(name, changes, field):
    with pytest.raises(InputError) as caught:
        run(name, {**example(name), **changes})
    assert caught.value.where.field == field


def test_azimuths_are_told_within_one_turn_at_stations_too():
    """-90 degrees is 270; between two such stations as well."""
    stations = [station(0, 20, -90), station(100, 20, -90)]
    for md_m in (0.0, 50.0, 100.0):
        found = run("survey-position", {"stations": stations, "md_m": md_m})
        assert math.degrees(found["azimuth_rad"]) == pytest.approx(270.0)


def test_depths_are_told_with_all_their_digits():
    close = [station(1000.0000002, 0, 0), station(1000.0000001, 0, 0)]
    with pytest.raises(InputError, match=r"1000\.0000002 must be less than .* 1000\.0000001"):
        run("survey-interval", {"upper": close[0], "lower": close[1]})
    with pytest.raises(InputError, match=r"1000\.0000001 must be deeper than 1000\.0000002"):
        run("survey-table", {"stations": close})


def test_figures_in_degrees_are_told_so():
    with pytest.raises(InputError, match=r"45\.0 must be at most 12\.5664; angles are in radians"):
        run("dogleg", {**example("dogleg"), "upper_azimuth_rad": 45.0})
