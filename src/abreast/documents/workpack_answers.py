"""Fall-backs, findings and corrections, as the work pack prints them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from abreast.checks.base import NEAR
from abreast.checks.listing import CHECKS
from abreast.documents.alternatives import moves_seat
from abreast.documents.lists import corrections_table, findings_table
from abreast.documents.workpack_words import Data, length, length_unit, lifts_of, seat_name
from abreast.model import Choice, FallBack, Finding, Job, Plan
from abreast.units import Dimension, show

__all__ = ["corrections", "fall_backs", "findings"]

_TIGHT = 10
"""How many of the answers that are ok are shown among the tightest."""
_CALIPER_M, _NO_TAPE_M = 0.15, 0.01
"""A topic whose lengths are all below the first, and lengths below the second, in small units."""


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
    shifts = (
        f"{name} {by_m * 1000:+.0f} mm" for name, by_m in choice.clamp_shifts_m.items() if by_m
    )
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
        ``tightest``, ``topics`` (each a question with its rows) and ``open``, the
        questions that were not checked with what each needs.
    """
    table = findings_table(plan.findings, job.units)
    names = [column.heading.replace(" ", "_") for column in table.columns]
    rows: list[Data] = [dict(zip(names, table.texts(row), strict=True)) for row in table.rows]
    pairs = list(zip(plan.findings, rows, strict=True))
    for finding, row in pairs:
        row["used"] = "" if finding.utilisation is None else _part(finding.utilisation)
        row["where"] = finding.where or "whole job"
    topics = list(_topics(job, pairs))
    attention = [row for one, row in pairs if one.status in ("exceeds", "near limit")]
    kept = [row for one, row in pairs if one.status == "ok" and one.utilisation is not None]
    return {
        "tightest": [*attention, *kept[:_TIGHT]],
        "attention": len(attention),
        "topics": topics,
        "open": [
            {"where": row["where"], "question": one.question, "needs": row["needs"] or one.text}
            for one, row in pairs
            if one.status == "not checked"
        ],
    }


def _part(used: float) -> str:
    """A utilisation in per cent; from 90 % on with a decimal, so that 99.6 % is not read as 100."""
    return f"{used:.0%}" if used < NEAR else f"{used:.1%}"


def _set_measures(job: Job, pairs: Sequence[tuple[Finding, Data]]) -> None:
    """Value and limit as text, in one unit; a topic of short lengths as a caliper shows them."""
    longest_m = max((_longest_m(one) for one, _ in pairs), default=0.0)
    for finding, row in pairs:
        small = longest_m < _CALIPER_M or _longest_m(finding) < _NO_TAPE_M
        row["value"], row["limit"] = (
            _measure(job, finding, one, small) for one in (finding.value, finding.limit)
        )


def _longest_m(finding: Finding) -> float:
    """The greater of value and limit [m]; 0 when they are no lengths."""
    if finding.dimension != Dimension.LENGTH.value:
        return 0.0
    return max((abs(one) for one in (finding.value, finding.limit) if one is not None), default=0.0)


def _measure(job: Job, finding: Finding, value: float | None, small: bool) -> str:
    if value is None or not finding.dimension:
        return ""
    return show(value, Dimension(finding.dimension), job.units, small=small)


def _topics(job: Job, pairs: Sequence[tuple[Finding, Data]]) -> Iterator[Data]:
    """Rows under their question, in the order in which the questions are asked."""
    groups: dict[str, list[tuple[Finding, Data]]] = {}
    for pair in pairs:
        groups.setdefault(pair[0].id.partition(":")[0], []).append(pair)
    asked = [check.id for check in CHECKS]
    order = sorted(groups, key=lambda name: asked.index(name) if name in asked else len(asked))
    for name in order:
        _set_measures(job, groups[name])
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
