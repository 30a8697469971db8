"""Known numbers of both invented jobs in their sharpest bends, and a motor that is too large.

Beams of handbooks (Roark; Timoshenko, from memory) and statics by hand give what
the contact model must lie between; figures of the model itself are marked 'from
our own run' and held so that they do not drift.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.checks.twins import (
    FT,
    IN,
    LBF,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.mechanics.fit import fit
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.mechanics.twin_beam_lines import read_twin_beam
from abreast.mechanics.twin_beam_solve import FOUND
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place, sweep
from abreast.model import Job
from abreast.spaceout.assemble import assemble

MM = 0.001
ACROSS, IN_LINE = (90, 270), (0, 180)


def at_depths(job: Job, choice, depths_m, union="free", *, rolls=ROLLS_RAD, **changes):
    """Every place, by depth of the Y-tool's legs (the zero of the beams) and roll in degrees."""
    twin = read_twin_beam(job, assemble(job, choice), union=union).twin
    if changes.get("weightless"):
        bare = (
            replace(one, segments=tuple(replace(s, weight_n_m=0.0) for s in one.segments))
            for one in twin.strings
        )
        twin = replace(twin, strings=tuple(bare))
    hole = read_hole(job, wall=changes.get("wall", "bore"))
    found = sweep(twin, hole, list(depths_m), rolls, way=changes.get("way", "down"))
    return {(round(one.md_m, 3), round(one.roll_deg)): one for one in found}


# --- job 1: 3.07 deg/100 ft at 4,300 to 4,330 ft -------------------------------------------

# Heights over the seat plane, 1.15 ft above z = 0 of the tables: middle of the motor set,
# of the frame, of the three pumps; the bypass leg of the Y-tool at z 109.82 ft.
LEG_M = (109.82 - 1.15) * FT
BESIDE = {
    "motor set": (31.25 - 1.15) / 2 * FT,
    "middle": LEG_M / 2,
    "pumps": ((43.97 + 104.73) / 2 - 1.15) * FT,
}
STRAIGHT_M = 5600 * FT + 4.20 * FT - 0.62 * FT


def zero_m(name: str) -> float:
    """Depth of the legs with that height in the middle of the bend."""
    return STRAIGHT_M if name == "straight" else 4315 * FT - (LEG_M - BESIDE[name])


@cache
def bend_1(union: str, weightless: bool = False) -> dict[str, dict[int, Place]]:
    names = (*BESIDE, "straight")
    found = at_depths(
        job_1(),
        choice_1(),
        [zero_m(name) for name in names],
        union,
        weightless=weightless,
        way="still" if weightless else "down",
    )
    return {
        name: {roll: one for (md, roll), one in found.items() if abs(md - zero_m(name)) < 0.01}
        for name in names
    }


@pytest.mark.parametrize("union", ["free", "locked"])
def test_job_1_passes_its_bend_at_every_roll(union):
    """It bends through where a rigid gauge of 30 ft would need 0.73 in and has 0.22."""
    for name, rolls in bend_1(union).items():
        assert len(rolls) == 8, name
        assert all(one.found for one in rolls.values()), name
    if union == "free":
        assert {one.state for rolls in bend_1(union).values() for one in rolls.values()} == {"ok"}


# From our own run: side force [kN] and greatest moment [kN m], least and most of all rolls.
OWN_1 = {
    ("free", "motor set"): ((7.06, 12.9), (2.01, 3.18)),
    ("free", "middle"): ((6.66, 9.92), (1.97, 2.12)),
    ("free", "pumps"): ((6.60, 10.4), (1.76, 1.98)),
    ("free", "straight"): ((2.31, 3.96), (1.09, 1.36)),
    ("locked", "motor set"): ((7.15, 19.2), (1.54, 3.63)),
    ("locked", "middle"): ((6.97, 16.8), (1.88, 3.01)),
    ("locked", "pumps"): ((8.12, 16.6), (1.68, 3.08)),
    ("locked", "straight"): ((7.68, 9.35), (1.57, 1.70)),
}


