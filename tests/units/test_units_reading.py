"""What people write on tally sheets, read or asked back.

Expected values are hand arithmetic from the definitions 1 in = 25.4 mm,
1 lb = 0.45359237 kg, g = 9.80665 m/s2.
"""

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.units import Dimension, parse, to_si

D = Dimension
INCH = 0.0254


def refusal(text, dimension, unit=None):
    with pytest.raises(InputError) as caught:
        parse(text, dimension, unit)
    return caught.value


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "si"),
    [
        ("9 5/8 in", D.LENGTH, None, 9.625 * INCH),
        ("9-5/8 in", D.LENGTH, None, 9.625 * INCH),
        ("9⅝ in", D.LENGTH, None, 9.625 * INCH),
        ('9 5/8"', D.LENGTH, None, 9.625 * INCH),
        ("9 5/8", D.LENGTH, "in", 9.625 * INCH),
        ("5/16 in", D.LENGTH, None, 0.3125 * INCH),
        ("31' 5 1/16\"", D.LENGTH, None, 377.0625 * INCH),
        ("31’ 5 1/16”", D.LENGTH, None, 377.0625 * INCH),
        ("31′ 5 1/16″", D.LENGTH, None, 377.0625 * INCH),
        ("31'-5 1/16\"", D.LENGTH, None, 377.0625 * INCH),
        ("31' 5''", D.LENGTH, None, 377 * INCH),
        ("31 ft 5 in", D.LENGTH, None, 377 * INCH),
        ("31ft5in", D.LENGTH, None, 377 * INCH),
        ("31 FT. 5 IN.", D.LENGTH, None, 377 * INCH),
        ("-2 ft 6 in", D.LENGTH, None, -30 * INCH),
        ("31 ft 5 in", D.LENGTH, "m", 377 * INCH),
        ("31.42 ft", D.LENGTH, None, 31.42 * 12 * INCH),
        ("31.42", D.LENGTH, "ft", 31.42 * 12 * INCH),
        ("9.577 m", D.LENGTH, "ft", 9.577),
        ("-0.5 in", D.LENGTH, None, -0.0127),
        ("−0.5 in", D.LENGTH, None, -0.0127),
        (".5 in", D.LENGTH, None, 0.0127),
        ("1\u00a0200 mm", D.LENGTH, None, 1.2),
        ("1,234,567 mm", D.LENGTH, None, 1234.567),
        ("5,600.25 ft", D.LENGTH, None, 5600.25 * 12 * INCH),
        ("1,200 ft 6 in", D.LENGTH, None, 1200.5 * 12 * INCH),
        ("1,200 lbf·ft", D.TORQUE, None, 1200 * 4.4482216152605 * 0.3048),
        ("1200 lbf*ft", D.TORQUE, None, 1200 * 4.4482216152605 * 0.3048),
        ("1200 ft-lb", D.TORQUE, None, 1200 * 4.4482216152605 * 0.3048),
        ("1,200", D.TORQUE, "ft-lb", 1200 * 4.4482216152605 * 0.3048),
        ("1 200 N·m", D.TORQUE, None, 1200.0),
        ("12 daN·m", D.TORQUE, None, 120.0),
        ("26.4 lb/ft", D.MASS_PER_LENGTH, None, 26.4 * 0.45359237 / 0.3048),
        ("1,905 lb", D.MASS, None, 1905 * 0.45359237),
        ("180 degF", D.TEMPERATURE, None, (180 - 32) / 1.8 + 273.15),
        ("250 °C", D.TEMPERATURE, None, 523.15),
        ("40 °F", D.TEMPERATURE_DIFFERENCE, None, 40 / 1.8),
        ("8.6 ppg", D.DENSITY, None, 8.6 * 0.45359237 / (231 * INCH**3)),
        ("1.08 SG", D.DENSITY, None, 1080.0),
        ("5 gpm", D.FLOW, None, 5 * 231 * INCH**3 / 60),
        ("3.07 deg/100 ft", D.DOGLEG, None, math.radians(3.07) / 30.48),
        ("2.45°/30m", D.DOGLEG, None, math.radians(2.45) / 30),
        ("6.9e-6 1/degF", D.EXPANSION, None, 6.9e-6 * 1.8),
        ("0.869", D.RATIO, None, 0.869),
        ("62 %", D.RATIO, None, 0.62),
        ("8", D.COUNT, None, 8.0),
    ],
)
def test_reads_what_people_write(text, dimension, unit, si):
    assert parse(text, dimension, unit).si == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "code", "said"),
    [
        ("31.42", D.LENGTH, None, "needs-unit", "31.42 ft"),
        ("9,577 m", D.LENGTH, None, "decimal-comma", "9.577 or 9577 m"),
        ("9,57 m", D.LENGTH, None, "decimal-comma", "9.57 m"),
        ("31,420 ft", D.LENGTH, None, "decimal-comma", "31.420 or 31420 ft"),
        ("1,200 N·m", D.TORQUE, None, "decimal-comma", "1.200 or 1200 N·m"),
        ("1,085 SG", D.DENSITY, None, "decimal-comma", "1.085"),
        ("0,472 in", D.LENGTH, None, "decimal-comma", "0.472 in"),
        ("2,5 psi", D.PRESSURE, None, "decimal-comma", "2.5 psi"),
        ("12,34,567 lb", D.MASS, None, "decimal-comma", ""),
        ("31-05", D.LENGTH, "ft", "feet-inches", "31 ft 5 in"),
        ("31'5", D.LENGTH, "ft", "feet-inches", "31 ft 5 in"),
        ("31 ft 5", D.LENGTH, "ft", "feet-inches", "31 ft 5 in"),
        ("31 5", D.LENGTH, "ft", "not-a-number", "31 ft 5 1/16 in"),
        ("31 ft 14 in", D.LENGTH, None, "feet-inches", "under 12"),
        ("31.5 ft 5 in", D.LENGTH, None, "feet-inches", "whole"),
        ("31 5/8", D.LENGTH, "ft", "needs-unit", "31 5/8 in"),
        ("9 9/8 in", D.LENGTH, None, "bad-fraction", "decimal"),
        ("9 1/3 in", D.LENGTH, None, "bad-fraction", "decimal"),
        ("9 1/0 in", D.LENGTH, None, "bad-fraction", "decimal"),
        ("n/a", D.LENGTH, "ft", "not-a-number", "not measured"),
        ("-", D.MASS, "lb", "not-a-number", "not measured"),
        ("ok", D.TORQUE, "N·m", "not-a-number", "N·m"),
        ("nan", D.LENGTH, "ft", "not-a-number", ""),
        ("", D.LENGTH, "ft", "empty", ""),
        ("10-05", D.TORQUE, "N·m", "date", "spreadsheet"),
        ("2024-05-10", D.LENGTH, "ft", "date", "spreadsheet"),
        ("10/05/2024", D.LENGTH, "ft", "date", "spreadsheet"),
        ("10 May", D.LENGTH, "ft", "date", "spreadsheet"),
        ("10-May-24", D.LENGTH, "ft", "date", "spreadsheet"),
        (">2000 MΩ", D.RESISTANCE, None, "bound", "bound"),
        ("5 lb", D.FORCE, None, "wrong-dimension", "lbf"),
        ("5 furlong", D.LENGTH, None, "unknown-unit", "ft"),
        ("5 mpa", D.PRESSURE, None, "unknown-unit", "MPa"),
        ("5 m m", D.LENGTH, None, "unknown-unit", ""),
        ("5 m**2", D.AREA, None, "unknown-unit", ""),
        ("5³ m", D.LENGTH, None, "unknown-unit", ""),
        ("٣ m", D.LENGTH, None, "not-a-number", ""),
        ("1_000", D.LENGTH, "m", "unknown-unit", ""),
        ("9**9**9 m", D.LENGTH, None, "not-a-number", ""),
        ("1e400 m", D.LENGTH, None, "too-large", "range"),
        ("7" * 65, D.LENGTH, "m", "too-long", ""),
        ("1.2.3 m", D.LENGTH, None, "not-a-number", ""),
        ("-500 °C", D.TEMPERATURE, None, "out-of-range", "absolute zero"),
    ],
)
def test_asks_back_and_says_what_to_write(text, dimension, unit, code, said):
    error = refusal(text, dimension, unit)
    assert error.code == code
    assert said in error.message
    assert "\n" not in error.message


