"""Write a job to a folder or to a workbook; reading it back gives the same job."""

from __future__ import annotations

import csv
import io
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import tomli_w

from abreast.jobfile.atomic import write_files
from abreast.jobfile.layout import FORMAT, JOB, columns_of, tables
from abreast.jobfile.raw import RawJob, RawTable
from abreast.jobfile.text_out import job_text
from abreast.jobfile.workbook_in import KEY_HEADING, VALUE_HEADING
from abreast.model import Job

__all__ = [
    "csv_text",
    "folder_files",
    "toml_text",
    "workbook_bytes",
    "write_folder",
    "write_workbook",
]

_FORMULA = re.compile(r"[=+\-@\t\r']")
_PLAIN_NUMBER = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")
_SHEET_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.(?P<places>[0-9]+))?")
_MADE = datetime(2000, 1, 1)


def write_folder(job: Job, folder: Path | str) -> None:
    """Write a job as ``job.toml`` and one CSV file per table that has rows.

    Other files of the folder are left alone; the file of a table that has no
    rows any more is taken away.
    """
    target = Path(folder)
    files = folder_files(job)
    write_files(target, files)
    for table in tables():
        if table.file not in files:
            (target / table.file).unlink(missing_ok=True)


def folder_files(job: Job) -> dict[str, bytes]:
    """Name and content of every file of a job folder, ``job.toml`` last."""
    raw = job_text(job)
    files = {table.label: csv_text(table).encode() for table in raw.tables.values()}
    return files | {"job.toml": toml_text(raw).encode()}


def toml_text(raw: RawJob) -> str:
    """The keys of a job as TOML."""
    data: dict[str, Any] = {}
    for key, text in raw.keys.items():
        section, dot, name = key.partition(".")
        if dot:
            data.setdefault(section, {})[name] = text
        else:
            data[key] = FORMAT if key == "format" else text
    return tomli_w.dumps(data)


def csv_text(table: RawTable) -> str:
    """A table as CSV; a cell that a spreadsheet would run as a formula gets an apostrophe."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(table.heading)
    for row in table.rows:
        writer.writerow([_escape(cell) for cell in row.cells])
    return out.getvalue()


def _escape(cell: str) -> str:
    if _FORMULA.match(cell) and not _PLAIN_NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell


def write_workbook(job: Job, file: Path | str) -> None:
    """Write a job as one workbook: a sheet for ``job.toml`` and one for each table."""
    path = Path(file)
    write_files(path.parent, {path.name: workbook_bytes(job)})


def workbook_bytes(job: Job) -> bytes:
    """The workbook of a job; equal jobs give equal bytes."""
    import xlsxwriter

    raw = job_text(job)
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"created": _MADE})
    formats = _Formats(book)
    heading = (KEY_HEADING, VALUE_HEADING)
    _fill_sheet(book.add_worksheet(JOB), formats, heading, list(raw.keys.items()), frozenset())
    for table in raw.tables.values():
        rows = [row.cells for row in table.rows]
        sheet = book.add_worksheet(table.name)
        _fill_sheet(sheet, formats, table.heading, rows, _number_columns(table))
    book.close()
    return out.getvalue()


class _Formats:
    """Cell formats of a workbook, made once each."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._known: dict[str, Any] = {}
        self.heading = book.add_format({"bold": True, "bottom": 1})
        self.text = book.add_format({"num_format": "@"})
        # The mark by which a spreadsheet knows that "=..." was typed as text.
        self.quoted = book.add_format({"num_format": "@", "quote_prefix": True})

    def places(self, count: int) -> Any:
        """Format that shows so many decimals."""
        shown = "0." + "0" * count if count else "0"
        if shown not in self._known:
            self._known[shown] = self._book.add_format({"num_format": shown})
        return self._known[shown]


def _number_columns(table: RawTable) -> frozenset[int]:
    row = next(one.row for one in tables() if one.name == table.name)
    numeric = {one.name for one in columns_of(row) if one.kind in ("quantity", "integer")}
    return frozenset(n for n, name in enumerate(table.heading) if name.split(" [")[0] in numeric)


def _fill_sheet(
    sheet: Any,
    formats: _Formats,
    heading: tuple[str, ...],
    rows: list[tuple[str, ...]],
    numeric: frozenset[int],
) -> None:
    sheet.freeze_panes(1, 1)
    for column, text in enumerate(heading):
        sheet.write_string(0, column, text, formats.heading)
        widest = max([len(text), *(len(row[column]) for row in rows)])
        sheet.set_column(column, column, min(widest + 2, 60))
    for number, cells in enumerate(rows, 1):
        for column, text in enumerate(cells):
            places = _places(text) if column in numeric else None
            if places is not None:
                sheet.write_number(number, column, float(text), formats.places(places))
            elif text:
                style = formats.quoted if _FORMULA.match(text) else formats.text
                sheet.write_string(number, column, text, style)


def _places(text: str) -> int | None:
    """Decimals of a number that a sheet can hold digit for digit; None for any other text."""
    found = _SHEET_NUMBER.fullmatch(text)
    digits = len(text.lstrip("-0.").replace(".", ""))
    places = len((found and found["places"]) or "")
    return places if found and digits <= 15 and places <= 12 else None
