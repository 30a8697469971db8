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
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import Any

from abreast.spaceout.case import Answer, Case, Objective
from abreast.spaceout.count import PupCount
from abreast.spaceout.descend import Descent, OutOfNodesError
from abreast.spaceout.layout import clamp_shifts, cut_into_lifts
from abreast.spaceout.outlook import Outlook
from abreast.spaceout.reach import Key, Moves, Reach, clip, heights_of
from abreast.spaceout.tables import Tables, natural_order, ways

__all__ = [
    "Ground",
    "Search",
    "StoppedError",
    "combined",
    "plan_order",
    "runners_up",
    "solve",
    "solve_one",
]

# Nodes before the items to blame are counted exactly: as many as making the sets anew would
# cost, but few once some item is known to be scarce.
_FIRST_BUDGET, _WORK_PER_NODE = 150, 12
_MOST_CRITICAL = 7
_MUCH_WORK = 10_000  # sets joined: too dear to try several items
_LOOKED_AT, _GOOD_PART = 4, 0.6  # items tried for an exact count, and when one is good enough
_ALWAYS = 10**9
_AFTER_STOP_S = 2.0  # for a plan in hand once the search is stopped
# Of a time limit: until when the proof is tried first, and until when some plan is looked for.
_PROOF_SHARE, _PLAN_SHARE = 0.35, 0.7
_OTHERS_BUDGET = 5_000  # nodes spent on other plans with the same top
# For a plan in hand before the time is up: nodes per top in each round, tops, steps between them.
_QUICK_NODES, _QUICK_TOPS, _QUICK_STEP = (100, 500, 2_500, 12_500), 4, 7
_SAME_TOP = 6  # plans looked at with one and the same top
_STRETCH = 2048  # ticks of deviation whose tops are listed at a time

Progress = Callable[[str], None]


class StoppedError(Exception):
    """The time limit ran out, or the user asked to stop."""


@dataclass
class _Rung:
    """Reach sets and descent for one (n, pups), sharpened when ``budget`` nodes are spent."""

    reach: Reach
    descent: Descent
    critical: tuple[int, ...] = ()
    budget: int = _FIRST_BUDGET
    refused: set[int] = field(default_factory=set)

    def keys_at(self, height: int) -> list[Key]:
        """The final states in which a top at that height is reached."""
        return sorted(
            key
            for key, (lo, bits) in self.reach.tops()
            if height >= lo and bits >> (height - lo) & 1
        )

    def top_count(self) -> int:
        """Number of different tops that the reach sets leave."""
        return len({height for _, span in self.reach.tops() for height in heights_of(span)})


@dataclass
class Ground:
    """A case made ready for the search; parts are shared between related questions."""

    tables: Tables
    moves: Moves
    outlook: Outlook

    @classmethod
    def of(cls, case: Case, touched: Collection[int] = (), *, merge: bool = True) -> Ground:
        """Everything the search needs to know of one case."""
        tables = Tables(case, touched, merge=merge)
        return cls(tables, Moves(tables), Outlook(tables))

    def reduced(self, locked: tuple[str, ...], rejected: str) -> Ground:
        """The same with items locked and one rejected; needs a ground that merges nothing."""
        tables = self.tables.reduced(locked, rejected)
        return Ground(tables, self.moves.seen_from(tables), self.outlook)


