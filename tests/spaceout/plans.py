"""Every plan of a tiny case, found without the search, and what follows from having them all."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from abreast.spaceout.case import Case, Item, Objective, parse_case
from abreast.spaceout.checker import violations


@dataclass(frozen=True)
class Plan:
    """One plan that keeps every rule."""

    objective: Objective
    items: tuple[str, ...]
    seat: int
    union: int


def every_plan(case: Case, most: int | None = None) -> Iterator[Plan]:
    """Every plan of at most ``most`` items that the checker finds nothing against."""
    locked = [case.item(i) for i in case.locked]
    rest = [item for item in case.stock if item.id not in case.locked]
    for n in range(max(1, len(locked)), (case.max_items if most is None else most) + 1):
        for free in itertools.combinations(rest, n - len(locked)):
            for seat in case.seat.options():
                yield from _orders(case, [*locked, *free], free, seat)


def _orders(case: Case, items: list[Item], free: tuple[Item, ...], seat: int) -> Iterator[Plan]:
    length, n = case.gap - (case.base.height - seat) - sum(i.effective for i in items), len(items)
    if not case.union.min + case.reserve[n] <= length <= case.union.max - case.reserve[n]:
        return
    deviation = abs(length - case.union.target)
    pups = sum(item.kind == "pup" for item in items)
    objective = (n, deviation // case.union.bucket, pups, deviation)
    for order in itertools.permutations([item.id for item in free]):
        if not violations(case, case.locked + order, seat):
            yield Plan(objective, case.locked + order, seat, length)


def natural(item_id: str) -> tuple[str, str]:
    """P2 before P10, by runs of digits brought to one length; P02 before P2, else the same."""
    return re.sub(r"\d+", lambda digits: digits[0].zfill(9), item_id), item_id


def tie_rule(plan: Plan) -> tuple[Any, ...]:
    """The stated order: objective, shorter union, ids from the top down, lower seat."""
    ids = [natural(item_id) for item_id in reversed(plan.items)]
    return plan.objective, plan.union, ids, plan.seat


def changed_lines(former: tuple[str, ...], later: tuple[str, ...]) -> int:
    """Edit distance of two running lists by its recursive definition."""

    @cache
    def away(i: int, j: int) -> int:
        if i == 0 or j == 0:
            return i + j
        differs = former[i - 1] != later[j - 1]
        return min(away(i - 1, j) + 1, away(i, j - 1) + 1, away(i - 1, j - 1) + differs)

    return away(len(former), len(later))


def with_blunt_grips(data: dict[str, Any]) -> dict[str, Any]:
    """The same case, its grips without length: met by the item below or by the one above."""
    landings = [dict(landing) for landing in data["landings"]]
    for place, landing in enumerate(landings):
        low = landing.get("grip", [place - 1])[0]
        landing["grip"] = [low, low]
    return data | {"landings": landings}


def reparsed(case: Case, **changes: Any) -> Case:
    """The case with some fields changed, checked anew."""
    return parse_case(case.model_dump() | changes)
