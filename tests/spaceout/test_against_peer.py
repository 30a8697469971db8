"""The search against CP-SAT, a general-purpose solver, on racks of 10 to 40 pieces."""

from __future__ import annotations

import pytest
from benchmarks.spaceout.generate import FLAVOURS, generate
from benchmarks.spaceout.peer import solve_peer

from abreast.spaceout.case import parse_case
from abreast.spaceout.checker import check_answer
from abreast.spaceout.solve import solve

SIZES = (10, 20, 40)
# Long plans keep the peer busy for minutes from 20 pieces on.
CASES = [
    (flavour, 10 if "long" in flavour else SIZES[(k + turn) % 3], 500 + turn)
    for turn in range(2)
    for k, flavour in enumerate(FLAVOURS)
]


@pytest.mark.parametrize(("flavour", "size", "seed"), CASES)
def test_both_prove_the_same(flavour: str, size: int, seed: int) -> None:
    case = parse_case(generate(seed, size, flavour))
    ours, peer = solve(case), solve_peer(case, limit_s=120)
    assert peer.proved, "the peer has to prove its answer for this to be a test"
    assert (ours.status, ours.objective) == (peer.status, peer.objective)
    assert ours.proved
    assert check_answer(case, ours) == []
    assert check_answer(case, peer) == []
