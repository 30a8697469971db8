"""The parser of all commands; it imports no action, so that help comes at once."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, NoReturn

import abreast
from abreast.cli import calc, demo, jobs, plan, prove, solve
from abreast.errors import InputError

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

__all__ = ["build_parser"]

_DESCRIPTION = """\
Space-out of twin-string ESP completions with a Y-tool: which measured joints to run beside the
ESP so that the bypass closes on it, with proof, checks, drawings and documents. The program
advises; people decide (docs/cautions.md)."""

_EPILOG = """\
exit status: 0 done; 1 done, but a limit is exceeded, something is refused or there is no
solution; 2 input could not be used. Results go to standard output, everything else to standard
error. `abreast COMMAND --help` tells more about one command."""


class _Parser(argparse.ArgumentParser):
    """Complains in one sentence, through the same door as every other fault."""

    def error(self, message: str) -> NoReturn:
        """Raise InputError in place of printing usage and leaving."""
        text = f"{message}; `{self.prog} --help` shows what it takes"
        raise InputError(text, code="usage")

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        # argparse swallows a failed write; help that went nowhere is no success.
        (file or sys.stdout).write(message)


def build_parser() -> argparse.ArgumentParser:
    """The whole command line as one parser; each command sets ``run`` on the result."""
    parser = _Parser(
        prog="abreast",
        description=_DESCRIPTION,
        epilog=_EPILOG,
        allow_abbrev=False,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"abreast {abreast.__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for module in (demo, jobs, plan, prove, solve, calc):
        module.add_to(commands)
    return parser
