"""The space-out of whole jobs: proved, checked, robust, and the same half-way through a run."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

import pytest
from tests.checks.twins import FT, IN, amend, choice_1, job_1, job_2, with_row, with_section

from abreast.errors import MissingInputError
from abreast.model import Choice, InWell, Job, PremadeLift, bypass_leg_m
from abreast.spaceout.build import BuiltCase, build_case
from abreast.spaceout.checker import check_answer, violations
from abreast.spaceout.choose import SpaceOut, choose
from abreast.spaceout.fallback import fall_backs, state_without
from abreast.spaceout.solve import solve

JOBS = {"bottom-supported": job_1, "top-hung": job_2}
TAIL_1 = ("P24", "T01", "T02", "T03", "T05", "P25")


@cache
def chosen(name: str) -> SpaceOut:
    return choose(JOBS[name]())


def seat_of(built: BuiltCase, choice: Choice) -> int:
    """The step of the seat that the choice stands on."""
    return min(built.seats_m, key=lambda ticks: abs(built.seats_m[ticks] - choice.seat_m))


def objective(built: BuiltCase, choice: Choice) -> tuple[int, int, int, int]:
    """The four figures of a choice, from the ticks of its case."""
    case = built.case
    items = [case.item(i) for i in choice.items]
    top = case.base.height - seat_of(built, choice) + sum(i.effective for i in items)
    deviation = abs(case.gap - top - case.union.target)
    pups = sum(item.kind == "pup" for item in items)
    return len(items), deviation // case.union.bucket, pups, deviation


def below(choice: Choice, rejected: str) -> tuple[str, ...]:
    """What is in the well when a piece is found bad: all below its lift."""
    assert choice.lifts is not None
    lift = next(lift for lift in choice.lifts if rejected in lift)
    return choice.items[: choice.items.index(lift[0])]


def with_rack(job: Job, ids: Sequence[str]) -> Job:
    return job.model_copy(update={"rack": tuple(i for i in job.rack if i.id in ids)})


def half_way(job: Job, choice: Choice, lifts: int) -> Job:
    """The job with the first lifts of a choice in the well, as many landings behind, seat set."""
    assert choice.lifts is not None
    run = tuple(i for lift in choice.lifts[:lifts] for i in lift)
    base = amend(job.base, seat_locked_m=choice.seat_m)
    well = InWell(pieces=run, landings_passed=lifts)
    return job.model_copy(update={"base": base, "in_well": well})


# --- both jobs ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", JOBS)
def test_choice_is_proved_and_keeps_every_rule(name: str) -> None:
    found, built = chosen(name), build_case(JOBS[name]())
    assert (found.status, found.proved) == ("optimal", True)
    assert found.choice is not None
    seat = seat_of(built, found.choice)
    assert violations(built.case, found.choice.items, seat, found.choice.lifts) == []
    best = solve(built.case)
    assert check_answer(built.case, best) == []
    assert best.objective is not None
    assert objective(built, found.choice)[:3] == best.objective[:3]
    assert (found.choice.bucket, found.choice.pups) == best.objective[1:3]


@pytest.mark.parametrize("name", JOBS)
def test_runners_up_are_other_pieces_and_none_is_better(name: str) -> None:
    found, built = chosen(name), build_case(JOBS[name]())
    assert found.choice is not None
    assert len(found.runners_up) == 3
    figures = [objective(built, one) for one in found.runners_up]
    assert figures == sorted(figures)
    assert objective(built, found.choice)[:3] <= figures[0][:3]
    sets = {frozenset(one.items) for one in (found.choice, *found.runners_up)}
    assert len(sets) == 4
    for one in found.runners_up:
        assert violations(built.case, one.items, seat_of(built, one), one.lifts) == []


@pytest.mark.parametrize("name", JOBS)
def test_every_fall_back_keeps_what_is_run_and_every_rule(name: str) -> None:
    found, case = chosen(name), build_case(JOBS[name]()).case
    built = build_case(JOBS[name]())
    assert found.choice is not None
    assert [one.rejected for one in found.fall_backs] == list(found.choice.items)
    for loss in found.fall_backs:
        run = below(found.choice, loss.rejected)
        state = case.model_copy(update={"locked": run, "excluded": (loss.rejected,)})
        for one in (loss.choice, loss.best):
            if one is None:
                assert one is not loss.choice
                continue
            assert loss.rejected not in one.items
            assert one.items[: len(run)] == run
            assert one.lifts is not None
            assert tuple(i for lift in one.lifts for i in lift) == one.items
            free = [lift for lift in one.lifts if lift[0] not in run]
            assert violations(state, one.items, seat_of(built, one), free) == []


# --- the closure of the trade figures -----------------------------------------------------


def test_ours_is_at_least_as_good_as_the_closure_by_hand() -> None:
    """Source: invented scenario, B05 P07 P01 P04 P08+P10 on a seat of 0.25 ft, exactly mid-stroke.

    Ours is B05 P07 P02 P22+P03 P01, mid-stroke too, with as many pieces and pups. The two are
    equal in every figure of the objective and in robustness: every piece of either can be
    replaced. Then the seat nearest its planned height, then the ids decide between such plans.
    """
    found, built = chosen("bottom-supported"), build_case(job_1())
    assert found.choice is not None
    by_hand = choice_1()
    assert violations(built.case, by_hand.items, seat_of(built, by_hand), by_hand.lifts) == []
    assert objective(built, by_hand)[:3] == (6, 0, 5)
    assert objective(built, found.choice) <= objective(built, by_hand)
    assert found.choice.items == ("B05", "P07", "P02", "P22", "P03", "P01")
    assert found.choice.union_m == pytest.approx(3.00 * FT, abs=1e-4)
    assert found.irreplaceable == found.choice.irreplaceable == ()


# --- robustness ---------------------------------------------------------------------------

# The pieces of the closure by hand and eight others, picked at random.
LEAN = {
    "one can be saved": ("B03", "B06", "B07", "P05", "P14", "P15", "P17", "P18"),
    "none is lost": ("B06", "B07", "B08", "P03", "P14", "P17", "P19", "P21"),
}


@pytest.mark.parametrize("name", LEAN)
def test_a_plan_whose_pieces_can_be_replaced_is_worth_more_than_a_deviation(name: str) -> None:
    """Pieces, bucket and pups stay as proved; the count of pieces that can't be lost goes down."""
    job = with_rack(job_1(), (*choice_1().items, *LEAN[name], *TAIL_1))
    built = build_case(job)
    nearest, found = solve(built.case), choose(job)
    assert nearest.objective is not None
    assert found.choice is not None
    assert objective(built, found.choice)[:3] == nearest.objective[:3]
    lost = [i for i, loss in fall_backs(built.case, nearest).items() if not loss.replaceable]
    assert len(found.irreplaceable) < len(lost)


