"""Calculators on what fits: the functions of the packages below, and what they refuse."""

import math

import pytest

from abreast.actions import calculators
from abreast.errors import InputError
from abreast.formulas.flat_cable import FlatCable, angle_windows

INCH = 0.0254


def window(**changes):
    return calculators.run("cable-window", {**calculators.example("cable-window"), **changes})


def test_circle_with_names_and_clearance():
    """Motor 5.40 in beside 3.02 in at 4.25 in: 8.46 in, 0.065 in under the drift of 8.525 in."""
    result = calculators.run("enclosing-circle", calculators.example("enclosing-circle"))
    assert result["diameter_m"] / INCH == pytest.approx(8.46)
    assert result["clearance_m"] / INCH == pytest.approx(0.065)
    assert result["deciding"] == ["motor", "bypass"]


def test_circle_of_the_triangle_trap_by_places():
    discs = [
        {"x_m": 0, "y_m": 0, "radius_m": 1},
        {"x_m": 3, "y_m": 0, "radius_m": 2},
        {"x_m": 0, "y_m": 4, "radius_m": 3},
    ]
    result = calculators.run("enclosing-circle", {"discs": discs})
    assert result["radius_m"] == 5
    assert result["deciding"] == ["2", "3"]
    assert "clearance_m" not in result


def test_window_is_that_of_the_formula():
    result = window()
    cable = FlatCable(2.565 * INCH, 0.60 * INCH, 1.30 * INCH)
    pair = [(0.0, 0.0, 2.565 * INCH), (4.25 * INCH, 0.0, 1.51 * INCH)]
    [(low, high)] = angle_windows(cable, pair, pair[1:], 8.525 * INCH)
    [given] = result["windows"]
    assert (given["low_rad"], given["high_rad"]) == pytest.approx((low, high), abs=1e-5)
    assert result["strings_clearance_m"] / INCH == pytest.approx(0.2)
    assert math.degrees(result["margin_rad"]) == pytest.approx(126.7 - 85, abs=0.05)
    assert result["inside"] is True


@pytest.mark.parametrize(
    ("angle_deg", "tolerance_deg", "inside"),
    [(100, 12, True), (100, 30, False), (-100, 12, True), (130, 0, False), (300, 12, True)],
)
def test_inside_with_the_tolerance(angle_deg, tolerance_deg, inside):
    angles = {
        "pothead_angle_rad": math.radians(angle_deg),
        "pothead_tolerance_rad": math.radians(tolerance_deg),
    }
    result = window(**angles)
    assert result["inside"] is inside
    assert result["envelope_m"] >= result["strings_m"] - 1e-12


def test_no_window_and_a_window_all_round():
    assert window(drift_m=0.2)["windows"] == []
    assert window(drift_m=0.2)["inside"] is False
    assert window(drift_m=0.2)["strings_clearance_m"] < 0
    wide = window(drift_m=1.0, axis_spacing_m=0.2)
    assert wide["windows"] == [{"low_rad": 0.0, "high_rad": math.pi}]
    assert "margin_rad" not in wide
    assert wide["inside"] is True


@pytest.mark.parametrize(
    ("name", "changes", "where", "says"),
    [
        ("cable-window", {"axis_spacing_m": 0.1}, "axis_spacing_m", "half of both diameters"),
        ("cable-window", {"corner_radius_m": 0.01}, "corner_radius_m", "half the thickness"),
        ("enclosing-circle", {"discs": []}, "discs", "needs 1 at least"),
        ("stroke-left", {"length_m": 1.0}, "length_m", "must lie from 0.74 to 0.98"),
        ("stroke-left", {"open_m": 0.7}, "closed_m", "must be below the open length"),
    ],
)
def test_what_can_not_be_is_refused(name, changes, where, says):
    with pytest.raises(InputError, match=says) as caught:
        calculators.run(name, {**calculators.example(name), **changes})
    assert caught.value.where.field == where


def test_stroke_of_the_second_job():
    result = calculators.run("stroke-left", calculators.example("stroke-left"))
    assert result["to_closed_m"] == pytest.approx(0.117)
    assert result["turns_to_open_count"] == pytest.approx(20.5)
    plain = {"length_m": 3.0, "closed_m": 2.6, "open_m": 3.4}
    assert "turns_to_open_count" not in calculators.run("stroke-left", plain)
