"""Soft string against the drag paper's formula and a whole well worked by two other routes.

Sources: Johancsik, Friesen and Dawson, "Torque and Drag in Directional Wells",
JPT June 1984 (equations as textbooks print them); the whole well was worked outside
this program as a differential equation and with elements, and is in no paper.
"""

import math
from itertools import pairwise

import pytest

from abreast.formulas.soft_string import Cell, normal_force, tension_above, tensions
from abreast.formulas.survey import Station, position_at, positions

FT, LBF = 0.3048, 4.4482216152605


def hole(*rows):
    return positions(
        [Station(md * FT, math.radians(inc), math.radians(azi)) for md, inc, azi in rows]
    )


@pytest.mark.parametrize(
    ("drop_deg", "wall_lbf"), [(3.0, 2948.70), (-3.0, 2492.67)], ids=["drop", "build"]
)
def test_one_element_of_the_paper(drop_deg, wall_lbf):
    """50,000 lbf, 100 ft of 6.5 lb/ft in 9 ppg, 25 degrees, 2 degrees of azimuth.

    The paper's form takes angles for chords: 0.01 % of T dtheta apart from ours.
    """
    upper, lower = hole((0, 25 + drop_deg / 2, 10), (100, 25 - drop_deg / 2, 12))
    cell = Cell(upper, lower, 5.6069 * LBF / FT)
    assert normal_force(50_000 * LBF, cell) / LBF == pytest.approx(wall_lbf, rel=3e-4)


@pytest.mark.parametrize(
    ("drop_deg", "up_lbf", "down_lbf"),
    [(3.0, 1245.33, -229.02), (-3.0, 1131.32, -115.01)],
    ids=["drop", "build"],
)
def test_change_of_tension_over_one_element_of_the_paper(drop_deg, up_lbf, down_lbf):
    """dF = W cos I +- mu N with N at 50,000 lbf, mu 0.25; worked by hand from the paper."""
    upper, lower = hole((0, 25 + drop_deg / 2, 10), (100, 25 - drop_deg / 2, 12))
    cell = Cell(upper, lower, 5.6069 * LBF / FT)
    drag = 0.25 * normal_force(50_000 * LBF, cell) / LBF
    along = (tension_above(50_000 * LBF, cell, 0.25, "still")) / LBF - 50_000
    assert along + drag == pytest.approx(up_lbf, abs=0.4)
    assert along - drag == pytest.approx(down_lbf, abs=0.4)


def test_capstan():
    """Weightless, 90 degrees: T2 / T1 = e^(0.3 pi / 2), exact."""
    curve = hole((0, 0, 0), (1000, 90, 0))
    points = [position_at(curve, 1000 * FT * k / 200) for k in range(200, -1, -1)]
    points[0], points[-1] = curve[-1], curve[0]
    cells = [Cell(up, low, 0.0) for low, up in pairwise(points)]
    assert tensions(cells, 0.3, "up", 1.0)[-1] == pytest.approx(1.601978, abs=2e-5)


WELL = hole((0, 0, 0), (1000, 0, 0), (3000, 60, 0), (6000, 60, 0))


@pytest.mark.parametrize(
    ("cells", "up_lbf", "down_lbf", "off_lbf"),
    [(60, 30133.33, 18342.71, 5.0), (600, 30131.62, 18339.93, 0.1)],
)
def test_the_whole_well_in_coarse_elements(cells, up_lbf, down_lbf, off_lbf):
    """The paper's elements with the tension in their middle, 100 and 10 ft, worked outside.

    Ours take the weight of each along the arc, theirs W cos I: 2 lbf apart at 100 ft.
    """
    points = [position_at(WELL, 6000 * FT * k / cells) for k in range(cells, -1, -1)]
    parts = [Cell(up, low, 5.60687 * LBF / FT) for low, up in pairwise(points)]
    for way, hook_lbf in (("up", up_lbf), ("down", down_lbf)):
        assert tensions(parts, 0.25, way)[-1] / LBF == pytest.approx(hook_lbf, abs=off_lbf)


@pytest.mark.parametrize(("friction", "slides"), [(0.577, True), (0.578, False)])
def test_a_slope_on_which_nothing_slides(friction, slides):
    """mu >= 1/tan I, 0.5774 at 60 degrees: no string goes down by its own weight."""
    upper, lower = hole((0, 60, 0), (3000, 60, 0))
    found = tensions([Cell(upper, lower, 80.0)], friction, "down")[-1]
    assert (found > 0) is slides


@pytest.mark.parametrize(
    ("way", "hook_lbf", "hold_lbf", "build_lbf"),
    [
        ("still", 23290.86, 8410.31, 17683.99),
        ("up", 30131.60, 12052.07, 24524.73),
        ("down", 18339.91, 4768.54, 12733.04),
    ],
)
def test_a_whole_well(way, hook_lbf, hold_lbf, build_lbf):
    points = [position_at(WELL, 6000 * FT * k / 600) for k in range(599, 0, -1)]
    points = [WELL[-1], *points, WELL[0]]
    cells = [Cell(up, low, 5.60687 * LBF / FT) for low, up in pairwise(points)]
    found = [load / LBF for load in tensions(cells, 0.25, way)]
    assert found[-1] == pytest.approx(hook_lbf, abs=0.1)
    assert found[299] == pytest.approx(hold_lbf, abs=0.1)
    assert found[499] == pytest.approx(build_lbf, abs=0.1)
