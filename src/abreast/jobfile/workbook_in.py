"""A workbook as text, read strictly: whatever a spreadsheet may have changed is told.

Merged cells, hidden rows and columns, formulas and dates are refused with
their address. Sizes are judged on the packed file, before anything is parsed.
"""

from __future__ import annotations

import html
import io
import re
import warnings
import zipfile
import zlib
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from abreast.errors import InputError, Where
from abreast.jobfile.guard import MOST_BYTES, MOST_CELL, MOST_COLUMNS, most_rows, read_bytes
from abreast.jobfile.issues import Issue
from abreast.jobfile.layout import JOB, columns_of, nearest, normal, tables
from abreast.jobfile.raw import HEADING_ROW, RawJob, RawRow, RawTable

__all__ = ["KEY_HEADING", "VALUE_HEADING", "read_workbook"]

_MOST_UNPACKED = 16_000_000
_MOST_PARTS = 400
_MERGED = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*?ref\s*=\s*[\"']([A-Z0-9:$]{1,40})[\"']")
_ATTRIBUTE = re.compile(r"([\w:]+)\s*=\s*[\"']([^\"']*)[\"']")
_OLD_FORMAT = b"\xd0\xcf\x11\xe0"
# Sheets that may stand in a workbook beside the tables.
_REMARKS = {"notes", "read me", "readme"}
KEY_HEADING, VALUE_HEADING = "field", "value"
_PLACES = re.compile(r"0(?:\.(0{1,12}))?")
_NUMBER = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")


def read_workbook(path: Path) -> RawJob:
    """Everything in a workbook, as text; cells that can't be trusted become issues."""
    content = read_bytes(path, MOST_BYTES)
    _judge(content, path.name)
    book = _load(content, path.name)
    raw = RawJob(keys_label=f"{path.name}, sheet {JOB}", in_workbook=True)
    known = {table.name: table for table in tables()}
    for sheet in book.worksheets:
        name = normal(sheet.title)
        if name == JOB or name in known:
            _add_sheet(raw, sheet, name, path.name)
        elif sheet.title.strip().casefold() not in _REMARKS:
            message = f"sheet {sheet.title!r} is no table of a job{nearest(name, [JOB, *known])}"
            fix = "Rename it, or call it 'notes'"
            raw.issues.append(Issue("error", "unknown-table", message, Where(path.name), fix))
    if not raw.keys:
        message = f"has no sheet {JOB!r} with the columns {KEY_HEADING} and {VALUE_HEADING}"
        raise InputError(message, code="no-job", where=Where(path.name))
    return raw


def _judge(content: bytes, name: str) -> None:
    """Refuse what is no workbook, or would unpack to more than a job can need."""
    where = Where(file=name)
    if content.startswith(_OLD_FORMAT):
        message = "is an old or a password-protected workbook; save it as .xlsx without password"
        raise InputError(message, code="old-workbook", where=where)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            _judge_parts(packed, where)
    except (zipfile.BadZipFile, zlib.error, ValueError, RuntimeError, EOFError, OSError):
        message = "is damaged or no workbook; save it again as .xlsx"
        raise InputError(message, code="bad-workbook", where=where) from None


def _judge_parts(packed: zipfile.ZipFile, where: Where) -> None:
    parts = packed.infolist()
    if len(parts) > _MOST_PARTS or sum(part.file_size for part in parts) > _MOST_UNPACKED:
        message = (
            f"unpacks to more than {_MOST_UNPACKED / 1e6:g} MB; a job of this size is not read"
        )
        raise InputError(message, code="too-large", where=where)
    sheets = _sheet_parts(packed)
    for part in parts:
        if part.filename.startswith(("/", "\\")) or ".." in re.split(r"[/\\]", part.filename):
            message = "holds a part with a path that leaves the file; save it again as .xlsx"
            raise InputError(message, code="outside", where=where)
        if part.filename.endswith((".xml", ".rels")):
            sheet = sheets.get(part.filename)
            label = f"{where.file}, sheet {sheet}" if sheet else where.file
            _judge_xml(packed.read(part), Where(label))


def _sheet_parts(packed: zipfile.ZipFile) -> dict[str, str]:
    """Part of a packed workbook → name of the sheet in it, as far as that can be told."""
    try:
        book = packed.read("xl/workbook.xml").decode()
        links = packed.read("xl/_rels/workbook.xml.rels").decode()
    except (KeyError, UnicodeDecodeError):
        return {}
    targets = {}
    for link in re.findall(r"<(?:\w+:)?Relationship\s[^>]*>", links):
        fields = dict(_ATTRIBUTE.findall(link))
        targets[fields.get("Id", "")] = f"xl/{fields.get('Target', '').removeprefix('/xl/')}"
    found = {}
    for sheet in re.findall(r"<(?:\w+:)?sheet\s[^>]*>", book):
        fields = dict(_ATTRIBUTE.findall(sheet))
        found[targets.get(fields.get("r:id", ""), "")] = html.unescape(fields.get("name", ""))
    return found


def _judge_xml(text: bytes, where: Where) -> None:
    plain = text.replace(b"\0", b"")
    if b"<!DOCTYPE" in plain or b"<!ENTITY" in plain:
        message = "holds declarations that no workbook needs; save it again as .xlsx"
        raise InputError(message, code="bad-workbook", where=where)
    if merged := _MERGED.search(plain):
        cells = merged[1].decode()
        message = f"merged cells {cells}; unmerge them and give every cell its own value"
        raise InputError(message, code="merged-cells", where=where)


def _load(content: bytes, name: str) -> Any:
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return load_workbook(io.BytesIO(content), data_only=False, keep_links=False)
    except Exception:
        message = "cannot be read as a workbook; save it again as .xlsx"
        raise InputError(message, code="bad-workbook", where=Where(name)) from None


