"""The hook load as a finding: kept, broken, and not checked for want of an input."""

from __future__ import annotations

from functools import cache

import pytest
from tests.checks.twins import LBF, choice_1, choice_2, job_1, job_2
from tests.mechanics.test_run_string import of

from abreast.checks.base import Context, answer
from abreast.checks.hook_load import HOOK_LOAD, judge_hook
from abreast.mechanics.down_hole import DownHole, Missing
from abreast.mechanics.hook_forecast import forecast_run
from abreast.model import Job, Quantity
from abreast.spaceout.assemble import assemble

NO = Quantity.not_measured()
MISSING = Missing("nothing: not part of this test")


def context_of(job: Job, choice) -> Context:
    assembly = assemble(job, choice)
    hook = forecast_run(job, assembly)
    return Context(job, assembly, choice, DownHole(MISSING, hook, MISSING, MISSING))


def found(context):
    return {one.where: one for one in answer(HOOK_LOAD, context)}


@cache
def asked(name):
    return context_of(*((job_1(), choice_1()) if name == "1" else (job_2(), choice_2())))


def test_both_jobs_keep_their_limits():
    for name in "12":
        findings = found(asked(name))
        assert {one.status for one in findings.values()} == {"ok"}
        assert set(findings) == {"slacking off", "compression", "picking up"}
        for one in findings.values():
            assert one.basis
            assert "friction factor 0.25 (invented)" in one.assumptions


def test_job_1_in_the_units_of_the_job():
    """Hanging about 79.7 klbf and block and bails of 9.5 klb; 120 klbf may be pulled."""
    finding = found(asked("1"))["picking up"]
    assert "pull allowed on this job" in finding.text
    assert "of 120,000 lbf" in finding.text
    assert "with block and bails" in finding.text
    assert finding.limit / LBF == pytest.approx(120_000)
    assert 84_000 < finding.value / LBF < 88_000
    assert finding.utilisation == pytest.approx(finding.value / finding.limit)
    assert "Y-tool top at 5600 ft" in finding.text


def test_job_2_says_where_least_is_left():
    finding = found(asked("2"))["slacking off"]
    assert "kN" in finding.text
    assert "landing string" in finding.text
    assert "Y-tool top at 2150.0 m" in finding.text
    assert "226 depths" in finding.text
    assert finding.utilisation == pytest.approx(finding.value / finding.limit)
    assert f"{1 - finding.utilisation:.0%} of its weight" in finding.text


def test_friction_that_holds_the_string_is_found_where_it_begins():
    """1.5 kN for each clamp: more than the weight of a joint along a slope of 48 degrees."""
    job = of(job_2(), "friction", cased_ratio=Quantity.of(0.5), clamp_drag_n=Quantity.of(1500.0))
    findings = found(context_of(job, choice_2()))
    down = findings["slacking off"]
    assert down.status == "exceeds"
    assert "does not go down by its own weight" in down.text
    assert down.value >= down.limit
    assert down.action
    rows = forecast_run(job, assemble(job, choice_2())).rows
    first = next(row for row in rows if row.down_n <= 0)
    assert f"(no. {first.number})" in down.text
    assert f"at {sum(row.down_n <= 0 for row in rows)} of" in down.text


def test_compression_asks_for_a_limit_of_buckling():
    job = of(job_2(), "friction", cased_ratio=Quantity.of(1.0))
    pushed = found(context_of(job, choice_2()))["compression"]
    assert pushed.status == "not checked"
    assert "compressed at" in pushed.text
    assert pushed.needs == ("a limit of buckling for the string",)


def test_a_pull_that_is_not_allowed():
    job = of(job_1(), "hoisting", max_pull_n=Quantity.of(80_000 * LBF))
    up = found(context_of(job, choice_1()))["picking up"]
    assert up.status == "exceeds"
    assert up.action


def test_a_missing_rating_is_never_a_pass():
    job = of(job_1(), "hoisting", max_pull_n=NO)
    up = found(context_of(job, choice_1()))["picking up"]
    assert up.status == "not checked"
    assert "Of the limits known, block" in up.text
    assert any("max pull" in one for one in up.needs)
    weak = of(job, "rig", rotary_rating_n=Quantity.of(70_000 * LBF))
    assert found(context_of(weak, choice_1()))["picking up"].status == "exceeds"


def test_what_was_not_worked_out_is_not_checked():
    context = asked("1")
    lost = Context(context.job, context.assembly, context.choice)
    for finding in answer(HOOK_LOAD, lost):
        assert finding.status == "not checked"
        assert "worked out in its well" in finding.text


def test_the_forecast_can_be_judged_by_itself():
    context = asked("1")
    verdict = judge_hook(context, context.hook(), "slacking off")
    assert verdict.status == "ok"
    assert verdict.limit == context.hook().least_down.still_n
