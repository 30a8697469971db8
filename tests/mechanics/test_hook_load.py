"""Hook load: buoyancy by levels, allowances, lock-up, refusals."""

import math
from dataclasses import replace

import pytest

from abreast.errors import InputError
from abreast.formulas.survey import Station, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, forecast, hook_load

G = 9.80665


def hole(*rows):
    return positions([Station(md, math.radians(inc), math.radians(azi)) for md, inc, azi in rows])


STRAIGHT = hole((0, 0, 0), (2000, 0, 0))
SLANT = hole((0, 0, 0), (500, 0, 0), (1000, 48, 60), (2000, 48, 65))
PIPE = StringItem("tubing", 1000.0, 18_750.0, 0.1005, clamps=100)
AIR = Fluids()


def test_same_fluid_inside_and_outside_is_the_buoyancy_factor():
    load = hook_load(STRAIGHT, [PIPE], 1000.0, Fluids(1030.5, 1030.5), Drag(0.3))
    assert load.still_n[-1] == pytest.approx(18_750 * G * (1 - 1030.5 / 7850), rel=1e-12)


def test_archimedes_by_levels():
    """Weight in air, plus the fluid inside, less the fluid displaced, each below its level."""
    fluids = Fluids(1030.5, 900.0, 400.0, 700.0)
    bore_m2 = math.pi / 4 * 0.1005**2
    metal_m2 = 18.75 / 7850
    expected = 18_750 + 900 * bore_m2 * 300 - 1030.5 * (bore_m2 + metal_m2) * 600
    load = hook_load(STRAIGHT, [PIPE], 1000.0, fluids, Drag(0.0))
    assert load.still_n[-1] == pytest.approx(expected * G, rel=1e-9)


def test_an_empty_string_lifts_more_than_a_full_one():
    full = hook_load(STRAIGHT, [PIPE], 1000.0, Fluids(1030, 1030), Drag(0.0))
    empty = hook_load(STRAIGHT, [PIPE], 1000.0, Fluids(1030, 1030, -math.inf, math.inf), Drag(0.0))
    inner = math.pi / 4 * 0.1005**2 * 1000 * 1030 * G
    assert full.still_n[-1] - empty.still_n[-1] == pytest.approx(inner, rel=1e-9)


def test_without_friction_all_three_are_weight_times_vertical_depth():
    load = hook_load(SLANT, [replace(PIPE, length_m=2000.0)], 1800.0, AIR, Drag(0.0))
    depth_m = hole((0, 0, 0), (500, 0, 0), (1000, 48, 60), (2000, 48, 65))
    assert load.up_n == load.still_n == load.down_n
    assert load.still_n[-1] < 18_750 / 2000 * G * depth_m[-1].down_m
    whole = hook_load(SLANT, [replace(PIPE, length_m=2000.0)], 2000.0, AIR, Drag(0.0))
    assert whole.still_n[-1] == pytest.approx(18_750 / 2000 * G * depth_m[-1].down_m, rel=1e-9)


def test_allowances_add_both_ways_and_are_named_when_left_out():
    bare = hook_load(STRAIGHT, [PIPE], 1000.0, AIR, Drag(0.3))
    assert bare.not_counted == (
        "drag of the twin string: not counted",
        "drag of cable clamps: not counted",
    )
    load = hook_load(STRAIGHT, [PIPE], 1000.0, AIR, Drag(0.3, twin_n=5_000.0, clamp_n=20.0))
    assert load.not_counted == ()
    assert load.up_n[-1] - load.still_n[-1] == pytest.approx(5_000 + 100 * 20)
    assert load.still_n[-1] - load.down_n[-1] == pytest.approx(5_000 + 100 * 20)
    assert load.down_n[0] == -5_000


def test_lock_up_and_compression_are_said():
    steep = hole((0, 60, 0), (3000, 60, 0))
    stuck = hook_load(steep, [PIPE], 1000.0, AIR, Drag(0.6))
    assert stuck.hangs_up
    assert "does not go down" in stuck.warning
    slides = hook_load(steep, [PIPE], 1000.0, AIR, Drag(1 / math.tan(math.radians(60)) - 1e-3))
    assert not slides.hangs_up
    assert slides.warning == ""
    pushed = hook_load(STRAIGHT, [PIPE], 1000.0, AIR, Drag(0.3, twin_n=50_000.0))
    high, low = pushed.compressed_md_m
    assert (low, high) == pytest.approx((1000.0, 1000.0 - 50_000 / 18.75 / G), abs=10.0)
    assert "buckling is not counted" in pushed.warning


@pytest.mark.parametrize("friction", [0.0, 1.0])
def test_the_ends_of_the_range_of_friction_work(friction):
    load = hook_load(SLANT, [replace(PIPE, length_m=2000.0)], 2000.0, AIR, Drag(friction))
    assert load.down_n[-1] <= load.still_n[-1] <= load.up_n[-1]
    assert (load.compressed_md_m is not None) == (friction == 1.0)


def test_the_run_joint_by_joint():
    items = [StringItem(f"J{k}", 100.0, 1875.0) for k in range(15)]
    run = forecast(SLANT, items, AIR, Drag(0.25, clamp_n=0.0))
    assert [row.bottom_md_m for row in run] == [100.0 * k for k in range(1, 16)]
    assert run[4].up_n[-1] == pytest.approx(5 * 1875 * G)
    alone = hook_load(SLANT, items, 1500.0, AIR, Drag(0.25, clamp_n=0.0))
    assert run[-1].up_n == alone.up_n


@pytest.mark.parametrize(
    ("items", "bottom_m", "words"),
    [
        ([PIPE], 2500.0, "outside the survey"),
        ([PIPE], 1200.0, r"200\.00 m \(656\.17 ft\) too short"),
        ([], 1000.0, "at least one item"),
        ([PIPE], math.nan, "finite"),
    ],
)
def test_refusals(items, bottom_m, words):
    with pytest.raises(InputError, match=words):
        hook_load(STRAIGHT, items, bottom_m, AIR, Drag(0.3))


@pytest.mark.parametrize("friction", [-0.01, 1.01, math.nan])
def test_friction_outside_its_range(friction):
    with pytest.raises(InputError):
        Drag(friction)


def test_a_string_longer_than_the_hole():
    with pytest.raises(InputError, match="beyond the survey"):
        forecast(STRAIGHT, [replace(PIPE, length_m=2001.0)], AIR, Drag(0.3))
