"""The space-out: the best choice of joints with proof (spaceout statement, rules 1 to 7).

For each number of items n, from the least that the relaxation allows, the tops
that can be reached are tried in the order of the objective: bucket, pups,
deviation. The first one that can be built with every item used once is the
optimum, because everything better has been refused before it.

Ties: of plans equal in all four figures the one with the more closed union
comes first, then the one whose ids, read from the top down, come first in
natural order, then the lower seat.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations

from abreast.spaceout.case import Answer, Case, Objective
from abreast.spaceout.descend import Descent, OutOfNodesError
from abreast.spaceout.layout import clamp_shifts, cut_into_lifts
from abreast.spaceout.outlook import Outlook
from abreast.spaceout.reach import Moves, Reach
from abreast.spaceout.tables import Tables, touchable

__all__ = ["Search", "StoppedError", "solve"]

_FIRST_BUDGET = 400  # nodes before the items to blame are counted exactly
_MOST_CRITICAL = 7
_ALWAYS = 10**9

Progress = Callable[[str], None]


class StoppedError(Exception):
    """The time limit ran out, or the user asked to stop."""


@dataclass
class _Rung:
    """Reach sets and descent for one (n, pups), sharpened as needed."""

    reach: Reach
    descent: Descent
    critical: tuple[int, ...] = ()
    budget: int = _FIRST_BUDGET
    refused: set[int] = field(default_factory=set)


class Search:
    """Answers questions about one case; keeps what it computed between them.

    Parameters
    ----------
    case : Case
    limit_s : float, optional
        Give up after so many seconds; ``StoppedError`` is raised inside.
    progress : callable, optional
        Told in a few words what is being tried.
    """

    def __init__(
        self,
        case: Case,
        *,
        limit_s: float | None = None,
        progress: Progress | None = None,
        touched: Collection[int] = (),
    ) -> None:
        self.case = case
        self.tables = Tables(case, touched)
        self.moves = Moves(self.tables)
        self.outlook = Outlook(self.tables)
        self._until = None if limit_s is None else time.perf_counter() + limit_s
        self._progress = progress
        self._rungs: dict[tuple[int, int], _Rung | None] = {}
        self.bound: Objective = (max(1, len(case.locked)), 0, 0, 0)

    def check(self) -> None:
        """Raise StoppedError when the time is up."""
        if self._until is not None and time.perf_counter() > self._until:
            raise StoppedError

    def solutions(self) -> Iterator[tuple[Objective, list[str], int]]:
        """(objective, ids, seat), best first: the first plan of every reachable top."""
        for n in range(max(1, len(self.case.locked)), self.case.max_items + 1):
            self.bound = (n, 0, 0, 0)
            if self._progress:
                self._progress(f"{n} items")
            yield from self.with_items(n)

    def with_items(self, n: int) -> Iterator[tuple[Objective, list[str], int]]:
        """The solutions with n items, best first."""
        for bucket in self._buckets(n):
            for pups in range(n + 1):
                self.check()
                rung = self._rung(n, pups)
                if rung is None:
                    continue
                for deviation, height in self._heights(rung, bucket):
                    self.bound = (n, bucket, pups, deviation)
                    found = self._settle(rung, n, pups, height)
                    if found is not None:
                        yield (n, bucket, pups, deviation), *found

    def _buckets(self, n: int) -> range:
        lo, hi = self.tables.top_window(n)
        if lo > hi:
            return range(0)
        union = self.case.union
        near = self.case.gap - union.target
        nearest = max(0, lo - near, near - hi)
        furthest = max(abs(lo - near), abs(hi - near))
        return range(nearest // union.bucket, furthest // union.bucket + 1)

    def _rung(self, n: int, pups: int) -> _Rung | None:
        """Reach sets for (n, pups); None when no top is reached even with items used again."""
        if (n, pups) not in self._rungs:
            thinkable = self.outlook.may(n, pups)
            self._rungs[n, pups] = self._make_rung(n, pups, ()) if thinkable else None
        return self._rungs[n, pups]

    def _make_rung(self, n: int, pups: int, critical: tuple[int, ...]) -> _Rung | None:
        reach = Reach(self.tables, self.moves, self.outlook, n, pups, critical, self.check)
        if not reach.tops():
            return None
        return _Rung(reach, Descent(reach, self.check), critical)

    def _heights(self, rung: _Rung, bucket: int) -> list[tuple[int, int]]:
        """(deviation, top height) inside one bucket, nearest first, closed union first."""
        union = self.case.union
        aim = self.case.gap - union.target
        least = bucket * union.bucket
        most = least + union.bucket - 1
        heights = set()
        for _, (lo, bits) in rung.reach.tops():
            for a, b in {(aim - most, aim - least), (aim + least, aim + most)}:
                part = bits >> (a - lo) if a >= lo else bits << (lo - a)
                part &= (1 << (b - a + 1)) - 1
                while part:
                    low = part & -part
                    heights.add(a + low.bit_length() - 1)
                    part ^= low
        return sorted(((abs(h - aim), h) for h in heights), key=lambda d: (d[0], -d[1]))

    def _settle(self, rung: _Rung, n: int, pups: int, height: int) -> tuple[list[str], int] | None:
        """Ids and seat of the first plan with its top at that height, or None."""
        while True:
            current = self._rungs[n, pups]
            if current is None or height in current.refused:
                return None
            try:
                return self._descend(current, height)
            except OutOfNodesError:
                self._sharpen(current, n, pups)

    def _descend(self, rung: _Rung, height: int) -> tuple[list[str], int] | None:
        for key, (lo, bits) in rung.reach.tops():
            if height >= lo and bits >> (height - lo) & 1:
                found = rung.descent.settle(key, height, rung.budget)
                if found is not None:
                    ids, bottom = found
                    return [*self.case.locked, *ids], self._seat(bottom)
        rung.refused.add(height)
        return None

    def _sharpen(self, rung: _Rung, n: int, pups: int) -> None:
        """Count the items most to blame exactly, or else give the descent more nodes."""
        fresh = [
            (count, -g) for g, count in rung.descent.blame.items() if g not in rung.critical
        ]
        if not fresh or len(rung.critical) >= _MOST_CRITICAL:
            rung.budget = _ALWAYS
            return
        critical = (*rung.critical, -max(fresh)[1])
        sharper = self._make_rung(n, pups, critical)
        if sharper is not None:
            sharper.refused = rung.refused
            sharper.budget = rung.budget * 2
        self._rungs[n, pups] = sharper

    def _seat(self, bottom: int) -> int:
        return min(s for s, start in self.tables.starts.items() if start[0] == bottom)

    def answer(self, objective: Objective, ids: list[str], seat: int) -> Answer:
        """The full answer for a plan the search has found."""
        case = self.case
        items = [case.item(i) for i in ids]
        top = case.base.height - seat + sum(item.effective for item in items)
        lifts = cut_into_lifts(self.tables, items, seat) if case.lifts else None
        return Answer(
            status="optimal",
            objective=objective,
            items=tuple(ids),
            seat=seat,
            union=case.gap - top,
            lifts=None if lifts is None else tuple(tuple(lift) for lift in lifts),
            clamp_shifts=clamp_shifts(case, items, seat),
            proved=True,
        )


def solve(
    case: Case, *, limit_s: float | None = None, progress: Progress | None = None
) -> Answer:
    """The proved optimum of a case, or that there is none.

    Parameters
    ----------
    case : Case
        The question; lengths in ticks.
    limit_s : float, optional
        Stop after so many seconds with the bound reached so far.
    progress : callable, optional
        Told in a few words what is being tried.

    Returns
    -------
    Answer
        ``optimal`` with the plan, ``infeasible``, or ``stopped`` with ``bound``.
    """
    begun = time.perf_counter()
    best: Answer | None = None
    for touched in _ways(case):
        left = None if limit_s is None else limit_s - (time.perf_counter() - begun)
        answer = _solve_one(Search(case, limit_s=left, progress=progress, touched=touched))
        if best is None or _order(answer) < _order(best):
            best = answer
    assert best is not None
    return replace(best, elapsed_s=time.perf_counter() - begun)


def _ways(case: Case) -> Iterator[tuple[int, ...]]:
    """Every choice of how the grips without length are met; nearly always just one."""
    heights = touchable(case)
    for count in range(len(heights) + 1):
        yield from combinations(heights, count)


def _order(answer: Answer) -> tuple[float, ...]:
    """Rank of answers of one case: what may still be best comes first, then the objective."""
    return answer.objective or answer.bound or (math.inf,)


def _solve_one(search: Search) -> Answer:
    try:
        found = next(search.solutions(), None)
    except StoppedError:
        return Answer("stopped", bound=search.bound)
    return search.answer(*found) if found else Answer("infeasible", proved=True)
