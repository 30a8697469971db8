"""Runs one case through both solvers, judges what they say, and keeps the times."""

from __future__ import annotations

import gc
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from abreast.spaceout.case import Answer, Case, parse_case
from abreast.spaceout.checker import check_answer, violations
from abreast.spaceout.solve import solve
from benchmarks.spaceout.generate import generate
from benchmarks.spaceout.peer import solve_peer

__all__ = ["Run", "run_case", "whole_process"]

_ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Run:
    """Both solvers on one case. A solver without proof counts the limit."""

    name: str
    size: int
    flavour: str
    status: str
    ours_s: float
    peer_s: float
    ours_proved: bool
    peer_proved: bool
    fall_backs_s: float | None
    faults: tuple[str, ...]

    @property
    def lifts(self) -> bool:
        return self.flavour.startswith("lifts")


def run_case(
    seed: int, size: int, flavour: str, limit_s: float, *, workers: int = 1, turn: int = 0
) -> Run:
    """Solve one generated case with both, one straight after the other.

    Who goes first changes with ``turn``, so that neither always meets a warm or
    a cold machine.
    """
    case = parse_case(generate(seed, size, flavour))
    solvers: list[tuple[str, Callable[[], Answer]]] = [
        ("ours", lambda: solve(case, limit_s=limit_s)),
        ("peer", lambda: solve_peer(case, limit_s=limit_s, workers=workers)),
    ]
    answers: dict[str, Answer] = {}
    times: dict[str, float] = {}
    for who, solver in solvers if turn % 2 == 0 else reversed(solvers):
        answers[who], times[who] = _timed(solver)
    ours, peer = answers["ours"], answers["peer"]
    fall_backs_s, fall_back_faults = _fall_backs(case, ours, limit_s)
    return Run(
        name=case.name,
        size=size,
        flavour=flavour,
        status=ours.status,
        ours_s=times["ours"] if ours.proved else max(limit_s, times["ours"]),
        peer_s=times["peer"] if peer.proved else max(limit_s, times["peer"]),
        ours_proved=ours.proved,
        peer_proved=peer.proved,
        fall_backs_s=fall_backs_s,
        faults=(*_faults(case, ours, peer), *fall_back_faults),
    )


def _timed(solver: Callable[[], Answer]) -> tuple[Answer, float]:
    gc.collect()
    start = time.perf_counter()
    answer = solver()
    return answer, time.perf_counter() - start


def _faults(case: Case, ours: Answer, peer: Answer) -> list[str]:
    """Rules broken by either answer, and any disagreement between the two."""
    faults = [f"ours: {fault}" for fault in check_answer(case, ours)]
    faults += [f"peer: {fault}" for fault in check_answer(case, peer)]
    if ours.proved and peer.proved:
        if (ours.status, ours.objective) != (peer.status, peer.objective):
            faults.append(
                f"ours {ours.status} {ours.objective}, peer {peer.status} {peer.objective}"
            )
        return faults
    for sure, other in ((ours, peer), (peer, ours)):
        if not sure.proved:
            continue
        if other.objective and (sure.objective is None or other.objective < sure.objective):
            faults.append(f"a plan with {other.objective} beats what was proved: {sure.objective}")
        if other.bound and sure.objective and other.bound > sure.objective:
            faults.append(f"a bound of {other.bound} is above what was found: {sure.objective}")
    return faults


def _fall_backs(case: Case, answer: Answer, limit_s: float) -> tuple[float | None, list[str]]:
    """Time of all fall-backs of a proved plan, within the limit, and the rules they break."""
    try:
        from abreast.spaceout.fallback import fall_backs, state_without
    except ImportError:
        return None, []
    if not (answer.proved and answer.items):
        return None, []
    gc.collect()
    start = time.perf_counter()
    found = fall_backs(case, answer, limit_s=limit_s)
    elapsed_s = time.perf_counter() - start
    faults = []
    for lost, fall_back in found.items():
        rest = state_without(case, answer, lost)
        for other in (fall_back.nearest, fall_back.best):
            if other.items and other.seat is not None:
                broken = violations(rest, other.items, other.seat, other.lifts)
                faults += [f"without {lost}: {fault}" for fault in broken]
    return elapsed_s, faults


def whole_process(seed: int, size: int, flavour: str) -> dict[str, float | None]:
    """Seconds from starting a process to its end; None for one that ends without an answer."""
    commands = {
        "ours": ["-m", "abreast", "solve"],
        "peer": ["-m", "benchmarks.spaceout.peer"],
    }
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "case.json")
        file.write_text(json.dumps(generate(seed, size, flavour)), encoding="utf-8")
        return {who: _process(words, file) for who, words in commands.items()}


def _process(words: list[str], file: Path) -> float | None:
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *words, str(file)], cwd=_ROOT, capture_output=True, check=False
    )
    elapsed_s = time.perf_counter() - start
    answered = done.returncode in {0, 1} and done.stdout.startswith(b"{")
    return elapsed_s if answered else None
