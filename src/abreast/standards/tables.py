"""Reading the data files: columns with units in, rows of SI numbers out."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from dataclasses import fields
from importlib import resources
from typing import Any, Protocol, TypeVar

from abreast.errors import InputError
from abreast.units import Dimension, bare_name, dimension_of_field, parse, parse_unit_header

__all__ = ["HasSize", "read_table", "same_size", "size_of"]

Row = TypeVar("Row")
SizedRow = TypeVar("SizedRow", bound="HasSize")
# Half a millimetre tells neighbouring API sizes apart and forgives metric rounding.
_SAME_SIZE_M = 0.0005


class HasSize(Protocol):
    """A row that belongs to a pipe size."""

    @property
    def size(self) -> str:
        """Size as the trade writes it, for example ``9-5/8``."""


def read_table(name: str, row_type: type[Row]) -> tuple[Row, ...]:
    """Rows of one data file of this package as instances of a dataclass.

    A column ``wall [in]`` fills the field ``wall_m``; an empty cell is None.
    """
    text = resources.files("abreast.standards").joinpath("data", name).read_text("utf-8")
    reader = csv.DictReader(text.splitlines())
    columns = {parse_unit_header(heading): heading for heading in reader.fieldnames or ()}
    by_name = {column: (heading, unit) for (column, unit), heading in columns.items()}
    known = {field.name: by_name[bare_name(field.name)] for field in fields(row_type)}  # type: ignore[arg-type]
    return tuple(
        row_type(
            **{field: _cell(field, row[heading], unit) for field, (heading, unit) in known.items()}
        )
        for row in reader
    )


def _cell(field: str, text: str, unit: str | None) -> Any:
    dimension = dimension_of_field(field)
    if dimension is None:
        return text
    return parse(text, dimension, unit).si if text else None


def size_of(text: str) -> float:
    """Diameter that a size names [m]: ``9-5/8``, ``9 5/8 in``, ``9.625`` or ``244.5 mm``.

    Examples
    --------
    >>> size_of("2-7/8") == size_of("2.875 in")
    True
    """
    return parse(text, Dimension.LENGTH, unit="in").si


def same_size(rows: Iterable[SizedRow], size: str) -> list[SizedRow]:
    """The rows of one size.

    Raises
    ------
    InputError
        ``not-in-table``, with the sizes there are.
    """
    rows = list(rows)
    od_m = size_of(size)
    found = [row for row in rows if math.isclose(size_of(row.size), od_m, abs_tol=_SAME_SIZE_M)]
    if not found:
        sizes = ", ".join(dict.fromkeys(row.size for row in rows))
        message = f"size {size!r} is not in the table; it has {sizes} in"
        raise InputError(message, code="not-in-table")
    return found
