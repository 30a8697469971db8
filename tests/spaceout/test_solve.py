"""What the search promises besides the optimum: no luck, honest bounds, runners-up in order."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from typing import Any

import pytest
from benchmarks.spaceout.generate import generate
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.brute import brute_force
from tests.spaceout.plans import every_plan, tie_rule, with_blunt_grips

from abreast.spaceout import solve as module
from abreast.spaceout.case import Answer, Case, Item, Objective, parse_case
from abreast.spaceout.checker import check_answer, violations
from abreast.spaceout.solve import combined, runners_up, solve

GENERATED = [("plain", 40), ("lifts", 40), ("scarce", 20), ("lifts-locked", 20), ("threads", 40)]


def piece(name: str, length: int, **more: Any) -> dict[str, Any]:
    plain = {"id": name, "kind": "joint", "overall": length, "effective": length}
    return plain | {"pin": "SF", "box": "SF"} | more


def bare(stock: list[dict[str, Any]], **more: Any) -> Case:
    """A base at 0 and a union of 4 that closes on two pieces of 5; no clamp, no landing."""
    data = {
        "base": {"height": 0, "box": "SF"},
        "seat": {"min": 0, "max": 0},
        "gap": 14,
        "union": {"pin": "SF", "min": 4, "max": 4, "target": 4, "bucket": 1},
        "reserve": [0, 0, 0, 0],
        "max_overall": 9,
        "max_items": 3,
        "stock": stock,
    }
    return parse_case(data | more)


def told(answer: Answer) -> dict[str, Any]:
    """All of an answer but the time it took."""
    return replace(answer, elapsed_s=0.0).as_dict()


# --- no luck ------------------------------------------------------------------------------


@pytest.mark.parametrize(("flavour", "size"), GENERATED)
def test_order_of_the_rack_does_not_matter(flavour: str, size: int) -> None:
    data = generate(71, size, flavour)
    first = told(solve(parse_case(data)))
    for turn in range(3):
        random.Random(turn).shuffle(data["stock"])
        random.Random(turn).shuffle(data["clamps"])
        data["excluded"].reverse()
        shuffled = told(solve(parse_case(data)))
        shuffled["clamp_shifts"] = {
            name: shuffled["clamp_shifts"][name] for name in first["clamp_shifts"]
        }
        assert shuffled == first


def test_twice_in_a_row_is_the_same() -> None:
    case = parse_case(generate(72, 40, "lifts-mixed"))
    assert told(solve(case)) == told(solve(case))


PROGRAM = """
import json, sys
from abreast.spaceout.case import parse_case
from abreast.spaceout.fallback import fall_backs
from abreast.spaceout.solve import runners_up, solve
for data in json.load(sys.stdin):
    case = parse_case(data)
    answer = solve(case)
    more = runners_up(case, 3) + [one.nearest for one in fall_backs(case, answer).values()]
    for one in [answer, *more]:
        print(one.items, one.seat, one.union, one.lifts, one.clamp_shifts)
