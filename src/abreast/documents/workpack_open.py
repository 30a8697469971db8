"""What was not checked, one line for each input that is missing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from abreast.checks import gravity
from abreast.documents.attention import by_check
from abreast.documents.workpack_words import Data
from abreast.jobfile.layout import columns_of, sections, tables
from abreast.model import Finding, Job, Part, Quantity

__all__ = ["open_inputs", "places_of_inputs"]

_TABLE = re.compile(r"\btable of (?:the )?(?:twin )?(\w+)")


def open_inputs(job: Job, findings: Sequence[Finding]) -> list[Data]:
    """Each missing input with the questions it leaves open: what may drop, flow or stick first.

    Parameters
    ----------
    job : Job
        The job, to tell where each input stands.
    findings : sequence of Finding
        All findings; a question that lacks several inputs stands with each of them. The order
        is that of :func:`abreast.checks.gravity`, then of how many wait.

    Returns
    -------
    list of dict
        ``input``, the missing input as a check names it; ``place``, file and key
        where it is filled in, blank when that cannot be told; ``count``; and
        ``blocks``, pairs of a question and the places where it is open.
    """
    known = places_of_inputs(job)
    waiting: dict[str, list[Finding]] = {}
    for one in findings:
        if one.status == "not checked":
            for need in one.needs or (one.text,):
                waiting.setdefault(need, []).append(one)
    ranked = sorted(waiting.items(), key=lambda one: (min(map(gravity, one[1])), -len(one[1])))
    return [_line(known, need, held) for need, held in ranked]


def _line(known: dict[str, str], need: str, held: Sequence[Finding]) -> Data:
    blocks = [
        (group[0].question, ", ".join(one.where or "whole job" for one in group))
        for group in by_check(held)
    ]
    return {"input": need, "place": _place(known, need), "count": len(held), "blocks": blocks}


def _place(known: dict[str, str], need: str) -> str:
    """Where it is filled in; the reason that follows a name in brackets is no part of it."""
    for words in (need, need.partition(" (not ")[0]):
        if words in known:
            return known[words]
    found = _TABLE.search(need)
    files = {table.name: table.file for table in tables()}
    return files.get(found[1].lower(), "") if found else ""


def places_of_inputs(job: Job) -> dict[str, str]:
    """Label of every quantity of the job → file and key, or file, row and column."""
    found: dict[str, str] = {}
    for section in sections():
        part = getattr(job, section.field)
        if part is not None:
            for label, name in _labels(part):
                found.setdefault(label, f"[{section.name}] {name} in job.toml")
    for table in tables():
        for number, row in enumerate(getattr(job, table.field), 1):
            at = getattr(row, "id", "") or f"piece {number}"
            for label, name in _labels(row):
                found.setdefault(label, f"{table.file}, {at}: {name}")
    return found


def _labels(part: Part) -> Iterator[tuple[str, str]]:
    for column in columns_of(type(part)):
        value = getattr(part, column.field)
        if isinstance(value, Quantity):
            yield value.label, column.name
