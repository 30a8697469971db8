"""A pushed column tied to a pulled one by a clamp with play: beam-columns, by hand.

Two pinned columns, one pushed beyond Euler's load by P, the other pulled by T, joined at
mid-length by a clamp with diametral play 2 p. With k = sqrt(P/EI), l = sqrt(T/EI), half
lengths h, a force F at mid-length moves

    the pushed one by  F (tan kh - kh) / (2 P k)     (against the force between P_E and 4 P_E)
    the pulled one by  F (lh - tanh lh) / (2 T l)

(Timoshenko and Gere, Theory of Elastic Stability, from memory). The pushed one leans on the
clamp with the play p between them. Once one gives more than the other holds, nothing stands.
"""

from __future__ import annotations

import math

import pytest
from tests.mechanics.beams import fields, moved

from abreast.mechanics.twin_beam import BeamSegment, BeamString, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_mesh import Mesh, mesh
from abreast.mechanics.twin_beam_solve import Shapes, solve

LENGTH_M, EI, PULL_N = 12.0, 5.0e5, 60e3
EULER_N = math.pi**2 * EI / LENGTH_M**2
MIDDLE_M = LENGTH_M / 2


def pair(play_m: float, push_n: float, load_n_m: float = 1e-6) -> tuple[Mesh, Shapes]:
    """The pair, with a trace of load that tells the pushed one where to go."""
    strings = [
        BeamString(name, (BeamSegment(name, 0.0, LENGTH_M, EI, x_m=x_m),))
        for name, x_m in (("pushed", 0.0), ("pulled", 0.1))
    ]
    held = [Held(s, at) for s in (0, 1) for at in (0.0, LENGTH_M)]
    clamp = Link(MIDDLE_M, "clamp", play_m, "clamp")
    cut = mesh(TwinBeam(tuple(strings), (clamp,), tuple(held)), 0.25)
    given = fields(cut, load=lambda s, _: (load_n_m if s == 0 else 0.0, 0.0))
    for element, string in enumerate(cut.string):
        given.tension_n[0, element] = -push_n if string == 0 else PULL_N
    return cut, solve(cut, given)


def gives(push_n: float) -> tuple[float, float]:
    """Movement at mid-length for a force of 1 N, of the pushed and of the pulled one."""
    k, pulled = math.sqrt(push_n / EI), math.sqrt(PULL_N / EI)
    kh, lh = k * MIDDLE_M, pulled * MIDDLE_M
    return (math.tan(kh) - kh) / (2 * push_n * k), (lh - math.tanh(lh)) / (2 * PULL_N * pulled)


def most_push_n() -> float:
    """Where the pushed one gives way as much as the pulled one holds, clamp closed."""
    low, high = 1.001 * EULER_N, 3.999 * EULER_N
    for _ in range(80):
        middle = (low + high) / 2
        pushed, pulled = gives(middle)
        low, high = (middle, high) if -pushed > pulled else (low, middle)
    return low


@pytest.mark.parametrize("share", [0.05, 0.4, 0.8])
@pytest.mark.parametrize("play_m", [0.0005, 0.004])
def test_the_pulled_string_holds_the_pushed_one_by_the_clamp(play_m, share):
    push_n = EULER_N + share * (most_push_n() - EULER_N)
    cut, found = pair(play_m, push_n)
    assert found.state[0] == "ok"
    pushed, pulled = gives(push_n)
    force_n = play_m / 2 / (-pushed - pulled)
    assert found.force_n[0].sum() == pytest.approx(force_n, rel=1e-3)
    # Which way it goes in a round clamp is left to a trace of load.
    far_m = [math.hypot(*moved(cut, found, MIDDLE_M, string)) for string in (0, 1)]
    assert far_m == pytest.approx([-pushed * force_n, pulled * force_n], rel=1e-3)
    # EI w'' = F sin kx / (2 k cos kh) is greatest a quarter wave from the pin.
    k = math.sqrt(push_n / EI)
    by_hand_nm = abs(force_n / (2 * k * math.cos(k * MIDDLE_M)))
    assert found.moment_nm[0, cut.string == 0].max() == pytest.approx(by_hand_nm, rel=1e-3)


def test_twice_the_play_is_twice_the_shape():
    push_n = EULER_N + 0.5 * (most_push_n() - EULER_N)
    _, one = pair(0.001, push_n)
    _, other = pair(0.002, push_n)
    assert other.moment_nm.max() == pytest.approx(2 * one.moment_nm.max(), rel=1e-3)
    assert other.force_n.sum() == pytest.approx(2 * one.force_n.sum(), rel=1e-3)


def test_with_nothing_to_tell_it_where_to_go_it_lies_on_its_clamp_all_the_same():
    push_n = EULER_N + 0.5 * (most_push_n() - EULER_N)
    _, found = pair(0.001, push_n, 0.0)
    pushed, pulled = gives(push_n)
    assert found.state[0] == "ok"
    assert found.force_n[0].sum() == pytest.approx(0.0005 / (-pushed - pulled), rel=1e-3)


def test_beyond_what_the_pulled_one_can_hold_nothing_stands():
    _, found = pair(0.001, 0.995 * most_push_n())
    assert found.state[0] == "ok"
    _, found = pair(0.001, 1.005 * most_push_n())
    assert found.state[0] == "buckled"


def test_below_eulers_load_the_clamp_has_nothing_to_hold():
    _, found = pair(0.001, 0.98 * EULER_N)
    assert found.state[0] == "ok"
    assert found.force_n[0].sum() == 0.0
