"""Hook load of a whole string against figures from outside, and against exact limits.

The well of 60 degrees was worked outside this program as a differential equation,
dT/ds = w cos + - mu |w sin - T/R| at a tolerance of 1e-10, with the equations of
Johancsik, Friesen and Dawson, JPT June 1984; it is in no paper. The buoyancy factor
of 9 ppg in steel of 65.5 ppg is that of handbooks, from memory.
"""

from __future__ import annotations

import math

import pytest

from abreast.errors import InputError
from abreast.formulas.survey import Station, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, forecast, hook_load

FT, LB, LBF, G = 0.3048, 0.45359237, 4.4482216152605, 9.80665
PPG = LB / 0.003785411784


def hole(*rows):
    return positions(
        [Station(md * FT, math.radians(inc), math.radians(azi)) for md, inc, azi in rows]
    )


WELL = hole((0, 0, 0), (1000, 0, 0), (3000, 60, 0), (6000, 60, 0))
MUD = Fluids(9.0 * PPG, 9.0 * PPG, steel_kg_m3=65.5 * PPG)


def tubing(length_ft, count=1):
    """2-7/8 in, 6.5 lb/ft, in equal pieces."""
    each = length_ft / count
    return [StringItem(f"J{k}", each * FT, 6.5 * each * LB, 0.062) for k in range(count)]


@pytest.mark.parametrize("count", [1, 6, 150])
def test_a_whole_well_however_the_string_is_parted(count):
    load = hook_load(WELL, tubing(6000, count), 6000 * FT, MUD, Drag(0.25))
    assert load.still_n[-1] / LBF == pytest.approx(23_290.86, abs=1.0)
    assert load.up_n[-1] / LBF == pytest.approx(30_131.60, abs=2.0)
    assert load.down_n[-1] / LBF == pytest.approx(18_339.91, abs=2.0)


def test_the_last_row_of_a_run_is_the_whole_well():
    run = forecast(WELL, tubing(6000, 150), MUD, Drag(0.25))
    assert run[-1].up_n[-1] / LBF == pytest.approx(30_131.60, abs=2.0)
    at_1000 = run[24]
    assert at_1000.up_n == at_1000.down_n  # vertical: nothing touches
    assert at_1000.up_n[-1] / LBF == pytest.approx(6.5 * 1000 * 0.86260, abs=0.1)


@pytest.mark.parametrize("friction", [0.0, 0.3, 1.0])
def test_a_vertical_hole_has_no_drag_and_no_compression(friction):
    straight = hole((0, 0, 0), (6000, 0, 0))
    load = hook_load(straight, tubing(6000, 5), 6000 * FT, MUD, Drag(friction))
    assert load.up_n == load.still_n == load.down_n
    assert load.compressed_md_m is None
    assert load.warning == ""


@pytest.mark.parametrize("friction", [0.2, 1.0])
def test_a_horizontal_hole_holds_mu_times_the_weight(friction):
    """W sin 90 mu either way; slacking off it must be pushed: compressed all along."""
    flat = hole((0, 90, 30), (3000, 90, 30))
    load = hook_load(flat, tubing(3000, 7), 3000 * FT, Fluids(), Drag(friction))
    weight_n = 6.5 * 3000 * LB * G
    assert load.still_n[-1] == pytest.approx(0.0, abs=1e-6)
    assert load.up_n[-1] == pytest.approx(friction * weight_n)
    assert load.down_n[-1] == pytest.approx(-friction * weight_n)
    assert load.hangs_up
    assert load.compressed_md_m[0] == 0.0


def test_friction_of_one_just_holds_the_string_at_45_degrees():
    """A block on a slope slides while mu is below 1 / tan of the inclination, exact."""
    slope = hole((0, 45, 0), (3000, 45, 0))
    held = hook_load(slope, tubing(3000), 3000 * FT, Fluids(), Drag(1.0))
    assert held.down_n[-1] == pytest.approx(0.0, abs=1e-6)
    slides = hook_load(slope, tubing(3000), 3000 * FT, Fluids(), Drag(0.99))
    assert not slides.hangs_up


@pytest.mark.parametrize("level_ft", [500.0, 2000.0, 4321.0])
def test_a_level_in_mid_string_buoys_what_is_below_it(level_ft):
    """Weight in air, less Archimedes below the level: by true vertical depth of the level."""
    level_m = level_ft * FT
    fluids = Fluids(9.0 * PPG, 9.0 * PPG, level_m, level_m, 65.5 * PPG)
    load = hook_load(WELL, tubing(6000, 9), 6000 * FT, fluids, Drag(0.0))
    radius, angle = 2000 * 3 / math.pi, math.radians(max(level_ft - 1000, 0) * 0.03)
    if level_ft <= 3000:
        level_down = min(level_ft, 1000) + radius * math.sin(angle)
    else:
        level_down = 1000 + radius * math.sin(math.pi / 3) + (level_ft - 3000) / 2
    end_down = 1000 + radius * math.sin(math.pi / 3) + 1500
    pounds = 6.5 * (level_down + (end_down - level_down) * (1 - 9.0 / 65.5))
    assert load.still_n[-1] / LBF == pytest.approx(pounds, rel=1e-9)


def test_a_string_longer_than_the_well_is_refused():
    with pytest.raises(InputError, match="beyond the survey"):
        forecast(WELL, tubing(6100, 3), MUD, Drag(0.25))
