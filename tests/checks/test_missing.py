"""A missing input makes 'not checked' and names it; it never makes a pass, and never an error."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pydantic import BaseModel
from tests.actions.wells import NO_WELL
from tests.checks.twins import (
    amend,
    choice_1,
    choice_2,
    found,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.errors import MissingInputError
from abreast.model import Job, Quantity

TWINS = {"job 1": (job_1, choice_1), "job 2": (job_2, choice_2)}


def blanked(job: Job) -> Iterator[tuple[str, Job]]:
    """The job once for each of its given quantities, that one gone; the first row of a table."""
    for section in type(job).model_fields:
        part = getattr(job, section)
        rows = part if isinstance(part, tuple) else (part,)
        row = next((r for r in rows if isinstance(r, BaseModel)), None)
        for name in type(row).model_fields if row is not None else ():
            old = getattr(row, name)
            if not (isinstance(old, Quantity) and old.is_given):
                continue
            gone = amend(row, **{name: None})
            now = (gone, *rows[1:]) if isinstance(part, tuple) else gone
            yield f"{section}.{name}", job.model_copy(update={section: now})


def passed(findings) -> set[str]:
    return {name for name, finding in findings.items() if finding.status == "ok"}


@pytest.mark.parametrize("twin", TWINS)
def test_taking_an_input_away_never_makes_a_pass(twin):
    """Every quantity of the job in turn: what was ok stays so or is not checked, nothing more."""
    make_job, make_choice = TWINS[twin]
    job, choice = make_job(), make_choice()
    before, tried, unanswered = found(job, choice, well=NO_WELL), 0, 0
    for name, spoiled in blanked(job):
        tried += 1
        try:
            after = found(spoiled, choice, well=NO_WELL)
        except MissingInputError:  # no assembly at all without this length
            continue
        assert passed(after) <= passed(before), name
        for lost in passed(before) & after.keys() - passed(after):
            assert after[lost].status == "not checked", (name, lost)
            assert after[lost].needs, (name, lost)
            unanswered += 1
    assert tried > 150
    assert unanswered > 50


def test_every_finding_not_checked_says_what_it_needs_and_what_to_do():
    job = with_section(job_1(), "rig", daf_derrick_ratio=None)
    open_ones = [f for f in found(job, choice_1()).values() if f.status == "not checked"]
    assert len(open_ones) > 15
    for finding in open_ones:
        assert finding.needs
        assert "Not checked: needs " in finding.text
        assert all(need in finding.text for need in finding.needs)
        assert finding.action
        assert finding.utilisation is None


@pytest.mark.parametrize(
    ("section", "field", "finding", "needs"),
    [
        ("rules", "tape_k", "closure-error:tape temperature", "tape of the rules"),
        ("rules", "spread_common_m", "closure-error:likely", "spread common of the rules"),
        ("rules", "stroke_reserve_ratio", "union-stroke:ends", "stroke reserve of the rules"),
        ("rules", "measure_agreement_m", "measured-twice", "measure agreement of the rules"),
        ("rig", "daf_derrick_ratio", "hanging-load:L1", "daf derrick of rig"),
        ("rig", "false_rotary_rating_n", "hanging-load:L2", "rating of false rotary"),
        ("rig", "sling_length_m", "slings:L3", "sling length of rig"),
        ("rig", "tugger_rating_n", "lift-mass:base support", "rating of tugger"),
        ("hoisting", "max_overall_m", "lift-size:B05", "max overall of the hoisting"),
        ("setting", "axis_spacing_m", "union-clear", "axis spacing of the setting"),
        ("union", "max_od_m", "union-clear", "max od of adjustable union"),
        ("union", "torque_nm", "make-up-torque:Y-tool and union", "torque of adjustable union"),
        ("ytool", "rating_n", "hanging-load:closed frame", "rating of Y-tool"),
    ],
)
def test_a_section_s_missing_field_is_named(section, field, finding, needs):
    answer = found(with_section(job_1(), section, **{field: None}), choice_1())[finding]
    assert answer.status == "not checked"
    assert needs in answer.text


@pytest.mark.parametrize(
    ("table", "row", "field", "finding", "needs"),
    [
        ("threads", "SF", "torque_opt_nm", "make-up-torque:thread SF", "torque opt of thread SF"),
        ("threads", "SF", "upset_m", "clamp-clash:C2", "upset of thread SF"),
        ("clamps", "C3", "length_m", "clamp-clash:C3", "length of twin clamp C3"),
        ("clamps", "C4", "mass_kg", "hanging-load:L5", "mass of twin clamp C4"),
        ("clamps", "C1", "bolt_torque_nm", "make-up-torque:twin clamp bolts", "twin clamp C1"),
        ("esp", "motor", "neck_od_m", "holder-fit:L1", "neck od of ESP piece motor"),
        ("esp", "motor", "neck_length_m", "holder-fit:L1", "neck length of ESP piece motor"),
        ("esp", "gauge", "mass_kg", "hanging-load:L1", "mass of gauge"),
        ("esp", "protector", "upper_joint_torque_nm", "make-up-torque:ESP joints", "protector"),
        ("esp", "head", "max_od_m", "union-clear", "max od of ESP piece head"),
        ("holders", "LC-M", "rating_n", "hanging-load:L1", "rating of LC-M"),
        ("holders", "LC-M", "neck_od_max_m", "holder-fit:L1", "neck od max of holder LC-M"),
        ("ports", "pothead", "height_m", "port-reach:pothead", "height of port pothead"),
        ("rack", "P01", "overall_2_m", "measured-twice:measured once", "P01"),
    ],
)
def test_a_row_s_missing_field_is_named(table, row, field, finding, needs):
    answer = found(with_row(job_1(), table, row, **{field: None}), choice_1())[finding]
    assert answer.status == "not checked"
    assert needs in answer.text


@pytest.mark.parametrize(
    ("table", "finding", "needs"),
    [
        ("landings", "working-height", "the table of landings"),
        ("landings", "bypass-top", "landings that the bypass reaches"),
        ("landings", "weakest-link", "landings that the bypass reaches"),
        ("landings", "counts:twin clamps", "landings that the bypass reaches"),
        ("clamps", "clamp-clash", "the table of twin clamps"),
        ("ports", "port-reach", "the table of ports"),
        ("holders", "lift-mass:B05", "an elevator or lifting sub"),
        ("holders", "counts:lifting subs", "the lifting subs of the bypass"),
    ],
)
def test_an_empty_table_is_no_pass(table, finding, needs):
    answer = found(job_1().model_copy(update={table: ()}), choice_1())[finding]
    assert answer.status == "not checked"
    assert needs in answer.text


def test_what_a_known_rating_can_t_carry_exceeds_even_if_another_is_missing():
    job = with_row(job_1(), "holders", "LC-M", rating_n=1000.0)
    job = with_section(job, "rig", false_rotary_rating_n=None)
    assert found(job, choice_1())["hanging-load:L1"].status == "exceeds"


def test_what_a_known_limit_refuses_exceeds_even_if_another_is_missing():
    job = with_section(job_1(), "hoisting", max_overall_m=None)
    job = with_section(job, "rig", catwalk_length_m=6.0)
    answers = found(job, choice_1())
    assert answers["lift-size:B05"].status == "exceeds"
    assert answers["lift-size:P07"].status == "not checked"
