"""``abreast solve``: a bare space-out case in, one JSON answer out."""

from __future__ import annotations

import argparse

from abreast.cli import faults, options, output, reading

__all__ = ["add_to"]


def add_to(commands: options.Commands) -> None:
    """Declare the command."""
    parser = options.add_command(
        commands,
        "solve",
        _solve,
        summary="solve a bare space-out case, JSON in and JSON out",
        more="The case format is described in docs/reference/case_format.md.",
        example="abreast solve case.json --alternatives 3 --fall-backs",
    )
    parser.add_argument(
        "case", metavar="CASE", help="the case, a JSON file; '-' reads it from input"
    )
    options.add_limit(parser)
    parser.add_argument(
        "--alternatives",
        type=options.count,
        metavar="K",
        default=0,
        help="give the K next best plans as well (default 0)",
    )
    parser.add_argument(
        "--fall-backs",
        action="store_true",
        help="for every item of the answer, the plan if that item is rejected",
    )
    parser.add_argument(
        "--explain",
        action="store_true",
        help="when nothing fits: the rules that block one another, and what would cure it",
    )
    options.add_json(parser, default="json")


def _solve(args: argparse.Namespace) -> int:
    from abreast.actions.solve import solve_text

    text, name = reading.read_text(args.case)
    with output.progress() as show:
        answer = solve_text(
            text,
            name,
            limit_s=args.limit,
            alternatives=args.alternatives,
            fall_backs=args.fall_backs,
            explain=args.explain,
            progress=show,
        )
    output.print_json(answer)
    return faults.DONE if answer["status"] == "optimal" else faults.EXCEEDS
