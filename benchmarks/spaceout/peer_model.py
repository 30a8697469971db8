"""The space-out with a fixed number of items as a CP-SAT model.

Pieces that are alike in everything that counts form a class with a
multiplicity; a Boolean says which class stands at which place. Tops are
integers tied to those Booleans by one equation each. A rule that asks for
"some item" gets one Boolean for each place that could serve it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from abreast.spaceout.case import Case, Item, Objective

__all__ = ["Expr", "Model", "build", "item_classes", "windows", "within"]

Expr = Any  # CP-SAT's linear expressions, or plain integers


@dataclass
class Model:
    """Variables of one model; places count from 1, ``tops[j]`` is the top of place j."""

    case: Case
    n: int
    cp: cp_model.CpModel
    classes: list[list[Item]]
    seat: Expr
    tops: list[Expr] = field(default_factory=list)
    placed: dict[int, dict[int, Any]] = field(default_factory=dict)

    @property
    def p(self) -> int:
        return len(self.case.locked)

    @property
    def passed(self) -> int:
        return self.case.landings_passed or 0

    def objective(self, value: int) -> Objective:
        """The levels that the minimised number stands for."""
        size = self.case.union.bucket
        rest, within = divmod(value, size)
        bucket, pups = divmod(rest, self.n + 1)
        return self.n, bucket, pups, bucket * size + within

    def total(self, j: int, attribute: str) -> Expr:
        """A length of the item at place j, as an expression."""
        if j <= self.p:
            return getattr(self.case.item(self.case.locked[j - 1]), attribute)
        return sum(
            getattr(self.classes[c][0], attribute) * chosen for c, chosen in self.placed[j].items()
        )

    def body(self, j: int) -> tuple[Expr, Expr]:
        """Lower and upper end of the free body at place j."""
        return (
            self.tops[j - 1] + self.total(j, "upset"),
            self.tops[j] - self.total(j, "coupling"),
        )

    def long_bodies(self, j: int, least: int) -> Expr | None:
        """1 when the free body at place j is at least that long; None when none can be."""
        if j <= self.p:
            item = self.case.item(self.case.locked[j - 1])
            return 1 if _body_length(item) >= least else None
        long = [x for c, x in self.placed[j].items() if _body_length(self.classes[c][0]) >= least]
        return sum(long) if long else None


def _body_length(item: Item) -> int:
    return item.effective - item.upset - item.coupling


def item_classes(case: Case) -> list[list[Item]]:
    """Usable free items, those that can't be told apart put together."""
    kinds = {"joint", "pup", "crossover"} | {a.kind for a in case.accessories}
    barred = {*case.locked, *case.excluded}
    classes: dict[Any, list[Item]] = {}
    for item in case.stock:
        usable = item.drift_ok and item.overall <= case.max_overall and item.kind in kinds
        if usable and item.id not in barred:
            alike = tuple(value for name, value in item if name not in {"id", "make_up_loss"})
            classes.setdefault(alike, []).append(item)
    return list(classes.values())


def _shortest_and_longest(case: Case, classes: list[list[Item]], n: int) -> tuple[int, int] | None:
    """Bounds of what n items add to the string; None when there are too few."""
    free = sorted(item.effective for members in classes for item in members)
    k = n - len(case.locked)
    if k < 0 or k > len(free):
        return None
    fixed = sum(case.item(i).effective for i in case.locked)
    return fixed + sum(free[:k]), fixed + sum(free[len(free) - k :])


def build(case: Case, classes: list[list[Item]], n: int) -> Model | None:
    """Model of every plan of exactly n items but for lifts; None when there plainly is none."""
    bounds = _shortest_and_longest(case, classes, n)
    if bounds is None:
        return None
    options = case.seat.options()
    foot = case.base.height - options[-1], case.base.height - options[0]
    head = (
        case.gap - case.union.max + case.reserve[n],
        case.gap - case.union.min - case.reserve[n],
    )
    if head[0] > head[1] or foot[1] + bounds[1] < head[0] or foot[0] + bounds[0] > head[1]:
        return None
    cp = cp_model.CpModel()
    model = Model(case, n, cp, classes, _seat(cp, case, options))
    if not _place(model):
        return None
    _stack(model, foot, head)
    for rule in (_clamps, _grips, _accessories, _landings, _objective):
        rule(model)
    return model


