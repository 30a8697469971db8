"""Three states of a value, its origin, and lengths that can't be mixed."""

import math

import pytest
from pydantic import ValidationError
from tests.model.jobs import job_1

from abreast.errors import InputError, MissingInputError
from abreast.model import Effective, Origin, Overall, Quantity, RackItem


def test_a_given_value_is_read_and_compared_without_what_was_typed():
    one = Quantity.of(9.5, "sheet: 1142", typed="9.5 m")
    assert one.si == 9.5
    assert one.known == 9.5
    assert one == Quantity.of(9.5, "sheet: 1142", typed="9500 mm")
    assert one != Quantity.of(9.5, "maker")
    assert hash(one) == hash(Quantity.of(9.5, "sheet: 1142"))


def test_a_value_that_is_missing_says_what_is_needed_and_why():
    blank, broken = Quantity.not_measured(), Quantity.not_measured("rule broken")
    assert (blank.known, blank.is_blank, broken.is_blank) == (None, True, False)
    with pytest.raises(MissingInputError, match="not checked: needs drift of B04"):
        _ = blank.labelled("drift of B04").si
    with pytest.raises(MissingInputError, match="rule broken"):
        _ = broken.si
    with pytest.raises(MissingInputError, match="needs a value"):
        _ = blank.si
    assert Quantity.not_applicable("no flange").or_else(2.0) == 2.0


@pytest.mark.parametrize("value", [None, math.nan, math.inf])
def test_a_given_value_is_a_finite_number(value):
    with pytest.raises(ValueError, match="finite number"):
        Quantity(given=value)


def test_a_reason_goes_with_no_number_and_no_reason_with_a_number():
    with pytest.raises(ValueError, match="has a reason and no number"):
        Quantity(state="not measured")
    with pytest.raises(ValueError, match="has a reason and no number"):
        Quantity(given=1.0, state="not applicable", reason="no flange")
    with pytest.raises(ValueError, match="no reason to be missing"):
        Quantity(given=1.0, reason="rule broken")


@pytest.mark.parametrize(
    ("text", "kind", "by"),
    [
        ("sheet", "sheet", ""),
        ("Sheet: 1142 rev B", "sheet", "1142 rev B"),
        ("measured by A. Pell", "measured", "A. Pell"),
        ("measured: A. Pell / B. Orr", "measured", "A. Pell / B. Orr"),
        ("common  practice", "common practice", ""),
    ],
)
def test_origins_as_people_write_them(text, kind, by):
    origin = Origin.parse(text)
    assert (origin.kind, origin.by) == (kind, by)
    assert Origin.parse(str(origin)) == origin


def test_an_unknown_origin_is_refused_with_the_list():
    with pytest.raises(ValueError, match=r"'hearsay' is not known; use one of .*sheet.*invented"):
        Origin.parse("hearsay")


def test_overall_and_effective_lengths_are_not_taken_for_one_another():
    with pytest.raises(ValidationError, match="is an effective length, needs an overall length"):
        RackItem(
            id="B01",
            kind="joint",
            lower_end="SF pin",
            upper_end="SF box",
            overall_m=Effective.of(9.5),
            drift="passed",
        )
    assert Overall.of(9.5) != Effective.of(9.5)
    assert Overall.of(9.577).less(0.062).si == pytest.approx(9.515)
    with pytest.raises(InputError, match="overall length"):
        Overall.of(0.05).less(0.062)


def test_numbers_none_and_quantities_are_taken_for_fields_of_a_part():
    item = job_1().rack[0].model_copy()
    again = RackItem.model_validate(item.model_dump() | {"overall_m": 9.4, "mass_kg": None})
    assert isinstance(again.overall_m, Overall)
    assert again.mass_kg.is_blank
    assert again.mass_kg.label == "mass of rack piece B05"
    with pytest.raises(ValidationError):
        RackItem.model_validate(item.model_dump() | {"overall_m": True})
