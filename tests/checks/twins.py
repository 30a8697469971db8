"""The two invented jobs with the closure of their own tables, and ways to spoil one value."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from tests.actions.wells import NO_WELL

from abreast.checks import run_checks
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.down_hole import DownHole
from abreast.model import Choice, Finding, Job, Quantity
from abreast.spaceout.assemble import AsRun, assemble

FT, IN, LB, LBF = 0.3048, 0.0254, 0.45359237, 4.4482216152605
ZERO_1 = 1.15 * FT  # job 1 counts heights from the base lower shoulder: seat plane 0.90 + 0.25 ft


@cache
def job_1() -> Job:
    return read_job(example_path("quernstone_14")).job


@cache
def job_2() -> Job:
    return read_job(example_path("skerrow_a09")).job


def choice_1(**changes: Any) -> Choice:
    choice = Choice(
        items=("B05", "P07", "P01", "P04", "P08", "P10"),
        seat_m=0.25 * FT,
        union_m=3.00 * FT,
        lifts=(("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10")),
        bucket=0,
        pups=5,
        deviation_m=0.0,
    )
    return choice.model_copy(update=changes)


def choice_2(**changes: Any) -> Choice:
    choice = Choice(
        items=("K01", "Q07", "Q10", "Q02", "Q04"),
        seat_m=1.65,
        union_m=0.857,
        lifts=(("K01",), ("Q07",), ("Q10",), ("Q02",), ("Q04",)),
        bucket=0,
        pups=4,
        deviation_m=0.003,
    )
    return choice.model_copy(update=changes)


def found(
    job: Job, choice: Choice, run: AsRun | None = None, well: DownHole | None = None
) -> dict[str, Finding]:
    """All findings by their id; without a well what is in it is left out, it takes seconds."""
    findings = run_checks(job, assemble(job, choice, run), choice, well or NO_WELL)
    for finding in findings:
        # What is kept asks for nothing; what is broken or open always says what to do.
        assert not (finding.status == "ok" and finding.action), finding
        assert finding.action or finding.status in ("ok", "near limit"), finding
    return {finding.id: finding for finding in findings}


def _as_field(old: Any, value: Any) -> Any:
    """A number or None as the quantity that the field held before, under the same label."""
    if not isinstance(old, Quantity) or isinstance(value, Quantity):
        return value
    if value is None:
        return type(old).not_measured().labelled(old.label)
    return replace(old, given=float(value), state="given", reason="", typed="")


def amend(part: Any, **fields: Any) -> Any:
    """A part with some fields changed; numbers in SI, None for 'not measured'."""
    now = {name: _as_field(getattr(part, name), value) for name, value in fields.items()}
    return part.model_copy(update=now)


def with_row(job: Job, table: str, row_id: str, **fields: Any) -> Job:
    """The job with one row of a table changed."""
    rows = getattr(job, table)
    assert any(row.id == row_id for row in rows), f"{table} has no {row_id}"
    changed = tuple(amend(row, **fields) if row.id == row_id else row for row in rows)
    return job.model_copy(update={table: changed})


def with_section(job: Job, section: str, **fields: Any) -> Job:
    """The job with some fields of a section changed."""
    return job.model_copy(update={section: amend(getattr(job, section), **fields)})