def test_the_reading_is_shown_for_confirmation():
    assert parse("31 ft 5 in", D.LENGTH).echo == "31 ft 5 in = 31.417 ft"
    assert parse("9-5/8 in", D.LENGTH).echo == "9 5/8 in = 9.625 in"
    assert parse("-9⅝ in", D.LENGTH).echo == "-9 5/8 in = -9.625 in"
    assert parse("1,200 FT LBS", D.TORQUE).echo == "1200 lbf·ft"
    assert parse("26.4", D.MASS_PER_LENGTH, "lb/ft").echo == "26.4 lb/ft"
    read = parse("  31.42  ", D.LENGTH, "ft")
    assert (read.typed, read.unit) == ("31.42", "ft")


def test_a_declared_unit_of_another_kind_is_refused():
    assert refusal("5", D.FORCE, "ft").code == "wrong-dimension"


@settings(deadline=None)
@given(st.text(max_size=80), st.sampled_from(list(D)), st.sampled_from([None, "ft", ""]))
def test_any_text_gives_a_finite_number_or_one_sentence(text, dimension, unit):
    try:
        read = parse(text, dimension, unit)
    except InputError as error:
        assert error.message
        assert "Traceback" not in error.message
    else:
        assert math.isfinite(read.si)


@pytest.mark.parametrize(
    "text",
    [
        "9**9**9 m",
        "1" * 64,
        "1 " * 32,
        "1,111" * 12,
        "111 " * 16,
        "1/" * 32,
        "' " * 32,
        "9e9999999 m",
        "1 1/" * 16,
        "-" * 64,
    ],
)
def test_hostile_text_is_answered_at_once(text):
    """Two seconds are generous for a busy machine; an evaluated power never comes back."""
    began = time.perf_counter()
    refusal(text, D.LENGTH)
    assert time.perf_counter() - began < 2


@settings(deadline=None)
@given(st.integers(0, 500), st.integers(0, 11), st.integers(1, 15))
def test_feet_inches_and_sixteenths_add_up(feet, inches, top):
    read = parse(f"{feet} ft {inches} {top}/16 in", D.LENGTH)
    assert read.si == pytest.approx((feet * 12 + inches + top / 16) * INCH, rel=1e-15)


@settings(deadline=None)
@given(st.decimals(min_value=0, max_value=99999, places=3), st.sampled_from(["ft", "in", "m"]))
def test_plain_decimals_are_read_exactly(number, unit):
    expected = to_si(float(number), unit)
    assert parse(f"{number} {unit}", D.LENGTH).si == pytest.approx(expected, rel=1e-15)
