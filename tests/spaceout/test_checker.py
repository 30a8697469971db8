"""The checker against cases small enough to be worked out by hand.

Source of every expected verdict: arithmetic on the case below, written beside
it. The lift rule is also held against a literal enumeration of cuts and of
T_1 ... T_M, which shares nothing with the checker's walk.
"""

from __future__ import annotations

import copy
import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.spaceout.case import Answer, Case, parse_case
from abreast.spaceout.checker import check_answer, violations

# Base top at 100 - 10 = 90. A 90-190, B 190-240, C 240-300; union 350 - 300 = 50.
# Free bodies (upset 5, coupling 3): A 95-187, B 195-237, C 245-297.
PLAIN: dict[str, Any] = {
    "base": {"height": 100, "box": "SF"},
    "seat": {"min": 0, "max": 20, "step": 5},
    "gap": 350,
    "union": {"pin": "SF", "min": 30, "max": 70, "target": 44, "bucket": 5},
    "reserve": [0, 1, 2, 3, 4],
    "max_overall": 110,
    "max_items": 4,
    "stock": [
        {"id": "A", "kind": "joint", "overall": 102, "effective": 100},
        {"id": "B", "kind": "pup", "overall": 52, "effective": 50},
        {"id": "C", "kind": "pup", "overall": 62, "effective": 60},
        {"id": "D", "kind": "pup", "overall": 54, "effective": 50, "drift_ok": False},
        {"id": "E", "kind": "pup", "overall": 111, "effective": 50},
        {"id": "F", "kind": "nipple", "overall": 52, "effective": 50, "profile": 7},
    ],
}
ABC = ("A", "B", "C")


def case_with(**changes: Any) -> Case:
    data = copy.deepcopy(PLAIN)
    for item in data["stock"]:
        item |= {"upset": 5, "coupling": 3, "pin": "SF", "box": "SF"}
    return parse_case(data | changes)


def changed(case: Case, part: str, **changes: Any) -> Case:
    data = case.model_dump()
    data[part] = data[part] | changes
    return parse_case(data)


def item_changed(item_id: str, **changes: Any) -> Case:
    data = case_with().model_dump()
    data["stock"] = [i | changes if i["id"] == item_id else i for i in data["stock"]]
    return parse_case(data)


def judged(items: tuple[str, ...] = ABC, seat: int = 10, **changes: Any) -> list[str]:
    return violations(case_with(**changes), items, seat)


def clamp(height: int, **more: int) -> dict[str, Any]:
    return {"id": "TC1", "height": height, "half_length": 10, "clearance": 2} | more


def landing(name: str, lo: int, hi: int, **more: Any) -> dict[str, Any]:
    """A landing whose window is lo to hi in the ESP frame."""
    return {"id": name, "table": lo - 7, "window": [7, hi - lo + 7]} | more


def test_a_plan_that_closes_has_no_fault():
    assert judged() == []


@pytest.mark.parametrize(
    ("items", "part"),
    [((), "at least one"), (("A", "B", "B"), "more than once"), (("A", "X"), "X is not in")],
)
def test_items_are_distinct_and_known(items, part):
    (fault,) = judged(items)
    assert part in fault


@pytest.mark.parametrize("seat", [-5, 12, 25])
def test_seat_stands_on_a_step_inside_its_range(seat):
    assert judged(seat=seat)[0].startswith("seat:")


def test_locked_seat_is_the_only_one_even_off_the_grid():
    seat = {"min": 0, "max": 20, "step": 5, "locked": 12}
    case = case_with(seat=seat)
    assert violations(case, ABC, 12) == []
    assert violations(case, ABC, 10)[0].startswith("seat: 10 is not the height 12")


