"""Heights that can be reached from below when an item may be used again: a sharp look-ahead.

A set of heights is one big integer, a bit per tick; putting an item on top is a
shift, so it costs nothing but a change of offset. The sets are computed for a
given number of items and pups, so that sums of distinct pieces bound them from
both ends, and optionally with the use of a few critical groups counted exactly.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from abreast.spaceout.outlook import Outlook
from abreast.spaceout.tables import CLOSED, Group, Interval, LiftState, Tables

__all__ = ["Bits", "Key", "Move", "Moves", "Reach"]

Bits = tuple[int, int]  # (height of bit 0, bits)


class Key(NamedTuple):
    """What must be remembered of the string below, its height aside."""

    thread: str
    accessories: int
    pups: int
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
    """The moves of every group from every (clamps served, lift) state, made once each."""

    def __init__(self, tables: Tables) -> None:
        self._tables = tables
        self._made: dict[tuple[int, int, LiftState, bool], list[Move]] = {}
        self._overalls = sorted({group.overall for group in tables.groups})

    def _room(self, length: int) -> int:
        """Rank of the longest piece that still goes on a lift of that length; -1 for none.

        Lifts with the same rank take the same last piece, so for lifts of two the
        rank says all; for longer ones it is a relaxation.
        """
        assert self._tables.case.lifts is not None
        return bisect_right(self._overalls, self._tables.case.lifts.max_length - length) - 1

    def _least_length(self, room: int) -> int:
        """Least length of a lift that has this room left."""
        assert self._tables.case.lifts is not None
        if room + 1 >= len(self._overalls):
            return 0
        return self._tables.case.lifts.max_length - self._overalls[room + 1] + 1

    def of(self, group: Group, served: int, lift: LiftState, first: bool) -> list[Move]:
        """Moves of the group; ``first`` when it stands on the very bottom (or on the locked)."""
        key = (group.index, served, lift, first)
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = self._make(group, served, lift, first)
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
        starts = tables.zones if first and not tables.locked else tables.lift_starts
        for lo, hi, reached in starts:
            for a, b, after in tables.paths(group, served, True):
                if max(a, lo) <= min(b, hi):
                    yield Move(max(a, lo), min(b, hi), after, CLOSED)
            room = self._room(group.overall)
            if lifts.max_pieces > 1 and room >= 0:
                top = min(hi, tables.ceiling(reached) - group.effective)
                opened = (reached, 1, room)
                for a, b, after in tables.paths(group, served, False):
                    if max(a, lo) <= min(b, top):
                        yield Move(max(a, lo), min(b, top), after, opened)

    def _go_on(self, group: Group, served: int, lift: LiftState) -> Iterator[Move]:
        tables, lifts = self._tables, self._tables.case.lifts
        assert lifts is not None
        reached, pieces, room = lift
        if group.overall > self._overalls[room]:
            return
        left = self._room(max(self._least_length(room), 0) + group.overall)
        top = tables.ceiling(reached) - group.effective
        for a, b, after in tables.paths(group, served, False):
            if a <= min(b, top):
                yield Move(a, min(b, top), after, CLOSED)
                if pieces + 1 < lifts.max_pieces and left >= 0:
                    yield Move(a, min(b, top), after, (reached, pieces + 1, left))


@dataclass(frozen=True)
class _Frame:
    """Bounds on heights, for n items of which p are pups: distinct sums and the outlook."""

    tables: Tables
    outlook: Outlook
    n: int
    pups: int
    locked: int
    locked_pups: int

    def bounds(self, level: int, key: Key, starts: Interval) -> Interval | None:
        """Lowest and highest height worth keeping in that state after ``level`` items."""
        free_pups = key.pups - self.locked_pups
        below = self.tables.reach(level - self.locked - free_pups, free_pups)
        left = self.n - level
        ahead = self.outlook.hull(left, key.thread, key.served, self.pups - key.pups)
        above = self.tables.reach(left - (self.pups - key.pups), self.pups - key.pups)
        if below is None or ahead is None or above is None:
            return None
        low, high = self.tables.top_window(self.n)
        lo = max(low - above[1], starts[0] + below[0], ahead[0])
        hi = min(high - above[0], starts[1] + below[1], ahead[1])
        hi = min(hi, self.tables.clamp_deadline[key.served])
        return (lo, hi) if lo <= hi else None


class Reach:
    """Forward sets for n items with p pups among them.

    Parameters
    ----------
    tables, moves, outlook : Tables, Moves, Outlook
        The case made ready, its moves, and what may lie ahead.
    n, pups : int
        Number of items and of pups in the whole string, locked ones included.
    critical : tuple of int
        Indices of groups whose use is counted exactly.
    check : callable
        Called now and then; may raise to stop the work.
    """

    def __init__(self, tables, moves, outlook, n, pups, critical, check) -> None:  # type: ignore[no-untyped-def]
        self.tables: Tables = tables
        self.moves: Moves = moves
        self.n: int = n
        self.pups: int = pups
        self.critical: tuple[int, ...] = critical
        locked = len(tables.locked)
        locked_pups = sum(item.kind == "pup" for item in tables.locked)
        self._frame = _Frame(tables, outlook, n, pups, locked, locked_pups)
        self._place = {g: i for i, g in enumerate(critical)}
        self._by_pin: dict[str, list[Group]] = defaultdict(list)
        for group in tables.groups:
            self._by_pin[group.pin].append(group)
        self.levels: dict[int, dict[Key, Bits]] = {locked: self._start_level(locked_pups)}
        for level in range(locked, n):
            if not self.levels[level]:
                break
            self.levels[level + 1] = self._next(level, check)

    def _start_level(self, locked_pups: int) -> dict[Key, Bits]:
        zero = (0,) * len(self.critical)
        heights: dict[Key, list[int]] = defaultdict(list)
        for height, served, thread, used in self.tables.starts.values():
            if height <= self.tables.clamp_deadline[served]:
                heights[Key(thread, used, locked_pups, zero, served, CLOSED)].append(height)
        self._starts = (
            min((min(h) for h in heights.values()), default=0),
            max((max(h) for h in heights.values()), default=0),
        )
        return {
            key: (min(hs), sum(1 << (h - min(hs)) for h in set(hs))) for key, hs in heights.items()
        }

    def step(self, key: Key, group: Group) -> tuple[int, int, tuple[int, ...]] | None:
        """(accessories, pups, counts) after the group is put on; None when it may not be."""
        if group.accessory & key.accessories:
            return None
        counts = key.counts
        place = self._place.get(group.index)
        if place is not None:
            if counts[place] >= len(group.ids):
                return None
            counts = (*counts[:place], counts[place] + 1, *counts[place + 1 :])
        return key.accessories | group.accessory, key.pups + group.is_pup, counts

    def _next(self, level: int, check) -> dict[Key, Bits]:  # type: ignore[no-untyped-def]
        first = level == self._frame.locked
        pieces: dict[Key, list[Bits]] = defaultdict(list)
        for key, (base, bits) in self.levels[level].items():
            check()
            top = base + bits.bit_length() - 1
            for group in self._by_pin[key.thread]:
                after = self.step(key, group)
                if after is None or after[1] > self.pups:
                    continue
                for lo, hi, served, lift in self.moves.of(group, key.served, key.lift, first):
                    if lo > top or hi < base:
                        continue
                    new = Key(group.box, *after, served, lift)
                    part, at = bits, base
                    if lo > base:
                        part, at = part >> (lo - base), lo
                    if hi < top:
                        part &= (1 << (hi - at + 1)) - 1
                    if part:
                        pieces[new].append((at + group.effective, part))
        return self._merged(level + 1, pieces)

    def _merged(self, level: int, pieces: dict[Key, list[Bits]]) -> dict[Key, Bits]:
        merged = {}
        for key, parts in pieces.items():
            bounds = self._frame.bounds(level, key, self._starts)
            if bounds is None:
                continue
            lo, hi = bounds
            union = 0
            for at, part in parts:
                union |= part << (at - lo) if at >= lo else part >> (lo - at)
            union &= (1 << (hi - lo + 1)) - 1
            if union:
                merged[key] = (lo, union)
        return merged

    def tops(self) -> list[tuple[Key, Bits]]:
        """The final states and their heights inside the closing window."""
        case, tables = self.tables.case, self.tables
        window = tables.top_window(self.n)
        found = []
        for key, bits in self.levels.get(self.n, {}).items():
            done = key.served == len(tables.clamps) and key.accessories == tables.all_accessories
            if done and key.lift == CLOSED and key.thread == case.union.pin and self.pups == key.pups:
                clipped = _clip(bits, *window)
                if clipped[1]:
                    found.append((key, clipped))
        return found


def _clip(bits: Bits, lo: int, hi: int) -> Bits:
    base, value = bits
    if lo > base:
        value, base = value >> (lo - base), lo
    return base, value & ((1 << max(0, hi - base + 1)) - 1)
