"""From a job to a case: what is rounded, locked, left out and missing, on the two invented jobs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement, islice
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import FT, IN, amend, job_1, job_2, with_row, with_section

from abreast.errors import MissingInputError
from abreast.model import (
    Accessory,
    Choice,
    InWell,
    Job,
    PremadeLift,
    Suspicion,
    base_top_m,
    bypass_leg_m,
    clamp_height_m,
    effective_length,
    free_body_ends_m,
    landing_window_m,
    neck_height_m,
    rack_item,
)
from abreast.spaceout.budget import reserve_m
from abreast.spaceout.build import BuiltCase, build_case
from abreast.spaceout.checker import violations
from abreast.spaceout.solve import Ground, Search, solve

JOBS = {"bottom-supported": job_1, "top-hung": job_2}
SAME_M = 1e-9  # sums of floats


def entry(built: BuiltCase, item_id: str) -> dict[str, Any]:
    return built.case.item(item_id).model_dump()


# --- figures by hand ----------------------------------------------------------------------


def test_figures_of_job_1_by_hand():
    """Invented scenario, feet; a tick is 0.1 mm, so a foot has 3,048 of them.

    Base top 3.10 - 0.90 = 2.20; gap 108.05 + 0.62 = 108.67; usable union the middle half of
    2.60 to 3.40; P10 10.01 less 0.24 of make-up; seat steps of half an inch up to 6 in.
    """
    built = build_case(job_1())
    case = built.case
    assert case.tick_mm == pytest.approx(0.1)
    assert case.base.height == round(2.20 * 3048)
    assert case.gap == round(108.67 * 3048)
    assert (case.union.min, case.union.max) == (math.ceil(2.8 * 3048), math.floor(3.2 * 3048))
    assert (case.union.target, case.union.bucket) == (9144, 254)
    assert (case.seat.min, case.seat.max, case.seat.step) == (0, 1524, 127)
    assert (case.base.box, case.union.pin) == ("SF", "SF")
    piece = entry(built, "P10")
    assert piece["effective"] == round((10.01 - 0.24) * 3048)
    assert piece["overall"] == math.ceil(10.01 * 3048)
    assert (piece["upset"], piece["coupling"]) == (math.ceil(0.30 * 3048), math.ceil(0.35 * 3048))
    assert (piece["pin"], piece["box"], piece["drift_ok"]) == ("SF", "SF", True)


def test_figures_of_job_2_by_hand():
    """Metres: guide 0.32, gap 27.55 + 0.16, Q27 corrected to 10.04 ft, stick-down 1 to 3."""
    built = build_case(job_2())
    case = built.case
    assert (case.base.height, case.gap) == (3200, 277100)
    assert (case.union.min, case.union.max, case.union.target) == (8000, 9200, 8600)
    assert (case.seat.min, case.seat.max, case.seat.step) == (10000, 30000, 100)
    assert entry(built, "Q27")["effective"] == round((10.04 * 0.3048 - 0.062) * 1e4)


@pytest.mark.parametrize("items", [0, 1, 6, 8])
def test_reserve_by_hand(items):
    """Three times the root of nine flanges of 0.06 in, n joints of 0.05 in and 0.25 in common;
    then half a tick for each piece and one for gap and base together, rounded up."""
    spread_in = math.sqrt(9 * 0.06**2 + items * 0.05**2 + 0.25**2)
    wanted = math.ceil(3 * spread_in * 25.4 / 0.1 + items / 2 + 1)
    assert build_case(job_1()).case.reserve[items] == wanted


def test_reserve_of_six_pieces_in_ticks():
    """0.3315 in, times three 25.26 mm: 252.6 ticks, and 4 for rounding."""
    assert build_case(job_1()).case.reserve[6] == 257


def test_windows_and_clamps_shrink_by_what_rounding_can_do():
    """Eight pieces at most: four ticks for them, one for base and plate."""
    case = build_case(job_1()).case
    low, high = 2.0 * 3048, 5.5 * 3048
    assert case.landings[0].window == (math.ceil(low) + 5, math.floor(high) - 5)
    assert case.clamps[0].half_length == math.ceil(0.35 * 3048)
    assert case.clamps[0].clearance == math.ceil(0.10 * 3048) + 5


# --- rounding is safe ---------------------------------------------------------------------


def faults(job: Job, choice: Choice) -> Iterator[str]:
    """Rules that a choice breaks when it is summed from unrounded lengths."""
    items = [rack_item(job, i) for i in choice.items]
    tops = [base_top_m(job) - choice.seat_m]
    for item in items:
        tops.append(tops[-1] + effective_length(job, item).si)
    low_m, high_m = job.union.window_m
    reserve = reserve_m(job, len(items))
    union_m = bypass_leg_m(job) - tops[-1]
    assert union_m == pytest.approx(choice.union_m, abs=SAME_M)
    if not low_m + reserve - SAME_M <= union_m <= high_m - reserve + SAME_M:
        yield f"union {union_m}"
    ends = [free_body_ends_m(job, item) for item in items]
    bodies = [
        (bottom + upset, top - coupling)
        for bottom, top, (upset, coupling) in zip(tops, tops[1:], ends, strict=False)
    ]
    for clamp in job.clamps:
        reach = clamp.length_m.si / 2 + clamp.clearance_m.or_else(job.rules.clamp_margin_m.si)
        at = clamp_height_m(job, clamp) + choice.clamp_shifts_m[clamp.id]
        if not any(a - SAME_M <= at - reach and at + reach <= b + SAME_M for a, b in bodies):
            yield f"clamp {clamp.id}"
    if not lifts_serve(job, choice, tops):
        yield "lifts"


def lifts_serve(job: Job, choice: Choice, tops: Sequence[float]) -> bool:
    """Whether some T_1 ... T_M are in their windows with every lift made up within reach."""
    sizes = [len(lift) for lift in choice.lifts or ()]
    ends = [tops[sum(sizes[:k])] for k in range(len(sizes) + 1)]
    windows = []
    for landing in job.landings:
        table, window = neck_height_m(job, landing.piece), landing_window_m(job, landing)
        windows.append((table + window[0] - SAME_M, table + window[1] + SAME_M))
    pre_m = job.rules.pre_run_height_m.known

    def may_start(end: int, hung: tuple[int, ...]) -> bool:
        stage = sum(top <= end for top in hung)
        if stage == 0:
            return end == 0 or (pre_m is not None and ends[end] <= pre_m + SAME_M)
        return windows[stage - 1][0] <= ends[end] <= windows[stage - 1][1]

    return windows[-1][0] <= ends[-1] <= windows[-1][1] and any(
        all(low <= ends[t] <= high for t, (low, high) in zip(hung, windows, strict=True))
        and all(may_start(end, hung) for end in range(len(ends) - 1))
        for hung in combinations_with_replacement(range(len(ends)), len(windows))
    )


def found_choices(job: Job, most: int) -> Iterator[Choice]:
    """Choices from the best to the worst, each with another top: many lie at some limit."""
    built = build_case(job)
    search = Search(Ground.of(built.case))
    for plan in islice(search.solutions(), most):
        yield built.choice(job, search.answer(*plan))


def strayed(job: Job, errors_m: Sequence[float], tick_m: float) -> Job:
    """The job with every measured length off by a little, solved on another grid."""
    rack = [
        amend(item, overall_m=item.overall_m.si + errors_m[k % len(errors_m)])
        for k, item in enumerate(job.rack)
        if item.overall_m.is_given
    ]
    esp = [
        amend(piece, length_m=piece.length_m.si + errors_m[-1 - k % len(errors_m)])
        for k, piece in enumerate(job.esp)
    ]
    rules = amend(job.rules, rounding_m=tick_m, reserve_factor_ratio=1.0)
    return job.model_copy(update={"rack": tuple(rack), "esp": tuple(esp), "rules": rules})


@pytest.mark.parametrize("name", JOBS)
@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.floats(-0.004, 0.004), min_size=7, max_size=13),
    st.sampled_from([0.0001, 0.0003, 0.001, 0.002, 0.003]),
)
def test_what_fits_the_rounded_case_fits_the_job(name, errors_m, tick_m):
    job = strayed(JOBS[name](), errors_m, tick_m)
    for choice in found_choices(job, 40):
        assert list(faults(job, choice)) == []


@pytest.mark.parametrize(
    ("step_m", "rounding_m", "ticks"),
    [(IN / 2, 0.001, 13), (IN / 8, 0.0001, 32), (IN / 100, 0.0001, 3), (IN / 2, 0.0001, 127)],
)
def test_every_seat_step_is_a_whole_number_of_ticks(step_m, rounding_m, ticks):
    """Rounded steps of a hundredth of an inch would put the last of 600 a foot and more off."""
    job = with_section(job_1(), "base", seat_step_m=step_m)
    built = build_case(with_section(job, "rules", rounding_m=rounding_m))
    assert built.case.seat.step == ticks
    assert built.tick_m <= rounding_m
    assert max(built.seats_m.values()) == pytest.approx(6 * IN)
    for tick, seat_m in built.seats_m.items():
        assert tick * built.tick_m == pytest.approx(seat_m, abs=SAME_M)
    assert built.case.reserve[6] == math.ceil(reserve_m(job, 6) / built.tick_m + 6 / 2 + 1)


def test_the_union_closes_as_near_as_the_proof_says():
    """A step of the seat of 0.254 mm: the union can be wanted to half of it."""
    job = with_section(job_1(), "base", seat_step_m=IN / 100)
    job = with_section(job, "rules", bucket_m=0.0003)
    built = build_case(job)
    answer = solve(built.case)
    choice = built.choice(job, answer)
    assert answer.objective is not None
    rounding_m = built.tick_m * (len(choice.items) / 2 + 1.5)
    assert choice.deviation_m == pytest.approx(answer.objective[3] * built.tick_m, abs=rounding_m)
    assert choice.deviation_m < 0.0003 + rounding_m


@given(st.floats(0.0001, 0.01), st.floats(20.0, 60.0))
@settings(max_examples=50, deadline=None)
def test_any_pre_run_height_can_be_used(tick_m, height_ft):
    """One above the first window says nothing new; it must not upset the case."""
    job = with_section(job_1(), "rules", rounding_m=tick_m, pre_run_height_m=height_ft * FT)
    built = build_case(job)
    lifts = built.case.lifts
    assert lifts is not None
    assert lifts.pre_run_height is not None
    assert lifts.pre_run_height * built.tick_m <= height_ft * FT + SAME_M


# --- what is in the well, made up, left out -----------------------------------------------


def test_what_is_in_the_well_is_locked():
    seat = amend(job_1().base, seat_locked_m=0.25 * FT)
    run = InWell(pieces=("B05", "P07"), landings_passed=2)
    case = build_case(job_1().model_copy(update={"base": seat, "in_well": run})).case
    assert (case.locked, case.landings_passed) == (("B05", "P07"), 2)
    assert case.seat.options() == (round(0.25 * 3048),)


def test_a_piece_in_the_well_stays_whatever_is_said_of_it_now():
    """B04 stopped its drift; P07 is under suspicion: both are run, and both are locked."""
    doubt = Suspicion(file="rack.csv", row=9, field="overall", piece="P07", text="off by one foot")
    run = InWell(pieces=("B04", "P07"))
    built = build_case(job_1().model_copy(update={"in_well": run, "suspicions": (doubt,)}))
    assert built.case.locked == ("B04", "P07")
    assert not {"B04", "P07"} & set(built.dropped)


def with_double(**more: Any) -> Job:
    double = PremadeLift(id="D1", pieces=("P08", "P10"), drift="passed", **more)
    return job_1().model_copy(update={"lifts": (double,)})


def test_a_lift_made_up_beforehand_is_one_piece():
    """P08 and P10: 11.83 + 9.77 effective, 12.07 + 10.01 - 0.24 overall; the clamp closes on
    the longer body, P08's, so P10 counts as coupling."""
    built = build_case(with_double())
    piece = entry(built, "D1")
    assert piece["effective"] == round((11.83 + 9.77) * 3048)
    assert piece["overall"] == pytest.approx((12.07 + 10.01 - 0.24) * 3048, abs=2)
    assert piece["upset"] == math.ceil(0.30 * 3048)
    assert piece["coupling"] == math.ceil((9.77 + 0.35) * 3048)
    assert (piece["kind"], piece["drift_ok"]) == ("pup", True)
    assert built.dropped["P08"] == built.dropped["P10"] == "made up in a lift"
    assert built.ids(("B05", "D1")) == ("B05", "P08", "P10")


