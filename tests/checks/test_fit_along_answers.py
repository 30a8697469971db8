"""What lies close together: kept, at its limit, not known, too wide, and unanswerable."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.checks.passing_runs import answers, filled, lost, place
from tests.checks.test_fit_answers import variant
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

from abreast.mechanics.running_in import NarrowTrial

CASING_1, LINER_2 = "9-5/8 in 47 lb/ft L80", "7 in 29 lb/ft L80 tie-back and liner"
BASE_AND_MOTOR, BASE_AND_TAIL = 8.660 * IN, 8.564 * IN


def found_1(job=None, **changes):
    return found(job or job_1(), choice_1(**changes))


def cased(job=None, **casing):
    """The first job with its casing changed, and a stage collar that asks for nothing."""
    job = job or job_1()
    rows = [amend(one, **casing) if one.name == CASING_1 else one for one in job.casing]
    return job.model_copy(update={"casing": tuple(rows), "openings": ()})


def test_job_1_passes_by_sections_and_is_not_known_to_pass_together():
    findings = found_1()
    assert findings[f"drift:{CASING_1}"].status == "ok"
    finding = findings[f"fit-along:{CASING_1}"]
    assert finding.status == "not checked"
    assert "base support + motor, 5.160 in apart at 2.25 ft above the ESP's" in finding.text
    assert "need 8.660 in: 0.135 in OVER the drift of 8.525 in, 0.021 in under" in finding.text
    assert "P25 connection + base support, where they meet at 1.15 ft below" in finding.text
    assert "need 8.564 in. Widest by itself 8.450 in." in finding.text
    (need,) = finding.needs
    assert need.startswith("a special drift of 8.660 in proved in 9-5/8")  # no margin: 8.69 > bore
    assert "drift mandrel of 12.000 in, API Spec 5CT" in finding.basis
    assert finding.value == pytest.approx(BASE_AND_MOTOR)
    assert finding.limit == pytest.approx(8.525 * IN)
    assert any("do not lean" in text for text in finding.assumptions)


def test_wider_than_a_narrow_place_but_apart_only_a_dummy_tells():
    """8.66 in in a collar of 8.60 in: 0.43 ft apart a string may bend as much, straight not."""
    finding = found_1()["fit-along:stage collar"]
    assert finding.status == "not checked"
    assert finding.needs == (
        "a dummy of equal stiffness and length run through stage collar,"
        " since straight these parts are wider than its bore",
    )


def test_job_2_and_its_larger_motor():
    findings = found(job_2(), choice_2())
    for name in (LINER_2, "tie-back polished bore", "false rotary"):
        finding = findings[f"fit-along:{name}"]
        assert finding.status == findings[f"drift:{name}"].status == "ok"
        assert "Close together nothing needs more than the widest by itself" in finding.text
    assert "drift mandrel of 152.4 mm" in findings[f"fit-along:{LINER_2}"].basis
    findings = found(variant(), choice_2())
    for name in (LINER_2, "tie-back polished bore"):
        finding = findings[f"fit-along:{name}"]
        assert finding.status == findings[f"drift:{name}"].status == "exceeds"
        assert "too wide by itself: see the question of the drift" in finding.action


@pytest.mark.parametrize(
    ("special_in", "status"),
    [(8.6599, "not checked"), (8.6601, "near limit"), (8.6899, "near limit"), (8.6901, "ok")],
)
def test_a_proved_special_drift_is_the_limit(special_in, status):
    """8.66 in, and 8.69 in with the margin of 0.03 in."""
    job = cased(bore_m=8.75 * IN, special_drift_m=special_in * IN)
    finding = found_1(job)[f"fit-along:{CASING_1}"]
    assert finding.status == status
    assert "under the special drift of" in finding.text or "OVER the special" in finding.text
    if status == "not checked":
        assert "a special drift of 8.690 in" in finding.needs[0]


@pytest.mark.parametrize(("bore_in", "status"), [(8.565, "not checked"), (8.563, "exceeds")])
def test_what_meets_needs_its_circle(bore_in, status):
    """8.564 in where base support and tail meet: no lean and no bending helps there."""
    finding = found_1(cased(bore_m=bore_in * IN))[f"fit-along:{CASING_1}"]
    assert finding.status == status
    assert ("it does not pass: what meets needs more than 8.564 in" in finding.action) == (
        status == "exceeds"
    )


def test_what_meets_in_an_opening_of_the_rig():
    """8.50 in lets every section pass, and not the base support with the tail at its foot."""
    findings = found_1(with_section(job_1(), "rig", false_rotary_opening_m=8.50 * IN))
    assert findings["drift:false rotary"].status == "ok"
    finding = findings["fit-along:false rotary"]
    assert finding.status == "exceeds"
    assert "0.064 in OVER the opening of 8.500 in" in finding.text


def test_in_a_smaller_class_of_casing_the_straight_length_is_shorter():
    """With a base 0.1 ft shorter the motor is 6.36 in above it: within 12 in and not within 6."""
    short = with_section(job_1(), "base", length_m=3.30 * FT)
    wide = {
        od_in: found_1(cased(short, od_m=od_in * IN))[f"fit-along:{CASING_1}"].value
        for od_in in (8.625, 9.625)
    }
    assert wide[9.625] == pytest.approx(BASE_AND_MOTOR)
    assert wide[8.625] == pytest.approx(BASE_AND_TAIL)


# --- never a pass --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "needs"),
    [
        ({"drift_m": None}, "drift of casing 9-5/8 in 47 lb/ft L80"),
        ({"shoe_md_m": None}, "shoe md of casing 9-5/8 in 47 lb/ft L80"),
    ],
)
def test_a_casing_with_something_missing_is_not_checked(fields, needs):
    finding = found_1(cased(**fields))[f"fit-along:{CASING_1}"]
    assert finding.status == "not checked"
    assert needs in finding.needs


def test_a_missing_size_leaves_it_open_but_not_what_is_too_wide():
    job = with_row(job_1(), "esp", "pump-1", max_od_m=None)
    roomy = found_1(cased(job, bore_m=9.0 * IN, drift_m=8.9 * IN))[f"fit-along:{CASING_1}"]
    assert roomy.status == "not checked"
    assert roomy.needs == ("max od of ESP piece pump-1",)
    open_ = found_1(cased(job))[f"fit-along:{CASING_1}"]
    assert "max od of ESP piece pump-1" in open_.needs
    assert "special drift" in open_.needs[0]
    assert found_1(cased(job, bore_m=8.56 * IN))[f"fit-along:{CASING_1}"].status == "exceeds"


def test_no_casing_no_bore_and_no_depth_are_no_pass():
    findings = found_1(job_1().model_copy(update={"casing": ()}))
    assert findings["fit-along:casing"].needs == ("the table of casing",)
    findings = found_1(with_section(job_1(), "setting", ytool_top_md_m=None))
    assert findings[f"fit-along:{CASING_1}"].status == "not checked"
    assert findings["fit-along:false rotary"].status == "ok"
    findings = found_1(cased(shoe_md_m=5700 * FT))
    bare = next(f for name, f in findings.items() if name.startswith("fit-along:5,700.00 ft to"))
    assert bare.status == "not checked"


def test_corners_taken_as_sharp_may_pass_but_not_fail():
    """A cable so thick that it decides: with no radius stated nobody can say it is too wide."""
    thick = with_section(job_1(), "mle", thickness_m=1.4 * IN)
    sharp = with_section(thick, "mle", corner_radius_m=None)
    assert found_1(cased(thick))[f"fit-along:{CASING_1}"].status == "exceeds"
    finding = found_1(cased(sharp))[f"fit-along:{CASING_1}"]
    assert finding.status == "not checked"
    assert finding.needs == ("corner radius of MLE motor lead extension",)


def test_a_casing_behind_another_is_not_asked():
    assert "fit-along:13-3/8 in 68 lb/ft" not in found_1()


# --- one story with the contact model ------------------------------------------------------


def test_the_trials_of_narrow_casing_name_it_where_a_part_does_not_fit():
    run = filled(1)
    fine = (place(run, 1000.0),)
    wide = (lost(run, 1000.0, 0.0, "does not fit", "base support"),)
    trials = (NarrowTrial(0.0, wide), NarrowTrial(0.5, fine))
    text = answers(replace(run, narrow=trials), 1)["passage-narrow:worst depths"].text
    assert "does not fit (base support)" in text
    assert "see fit-along" in text
    trials = (NarrowTrial(0.0, fine), NarrowTrial(0.5, fine))
    text = answers(replace(run, narrow=trials), 1)["passage-narrow:worst depths"].text
    assert "fit-along" not in text


def test_sections_say_that_they_are_judged_one_by_one():
    findings = found_1()
    for name in (f"drift:{CASING_1}", "envelope:base support"):
        assert any("fit-along" in text for text in findings[name].assumptions), name
