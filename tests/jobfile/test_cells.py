"""One cell: every notation read, every slip refused in words that help, and text written back."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.jobfile.cells import (
    ascii_unit,
    number_text,
    quantity_text,
    read_cell,
    same_meaning,
    value_text,
)
from abreast.jobfile.layout import columns_of, sections, tables
from abreast.model import Correction, End, Origin, PremadeLift, Quantity, RackItem, Revision
from abreast.units import UNITS, Dimension, display_unit, is_known

RACK = {column.name: column for column in columns_of(RackItem)}


@pytest.mark.parametrize(
    ("text", "unit", "si", "typed"),
    [
        ("31.42", "ft", 31.42 * 0.3048, "31.42 ft"),
        ("9.577 m", "ft", 9.577, "9.577 m"),
        ("31 ft 5 in", "ft", (31 + 5 / 12) * 0.3048, "31 ft 5 in"),
        ("9 5/8", "in", 9.625 * 0.0254, "9 5/8 in"),
        ("3.05 m", None, 3.05, "3.05 m"),
    ],
)
def test_lengths_keep_what_was_typed(text, unit, si, typed):
    value = read_cell(RACK["overall"], text, unit, "").value
    assert value.si == pytest.approx(si, rel=1e-15)
    assert value.typed == typed


@pytest.mark.parametrize(
    ("text", "unit", "echo"),
    [
        ("31.42", "ft", ""),
        ("31.42 ft", "ft", ""),
        ("31 ft 5 in", "ft", "31 ft 5 in = 31.417 ft"),
        ("9.577 m", "ft", "9.577 m = 31.4206 ft"),
        ("9.577 m", None, ""),
    ],
)
def test_a_length_is_read_back_when_it_is_not_plainly_in_the_unit_of_its_column(text, unit, echo):
    assert read_cell(RACK["overall"], text, unit, "").echo == echo


def test_origins_come_from_the_cell_else_from_the_default():
    column = RACK["mass"]
    assert read_cell(column, "204 lb", None, "").value.origin == Origin("unstated")
    assert read_cell(column, "204 lb", None, "maker").value.origin == Origin("maker")
    stated = read_cell(column, "204 @ measured: A. Pell", "lb", "maker").value
    assert stated.origin == Origin("measured", "A. Pell")


def test_no_value_has_a_state_and_a_reason():
    column = RACK["mass"]
    open_ = read_cell(column, "not measured: rule broken", "lb", "").value
    none = read_cell(column, "N/A: no such thing", "lb", "").value
    assert (open_.state, open_.reason) == ("not measured", "rule broken")
    assert (none.state, none.reason) == ("not applicable", "no such thing")
    for text in ("not measured", "n/a:", "not applicable"):
        with pytest.raises(ValueError, match="needs its reason"):
            read_cell(column, text, "lb", "")


@pytest.mark.parametrize("text", ["-", "ok", "?", "--", "done"])
def test_fillers_are_no_numbers(text):
    with pytest.raises(InputError, match="or say 'not measured: why' or 'n/a: why'"):
        read_cell(RACK["overall"], text, "ft", "")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("31-05", "may be feet and inches"),
        ("2024-05-10", "date"),
        ("10-May", "date"),
        ("9,577", "decimal sign or thousands"),
        ("31.42 lb", "lb"),
        ("31.42 @", "ends in '@'"),
        ("31.42 @ hearsay", "'hearsay' is not known"),
    ],
)
def test_slips_are_refused_with_what_to_write(text, said):
    with pytest.raises((InputError, ValueError), match=said):
        read_cell(RACK["overall"], text, "ft", "")


def test_a_filler_may_be_left_out_where_a_blank_may_stand():
    for name, may_be_blank in (("overall", False), ("mass", True)):
        with pytest.raises(InputError) as caught:
            read_cell(RACK[name], "-", None, "")
        assert ("or leave it blank" in str(caught.value)) is may_be_blank


def column(model, name):
    return next(one for one in columns_of(model) if one.name == name)


def test_values_that_are_no_quantities():
    assert read_cell(RACK["status"], "Laid  aside", None, "").value == "laid aside"
    assert read_cell(RACK["lower_end"], "SF pin", None, "").value == End("SF", "pin")
    assert read_cell(column(PremadeLift, "pieces"), "P08; P10", None, "").value == ("P08", "P10")
    assert read_cell(column(Correction, "when"), "2024-05-01", None, "").value == date(2024, 5, 1)
    assert read_cell(column(Correction, "row"), "12", None, "").value == 12
    assert value_text(("P08", "P10")) == "P08; P10"
    assert (value_text(True), value_text(False), value_text(None)) == ("yes", "no", "")


@pytest.mark.parametrize(
    ("model", "name", "text", "said"),
    [
        (RackItem, "status", "usabel", "did you mean 'usable'"),
        (RackItem, "status", "zzz", "choose one"),
        (RackItem, "lower_end", "SF", "pin or box"),
        (Correction, "row", "-1", "digits only"),
        (Correction, "when", "1 May", "year-month-day"),
        (Revision, "prepared", "A. Pell", "name and day"),
    ],
)
def test_other_slips(model, name, text, said):
    with pytest.raises(ValueError, match=said):
        read_cell(column(model, name), text, None, "")


def test_a_flag_is_yes_or_no():
    from abreast.model import EspPiece

    flag = column(EspPiece, "workshop_joint_above")
    assert read_cell(flag, "Yes", None, "").value is True
    with pytest.raises(ValueError, match="neither yes nor no"):
        read_cell(flag, "perhaps", None, "")


FINITE = st.floats(min_value=-1e9, max_value=1e9, allow_subnormal=False).filter(
    lambda x: x == 0 or abs(x) > 1e-12
)


@given(FINITE, st.sampled_from(sorted(Dimension)), st.sampled_from(["oilfield", "SI"]))
def test_every_number_is_written_so_that_it_reads_back_exactly(si, dimension, system):
    usual = display_unit(dimension, system)
    if dimension is Dimension.TEMPERATURE:
        si = abs(si)
    text = quantity_text(Quantity.of(si), dimension, usual, "", bare=False)
    column_ = RACK["overall"]
    spec = type(column_)(column_.field, "x", "quantity", True, "", dimension)
    assert read_cell(spec, text, None, "").value.si == si
    number, unit = number_text(si, dimension, usual)
    assert len(number) <= 26
    assert unit == usual or unit in {one.symbol for one in UNITS if one.factor == 1}


@given(st.integers(-(10**6), 10**6), st.integers(0, 4))
def test_a_decimal_typed_in_feet_is_written_in_the_same_digits(number, places):
    text = f"{number / 10**places:.{places}f}"
    value = read_cell(RACK["overall"], text, "ft", "").value
    bare = Quantity.of(value.si)
    written, unit = number_text(bare.si, Dimension.LENGTH, "ft")
    assert unit == "ft"
    assert float(written) == float(text)


def test_a_number_beyond_writing_is_refused():
    with pytest.raises(InputError, match="out of the range"):
        number_text(1e-200, Dimension.LENGTH, "m")


def test_every_unit_of_a_column_has_a_spelling_on_any_keyboard():
    for unit in UNITS:
        assert not unit.symbol or is_known(ascii_unit(unit.symbol)), unit.symbol
    for table in (*tables(), *sections()):
        for one in columns_of(table.row):
            if one.takes_unit:
                for system in ("oilfield", "SI"):
                    assert ascii_unit(display_unit(one.dimension, system)).isascii(), one.name


def test_same_meaning_is_by_value_where_there_is_one():
    overall = RACK["overall"]
    assert same_meaning(overall, "31.40", "31.4", "ft")
    assert same_meaning(overall, "10.04 ft", "3.060192 m", "m")
    assert not same_meaning(overall, "31.40", "", "ft")
    assert not same_meaning(overall, "31-05", "31-06", "ft")
    assert same_meaning(overall, "31-05", "31-05", "ft")
    assert not same_meaning(RACK["note"], "31.40", "31.4", None)
