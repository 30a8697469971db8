"""The finished twin string against the tables of the two invented jobs.

Source: invented scenarios "Quernstone 14" and "Skerrow A-09", printed to 0.01 ft and 0.01 m.
Job 1 counts heights from the base lower shoulder, 1.15 ft below the ESP's seating shoulder.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import (
    FT,
    ZERO_1,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)
from tests.model import jobs as small_jobs

from abreast.errors import InputError, MissingInputError
from abreast.model import Assembly, Choice, Job
from abreast.spaceout.assemble import (
    BASE_ID,
    GUIDE_ID,
    UNION_ID,
    YTOOL_ID,
    AsRun,
    assemble,
    assembly_lifts,
)

HALF_FT = 0.0051 * FT
HALF_M = 0.0051

# landing, neck, bypass top, above plate, added now
LANDINGS_1 = (
    ("L1", 30.77, 33.83, 3.06, ("B05",)),
    ("L2", 42.19, 45.61, 3.42, ("P07",)),
    ("L3", 61.39, 65.43, 4.04, ("P01",)),
    ("L4", 82.85, 85.22, 2.37, ("P04",)),
    ("L5", 104.31, 106.82, 2.51, ("P08", "P10")),
)
LANDINGS_2 = (
    ("L1", 10.60, 11.78, 1.18, ("K01", "Q07")),
    ("L2", 13.07, 14.76, 1.69, ("Q10",)),
    ("L3", 19.37, 20.79, 1.42, ("Q02",)),
    ("L4", 26.08, 26.85, 0.77, ("Q04",)),
)
ESP_TOPS_1 = {
    "guide": 1.77,
    "gauge": 3.83,
    "motor": 31.25,
    "protector": 42.61,
    "intake": 43.97,
    "pump-1": 61.81,
    "pump-2": 83.27,
    "pump-3": 104.73,
    "head": 105.65,
    "pup": 109.20,
}


def in_feet_1(height_m: float) -> float:
    return (height_m + ZERO_1) / FT


@pytest.mark.parametrize("row", LANDINGS_1, ids=lambda row: row[0])
def test_landing_table_of_job_1(row):
    name, neck_ft, top_ft, above_ft, added = row
    state = next(s for s in assemble(job_1(), choice_1()).landings if s.id == name)
    assert in_feet_1(state.neck_m) == pytest.approx(neck_ft, abs=0.0051)
    assert in_feet_1(state.bypass_top_m) == pytest.approx(top_ft, abs=0.0051)
    assert state.above_plate_m / FT == pytest.approx(above_ft, abs=0.0051)
    assert [end / FT for end in state.window_m] == pytest.approx([2.0, 5.5])
    assert state.added == added


@pytest.mark.parametrize("row", LANDINGS_2, ids=lambda row: row[0])
def test_landing_table_of_job_2(row):
    name, neck_m, top_m, above_m, added = row
    state = next(s for s in assemble(job_2(), choice_2()).landings if s.id == name)
    assert state.neck_m == pytest.approx(neck_m, abs=HALF_M)
    assert state.bypass_top_m == pytest.approx(top_m, abs=HALF_M)
    assert state.above_plate_m == pytest.approx(above_m, abs=HALF_M)
    assert state.added == added


def test_unions_of_both_jobs():
    """Job 1 exactly mid-stroke; job 2 three millimetres shorter than mid (0.86 m)."""
    union = assemble(job_1(), choice_1()).union
    assert union is not None
    assert (union.to_close_m / FT, union.to_open_m / FT) == pytest.approx((0.40, 0.40))
    assert union.from_target_m == pytest.approx(0.0, abs=1e-9)
    two = assemble(job_2(), choice_2())
    assert two.union is not None
    assert two.union.from_target_m == pytest.approx(-0.003, abs=1e-9)
    assert two.union.top_m == pytest.approx(two.bypass_leg_m, abs=1e-9)


def test_tail_of_job_1_is_138_67_ft_long():
    tail = [p for p in assemble(job_1(), choice_1()).side("bypass") if p.top_m < -ZERO_1 + 1e-6]
    assert [p.id for p in tail] == [
        "tail guide",
        "P24",
        "nipple",
        "T01",
        "T02",
        "T03",
        "T05",
        "P25",
    ]
    assert sum(p.effective_m for p in tail) / FT == pytest.approx(138.67, abs=0.0051)
    assert in_feet_1(tail[0].bottom_m) == pytest.approx(-138.67, abs=0.0051)


def test_esp_heights_of_job_1():
    assembly = assemble(job_1(), choice_1())
    tops = {p.id: in_feet_1(p.top_m) for p in assembly.side("esp")}
    assert tops == pytest.approx(ESP_TOPS_1, abs=0.0051)
    assert in_feet_1(assembly.bypass_leg_m) == pytest.approx(109.82, abs=0.0051)
    assert in_feet_1(assembly.top_m) == pytest.approx(113.40, abs=0.0051)


def test_depths_of_job_1():
    """Printed MD: Y-tool top 5,600; discharge 5,607.8; gauge base 5,711.6; base 5,713.4; tail
    end 5,852.1."""
    assembly = assemble(job_1(), choice_1())
    assert assembly.datum == "RKB"
    ytool, gauge = assembly.piece(YTOOL_ID), assembly.piece("gauge")
    assert ytool.top_md_m == pytest.approx(5600.0 * FT)
    assert assembly.piece("pump-3").top_md_m / FT == pytest.approx(5608.67, abs=0.0051)
    assert assembly.piece("head").top_md_m / FT == pytest.approx(5607.8, abs=0.051)
    assert gauge.bottom_md_m / FT == pytest.approx(5711.6, abs=0.051)
    assert assembly.piece(BASE_ID).bottom_md_m / FT == pytest.approx(5713.4, abs=0.051)
    assert assembly.piece("tail guide").bottom_md_m / FT == pytest.approx(5852.1, abs=0.051)


def test_depths_of_job_2():
    """Printed MD: Y-tool top 2,150; motor base 2,178.7; entry guide end 2,180.4."""
    assembly = assemble(job_2(), choice_2())
    assert assembly.piece("base").bottom_md_m == pytest.approx(2178.7, abs=0.051)
    assert assembly.piece(GUIDE_ID).bottom_md_m == pytest.approx(2180.4, abs=0.051)


def test_re_space_of_one_line_leaves_everything_below():
    """P04's pin galls: P02 in its place stands 106.90 ft, union 0.08 ft more closed than mid."""
    items = ("B05", "P07", "P01", "P02", "P08", "P10")
    lifts = (("B05",), ("P07",), ("P01",), ("P02",), ("P08", "P10"))
    before = assemble(job_1(), choice_1())
    after = assemble(job_1(), choice_1(items=items, lifts=lifts, union_m=2.92 * FT))
    assert after.union is not None
    assert in_feet_1(after.union.bottom_m) == pytest.approx(106.90, abs=0.0051)
    assert after.union.top_m == pytest.approx(after.bypass_leg_m, abs=1e-9)
    assert [after.piece(i) for i in items[:3]] == [before.piece(i) for i in items[:3]]


