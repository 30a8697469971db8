"""From the text of one table or section to rows of the model, every fault with its cell."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from abreast.errors import InputError, Where
from abreast.jobfile.cells import read_cell
from abreast.jobfile.corrections import heading_unit
from abreast.jobfile.issues import Echo, Issue
from abreast.jobfile.layout import Column, Table, columns_of, nearest, normal, top_columns
from abreast.jobfile.raw import HEADING_ROW, RawJob, RawRow, RawTable
from abreast.model import Origin, Part

__all__ = ["Reading", "read_section", "read_table", "read_top"]

_NAMING = ("id", "name")


@dataclass
class Reading:
    """What has been found so far."""

    issues: list[Issue] = field(default_factory=list)
    echoes: list[Echo] = field(default_factory=list)
    default_origin: str = ""

    def error(self, code: str, message: str, where: Where, cell: str = "") -> None:
        """Note an error."""
        self.issues.append(Issue("error", code, message, where, cell=cell))


@dataclass(frozen=True)
class _Headed:
    """A column of a table as found in its heading."""

    index: int
    column: Column
    unit: str | None


def read_table(reading: Reading, table: Table, raw: RawTable) -> list[tuple[int, Part]]:
    """The rows of a table that could be read, each with its number."""
    headed = _heading(reading, table, raw)
    rows: list[tuple[int, Part]] = []
    for row in raw.rows:
        if row.is_blank:
            reading.error("blank-row", "is blank; delete the row", raw.where(row.number))
            continue
        part = _row(reading, table, raw, row, headed)
        if part is not None:
            rows.append((row.number, part))
    return rows


def _heading(reading: Reading, table: Table, raw: RawTable) -> list[_Headed]:
    known = {column.name: column for column in columns_of(table.row)}
    headed: dict[str, _Headed] = {}
    for index, heading in enumerate(raw.heading):
        name = normal(heading.split("[")[0])
        where = raw.where(HEADING_ROW, heading or f"column {index + 1}")
        cell = raw.address(HEADING_ROW, index)
        if not heading:
            if any(row.cells[index : index + 1] not in ((), ("",)) for row in raw.rows):
                reading.error(
                    "no-heading", "has cells but no heading; name the column", where, cell
                )
        elif name not in known:
            hint = nearest(name, list(known))
            message = f"column {heading!r} is not known in {table.file}{hint}"
            reading.error("unknown-field", message, where, cell)
        elif name in headed:
            reading.error("twice", f"column {name!r} stands twice; keep one", where, cell)
        else:
            headed[name] = _Headed(index, known[name], _unit(reading, known[name], heading, where))
    for name, column in known.items():
        if column.required and name not in headed:
            message = f"has no column {name!r} ({column.description}); add it"
            reading.error("missing-field", message, raw.where(HEADING_ROW, name))
    return list(headed.values())


def _unit(reading: Reading, column: Column, heading: str, where: Where) -> str | None:
    try:
        return heading_unit(column, heading)
    except InputError as fault:
        reading.error(fault.code, fault.message, where)
        return None


def _row(
    reading: Reading, table: Table, raw: RawTable, row: RawRow, headed: list[_Headed]
) -> Part | None:
    texts = {one.column.name: (*row.cells, *[""] * 200)[one.index].strip() for one in headed}
    piece = next((texts[name] for name in _NAMING if texts.get(name)), "")
    origin = texts.get("origin", "") or reading.default_origin
    before = len(reading.issues)
    _refuse_loose_cells(reading, raw, row)
    values: dict[str, Any] = {}
    for one in headed:
        where = raw.where(row.number, one.column.name, piece)
        cell = raw.address(row.number, one.index)
        text = texts[one.column.name]
        if text and (row.number, one.index) in raw.as_text:
            _tell_number_as_text(reading, one.column, text, where, cell)
        found = _Text(where, text, one.unit, origin, cell)
        _cell(reading, one.column, found, values)
    if len(reading.issues) > before and any(
        one.severity == "error" for one in reading.issues[before:]
    ):
        return None
    return _validated(reading, table.row, values, raw.where(row.number, "", piece))


def _refuse_loose_cells(reading: Reading, raw: RawTable, row: RawRow) -> None:
    for index, text in enumerate(row.cells[len(raw.heading) :], len(raw.heading)):
        if text.strip():
            said = f"{text.strip()!r} stands outside the columns"
            message = f"{said}; a comma too many, or a decimal comma?"
            where, cell = raw.where(row.number), raw.address(row.number, index)
            reading.error("loose-cell", message, where, cell)


def _tell_number_as_text(
    reading: Reading, column: Column, text: str, where: Where, cell: str
) -> None:
    if column.kind in ("quantity", "integer"):
        message = f"{text!r} is a number stored as text; it was read as a number"
        reading.issues.append(Issue("notice", "number-as-text", message, where, cell=cell))


@dataclass(frozen=True)
class _Text:
    """One cell to be read: where it stands, what stands there, and what it may leave out."""

    where: Where
    text: str
    unit: str | None = None
    origin: str = ""
    address: str = ""


def _key_text(raw: RawJob, key: str, origin: str = "") -> _Text:
    where, address = raw.key_where(key), raw.key_address(key)
    return _Text(where, raw.keys.get(key, ""), origin=origin, address=address)


def _cell(reading: Reading, column: Column, cell: _Text, values: dict[str, Any]) -> None:
    """Put the value of one cell into ``values``, or note why there is none."""
    text, where = cell.text, cell.where
    if not text.strip():
        if column.required:
            states = ", or say 'not measured: why'" if column.kind == "quantity" else ""
            message = f"is blank; fill in: {column.description}{states}"
            reading.error("blank", message, where, cell.address)
        return
    try:
        if column.name == "origin":
            Origin.parse(text)
        read = read_cell(column, text, cell.unit, cell.origin)
    except InputError as fault:
        reading.error(fault.code, fault.message, where, cell.address)
    except ValueError as fault:
        reading.error("bad-value", str(fault), where, cell.address)
    else:
        values[column.field] = read.value
        if read.echo:
            reading.echoes.append(Echo(where, text.strip(), read.echo))


def _validated(
    reading: Reading, part: type[Part], values: dict[str, Any], where: Where, prefix: str = ""
) -> Part | None:
    try:
        return part.model_validate(values)
    except ValidationError as fault:
        names = {column.field: column.name for column in columns_of(part)}
        for one in fault.errors(include_url=False):
            name = names.get(str(one["loc"][0]), str(one["loc"][0])) if one["loc"] else ""
            message = str(one["msg"]).removeprefix("Value error, ")
            place = Where(where.file, where.row, f"{prefix}{name}".rstrip("."), where.piece)
            reading.error("bad-value", message, place)
        return None


def read_section(reading: Reading, table: Table, raw: RawJob) -> Part | None:
    """A section of ``job.toml``; None when it is absent or could not be read."""
    prefix = f"{table.name}."
    keys = {key.removeprefix(prefix): key for key in raw.keys if key.startswith(prefix)}
    columns = {column.name: column for column in columns_of(table.row)}
    before = len(reading.issues)
    for name, key in keys.items():
        if name not in columns:
            hint = nearest(name, list(columns))
            reading.error("unknown-field", f"is not known{hint}", raw.key_where(key))
    if not keys:
        if table.required and table.name not in raw.keys:
            needed = ", ".join(one.name for one in columns.values() if one.required)
            message = f"has no section [{table.name}]; it needs {needed}"
            reading.error("missing-section", message, Where(raw.keys_label, field=table.name))
        return None
    origin = raw.keys.get(f"{prefix}origin", "") or reading.default_origin
    values: dict[str, Any] = {}
    for column in columns.values():
        key = f"{prefix}{column.name}"
        _cell(reading, column, _key_text(raw, key, origin), values)
    if len(reading.issues) > before:
        return None
    return _validated(reading, table.row, values, Where(raw.keys_label), prefix)


def read_top(reading: Reading, raw: RawJob, known_sections: list[str]) -> dict[str, Any]:
    """The keys of ``job.toml`` outside sections; unknown keys and sections become errors."""
    columns = {column.name: column for column in top_columns()}
    for section in dict.fromkeys(key.partition(".")[0] for key in raw.keys if "." in key):
        if section not in known_sections:
            message = f"section is not known{nearest(section, known_sections)}"
            reading.error("unknown-section", message, raw.key_where(section))
    for key in raw.keys:
        if "." not in key and key not in columns:
            hint = nearest(key, [*columns, *known_sections])
            reading.error("unknown-field", f"is not known{hint}", raw.key_where(key))
    values: dict[str, Any] = {}
    for column in columns.values():
        _cell(reading, column, _key_text(raw, column.name), values)
    return values
