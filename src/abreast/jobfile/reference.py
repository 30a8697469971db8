"""The reference page of the job folder, made from the model."""

from __future__ import annotations

from abreast.jobfile.cells import ascii_unit
from abreast.jobfile.guard import (
    MOST_BYTES,
    MOST_COLUMNS,
    MOST_ROWS,
    MOST_STATIONS,
    MOST_TOML_BYTES,
)
from abreast.jobfile.layout import Column, Table, columns_of, sections, tables, top_columns
from abreast.model.quantity import ORIGIN_KINDS
from abreast.units import display_unit

__all__ = ["reference_text", "unit_hint"]

_INTRODUCTION = f"""\
# Job folder

This page is made from the model: `python -m abreast.jobfile`.

A job is a folder with `job.toml` for small facts and one CSV file for each long table. The same
tables travel as sheets of one workbook (`.xlsx`): sheet `job` has the columns `field` and `value`
with `base.seat_plane` and the like; every other sheet has the name of its table. Other files in
the folder are left alone; an unknown `.csv` file or sheet is an error (a sheet may be called
`notes`).

## Notation

The same in `job.toml`, in CSV and in sheets:

| what | how |
| --- | --- |
| value | `31.42 ft`, `31 ft 5 1/16 in`, `9 5/8 in`, `9.577 m`, `15,000 lbf`, `62 %` |
| in a table | the unit stands in the heading, `overall [ft]`, and the cell holds `31.42`; a cell \
may still carry its own unit |
| origin | after `@`: `8.681 in @ sheet`, `31.42 @ measured: A. Pell`; one of \
{", ".join(f"`{kind}`" for kind in ORIGIN_KINDS)}, and after a colon who or which |
| no value | `not measured: rule broken`, `n/a: no flange`; always with the reason |
| yes or no | `yes`, `no` |
| day | `2024-05-01` |
| signature | `A. Pell, 2024-05-01` |
| end of a pipe | thread code of `threads.csv` and `pin`, `box`, `flange` or `plain`: `SF pin` |
| list of names | `P08; P10` |

A value without origin takes that of its row or section (`origin`), else `default_origin` of the
job. A blank is never zero: in a required cell it is an error, elsewhere it means that nobody has
given the value, and a check that needs it says so. A rating is a force (`lbf`, `kN`, `tf`), a
weight is a mass (`lb`, `kg`, `t`). A cell that begins with `=`, `+`, `-` or `@` is written to CSV
with an apostrophe before it, so that no spreadsheet runs it; reading takes it off again.

Rows count as in a spreadsheet: the heading is row 1. A blank row inside a table is an error.
Tables of a string (`esp`, `bypass`, `upper`) are typed in the order that `[order]` states.
Heights are counted from the zero that `heights_from` names: `esp` (seating shoulder at seat
height 0, or motor base), `base lower shoulder` or `bypass connection` (both as they stand with the
seat as planned). Every depth counts from a named datum of `datums.csv`.

Read are files up to {MOST_BYTES / 1e6:g} MB (`job.toml` {MOST_TOML_BYTES / 1e6:g} MB), {MOST_ROWS}
rows (`survey` {MOST_STATIONS}) and {MOST_COLUMNS} columns. A workbook with merged cells, hidden
rows or columns, formulas or dates where none belong is refused with the address of the cell.

## Corrections and suspicions

A cell that can be read but looks wrong (feet in a column of metres, digits swapped, wrong thread,
running sums that do not add up) is a *suspicion*. It blocks its rack piece, or the job when it
concerns no single piece, until a row of `corrections.csv` settles it:

| file | row | field | was | now | who | when | why |
| --- | --- | --- | --- | --- | --- | --- | --- |
| rack.csv | 38 | overall | 10.04 | 10.04 ft | A. Pell | 2024-05-01 | feet in the metric tally |
| rack.csv | 12 | overall | 31.55 | 31.55 | A. Pell | 2024-05-01 | measured again, right |

`was` must be what stands in the cell, else the row is refused. `now` equal to `was` accepts the
cell as it stands. A cell that already holds `now` was corrected before: the row stays and is
printed. Row 1 means the heading; for `job.toml` the row stays blank and the field is
`section.key`. A piece that is `rejected` or `laid aside` needs no correction.
"""


def unit_hint(column: Column) -> str:
    """The units a quantity is usually written in, oilfield and SI."""
    if column.kind != "quantity":
        return ""
    assert column.dimension is not None
    names = [
        ascii_unit(display_unit(column.dimension, "oilfield", small=column.small)),
        ascii_unit(display_unit(column.dimension, "SI", small=column.small)),
    ]
    return " or ".join(dict.fromkeys(name for name in names if name)) or "number"


def _row(column: Column) -> str:
    what = unit_hint(column) or {"names": "list of names"}.get(column.kind, column.kind)
    if column.choices:
        what = ", ".join(f"`{choice}`" for choice in column.choices)
    need = "yes" if column.required else ""
    return f"| `{column.name}` | {what} | {need} | {column.description} |"


def _block(title: str, columns: tuple[Column, ...]) -> list[str]:
    head = [
        "",
        f"### {title}",
        "",
        "| name | what | required | meaning |",
        "| --- | --- | --- | --- |",
    ]
    return [*head, *(_row(column) for column in columns)]


def _title(table: Table, name: str) -> str:
    need = "" if table.required else " (optional)"
    return f"{name}: {table.description}{need}"


def reference_text() -> str:
    """The whole page as Markdown."""
    lines = [_INTRODUCTION, "## job.toml"]
    lines += _block("Before the first section", top_columns())
    for section in sections():
        lines += _block(_title(section, f"`[{section.name}]`"), columns_of(section.row))
    lines += ["", "## Tables"]
    for table in tables():
        lines += _block(_title(table, f"`{table.file}`"), columns_of(table.row))
    return "\n".join(lines) + "\n"
