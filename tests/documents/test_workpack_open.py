"""Missing inputs, each once with what waits for it, and what counts as tight."""

from __future__ import annotations

from typing import Any

from tests.drawing.strings import CHOICE_1, planned_1
from tests.model.jobs import job_1, job_2

from abreast.checks import run_checks, tightest_first
from abreast.documents import attention, by_check
from abreast.documents.workpack_answers import findings
from abreast.documents.workpack_open import open_inputs, places_of_inputs
from abreast.errors import MissingInputError
from abreast.model import Finding, Plan


def found(check: str, where: str, status: Any, used: float | None = None, **more: Any) -> Finding:
    return Finding(
        id=f"{check}:{where}",
        question=f"{check}?",
        status=status,
        text=f"{check} at {where}.",
        utilisation=used,
        where=where,
        **more,
    )


def test_an_input_stands_once_with_all_that_waits_for_it() -> None:
    needs = ("the table of holders", "mass of X")
    rows = [found("lift", f"L{n}", "not checked", needs=needs) for n in (1, 2, 3)]
    rows.append(found("slip", "P01", "not checked", needs=needs[1:]))
    rows.append(found("slip", "P02", "ok", 0.5))
    lines = open_inputs(job_1(), rows)
    assert [(one["input"], one["count"]) for one in lines] == [(needs[1], 4), (needs[0], 3)]
    assert lines[0]["blocks"] == [("lift?", "L1, L2, L3"), ("slip?", "P01")]
    assert lines[1]["place"] == "holders.csv"


def test_every_open_question_waits_for_something() -> None:
    job, assembly = planned_1()
    all_found = run_checks(job, assembly, CHOICE_1)
    lines = open_inputs(job, all_found)
    missing = [one for one in all_found if one.status == "not checked"]
    assert missing
    for one in missing:
        waits = [line for line in lines if line["input"] in one.needs]
        assert len(waits) == len(set(one.needs))
        assert all(one.question in dict(line["blocks"]) for line in waits)
    inputs = [line["input"] for line in lines]
    assert len(inputs) == len(set(inputs))


def test_a_missing_value_is_named_as_it_stands_in_the_files() -> None:
    job = job_1()
    known = places_of_inputs(job)
    for value, place in (
        (job.rig.daf_derrick_ratio, "[rig] daf_derrick in job.toml"),
        (job.rules.tape_k, "[rules] tape in job.toml"),
        (job.clamps[1].bolt_torque_nm, "clamps.csv, C2: bolt_torque"),
    ):
        assert known[value.label] == place
        try:
            value.si  # noqa: B018
        except MissingInputError as fault:
            (line,) = open_inputs(job, [found("c", "w", "not checked", needs=(fault.needs,))])
            assert line["place"] == place
        else:
            raise AssertionError(place)


def test_the_reason_why_a_value_is_missing_is_no_part_of_its_name() -> None:
    job = job_2()
    label = job.rig.daf_derrick_ratio.label
    need = f"{label} (not measured: crane not chosen)"
    (line,) = open_inputs(job, [found("c", "w", "not checked", needs=(need,))])
    assert line["place"] == "[rig] daf_derrick in job.toml"


def test_standing_facts_come_after_limits_and_are_folded_by_check() -> None:
    rows = tightest_first(
        [
            found("port", "pothead", "near limit"),
            found("port", "vent", "near limit"),
            found("sling", "L4", "near limit", 0.94),
            found("drift", "B04", "exceeds"),
            found("load", "L5", "ok", 0.63),
        ]
    )
    limits, facts = attention(rows)
    assert [one.where for one in limits] == ["B04", "L4"]
    assert [[one.where for one in group] for group in by_check(facts)] == [["pothead", "vent"]]
    plan = Plan(job_name="j", fingerprint="f", status="optimal", findings=rows)
    page = findings(job_1(), plan)
    assert [row["where"] for row in page["tightest"]] == ["B04", "L4", "L5"]
    assert [row["where"] for row in page["facts"]] == ["pothead", "vent"]
