"""What may be opened at all: sizes, kinds and places, judged before anything is parsed."""

from __future__ import annotations

import stat
from pathlib import Path

from abreast.errors import InputError, Where

__all__ = [
    "MOST_BYTES",
    "MOST_CELL",
    "MOST_COLUMNS",
    "MOST_ROWS",
    "MOST_STATIONS",
    "MOST_TOML_BYTES",
    "inside",
    "most_rows",
    "read_bytes",
    "read_text",
]

MOST_BYTES = 4_000_000
MOST_TOML_BYTES = 300_000
MOST_ROWS = 5_000
MOST_STATIONS = 20_000
MOST_COLUMNS = 200
MOST_CELL = 2_000


def most_rows(table: str) -> int:
    """Rows that a table may have; a survey, taken at short distances, has more than others."""
    return MOST_STATIONS if table == "survey" else MOST_ROWS


def inside(folder: Path, name: str) -> Path:
    """The path of a file of the folder; refused when a link leads it out of the folder."""
    path = folder / name
    try:
        target = path.resolve(strict=True)
    except (OSError, RuntimeError):
        message = "leads nowhere; put the file itself into the job folder"
        raise InputError(message, code="bad-link", where=Where(file=name)) from None
    if not target.is_relative_to(folder.resolve()):
        message = "leads out of the job folder; put the file itself into the folder"
        raise InputError(message, code="outside", where=Where(file=name))
    return path


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """The content of an ordinary file that is not too large.

    Raises
    ------
    InputError
        If it is no ordinary file, can't be read, or is larger than ``most`` bytes.
    """
    where = Where(file=path.name)
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            message = "is not an ordinary file; give a job folder or a workbook"
            raise InputError(message, code="not-a-file", where=where)
        with path.open("rb") as file:
            content = file.read(most + 1)
    except OSError as fault:
        message = f"cannot be read ({fault.strerror or 'system error'}); check name and rights"
        raise InputError(message, code="unreadable", where=where) from None
    if len(content) > most:
        message = f"is larger than {most / 1e6:g} MB; a job of this size is not read"
        raise InputError(message, code="too-large", where=where)
    return content


def read_text(path: Path, most: int = MOST_BYTES) -> str:
    """The text of a file in UTF-8, with or without its byte-order mark."""
    content = read_bytes(path, most)
    where = Where(file=path.name)
    if b"\0" in content:
        message = "is not text; save it as CSV or TOML in UTF-8"
        raise InputError(message, code="binary", where=where)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        row = content.count(b"\n", 0, fault.start) + 1
        message = "holds signs that are not UTF-8; save it again with encoding UTF-8"
        raise InputError(message, code="not-utf8", where=Where(path.name, row)) from None
