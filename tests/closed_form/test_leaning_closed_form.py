"""Columns that are pushed beyond Euler's load and held by a wall: closed forms of the elastica.

A column with pinned ends between walls a small way off: beyond Euler's load it
touches at one point (Feodosyev, Strength of Materials, from memory). With
k = sqrt(P/EI) each half obeys w'''' + k^2 w'' = 0 with w = w'' = 0 at the pin,
w = c and w' = 0 at the wall. It touches at one point up to four times Euler's load.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.mechanics.beams import beam, fields, moment, moved

from abreast.mechanics import twin_beam_lean
from abreast.mechanics.twin_beam import Held
from abreast.mechanics.twin_beam_solve import _worse, solve

LENGTH_M, EI, CLEARANCE_M = 20.0, 4.0e5, 0.03
EULER_N = math.pi**2 * EI / LENGTH_M**2


def column(
    times_euler: float, load_n_m: float = 1e-5, across_n_m: float = 0.0, *, kicked: bool = False
):
    """A column held at both ends, with a trace of weight so that it knows where to go."""
    cut = beam(
        LENGTH_M,
        EI,
        discs_m=tuple(float(at) for at in np.arange(1.0, LENGTH_M)),
        clearance_m=CLEARANCE_M,
        held=(Held(0, 0.0), Held(0, LENGTH_M)),
        longest_m=0.5,
    )
    given = fields(cut, load=(load_n_m, across_n_m), tension=-times_euler * EULER_N)
    return cut, solve(cut, given, kicked=kicked)


def by_hand(times_euler: float) -> tuple[float, float]:
    """Push on the wall and moment there."""
    push = times_euler * EULER_N
    k = math.sqrt(push / EI)
    half = k * LENGTH_M / 2
    wave = CLEARANCE_M / (math.sin(half) - half * math.cos(half))
    return -2 * push * wave * k * math.cos(half), EI * wave * k**2 * math.sin(half)


@pytest.mark.parametrize("times_euler", [1.05, 1.5, 2.0, 3.0, 3.9])
def test_a_column_that_leans_on_one_point_of_the_wall(times_euler):
    cut, found = column(times_euler)
    assert found.state[0] == "leans"
    touching = np.nonzero(found.force_n[0] > 0)[0]
    assert [cut.contacts[k].name for k in touching] == ["10"]
    force_n, moment_nm = by_hand(times_euler)
    assert found.force_n[0].sum() == pytest.approx(force_n, rel=2e-3)
    assert abs(moment(cut, found, 10.0)) == pytest.approx(moment_nm, rel=2e-3)
    assert moved(cut, found, 10.0)[0] == pytest.approx(CLEARANCE_M, rel=1e-4)


def test_below_eulers_load_it_needs_no_wall():
    _, found = column(0.99)
    assert found.state[0] == "ok"


def test_beyond_four_times_eulers_load_it_lies_along_the_wall():
    """In a round hole it then goes round, too: a trace of load across lets it."""
    cut, found = column(6.0, load_n_m=1e-3, across_n_m=1e-4)
    assert found.state[0] == "leans"
    assert np.sum(found.force_n[0] > 0) > 1
    far_m = max(math.hypot(*moved(cut, found, float(at))) for at in range(1, 20))
    assert far_m == pytest.approx(CLEARANCE_M, rel=1e-4)


def test_a_perfectly_straight_column_is_upset_by_a_touch():
    """In balance as it stands, but it would leave that: it comes to lie on the wall."""
    cut, found = column(2.0, load_n_m=0.0)
    assert found.state[0] == "leans"
    force_n, moment_nm = by_hand(2.0)
    assert found.force_n[0].sum() == pytest.approx(force_n, rel=2e-3)
    assert found.moment_nm.max() >= moment_nm * (1 - 2e-3)
    assert math.hypot(*moved(cut, found, 10.0)) == pytest.approx(CLEARANCE_M, rel=1e-4)


def test_with_no_wall_in_reach_it_buckles():
    cut = beam(LENGTH_M, EI, held=(Held(0, 0.0), Held(0, LENGTH_M)), longest_m=0.5)
    for load_n_m in (0.0, 1e-3):
        found = solve(cut, fields(cut, load=(load_n_m, 0.0), tension=-2.0 * EULER_N))
        assert found.state[0] == "buckled"


def test_pushed_beyond_the_least_push_pipe_in_a_level_hole_snakes():
    """2 sqrt(EI w / r), from which waves cost less than they give (Dawson and Paslay, 1984)."""
    length_m, ei, weight_n_m, radius_m = 120.0, 1.0e5, 100.0, 0.02
    least_n = 2 * math.sqrt(ei * weight_n_m / radius_m)
    cut = beam(
        length_m,
        ei,
        discs_m=tuple(float(at) for at in np.arange(1.0, length_m)),
        clearance_m=radius_m,
        held=(Held(0, 0.0), Held(0, length_m)),
        longest_m=0.5,
    )
    aside_m = []
    for share in (0.9, 1.2):
        found = solve(cut, fields(cut, load=(weight_n_m, 0.0), tension=-share * least_n))
        assert found.state[0] in ("ok", "leans")
        inner = [float(at) for at in range(10, 110)]
        aside_m.append(max(abs(moved(cut, found, at)[1]) for at in inner))
    assert aside_m[0] < 1e-5
    assert aside_m[1] > 0.1 * radius_m


def test_it_is_the_same_shape_from_a_start_nearby():
    cut, found = column(2.0)
    given = fields(cut, load=(1e-3, 0.0), tension=-2.0 * EULER_N)
    again = solve(cut, given, start=found.u * 0.9, kicked=False)
    assert again.state[0] == "leans"
    assert np.allclose(again.u, found.u, atol=1e-7)


def test_a_column_that_is_kicked_a_little_comes_back():
    cut, found = column(3.0, kicked=True)
    assert found.state[0] == "leans"
    assert abs(moment(cut, found, 10.0)) == pytest.approx(by_hand(3.0)[1], rel=2e-3)


def test_kicked_over_to_the_other_wall_it_does_not_stand(monkeypatch):
    """In a round hole its weight rolls it back: in balance there, but no minimum."""
    cut, found = column(3.0)
    given = fields(cut, load=(1e-5, 0.0), tension=-3.0 * EULER_N)
    monkeypatch.setattr(twin_beam_lean, "_kick", lambda _: -2.0 * found.u[0])
    newton, stands, held, other = twin_beam_lean.lean(cut, given, None)
    assert stands[0]
    assert not held[0]
    assert np.array_equal(other, newton.u)
    monkeypatch.setattr(
        twin_beam_lean, "_minimum", lambda _, u, rests=0.0: np.ones(u.shape[1], dtype=bool)
    )
    *_, other = twin_beam_lean.lean(cut, given, None)
    assert np.allclose(other, -found.u.T, atol=1e-4)


def test_of_two_shapes_the_one_that_is_bent_more_is_told():
    """Of a straight column and one that leans the leaning one, whichever comes first."""
    cut, found = column(3.0)
    given = fields(cut, load=(1e-5, 0.0), tension=-3.0 * EULER_N)
    shape, straight = found.u.T, np.zeros_like(found.u.T)
    assert np.array_equal(_worse(cut, given, straight, shape), shape)
    assert np.array_equal(_worse(cut, given, shape, straight), shape)