@pytest.mark.parametrize(("union", "name"), OWN_1)
def test_side_forces_and_moments_of_job_1_do_not_drift(union, name):
    sides, moments = OWN_1[union, name]
    rolls = bend_1(union)[name].values()
    side = [one.side_n / 1e3 for one in rolls]
    moment = [one.moment_nm / 1e3 for one in rolls]
    assert (min(side), max(side)) == pytest.approx(sides, rel=0.02)
    assert (min(moment), max(moment)) == pytest.approx(moments, rel=0.02)


def test_the_bend_asks_for_more_than_the_straight_stretch():
    free, locked = bend_1("free"), bend_1("locked")
    for name in BESIDE:
        for roll, one in free[name].items():
            assert one.side_n > 1.3 * free["straight"][roll].side_n
        for run in (free, locked):
            worst = max(one.side_n for one in run[name].values())
            assert worst > 1.5 * max(one.side_n for one in run["straight"].values())
    for roll, one in free["motor set"].items():
        motor = "motor", "body"
        assert one.moments_nm[motor] > 1.5 * free["straight"][roll].moments_nm[motor]


def test_the_motor_takes_the_curvature_of_the_bend_at_its_worst_roll():
    """EI kappa = 404.8e6 lbf in2 / 22396 in = 18,075 lbf in = 2.04 kN m, by hand.

    Where the ESP lies on the inner wall it must bend that much; nothing asks for twice.
    """
    follows_nm = 404.8e6 / 22396 * LBF * IN
    worst = max(one.moments_nm["motor", "body"] for one in bend_1("free")["motor set"].values())
    assert follows_nm < worst < 2 * follows_nm


def test_side_force_of_the_bend_lies_between_two_beams():
    """Without weight, so of the bend alone; motor set, 30.10 ft, s - c = 0.728 - 0.241 in.

    Ends free to turn: F = 48 EI (s - c)/L^3 = 201 lbf in the middle and half of it at
    each end, 2 F in all where the bypass is outside of the bend. Ends clamped: four times F, and
    the bypass beside it adds 30e6 x 1.611 in4 = 48.3e6 to 404.8e6 lbf in2. By hand;
    beams of handbooks, so an estimate, not a theorem.
    """
    beam_n = 48 * 404.8e6 * (0.728 - 0.241) / 361.2**3 * LBF
    assert beam_n / LBF == pytest.approx(201, abs=1)
    rolls = bend_1("free", weightless=True)["motor set"]
    sides = [one.side_n for one in rolls.values()]
    assert min(sides) > beam_n
    assert 2 * beam_n < max(sides) < 2 * 4 * beam_n * (1 + 48.3 / 404.8)
    weighed = bend_1("free")["motor set"]
    assert all(one.side_n > 2 * beam_n for one in weighed.values())


def test_the_bend_turns_down_and_right_and_the_rolls_follow_it():
    """0.7 deg of drop, 3 deg x sin 11.55 = 0.60 deg to the right: centre of curvature at

    180 - atan(0.60/0.70) = 139 deg from the high side. With the bypass at 319 deg the
    ESP lies inside the bend and is pressed onto the inner wall; at 139 outside. By hand.
    """
    for run in (bend_1("free"), bend_1("locked"), bend_1("free", weightless=True)):
        rolls = run["motor set"]
        for measure in (lambda one: one.side_n, lambda one: one.moments_nm["motor", "body"]):
            worst = max(rolls, key=lambda roll: measure(rolls[roll]))
            best = min(rolls, key=lambda roll: measure(rolls[roll]))
            assert worst == 315
            assert best in (135, 180)
            assert measure(rolls[worst]) > 1.5 * measure(rolls[best])


def test_a_locked_union_adds_to_what_the_bend_asks_for():
    """The frame cannot slide: the worst roll is pressed harder, and the union feels the bend."""
    free, locked = bend_1("free")["motor set"], bend_1("locked")["motor set"]
    assert max(o.side_n for o in locked.values()) > 1.2 * max(o.side_n for o in free.values())
    forces = [one.union_n for one in locked.values()]
    straight = [one.union_n for one in bend_1("locked")["straight"].values()]
    assert max(forces) - min(forces) > 5 * (max(straight) - min(straight))
    # Opposite rolls stretch and press it by the same: their mean is what it was locked with.
    for roll in (0, 45, 90, 135):
        mean = (locked[roll].union_n + locked[roll + 180].union_n) / 2
        assert mean == pytest.approx(np.mean(straight), rel=0.06)
    assert all(one.union_n == 0 for one in free.values())


