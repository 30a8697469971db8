"""The contact calculator, as a user calls it, against closed forms.

Formulas of Roark, *Formulas for Stress and Strain*, and Timoshenko & Gere, *Theory of
Elastic Stability* (from memory), unless another source stands beside them. Handbook cases
of a 2-7/8 in 6.5 lb/ft pipe are worked by hand from them in lbf and inches.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from abreast.actions.calculators import run

EI = 2.0e5
IN, LBF = 0.0254, 4.4482216152605
PIPE_EI, PIPE_W = 4.8327e7 * LBF * IN**2, 0.5417 * LBF / IN


def string(length_m, ei_nm2=EI, parts=(), *, x_m=0.0, tension_n=0.0, **segment):
    segments = [{"length_m": float(length_m), "ei_nm2": ei_nm2, **segment}]
    return {"segments": segments, "parts": list(parts), "x_m": x_m, "tension_n": tension_n}


def part(at_m, diameter_m=0.0, **more):
    return {"at_m": float(at_m), "diameter_m": diameter_m, **more}


def pinned(*at_m):
    return [{"at_m": float(one)} for one in at_m]


def lies(*strings, **more):
    found = run("contact-beam", {"strings": list(strings), **more})
    assert found["state"] == "ok"
    return found


def place(found, at_m, string="first"):
    return next(
        p for p in found["places"] if p["string"] == string and abs(p["at_m"] - at_m) < 1e-6
    )


@pytest.mark.parametrize("angle", [0.0, 1.1, math.pi / 2, 4.0])
def test_three_contacts_in_constant_curvature(angle):
    """s = kL2/8 - 2c; F = 48 EI s/L3; M = 12 EI s/L2; the middle is pushed away from the bend."""
    length, k, c = 16.0, math.radians(3) / 30, 0.006
    s = k * length**2 / 8 - 2 * c
    parts = [part(0), part(8), part(16)]
    found = lies(string(length, parts=parts), bore_m=2 * c, dogleg_rad_m=k, bend_rad=angle)
    ends, middle = found["touching"][::2], found["touching"][1]
    force = 48 * EI * s / length**3
    assert middle["force_n"] == pytest.approx(force, rel=1e-6)
    for end in ends:
        assert end["force_n"] == pytest.approx(force / 2, rel=1e-6)
        assert (end["x_n"], end["y_n"]) == pytest.approx(
            (force / 2 * math.cos(angle), force / 2 * math.sin(angle)), rel=1e-6, abs=1e-6
        )
    assert found["moment_nm"] == pytest.approx(12 * EI * s / length**2, rel=1e-6)


def test_cantilever_tangent_to_the_axis():
    """s = kL2/2 - c; F = 3 EI s/L3, F L at the end that is built in."""
    length, k, c = 9.0, math.radians(4) / 30, 0.02
    force = 3 * EI * (k * length**2 / 2 - c) / length**3
    held = [{"at_m": 0.0, "how": "built-in"}]
    beam = string(length, parts=[part(length)])
    found = lies(beam, bore_m=2 * c, dogleg_rad_m=k, held=held)
    assert found["touching"][0]["force_n"] == pytest.approx(force, rel=1e-6)
    (end,) = found["held"]
    assert (end["x_n"], end["moment_x_nm"]) == pytest.approx((-force, -force * length), rel=1e-6)


def test_simply_supported():
    """5wL4/384EI; wL2/8; wL/2; slope wL3/24EI at the ends, which a closer mesh does not change."""
    length, w = 12.0, 30.0
    beam = string(length, load_x_n_m=w, modulus_m3=5e-5)
    for more in ({}, {"longest_m": 0.05}):
        found = lies(beam, held=pinned(0, length), asked_m=[6.0], **more)
        middle = place(found, 6.0)
        assert middle["x_m"] == pytest.approx(5 * w * length**4 / (384 * EI), rel=1e-6)
        assert middle["moment_x_nm"] == pytest.approx(-w * length**2 / 8, rel=1e-6)
        assert place(found, 0)["slope_x_rad"] == pytest.approx(w * length**3 / (24 * EI), rel=1e-6)
        assert [h["x_n"] for h in found["held"]] == pytest.approx([-w * length / 2] * 2, rel=1e-6)
        assert found["segments"][0]["stress_pa"] == pytest.approx(w * length**2 / 8 / 5e-5)


@pytest.mark.parametrize(
    ("u", "sign", "deflection", "bending"),
    [
        (0.25, -1, 1.02608, 1.02672),
        (0.5, -1, 1.11313, 1.11595),
        (1.0, -1, 1.68392, 1.70163),
        (1.25, -1, 2.73306, 2.77934),
        (1.5, -1, 11.38900, 11.67718),
        (0.25, 1, 0.97521, 0.97460),
        (0.5, 1, 0.90769, 0.90545),
        (1.0, 1, 0.71066, 0.70389),
        (1.25, 1, 0.61104, 0.60219),
        (1.5, 1, 0.52157, 0.51103),
    ],
)
def test_tie_and_strut_under_a_spread_load(u, sign, deflection, bending):
    """12 (2 sec u - 2 - u2)/(5 u4), 2 (1 - cos u)/(u2 cos u), u = L/2 sqrt(P/EI); tie: cosh."""
    length, w = 10.0, 10.0
    beam = string(length, load_y_n_m=w, tension_n=sign * EI * (2 * u / length) ** 2)
    middle = place(lies(beam, held=pinned(0, length), asked_m=[5.0]), 5.0)
    assert middle["y_m"] / (5 * w * length**4 / (384 * EI)) == pytest.approx(deflection, rel=1e-5)
    assert -middle["moment_y_nm"] / (w * length**2 / 8) == pytest.approx(bending, rel=1e-5)


@pytest.mark.parametrize(
    ("u", "sign", "deflection", "bending"),
    [
        (0.25, -1, 1.02565, 1.02137),
        (0.5, -1, 1.11126, 1.09260),
        (1.0, -1, 1.67222, 1.55741),
        (1.25, -1, 2.70270, 2.40766),
        (1.5, -1, 11.20126, 9.40095),
        (0.25, 1, 0.97562, 0.97967),
        (0.5, 1, 0.90919, 0.92423),
        (1.0, 1, 0.71522, 0.76159),
        (1.25, 1, 0.61704, 0.67863),
        (1.5, 1, 0.52876, 0.60343),
    ],
)
def test_tie_and_strut_under_a_load_in_the_middle(u, sign, deflection, bending):
    """3 (tan u - u)/u3 and tan u/u; load on 0.1 m of 40 m, which takes up to 0.25 % off M."""
    length, short, force = 40.0, 0.1, 10.0
    half = {"length_m": (length - short) / 2, "ei_nm2": EI}
    loaded = {"length_m": short, "ei_nm2": EI, "load_x_n_m": force / short}
    beam = {"segments": [half, loaded, half], "tension_n": sign * EI * (2 * u / length) ** 2}
    found = lies(beam, held=pinned(0, length), asked_m=[length / 2])
    middle = place(found, length / 2)
    plain = force * length**3 / (48 * EI)
    assert middle["x_m"] / plain == pytest.approx(deflection, rel=5e-5)
    assert -middle["moment_x_nm"] / (force * length / 4) == pytest.approx(bending, rel=2.5e-3)


def test_lift_off():
    """Lifted a = (24 EI h/w)^(1/4), end force wa/2, greatest moment wa2/8."""
    w, h, length, step = 100.0, 0.03, 20.0, 0.05
    beam = string(length, parts=[part(0, length_m=length)], load_x_n_m=w)
    found = lies(beam, held=pinned(0), floor_m=h, longest_m=step)
    a = (24 * EI * h / w) ** 0.25
    assert -found["held"][0]["x_n"] == pytest.approx(w * a / 2, rel=1e-5)
    assert found["side_n"] == pytest.approx(w * length - w * a / 2, rel=1e-5)
    assert found["moment_nm"] == pytest.approx(w * a**2 / 8, rel=1e-3)
    assert found["touching"][0]["at_m"] == pytest.approx(a, abs=2 * step)


def test_lift_off_of_the_handbook_pipe():
    """h 1 in: a 215.11 in, F 58.263 lbf, M 3,133.2 lbf in."""
    length = 600 * IN
    beam = string(length, PIPE_EI, [part(0, length_m=length)], load_x_n_m=PIPE_W)
    found = lies(beam, held=pinned(0), floor_m=1 * IN, longest_m=0.02)
    assert -found["held"][0]["x_n"] / LBF == pytest.approx(58.263, rel=1e-4)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(3133.2, rel=1e-4)


@pytest.mark.parametrize(
    ("gap_in", "push_lbf", "end_lbf"),
    [(3, 99.584, 80.216), (6, 36.658, 111.679), (1, None, 58.263)],
)
def test_a_sagging_pipe_over_a_floor(gap_in, push_lbf, end_lbf):
    """480 in, one point R = 48 EI (sag - g)/L3 from 1.5495 to 7.7477 in; below it lies flat."""
    length = 480 * IN
    beam = string(length, PIPE_EI, [part(0, length_m=length)], load_x_n_m=PIPE_W)
    found = lies(beam, held=pinned(0, length), floor_m=gap_in * IN, longest_m=0.05)
    assert -found["held"][0]["x_n"] / LBF == pytest.approx(end_lbf, rel=2e-5)
    if push_lbf is None:
        assert len(found["touching"]) > 1
        assert found["touching"][0]["at_m"] == pytest.approx(215.11 * IN, abs=0.1)
    else:
        assert [t["force_n"] / LBF for t in found["touching"]] == pytest.approx(
            [push_lbf], rel=2e-5
        )


def test_a_hanging_cantilever_meets_a_wall_at_the_length_of_the_handbook():
    """L = (8 EI g/w)^(1/4): 137.44 in for 0.5 in."""
    for inch, count in ((137.4, 0), (137.5, 1)):
        beam = string(inch * IN, PIPE_EI, [part(inch * IN)], load_x_n_m=PIPE_W)
        held = [{"at_m": 0.0, "how": "built-in"}]
        assert len(lies(beam, held=held, floor_m=0.5 * IN)["touching"]) == count


SPANS = {  # loads of the spans, shares of wL, moments over the inner supports in wL2
    (1, 1): ((0.375, 1.25, 0.375), (0.125,)),
    (1, 1, 1): ((0.4, 1.1, 1.1, 0.4), (0.1, 0.1)),
    (1, 0, 1): ((0.45, 0.55, 0.55, 0.45), (0.05, 0.05)),
    (0, 1, 0): ((-0.05, 0.55, 0.55, -0.05), (0.05, 0.05)),
    (1, 1, 0): ((23 / 60, 1.2, 0.45, -1 / 30), (7 / 60, 1 / 30)),
}


@pytest.mark.parametrize("loaded", SPANS)
def test_equal_spans(loaded):
    """Continuous beams of the handbooks (read on an open page to three digits)."""
    length, w = 6.0, 100.0
    segments = [{"length_m": length, "ei_nm2": EI, "load_x_n_m": w * one} for one in loaded]
    at = [length * k for k in range(len(loaded) + 1)]
    found = lies({"segments": segments}, held=pinned(*at))
    shares, moments = SPANS[loaded]
    assert [-h["x_n"] / (w * length) for h in found["held"]] == pytest.approx(shares, abs=1e-6)
    inner = [place(found, one)["moment_x_nm"] / (w * length**2) for one in at[1:-1]]
    assert inner == pytest.approx(moments, abs=1e-6)


def test_deflections_of_equal_spans():
    """Two spans 0.00541 wL4/EI at 0.4215 L; three 0.0068842 at 0.44604 L, 0.08 wL2 at 0.4 L."""
    length, w = 6.0, 20.0
    unit = w * length**4 / EI
    two = lies(
        string(12, load_x_n_m=w), held=pinned(0, 6, 12), asked_m=[0.4215 * 6], longest_m=0.05
    )
    assert place(two, 0.4215 * 6)["x_m"] / unit == pytest.approx(0.00541, abs=1e-5)
    asked = [0.44604 * 6, 0.4 * 6, 9.0]
    three = lies(string(18, load_x_n_m=w), held=pinned(0, 6, 12, 18), asked_m=asked)
    assert place(three, asked[0])["x_m"] / unit == pytest.approx(0.0068842, abs=5e-8)
    moments = [-place(three, one)["moment_x_nm"] / (w * length**2) for one in asked[1:]]
    assert moments == pytest.approx([0.08, 0.025], abs=1e-6)


def test_unequal_spans():
    """Three-moment equation: spans 10, 15, 8 under 2."""
    found = lies(string(33, load_x_n_m=2.0), held=pinned(0, 10, 25, 33))
    shares = [6.555542, 28.672892, 26.648826, 4.122741]
    assert [-h["x_n"] for h in found["held"]] == pytest.approx(shares, abs=1e-5)
    moments = [place(found, at)["moment_x_nm"] for at in (10, 25)]
    assert moments == pytest.approx([34.444578, 31.018072], abs=1e-5)


def test_a_support_that_sinks():
    """Second of four down by d: 3.6, -9.6, 8.4, -2.4 EI d/L3; a floor there presses it down."""
    length, sinks = 6.0, 0.01
    beam = string(18, parts=[part(6)])
    found = lies(beam, held=pinned(0, 12, 18), floor_m=-sinks)
    unit = EI * sinks / length**3
    assert [h["x_n"] / unit for h in found["held"]] == pytest.approx([3.6, 8.4, -2.4], abs=1e-6)
    assert found["touching"][0]["x_n"] / unit == pytest.approx(-9.6, abs=1e-6)
    moments = [place(found, at)["moment_x_nm"] * length**2 / (EI * sinks) for at in (6, 12)]
    assert moments == pytest.approx([3.6, -2.4], abs=1e-6)


@pytest.mark.parametrize(
    ("length_ft", "moment_lbf_in", "force_lbf", "stress_psi"),
    [(20, 5034.1, 41.95, 4492), (10, 20136, 335.6, 17969)],
)
def test_offset_between_guides(length_ft, moment_lbf_in, force_lbf, stress_psi):
    """M = 6 EI d/L2, V = 12 EI d/L3, d 1 in: half of it is a cantilever whose tip moves by half."""
    half = length_ft * 6 * IN
    held = [{"at_m": 0.0, "how": "built-in"}]
    beam = string(half, PIPE_EI, [part(half)], modulus_m3=1.6109 / 1.4375 * IN**3)
    found = lies(beam, held=held, floor_m=-0.5 * IN)
    assert found["touching"][0]["force_n"] / LBF == pytest.approx(force_lbf, rel=2e-4)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(moment_lbf_in, rel=2e-5)
    stress = found["segments"][0]["stress_pa"] / (LBF / IN**2)
    assert stress == pytest.approx(stress_psi, abs=0.5)


@pytest.mark.parametrize(
    ("degrees", "od_in", "i_in4", "moment_lbf_in", "stress_psi"),
    [
        (3, 2.875, 1.6109, 2108.7, 1881.7),
        (10, 2.875, 1.6109, 7028.9, 6272.3),
        (5, 4.5, 8.0822, 17632.0, 4908.7),
    ],
)
def test_forced_into_a_curve(degrees, od_in, i_in4, moment_lbf_in, stress_psi):
    """M = EI/R, E OD/2R: 2-7/8 in 6.5 lb/ft and 4-1/2 in 12.75 lb/ft."""
    held = [{"at_m": at, "how": "built-in"} for at in (0.0, 20.0)]
    beam = string(20, 30e6 * i_in4 * LBF * IN**2, modulus_m3=2 * i_in4 / od_in * IN**3)
    found = lies(beam, held=held, dogleg_rad_m=math.radians(degrees) / 30.48)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(moment_lbf_in, rel=5e-5)
    stress = found["segments"][0]["stress_pa"] / (LBF / IN**2)
    assert stress == pytest.approx(stress_psi, rel=2e-5)


@pytest.mark.parametrize(("pull_lbf", "ratio"), [(10e3, 2.6186), (30e3, 4.4859), (50e3, 5.7899)])
def test_couplings_under_tension_in_a_bend(pull_lbf, ratio):
    """Kl/tanh(Kl), l half a 30 ft joint: Lubinski, JPT 1961 (formula from memory)."""
    length, k = 30 * 0.3048, math.radians(3) / 30.48
    held = [{"at_m": at, "how": "built-in"} for at in (0.0, length)]
    beam = string(length, PIPE_EI, tension_n=pull_lbf * LBF)
    found = lies(beam, held=held, dogleg_rad_m=k)
    assert found["moment_nm"] / (PIPE_EI * k) == pytest.approx(ratio, rel=2e-5)


@pytest.mark.parametrize(
    ("length_in", "force_lbf", "moment_lbf_in"),
    [(240, 1271.1, 76267.0), (300, 1404.8, 105360.0), (360, 1346.3, 121163.0)],
)
def test_a_rod_too_long_for_its_bend(length_in, force_lbf, moment_lbf_in):
    """8.25 in rod of 30 in4 in 8.681 in at 8 deg/100 ft: 48 EI/L3 (L2/8R - (D - d))."""
    length, ei = length_in * IN, 30e6 * 30 * LBF * IN**2
    parts = [part(at, 8.25 * IN) for at in (0, length / 2, length)]
    found = lies(string(length, ei, parts), bore_m=8.681 * IN, dogleg_rad_m=math.radians(8) / 30.48)
    assert found["touching"][1]["force_n"] / LBF == pytest.approx(force_lbf, rel=5e-5)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(moment_lbf_in, rel=5e-5)


# --- two strings ---------------------------------------------------------------------------


@pytest.mark.parametrize("play_m", [0.0, 0.004])
def test_one_clamp_at_mid_span(play_m):
    """P = 5/8 wL EI_B/(EI_E + EI_B), the load on the ESP side only; half the play is lost first."""
    length, w, esp, bypass = 10.0, 120.0, 8e5, 1.4e5
    links = [{"at_m": 0.0}, {"at_m": 5.0, "id": "C1", "play_m": play_m}, {"at_m": length}]
    strings = string(length, esp, load_x_n_m=w), string(length, bypass)
    found = lies(*strings, links=links, held=pinned(0, length))
    free = 5 * w * length**4 / (384 * esp) - play_m / 2
    force = free / (length**3 / 48 * (1 / esp + 1 / bypass))
    if not play_m:
        assert force == pytest.approx(5 / 8 * w * length * bypass / (esp + bypass))
    clamp = found["links"][1]
    assert (clamp["id"], clamp["string"]) == ("C1", "second")
    assert clamp["x_n"] == pytest.approx(force, rel=1e-6)
    assert place(found, 5.0, "second")["moment_nm"] == pytest.approx(force * length / 4, rel=1e-6)
    assert sum(h["x_n"] for h in found["held"]) == pytest.approx(-w * length, rel=1e-6)


def pair(length):
    return (
        string(length, 8e5, x_m=-0.05, ea_n=6e8),
        string(length, 1.4e5, x_m=0.062, ea_n=2.4e8),
    )


def test_locked_pair_with_both_ends_held():
    """dF = k_ax d dTheta, the inner string pushed; ends carry EI k of both and dF d."""
    length, k = 60.0, math.radians(3) / 30
    links = [{"at_m": at, "kind": "rigid"} for at in (0.0, length)]
    held = [{"at_m": at, "how": "built-in"} for at in (0.0, length)]
    given = {"links": links, "held": held, "dogleg_rad_m": k}
    locked = lies(*pair(length), union="locked", **given)
    force = 0.112 * k * length / (length / 6e8 + length / 2.4e8)
    assert locked["union_n"] == pytest.approx(-force, rel=1e-9)
    moment = 9.4e5 * k + force * 0.112
    assert [h["moment_x_nm"] for h in locked["held"]] == pytest.approx([-moment, moment], rel=1e-6)
    free = lies(*pair(length), **given)
    assert "union_n" not in free
    assert free["held"][1]["moment_x_nm"] == pytest.approx(9.4e5 * k, rel=1e-6)


def test_misfit_of_a_locked_pair_bends_it():
    """Pinned ends, stiff clamps: F = k_ax misfit/(1 + k_ax d2 L/EI), bent like a bimetal strip."""
    length, misfit = 20.0, 0.005
    links = [{"at_m": float(at), "kind": "rigid" if at in (0, 20) else "stiff"} for at in range(21)]
    found = lies(
        *pair(length), links=links, held=pinned(0, length), union="locked", misfit_m=misfit
    )
    stiffness = 1 / (length / 6e8 + length / 2.4e8)
    expected = stiffness * misfit / (1 + stiffness * 0.112**2 * length / 9.4e5)
    assert found["union_n"] == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("surveyed", [False, True])
def test_two_strings_wedge_across_the_low_side(surveyed):
    """N = W/cos(beta), sin(beta) = (d/2)/(Rc - r): by loads, and by weight in a level hole."""
    length, w, spacing, radius, wall = 4.0, 300.0, 0.11, 0.05, 0.12
    parts = [part(0.5 * k, 2 * radius) for k in range(9)]
    more = {"bore_m": 2 * wall, "links": [{"at_m": 0.5 * k} for k in range(9)]}
    load = {"load_y_n_m": w}
    if surveyed:
        level = {"inclination_rad": math.pi / 2, "azimuth_rad": 1.0}
        more["stations"] = [{"md_m": md, **level} for md in (0.0, 100.0)]
        more |= {"zero_md_m": 50.0, "roll_rad": math.pi / 2}
        load = {"weight_n_m": w / 0.87, "buoyant_ratio": 0.87}
    strings = [string(length, 1e5, parts, x_m=x, **load) for x in (-spacing / 2, spacing / 2)]
    found = lies(*strings, **more)
    beta = math.asin(spacing / 2 / (wall - radius))
    assert found["side_n"] == pytest.approx(2 * w * length / math.cos(beta), rel=1e-6)


def test_strings_touch_one_another_over_their_gap():
    """Beams a gap g apart: the loaded one comes down on the other, as over a clamp with play 2g."""
    length, w, esp, bypass, gap = 10.0, 120.0, 8e5, 1.4e5, 0.003
    strings = (
        string(length, esp, [part(5, 0.1)], load_x_n_m=w),
        string(length, bypass, [part(5, 0.06)], x_m=0.08 + gap),
    )
    links = [{"at_m": 0.0}, {"at_m": length}]
    found = lies(*strings, links=links, held=pinned(0, length))
    force = (5 * w * length**4 / (384 * esp) - gap) / (length**3 / 48 * (1 / esp + 1 / bypass))
    (touch,) = found["touching"]
    assert touch["force_n"] == pytest.approx(force, rel=1e-6)
    assert (touch["string"], touch["x_n"]) == ("first", pytest.approx(-force, rel=1e-6))
    # with room for it, or parts that pass beside one another, nothing touches
    strings[1]["parts"][0]["beside"] = False
    assert lies(*strings, links=links, held=pinned(0, length))["touching"] == []


def test_a_held_string_takes_what_the_other_presses_on_it():
    """As above, the second string pinned where it is touched: all goes to that point."""
    length, w, esp, gap = 10.0, 120.0, 8e5, 0.003
    strings = (
        string(length, esp, [part(5, 0.1)], load_x_n_m=w),
        string(length, 1.4e5, [part(5, 0.06)], x_m=0.08 + gap),
    )
    held = [*pinned(0, length), {"at_m": 5.0, "string": "second"}]
    found = lies(*strings, links=[{"at_m": 0.0}, {"at_m": length}], held=held)
    force = (5 * w * length**4 / (384 * esp) - gap) / (length**3 / 48 / esp)
    assert found["held"][2]["x_n"] == pytest.approx(-force, rel=1e-6)
    assert found["held"][2]["string"] == "second"


# --- where the wall is -----------------------------------------------------------------------


def test_a_floor_is_measured_from_the_axis_of_the_hole():
    """A string and a part off the axis: floor 0.1, axis 0.03, half of 0.08 leave 0.03."""
    length, w = 20.0, 100.0
    plain = string(length, parts=[part(0, length_m=length)], load_x_n_m=w)
    off = string(length, parts=[part(0, 0.08, length_m=length)], load_x_n_m=w, x_m=0.03)
    one = lies(plain, held=pinned(0), floor_m=0.03)
    other = lies(off, held=pinned(0), floor_m=0.1)
    assert other["held"][0]["x_n"] == pytest.approx(one["held"][0]["x_n"], rel=1e-6)


def test_bores_are_measured_depths_and_the_narrowest_counts():
    """Only the lower of two parts stands in the narrow place, 100 m down: 48 EI (sag - c)/L3."""
    length, w, c = 12.0, 30.0, 0.01
    bores = [
        {"top_md_m": 90.0, "bottom_md_m": 120.0, "bore_m": 1.0},
        {"top_md_m": 105.0, "bottom_md_m": 107.0, "bore_m": 2 * c},
    ]
    beam = string(length, parts=[part(2), part(6)], load_x_n_m=w)
    found = lies(beam, held=pinned(0, length), bores=bores, zero_md_m=100.0)
    (touch,) = found["touching"]
    force = 48 * EI * (5 * w * length**4 / (384 * EI) - c) / length**3
    assert (touch["at_m"], touch["force_n"]) == (6.0, pytest.approx(force, rel=1e-6))


# --- stability, weight in a hole -------------------------------------------------------------


@pytest.mark.parametrize(("factor", "state"), [(0.999, "ok"), (1.001, "buckled")])
def test_buckling_loads(factor, state):
    """pi2 EI/L2 pinned (Euler); 7.837 EI/L2 by own weight on a clamped foot (Greenhill 1881)."""
    length = 12.0
    strut = string(length, tension_n=-factor * math.pi**2 * EI / length**2)
    column = string(length) | {"tension_bottom_n": -factor * 7.8373 * EI / length**2}
    foot = [{"at_m": length, "how": "built-in"}]
    for beam, held in ((strut, pinned(0, length)), (column, foot)):
        found = run("contact-beam", {"strings": [beam], "held": held})
        assert found["state"] == state
        assert ("moment_nm" in found) is (state == "ok")


@pytest.mark.parametrize("way", ["up", "down"])
def test_a_straight_slant_hole(way):
    """Pull W (cos I +- mu sin I) at the top, W in fluid; weight across it on the low side."""
    slant, w, mu, length = math.radians(60), 100.0, 0.25, 20.0
    stations = [{"md_m": md, "inclination_rad": slant, "azimuth_rad": 2.0} for md in (0.0, 300.0)]
    parts = [part(k, 0.1) for k in range(21)]
    beam = string(length, 1e5, parts, weight_n_m=w, buoyant_ratio=0.87)
    hole = {"stations": stations, "zero_md_m": 200.0, "fluid_md_m": 210.0, "bore_m": 0.2}
    found = lies(beam, **hole, friction_ratio=mu, way=way)
    weight = w * (10 + 0.87 * 10)
    sign = {"up": 1, "down": -1}[way]
    assert found["side_n"] == pytest.approx(weight * math.sin(slant), rel=1e-6)
    top = weight * (math.cos(slant) + sign * mu * math.sin(slant))
    assert found["top_n"] == pytest.approx(top, rel=1e-6)
    assert found["drag_n"] == pytest.approx(-sign * mu * weight * math.sin(slant), rel=1e-6)


# --- the page of the documentation -----------------------------------------------------------


def test_the_cases_of_the_documentation_give_what_stands_beside_them():
    text = (Path(__file__).parents[2] / "docs/theory/contact_cases.md").read_text("utf-8")
    found = {
        block.partition("\n")[0].strip(): run(
            "contact-beam", json.loads(block.partition("```json")[2].partition("```")[0])
        )
        for block in text.split("\n## ")[1:]
    }
    said = {
        "Simply supported": (found["Simply supported"]["places"][1]["x_m"], 0.0405),
        "Three contacts in a bend": (
            found["Three contacts in a bend"]["touching"][1]["force_n"],
            102.775,
        ),
        "Cantilever tangent to the axis": (
            found["Cantilever tangent to the axis"]["touching"][0]["force_n"],
            61.1093,
        ),
        "Lift-off from a flat wall": (
            -found["Lift-off from a flat wall"]["held"][0]["x_n"],
            308.007,
        ),
        "Three equal spans": (-found["Three equal spans"]["held"][1]["x_n"], 660.0),
        "One clamp at mid-span": (found["One clamp at mid-span"]["links"][1]["x_n"], 111.702),
        "Locked pair in a bend": (found["Locked pair in a bend"]["union_n"], -33510.3),
        "Wedge": (found["Wedge"]["side_n"], 3879.79),
    }
    assert set(said) == set(found)
    for name, (value, expected) in said.items():
        assert value == pytest.approx(expected, rel=2e-5), name
        words = text.partition(f"## {name}")[2].partition("```")[0]
        shown = f"{expected:,.6g}".replace("-", "−") if abs(expected) < 1e3 else None
        shown = shown or f"{expected:,.2f}".rstrip("0").rstrip(".").replace("-", "−")
        assert shown in words, name