def test_a_lift_made_up_beforehand_has_the_errors_of_its_pieces_unless_taped_whole():
    whole, parts = build_case(with_double(overall_m=21.84 * FT)), build_case(with_double())
    assert whole.case.reserve == build_case(job_1()).case.reserve
    assert parts.case.reserve[6] == math.ceil(reserve_m(job_1(), 7) * 1e4 + 6 / 2 + 1)
    assert entry(whole, "D1")["overall"] == math.ceil(21.84 * 3048)


def test_a_lift_with_a_piece_that_may_not_be_run_is_not_run():
    lost = with_row(with_double(), "rack", "P08", status="rejected", status_reason="galled")
    built = build_case(lost)
    assert "D1" not in built.pieces
    assert built.dropped["P08"] == "galled"


def test_a_lift_that_is_part_run_is_taken_apart():
    run = InWell(pieces=("B05", "P08"))
    built = build_case(with_double().model_copy(update={"in_well": run}))
    assert "D1" not in built.pieces
    assert built.pieces["P10"] == ("P10",)


def test_pieces_that_are_no_candidates_say_why():
    """Of the land job; one more is suspected, one not drifted, one too long."""
    doubt = Suspicion(file="rack.csv", row=2, field="overall", piece="B01", text="off by one foot")
    job = with_row(job_1(), "rack", "B02", drift="not done", drift_reason="no drift of that size")
    job = with_section(job, "hoisting", max_overall_m=31.5 * FT)
    built = build_case(job.model_copy(update={"suspicions": (doubt,)}))
    dropped = built.dropped
    assert dropped["B01"] == "a cell of its row is suspected"
    assert dropped["B02"] == "drift not done"
    assert dropped["B04"] == "drift stopped 14 ft in from the box"
    assert dropped["B07"] == "longer than can be handled"  # 31.61 ft
    assert dropped["P23"] == "kept for the tail"
    assert dropped["T01"] == "in the tail"
    assert "B03" not in dropped
    run = solve(built.case).items
    assert run
    assert not set(run) & set(dropped)


