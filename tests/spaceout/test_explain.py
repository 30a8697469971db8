"""Blocking sets and cures against plain enumeration, with the same meaning of leaving a rule out.

A rule that is left out is out altogether, with two exceptions: a landing that
is left out still says where a lift may start and where the union is made up,
and a kind of accessory that is not asked for may not be run.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Set
from typing import Any

import pytest
from benchmarks.spaceout.generate import generate
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.plans import reparsed, with_blunt_grips

from abreast.spaceout.case import Case, Item, parse_case
from abreast.spaceout.checker import violations
from abreast.spaceout.explain import Cure, Explanation, explain
from abreast.spaceout.solve import solve

FAR = 10**9
MORE_ITEMS = 6  # max_items left out: so many more are looked at


# --- enumeration --------------------------------------------------------------------------


def closes(case: Case, out: Set[str] = frozenset()) -> bool:
    """Whether any plan at all keeps the rules that are not left out."""
    loose = without(case, out)
    softened = {m.id for m in case.landings if f"landing {m.id}" in out}
    judged_apart = case.lifts is not None and "lifts" not in out and bool(softened)
    if judged_apart:
        loose = loose.model_copy(update={"lifts": None, "landings": grips_only(loose)})
    for ids, seat in closing_rows(loose):
        if violations(loose, ids, seat):
            continue
        if not judged_apart or lifts_serve(case, loose, ids, seat, softened):
            return True
    return False


def without(case: Case, out: Set[str]) -> Case:
    kept = [m for m in case.landings if f"landing {m.id}" not in out]
    passed = {m.id for m in case.landings[: case.landings_passed or 0]}
    update: dict[str, Any] = {
        "landings": tuple(kept),
        "landings_passed": sum(m.id in passed for m in kept),
        "clamps": tuple(c for c in case.clamps if f"clamp {c.id}" not in out),
        "accessories": tuple(a for a in case.accessories if f"accessory {a.kind}" not in out),
        "lifts": None if "lifts" in out else case.lifts,
    }
    if "handling" in out:
        update["max_overall"] = FAR
    if "max_items" in out:
        most = update["max_items"] = min(len(case.stock), case.max_items + MORE_ITEMS)
        update["reserve"] = case.reserve + case.reserve[-1:] * max(0, most + 1 - len(case.reserve))
    free = {"pin": "", "box": ""} if "connections" in out else {}
    item = free | ({"drift_ok": True} if "drift" in out else {})
    update["stock"] = tuple(one.model_copy(update=item) for one in case.stock)
    update["base"] = case.base.model_copy(update=free)
    stroke = {"min": -FAR, "max": FAR} if "union" in out else {}
    update["union"] = case.union.model_copy(update=stroke | free)
    return case.model_copy(update=update)


def closing_rows(case: Case) -> Iterator[tuple[tuple[str, ...], int]]:
    locked = [case.item(i) for i in case.locked]
    rest = [item for item in case.stock if item.id not in case.locked]
    for n in range(max(1, len(locked)), case.max_items + 1):
        for free in itertools.combinations(rest, n - len(locked)):
            for seat in case.seat.options():
                if _closes(case, [*locked, *free], seat):
                    for order in itertools.permutations([item.id for item in free]):
                        yield case.locked + order, seat


def _closes(case: Case, items: list[Item], seat: int) -> bool:
    length = case.gap - (case.base.height - seat) - sum(item.effective for item in items)
    reserve = case.reserve[len(items)]
    return case.union.min + reserve <= length <= case.union.max - reserve


def grips_only(case: Case) -> tuple[Any, ...]:
    """The landings with windows that say nothing: their grips are judged without lifts too."""
    return tuple(m.model_copy(update={"window": (-FAR, FAR)}) for m in case.landings)


def lifts_serve(case: Case, plain: Case, ids: tuple[str, ...], seat: int, soft: Set[str]) -> bool:
    """Rule 5 word by word: some cut, and T_1 ... T_M of which those left out may be any end."""
    tops = [case.base.height - seat]
    for item_id in ids:
        tops.append(tops[-1] + plain.item(item_id).effective)
    windows = [(m.table + m.window[0], m.table + m.window[1]) for m in case.landings]
    if not inside(tops[-1], windows[-1]):
        return False
    fixed, passed = len(case.locked), case.landings_passed or 0
    for ends in cuts(plain, case, ids):
        stops = sorted({*range(fixed + 1), *ends})
        for hung in itertools.combinations_with_replacement(stops, len(windows)):
            met = all(
                (end <= fixed)
                if m < passed
                else (passed == 0 or end >= fixed)
                and (case.landings[m].id in soft or inside(tops[end], windows[m]))
                for m, end in enumerate(hung)
            )
            if met and all(starts(case, tops, windows, hung, at) for at in ends[:-1]):
                return True
    return False


def inside(height: int, window: tuple[int, int]) -> bool:
    return window[0] <= height <= window[1]


def cuts(plain: Case, case: Case, ids: tuple[str, ...]) -> Iterator[list[int]]:
    """Ends of the free lifts, each with the top of what is in the well in front."""
    assert case.lifts is not None
    fixed, n = len(case.locked), len(ids)
    inner = range(fixed + 1, n)
    for count in range(len(inner) + 1):
        for chosen in itertools.combinations(inner, count):
            ends = [fixed, *chosen, n] if n > fixed else [fixed]
            pairs = list(itertools.pairwise(ends))
            lengths = [sum(plain.item(i).overall for i in ids[a:b]) for a, b in pairs]
            short = all(b - a <= case.lifts.max_pieces for a, b in pairs)
            if short and all(length <= case.lifts.max_length for length in lengths):
                yield ends


def starts(
    case: Case,
    tops: list[int],
    windows: list[tuple[int, int]],
    hung: tuple[int, ...],
    at: int,
) -> bool:
    """Whether a lift may be made up on that end."""
    assert case.lifts is not None
    stage = max(sum(end <= at for end in hung), case.landings_passed or 0)
    if stage:
        return inside(tops[at], windows[stage - 1])
    pre = case.lifts.pre_run_height
    return at == 0 or (pre is not None and tops[at] <= pre)


# --- tiny cases ---------------------------------------------------------------------------


def rules(case: Case) -> set[str]:
    named = {"union", "max_items", "handling", "drift", "connections"}
    named |= {f"landing {m.id}" for m in case.landings} | {f"clamp {c.id}" for c in case.clamps}
    named |= {f"accessory {a.kind}" for a in case.accessories}
    return named | ({"lifts"} if case.lifts else set())


def changed(case: Case, cure: Cure, low: int, high: int) -> Case:
    """The case with the limits of a cure moved out."""
    data = case.model_dump()
    if cure.kind == "union":
        data["union"]["min"] -= low
        data["union"]["max"] += high
    if cure.kind == "max_items":
        data["max_items"] += high
        data["reserve"] = [*data["reserve"], *data["reserve"][-1:] * high]
    for part in data["clamps"]:
        if (cure.kind, cure.name) == ("clamp", part["id"]):
            part["shift_down"] += low
            part["shift_up"] += high
    for kind, parts, key in (("landing", "landings", "id"), ("accessory", "accessories", "kind")):
        for part in data[parts]:
            if (cure.kind, cure.name) == (kind, part[key]):
                part["window"] = (part["window"][0] - low, part["window"][1] + high)
    return parse_case(data)


def with_pup(case: Case, length: int) -> Case:
    """One more pup, in all but its length like the shortest fitting pup (or piece) of the stock."""
    usable = [
        item
        for item in case.stock
        if item.drift_ok
        and item.overall <= case.max_overall
        and item.id not in {*case.excluded, *case.locked}
        and item.kind in {"joint", "pup", "crossover", *(a.kind for a in case.accessories)}
        and item.pin == item.box
    ]
    pups = [item for item in usable if item.kind == "pup"]
    like = min(pups or usable, key=lambda item: (item.effective, item.id))
    sizes = {"id": "extra", "kind": "pup", "effective": length}
    pup = like.model_copy(update=sizes | {"overall": length + like.make_up_loss})
    return reparsed(case, stock=[one.model_dump() for one in (*case.stock, pup)])


def judge_cures(case: Case, found: Explanation) -> None:
    for cure in found.cures:
        if cure.kind == "pup":
            for length in range(cure.low, cure.high + 1, cure.step):
                assert closes(with_pup(case, length)), (cure, length)
            continue
        assert closes(changed(case, cure, cure.low, cure.high)), cure
        moved = cure.low + cure.high
        less = [(low, moved - 1 - low) for low in range(moved)]
        if cure.kind != "union":
            less = [(max(0, cure.low - 1), max(0, cure.high - 1))]
        assert not any(closes(changed(case, cure, *by)) for by in less), cure


def judge(case: Case) -> Explanation:
    """Hold blocking set and cures of an infeasible case to enumeration."""
    found = explain(case)
    blocking = set(found.blocking)
    out = rules(case) - blocking
    assert found.minimal
    assert found.complete
    assert blocking <= rules(case)
    assert not closes(case, out), "the set by itself must block"
    assert [name for name in blocking if not closes(case, out | {name})] == []
    judge_cures(case, found)
    return found


def infeasible(seeds: range, blunt: bool) -> Iterator[Case]:
    for seed in seeds:
        data = generate_tiny(seed)
        case = parse_case(with_blunt_grips(data) if blunt else data)
        if len(case.stock) <= 6 and solve(case).status == "infeasible":
            yield case


@pytest.mark.parametrize("blunt", [False, True])
def test_tiny_cases(blunt: bool) -> None:
    found = [judge(case) for case in infeasible(range(40_000, 40_160), blunt)]
    assert len(found) > 20
    kinds = {cure.kind for one in found for cure in one.cures}
    assert kinds >= {"union", "landing", "clamp", "pup"}
    assert blunt or "accessory" in kinds
    named = {name.split()[0] for one in found for name in one.blocking}
    assert named >= {"union", "landing", "clamp", "accessory", "connections", "max_items", "drift"}


@pytest.mark.parametrize("seed", [14, 253])
def test_an_accessory_left_out_frees_and_forbids(seed: int) -> None:
    """Tiny cases in which another rule seemed to block while the accessory was still asked for."""
    judge(parse_case(generate_tiny(seed)))


# --- by hand ------------------------------------------------------------------------------

# One joint of 50 and pups of 20 and 10; base at 0, so tops 50, 70, 80 with the joint below.
PLAIN: dict[str, Any] = {
    "base": {"height": 0, "box": "SF"},
    "seat": {"min": 0, "max": 0},
    "gap": 85,
    "union": {"pin": "SF", "min": 4, "max": 6, "target": 5, "bucket": 1},
    "reserve": [0, 0, 0, 0],
    "max_overall": 60,
    "max_items": 3,
    "stock": [
        {"id": i, "kind": kind, "overall": length, "effective": length, "pin": "SF", "box": "SF"}
        for i, kind, length in (("J1", "joint", 50), ("P20", "pup", 20), ("P10", "pup", 10))
    ],
}


def by_hand(**more: Any) -> Case:
    case = parse_case(PLAIN | more)
    assert solve(case).status == "infeasible"
    return case


def stock_with(item_id: str, **more: Any) -> list[dict[str, Any]]:
    return [one | more if one["id"] == item_id else one for one in PLAIN["stock"]]


def test_the_plain_case_closes() -> None:
    assert solve(parse_case(PLAIN)).objective == (3, 0, 2, 0)


NOWHERE = {"id": "C", "height": 79, "half_length": 5}
CAUSES: dict[str, dict[str, Any]] = {
    "drift": {"stock": stock_with("J1", drift_ok=False)},
    "handling": {"stock": stock_with("J1", overall=61)},
    "connections": {"stock": stock_with("J1", box="EU")},
    "max_items": {"max_items": 2},
    "clamp C": {"clamps": [NOWHERE]},
    "landing L": {"landings": [{"id": "L", "table": 54, "window": [0, 5]}]},
    "accessory nipple": {"accessories": [{"kind": "nipple", "window": [0, 80]}]},
}


@pytest.mark.parametrize("name", CAUSES)
def test_the_cause_is_named(name: str) -> None:
    """One rule of a case that closes is broken; the union has its share, for with any length of
    it something else would close."""
    case = by_hand(**CAUSES[name])
    found = judge(case)
    assert name in found.blocking
    assert set(found.blocking) <= {name, "union"}


def test_the_number_of_pieces_that_would_do_is_told() -> None:
    found = judge(by_hand(max_items=2))
    (cure,) = (one for one in found.cures if one.kind == "max_items")
    assert (cure.low, cure.high) == (0, 1)
    assert "stock as a whole" not in found.as_dict().get("note", "")


def test_when_no_single_change_helps_that_is_said() -> None:
    """All pieces of a thread that neither base nor union has."""
    found = judge(by_hand(stock=[one | {"pin": "EU", "box": "EU"} for one in PLAIN["stock"]]))
    assert (found.blocking, found.cures) == (("connections",), ())
    assert "no change of one limit by itself" in found.as_dict()["note"]


def test_lifts_are_named_when_no_cut_serves() -> None:
    """The tops are 0, 10, 30, 80 or the like; a lift may start at 0 only, and takes two pieces."""
    landing = {"id": "L", "table": 70, "window": [5, 12]}
    lifts = {"max_pieces": 2, "max_length": 80, "pre_run_height": None}
    found = judge(by_hand(landings=[landing], lifts=lifts))
    assert "lifts" in found.blocking


def test_a_stock_too_short_for_every_length_is_no_single_cause() -> None:
    found = judge(by_hand(gap=95))
    assert found.is_global
    assert "stock as a whole" in found.as_dict()["note"]


def test_union_is_widened_by_the_least_there_is() -> None:
    """80 of pipe in a gap of 88 leave 8: the stroke ends at 6."""
    (cure,) = (one for one in explain(by_hand(gap=88)).cures if one.kind == "union")
    assert (cure.low, cure.high) == (0, 2)


@pytest.mark.parametrize(("gap", "low", "high"), [(60, 0, 2), (61, 2, 0)])
def test_union_is_widened_on_the_nearer_side(gap: int, low: int, high: int) -> None:
    """One joint of 50 or 56 leaves 10 or 4 (11 or 5) for a stroke from 7 to 8.

    The middle of the stroke lies between two ticks: neither side may be favoured.
    """
    joint = PLAIN["stock"][0]
    stock = [joint, joint | {"id": "J2", "effective": 56, "overall": 56}]
    union = PLAIN["union"] | {"min": 7, "max": 8}
    case = by_hand(gap=gap, union=union, stock=stock, max_items=1)
    (cure,) = (one for one in explain(case).cures if one.kind == "union")
    assert (cure.low, cure.high) == (low, high)


def test_lengths_of_a_pup_that_close_are_told_in_stretches() -> None:
    """90 of pipe less what any of 50, 20 and 10 give; the stroke gives 1 to either side."""
    case = by_hand(gap=95, max_items=4, reserve=[0] * 5)
    found = [one for one in explain(case).cures if one.kind == "pup"]
    lengths = {k for one in found for k in range(one.low, one.high + 1, one.step)}
    assert all(one.step == 1 for one in found)
    assert lengths == {9, 10, 11, 19, 20, 21, 29, 30, 31, 39, 40, 41, 59, 60}


def test_no_stretch_bridges_lengths_that_were_not_tried() -> None:
    """A of 800 wants 139 more, B of 707 wants 232, one either way; what lies between is no cure."""
    long = PLAIN["stock"][0]
    stock = [long | {"id": "A", "effective": 800}, long | {"id": "B", "effective": 707}]
    case = by_hand(gap=944, stock=stock, max_items=2, max_overall=300)
    found = [one for one in explain(case).cures if one.kind == "pup"]
    assert [(one.low, one.high, one.step) for one in found] == [(138, 140, 1), (231, 233, 1)]


def test_without_a_limit_on_length_the_search_for_a_pup_ends() -> None:
    case = by_hand(gap=95, max_overall=10**9)
    assert explain(case).complete


def test_out_of_time_it_says_so() -> None:
    found = explain(parse_case(generate(1, 40, "off")), limit_s=0.0)
    assert not found.minimal
    assert not found.complete
    assert found.cures == ()
    assert "time ran out" in found.as_dict()["note"]