# --- job 2: 2.45 deg/30 m at 640 to 700 m --------------------------------------------------

LEG_2_M = 27.55 + 0.16
BESIDE_2 = {"motor": (0.90 + 10.74) / 2, "pumps": (13.98 + 26.21) / 2}


def zero_2_m(name: str) -> float:
    return 2151.0 if name == "straight" else 670.0 - (LEG_2_M - BESIDE_2[name])


@cache
def bend_2() -> dict[str, dict[int, Place]]:
    names = (*BESIDE_2, "straight")
    found = at_depths(job_2(), choice_2(), [zero_2_m(name) for name in names])
    return {
        name: {roll: one for (md, roll), one in found.items() if abs(md - zero_2_m(name)) < 0.01}
        for name in names
    }


@pytest.mark.parametrize("name", ["motor", "pumps", "straight"])
def test_job_2_passes_at_every_roll(name):
    rolls = bend_2()[name]
    assert len(rolls) == 8
    assert {one.state for one in rolls.values()} == {"ok"}


@pytest.mark.parametrize("name", ["motor", "pumps"])
def test_rolls_that_mirror_each_other_in_a_plane_bend_are_alike(name):
    """Azimuth 62 at 640 and at 700 m: bend and weight in one plane. The cable does not touch."""
    rolls = bend_2()[name]
    for roll in (45, 90, 135):
        one, other = rolls[roll], rolls[360 - roll]
        assert one.side_n == pytest.approx(other.side_n, rel=0.005)
        assert one.moment_nm == pytest.approx(other.moment_nm, rel=0.005)
        assert one.guard_n == other.guard_n == 0


@pytest.mark.parametrize("name", ["motor", "pumps", "straight"])
def test_across_the_low_side_drags_more_by_the_wedge(name):
    """Both strings on the low side hold each other apart: N1 + N2 <= W / cos(g/2), by hand.

    Motor and pipe in 157.07 mm: 32.84 and 48.37 mm off the axis and 76.65 apart, so their
    normals stand g apart, cos g = (32.84^2 + 48.37^2 - 76.65^2)/(2 x 32.84 x 48.37)
    = -0.774, g = 140.7 deg: at most 2.97 times what they drag in line.
    """
    r1, r2, apart = 78.535 - 45.7, 78.535 - 30.165, 76.65
    most = 1 / math.cos(math.acos((r1**2 + r2**2 - apart**2) / (2 * r1 * r2)) / 2)
    assert most == pytest.approx(2.97, abs=0.01)
    rolls = bend_2()[name]
    for across in ACROSS:
        for in_line in IN_LINE:
            assert 1.4 < rolls[across].drag_n / rolls[in_line].drag_n < most


# From our own run: side force [kN] and motor moment [kN m], least and most of all rolls.
OWN_2 = {
    "motor": ((4.09, 6.43), (0.357, 0.648)),
    "pumps": ((4.34, 6.82), (0.359, 0.657)),
    "straight": ((9.78, 14.9), (0.122, 0.673)),
}


@pytest.mark.parametrize("name", OWN_2)
def test_side_forces_and_moments_of_job_2_do_not_drift(name):
    sides, moments = OWN_2[name]
    rolls = bend_2()[name].values()
    side = [one.side_n / 1e3 for one in rolls]
    motor = [one.moments_nm["motor", "body"] / 1e3 for one in rolls]
    assert (min(side), max(side)) == pytest.approx(sides, rel=0.02)
    assert (min(motor), max(motor)) == pytest.approx(moments, rel=0.02)


# --- job 2 with a motor of 95.25 mm --------------------------------------------------------


def variant() -> Job:
    """As far from the bypass as the smaller motor: 47.625 + 30.165 + 0.785 = 78.575 mm apart."""
    job = with_row(job_2(), "esp", "motor", body_od_m=95.25 * MM, max_od_m=95.25 * MM)
    return with_section(job, "setting", axis_spacing_m=78.575 * MM)


ELSEWHERE_M = (300.0, 500.0, 670.0, 1000.0, 1150.0, 1500.0, 1690.0, 2000.0, 2151.0)


