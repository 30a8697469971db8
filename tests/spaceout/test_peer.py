"""The CP-SAT peer against plain enumeration, and against planted plans of full size."""

from __future__ import annotations

import pytest
from benchmarks.spaceout.generate import generate
from benchmarks.spaceout.peer import solve_peer
from benchmarks.spaceout.tiny import generate_tiny
from tests.spaceout.brute import brute_force

from abreast.spaceout.case import parse_case
from abreast.spaceout.checker import check_answer


@pytest.mark.parametrize("first", range(0, 400, 40))
def test_peer_finds_what_enumeration_finds(first):
    for seed in range(first, first + 40):
        case = parse_case(generate_tiny(seed))
        answer = solve_peer(case, limit_s=60)
        assert (seed, answer.objective) == (seed, brute_force(case))
        assert answer.status == ("optimal" if answer.objective else "infeasible")
        assert check_answer(case, answer) == []


@pytest.mark.parametrize("flavour", ["plain", "lifts-mixed", "locked"])
def test_peer_is_never_worse_than_the_planted_plan(flavour):
    data = generate(5, 20, flavour)
    case = parse_case(data)
    answer = solve_peer(case, limit_s=60)
    assert answer.status == "optimal"
    assert answer.objective is not None
    assert answer.objective[0] <= len(data["planted"]["items"])
    assert check_answer(case, answer) == []


def test_peer_stopped_at_once_claims_nothing():
    case = parse_case(generate(0, 127, "narrow"))
    answer = solve_peer(case, limit_s=0.0)
    assert answer.status == "stopped"
    assert not answer.proved
    assert check_answer(case, answer) == []
