"""Tables as text for a terminal, as CSV, and as a workbook; the same table, the same bytes."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from abreast.documents.table import Column, Row, Table
from abreast.errors import MissingInputError
from abreast.jobfile.raw import RawRow, RawTable
from abreast.jobfile.write import csv_text
from abreast.units import to_unit
from abreast.units.printing import display_unit

__all__ = ["csv_of", "text_of", "workbook_of"]

_MADE = datetime(2000, 1, 1)
_RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
_STRUCK_MARK = "x"


def csv_of(table: Table) -> str:
    """The table as CSV; numbers bare, in the unit of the heading; formulas made harmless."""
    rows = (tuple(_bare(table, row)) for row in table.rows)
    raw = tuple(RawRow(number, cells) for number, cells in enumerate(rows, 2))
    return csv_text(RawTable(table.name, table.name, table.heading(), raw))


def _bare(table: Table, row: Row) -> list[str]:
    """Cells without the commas that part thousands."""
    pairs = zip(table.columns, row.cells, table.texts(row), strict=True)
    return [
        text.replace(",", "") if isinstance(cell, float) and column.dimension else text
        for column, cell, text in pairs
    ]


def text_of(table: Table, width: int = 100) -> str:
    """The table as lines of at most ``width`` signs; columns of words give way first.

    Struck rows carry an ``x`` at their head. Parts of words that do not fit are
    marked with '…'.
    """
    marks = any(row.struck for row in table.rows)
    lines = [table.heading(), *(table.texts(row) for row in table.rows)]
    widths = _widths(table, lines, width - (2 if marks else 0))
    heads = ["", *(_STRUCK_MARK if row.struck else "" for row in table.rows)]
    shown = []
    for head, cells in zip(heads, lines, strict=True):
        line = " ".join(
            _set(column, text, wide)
            for column, text, wide in zip(table.columns, cells, widths, strict=True)
        )
        shown.append(f"{head:1} {line}" if marks else line)
    rule = "-" * max(len(line.rstrip()) for line in shown)
    return "\n".join(line.rstrip() for line in [shown[0], rule, *shown[1:]]) + "\n"


def _widths(table: Table, lines: Sequence[tuple[str, ...]], width: int) -> list[int]:
    """Widths of the columns: what they hold, the widest words cut down until the line fits."""
    widths = [max(len(cells[n]) for cells in lines) for n in range(len(table.columns))]
    while sum(widths) + len(widths) - 1 > width:
        spare = [
            (wide - column.least, n)
            for n, (column, wide) in enumerate(zip(table.columns, widths, strict=True))
            if column.dimension is None and wide > max(column.least, 1)
        ]
        if not spare:
            break
        widths[max(spare)[1]] -= 1
    return widths


def _set(column: Column, text: str, width: int) -> str:
    if len(text) > width:
        text = text[: width - 1] + "…"
    return f"{text:>{width}}" if column.dimension is not None else f"{text:<{width}}"


def workbook_of(tables: Sequence[Table]) -> bytes:
    """The tables as one workbook, a sheet each; numbers are numbers, words never formulas.

    Raises
    ------
    MissingInputError
        If the package that writes workbooks is not installed.
    """
    try:
        import xlsxwriter
    except ImportError:
        raise MissingInputError(needs="the package xlsxwriter to write a workbook") from None
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"created": _MADE})
    for table in tables:
        _sheet(book, book.add_worksheet(table.name), table)
    book.close()
    return out.getvalue()


def _sheet(book: Any, sheet: Any, table: Table) -> None:
    bold = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    for place, text in enumerate(table.heading()):
        sheet.write_string(0, place, text, bold)
        widest = max([len(text) * 0.7, *(len(table.texts(row)[place]) for row in table.rows)])
        sheet.set_column(place, place, min(widest + 2, 60))
    for number, row in enumerate(table.rows, 1):
        for place, column in enumerate(table.columns):
            _cell(book, sheet, (number, place), table, (row, column))


def _cell(
    book: Any, sheet: Any, at: tuple[int, int], table: Table, what: tuple[Row, Column]
) -> None:
    row, column = what
    cell, text = row.cells[at[1]], table.texts(row)[at[1]]
    look: dict[str, Any] = {"font_strikeout": row.struck, "bold": row.strong}
    if isinstance(cell, float) and column.dimension is not None:
        unit = display_unit(column.dimension, table.system, small=column.small)
        places = len(text.partition(".")[2])
        look["num_format"] = "0." + "0" * places if places else "0"
        sheet.write_number(*at, to_unit(cell, unit, column.dimension), book.add_format(look))
    elif isinstance(cell, int):
        sheet.write_number(*at, cell, book.add_format(look))
    elif text:
        look |= {"num_format": "@", "quote_prefix": text.startswith(_RUNS_AS_FORMULA)}
        sheet.write_string(*at, text, book.add_format(look))
