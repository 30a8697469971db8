"""Tools through the bypass of a job: strings, table, plug, and what is asked for."""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.checks.twins import FT, IN, LBF, choice_1, choice_2, job_1, job_2, with_row, with_section

from abreast.errors import InputError
from abreast.mechanics.bypass_plug import equalise_words
from abreast.mechanics.bypass_tools import LISTED_M, tool_passages
from abreast.mechanics.bypass_way import bypass_way
from abreast.mechanics.tool_passage import Stiff, tool_passes, tool_table
from abreast.mechanics.tool_strings import tool_strings
from abreast.model import Quantity, ToolPart
from abreast.spaceout.assemble import assemble


def part(name="bar", length_m=1.0, od_m=0.03, string="A", **more):
    return ToolPart(string=string, part=name, length_m=length_m, od_m=od_m, **more)


def passages(job, choice, *tools, **kwargs):
    job = job.model_copy(update={"tools": tools}) if tools else job
    return tool_passages(job, assemble(job, choice), **kwargs)


def only(found):
    ((one,),) = (string.passages for string in found.strings)
    return one


# --- strings -------------------------------------------------------------------------------


def test_parts_without_a_knuckle_are_one_stiff_length():
    tools = (
        part("socket", 0.2, 0.030, knuckle=True),
        part("bar", 1.5, 0.032, ei_nm2=9e3, side_load_n=700.0),
        part("gauge", 0.8, 0.036, ei_nm2=2e4, side_load_n=500.0, knuckle=True),
        part("nose", 0.1, 0.034, ei_nm2=1e4),
    )
    (string,) = tool_strings(job_1().model_copy(update={"tools": tools}))
    lengths = [one.stiff for one in string.lengths]
    assert [one.name for one in lengths] == ["socket", "bar + gauge", "nose"]
    assert [one.length_m for one in lengths] == pytest.approx([0.2, 2.3, 0.1])
    assert [one.od_m for one in lengths] == [0.030, 0.036, 0.034]
    assert [one.ei_nm2 for one in lengths] == [None, 2e4, 1e4]
    assert [one.side_load_n for one in string.lengths] == [None, 500.0, None]
    assert string.longest_m == pytest.approx(2.3)


def test_one_unknown_stiffness_leaves_the_whole_length_unknown():
    tools = (part("bar", ei_nm2=9e3, side_load_n=9.0), part("gauge"))
    (string,) = tool_strings(job_1().model_copy(update={"tools": tools}))
    assert string.lengths[0].stiff.ei_nm2 is None
    assert string.lengths[0].side_load_n is None


@pytest.mark.parametrize(
    ("tools", "words"),
    [
        ((part(), part(string="B"), part("nose")), "rows of tool string 'A' stand apart"),
        ((part(run_to="P07"), part("nose", run_to="B05")), "run to P07 and to B05"),
        (tuple(part(f"bar {n}") for n in range(201)), "201 rows of tools; give 200 at most"),
    ],
)
def test_rows_that_do_not_make_a_string(tools, words):
    job = job_1().model_copy(update={"tools": tools})
    with pytest.raises(InputError, match=words):
        tool_strings(job)
    found = passages(job, choice_1())
    assert found.strings == ()
    assert any(words in need for need in found.needs)
    assert found.table


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"od_m": 0.0}, "od must be above 0"),
        ({"od_m": -0.03}, "od must be above 0"),
        ({"length_m": 0.0}, "length must be above 0"),
        ({"ei_nm2": 0.0}, "ei must be above 0"),
        ({"side_load_n": -1.0}, "side_load must not be below 0"),
    ],
)
def test_a_part_has_a_size(fields, words):
    with pytest.raises(ValidationError, match=words):
        part(**fields)


# --- what passes ---------------------------------------------------------------------------


def test_the_tools_of_both_jobs():
    one, two = passages(job_1(), choice_1()), passages(job_2(), choice_2())
    assert one.needs == two.needs == ()
    assert [s.name for s in one.strings] == ["gauge run", "plug run"]
    assert {p.verdict for s in one.strings for p in s.passages} == {"passes"}
    gauge, logging = two.strings
    assert {p.verdict for p in gauge.passages} == {"passes"}
    assert [p.verdict for p in logging.passages] == ["passes", "passes", "not checked"]
    assert "needs most_force_n" in logging.passages[-1].words


def test_a_part_passes_up_to_its_length_in_the_table():
    found = passages(job_2(), choice_2())
    bores, kept_m = found.way.bores(), found.clearance_m
    for row in found.table:
        assert not row.or_more
        fits = Stiff("x", row.length_m, row.od_m)
        assert tool_passes(bores, fits, 0.0, kept_m).verdict == "passes"
        longer = tool_passes(bores, Stiff("x", row.length_m + 0.02, row.od_m), 0.0, kept_m)
        assert longer.verdict == "not checked"
        assert "needs EI" in longer.words


