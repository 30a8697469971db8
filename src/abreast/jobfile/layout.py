"""Which tables and sections a job has, and what the columns of each are.

Everything is read off the model: a field added there is a column here.
"""

from __future__ import annotations

import difflib
import re
import types
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from abreast.model import End, Job, Part, Quantity, Signature
from abreast.model.quantity import Across, FromZero
from abreast.units import Dimension, bare_name, dimension_of_field

__all__ = [
    "FORMAT",
    "JOB",
    "ORDERED",
    "Column",
    "Table",
    "columns_of",
    "nearest",
    "normal",
    "sections",
    "tables",
    "top_columns",
]

FORMAT = 1
JOB = "job"
ORDERED = {"esp": "esp", "bypass": "bypass", "upper": "upper"}
# Tables and sections whose name on file is not that of the field.
_FILE_NAMES = {"tail": "bypass", "survey_head": "survey"}
_DERIVED = {"suspicions"}

Kind = Literal["quantity", "choice", "flag", "integer", "text", "end", "signature", "date", "names"]
_SIMPLE: dict[Any, Kind] = {
    bool: "flag",
    int: "integer",
    str: "text",
    date: "date",
    End: "end",
    Signature: "signature",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, or one key of a section."""

    field: str
    name: str
    kind: Kind
    required: bool
    description: str
    dimension: Dimension | None = None
    small: bool = False
    from_zero: bool = False
    quantity: type[Quantity] = Quantity
    choices: tuple[str, ...] = ()
    default: Any = None

    @property
    def takes_unit(self) -> bool:
        """Whether its heading carries a unit."""
        return self.dimension not in (None, Dimension.RATIO, Dimension.COUNT)


@dataclass(frozen=True, slots=True)
class Table:
    """A table or a section: its name on file, its field of the job, the type of a row."""

    name: str
    field: str
    row: type[Part]
    required: bool
    description: str

    @property
    def file(self) -> str:
        """Name of its file in a job folder."""
        return f"{self.name}.csv"


def normal(name: str) -> str:
    """A name without the differences people make: case, blanks, hyphens."""
    return re.sub(r"[\s\-]+", "_", name.strip()).casefold()


def nearest(name: str, known: list[str]) -> str:
    """A hint at the nearest known name, or the list when it is short, or nothing."""
    near = difflib.get_close_matches(normal(name), known, 1, 0.6)
    if near:
        return f"; did you mean {near[0]!r}?"
    return f"; known are {', '.join(known)}" if len(known) <= 40 else ""


def _core(annotation: Any) -> Any:
    """The type inside ``Annotated`` and ``| None``."""
    while True:
        if get_origin(annotation) in (Union, types.UnionType):
            inner = [one for one in get_args(annotation) if one is not type(None)]
            annotation = inner[0]
        elif hasattr(annotation, "__metadata__"):
            annotation = annotation.__origin__
        else:
            return annotation


def _kind(core: Any) -> Kind:
    if isinstance(core, type) and issubclass(core, Quantity):
        return "quantity"
    if get_origin(core) is Literal:
        return "integer" if isinstance(get_args(core)[0], int) else "choice"
    if get_origin(core) is tuple:
        return "names"
    return _SIMPLE[core]


def _column(name: str, info: FieldInfo) -> Column:
    core = _core(info.annotation)
    kind = _kind(core)
    is_quantity = kind == "quantity"
    return Column(
        field=name,
        name=bare_name(name) if is_quantity else name,
        kind=kind,
        required=info.is_required(),
        description=info.description or "",
        dimension=(dimension_of_field(name) or Dimension.RATIO) if is_quantity else None,
        small=any(isinstance(mark, Across) for mark in info.metadata),
        from_zero=any(isinstance(mark, FromZero) for mark in info.metadata),
        quantity=core if is_quantity else Quantity,
        choices=tuple(get_args(core)) if kind == "choice" else (),
        default=None if info.is_required() else info.get_default(call_default_factory=True),
    )


@cache
def columns_of(part: type[Part]) -> tuple[Column, ...]:
    """The columns of a table whose rows are of that type, in the order of the model."""
    return tuple(_column(name, info) for name, info in part.model_fields.items())


def _inner(info: FieldInfo) -> tuple[type[Part] | None, bool]:
    """The part a field of the job holds, and whether it holds many."""
    core = _core(info.annotation)
    if get_origin(core) is tuple:
        return get_args(core)[0], True
    return (core, False) if isinstance(core, type) and issubclass(core, Part) else (None, False)


@cache
def _parts() -> tuple[tuple[Table, ...], tuple[Table, ...], tuple[Column, ...]]:
    single: list[Table] = []
    many: list[Table] = []
    top: list[Column] = []
    for name, info in Job.model_fields.items():
        if name in _DERIVED:
            continue
        part, is_many = _inner(info)
        if part is None:
            top.append(_column(name, info))
            continue
        on_file = _FILE_NAMES.get(name, name)
        row = Table(on_file, name, part, info.is_required(), info.description or "")
        (many if is_many else single).append(row)
    return tuple(single), tuple(many), tuple(top)


def sections() -> tuple[Table, ...]:
    """The sections of ``job.toml``."""
    return _parts()[0]


def tables() -> tuple[Table, ...]:
    """The long tables: one CSV file or one sheet each."""
    return _parts()[1]


def top_columns() -> tuple[Column, ...]:
    """The keys of ``job.toml`` that stand in no section."""
    return _parts()[2]