def test_a_suspected_piece_is_run_once_the_suspicion_is_settled():
    doubt = Suspicion(file="rack.csv", row=2, field="overall", piece="B05", text="off by one foot")
    assert "B05" not in build_case(job_1().model_copy(update={"suspicions": (doubt,)})).pieces
    assert "B05" in build_case(job_1()).pieces


def test_a_lift_is_never_longer_than_can_be_handled():
    job = with_section(job_1(), "rules", max_lift_length_m=None)
    lifts = build_case(job).case.lifts
    assert lifts is not None
    assert lifts.max_length == math.floor(42 * 3048)


def test_an_accessory_gets_its_window_and_its_profile():
    nipple = amend(
        rack_item(job_1(), "P12").model_copy(update={"id": "N1", "kind": "nipple"}),
        profile_m=1.0 * FT,
    )
    need = Accessory(id="upper", kind="nipple", window_low_m=90 * FT, window_high_m=104 * FT)
    rack = (*job_1().rack, nipple)
    built = build_case(job_1().model_copy(update={"rack": rack, "accessories": (need,)}))
    assert entry(built, "N1")["profile"] == 3048
    assert built.case.accessories[0].window == (math.ceil(90 * 3048) + 5, 104 * 3048 - 5)
    answer = solve(built.case)
    assert "N1" in answer.items
    top_m = built.choice(job_1().model_copy(update={"rack": rack}), answer)
    assert top_m.items.count("N1") == 1