def test_lifts_and_landings_stand_with_the_pieces():
    assembly = assemble(job_1(), choice_1())
    assert [(p.lift, p.landing) for p in (assembly.piece("P08"), assembly.piece("P10"))] == [
        ("P08+P10", "L5"),
        ("P08+P10", "L5"),
    ]
    esp = {p.id: (p.lift, p.landing) for p in assembly.side("esp")}
    assert esp["gauge"] == ("guide+gauge+motor", "L1")
    assert esp["pup"] == ("pump-3+head+pup", "L5")
    assert assembly.piece(UNION_ID).landing == ""


def test_a_named_pre_made_lift_keeps_its_name():
    choice = choice_1()
    assembly = assemble(small_jobs.job_1(), choice)
    assert assembly.piece("P10").lift == "D1"


def test_a_top_just_below_its_window_does_not_serve():
    """P01 and P09 end 1.96 ft above the plate of L1, 2.00 ft is wanted: P19 goes on too."""
    assembly = assemble(job_1(), choice_1(items=("P01", "P09", "P19"), lifts=None))
    assert in_feet_1(assembly.piece("P09").top_m) - 30.77 == pytest.approx(1.96, abs=0.0051)
    assert assembly.landings[0].added == ("P01", "P09", "P19")


def test_twin_clamps_stand_on_their_necks_with_free_pipe_both_ways():
    """C1 at the motor neck, 30.77 ft; B05 is free from 3.10 + 0.30 to 33.83 - 0.35 ft."""
    clamp = assemble(job_1(), choice_1()).clamps[0]
    assert (clamp.id, clamp.on_piece, clamp.on_item) == ("C1", "motor", "B05")
    assert in_feet_1(clamp.height_m) == pytest.approx(30.77, abs=0.0051)
    assert clamp.free_below_m / FT == pytest.approx(30.42 - 3.40, abs=0.0051)
    assert clamp.free_above_m / FT == pytest.approx(33.48 - 31.12, abs=0.0051)


