"""Why nothing closes, and the smallest changes that would help.

The blocking set is found by leaving rules out one at a time: what is left is a
set of rules that exclude one another while any one less of them does not. Every
cure is confirmed by an exact search before it is named.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from abreast.spaceout.case import Accessory, Case, Clamp, Item, Landing
from abreast.spaceout.outlook import Outlook
from abreast.spaceout.solve import Ground, Search, StoppedError
from abreast.spaceout.tables import Group, Tables, usable, ways

__all__ = ["Cure", "Explanation", "explain"]

_FAR = 10**9
_GLOBAL = 4  # a larger blocking set points at no one cause
_EXTRA_ITEMS = 6  # how many more than max_items are tried when that limit is left out


@dataclass(frozen=True)
class Cure:
    """One change that makes the case solvable, lengths in ticks.

    ``kind`` is ``union``, ``max_items``, ``clamp``, ``landing``, ``accessory`` or
    ``pup``. But for a pup ``low`` and ``high`` are how far the lower and the upper
    limit must move out; for a pup they bound the effective lengths that were
    confirmed to close.
    """

    kind: str
    name: str
    low: int
    high: int
    step: int = 0

    def as_dict(self) -> dict[str, Any]:
        """Plain data for the answer."""
        data = {"kind": self.kind, "name": self.name, "low": self.low, "high": self.high}
        return {**data, "step": self.step} if self.kind == "pup" else data


@dataclass(frozen=True)
class Explanation:
    """Rules that exclude one another, and cures.

    ``minimal`` and ``complete`` say whether time sufficed to make the set of
    rules as small as can be, and to try every cure.
    """

    blocking: tuple[str, ...]
    minimal: bool
    cures: tuple[Cure, ...]
    complete: bool = True

    @property
    def is_global(self) -> bool:
        """Whether no single cause stands out: the stock as a whole does not fit."""
        return len(self.blocking) >= _GLOBAL or self.blocking == ("union",)

    def as_dict(self) -> dict[str, Any]:
        """Plain data for the answer."""
        data: dict[str, Any] = {
            "blocking": list(self.blocking),
            "cures": [cure.as_dict() for cure in self.cures],
        }
        if notes := "; ".join(self.notes()):
            data["note"] = notes
        return data

    def notes(self) -> Iterator[str]:
        """What else is to be said of the set and of the cures."""
        if not self.minimal:
            yield "time ran out: the blocking set may be larger than need be"
        elif self.is_global and not any(cure.kind == "max_items" for cure in self.cures):
            yield "no single rule is the cause: the stock as a whole does not close"
        if not self.complete:
            yield "time ran out before every cure was tried"
        elif not self.cures:
            yield "no change of one limit by itself was found that helps, nor one more pup"


def explain(
    case: Case, *, limit_s: float = 20.0, progress: Callable[[str], None] | None = None
) -> Explanation:
    """Blocking set and cures of an infeasible case.

    Parameters
    ----------
    case : Case
        A case known to have no solution.
    limit_s : float
        Time for all of it; half of it at most goes to the blocking set.
    progress : callable, optional
        Told what is being tried.
    """
    begun = time.perf_counter()
    tell = progress or (lambda _: None)
    blocking, minimal = _blocking(case, begun + limit_s / 2, tell)
    cures: list[Cure] = []
    complete = True
    try:
        for cure in _cures(case, blocking, begun + limit_s, tell):
            cures.append(cure)
    except StoppedError:
        complete = False
    return Explanation(tuple(blocking), minimal, tuple(cures), complete)


def _feasible(case: Case, until: float) -> bool:
    """Whether any plan at all keeps the rules; how near the target it closes is all one."""
    case = case.model_copy(update={"union": case.union.model_copy(update={"bucket": _FAR})})
    searches = (Search(Ground.of(case, touched), until=until) for touched in ways(case))
    return any(next(search.solutions(), None) is not None for search in searches)


# --- blocking set -------------------------------------------------------------------


def _names(case: Case) -> list[str]:
    """Every rule that can be left out, in the order in which that is tried."""
    names = ["union", "max_items"]
    names += [f"landing {m.id}" for m in reversed(case.landings)]
    names += [f"clamp {c.id}" for c in reversed(case.clamps)]
    names += [f"accessory {a.kind}" for a in case.accessories]
    names += ["lifts"] if case.lifts else []
    return [*names, "handling", "drift", "connections"]


def _blocking(case: Case, until: float, tell: Callable[[str], None]) -> tuple[list[str], bool]:
    """Names that must all stay for the case to be infeasible, and whether all was settled.

    A test that takes too long keeps its name: the set is then right but not minimal.
    A kind of accessory that is not asked for may not be run at all, so leaving one
    out frees and forbids: what was tried before it is tried again.
    """
    kept, dropped = _names(case), set[str]()
    slice_s = (until - time.perf_counter()) / 6
    again = True
    while again:
        again, minimal = False, True
        for name in tuple(kept):
            tell(f"without {name}")
            try:
                by = min(until, time.perf_counter() + slice_s)
                if not _feasible(_without(case, dropped | {name}), by):
                    dropped.add(name)
                    kept.remove(name)
                    again = again or name.startswith("accessory ")
            except StoppedError:
                minimal = False
    return kept, minimal


def _without(case: Case, dropped: set[str]) -> Case:
    """The case with the named rules left out."""
    update: dict[str, Any] = {
        "landings": tuple(_softened(m, f"landing {m.id}" in dropped) for m in case.landings),
        "clamps": tuple(c for c in case.clamps if f"clamp {c.id}" not in dropped),
        "accessories": tuple(a for a in case.accessories if f"accessory {a.kind}" not in dropped),
        "stock": tuple(_freed(item, dropped) for item in case.stock),
    }
    if "lifts" in dropped:
        update["lifts"] = None
    if "handling" in dropped:
        update["max_overall"] = _FAR
    if "connections" in dropped:
        update["base"] = case.base.model_copy(update={"box": ""})
    update["union"] = case.union.model_copy(update=_union_freed(case, dropped))
    freed = case.model_copy(update=update)
    return _allowing(freed, _extra_items(case)) if "max_items" in dropped else freed


def _extra_items(case: Case) -> int:
    """How many more items than allowed are tried."""
    return max(0, min(len(case.stock) - case.max_items, _EXTRA_ITEMS))


def _allowing(case: Case, more: int) -> Case:
    """The case with so many more items allowed; for them the last reserve holds."""
    most = case.max_items + more
    reserve = (*case.reserve, *[case.reserve[-1]] * max(0, most + 1 - len(case.reserve)))
    return case.model_copy(update={"max_items": most, "reserve": reserve})


def _softened(landing: Landing, drop: bool) -> Landing:
    """A landing left out of the test; with lifts its window still says where one may start."""
    return landing.model_copy(update={"required": False, "grip": None}) if drop else landing


def _freed(item: Item, dropped: set[str]) -> Item:
    update: dict[str, Any] = {}
    if "drift" in dropped:
        update["drift_ok"] = True
    if "connections" in dropped:
        update |= {"pin": "", "box": ""}
    return item.model_copy(update=update) if update else item


def _union_freed(case: Case, dropped: set[str]) -> dict[str, Any]:
    update: dict[str, Any] = {"pin": ""} if "connections" in dropped else {}
    if "union" in dropped:
        lo, hi = _span(case)
        most = max(case.reserve)
        update |= {"min": case.gap - hi - most, "max": case.gap - lo + most}
    return update


def _span(case: Case) -> tuple[int, int]:
    """Heights between which any top of interest lies."""
    longest = max((item.effective for item in case.stock), default=0)
    ends = [m.table + m.window[1] for m in case.landings]
    ends += [m.table + m.grip[1] for m in case.landings if m.grip]
    ends += [c.height + c.shift_up + c.half_length + c.clearance for c in case.clamps]
    ends += [a.window[1] for a in case.accessories]
    bottom = case.base.height - max(case.seat.options())
    return bottom, max([case.gap - case.union.min, *ends]) + longest


# --- cures --------------------------------------------------------------------------


def _cures(
    case: Case, blocking: list[str], until: float, tell: Callable[[str], None]
) -> Iterator[Cure]:
    tell("cure: union")
    yield from _union_cure(case, until)
    if "max_items" in blocking:
        tell("cure: max_items")
        more = _least(lambda n: _feasible(_allowing(case, n), until), _extra_items(case))
        if more is not None:
            yield Cure("max_items", "max_items", 0, more)
    for landing in case.landings:
        if f"landing {landing.id}" in blocking:
            tell(f"cure: landing {landing.id}")
            yield from _landing_cure(case, landing, until)
    for clamp in case.clamps:
        if f"clamp {clamp.id}" in blocking:
            tell(f"cure: clamp {clamp.id}")
            yield from _clamp_cure(case, clamp, until)
    for accessory in case.accessories:
        if f"accessory {accessory.kind}" in blocking:
            tell(f"cure: accessory {accessory.kind}")
            yield from _accessory_cure(case, accessory, until)
    tell("cure: one more pup")
    yield from _pup_cures(case, until)


def _union_cure(case: Case, until: float) -> Iterator[Cure]:
    """The least widening of the union's window, at either end."""
    free = _without(case, {"union"})
    best: tuple[int, int] | None = None
    for n in range(max(1, len(case.locked)), case.max_items + 1):
        lo = case.union.min + case.reserve[n]
        hi = case.union.max - case.reserve[n]
        aim = {"target": (lo + hi) // 2, "bucket": _FAR}
        asked = free.model_copy(update={"union": free.union.model_copy(update=aim)})
        for union in _nearest_unions(asked, n, until):
            short, long = max(0, lo - union), max(0, union - hi)
            if best is None or short + long < best[0] + best[1]:
                best = (short, long)
    if best is not None:
        yield Cure("union", "union", *best)


def _nearest_unions(case: Case, n: int, until: float) -> Iterator[int]:
    """Unions near their target that n items can leave; the nearest on either side is one."""
    for touched in ways(case):
        yield from Search(Ground.of(case, touched), until=until).nearest(n)


def _least(possible: Callable[[int], bool], most: int) -> int | None:
    """Least whole number up to ``most`` that is possible, given that more always is too."""
    if most < 1 or not possible(most):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if possible(middle) else (middle, high)
    return high


def _landing_cure(case: Case, landing: Landing, until: float) -> Iterator[Cure]:
    """The least widening of one landing's window, downward or upward."""
    place = case.landings.index(landing)
    below = case.landings[place - 1] if place else None
    above = case.landings[place + 1] if place + 1 < len(case.landings) else None
    lo, hi = landing.window
    reach = max(hi - lo, 1) * 2
    down = reach if below is None else max(0, landing.table + lo - below.table - below.window[0])
    up = reach if above is None else max(0, above.table + above.window[1] - landing.table - hi)

    def widened(down_by: int, up_by: int) -> Case:
        wider = landing.model_copy(update={"window": (lo - down_by, hi + up_by)})
        landings = (*case.landings[:place], wider, *case.landings[place + 1 :])
        return case.model_copy(update={"landings": landings})

    by = _least(lambda d: _feasible(widened(d, 0), until), min(reach, down))
    if by is not None:
        yield Cure("landing", landing.id, by, 0)
    by = _least(lambda d: _feasible(widened(0, d), until), min(reach, up))
    if by is not None:
        yield Cure("landing", landing.id, 0, by)


def _clamp_cure(case: Case, clamp: Clamp, until: float) -> Iterator[Cure]:
    """The least further shift of one clamp, down or up, short of its neighbours."""
    ordered = sorted(case.clamps, key=lambda c: c.height)
    place = ordered.index(clamp)
    r = clamp.half_length + clamp.clearance
    room_down = room_up = 8 * r
    if place:
        under = ordered[place - 1]
        top = under.height + under.shift_up + under.half_length + under.clearance
        room_down = min(room_down, clamp.height - clamp.shift_down - r - top)
    if place + 1 < len(ordered):
        over = ordered[place + 1]
        bottom = over.height - over.shift_down - over.half_length - over.clearance
        room_up = min(room_up, bottom - (clamp.height + clamp.shift_up + r))

    def moved(down_by: int, up_by: int) -> Case:
        update = {"shift_down": clamp.shift_down + down_by, "shift_up": clamp.shift_up + up_by}
        freer = clamp.model_copy(update=update)
        clamps = tuple(freer if c.id == clamp.id else c for c in case.clamps)
        return case.model_copy(update={"clamps": clamps})

    by = _least(lambda d: _feasible(moved(d, 0), until), room_down)
    if by is not None:
        yield Cure("clamp", clamp.id, by, 0)
    by = _least(lambda d: _feasible(moved(0, d), until), room_up)
    if by is not None:
        yield Cure("clamp", clamp.id, 0, by)


def _accessory_cure(case: Case, accessory: Accessory, until: float) -> Iterator[Cure]:
    """The least widening of an accessory's window, downward or upward."""
    lo, hi = accessory.window
    most = max(hi - lo, 1) * 4

    def widened(down_by: int, up_by: int) -> Case:
        wider = accessory.model_copy(update={"window": (lo - down_by, hi + up_by)})
        every = tuple(wider if a.kind == accessory.kind else a for a in case.accessories)
        return case.model_copy(update={"accessories": every})

    by = _least(lambda d: _feasible(widened(d, 0), until), most)
    if by is not None:
        yield Cure("accessory", accessory.kind, by, 0)
    by = _least(lambda d: _feasible(widened(0, d), until), most)
    if by is not None:
        yield Cure("accessory", accessory.kind, 0, by)


# --- one more pup -------------------------------------------------------------------


def _pup_cures(case: Case, until: float) -> Iterator[Cure]:
    """Lengths of one extra pup that close, like the pups of the stock in all else.

    The coarse outlook says which lengths are thinkable at all; then every step of
    a quarter of the union's stroke is confirmed by an exact search, and
    neighbouring confirmed lengths are told as one stretch.
    """
    pattern = _pattern(case)
    if pattern is None or len(case.locked) >= case.max_items:
        return
    step = max(1, (case.union.max - case.union.min) // 4)
    bottom, top = _span(case)
    longest = min(case.max_overall - pattern.make_up_loss, top - bottom)
    lo = pattern.coupling + pattern.upset + 1
    confirmed: list[int] = []
    for band in range(lo, longest + 1, 10 * step):
        if not _thinkable(case, pattern, band, min(longest, band + 10 * step)):
            if confirmed:
                yield _stretch(confirmed, step)
                confirmed = []
            continue
        for length in range(band, min(longest + 1, band + 10 * step), step):
            if _feasible(_with_pup(case, pattern, length), until):
                confirmed.append(length)
            elif confirmed:
                yield _stretch(confirmed, step)
                confirmed = []
    if confirmed:
        yield _stretch(confirmed, step)


def _stretch(confirmed: list[int], step: int) -> Cure:
    return Cure("pup", "one more pup", confirmed[0], confirmed[-1], step)


def _pattern(case: Case) -> Item | None:
    """The pup, else the plain piece, that an extra one would be like."""
    plain = [item for item in case.stock if usable(case, item) and item.pin == item.box]
    pups = [item for item in plain if item.kind == "pup"]
    ranked = sorted(pups or plain, key=lambda item: (item.effective, item.id))
    return ranked[0] if ranked else None


def _extra(pattern: Item, length: int) -> Item:
    update = {
        "id": "one more pup",
        "kind": "pup",
        "effective": length,
        "overall": length + pattern.make_up_loss,
    }
    return pattern.model_copy(update=update)


def _with_pup(case: Case, pattern: Item, length: int) -> Case:
    return case.model_copy(update={"stock": (*case.stock, _extra(pattern, length))})


def _thinkable(case: Case, pattern: Item, low: int, high: int) -> bool:
    ends = [_extra(pattern, length) for length in (low, high)]
    joker = [
        Group(-1, (e.id,), e.effective, e.overall, e.coupling, e.upset, e.pin, e.box, 1, 0, None)
        for e in ends
    ]
    every = [Tables(case, touched) for touched in ways(case)]
    return any(
        outlook.may(tables, n, pups)
        for tables in every
        for outlook in [Outlook(tables, joker)]
        for n in range(max(1, len(case.locked)), case.max_items + 1)
        for pups in range(n + 1)
    )
