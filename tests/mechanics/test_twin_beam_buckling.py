"""The load factor against Euler, Greenhill and a dense eigenvalue."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import linalg
from tests.mechanics.beams import beam, fields
from tests.mechanics.twins import hole, twin

from abreast.mechanics.twin_beam import BeamSegment, BeamString, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_axial import pull
from abreast.mechanics.twin_beam_buckling import load_factor
from abreast.mechanics.twin_beam_hole import station_fields
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_solve import solve

EI, LENGTH_M = 2e5, 12.0


@pytest.mark.parametrize("share", [0.1, 0.8, 1.25, 3.0])
def test_euler_s_column(share):
    """Pinned at both ends: pi2 EI/L2 (Timoshenko and Gere, from memory)."""
    cut = beam(LENGTH_M, EI, held=(Held(0, 0.0), Held(0, LENGTH_M)))
    push = share * math.pi**2 * EI / LENGTH_M**2
    (factor,) = load_factor(cut, fields(cut, tension=-push))
    assert factor == pytest.approx(1 / share, rel=1e-3)


def test_a_column_under_its_own_weight():
    """Clamped at its foot: wL = 7.837 EI/L2 (Greenhill 1881, from memory)."""
    cut = beam(LENGTH_M, EI, held=(Held(0, LENGTH_M, slope=True),), longest_m=0.25)
    weight = 7.837 * EI / LENGTH_M**3
    (factor,) = load_factor(cut, fields(cut, tension=lambda at: -weight * at))
    assert factor == pytest.approx(1, rel=1e-3)


def test_only_the_push_is_scaled():
    """A pulled string clamped to a pushed one: with twice both it would not be twice as much."""
    strings = tuple(
        BeamString(name, (BeamSegment(name, 0, 12, EI, x_m=x),))
        for name, x in (("pulled", 0.0), ("pushed", 0.1))
    )
    links = tuple(Link(at, "clamp") for at in (0.0, 3.0, 6.0, 9.0, 12.0))
    cut = mesh(TwinBeam(strings, links, (Held(0, 0.0), Held(0, 12.0))))
    given = fields(cut)
    euler = math.pi**2 * EI / LENGTH_M**2
    # Nearly as one: 2 EI against the sum of the pulls; between clamps they part a little.
    given.tension_n[0] = np.where(cut.string == 0, 2 * euler, -euler)
    (factor,) = load_factor(cut, given)
    assert factor == pytest.approx(4, rel=5e-3)


def test_nothing_pushes_or_nothing_holds():
    cut = beam(LENGTH_M, EI, held=(Held(0, 0.0), Held(0, LENGTH_M)))
    assert load_factor(cut, fields(cut, tension=1e4))[0] == math.inf
    loose = beam(LENGTH_M, EI, held=(Held(0, 0.0),))
    assert load_factor(loose, fields(loose, tension=lambda at: 100.0 - 1e3 * at))[0] < 1e-3


@pytest.mark.parametrize("depth_m", [80.0, 905.0])
def test_a_dense_eigenvalue_of_a_twin(depth_m):
    """Oracle: the generalised eigenvalue of SciPy; and where it is below 1 no shape is plain ok."""
    cut = mesh(twin(3, 3, ei=(1.0e6, 2.0e4, 3.3e5), union="locked"))
    given, along = station_fields(cut, hole(), np.array([depth_m, depth_m]), 0.4)
    axial = pull(cut, along, np.zeros((2, cut.walls)), np.array([0.0, -9e4]))
    given.tension_n[:], given.couple_nm[:] = axial.tension_n, axial.couple_nm
    found = load_factor(cut, given)
    states = solve(cut, given).state
    for factor, state, tension in zip(found, states, given.tension_n, strict=True):
        stiff = _dense(cut, np.maximum(tension, 0), bending=1.0)
        push = _dense(cut, np.minimum(tension, 0))
        most = linalg.eigvalsh(-push, stiff)[-1]
        assert factor == pytest.approx(1 / most, rel=1e-3)
        assert (factor >= 1) == (state == "ok")


def _dense(cut, tension, bending=0.0):
    maps = pattern(cut)
    flat = (maps.tension @ tension + bending * maps.bending).reshape(cut.size, cut.band + 1)
    full = np.zeros((cut.size, cut.size))
    for off in range(cut.band + 1):
        at = np.arange(cut.size - off)
        full[at + off, at] = full[at, at + off] = flat[: cut.size - off, off]
    return full
