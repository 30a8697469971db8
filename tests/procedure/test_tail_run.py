"""The invented runs of the benchmark: long procedures that are proved."""

from __future__ import annotations

import pytest
from benchmarks.bench_prove import tail_run

from abreast.procedure.mutants import mutants
from abreast.procedure.prove import prove
from abreast.procedure.read import procedure_text, read_procedure


@pytest.mark.parametrize("steps", [60, 200])
def test_a_tail_of_many_joints_is_proved(steps: int) -> None:
    procedure = tail_run(steps)
    assert abs(len(procedure.steps) - steps) < 20
    proof = prove(procedure)
    assert (proof.outcome, proof.fault) == ("proved", None)
    # 66 kg a joint, all in the slips at the end: 9.80665 m/s2, CGPM 1901
    held = [one for one in proof.steps[-1].numbers.holds if one.taut]
    weight_n = 66.0 * 9.80665 * len(procedure.pieces)
    assert [one.holder for one in held] == ["SL"]
    assert held[0].low_n == held[0].high_n == pytest.approx(weight_n)
    assert read_procedure(procedure_text(procedure)) == procedure


def test_no_mutant_of_a_tail_is_accepted_without_a_reason() -> None:
    found = mutants(tail_run(60))
    assert [one.sentence for one in found if one.result == "unexplained"] == []
    assert sum(one.result == "refused" for one in found) > len(found) / 2
