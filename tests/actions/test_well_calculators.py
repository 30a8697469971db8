"""Calculators on the curved hole: what they pass on, and one sentence for nonsense."""

from __future__ import annotations

import pytest

from abreast.actions import calculators
from abreast.errors import InputError


def run(name, **changes):
    return calculators.run(name, {**calculators.example(name), **changes})


def test_rigid_tool_passes_length_and_force_on():
    """Handbook beam, 48 EI delta / L^3: D 8.681, d 8.25 in, 8 deg/100 ft, 240 in: 1,271.1 lbf."""
    found = calculators.run(
        "rigid-tool-in-bend",
        {
            "bore_m": 8.681 * 0.0254,
            "od_m": 8.25 * 0.0254,
            "curvature_rad_m": 0.00458087,
            "length_m": 240 * 0.0254,
            "ei_nm2": 30e6 * 6894.757 * 30 * 0.0254**4,
        },
    )
    assert found["must_bend_m"] / 0.0254 == pytest.approx(0.40676, abs=1e-3)
    assert found["force_n"] / 4.4482216 == pytest.approx(1271.1, rel=3e-3)


def test_soft_string_counts_what_it_is_given():
    bare, whole = run("soft-string"), run("soft-string", twin_drag_n=5e3, clamp_drag_n=0.0)
    assert len(bare["not_counted"]) == 2
    assert whole["not_counted"] == []
    assert whole["up_n"] > bare["up_n"] + 4e3
    assert whole["still_n"] == bare["still_n"]
    empty = run("soft-string", inside_level_md_m=2150.0)
    assert empty["still_n"] < bare["still_n"]


def test_setting_depth_ranks_and_says_why():
    best, other = run("setting-depth")["candidates"]
    assert best["top_md_m"] == 2150.0
    assert best["refusals"] == []
    assert "from 400.0 to 1060.0 m" in other["refusals"][0]
    assert len(best["not_checked"]) == 3


def test_tool_passage_says_what_it_needs():
    assert run("tool-passage")["verdict"] == "passes"
    assert run("tool-passage", length_m=3.0)["verdict"] == "not checked"
    assert run("tool-passage", length_m=3.0, ei_nm2=2e4)["verdict"] == "passes bent"


@pytest.mark.parametrize(
    ("name", "changes", "words"),
    [
        ("rigid-tool-in-bend", {"od_m": 0.25}, "below the bore"),
        ("soft-string", {"friction_ratio": 1.2}, "friction_ratio"),
        ("soft-string", {"friction_ratio": -0.1}, "friction_ratio"),
        ("soft-string", {"bottom_md_m": 3000.0}, "outside the survey"),
        ("soft-string", {"stations": []}, "stations"),
        ("setting-depth", {"length_m": 5000.0}, "longer than the whole survey"),
        ("setting-depth", {"tops_md_m": [2719.0]}, "reaches out of the survey"),
        ("tool-passage", {"clearance_m": -0.001}, "clearance_m"),
        ("tool-passage", {"way": [{"id": "a", "length_m": 301.0, "bore_m": 0.06}]}, "301 m long"),
        ("tool-passage", {"length_m": 90.0}, "longer than the way"),
    ],
)
def test_nonsense_is_refused(name, changes, words):
    with pytest.raises(InputError) as caught:
        run(name, **changes)
    assert words in str(caught.value)


@pytest.mark.parametrize("name", ["soft-string", "setting-depth"])
def test_a_survey_that_turns_back_is_refused(name):
    rows = calculators.example(name)["stations"]
    with pytest.raises(InputError, match="must be deeper"):
        run(name, stations=[rows[0], rows[2], rows[1], rows[3]])