def test_irreplaceable_pieces_are_those_without_which_nothing_closes() -> None:
    """With the six pieces of the closure and two joints on the rack only the joint has a spare."""
    job = with_rack(job_1(), (*choice_1().items, "B03", "B08", *TAIL_1))
    built, found = build_case(job), choose(job)
    assert found.choice is not None
    alone = []
    for item in found.choice.items:
        run = below(found.choice, item)
        state = built.case.model_copy(update={"locked": run, "excluded": (item,)})
        if solve(state).status == "infeasible":
            alone.append(item)
    assert list(found.irreplaceable) == alone
    assert 0 < len(alone) < len(found.choice.items)
    without = [one.rejected for one in found.fall_backs if one.choice is None]
    assert without == alone
    assert f"{len(alone)} of its pieces can't be lost" in found.proof


# --- half-way -----------------------------------------------------------------------------


@pytest.mark.parametrize("lifts", [1, 2, 3])
def test_half_way_with_a_piece_rejected_the_rest_is_solved_anew(lifts: int) -> None:
    """The next piece of the plan galls: what is in the well stays, and so does the seat."""
    plan = chosen("bottom-supported").choice
    assert plan is not None
    assert plan.lifts is not None
    bad = plan.lifts[lifts][0]
    job = with_row(half_way(job_1(), plan, lifts), "rack", bad, status="rejected")
    job = with_row(job, "rack", bad, status_reason="pin galled")
    found, built = choose(job), build_case(job)
    assert found.proved
    assert found.choice is not None
    run = tuple(i for lift in plan.lifts[:lifts] for i in lift)
    assert found.choice.items[: len(run)] == run
    assert bad not in found.choice.items
    assert found.dropped[bad] == "pin galled"
    assert found.choice.seat_m == plan.seat_m
    seat = seat_of(built, found.choice)
    assert violations(built.case, found.choice.items, seat, found.choice.lifts) == []
    assert found.irreplaceable == ()