# u = 50 and reserve[3] = 3: the window must reach from 47 down and to 53 up.
@pytest.mark.parametrize(
    ("low", "high", "good"), [(47, 53, True), (48, 53, False), (47, 52, False)]
)
def test_union_keeps_the_reserve_at_both_ends(low, high, good):
    faults = violations(changed(case_with(), "union", min=low, max=high), ABC, 10)
    assert [f.split(":")[0] for f in faults] == ([] if good else ["union"])


@pytest.mark.parametrize(
    ("case", "names"),
    [
        (changed(case_with(), "base", box="EU"), ("base", "A")),
        (item_changed("B", pin="EU"), ("A", "B")),
        (item_changed("B", box="EU"), ("B", "C")),
        (changed(case_with(), "union", pin="EU"), ("C", "union")),
    ],
)
def test_every_connection_is_looked_at(case, names):
    (fault,) = violations(case, ABC, 10)
    assert fault.startswith("connections:")
    assert all(name in fault for name in names)


# Half length 10 + clearance 2: the clamp takes 12 each way. Body of B is 195-237.
@pytest.mark.parametrize(
    ("height", "more", "good"),
    [
        (207, {}, True),
        (206, {}, False),
        (225, {}, True),
        (226, {}, False),
        (206, {"shift_up": 1}, True),
        (206, {"shift_down": 9}, False),
        (226, {"shift_down": 1}, True),
        (191, {"shift_up": 15, "shift_down": 15}, False),
        (191, {"shift_up": 16, "shift_down": 0}, True),
        (325, {}, False),
    ],
)
def test_clamp_needs_one_free_body(height, more, good):
    faults = judged(clamps=[clamp(height, **more)])
    assert [f.split(":")[0] for f in faults] == ([] if good else ["clamp TC1"])


@pytest.mark.parametrize(
    ("lo", "hi", "good"),
    [(85, 90, True), (91, 189, False), (190, 190, True), (300, 310, True), (301, 400, False)],
)
def test_landing_needs_some_top_base_and_last_included(lo, hi, good):
    faults = judged(landings=[landing("L1", lo, hi)])
    assert [f.split(":")[0] for f in faults] == ([] if good else ["landing L1"])


@pytest.mark.parametrize(
    ("lo", "hi", "good"),
    [(195, 237, True), (194, 200, False), (230, 238, False), (180, 200, False)],
)
def test_grip_is_covered_by_one_body_relative_to_its_table(lo, hi, good):
    grip = {"table": 180, "window": [10, 10], "grip": [lo - 180, hi - 180], "id": "L1"}
    assert (judged(landings=[grip]) == []) is good
    with_lifts = {"max_pieces": 9, "max_length": 999, "pre_run_height": 190}
    faults = judged(landings=[grip | {"window": [10, 200]}], lifts=with_lifts)
    assert (faults == []) is good


def test_passed_landing_is_not_judged_again():
    missed = landing("L1", 100, 110, grip=[-50, 999])
    assert len(judged(landings=[missed])) == 2
    assert judged(landings=[missed], landings_passed=1) == []
    assert len(judged(landings=[missed], landings_passed=0)) == 2


# F stands 240-290 after A and B; its profile point is at 240 + 7 = 247.
@pytest.mark.parametrize(("lo", "hi", "good"), [(247, 247, True), (248, 260, False)])
def test_accessory_profile_lies_in_its_window(lo, hi, good):
    faults = judged(("A", "B", "F"), accessories=[{"kind": "nipple", "window": [lo, hi]}])
    assert [f.split(":")[0] for f in faults] == ([] if good else ["accessory nipple"])


def test_accessory_is_run_exactly_once_and_only_when_asked_for():
    wanted = [{"kind": "nipple", "window": [0, 999]}]
    assert judged(accessories=wanted)[0].startswith("accessory nipple: exactly one")
    assert "F is a nipple" in judged(("A", "B", "F"))[0]
    blind = item_changed("F", profile=None).model_copy(
        update={"accessories": case_with(accessories=wanted).accessories}
    )
    assert "no profile" in violations(blind, ("A", "B", "F"), 10)[0]


