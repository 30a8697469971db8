"""A job as text: tables of cells, before any of it is understood.

A folder and a workbook both come to this, and both are written from it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from abreast.errors import Where
from abreast.jobfile.issues import Issue

__all__ = ["HEADING_ROW", "RawJob", "RawRow", "RawTable"]

HEADING_ROW = 1


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row: its number as a spreadsheet counts, and the text of its cells."""

    number: int
    cells: tuple[str, ...]

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in it."""
        return not any(cell.strip() for cell in self.cells)


@dataclass(frozen=True, slots=True)
class RawTable:
    """One table; ``label`` is the file or sheet as a message names it.

    ``as_text`` holds row and column of numbers that a workbook stores as text.
    """

    name: str
    label: str
    heading: tuple[str, ...]
    rows: tuple[RawRow, ...]
    in_workbook: bool = False
    as_text: frozenset[tuple[int, int]] = frozenset()

    def address(self, row: int, column: int) -> str:
        """Address of a cell in the workbook, ``C5``; blank for a CSV file."""
        if not self.in_workbook:
            return ""
        letters = ""
        index = column + 1
        while index:
            index, rest = divmod(index - 1, 26)
            letters = chr(65 + rest) + letters
        return f"{letters}{row}"

    def where(self, row: int | None = None, field_name: str = "", piece: str = "") -> Where:
        """A place in this table."""
        return Where(file=self.label, row=row, field=field_name, piece=piece)

    def with_cell(self, row: int, column: int, text: str) -> RawTable:
        """The same table with another text in one cell."""
        if row == HEADING_ROW:
            heading = _put(self.heading, column, text)
            return replace(self, heading=heading)
        rows = tuple(
            replace(one, cells=_put(one.cells, column, text)) if one.number == row else one
            for one in self.rows
        )
        return replace(self, rows=rows)


def _put(cells: tuple[str, ...], index: int, text: str) -> tuple[str, ...]:
    padded = [*cells, *[""] * (index + 1 - len(cells))]
    padded[index] = text
    return tuple(padded)


@dataclass(slots=True)
class RawJob:
    """All the text of a job: keys such as ``base.seat_plane``, and the tables."""

    keys_label: str = "job.toml"
    in_workbook: bool = False
    keys: dict[str, str] = field(default_factory=dict)
    key_rows: dict[str, int] = field(default_factory=dict)
    tables: dict[str, RawTable] = field(default_factory=dict)
    issues: list[Issue] = field(default_factory=list)

    def key_address(self, key: str) -> str:
        """Address of the value of a key in a workbook, ``B5``; blank for ``job.toml``."""
        row = self.key_rows.get(key)
        return f"B{row}" if self.in_workbook and row is not None else ""

    def key_where(self, key: str) -> Where:
        """The place of a key."""
        return Where(file=self.keys_label, row=self.key_rows.get(key), field=key)
