"""The sheet of the way of tools: bores to one scale across, bars, marks, nothing on one another."""

from __future__ import annotations

from functools import cache

import pytest
from tests.checks.twins import IN, choice_1, choice_2, job_1, job_2, with_row, with_section
from tests.drawing.faults import faults

from abreast.drawing.bypass_way import bypass_way_sheet
from abreast.drawing.scene import Circle, Line, Outline, Rect, Text
from abreast.errors import MissingInputError
from abreast.mechanics.bypass_tools import tool_passages
from abreast.model import ToolPart
from abreast.spaceout.assemble import assemble

TOOL = {"string": "run", "part": "tool", "length_m": 1.2, "od_m": 0.0429}


def drawn(job, choice, bend_rad_m=None, **kwargs):
    assembly = assemble(job, choice)
    (scene,) = bypass_way_sheet(job, assembly, tool_passages(job, assembly, bend_rad_m), **kwargs)
    return scene


@cache
def usual(number):
    return drawn(job_1(), choice_1()) if number == 1 else drawn(job_2(), choice_2())


def words(scene):
    return " ".join(one.text for one in scene.texts())


@pytest.mark.parametrize("number", [1, 2])
@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_nothing_lies_on_anything(number, paper):
    job, choice = (job_1(), choice_1()) if number == 1 else (job_2(), choice_2())
    assert faults(drawn(job, choice, paper=paper)) == []


def test_bores_are_to_one_scale_and_in_line():
    """Plug nipple 47.6, S-bend 62.0 mm wide, axis shifted 19.0 mm: in the same proportion."""
    bores = [one for one in usual(2).items if isinstance(one, Outline) and one.fill == "white"]

    def at(outline, top):
        ends = sorted(outline.points_mm, key=lambda point: (point[1], point[0]))
        left, right = ends[:2] if top else ends[-2:]
        return left[0], right[0]

    places = [one.part for one in bores]
    start = places.index("Y-tool")
    tubing, bend, nipple = bores[start - 1 : start + 2]
    (left, right), (low_left, low_right) = at(nipple, True), at(bend, False)
    scale = (right - left) / 47.6
    assert (low_right - low_left) / scale == pytest.approx(62.0, abs=0.01)
    above, below = sum(at(tubing, True)) / 2, (left + right) / 2
    assert (below - above) / scale == pytest.approx(19.0, abs=0.01)
    assert (low_left + low_right) / 2 == pytest.approx(below)
    assert sum(at(bend, True)) / 2 == pytest.approx(above)
    axes = {round(one.x1_mm, 3) for one in usual(2).items if isinstance(one, Line) and one.dash_mm}
    assert axes == {round(above, 3), round(below, 3)}
    assert "across 1:3;" in words(usual(2))
    assert scale == pytest.approx(1 / 3, rel=1e-6)


def test_the_smallest_bore_is_marked_with_every_datum():
    said = words(usual(1))
    for part in (
        "smallest of this way",
        "2.200 in: no-go of nipple",
        "at 5,847.00 ft from RKB",
        "at 5,852.50 ft from drilling RKB",
        "at 5,825.20 ft from wireline zero",
    ):
        assert part in said
    assert "415 lbf at 100 psi" in said
    assert "manual of the plug's maker" in said


def test_a_bar_for_each_diameter_and_a_dot_for_each_length_wanted():
    job = job_2()
    assembly = assemble(job, choice_2())
    table = tool_passages(job, assembly).table
    scene = usual(2)
    bars = [one for one in scene.items if isinstance(one, Rect) and one.layer == "bypass"]
    assert len(bars) == len(table)
    lengths = [one.width_mm for one in bars]
    assert lengths == sorted(lengths, reverse=True)
    dots = [one for one in scene.items if isinstance(one, Circle)]
    assert len(dots) == sum(1 for _ in job.tools) - 1  # two parts are one stiff length
    hollow = [one for one in dots if one.fill == "white"]
    assert len(hollow) == 1
    bar = min(bars, key=lambda one: abs(one.y_mm + one.height_mm / 2 - hollow[0].y_mm))
    assert hollow[0].x_mm > bar.x_mm + bar.width_mm


def test_a_bent_bypass_shows_what_its_hole_would_let_through():
    scene = drawn(job_1(), choice_1(), 5e-3)
    bars = [one for one in scene.items if isinstance(one, Rect) and one.layer == "bypass"]
    light = [one for one in scene.items if isinstance(one, Rect) and one.fill == "light"]
    assert len(light) == len(bars) == 12
    for sure, hole in zip(bars, light, strict=True):
        assert hole.y_mm == sure.y_mm and hole.width_mm > sure.width_mm
    assert "no sharper than its hole" in words(scene)
    assert "no sharper than its hole" not in words(usual(1))
    assert faults(scene) == []