@pytest.mark.parametrize(
    ("items", "changes", "rule"),
    [
        (("A", "D", "C"), {}, "drift"),
        (("A", "E", "C"), {}, "handling"),
        (ABC, {"excluded": ["B"]}, "excluded"),
        (ABC, {"max_items": 2}, "max_items"),
    ],
)
def test_unusable_items_are_refused(items, changes, rule):
    assert [f.split(":")[0] for f in judged(items, **changes)] == [rule]


def test_limits_themselves_are_allowed():
    assert judged(max_overall=102) == []  # A is just that long
    assert judged(max_items=3) == []
    faults = judged(max_items=2, reserve=[0, 0, 0])
    assert [f.split(":")[0] for f in faults] == ["max_items", "union"]


@pytest.mark.parametrize("items", [("D", "E", "F"), ("F", "E", "D")])
def test_what_is_in_the_well_is_not_judged_usable(items):
    faults = judged(items, seat=0, gap=300, locked=list(items), excluded=["D"])
    assert faults == []


def test_locked_items_stay_first_in_their_order():
    assert judged(("A", "B", "C"), locked=["A", "B"]) == []
    assert [f.split(":")[0] for f in judged(locked=["B", "A"])] == ["locked", "locked"]
    short = judged(("A",), gap=240, locked=["A", "B"], lifts={"max_pieces": 1, "max_length": 99})
    assert any(f.startswith("locked: B") for f in short)


# --- lifts: ends 90, 190, 240, 300 ---------------------------------------------------------

LIFTS = {"max_pieces": 2, "max_length": 114, "pre_run_height": None}
TOP = landing("L9", 290, 310)


def cut(sizes: Any, items: tuple[str, ...] = ABC, **changes: Any) -> list[str]:
    return violations(case_with(**({"lifts": LIFTS} | changes)), items, 10, sizes)


@pytest.mark.parametrize(
    ("lifts", "good"),
    [
        ([["A"], ["B", "C"]], True),  # 52 + 62 = 114 is just allowed; starts at 90 and 190
        ([["A", "B"], ["C"]], False),  # 154 long
        ([["A"], ["B"], ["C"]], False),  # C starts at 240, in no window
        ([["A"], ["C", "B"]], False),
        ([["A"], [], ["B", "C"]], False),
    ],
)
def test_lifts_start_within_reach_of_hands(lifts, good):
    assert (cut(lifts, landings=[landing("L1", 180, 195), TOP]) == []) is good


@pytest.mark.parametrize(("length", "good"), [(114, True), (113, False)])
def test_some_cut_is_looked_for_when_none_is_given(length, good):
    lifts = LIFTS | {"max_length": length}
    windows = [landing("L1", 180, 195), TOP]  # B and C have to go up together
    assert (cut(None, lifts=lifts, landings=windows) == []) is good


def test_single_item_lift_obeys_the_length_too():
    lifts = LIFTS | {"max_length": 101}
    assert "A is 102 long" in cut([["A"], ["B"], ["C"]], lifts=lifts)[0]


@pytest.mark.parametrize(("pre", "good"), [(None, False), (189, False), (190, True)])
def test_pre_run_limits_where_a_lift_below_the_first_section_starts(pre, good):
    lifts = LIFTS | {"pre_run_height": pre}
    first = landing("L1", 240, 310)
    faults = cut([["A"], ["B"], ["C"]], lifts=lifts, landings=[first])
    assert (faults == []) is good


def test_without_landings_every_lift_is_part_of_the_pre_run():
    three = [["A"], ["B"], ["C"]]
    assert cut(three) != []
    assert cut(three, lifts=LIFTS | {"pre_run_height": 240}) == []
    assert cut([["A"]], ("A",), gap=240) == []


def test_union_is_made_up_inside_the_last_window():
    faults = cut([["A"], ["B", "C"]], landings=[landing("L1", 180, 195)])
    assert [f for f in faults if "union" in f]


