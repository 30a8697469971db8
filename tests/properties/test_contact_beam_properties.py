"""What holds for every case of the contact calculator: balance, turning, scale, upside down."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abreast.actions.calculators import run
from abreast.errors import InputError

FEW = settings(deadline=None, max_examples=25)
LOADS = st.floats(-200.0, 200.0)
STIFF = st.floats(4.5, 6.5).map(lambda power: 10.0**power)


@st.composite
def beams(draw, kinds=("pinned", "built-in")):
    """One string of up to four segments of whole metres, two or more held points, a bore."""
    lengths = draw(st.lists(st.integers(2, 8).map(float), min_size=1, max_size=4))
    segments = [
        {
            "length_m": length,
            "ei_nm2": draw(STIFF),
            "load_x_n_m": draw(LOADS),
            "load_y_n_m": draw(LOADS),
        }
        for length in lengths
    ]
    whole = int(sum(lengths))
    at = draw(st.lists(st.integers(0, whole), min_size=2, max_size=4, unique=True))
    touch = draw(st.lists(st.integers(0, whole), min_size=1, max_size=4, unique=True))
    held = [{"at_m": float(one), "how": draw(st.sampled_from(kinds))} for one in sorted(at)]
    parts = [{"at_m": float(one), "diameter_m": 0.1} for one in sorted(touch)]
    string = {"segments": segments, "parts": parts, "tension_n": draw(st.floats(-50, 5e4))}
    return {
        "strings": [string],
        "held": held,
        "bore_m": 0.1 + draw(st.floats(0.001, 0.1)),
        "dogleg_rad_m": draw(st.floats(0, 0.004)),
        "bend_rad": draw(st.floats(0, 6.2)),
    }


def solved(case):
    try:
        found = run("contact-beam", case)
    except InputError as fault:  # a load that throws it farther than its length
        assert fault.where.field == "held"
        assume(False)
    assume(found["state"] == "ok")
    return found


def loads(case):
    """Sum of the loads, with the pull of the tension to the inside of the bend."""
    totals = []
    for axis, turn in (("x", math.cos(case["bend_rad"])), ("y", math.sin(case["bend_rad"]))):
        total = 0.0
        for string in case["strings"]:
            pull = string["tension_n"] * case["dogleg_rad_m"] * turn
            total += sum(
                (one[f"load_{axis}_n_m"] + pull) * one["length_m"] for one in string["segments"]
            )
        totals.append(total)
    return totals


@FEW
@given(beams())
def test_loads_pushes_and_reactions_are_in_balance(case):
    found = solved(case)
    both = [*found["held"], *found["touching"]]
    largest = max([1.0] + [math.hypot(one["x_n"], one["y_n"]) for one in both])
    for axis, load in zip(("x_n", "y_n"), loads(case), strict=True):
        assert sum(one[axis] for one in both) + load == pytest.approx(0, abs=1e-5 * largest)


@FEW
@given(beams(), st.floats(0, 6.2))
def test_a_turned_case_is_the_same_case(case, by_rad):
    """A round bore: bend and loads turned, all sizes stay."""
    one = solved(case)
    c, s = math.cos(by_rad), math.sin(by_rad)
    string = case["strings"][0]
    turned = [
        {
            **part,
            "load_x_n_m": part["load_x_n_m"] * c - part["load_y_n_m"] * s,
            "load_y_n_m": part["load_x_n_m"] * s + part["load_y_n_m"] * c,
        }
        for part in string["segments"]
    ]
    bend = math.remainder(case["bend_rad"] + by_rad, math.tau)
    other = solved({**case, "strings": [{**string, "segments": turned}], "bend_rad": bend})
    assert other["moment_nm"] == pytest.approx(one["moment_nm"], rel=1e-5, abs=1e-3)
    assert other["side_n"] == pytest.approx(one["side_n"], rel=1e-4, abs=0.1)
    for before, after in zip(one["held"], other["held"], strict=True):
        x_n = before["x_n"] * c - before["y_n"] * s
        assert after["x_n"] == pytest.approx(x_n, abs=1e-4 * (1 + math.hypot(*both_n(before))))


def both_n(one):
    return one["x_n"], one["y_n"]


@FEW
@given(beams())
def test_upside_down_it_lies_the_same(case):
    one = solved(case)
    string = case["strings"][0]
    whole = sum(part["length_m"] for part in string["segments"])

    def mirrored(rows):
        return [{**row, "at_m": whole - row["at_m"]} for row in rows][::-1]

    turned = {**string, "segments": string["segments"][::-1], "parts": mirrored(string["parts"])}
    other = solved({**case, "strings": [turned], "held": mirrored(case["held"])})
    assert other["moment_nm"] == pytest.approx(one["moment_nm"], rel=1e-5, abs=1e-3)
    for before, after in zip(one["held"], other["held"][::-1], strict=True):
        size = 1e-4 * (1 + math.hypot(*both_n(before)))
        assert both_n(after) == pytest.approx(both_n(before), abs=size)


@FEW
@given(beams(), st.floats(0.2, 5.0))
def test_stiffness_loads_and_tensions_scale_together(case, factor):
    """The shape stays, every force is so many times as large."""
    one = solved(case)
    string = case["strings"][0]
    scaled = [
        {key: value if key == "length_m" else value * factor for key, value in part.items()}
        for part in string["segments"]
    ]
    more = {**string, "segments": scaled, "tension_n": string["tension_n"] * factor}
    other = solved({**case, "strings": [more]})
    assert other["moment_nm"] == pytest.approx(factor * one["moment_nm"], rel=1e-5, abs=1e-3)
    for before, after in zip(one["places"], other["places"], strict=True):
        assert after["x_m"] == pytest.approx(before["x_m"], rel=1e-5, abs=1e-8)


@FEW
@given(beams(), st.floats(1.05, 3.0))
def test_a_wall_out_of_reach_changes_nothing(case, wider):
    """Where a wider bore is not touched it might as well not be there, nor any wider one."""
    room = case["bore_m"] - 0.1
    one = solved(case)
    other = solved({**case, "bore_m": 0.1 + room * wider})
    free = solved({**case, "bore_m": 1e4})
    assert free["touching"] == []
    if not other["touching"]:
        assert other["moment_nm"] == pytest.approx(free["moment_nm"], rel=1e-9, abs=1e-6)
    if not one["touching"]:
        assert not other["touching"]