def _add_sheet(raw: RawJob, sheet: Any, name: str, book: str) -> None:
    label = f"{book}, sheet {sheet.title}"
    try:
        table = _sheet_table(raw, sheet, name, label)
    except InputError as fault:
        raw.issues.append(Issue("error", fault.code, fault.message, fault.where))
        return
    if name != JOB:
        raw.tables[name] = table
        return
    for row in table.rows:
        key, value = (*row.cells, "", "")[:2]
        key = ".".join(normal(part) for part in key.split("."))
        if not key and not value.strip():
            continue
        if key in raw.keys:
            where = table.where(row.number, key)
            raw.issues.append(Issue("error", "twice", "stands twice; keep one of the two", where))
        raw.keys[key], raw.key_rows[key] = value, row.number


def _sheet_table(raw: RawJob, sheet: Any, name: str, label: str) -> RawTable:
    where, most = Where(file=label), most_rows(name)
    if sheet.max_row > most + 1 or sheet.max_column > MOST_COLUMNS:
        message = f"has more than {most} rows or {MOST_COLUMNS} columns in use; clear the rest"
        raise InputError(message, code="too-large", where=where)
    _refuse_hidden(raw, sheet, label)
    heading_cells = [str(cell.value or "") for cell in next(sheet.iter_rows(max_row=1), ())]
    dates = _date_columns(name, heading_cells)
    rows = [
        RawRow(number, tuple(_cell_text(raw, cell, label, dates) for cell in cells))
        for number, cells in enumerate(sheet.iter_rows(), 1)
    ]
    while rows and rows[-1].is_blank:
        rows.pop()
    if not rows or rows[0].is_blank:
        message = "has no heading; the first row names the columns"
        raise InputError(message, code="no-heading", where=Where(label, HEADING_ROW))
    heading = tuple(cell.strip() for cell in rows[0].cells)
    while heading and not heading[-1]:
        heading = heading[:-1]
    as_text = frozenset(
        (cell.row, cell.column - 1)
        for cells in sheet.iter_rows(min_row=2)
        for cell in cells
        if isinstance(cell.value, str) and _is_number(cell.value)
    )
    table = RawTable(name, label, heading, tuple(rows[1:]), in_workbook=True, as_text=as_text)
    if name == JOB and [normal(one) for one in heading[:2]] != [KEY_HEADING, VALUE_HEADING]:
        message = f"needs the columns {KEY_HEADING} and {VALUE_HEADING}"
        raise InputError(message, code="no-heading", where=Where(label, HEADING_ROW))
    return table


def _date_columns(name: str, heading: list[str]) -> frozenset[int]:
    """Columns of a table that hold dates; anywhere else a date is an accident."""
    row = next((table.row for table in tables() if table.name == name), None)
    dated = {one.name for one in columns_of(row) if one.kind == "date"} if row else set()
    return frozenset(n for n, text in enumerate(heading, 1) if normal(text) in dated)


def _is_number(text: str) -> bool:
    """Whether a text is a number that the spreadsheet could have held as one."""
    return bool(_NUMBER.fullmatch(text.strip())) and _digits(text) <= 15


def _refuse_hidden(raw: RawJob, sheet: Any, label: str) -> None:
    hidden = [f"row {n}" for n, row in sheet.row_dimensions.items() if row.hidden]
    hidden += [f"column {n}" for n, column in sheet.column_dimensions.items() if column.hidden]
    if sheet.sheet_state != "visible":
        hidden.append("the sheet itself")
    if sheet.auto_filter.ref and hidden:
        hidden.append("rows under a filter")
    for what in hidden[:20]:
        message = f"{what} is hidden; show it or delete it, since nobody can check it"
        raw.issues.append(Issue("error", "hidden", message, Where(file=label)))


def _cell_text(raw: RawJob, cell: Any, label: str, dates: frozenset[int]) -> str:
    value = cell.value
    problem = _problem(cell, value, cell.column in dates)
    if problem:
        code, message = problem
        where = Where(file=label, row=cell.row)
        raw.issues.append(Issue("error", code, message, where, cell=cell.coordinate))
        return ""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return _number_text(value, _number_format(cell))
    return value.date().isoformat() if isinstance(value, datetime) else str(value)


def _number_format(cell: Any) -> str:
    """How the sheet shows a number; a damaged workbook may name a style that is not there."""
    try:
        return str(cell.number_format)
    except IndexError:
        return "General"


def _problem(cell: Any, value: Any, is_date: bool) -> tuple[str, str] | None:
    if cell.data_type == "f":
        return "formula", "is a formula; paste its value"
    if cell.data_type == "e":
        return "error-value", f"holds the error {value}; give the value"
    if isinstance(value, (time, timedelta)):
        return "date", "was made a time by the spreadsheet; type the value as text"
    if isinstance(value, (date, datetime)) and not is_date:
        return "date", f"was made a date by the spreadsheet ({value:%d %b %Y}); type it as text"
    if isinstance(value, str) and len(value) > MOST_CELL:
        return "too-long", f"holds {len(value)} characters, more than {MOST_CELL}; shorten it"
    return None


def _digits(text: str) -> int:
    return len(text.strip().lstrip("+-0.").replace(".", ""))


def _number_text(value: float, number_format: str) -> str:
    """A number as the sheet shows it when that is the number itself, else its 15 digits."""
    if isinstance(value, int):
        shown = _PLACES.fullmatch(number_format)
        return f"{value}.{shown[1]}" if shown and shown[1] else str(value)
    if shown := _PLACES.fullmatch(number_format):
        text = f"{value:.{len(shown[1] or '')}f}"
        if float(text) == value:
            return text
    text = f"{value:.15g}"
    return text if "e" in text else text.removesuffix(".0")
