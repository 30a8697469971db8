"""Our space-out search beside CP-SAT: ``python -m benchmarks.spaceout.run``.

Prints Markdown. Ends with status 1 when an answer breaks a rule, the two
disagree or a process gives no answer, whatever the times.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from benchmarks.spaceout.generate import FLAVOURS, SIZES
from benchmarks.spaceout.measure import Run, run_case, whole_process
from benchmarks.spaceout.report import conditions, process_table, run_table

__all__ = ["main"]

_PROCESS_FLAVOURS = ("plain", "lifts")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the benchmark and print its tables; 1 when an answer is wrong."""
    args = _parser().parse_args(argv)
    if args.quick:
        args.sizes, args.cases, args.limit = [10, 20], 1, 5.0
        args.flavours = [flavour for flavour in args.flavours if "long" not in flavour]
    runs = _run_all(args)
    processes = [
        (f"{flavour} {size}", whole_process(0, size, flavour))
        for size in (args.sizes[-1:] if args.quick else args.sizes)
        for flavour in _PROCESS_FLAVOURS
    ]
    print(_report(args, runs, processes))
    silent = any(elapsed_s is None for _, times in processes for elapsed_s in times.values())
    return 1 if silent or any(run.faults for run in runs) else 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.spaceout.run", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a few small cases, under 20 s")
    parser.add_argument("--sizes", type=int, nargs="+", default=list(SIZES), metavar="N")
    parser.add_argument("--flavours", nargs="+", default=list(FLAVOURS), choices=list(FLAVOURS))
    parser.add_argument("--cases", type=int, default=4, help="of each size and flavour")
    parser.add_argument("--first", type=int, default=0, help="seed of the first case")
    parser.add_argument("--limit", type=float, default=20.0, help="seconds for each solve")
    parser.add_argument("--workers", type=int, default=1, help="search threads of the peer")
    return parser


def _run_all(args: argparse.Namespace) -> list[Run]:
    run_case(0, 10, "plain", args.limit)  # imports and caches of both are warm after this
    runs: list[Run] = []
    for size in args.sizes:
        for flavour in args.flavours:
            for seed in range(args.first, args.first + args.cases):
                run = run_case(
                    seed, size, flavour, args.limit, workers=args.workers, turn=len(runs)
                )
                runs.append(run)
                print(
                    f"{run.name}: {run.status}, ours {run.ours_s:.3f} s, peer {run.peer_s:.3f} s"
                    + "".join(f"\n  WRONG: {fault}" for fault in run.faults),
                    file=sys.stderr,
                    flush=True,
                )
    return runs


def _report(
    args: argparse.Namespace, runs: list[Run], processes: list[tuple[str, dict[str, float | None]]]
) -> str:
    apart, joined = [r for r in runs if not r.lifts], [r for r in runs if r.lifts]
    parts = ["# Space-out: our search beside CP-SAT", conditions(args.limit, args.workers)]
    for title, some in (("Without lifts", apart), ("With lifts", joined)):
        if some:
            parts += [f"## {title}, by pieces in the stock"]
            parts += [run_table(some, "stock", lambda run: run.size)]
    largest = [run for run in runs if run.size == max(args.sizes)]
    parts += [f"## Stock of {max(args.sizes)}, by flavour"]
    parts += [run_table(largest, "flavour", lambda run: run.flavour)]
    parts += ["## Whole process, from start to printed answer", process_table(processes)]
    wrong = [f"- {run.name}: {fault}" for run in runs for fault in run.faults]
    parts += ["## Answers", *(wrong or [_verdict(runs)])]
    return "\n\n".join(parts)


def _verdict(runs: list[Run]) -> str:
    both = sum(run.ours_proved and run.peer_proved for run in runs)
    return (
        f"Every answer of {len(runs)} cases kept every rule. Status and objective were equal in"
        f" all {both} cases that both proved."
    )


if __name__ == "__main__":
    sys.exit(main())