def test_a_shifted_clamp_gives_and_takes_free_pipe():
    still = assemble(job_1(), choice_1()).clamps[1]
    moved = assemble(job_1(), choice_1(clamp_shifts_m={"C2": 0.05})).clamps[1]
    assert moved.shift_m == 0.05
    assert moved.height_m - still.height_m == pytest.approx(0.05)
    assert moved.free_below_m - still.free_below_m == pytest.approx(0.05)
    assert moved.free_above_m - still.free_above_m == pytest.approx(-0.05)


def test_free_pipe_is_unknown_without_the_upsets():
    job = with_row(job_1(), "threads", "SF", upset_m=None)
    clamp = assemble(job, choice_1()).clamps[0]
    assert (clamp.on_item, clamp.free_below_m, clamp.free_above_m) == ("B05", None, None)


def test_masses_as_weighed_or_by_length():
    """10.05 ft of 6.5 lb/ft pipe weigh 65.325 lb; a crossover of unknown make has no mass."""
    job = with_row(job_1(), "rack", "P10", mass_kg=None, overall_m=10.05 * FT)
    assembly = assemble(job, choice_1())
    assert assembly.piece("P10").mass_kg / 0.45359237 == pytest.approx(65.325)
    assert assembly.piece("P08").mass_kg / 0.45359237 == pytest.approx(80.0)  # as weighed
    odd = with_row(job, "rack", "P10", kind="crossover")
    assert assemble(odd, choice_1()).piece("P10").mass_kg is None


# --- as run --------------------------------------------------------------------------------


def test_a_string_that_is_part_run():
    """After L3: three lifts in, no union yet, landings 4 and 5 not reached."""
    run = AsRun(bypass=frozenset({"B05", "P07", "P01", BASE_ID}), esp=frozenset({"motor"}))
    choice = choice_1(items=("B05", "P07", "P01"), lifts=(("B05",), ("P07",), ("P01",)))
    assembly = assemble(job_1(), choice, run)
    assert assembly.status == "as-run"
    assert assembly.union is None
    assert [s.id for s in assembly.landings] == ["L1", "L2", "L3"]
    assert all(p.id != UNION_ID for p in assembly.pieces)
    assert assembly.piece("motor").status == "run"
    assert assembly.piece("protector").status == "planned"
    assert assembly.piece(BASE_ID).status == "run"
    assert [c.on_item for c in assembly.clamps] == ["B05", "P07", "P01", "", ""]


