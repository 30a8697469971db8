"""``abreast plan``: space out a job, prove it, check it, write the pack."""

from __future__ import annotations

import argparse
from pathlib import Path

from abreast.cli import options, output

__all__ = ["add_to"]


def add_to(commands: options.Commands) -> None:
    """Declare the command."""
    parser = options.add_command(
        commands,
        "plan",
        _plan,
        summary="space out a job, run every check and write the work pack",
        more="A summary goes to standard output, the pack to the folder OUT.",
        example="abreast plan my_job -o my_pack",
    )
    parser.add_argument("job", metavar="JOB", help="job folder, or workbook (.xlsx)")
    parser.add_argument("-o", "--out", metavar="OUT", required=True, help="folder to write")
    parser.add_argument(
        "--paper",
        choices=["A4", "A3"],
        default="A4",
        help="paper of the drawings (default A4); the rest of the pack is A4",
    )
    parser.add_argument(
        "--every",
        metavar="LENGTH",
        help="look at the string so often on its way down (default '20 m'); seldom is quicker and"
        " may miss the worst place",
    )
    options.add_limit(parser)
    options.add_strict(parser)
    options.add_json(parser)


def _plan(args: argparse.Namespace) -> int:
    from abreast.actions.plan import distance_m, plan

    with output.progress() as show:
        report = plan(
            Path(args.job),
            Path(args.out),
            limit_s=args.limit,
            paper=args.paper,
            every_m=None if args.every is None else distance_m(args.every),
            progress=show,
        )
    return output.print_report(report, as_json=args.json, strict=args.strict)