"""


def test_hash_seed_of_the_process_does_not_matter() -> None:
    cases = json.dumps([generate(73, size, flavour) for flavour, size in GENERATED])
    outputs = set()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM],
            input=cases,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        outputs.add(done.stdout)
    assert len(outputs) == 1
    assert outputs.pop().count("\n") > 3 * len(GENERATED)


# --- the rule for ties --------------------------------------------------------------------


def first_by_hand(case: Case, objective: Objective) -> tuple[tuple[str, ...], int]:
    plans = [plan for plan in every_plan(case, objective[0]) if plan.objective == objective]
    best = min(plans, key=tie_rule)
    return best.items, best.seat


@pytest.mark.parametrize(
    ("stock", "items"),
    [
        # Natural order: P2 before P10, read from the top down.
        ([piece("P10", 5), piece("P2", 5)], ("P10", "P2")),
        # J1 and J3 differ by id alone, J2 has an upset: still J1, J2 from the top.
        ([piece("J1", 5), piece("J3", 5), piece("J2", 5, upset=1)], ("J2", "J1")),
        # P02 and P2 are one number: the id itself decides, not the place on the rack.
        ([piece("P2", 5), piece("P02", 5), piece("P3", 5)], ("P2", "P02")),
        ([piece("P02", 5), piece("P2", 5), piece("P3", 5)], ("P2", "P02")),
    ],
)
def test_equal_plans_by_hand(stock: list[dict[str, Any]], items: tuple[str, ...]) -> None:
    case = bare(stock)
    answer = solve(case)
    assert answer.objective == (2, 0, 0, 0)
    assert answer.items == items
    assert first_by_hand(case, answer.objective) == (items, 0)


def test_more_closed_union_comes_before_the_order_of_ids() -> None:
    """A alone leaves 5, B alone leaves 3, both 1 from the target: B, whose union is shorter."""
    union = {"pin": "SF", "min": 3, "max": 5, "target": 4, "bucket": 2}
    case = bare([piece("A", 5), piece("B", 7)], gap=10, union=union)
    answer = solve(case)
    assert (answer.items, answer.union) == (("B",), 3)
    assert first_by_hand(case, (1, 0, 0, 1)) == (("B",), 0)


def test_order_of_ids_comes_before_the_lower_seat() -> None:
    """B on seat 0 and A, two longer, on seat 2 reach the same height."""
    seat = {"min": 0, "max": 2, "step": 2}
    case = bare([piece("A", 7), piece("B", 5)], gap=9, seat=seat)
    assert violations(case, ["A"], 2) == violations(case, ["B"], 0) == []
    answer = solve(case)
    assert (answer.items, answer.seat) == (("A",), 2)


# --- limits -------------------------------------------------------------------------------


class Clock:
    """A clock that shows one second more each time it is read."""

    def __init__(self) -> None:
        self._seconds = count()

    def perf_counter(self) -> float:
        return float(next(self._seconds))


def at_every_limit(case: Case, monkeypatch: pytest.MonkeyPatch) -> Iterator[Answer]:
    """Answers to ever longer limits, stopped at one place after another, until one is proved."""
    for limit in count(1):
        with monkeypatch.context() as patched:
            patched.setattr(module, "time", Clock())
            answer = solve(case, limit_s=limit + limit * limit // 40)
        yield answer
        if answer.status != "stopped":
            return


STOPPED = [("scarce", 1), ("lifts-scarce", 3), ("grip", 5), ("short", 1), ("off", 1)]


def test_stopped_anywhere_it_says_what_is_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bound never above the optimum; a plan in hand keeps every rule; nothing is raised."""
    stops = plans = 0
    for flavour, seed in STOPPED:
        case = parse_case(generate(seed, 20, flavour))
        proved = solve(case)
        for answer in at_every_limit(case, monkeypatch):
            assert check_answer(case, answer) == []
            if answer.status != "stopped":
                assert told(answer) == told(proved)
                continue
            assert answer.bound is not None
            assert not answer.proved
            assert proved.objective is None or answer.bound <= proved.objective
            stops, plans = stops + 1, plans + (answer.objective is not None)
    assert stops > 4 * len(STOPPED)
    assert plans > 0


