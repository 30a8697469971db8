"""Each question answered three ways: the invented jobs keep their limits, spoiled ones don't.

Figures are those of the invented scenarios, spoiled one at a time.
"""

from __future__ import annotations

import pytest
from tests.checks.twins import (
    FT,
    IN,
    choice_1,
    choice_2,
    found,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.model import Accessory, End, Landing, Overall, PremadeLift, Suspicion
from abreast.spaceout.assemble import BASE_ID, AsRun
from abreast.spaceout.choose import choose

EXPECTED_1 = {
    # id: (status, what its text must say)
    "closure": ("ok", "2.38 ft (2 ft 4 9/16 in) above the bypass box"),
    "closure-error:likely": ("ok", "±0.33 in from 9 ESP lengths, 6 bypass lengths"),
    "union-stroke:usable part": ("ok", "0.40 ft to closed, 0.40 ft to open (19.2 and 19.2 turns)"),
    "union-stroke:ends": ("ok", "0.08 ft (10% of the stroke)"),
    "working-height:L4": ("ok", "2.37 ft above the plate, window 2.00 ft to 5.50 ft"),
    "bypass-top:L1": (
        "ok",
        "3.06 ft above the plate on landing, 14.84 ft above the plate after P07",
    ),
    "connections:all connections": ("ok", "threads EU, PR, SF"),
    "clamp-clash:C1": ("ok", "On B05"),
    "union-clear:pup": ("ok", "2.250 in + 1.775 in of 4.250 in"),
    "union-clear:head": ("ok", "1.17 ft away"),
    "port-reach:pothead": ("near limit", "0.42 ft below the plate at L1"),
    "port-reach:protector fill": ("ok", "above the plate at L1"),
    "slings:L3": ("near limit", "Slings of 6.00 ft; the bypass stands 4.04 ft"),
    "suspicions": ("ok", "Nothing"),
}


@pytest.mark.parametrize("name", EXPECTED_1)
def test_answers_of_job_1(name):
    status, says = EXPECTED_1[name]
    finding = found(job_1(), choice_1())[name]
    assert finding.status == status
    assert says in finding.text
    assert finding.question.endswith("?")


def test_nothing_exceeds_in_the_two_jobs():
    for findings in (found(job_1(), choice_1()), found(job_2(), choice_2())):
        assert [f.id for f in findings.values() if f.status == "exceeds"] == []


def test_job_2_speaks_si():
    findings = found(job_2(), choice_2())
    assert "0.857 m" in findings["closure"].text
    assert "589.3 kg" in findings["hanging-load:L1"].text
    assert "kN" in findings["hanging-load:L1"].text
    assert findings["working-height:L2"].status == "near limit"  # 8 mm below the window's top
    assert " ft" not in " ".join(f.text for f in findings.values())


# --- closure and stroke --------------------------------------------------------------------


def test_a_wrong_length_in_the_plan_does_not_close():
    finding = found(job_1(), choice_1(union_m=2.95 * FT))["closure"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.05)


def test_closure_off_mid_stroke():
    """One SF pup 2.02 ft in place of P10 and so on: the union runs out on the open side."""
    items, lifts = ("B05", "P07", "P01", "P04", "P08", "P09"), None
    finding = found(job_1(), choice_1(items=items, lifts=lifts, union_m=2.96 * FT))
    assert finding["closure"].status == "ok"
    assert finding["closure-error:likely"].utilisation > 0.3
    far = found(job_1(), choice_1(union_m=3.30 * FT))
    assert far["union-stroke:usable part"].status == "exceeds"
    assert far["union-stroke:ends"].status == "ok"
    end = found(job_1(), choice_1(union_m=3.35 * FT))["union-stroke:ends"]
    assert end.status == "exceeds"
    assert end.value / FT == pytest.approx(0.05)
    assert end.limit / FT == pytest.approx(0.08)


@pytest.mark.parametrize(
    ("union_ft", "status", "worst_left_ft"),
    [(2.87, "exceeds", 0.27), (2.89, "near limit", 0.29), (3.13, "exceeds", 0.27)],
)
def test_reserve_at_both_ends_of_the_usable_stroke(union_ft, status, worst_left_ft):
    """Usable 2.80 to 3.20 ft less 0.995 in (0.083 ft) at each end: 2.883 to 3.117 ft."""
    findings = found(job_1(), choice_1(union_m=union_ft * FT))
    assert findings["closure-error:likely"].status == status
    assert findings["closure-error:worst case"].limit / FT == pytest.approx(worst_left_ft)


def test_a_guide_of_another_thread():
    job = with_section(job_2(), "guide", upper_end=End("EU", "box"))
    assert found(job, choice_2())["connections:entry guide to K01"].status == "exceeds"


def test_error_wider_than_the_stroke():
    job = with_section(job_1(), "rules", spread_common_m=2.0 * IN)
    findings = found(job, choice_1())
    assert findings["closure-error:likely"].status == "exceeds"
    wide = with_section(job_1(), "rules", spread_common_m=5.0 * IN)
    assert found(wide, choice_1())["closure-error:worst case"].status == "near limit"


def test_tape_too_warm():
    job = with_section(job_1(), "rules", tape_k=330.0)
    assert found(job, choice_1())["closure-error:tape temperature"].status == "exceeds"


def test_seat_out_of_range_or_fixed_elsewhere():
    assert found(job_1(), choice_1(seat_m=0.6 * FT))["seat"].status == "exceeds"
    assert found(job_1(), choice_1(seat_m=0.5 * FT))["seat"].status == "ok"
    assert "had planned 0.25 ft" in found(job_1(), choice_1(seat_m=0.5 * FT))["seat"].text
    assert "had planned" not in found(job_1(), choice_1())["seat"].text
    fixed = with_section(job_1(), "base", seat_locked_m=0.125 * FT)
    assert found(fixed, choice_1())["seat"].status == "exceeds"
    assert found(fixed, choice_1(seat_m=0.125 * FT))["seat"].status == "ok"
    assert found(job_2(), choice_2(seat_m=0.9))["seat"].status == "exceeds"


# --- working height ------------------------------------------------------------------------


def test_bypass_below_the_plate():
    """A plan that ends with P01: its top 65.43 ft is below the necks of L4 and L5."""
    findings = found(job_1(), choice_1(items=("B05", "P07", "P01"), lifts=None))
    low = findings["bypass-top:L4"]
    assert low.status == "exceeds"
    assert "17.42 ft BELOW the plate" in low.text
    assert low.value / FT == pytest.approx(65.43 - 82.85, abs=0.0051)
    assert findings["working-height:L4"].status == "exceeds"
    assert findings["bypass-top:L3"].status == "ok"


def test_bypass_between_plate_and_window_is_near_the_limit():
    job = with_section(job_1(), "window", low_m=2.4 * FT)
    findings = found(job, choice_1())
    assert findings["bypass-top:L4"].status == "near limit"
    assert findings["working-height:L4"].status == "exceeds"
    assert findings["working-height:L5"].status in ("ok", "near limit")


def test_a_margin_narrows_the_window():
    job = with_section(job_1(), "rules", landing_margin_m=0.4 * FT)
    finding = found(job, choice_1())["working-height:L4"]
    assert finding.status == "exceeds"
    assert finding.limit / FT == pytest.approx(2.4)


def test_a_lift_made_up_out_of_reach():
    """The double in two: P10 would be made up 14.2 ft above the plate at L4."""
    findings = found(job_1(), choice_1(lifts=None))
    finding = findings["lift-reach:P10"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(97.05 - 82.85, abs=0.0051)
    assert findings["lift-reach:P08"].status == "ok"


def test_pre_run_only_to_its_height():
    assert found(job_2(), choice_2())["lift-reach:Q07"].status == "near limit"
    low = with_section(job_2(), "rules", pre_run_height_m=8.0)
    assert found(low, choice_2())["lift-reach:Q07"].status == "exceeds"
    none = job_2().rules.pre_run_height_m.not_applicable("no pre-run on this rig")
    never = with_section(job_2(), "rules", pre_run_height_m=none)
    finding = found(never, choice_2())["lift-reach:Q07"]
    assert finding.status == "exceeds"
    assert "no pre-run on this rig" in finding.text


def test_slings_too_short_for_the_bypass_between_them():
    job = with_section(job_1(), "rig", sling_length_m=5.0 * FT)
    finding = found(job, choice_1())["slings:L3"]
    assert finding.status == "exceeds"
    assert finding.limit / FT == pytest.approx(4.04 + 1.5, abs=0.0051)


# --- connections and torques ---------------------------------------------------------------


def test_a_pup_of_another_thread():
    """The trap of the scenario: an EU pup racked with the SF ones."""
    items = ("B05", "P07", "P01", "P04", "P08", "P23")
    lifts = (("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P23"))
    findings = found(job_1(), choice_1(items=items, lifts=lifts))
    below = findings["connections:P08 to P23"]
    assert below.status == "exceeds"
    assert "P08 has SF box up, P23 has EU pin down" in below.text
    assert "crossover SF to EU" in below.action
    assert findings["connections:P23 to adjustable union"].status == "exceeds"
    assert findings["connections:other connections"].text.startswith("18 connections mate")


def test_a_piece_upside_down():
    job = with_row(job_1(), "rack", "P01", lower_end=End("SF", "box"), upper_end=End("SF", "pin"))
    findings = found(job, choice_1())
    assert findings["connections:P07 to P01"].status == "exceeds"
    assert "turn a piece round" in findings["connections:P01 to P04"].action


def test_an_end_that_nobody_described():
    job = with_row(job_1(), "tail", "nipple", upper_end=None)
    finding = found(job, choice_1())["connections:nipple to T01"]
    assert finding.status == "not checked"
    assert finding.needs == ("upper end of nipple",)


def test_left_hand_threads_are_pointed_out():
    job = with_row(job_1(), "threads", "SF", hand="left")
    finding = found(job, choice_1())["connections:all connections"]
    assert finding.status == "near limit"
    assert "Left-hand thread at base support to B05" in finding.text


def test_torques_out_of_order():
    job = with_row(job_1(), "threads", "SF", torque_opt_nm=3000.0)
    assert found(job, choice_1())["make-up-torque:thread SF"].status == "exceeds"


# --- clamps and union ----------------------------------------------------------------------


def test_a_clamp_on_a_coupling():
    """Shifted up by 2.30 ft C1 has 2.36 - 2.30 = 0.06 ft of pipe above it, 0.10 ft is needed."""
    job = with_row(job_1(), "clamps", "C1", shift_up_m=2.5 * FT, shift_down_m=0.5 * FT)
    finding = found(job, choice_1(clamp_shifts_m={"C1": 2.30 * FT}))["clamp-clash:C1"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.06, abs=0.0051)
    assert "shift the clamp down by 0.04 ft" in finding.action


def test_the_cure_knows_how_far_a_clamp_may_move():
    still = with_row(job_1(), "threads", "SF", coupling_m=2.70 * FT)
    finding = found(still, choice_1())["clamp-clash:C1"]
    assert finding.status == "exceeds"
    assert finding.action == "it may move down only 0.00 ft: change the pieces beside it"
    unknown = with_row(still, "clamps", "C1", shift_down_m=None)
    assert "not known" in found(unknown, choice_1())["clamp-clash:C1"].action


def test_a_clamp_on_the_union_or_beyond_it():
    """The pup's face is 109.20 ft, the union reaches from 106.82 to 109.82 ft."""
    on_union = with_row(job_1(), "clamps", "C5", offset_m=(108.0 - 104.31) * FT)
    finding = found(on_union, choice_1())["clamp-clash:C5"]
    assert finding.status == "exceeds"
    assert "adjustable union" in finding.text
    above = with_row(job_1(), "clamps", "C5", offset_m=7.0 * FT)
    assert "finds no bypass pipe" in found(above, choice_1())["clamp-clash:C5"].text


def test_two_clamps_in_one_place():
    job = with_row(job_1(), "clamps", "C2", offset_m=(30.77 + 0.5 - 42.19) * FT)
    finding = found(job, choice_1())["clamp-clash:C1"]
    assert finding.status == "exceeds"
    assert "C1 and C2 overlap by 0.20 ft" in finding.text


def test_a_clamp_over_a_flange_and_one_shifted_too_far():
    over = with_row(job_1(), "clamps", "C2", offset_m=0.3 * FT)
    finding = found(over, choice_1())["clamp-neck:C2"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.42 - 0.3 - 0.35)
    too_far = found(job_1(), choice_1(clamp_shifts_m={"C2": 0.02}))["clamp-neck:C2"]
    assert too_far.status == "exceeds"
    assert "0.00 ft is allowed" in too_far.text


def test_no_room_for_the_union_beside_a_thick_pup():
    """4.50 in pup: 2.25 + 1.775 = 4.03 in of 4.25. With 5.13 in: 4.34, it does not fit."""
    job = with_row(job_1(), "esp", "pup", max_od_m=5.13 * IN)
    finding = found(job, choice_1())["union-clear:pup"]
    assert finding.status == "exceeds"
    tight = with_row(job_1(), "esp", "pup", max_od_m=4.94 * IN)
    near = found(tight, choice_1())["union-clear:pup"]
    assert near.status == "near limit"
    assert near.value / IN == pytest.approx(4.25 - 2.47 - 1.775)


def test_the_union_too_near_the_discharge_head():
    """A head 0.4 ft longer, the pup as much shorter: 0.77 ft are left of 0.90 ft."""
    job = with_row(job_1(), "esp", "head", length_m=1.32 * FT)
    job = with_row(job, "esp", "pup", length_m=3.15 * FT)
    finding = found(job, choice_1())["union-clear:head"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.77, abs=0.0051)


def test_grip_of_the_twin_clamps():
    """94 kg x 1.3 on one clamp of 9 kN, half of it usable: 27 per cent."""
    finding = found(job_2(), choice_2())["clamp-grip:L1"]
    assert finding.utilisation == pytest.approx(93.8 * 9.80665 * 1.3 / 4500, abs=2e-3)
    weak = with_row(job_2(), "clamps", "C1", grip_load_n=2000.0)
    assert found(weak, choice_2())["clamp-grip:L1"].status == "exceeds"
    sliding = with_row(job_2(), "clamps", "C1", grip="slides on bypass")
    assert found(sliding, choice_2())["clamp-grip:L1"].status == "exceeds"
    unknown = with_row(job_2(), "clamps", "C1", grip="not stated")
    assert found(unknown, choice_2())["clamp-grip:L1"].status == "not checked"
    assert "clamp-grip:L1" not in found(job_1(), choice_1())


# --- holders, counts, lifts ----------------------------------------------------------------


def test_the_wrong_clamp_on_a_neck():
    job = with_row(job_1(), "landings", "L1", holder="LC-P1")
    finding = found(job, choice_1())["holder-fit:L1"]
    assert finding.status == "exceeds"
    assert "It does not fit" in finding.text
    insert = with_row(job_1(), "holders", "LC-M", insert="3.60")
    assert "Insert 3.60 is in it" in found(insert, choice_1())["holder-fit:L1"].text
    high = with_row(job_1(), "holders", "LC-M", height_m=0.9 * FT)
    assert found(high, choice_1())["holder-fit:L1"].status == "exceeds"
    slips = with_row(job_1(), "landings", "L1", holder="SL-27")
    assert found(slips, choice_1())["holder-fit:L1"].status != "ok"


def test_an_undeclared_lifting_clamp_is_the_weakest_that_fits():
    job = with_row(job_1(), "landings", "L3", holder="")
    job = with_row(job, "holders", "LC-P1", rating_n=50_000.0)
    finding = found(job, choice_1())["hanging-load:L3"]
    assert "LC-P1" in finding.text


def test_one_clamp_can_t_stand_and_lift_at_a_time():
    job = with_row(job_1(), "landings", "L3", holder="LC-P1")
    finding = found(job, choice_1())["counts:lifting clamps"]
    assert finding.status == "exceeds"
    assert "LC-P1 stands on the plate at L2 and would lift the section of L3" in finding.text
    two = with_row(job, "holders", "LC-P1", count=2)
    assert found(two, choice_1())["counts:lifting clamps"].status == "ok"


def test_a_section_without_twin_clamp():
    clamps = tuple(c for c in job_1().clamps if c.id != "C3")
    finding = found(job_1().model_copy(update={"clamps": clamps}), choice_1())
    assert finding["counts:twin clamps"].status == "near limit"
    assert "section of L3" in finding["counts:twin clamps"].text


def test_one_lifting_sub_leaves_no_spare():
    job = with_row(job_1(), "holders", "LS-SF", count=1)
    assert found(job, choice_1())["counts:lifting subs"].status == "near limit"


def test_too_many_pieces_in_a_lift_and_too_long_a_one():
    single = with_section(job_1(), "rules", max_lift_pieces=1)
    finding = found(single, choice_1())["lift-size:P08+P10"]
    assert finding.status == "exceeds"
    assert "2 pieces; the rules allow 1" in finding.text
    short = with_section(job_1(), "hoisting", max_overall_m=30.0 * FT)
    assert found(short, choice_1())["lift-size:B05"].status == "exceeds"
    assert found(short, choice_1())["lift-size:guide+gauge+motor"].status == "exceeds"


def test_a_lift_too_heavy_for_its_gear():
    job = with_section(job_1(), "rig", tugger_rating_n=1000.0)
    finding = found(job, choice_1())["lift-mass:base support"]
    assert finding.status == "exceeds"
    assert "tugger is the weakest gear" in finding.text


def test_the_crane_reaches_as_far_as_its_chart():
    finding = found(job_2(), choice_2())["crane-lift:base+gauge+motor"]
    assert finding.status == "ok"
    assert finding.value == pytest.approx(486 * 9.80665 * 1.5)
    points = tuple(
        p.model_copy(update={"rating_n": p.rating_n.of(n)})
        for p, n in zip(job_2().crane, (9000.0, 8000.0, 7000.0), strict=True)
    )
    near = found(job_2().model_copy(update={"crane": points}), choice_2())
    assert near["crane-lift:base+gauge+motor"].status == "near limit"
    assert "out to 20.000 m" in near["crane-lift:base+gauge+motor"].text
    weak = tuple(p.model_copy(update={"rating_n": p.rating_n.of(5000.0)}) for p in points)
    none = found(job_2().model_copy(update={"crane": weak}), choice_2())
    assert none["crane-lift:base+gauge+motor"].status == "exceeds"


# --- pieces and measurements ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "status", "says"),
    [
        ({"status": "rejected", "status_reason": "galled pin"}, "exceeds", "galled pin"),
        ({"drift": "stopped", "status": "spare"}, "exceeds", "stopped the drift"),
        ({"drift": "not done", "drift_reason": "mandrel lost"}, "not checked", "mandrel lost"),
        ({"usable_for": "tail"}, "exceeds", "kept for the tail"),
    ],
)
def test_a_piece_that_may_not_be_run(change, status, says):
    finding = found(with_row(job_1(), "rack", "P04", **change), choice_1())["usable:P04"]
    assert finding.status == status
    assert says in finding.text


def test_a_measured_double_counts_as_one_length():
    """Five bypass lengths instead of six: the likely error is a little smaller."""
    one = found(made_up(), choice_1())["closure-error:worst case"]
    two = found(job_1(), choice_1())["closure-error:worst case"]
    assert (two.value - one.value) / IN == pytest.approx(0.05)
    other = found(made_up(pieces=("P09", "P10")), choice_1())["closure-error:worst case"]
    bare = found(made_up(overall_m=Overall.not_measured()), choice_1())["closure-error:worst case"]
    assert other.value == bare.value == pytest.approx(two.value)


def made_up(**changes):
    """The double of the scenario: 12.07 + 10.01 - 0.24 = 21.84 ft once made up."""
    lift = PremadeLift(
        id="D1", pieces=("P08", "P10"), overall_m=Overall.of(21.84 * FT), drift="passed"
    )
    return job_1().model_copy(update={"lifts": (lift.model_copy(update=changes),)})


def test_a_double_made_up_measured_and_drifted():
    findings = found(made_up(), choice_1())
    assert findings["usable:lift D1"].status == "ok"
    assert findings["measured-twice:lift D1"].status == "ok"
    assert findings["measured-twice:lift D1"].value == pytest.approx(0.0, abs=1e-9)


def test_a_double_that_lost_more_than_the_table_says():
    findings = found(made_up(overall_m=Overall.of(21.80 * FT), drift="stopped"), choice_1())
    assert findings["measured-twice:lift D1"].status == "exceeds"
    assert findings["usable:lift D1"].status == "exceeds"
    assert found(made_up(drift="not done"), choice_1())["usable:lift D1"].status == "not checked"


def test_two_measurements_that_disagree():
    job = with_row(job_1(), "rack", "P01", overall_2_m=20.15 * FT)
    finding = found(job, choice_1())["measured-twice:P01"]
    assert finding.status == "exceeds"
    assert finding.value / FT == pytest.approx(0.09)
    assert "20.060 ft and 20.150 ft" in finding.text


def test_an_esp_piece_longer_than_its_sheet():
    job = with_row(job_1(), "esp", "motor", remeasured_m=27.47 * FT)
    assert found(job, choice_1())["measured-twice:motor"].status == "exceeds"


def test_open_suspicions():
    def suspected(piece):
        one = Suspicion(file="rack.csv", row=9, field="overall", piece=piece, text="looks odd;")
        return found(job_1().model_copy(update={"suspicions": (one,)}), choice_1())

    assert suspected("P04")["suspicions:rack.csv row 9 overall P04"].status == "exceeds"
    assert suspected("P23")["suspicions:rack.csv row 9 overall P23"].status == "near limit"
    assert suspected("")["suspicions:rack.csv row 9 overall"].status == "exceeds"


def test_accessories():
    """A nipple for the profile: exactly one, between its heights."""

    def wanted(low_ft, high_ft, **more):
        need = Accessory(
            id="N1", kind="nipple", window_low_m=low_ft * FT, window_high_m=high_ft * FT
        )
        job = with_row(job_1(), "rack", "P01", kind="nipple", profile_m=1.0 * FT, **more)
        return found(job.model_copy(update={"accessories": (need,)}), choice_1())["accessory:N1"]

    # P01 stands from 45.61 ft: profile at 46.61, less 1.15 ft in the ESP's frame.
    assert wanted(45.0, 46.0).status == "ok"
    assert wanted(46.0, 47.0).status == "exceeds"
    none = Accessory(id="N2", kind="swivel", window_low_m=0.0, window_high_m=1.0)
    job = job_1().model_copy(update={"accessories": (none,)})
    assert "0 swivels in the bypass" in found(job, choice_1())["accessory:N2"].text


def test_free_pipe_for_a_holder_of_the_bypass():
    """At L1 the box is 3.06 ft above the plate; free pipe ends 0.35 ft below it."""

    def gripping(low_ft, high_ft):
        job = with_row(job_1(), "landings", "L1", grip_low_m=low_ft * FT, grip_high_m=high_ft * FT)
        return found(job, choice_1())["holding-grip:L1"]

    # L1 is 30.77 ft up, B05 free to 33.83 - 0.35 = 33.48 ft: 2.71 ft above the plate.
    low = gripping(-1.0, 1.0)
    assert low.status == "ok"
    assert low.value / FT == pytest.approx(2.71 - 1.0, abs=0.0051)
    assert gripping(-29.0, 1.0).status == "exceeds"
    assert gripping(2.0, 2.6).status == "ok"
    assert gripping(2.0, 3.0).status == "exceeds"
    held = job_1().model_copy(update={"load_path": "both-held"})
    assert found(held, choice_1())["holding-grip:L1"].status == "not checked"
    assert "holding-grip:L1" not in found(job_1(), choice_1())


# --- ports ---------------------------------------------------------------------------------


def test_a_port_is_reached_one_landing_before_its_own():
    """Protector fill, 0.50 ft up from its face at 31.25 ft: 0.98 ft above the plate at L1."""
    finding = found(job_1(), choice_1())["port-reach:protector fill"]
    assert finding.value / FT == pytest.approx(31.75 - 30.77, abs=0.0051)
    assert finding.limit / FT == pytest.approx(5.5)
    assert found(job_1(), choice_1())["port-reach:pothead"].limit == 0.0


def test_a_port_too_high_above_the_plate():
    job = with_row(job_1(), "ports", "protector vent", height_m=8.0 * FT)
    finding = found(job, choice_1())["port-reach:protector vent"]
    assert finding.status == "near limit"
    low = with_section(job_1(), "window", high_m=0.5 * FT, low_m=0.1 * FT)
    assert found(low, choice_1())["port-reach:protector fill"].status == "near limit"


# --- a string that is part run -------------------------------------------------------------


def test_checks_of_a_string_that_is_part_run():
    """After L3 nothing of what is still to come is called ok."""
    run = AsRun(bypass=frozenset({BASE_ID, "B05", "P07", "P01"}), esp=frozenset({"motor"}))
    choice = choice_1(items=("B05", "P07", "P01"), lifts=(("B05",), ("P07",), ("P01",)))
    findings = found(job_1(), choice, run)
    for name in (
        "closure",
        "union-stroke:ends",
        "working-height:L4",
        "clamp-clash:C4",
        "union-clear",
        "hanging-load:L4",
        "hanging-load:closed frame",
    ):
        assert findings[name].status == "not checked", name
    assert findings["working-height:L3"].status == "ok"
    assert findings["hanging-load:L3"].status == "ok"
    assert findings["clamp-clash:C3"].status == "ok"


def test_checks_of_a_whole_string_before_its_union_is_set():
    findings = found(job_1(), choice_1(), AsRun())
    assert findings["closure"].needs == ("the union as set",)
    assert findings["closure-error:likely"].status == "ok"
    assert findings["union-stroke:usable part"].status == "not checked"


def test_checks_of_a_string_as_run():
    """B05 made up 0.03 ft shorter and the union set as planned: the closure is off by that."""
    run = AsRun(bypass_m={"B05": 30.70 * FT}, union_m=3.00 * FT)
    finding = found(job_1(), choice_1(), run)["closure"]
    assert finding.value / FT == pytest.approx(0.03)
    assert finding.status == "ok"  # faces may differ by 0.05 ft on the rig
    far = AsRun(bypass_m={"B05": 30.65 * FT}, union_m=3.00 * FT)
    assert found(job_1(), choice_1(), far)["closure"].status == "exceeds"


def test_what_is_in_the_well_is_not_judged_again():
    """The double is made up and run: that its inner box was out of reach is no longer asked."""
    run = with_section(
        job_1(), "in_well", pieces=("B05", "P07", "P01", "P04", "P08", "P10"), landings_passed=5
    )
    findings = found(run, choice_1(lifts=()))
    assert "lift-reach:P10" not in findings
    assert findings["lift-reach:adjustable union"].status == "ok"
    assert [findings[f"working-height:L{n}"].status for n in range(1, 6)] == ["ok"] * 5


def test_plans_of_the_search_pass_their_checks():
    """The search and the checks share no code: what one proves the other must not refuse."""
    for job in (job_1(), job_2()):
        choice = choose(job).choice
        assert choice is not None
        findings = found(job, choice)
        assert [f.id for f in findings.values() if f.status == "exceeds"] == []
        assert findings["closure"].value == pytest.approx(0.0, abs=1e-6)


def test_landings_by_another_window():
    landing = job_1().landings[0]
    own = Landing.model_validate(
        landing.model_dump() | {"window_low_m": 3.2 * FT, "window_high_m": 5.5 * FT}
    )
    job = job_1().model_copy(update={"landings": (own, *job_1().landings[1:])})
    assert found(job, choice_1())["working-height:L1"].status == "exceeds"
