"""``abreast demo``: the invented demonstration job, planned from start to finish."""

from __future__ import annotations

import argparse
from pathlib import Path

from abreast.cli import options, output

__all__ = ["add_to"]

_DEFAULT_OUT = "demo_out"


def add_to(commands: options.Commands) -> None:
    """Declare the command."""
    parser = options.add_command(
        commands,
        "demo",
        _demo,
        summary="plan an invented job and write its work pack, to see what abreast does",
        example="abreast demo -o demo_out",
    )
    parser.add_argument(
        "-o",
        "--out",
        metavar="OUT",
        default=_DEFAULT_OUT,
        help=f"folder to write (default {_DEFAULT_OUT})",
    )
    options.add_json(parser)


def _demo(args: argparse.Namespace) -> int:
    from abreast.actions.demo import demo

    with output.progress() as show:
        report = demo(Path(args.out), show)
    return output.print_report(report, as_json=args.json)