def _seat(cp: cp_model.CpModel, case: Case, options: tuple[int, ...]) -> Expr:
    if len(options) == 1:
        return options[0]
    steps = cp.new_int_var(0, len(options) - 1, "seat")
    return options[0] + case.seat.step * steps


def _place(model: Model) -> bool:
    """One class at each free place, threads that fit, no piece twice."""
    threads = _threads(model) if _locked_fit(model.case) else None
    if threads is None:
        return False
    for j in range(model.p + 1, model.n + 1):
        fits = [
            c
            for c, (item, *_) in enumerate(model.classes)
            if item.pin in threads[j - 1] and item.box in threads[j]
        ]
        model.placed[j] = {c: model.cp.new_bool_var(f"x{c},{j}") for c in fits}
        model.cp.add_exactly_one(model.placed[j].values())
    _use_once(model)
    _join(model, threads)
    return True


def _locked_fit(case: Case) -> bool:
    locked = [case.item(i) for i in case.locked]
    boxes = [case.base.box, *(item.box for item in locked)]
    return all(item.pin == box for item, box in zip(locked, boxes, strict=False))


def _use_once(model: Model) -> None:
    for c, members in enumerate(model.classes):
        uses = [chosen[c] for chosen in model.placed.values() if c in chosen]
        if len(members) == 1:
            model.cp.add_at_most_one(uses)
        elif len(uses) > len(members):
            model.cp.add(sum(uses) <= len(members))


def _threads(model: Model) -> dict[int, set[str]] | None:
    """Threads that can stand open above each place, seen from both ends."""
    case = model.case
    lower = case.item(case.locked[-1]).box if case.locked else case.base.box
    pairs = {(members[0].pin, members[0].box) for members in model.classes}
    up, down = {model.p: {lower}}, {model.n: {case.union.pin}}
    for j in range(model.p + 1, model.n + 1):
        up[j] = {box for pin, box in pairs if pin in up[j - 1]}
    for j in range(model.n - 1, model.p - 1, -1):
        down[j] = {pin for pin, box in pairs if box in down[j + 1]}
    both = {j: up[j] & down[j] for j in up}
    return both if all(both.values()) else None


def _join(model: Model, threads: dict[int, set[str]]) -> None:
    for j in range(model.p + 1, model.n):
        for thread in threads[j] if len(threads[j]) > 1 else ():
            below = [x for c, x in model.placed[j].items() if model.classes[c][0].box == thread]
            above = [x for c, x in model.placed[j + 1].items() if model.classes[c][0].pin == thread]
            model.cp.add(sum(below) == sum(above))


def _stack(model: Model, foot: tuple[int, int], head: tuple[int, int]) -> None:
    """Tops as variables whose ranges follow from the shortest and the longest pieces."""
    model.tops.append(model.case.base.height - model.seat)
    low, high = foot
    free = [members[0].effective for members in model.classes] or [0]
    for j in range(1, model.n + 1):
        known = j <= model.p
        least, most = (model.total(j, "effective"),) * 2 if known else (min(free), max(free))
        low, high, above = low + least, high + most, model.n - max(j, model.p)
        fixed = sum(model.case.item(i).effective for i in model.case.locked[j:])
        bottom = max(low, head[0] - fixed - above * max(free))
        top = min(high, head[1] - fixed - above * min(free))
        if bottom > top:
            model.cp.add_bool_or([])
        model.tops.append(model.cp.new_int_var(min(bottom, top), max(bottom, top), f"P{j}"))
        model.cp.add(model.tops[j] == model.tops[j - 1] + model.total(j, "effective"))


