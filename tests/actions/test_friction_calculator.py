"""Friction from recorded weights: closed form on a slope, scipy on a well, and what is refused."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from abreast.actions import calculators
from abreast.errors import InputError

WEIGHT_N_M, TILT = 200.0, math.radians(40)


def fit(**changes):
    return calculators.run("friction-fit", {**calculators.example("friction-fit"), **changes})


def slope(readings, **more):
    """A straight hole at 40 degrees, 200 N/m in air."""
    ends = [{"md_m": md, "inclination_rad": TILT, "azimuth_rad": 1.0} for md in (0.0, 3000.0)]
    item = {"id": "pipe", "length_m": 3000.0, "mass_kg": WEIGHT_N_M * 3000.0 / 9.80665}
    given_ = {"stations": ends, "items": [item], "readings": readings}
    return calculators.run("friction-fit", {**given_, **more})


@settings(max_examples=30, deadline=None)
@given(st.floats(0.05, 0.6), st.lists(st.floats(-3e3, 3e3), min_size=6, max_size=6))
def test_a_straight_slope_is_the_closed_form(friction, off_n):
    """F = w L (cos I +- mu sin I) is linear in mu: mu = sum s (F - w L cos I) / sum s^2,
    spread sqrt(sum miss^2 / (n - 1) / sum s^2), s = +- w L sin I."""
    depths = [1000.0, 1500.0, 2500.0]
    along = np.array([WEIGHT_N_M * md * sign for md in depths for sign in (1, -1)])
    slopes, still = along * math.sin(TILT), abs(along) * math.cos(TILT)
    loads = still + slopes * friction + np.array(off_n)
    rows = [
        {"bottom_md_m": md, "up_n": float(loads[2 * k]), "down_n": float(loads[2 * k + 1])}
        for k, md in enumerate(depths)
    ]
    found = slope(rows)
    best = float(np.sum(slopes * (loads - still)) / np.sum(slopes**2))
    misses = loads - still - slopes * best
    assert found["friction_ratio"] == pytest.approx(best, abs=1e-9)
    spread = math.sqrt(np.sum(misses**2) / 5 / np.sum(slopes**2))
    assert found["spread_ratio"] == pytest.approx(spread, rel=1e-5, abs=1e-9)
    assert found["residual_n"] == pytest.approx(math.sqrt(np.mean(misses**2)), rel=1e-5, abs=1e-4)
    assert found["bias_n"] == pytest.approx(np.mean(misses), rel=1e-5, abs=1e-3)
    told = [one[way] for one in found["misses"] for way in ("up_n", "down_n")]
    assert told == pytest.approx(misses.tolist(), abs=1e-2)
    assert found["weights_count"] == 6


def test_a_curved_well_is_what_scipy_finds():
    """curve_fit of scipy, its covariance too, on the loads of a curved hole."""
    example = calculators.example("friction-fit")
    well = {key: value for key, value in example.items() if key != "readings"}
    depths = [1200.0, 1500.0, 1800.0, 2150.0]
    rng = random.Random(5)

    def loads(friction):
        found = [
            calculators.run("soft-string", {**well, "bottom_md_m": md, "friction_ratio": friction})
            for md in depths
        ]
        return np.array([one[way] for one in found for way in ("up_n", "down_n")])

    seen = loads(0.31) + np.array([rng.gauss(0, 1500) for _ in range(8)])
    best, covariance = curve_fit(
        lambda _, friction: loads(float(friction)), np.arange(8.0), seen, p0=[0.2]
    )
    rows = [
        {"bottom_md_m": md, "up_n": float(seen[2 * k]), "down_n": float(seen[2 * k + 1])}
        for k, md in enumerate(depths)
    ]
    found = fit(readings=rows)
    assert found["friction_ratio"] == pytest.approx(best[0], abs=1e-5)
    assert found["spread_ratio"] == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-3)
    assert abs(found["friction_ratio"] - 0.31) < 3 * found["spread_ratio"]


def test_what_was_expected_counts_as_one_more_weight():
    """mu = (sum s r + (noise/spread)^2 mu0) / (sum s^2 + (noise/spread)^2), by hand."""
    s_n = WEIGHT_N_M * 1000.0 * math.sin(TILT)
    still_n = WEIGHT_N_M * 1000.0 * math.cos(TILT)
    row = {"bottom_md_m": 1000.0, "up_n": still_n + 0.4 * s_n}
    known = {"expected_ratio": 0.2, "expected_spread_ratio": 0.05, "noise_n": 4e3}
    found = slope([row], **known)
    more = (4e3 / 0.05) ** 2
    expected = (s_n**2 * 0.4 + more * 0.2) / (s_n**2 + more)
    assert found["friction_ratio"] == pytest.approx(expected, abs=1e-9)
    assert "spread_ratio" not in found and slope([row])["friction_ratio"] == pytest.approx(0.4)


def test_weights_no_friction_explains_are_said():
    still_n = WEIGHT_N_M * 1000.0 * math.cos(TILT)
    light = slope([{"bottom_md_m": 1000.0, "up_n": 0.8 * still_n}])
    assert light["friction_ratio"] == 0.0 and "outside 0 to 1" in light["remarks"][0]
    s_n = 0.3 * WEIGHT_N_M * 1000.0 * math.sin(TILT)
    both = {"bottom_md_m": 1000.0, "up_n": still_n + s_n + 9e3, "down_n": still_n - s_n + 9e3}
    heavy = slope([both])
    assert heavy["friction_ratio"] == pytest.approx(0.3)
    assert heavy["bias_n"] == pytest.approx(9e3)
    assert any("weights and fluids" in line for line in heavy["remarks"])


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"readings": []}, "readings"),
        ({"readings": [{"bottom_md_m": 1500.0}]}, "readings.1.up_n"),
        (
            {"readings": [{"bottom_md_m": 1500.0, "up_n": 1e5}, {"bottom_md_m": 9e3, "up_n": 1e5}]},
            "readings.2.bottom_md_m",
        ),
        ({"readings": [{"bottom_md_m": 1e-7, "up_n": 1e5}]}, "readings.1.bottom_md_m"),
        ({"readings": [{"bottom_md_m": 300.0, "up_n": 1e5}]}, "readings"),
        ({"expected_ratio": 0.2}, "noise_n"),
        ({"noise_n": 1e3}, "expected_ratio"),
        ({"items": [{"length_m": 10.0, "mass_kg": 100.0, "bore_m": 0.07}]}, "items"),
    ],
)
def test_nonsense_is_refused_with_its_field(changes, field):
    with pytest.raises(InputError) as caught:
        fit(**changes)
    assert caught.value.where.field == field
