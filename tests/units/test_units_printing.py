"""Printed quantities: the trade's digits, and text that reads back."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.units import (
    Dimension,
    display_unit,
    feet_inches,
    parse,
    show,
    to_si,
    to_unit,
    unit_named,
)

D = Dimension
INCH = 0.0254


@pytest.mark.parametrize(
    ("si", "dimension", "system", "options", "text"),
    [
        (9.5773875, D.LENGTH, "oilfield", {}, "31.42 ft"),
        (9.5773875, D.LENGTH, "SI", {}, "9.577 m"),
        (8.525 * INCH, D.LENGTH, "oilfield", {"small": True}, "8.525 in"),
        (8.525 * INCH, D.LENGTH, "SI", {"small": True}, "216.5 mm"),
        (5600 * 0.3048, D.LENGTH, "oilfield", {}, "5,600.00 ft"),
        (5600 * 0.3048, D.LENGTH, "oilfield", {"digits": 0}, "5600 ft"),
        (5227 * 0.45359237, D.MASS, "oilfield", {}, "5,227 lb"),
        (963.04, D.MASS, "SI", {}, "963.0 kg"),
        (2250 * 1.3558179483314004, D.TORQUE, "oilfield", {}, "2,250 lbf·ft"),
        (3050.6, D.TORQUE, "SI", {}, "3051 N·m"),
        (355.3722222222222, D.TEMPERATURE, "oilfield", {}, "180.0 °F"),
        (math.radians(3.07) / 30.48, D.DOGLEG, "oilfield", {}, "3.07°/100 ft"),
        (math.radians(85), D.ANGLE, "SI", {}, "85.0°"),
        (0.869, D.RATIO, "SI", {}, "0.869"),
        (1.242e-5, D.EXPANSION, "oilfield", {}, "6.9e-06 1/°F"),
        (3.8e-97, D.EXPANSION, "SI", {}, "0 1/K"),
        (0.5, D.SPEED, "oilfield", {"unit": "ft/min", "digits": 0}, "98 ft/min"),
        (-0.0001, D.LENGTH, "SI", {}, "0.000 m"),
        (-4448.2216152605, D.FORCE, "oilfield", {}, "-1,000 lbf"),
    ],
)
def test_prints_with_the_digits_of_the_trade(si, dimension, system, options, text):
    assert show(si, dimension, system, **options) == text


@pytest.mark.parametrize("si", [math.nan, math.inf])
def test_what_is_no_number_is_not_printed(si):
    with pytest.raises(ValueError, match="cannot print"):
        show(si, D.LENGTH, "SI")


def half_last_digit(text, symbol, dimension):
    number = text.removesuffix(symbol).strip()
    mantissa, _, exponent = number.lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    factor = float(unit_named(symbol, dimension).factor)
    return 0.5 * 10.0 ** (int(exponent or 0) - decimals) * factor


@settings(deadline=None)
@given(
    st.floats(-1e5, 1e5, allow_nan=False),
    st.sampled_from([d for d in D if d is not D.TEMPERATURE]),
    st.sampled_from(["oilfield", "SI"]),
    st.one_of(st.none(), st.integers(0, 6)),
    st.booleans(),
)
def test_rounded_text_reads_back_to_half_its_last_digit(value, dimension, system, digits, small):
    unit = display_unit(dimension, system, small=small)
    si = to_si(value, unit, dimension)
    text = show(si, dimension, system, digits=digits, small=small)
    allowed = half_last_digit(text, unit, dimension) * (1 + 1e-9) + abs(si) * 1e-12
    assert abs(parse(text, dimension).si - si) <= allowed


@settings(deadline=None)
@given(st.floats(0, 2000), st.sampled_from(["oilfield", "SI"]))
def test_temperatures_read_back(kelvin, system):
    read = parse(show(kelvin, D.TEMPERATURE, system, digits=3), D.TEMPERATURE)
    assert read.si == pytest.approx(kelvin, abs=0.0006)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (377.0625, "31 ft 5 1/16 in"),
        (377, "31 ft 5 in"),
        (372, "31 ft 0 in"),
        (11.99, "1 ft 0 in"),
        (0.5, "1/2 in"),
        (12.5, "1 ft 1/2 in"),
        (0, "0 in"),
        (-30, "-2 ft 6 in"),
    ],
)
def test_feet_inches_as_on_a_tape(inches, text):
    assert feet_inches(inches * INCH) == text


@settings(deadline=None)
@given(st.floats(-3000, 3000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_tape_reading_reads_back_to_half_a_mark(length_m, marks):
    text = feet_inches(length_m, marks)
    assert abs(parse(text, D.LENGTH).si - length_m) <= 0.5 * INCH / marks * (1 + 1e-9)
    assert "/" not in text or int(re.search(r"/(\d+)", text)[1]) <= marks


def test_feet_inches_refuses_marks_no_rule_has():
    with pytest.raises(ValueError, match="1/10"):
        feet_inches(1.0, 10)


def test_conversion_takes_a_temperature_as_absolute_unless_told():
    assert to_unit(273.15, "°C") == pytest.approx(0.0, abs=1e-12)
    assert to_unit(40.0, "°F", D.TEMPERATURE_DIFFERENCE) == pytest.approx(72.0)