def _some_body(model: Model, low: int, high: int, least: int) -> list[tuple[int, Any]]:
    """Some free body of that length at least begins at or below low and ends at or above high."""
    served = []
    for j in range(1, model.n + 1):
        long = model.long_bodies(j, least)
        if long is None:
            continue
        here = model.cp.new_bool_var("")
        below, above = model.body(j)
        model.cp.add(long == 1).only_enforce_if(here)
        model.cp.add(below <= low).only_enforce_if(here)
        model.cp.add(above >= high).only_enforce_if(here)
        served.append((j, here))
    model.cp.add_bool_or([here for _, here in served])
    return served


def _clamps(model: Model) -> None:
    chosen = []
    for clamp in sorted(model.case.clamps, key=lambda clamp: clamp.height):
        r = clamp.half_length + clamp.clearance
        highest, lowest = clamp.height + clamp.shift_up - r, clamp.height - clamp.shift_down + r
        chosen.append(_some_body(model, highest, lowest, 2 * r))
    for under, over in itertools.pairwise(chosen):
        _in_order(model, under, over)


def _in_order(model: Model, under: list[tuple[int, Any]], over: list[tuple[int, Any]]) -> None:
    """Implied: a higher clamp never stands on a lower item. Cuts off mirrored choices."""
    for served in (under, over):
        model.cp.add_exactly_one([here for _, here in served])
    for j in range(1, model.n):
        model.cp.add(
            sum(here for k, here in over if k <= j) <= sum(here for k, here in under if k <= j)
        )


def _grips(model: Model) -> None:
    for landing in model.case.landings[model.passed :]:
        if landing.grip is not None:
            low, high = (landing.table + end for end in landing.grip)
            _some_body(model, low, high, high - low)


def within(model: Model, value: Expr, window: Iterable[int], when: Any = None) -> None:
    for bound in (value >= min(window), value <= max(window)):
        if isinstance(bound, bool):
            if not bound:
                model.cp.add_bool_or([] if when is None else [when.negated()])
            continue
        constraint = model.cp.add(bound)
        if when is not None:
            constraint.only_enforce_if(when)


def _accessories(model: Model) -> None:
    case = model.case
    for wanted in case.accessories:
        fixed = [
            (item, j)
            for j, item in enumerate(map(case.item, case.locked))
            if item.kind == wanted.kind
        ]
        free = [
            (model.classes[c][0], j - 1, x)
            for j, chosen in model.placed.items()
            for c, x in chosen.items()
            if model.classes[c][0].kind == wanted.kind
        ]
        model.cp.add(sum([x for *_, x in free], start=model.cp.new_constant(len(fixed))) == 1)
        for item, j in fixed:
            _profile(model, item, j, wanted.window, None)
        for item, j, x in free:
            _profile(model, item, j, wanted.window, x)


def _profile(model: Model, item: Item, j: int, window: tuple[int, int], when: Any) -> None:
    if item.profile is None:
        model.cp.add_bool_or([] if when is None else [when.negated()])
    else:
        within(model, model.tops[j] + item.profile, window, when)


def windows(model: Model) -> list[tuple[int, int]]:
    return [(m.table + m.window[0], m.table + m.window[1]) for m in model.case.landings]


def _landings(model: Model) -> None:
    if model.case.lifts is not None:
        return
    for window in windows(model)[model.passed :]:
        served = [model.cp.new_bool_var("") for _ in model.tops]
        model.cp.add_bool_or(served)
        for top, here in zip(model.tops, served, strict=True):
            within(model, top, window, here)


def _objective(model: Model) -> None:
    """Bucket, pups and deviation within the bucket as the digits of one number."""
    case, cp, n = model.case, model.cp, model.n
    union, size = case.gap - model.tops[n], case.union.bucket
    most = max(abs(case.union.min - case.union.target), abs(case.union.max - case.union.target))
    deviation = cp.new_int_var(0, most, "deviation")
    cp.add_abs_equality(deviation, union - case.union.target)
    bucket = cp.new_int_var(0, most // size, "bucket")
    cp.add_division_equality(bucket, deviation, size)
    pups: Expr = sum(case.item(i).kind == "pup" for i in case.locked)
    for chosen in model.placed.values():
        pups += sum(x for c, x in chosen.items() if model.classes[c][0].kind == "pup")
    cp.minimize((bucket * (n + 1) + pups) * size + deviation - size * bucket)
