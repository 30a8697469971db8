"""Masses on the lifting clamp at each landing of the two invented jobs.

Source: invented scenarios, printed in whole pounds and kilograms, weights in air.
"""

from __future__ import annotations

import re

import pytest
from tests.checks.twins import LB, choice_1, choice_2, found, job_1, job_2, with_row, with_section

from abreast.checks import closed_frame, hanging, lifts, links
from abreast.errors import MissingInputError
from abreast.spaceout.assemble import assemble

HANGING_1 = {"L1": 3444, "L2": 4085, "L3": 5064, "L4": 6127, "L5": 7301}
WITH_DYNAMIC_FACTOR_1 = {"L1": 4477, "L2": 5310, "L3": 6583, "L4": 7965, "L5": 9491}
HANGING_2 = {"L1": 589, "L2": 702, "L3": 935, "L4": 1199}
LIFTED_1 = {
    "guide+gauge+motor": 2045,
    "protector": 515,
    "intake+pump-1": 801,
    "pump-2": 885,
    "pump-3+head+pup": 981,
    "B05": 201,
    "P07": 80,
    "P01": 132,
    "P04": 132,
    "P08+P10": 147,
    "base support": 265,
    "adjustable union+Y-tool": 305 + 78,
}


def twin_1():
    return assemble(job_1(), choice_1())


def twin_2():
    return assemble(job_2(), choice_2())


@pytest.mark.parametrize("landing", HANGING_1)
def test_hanging_on_the_clamp_of_job_1(landing):
    state = next(s for s in hanging(job_1(), twin_1()) if s.name == landing)
    assert state.total_kg / LB == pytest.approx(HANGING_1[landing], abs=0.51)


@pytest.mark.parametrize("landing", HANGING_2)
def test_hanging_on_the_clamp_of_job_2(landing):
    """The scenario counts the twin clamp of the landing itself: it carries the bypass."""
    state = next(s for s in hanging(job_2(), twin_2()) if s.name == landing)
    assert state.total_kg == pytest.approx(HANGING_2[landing], abs=0.51)


def test_closed_frames():
    """Job 1: 7,684 on the Y-tool, 7,730 with the fifth twin clamp. Job 2: 1,306 kg."""
    one = closed_frame(job_1(), twin_1())
    assert one.total_kg / LB == pytest.approx(7730, abs=0.51)
    assert (one.total_kg / LB) - 46 == pytest.approx(7684, abs=0.51)
    assert closed_frame(job_2(), twin_2()).total_kg == pytest.approx(1306, abs=0.51)


def test_bypass_side():
    """Job 1: 1,399 lb through the guide retainer at L1, of it tail and base 1,198. Job 2: the
    bypass alone 198 kg; 94 kg on the first twin clamp."""
    first = hanging(job_1(), twin_1())[0]
    assert first.bypass_side_kg / LB == pytest.approx(1399, abs=0.51)
    assert first.foot_kg / LB == pytest.approx(1198, abs=0.51)
    states = hanging(job_2(), twin_2())
    assert states[0].bypass_side_kg == pytest.approx(94, abs=0.51)
    assert states[-1].bypass_side_kg == pytest.approx(198, abs=0.51)


@pytest.mark.parametrize("name", LIFTED_1)
def test_single_lifts_of_job_1(name):
    lift = next(one for one in lifts(twin_1()) if one.name == name)
    assert lift.mass_kg / LB == pytest.approx(LIFTED_1[name], abs=0.51)


def test_tail_of_job_1_weighs_933():
    tail = [lift for lift in lifts(twin_1()) if lift.kind == "tail"]
    assert sum(lift.mass_kg for lift in tail) / LB == pytest.approx(933, abs=0.51)


@pytest.mark.parametrize("landing", WITH_DYNAMIC_FACTOR_1)
def test_findings_hold_them_with_the_dynamic_factor(landing):
    finding = found(job_1(), choice_1())[f"hanging-load:{landing}"]
    assert finding.value / 4.4482216152605 == pytest.approx(
        WITH_DYNAMIC_FACTOR_1[landing], abs=1.01
    )


def test_last_landing_uses_63_per_cent_of_the_clamp():
    finding = found(job_1(), choice_1())["hanging-load:L5"]
    assert finding.utilisation == pytest.approx(0.63, abs=0.005)
    assert "7,301 lb" in finding.text
    assert "LC-P2" in finding.text
    assert "15,000 lbf" in finding.text


def test_masses_that_follow_from_length_are_told():
    job = with_row(job_1(), "rack", "P07", mass_kg=None)
    told = found(job, choice_1())["hanging-load:L2"].assumptions
    assert "mass by length of pipe: P07" in told
    plain = found(job_1(), choice_1())["hanging-load:L2"].assumptions
    assert not any("by length" in text for text in plain)


