"""The enumerator against cases worked out by hand, and against what must always hold."""

from __future__ import annotations

from typing import Any

import pytest
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.brute import brute_force

from abreast.spaceout.case import parse_case


def small(gap: int, **more: Any) -> Any:
    """Items of 3, 5, 7 and 8 on a base at 0; the union may be 2 to 6 long, 4 is wanted."""
    stock = [
        {"id": f"I{v}", "kind": kind, "overall": v, "effective": v, "pin": "x", "box": "x"}
        for v, kind in ((3, "pup"), (5, "pup"), (7, "joint"), (8, "joint"))
    ]
    case = {
        "base": {"height": 0, "box": "x"},
        "seat": {"min": 0, "max": 0},
        "gap": gap,
        "union": {"pin": "x", "min": 2, "max": 6, "target": 4, "bucket": 2},
        "reserve": [0, 0, 0, 0, 0],
        "max_overall": 9,
        "max_items": 4,
        "stock": stock,
    }
    return parse_case(case | more)


# Sums of one item: 3 5 7 8; of two: 8 10 11 12 13 15; of three: 15 16 18 20; of all: 23.
@pytest.mark.parametrize(
    ("gap", "more", "best"),
    [
        (11, {}, (1, 0, 0, 0)),  # the 7 leaves 4
        (9, {}, (1, 0, 1, 0)),  # the 5 leaves 4
        (13, {}, (1, 0, 0, 1)),  # the 8 leaves 5
        (14, {}, (1, 1, 0, 2)),  # the 8 leaves 6, one more item would do better but n leads
        (16, {}, (2, 0, 1, 0)),  # 5 + 7 leave 4
        (24, {"max_items": 3}, (3, 0, 1, 0)),  # 20 leave 4
        (30, {}, None),  # 23 leave 7
        (29, {}, (4, 1, 2, 2)),
        (29, {"max_items": 3}, None),
        (11, {"excluded": ["I7"]}, (1, 0, 0, 1)),  # the 8 leaves 3
        (11, {"excluded": ["I7"], "reserve": [0, 2, 0, 0, 0]}, (2, 0, 2, 1)),  # 3 + 5 leave 3
        (11, {"locked": ["I3"]}, (2, 0, 2, 1)),
        (11, {"seat": {"min": 1, "max": 1}, "excluded": ["I7"]}, (1, 0, 0, 0)),
        (16, {"landings": [{"id": "L", "table": 6, "window": [0, 0]}]}, None),
        (19, {"landings": [{"id": "L", "table": 8, "window": [0, 0]}]}, (2, 0, 0, 0)),
    ],
)
def test_best_objective_is_the_one_found_by_hand(gap, more, best):
    assert brute_force(small(gap, **more)) == best


@pytest.mark.parametrize("rule", ["clamps", "landings"])
def test_dropping_a_rule_never_makes_the_best_plan_worse(rule):
    none, gained = (99, 0, 0, 0), 0
    for seed in range(60):
        data = generate_tiny(seed) | {"lifts": None, "landings_passed": None}
        whole = brute_force(parse_case(data)) or none
        rest = brute_force(parse_case(data | {rule: []})) or none
        assert rest <= whole
        gained += rest < whole
    assert gained > 0