def test_clearance_and_curvature_only_ever_shorten():
    plain = passages(with_section(job_1(), "rules", tool_clearance_m=0.0), choice_1())
    kept = passages(job_1(), choice_1())
    bent = passages(job_1(), choice_1(), bends_rad_m=5e-3)
    lengths = [{row.od_m: row.length_m for row in one.table} for one in (plain, kept, bent)]
    shared = set(lengths[0]) & set(lengths[1]) & set(lengths[2])
    assert len(shared) >= 8
    for od_m in shared:
        assert lengths[0][od_m] > lengths[1][od_m] >= lengths[2][od_m]
    for row in kept.table:
        assert row.hole_m == row.length_m
    for row, hole in zip(bent.table, kept.table, strict=True):
        assert row.hole_m == hole.length_m > row.length_m
    assert plain.clearance_m == 0.0


@cache
def bores_2():
    return bypass_way(job_2(), assemble(job_2(), choice_2())).bores()


@settings(max_examples=25, deadline=None)
@given(st.floats(0.2, 6.0), st.floats(0.02, 0.046), st.floats(0, 3.0), st.floats(0, 0.01))
def test_a_longer_or_thicker_tool_never_passes_where_another_does_not(
    length_m, od_m, longer_m, thicker_m
):
    sizes = ((length_m, od_m), (length_m + longer_m, od_m), (length_m, od_m + thicker_m))
    small, *others = (
        tool_passes(bores_2(), Stiff("x", *size), 0.0, 0.0015).verdict for size in sizes
    )
    if small != "passes":
        assert all(one != "passes" for one in others)


def test_a_bent_part_is_judged_by_the_side_force_it_may_bear():
    tool = {"name": "x", "length_m": 1.2, "od_m": 0.0429, "ei_nm2": 2.4e4}
    free = only(passages(job_2(), choice_2(), part(**tool)))
    assert free.verdict == "not checked" and "needs most_force_n" in free.words
    strong = only(passages(job_2(), choice_2(), part(**tool, side_load_n=free.force_n * 1.01)))
    weak = only(passages(job_2(), choice_2(), part(**tool, side_load_n=free.force_n * 0.99)))
    assert (strong.verdict, weak.verdict) == ("passes bent", "does not pass")


def test_a_tool_that_is_run_to_a_place_is_not_judged_below_it():
    plug = {"name": "plug", "length_m": 0.3, "od_m": 2.28 * IN}
    assert only(passages(job_1(), choice_1(), part(**plug))).verdict == "does not pass"
    short = only(passages(job_1(), choice_1(), part(**plug, run_to="plug nipple")))
    assert short.verdict == "passes"
    (lost,) = passages(job_1(), choice_1(), part(**plug, run_to="nowhere")).strings
    assert lost.passages == ()
    assert "not 'nowhere'" in lost.needs[0]


def test_a_tool_longer_than_the_table_goes_is_judged_all_the_same():
    found = passages(job_1(), choice_1(), part("wire", 45.0, 0.010))
    assert only(found).verdict == "not checked" and "must bend" in only(found).words
    long = passages(job_1(), choice_1(), part("wire", 5000.0, 0.010))
    assert long.table and long.strings[0].passages == ()
    assert long.strings[0].needs == ("tools shorter than the tubing above the Y-tool",)


def straight_hole(job):
    """The job with every station vertical and no allowance."""
    survey = tuple(
        one.model_copy(update={"inclination_rad": Quantity.of(0.0)}) for one in job.survey
    )
    job = job.model_copy(update={"survey": survey})
    return with_section(job, "survey_head", tortuosity_rad_m=Quantity.of(0.0))


def test_the_table_stops_somewhere():
    rows = passages(straight_hole(job_2()), choice_2(), part("thin", 1.0, 0.004)).table
    assert rows[0].od_m == 0.004
    assert rows[0].or_more and rows[0].length_m == LISTED_M


# --- the whole way from the hanger ---------------------------------------------------------


def with_valve(size_m):
    return with_row(job_2(), "upper", "U6", bore_m=size_m, drift_m=size_m)


def test_a_narrow_safety_valve_far_above_stops_a_tool():
    """36.0 mm at 513.22 m from RT; 36.5 mm and 1.5 mm of clearance want 38.0 mm."""
    gauge = passages(with_valve(0.036), choice_2()).strings[0]
    stopped = [one for one in gauge.passages if one.verdict == "does not pass"]
    assert len(stopped) == 4
    assert {one.where for one in stopped} == {"safety valve U6"}
    assert stopped[0].depth_m == pytest.approx(480.62)
    assert stopped[0].room_m == pytest.approx(0.036 - 0.0365 - 0.0015)


@pytest.mark.parametrize("size_m", [0.036, 0.040, 0.071])
def test_no_row_of_the_table_is_thicker_than_what_is_met_first(size_m):
    for row in passages(with_valve(size_m), choice_2()).table:
        assert row.od_m <= min(size_m, 0.0476) - 0.0015 + 1e-9
        assert row.length_m > 0


