"""Friction from readings made with a known friction, and told apart from a hang-up."""

import math
import random

import pytest

from abreast.errors import InputError
from abreast.formulas.survey import Station, positions
from abreast.mechanics.hook_fit import Prior, Reading, diagnose, fit_friction
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, hook_load

HOLE = positions(
    [
        Station(md, math.radians(inc), math.radians(azi))
        for md, inc, azi in [(0, 0, 0), (500, 0, 0), (1000, 48, 60), (2000, 48, 65)]
    ]
)
ITEMS = [StringItem("tubing", 2000.0, 37_500.0, 0.1)]


def model(depth_m, friction):
    load = hook_load(HOLE, ITEMS, depth_m, Fluids(1030, 1030), Drag(friction))
    return load.up_n[-1], load.down_n[-1], load.still_n[-1]


def slant(depth_m, friction):
    """A straight hole at 45 degrees, 200 N/m."""
    weight_n = 200 * depth_m * math.sqrt(0.5)
    return weight_n * (1 + friction), weight_n * (1 - friction), weight_n


def reading(depth_m, friction, up_n=0.0, down_n=0.0):
    up, down, _ = model(depth_m, friction)
    return Reading(depth_m, up + up_n, down + down_n)


EARLIER = [reading(depth, 0.27) for depth in (900.0, 1100.0, 1300.0)]


def test_friction_comes_back():
    found = fit_friction(EARLIER, model)
    assert found.friction_ratio == pytest.approx(0.27, abs=1e-7)
    assert found.spread_ratio == pytest.approx(0.0, abs=1e-6)
    assert not found.at_bound


def test_the_spread_covers_scatter_as_often_as_it_says():
    rng = random.Random(14)
    depths = [1000.0, 1200.0, 1400.0, 1600.0]
    clean = [Reading(depth, *slant(depth, 0.27)[:2]) for depth in depths]
    misses = []
    for _ in range(400):
        rows = [
            Reading(r.bottom_md_m, r.up_n + rng.gauss(0, 2e3), r.down_n + rng.gauss(0, 2e3))
            for r in clean
        ]
        found = fit_friction(rows, slant)
        misses.append(abs(found.friction_ratio - 0.27) / found.spread_ratio)
    inside = sum(miss < 1 for miss in misses) / len(misses)
    assert 0.6 < inside < 0.7  # 0.65 of Student's t with 7 degrees of freedom


def test_a_wrong_weight_shows_in_the_bias():
    rows = [Reading(r.bottom_md_m, r.up_n + 5e3, r.down_n + 5e3) for r in EARLIER]
    found = fit_friction(rows, model)
    assert found.friction_ratio == pytest.approx(0.27, abs=0.03)
    assert found.bias_n == pytest.approx(5e3, rel=0.1)


def test_a_weight_no_friction_explains_is_said():
    up, _, still = model(1500.0, 0.0)
    assert fit_friction([Reading(1500.0, up_n=still * 0.9)], model).at_bound
    assert fit_friction([Reading(1500.0, up_n=up)], model).spread_ratio is None


@pytest.mark.parametrize(
    ("last", "kind"),
    [
        (reading(1500.0, 0.28), "as before"),
        (reading(1500.0, 0.55), "friction change"),
        (reading(1500.0, 0.27, down_n=-60e3), "hang-up"),
        (reading(1500.0, 0.27, up_n=60e3), "hang-up"),
        (reading(1500.0, 0.27, up_n=60e3, down_n=60e3), "weight"),
    ],
)
def test_what_a_reading_says(last, kind):
    found = diagnose([*EARLIER, last], model)
    assert [one.kind for one in found[:2]] == ["too few before"] * 2
    assert found[2].kind == "as before"
    assert found[3].kind == kind


def test_the_numbers_behind_a_verdict():
    found = diagnose([*EARLIER, reading(1500.0, 0.27, up_n=60e3)], model)[-1]
    assert found.friction_ratio == pytest.approx(0.27, abs=1e-6)
    assert found.more_drag_n == pytest.approx((60e3, 0.0), abs=1.0)
    assert found.words == "one-sided, picking up"


def test_a_large_change_of_friction_is_no_hang_up():
    """A hole that turns by 2.6 rad: picking up gains over twice what slacking off loses."""

    def bent(depth_m, friction):
        still = 100.0 * depth_m
        return still * math.exp(2.6 * friction), still * math.exp(-2.6 * friction), still

    before = [Reading(depth, *bent(depth, 0.2)[:2]) for depth in (900.0, 1100.0)]
    up, down, _ = bent(1300.0, 0.5)
    more_up, more_down = up - bent(1300.0, 0.2)[0], bent(1300.0, 0.2)[1] - down
    assert more_down < more_up / 2
    found = diagnose([*before, Reading(1300.0, up, down)], bent)[-1]
    assert found.kind == "friction change"
    assert "friction 0.50" in found.words


def test_what_no_single_cause_explains():
    found = diagnose([*EARLIER, reading(1500.0, 0.27, up_n=120e3, down_n=45e3)], model)[-1]
    assert found.kind == "unclear"


def test_an_expected_friction_judges_the_first_reading():
    found = diagnose([reading(1500.0, 0.27, down_n=-60e3)], model, start_ratio=0.25)
    assert found[0].kind == "hang-up"
    assert found[0].friction_ratio == 0.25


def test_a_vertical_hole_leaves_the_expected_friction():
    """At 400 m friction makes no difference: with nothing expected it is refused."""
    rows = [Reading(400.0, up_n=1e5, down_n=1e5)]
    assert fit_friction(rows, model, Prior(0.3, 0.1, 1e3)).friction_ratio == pytest.approx(0.3)
    still = model(400.0, 0.0)[2]
    shallow = [Reading(400.0, still + off, still - off) for off in (900.0, -800.0, 700.0)]
    found = diagnose([*shallow, reading(1500.0, 0.27)], model, start_ratio=0.25)
    assert [one.kind for one in found] == ["as before"] * 4
    assert found[-1].friction_ratio == pytest.approx(0.25)


def test_many_readings_outweigh_what_was_expected():
    rows = [reading(depth, 0.4) for depth in range(900, 1900, 50)]
    found = fit_friction(rows, model, Prior(0.2, 0.1, 5e3))
    assert found.friction_ratio == pytest.approx(0.4, abs=0.01)
    few = fit_friction(rows[:1], model, Prior(0.2, 0.1, 50e3))
    assert 0.2 < few.friction_ratio < 0.3


def test_what_the_indicator_cannot_tell_is_no_alarm():
    last = reading(1500.0, 0.27, down_n=-40e3)
    assert diagnose([*EARLIER, last], model)[-1].kind == "hang-up"
    assert diagnose([*EARLIER, last], model, least_n=50e3)[-1].kind == "as before"


def test_one_weight_alone_is_not_judged():
    found = diagnose([*EARLIER, Reading(1500.0, up_n=1e6)], model)
    assert found[-1].words.startswith("not checked: needs the weight both")


def test_refusals():
    with pytest.raises(InputError, match="at least one reading"):
        fit_friction([], model)
    with pytest.raises(InputError, match="picking up, slacking off"):
        Reading(1000.0)
    with pytest.raises(InputError, match="makes no difference"):
        fit_friction([Reading(400.0, up_n=1e5)], model)
