"""Fall-backs, findings and corrections, as the work pack prints them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from abreast.checks.listing import CHECKS
from abreast.documents.alternatives import moves_seat
from abreast.documents.attention import attention
from abreast.documents.brief import is_small, part_used
from abreast.documents.lists import corrections_table, findings_table
from abreast.documents.workpack_open import open_inputs
from abreast.documents.workpack_words import (
    Data,
    length,
    length_unit,
    lifts_of,
    seat_name,
    shift,
)
from abreast.model import Choice, FallBack, Finding, Job, Plan
from abreast.units import Dimension, show

__all__ = ["corrections", "fall_backs", "findings"]

_TIGHT = 10
"""How many of the answers that are ok are shown among the tightest."""


# --- fall-backs ---------------------------------------------------------------------


def fall_backs(job: Job, plan: Plan) -> Data:
    """What to run if a piece is rejected, and the runners-up."""
    seat_m = plan.choice.seat_m if plan.choice is not None else 0.0
    rows = [_fall_back(job, one, seat_m) for one in plan.fall_backs]
    return {
        "unit": length_unit(job),
        "seat": seat_name(job),
        "rows": rows,
        "none": [row["rejected"] for row in rows if row["run"] is None],
        "runners_up": [_choice(job, one, (), seat_m) for one in plan.runners_up],
    }


def _fall_back(job: Job, one: FallBack, seat_m: float) -> Data:
    found, best = one.choice, one.best
    return {
        "rejected": one.rejected,
        "run": None if found is None else _choice(job, found, one.changed, seat_m),
        "best": None if best is None else _choice(job, best, (), seat_m),
        "cures": list(one.cures),
    }


def _choice(job: Job, choice: Choice, new: Sequence[str], seat_m: float) -> Data:
    lifts = [[{"id": item, "new": item in new} for item in lift] for lift in lifts_of(choice)]
    shifts = (f"{name} {shift(job, by_m)}" for name, by_m in choice.clamp_shifts_m.items() if by_m)
    return {
        "lifts": lifts,
        "new": list(new),
        "union": length(job, choice.union_m),
        "off": length(job, choice.deviation_m),
        "seat": length(job, choice.seat_m),
        "moves_seat": moves_seat(choice, seat_m),
        "shifts": ", ".join(shifts),
    }


# --- findings -----------------------------------------------------------------------


def findings(job: Job, plan: Plan) -> Data:
    """All answers: what needs attention and the tightest first, then all by topic.

    Parameters
    ----------
    job : Job
        The job, for its units.
    plan : Plan
        The plan; its findings stand tightest first.

    Returns
    -------
    dict
        ``tightest``, ``facts`` that stand whatever is run, ``topics`` (each a question
        with its rows) and ``open``, the missing inputs with what each leaves unchecked.
    """
    table = findings_table(plan.findings, job.units)
    names = [column.heading.replace(" ", "_") for column in table.columns]
    rows: list[Data] = [dict(zip(names, table.texts(row), strict=True)) for row in table.rows]
    pairs = list(zip(plan.findings, rows, strict=True))
    for finding, row in pairs:
        row["used"] = "" if finding.utilisation is None else part_used(finding.utilisation)
        row["where"] = finding.where or "whole job"
        _set_measures(job, finding, row)
    by_id = {id(one): row for one, row in pairs}
    limits, facts = ([by_id[id(one)] for one in group] for group in attention(plan.findings))
    kept = [row for one, row in pairs if one.status == "ok" and one.utilisation is not None]
    return {
        "tightest": [*limits, *kept[:_TIGHT]],
        "attention": len(limits),
        "facts": facts,
        "topics": list(_topics(pairs)),
        "open": open_inputs(job, plan.findings),
    }


def _set_measures(job: Job, finding: Finding, row: Data) -> None:
    """Value and limit as text, in one unit: the one in which the answer says them."""
    small = is_small(finding, job.units)
    row["value"], row["limit"] = (
        _measure(job, finding, one, small) for one in (finding.value, finding.limit)
    )


def _measure(job: Job, finding: Finding, value: float | None, small: bool) -> str:
    if value is None or not finding.dimension:
        return ""
    return show(value, Dimension(finding.dimension), job.units, small=small)


def _topics(pairs: Sequence[tuple[Finding, Data]]) -> Iterator[Data]:
    """Rows under their question, in the order in which the questions are asked."""
    groups: dict[str, list[tuple[Finding, Data]]] = {}
    for pair in pairs:
        groups.setdefault(pair[0].id.partition(":")[0], []).append(pair)
    asked = [check.id for check in CHECKS]
    order = sorted(groups, key=lambda name: asked.index(name) if name in asked else len(asked))
    for name in order:
        rows = [row for _, row in groups[name]]
        yield {"question": groups[name][0][0].question, **_shared(rows)}


def _shared(rows: Sequence[Data]) -> Data:
    """Rows of a topic, and by itself what all of them rest on, so that it is read once."""
    topic: Data = {}
    own = [dict(row) for row in rows]
    for name in ("basis", "assumptions", "what_to_do"):
        words = {row[name] for row in rows}
        topic[name] = words.pop() if len(words) == 1 and len(rows) > 1 else ""
        if topic[name]:
            own = [row | {name: ""} for row in own]
    return topic | {"rows": own}


# --- corrections --------------------------------------------------------------------


def corrections(job: Job) -> Data:
    """Cells that were corrected or accepted, and suspicions that are still open."""
    table = corrections_table(job.corrections, job.units)
    names = [column.heading for column in table.columns]
    return {
        "rows": [dict(zip(names, table.texts(row), strict=True)) for row in table.rows],
        "suspicions": [
            {
                "file": one.file,
                "row": "" if one.row is None else str(one.row),
                "field": one.field,
                "piece": one.piece or "whole job",
                "text": one.text,
            }
            for one in job.suspicions
        ],
    }