def test_measured_lengths_move_what_stands_above_and_keep_the_plan_beside():
    run = AsRun(
        bypass=frozenset({"B05"}),
        bypass_m={"B05": 30.70 * FT},
        esp_m={"protector": 11.38 * FT},
        union_m=2.97 * FT,
    )
    plan, real = assemble(job_1(), choice_1()), assemble(job_1(), choice_1(), run)
    joint, protector = real.piece("B05"), real.piece("protector")
    assert joint.planned_m / FT == pytest.approx(30.73)
    assert joint.actual_m / FT == joint.effective_m / FT == pytest.approx(30.70)
    assert protector.planned_m / FT == pytest.approx(11.36)
    assert protector.actual_m / FT == pytest.approx(11.38)
    assert (real.esp_leg_m - plan.esp_leg_m) / FT == pytest.approx(0.02)
    assert (real.piece("P10").top_m - plan.piece("P10").top_m) / FT == pytest.approx(-0.03)
    assert real.union is not None
    assert real.union.length_m / FT == pytest.approx(2.97)
    # 0.02 ft longer ESP, 0.03 ft shorter bypass, union 0.03 ft shorter: 0.08 ft are open.
    assert (real.bypass_leg_m - real.union.top_m) / FT == pytest.approx(0.08)


def test_what_the_job_says_is_in_the_well():
    """Three pieces run and three landings passed: so are tail, base and their ESP sections."""
    pieces = ("B05", "P07", "P01")
    job = with_section(job_1(), "in_well", pieces=pieces, landings_passed=3)
    assembly = assemble(job, choice_1(lifts=(("P04",), ("P08", "P10"))))
    run = {p.id for p in assembly.pieces if p.status == "run"}
    tail = {"tail guide", "P24", "nipple", "T01", "T02", "T03", "T05", "P25"}
    esp = {"guide", "gauge", "motor", "protector", "intake", "pump-1"}
    assert run == {*pieces, *tail, BASE_ID, *esp}
    assert [s.added for s in assembly.landings] == [row[4] for row in LANDINGS_1]
    assert assembly.status == "planned"


def test_remeasured_esp_length_is_used_and_the_sheet_kept():
    job = with_row(job_1(), "esp", "motor", remeasured_m=27.50 * FT)
    motor = assemble(job, choice_1()).piece("motor")
    assert (motor.planned_m / FT, motor.actual_m / FT) == pytest.approx((27.42, 27.50))
    assert motor.effective_m == motor.actual_m


# --- what is refused -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("items", "lifts", "message"),
    [
        (("B05", "B99"), None, "'B99' is not on the rack; name pieces of this job's rack table"),
        (("B05", "B05"), None, "'B05' stands twice in the choice"),
        (("B05", "P07"), (("P07",), ("B05",)), "the lifts are not the pieces of the choice"),
    ],
)
def test_a_choice_that_can_t_be(items, lifts, message):
    with pytest.raises(InputError) as caught:
        assemble(job_1(), choice_1(items=items, lifts=lifts))
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("table", "row", "field", "needs"),
    [
        ("esp", "motor", "length_m", "length of ESP piece motor"),
        ("rack", "P01", "overall_m", "overall of rack piece P01"),
        ("esp", "pump-1", "neck_below_top_m", "neck below top of ESP piece pump-1"),
    ],
)
def test_a_missing_length_is_named(table, row, field, needs):
    with pytest.raises(MissingInputError, match=needs):
        assemble(with_row(job_1(), table, row, **{field: None}), choice_1())


def test_without_a_planned_depth_there_are_no_depths():
    job = with_section(job_1(), "setting", ytool_top_md_m=None)
    assembly = assemble(job, choice_1())
    assert {p.top_md_m for p in assembly.pieces} == {None}


def test_lifts_of_a_re_spaced_rest_leave_what_is_in_the_well_as_singles():
    choice = choice_1(lifts=(("P04",), ("P08", "P10")))
    assert assembly_lifts(choice) == (("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10"))
    assert assembly_lifts(choice_1(lifts=None))[-2:] == (("P08",), ("P10",))


# --- properties ----------------------------------------------------------------------------

USABLE_1 = tuple(i.id for i in job_1().rack if job_1().usable(i) and i.usable_for == "bypass")


