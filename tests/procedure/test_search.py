"""The search: what it finds breaks no rule, reaches the goal, and is as short as can be."""

from __future__ import annotations

from collections import deque

import pytest
from tests.procedure.example import example_text
from tests.procedure.hand_made import hand_made

from abreast.mechanics.ledger import Ledger, State
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure
from abreast.procedure.candidates import Hands, candidates
from abreast.procedure.goals import Goal, holder_off, laid_down, landed
from abreast.procedure.prove import prove
from abreast.procedure.read import read_procedure
from abreast.procedure.same import state_key
from abreast.procedure.search import search


def example() -> Procedure:
    return read_procedure(example_text())


def after(procedure: Procedure, step: str) -> State:
    return next(one.after for one in prove(procedure).steps if one.step.id == step)


def replay(ledger: Ledger, state: State, actions: tuple[Action, ...]) -> State:
    for action in actions:
        state = ledger.act(state, action)  # raises when a rule breaks
    return state


def plain_length(ledger: Ledger, state: State, goal: Goal) -> int:
    """Plain breadth first, without any guess of what is left: the oracle of the search."""
    hands, ahead, seen = Hands(ledger, goal.kinds), deque([(state, 0)]), {state_key(state)}
    while ahead:
        here, depth = ahead.popleft()
        if goal(here):
            return depth
        for _, there in hands.moves(here):
            if state_key(there) not in seen:
                seen.add(state_key(there))
                ahead.append((there, depth + 1))
    raise AssertionError


@pytest.mark.parametrize("step", ["10", "11", "13", "15", "16", "18", "20", "22", "25"])
def test_a_rejected_joint_comes_out_on_the_shortest_safe_way(step: str) -> None:
    procedure = example()
    ledger, state = Ledger(procedure), after(procedure, step)
    goal = laid_down(ledger, "T02")
    way = search(ledger, state, goal)
    assert way is not None
    assert goal(replay(ledger, state, way))
    assert len(way) == plain_length(ledger, state, goal)
    assert "T01" in replay(ledger, state, way).offsets, "only the rejected joint leaves"


def test_never_more_is_said_to_be_left_than_the_shortest_way_needs() -> None:
    procedure = example()
    ledger = Ledger(procedure)
    for piece in ("T01", "T02"):
        goal = laid_down(ledger, piece)
        blind = Goal("", goal.met, lambda _: 0, goal.kinds)
        for one in prove(procedure).steps:
            way = search(ledger, one.after, blind, limit=3000)
            if way is not None:
                assert goal.left(one.after) <= len(way), (one.step.id, piece)


def test_a_goal_that_is_met_needs_nothing() -> None:
    procedure = example()
    ledger = Ledger(procedure)
    assert search(ledger, ledger.start, laid_down(ledger, "T01")) == ()


def test_any_function_can_be_a_goal() -> None:
    procedure = example()
    ledger, state = Ledger(procedure), after(procedure, "11")
    way = search(ledger, state, lambda s: s.joints.get("T02/T01") == "made")
    assert way is not None
    assert [one.do for one in way] == ["cover", "make_up"]


def test_a_holder_comes_off() -> None:
    procedure = example()
    ledger, state = Ledger(procedure), after(procedure, "5")
    goal = holder_off(ledger, "LS")
    way = search(ledger, state, goal)
    assert way is not None
    assert [one.do for one in way] == ["slack_off", "unlatch", "remove"]


def test_a_string_lands_on_its_neck() -> None:
    procedure = hand_made()
    hoisted = next(s.id for s in procedure.steps if s.action.do == "reel")
    ledger, state = Ledger(procedure), after(procedure, hoisted)
    goal = landed(ledger, "pump")
    way = search(ledger, state, goal)
    assert way is not None
    assert [one.do for one in way] == ["lower", "land", "slack_off"]
    assert goal(replay(ledger, state, way))


def test_a_limit_and_a_stop_end_the_search() -> None:
    procedure = example()
    ledger, state = Ledger(procedure), after(procedure, "25")
    told: list[str] = []
    goal = laid_down(ledger, "T02")
    assert search(ledger, state, goal, limit=3) is None
    assert search(ledger, state, Goal("", lambda _: False, lambda _: 0), cancelled=lambda: True,
                  limit=200) is None  # fmt: skip
    search(ledger, state, Goal("", lambda _: False, lambda _: 0), progress=told.append, limit=200)
    assert told[0].startswith("search: 50 states looked at")


@pytest.mark.parametrize("made", [example, hand_made])
def test_every_candidate_breaks_no_rule(made: object) -> None:
    procedure: Procedure = made()  # type: ignore[operator]
    ledger = Ledger(procedure)
    for one in prove(procedure).steps[::5]:
        found = candidates(ledger, one.after)
        assert len(set(found)) == len(found)
        for action in found:
            ledger.act(one.after, action)


def test_what_the_run_does_next_is_among_the_candidates() -> None:
    """Kinds of all steps made by hand, heights and signatures apart."""
    procedure = hand_made()
    ledger = Ledger(procedure)
    for one in prove(procedure).steps:
        kind = one.step.action.do
        if kind in ("confirm", "cover", "record_torque", "lock_seat", "reel", "set_plate"):
            continue  # these come when something needs them
        offered = {action.do for action in candidates(ledger, one.before)}
        if kind == "fit_safety_clamp":
            continue
        assert kind in offered, one.step.id
