"""``abreast prove``: is a procedure safe step by step, or which step breaks which rule?"""

from __future__ import annotations

import argparse
from pathlib import Path

from abreast.cli import options, output, reading

__all__ = ["add_to"]


def add_to(commands: options.Commands) -> None:
    """Declare the command."""
    parser = options.add_command(
        commands,
        "prove",
        _prove,
        summary="prove a running procedure step by step, or name the step that breaks a rule",
        more=(
            "The format is described in docs/reference/procedure_format.md. Of a job, the procedure"
            " is made from its space-out."
        ),
        example="abreast prove steps.json --mutants",
    )
    parser.add_argument(
        "steps",
        metavar="STEPS",
        help="the procedure, a JSON file; '-' reads it from input; or a job folder or workbook",
    )
    text = "also drop, swap and hasten steps, and show what is accepted without a reason"
    parser.add_argument("--mutants", action="store_true", help=text)
    text = "make the pulling procedure of this run, and prove that instead"
    parser.add_argument("--pull", action="store_true", help=text)
    text = "write the procedure to this new file; repaired, if it was refused"
    parser.add_argument("-o", "--out", metavar="OUT", help=text)
    text = "stop the space-out of a job after this time"
    parser.add_argument("--limit", type=options.seconds, metavar="SECONDS", help=text)
    options.add_strict(parser)
    options.add_json(parser)


def _prove(args: argparse.Namespace) -> int:
    from abreast.actions import prove

    out = Path(args.out) if args.out else None
    with output.progress() as show:
        if prove.is_job(args.steps):
            report = prove.prove_job(
                Path(args.steps),
                limit_s=args.limit,
                with_mutants=args.mutants,
                pulling=args.pull,
                out=out,
                progress=show,
            )
        else:
            text, name = reading.read_text(args.steps)
            report = prove.prove_text(
                text,
                name,
                with_mutants=args.mutants,
                pulling=args.pull,
                out=out,
                progress=show,
            )
    return output.print_report(report, as_json=args.json, strict=args.strict)
