"""What may still be ahead: coarse backward sets that bound the exact search from above.

From the closing window down, on a coarse grid of heights: from where can the
string still be finished with r more items of which p are pups? Items of nearly
one length are taken as one that has the best of each, any may be used again,
and lifts, grips and accessories are left out; so nothing that can be finished
is ever missed. One pass serves every number of items.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from abreast.spaceout.tables import Group, Tables

__all__ = ["Outlook"]

_GRAIN = 128  # ticks to a coarse cell at most; at least 512 cells to the whole span
_FAR = 10**12
_State = tuple[str, int, int]  # thread below, clamps served below, pups still to come


class _Blur:
    """Groups of one thread pair and nearly one length, as one generous item."""

    def __init__(self, groups: list[Group], grain: int) -> None:
        self.shortest = min(g.effective for g in groups)
        self.longest = max(g.effective for g in groups)
        self.coupling = min(g.coupling for g in groups)
        self.upset = min(g.upset for g in groups)
        self.pin = groups[0].pin
        self.is_pup = groups[0].is_pup
        self.shifts = range(self.shortest // grain, -(-self.longest // grain) + 1)
        # clamps served after → (lowest cell, highest cell, clamps served before)
        self.cells: dict[int, list[tuple[int, int, int]]] = {}

    def takes(self, tables: Tables, index: int) -> tuple[int, int] | None:
        """Heights of the lower end at which some item of the blur may serve the clamp."""
        clamp = tables.clamps[index]
        r = clamp.half_length + clamp.clearance
        if self.longest - self.coupling - self.upset < 2 * r:
            return None
        lo = clamp.height - clamp.shift_down + r + self.coupling - self.longest
        return lo, clamp.height + clamp.shift_up - r - self.upset

    def stretches(self, tables: Tables) -> list[tuple[int, int, int, int]]:
        """(lo, hi, served before, served after): where the blur may stand, in ticks."""
        ok = [(-_FAR, _FAR)]
        for lo, hi in tables.required:
            first, last = hi - self.shortest + 1, lo - 1
            if first <= last:
                cut = [((a, min(b, first - 1)), (max(a, last + 1), b)) for a, b in ok]
                ok = [(a, b) for pair in cut for a, b in pair if a <= b]
        spans = [self.takes(tables, i) for i in range(len(tables.clamps))]
        found = []
        for before in range(len(spans) + 1):
            low, top = -_FAR, tables.clamp_deadline[before] - self.shortest
            for after in range(before, len(spans) + 1):
                if after > before:
                    span = spans[after - 1]
                    if span is None:
                        break
                    low, top = max(low, span[0]), span[1]
                for a, b in ok:
                    if max(a, low) <= min(b, top):
                        found.append((max(a, low), min(b, top), before, after))
        return found


class Outlook:
    """Coarse backward sets of one case, grown on demand.

    Parameters
    ----------
    tables : Tables
        The case made ready.
    joker : sequence of Group
        Groups taken as one more generous item, whatever their lengths: what if there
        were a piece of some length between theirs?
    """

    def __init__(self, tables: Tables, joker: Sequence[Group] = ()) -> None:
        self._tables = tables
        self._joker = list(joker)
        case = tables.case
        starts = tables.starts.values()
        self._origin = min((height for height, *_ in starts), default=0)
        counts = range(max(1, len(tables.locked)), case.max_items + 1)
        windows = [w for w in map(tables.top_window, counts) if w[0] <= w[1]]
        self._window = (
            (min(w[0] for w in windows), max(w[1] for w in windows)) if windows else (0, -1)
        )
        span = self._window[1] - self._origin
        self._grain = max(1, min(_GRAIN, span // 512))
        self._by_box = self._blurs()
        self._levels = [self._last_level()]
        self._hulls: dict[tuple[int, str, int, int | None], tuple[int, int] | None] = {}

    def _blurs(self) -> dict[str, list[_Blur]]:
        alike: dict[tuple[str, str, int, int], list[Group]] = defaultdict(list)
        for g in self._tables.groups:
            alike[g.pin, g.box, g.is_pup, g.effective // self._grain].append(g)
        by_box = defaultdict(list)
        for groups in [*alike.values(), *([self._joker] if self._joker else [])]:
            blur = _Blur(groups, self._grain)
            for lo, hi, before, after in blur.stretches(self._tables):
                cells = (self._cell(lo), self._cell(hi), before)
                blur.cells.setdefault(after, []).append(cells)
            by_box[groups[0].box].append(blur)
        return by_box

    def _cell(self, height: int) -> int:
        return (height - self._origin) // self._grain

    def _last_level(self) -> dict[_State, int]:
        lo, hi = self._window
        if lo > hi or hi < self._origin:
            return {}
        bits = _between(-1, max(0, self._cell(lo)), self._cell(hi))
        return {(self._tables.case.union.pin, len(self._tables.clamps), 0): bits}

    def _level(self, r: int) -> dict[_State, int]:
        while len(self._levels) <= r:
            self._levels.append(self._before(self._levels[-1], len(self._levels)))
        return self._levels[r]

    def _before(self, level: dict[_State, int], r: int) -> dict[_State, int]:
        grown: dict[_State, int] = defaultdict(int)
        for (thread, served, pups), bits in level.items():
            low, top = (bits & -bits).bit_length() - 1, bits.bit_length() - 1
            thinkable = [self._sums(r, pups) is not None, self._sums(r, pups + 1) is not None]
            for blur in self._by_box.get(thread, ()):
                if not thinkable[blur.is_pup]:
                    continue
                shifts = blur.shifts
                ahead = [
                    cells
                    for cells in blur.cells.get(served, ())
                    if cells[1] >= low - shifts[-1] and cells[0] <= top - shifts[0]
                ]
                if not ahead:
                    continue
                part = 0
                for shift in shifts:
                    part |= bits >> shift
                for lo, hi, before in ahead:
                    grown[blur.pin, before, pups + blur.is_pup] |= _between(part, lo, hi)
        return {state: self._trim(r, state, bits) for state, bits in grown.items() if bits}

    def _sums(self, r: int, pups: int) -> tuple[int, int] | None:
        """Shortest and longest sum of r distinct pieces; anything while there is a joker."""
        return (0, _FAR) if self._joker else self._tables.reach(r - pups, pups)

    def _trim(self, r: int, state: _State, bits: int) -> int:
        bounds = self._sums(r, state[2])
        assert bounds is not None
        lo, hi = self._window[0] - bounds[1], self._window[1] - bounds[0]
        return _between(bits, self._cell(lo), self._cell(hi))

    def may(self, tables: Tables, n: int, pups: int) -> bool:
        """Whether a string of n items with that many pups, locked ones included, is thinkable.

        ``tables`` may be a reduced form of those the outlook was made from.
        """
        locked_pups = sum(item.kind == "pup" for item in tables.locked)
        level = self._level(n - len(tables.locked))
        for height, served, thread, _ in tables.starts.values():
            bits = level.get((thread, served, pups - locked_pups), 0)
            if bits >> self._cell(height) & 1:
                return True
        return False

    def hull(self, r: int, thread: str, served: int, pups: int | None) -> tuple[int, int] | None:
        """Lowest and highest height from which r more items may finish, p of them pups.

        ``pups`` None asks for any number of pups.
        """
        mark = (r, thread, served, pups)
        if mark not in self._hulls:
            level = self._level(r)
            if pups is None:
                bits = 0
                for (at, below, _), part in level.items():
                    bits |= part if (at, below) == (thread, served) else 0
            else:
                bits = level.get((thread, served, pups), 0)
            low = (bits & -bits).bit_length() - 1
            base, grain = self._origin, self._grain
            self._hulls[mark] = (
                (base + low * grain, base + bits.bit_length() * grain - 1) if bits else None
            )
        return self._hulls[mark]


def _between(bits: int, lo: int, hi: int) -> int:
    """The bits from lo to hi, others cleared."""
    if hi < 0:
        return 0
    if bits < 0 or hi < bits.bit_length():
        bits &= (1 << (hi + 1)) - 1
    return bits >> lo << lo if lo > 0 else bits
