"""Any steps that have the form of steps are judged: a state or a fault, never anything else."""

from __future__ import annotations

from typing import Any, get_args, get_origin

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.procedure.hand_made import hand_made

from abreast.mechanics.ledger import RULES, Fault, Ledger, State, loads
from abreast.model.floor_actions import Action
from abreast.procedure.candidates import Hands, candidates
from abreast.procedure.prove import prove
from abreast.procedure.read_faults import ACTIONS
from abreast.procedure.repair import repair
from abreast.procedure.same import state_key

PROCEDURE = hand_made()
LEDGER = Ledger(PROCEDURE)
STATES = [LEDGER.start, *(one.after for one in prove(PROCEDURE).steps)]
NAMES = {
    "holder": [one.id for one in PROCEDURE.holders],
    "gear": [one.id for one in PROCEDURE.holders],
    "on": [one.id for one in PROCEDURE.pieces],
    "pieces": [one.id for one in PROCEDURE.pieces],
    "back_up": [one.id for one in PROCEDURE.pieces],
    "line": [one.id for one in PROCEDURE.lines],
    "lines": [one.id for one in PROCEDURE.lines],
    "joint": [one.id for one in PROCEDURE.joints],
    "joints": [one.id for one in PROCEDURE.joints],
    "clamp": [one.id for one in PROCEDURE.clamps],
    "due": list(LEDGER.book.dues),
    "support": ["rotary", "plate"],
}


@st.composite
def actions(draw: Any) -> Action:
    """An action of any kind with fields that exist, or hardly ever with one that does not."""
    kind = ACTIONS[draw(st.sampled_from(sorted(ACTIONS)))]
    fields: dict[str, Any] = {}
    for name, field in kind.model_fields.items():
        if name == "do":
            continue
        if field.annotation is bool:
            fields[name] = draw(st.booleans())
        elif name in NAMES:
            one = st.sampled_from([*NAMES[name], "nobody"] if draw(st.integers(0, 9)) == 0
                                  else NAMES[name])  # fmt: skip
            many = get_origin(field.annotation) is tuple
            fields[name] = draw(st.lists(one, min_size=1, max_size=2)) if many else draw(one)
        elif "float" in str(field.annotation):
            low = 0.001 if name in ("least_n", "gap_m") else -20.0
            fields[name] = draw(st.floats(low, 50.0))
        elif str in (field.annotation, *get_args(field.annotation)):
            fields[name] = "x"
        else:
            fields[name] = draw(st.sampled_from(get_args(field.annotation)))
    made: Action = kind(**fields)  # type: ignore[assignment]
    return made


def must_be_sound(state: State) -> None:
    """Whatever was accepted: all is held, and loads add up."""
    found = loads(LEDGER.book, state)
    assert found.unheld == ()
    for number, weight_n in enumerate(found.weight_n):
        mine = [(low, high) for hold, low, high in found.holds
                if found.component.get(hold.on) == number]  # fmt: skip
        assert sum(low for low, _ in mine) <= weight_n + 1e-6
        assert sum(high for _, high in mine) >= weight_n - 1e-6
        assert all(0 <= low <= high <= weight_n + 1e-6 for low, high in mine)


@settings(max_examples=400, deadline=None)
@given(start=st.sampled_from(STATES), steps=st.lists(actions(), max_size=6))
def test_any_action_gives_a_state_or_a_fault(start: State, steps: list[Action]) -> None:
    state = start
    for action in steps:
        before = state_key(state)
        try:
            after = LEDGER.act(state, action)
        except Fault as fault:
            assert fault.rule in RULES
            assert fault.text
            assert state_key(state) == before, "states are never changed in place"
            continue
        assert state_key(state) == before
        must_be_sound(after)
        LEDGER.numbers(state, after)
        state = after


@settings(max_examples=60, deadline=None)
@given(start=st.sampled_from(STATES), picks=st.lists(st.integers(0, 99), max_size=8))
def test_wandering_among_the_candidates_stays_sound(start: State, picks: list[int]) -> None:
    state, hands = start, Hands(LEDGER)
    for pick in picks:
        moves = list(hands.moves(state))
        if not moves:
            return
        state = moves[pick % len(moves)][1]
        must_be_sound(state)
    candidates(LEDGER, state)


@settings(max_examples=40, deadline=None)
@given(place=st.integers(0, len(PROCEDURE.steps) - 1), action=actions())
def test_any_step_put_in_anywhere_is_judged_and_repaired(place: int, action: Action) -> None:
    steps = list(PROCEDURE.steps)
    steps[place] = steps[place].model_copy(update={"action": action})
    changed = PROCEDURE.model_copy(update={"steps": tuple(steps)})
    proof = prove(changed)
    found = repair(changed, proof, limit=3000)
    if found is not None and found.whole:
        assert prove(found.procedure).fault is None
