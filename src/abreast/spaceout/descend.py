"""From a reachable top down to the base with every item used once: the exact part.

The reach sets say where a relaxed string (items used again) can come from, so
each step down stays on heights from which the base can be met. When a branch
dies because an item is in use already, the set of items to blame is kept and
any later visit that uses them all is refused at once.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.spaceout.reach import Bits, Key, Reach
from abreast.spaceout.tables import CLOSED, Group

__all__ = ["Descent", "OutOfNodesError"]

Step = tuple[Group, Key, int]  # group put on, state and height below it


class OutOfNodesError(Exception):
    """The node budget ran out before the question was settled."""


@dataclass(frozen=True)
class _Level:
    """One level of the reach sets, indexed for tests of single heights."""

    by_state: dict[tuple[object, ...], list[tuple[Key, int, bytes]]]

    @classmethod
    def of(cls, sets: dict[Key, Bits]) -> _Level:
        index = defaultdict(list)
        for key, (lo, bits) in sorted(sets.items()):
            raw = bits.to_bytes((bits.bit_length() + 7) // 8, "little")
            index[key[:4]].append((key, lo, raw))
        return cls(dict(index))


class Descent:
    """Searches the reach sets of one (n, pups) from the top down.

    Parameters
    ----------
    reach : Reach
        Forward sets.
    check : callable
        Called at every node; may raise to stop the work.
    """

    def __init__(self, reach: Reach, check) -> None:  # type: ignore[no-untyped-def]
        self.reach = reach
        self.blame: Counter[int] = Counter()
        self.nodes = 0
        self._check = check
        self._bottom = len(reach.tables.locked)
        self._levels: dict[int, _Level] = {}
        self._nogoods: dict[tuple[int, int, Key, int], list[int]] = defaultdict(list)
        self._by_box: dict[str, list[Group]] = defaultdict(list)
        self._first_bit: dict[int, int] = {}
        bit = 0
        for group in reach.tables.groups:
            self._by_box[group.box].append(group)
            self._first_bit[group.index] = bit
            bit += len(group.ids)
        lifts = reach.tables.case.lifts
        self._max_length = lifts.max_length if lifts else 0
        self._steps: dict[tuple[int, int, Key], list[Step]] = {}

    def settle(self, key: Key, height: int, budget: int) -> tuple[list[str], int] | None:
        """First plan, in the fixed order, whose top stands at ``height``; None when there is none.

        Returns
        -------
        (ids bottom to top without the locked ones, height of the locked top), or None.

        Raises
        ------
        OutOfNodesError
            When more than ``budget`` nodes would be needed.
        """
        self._budget = self.nodes + budget
        path: list[tuple[Group, int]] = []
        dead = self._down(self.reach.count.n, height, key, 0, 0, path)
        if dead is not None:
            return None
        taken: Counter[int] = Counter()
        ids = []
        for group, _ in path:
            ids.append(group.ids[taken[group.index]])
            taken[group.index] += 1
        bottom = path[-1][1] if path else height
        return ids[::-1], bottom

    def all_plans(self, key: Key, height: int, budget: int) -> Iterator[tuple[list[str], int]]:
        """Every plan with its top at ``height``, one per sequence of groups."""
        self._budget = self.nodes + budget
        seen = set()
        for path in self._walk(self.reach.count.n, height, key, 0, 0, []):
            marks = tuple(group.index for group, _ in path)
            if marks in seen:
                continue
            seen.add(marks)
            taken: Counter[int] = Counter()
            ids = []
            for group, _ in path:
                ids.append(group.ids[taken[group.index]])
                taken[group.index] += 1
            yield ids[::-1], path[-1][1] if path else height

    # The group's own free item, as a bit, or 0 when all are in use.
    def _take(self, group: Group, used: int) -> int:
        bit = 1 << self._first_bit[group.index]
        for _ in group.ids:
            if not used & bit:
                return bit
            bit <<= 1
        return 0

    def _all_bits(self, group: Group) -> int:
        return ((1 << len(group.ids)) - 1) << self._first_bit[group.index]

    def _down(self, level, height, key, used, above, path) -> int | None:  # type: ignore[no-untyped-def]
        """None when the path below was completed, else the items to blame as bits."""
        if level == self._bottom:
            return None
        self._spend()
        mark = (level, height, key, above)
        for nogood in self._nogoods[mark]:
            if nogood & used == nogood:
                return nogood
        blame = 0
        for group, below, at in self._below(level, height, key):
            length = self._lift_length(group, key, above)
            if length > self._max_length > 0 and key.lift:
                continue
            bit = self._take(group, used)
            if not bit:
                self.blame[group.index] += 1
                blame |= self._all_bits(group)
                continue
            path.append((group, at))
            carried = length if below.lift else 0
            dead = self._down(level - 1, at, below, used | bit, carried, path)
            if dead is None:
                return None
            path.pop()
            blame |= dead & used
        self._nogoods[mark].append(blame)
        return blame

    def _walk(self, level, height, key, used, above, path):  # type: ignore[no-untyped-def]
        if level == self._bottom:
            yield list(path)
            return
        self._spend()
        if any(nogood & used == nogood for nogood in self._nogoods[level, height, key, above]):
            return
        for group, below, at in self._below(level, height, key):
            length = self._lift_length(group, key, above)
            bit = self._take(group, used)
            if not bit or (length > self._max_length > 0 and key.lift):
                continue
            carried = length if below.lift else 0
            path.append((group, at))
            yield from self._walk(level - 1, at, below, used | bit, carried, path)
            path.pop()

    def _spend(self) -> None:
        self.nodes += 1
        self._check()
        if self.nodes > self._budget:
            raise OutOfNodesError

    @staticmethod
    def _lift_length(group: Group, key: Key, above: int) -> int:
        return group.overall + (above if key.lift else 0)

    def _below(self, level: int, height: int, key: Key) -> list[Step]:
        """What may stand under a live (level, height, state), in the fixed order."""
        mark = (level, height, key)
        steps = self._steps.get(mark)
        if steps is None:
            steps = self._steps[mark] = list(self._find_below(level, height, key))
        return steps

    def _find_below(self, level: int, height: int, key: Key) -> Iterator[Step]:
        index = self._level(level - 1).by_state
        first = level - 1 == self._bottom
        moves = self.reach.moves.of
        for group in self._by_box[key.thread]:
            at = height - group.effective
            for state in self._before(key, group):
                for below, lo, raw in index.get(state, ()):
                    offset = at - lo
                    if offset < 0 or offset >= len(raw) * 8:
                        continue
                    if not raw[offset >> 3] >> (offset & 7) & 1:
                        continue
                    for move in moves(group, below.served, below.lift, first):
                        if move.lo <= at <= move.hi and move[2:] == (key.served, key.lift):
                            yield group, below, at
                            break

    def _before(self, key: Key, group: Group) -> list[tuple[object, ...]]:
        """The part of the state below that follows from the state above."""
        marks = self.reach.count.before(key.mark, group)
        if not marks or group.accessory & ~key.accessories:
            return []
        counts = key.counts
        if group.index in self.reach.critical:
            place = self.reach.critical.index(group.index)
            if counts[place] == 0:
                return []
            counts = (*counts[:place], counts[place] - 1, *counts[place + 1 :])
        used = key.accessories & ~group.accessory
        return [(group.pin, used, mark, counts) for mark in marks]

    def _level(self, level: int) -> _Level:
        if level not in self._levels:
            self._levels[level] = _Level.of(self.reach.levels[level])
        return self._levels[level]


assert CLOSED == ()  # an empty lift is false, which the tests on ``key.lift`` rely on