def test_a_missing_mass_is_named():
    job = with_row(job_1(), "esp", "gauge", mass_kg=None)
    with pytest.raises(MissingInputError, match="mass of gauge"):
        hanging(job, assemble(job, choice_1()))


# --- links ---------------------------------------------------------------------------------


def test_weakest_link_of_job_1_is_the_clamp_at_the_last_landing():
    finding = found(job_1(), choice_1())["weakest-link:rated links"]
    assert "LC-P2 at L5" in finding.text
    assert finding.utilisation == pytest.approx(9491 / 15000, abs=1e-3)


def test_a_weaker_flange_takes_its_place():
    """7,301 lb less the two pieces above the upper pump, 96 lb, hang on its upper joint."""
    job = with_row(job_1(), "esp", "pump-3", upper_joint_load_n=9500 * 4.4482216152605)
    finding = found(job, choice_1())["weakest-link:rated links"]
    assert "upper joint of pump-3" in finding.text
    assert finding.utilisation == pytest.approx((7301 - 96) * 1.3 / 9500, abs=1e-3)


def test_retainer_carries_tail_base_and_bypass():
    """933 + 265 + 201 + 80 + 132 + 132 + 147 = 1,890 lb."""
    link = next(one for one in links(job_1(), twin_1()) if one.name == "guide retainer")
    assert link.mass_kg / LB == pytest.approx(1890, abs=0.51)


def test_held_by_the_esp_without_a_retainer_is_no_load_path():
    base = job_1().base
    no_retainer = base.retainer_load_n.not_applicable("guide only seated")
    job = with_section(job_1(), "base", retainer_load_n=no_retainer)
    finding = found(job, choice_1())["weakest-link:links without rating"]
    assert finding.status == "exceeds"
    assert "no guide retainer" in finding.text


def test_the_elevator_of_the_tubing_carries_the_closed_frame():
    """7,730 lb on an elevator for 5,000 lbf, though Y-tool and block would carry it."""
    job = with_row(job_1(), "holders", "EL-45", rating_n=22241.1)
    findings = found(job, choice_1())
    frame = findings["hanging-load:closed frame"]
    assert frame.status == "exceeds"
    assert "on EL-45, rated 5,000 lbf" in frame.text
    assert findings["weakest-link:rated links"].status == "exceeds"


def test_the_parts_of_what_hangs_add_up():
    text = found(job_1(), choice_1())["hanging-load:closed frame"].text
    total, *parts = [int(mass.replace(",", "")) for mass in re.findall(r"([0-9,]+) lb\b", text)]
    assert len(parts) == 4
    assert sum(parts) == pytest.approx(total, abs=2)


def test_a_link_without_rating_is_asked_for():
    job = with_section(job_1(), "ytool", rating_n=None)
    findings = found(job, choice_1())
    assert findings["weakest-link:links without rating"].needs == ("rating of Y-tool",)
    assert findings["hanging-load:closed frame"].status == "not checked"


# --- declared load paths -------------------------------------------------------------------


def test_bypass_held_puts_everything_on_the_slips_and_the_bypass_threads():
    """7,301 x 1.3 lbf against a flush thread of 107,000 lbf and slips of 80,000 lbf."""
    job = job_1().model_copy(update={"load_path": "bypass-held"})
    finding = found(job, choice_1())["hanging-load:L5"]
    assert "false rotary" in finding.text  # 40,000 lbf, the weakest of plate and slips
    assert finding.utilisation == pytest.approx(9491 / 40000, abs=1e-3)
    names = {one.name: one for one in links(job, twin_1())}
    thread = names["thread SF of the bypass (carries all)"]
    assert thread.mass_kg / LB == pytest.approx(7301, abs=0.51)
    assert not any(name.startswith("housing") for name in names)


def test_both_held_needs_a_holding_clamp():
    job = job_1().model_copy(update={"load_path": "both-held"})
    finding = found(job, choice_1())["hanging-load:L1"]
    assert finding.status == "not checked"
    assert finding.needs == ("holding clamp for the bypass in the table of holders",)


def test_both_held_gives_each_holder_the_whole():
    job = with_row(job_1(), "holders", "SL-27", type="holding clamp", rating_n=5000 * 4.448)
    job = job.model_copy(update={"load_path": "both-held"})
    finding = found(job, choice_1())["hanging-load:L2"]
    assert finding.status == "exceeds"
    assert "SL-27" in finding.text
    assert finding.utilisation == pytest.approx(5310 / 5000, abs=1e-3)
    assert any("not known" in text for text in finding.assumptions)
