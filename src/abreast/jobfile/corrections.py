"""``corrections.csv``: how a person corrects a cell, or accepts it as it stands.

A correction names a cell (file, row, field), what stands there (``was``), what
is to stand there (``now``), who says so, when and why. ``was`` must match, so
that a correction can't hit a cell that has changed since. A cell that already
holds ``now`` has been corrected before: the row is kept and printed. ``now``
equal to ``was`` accepts a suspected cell.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from abreast.errors import InputError
from abreast.jobfile.cells import read_cell, same_meaning
from abreast.jobfile.issues import Issue
from abreast.jobfile.layout import (
    JOB,
    Column,
    columns_of,
    nearest,
    normal,
    sections,
    tables,
    top_columns,
)
from abreast.jobfile.raw import HEADING_ROW, RawJob, RawTable
from abreast.model import Correction
from abreast.units import parse_unit_header, unit_named

__all__ = ["Cell", "apply_corrections", "column_index", "heading_unit"]

_KEYS_FILE = "job.toml"


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of the job's files, by which corrections and suspicions mean the same place."""

    file: str
    row: int | None
    field: str


def heading_unit(column: Column, heading: str) -> str | None:
    """The symbol of the unit that a heading declares for its column."""
    unit = parse_unit_header(heading)[1] if "[" in heading else None
    if unit is None or column.dimension is None:
        return None
    return unit_named(unit, column.dimension).symbol


def column_index(table: RawTable, name: str) -> int | None:
    """Index of the column of that name, its unit left aside."""
    for index, heading in enumerate(table.heading):
        if normal(heading.split("[")[0]) == name:
            return index
    return None


def apply_corrections(
    raw: RawJob, rows: list[tuple[int, Correction]]
) -> tuple[list[Correction], set[Cell]]:
    """Put corrections into the text of a job.

    Parameters
    ----------
    raw : RawJob
        Changed in place; what does not fit becomes an issue.
    rows : list of (row number, Correction)
        As read from the table of corrections.

    Returns
    -------
    tuple
        The corrections with their units filled in, and the cells accepted as
        they stand.
    """
    chains: dict[Cell, list[tuple[int, Correction]]] = {}
    kept: list[Correction] = []
    for number, row in rows:
        cell = Cell(row.file, row.row if row.file != _KEYS_FILE else None, _field_name(row.field))
        chains.setdefault(cell, []).append((number, row))
    finished: dict[int, Correction] = {}
    accepted: set[Cell] = set()
    for cell, chain in chains.items():
        try:
            done = _apply_chain(raw, cell, chain)
        except InputError as fault:
            where = raw.tables["corrections"].where(chain[0][0], fault.where.field)
            raw.issues.append(Issue("error", fault.code, fault.message, where))
            continue
        finished.update({number: row for (number, _), row in zip(chain, done, strict=True)})
        if done[-1].accepts:
            accepted.add(cell)
    for number, row in rows:
        kept.append(finished.get(number, row))
    return kept, accepted


def _field_name(field: str) -> str:
    return ".".join(normal(part) for part in field.split("[", maxsplit=1)[0].split("."))


def _apply_chain(raw: RawJob, cell: Cell, chain: list[tuple[int, Correction]]) -> list[Correction]:
    """Corrections of one cell, in order: each starts from what the last one left."""
    place = _place(raw, cell)
    rows = [_with_units(row, place) for _, row in chain]
    for before, after in pairwise(rows):
        if not place.same(before.now, after.was):
            message = (
                f"'was' is {after.was!r}, but the correction before leaves {before.now!r};"
                " put them in order"
            )
            raise InputError(message, code="bad-correction")
    stands = place.text
    if not any(place.same(stands, text) for row in rows for text in (row.was, row.now)):
        message = (
            f"'was' is {rows[0].was!r}, but {cell.file}"
            f"{f', row {cell.row}' if cell.row else ''}, {cell.field} holds {stands!r};"
            " look at the cell again and correct the correction"
        )
        raise InputError(message, code="was-differs")
    if not place.same(stands, rows[-1].now):
        place.put(rows[-1].now)
    return rows


@dataclass(frozen=True)
class _Place:
    """Where a correction works: the text that stands there and how to change it."""

    text: str
    column: Column | None
    unit: str | None
    put: Callable[[str], None]

    def same(self, one: str, other: str) -> bool:
        """Whether two texts mean the same in this cell."""
        if self.column is None:
            return one.strip() == other.strip()
        return same_meaning(self.column, one, other, self.unit)


def _with_units(row: Correction, place: _Place) -> Correction:
    """The correction with bare numbers completed by the unit of their column."""
    return row.model_copy(
        update={"was": _complete(row.was, place), "now": _complete(row.now, place)}
    )


def _complete(text: str, place: _Place) -> str:
    if place.column is None or place.column.kind != "quantity" or not place.unit:
        return text
    number, mark, origin = text.partition("@")
    try:
        value = read_cell(place.column, number.strip(), place.unit, "").value
    except (InputError, ValueError):
        return text
    return f"{value.typed} {mark} {origin.strip()}" if mark else value.typed or text


def _place(raw: RawJob, cell: Cell) -> _Place:
    if cell.file == _KEYS_FILE:
        return _key_place(raw, cell)
    known = {table.file: table for table in tables()}
    if cell.file not in known:
        message = f"{cell.file!r} is no table of a job{nearest(cell.file, [_KEYS_FILE, *known])}"
        raise InputError(message, code="unknown-table")
    name = known[cell.file].name
    table = raw.tables.get(name)
    if table is None:
        message = f"{cell.file} is not in this job; take the correction out"
        raise InputError(message, code="unknown-table")
    columns = {one.name: one for one in columns_of(known[cell.file].row)}
    index = column_index(table, cell.field)
    if index is None and cell.field in columns and cell.row != HEADING_ROW:
        # A tally need not have the column; the first correction that names it adds it.
        index = len(table.heading)
        table = table.with_cell(HEADING_ROW, index, cell.field)
    if index is None:
        message = f"{cell.file} has no column {cell.field!r}{nearest(cell.field, list(columns))}"
        raise InputError(message, code="unknown-field")
    if cell.row == HEADING_ROW:
        return _Place(table.heading[index], None, None, _put_cell(raw, table, HEADING_ROW, index))
    row = next((one for one in table.rows if one.number == cell.row), None)
    if row is None or cell.row is None:
        last = table.rows[-1].number if table.rows else HEADING_ROW
        message = f"{cell.file} has no row {cell.row}; its rows run from 2 to {last}"
        raise InputError(message, code="unknown-row")
    text = row.cells[index] if index < len(row.cells) else ""
    column = columns.get(cell.field)
    unit = heading_unit(column, table.heading[index]) if column else None
    return _Place(text.strip(), column, unit, _put_cell(raw, table, cell.row, index))


def _put_cell(raw: RawJob, table: RawTable, row: int, index: int) -> Callable[[str], None]:
    def put(text: str) -> None:
        raw.tables[table.name] = table.with_cell(row, index, text)

    return put


def _key_place(raw: RawJob, cell: Cell) -> _Place:
    columns = {one.name: one for one in top_columns()}
    for section in sections():
        columns |= {f"{section.name}.{one.name}": one for one in columns_of(section.row)}
    if cell.field not in columns:
        message = f"{JOB}.toml has no field {cell.field!r}{nearest(cell.field, list(columns))}"
        raise InputError(message, code="unknown-field")

    def put(text: str) -> None:
        raw.keys[cell.field] = text

    return _Place(raw.keys.get(cell.field, "").strip(), columns[cell.field], None, put)
