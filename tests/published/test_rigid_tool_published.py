"""Rigid tools in a bend: worked by sampling a cylinder inside a torus, outside this program.

Source of the formula: elementary plane geometry; a form of it is common in handbooks
of wireline work (from memory). Beam on three contacts: Roark; Timoshenko.
"""

import math

import pytest

from abreast.formulas.rigid_tool import bent_rod, longest_rigid_tool, sagitta


@pytest.mark.parametrize(
    ("bore", "od", "radius", "longest"),
    [
        (8.681, 8.25, 13750.99, 217.779),
        (8.681, 8.00, 22918.31, 353.385),
        (8.525, 8.25, 22918.31, 224.565),
        (6.184, 5.90, 8594.37, 139.761),
        (6.059, 5.90, 6875.49, 93.538),
        (12.347, 11.5, 13750.99, 305.312),
        (10, 4, 30, 39.191836),
        (2, 0, 10, 12.649111),
    ],
)
def test_longest_rigid_tool(bore, od, radius, longest):
    assert longest_rigid_tool(bore, od, radius) == pytest.approx(longest, abs=2e-3)


@pytest.mark.parametrize(("length_in", "sag_in"), [(240, 0.83780), (300, 1.30910), (360, 1.88516)])
def test_sagitta(length_in, sag_in):
    """Chords at 8 deg/100 ft, R - sqrt(R^2 - L^2/4): half of the last digit."""
    assert sagitta(length_in, math.radians(8) / 1200) == pytest.approx(sag_in, abs=5.1e-6)


@pytest.mark.parametrize(
    ("length_in", "force_lbf", "moment_lbf_in"),
    [(240, 1271.1, 76267), (300, 1404.87, 104720), (360, 1404.87, 104720)],
)
def test_side_force(length_in, force_lbf, moment_lbf_in):
    """D 8.681, d 8.25 in, 8 deg/100 ft, I 30 in4: R 8,594.37 in, EI/R 104,720 lbf in.

    240 in, c above L^2/24R = 0.279 in: F = 48 EI delta / L^3, M = F L/4. Longer than
    sqrt(24 R c) = 298.2 in the rod lies on the bend: a = sqrt(6 R c) = 149.08 in,
    F = 2 x 104,720 / 149.08, M = EI/R, by hand.
    """
    rod = bent_rod(30e6 * 30, length_in, 0.431, math.radians(8) / 1200)
    assert rod.force_n == pytest.approx(force_lbf, rel=5e-5)
    assert rod.moment_nm == pytest.approx(moment_lbf_in, rel=5e-5)
    assert rod.lies_m == pytest.approx(max(0.0, length_in - 298.16), abs=0.02)
