"""Calculator on load sharing: what it passes on, and what it refuses."""

from __future__ import annotations

import pytest

from abreast.actions import calculators
from abreast.errors import InputError


def shared(**changes):
    return calculators.run("load-share", {**calculators.example("load-share"), **changes})


def test_the_worked_example():
    """Elementary mechanics, reckoned by hand: 40 m, 12.4 mm too short."""
    result = shared()
    assert result["hung"]["mode"] == "locked"
    assert round(result["hung"]["union_n"]) == 53184
    assert round(result["hung"]["esp_top_n"] / 1e3, 2) == -16.98
    assert round(result["frame_stiffness_n_m"] / 1e6, 2) == 4.29
    assert result["quarter_turn_n"] == pytest.approx(4.28904e6 * 0.00635 / 4, rel=1e-5)
    assert result["whole_load_m"] == pytest.approx(36.2e3 * 2.331522e-7, rel=1e-6)
    assert "on_plate" not in result


def test_no_turns_without_a_thread():
    data = calculators.example("load-share")
    del data["travel_per_turn_m"]
    assert "turn_n" not in calculators.run("load-share", data)


def test_on_the_plate_and_on_the_block():
    result = shared(plate_m=38.0, misfit_m=0.002, ytool_n=1000.0)
    plate_n = result["on_plate"]["union_n"]
    assert plate_n == pytest.approx(0.002 / 2.331522e-7, rel=1e-6)
    assert result["on_plate"]["esp_top_n"] == pytest.approx(-plate_n - 1000)
    assert result["hung"]["union_n"] > plate_n


def test_a_union_that_slides():
    assert shared(to_closed_m=0.1, to_open_m=0.1)["hung"]["mode"] == "free"
    stopped = shared(to_closed_m=0.1, to_open_m=0.008)["hung"]
    assert (stopped["mode"], round(stopped["union_n"] / 1e3, 2)) == ("open stop", 18.87)


@pytest.mark.parametrize("given", ["to_closed_m", "to_open_m"])
def test_half_a_stroke_is_refused(given):
    with pytest.raises(InputError, match="both ways left") as caught:
        shared(**{given: 0.1})
    assert caught.value.where.field == ({"to_closed_m", "to_open_m"} - {given}).pop()


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"plate_m": 41.0}, "out-of-range"),
        ({"esp": []}, "bad-input"),
        ({"seated": True, "misfit_m": 0.0, "to_closed_m": 0.1, "to_open_m": 0.1}, "not-held"),
    ],
)
def test_what_cannot_be_is_refused(changes, code):
    with pytest.raises(InputError) as caught:
        shared(**changes)
    assert caught.value.code == code
