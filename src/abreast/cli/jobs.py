"""Commands on a job folder: ``init``, ``check``, ``convert`` and ``schema``."""

from __future__ import annotations

import argparse
from pathlib import Path

from abreast.cli import faults, options, output

__all__ = ["add_to"]

_JOB_HELP = "job folder, or workbook (.xlsx)"


def add_to(commands: options.Commands) -> None:
    """Declare the commands."""
    _add_init(commands)
    _add_check(commands)
    _add_convert(commands)
    _add_schema(commands)


def _add_init(commands: options.Commands) -> None:
    parser = options.add_command(
        commands,
        "init",
        _init,
        summary="write a job to a new folder, to edit into your own",
        more="It is the invented example, complete, unless --blank is given.",
        example="abreast init my_job",
    )
    parser.add_argument("dir", metavar="DIR", help="folder to make; must be new or empty")
    text = "every field named and explained, and left open, in place of the example"
    parser.add_argument("--blank", action="store_true", help=text)
    text = "a top-hung job in place of a bottom-supported one"
    parser.add_argument("--top-hung", action="store_true", help=text)
    text = "headings of a blank job in feet, inches and pounds in place of SI"
    parser.add_argument("--oilfield", action="store_true", help=text)
    options.add_json(parser)


def _add_check(commands: options.Commands) -> None:
    parser = options.add_command(
        commands,
        "check",
        _check,
        summary="read a job and say what is wrong, suspicious or missing in it",
        example="abreast check my_job",
    )
    parser.add_argument("job", metavar="JOB", help=_JOB_HELP)
    options.add_strict(parser)
    options.add_json(parser)


def _add_convert(commands: options.Commands) -> None:
    parser = options.add_command(
        commands,
        "convert",
        _convert,
        summary="turn a job folder into a workbook, or a workbook into a job folder",
        more="What TARGET becomes follows from its name: .xlsx is a workbook.",
        example="abreast convert my_job my_job.xlsx",
    )
    parser.add_argument("job", metavar="JOB", help=_JOB_HELP)
    parser.add_argument("target", metavar="TARGET", help="folder or .xlsx to write")
    options.add_json(parser)


def _add_schema(commands: options.Commands) -> None:
    parser = options.add_command(
        commands,
        "schema",
        _schema,
        summary="print the JSON Schema of a job",
        example="abreast schema > job.schema.json",
    )
    options.add_json(parser, default="json")


def _init(args: argparse.Namespace) -> int:
    from abreast.actions import jobs

    jobs.init(Path(args.dir), blank=args.blank, top_hung=args.top_hung, oilfield=args.oilfield)
    what = "blank job" if args.blank else "example job"
    text = f"{args.dir}: {what} written; next: abreast check {args.dir}"
    return _written(args, Path(args.dir), text)


def _check(args: argparse.Namespace) -> int:
    from abreast.actions import jobs

    report = jobs.check(Path(args.job))
    return output.print_report(report, as_json=args.json, strict=args.strict)


def _convert(args: argparse.Namespace) -> int:
    from abreast.actions import jobs

    jobs.convert(Path(args.job), Path(args.target))
    return _written(args, Path(args.target), f"{args.target}: written from {args.job}")


def _schema(_args: argparse.Namespace) -> int:
    from abreast.actions import jobs

    output.print_json(jobs.schema())
    return faults.DONE


def _written(args: argparse.Namespace, path: Path, text: str) -> int:
    if args.json:
        output.print_json({"written": str(path)})
    else:
        output.print_text(text)
    return faults.DONE
