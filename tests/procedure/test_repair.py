"""Repairs: what was forgotten is added, what came too late is moved, and the result is proved."""

from __future__ import annotations

import pytest
from tests.procedure.example import example_text
from tests.procedure.hand_made import hand_made

from abreast.errors import InputError
from abreast.model.floor_actions import Fit, FitSafetyClamp
from abreast.model.procedure import Procedure, StartState, Step
from abreast.procedure.mutants import mutants
from abreast.procedure.prove import prove
from abreast.procedure.read import read_procedure
from abreast.procedure.repair import Repair, repair, repairs


def example() -> Procedure:
    return read_procedure(example_text())


def with_steps(procedure: Procedure, steps: list[Step]) -> Procedure:
    return procedure.model_copy(update={"steps": tuple(steps)})


def without(procedure: Procedure, *numbers: int) -> Procedure:
    return with_steps(procedure, [s for n, s in enumerate(procedure.steps) if n not in numbers])


def repaired(procedure: Procedure) -> Repair | None:
    return repair(procedure, prove(procedure))


@pytest.mark.parametrize("number", range(27))
def test_any_forgotten_step_of_the_example_is_made_good(number: int) -> None:
    short = without(example(), number)
    proof = prove(short)
    assert proof.fault is not None
    found = repair(short, proof)
    assert found is not None
    assert found.whole
    assert found.kind == "add"
    assert prove(found.procedure).fault is None
    assert len(found.procedure.steps) == 27
    assert {one.id for one in short.steps} < {one.id for one in found.procedure.steps}


def test_every_forgotten_step_of_a_twin_run_is_made_good() -> None:
    """By one repair, or a second one where the first calls for it: cover on, cover off."""
    procedure = hand_made()
    for number, step in enumerate(procedure.steps):
        short = without(procedure, number)
        proof = prove(short)
        if proof.fault is None:
            continue
        found = repairs(short, proof, most=2)
        assert found, step.id
        assert found[-1].whole, step.id
        assert prove(found[-1].procedure).fault is None


def test_the_words_name_what_is_missing_and_where() -> None:
    found = repaired(without(example(), 4))
    assert found is not None
    text = "Before step 7: Fit safety clamp SC on tail joint T01, 150 mm above the slips."
    assert found.text == text
    new = next(one for one in found.procedure.steps if one.id == "7+1")
    assert new.action == FitSafetyClamp(holder="SC", on="T01", gap_m=0.75 * 0.2)


def test_a_step_that_comes_too_late_is_moved() -> None:
    steps = list(example().steps)
    steps[11], steps[12] = steps[12], steps[11]  # made up before the hole is covered
    found = repaired(with_steps(example(), steps))
    assert found is not None
    assert (found.kind, found.whole, found.text) == ("move", True, "Do step 12 before step 13.")
    assert found.procedure == example()


def test_a_step_too_many_is_left_out() -> None:
    steps = list(example().steps)
    steps.insert(9, Step(id="twice", action=Fit(holder="LS", on="T02")))
    found = repaired(with_steps(example(), steps))
    assert found is not None
    assert found.kind == "leave out"
    assert prove(found.procedure).fault is None


def test_two_that_are_missing_side_by_side_are_both_added() -> None:
    found = repaired(without(example(), 7, 8))
    assert found is not None
    assert found.whole
    assert found.text.startswith("Before step 10: Screw lifting sub LS out of tail joint T01")
    assert "Then: Screw lifting sub LS into the top of tail joint T02" in found.text


def test_a_start_that_cannot_be_is_not_repaired() -> None:
    start = StartState(in_hole=("T01",), line="BLOCK", holder="SC", on="T01")
    wrong = example().model_copy(update={"start": start})
    proof = prove(wrong)
    assert proof.fault is not None
    assert proof.fault.step == "start"
    assert repair(wrong, proof) is None
    with pytest.raises(InputError, match="the start is refused"):
        mutants(wrong)


def test_one_repair_after_another() -> None:
    short = without(example(), 3, 4, 18)  # slips, safety clamp, drift
    found = repairs(short, prove(short))
    assert [one.whole for one in found] == [False, False, True]
    assert found[0].next_fault == "7"
    assert prove(found[-1].procedure).fault is None


def test_a_proved_procedure_needs_none() -> None:
    assert repaired(example()) is None
    assert repairs(example(), prove(example())) == ()


def test_a_limit_ends_the_work() -> None:
    short = without(example(), 1)
    assert repair(short, prove(short), limit=1) is None
