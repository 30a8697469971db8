"""Does each wanted tool string pass: status, limit, place, and what it asks for."""

from __future__ import annotations

from functools import cache

import pytest
from tests.checks.twins import FT, IN, choice_1, choice_2, job_1, job_2, with_row, with_section

from abreast.checks.base import Context, answer
from abreast.checks.tool_passage import TOOL_PASSAGE, tool_passage_check
from abreast.mechanics.bypass_tools import tool_passages
from abreast.model import ToolPart
from abreast.spaceout.assemble import AsRun, assemble

TOOL = {"string": "run", "part": "tool", "length_m": 1.2, "od_m": 0.0429}


@cache
def assembled(number):
    return assemble(*((job_1(), choice_1()) if number == 1 else (job_2(), choice_2())))


def asked(job, number=2, *tools):
    job = job.model_copy(update={"tools": tools}) if tools else job
    choice = choice_1() if number == 1 else choice_2()
    return {one.where: one for one in answer(TOOL_PASSAGE, Context(job, assembled(number), choice))}


def one_tool(**fields):
    (found,) = asked(job_2(), 2, ToolPart(**TOOL, **fields)).values()
    return found


def test_answers_of_both_jobs():
    one, two = asked(job_1(), 1), asked(job_2())
    assert {name: finding.status for name, finding in {**one, **two}.items()} == {
        "gauge run": "ok",
        "plug run": "ok",
        "logging run": "not checked",
    }
    assert "above plug nipple" in one["plug run"].text
    gauge = one["gauge run"]
    assert "gauge carrier + bull nose, 4.80 ft by 1.690 in" in gauge.text
    assert "from RKB" in gauge.text
    assert gauge.value == pytest.approx(4.8 * FT)
    assert gauge.utilisation == pytest.approx(gauge.value / gauge.limit)
    logging = two["logging run"]
    assert logging.text.startswith("Passes only bent.")
    assert logging.needs == ("side_load of pressure and temperature + flowmeter in tools.csv",)


def test_a_bent_tool_is_held_against_its_side_load():
    assert one_tool().needs == ("ei of tool in tools.csv",)
    free = one_tool(ei_nm2=2.4e4)
    assert free.status == "not checked" and "side_load" in free.needs[0]
    force_n = one_tool(ei_nm2=2.4e4, side_load_n=1e5).value
    assert one_tool(ei_nm2=2.4e4, side_load_n=2 * force_n).status == "ok"
    assert one_tool(ei_nm2=2.4e4, side_load_n=1.05 * force_n).status == "near limit"
    over = one_tool(ei_nm2=2.4e4, side_load_n=0.5 * force_n)
    assert (over.status, over.utilisation) == ("exceeds", pytest.approx(2.0))
    assert "knuckle" in over.action
    assert one_tool(ei_nm2=2.4e4, side_load_n=0.0).status == "exceeds"


def test_near_its_longest_length():
    longest_m = (
        one_tool(ei_nm2=1.0, side_load_n=1e9)
        and asked(job_2(), 2, ToolPart(**TOOL | {"length_m": 0.1}))["run"].limit
    )
    near = asked(job_2(), 2, ToolPart(**TOOL | {"length_m": 0.95 * longest_m}))["run"]
    assert near.status == "near limit"
    far = asked(job_2(), 2, ToolPart(**TOOL | {"length_m": 0.85 * longest_m}))["run"]
    assert far.status == "ok"


def test_a_tool_too_thick_for_the_smallest_bore():
    """47.6 mm less 1.5 mm of clearance: 46.1 mm goes in, 47 mm is 0.9 mm too thick."""
    found = asked(job_2(), 2, ToolPart(**TOOL | {"od_m": 0.047}))["run"]
    assert found.status == "exceeds"
    assert "0.9 mm too thick" in found.text and "plug nipple, 2150.7" in found.text
    assert found.limit == pytest.approx(0.0476 - 0.0015)
    assert found.utilisation > 1


def test_the_worst_of_its_parts_is_told():
    fits = ToolPart(string="run", part="bar", length_m=0.5, od_m=0.03, knuckle=True)
    thick = ToolPart(string="run", part="thick", length_m=0.5, od_m=0.05)
    assert asked(job_2(), 2, fits, thick)["run"].text.startswith("thick")


