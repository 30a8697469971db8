"""A peer for the space-out search: the same problem put to OR-Tools' CP-SAT.

Shares the types of a case with ``abreast.spaceout`` and nothing else. One model
for each number of items, fewest first, as far as length alone allows it. Within one
model the levels of the objective are the digits of one number: of the ways that
were tried (level by level, pairs of levels, a plan of any kind first) this was
the fastest in the geometric mean. So was one search thread, on two cores.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from ortools.sat.python import cp_model

from abreast.spaceout.case import Answer, Case, Item, Objective, read_case_text
from benchmarks.spaceout.peer_lifts import add_lifts, cut
from benchmarks.spaceout.peer_model import Model, build, item_classes

__all__ = ["solve_peer"]


@dataclass
class _Found:
    """The best plan of one model and how far it was proved."""

    items: tuple[Item, ...]
    seat: int
    proved: bool
    bound: Objective


def solve_peer(case: Case, limit_s: float | None = None, workers: int = 1) -> Answer:
    """Best plan of a case, with proof.

    Parameters
    ----------
    case : Case
        The question.
    limit_s : float, optional
        Wall time after which the best plan so far is returned as ``stopped``.
    workers : int
        Search threads of CP-SAT.

    Returns
    -------
    Answer
        As the search of ``abreast.spaceout`` gives it.
    """
    start = time.perf_counter()
    classes = item_classes(case)
    for n in range(max(1, len(case.locked)), case.max_items + 1):
        model = build(case, classes, n)
        if model is None:
            continue
        if case.lifts is not None:
            add_lifts(model, case.lifts)
        left = None if limit_s is None else limit_s - (time.perf_counter() - start)
        found = _solve_one(model, left, workers)
        if found is not None:
            return _answer(case, found, time.perf_counter() - start)
    return Answer("infeasible", proved=True, elapsed_s=time.perf_counter() - start)


def _solve_one(model: Model, left_s: float | None, workers: int) -> _Found | None:
    """Best plan of one number of items; None when there is none."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    if left_s is not None:
        solver.parameters.max_time_in_seconds = max(0.01, left_s)
    status = solver.solve(model.cp)
    if status == cp_model.INFEASIBLE:
        return None
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(model.cp.validate())
    bound = model.objective(round(max(0.0, solver.best_objective_bound)))
    if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return _Found((), 0, False, bound)
    items, seat = _read(model, solver)
    return _Found(items, seat, status == cp_model.OPTIMAL, bound)


def _read(model: Model, solver: cp_model.CpSolver) -> tuple[tuple[Item, ...], int]:
    items = [model.case.item(i) for i in model.case.locked]
    left = [list(members) for members in model.classes]
    for chosen in model.placed.values():
        items += [left[c].pop(0) for c, x in chosen.items() if solver.value(x)]
    seat = model.seat if isinstance(model.seat, int) else solver.value(model.seat)
    return tuple(items), int(seat)


def _answer(case: Case, found: _Found, elapsed_s: float) -> Answer:
    bound = None if found.proved else found.bound
    if not found.items:
        return Answer("stopped", elapsed_s=elapsed_s, bound=bound)
    tops = [case.base.height - found.seat]
    for item in found.items:
        tops.append(tops[-1] + item.effective)
    union = case.gap - tops[-1]
    deviation = abs(union - case.union.target)
    pups = sum(item.kind == "pup" for item in found.items)
    return Answer(
        status="optimal" if found.proved else "stopped",
        objective=(len(found.items), deviation // case.union.bucket, pups, deviation),
        items=tuple(item.id for item in found.items),
        seat=found.seat,
        union=union,
        lifts=None if case.lifts is None else cut(case, case.lifts, found.items, tops),
        clamp_shifts=_shifts(case, found.items, tops),
        proved=found.proved,
        elapsed_s=elapsed_s,
        bound=bound,
    )


def _shifts(case: Case, items: tuple[Item, ...], tops: list[int]) -> dict[str, int]:
    """For each clamp the least shift that puts it on one body."""
    shifts: dict[str, int] = {}
    for clamp in case.clamps:
        r = clamp.half_length + clamp.clearance
        for item, below, above in zip(items, tops, tops[1:], strict=False):
            low = max(-clamp.shift_down, below + item.upset + r - clamp.height)
            high = min(clamp.shift_up, above - item.coupling - r - clamp.height)
            if low <= high:
                shift = min(max(0, low), high)
                shifts[clamp.id] = min(shift, shifts.get(clamp.id, shift), key=abs)
    return shifts


if __name__ == "__main__":
    text = Path(sys.argv[1]).read_text(encoding="utf-8")
    print(json.dumps(solve_peer(read_case_text(text)).as_dict()))
