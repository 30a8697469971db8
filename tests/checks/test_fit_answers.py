"""Does it fit: each question kept, at its limit, broken, and unanswerable."""

from __future__ import annotations

import math

import pytest
from tests.checks.twins import (
    FT,
    IN,
    amend,
    choice_1,
    choice_2,
    found,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.spaceout.assemble import AsRun

DEG, MM = math.pi / 180, 0.001
CASING_1, LINER_2 = "drift:9-5/8 in 47 lb/ft L80", "drift:7 in 29 lb/ft L80 tie-back and liner"


def found_1(job=None, **changes):
    return found(job or job_1(), choice_1(**changes))


def found_2(job=None):
    return found(job or job_2(), choice_2())


def variant(**casing):
    """The second job with a motor of 95.25 mm, as far from the bypass as the smaller one."""
    job = with_row(job_2(), "esp", "motor", body_od_m=95.25 * MM, max_od_m=95.25 * MM)
    job = with_section(job, "setting", axis_spacing_m=78.575 * MM)
    rows = [amend(c, **casing) if c.name.startswith("7 in") else c for c in job.casing]
    return job.model_copy(update={"casing": tuple(rows)})


EXPECTED_1 = {
    CASING_1: ("ok", "8.450 in: 0.075 in under the drift of 8.525 in, 0.231 in under the bore"),
    "drift:13-3/8 in 68 lb/ft": ("ok", "Behind 9-5/8 in 47 lb/ft L80 all the way"),
    "drift:stage collar": ("ok", "Widest is Y-tool at 108.05 ft"),
    "drift:false rotary": ("ok", "0.300 in under the opening of 8.750 in"),
    "envelope:motor": ("ok", "motor + B05 at 2.68 ft to 29.20 ft"),
    "envelope:pump-3": ("ok", "8.325 in, 0.200 in under the smallest drift"),
    "envelope:base support": ("ok", "8.440 in, 0.085 in under"),
    "envelope:twin clamps": ("ok", "8.420 in, 0.105 in under"),
    "worst-tally": ("ok", "3.020 in beside motor: 8.460 in, 0.065 in under"),
    "cable-window:pothead": ("ok", "85.0° clockwise, looking down, 41.9° from the nearer edge"),
    "cable-window:whole run": ("ok", "low by pup + adjustable union"),
    "mle-reach:length": ("ok", "ends 15.95 ft above the Y-tool"),
    "mle-reach:splice": ("ok", "on U2, 5.93 ft above its lower"),
    "cable-clamps": ("ok", "153 in all: 8 at the ESP's joints"),
    "smallest-bore:bypass path": ("ok", "2.200 in: no-go of nipple, 5,847.00 ft from RKB"),
    "bop-view:L3": ("near limit", "L3 - annular, 4-1/2 in rams: pump-1 + P01 + MLE"),
}


@pytest.mark.parametrize("name", EXPECTED_1)
def test_answers_of_job_1(name):
    status, says = EXPECTED_1[name]
    finding = found_1()[name]
    assert finding.status == status
    assert says in finding.text
    assert finding.question.endswith("?")


def test_answers_of_job_2_in_its_own_units():
    findings = found_2()
    assert "1.4 mm under the drift of 153.9 mm, 4.6 mm under the bore" in findings[LINER_2].text
    assert findings["cable-window:whole run"].status == "ok"
    assert "plug nipple of Y-tool" in findings["smallest-bore:bypass path"].text
    # 168 joints of 9.6 m for the 1609 m to fit, 50 above the valve, and five items of one piece
    assert "223 at couplings above the Y-tool" in findings["cable-clamps"].text
    assert "4 beside packer and valves" in findings["cable-clamps"].text
    assert "15.450 m above the Y-tool" in findings["mle-reach:length"].text


# --- drift ---------------------------------------------------------------------------------


def test_over_the_drift_and_under_the_bore_is_an_answer_of_its_own():
    findings = found_2(variant())
    finding = findings[LINER_2]
    assert finding.status == "exceeds"
    assert "2.5 mm OVER the drift of 153.9 mm, 0.7 mm under the bore of 157.1 mm" in finding.text
    assert "over the drift and under the bore" in finding.action
    assert "special drift of 157.2 mm" in finding.action  # 156.365 and the margin of 0.8
    assert finding.value / MM == pytest.approx(156.365)
    assert finding.limit / MM == pytest.approx(153.90)
    tie_back = findings["drift:tie-back polished bore"]
    assert tie_back.status == "exceeds"
    assert "needs another tie-back polished bore, of more than 156.4 mm" in tie_back.action


def test_a_proved_special_drift_is_the_limit():
    finding = found_2(variant(special_drift_m=156.0 * MM))[LINER_2]
    assert finding.status == "exceeds"
    finding = found_2(variant(special_drift_m=156.5 * MM))[LINER_2]
    assert finding.status == "near limit"  # 0.135 of the 0.8 mm margin
    assert "special drift of 156.5 mm" in finding.text
    assert "special drift, proved in this casing" in finding.basis
    assert "margin of 0.8 mm" in finding.action


def test_below_the_margin_is_near_the_limit():
    job = with_section(job_1(), "rules", envelope_margin_m=0.075 * IN - 1e-9)
    assert found_1(job)[CASING_1].status == "ok"
    job = with_section(job_1(), "rules", envelope_margin_m=0.0751 * IN)
    findings = found_1(job)
    assert findings[CASING_1].status == "near limit"
    assert findings["envelope:Y-tool"].status == "near limit"
    assert findings["envelope:motor"].status == "ok"


def test_a_part_too_large_for_the_rig():
    finding = found_1(with_section(job_1(), "rig", false_rotary_opening_m=8.44 * IN))
    assert finding["drift:false rotary"].status == "exceeds"
    assert "0.010 in OVER the opening of 8.440 in" in finding["drift:false rotary"].text
    assert "an opening of more than 8.450 in" in finding["drift:false rotary"].action
    assert finding["envelope:Y-tool"].status == "exceeds"


@pytest.mark.parametrize(
    ("fields", "needs"),
    [
        ({"drift_m": None}, "drift of casing 9-5/8 in 47 lb/ft L80"),
        ({"bore_m": None}, "bore of casing 9-5/8 in 47 lb/ft L80"),
        ({"top_md_m": None}, "top md of casing 9-5/8 in 47 lb/ft L80"),
        ({"shoe_md_m": None}, "shoe md of casing 9-5/8 in 47 lb/ft L80"),
    ],
)
def test_a_casing_with_something_missing_is_not_checked(fields, needs):
    job = job_1()
    rows = [amend(c, **fields) if c.name.startswith("9-5/8") else c for c in job.casing]
    findings = found_1(job.model_copy(update={"casing": tuple(rows)}))
    for name in (CASING_1, "envelope:motor", "worst-tally", "cable-window:whole run"):
        assert findings[name].status == "not checked", name
        assert needs in findings[name].needs, name


def test_too_large_for_the_bore_is_said_even_when_the_drift_is_missing():
    job = with_section(job_1(), "ytool", max_od_m=8.70 * IN)
    rows = [amend(c, drift_m=None) if c.name.startswith("9-5/8") else c for c in job.casing]
    findings = found_1(job.model_copy(update={"casing": tuple(rows)}))
    assert findings[CASING_1].status == "exceeds"
    assert "drift not stated, 0.019 in OVER the bore of 8.681 in" in findings[CASING_1].text


def test_too_large_is_said_even_when_another_size_is_missing():
    job = with_row(job_1(), "esp", "pump-1", max_od_m=None)
    assert found_1(job)[CASING_1].status == "not checked"
    assert "max od of ESP piece pump-1" in found_1(job)[CASING_1].needs
    large = with_section(job, "ytool", max_od_m=8.60 * IN)
    assert found_1(large)[CASING_1].status == "exceeds"


def test_no_casing_is_no_pass():
    findings = found_1(job_1().model_copy(update={"casing": ()}))
    assert findings["drift:casing"].needs == ("the table of casing",)
    assert findings["envelope:motor"].status == "not checked"
    assert findings["worst-tally"].status == "not checked"


def test_open_hole_on_the_way_is_asked_for():
    job = job_1()
    rows = [amend(c, shoe_md_m=5700 * FT) if c.name.startswith("9-5/8") else c for c in job.casing]
    findings = found_1(job.model_copy(update={"casing": tuple(rows)}))
    bare = next(f for name, f in findings.items() if name.startswith("drift:5,700.00 ft to"))
    assert bare.status == "not checked"
    assert findings["envelope:tail"].status == "not checked"
    assert findings["envelope:Y-tool"].status == "ok"  # it stays in the casing


def test_an_unknown_depth_is_not_checked_but_the_rig_is():
    findings = found_1(with_section(job_1(), "setting", ytool_top_md_m=None))
    assert findings[CASING_1].status == "not checked"
    assert findings["envelope:motor"].status == "not checked"
    assert findings["drift:false rotary"].status == "ok"


# --- envelope ------------------------------------------------------------------------------


def test_strings_that_overlap_do_not_fit_side_by_side():
    findings = found_1(with_section(job_1(), "setting", axis_spacing_m=4.10 * IN))
    finding = findings["envelope:motor"]
    assert finding.status == "exceeds"  # 2.70 + 1.4375 is 0.0375 more
    assert "motor and B05 do not fit side by side" in finding.text
    assert "overlap by 0.038 in" in finding.text
    assert findings["envelope:gauge"].status == "ok"


def test_a_connection_may_not_come_beside_the_motor():
    """8.46 in 8.455 in: this choice keeps connections away from the motor, others may not."""
    job = job_1()
    rows = [amend(c, drift_m=8.455 * IN) if c.name.startswith("9-5/8") else c for c in job.casing]
    job = job.model_copy(update={"casing": tuple(rows)})
    finding = found_1(job)["worst-tally"]
    assert finding.status == "near limit"
    assert "0.005 in OVER the smallest drift" in finding.text
    assert "keep connections away from motor" in finding.action
    assert found_1(job)["envelope:motor"].status == "ok"
    swapped = found_1(job, items=("P01", "B05", "P07", "P04", "P08", "P10"), lifts=None)
    assert swapped["envelope:motor"].status == "exceeds"
    assert "motor + P01 connection" in swapped["envelope:motor"].text


# --- cable ---------------------------------------------------------------------------------


def with_angle(job, angle_deg, **more):
    job = with_section(job, "mle", pothead_angle_rad=angle_deg * DEG, **more)
    return with_row(job, "ports", "pothead", angle_rad=angle_deg * DEG)


@pytest.mark.parametrize(
    ("angle_deg", "status", "says"),
    [
        (85, "ok", "28.2° from the nearer edge"),
        (-85, "ok", "85.0° counter-clockwise"),
        (275, "ok", "85.0° counter-clockwise"),
        (100, "near limit", "13.2° from the nearer edge"),  # 12 of 13.2
        (102, "exceeds", "11.2° from the nearer edge; it may be off by 12.0°"),
        (120, "exceeds", "OUTSIDE by 6.8°"),
        (20, "exceeds", "OUTSIDE by 10.2°"),
        (0, "exceeds", "OUTSIDE by 30.2°"),
    ],
)
def test_the_pothead_in_the_window_of_the_whole_run(angle_deg, status, says):
    finding = found_1(with_angle(job_1(), angle_deg))["cable-window:whole run"]
    assert finding.status == status
    assert says in finding.text
    assert (finding.action == "") is (status == "ok")


def test_no_angle_at_all():
    finding = found_1(with_section(job_1(), "mle", thickness_m=4 * IN))["cable-window:pothead"]
    assert finding.status == "exceeds"
    assert "no angle at which the cable passes at the pothead" in finding.text


@pytest.mark.parametrize(
    ("fields", "needs"),
    [
        ({"pothead_tolerance_rad": None}, "pothead tolerance of MLE"),
        ({"width_m": None}, "width of MLE"),
        ({"thickness_m": None}, "thickness of MLE"),
        ({"guard_m": None}, "guard of MLE"),
    ],
)
def test_a_cable_with_something_missing_is_not_checked(fields, needs):
    findings = found_1(with_section(job_1(), "mle", **fields))
    for name in ("cable-window:pothead", "cable-window:whole run"):
        assert findings[name].status == "not checked"
        assert needs in findings[name].text


def test_without_the_angle_the_window_is_told_all_the_same():
    job = with_section(job_1(), "mle", pothead_angle_rad=None)
    job = with_row(job, "ports", "pothead", angle_rad=None)
    findings = found_1(job)
    assert findings["cable-window:whole run"].status == "not checked"
    assert "30.2° to 113.2°" in findings["cable-window:whole run"].text
    assert findings["envelope:pump-1"].status == "not checked"
    assert findings["envelope:gauge"].status == "ok"  # below the pothead


def test_corners_taken_as_sharp_may_pass_but_not_fail():
    blank = with_section(job_2(), "mle", corner_radius_m=None)
    finding = found_2(blank)["cable-window:whole run"]
    assert finding.status == "not checked"
    assert finding.needs == ("corner radius of MLE motor lead extension",)
    assert "sharp corners" in finding.text
    stated = with_section(job_2(), "mle", corner_radius_m=0.0)
    assert found_2(stated)["cable-window:whole run"].status == "exceeds"
    passed = found_1(with_section(job_1(), "mle", corner_radius_m=None))
    assert passed["cable-window:pothead"].status == "ok"
    assert any("sharp corners" in text for text in passed["cable-window:pothead"].assumptions)


# --- motor lead, clamps, bore --------------------------------------------------------------


def test_a_motor_lead_that_is_too_short():
    short = found_1(with_section(job_1(), "mle", length_m=86 * FT))  # 2.09 ft above
    assert short["mle-reach:length"].status == "exceeds"
    assert "2.09 ft above the Y-tool" in short["mle-reach:length"].text
    below = found_1(with_section(job_1(), "mle", length_m=80 * FT))
    assert "BELOW the Y-tool" in below["mle-reach:length"].text
    assert below["mle-reach:splice"].status == "exceeds"


def test_a_splice_in_a_coupling():
    """10.02 ft to the first coupling: pothead 30.35 + 0.99 L = 113.40 + 11.0."""
    length_m = (113.40 + 11.0 - 30.35) / 0.99 * FT
    finding = found_1(with_section(job_1(), "mle", length_m=length_m))["mle-reach:splice"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.98)
    assert "another pup" in finding.action


def test_a_splice_on_another_item_than_the_table_says():
    length_m = (113.40 + 5.0 - 30.35) / 0.99 * FT
    finding = found_1(with_section(job_1(), "mle", length_m=length_m))["mle-reach:splice"]
    assert finding.status == "near limit"
    assert "on U1, 5.00 ft above its lower" in finding.text
    assert "The table has the splice on U2" in finding.text


@pytest.mark.parametrize("name", ["mle-reach:length", "mle-reach:splice", "cable-clamps"])
def test_no_motor_lead_is_no_answer(name):
    finding = found_1(job_1().model_copy(update={"mle": None}))[name]
    assert finding.needs == ("the section of the MLE",)
    ports = tuple(p for p in job_1().ports if p.kind != "pothead")
    finding = found_1(job_1().model_copy(update={"ports": ports}))[name]
    assert finding.needs == ("a port of kind pothead",)


def test_a_bore_nobody_states_leaves_the_smallest_open():
    finding = found_1(with_section(job_1(), "base", bore_m=None))["smallest-bore:bypass path"]
    assert finding.status == "not checked"
    assert "Of those known, 2.200 in" in finding.text
    assert finding.needs == ("bore of base support base support with retained guide",)


def test_a_string_not_finished_is_not_passed():
    run = AsRun(bypass=frozenset({"base support", "B05", "P07"}))
    findings = found(job_1(), choice_1(items=("B05", "P07"), lifts=None), run)
    assert findings["smallest-bore:bypass path"].status == "not checked"
    assert findings[CASING_1].status == "not checked"
    assert findings["envelope:motor"].status == "ok"
    assert findings["envelope:pump-2"].status == "not checked"


# --- BOP -----------------------------------------------------------------------------------


def test_the_bop_is_asked_for():
    finding = found_1(job_1().model_copy(update={"bop": ()}))["bop-view"]
    assert finding.status == "not checked"
    assert "the table of the BOP" in finding.needs[0]


def with_bop(below_ft, **fields):
    """All elements so far below the floor, close together."""
    rows = (
        amend(e, below_floor_m=(below_ft + i / 10) * FT, **fields)
        for i, e in enumerate(job_1().bop)
    )
    return found_1(job_1().model_copy(update={"bop": tuple(rows)}))["bop-view:L1"]


def test_something_can_close_on_a_single_pipe():
    tail = with_bop(35)  # the tail on landing and half-way down
    assert "annular: T05 (seals)" in tail.text
    assert (tail.status, tail.action) == ("ok", "")
    twin = with_bop(30)  # the tail on landing, base and gauge half-way down
    assert "annular: P25 (seals)" in twin.text
    assert "gauge" in twin.text
    assert twin.status == "near limit"
    assert "who does what if the well flows" in twin.action
    blank = with_bop(30, closes_min_od_m=None)
    assert blank.status == "not checked"
    assert "closes min od of BOP element annular" in blank.needs


def test_a_height_of_the_rig_is_asked_for():
    finding = found_1(with_section(job_1(), "rig", false_rotary_height_m=None))["bop-view:L1"]
    assert finding.status == "not checked"
    assert "false rotary height" in finding.needs[0]
