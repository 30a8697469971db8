"""Mutants of a proved procedure, each held against a proof of the whole changed procedure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
from tests.procedure.example import example_text
from tests.procedure.hand_made import hand_made

from abreast.errors import InputError
from abreast.mechanics.ledger import Hold, Ledger
from abreast.model.floor_actions import Remark
from abreast.model.procedure import Procedure, Step
from abreast.procedure.mutants import Mutant, mutants
from abreast.procedure.prove import prove
from abreast.procedure.read import read_procedure
from abreast.procedure.same import same_state, state_key


def example() -> Procedure:
    return read_procedure(example_text())


def changed(procedure: Procedure, one: Mutant) -> Procedure:
    """The mutant as a whole procedure, made from its own words only."""
    steps = list(procedure.steps)
    at = next(n for n, step in enumerate(steps) if step.id == one.step)
    taken = steps.pop(at)
    if one.kind != "drop":
        to = next(n for n, step in enumerate(steps) if step.id == one.before)
        steps.insert(to, taken)
    return procedure.model_copy(update={"steps": tuple(steps)})


@pytest.mark.parametrize("made", [example, hand_made])
def test_every_class_agrees_with_a_proof_of_the_whole_mutant(
    made: Callable[[], Procedure],
) -> None:
    procedure = made()
    end = prove(procedure).steps[-1].after
    for one in mutants(procedure):
        proof = prove(changed(procedure, one))
        assert (one.result == "refused") == (proof.fault is not None), one.sentence
        if proof.fault is not None:
            assert one.rule == proof.fault.rule
            assert proof.fault.step in (one.at, "end")
            assert proof.fault.text in one.sentence or proof.fault.step == "end"
        else:
            same = same_state(proof.steps[-1].after, end)
            assert same == (one.result != "unexplained"), one.sentence


def test_each_step_is_dropped_and_swapped_and_openings_come_early() -> None:
    procedure = hand_made()
    found = mutants(procedure)
    count = len(procedure.steps)
    kinds = Counter(one.kind for one in found)
    assert (kinds["drop"], kinds["swap"]) == (count, count - 1)
    pulled = next(s.id for s in procedure.steps if s.action.do == "pull_slips")
    assert sum(one.step == pulled and one.kind == "early" for one in found) == 5
    assert len({(one.kind, one.step, one.before) for one in found}) == len(found)


def test_no_opening_a_step_too_early_is_accepted_without_a_reason() -> None:
    """Of a run made by hand: what lets go early is refused or comes to the same state."""
    for one in mutants(hand_made()):
        if one.kind == "early":
            assert one.result in ("refused", "commutes"), one.sentence


def test_a_step_that_changes_nothing_is_told() -> None:
    procedure = example()
    remark = Step(id="say", action=Remark(text="Toolbox talk."))
    procedure = procedure.model_copy(update={"steps": (remark, *procedure.steps)})
    dropped = next(one for one in mutants(procedure) if one.step == "say" and one.kind == "drop")
    assert dropped.result == "no effect"
    assert dropped.sentence == "without step say: the step changes nothing that a rule looks at"


def test_a_refused_procedure_has_no_mutants() -> None:
    procedure = example()
    short = procedure.model_copy(update={"steps": procedure.steps[1:]})
    with pytest.raises(InputError, match=r"step 2 is refused .* prove the procedure first"):
        mutants(short)


def test_progress_is_told() -> None:
    told: list[str] = []
    mutants(example(), told.append)
    assert told[0] == "mutants: step 1 of 27"


def test_states_are_the_same_whatever_the_order_of_holds() -> None:
    state = Ledger(example()).start
    holds = (Hold("A", "T01", 1.0), Hold("B", "T02", 2.0, "rotary", True))
    one, other = replace(state, holds=holds), replace(state, holds=holds[::-1])
    assert same_state(one, other)
    assert state_key(one) == state_key(other)
    slack = replace(state, holds=(holds[0], replace(holds[1], taut=False)))
    assert not same_state(one, slack)
    assert not same_state(one, replace(one, covered=True))
    moved = replace(one, offsets={"T01": 1.0})
    assert same_state(moved, replace(one, offsets={"T01": 1.0 + 1e-12}))
    assert not same_state(moved, replace(one, offsets={"T01": 1.001}))
