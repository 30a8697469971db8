"""The benchmark notices wrong answers, and its tables say what was measured."""

from __future__ import annotations

from dataclasses import replace

import pytest
from benchmarks.spaceout import measure
from benchmarks.spaceout.measure import Run, run_case
from benchmarks.spaceout.peer import solve_peer
from benchmarks.spaceout.report import run_table

from abreast.spaceout.case import Answer


def run(size: int, ours_s: float, peer_s: float, peer_proved: bool = True) -> Run:
    return Run("c", size, "plain", "optimal", ours_s, peer_s, True, peer_proved, None, ())


def test_both_solvers_agree_on_a_small_case():
    found = run_case(0, 10, "lifts-mixed", 30.0)
    assert found.faults == ()
    assert found.ours_proved
    assert found.peer_proved


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (lambda a: replace(a, union=a.union + 1), "ours: union"),
        (lambda a: replace(a, objective=(1, 0, 0, 0)), "ours: objective"),
        (lambda a: Answer("infeasible", proved=True), "ours infeasible None, peer optimal"),
        (lambda a: Answer("stopped", bound=(99, 0, 0, 0)), "a bound of (99, 0, 0, 0)"),
    ],
)
def test_wrong_answers_are_reported(monkeypatch, spoil, word):
    monkeypatch.setattr(measure, "solve", lambda case, limit_s: spoil(solve_peer(case, limit_s)))
    found = run_case(0, 10, "plain", 30.0)
    assert any(fault.startswith(word) for fault in found.faults), found.faults


def test_solver_without_proof_counts_the_limit(monkeypatch):
    monkeypatch.setattr(measure, "solve", lambda case, limit_s: Answer("stopped"))
    found = run_case(0, 10, "plain", 30.0)
    assert (found.ours_s, found.ours_proved, found.faults) == (30.0, False, ())


def test_table_gives_spread_and_ratio_of_geometric_means():
    # Ours 1, 1, 4: median 1, 95th percentile by nearest rank the third, geometric mean
    # 4^(1/3) = 1.587. Peer 8, 8, 1: 64^(1/3) = 4. Ratio 2.52.
    runs = [run(40, 1, 8), run(40, 1, 8), run(40, 4, 1), run(80, 1, 2, peer_proved=False)]
    *_, first, second = run_table(runs, "stock", lambda r: r.size).splitlines()
    cells = "| 40 | 3 | 0 | 1.000 | 4.000 | 4.000 | 8.000 | 8.000 | 8.000 | 0 / 0 | 2.5 |"
    assert first == cells
    assert second.endswith("| 0 / 1 | > 2.0 |")
