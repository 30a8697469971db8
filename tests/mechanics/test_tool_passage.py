"""Tool passage: constant bends against the closed form, both invented jobs, steps, refusals."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.rigid_tool import longest_rigid_tool
from abreast.mechanics.tool_passage import (
    Bore,
    Stiff,
    longest_stiff,
    plug_force,
    smallest_bore,
    tool_passes,
    tool_table,
)

FT, IN, LBF = 0.3048, 0.0254, 4.4482216152605
PSI = LBF / IN**2


def quernstone(tubing_in, pipe_in):
    return [
        Bore("tubing", 40 * FT, tubing_in * IN),
        Bore("S-bend", 2.4 * FT, 2.90 * IN, 1.00 * IN),
        Bore("plug nipple", 1.17 * FT, 2.30 * IN),
        Bore("bypass", 106 * FT, pipe_in * IN),
    ]


def skerrow(tubing_m, pipe_m):
    return [
        Bore("tubing", 13.0, tubing_m),
        Bore("S-bend", 0.70, 0.062, 0.019),
        Bore("plug nipple", 0.30, 0.0476),
        Bore("bypass", 27.0, pipe_m),
    ]


QUERNSTONE = [*quernstone(3.833, 2.347), Bore("no-go nipple", 1.18 * FT, 2.20 * IN)]
SKERROW = skerrow(0.07282, 0.04829)


@pytest.mark.parametrize(("bore_m", "od_m", "radius_m"), [(0.062, 0.045, 573.0), (0.06, 0.05, 200)])
def test_a_constant_bend_is_the_closed_form(bore_m, od_m, radius_m):
    """L = 2 sqrt((D - d)(2R + d)), elementary geometry; the arc here is a parabola."""
    way = [Bore("bend", 60.0, bore_m)]
    found = longest_stiff(way, od_m, 1 / radius_m)
    assert found == pytest.approx(longest_rigid_tool(bore_m, od_m, radius_m), rel=1e-4)


def test_the_force_of_a_bent_tool():
    """F = 48 EI delta / L^3, delta = L^2/8R - (D - d), Roark: D 8.681, d 8.25 in, 8 deg/100 ft.

    I 30 in4, 240 in: 0.40676 in and 1,271.1 lbf. 300 in: 0.87800 in, and beyond
    sqrt(24 R c) = 298.2 in 2 EI kappa/sqrt(6c/kappa) = 1,404.87 lbf, EI kappa = 104,720 lbf in.
    """
    curvature = math.radians(8) / (100 * FT)
    ei = 30e6 * PSI * 30 * IN**4
    for way in ([60.0], [20.0, 40.0]):
        casing = [Bore("casing", length_m, 8.681 * IN) for length_m in way]
        for length_in, bend_in, force_lbf in ((240, 0.40676, 1271.1), (300, 0.87800, 1404.87)):
            part = Stiff("rod", length_in * IN, 8.25 * IN, ei)
            found = tool_passes(casing, part, curvature, 0.0, 1e4)
            assert found.verdict == "passes bent"
            assert -found.room_m / IN == pytest.approx(bend_in, abs=1e-5)
            assert found.force_n / LBF == pytest.approx(force_lbf, rel=5e-5)
            most = tool_passes(casing, part, curvature, 0.0, 1000.0)
            assert most.verdict == "does not pass"
    assert found.moment_nm / (LBF * IN) == pytest.approx(104720, rel=5e-5)
    assert "of it on the bend" in found.words


def test_a_bent_tool_without_a_limit_is_not_checked():
    part = Stiff("rod", 240 * IN, 8.25 * IN, 1e6)
    found = tool_passes([Bore("casing", 60.0, 8.681 * IN)], part, math.radians(8) / 30.48)
    assert found.verdict == "not checked" and found.force_n > 0
    assert "not checked: needs most_force_n" in found.words


def test_the_push_of_a_long_tool_beside_a_wider_piece_is_no_less():
    """Where a part lies on an uneven bend the larger of both forms is told, and that it is so."""
    even = tool_passes([Bore("a", 40.0, 0.05)], Stiff("rod", 8.0, 0.0496, 2e4), 0.01, 0.0, 1e9)
    way = [Bore("a", 3.9, 0.05), Bore("b", 40.0, 0.0501)]
    other = tool_passes(way, Stiff("rod", 8.0, 0.0496, 2e4), 0.01, 0.0, 1e9)
    assert even.force_n == pytest.approx(2 * 2e4 * 0.01 / math.sqrt(6 * 4e-4 / 0.01))
    assert even.moment_nm == pytest.approx(200.0)
    assert "about" in other.words and "about" not in even.words
    assert other.force_n > 2 * 2e4 * 0.01 / math.sqrt(6 * 5e-4 / 0.01) * (1 - 1e-9)


def test_no_room_to_bend_in():
    found = tool_passes([Bore("a", 40.0, 0.05)], Stiff("rod", 1.0, 0.05, 1e4), 0.01, 0.0, 1e9)
    assert found.verdict == "does not pass" and found.force_n is None


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.floats(0.05, 0.06), min_size=1, max_size=4),
    st.floats(0.03, 0.0499),
    st.floats(1e-4, 0.01),
)
def test_the_longest_of_a_table_passes(bores_m, od_m, bend):
    """The two ways to tell it agree: what the table allows, passes."""
    way = [Bore(str(k), 7.0 + k, bore_m) for k, bore_m in enumerate(bores_m)]
    length_m = longest_stiff(way, od_m, bend)
    assert tool_passes(way, Stiff("rod", length_m, od_m), bend).verdict == "passes"
    if length_m * 1.002 < sum(one.length_m for one in way):
        longer = tool_passes(way, Stiff("rod", length_m * 1.002, od_m), bend)
        assert longer.verdict == "not checked" and "needs EI" in longer.words


def test_quernstone():
    """Worked outside by a search over slopes, inner diameters, no clearance: 1.69 in, 20 ft."""
    way = quernstone(3.958, 2.441)
    assert longest_stiff(way, 1.69 * IN) / FT == pytest.approx(20.3, abs=0.2)
    drifts = quernstone(3.833, 2.347)
    assert longest_stiff(drifts, 1.69 * IN) / FT == pytest.approx(19.0, abs=0.2)
    assert longest_stiff(drifts, 1.69 * IN, 0.0, 0.06 * IN) / FT == pytest.approx(11.3, abs=0.2)


def test_skerrow():
    """Worked outside the same way: 42.9 mm about 1.2 m, 36.5 mm over 9 m."""
    (_, thick), (_, thin) = tool_table(skerrow(0.076, 0.05067), [0.0429, 0.0365])
    assert thick == pytest.approx(1.2, abs=0.05)
    assert thin > 9


def test_smallest_bore_and_what_does_not_go_through_it():
    assert smallest_bore(QUERNSTONE).name == "no-go nipple"
    found = tool_passes(QUERNSTONE, Stiff("gauge", 0.3, 2.25 * IN))
    assert found.verdict == "does not pass"
    assert "1.27 mm too thick for no-go nipple" in found.words
    assert found.room_m == pytest.approx(-0.05 * IN)


def test_without_stiffness_nothing_bends():
    found = tool_passes(SKERROW, Stiff("tool", 6.0, 0.0429), 0.0, 0.0015)
    assert found.verdict == "not checked"
    assert "needs EI" in found.words
    assert found.where in ("S-bend", "plug nipple")


def test_plug():
    """500 psi on 2.30 in: about 2,080 lbf; the sign stays."""
    assert plug_force(500 * 6894.757, 2.30 * IN) / 4.4482216 == pytest.approx(2077.4, abs=0.1)
    assert plug_force(-1e5, 0.05) < 0


@pytest.mark.parametrize(
    ("part", "curvature", "clearance", "words"),
    [
        (Stiff("long", 100.0, 0.03), 0.0, 0.0, "longer than the way"),
        (Stiff("tool", 1.0, 0.03), 0.0, -0.001, "below 0"),
        (Stiff("tool", 1.0, 0.03), -0.1, 0.0, "below 0"),
        (Stiff("tool", 1.0, 0.03), math.nan, 0.0, "finite"),
    ],
)
def test_refusals(part, curvature, clearance, words):
    with pytest.raises(InputError, match=words):
        tool_passes(SKERROW, part, curvature, clearance)