def test_every_landing_needs_a_lift_end():
    middle = landing("L2", 235, 295)
    windows = [landing("L1", 190, 192), middle, landing("L3", 240, 310)]
    assert cut([["A"], ["B", "C"]], landings=windows)[0].startswith("landing L2")
    assert cut([["A"], ["B"], ["C"]], landings=windows) == []


def test_passed_landings_end_the_pre_run_and_hang_on_locked_ends():
    lifts = LIFTS | {"pre_run_height": 240}
    windows = [landing("L1", 0, 240), TOP]
    free = [["C"]]
    asked = {"lifts": lifts, "locked": ["A", "B"]}
    assert cut(free, landings=windows, landings_passed=1, **asked) == []
    windows[0] = landing("L1", 0, 239)  # C would start at 240 with section 1 hanging
    asked["lifts"] = LIFTS | {"pre_run_height": 239}
    assert cut(free, landings=windows, landings_passed=1, **asked) != []
    asked["lifts"] = LIFTS
    windows[0] = landing("L1", 240, 245)
    assert cut(free, landings=windows, **asked) == []


def test_tops_of_passed_landings_are_not_looked_for():
    windows = [landing("L1", 0, 50), landing("L2", 240, 245), TOP]
    asked = {"landings": windows, "locked": ["A", "B"]}
    assert cut([["C"]], landings_passed=2, **asked) == []
    assert cut([["C"]], landings_passed=1, **asked) == []
    assert cut([["C"]], **asked) != []


def test_later_landings_are_not_below_what_is_locked():
    windows = [landing("L1", 90, 95), landing("L2", 190, 195), TOP]
    asked = {"landings": windows, "locked": list(ABC)}
    assert cut([], **asked) == []
    assert cut([], landings_passed=1, **asked)[0].startswith("landing L2")
    assert cut([], landings_passed=2, **asked) == []


def test_locked_lifts_are_judged_neither_in_size_nor_in_start():
    lifts = LIFTS | {"max_length": 62}
    windows = [landing("L1", 240, 240), TOP]
    assert cut([["C"]], landings=windows, lifts=lifts, locked=["A", "B"]) == []
    assert cut([], landings=[TOP], lifts=lifts, locked=list(ABC)) == []


def literal_cuts(case: Case, tops: list[int]) -> list[list[int]]:
    """Every cut of the free items that serves, as lists of lift sizes, by plain enumeration."""
    n, p, passed = len(tops) - 1, len(case.locked), case.landings_passed or 0
    sizes = [s for r in range(1, n - p + 1) for s in itertools.product(range(1, 5), repeat=r)]
    return [list(s) for s in sizes if sum(s) == n - p and literal_cut(case, tops, s, p, passed)]


def literal_cut(case: Case, tops: list[int], sizes: Any, p: int, passed: int) -> bool:
    assert case.lifts is not None
    marks = [p, *itertools.accumulate(sizes, initial=p)][1:]
    ends = tops[: p + 1] + [tops[k] for k in marks[1:]]
    starts = [tops[k] for k in marks[:-1]]
    pre = case.lifts.pre_run_height
    windows = [(m.table + m.window[0], m.table + m.window[1]) for m in case.landings]
    for chosen in itertools.combinations_with_replacement(ends, len(windows)):
        if any(t < tops[p] for t in chosen[passed:]) and passed:
            continue
        if any(t not in tops[: p + 1] for t in chosen[:passed]):
            continue
        if not all(
            lo <= t <= hi for t, (lo, hi) in list(zip(chosen, windows, strict=True))[passed:]
        ):
            continue
        if all(literal_start(s, chosen, windows, tops[0], pre) for s in starts):
            return True
    return False


def literal_start(start: int, chosen: Any, windows: Any, lowest: int, pre: int | None) -> bool:
    hanging = sum(t <= start for t in chosen)
    if hanging == 0:
        return start == lowest or (pre is not None and start <= pre)
    lo, hi = windows[hanging - 1]
    return bool(lo <= start <= hi)


