"""Does it fit, beside general-purpose minimisers: ``python -m benchmarks.fit.run``.

Prints Markdown. All methods get the same sections in the same run. Ends with
status 1 when a peer finds a smaller circle than ours, or ours leaves a disc
outside, whatever the times.
"""

from __future__ import annotations

import argparse
import math
import os
import platform
import sys
import time
from collections.abc import Callable, Sequence

from abreast.examples import example_path
from abreast.formulas.enclosing import Triplet, enclosing_circle
from abreast.jobfile import read_job
from abreast.mechanics.fit import Fit, fit
from abreast.model import Job
from abreast.spaceout.assemble import assemble
from abreast.spaceout.choose import choose
from benchmarks.fit.peers import Peer, peers
from benchmarks.fit.stations import stations

__all__ = ["main"]

_GOAL_S = 0.050
_SAME_M = 1e-9


def main(argv: Sequence[str] | None = None) -> int:
    """Run the benchmark and print its tables; 1 when an answer is wrong."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.fit.run", description=__doc__)
    parser.add_argument("--stations", type=int, default=1000, metavar="N")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--repeats", type=int, default=5, help="of ours; the median counts")
    args = parser.parse_args(argv)
    sections = stations(args.stations, args.seed)
    ours_s, ours = _ours(sections, args.repeats)
    faults = _outside(sections, ours)
    print(_conditions(len(sections)))
    print(_head(ours_s, len(sections)))
    for name, peer in peers().items():
        faults += _beside(name, peer, sections, (ours_s, ours))
    print(
        "\n## Whole assemblies\n\n| job | sections | windows | fit, ms |\n| --- | --- | --- | --- |"
    )
    for job in ("quernstone_14", "skerrow_a09"):
        print(_assembly(read_job(example_path(job)).require_job(), args.repeats))
    print("\n## Answers\n")
    print("\n".join(faults) or "No peer found a smaller circle; no disc sticks out of ours.")
    return 1 if faults else 0


def _timed(function: Callable[[], object]) -> float:
    start = time.perf_counter()
    function()
    return time.perf_counter() - start


def _ours(sections: Sequence[Sequence[Triplet]], repeats: int) -> tuple[float, list[float]]:
    times = sorted(
        _timed(lambda: [enclosing_circle(section) for section in sections]) for _ in range(repeats)
    )
    return times[len(times) // 2], [enclosing_circle(section).radius_m for section in sections]


def _outside(sections: Sequence[Sequence[Triplet]], radii: Sequence[float]) -> list[str]:
    """Sections in which a disc sticks out of our circle."""
    found = []
    for number, (section, radius_m) in enumerate(zip(sections, radii, strict=True)):
        circle = enclosing_circle(section)
        reach = max(math.hypot(x - circle.x_m, y - circle.y_m) + r for x, y, r in section)
        if reach > radius_m + _SAME_M:
            found.append(f"- station {number}: a disc sticks out by {reach - radius_m:g} m")
    return found


def _beside(
    name: str,
    peer: Peer,
    sections: Sequence[Sequence[Triplet]],
    ours: tuple[float, Sequence[float]],
) -> list[str]:
    """One row of the table; what the peer found better."""
    radii: list[float] = []
    peer_s = _timed(lambda: radii.extend(peer(section) for section in sections))
    over = [theirs - mine for theirs, mine in zip(radii, ours[1], strict=True)]
    print(
        f"| {name} | {1e3 * peer_s:.0f} | {1e6 * peer_s / len(sections):.0f}"
        f" | {1e3 * max(over):.2g} | {peer_s / ours[0]:.0f} |",
        flush=True,
    )
    return [
        f"- station {number}: {name} is smaller by {-more:g} m"
        for number, more in enumerate(over)
        if more < -_SAME_M
    ]


def _conditions(count: int) -> str:
    return (
        f"# Does it fit: {count} cross-sections\n\nPython {platform.python_version()},"
        f" {os.cpu_count()} cores ({platform.machine()}), one process. Six or seven discs each;"
        " no two sections alike. *Too large* is the most by which a radius exceeds the exact one.\n"
    )


def _head(ours_s: float, count: int) -> str:
    goal = "" if count != 1000 else f" (goal {1e3 * _GOAL_S:.0f})"
    return (
        f"| method | all, ms{goal} | one, µs | too large, mm | times ours |\n"
        "| --- | --- | --- | --- | --- |\n"
        f"| ours, exact | {1e3 * ours_s:.1f} | {1e6 * ours_s / count:.1f} | 0 | 1 |"
    )


def _assembly(job: Job, repeats: int) -> str:
    choice = choose(job, limit_s=5.0).choice
    assert choice is not None, "the bundled jobs close"
    assembly = assemble(job, choice)
    found: list[Fit] = []
    times = sorted(_timed(lambda: found.append(fit(job, assembly))) for _ in range(repeats))
    windows = sum(section.windows is not None for section in found[0].sections)
    count = len(found[0].sections)
    return f"| {job.name} | {count} | {windows} | {1e3 * times[len(times) // 2]:.1f} |"


if __name__ == "__main__":
    sys.exit(main())