def test_half_way_without_a_loss_nothing_gets_worse() -> None:
    plan, built = chosen("bottom-supported").choice, build_case(job_1())
    assert plan is not None
    for lifts in (1, 3, 5):
        found = choose(half_way(job_1(), plan, lifts))
        assert found.choice is not None
        assert objective(built, found.choice)[:3] == objective(built, plan)[:3]


def test_fall_backs_half_way_count_the_landings_that_are_met() -> None:
    """Two landings behind; each loss further up has its state, and its answers keep it."""
    plan = chosen("bottom-supported").choice
    assert plan is not None
    case = build_case(half_way(job_1(), plan, 2)).case
    answer = solve(case)
    for rejected, loss in fall_backs(case, answer).items():
        state = state_without(case, answer, rejected)
        assert loss.replaceable
        assert check_answer(state, loss.nearest) == check_answer(state, loss.best) == []


# --- the ESP side changes -----------------------------------------------------------------


def test_a_piece_measured_anew_moves_the_gap() -> None:
    """Pump 2 is 0.05 ft longer by tape: the gap grows by 152 ticks, and the rest is solved anew."""
    before = build_case(job_1()).case
    job = with_row(job_1(), "esp", "pump-2", remeasured_m=21.51 * FT)
    assert bypass_leg_m(job) - bypass_leg_m(job_1()) == pytest.approx(0.05 * FT)
    built, found = build_case(job), choose(job)
    assert built.case.gap - before.gap == pytest.approx(0.05 * 3048, abs=1)
    assert built.case.landings[2].table == before.landings[2].table
    assert built.case.landings[4].table - before.landings[4].table == pytest.approx(152, abs=1)
    assert found.proved
    assert found.choice is not None
    seat = seat_of(built, found.choice)
    assert violations(built.case, found.choice.items, seat, found.choice.lifts) == []
    # The former plan would leave the union 0.05 ft longer.
    by_hand = choice_1()
    assert objective(built, by_hand)[3] == pytest.approx(152, abs=1)
    assert objective(built, found.choice) <= objective(built, by_hand)


def test_a_spare_in_place_of_a_pump_is_solved_anew() -> None:
    """The spare is 0.03 ft longer than the pump it stands in for."""
    pump = next(piece for piece in job_1().esp if piece.id == "pump-2")
    spare = next(piece for piece in job_1().esp if piece.id == "pump-2S")
    taken = spare.model_copy(update={"spare_of": ""})
    laid_aside = pump.model_copy(update={"spare_of": "pump-2S"})
    esp = tuple({"pump-2": taken, "pump-2S": laid_aside}.get(p.id, p) for p in job_1().esp)
    landings = tuple(
        one.model_copy(update={"piece": "pump-2S"}) if one.piece == "pump-2" else one
        for one in job_1().landings
    )
    clamps = tuple(
        one.model_copy(update={"piece": "pump-2S"}) if one.piece == "pump-2" else one
        for one in job_1().clamps
    )
    job = job_1().model_copy(update={"esp": esp, "landings": landings, "clamps": clamps})
    assert bypass_leg_m(job) - bypass_leg_m(job_1()) == pytest.approx(0.03 * FT)
    found, built = choose(job), build_case(job)
    assert found.proved
    assert found.choice is not None
    seat = seat_of(built, found.choice)
    assert violations(built.case, found.choice.items, seat, found.choice.lifts) == []


# --- nothing closes, no time, something is missing ----------------------------------------


def test_when_nothing_closes_it_says_what_is_in_the_way_and_what_would_help() -> None:
    """The pieces of the closure by hand but for its two pups of 12 ft."""
    ids = set(choice_1().items) - {"P07", "P08"}
    job = with_rack(job_1(), (*ids, *TAIL_1))
    found = choose(job)
    assert (found.status, found.proved, found.choice) == ("infeasible", True, None)
    assert found.proof.startswith("Proved: no choice and order")
    assert found.blocking
    assert found.fall_backs == found.runners_up == ()