@st.composite
def choices(draw: st.DrawFn) -> Choice:
    items = draw(st.lists(st.sampled_from(USABLE_1), min_size=1, max_size=8, unique=True))
    seat_m = draw(st.floats(0.0, 0.5 * FT))
    union_m = draw(st.floats(2.6 * FT, 3.4 * FT))
    return choice_1(items=tuple(items), lifts=None, seat_m=seat_m, union_m=union_m)


def joins(assembly: Assembly, job: Job) -> list[tuple[float, float]]:
    """Top of each piece and bottom of the next, on each side; the base by its connection."""
    shoulder_m = job.base.bypass_shoulder_m.si if job.base else None
    pairs = []
    for side in ("bypass", "esp"):
        row = assembly.side(side, "both") if side == "bypass" else assembly.side(side)
        row = tuple(p for p in row if p.id != YTOOL_ID)
        for lower, upper in pairwise(row):
            top_m = lower.bottom_m + shoulder_m if lower.id == BASE_ID else lower.top_m
            pairs.append((top_m, upper.bottom_m))
    return pairs


@settings(max_examples=60, deadline=None)
@given(choices())
def test_each_piece_stands_on_the_one_below(choice):
    assembly = assemble(job_1(), choice)
    for top_m, bottom_m in joins(assembly, job_1()):
        assert bottom_m == pytest.approx(top_m, abs=1e-9)
    for piece in assembly.pieces:
        if piece.id != BASE_ID:
            assert piece.top_m - piece.bottom_m == pytest.approx(piece.effective_m, abs=1e-9)
    assert assembly.side("esp")[-1].top_m == pytest.approx(assembly.piece(YTOOL_ID).bottom_m)


def test_each_piece_of_a_top_hung_string_stands_on_the_one_below():
    for top_m, bottom_m in joins(assemble(job_2(), choice_2()), job_2()):
        assert bottom_m == pytest.approx(top_m, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(choices(), st.floats(-0.3, 0.3))
def test_moving_the_seat_moves_the_bypass_only(choice, down_m):
    before = assemble(job_1(), choice)
    after = assemble(job_1(), choice.model_copy(update={"seat_m": choice.seat_m + down_m}))
    moved = {p.id for p in before.side("bypass")} | {BASE_ID}
    for old, new in zip(before.pieces, after.pieces, strict=True):
        shift_m = -down_m if old.id in moved else 0.0
        assert new.bottom_m - old.bottom_m == pytest.approx(shift_m, abs=1e-9)
        assert new.top_m - old.top_m == pytest.approx(shift_m, abs=1e-9)
    assert [c.height_m for c in after.clamps] == [c.height_m for c in before.clamps]
    assert [s.neck_m for s in after.landings] == [s.neck_m for s in before.landings]


def _renamed(name: str) -> str:
    return f"x-{name[::-1]}"


@settings(max_examples=30, deadline=None)
@given(choices())
def test_names_of_pieces_change_no_height(choice):
    job = job_1()
    rack = tuple(i.model_copy(update={"id": _renamed(i.id)}) for i in job.rack)
    tail = tuple(p.model_copy(update={"id": _renamed(p.id)}) if p.rack else p for p in job.tail)
    other = job.model_copy(update={"rack": rack, "tail": tail})
    named = choice.model_copy(update={"items": tuple(_renamed(i) for i in choice.items)})
    plain, renamed = assemble(job, choice), assemble(other, named)

    def shape(assembly: Assembly) -> list[tuple[float, ...]]:
        return [(p.bottom_m, p.top_m, p.effective_m, p.mass_kg or -1) for p in assembly.pieces]

    assert shape(renamed) == shape(plain)
    assert [(s.id, s.above_plate_m) for s in renamed.landings] == [
        (s.id, s.above_plate_m) for s in plain.landings
    ]
    assert [c.free_above_m for c in renamed.clamps] == [c.free_above_m for c in plain.clamps]
