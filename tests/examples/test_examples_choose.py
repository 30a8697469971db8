"""Both bundled jobs have a proved space-out, and the closure worked by hand is one of them."""

from __future__ import annotations

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import Job
from abreast.spaceout.build import build_case
from abreast.spaceout.checker import violations
from abreast.spaceout.choose import choose

KNOWN = {
    "quernstone_14": ((("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10")), 0.25 * 0.3048),
    "skerrow_a09": ((("K01",), ("Q07",), ("Q10",), ("Q02",), ("Q04",)), 1.65),
}


def job(name: str) -> Job:
    return read_job(example_path(name)).require_job()


@pytest.mark.parametrize("name", KNOWN)
def test_known_closure_breaks_no_rule_of_the_case(name: str) -> None:
    lifts, seat_m = KNOWN[name]
    built = build_case(job(name))
    seat = next(key for key, value in built.seats_m.items() if abs(value - seat_m) < 1e-6)
    ids = tuple(piece for lift in lifts for piece in lift)
    assert violations(built.case, ids, seat, lifts) == []


@pytest.mark.parametrize("name", KNOWN)
def test_job_is_solved_with_proof_and_no_more_pieces_than_by_hand(name: str) -> None:
    lifts, _ = KNOWN[name]
    found = choose(job(name))
    assert found.proved
    assert found.choice is not None
    assert len(found.choice.items) == sum(len(lift) for lift in lifts)
    assert found.choice.bucket == 0
    assert not found.irreplaceable
    assert {one.rejected for one in found.fall_backs} == set(found.choice.items)
    assert all(one.choice is not None for one in found.fall_backs)


def test_the_closure_by_hand_needs_its_double() -> None:
    """With single pieces only, its two upper pups can't go up in reach of hands."""
    lifts, seat_m = KNOWN["quernstone_14"]
    one = job("quernstone_14")
    singles = one.model_copy(update={"rules": one.rules.model_copy(update={"max_lift_pieces": 1})})
    built = build_case(singles)
    seat = next(key for key, value in built.seats_m.items() if abs(value - seat_m) < 1e-6)
    ids = tuple(piece for lift in lifts for piece in lift)
    assert violations(built.case, ids, seat)


@pytest.mark.parametrize(
    ("name", "never"),
    [("quernstone_14", ("B04", "P23")), ("skerrow_a09", ("K07", "Q28", "Q29"))],
)
def test_pieces_that_may_not_be_run_are_said_to_be_left_out(
    name: str, never: tuple[str, ...]
) -> None:
    found = choose(job(name))
    plans = [one for one in (found.choice, *found.runners_up) if one is not None]
    plans += [one.choice for one in found.fall_backs if one.choice is not None]
    assert not {piece for plan in plans for piece in plan.items} & set(never)
    assert set(never) <= set(found.dropped)
