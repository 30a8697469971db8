"""Tables of a benchmark run, in Markdown."""

from __future__ import annotations

import math
import os
import platform
from collections.abc import Callable, Iterable, Iterator, Sequence
from importlib.metadata import version
from statistics import median

from benchmarks.spaceout.measure import Run

__all__ = ["conditions", "process_table", "run_table"]


def conditions(limit_s: float, workers: int) -> str:
    """What the numbers depend on."""
    return (
        f"Python {platform.python_version()}, OR-Tools {version('ortools')} with {workers} search"
        f" thread(s), {os.cpu_count()} cores ({platform.machine()}). Times are seconds of wall"
        f" clock. A solver that has no proof after {limit_s:g} s counts {limit_s:g} s, so a ratio"
        " with unproved peers is a lower limit."
    )


def run_table(runs: Sequence[Run], label: str, key: Callable[[Run], object]) -> str:
    """One row for each value of ``key``: time to proof of both, ratio of geometric means."""
    fall_backs = any(run.fall_backs_s is not None for run in runs)
    head = [label, "cases", "no plan", "ours median", "95th", "max", "peer median", "95th", "max"]
    head += ["unproved ours / peer", "ratio"]
    head += ["all fall-backs median", "95th", "max"] if fall_backs else []
    rows = [
        _row(str(name), [run for run in runs if key(run) == name], fall_backs)
        for name in dict.fromkeys(key(run) for run in runs)
    ]
    return _markdown(head, rows)


def _row(name: str, runs: list[Run], fall_backs: bool) -> list[str]:
    ours, peer = [run.ours_s for run in runs], [run.peer_s for run in runs]
    cells = [name, str(len(runs)), str(sum(run.status == "infeasible" for run in runs))]
    cells += [*_spread(ours), *_spread(peer)]
    unproved = (sum(not run.ours_proved for run in runs), sum(not run.peer_proved for run in runs))
    cells += [f"{unproved[0]} / {unproved[1]}", _ratio(ours, peer, unproved[1] > 0)]
    if fall_backs:
        times = [run.fall_backs_s for run in runs if run.fall_backs_s is not None]
        cells += _spread(times) if times else ["", "", ""]
    return cells


def _spread(times: list[float]) -> Iterator[str]:
    """Median, 95th percentile (nearest rank) and maximum."""
    ordered = sorted(times)
    rank = math.ceil(0.95 * len(ordered)) - 1
    for value in (median(ordered), ordered[rank], ordered[-1]):
        yield f"{value:.3f}"


def _ratio(ours: list[float], peer: list[float], lower_limit: bool) -> str:
    ratio = _geometric_mean(peer) / _geometric_mean(ours)
    return f"{'> ' if lower_limit else ''}{ratio:.1f}"


def _geometric_mean(times: list[float]) -> float:
    return math.exp(sum(map(math.log, times)) / len(times))


def process_table(samples: Iterable[tuple[str, dict[str, float | None]]]) -> str:
    """Whole-process times, a row for each sample."""
    rows = [[name, _process_time(t["ours"]), _process_time(t["peer"])] for name, t in samples]
    return _markdown(["case", "abreast solve", "peer script"], rows)


def _process_time(elapsed_s: float | None) -> str:
    return "no answer" if elapsed_s is None else f"{elapsed_s:.2f}"


def _markdown(head: list[str], rows: Iterable[list[str]]) -> str:
    lines = [head, ["---"] + ["---:"] * (len(head) - 1), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)