def test_as_the_hole_is_no_longer_than_the_sharpest_dogleg_of_all_lets_through():
    """sqrt(8c/kappa), a chord in an even bend: 3.37 deg/100 ft and 3.833 in of drift let
    1.4375 in with 0.06 in of clearance through to 51.5 ft."""
    found = passages(job_1(), choice_1(), bends_rad_m=5e-3)
    row = next(one for one in found.table if one.od_m == pytest.approx(1.4375 * IN))
    clear_m, bend = (3.833 - 1.4375 - 0.06) * IN, math.radians(3.37) / (100 * FT)
    assert row.hole_m == pytest.approx(math.sqrt(8 * clear_m / bend), rel=2e-3)
    assert row.hole_m / FT == pytest.approx(51.5, abs=0.15)


def test_a_bend_high_up_shortens_what_passes():
    """8 deg/100 ft more at the station next to 3,000 ft: sqrt(3.37/8.3) of the length is left."""
    job = job_1()
    near = min(range(len(job.survey)), key=lambda n: abs(job.survey[n].md_m.si - 3000 * FT))
    upper, one = job.survey[near - 1 : near + 1]
    more = math.radians(8) * (one.md_m.si - upper.md_m.si) / (100 * FT)
    bent = one.model_copy(update={"inclination_rad": Quantity.of(one.inclination_rad.si + more)})
    survey = (*job.survey[:near], bent, *job.survey[near + 1 :])
    sharp = passages(job.model_copy(update={"survey": survey}), choice_1())
    plain = passages(job, choice_1())
    assert sharp.way.curve.at_md_m[0] < 3100 * FT
    thin, usual = sharp.table[0], plain.table[0]
    assert thin.od_m == usual.od_m and thin.hole_m < 0.75 * usual.hole_m
    assert thin.length_m == thin.hole_m


def test_a_missing_drift_above_is_no_pass():
    found = passages(with_row(job_2(), "upper", "U6", drift_m=None), choice_2())
    assert "drift of upper item U6" in found.needs
    assert found.table


@settings(max_examples=15, deadline=None)
@given(st.floats(0.02, 0.08), st.floats(0.02, 0.08), st.floats(0.015, 0.046))
def test_a_wider_valve_never_shortens_what_passes(one_m, other_m, od_m):
    narrow_m, wide_m = (
        tool_table(bypass_way(job, assemble(job, choice_2())).bores(), [od_m], 0.0, 0.0015)[0][1]
        for job in map(with_valve, sorted((one_m, other_m)))
    )
    assert narrow_m <= wide_m * 1.003 + 0.002  # chords instead of arcs
    if min(one_m, other_m) < od_m + 0.0015:
        assert narrow_m == 0


# --- plug ----------------------------------------------------------------------------------


def test_plug_forces():
    """Delta p times area, by hand: 100 psi on 2.30 in 415.5 lbf; 2,150 psi, 8,933 lbf;
    10 bar on 47.6 mm 1,779.5 N."""
    found = passages(job_1(), choice_1()).plug_forces
    assert [round(one.force_n / LBF, 1) for one in found] == [415.5, 8932.7, 397.6]
    assert [one.place for one in found] == ["plug nipple", "plug nipple", "nipple"]
    first, running = passages(job_2(), choice_2()).plug_forces
    assert first.force_n == pytest.approx(1779.5, abs=0.1)
    assert "pump running" in running.why
    none = with_section(job_2(), "fluids", pump_pressure_pa=None)
    assert len(passages(none, choice_2()).plug_forces) == 1
    assert "manual" in " ".join(equalise_words())


# --- what is missing -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("job", "needs"),
    [
        (job_1().model_copy(update={"survey": ()}), "a survey of two stations"),
        (with_section(job_1(), "union", bore_m=None), "bore of adjustable union"),
        (with_section(job_1(), "rules", tool_clearance_m=None), "tool clearance of the rules"),
        (with_section(job_1(), "rules", tool_clearance_m=-0.001), "not below 0"),
        (with_section(job_1(), "rules", tool_clearance_m=0.06), "wider than the clearance"),
    ],
)
def test_nothing_is_said_without_its_input(job, needs):
    found = passages(job, choice_1())
    assert found.way is None and found.table == ()
    assert any(needs in one for one in found.needs)
    assert all(string.passages == () for string in found.strings)
    assert all(any(needs in one for one in string.needs) for string in found.strings)


def test_a_job_without_tools_has_its_table_all_the_same():
    job = job_1().model_copy(update={"tools": ()})
    found = tool_passages(job, assemble(job, choice_1()))
    assert found.needs == ("the tools in tools.csv",)
    assert len(found.table) == 12
    ods = {round(row.od_m / IN, 4): row.length_m / FT for row in found.table}
    # 1.69 in comes to 11.3 ft with drifts and clearance in a straight hole; a curved one gives less
    assert 10.5 < ods[1.6875] < 11.5
