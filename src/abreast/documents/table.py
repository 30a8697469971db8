"""A table of a document: columns that know their unit, rows that hold SI numbers and words."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.units import Dimension, System, display_unit, figure

__all__ = ["Cell", "Column", "Row", "Table"]

Cell = str | int | float | None
"""Words, a count, a number in SI, or nothing."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column; ``dimension`` is the kind of its numbers, None for words and counts.

    ``least`` is the width to which words may be cut on a terminal; ``bare`` leaves
    the unit out of the heading, where the page tells it.
    """

    heading: str
    dimension: Dimension | None = None
    small: bool = False
    least: int = 0
    bare: bool = False

    def headed(self, system: System) -> str:
        """The heading with the unit in brackets."""
        if self.dimension is None or self.bare:
            return self.heading
        unit = display_unit(self.dimension, system, small=self.small)
        return f"{self.heading} [{unit}]" if unit else self.heading

    def shown(self, cell: Cell, system: System) -> str:
        """A cell as text, in the unit of the heading."""
        if cell is None:
            return ""
        if self.dimension is None or not isinstance(cell, float):
            return str(cell)
        return figure(cell, self.dimension, system, small=self.small)


@dataclass(frozen=True, slots=True)
class Row:
    """One row; a struck one stays to be seen but does not count."""

    cells: tuple[Cell, ...]
    struck: bool = False
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its name and its units."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    system: System

    def heading(self) -> tuple[str, ...]:
        """The headings, units included."""
        return tuple(column.headed(self.system) for column in self.columns)

    def texts(self, row: Row) -> tuple[str, ...]:
        """The cells of a row as text."""
        cells = zip(self.columns, row.cells, strict=True)
        return tuple(column.shown(cell, self.system) for column, cell in cells)
