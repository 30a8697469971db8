"""Counting rules: what is counted along the string, and the bounds that follow.

The search asks for the best string with a given number of items and pups; a
fall-back asks for the one that changes the fewest lines of the running list.
Both go through the same sets and differ only in the mark kept along the way.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from abreast.spaceout.outlook import Outlook
from abreast.spaceout.tables import Group, Interval, Tables

__all__ = ["Count", "LineChanges", "Mark", "PupCount"]

Mark = tuple[int, ...]


class Count(Protocol):
    """A counting rule for strings of ``n`` items."""

    n: int
    start: Mark

    def sort(self, group: Group) -> int:
        """Groups of the same sort are counted alike."""

    def after(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """Marks the string may have once the group is put on; none when it may not be."""

    def before(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """Marks the string may have had before the group was put on."""

    def is_final(self, mark: Mark) -> bool:
        """Whether a whole string may end with this mark."""

    def bounds(
        self, level: int, mark: Mark, thread: str, served: int, starts: Interval
    ) -> Interval | None:
        """Lowest and highest top worth keeping in that state after ``level`` items."""


class PupCount:
    """Exactly ``n`` items of which ``pups`` are pups, locked ones included.

    Sums of distinct pieces bound the heights from below and from above.
    """

    def __init__(self, tables: Tables, outlook: Outlook, n: int, pups: int) -> None:
        self._tables = tables
        self._outlook = outlook
        self.n = n
        self.pups = pups
        self._bottom = len(tables.locked)
        self.start: Mark = (sum(item.kind == "pup" for item in tables.locked),)

    def sort(self, group: Group) -> int:
        """Pups, and all others."""
        return group.is_pup

    def after(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """The pups so far, with this one if it is one."""
        pups = mark[0] + group.is_pup
        return ((pups,),) if pups <= self.pups else ()

    def before(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """The pups so far, without this one."""
        pups = mark[0] - group.is_pup
        return ((pups,),) if pups >= 0 else ()

    def is_final(self, mark: Mark) -> bool:
        """Whether the pups are as many as asked for."""
        return mark[0] == self.pups

    def bounds(
        self, level: int, mark: Mark, thread: str, served: int, starts: Interval
    ) -> Interval | None:
        """Bounds from sums of distinct pieces below and above, and from the outlook."""
        tables, left = self._tables, self.n - level
        pups, free = self.pups - mark[0], mark[0] - self.start[0]
        below = tables.reach(level - self._bottom - free, free)
        above = tables.reach(left - pups, pups)
        ahead = self._outlook.hull(left, thread, served, pups)
        if below is None or above is None or ahead is None:
            return None
        low, high = tables.top_window(self.n)
        lo = max(low - above[1], starts[0] + below[0], ahead[0])
        hi = min(high - above[0], starts[1] + below[1], ahead[1], tables.clamp_deadline[served])
        return (lo, hi) if lo <= hi else None


class LineChanges:
    """``n`` items with exactly ``changes`` changed lines against a former running list.

    The mark is (former lines dealt with, changes, pups). A line kept costs
    nothing; one replaced, put in or left out costs one change each.
    """

    def __init__(
        self, tables: Tables, outlook: Outlook, n: int, former: Sequence[str], changes: int
    ) -> None:
        self._tables = tables
        self._outlook = outlook
        self.n = n
        self.changes = changes
        self._former = tuple(former)
        self._bottom = len(tables.locked)
        self.start: Mark = (0, 0, sum(item.kind == "pup" for item in tables.locked))

    def sort(self, group: Group) -> int:
        """Pieces of the former list one by one; of the others pups, and all the rest."""
        known = any(item in self._former for item in group.ids)
        return group.index + 2 if known else group.is_pup

    def after(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """Keep, replace or put in, each after leaving out none or some lines."""
        line, changes, pups = mark
        pups += group.is_pup
        found = []
        for left_out in range(self.changes - changes + 1):
            at, cost = line + left_out, changes + left_out
            if at < len(self._former):
                kept = self._former[at] in group.ids
                if kept or cost < self.changes:
                    found.append((at + 1, cost + (not kept), pups))
            if at <= len(self._former) and cost < self.changes:
                found.append((at, cost + 1, pups))
        return tuple(dict.fromkeys(found))

    def before(self, mark: Mark, group: Group) -> Sequence[Mark]:
        """Every mark from which ``after`` leads here."""
        line, changes, pups = mark
        return [
            past
            for at in range(max(0, line - 1 - self.changes), line + 1)
            for cost in range(changes + 1)
            if mark in self.after(past := (at, cost, pups - group.is_pup), group)
        ]

    def is_final(self, mark: Mark) -> bool:
        """Whether the changes are as many as asked for, once the last lines are left out."""
        line, changes, _ = mark
        return changes + len(self._former) - line == self.changes

    def bounds(
        self, level: int, mark: Mark, thread: str, served: int, starts: Interval
    ) -> Interval | None:
        """Bounds from the outlook alone, and only while the change left can make up the lines."""
        line, changes, _ = mark
        lines_left, items_left = len(self._former) - line, self.n - level
        ahead = self._outlook.hull(items_left, thread, served, None)
        if ahead is None or abs(lines_left - items_left) > self.changes - changes:
            return None
        hi = min(ahead[1], self._tables.clamp_deadline[served])
        return (ahead[0], hi) if ahead[0] <= hi else None