@st.composite
def lift_cases(draw: Any) -> Case:
    n = draw(st.integers(1, 4))
    p = draw(st.integers(0, n - 1))
    lengths = draw(st.lists(st.integers(1, 6), min_size=n, max_size=n))
    total = sum(lengths)
    count = draw(st.integers(0, 3))
    lows = sorted(draw(st.lists(st.integers(0, total), min_size=count, max_size=count)))
    highs = [lo + draw(st.integers(0, 6)) for lo in lows]
    highs = list(itertools.accumulate(highs, max))
    if highs:
        highs[-1] = max(highs[-1], total)
    pre = draw(st.none() | st.integers(0, highs[0] if highs else total))
    return parse_case(
        {
            "base": {"height": 0, "box": "x"},
            "seat": {"min": 0, "max": 0},
            "gap": total,
            "union": {"pin": "x", "min": 0, "max": 0, "target": 0, "bucket": 1},
            "reserve": [0] * 5,
            "landings": [
                {"id": str(k), "table": 0, "window": w}
                for k, w in enumerate(zip(lows, highs, strict=True))
            ],
            "lifts": {"max_pieces": 4, "max_length": 999, "pre_run_height": pre},
            "landings_passed": draw(st.integers(0, count)) if p else None,
            "max_overall": 9,
            "max_items": 4,
            "locked": [str(k) for k in range(p)],
            "stock": [
                {
                    "id": str(k),
                    "kind": "pup",
                    "overall": v,
                    "effective": v,
                    "pin": "x",
                    "box": "x",
                }
                for k, v in enumerate(lengths)
            ],
        }
    )


@given(lift_cases())
def test_lift_rule_agrees_with_literal_enumeration(case):
    ids = tuple(item.id for item in case.stock)
    free = ids[len(case.locked) :]
    tops = list(itertools.accumulate((i.effective for i in case.stock), initial=0))
    good = literal_cuts(case, tops)
    in_reach = not case.landings or tops[-1] >= sum(
        (case.landings[-1].table, case.landings[-1].window[0])
    )
    assert (violations(case, ids, 0) == []) is (bool(good) and in_reach)
    for sizes in good if in_reach else []:
        marks = list(itertools.accumulate(sizes, initial=0))
        lifts = [free[a:b] for a, b in itertools.pairwise(marks)]
        assert violations(case, ids, 0, lifts) == []


# --- answers --------------------------------------------------------------------------------

# |50 - 44| = 6, bucket 6 // 5 = 1, pups B and C.
GOOD: dict[str, Any] = {
    "status": "optimal",
    "objective": (3, 1, 2, 6),
    "items": ABC,
    "seat": 10,
    "union": 50,
    "clamp_shifts": {"TC1": 1},
    "proved": True,
}
CLAMPED = case_with(clamps=[clamp(206, shift_up=2)])


def test_right_answer_has_no_fault():
    assert check_answer(CLAMPED, Answer(**GOOD)) == []


# Body of B 195-237: the clamp centre may stand from 207 to 225.
@pytest.mark.parametrize(
    ("height", "down", "up", "shift", "good"),
    [
        (206, 0, 1, 1, True),
        (205, 0, 3, 2, True),
        (205, 0, 3, 1, False),
        (226, 1, 0, -1, True),
        (227, 3, 0, -2, True),
        (227, 3, 0, -1, False),
        (206, 0, 2, 2, True),
        (226, 2, 0, -2, True),
        (210, 0, 0, 1, False),
        (210, 0, 0, -1, False),
    ],
)
def test_reported_shift_really_places_the_clamp(height, down, up, shift, good):
    case = case_with(clamps=[clamp(height, shift_down=down, shift_up=up)])
    faults = check_answer(case, Answer(**(GOOD | {"clamp_shifts": {"TC1": shift}})))
    assert [f.split(":")[0] for f in faults] == ([] if good else ["clamp TC1"])


