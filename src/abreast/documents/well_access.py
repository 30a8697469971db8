"""Rows of the access sheet: what a tool meets from the hanger to the tail, and below it."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.documents.well_words import Numbers
from abreast.documents.workpack_words import Data
from abreast.mechanics.access import Met
from abreast.mechanics.access_words import mark_words, valve_words, way_facts
from abreast.mechanics.bypass_tools import ToolPassages
from abreast.model import Job
from abreast.units import Dimension, show

__all__ = ["access_data"]


def access_data(job: Job, tools: ToolPassages) -> Data:
    """The tables of what is met, with steepest and sharpest place, as plain data.

    Parameters
    ----------
    job : Job
        Units and the S-bend.
    tools : ToolPassages
        What was worked out; without a way the tables are empty.
    """
    found = tools.access
    if found is None or tools.way is None:
        return {"way": [], "below": [], "facts": [], "valves": [], "needs": list(tools.needs)}
    numbers = Numbers(job)
    return {
        "way": [_row(job, numbers, one) for one in found.way],
        "below": [_row(job, numbers, one) for one in found.below],
        "facts": list(way_facts(job, tools.way, found)),
        "valves": list(valve_words(job, found)),
        "needs": [f"needs {need}" for need in found.needs],
    }


def _row(job: Job, numbers: Numbers, one: Met) -> Data:
    def size(size_m: float | None) -> str:
        return "–" if size_m is None else numbers.small(size_m).rpartition(" ")[0]

    tvd = "not known" if one.top_tvd_m is None else _digits(job, one.top_tvd_m)
    return {
        "what": one.what,
        "top": _digits(job, one.top_md_m),
        "tvd": tvd,
        "bore": size(one.bore_m),
        "drift": size(one.drift_m),
        "note": "; ".join(_notes(job, one)),
        "smallest": one.smallest,
    }


def _notes(job: Job, one: Met) -> Iterator[str]:
    if one.smallest:
        yield "SMALLEST"
    if words := mark_words(job, one):
        yield words
    if one.what.startswith("perforations"):
        yield f"to {_digits(job, one.bottom_md_m)}"


def _digits(job: Job, md_m: float) -> str:
    """A depth as the tally has it, without its unit."""
    return show(md_m, Dimension.LENGTH, job.units).rpartition(" ")[0]