class Search:
    """Answers questions about one case; keeps what it computed between them.

    Parameters
    ----------
    ground : Ground
        The case made ready.
    until : float, optional
        ``time.perf_counter`` value at which to give up with ``StoppedError``.
    progress : callable, optional
        Told in a few words what is being tried.
    """

    def __init__(
        self, ground: Ground, *, until: float | None = None, progress: Progress | None = None
    ) -> None:
        self.case = ground.tables.case
        self.tables = ground.tables
        self.moves = ground.moves
        self.outlook = ground.outlook
        self.until = until
        self._until = until
        self._progress = progress
        self._rungs: dict[tuple[int, int], _Rung | None] = {}
        self._scarce: tuple[int, ...] = ()  # groups whose exact count has been needed
        self.bound: Objective = (max(1, len(self.case.locked)), 0, 0, 0)

    def check(self) -> None:
        """Raise StoppedError when the time is up."""
        if self._until is not None and time.perf_counter() > self._until:
            raise StoppedError

    def allow(self, until: float | None) -> None:
        """Work on until then; nothing that was computed is computed anew."""
        self._until = until

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
            if bucket >= self._last_bucket(n):
                return

    def runners_up(self, count: int) -> list[tuple[Objective, list[str], int]]:
        """The best ``count`` plans with different sets of pieces, best first.

        Two orders of the same pieces count once. Fewer come back when fewer are
        found within a fixed amount of work.
        """
        found: list[tuple[Objective, list[str], int]] = []
        seen: set[frozenset[str]] = set()
        for objective, ids, seat in self.solutions():
            n, _, pups, _ = objective
            top = self.case.base.height - seat + sum(self.case.item(i).effective for i in ids)
            for more, at in [(ids, seat), *self._others(n, pups, top)]:
                if frozenset(more) not in seen:
                    seen.add(frozenset(more))
                    found.append((objective, more, at))
                    if len(found) == count:
                        return found
        return found

    def equals(self, objective: Objective) -> Iterator[tuple[Objective, list[str], int]]:
        """Plans with as many items, the same bucket and as many pups, nearest first.

        Of each top several plans come, as many as a fixed amount of work finds.
        """
        n, bucket, pups, _ = objective
        rung = self._rung(n, pups)
        for deviation, height in self._heights(rung, bucket) if rung else ():
            if rung and self._settle(rung, n, pups, height) is not None:
                for ids, seat in islice(self._others(n, pups, height), _SAME_TOP):
                    yield (n, bucket, pups, deviation), ids, seat

    def nearest(self, n: int) -> Iterator[int]:
        """For each number of pups the unions nearest the target, one or two, that n items leave."""
        for pups in range(n + 1):
            rung = self._rung(n, pups)
            least: int | None = None
            for deviation, height in self._every_height(rung, n) if rung else ():
                if least is not None and deviation > least:
                    break
                if rung and self._settle(rung, n, pups, height) is not None:
                    least = deviation
                    yield self.case.gap - height

    def _others(self, n: int, pups: int, top: int) -> Iterator[tuple[list[str], int]]:
        """Further plans with the same top, within a fixed number of nodes."""
        rung = self._rungs[n, pups]
        assert rung is not None
        try:
            for ids, bottom in rung.descent.all_plans(rung.keys_at(top), top, _OTHERS_BUDGET):
                yield [*self.case.locked, *ids], self.seat_of(bottom)
        except OutOfNodesError:
            return

    def any_plan(self) -> tuple[Objective, list[str], int] | None:
        """Some plan found with little work, to have one in hand when the time runs out.

        Round by round the work for each number of items and pups grows.
        """
        for nodes in _QUICK_NODES:
            for n in range(self.bound[0], self.case.max_items + 1):
                for rung, pups in [(self._rung(n, pups), pups) for pups in range(n + 1)]:
                    for height in islice(self._any_tops(rung, n), _QUICK_TOPS) if rung else ():
                        found = self._quick(rung, n, pups, height, nodes) if rung else None
                        if found is not None:
                            return found
        return None

    def _any_tops(self, rung: _Rung, n: int) -> Iterator[int]:
        """Tops near the target, spread a little, since neighbours tend to fail alike."""
        return islice((height for _, height in self._every_height(rung, n)), 0, None, _QUICK_STEP)

    def _quick(
        self, rung: _Rung, n: int, pups: int, height: int, nodes: int
    ) -> tuple[Objective, list[str], int] | None:
        union = self.case.union
        try:
            found = rung.descent.settle(rung.keys_at(height), height, nodes)
        except OutOfNodesError:
            return None
        if found is None:
            return None
        deviation = abs(self.case.gap - height - union.target)
        objective = (n, deviation // union.bucket, pups, deviation)
        return objective, [*self.case.locked, *found[0]], self.seat_of(found[1])

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
            thinkable = self.outlook.may(self.tables, n, pups)
            self._rungs[n, pups] = self._make_rung(n, pups, ()) if thinkable else None
        return self._rungs[n, pups]

    def _make_rung(self, n: int, pups: int, critical: tuple[int, ...]) -> _Rung | None:
        reach = Reach(
            self.tables,
            self.moves,
            PupCount(self.tables, self.outlook, n, pups),
            critical,
            self.check,
        )
        if not reach.tops():
            return None
        budget = _FIRST_BUDGET
        if critical or not self._scarce:
            budget = max(budget, reach.work // _WORK_PER_NODE)
        return _Rung(reach, Descent(reach, self.check), critical, budget)

    def _heights(self, rung: _Rung, bucket: int) -> Iterator[tuple[int, int]]:
        """(deviation, top height) inside one bucket, nearest first, closed union first."""
        union = self.case.union
        aim = self.case.gap - union.target
        end = self._furthest(rung, aim) + 1
        first = bucket * union.bucket
        for least in range(first, min(end, first + union.bucket), _STRETCH):
            self.check()
            most = min(first + union.bucket, least + _STRETCH) - 1
            heights = set()
            for _, bits in rung.reach.tops():
                heights |= set(heights_of(clip(bits, aim - most, aim - least)))
                heights |= set(heights_of(clip(bits, aim + least, aim + most)))
            yield from sorted(((abs(h - aim), h) for h in heights), key=lambda d: (d[0], -d[1]))

    def _every_height(self, rung: _Rung, n: int) -> Iterator[tuple[int, int]]:
        """The same of all buckets."""
        for bucket in self._buckets(n):
            yield from self._heights(rung, bucket)
            if bucket >= self._last_bucket(n):
                return

    def _last_bucket(self, n: int) -> int:
        """The furthest bucket that any top of n items reached so far is in; -1 for none."""
        union = self.case.union
        rungs = (self._rungs.get((n, pups)) for pups in range(n + 1))
        ends = [self._furthest(rung, self.case.gap - union.target) for rung in rungs if rung]
        return max(ends, default=-1) // union.bucket

    @staticmethod
    def _furthest(rung: _Rung, aim: int) -> int:
        """Largest deviation among the tops that are reached."""
        ends = [(lo, lo + bits.bit_length() - 1) for _, (lo, bits) in rung.reach.tops()]
        return max(max(abs(lo - aim), abs(hi - aim)) for lo, hi in ends)

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
        keys = rung.keys_at(height)
        found = rung.descent.settle(keys, height, rung.budget - rung.descent.nodes)
        if found is None:
            rung.refused.add(height)
            return None
        ids, bottom = found
        return [*self.case.locked, *ids], self.seat_of(bottom)

    def _sharpen(self, rung: _Rung, n: int, pups: int) -> None:
        """Count one more item exactly, or else give the descent all the nodes it wants.

        When lifts that come out too long are more to blame than items in use, their
        length is kept more closely instead. Items that were scarce before are counted
        at once. Of those newly to blame the first is taken whose exact count closes
        off a good part of the tops, else the one that closes off most.
        """
        if rung.descent.misfits > rung.descent.blame.total() and (finer := self.moves.finer()):
            self.moves = finer
            self._replace(rung, n, pups, self._make_rung(n, pups, rung.critical))
            return
        known = (*rung.critical, *(g for g in self._scarce if g not in rung.critical))
        look_at = _LOOKED_AT if rung.reach.work < _MUCH_WORK else 1
        blamed = rung.descent.most_to_blame(known, look_at)
        trials = [(*known, group) for group in blamed]
        if len(known) > len(rung.critical):
            trials = [known]
        if not trials or len(trials[0]) > _MOST_CRITICAL:
            rung.budget = _ALWAYS
            return
        before, best, least = rung.top_count(), None, None
        for critical in trials:
            sharper = self._make_rung(n, pups, critical)
            left = sharper.top_count() if sharper else 0
            if least is None or left < least:
                best, least, self._scarce = sharper, left, critical
            if least <= _GOOD_PART * before:
                break
        self._replace(rung, n, pups, best)

    def _replace(self, rung: _Rung, n: int, pups: int, sharper: _Rung | None) -> None:
        """A sharper rung in place of one, with what that one has settled."""
        if sharper is not None:
            sharper.refused = rung.refused
            sharper.budget = max(sharper.budget, rung.budget * 2)
        self._rungs[n, pups] = sharper

    def seat_of(self, bottom: int) -> int:
        """The seat at which the locked top stands at that height."""
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


def solve(case: Case, *, limit_s: float | None = None, progress: Progress | None = None) -> Answer:
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

    Notes
    -----
    Ctrl-C (``KeyboardInterrupt``) stops the search as the limit does.
    """
    begun = time.perf_counter()
    until = None if limit_s is None else begun + limit_s
    stops = (StoppedError, KeyboardInterrupt)
    answer = combined(
        solve_one(Search(Ground.of(case, touched), until=until, progress=progress), stops)
        for touched in ways(case)
    )
    return replace(answer, elapsed_s=time.perf_counter() - begun)


def combined(answers: Iterable[Answer]) -> Answer:
    """The answer to a case from those to each of its ``ways``.

    The best plan of all; proved only if no way that was stopped may hold a better one.
    """
    every = list(answers)
    first = min(every, key=plan_order)
    bounds = [answer.bound for answer in every if answer.bound is not None]
    if not bounds or (first.proved and first.objective and first.objective <= min(bounds)):
        return first
    proved = [answer.objective for answer in every if answer.proved and answer.objective]
    return replace(first, status="stopped", proved=False, bound=min(bounds + proved))


def plan_order(answer: Answer) -> tuple[Any, ...]:
    """Rank of plans: the objective, then the rule for ties; no plan comes last."""
    ids = [natural_order(item_id) for item_id in reversed(answer.items)]
    return answer.objective or (math.inf,), answer.union or 0, ids, answer.seat or 0


def runners_up(
    case: Case, count: int, *, until: float | None = None, progress: Progress | None = None
) -> list[Answer]:
    """The best ``count`` plans with different sets of pieces, best first.

    Raises
    ------
    StoppedError
        When the time is up.
    """
    found = []
    for touched in ways(case):
        search = Search(Ground.of(case, touched), until=until, progress=progress)
        found += [search.answer(*plan) for plan in search.runners_up(count)]
    distinct: dict[frozenset[str], Answer] = {}
    for answer in sorted(found, key=plan_order):
        distinct.setdefault(frozenset(answer.items), answer)
    return list(distinct.values())[:count]


def solve_one(search: Search, stops: tuple[type[BaseException], ...] = (StoppedError,)) -> Answer:
    """The answer of one search, without its time.

    When the proof does not end in a first share of the time, the next share goes
    into finding some plan, and the rest into the proof again. One of ``stops``
    that comes from outside ends the work, but for a moment to find some plan.
    """
    begun, end = time.perf_counter(), search.until
    plan, bound = None, search.bound
    for share in (_PROOF_SHARE, 1.0):
        search.allow(None if end is None else begun + share * (end - begun))
        try:
            found = next(search.solutions(), None)
        except stops as stop:
            bound = max(bound, search.bound)
            asked = not isinstance(stop, StoppedError)
            plan = plan or _some_plan(search, begun, asked)
            if asked:
                break
            continue
        return search.answer(*found) if found else Answer("infeasible", proved=True)
    if plan is None:
        return Answer("stopped", bound=bound)
    return replace(search.answer(*plan), status="stopped", proved=False, bound=bound)


def _some_plan(
    search: Search, begun: float, asked: bool
) -> tuple[Objective, list[str], int] | None:
    """A plan to have in hand, if one is found soon."""
    end = search.until
    if asked or end is None:
        search.allow(time.perf_counter() + _AFTER_STOP_S)
    else:
        search.allow(begun + _PLAN_SHARE * (end - begun))
    try:
        return search.any_plan()
    except StoppedError:
        return None
