"""Exact cases: what geometry and algebra say, worked out another way."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.formulas.lifting import buoyancy_factor, sling_leg_load
from abreast.formulas.makeup import tong_torque
from abreast.formulas.measuring import (
    ErrorTerm,
    closure_error,
    length_at_temperature,
    tape_corrected_length,
    thermal_expansion,
)
from abreast.formulas.tubulars import (
    bore_area,
    inside_diameter,
    plain_end_weight,
    second_moment,
    steel_area,
    wall_of_plain_end_weight,
)

pipes = st.tuples(st.floats(0.02, 0.6), st.floats(0.02, 0.95)).map(lambda p: (p[0], p[0] * p[1]))


def test_second_moment_by_summing_thin_strips():
    """Strips of the section, their area times the square of their distance."""
    od, bore, strips = 0.073025, 0.0620014, 20_000
    step = od / strips
    total = 0.0
    for k in range(strips):
        y = -od / 2 + (k + 0.5) * step
        outer = 2 * math.sqrt((od / 2) ** 2 - y * y)
        inner = 2 * math.sqrt(max((bore / 2) ** 2 - y * y, 0.0))
        total += (outer - inner) * step * y * y
    assert second_moment(od, bore) == pytest.approx(total, rel=1e-5)


@settings(deadline=None)
@given(pipes)
def test_areas_and_moments_of_a_tube_are_those_of_two_discs(pipe):
    od, bore = pipe
    assert steel_area(od, bore) + bore_area(bore) == pytest.approx(bore_area(od), rel=1e-12)
    discs = math.pi / 64 * (od**4 - bore**4)
    assert second_moment(od, bore) == pytest.approx(discs, rel=1e-9)


@settings(deadline=None)
@given(pipes)
def test_plain_end_weight_is_steel_of_7850(pipe):
    """pi x 7850 = 24661.5: the coefficient of the standard, to its six digits."""
    od, bore = pipe
    weight = plain_end_weight(od, (od - bore) / 2)
    assert weight == pytest.approx(7850 * steel_area(od, bore), rel=1e-6)


@settings(deadline=None)
@given(pipes)
def test_wall_and_weight_are_inverse(pipe):
    od, bore = pipe
    wall = (od - bore) / 2
    assert wall_of_plain_end_weight(od, plain_end_weight(od, wall)) == pytest.approx(wall, rel=1e-6)
    assert inside_diameter(od, wall) == pytest.approx(bore, rel=1e-12)


def test_growth_of_steel():
    """Exact products: 10,000 ft, 20 degF, 6.9e-6: 16.56 in; 1,000 m, 50 K: 0.621 m."""
    inches = Fraction(69, 10**7) * 10_000 * 12 * 20
    assert thermal_expansion(3048.0, 20 / 1.8) / 0.0254 == pytest.approx(float(inches), rel=1e-12)
    assert thermal_expansion(1000.0, 50.0) == pytest.approx(0.6210, rel=1e-12)


def test_sun_and_shade_on_an_esp_string():
    """105 ft, 20 degF: 105 x 12 x 20 x 6.9e-6 = 0.174 in."""
    assert thermal_expansion(105 * 0.3048, 20 / 1.8) / 0.0254 == pytest.approx(0.17388, rel=1e-9)


def test_steel_tape_as_warm_as_the_pipe_needs_no_correction():
    true_m = tape_corrected_length(31.0, 313.15)
    assert length_at_temperature(true_m, 313.15, 293.15) == pytest.approx(
        31.0, abs=31.0 * 7e-8 + 1e-9
    )


def test_error_budget_of_a_hundred_foot_closure():
    """9 x 0.06^2 + 6 x 0.05^2 + 0.25^2 = 0.1099; its root 0.3315 in; the plain sum 1.09 in."""
    inch = 0.0254
    terms = [ErrorTerm(0.06 * inch, 9), ErrorTerm(0.05 * inch, 6), ErrorTerm(0.25 * inch)]
    error = closure_error(terms)
    assert error.quadrature_m / inch == pytest.approx(math.sqrt(0.1099), rel=1e-12)
    assert error.worst_m / inch == pytest.approx(1.09, rel=1e-12)


def test_a_bias_adds_up_and_chance_does_not():
    """Ten joints of 0.02 ft: 0.2 ft when it is a bias, 0.063 ft by chance."""
    assert closure_error([ErrorTerm(0.02, 10, common=True)]).quadrature_m == pytest.approx(0.2)
    assert closure_error([ErrorTerm(0.02, 10)]).quadrature_m == pytest.approx(0.02 * math.sqrt(10))


def test_unequal_weights_hang_from_two_legs():
    """Two legs at 30 degrees each carry the whole load: 2 sin 30 = 1."""
    assert sling_leg_load(5000.0, 2, math.radians(30)) == pytest.approx(5000.0, rel=1e-12)


def test_buoyancy_of_half_the_density():
    assert buoyancy_factor(3925.0) == 0.5


def test_tong_square_and_slanted():
    assert tong_torque(1000.0, 0.9) == 900.0
    assert tong_torque(1000.0, 0.9, math.radians(30)) == pytest.approx(450.0, rel=1e-12)