# --- what is missing ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "row", "field", "needs"),
    [
        ("threads", "SF", "upset_m", "the upset and coupling lengths of B01"),
        ("threads", "SF", "coupling_m", "the upset and coupling lengths of B01"),
        ("esp", "motor", "length_m", "length of ESP piece motor"),
        ("esp", "pump-1", "neck_below_top_m", "neck below top of ESP piece pump-1"),
        ("clamps", "C3", "length_m", "length of twin clamp C3"),
    ],
)
def test_what_is_missing_is_named(table, row, field, needs):
    with pytest.raises(MissingInputError, match=needs) as caught:
        build_case(with_row(job_1(), table, row, **{field: None}))
    assert str(caught.value).startswith("not checked: needs")


def test_a_piece_that_is_not_measured_is_left_out():
    built = build_case(with_row(job_1(), "rack", "B01", overall_m=None))
    assert built.dropped["B01"] == "not measured"


# --- the closures of the trade figures ----------------------------------------------------

KNOWN = [
    (job_1, (("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10")), 0.25 * FT, 3.00 * FT),
    (job_2, (("K01",), ("Q07",), ("Q10",), ("Q02",), ("Q04",)), 1.65, 0.857),
]


@pytest.mark.parametrize(("job", "lifts", "seat_m", "union_m"), KNOWN)
def test_closure_by_hand_is_a_plan_of_the_case(job, lifts, seat_m, union_m):
    """Source: invented scenarios, worked by hand; six and five pieces, bucket 0."""
    built = build_case(job())
    seat = min(built.seats_m, key=lambda ticks: abs(built.seats_m[ticks] - seat_m))
    items = tuple(i for lift in lifts for i in lift)
    assert violations(built.case, items, seat, lifts) == []
    best = solve(built.case)
    assert best.objective is not None
    deviation = abs(union_m - job().union.wanted_m)
    assert (
        best.objective[:2]
        == (len(items), int(deviation / job().rules.bucket_m.si))
        == (
            len(items),
            0,
        )
    )


def test_the_union_is_summed_from_unrounded_lengths():
    """On a grid of 3 mm the case knows lengths to 1.5 mm; the choice says what they are."""
    job = with_section(job_1(), "rules", rounding_m=0.003)
    built = build_case(job)
    answer = solve(built.case)
    choice = built.choice(job, answer)
    pipe_m = sum(rack_item(job, i).overall_m.si - 0.24 * FT for i in choice.items)
    assert choice.union_m == pytest.approx((108.67 - 2.20) * FT + choice.seat_m - pipe_m)
    assert choice.deviation_m == pytest.approx(abs(choice.union_m - 3.00 * FT))
    assert choice.union_m != answer.union * built.tick_m
