"""Best objective of a tiny case by trying every plan.

The only shortcut is that the union depends on which items are used and not on
their order, so a set that leaves the union out of its window is not permuted.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from abreast.spaceout.case import Case, Item, Objective
from abreast.spaceout.checker import violations


def brute_force(case: Case) -> Objective | None:
    """Optimal objective, or None when no plan keeps every rule.

    Meant for a stock of at most 8 and at most 5 items: 6,720 sequences for each seat height.
    """
    for n in range(max(1, len(case.locked)), case.max_items + 1):
        best: Objective | None = None
        for objective, items, seat in _sets(case, n):
            if (best is None or objective < best) and _some_order_works(case, items, seat):
                best = objective
        if best is not None:
            return best
    return None


def _sets(case: Case, n: int) -> Iterator[tuple[Objective, tuple[str, ...], int]]:
    """Objective, ids and seat of every set of n items that closes."""
    locked = [case.item(i) for i in case.locked]
    rest = [item for item in case.stock if item.id not in case.locked]
    for free in itertools.combinations(rest, n - len(locked)):
        for seat in case.seat.options():
            objective = _objective(case, [*locked, *free], seat)
            if objective is not None:
                yield objective, tuple(item.id for item in free), seat


def _objective(case: Case, items: list[Item], seat: int) -> Objective | None:
    union, n = case.union, len(items)
    length = case.gap - (case.base.height - seat) - sum(item.effective for item in items)
    if not union.min + case.reserve[n] <= length <= union.max - case.reserve[n]:
        return None
    deviation = abs(length - union.target)
    pups = [item for item in items if item.kind == "pup"]
    return n, deviation // union.bucket, len(pups), deviation


def _some_order_works(case: Case, free: tuple[str, ...], seat: int) -> bool:
    orders = itertools.permutations(free)
    return any(violations(case, case.locked + order, seat) == [] for order in orders)
