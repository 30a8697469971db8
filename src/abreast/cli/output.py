"""How results and progress are written: results to standard output, progress to a terminal."""

from __future__ import annotations

import io
import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol, TextIO

__all__ = ["prepare_streams", "print_json", "print_report", "print_text", "progress"]

Progress = Callable[[str], None]


def prepare_streams() -> None:
    """A terminal without our characters shows an escape in their place, never a traceback."""
    if sys.stdout is None:  # started with the descriptor closed
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - open for the whole process
    if sys.stderr is None:
        sys.stderr = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - open for the whole process
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def print_json(data: object) -> None:
    """One JSON value with a final newline on standard output."""
    plain = not (sys.stdout.encoding or "").lower().startswith("utf")
    print(json.dumps(data, indent=2, ensure_ascii=plain, allow_nan=False))


def print_text(text: str) -> None:
    """Text with exactly one final newline on standard output."""
    print(text.rstrip("\n"))


@contextmanager
def progress(stream: TextIO | None = None) -> Iterator[Progress | None]:
    """Hand out a function that shows one line in place, or None where nobody watches."""
    target = sys.stderr if stream is None else stream
    if not target.isatty():
        yield None
        return

    def show(line: str) -> None:
        target.write(f"\r\x1b[K{line}")
        target.flush()

    try:
        yield show
    finally:
        show("")


class Report(Protocol):
    """What an action hands back: it knows its own words, data and exit status."""

    @property
    def exit_status(self) -> int:
        """0 done; 1 something exceeds, is refused or has no solution."""

    @property
    def not_checked(self) -> int:
        """How many questions could not be answered for want of input."""

    def text(self) -> str:
        """The report in words."""

    def as_dict(self) -> dict[str, object]:
        """The report as plain data."""


def print_report(report: Report, *, as_json: bool, strict: bool = False) -> int:
    """Print a report; its exit status, which ``strict`` raises when something was not checked."""
    if as_json:
        print_json(report.as_dict())
    else:
        print_text(report.text())
    return max(report.exit_status, int(strict and report.not_checked > 0))
