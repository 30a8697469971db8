"""``abreast calc``: any public computation by name, JSON in and JSON out."""

from __future__ import annotations

import argparse

from abreast.cli import faults, options, output, reading

__all__ = ["add_to"]


def add_to(commands: options.Commands) -> None:
    """Declare the command."""
    parser = options.add_command(
        commands,
        "calc",
        _calc,
        summary="run one calculator, JSON on standard input and JSON out",
        more="Field names carry their unit (length_m, load_n).",
        example="abreast calc --example NAME | abreast calc NAME",
    )
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("name", nargs="?", metavar="NAME", help="the calculator to run")
    what.add_argument("--list", action="store_true", help="name the calculators, one a line")
    what.add_argument("--schema", metavar="NAME", help="print the JSON Schema of its input")
    what.add_argument("--example", metavar="NAME", help="print an input that works")
    options.add_json(parser, default="json")


def _calc(args: argparse.Namespace) -> int:
    from abreast.actions import calculators

    if args.list:
        _print_names(calculators.names(), as_json=args.json)
    elif args.schema is not None:
        output.print_json(calculators.schema(args.schema))
    elif args.example is not None:
        output.print_json(calculators.example(args.example))
    else:
        calculators.schema(args.name)  # an unknown name is told before input is waited for
        output.print_json(calculators.run(args.name, reading.read_json("-")))
    return faults.DONE


def _print_names(names: list[tuple[str, str]], *, as_json: bool) -> None:
    if as_json:
        output.print_json([{"name": name, "summary": summary} for name, summary in names])
        return
    width = max(len(name) for name, _ in names)
    output.print_text("\n".join(f"{name:<{width}}  {summary}" for name, summary in names))
