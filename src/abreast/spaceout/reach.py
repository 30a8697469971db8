"""Heights that can be reached from below when an item may be used again: a sharp look-ahead.

A set of heights is one big integer, a bit per tick; putting an item on top is a
shift, so it costs nothing but a change of offset. A counting rule fixes the
number of items and bounds the heights from both ends; the use of a few critical
groups can be counted exactly besides.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from copy import copy
from operator import itemgetter
from typing import NamedTuple

from abreast.spaceout.count import Count, Mark
from abreast.spaceout.tables import CLOSED, Group, LiftState, Tables

__all__ = ["Bits", "Key", "Move", "Moves", "Reach", "clip", "heights_of"]

Bits = tuple[int, int]  # (height of bit 0, bits)


# Steps in which the length of a lift of three or more is remembered: at first, and at most.
_LENGTH_STEPS, _MOST_LENGTH_STEPS = 32, 4096


class Key(NamedTuple):
    """What must be remembered of the string below, its height aside."""

    thread: str
    accessories: int
    mark: Mark  # what the counting rule keeps: pups so far, or lines changed
    counts: tuple[int, ...]  # of the critical groups
    served: int  # clamps
    lift: LiftState


class Move(NamedTuple):
    """A stretch of heights in which a group may be put on, and what it leads to."""

    lo: int
    hi: int
    served: int
    lift: LiftState


class Moves:
    """The moves of every group from every (clamps served, lift) state, made once each.

    ``steps`` says how closely the length of a lift of three or more is kept.
    """

    def __init__(self, tables: Tables, steps: int = _LENGTH_STEPS) -> None:
        self._tables = tables
        self._steps = steps
        self._loose = not tables.locked  # the first lift of all may start where it likes
        self._made: dict[tuple[int, int, LiftState, bool], list[Move]] = {}
        self._overalls = sorted({group.overall for group in tables.groups})

    def _kept_length(self, length: int, pieces: int) -> int | None:
        """What is remembered of the length of a lift in hand; None when no piece goes on it.

        Never more than the length. Before the last piece, only which pieces still
        go on matters, and lifts that take the same ones are taken as the shortest
        of them: that is exact. Before that the length is kept in coarse steps.
        """
        lifts = self._tables.case.lifts
        assert lifts is not None
        fitting = bisect_right(self._overalls, lifts.max_length - length)
        if not fitting:
            return None
        if pieces + 1 < lifts.max_pieces:
            grain = lifts.max_length // self._steps + 1
            return length // grain * grain
        if fitting == len(self._overalls):
            return 0
        return lifts.max_length - self._overalls[fitting] + 1

    def finer(self) -> Moves | None:
        """The moves with lengths of lifts kept more closely; None when they are close enough."""
        lifts = self._tables.case.lifts
        if lifts is None or lifts.max_pieces < 3 or self._steps >= _MOST_LENGTH_STEPS:
            return None
        other = Moves(self._tables, self._steps * 8)
        other._loose = self._loose
        return other

    def seen_from(self, tables: Tables) -> Moves:
        """The same moves, shared, for a reduced form of the tables."""
        other = copy(self)
        other._loose = not tables.locked
        return other

    def of(self, group: Group, served: int, lift: LiftState, first: bool) -> list[Move]:
        """Moves of the group; ``first`` when it is the first free one."""
        key = (group.index, served, lift, first and self._loose)
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = self._make(group, served, lift, key[3])
        return made

    def _make(self, group: Group, served: int, lift: LiftState, first: bool) -> list[Move]:
        tables = self._tables
        if tables.case.lifts is None:
            return [Move(lo, hi, s, CLOSED) for lo, hi, s in tables.paths(group, served, True)]
        if lift:
            return list(self._go_on(group, served, lift))
        return list(self._begin(group, served, first))

    def _begin(self, group: Group, served: int, first: bool) -> Iterator[Move]:
        tables, lifts = self._tables, self._tables.case.lifts
        assert lifts is not None
        if group.overall > lifts.max_length:
            return
        starts = tables.zones if first else tables.lift_starts
        for lo, hi, reached in starts:
            for a, b, after in tables.paths(group, served, True):
                if max(a, lo) <= min(b, hi):
                    yield Move(max(a, lo), min(b, hi), after, CLOSED)
            kept = self._kept_length(group.overall, 1)
            if lifts.max_pieces > 1 and kept is not None:
                top = min(hi, tables.ceiling(reached) - group.effective)
                opened = (reached, 1, kept)
                for a, b, after in tables.paths(group, served, False):
                    if max(a, lo) <= min(b, top):
                        yield Move(max(a, lo), min(b, top), after, opened)

    def _go_on(self, group: Group, served: int, lift: LiftState) -> Iterator[Move]:
        tables, lifts = self._tables, self._tables.case.lifts
        assert lifts is not None
        reached, pieces, length = lift
        if length + group.overall > lifts.max_length:
            return
        kept = self._kept_length(length + group.overall, pieces + 1)
        top = tables.ceiling(reached) - group.effective
        for a, b, after in tables.paths(group, served, False):
            if a <= min(b, top):
                yield Move(a, min(b, top), after, CLOSED)
                if pieces + 1 < lifts.max_pieces and kept is not None:
                    yield Move(a, min(b, top), after, (reached, pieces + 1, kept))


class Reach:
    """Forward sets of one counting rule, for example n items with p pups among them.

    Parameters
    ----------
    tables, moves : Tables, Moves
        The case made ready, and its moves.
    count : Count
        Fixes the number of items and what is counted along the string.
    critical : tuple of int
        Indices of groups whose use is counted exactly.
    check : callable
        Called now and then; may raise to stop the work.
    """

    def __init__(
        self,
        tables: Tables,
        moves: Moves,
        count: Count,
        critical: tuple[int, ...],
        check: Callable[[], None],
    ) -> None:
        self.tables = tables
        self.moves = moves
        self.count = count
        self.critical = critical
        self.bottom = len(tables.locked)
        self._place = {g: i for i, g in enumerate(critical)}
        self._by_pin: dict[str, list[Group]] = defaultdict(list)
        self._movables: dict[object, list[tuple[Group, int, list[Move]]]] = {}
        for group in tables.groups:
            self._by_pin[group.pin].append(group)
        self.work = 0  # sets joined, a measure of what it costs to make these
        self.levels: dict[int, dict[Key, Bits]] = {self.bottom: self._start_level()}
        for level in range(self.bottom, count.n):
            if not self.levels[level]:
                break
            self.levels[level + 1] = self._next(level, check)

    def _start_level(self) -> dict[Key, Bits]:
        zero = (0,) * len(self.critical)
        heights: dict[Key, list[int]] = defaultdict(list)
        for height, served, thread, used in self.tables.starts.values():
            if height <= self.tables.clamp_deadline[served]:
                heights[Key(thread, used, self.count.start, zero, served, CLOSED)].append(height)
        self._starts = (
            min((min(h) for h in heights.values()), default=0),
            max((max(h) for h in heights.values()), default=0),
        )
        return {
            key: (min(hs), sum(1 << (h - min(hs)) for h in set(hs))) for key, hs in heights.items()
        }

    def _counted(self, counts: tuple[int, ...], group: Group) -> tuple[int, ...] | None:
        """The exact counts with the group put on; None when all its items are in use."""
        place = self._place.get(group.index)
        if place is None:
            return counts
        if counts[place] >= len(group.ids):
            return None
        return (*counts[:place], counts[place] + 1, *counts[place + 1 :])

    def _movable(self, key: Key, first: bool) -> list[tuple[Group, int, list[Move]]]:
        """Groups that fit the thread and have a move, each with its sort for counting."""
        mark = (key.thread, key.served, key.lift, first)
        found = self._movables.get(mark)
        if found is None:
            sort, moves = self.count.sort, self.moves.of
            every = (
                (group, sort(group), moves(group, key.served, key.lift, first))
                for group in self._by_pin[key.thread]
            )
            found = self._movables[mark] = [one for one in every if one[2]]
        return found

    def _next(self, level: int, check: Callable[[], None]) -> dict[Key, Bits]:
        first = level == self.bottom
        pieces: dict[Key, list[Bits]] = defaultdict(list)
        for key, span in self.levels[level].items():
            check()
            self._spread(key, span, first, pieces)
        return self._merged(level + 1, pieces)

    def _spread(self, key: Key, span: Bits, first: bool, pieces: dict[Key, list[Bits]]) -> None:
        """Put every group on one set of heights."""
        _, used, mark, counts, _, _ = key
        base, top = span[0], span[0] + span[1].bit_length() - 1
        marks_of: dict[int, Sequence[Mark]] = {}
        for group, sort, moves in self._movable(key, first):
            marks = marks_of.get(sort)
            if marks is None:
                marks = marks_of[sort] = self.count.after(mark, group)
            if not marks or group.accessory & used:
                continue
            counted = self._counted(counts, group) if counts else counts
            if counted is None:
                continue
            for lo, hi, then, lifted in moves:
                if lo > top or hi < base:
                    continue
                at, part = span if lo <= base and hi >= top else clip(span, lo, hi)
                if part:
                    for m in marks:
                        new = (group.box, used | group.accessory, m, counted, then, lifted)
                        pieces[new].append((at + group.effective, part))  # type: ignore[index]

    def _merged(self, level: int, pieces: dict[Key, list[Bits]]) -> dict[Key, Bits]:
        merged = {}
        for state, parts in pieces.items():
            key = Key(*state)
            self.work += len(parts)
            bounds = self.count.bounds(level, key.mark, key.thread, key.served, self._starts)
            if bounds is None:
                continue
            lo, hi = bounds
            union = clip(_joined(parts), lo, hi)
            if union[1]:
                merged[key] = union
        return merged

    def tops(self) -> list[tuple[Key, Bits]]:
        """The final states and their heights inside the closing window."""
        case, tables = self.tables.case, self.tables
        window = tables.top_window(self.count.n)
        found = []
        for key, bits in self.levels.get(self.count.n, {}).items():
            done = key.served == len(tables.clamps) and key.accessories == tables.all_accessories
            closed = key.lift == CLOSED and key.thread == case.union.pin
            if done and closed and self.count.is_final(key.mark):
                clipped = clip(bits, *window)
                if clipped[1]:
                    found.append((key, clipped))
        return found


def _joined(parts: list[Bits]) -> Bits:
    """One set of many, joined in pairs of neighbours so that each join stays small."""
    parts.sort(key=itemgetter(0))
    while len(parts) > 1:
        pairs = zip(parts[::2], parts[1::2], strict=False)
        odd = parts[-1:] if len(parts) % 2 else []
        parts = [(at, bits | more << (then - at)) for (at, bits), (then, more) in pairs] + odd
    return parts[0]


def clip(bits: Bits, lo: int, hi: int) -> Bits:
    """The heights from lo to hi."""
    base, value = bits
    if lo > base:
        value, base = value >> (lo - base), lo
    if hi < base:
        return base, 0
    if hi < base + value.bit_length() - 1:
        value &= (1 << (hi - base + 1)) - 1
    return base, value


def heights_of(bits: Bits) -> Iterator[int]:
    """The heights of a set, lowest first."""
    base, value = bits
    while value:
        low = value & -value
        yield base + low.bit_length() - 1
        value ^= low
