"""Judges a space-out plan straight from the rules, apart from the search that found it.

Every length is an exact integer of ticks in the ESP frame. The search and this
module share the types of a case and nothing else, so that a fault in one is
seen by the other.

How the rules are read where their wording leaves room:

- Items that are in the well already (``locked``) come first in their order and
  count in ``n``. They obey connections, clamps, landings, closure and
  accessories; drift, ``max_overall``, kind and ``excluded`` do not judge them.
- ``n`` is at least 1 and at most ``max_items``.
- Windows and grips of landings are relative to the landing's table; windows of
  accessories are heights in the ESP frame.
- The grip of a landing holds with and without lifts. With lifts the rule "some
  top in the window" gives way to the rule of lift ends.
- ``landings_passed = m``: the first ``m`` landings are behind us. Their windows
  and grips are not judged again. With lifts their tops T_1 ... T_m are ends of
  locked items wherever those stand, the later ones are not below the top of the
  locked string, and no lift can be part of a pre-run any more. A window that is
  behind us still says where a lift may start. None and 0 mean the same.
- Lifts of locked items are judged neither in size nor in where they start.
- A lift of one item obeys ``max_length`` too.
- ``pre_run_height`` null: no pre-run, a lift below T_1 starts at P_0 only.
- With lifts and no landing, every free lift counts as below T_1.
- With lifts and landings the top of the string lies in the last window, also
  when that landing has been passed: the union is made up with it hanging.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast.spaceout.case import Answer, Case, Clamp, Item, Landing, Lifts, Objective

__all__ = ["check_answer", "violations"]

_PLAIN_KINDS = frozenset({"joint", "pup", "crossover"})


@dataclass(frozen=True)
class _Plan:
    """A sequence of items on a seated base; ``tops[j]`` is P_j, so ``tops[0]`` is the base."""

    case: Case
    items: tuple[Item, ...]
    seat: int
    tops: tuple[int, ...]

    @property
    def locked(self) -> int:
        return len(self.case.locked)

    @property
    def passed(self) -> int:
        return self.case.landings_passed or 0

    @property
    def starts_locked(self) -> bool:
        return tuple(item.id for item in self.items[: self.locked]) == self.case.locked

    @property
    def union(self) -> int:
        return self.case.gap - self.tops[-1]

    def bodies(self) -> Iterator[tuple[Item, int, int]]:
        """Each item with the lower and upper end of its free body."""
        for item, below in zip(self.items, self.tops, strict=False):
            yield item, below + item.upset, below + item.effective - item.coupling


def check_answer(case: Case, answer: Answer) -> list[str]:
    """What is wrong with an answer of the search: nothing, when every rule holds.

    Parameters
    ----------
    case : Case
        The question.
    answer : Answer
        What was found. Its plan is judged by every rule; its objective, union,
        lifts and clamp shifts are worked out again and compared.

    Returns
    -------
    list of str
        One sentence for each fault, naming the rule and the piece. That an
        answer is the best one, or that there is none, is not judged here.
    """
    if not answer.items:
        return list(_faults_without_plan(answer))
    if answer.seat is None:
        return ["seat: the answer names items but no seat height"]
    faults = violations(case, answer.items, answer.seat, answer.lifts)
    if any(_unreadable(case, answer.items)):
        return faults
    plan = _lay(case, answer.items, answer.seat)
    faults += _status_faults(answer)
    faults += _number_faults(plan, answer)
    faults += _shift_faults(plan, answer.clamp_shifts or {})
    faults += _printed_lift_faults(plan, answer)
    return faults


def violations(
    case: Case,
    items: Sequence[str],
    seat: int,
    lifts: Sequence[Sequence[str]] | None = None,
) -> list[str]:
    """Rules of the space-out that a bare plan breaks.

    Parameters
    ----------
    case : Case
        The question.
    items : sequence of str
        Ids from bottom to top, locked ones included.
    seat : int
        Seat height (or stick-down) in ticks.
    lifts : sequence of sequences of str, optional
        The free items cut into lifts. Left out, a case with lifts only asks
        that some cut exists.

    Returns
    -------
    list of str
        One sentence for each broken rule; empty when the plan may be run.
    """
    unreadable = list(_unreadable(case, items))
    if unreadable:
        return unreadable
    plan = _lay(case, items, seat)
    rules = (_seat, _locked, _usable, _closure, _connections, _clamps, _landings, _grips)
    faults = [fault for rule in rules for fault in rule(plan)]
    faults += _accessories(plan)
    if case.lifts is not None and plan.starts_locked:
        faults += _lifts(plan, case.lifts, lifts)
    return faults


def _lay(case: Case, items: Sequence[str], seat: int) -> _Plan:
    """The plan with every top worked out: P_0 = base - seat, P_j = P_(j-1) + effective."""
    stock = {item.id: item for item in case.stock}
    chosen = tuple(stock[i] for i in items)
    tops = [case.base.height - seat]
    for item in chosen:
        tops.append(tops[-1] + item.effective)
    return _Plan(case, chosen, seat, tuple(tops))


def _unreadable(case: Case, items: Sequence[str]) -> Iterator[str]:
    """Faults that leave nothing to lay: no items, ids unknown or used twice."""
    known = {item.id for item in case.stock}
    if not items:
        yield "items: at least one item is needed"
    for i in dict.fromkeys(items):
        if i not in known:
            yield f"items: {i} is not in the stock"
        if list(items).count(i) > 1:
            yield f"items: {i} is used more than once"


# --- the rules, one function each ---------------------------------------------------------


def _seat(plan: _Plan) -> Iterator[str]:
    seat, a = plan.case.seat, plan.seat
    if seat.locked is not None:
        if a != seat.locked:
            yield f"seat: {a} is not the height {seat.locked} at which it is locked"
    elif not seat.min <= a <= seat.max or (a - seat.min) % seat.step:
        yield f"seat: {a} is not a step of {seat.step} between {seat.min} and {seat.max}"


def _locked(plan: _Plan) -> Iterator[str]:
    ids = tuple(item.id for item in plan.items)
    for place, wanted in enumerate(plan.case.locked):
        if ids[place : place + 1] != (wanted,):
            yield f"locked: {wanted} is in the well as item {place + 1}, the plan has not"


def _usable(plan: _Plan) -> Iterator[str]:
    case = plan.case
    if len(plan.items) > case.max_items:
        yield f"max_items: {len(plan.items)} items, at most {case.max_items} are allowed"
    kinds = _PLAIN_KINDS | {accessory.kind for accessory in case.accessories}
    for item in plan.items:
        if item.id in case.locked:
            continue
        if not item.drift_ok:
            yield f"drift: {item.id} has not passed its drift"
        if item.overall > case.max_overall:
            yield f"handling: {item.id} is {item.overall} long, at most {case.max_overall}"
        if item.id in case.excluded:
            yield f"excluded: {item.id} is not to be used"
        if item.kind not in kinds:
            yield f"accessories: {item.id} is a {item.kind}, which nobody asked for"


def _closure(plan: _Plan) -> Iterator[str]:
    union, n = plan.case.union, len(plan.items)
    if n >= len(plan.case.reserve):
        yield f"union: no reserve is given for {n} items"
        return
    reserve = plan.case.reserve[n]
    lowest, highest = union.min + reserve, union.max - reserve
    if not lowest <= plan.union <= highest:
        yield f"union: length {plan.union} is outside {lowest} to {highest}"


def _connections(plan: _Plan) -> Iterator[str]:
    case = plan.case
    boxes = [("base", case.base.box)] + [(i.id, i.box) for i in plan.items]
    pins = [(i.id, i.pin) for i in plan.items] + [("union", case.union.pin)]
    for (lower, box), (upper, pin) in zip(boxes, pins, strict=True):
        if box != pin:
            yield f"connections: pin {pin} of {upper} does not fit box {box} of {lower}"


def _clamps(plan: _Plan) -> Iterator[str]:
    for clamp in plan.case.clamps:
        if not any(_has_room(clamp, lo, hi) for _, lo, hi in plan.bodies()):
            yield f"clamp {clamp.id}: no free body within its reach is long enough"


def _has_room(clamp: Clamp, body_lo: int, body_hi: int) -> bool:
    """Whether body and reach share a length of at least the clamp and its clearances."""
    r = clamp.half_length + clamp.clearance
    lo = max(body_lo, clamp.height - clamp.shift_down - r)
    hi = min(body_hi, clamp.height + clamp.shift_up + r)
    return hi - lo >= 2 * r


def _in_window(landing: Landing, top: int) -> bool:
    return landing.window[0] <= top - landing.table <= landing.window[1]


def _landings(plan: _Plan) -> Iterator[str]:
    if plan.case.lifts is not None:
        return
    for landing in plan.case.landings[plan.passed :]:
        if not any(_in_window(landing, top) for top in plan.tops):
            yield f"landing {landing.id}: no top of an item lies in its window"


def _grips(plan: _Plan) -> Iterator[str]:
    for landing in plan.case.landings[plan.passed :]:
        if landing.grip is None:
            continue
        lo, hi = (landing.table + end for end in landing.grip)
        if not any(below <= lo and hi <= above for _, below, above in plan.bodies()):
            yield f"landing {landing.id}: no free body covers its grip"


def _accessories(plan: _Plan) -> Iterator[str]:
    for wanted in plan.case.accessories:
        here = [
            (item, below)
            for item, below in zip(plan.items, plan.tops, strict=False)
            if item.kind == wanted.kind
        ]
        if len(here) != 1:
            yield f"accessory {wanted.kind}: exactly one is needed, the plan has {len(here)}"
            continue
        item, below = here[0]
        lo, hi = wanted.window
        if item.profile is None:
            yield f"accessory {wanted.kind}: {item.id} has no profile point"
        elif not lo <= below + item.profile <= hi:
            yield (
                f"accessory {wanted.kind}: profile of {item.id} at {below + item.profile}"
                f" is outside {lo} to {hi}"
            )


# --- lifts --------------------------------------------------------------------------------
# A stage is how many sections hang already, that is how many T_m have been chosen so far.


def _lifts(plan: _Plan, rule: Lifts, lifts: Sequence[Sequence[str]] | None) -> Iterator[str]:
    landings = plan.case.landings
    if landings and not _in_window(landings[-1], plan.tops[-1]):
        yield (
            f"lifts: the union would be made up at {plan.tops[-1]},"
            f" outside the window of landing {landings[-1].id}"
        )
    if lifts is None:
        if _fewest_multi(plan, rule) is None:
            yield "lifts: no cut of the free items into lifts serves all landings"
        return
    free = tuple(item.id for item in plan.items[plan.locked :])
    if tuple(i for lift in lifts for i in lift) != free or not all(lifts):
        yield "lifts: they do not list the free items from bottom to top, none empty"
        return
    yield from _oversize(plan, rule, lifts)
    yield from _misplaced(plan, rule, lifts)


def _oversize(plan: _Plan, rule: Lifts, lifts: Sequence[Sequence[str]]) -> Iterator[str]:
    overall = {item.id: item.overall for item in plan.items}
    for lift in lifts:
        name, length = "+".join(lift), sum(overall[i] for i in lift)
        if len(lift) > rule.max_pieces:
            yield f"lifts: {name} has {len(lift)} pieces, at most {rule.max_pieces}"
        if length > rule.max_length:
            yield f"lifts: {name} is {length} long, at most {rule.max_length}"


def _misplaced(plan: _Plan, rule: Lifts, lifts: Sequence[Sequence[str]]) -> Iterator[str]:
    """Walk up the given lifts, keeping every stage the string can be in."""
    stages, j = _first_stages(plan), plan.locked
    for lift in lifts:
        stages = {s for s in stages if _may_start(plan, rule, plan.tops[j], s)}
        if not stages:
            yield f"lifts: {'+'.join(lift)} can't be made up where it starts, at {plan.tops[j]}"
            return
        j += len(lift)
        stages = _hang(plan, plan.tops[j], stages)
    if len(plan.case.landings) not in stages:
        yield f"landing {plan.case.landings[max(stages)].id}: no end of a lift serves it"


def _first_stages(plan: _Plan) -> set[int]:
    """Stages possible with the locked string in place, before the first free lift."""
    if plan.passed:
        return _hang(plan, plan.tops[plan.locked], {plan.passed})
    stages = {0}
    for top in plan.tops[: plan.locked + 1]:
        stages = _hang(plan, top, stages)
    return stages


def _hang(plan: _Plan, top: int, stages: set[int]) -> set[int]:
    """Stages possible once further sections may have been hung with the bypass at ``top``."""
    landings = plan.case.landings
    reached = set(stages)
    for stage in range(min(stages), len(landings)):
        if stage in reached and _in_window(landings[stage], top):
            reached.add(stage + 1)
    return reached


def _may_start(plan: _Plan, rule: Lifts, start: int, stage: int) -> bool:
    if stage == 0:
        pre = rule.pre_run_height
        return start == plan.tops[0] or (pre is not None and start <= pre)
    return _in_window(plan.case.landings[stage - 1], start)


def _fewest_multi(plan: _Plan, rule: Lifts) -> int | None:
    """Fewest lifts of more than one item over all cuts that serve; None when none does."""
    n = len(plan.items)
    fewest = {(plan.locked, stage): 0 for stage in _first_stages(plan)}
    for j in range(plan.locked, n):
        for stage in range(len(plan.case.landings) + 1):
            made = fewest.get((j, stage))
            if made is None or not _may_start(plan, rule, plan.tops[j], stage):
                continue
            for k in range(j + 1, min(j + rule.max_pieces, n) + 1):
                if sum(item.overall for item in plan.items[j:k]) > rule.max_length:
                    break
                multi = made + (k - j > 1)
                for after in _hang(plan, plan.tops[k], {stage}):
                    fewest[k, after] = min(multi, fewest.get((k, after), multi))
    return fewest.get((n, len(plan.case.landings)))


# --- what an answer says besides its items ------------------------------------------------


def _faults_without_plan(answer: Answer) -> Iterator[str]:
    if answer.status == "optimal":
        yield "status: optimal, but no items are named"
    if answer.objective is not None:
        yield "objective: given without items"
    if answer.proved != (answer.status == "infeasible") and answer.status != "optimal":
        yield f"proved: {answer.proved} does not go with {answer.status}"


def _status_faults(answer: Answer) -> Iterator[str]:
    if answer.status == "infeasible":
        yield "status: infeasible, but items are named"
    elif answer.proved != (answer.status == "optimal"):
        yield f"proved: {answer.proved} does not go with {answer.status}"
    if answer.bound is not None and answer.objective and answer.bound > answer.objective:
        yield f"bound: {answer.bound} is above the objective {answer.objective}"


def _number_faults(plan: _Plan, answer: Answer) -> Iterator[str]:
    if answer.union != plan.union:
        yield f"union: the answer says {answer.union}, the items leave {plan.union}"
    objective = _objective(plan)
    if answer.objective != objective:
        yield f"objective: the answer says {answer.objective}, the plan has {objective}"


def _objective(plan: _Plan) -> Objective:
    deviation = abs(plan.union - plan.case.union.target)
    pups = sum(item.kind == "pup" for item in plan.items)
    return len(plan.items), deviation // plan.case.union.bucket, pups, deviation


def _shift_faults(plan: _Plan, shifts: dict[str, int]) -> Iterator[str]:
    for clamp in plan.case.clamps:
        if clamp.id not in shifts:
            yield f"clamp {clamp.id}: the answer gives no shift"
        else:
            yield from _one_shift(plan, clamp, shifts[clamp.id])
    for unknown in sorted(shifts.keys() - {clamp.id for clamp in plan.case.clamps}):
        yield f"clamp {unknown}: the answer shifts it, the case has none"


def _one_shift(plan: _Plan, clamp: Clamp, shift: int) -> Iterator[str]:
    if not -clamp.shift_down <= shift <= clamp.shift_up:
        yield f"clamp {clamp.id}: shift {shift} is beyond its limits"
    r = clamp.half_length + clamp.clearance
    lo, hi = clamp.height + shift - r, clamp.height + shift + r
    if not any(below <= lo and hi <= above for _, below, above in plan.bodies()):
        yield f"clamp {clamp.id}: shifted by {shift} it does not stand on one free body"


def _printed_lift_faults(plan: _Plan, answer: Answer) -> Iterator[str]:
    rule = plan.case.lifts
    if rule is None:
        if answer.lifts is not None:
            yield "lifts: the answer names lifts, the case asks for none"
        return
    if answer.lifts is None:
        yield "lifts: the case asks for lifts, the answer names none"
        return
    multi = sum(len(lift) > 1 for lift in answer.lifts)
    fewest = _fewest_multi(plan, rule) if plan.starts_locked else None
    if fewest is not None and multi > fewest:
        yield f"lifts: {multi} lifts of several pieces, {fewest} would do"
