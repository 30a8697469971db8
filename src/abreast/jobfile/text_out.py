"""From a job to its text: what is in every cell of its tables and sections."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from abreast.errors import InputError
from abreast.jobfile.cells import ascii_unit, quantity_text, unit_of_text, value_text
from abreast.jobfile.layout import (
    ORDERED,
    Column,
    Table,
    columns_of,
    normal,
    sections,
    tables,
    top_columns,
)
from abreast.jobfile.raw import HEADING_ROW, RawJob, RawRow, RawTable
from abreast.model import Job, Part, Quantity
from abreast.model.frame import zero_shift_m
from abreast.units import System, display_unit, parse

__all__ = ["job_text"]


def job_text(job: Job) -> RawJob:
    """The text of a job, ready for a folder or a workbook."""
    raw = RawJob()
    for column in top_columns():
        if text := value_text(getattr(job, column.field)):
            raw.keys[column.name] = text
    shift_m = zero_shift_m(job, job.heights_from)
    for section in sections():
        part = getattr(job, section.field)
        if part is not None:
            raw.keys |= _section_text(section, part, job, shift_m)
    for table in tables():
        rows = getattr(job, table.field)
        if rows:
            raw.tables[table.name] = _table_text(table, rows, job, shift_m)
    return raw


def _usual_unit(column: Column, system: System) -> str:
    assert column.dimension is not None
    return display_unit(column.dimension, system, small=column.small)


def _section_text(section: Table, part: Part, job: Job, shift_m: float) -> dict[str, str]:
    keys = {}
    origin = getattr(part, "origin", "") or job.default_origin
    for column in columns_of(section.row):
        value = getattr(part, column.field)
        if not column.required and value == column.default:
            continue
        if column.kind == "quantity":
            unit = _usual_unit(column, job.units)
            text = _cell_text(column, _on_file(column, value, shift_m), unit, origin, bare=False)
        else:
            text = value_text(value)
        keys[f"{section.name}.{column.name}"] = text
    return keys


def _on_file(column: Column, value: Quantity, shift_m: float) -> Quantity:
    """A height counted from the zero of the files again."""
    if not (column.from_zero and shift_m and value.given is not None):
        return value
    height_m = value.given - shift_m
    assert column.dimension is not None
    try:
        typed_m = parse(value.typed, column.dimension).si
    except InputError:
        typed_m = round(height_m, 9)
    return replace(value, given=typed_m if abs(typed_m - height_m) < 1e-8 else round(height_m, 9))


def _table_text(table: Table, rows: Iterable[Part], job: Job, shift_m: float) -> RawTable:
    """A table in the order in which it is typed, without columns that say nothing."""
    ordered = list(rows)
    if table.name in ORDERED and getattr(job.order, ORDERED[table.name]) == "top to bottom":
        ordered.reverse()
    corrected = _corrected_columns(table, job)
    columns = [
        column
        for column in columns_of(table.row)
        if column.name in corrected or _is_used(column, ordered)
    ]
    texts = [_column_text(column, ordered, job, shift_m) for column in columns]
    heading = tuple(name for name, _ in texts)
    body = tuple(
        RawRow(number, cells)
        for number, cells in enumerate(
            zip(*(cells for _, cells in texts), strict=True), HEADING_ROW + 1
        )
    )
    return RawTable(table.name, table.file, heading, body)


def _corrected_columns(table: Table, job: Job) -> set[str]:
    """Columns that a correction names: they stay, even when nothing is left in them."""
    return {normal(row.field.split("[")[0]) for row in job.corrections if row.file == table.file}


def _is_used(column: Column, rows: list[Part]) -> bool:
    return column.required or any(getattr(row, column.field) != column.default for row in rows)


def _column_text(
    column: Column, rows: list[Part], job: Job, shift_m: float
) -> tuple[str, tuple[str, ...]]:
    values = [getattr(row, column.field) for row in rows]
    if column.kind != "quantity":
        return column.name, tuple(value_text(value) for value in values)
    quantities = [_on_file(column, value, shift_m) for value in values]
    unit = _heading_unit(column, quantities, job.units)
    origins = [getattr(row, "origin", "") or job.default_origin for row in rows]
    cells = tuple(
        _cell_text(column, quantity, unit, origin, bare=column.takes_unit)
        for quantity, origin in zip(quantities, origins, strict=True)
    )
    name = f"{column.name} [{ascii_unit(unit)}]" if column.takes_unit else column.name
    return name, cells


def _cell_text(column: Column, quantity: Quantity, unit: str, origin: str, *, bare: bool) -> str:
    assert column.dimension is not None
    if quantity.is_blank and (column.required or not column.default.is_blank):
        # A blank would be an error here, or would mean the usual value.
        return f"{quantity.state}: {quantity.reason}"
    return quantity_text(quantity, column.dimension, unit, origin, bare=bare)


def _heading_unit(column: Column, quantities: list[Quantity], system: System) -> str:
    """The unit most of the cells are written in; the first of them when it is a draw."""
    usual = _usual_unit(column, system)
    assert column.dimension is not None
    written = Counter(
        unit_of_text(one, column.dimension, usual) for one in quantities if one.is_given
    )
    return written.most_common(1)[0][0] if written else usual
