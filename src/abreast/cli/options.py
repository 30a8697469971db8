"""What several commands share: how a command is declared, and common options."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

__all__ = ["add_command", "add_json", "add_limit", "add_strict", "count", "seconds"]

Run = Callable[[argparse.Namespace], int]


def add_command(
    commands: Commands, name: str, run: Run, *, summary: str, example: str, more: str = ""
) -> argparse.ArgumentParser:
    """Declare one command with its one-line summary, a longer text and an example."""
    parser = commands.add_parser(
        name,
        help=summary,
        description=f"{summary[0].upper()}{summary[1:]}. {more}".strip(),
        epilog=f"example: {example}",
        allow_abbrev=False,
    )
    parser.set_defaults(run=run)
    return parser


def add_json(parser: argparse.ArgumentParser, default: str = "text") -> None:
    """Add ``--json``; the commands that print JSON anyway take it for errors too."""
    note = "print the result as one JSON object" if default == "text" else "JSON is the default"
    parser.add_argument("--json", action="store_true", help=f"{note}; errors too become JSON")


def add_strict(parser: argparse.ArgumentParser) -> None:
    """Add ``--strict``: what was not checked counts against the exit status."""
    text = "exit status 1 also when something was not checked"
    parser.add_argument("--strict", action="store_true", help=text)


def add_limit(parser: argparse.ArgumentParser, default: float | None = None) -> None:
    """Add ``--limit SECONDS`` for the search."""
    text = "stop the search after this time and give the best found, with how far it is proved"
    parser.add_argument("--limit", type=seconds, metavar="SECONDS", default=default, help=text)


def seconds(text: str) -> float:
    """A time above zero, as argparse wants its types.

    Raises
    ------
    argparse.ArgumentTypeError
        When the text is not a finite number above zero.
    """
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not (math.isfinite(value) and value > 0):
        message = f"{text!r} is not a time; give seconds above 0, for example 10"
        raise argparse.ArgumentTypeError(message)
    return value


def count(text: str) -> int:
    """A whole number from 0 to 1,000, as argparse wants its types.

    Raises
    ------
    argparse.ArgumentTypeError
        When the text is no such number.
    """
    if not (text.isascii() and text.isdigit() and int(text) <= 1000):
        message = f"{text!r} is not a whole number from 0 to 1000"
        raise argparse.ArgumentTypeError(message)
    return int(text)