@pytest.mark.parametrize(
    ("job", "needs"),
    [
        (job_2().model_copy(update={"tools": ()}), "the tools in tools.csv"),
        (job_2().model_copy(update={"survey": ()}), "a survey of two stations"),
        (with_section(job_2(), "survey_head", tortuosity_rad_m=None), "tortuosity of the survey"),
        (with_section(job_2(), "rules", tool_clearance_m=None), "tool clearance of the rules"),
        (with_section(job_2(), "ytool", bend_offset_m=None), "bend offset of Y-tool"),
    ],
)
def test_a_missing_input_is_no_pass(job, needs):
    found = asked(job).values()
    assert found
    for one in found:
        assert one.status == "not checked"
        assert any(needs in need for need in one.needs) or "side_load" in one.needs[0]
    assert any(needs in need for one in found for need in one.needs)


def test_rows_that_stand_apart_are_not_judged():
    a, b = ToolPart(**TOOL), ToolPart(**TOOL | {"string": "other"})
    (found,) = asked(job_2(), 2, a, b, a).values()
    assert found.status == "not checked"
    assert "'run' stand apart" in found.text


def test_a_string_not_finished_is_not_passed():
    job, choice = job_1(), choice_1(items=("B05", "P07"), lifts=None)
    run = AsRun(bypass=frozenset({"base support", "B05", "P07"}))
    for one in answer(TOOL_PASSAGE, Context(job, assemble(job, choice, run), choice)):
        assert one.status == "not checked" and "still to be run" in one.text


def test_a_bent_bypass_may_be_handed_in():
    def bent(context):
        return tool_passages(context.job, context.assembly, 3e-3)

    context = Context(job_1(), assembled(1), choice_1())
    found = {one.where: one for one in answer(tool_passage_check(bent), context)}
    straight = asked(job_1(), 1)
    assert found["gauge run"].utilisation > straight["gauge run"].utilisation


def test_a_thick_tool_in_oilfield_units():
    found = asked(job_1(), 1, ToolPart(**TOOL | {"length_m": FT, "od_m": 2.18 * IN}))["run"]
    assert "0.040 in too thick" in found.text
    assert "no-go of nipple, 5,847.00 ft from RKB" in found.text


@pytest.mark.parametrize(
    ("bore_m", "od_m"), [(0.036, 0.0365), (0.040, 0.0429), (0.040, 0.0386), (0.0200, 0.0190)]
)
def test_a_narrow_safety_valve_refuses_what_the_bypass_would_pass(bore_m, od_m):
    """The valve hangs at 513.22 m from RT by the lengths above it."""
    narrow = with_row(job_2(), "upper", "U6", bore_m=bore_m, drift_m=bore_m)
    found = asked(narrow, 2, ToolPart(**TOOL | {"length_m": 0.3, "od_m": od_m}))["run"]
    assert found.status == "exceeds"
    assert "too thick, clearance counted, for safety valve U6, 513.220 m from RT" in found.text
    assert found.limit == pytest.approx(bore_m - 0.0015)
    wide = asked(job_2(), 2, ToolPart(**TOOL | {"length_m": 0.3, "od_m": od_m}))["run"]
    assert wide.status == "ok"


def test_the_gauge_run_of_the_job_meets_the_valve_first():
    narrow = with_row(job_2(), "upper", "U6", bore_m=0.036, drift_m=0.036)
    found = asked(narrow)
    assert {one.status for one in found.values()} == {"exceeds"}
    assert all("safety valve U6" in one.text for one in found.values())


def test_a_drift_above_that_nobody_measured_is_no_pass():
    open_ = with_row(job_2(), "upper", "U6", drift_m=None)
    short = asked(open_, 2, ToolPart(**TOOL | {"length_m": 0.3}))["run"]
    assert short.status == "not checked" and short.needs == ("drift of upper item U6",)
    thick = asked(open_, 2, ToolPart(**TOOL | {"length_m": 0.3, "od_m": 0.05}))["run"]
    assert thick.status == "exceeds"


def test_a_long_pipe_that_decides_is_told_by_both_ends():
    """1.4375 in passes the bend of U3 at 3.37 deg/100 ft up to 51.4 ft; 60 ft must bend there."""
    found = asked(job_1(), 1, ToolPart(**TOOL | {"length_m": 60 * FT, "od_m": 1.4375 * IN}))["run"]
    assert found.status == "not checked"
    assert "at tubing U3, 33.14 to 5,550.40 ft from RKB" in found.text
