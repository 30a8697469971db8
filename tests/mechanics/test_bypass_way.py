"""The way of a tool through the bypass of both invented jobs, and what it asks for."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from tests.checks.twins import FT, IN, choice_1, choice_2, job_1, job_2, with_row, with_section

from abreast.errors import InputError, MissingInputError
from abreast.mechanics.bores import depth_at, smallest_on_path
from abreast.mechanics.bypass_way import bypass_way
from abreast.mechanics.hole_curve import hole_curve
from abreast.mechanics.tool_passage import tool_table
from abreast.model import Quantity
from abreast.spaceout.assemble import AsRun, assemble

ABOVE_THE_TAIL = tuple(one for one in job_1().survey if one.md_m.si < 5800 * FT)
BOTH = [(job_1(), choice_1()), (job_2(), choice_2())]


def way_of(job, choice, *args, **kwargs):
    return bypass_way(job, assemble(job, choice), *args, **kwargs)


@pytest.mark.parametrize(("job", "choice"), BOTH)
def test_the_way_has_no_gap_and_the_length_of_the_string(job, choice):
    assembly = assemble(job, choice)
    way = bypass_way(job, assembly)
    for upper, lower in pairwise(way.pieces):
        assert lower.top_md_m == pytest.approx(upper.bottom_md_m, abs=1e-9)
        assert upper.length_m > 0
    lowest = min(assembly.side("bypass"), key=lambda one: one.bottom_m)
    assert way.bottom_md_m == pytest.approx(lowest.bottom_md_m)
    hanger_m = next(one.elevation_m.si for one in job.datums if one.id == job.depth_datum)
    assert way.top_md_m == pytest.approx(hanger_m)
    assert way.above_m == pytest.approx(assembly.piece("Y-tool").top_md_m - hanger_m)
    assert min(one.diameter_m for one in way.pieces) == pytest.approx(
        smallest_on_path(job, assembly).place.bore_m
    )


def test_the_inside_of_the_y_tool():
    """Depths by hand: Y-tool top 2,150 m, S-bend 0.70 m, then a nipple of 0.30 m."""
    way = way_of(job_2(), choice_2())
    names = [one.name for one in way.pieces]
    start = names.index("S-bend")
    assert names[start : start + 3] == ["S-bend", "plug nipple", "adjustable union"]
    bend, nipple = way.pieces[start : start + 2]
    assert (bend.top_md_m, bend.bottom_md_m) == pytest.approx((2150.0, 2150.7))
    assert (nipple.top_md_m, nipple.bottom_md_m) == pytest.approx((2150.7, 2151.0))
    assert (bend.offset_m, bend.diameter_m, nipple.diameter_m) == (0.019, 0.062, 0.0476)


def test_which_diameter_is_taken():
    def taken(**kwargs):
        pieces = way_of(job_1(), choice_1(), **kwargs).pieces
        return {one.name: (round(one.diameter_m / IN, 3), one.taken) for one in pieces}

    drifts, bores = taken(), taken(diameters="bore")
    assert drifts["P07"][0] == 2.347 and "drift" in drifts["P07"][1]
    assert drifts["U2"][0] == 3.833
    assert drifts["adjustable union"][0] == 2.441 and "bore" in drifts["adjustable union"][1]
    assert bores["P07"] == (2.441, "bore")
    assert bores["U2"] == (3.958, "bore")
    assert drifts["no-go of nipple"][0] == bores["no-go of nipple"][0] == 2.20


def test_a_pup_with_a_bore_of_its_own():
    job = with_row(job_1(), "rack", "P07", bore_m=2.10 * IN)
    pieces = {one.name: one for one in way_of(job, choice_1()).pieces}
    assert pieces["P07"].diameter_m == pytest.approx(2.10 * IN)
    assert pieces["P01"].diameter_m == pytest.approx(2.347 * IN)


def test_inner_diameters_and_no_clearance_give_the_figures_of_the_search_over_slopes():
    """Worked apart by a search over slopes, straight hole: 1.69 in 20 ft; 42.9 mm about 1.2 m,
    36.5 mm over 9 m. Here pipe and union have their own bores, so 42.9 mm comes to 1.15 m."""
    way = way_of(job_1(), choice_1(), diameters="bore")
    ((_, length_m),) = tool_table(way.bores(curved="straight"), [1.69 * IN])
    assert length_m / FT == pytest.approx(20.3, abs=0.3)
    way = way_of(job_2(), choice_2(), diameters="bore")
    (_, thick_m), (_, thin_m) = tool_table(way.bores(curved="straight"), [0.0429, 0.0365])
    assert thick_m == pytest.approx(1.2, abs=0.06)
    assert thin_m > 9


DOCS = Path(__file__).parents[2] / "docs" / "theory" / "tool_passage.md"
PARTS = {
    "Quernstone 14, 1.69 in": (job_1(), choice_1(), 1.69 * IN, FT),
    "Skerrow A-09, 42.9 mm": (job_2(), choice_2(), 0.0429, 1.0),
    "Skerrow A-09, 36.5 mm": (job_2(), choice_2(), 0.0365, 1.0),
}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("diameters", ["bore", "drift"])
def test_the_table_of_the_page_on_tools(part, diameters):
    job, choice, od_m, unit_m = PARTS[part]
    rows = DOCS.read_text(encoding="utf-8").partition(f"| {part} |")[2].splitlines()
    cells = rows[0 if diameters == "bore" else 1].strip("| ").split(" | ")[1:]
    way = way_of(job, choice, diameters=diameters)
    kept_m = job.rules.tool_clearance_m.si
    straight, hole = way.bores(curved="straight"), way.bores(curved="hole")
    asked = ((straight, 0.0, 0.0), (hole, 0.0, 0.0), (hole, 0.0, kept_m), (hole, 4.7e-3, kept_m))
    for cell, (bores, bend, clearance_m) in zip(cells, asked, strict=True):
        ((_, length_m),) = tool_table(bores, [od_m], bend, clearance_m)
        figure = cell.split()[0]
        digits = len(figure.partition(".")[2])
        near = max(0.6 * 10**-digits, 0.01 * float(figure))  # lengths are told a little too short
        assert length_m / unit_m == pytest.approx(float(figure), abs=near), cell


def test_curvature_is_the_sharpest_interval_and_the_allowance():
    """Stations by hand: 3.07 deg/100 ft between 4,300 and 4,330 ft, allowance 0.3."""
    per_100_ft = math.radians(1) / (100 * FT)
    one = hole_curve(job_1(), 4310 * FT, 4320 * FT)
    assert one.rad_m / per_100_ft == pytest.approx(3.07 + 0.3, abs=0.01)
    assert "tortuosity" in one.source
    assert [md / FT for md in one.at_md_m] == pytest.approx([4300, 4330])
    # A length that only touches the sharp interval does not lie in it.
    beyond = hole_curve(job_1(), 4330 * FT, 4400 * FT)
    assert beyond.rad_m / per_100_ft == pytest.approx(1.30 + 0.3, abs=0.01)
    plain = with_section(job_1(), "survey_head", tortuosity_rad_m=None)
    bare = hole_curve(plain, 4310 * FT, 4320 * FT)
    assert bare.rad_m / per_100_ft == pytest.approx(3.07, abs=0.01)
    assert one.needs == () and bare.needs == ("tortuosity of the survey",)
    none = Quantity.not_applicable("continuous survey")
    smooth = with_section(job_1(), "survey_head", tortuosity_rad_m=none)
    flat = hole_curve(smooth, 4310 * FT, 4320 * FT)
    assert flat.needs == () and "no allowance" not in flat.source


def test_a_piece_counts_bent_where_it_is_sharper_than_the_hole():
    hole = way_of(job_1(), choice_1())
    assert hole.sharpest is None
    assert way_of(job_1(), choice_1(), 1e-9) == hole
    all_along = way_of(job_1(), choice_1(), 1e-2)
    assert {one.bend_rad_m for one in all_along.pieces} == {1e-2}
    assert all_along.curve == hole.curve
    single = way_of(job_1(), choice_1(), {"P25": 5e-3, "P07": 1e-9, "motor": 1.0})
    assert [one.name for one in single.pieces if one.bend_rad_m] == ["P25"]
    assert single.sharpest.name == "P25"
    assert max(one.bend_rad_m for one in single.bores()) == 5e-3
    assert single.bores(curved="hole") == hole.bores()
    assert {one.bend_rad_m for one in single.bores(curved="straight")} == {0.0}
    with pytest.raises(InputError, match="below 0"):
        way_of(job_1(), choice_1(), {"P25": -1e-3})


def test_bends_of_single_pieces_lie_between_none_and_all():
    def longest_m(bends):
        way = way_of(job_1(), choice_1(), bends)
        ((_, length_m),) = tool_table(way.bores(), [1.625 * IN], 0.0, 0.0015)
        return length_m

    none_m, one_m, all_m = (longest_m(one) for one in (None, {"P10": 5e-3}, 5e-3))
    assert all_m < one_m < none_m


@pytest.mark.parametrize(
    ("job", "needs"),
    [
        (with_section(job_1(), "ytool", bend_offset_m=None), "bend offset of Y-tool"),
        (with_section(job_1(), "ytool", bend_length_m=None), "bend length of Y-tool"),
        (with_section(job_1(), "ytool", nipple_length_m=None), "nipple length of Y-tool"),
        (with_section(job_1(), "ytool", nipple_bore_m=None), "nipple bore of Y-tool"),
        (with_section(job_1(), "ytool", bend_length_m=2.0), "that go into its length"),
        (with_section(job_1(), "ytool", bend_offset_m=25.4), "less than its bend_length"),
        (with_section(job_1(), "survey_head", tortuosity_rad_m=0.3), "as a well can have"),
        (with_section(job_1(), "survey_head", tortuosity_rad_m=-0.3), "as a well can have"),
        (with_section(job_1(), "union", bore_m=None), "bore of adjustable union"),
        (with_section(job_1(), "setting", ytool_top_md_m=None), "ytool top md|depth of the Y-tool"),
        (job_1().model_copy(update={"survey": ()}), "a survey of two stations"),
        (job_1().model_copy(update={"survey": ABOVE_THE_TAIL}), "a survey down to"),
        (job_1().model_copy(update={"upper": job_1().upper[:2]}), "are missing up to its hanger"),
        (with_row(job_1(), "upper", "U1", length_m=6000 * FT), "no longer than the depth"),
        (with_row(job_1(), "upper", "U4", length_m=None), "length of U4: only one"),
        (with_row(job_1(), "upper", "U4", bore_m=None, drift_m=None), "bore of U4"),
        (job_1().model_copy(update={"upper": ()}), "upper.csv"),
    ],
)
def test_what_is_missing_is_asked_for(job, needs):
    with pytest.raises(MissingInputError, match=needs):
        way_of(job, choice_1())


def test_an_unfinished_string_has_no_way():
    job, run = job_1(), AsRun(bypass=frozenset({"base support", "B05", "P07"}))
    with pytest.raises(MissingInputError, match="still to be run"):
        bypass_way(job, assemble(job, choice_1(items=("B05", "P07"), lifts=None), run))


def test_a_nipple_whose_profile_nobody_placed_is_narrow_all_along():
    job = with_row(job_1(), "tail", "nipple", profile_m=None)
    pieces = [one for one in way_of(job, choice_1()).pieces if one.piece == "nipple"]
    assert [one.name for one in pieces] == ["no-go of nipple"]
    assert pieces[0].length_m == pytest.approx(1.18 * FT)


@pytest.mark.parametrize("profile_m", [0.0, 0.1, 0.36, 5.0])
def test_a_no_go_anywhere_leaves_no_gap(profile_m):
    job = with_row(job_1(), "tail", "nipple", profile_m=profile_m)
    pieces = way_of(job, choice_1()).pieces
    assert all(one.length_m > 0 for one in pieces)
    assert all(
        lower.top_md_m == pytest.approx(upper.bottom_md_m) for upper, lower in pairwise(pieces)
    )
    assert "no-go of nipple" in [one.name for one in pieces]


def test_a_y_tool_with_a_straight_passage():
    straight = Quantity.not_applicable("straight")
    job = with_section(job_1(), "ytool", bend_bore_m=straight)
    names = [one.name for one in way_of(job, choice_1()).pieces]
    assert "S-bend" not in names and names.count("Y-tool") == 1


def test_depths_above_the_y_tool_count_from_both_ends():
    """By hand, job 2: hanger at 32.6 m from RT, 0.62 m long, then 480 m of tubing; the Y-tool
    at 2,150 m, and 3.02 + 9.61 + 9.58 + 2.88 m above it. The tubing between is what is left."""
    pieces = {one.name: one for one in way_of(job_2(), choice_2()).pieces}
    valve, packer, open_ = pieces["U6"], pieces["U4"], pieces["U5"]
    assert (valve.top_md_m, valve.bottom_md_m) == pytest.approx((513.22, 515.63))
    assert (packer.top_md_m, packer.bottom_md_m) == pytest.approx((2124.91, 2127.79))
    assert (open_.top_md_m, open_.bottom_md_m) == pytest.approx((515.63, 2124.91))
    assert [one.name for one in pieces.values() if one.follows] == ["U5"]
    assert (valve.what, valve.kind) == ("safety valve U6", "safety valve")
    assert (valve.bore_m, valve.drift_m, valve.diameter_m) == (0.0714, 0.071, 0.071)


def test_lengths_that_are_all_stated_count_from_the_y_tool():
    fits = 2150.0 - 32.6 - sum(one.length_m.known or 0.0 for one in job_2().upper)
    for less_m in (0.0, 0.4, -3.0):
        way = way_of(with_row(job_2(), "upper", "U5", length_m=fits - less_m), choice_2())
        assert way.top_md_m == pytest.approx(32.6 + less_m)
        assert not any(one.follows for one in way.pieces)
    with pytest.raises(MissingInputError, match="are missing up to its hanger"):
        way_of(with_row(job_2(), "upper", "U5", length_m=fits - 9.6), choice_2())


def test_each_piece_above_lies_as_the_sharpest_interval_it_hangs_in():
    """Job 1, stations by hand: 3.07 deg/100 ft at 4,300 to 4,330 ft and allowance 0.3, in U3."""
    per_100_ft = math.radians(1) / (100 * FT)
    way = way_of(job_1(), choice_1())
    pieces = {one.name: one for one in way.pieces}
    assert pieces["U3"].hole_rad_m / per_100_ft == pytest.approx(3.37, abs=0.01)
    assert way.curve.rad_m == pieces["U3"].hole_rad_m
    assert pieces["P07"].hole_rad_m < pieces["U3"].hole_rad_m / 3
    sharp = hole_curve(job_1(), pieces["S-bend"].top_md_m, way.bottom_md_m).rad_m
    assert {one.hole_rad_m for one in way.pieces if one.top_md_m >= 5600 * FT} == {sharp}


def test_an_unmeasured_drift_above_is_asked_for_and_its_bore_stands():
    way = way_of(with_row(job_2(), "upper", "U6", drift_m=None), choice_2())
    valve = next(one for one in way.pieces if one.name == "U6")
    assert valve.diameter_m == 0.0714 and valve.drift_m is None
    assert way.needs == ("drift of upper item U6",)
    bores = way_of(with_row(job_2(), "upper", "U6", drift_m=None), choice_2(), diameters="bore")
    assert bores.needs == ()


def test_a_survey_that_begins_below_the_hanger_is_asked_for():
    job = job_2()
    way = way_of(job.model_copy(update={"survey": job.survey[1:]}), choice_2())
    assert "a survey that begins at 32.6 m or above" in way.needs[0]


def test_the_way_down_to_a_place():
    way = way_of(job_1(), choice_1())
    short = way.bores("plug nipple")
    assert short[-1].name == "S-bend"
    with pytest.raises(MissingInputError, match="run_to, not 'plug'; known are U5, U4"):
        way.bores("plug")


def test_depths_of_the_smallest_bore_in_every_datum():
    """By hand: RKB 26.0, drilling RKB 31.5, wireline zero 4.2 ft above the flange."""
    job = job_1()
    found = smallest_on_path(job, assemble(job, choice_1()))
    tops = {zero: top_m / FT for zero, top_m, _ in found.depths}
    assert tops == pytest.approx(
        {"RKB": 5847.0, "drilling RKB": 5852.5, "wireline zero": 5825.2}, abs=0.01
    )
    assert next(iter(tops)) == "RKB"


def test_no_depth_without_the_depth_of_the_y_tool():
    job = with_section(job_1(), "setting", ytool_top_md_m=None)
    assembly = assemble(job, choice_1())
    assert depth_at(assembly, 0.0) is None
    assert smallest_on_path(job, assembly).depths == ()
    assert smallest_on_path(job, assembly).place.bore_m == pytest.approx(2.20 * IN)