def test_a_length_is_not_shown_longer_than_it_is():
    job = job_1()
    table = tool_passages(job, assemble(job, choice_1())).table
    shown = {
        float(one.text): one.y_mm
        for one in usual(1).texts()
        if one.bold and one.anchor == "end" and one.x_mm > 200 and one.text[0].isdigit()
    }
    assert len(shown) == len(table)
    for row, feet in zip(table, sorted(shown, key=lambda one: shown[one]), strict=True):
        assert row.length_m / 0.3048 - 0.1 < feet <= row.length_m / 0.3048


@pytest.mark.parametrize(
    ("part", "says"),
    [
        (ToolPart(**TOOL), "needs its EI"),
        (ToolPart(**TOOL, ei_nm2=2.4e4), "needs its side load"),
        (ToolPart(**TOOL, ei_nm2=2.4e4, side_load_n=9e3), "it may bear 9.00 kN"),
        (ToolPart(**TOOL | {"od_m": 0.05}), "too thick"),
        (ToolPart(**TOOL | {"length_m": 0.3}), "run: passes straight"),
        (ToolPart(**TOOL, run_to="nowhere"), "a place of the bypass way"),
    ],
)
def test_each_verdict_has_its_words(part, says):
    job = job_2().model_copy(update={"tools": (part,)})
    scene = drawn(job, choice_2())
    assert says in words(scene)
    assert faults(scene) == []


def test_an_unseen_dogleg_is_no_pass_on_the_sheet_either():
    job = with_section(job_1(), "survey_head", tortuosity_rad_m=None)
    said = words(drawn(job, choice_1()))
    assert "passes straight; not checked: needs tortuosity" in said
    assert "needs tortuosity of the survey" in said


def test_many_tools_and_long_names_stay_on_the_sheet():
    tools = tuple(
        ToolPart(
            string=f"run {n} " + "x" * 60, part="y" * 70, length_m=0.5 + n, od_m=0.02 + n / 2e3
        )
        for n in range(30)
    )
    assert faults(drawn(job_2().model_copy(update={"tools": tools}), choice_2())) == []


def test_the_way_is_drawn_from_the_hanger():
    said = words(usual(2))
    for part in (
        "hanger U8",
        "safety valve U6 71.4 71.0 512.",
        "flapper: hold it open",
        "Safety valve U6 at 513.220 m: hold its flapper open",
        "pipe U3 to U1 (3)",
        "Greatest inclination: 48.9° at 1720.0 m",
        "tree, its valves and the lubricator",
        "perforations main zone: 2588.000, 1996.",
    ):
        assert part in said, part


def test_a_narrow_safety_valve_is_the_smallest_of_the_sheet():
    job = with_row(job_2(), "upper", "U6", bore_m=0.036, drift_m=0.036)
    scene = drawn(job, choice_2())
    bold = [one.text for one in scene.items if isinstance(one, Text) and one.bold]
    assert "safety valve U6" in bold and "plug nipple" not in bold
    assert "36.0 mm: safety valve U6 (drift)" in words(scene)
    assert "at 513.220 m from RT" in words(scene)
    assert "at safety valve U6: too thick" in words(scene)
    assert faults(scene) == []


@pytest.mark.parametrize("count", [12, 40])
def test_a_long_completion_stays_on_the_sheet(count):
    job = job_2()
    valve = next(one for one in job.upper if one.id == "U6")
    more = tuple(
        valve.model_copy(update={"id": f"V{n}", "length_m": type(valve.length_m).of(1.0)})
        for n in range(count)
    )
    job = job.model_copy(update={"upper": (*job.upper[:-2], *more, *job.upper[-2:])})
    assert faults(drawn(job, choice_2())) == []


def test_without_a_way_there_is_no_sheet():
    job = job_1().model_copy(update={"survey": ()})
    with pytest.raises(MissingInputError, match="survey of two stations"):
        drawn(job, choice_1())


def test_a_narrow_pup_is_named_by_itself():
    job = job_1()
    rack = tuple(
        one.model_copy(update={"bore_m": type(one.bore_m).of(2.0 * IN)}) if one.id == "P01" else one
        for one in job.rack
    )
    scene = drawn(job.model_copy(update={"rack": rack}), choice_1())
    bold = [one.text for one in scene.items if isinstance(one, Text) and one.bold]
    assert "pup P01" in bold
    assert faults(scene) == []
