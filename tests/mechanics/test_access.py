"""What a wireline crew meets: depths by hand, sizes in words, what is below the tail."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import (
    FT,
    IN,
    amend,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.mechanics.access import access
from abreast.mechanics.access_words import (
    bore_words,
    mark_words,
    unchecked_words,
    valve_words,
    way_facts,
)
from abreast.mechanics.bores import depths_from_every_zero, path_bores
from abreast.mechanics.bypass_tools import tool_passages
from abreast.mechanics.bypass_way import bypass_way
from abreast.spaceout.assemble import assemble

BOTH = [(job_1(), choice_1()), (job_2(), choice_2())]


def met(job, choice, *args):
    return access(job, bypass_way(job, assemble(job, choice), *args))


def by_name(rows):
    return {one.what: one for one in rows}


@pytest.mark.parametrize(("job", "choice"), BOTH)
def test_rows_follow_one_another_down_to_the_open_end(job, choice):
    way = bypass_way(job, assemble(job, choice))
    rows = access(job, way).way
    assert rows[0].top_md_m == way.top_md_m and rows[-1].bottom_md_m == way.bottom_md_m
    for upper, lower in pairwise(rows):
        assert lower.top_md_m == pytest.approx(upper.bottom_md_m, abs=1e-9)
        assert lower.top_tvd_m > upper.top_tvd_m
    (smallest,) = [one for one in rows if one.smallest]
    assert smallest.bore_m == min(one.diameter_m for one in way.pieces)


def test_every_change_of_diameter_of_the_second_job():
    """By hand from its tables, depths from RT: hanger at 32.6 m, Y-tool at 2,150 m."""
    rows = by_name(met(job_2(), choice_2()).way)
    assert list(rows) == [
        "hanger U8",
        "tubing U7",
        "safety valve U6",
        "tubing U5",
        "packer U4",
        "pipe U3 to U1, 3 pieces",
        "S-bend of the Y-tool",
        "plug nipple of the Y-tool",
        "adjustable union",
        "pipe Q04 to K01, 5 pieces",
        "entry guide",
    ]
    tops = [one.top_md_m for one in rows.values()]
    assert tops[:8] == pytest.approx(
        [32.6, 33.22, 513.22, 515.63, 2124.91, 2127.79, 2150.0, 2150.7]
    )
    valve = rows["safety valve U6"]
    assert (valve.bore_m, valve.drift_m, valve.mark) == (0.0714, 0.071, "flapper")
    marks = {name: one.mark for name, one in rows.items() if one.mark}
    assert marks == {
        "safety valve U6": "flapper",
        "tubing U5": "to fit",
        "S-bend of the Y-tool": "bend",
        "plug nipple of the Y-tool": "plug",
    }


def test_the_profile_and_the_no_go_of_the_first_job():
    rows = by_name(met(job_1(), choice_1()).way)
    assert rows["nipple"].mark == "profile" and rows["nipple, below"].mark == ""
    assert rows["no-go of nipple"].mark == "no-go" and rows["no-go of nipple"].smallest
    assert rows["no-go of nipple"].bore_m == pytest.approx(2.20 * IN)
    assert rows["no-go of nipple"].top_md_m / FT == pytest.approx(5847.0, abs=0.01)


def test_what_is_below_the_tail_of_the_first_job():
    """Its tables, ft from RKB: liner top 6,650, perforations 7,300 to 7,420, shoe 7,620. The
    shoe at 6,900 ft stands behind the liner, and the stage collar at 3,480 ft is above."""
    found = by_name(met(job_1(), choice_1()).below)
    tops = {name: one.top_md_m / FT for name, one in found.items()}
    assert list(tops) == [
        "open end of the way, in 9-5/8 in 47 lb/ft L80",
        "top of 7 in 29 lb/ft L80 liner",
        "perforations main zone",
        "shoe of 7 in 29 lb/ft L80 liner",
        "end of the survey",
    ]
    assert list(tops.values())[1:] == pytest.approx([6650, 7300, 7620, 7620])
    assert found["perforations main zone"].bottom_md_m / FT == pytest.approx(7420)
    liner = found["top of 7 in 29 lb/ft L80 liner"]
    assert (liner.bore_m / IN, liner.drift_m / IN) == pytest.approx((6.184, 6.059))


@pytest.mark.parametrize("in_place", [True, False])
def test_a_narrow_place_below_counts_only_while_it_is_there(in_place):
    name = "tie-back polished bore"
    moved = tuple(
        amend(one, md_m=2300.0, in_place=in_place) if one.name == name else one
        for one in job_2().openings
    )
    found = by_name(met(job_2().model_copy(update={"openings": moved}), choice_2()).below)
    assert (name in found) is in_place


def test_vertical_depth_is_that_of_a_hand_sum():
    """Steps of the survey above, minimum curvature by hand: down = L/2 (cos a + cos b) RF."""
    job = job_2()
    row = by_name(met(job, choice_2()).way)["safety valve U6"]
    stations = [
        (one.md_m.si, one.inclination_rad.si, one.azimuth_rad.or_else(0.0)) for one in job.survey
    ]
    down, before = 0.0, stations[0]
    for md_m, inc, azi in stations[1:]:
        upper_m, a, b = before
        cosine = math.cos(inc - a) - math.sin(a) * math.sin(inc) * (1 - math.cos(azi - b))
        bend = math.acos(min(cosine, 1.0))
        factor = 1.0 if bend < 1e-9 else 2 / bend * math.tan(bend / 2)
        step = (md_m - upper_m) / 2 * (math.cos(a) + math.cos(inc)) * factor
        if md_m >= row.top_md_m:
            break
        down, before = down + step, (md_m, inc, azi)
    low, high = sorted((math.cos(before[1]), math.cos(inc)))
    rest_m = row.top_md_m - before[0]
    assert down + low * rest_m - 1e-6 <= row.top_tvd_m <= down + high * rest_m + 1e-6
    assert row.top_tvd_m < row.top_md_m


def test_nothing_deeper_than_the_survey_has_a_vertical_depth():
    job = job_1()
    short = tuple(one for one in job.survey if one.md_m.si < 7000 * FT)
    found = by_name(met(job.model_copy(update={"survey": short}), choice_1()).below)
    assert found["perforations main zone"].top_tvd_m is None
    assert found["top of 7 in 29 lb/ft L80 liner"].top_tvd_m is not None


def test_a_missing_depth_of_casing_is_asked_for():
    casing = job_1().casing
    lost = casing[-1].model_copy(update={"top_md_m": type(casing[-1].top_md_m).not_measured()})
    found = met(job_1().model_copy(update={"casing": (*casing[:-1], lost)}), choice_1())
    assert found.below == () and found.needs
    assert found.way


def test_the_steepest_place_of_the_way():
    """Stations of the second job by its table: 48.9 degrees at 1,720 m."""
    angle, md_m = met(job_2(), choice_2()).steepest
    assert (math.degrees(angle), md_m) == pytest.approx((48.9, 1720.0))


@settings(max_examples=25, deadline=None)
@given(st.floats(0.1, 900.0))
def test_a_longer_tubing_above_moves_the_valve_and_nothing_below(length_m):
    plain = by_name(met(job_2(), choice_2()).way)
    moved = by_name(met(with_row(job_2(), "upper", "U7", length_m=length_m), choice_2()).way)
    top_m = moved["safety valve U6"].top_md_m
    assert top_m == pytest.approx(33.22 + length_m)
    assert moved["tubing U5"].bottom_md_m == pytest.approx(plain["tubing U5"].bottom_md_m)


# --- words ---------------------------------------------------------------------------------


def test_a_bore_is_told_in_words():
    job = job_2()
    said = {bore_words(job, one) for one in path_bores(job, assemble(job, choice_2()))}
    assert {"safety valve U6 (drift)", "hanger U8 (bore)", "adjustable union (bore)"} <= said
    assert {"S-bend of the Y-tool", "plug nipple of the Y-tool", "joint K01 (drift)"} <= said
    first = {bore_words(job_1(), one) for one in path_bores(job_1(), assemble(job_1(), choice_1()))}
    assert {"nipple (bore)", "no-go of nipple"} <= first


def test_marks_and_warnings():
    found = met(job_2(), choice_2())
    rows = by_name(found.way)
    assert mark_words(job_2(), rows["S-bend of the Y-tool"]) == "axis shifts 19.0 mm"
    (warning,) = valve_words(job_2(), found)
    assert warning.startswith("Safety valve U6 at 513.220 m: hold its flapper open")
    assert valve_words(job_1(), met(job_1(), choice_1())) == ()
    assert any("lubricator" in one for one in unchecked_words())


def test_facts_of_the_way():
    job = job_1()
    way = bypass_way(job, assemble(job, choice_1()), {"P07": 5e-3})
    facts = dict(way_facts(job, way, access(job, way)))
    assert facts["Sharpest dogleg"].startswith("3.37°/100 ft at 4,300.0 to 4,330.0 ft; allowance")
    assert facts["Hangs bent to"] == "8.73°/100 ft, pup P07, worst roll"
    bare = with_section(job, "survey_head", tortuosity_rad_m=None)
    way = bypass_way(bare, assemble(bare, choice_1()))
    facts = dict(way_facts(bare, way, access(bare, way)))
    assert facts["Sharpest dogleg"].endswith("no allowance in it")
    assert "Hangs bent to" not in facts


def test_depths_from_every_zero():
    """RKB 26.0, drilling RKB 31.5, wireline zero 4.2 ft above the flange."""
    found = depths_from_every_zero(job_1(), assemble(job_1(), choice_1()), 100 * FT, 110 * FT)
    tops = {zero: (top_m / FT, foot_m / FT) for zero, top_m, foot_m in found}
    assert tops["RKB"] == pytest.approx((100, 110))
    assert tops["drilling RKB"] == pytest.approx((105.5, 115.5))
    assert tops["wireline zero"] == pytest.approx((78.2, 88.2))


def test_a_smallest_bore_above_tubing_to_fit_has_its_depth():
    job = with_row(job_2(), "upper", "U6", bore_m=0.036, drift_m=0.036)
    depths = tool_passages(job, assemble(job, choice_2())).smallest.depths
    assert depths[0][0] == "RT"
    assert depths[0][1:] == pytest.approx((513.22, 515.63))
    assert depths[2] == ("wireline zero", pytest.approx(484.82), pytest.approx(487.23))
