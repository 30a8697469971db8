"""A stiff rod in an even bend: three contacts or lying on it, against the contact model.

Derived by hand: with three contacts a simply supported beam (Roark). It is curved
12 (kappa L^2/8 - c)/L^2 in its middle, which the bend allows up to kappa. Then it
lies on the inner wall; along a free end of length a its moment falls evenly from
EI kappa to 0, so that it leaves the wall's own arc by the integral of kappa s^2/2a,
kappa a^2/6, which is the clearance c.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from abreast.actions import calculators
from abreast.errors import InputError
from abreast.formulas.rigid_tool import bend_side_force, bent_rod, longest_rigid_tool, must_bend

EI, CLEAR, BEND = 1.3e6, 0.0026, 0.00193
PARTS = 120


@pytest.mark.parametrize("length_m", [4.0, 6.0, 8.36, 12.0])
def test_the_contact_model_pushes_as_hard(length_m):
    """Round parts all along, 1/120 of the length apart; the end of what lies falls between two."""
    parts = [
        {"at_m": length_m * k / PARTS, "diameter_m": 0.3 - CLEAR, "id": str(k)}
        for k in range(PARTS + 1)
    ]
    rod = {"segments": [{"length_m": length_m, "ei_nm2": EI}], "parts": parts}
    found = calculators.run(
        "contact-beam",
        {"bore_m": 0.3, "dogleg_rad_m": BEND, "longest_m": length_m / 240, "strings": [rod]},
    )
    pushes = [one["x_n"] for one in found["touching"]]
    ours = bent_rod(EI, length_m, CLEAR, BEND)
    assert sum(push for push in pushes if push > 0) == pytest.approx(ours.force_n, rel=1e-3)
    assert found["moment_nm"] == pytest.approx(ours.moment_nm, rel=2e-3)
    assert sum(1 for push in pushes if push > 0) > 1 or not ours.lies_m


def test_beyond_three_contacts_the_length_is_nothing():
    """2 EI kappa / sqrt(6c/kappa) = 1,765.0 N and EI kappa = 2,509 N m for any length."""
    for length_m in (6.0, 8.36, 20.0, 500.0):
        rod = bent_rod(EI, length_m, CLEAR, BEND)
        assert rod.force_n == pytest.approx(1765.0, abs=0.05)
        assert rod.moment_nm == pytest.approx(2509.0)
        assert rod.lies_m == pytest.approx(length_m - 2 * 2.84304, abs=1e-4)


def test_both_forms_agree_where_one_turns_into_the_other():
    """At L^2 = 24 c/kappa both are 4 EI kappa / L."""
    turn_m = math.sqrt(24 * CLEAR / BEND)
    for length_m in (turn_m * (1 - 1e-9), turn_m * (1 + 1e-9)):
        rod = bent_rod(EI, length_m, CLEAR, BEND)
        assert rod.force_n == pytest.approx(4 * EI * BEND / turn_m, rel=1e-7)
        assert rod.moment_nm == pytest.approx(EI * BEND, rel=1e-7)


SIZES = (st.floats(0.1, 60.0), st.floats(1e-4, 0.05), st.floats(1e-4, 0.05))


@given(*SIZES, st.floats(1.0, 3.0), st.floats(0.1, 1.0), st.floats(1.0, 3.0))
def test_longer_thicker_or_sharper_never_pushes_less(length_m, clear_m, bend, more, less, sharper):
    rod = bend_side_force(EI, length_m, clear_m, bend) * (1 - 1e-9)
    assert bend_side_force(EI, length_m * more, clear_m, bend) >= rod
    assert bend_side_force(EI, length_m, clear_m * less, bend) >= rod
    assert bend_side_force(EI, length_m, clear_m, bend * sharper) >= rod


@given(*SIZES)
def test_the_moment_is_never_that_of_more_than_the_bend(length_m, clear_m, bend):
    rod = bent_rod(EI, length_m, clear_m, bend)
    assert rod.moment_nm <= EI * bend * (1 + 1e-12)
    assert 0 <= rod.lies_m < length_m


@given(st.floats(0.05, 0.3), st.floats(0.3, 0.999), st.floats(10.0, 1e4))
def test_the_longest_that_lies_unbent_need_not_bend(bore_m, share, radius_m):
    """Both from plane geometry: a chord of the outer wall that touches the inner one."""
    longest_m = longest_rigid_tool(bore_m, bore_m * share, radius_m)
    assume(longest_m < radius_m)
    assert must_bend(bore_m, bore_m * share, longest_m, 1 / radius_m) == pytest.approx(
        0.0, abs=1e-12
    )
    assert must_bend(bore_m, bore_m * share, 1.01 * longest_m, 1 / radius_m) > 0


def test_refusals():
    with pytest.raises(InputError, match="nothing bounds the force"):
        bent_rod(EI, 5.0, 0.0, BEND)
    with pytest.raises(InputError, match="longer than a bend of that curvature is wide"):
        must_bend(0.2, 0.1, 30.0, 0.1)
    with pytest.raises(InputError, match="sharper than its bore"):
        must_bend(0.2, 0.1, 0.1, 10.0)
    assert bent_rod(EI, 5.0, 0.0, 0.0).force_n == 0.0
