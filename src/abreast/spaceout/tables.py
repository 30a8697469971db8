"""A case made ready for the search: classes of equal items, starts, and rules as intervals.

Every rule of the space-out is local to one item standing at one height, so for
a class of items it becomes a set of intervals of the height ``P`` of the item's
lower end. The one thing an item must remember is how many clamps are served
already, since clamp reaches are disjoint and served from the bottom up.

Words used here and in the modules that search:

- *served*: clamps that have a body to close on, counted from the bottom;
- *passed*: landings that lay behind before the search (``landings_passed``);
- *reached*: landings behind a lift end, those passed among them;
- *zone*: heights at which a live lift end has one and the same number reached;
- *ceiling*: the highest lift end that still meets the next landing;
- *touched*: grips without length that are met by the end of a body from below;
- *tops count* (``tops_count``): the item's top is a lift end, so that it may not
  jump over a landing's window.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, combinations, pairwise

from abreast.spaceout.case import Case, Clamp, Item

__all__ = [
    "CLOSED",
    "Group",
    "Interval",
    "LiftState",
    "Tables",
    "natural_order",
    "usable",
    "ways",
]

Interval = tuple[int, int]
_EVERYWHERE = (-(10**12), 10**12)

# Progress of the lift in hand: (), or (landings reached at its start, pieces, length kept).
LiftState = tuple[int, ...]
CLOSED: LiftState = ()


def natural_order(item_id: str) -> tuple[tuple[tuple[int, str, int], ...], str]:
    """Sort key in which P2 comes before P10: runs of digits count as numbers.

    The id itself comes last, for ids such as P2 and P02 that are else the same.
    """
    parts = re.findall(r"(\d+)|(\D+)", item_id)
    return tuple((0, "", int(d)) if d else (1, text, 0) for d, text in parts), item_id


def ways(case: Case) -> Iterator[tuple[int, ...]]:
    """Every choice of how the grips without length are met; nearly always just one.

    A grip with a length lies on the one item that crosses its lower end. One
    without may also be met by the end of a body without coupling, the next item
    standing just on it: then the item below decides, not the item above. Each
    choice names the heights at which it does.
    """
    grips = [(m.table, m.grip) for m in case.landings[case.landings_passed or 0 :] if m.grip]
    heights = sorted({table + lo for table, (lo, hi) in grips if lo == hi})
    for count in range(len(heights) + 1):
        yield from combinations(heights, count)


def usable(case: Case, item: Item) -> bool:
    """Whether the rules for single pieces let the item be chosen (rule 7 and kinds)."""
    kinds = {"joint", "pup", "crossover"} | {a.kind for a in case.accessories}
    return (
        item.drift_ok
        and item.overall <= case.max_overall
        and item.id not in case.excluded
        and item.id not in case.locked
        and item.kind in kinds
    )


@dataclass(frozen=True)
class Group:
    """Usable items that differ by id alone; ``ids`` in natural order."""

    index: int
    ids: tuple[str, ...]
    effective: int
    overall: int
    coupling: int
    upset: int
    pin: str
    box: str
    is_pup: int
    accessory: int  # its bit, 0 for plain pipe
    profile: int | None


def _groups(case: Case, merge: bool) -> tuple[Group, ...]:
    bits = {a.kind: 1 << i for i, a in enumerate(case.accessories)}
    alike: dict[tuple[object, ...], list[str]] = {}
    for item in sorted(case.stock, key=lambda i: natural_order(i.id)):
        if usable(case, item):
            bit = bits.get(item.kind, 0)
            if bit and item.profile is None:
                continue
            kind = (
                item.effective,
                item.overall if case.lifts else 0,
                item.coupling,
                item.upset,
                item.pin,
                item.box,
                int(item.kind == "pup"),
                bit,
                item.profile if bit else None,
            )
            alike.setdefault(kind if merge else (*kind, item.id), []).append(item.id)
    return tuple(Group(n, tuple(ids), *kind[:9]) for n, (kind, ids) in enumerate(alike.items()))  # type: ignore[arg-type]


def _cut(pieces: Iterable[Interval], out_lo: int, out_hi: int) -> list[Interval]:
    """The intervals with [out_lo, out_hi] taken away."""
    kept = []
    for lo, hi in pieces:
        if lo < out_lo:
            kept.append((lo, min(hi, out_lo - 1)))
        if hi > out_hi:
            kept.append((max(lo, out_hi + 1), hi))
    return [(lo, hi) for lo, hi in kept if lo <= hi]


class Tables:
    """Everything the search looks up, derived from one case.

    Parameters
    ----------
    case : Case
        A consistent case; heights in ticks.
    touched : collection of int
        Heights of grips of no length that are to be met by the very end of an item's
        free body; see ``ways``.
    merge : bool
        Whether items that differ by id alone count as one group.
    """

    def __init__(self, case: Case, touched: Collection[int] = (), *, merge: bool = True) -> None:
        self.case = case
        self.touched = sorted(touched)
        self.groups = _groups(case, merge)
        self.clamps = sorted(case.clamps, key=lambda c: c.height)
        self.passed = case.landings_passed or 0
        ahead = case.landings[self.passed :]
        self.windows = [(m.table + m.window[0], m.table + m.window[1]) for m in ahead]
        self.required = [w for w, m in zip(self.windows, ahead, strict=True) if m.required]
        self.grips = [
            (m.table + m.grip[0], m.table + m.grip[1])
            for m in case.landings[self.passed :]
            if m.grip and not (m.grip[0] == m.grip[1] and m.table + m.grip[0] in touched)
        ]
        self.all_accessories = (1 << len(case.accessories)) - 1
        self.locked = [case.item(i) for i in case.locked]
        self._paths: dict[tuple[int, int, bool], list[tuple[int, int, int]]] = {}
        self._grounds: dict[tuple[int, bool], list[Interval]] = {}  # before clamps are looked at

    def reduced(self, locked: tuple[str, ...], rejected: str) -> Tables:
        """The tables with the locked items in the well and one item rejected.

        Group numbers stay, and what a group does at a height is not worked out again.
        """
        update = {"locked": locked, "excluded": (*self.case.excluded, rejected)}
        other = copy(self)
        for name in ("starts", "_sums"):
            other.__dict__.pop(name, None)
        other.case = self.case.model_copy(update=update)
        other.locked = [self.case.item(i) for i in locked]
        gone = {*locked, rejected}
        other.groups = tuple(g for g in self.groups if gone.isdisjoint(g.ids))
        return other

    # --- closing window -------------------------------------------------------------

    def top_window(self, n: int) -> Interval:
        """Heights the bypass top may have with n items (closure, last landing, grips)."""
        case, reserve = self.case, self.case.reserve[n]
        lo = case.gap - case.union.max + reserve
        hi = case.gap - case.union.min - reserve
        for grip_lo, _ in self.grips:
            lo = max(lo, grip_lo + 1)
        lo = max([lo, *self.touched])
        if case.lifts is None:
            lo = max([lo, *(w[0] for w in self.required)])
        elif case.landings:
            last = case.landings[-1]
            lo = max(lo, last.table + last.window[0])
            hi = min(hi, last.table + last.window[1])
        return lo, hi

    # --- landings and lifts ---------------------------------------------------------

    def ceiling(self, reached: int) -> int:
        """Highest end of a lift that still serves the next landing."""
        left = self.windows[reached - self.passed :]
        return next((w[1] for w in left if w in self.required), _EVERYWHERE[1])

    @cached_property
    def zones(self) -> list[tuple[int, int, int]]:
        """(lo, hi, landings reached): where a live lift end has that many landings behind it."""
        lows = [_EVERYWHERE[0], *(lo for lo, _ in self.windows), _EVERYWHERE[1] + 1]
        pairs = enumerate(pairwise(lows), self.passed)
        return [(lo, nxt - 1, k) for k, (lo, nxt) in pairs if lo < nxt]

    @cached_property
    def lift_starts(self) -> list[tuple[int, int, int]]:
        """The zones cut down to where a new lift may start (rule 5), the first start aside."""
        return [
            (max(lo, from_), min(hi, to), k)
            for lo, hi, k in self.zones
            for from_, to in [self._start_window(k)]
            if max(lo, from_) <= min(hi, to)
        ]

    def _start_window(self, reached: int) -> Interval:
        """Where a lift may start with that many landings behind: within reach, or pre-run."""
        case = self.case
        assert case.lifts is not None
        if reached:
            m = case.landings[reached - 1]
            return m.table + m.window[0], m.table + m.window[1]
        pre = case.lifts.pre_run_height
        return (_EVERYWHERE[0], pre) if pre is not None else (1, 0)

    # --- one item at one height -----------------------------------------------------

    def _standing(self, item: Item | Group, tops_count: bool) -> list[Interval]:
        """Heights P at which the item breaks no grip and, when its top counts, no landing."""
        length = item.effective
        ok = [_EVERYWHERE]
        if tops_count:
            for lo, hi in self.required:
                ok = _cut(ok, hi - length + 1, lo - 1) if hi - length + 1 <= lo - 1 else ok
        for height in self.touched:
            ok = _cut(ok, height - length + 1, height - 1)
            if item.coupling or item.upset > length:
                ok = _cut(ok, height - length, height - length)
        for lo, hi in self.grips:
            held = (hi - length + item.coupling, lo - item.upset)
            crossing = (lo - length + 1, lo)
            if held[0] > held[1]:
                ok = _cut(ok, *crossing)
                continue
            if crossing[0] < held[0]:
                ok = _cut(ok, crossing[0], min(crossing[1], held[0] - 1))
            if held[1] < crossing[1]:
                ok = _cut(ok, max(crossing[0], held[1] + 1), crossing[1])
        return ok

    def serves(self, item: Item | Group, clamp: Clamp) -> Interval | None:
        """Heights P at which the item's free body takes the clamp (rule 3), or None."""
        r = clamp.half_length + clamp.clearance
        bottom = clamp.height - clamp.shift_down - r
        top = clamp.height + clamp.shift_up + r
        body = item.effective - item.coupling - item.upset
        lo = bottom + 2 * r + item.coupling - item.effective
        hi = top - 2 * r - item.upset
        return (lo, hi) if body >= 2 * r and lo <= hi else None

    @cached_property
    def clamp_deadline(self) -> list[int]:
        """Highest lower end from which clamp m can still be served, for m = 0, 1, ..."""
        least = min((g.upset for g in self.groups), default=0)
        ends = [c.height + c.shift_up - c.half_length - c.clearance - least for c in self.clamps]
        return [*ends, _EVERYWHERE[1]]

    def paths(self, group: Group, served: int, tops_count: bool) -> list[tuple[int, int, int]]:
        """(lo, hi, clamps served after) for every stretch of P where the group may stand."""
        key = (group.index, served, tops_count)
        if key not in self._paths:
            self._paths[key] = self._make_paths(group, served, tops_count)
        return self._paths[key]

    def _make_paths(
        self, group: Group, served: int, tops_count: bool
    ) -> list[tuple[int, int, int]]:
        ok = self._grounds.get((group.index, tops_count))
        if ok is None:
            ok = self._grounds[group.index, tops_count] = self._standing(group, tops_count)
            if group.accessory:
                window = self.case.accessories[group.accessory.bit_length() - 1].window
                assert group.profile is not None
                lo, hi = window[0] - group.profile, window[1] - group.profile
                ok = [(max(a, lo), min(b, hi)) for a, b in ok if max(a, lo) <= min(b, hi)]
                self._grounds[group.index, tops_count] = ok
        return [path for piece in ok for path in self._split(group, served, piece)]

    def _split(self, group: Group, served: int, piece: Interval) -> list[tuple[int, int, int]]:
        """Cut one stretch by what the group does to the next clamps."""
        lo, hi = piece
        limit = self.clamp_deadline[served] - group.effective
        span = self.serves(group, self.clamps[served]) if served < len(self.clamps) else None
        if span is None or span[0] > hi or span[1] < lo:
            return [(lo, min(hi, limit), served)] if lo <= min(hi, limit) else []
        inside = (max(span[0], lo), min(span[1], hi))
        stays = ((lo, inside[0] - 1), (inside[1] + 1, hi))
        cut = [(a, min(b, limit), served) for a, b in stays if a <= min(b, limit)]
        return cut + self._split(group, served + 1, inside)

    # --- what is in the well already ------------------------------------------------

    @cached_property
    def starts(self) -> dict[int, tuple[int, int, str, int]]:
        """Seat → (height of the locked top, clamps served, thread there, accessories used)."""
        found = {}
        for seat in self.case.seat.options():
            start = self._run_locked(self.case.base.height - seat)
            if start is not None:
                found[seat] = start
        return found

    def _run_locked(self, height: int) -> tuple[int, int, str, int] | None:
        thread, served, used = self.case.base.box, 0, 0
        # With lifts and landings passed, the landings ahead are met above the locked pieces.
        strict = self.case.lifts is not None and self.passed > 0
        if not strict and any(height > hi for _, hi in self.required):
            return None
        if any(height > lo for lo, _ in self.grips) or any(height >= h for h in self.touched):
            return None
        for item in self.locked:
            if item.pin != thread or not self._locked_stands(item, height, tops_count=not strict):
                return None
            served = self._clamps_after(item, height, served)
            bit = self._accessory_bit(item, height)
            if bit < 0 or bit & used:
                return None
            used |= bit
            height, thread = height + item.effective, item.box
        if strict and any(lo <= height and height > hi for lo, hi in self.required):
            return None
        return height, served, thread, used

    def _locked_stands(self, item: Item, height: int, *, tops_count: bool) -> bool:
        return any(lo <= height <= hi for lo, hi in self._standing(item, tops_count))

    def _clamps_after(self, item: Item, height: int, served: int) -> int:
        while served < len(self.clamps):
            span = self.serves(item, self.clamps[served])
            if not span or not span[0] <= height <= span[1]:
                break
            served += 1
        return served

    def _accessory_bit(self, item: Item, height: int) -> int:
        """The bit of a locked accessory, 0 for plain pipe, -1 when it stands wrong."""
        for i, asked in enumerate(self.case.accessories):
            if asked.kind == item.kind:
                if item.profile is None:
                    return -1
                at = height + item.profile
                return 1 << i if asked.window[0] <= at <= asked.window[1] else -1
        return 0

    # --- sums of distinct pieces ----------------------------------------------------

    @cached_property
    def _sums(self) -> dict[tuple[int, bool], list[int]]:
        """Running sums of effective lengths, shortest and longest first, pups and others."""
        sums = {}
        for pup in (0, 1):
            lengths = [g.effective for g in self.groups if g.is_pup == pup for _ in g.ids]
            sums[pup, False] = [0, *accumulate(sorted(lengths))]
            sums[pup, True] = [0, *accumulate(sorted(lengths, reverse=True))]
        return sums

    def reach(self, others: int, pups: int) -> Interval | None:
        """Shortest and longest sum of that many distinct free pieces; None when too few."""
        sums = self._sums
        if not 0 <= others < len(sums[0, False]) or not 0 <= pups < len(sums[1, False]):
            return None
        return (
            sums[0, False][others] + sums[1, False][pups],
            sums[0, True][others] + sums[1, True][pups],
        )