@cache
def variant_at(*depths_m: float, wall: str = "bore"):
    return at_depths(variant(), choice_2(), depths_m, wall=wall)


@cache
def variant_in_tie_back() -> dict[int, Place]:
    """With the motor's head in the middle of the tie-back, in line and across."""
    # Strings that do not fit are driven apart without end in the search.
    with np.errstate(over="ignore", invalid="ignore"):
        at_m = 1258.0 - (LEG_2_M - 10.74)
        found = at_depths(variant(), choice_2(), (at_m,), rolls=(0.0, math.pi / 2))
    return {roll: one for (_, roll), one in found.items()}


def test_the_larger_motor_is_over_drift_and_tie_back_and_under_the_bore():
    """(95.25 + 60.33)/2 + 78.575 = 156.365: -2.5, +0.7 and -0.77 mm."""
    job = variant()
    found = fit(job, assemble(job, choice_2()))
    room = {one.passage.name: one for one in found.clearances}
    casing, bore = room["7 in 29 lb/ft L80 tie-back and liner"], room["tie-back polished bore"]
    assert casing.to_drift_m / MM == pytest.approx(-2.5, abs=0.05)
    assert casing.to_bore_m / MM == pytest.approx(0.7, abs=0.01)
    assert bore.to_bore_m / MM == pytest.approx(-0.765, abs=0.01)


def test_the_larger_motor_finds_shapes_elsewhere_at_the_nominal_bore():
    found = variant_at(*ELSEWHERE_M)
    assert len(found) == 8 * len(ELSEWHERE_M)
    assert {one.state for one in found.values()} <= set(FOUND)
    small = at_depths(job_2(), choice_2(), (2151.0,))
    for roll in ACROSS:  # and wedges harder than the smaller one
        assert found[2151.0, roll].side_n > 1.3 * small[2151.0, roll].side_n


def test_the_larger_motor_does_not_fit_the_tie_back_with_its_head_in_it():
    """1,255 to 1,261 m; the clamp at the motor's head holds the axes 78.575 mm apart."""
    assert {one.state for one in variant_in_tie_back().values()} == {"does not fit"}


def test_the_motor_is_named_where_it_does_not_fit_the_tie_back():
    found = variant_in_tie_back().values()
    assert all("motor" in one.where or "C1" in one.where for one in found)


@pytest.mark.parametrize("way", ["still", "up"])
def test_the_larger_motor_does_not_fit_the_tie_back_at_rest_either(way):
    """Play of 0.4 mm in the clamp: 156.365 - 0.4 = 155.965, still 0.36 mm over the tie-back."""
    at_m = 1258.0 - (LEG_2_M - 10.74)
    found = at_depths(variant(), choice_2(), (at_m,), rolls=(0.0,), way=way)
    assert {one.state for one in found.values()} == {"does not fit"}


@pytest.mark.parametrize(
    "od_mm",
    [
        157.08,
        157.3,
        157.6,
    ],
)
def test_a_clamp_wider_than_the_bore_does_not_fit_and_is_named(od_mm):
    """A round clamp in 157.07 mm."""
    job = with_row(job_2(), "clamps", "C1", max_od_m=od_mm * MM)
    found = at_depths(job, choice_2(), (2151.0,), rolls=(0.0,), way="still")
    assert {(one.state, one.where) for one in found.values()} == {("does not fit", "C1 clamp")}


def test_between_its_clamps_the_larger_motor_passes_the_tie_back_only_by_force():
    """There the strings may come together: 95.25 + 60.33 = 155.58 mm, 0.02 under the tie-back.

    So in the model its lower part squeezes through where the widths say that it does
    not fit; across the low side the wall pushes several times as hard.
    """
    at_m = round(1258.0 - (LEG_2_M - 5.8), 3)
    found = variant_at(at_m, 1150.0)
    assert all(found[at_m, roll].side_n > 4 * found[1150.0, roll].side_n for roll in ACROSS)


def test_at_the_drift_the_larger_motor_fits_nowhere_and_is_named():
    """155.58 mm with the strings together is more than 153.90."""
    found = variant_at(*ELSEWHERE_M, wall="drift")
    assert {one.state for one in found.values()} == {"does not fit"}
    assert all("motor" in one.where for one in found.values())
