"""The contact model against beams and contacts that have a closed form.

Formulas of Roark, *Formulas for Stress and Strain*, and Timoshenko & Gere, *Theory of
Elastic Stability*, unless another source stands beside them.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.mechanics.beams import beam, fields, moment, moved, push, solved, support

from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_axial import lock_of
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_solve import solve

EI = 2.0e5
IN, LBF = 0.0254, 4.4482216152605
# The pipe of the handbook cases: 2-7/8 in 6.5 lb/ft, lbf and inches.
PIPE_EI, PIPE_W = 4.8327e7 * LBF * IN**2, 0.5417 * LBF / IN


def test_simply_supported():
    length, w = 12.0, 150.0
    cut = beam(length, EI, held=(Held(0, 0.0), Held(0, length)))
    found = solved(cut, fields(cut, load=(w, 0.0)))
    assert moved(cut, found, 6.0)[0] == pytest.approx(5 * w * length**4 / (384 * EI), rel=1e-6)
    assert abs(moment(cut, found, 6.0)) == pytest.approx(w * length**2 / 8, rel=1e-6)
    assert support(cut, found, 0.0) == pytest.approx(-w * length / 2, rel=1e-6)


@pytest.mark.parametrize(
    ("u", "deflection", "bending"),
    [(0.5, 1.11313, 1.11595), (1.0, 1.68392, 1.70163), (1.5, 11.38900, 11.67718)],
)
def test_beam_column_under_compression(u, deflection, bending):
    """12 (2 sec u - 2 - u2)/(5 u4) and 2 (1 - cos u)/(u2 cos u), u = L/2 sqrt(P/EI)."""
    length, w = 10.0, 100.0
    force = EI * (2 * u / length) ** 2
    cut = beam(length, EI, held=(Held(0, 0.0), Held(0, length)), longest_m=0.5)
    found = solved(cut, fields(cut, load=(w, 0.0), tension=-force))
    plain = 5 * w * length**4 / (384 * EI)
    assert moved(cut, found, 5.0)[0] / plain == pytest.approx(deflection, rel=1e-4)
    assert abs(moment(cut, found, 5.0)) / (w * length**2 / 8) == pytest.approx(bending, rel=1e-4)


@pytest.mark.parametrize(
    ("u", "deflection", "bending"), [(0.5, 0.90769, 0.90545), (1.5, 0.52157, 0.51103)]
)
def test_beam_under_tension(u, deflection, bending):
    length, w = 10.0, 100.0
    cut = beam(length, EI, held=(Held(0, 0.0), Held(0, length)), longest_m=0.5)
    found = solved(cut, fields(cut, load=(0.0, w), tension=EI * (2 * u / length) ** 2))
    plain = 5 * w * length**4 / (384 * EI)
    assert moved(cut, found, 5.0)[1] / plain == pytest.approx(deflection, rel=1e-4)
    most = found.moment_nm.max()
    assert most / (w * length**2 / 8) == pytest.approx(bending, rel=1e-4)


def test_three_equal_spans():
    """0.4, 1.1, 1.1, 0.4 wL; 0.1 wL2 over the inner supports; 0.0068842 wL4/EI at 0.446 L."""
    length, w = 6.0, 100.0
    held = tuple(Held(0, k * length) for k in range(4))
    cut = beam(3 * length, EI, held=held, longest_m=0.25)
    found = solved(cut, fields(cut, load=(w, 0.0)))
    shares = [-support(cut, found, k * length) / (w * length) for k in range(4)]
    assert shares == pytest.approx([0.4, 1.1, 1.1, 0.4], abs=1e-6)
    assert moment(cut, found, length) == pytest.approx(0.1 * w * length**2, rel=1e-6)
    assert found.u[0].max() == pytest.approx(0.0068842 * w * length**4 / EI, rel=2e-2)


def test_unequal_spans():
    """Three-moment equation: spans 10, 15, 8 under a load of 2."""
    held = tuple(Held(0, at) for at in (0.0, 10.0, 25.0, 33.0))
    cut = beam(33.0, EI, held=held)
    found = solved(cut, fields(cut, load=(2.0, 0.0)))
    shares = [-support(cut, found, one.at_m) for one in held]
    assert shares == pytest.approx([6.555542, 28.672892, 26.648826, 4.122741], rel=1e-5)
    assert moment(cut, found, 10.0) == pytest.approx(34.444578, rel=1e-5)
    assert moment(cut, found, 25.0) == pytest.approx(31.018072, rel=1e-5)


@pytest.mark.parametrize("angle", [0.0, 1.1, 4.0])
def test_three_contacts_in_constant_curvature(angle):
    """s = kL2/8 - 2c; F = 48 EI s/L3; M = 12 EI s/L2: ends on the outer wall, middle inside."""
    length, k, clearance = 16.0, math.radians(3) / 30, 0.006
    s = k * length**2 / 8 - 2 * clearance
    cut = beam(length, EI, discs_m=(0.0, 8.0, 16.0), clearance_m=clearance, leader=True)
    kappa = (k * math.cos(angle), k * math.sin(angle))
    found = solved(cut, fields(cut, kappa=kappa))
    assert push(cut, found, "8") == pytest.approx(48 * EI * s / length**3, rel=2e-5)
    assert push(cut, found, "0") == pytest.approx(24 * EI * s / length**3, rel=2e-4)
    at = np.nonzero(cut.upper == cut.node_at(8.0))[0][0]
    assert found.moment_nm[0, at, 0] == pytest.approx(12 * EI * s / length**2, rel=2e-4)


def test_contact_spreads_where_the_wall_is_nearer():
    """With discs all along only three touch down to c = kL2/48; in a narrower hole more do."""
    length, k = 16.0, math.radians(3) / 30
    discs = tuple(float(at) for at in np.linspace(0, length, 33))
    touching = []
    for factor in (1.05, 0.5):
        clearance = factor * k * length**2 / 48
        cut = beam(length, EI, discs_m=discs, clearance_m=clearance, leader=True, longest_m=0.5)
        found = solved(cut, fields(cut, kappa=(k, 0.0)))
        touching.append(int(np.sum(found.force_n[0] > 1e-3)))
        if factor > 1:
            s = k * length**2 / 8 - 2 * clearance
            assert push(cut, found, "8") == pytest.approx(48 * EI * s / length**3, rel=1e-3)
    assert touching[0] == 3
    assert touching[1] > 3


@pytest.mark.parametrize(
    ("length_in", "force_lbf", "moment_lbf_in"),
    [(240, 1271.1, 76267.0), (300, 1404.8, 105360.0), (360, 1346.3, 121163.0)],
)
def test_a_rod_too_long_for_its_bend(length_in, force_lbf, moment_lbf_in):
    """8.25 in rod of 30 in4 in 8.681 in at 8 deg/100 ft: worked from 48 EI/L3 (L2/8R - (D - d))."""
    length, ei = length_in * IN, 30e6 * 30 * LBF * IN**2
    clearance, k = (8.681 - 8.25) / 2 * IN, math.radians(8) / 30.48
    discs = (0.0, length / 2, length)
    cut = beam(length, ei, discs_m=discs, clearance_m=clearance, leader=True, longest_m=0.5)
    found = solved(cut, fields(cut, kappa=(k, 0.0)))
    assert push(cut, found, f"{length / 2:g}") / LBF == pytest.approx(force_lbf, rel=1e-3)
    assert found.moment_nm.max() / (LBF * IN) == pytest.approx(moment_lbf_in, rel=1e-3)


def test_cantilever_tangent_to_the_axis():
    """s = kL2/2 - c; F = 3 EI s/L3."""
    length, k, clearance = 9.0, math.radians(4) / 30, 0.02
    s = k * length**2 / 2 - clearance
    held = (Held(0, 0.0, slope=True),)
    cut = beam(length, EI, discs_m=(length,), clearance_m=clearance, held=held)
    found = solved(cut, fields(cut, kappa=(k, 0.0)))
    assert push(cut, found, "9") == pytest.approx(3 * EI * s / length**3, rel=1e-4)


def test_cantilever_that_hangs_to_a_wall():
    """The tip touches at L = (8 EI g/w)^(1/4): 137.44 in for a gap of 0.5 in."""
    gap = 0.5 * IN
    for factor, touches in ((0.99, False), (1.01, True)):
        length = factor * 137.44 * IN
        held = (Held(0, 0.0, slope=True),)
        cut = beam(length, PIPE_EI, discs_m=(length,), clearance_m=gap, held=held)
        found = solved(cut, fields(cut, load=(PIPE_W, 0.0)))
        assert bool(found.force_n.max() > 0) is touches


@pytest.mark.parametrize(
    ("gap_in", "push_lbf", "end_lbf"), [(3, 99.584, 80.216), (6, 36.658, 111.679)]
)
def test_a_sagging_beam_that_touches_at_one_point(gap_in, push_lbf, end_lbf):
    """48 EI (sag - g)/L3 with L = 480 in, a floor at g below the beam."""
    length = 480 * IN
    held = (Held(0, 0.0), Held(0, length))
    discs = tuple(float(at) for at in np.linspace(0, length, 41))
    cut = beam(length, PIPE_EI, discs_m=discs, clearance_m=gap_in * IN, held=held)
    found = solved(cut, fields(cut, load=(PIPE_W, 0.0)))
    assert np.sum(found.force_n > 1e-6) == 1
    assert found.force_n.max() / LBF == pytest.approx(push_lbf, rel=1e-3)
    assert -support(cut, found, 0.0) / LBF == pytest.approx(end_lbf, rel=1e-3)


def test_a_sagging_beam_that_lies_on_the_floor():
    """Gap 1 in: flat over L - 2a, a = (24 EI g/w)^(1/4) = 215.11 in, ends carry 58.263 lbf."""
    length, step = 480 * IN, 0.05
    held = (Held(0, 0.0), Held(0, length))
    discs = tuple(float(at) for at in np.linspace(0, length, round(length / step) + 1))
    cut = beam(length, PIPE_EI, discs_m=discs, clearance_m=1 * IN, held=held, longest_m=step * 1.01)
    found = solved(cut, fields(cut, load=(PIPE_W, 0.0)))
    assert -support(cut, found, 0.0) / LBF == pytest.approx(58.263, rel=1e-2)
    depth = [float(one.name) for one in cut.contacts]
    on = [at for at, force in zip(depth, found.force_n[0], strict=True) if force > 1e-6]
    assert min(on) == pytest.approx(215.11 * IN, abs=1.5 * step)
    assert max(on) == pytest.approx(length - 215.11 * IN, abs=1.5 * step)


def test_lift_off():
    """End held h above a flat wall: lifted a = (24 EI h/w)^(1/4), end force wa/2."""
    w, h, length, step = 100.0, 0.03, 20.0, 0.1
    discs = tuple(float(at) for at in np.linspace(0, length, 201))[1:]
    cut = beam(length, EI, discs_m=discs, clearance_m=h, longest_m=step)
    found = solved(cut, fields(cut, load=(w, 0.0)))
    a = (24 * EI * h / w) ** 0.25
    assert found.force_n.sum() == pytest.approx(w * length - w * a / 2, rel=1e-4)
    first = [
        float(one.name) for one, f in zip(cut.contacts, found.force_n[0], strict=True) if f > 0
    ]
    assert min(first) == pytest.approx(a, abs=2 * step)


@pytest.mark.parametrize(("pull_lbf", "ratio"), [(10e3, 2.6186), (30e3, 4.4859), (50e3, 5.7899)])
def test_couplings_under_tension_in_a_bend(pull_lbf, ratio):
    """Curvature at the coupling over that of the hole = Kl/tanh(Kl), l half a 30 ft joint.

    Lubinski, "Maximum permissible doglegs in rotary boreholes", JPT 1961 (formula from memory).
    The couplings are held parallel to the hole; only the tension's pull to the inside bends.
    """
    length, k = 30 * 0.3048, math.radians(3) / 30.48
    held = (Held(0, 0.0, slope=True), Held(0, length, slope=True))
    cut = beam(length, PIPE_EI, held=held, longest_m=0.1)
    found = solved(cut, fields(cut, kappa=(k, 0.0), tension=pull_lbf * LBF))
    assert abs(moment(cut, found, 0.0)) / (PIPE_EI * k) == pytest.approx(ratio, rel=2e-4)


def test_a_beam_forced_into_a_curve_has_the_moment_of_the_curve():
    """M = EI/R: 2,108.7 lbf in at 3 deg/100 ft for the pipe."""
    length, k = 20.0, math.radians(3) / 30.48
    held = (Held(0, 0.0, slope=True), Held(0, length, slope=True))
    cut = beam(length, PIPE_EI, held=held)
    found = solved(cut, fields(cut, kappa=(0.0, k)))
    assert found.moment_nm == pytest.approx(2108.7 * LBF * IN, rel=1e-4)


# --- two strings ---------------------------------------------------------------------------


def pair(length: float, esp_ei: float, bypass_ei: float, links: tuple[Link, ...], **more: object):
    strings = (
        BeamString("esp", (BeamSegment("esp", 0.0, length, esp_ei, ea_n=6e8, x_m=-0.05),)),
        BeamString(
            "bypass", (BeamSegment("bypass", 0.0, length, bypass_ei, ea_n=2.4e8, x_m=0.062),)
        ),
    )
    return mesh(TwinBeam(strings, links, **more))  # type: ignore[arg-type]


def test_one_clamp_shares_the_load():
    """P = 5/8 wL EI_B/(EI_E + EI_B), the load on the ESP side only."""
    length, w, esp, bypass = 10.0, 120.0, 8e5, 1.4e5
    ends = tuple(Link(at, "clamp") for at in (0.0, length / 2, length))
    cut = pair(length, esp, bypass, ends, held=(Held(0, 0.0), Held(0, length)))
    found = solved(cut, fields(cut, load=lambda string, _: (w, 0.0) if string == 0 else (0.0, 0.0)))
    force = 5 / 8 * w * length * bypass / (esp + bypass)
    assert abs(moment(cut, found, length / 2, 1)) == pytest.approx(force * length / 4, rel=1e-5)


def test_play_of_a_clamp_is_used_up_first():
    """As above, but the bypass comes along only after half the play."""
    length, w, esp, bypass, play = 10.0, 120.0, 8e5, 1.4e5, 0.004
    links = (Link(0.0, "clamp"), Link(5.0, "clamp", play, "C1"), Link(length, "clamp"))
    cut = pair(length, esp, bypass, links, held=(Held(0, 0.0), Held(0, length)))
    found = solved(cut, fields(cut, load=lambda string, _: (w, 0.0) if string == 0 else (0.0, 0.0)))
    free = 5 * w * length**4 / (384 * esp)
    each = length**3 / 48 * (1 / esp + 1 / bypass)
    assert push(cut, found, "C1") == pytest.approx((free - play / 2) / each, rel=1e-4)


def test_locked_pair_with_both_ends_held():
    """dF = k_ax d dTheta; the inner string, here the bypass, is pushed."""
    length, k = 60.0, math.radians(3) / 30
    ends = (Link(0.0, "rigid"), Link(length, "rigid"))
    held = (Held(0, 0.0, slope=True), Held(0, length, slope=True))
    cut = pair(length, 8e5, 1.4e5, ends, held=held, union="locked")
    stiffness = 1 / (length / 6e8 + length / 2.4e8)
    found = solve(cut, fields(cut, kappa=(k, 0.0)), lock_of(cut))
    assert found.lock_n[0] == pytest.approx(-stiffness * 0.112 * k * length, rel=1e-9)


def test_locked_pair_with_free_ends_turns_its_ends():
    """Ends pinned: they turn back by kL/2 each, and neither bends nor pulls any more."""
    length, k = 60.0, math.radians(3) / 30
    ends = (Link(0.0, "rigid"), Link(length, "rigid"))
    cut = pair(length, 8e5, 1.4e5, ends, held=(Held(0, 0.0), Held(0, length)), union="locked")
    found = solve(cut, fields(cut, kappa=(k, 0.0)), lock_of(cut))
    assert found.lock_n[0] == pytest.approx(0.0, abs=1e-3)
    assert found.moment_nm.max() == pytest.approx(0.0, abs=1e-3)


def test_misfit_of_a_locked_pair_bends_it():
    """A short bypass bends a pinned pair to an arc: pull F over spacing d, EI 2t/L = F d.

    F = k_ax (misfit - 2 t d) and 2t = F d L/EI, so F = k_ax misfit/(1 + k_ax d2 L/EI).
    """
    length, misfit = 20.0, 0.005
    links = tuple(Link(float(at), "stiff") for at in range(1, 20))
    ends = (Link(0.0, "rigid"), *links, Link(length, "rigid"))
    held = (Held(0, 0.0), Held(0, length))
    cut = pair(length, 8e5, 1.4e5, ends, held=held, union="locked", misfit_m=misfit)
    found = solve(cut, fields(cut), lock_of(cut))
    stiffness = 1 / (length / 6e8 + length / 2.4e8)
    expected = stiffness * misfit / (1 + stiffness * 0.112**2 * length / 9.4e5)
    assert found.lock_n[0] == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("roll", [0.0, 0.7])
def test_two_strings_wedge_across_the_low_side(roll):
    """N = W/cos(beta), sin(beta) = (d/2)/(Rc - r): more than the weight."""
    length, w, spacing, radius, wall = 4.0, 300.0, 0.11, 0.05, 0.12
    at_m = tuple(float(at) for at in np.linspace(0, length, 9))
    strings = tuple(
        BeamString(
            name,
            (BeamSegment("leader", -5.0, 0.0, 1.0), BeamSegment(name, 0.0, length, 1e5)),
            tuple(
                Disc(at, x * math.cos(roll), x * math.sin(roll), radius, f"{name} {at:g}")
                for at in at_m
            ),
        )
        for name, x in (("esp", -spacing / 2), ("bypass", spacing / 2))
    )
    links = (Link(-5.0, "clamp"), *(Link(at, "clamp") for at in at_m))
    cut = mesh(TwinBeam(strings, links, (Held(0, -5.0),)))
    down = (-w * math.sin(roll), w * math.cos(roll))
    found = solved(cut, fields(cut, load=lambda _, at: down if at > 0 else (0.0, 0.0), wall_m=wall))
    beta = math.asin(spacing / 2 / (wall - radius))
    assert found.force_n.sum() == pytest.approx(2 * w * length / math.cos(beta), rel=1e-4)


# --- stability -----------------------------------------------------------------------------


@pytest.mark.parametrize(("factor", "state"), [(0.999, "ok"), (1.001, "buckled")])
def test_euler_load(factor, state):
    length = 8.0
    cut = beam(length, EI, held=(Held(0, 0.0), Held(0, length)), longest_m=0.5)
    given = fields(cut, tension=-factor * math.pi**2 * EI / length**2)
    assert solve(cut, given).state[0] == state


@pytest.mark.parametrize(("factor", "state"), [(0.999, "ok"), (1.001, "buckled")])
def test_column_under_its_own_weight(factor, state):
    """(wL)cr = 7.837 EI/L2, foot clamped, top free (Greenhill 1881, from memory)."""
    length = 12.0
    cut = beam(length, EI, held=(Held(0, length, slope=True),), longest_m=0.25)
    weight = factor * 7.8373 * EI / length**3
    assert solve(cut, fields(cut, tension=lambda at: -weight * at)).state[0] == state


def test_a_disc_that_has_no_room_does_not_fit():
    cut = beam(6.0, EI, discs_m=(3.0,), clearance_m=0.01)
    found = solve(cut, fields(cut, wall_m=0.289))
    assert found.state[0] == "does not fit"
    assert cut.contacts[found.deepest[0]].name == "3"
