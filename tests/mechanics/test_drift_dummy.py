"""A dummy for the 3.07 degree bend: as stiff, too short, too stiff."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.rigid_tool import bend_side_force
from abreast.mechanics.drift_dummy import Body, equivalent_stiffness, judge_dummy

BORE_M = 8.525 * 0.0254
BEND = math.radians(3.07) / 30.48
REAL = Body(27.42 * 0.3048, 8.460 * 0.0254, 1.2e6)


def test_an_equivalent_dummy_pushes_as_hard():
    ei = equivalent_stiffness(REAL, 6.0, 8.50 * 0.0254, BORE_M, BEND)
    ours = bend_side_force(REAL.ei_nm2, REAL.length_m, BORE_M - REAL.od_m, BEND)
    assert bend_side_force(ei, 6.0, 0.025 * 0.0254, BEND) == pytest.approx(ours, rel=1e-12)
    assert ei < REAL.ei_nm2


def test_what_dummies_prove():
    same = judge_dummy(REAL, REAL, BORE_M, BEND)
    assert len(same.proves) == 3
    assert len(same.does_not_prove) == 1
    short = judge_dummy(REAL, replace(REAL, length_m=1.3), BORE_M, BEND)
    assert short.dummy_n == 0
    assert any("known bend" in line for line in short.does_not_prove)
    assert any("survey does not see" in line for line in short.does_not_prove)
    stiff = judge_dummy(REAL, replace(REAL, ei_nm2=1e8), BORE_M, BEND)
    assert any("may still pass" in line for line in stiff.does_not_prove)
    soft = judge_dummy(REAL, replace(REAL, ei_nm2=1e5, length_m=20.0), BORE_M, BEND)
    assert any("softer" in line for line in soft.does_not_prove)
    thin = judge_dummy(REAL, replace(REAL, od_m=0.15), BORE_M, BEND)
    assert any("thinner" in line for line in thin.does_not_prove)


def test_what_lies_unbent_pushes_nowhere_and_proves_nothing_of_the_bend():
    """0 N is at least as hard as 0 N, and says nothing."""
    small = Body(0.5, 0.05, 1e6)
    for real in (REAL, replace(REAL, length_m=1.0)):
        proof = judge_dummy(real, small, BORE_M, BEND)
        assert proof.dummy_n == 0 and proof.proves == ()
    short = replace(REAL, length_m=1.0)
    as_long = judge_dummy(short, short, BORE_M, BEND)
    assert any("as long and thick" in line for line in as_long.proves)


def test_without_a_bend_none_is_proved():
    proof = judge_dummy(REAL, REAL, BORE_M, 0.0)
    assert not any("known bend" in line for line in proof.proves)
    assert "a bend: none is given" in proof.does_not_prove


@given(st.floats(1.0, 5.0), st.floats(0.2, 0.2164), st.floats(1.0, 3.0), st.floats(1e-5, 0.01))
def test_as_long_thick_and_stiff_never_pushes_less(longer, od_m, stiffer, bend):
    """What proves bends between stations cannot fail in the known one."""
    assume(od_m < BORE_M)
    real = replace(REAL, od_m=od_m)
    dummy = replace(real, length_m=REAL.length_m * longer, ei_nm2=REAL.ei_nm2 * stiffer)
    proof = judge_dummy(real, dummy, BORE_M, bend)
    assert any("bends between stations" in line for line in proof.proves)
    assert any("known bend" in line for line in proof.proves)
    assert not any("known bend" in line for line in proof.does_not_prove)


def test_refusals():
    with pytest.raises(InputError, match="passes unbent"):
        equivalent_stiffness(replace(REAL, length_m=1.0), 6.0, 0.2, BORE_M, BEND)
    with pytest.raises(InputError, match="pushes nowhere"):
        equivalent_stiffness(REAL, 1.0, 0.2, BORE_M, BEND)
    with pytest.raises(InputError, match="below the bore"):
        judge_dummy(REAL, replace(REAL, od_m=0.3), BORE_M, BEND)