def test_stopped_while_one_of_two_ways_is_open_claims_no_optimum(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A grip of no length is looked at both ways: the second may beat the best of the first."""
    for seed in range(23_000, 23_010):
        case = parse_case(with_blunt_grips(generate_tiny(seed)))
        best = brute_force(case)
        for answer in at_every_limit(case, monkeypatch):
            assert check_answer(case, answer) == []
            if answer.proved:
                assert (seed, answer.objective) == (seed, best)
            else:
                assert best is None or (answer.bound is not None and answer.bound <= best)


def held(objective: Objective, bound: Objective | None = None) -> Answer:
    """A plan in hand: the optimum of its way, or with a bound where the search was stopped."""
    status = "stopped" if bound else "optimal"
    return Answer(status, objective, ("A",), 0, 4, proved=bound is None, bound=bound)


NONE = Answer("infeasible", proved=True)
OPEN = Answer("stopped", bound=(5, 0, 0, 0))


@pytest.mark.parametrize(
    ("answers", "status", "objective", "bound"),
    [
        ([NONE, NONE], "infeasible", None, None),
        ([NONE, held((4, 0, 1, 0))], "optimal", (4, 0, 1, 0), None),
        ([held((4, 0, 1, 0)), held((4, 0, 0, 3))], "optimal", (4, 0, 0, 3), None),
        # What the stopped way may still hold beats the optimum of the other, or does not.
        ([held((6, 0, 1, 0)), OPEN], "stopped", (6, 0, 1, 0), (5, 0, 0, 0)),
        ([held((5, 0, 0, 0)), OPEN], "optimal", (5, 0, 0, 0), None),
        ([held((6, 0, 1, 0)), held((7, 0, 0, 0), (5, 0, 0, 0))], "stopped", (6, 0, 1, 0), None),
        # The least bound of all holds, whoever has the plan.
        ([held((6, 0, 0, 0), (4, 1, 0, 0)), OPEN], "stopped", (6, 0, 0, 0), (4, 1, 0, 0)),
        ([NONE, OPEN], "stopped", None, (5, 0, 0, 0)),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_answers_of_several_ways_are_combined_honestly(
    answers: list[Answer],
    status: str,
    objective: Objective | None,
    bound: Objective | None,
    turned: bool,
) -> None:
    found = combined(reversed(answers) if turned else answers)
    assert (found.status, found.objective) == (status, objective)
    assert found.proved is (status != "stopped")
    if bound is not None:
        assert found.bound == bound


@pytest.mark.parametrize("limit_s", [0.0, 1e-9, 1e-3])
def test_tiny_limits_of_the_real_clock(limit_s: float) -> None:
    case = parse_case(generate(0, 127, "scarce"))
    answer = solve(case, limit_s=limit_s)
    assert answer.status == "stopped"
    assert answer.bound is not None
    assert check_answer(case, answer) == []
    assert answer.elapsed_s < limit_s + 0.5


# --- runners-up ---------------------------------------------------------------------------


def alike(case: Case, item: Item) -> tuple[Any, ...]:
    """What the rules see of a piece: two that have this in common count as one runner-up."""
    kind = item.kind if item.kind in {a.kind for a in case.accessories} else item.kind == "pup"
    profile = item.profile if item.kind in {a.kind for a in case.accessories} else None
    lengths = (item.effective, item.coupling, item.upset, item.overall if case.lifts else 0)
    return (*lengths, item.pin, item.box, str(kind), profile)


def best_of_each_set(case: Case) -> list[Objective]:
    """Best objective of every set of pieces that closes in some order, best first."""
    best: dict[Any, Objective] = {}
    for plan in every_plan(case):
        free = (case.item(i) for i in plan.items[len(case.locked) :])
        kind = tuple(sorted(map(str, (alike(case, item) for item in free))))
        best[kind] = min(plan.objective, best.get(kind, plan.objective))
    return sorted(best.values())


@pytest.mark.parametrize("blunt", [False, True])
def test_runners_up_are_the_next_best_sets_of_pieces(blunt: bool) -> None:
    several = 0
    for seed in range(24_000, 24_060):
        data = generate_tiny(seed)
        case = parse_case(with_blunt_grips(data) if blunt else data)
        found = runners_up(case, 4)
        assert (seed, [one.objective for one in found]) == (seed, best_of_each_set(case)[:4])
        assert len({frozenset(one.items) for one in found}) == len(found)
        assert all(check_answer(case, one) == [] for one in found)
        several += len(found) > 1
    assert several > 5


def test_runners_up_of_full_size_are_valid_distinct_and_in_order() -> None:
    number = 0
    for flavour, size in GENERATED:
        case = parse_case(generate(74, size, flavour))
        best, found = solve(case), runners_up(case, 6)
        assert found[0].items == best.items
        assert [one.objective for one in found] == sorted(one.objective for one in found)
        assert len({frozenset(one.items) for one in found}) == len(found)
        assert all(check_answer(case, one) == [] for one in found)
        number += len(found)
    assert number > 4 * len(GENERATED)


# --- sizes beyond all reason --------------------------------------------------------------


@pytest.mark.parametrize(
    ("union", "stock", "status"),
    [
        ({"max": 10**9}, [piece("A", 5, drift_ok=False)], "infeasible"),
        ({"max": 10**9, "target": -(10**9)}, [piece("A", 5), piece("B", 5)], "optimal"),
        ({}, [piece("A", 10**9 - 1), piece("B", 5), piece("C", 5)], "optimal"),
        ({"bucket": 10**9}, [piece("A", 5)], "infeasible"),
    ],
)
def test_strokes_and_pieces_beyond_all_reason(
    union: dict[str, Any], stock: list[dict[str, Any]], status: str
) -> None:
    """The answer comes at once, however long the stroke is counted in ticks and buckets."""
    usual = {"pin": "SF", "min": 4, "max": 4, "target": 4, "bucket": 1}
    case = bare(stock, union=usual | union, max_overall=10**9, max_items=2)
    answer = solve(case, limit_s=10)
    assert answer.status == status
    assert check_answer(case, answer) == []
