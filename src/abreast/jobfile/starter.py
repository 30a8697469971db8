"""A starter job folder: every field named and explained, the required ones left to fill in."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from abreast.errors import InputError, Where
from abreast.jobfile.atomic import write_files
from abreast.jobfile.cells import ascii_unit
from abreast.jobfile.layout import FORMAT, Column, Table, columns_of, sections, tables, top_columns
from abreast.jobfile.reference import reference_text, unit_hint
from abreast.model.job import Arrangement
from abreast.units import System, display_unit

__all__ = ["starter", "starter_files"]

_OTHER_END = {"bottom-supported": "guide", "top-hung": "base"}
_LOAD_PATH = {"bottom-supported": "esp-held", "top-hung": "top-hung"}
_HEAD = """\
# A job of abreast. Text after a # is a remark.
# Fill in every "" and take the # off the lines that are needed; README.md explains each field.
# Values carry their unit and, after @, their origin: "8.681 in @ sheet".
# What nobody knows: "not measured: why". What there is not: "n/a: why".
# abreast check FOLDER tells what is still open.
"""


def starter(
    folder: Path | str,
    *,
    arrangement: Arrangement = "bottom-supported",
    units: Literal["oilfield", "SI"] = "SI",
) -> None:
    """Write a starter job folder.

    Parameters
    ----------
    folder : Path or str
        Made when it is not there.
    arrangement : {"bottom-supported", "top-hung"}
        Decides whether base support or entry guide is asked for.
    units : {"oilfield", "SI"}
        Units of the headings.

    Raises
    ------
    InputError
        If the folder already holds a job, or can't be written to.
    """
    target = Path(folder)
    if (target / "job.toml").exists():
        message = "already holds a job; give another folder"
        raise InputError(message, code="exists", where=Where(target.name))
    write_files(target, starter_files(arrangement, units))


def starter_files(arrangement: Arrangement, units: System) -> dict[str, bytes]:
    """Name and content of every file of a starter job folder, ``job.toml`` last."""
    files = {"README.md": reference_text()}
    for table in tables():
        if not (table.field == "tail" and arrangement == "top-hung"):
            files[table.file] = (
                ",".join(_heading(one, units) for one in columns_of(table.row)) + "\n"
            )
    files["job.toml"] = _toml(arrangement, units)
    return {name: text.encode() for name, text in files.items()}


def _heading(column: Column, units: System) -> str:
    if not column.takes_unit:
        return column.name
    assert column.dimension is not None
    unit = display_unit(column.dimension, units, small=column.small)
    return f"{column.name} [{ascii_unit(unit)}]"


def _toml(arrangement: Arrangement, units: System) -> str:
    filled = {
        "arrangement": arrangement,
        "load_path": _LOAD_PATH[arrangement],
        "units": units,
        "order.esp": "bottom to top",
    }
    lines = [_HEAD, f"format = {FORMAT}"]
    lines += [_line(one, filled, "") for one in top_columns() if one.name != "format"]
    for section in sections():
        if section.name != _OTHER_END[arrangement]:
            lines += _section(section, filled, _is_needed(section))
    return "\n".join(lines) + "\n"


def _is_needed(section: Table) -> bool:
    return section.required or section.name in _OTHER_END.values() or section.name == "survey"


def _section(section: Table, filled: dict[str, str], needed: bool) -> list[str]:
    mark = "" if needed else "# "
    lines = ["", f"{mark}[{section.name}]  # {section.description}"]
    for column in columns_of(section.row):
        line = _line(column, filled, f"{section.name}.")
        lines.append(line if needed or line.startswith("#") else f"# {line}")
    return lines


def _line(column: Column, filled: dict[str, str], prefix: str) -> str:
    value = filled.get(f"{prefix}{column.name}", "")
    what = ", ".join(column.choices) or unit_hint(column)
    mark = "" if column.required or value else "# "
    return f'{mark}{column.name} = "{value}"  # {column.description}{f"; {what}" if what else ""}'
