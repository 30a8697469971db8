"""Fall-backs against every plan there is when a piece is lost, on tiny cases; then at full size."""

from __future__ import annotations

from typing import Any

import pytest
from benchmarks.spaceout.generate import FLAVOURS, generate
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.plans import Plan, changed_lines, every_plan, with_blunt_grips

from abreast.spaceout.case import Answer, Case, parse_case
from abreast.spaceout.checker import check_answer
from abreast.spaceout.fallback import FallBack, fall_back, fall_backs, locked_below, state_without
from abreast.spaceout.solve import solve

_FEW = 3  # changes looked for; beyond them the best rest is offered


def lines(case: Case, items: tuple[str, ...]) -> tuple[str, ...]:
    """The running list that is still open."""
    return items[len(case.locked) :]


def judge(state: Case, plan: Answer, rejected: str, loss: FallBack, left: list[Plan]) -> None:
    """Hold one fall-back to all plans that are left in its state."""
    if not left:
        assert (loss.nearest.status, loss.best.status) == ("infeasible", "infeasible")
        assert (loss.changes, loss.replaceable) == (None, False)
        return
    former = lines(state, plan.items)
    away = {one: changed_lines(former, lines(state, one.items)) for one in left}
    assert loss.replaceable
    assert loss.best.objective == min(one.objective for one in left)
    assert loss.changes == changed_lines(former, lines(state, loss.nearest.items))
    least = min(away.values())
    if least <= _FEW:
        assert loss.changes == least
        equal = [one.objective for one in left if away[one] == least]
        assert loss.nearest.objective == min(equal)
    else:
        assert loss.nearest == loss.best


def judged_losses(data: dict[str, Any]) -> list[bool]:
    """Whether each free piece of the best plan can be replaced, every fall-back being judged."""
    case = parse_case(data)
    plan = solve(case)
    if plan.objective is None:
        return []
    found = fall_backs(case, plan)
    assert list(found) == list(lines(case, plan.items))
    for rejected, loss in found.items():
        state = state_without(case, plan, rejected)
        assert loss.rejected == rejected
        for answer in (loss.nearest, loss.best):
            assert check_answer(state, answer) == []
            assert rejected not in answer.items
        judge(state, plan, rejected, loss, list(every_plan(state)))
    return [loss.replaceable for loss in found.values()]


def test_tiny_cases_against_every_plan() -> None:
    losses = [one for seed in range(30_000, 30_110) for one in judged_losses(generate_tiny(seed))]
    assert losses.count(True) > 20
    assert losses.count(False) > 20


def test_tiny_cases_with_grips_of_no_length() -> None:
    """A grip met by the end of the item below, or by the start of the one above."""
    cases = (with_blunt_grips(generate_tiny(seed)) for seed in range(31_000, 31_120))
    losses = [one for data in cases for one in judged_losses(data)]
    assert losses.count(True) > 5
    assert losses.count(False) > 20


def test_loose_tiny_cases_have_many_ways_to_go_on() -> None:
    """Without clamps and landings nearly every loss can be made good."""
    loose = {"clamps": [], "landings": [], "landings_passed": None, "seat": {"min": 0, "max": 0}}
    found = [judged_losses(generate_tiny(seed) | loose) for seed in range(32_000, 32_150)]
    losses = [one for case in found for one in case]
    assert losses.count(True) > 40


# --- by hand ------------------------------------------------------------------------------

# A joint of 50, then pups that make 30: 20 + 10 or 15 + 15; 31 closes one off the target.
LENGTHS = {"J1": 50, "J2": 50, "P20": 20, "P21": 21, "P10": 10, "P15": 15, "Q15": 15, "P30": 30}


def rack(**lengths: int) -> list[dict[str, Any]]:
    """Joints J, pups all others, nothing but length to tell them apart."""
    return [
        {
            "id": name,
            "kind": "joint" if name.startswith("J") else "pup",
            "overall": length,
            "effective": length,
            "pin": "SF",
            "box": "SF",
        }
        for name, length in lengths.items()
    ]


def by_hand(*left_out: str, **more: Any) -> Case:
    data = {
        "base": {"height": 0, "box": "SF"},
        "seat": {"min": 0, "max": 2},
        "gap": 85,
        "union": {"pin": "SF", "min": 4, "max": 6, "target": 5, "bucket": 1},
        "reserve": [0] * 5,
        "max_overall": 400,
        "max_items": 4,
        "stock": rack(**{i: length for i, length in LENGTHS.items() if i not in left_out}),
    }
    return parse_case(data | more)


def planned(case: Case, *items: str, seat: int = 0) -> Answer:
    """That plan as an answer, best or not."""
    top = case.base.height - seat + sum(case.item(i).effective for i in items)
    return Answer("optimal", (len(items), 0, 1, 0), items, seat, case.gap - top, proved=True)


