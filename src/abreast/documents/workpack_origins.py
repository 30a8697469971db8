"""Values that rest on nobody's measurement or sheet, grouped; and the rules of the job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from abreast.documents.workpack_words import Data
from abreast.jobfile.layout import Column, Table, columns_of, sections, tables
from abreast.model import Job, Origin, Part, Quantity, Rules
from abreast.units import Dimension, display_unit, figure

__all__ = ["DOUBTFUL", "GivenValue", "doubtful", "given_values", "rules"]

DOUBTFUL = ("unstated", "assumed", "common practice", "invented")
"""Origins that somebody must look at before a job is issued, the worst first."""


@dataclass(frozen=True, slots=True)
class GivenValue:
    """One value of the job as people know it: where it stands, and where it comes from."""

    table: str
    row: str
    column: Column
    text: str
    origin: Origin
    of_rows: int


def given_values(job: Job) -> Iterator[GivenValue]:
    """Every physical value that the job gives, in the order of its tables."""
    for table in (*sections(), *tables()):
        yield from _of_table(job, table)


def _of_table(job: Job, table: Table) -> Iterator[GivenValue]:
    held = getattr(job, table.field)
    parts: tuple[Part, ...] = held if isinstance(held, tuple) else (held,) if held else ()
    for column in columns_of(table.row):
        for number, part in enumerate(parts, 1):
            value = getattr(part, column.field)
            if isinstance(value, Quantity) and value.given is not None:
                row = _row_name(part, number) if isinstance(held, tuple) else ""
                text = _figure(job, column, value.given)
                yield GivenValue(table.name, row, column, text, value.origin, len(parts))


def _row_name(part: Part, number: int) -> str:
    own = part.__dict__.get("id") or part.__dict__.get("name")
    return str(own or f"row {number}")


def _figure(job: Job, column: Column, si: float) -> str:
    return figure(si, column.dimension or Dimension.RATIO, job.units, small=column.small)


def _unit(job: Job, column: Column) -> str:
    return display_unit(column.dimension or Dimension.RATIO, job.units, small=column.small)


def _heading(job: Job, column: Column) -> str:
    unit = _unit(job, column)
    return f"{_named(column)} [{unit}]" if unit else _named(column)


def doubtful(job: Job) -> list[Data]:
    """Values of doubtful origin, one entry for each table and field; rules have their own list.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    list of dict
        For each origin, the worst kind first: ``origin``, ``count`` and ``fields``,
        each with ``table``, ``field`` and all its ``values``.
    """
    found = [
        one for one in given_values(job) if one.origin.kind in DOUBTFUL and one.table != "rules"
    ]
    groups: dict[Origin, list[GivenValue]] = {}
    for one in found:
        groups.setdefault(one.origin, []).append(one)
    ordered = sorted(groups, key=lambda origin: (DOUBTFUL.index(origin.kind), origin.by))
    return [
        {
            "origin": str(origin),
            "count": len(groups[origin]),
            "fields": list(_fields(job, groups[origin])),
        }
        for origin in ordered
    ]


def _fields(job: Job, values: Iterable[GivenValue]) -> Iterator[Data]:
    """A line for each field of a table, and one line for all fields of a section."""
    for (table, is_row), found in groupby(values, key=lambda one: (one.table, bool(one.row))):
        if not is_row:
            words = (f"{_named(one.column)} {_with_unit(job, one)}" for one in found)
            yield {"table": table, "field": "", "values": "; ".join(words)}
            continue
        for column, same in groupby(found, key=lambda one: one.column):
            yield {"table": table, "field": _heading(job, column), "values": _values(list(same))}


def _named(column: Column) -> str:
    return column.name.replace("_", " ")


def _with_unit(job: Job, one: GivenValue) -> str:
    return f"{one.text} {_unit(job, one.column)}".strip()


def _values(same: list[GivenValue]) -> str:
    """All values of one field; rows that have the same value stand together."""
    by_text: dict[str, list[str]] = {}
    for one in same:
        by_text.setdefault(one.text, []).append(one.row)
    if len(by_text) == 1 and len(same) == same[0].of_rows and len(same) > 1:
        return f"{same[0].text} (all {len(same)} rows)"
    return "; ".join(f"{', '.join(rows)}: {text}" for text, rows in by_text.items())


def rules(job: Job) -> list[Data]:
    """Every rule of the job with its value and origin, those that are not given too."""
    return [_rule(job, column) for column in columns_of(Rules) if column.kind != "text"]


def _rule(job: Job, column: Column) -> Data:
    held = getattr(job.rules, column.field)
    rule = {"rule": column.description, "unit": "", "origin": ""}
    if not isinstance(held, Quantity):
        return rule | {"value": str(held), "origin": "set in the job"}
    if held.given is None:
        return rule | {"value": "none", "origin": f"{held.state}: {held.reason}"}
    return rule | {
        "value": _figure(job, column, held.given),
        "unit": _unit(job, column),
        "origin": str(held.origin),
    }
