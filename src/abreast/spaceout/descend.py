"""From a reachable top down to the base with every item used once: the exact part.

The reach sets say where a relaxed string (items used again) can come from, so
each step down stays on heights from which the base can be met. When a branch
dies because an item is in use already, the set of items to blame is kept and
any later visit that uses them all is refused at once.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from typing import NamedTuple

from abreast.spaceout.count import Mark
from abreast.spaceout.reach import Key, Reach
from abreast.spaceout.tables import CLOSED, Group, natural_order

__all__ = ["Descent", "OutOfNodesError"]

Step = tuple[Group, Key, int]  # group put on, state and height below it
_State = tuple[str, int, Mark, tuple[int, ...]]  # thread, accessories, mark, counts
_Set = tuple[Key, int, int, bytes]  # state, lowest and highest height, bits


_STANDS_OUT = 1.5  # times as often to blame as the next: no need to look further


class OutOfNodesError(Exception):
    """The node budget ran out before the question was settled."""


class _Spot(NamedTuple):
    """A place on the way down: what is above is chosen, what is below is open."""

    level: int
    height: int
    key: Key
    above: int  # overall length of the part of the lift in hand that lies above


_Spots = tuple[_Spot, ...]  # at one level and height: the states the string below may have
_Menu = list[tuple[Group, _Spots]]  # what may stand under them, in natural order


class Descent:
    """Searches the reach sets of one (n, pups) from the top down.

    Parameters
    ----------
    reach : Reach
        Forward sets.
    check : callable
        Called at every node; may raise to stop the work.
    """

    def __init__(self, reach: Reach, check: Callable[[], None]) -> None:
        self.reach = reach
        self.blame: Counter[int] = Counter()
        self.misfits = 0  # pieces that made a lift too long, unseen by the reach sets
        self.nodes = 0
        self._check = check
        self._bottom = len(reach.tables.locked)
        self._levels: dict[int, dict[_State, list[_Set]]] = {}
        self._unders: dict[object, list[tuple[Group, list[_Set]]]] = {}
        self._nogoods: dict[_Spots, list[int]] = defaultdict(list)
        self._menus: dict[_Spots, _Menu] = {}
        self._by_box: dict[str, list[Group]] = defaultdict(list)
        self._first_bit: dict[int, int] = {}
        bit = 0
        for group in reach.tables.groups:
            self._by_box[group.box].append(group)
            self._first_bit[group.index] = bit
            bit += len(group.ids)
        ids = sorted((i for g in reach.tables.groups for i in g.ids), key=natural_order)
        rank = {item_id: place for place, item_id in enumerate(ids)}
        self._ranks = {g.index: [rank[i] for i in g.ids] for g in reach.tables.groups}
        self._any_alike = len(ids) > len(reach.tables.groups)
        lifts = reach.tables.case.lifts
        self._max_length = lifts.max_length if lifts else 0
        self._steps: dict[tuple[int, int, Key], list[Step]] = {}

    def settle(self, keys: Sequence[Key], height: int, budget: int) -> tuple[list[str], int] | None:
        """First plan, in the fixed order, whose top stands at ``height`` in one of the states.

        The fixed order is the natural order of the ids, read from the top down.

        Returns
        -------
        (ids bottom to top without the locked ones, height of the locked top), or
        None when there is no plan.

        Raises
        ------
        OutOfNodesError
            When more than ``budget`` nodes would be needed.
        """
        self._budget = self.nodes + budget
        path: list[tuple[Group, int]] = []
        spots = tuple(_Spot(self.reach.count.n, height, key, 0) for key in keys)
        if not spots or self._down(spots, 0, path) is not None:
            return None
        return self._told(path, height)

    def all_plans(
        self, keys: Sequence[Key], height: int, budget: int
    ) -> Iterator[tuple[list[str], int]]:
        """Every plan with its top at ``height``, one per sequence of groups."""
        self._budget = self.nodes + budget
        spots = tuple(_Spot(self.reach.count.n, height, key, 0) for key in keys)
        for path in self._walk(spots, 0, []) if spots else ():
            yield self._told(path, height)

    @staticmethod
    def _told(path: list[tuple[Group, int]], height: int) -> tuple[list[str], int]:
        """Ids bottom to top, and the height of the locked top, of a path from the top down."""
        taken: Counter[int] = Counter()
        ids = []
        for group, _ in path:
            ids.append(group.ids[taken[group.index]])
            taken[group.index] += 1
        return ids[::-1], path[-1][1] if path else height

    def most_to_blame(self, known: Collection[int], most: int) -> list[int]:
        """Groups, none of the known ones, that were most often wanted while in use.

        One alone comes back when it stands out.
        """
        ranked = sorted((-count, group) for group, count in self.blame.items())
        ranked = [one for one in ranked if one[1] not in known]
        if len(ranked) > 1 and ranked[0][0] <= _STANDS_OUT * ranked[1][0]:
            return [ranked[0][1]]
        return [group for _, group in ranked[:most]]

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

    def _down(self, spots: _Spots, used: int, path: list[tuple[Group, int]]) -> int | None:
        """None when the path below was completed, else the items to blame as bits."""
        if spots[0].level == self._bottom:
            return None
        self._spend()
        nogoods = self._nogoods[spots]
        for nogood in nogoods:
            if nogood & used == nogood:
                return nogood
        blame = 0
        for group, below in self._choices(spots, used):
            bit = self._take(group, used)
            if not bit:
                self.blame[group.index] += 1
                blame |= self._all_bits(group)
                continue
            path.append((group, below[0].height))
            dead = self._down(below, used | bit, path)
            if dead is None:
                return None
            path.pop()
            blame |= dead & used
        nogoods.append(blame)
        return blame

    def _walk(
        self, spots: _Spots, used: int, path: list[tuple[Group, int]]
    ) -> Iterator[list[tuple[Group, int]]]:
        """Every completed path below some spots."""
        if spots[0].level == self._bottom:
            yield list(path)
            return
        self._spend()
        if any(nogood & used == nogood for nogood in self._nogoods[spots]):
            return
        for group, below in self._choices(spots, used):
            if bit := self._take(group, used):
                path.append((group, below[0].height))
                yield from self._walk(below, used | bit, path)
                path.pop()

    def _choices(self, spots: _Spots, used: int) -> _Menu:
        """What may stand under the spots, by the natural order of the ids it would take."""
        menu = self._menus.get(spots)
        if menu is None:
            menu = self._menus[spots] = self._menu(spots)
        if self._any_alike and len(menu) > 1:
            return sorted(menu, key=lambda one: self._next_rank(one[0], used))
        return menu

    def _next_rank(self, group: Group, used: int) -> int:
        """Place in natural order of the id that the group would give next."""
        taken = (used & self._all_bits(group)).bit_count()
        ranks = self._ranks[group.index]
        return ranks[min(taken, len(ranks) - 1)]

    def _menu(self, spots: _Spots) -> _Menu:
        """The same by the order of the groups; the length of a lift in hand is kept exactly."""
        under: dict[int, tuple[Group, dict[_Spot, None]]] = {}
        for spot in spots:
            for group, below, at in self._below(spot.level, spot.height, spot.key):
                length = group.overall + (spot.above if spot.key.lift else 0)
                if spot.key.lift and length > self._max_length:
                    self.misfits += 1
                    continue
                place = _Spot(spot.level - 1, at, below, length if below.lift else 0)
                under.setdefault(group.index, (group, {}))[1][place] = None
        return [(group, tuple(sorted(places))) for _, (group, places) in sorted(under.items())]

    def _spend(self) -> None:
        self.nodes += 1
        self._check()
        if self.nodes > self._budget:
            raise OutOfNodesError

    def _below(self, level: int, height: int, key: Key) -> list[Step]:
        """What may stand under a live (level, height, state), in the fixed order."""
        mark = (level, height, key)
        steps = self._steps.get(mark)
        if steps is None:
            steps = self._steps[mark] = list(self._find_below(level, height, key))
        return steps

    def _find_below(self, level: int, height: int, key: Key) -> Iterator[Step]:
        first = level - 1 == self._bottom
        moves = self.reach.moves.of
        for group, sets in self._under(level, key):
            at = height - group.effective
            for below, lo, top, raw in sets:
                if at < lo or at > top:
                    continue
                offset = at - lo
                if not raw[offset >> 3] >> (offset & 7) & 1:
                    continue
                for move in moves(group, below.served, below.lift, first):
                    if move.lo <= at <= move.hi and move[2:] == (key.served, key.lift):
                        yield group, below, at
                        break

    def _under(self, level: int, key: Key) -> list[tuple[Group, list[_Set]]]:
        """Groups whose upper end fits, each with the sets its lower end may stand on."""
        mark = (level, key[:4])
        found = self._unders.get(mark)
        if found is None:
            sets = self._level(level - 1)
            found = []
            for group in self._by_box[key.thread]:
                states = self._before(key, group)
                below = [one for state in states for one in sets.get(state, ())]
                if below:
                    found.append((group, below))
            self._unders[mark] = found
        return found

    def _before(self, key: Key, group: Group) -> list[_State]:
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

    def _level(self, level: int) -> dict[_State, list[_Set]]:
        """The reach sets of a level, indexed for tests of single heights."""
        if level not in self._levels:
            index: dict[_State, list[_Set]] = defaultdict(list)
            for key, (lo, bits) in sorted(self.reach.levels[level].items()):
                size = bits.bit_length()
                raw = bits.to_bytes((size + 7) // 8, "little")
                index[key[:4]].append((key, lo, lo + size - 1, raw))
            self._levels[level] = index
        return self._levels[level]


assert CLOSED == ()  # an empty lift is false, which the tests on ``key.lift`` rely on
