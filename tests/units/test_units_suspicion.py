"""Columns and numbers that are likely in the wrong unit are pointed at, never mended."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.units import Dimension, fitting_unit, may_be_feet_dot_inches

D = Dimension


@pytest.mark.parametrize(
    ("column", "suspected"),
    [
        (["31.05", "30.11", "31.00", "29.10"], True),
        (["31.05 ft", "30.11", "", "31.00", "29.10"], True),
        (["31.42", "31.36", "31.18", "31.55", "30.97"], False),
        (["31.05", "30.11", "31.12", "29.10"], False),
        (["31.05", "30.11", "31.00"], False),
        (["31.00", "30.00", "31.00", "29.00"], False),
        (["31.05", "30.11", "31.00", "29.1"], False),
        (["9.577", "9.604", "9.533", "9.487"], False),
        ([], False),
    ],
)
def test_feet_and_inches_by_a_decimal_point(column, suspected):
    assert may_be_feet_dot_inches(column) is suspected


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(1, 45), st.integers(0, 11)), min_size=4, max_size=20))
def test_every_such_column_is_caught_unless_it_says_nothing(lengths):
    column = [f"{feet}.{inches:02d}" for feet, inches in lengths]
    assert may_be_feet_dot_inches(column) is (len({inches for _, inches in lengths}) > 1)


@pytest.mark.parametrize(
    ("value", "unit", "dimension", "expected_si", "fits"),
    [
        (10.04, "m", D.LENGTH, 3.05, "ft"),  # feet in a metric list
        (9.58, "ft", D.LENGTH, 9.577, "m"),
        (31.42, "ft", D.LENGTH, 9.577, None),
        (1905.0, "kg", D.MASS, 864.0, "lb"),
        (2250.0, "N·m", D.TORQUE, 3051.0, "lbf·ft"),
        (1.08, "ppg", D.DENSITY, 1080.0, "g/cm³"),
        (77.0, "m", D.LENGTH, 9.5, None),
    ],
)
def test_the_unit_that_would_fit(value, unit, dimension, expected_si, fits):
    assert fitting_unit(value, unit, dimension, expected_si) == fits
