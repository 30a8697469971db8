"""The search against plain enumeration: every plan of a tiny case is tried and judged."""

from __future__ import annotations

import random
from typing import Any

import pytest
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.brute import brute_force
from tests.spaceout.plans import every_plan, tie_rule, with_blunt_grips

from abreast.spaceout.case import Case, parse_case
from abreast.spaceout.checker import check_answer
from abreast.spaceout.solve import solve


def agrees(case: Case) -> bool:
    """Status and objective are those of the enumeration; whether there is a plan."""
    answer, best = solve(case), brute_force(case)
    assert (answer.status, answer.objective) == ("optimal" if best else "infeasible", best)
    assert answer.proved
    assert check_answer(case, answer) == []
    return best is not None


@pytest.mark.parametrize("first", range(20_000, 20_400, 40))
def test_tiny_cases(first: int) -> None:
    found = [agrees(parse_case(generate_tiny(seed))) for seed in range(first, first + 40)]
    assert 5 < sum(found) < 35, "both answers must come up often, or the test says little"


def test_tiny_cases_whose_grips_have_no_length() -> None:
    """Such a grip is met by the end of the item below or by the start of the one above."""
    cases = [parse_case(with_blunt_grips(generate_tiny(seed))) for seed in range(21_000, 21_080)]
    assert sum(agrees(case) for case in cases) > 15


def crowded(seed: int) -> dict[str, Any]:
    """A rack on which nearly everything closes: pieces alike, alike but for the upset, lifts."""
    rng = random.Random(f"crowded {seed}")
    stock = [
        {
            "id": f"S{k}",
            "kind": "joint",
            "overall": (length := rng.choice([2, 3, 3, 4, 5])) + 1,
            "effective": length,
            "upset": rng.choice([0, 0, 1]),
            "pin": "SF",
            "box": "SF",
        }
        for k in rng.sample([1, 2, 3, 4, 5, 6, 10, 11], 7)
    ]
    tops = [0]
    for item in rng.sample(stock, 4):
        tops.append(tops[-1] + item["effective"])
    lifts = {"max_pieces": 3, "max_length": 13, "pre_run_height": None}
    return {
        "base": {"height": 0, "box": "SF"},
        "seat": {"min": -1, "max": 1},
        "gap": tops[-1] + 4,
        "union": {"pin": "SF", "min": 3, "max": 5, "target": 4, "bucket": 2},
        "reserve": [0] * 5,
        "landings": [
            {"id": "L1", "table": tops[2], "window": [-1, 1]},
            {"id": "L2", "table": tops[4], "window": [-1, 1]},
        ],
        "lifts": rng.choice([None, lifts, lifts]),
        "max_overall": 9,
        "max_items": 4,
        "stock": stock,
    }


def ties_settled(case: Case) -> int:
    """Number of plans equal to the best one, which is held to the stated order."""
    answer = solve(case)
    if answer.objective is None:
        return 0
    plans = every_plan(case, answer.objective[0])
    least = [plan for plan in plans if plan.objective == answer.objective]
    first = min(least, key=tie_rule)
    assert (answer.items, answer.seat, answer.union) == (first.items, first.seat, first.union)
    return len(least)


def test_of_equal_plans_the_stated_one_is_given() -> None:
    """Shorter union, then natural order of the ids from the top down, then the lower seat."""
    ties = [ties_settled(parse_case(crowded(seed))) for seed in range(60)]
    assert sum(count > 1 for count in ties) > 40


def test_of_equal_plans_the_stated_one_is_given_with_every_rule_in_play() -> None:
    cases = [parse_case(with_blunt_grips(generate_tiny(seed))) for seed in range(22_000, 22_060)]
    assert sum(ties_settled(case) > 1 for case in cases) > 3