def test_bound_may_equal_the_objective():
    stopped = {"status": "stopped", "proved": False, "bound": GOOD["objective"]}
    assert check_answer(CLAMPED, Answer(**(GOOD | stopped))) == []


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"objective": (3, 1, 2, 5)}, "objective"),
        ({"objective": None}, "objective"),
        ({"union": 51}, "union"),
        ({"seat": None}, "seat"),
        ({"seat": 15}, "union"),
        ({"lifts": (("A",), ("B",), ("C",))}, "lifts"),
        ({"clamp_shifts": {"TC1": 0}}, "clamp TC1"),
        ({"clamp_shifts": {"TC1": 3}}, "clamp TC1"),
        ({"clamp_shifts": None}, "clamp TC1"),
        ({"clamp_shifts": {"TC1": 1, "TC9": 0}}, "clamp TC9"),
        ({"proved": False}, "proved"),
        ({"status": "stopped"}, "proved"),
        ({"status": "infeasible"}, "status"),
        ({"items": ()}, "status"),
        ({"items": ("A", "B", "X")}, "items"),
        ({"status": "stopped", "proved": False, "bound": (3, 2, 0, 0)}, "bound"),
    ],
)
def test_wrong_answer_is_found_out(change, word):
    faults = check_answer(CLAMPED, Answer(**(GOOD | change)))
    assert any(f.startswith(word) for f in faults), faults


@pytest.mark.parametrize(
    ("answer", "good"),
    [
        (Answer("infeasible", proved=True), True),
        (Answer("stopped", bound=(2, 0, 0, 0)), True),
        (Answer("infeasible", proved=False), False),
        (Answer("stopped", proved=True), False),
        (Answer("stopped", objective=(1, 0, 0, 0)), False),
    ],
)
def test_answer_without_a_plan(answer, good):
    assert (check_answer(CLAMPED, answer) == []) is good


def test_answer_prints_the_cut_with_fewest_multi_item_lifts():
    case = case_with(lifts=LIFTS, landings=[landing("L1", 190, 310)])
    answer = Answer(**(GOOD | {"clamp_shifts": {}, "lifts": (("A",), ("B",), ("C",))}))
    assert check_answer(case, answer) == []
    doubled = Answer(**(GOOD | {"clamp_shifts": {}, "lifts": (("A",), ("B", "C"))}))
    assert check_answer(case, doubled) == ["lifts: 1 lifts of several pieces, 0 would do"]
    unsaid = Answer(**(GOOD | {"clamp_shifts": {}}))
    assert check_answer(case, unsaid)[0].startswith("lifts: the case asks for lifts")


@given(st.integers(-10_000, 10_000), st.integers(1, 50))
def test_verdict_does_not_depend_on_the_zero_or_the_tick(shift, scale):
    """Moving every height, or measuring in finer ticks, changes no verdict."""
    for lo, good in ((190, True), (191, False)):
        data = case_with(clamps=[clamp(207)], landings=[landing("L1", lo, 200)]).model_dump()
        _rescale(data, scale)
        data["base"]["height"] += shift
        data["gap"] += shift
        data["clamps"][0]["height"] += shift
        data["landings"][0]["table"] += shift
        assert (violations(parse_case(data), ABC, 10 * scale) == []) is good


def _rescale(data: dict[str, Any], scale: int) -> None:
    fixed = {"max_items", "tick_mm", "landings_passed", "max_pieces", "drift_ok"}
    for key, value in data.items():
        if key in fixed:
            continue
        if isinstance(value, dict):
            _rescale(value, scale)
        elif isinstance(value, int):
            data[key] = value * scale
        elif isinstance(value, list | tuple):
            for part in value:
                if isinstance(part, dict):
                    _rescale(part, scale)
            if value and all(isinstance(v, int) for v in value):
                data[key] = [v * scale for v in value]