def test_a_cure_of_a_job_is_a_cure() -> None:
    """With the seat at its highest the closure by hand leaves 3.25 ft; 3.20 and the reserve are
    asked for. The lower limit, moved out as told, lets it close; a tick less does not."""
    short = with_rack(job_1(), (*choice_1().items, *TAIL_1))
    short = with_section(short, "rules", max_items=6)
    job = with_section(short, "union", usable_low_m=3.20 * FT, usable_high_m=3.40 * FT)
    found, built = choose(job), build_case(job)
    assert found.status == "infeasible"
    ticks = built.case.union.min + built.case.reserve[6] - round(3.25 * 3048)
    told = f"usable stroke of the union: lower limit out by {ticks * built.tick_m / IN:.3f} in"
    assert told in found.cures
    for moved, closes in ((ticks, True), (ticks - 1, False)):
        low_m = 3.20 * FT - moved * built.tick_m
        wider = build_case(with_section(job, "union", usable_low_m=low_m))
        assert (solve(wider.case).status == "optimal") is closes


def test_a_union_is_not_told_to_be_shorter_than_it_is() -> None:
    """The closure by hand leaves 3.00 ft at 3 in of seat; this union is 3.30 ft fully closed."""
    short = with_rack(job_1(), (*choice_1().items, *TAIL_1))
    job = with_section(short, "union", closed_m=3.30 * FT, open_m=4.10 * FT)
    (told,) = (one for one in choose(job).cures if one.startswith("usable stroke"))
    assert told.endswith("; NOT WITH THIS UNION (closed 3.30 ft)")


def test_more_pieces_are_proposed_when_their_number_is_in_the_way() -> None:
    found = choose(with_section(job_1(), "rules", max_items=4))
    assert "max_items" in found.blocking
    assert any(one.startswith("greatest number of pieces: 6 instead of 4") for one in found.cures)
    assert not any("stock as a whole" in one for one in found.blocking)


def test_stopped_before_the_proof_nothing_is_claimed() -> None:
    found = choose(job_1(), limit_s=0.0)
    assert (found.status, found.proved) == ("stopped", False)
    assert found.proof.startswith("Stopped before")
    assert found.irreplaceable == found.fall_backs == ()


def test_what_is_missing_is_named_and_nothing_is_chosen() -> None:
    with pytest.raises(MissingInputError, match="upset and coupling lengths"):
        choose(with_row(job_1(), "threads", "SF", upset_m=None))


def test_progress_is_told() -> None:
    told: list[str] = []
    choose(job_2(), progress=told.append)
    assert any(word.endswith("items") for word in told)
    assert any(word.startswith("without ") for word in told)


def test_choice_of_a_lift_made_up_beforehand_names_its_pieces() -> None:
    """P22 and P03, which the plan takes up as one anyway, stand made up on the rack."""
    double = PremadeLift(id="D1", pieces=("P22", "P03"), drift="passed")
    rack = ("B03", "B05", "P01", "P02", "P03", "P07", "P08", "P22", *TAIL_1)
    found = choose(with_rack(job_1(), rack).model_copy(update={"lifts": (double,)}))
    assert found.choice is not None
    assert found.choice.lifts is not None
    assert ("P22", "P03") in found.choice.lifts
    assert found.choice.items.index("P03") == found.choice.items.index("P22") + 1
    assert "P22 + P03" in {one.rejected for one in found.fall_backs}


def facts(found: SpaceOut) -> dict[str, Any]:
    return {name: value for name, value in vars(found).items() if name != "elapsed_s"}


@pytest.mark.parametrize("name", JOBS)
def test_twice_in_a_row_and_with_the_rack_turned_round_is_the_same(name: str) -> None:
    job = JOBS[name]()
    turned = job.model_copy(update={"rack": job.rack[::-1]})
    again, other = choose(job), choose(turned)
    assert facts(again) == facts(chosen(name))
    assert facts(other) == facts(chosen(name))