def test_a_pup_that_is_one_longer_takes_the_place_of_the_lost_one() -> None:
    """One line: P21 for P20, one off the target; 15 + 15 and 30 close exactly, with two lines."""
    case = by_hand("J2")
    plan = planned(case, "P20", "P10", "J1")
    loss = fall_back(case, plan, "P20")
    assert (loss.nearest.items, loss.changes) == (("P21", "P10", "J1"), 1)
    # On the seat 1 lower P21 closes exactly: the seat is still free.
    assert loss.nearest.objective == (3, 0, 2, 0)
    assert loss.nearest.seat == 1
    assert loss.best.objective == (2, 0, 1, 0)
    assert set(loss.best.items) == {"J1", "P30"}


def test_a_fixed_seat_stays_and_costs_a_tick_of_deviation() -> None:
    case = by_hand("J2", seat={"min": 0, "max": 2, "locked": 0})
    loss = fall_back(case, planned(case, "P20", "P10", "J1"), "P20")
    assert (loss.nearest.items, loss.changes) == (("P21", "P10", "J1"), 1)
    assert loss.nearest.objective == (3, 1, 2, 1)
    assert (loss.nearest.seat, loss.best.seat) == (0, 0)


def test_what_stands_below_is_in_the_well_and_stays() -> None:
    """J1 lost on top of 20 + 10: only J2 goes on them; J1 lost at the bottom: all is open."""
    case = by_hand()
    on_top = fall_back(case, planned(case, "P20", "P10", "J1"), "J1")
    assert on_top.nearest.items == on_top.best.items == ("P20", "P10", "J2")
    below = fall_back(case, planned(case, "J1", "P20", "P10"), "J1")
    assert (below.nearest.items, below.changes) == (("J2", "P20", "P10"), 1)
    assert below.best.objective == (2, 0, 1, 0)


def test_a_joint_without_a_second_one_is_irreplaceable() -> None:
    """Three pieces at most. 20 + 10 on the base need 50 more; 20 alone needs two that make
    59 to 63: there are none but 10 + 50."""
    case = by_hand("J2", max_items=3)
    found = fall_backs(case, planned(case, "P20", "P10", "J1"))
    assert [name for name, loss in found.items() if not loss.replaceable] == ["P10", "J1"]


def test_when_all_lines_change_the_best_rest_is_offered() -> None:
    """10 + 11 + 12 + 367 and 97 + 99 + 101 + 103 make 400, no mixture of the two does."""
    lengths = {"A": 10, "B": 11, "C": 12, "J": 367, "E": 97, "F": 99, "G": 101, "H": 103}
    case = by_hand(stock=rack(**lengths), gap=405, seat={"min": 0, "max": 0})
    loss = fall_back(case, planned(case, "A", "B", "C", "J"), "A")
    assert set(loss.nearest.items) == {"E", "F", "G", "H"}
    assert loss.nearest == loss.best
    assert loss.changes == 4


def test_a_line_may_be_put_in_or_left_out() -> None:
    """P30 lost: 15 + 15 in its place replaces one line and puts one in."""
    case = by_hand("P20", "P21", "P10", "J2")
    loss = fall_back(case, planned(case, "P30", "J1"), "P30")
    assert loss.changes == 2
    assert set(loss.nearest.items) == {"P15", "Q15", "J1"}


def test_the_whole_lift_of_a_lost_piece_is_open_again() -> None:
    """J1 and P20 go up as one: with P20 lost J1 is on the rack still, P10 below it is run."""
    lifts = {"max_pieces": 2, "max_length": 90, "pre_run_height": 90}
    case = by_hand(lifts=lifts)
    plan = planned(case, "P10", "J1", "P20")
    plan = Answer(**{**plan.__dict__, "lifts": (("P10",), ("J1", "P20"))})
    assert locked_below(case, plan, "P20") == ("P10",)
    assert locked_below(case, plan, "J1") == ("P10",)
    assert locked_below(case, plan, "P10") == ()
    state = state_without(case, plan, "P20")
    assert (state.locked, state.excluded) == (("P10",), ("P20",))


# --- full size ----------------------------------------------------------------------------


@pytest.mark.parametrize("flavour", [f for f in FLAVOURS if "long" not in f])
def test_best_rest_is_that_of_its_state_solved_anew(flavour: str) -> None:
    """Tables are shared between the losses of a plan; a search from nothing says the same."""
    case = parse_case(generate(81, 20, flavour))
    plan = solve(case)
    if plan.objective is None:
        return
    for rejected, loss in fall_backs(case, plan).items():
        state = state_without(case, plan, rejected)
        anew = solve(state)
        assert (loss.best.status, loss.best.objective) == (anew.status, anew.objective)
        for answer in (loss.nearest, loss.best):
            assert check_answer(state, answer) == []
            assert answer.items[: len(state.locked)] in ((), plan.items[: len(state.locked)])
        if case.seat.locked is not None and loss.replaceable:
            assert loss.nearest.seat == plan.seat


def test_no_time_is_no_claim() -> None:
    """With no time left nothing is called irreplaceable, and a plan in hand keeps every rule."""
    case = parse_case(generate(81, 80, "lifts"))
    plan = solve(case)
    for rejected, loss in fall_backs(case, plan, limit_s=0.0).items():
        assert loss.best.status == "stopped"
        assert not loss.best.proved
        state = state_without(case, plan, rejected)
        assert check_answer(state, loss.best) == check_answer(state, loss.nearest) == []
