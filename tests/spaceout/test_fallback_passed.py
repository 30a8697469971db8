"""Fall-backs of a plan that is made half-way, with landings behind it."""

from __future__ import annotations

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import InWell
from abreast.spaceout.build import BuiltCase, build_case
from abreast.spaceout.case import Answer
from abreast.spaceout.checker import violations
from abreast.spaceout.choose import choose
from abreast.spaceout.fallback import fall_backs, state_without
from abreast.spaceout.solve import solve


@pytest.fixture(scope="module")
def half_way() -> tuple[BuiltCase, Answer]:
    """The land job with B05 and P07 in the well, its second landing behind it."""
    job = read_job(example_path("quernstone_14")).require_job()
    run = InWell(pieces=("B05", "P07"), landings_passed=2)
    built = build_case(job.model_copy(update={"in_well": run}))
    return built, solve(built.case)


def test_a_twin_of_the_last_piece_takes_its_place(half_way: tuple[BuiltCase, Answer]) -> None:
    """The rack holds four pups of 20 ft within 0.13 ft: any may go for any."""
    built, answer = half_way
    found = fall_backs(built.case, answer)
    assert set(found) == set(answer.items[2:])
    for rejected, one in found.items():
        assert one.replaceable, rejected
        state = state_without(built.case, answer, rejected)
        for plan in (one.nearest, one.best):
            assert plan.seat is not None
            assert violations(state, plan.items, plan.seat, plan.lifts) == []
            assert rejected not in plan.items


def test_landings_that_the_run_pieces_have_met_are_behind_us(
    half_way: tuple[BuiltCase, Answer],
) -> None:
    built, answer = half_way
    lifts = answer.lifts
    assert lifts is not None
    first, last = (state_without(built.case, answer, lift[0]) for lift in (lifts[0], lifts[-1]))
    assert first.landings_passed == 2
    assert last.landings_passed == 3
    assert last.locked == answer.items[: answer.items.index(lifts[-1][0])]


def test_nothing_is_called_irreplaceable_that_has_a_twin_on_the_rack() -> None:
    job = read_job(example_path("quernstone_14")).require_job()
    run = InWell(pieces=("B05", "P07"), landings_passed=2)
    found = choose(job.model_copy(update={"in_well": run}))
    assert found.choice is not None
    assert found.irreplaceable == ()


def test_without_a_landing_behind_it_a_case_stays_as_it_was() -> None:
    job = read_job(example_path("quernstone_14")).require_job()
    case = build_case(job).case
    answer = solve(case)
    state = state_without(case, answer, answer.items[-1])
    assert not state.landings_passed
