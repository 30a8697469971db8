"""A job folder as text: ``job.toml`` and one CSV file for each table."""

from __future__ import annotations

import csv
import io
import re
import tomllib
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from abreast.errors import InputError, Where
from abreast.jobfile.guard import (
    MOST_CELL,
    MOST_COLUMNS,
    MOST_TOML_BYTES,
    inside,
    most_rows,
    read_text,
)
from abreast.jobfile.issues import Issue
from abreast.jobfile.layout import nearest, normal, tables
from abreast.jobfile.raw import HEADING_ROW, RawJob, RawRow, RawTable

__all__ = ["csv_table", "read_folder", "toml_keys", "unescape"]

_MOST_POINTS = 200
_MOST_KEYS = 1_000
_FORMULA_STARTS = "=+-@\t\r'"
_SECTION = re.compile(r"\s*\[\s*([^\[\]]+?)\s*\]\s*(?:#.*)?")
_KEY = re.compile(r"\s*([A-Za-z0-9_.\"'-]+)\s*=")


def read_folder(folder: Path) -> RawJob:
    """Everything in a job folder, as text; files that could not be read become issues."""
    raw = RawJob()
    if not (folder / "job.toml").exists():
        message = "has no job.toml; give the folder of a job, or make one with abreast init"
        raise InputError(message, code="no-job", where=Where(file=folder.name))
    _collect(raw, lambda: _add_keys(raw, read_text(inside(folder, "job.toml"), MOST_TOML_BYTES)))
    known = {table.file: table for table in tables()}
    for name in sorted(path.name for path in folder.iterdir()):
        if name in known:
            _collect(raw, partial(_add_table, raw, folder, name))
        elif name.casefold().endswith(".csv"):
            message = f"is no table of a job{nearest(name, list(known))}"
            raw.issues.append(
                Issue(
                    "error",
                    "unknown-table",
                    message,
                    Where(file=name),
                    "Rename it, or move it out of the folder",
                )
            )
    return raw


def _collect(raw: RawJob, step: Any) -> None:
    try:
        step()
    except InputError as fault:
        raw.issues.append(Issue("error", fault.code, fault.message, fault.where))


def _add_keys(raw: RawJob, text: str) -> None:
    raw.keys, raw.key_rows = toml_keys(text), _key_rows(text)


def _add_table(raw: RawJob, folder: Path, file: str) -> None:
    name = file.removesuffix(".csv")
    raw.tables[name] = csv_table(name, file, read_text(inside(folder, file)))


def toml_keys(text: str, label: str = "job.toml") -> dict[str, str]:
    """Keys of a TOML text as ``section.key`` with the text of each value.

    Raises
    ------
    InputError
        If it is not TOML, or nests deeper than sections.
    """
    _refuse_long_keys(text, label)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        found = re.search(r"line (\d+)", str(fault))
        reason = re.sub(r"\s*\(at .*\)$", "", str(fault))
        message = f"is not TOML: {reason}; put texts in quotation marks"
        row = int(found[1]) if found else None
        raise InputError(message, code="bad-toml", where=Where(label, row)) from None
    except (RecursionError, ValueError):
        message = "is nested too deep, or holds a number out of range; a job has only sections"
        raise InputError(message, code="bad-toml", where=Where(label)) from None
    count = sum(len(one) if isinstance(one, dict) else 1 for one in data.values())
    if count > _MOST_KEYS:
        message = f"has more than {_MOST_KEYS} keys; long tables belong in CSV files"
        raise InputError(message, code="too-large", where=Where(label))
    keys: dict[str, str] = {}
    for name, value in data.items():
        if isinstance(value, dict):
            for key, inner in value.items():
                keys[f"{normal(name)}.{normal(key)}"] = _scalar(inner, f"{name}.{key}", label)
        else:
            keys[normal(name)] = _scalar(value, name, label)
    return keys


def _refuse_long_keys(text: str, label: str) -> None:
    """A key of thousands of points costs the TOML reader the square of that."""
    for row, line in enumerate(text.split("\n"), 1):
        if line.count(".") > _MOST_POINTS:
            message = f"has more than {_MOST_POINTS} points in one line; a job has only sections"
            raise InputError(message, code="bad-toml", where=Where(label, row))


def _scalar(value: Any, key: str, label: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (str, int)):
        return _fits(str(value), Where(label, None, key))
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, date):
        return value.isoformat()
    message = "is a list or a section of its own; write one value, in quotation marks"
    raise InputError(message, code="bad-value", where=Where(label, None, key))


def _fits(text: str, where: Where) -> str:
    if len(text) > MOST_CELL:
        message = f"holds {len(text)} characters, more than {MOST_CELL}; shorten it"
        raise InputError(message, code="too-long", where=where)
    return text


def _key_rows(text: str) -> dict[str, int]:
    """Line of each key; only for messages, so a missed one does no harm."""
    rows: dict[str, int] = {}
    section = ""
    for number, line in enumerate(text.splitlines(), 1):
        if found := _SECTION.fullmatch(line):
            section = f"{normal(found[1])}."
            rows.setdefault(section[:-1], number)
        elif found := _KEY.match(line):
            rows.setdefault(section + normal(found[1].strip("\"'")), number)
    return rows


def unescape(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from running it."""
    if len(cell) > 1 and cell[0] == "'" and cell[1] in _FORMULA_STARTS:
        return cell[1:]
    return cell


def csv_table(name: str, label: str, text: str) -> RawTable:
    """A table from the text of a CSV file: heading, then rows, commas between cells.

    Raises
    ------
    InputError
        If it has no heading, too many cells, or is parted by semicolons.
    """
    where, most = Where(file=label), most_rows(name)
    rows: list[tuple[str, ...]] = []
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), strict=True):
            rows.append(tuple(_fits(cell, Where(label, len(rows) + 1)) for cell in cells))
            if len(rows) > most + 1 or len(cells) > MOST_COLUMNS:
                message = f"has more than {most} rows or {MOST_COLUMNS} columns; leave some out"
                raise InputError(message, code="too-large", where=where)
    except csv.Error as fault:
        message = f"is not CSV ({fault}); check the quotation marks"
        raise InputError(message, code="bad-csv", where=Where(label, len(rows) + 1)) from None
    heading = tuple(cell.strip() for cell in rows[0]) if rows else ()
    if not any(heading):
        message = "has no heading; the first row names the columns"
        raise InputError(message, code="no-heading", where=Where(label, HEADING_ROW))
    if len(heading) == 1 and set(";\t") & set(heading[0]):
        message = "is not parted by commas; save it as CSV with commas between the cells"
        raise InputError(message, code="not-commas", where=Where(label, HEADING_ROW))
    return RawTable(name, label, heading, _rows(rows[1:]))


def _rows(rows: list[tuple[str, ...]]) -> tuple[RawRow, ...]:
    """Rows with their numbers; blank ones at the end are dropped."""
    numbered = [
        RawRow(number, tuple(unescape(cell) for cell in cells))
        for number, cells in enumerate(rows, HEADING_ROW + 1)
    ]
    while numbered and numbered[-1].is_blank:
        numbered.pop()
    return tuple(numbered)
