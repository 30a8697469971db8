"""The commands page of the documentation, made from the parser itself.

``python -m abreast.cli.reference`` prints it; a test fails when the page on file is stale. It
is not argparse's own help text, since that differs between versions of Python.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from abreast.cli import output
from abreast.cli.parser import build_parser

__all__ = ["commands_page"]

_HEAD = """\
# Commands

Made from the program (`python -m abreast.cli.reference`); do not edit by hand.

Every command is started as `./abreast COMMAND` in a clone, or `abreast COMMAND` where it is
installed. Results go to standard output and nothing else does; messages and progress go to
standard error.

| exit status | meaning |
| --- | --- |
| 0 | done; what was not checked is counted and shown (`--strict` makes that 1) |
| 1 | done, but something exceeds a limit, is refused, or has no solution |
| 2 | input could not be used: one sentence says what, where, and what to do |
| 3 | a fault of abreast itself; the message names the log to send |
| 130 | stopped with Ctrl-C |
| 143 | ended by another program (SIGTERM) |
| 141 | the program that read the output has gone |

With `--json` an error is also printed on standard output, as
`{"error": {"code", "message", "file", "row", "field", "piece"}}`.
`ABREAST_DEBUG=1` shows the traceback of a fault of abreast itself.
"""


def commands_page() -> str:
    """The whole page as Markdown, one section a command, in the order of the help."""
    sections = [_section(name, parser) for name, parser in _commands(build_parser())]
    return "\n".join([_HEAD, *sections])


def _commands(parser: argparse.ArgumentParser) -> Iterator[tuple[str, argparse.ArgumentParser]]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield from action.choices.items()


def _section(name: str, parser: argparse.ArgumentParser) -> str:
    actions = [a for a in parser._actions if not isinstance(a, argparse._HelpAction)]
    usage = " ".join(["abreast", name, *_usage(parser, actions)])
    rows = "".join(f"| `{_spelling(a)}` | {a.help} |\n" for a in actions)
    table = f"\n| argument | meaning |\n| --- | --- |\n{rows}" if rows else ""
    example = (parser.epilog or "").removeprefix("example: ")
    return (
        f"## {name}\n\n{parser.description}\n\n```text\n{usage}\n```\n"
        f"{table}\nExample:\n\n```sh\n{example}\n```\n"
    )


def _usage(parser: argparse.ArgumentParser, actions: list[argparse.Action]) -> Iterator[str]:
    """Words of the usage line; alternatives that exclude one another stand in one bracket."""
    groups = {id(g._group_actions[0]): g for g in parser._mutually_exclusive_groups}
    grouped = {id(a) for g in groups.values() for a in g._group_actions}
    for action in actions:
        if group := groups.get(id(action)):
            words = " | ".join(_word(a) for a in group._group_actions)
            yield f"({words})" if group.required else f"[{words}]"
        elif id(action) not in grouped:
            yield _word(action) if action.required else f"[{_word(action)}]"


def _word(action: argparse.Action) -> str:
    if not action.option_strings:
        return str(action.metavar)
    value = f" {action.metavar}" if action.nargs != 0 else ""
    return f"{action.option_strings[0]}{value}"


def _spelling(action: argparse.Action) -> str:
    if not action.option_strings:
        return str(action.metavar)
    value = f" {action.metavar}" if action.nargs != 0 else ""
    return ", ".join(f"{text}{value}" for text in action.option_strings)


if __name__ == "__main__":
    output.print_text(commands_page())
