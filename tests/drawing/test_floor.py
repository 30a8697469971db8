"""Pictures of the rig floor: legible, complete, true to scale, the same bytes every time."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from collections import Counter
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from tests.drawing.faults import faults
from tests.drawing.floor_states import ELEMENTS, KINDS, Picture, pictures
from tests.drawing.reading import outside, overlaps
from tests.drawing.strings import CHOICE_1, CHOICE_2
from tests.procedure.hand_made import FT, PLATE_FT, hand_made

from abreast.drawing import Circle, Line, Outline, Rect, Scene, Text, svg
from abreast.drawing.floor import floor_scene, floor_svg
from abreast.drawing.floor_symbols import Mark, symbol
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.ledger import State
from abreast.model import Job
from abreast.procedure.generate import generate
from abreast.procedure.prove import ProvedStep, prove
from abreast.procedure.words import step_words
from abreast.spaceout.assemble import assemble
from abreast.units.constants import GRAVITY_M_S2

LB = 0.45359237


@cache
def run() -> tuple[ProvedStep, ...]:
    proof = prove(hand_made())
    assert proof.outcome == "proved", proof.fault
    return proof.steps


def scene_of(step: ProvedStep, **more: object) -> Scene:
    title = f"{step.step.id}: {step.step.action.do}"
    return floor_scene(
        hand_made(),
        step.before,
        step.after,
        step.numbers,
        title,
        elements=ELEMENTS,
        **more,  # type: ignore[arg-type]
    )


def any_scene(picture: Picture, **more: object) -> Scene:
    return floor_scene(
        picture.procedure, picture.before, picture.after, picture.numbers, "any step",
        elements=ELEMENTS, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def words(scene: Scene) -> list[str]:
    return [one.text for one in scene.texts()]


def joined(scene: Scene) -> str:
    """All words in one line, so that a row that is broken reads on."""
    return " ".join(words(scene))


# --- any state --------------------------------------------------------------------------


@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck))
@given(pictures())
def test_every_hold_of_any_state_is_drawn_and_named_exactly_once(picture: Picture) -> None:
    scene = any_scene(picture)
    wanted = Counter(holder for holder, _ in {(one.holder, one.on) for one in picture.after.holds})
    wanted += Counter(one.holder for one in picture.after.guards)
    holders = {one.id for one in picture.procedure.holders}
    named = Counter(one.part for one in scene.texts() if one.part in holders)
    drawn = Counter(
        one.part
        for one in scene.items
        if isinstance(one, Rect | Circle | Outline) and one.part in holders
    )
    assert named == wanted
    assert drawn == wanted
    for one in scene.texts():
        if one.part in holders:
            assert one.text.startswith(one.part)


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(pictures())
def test_no_words_of_any_state_overlap_or_leave_the_picture(picture: Picture) -> None:
    for plan in (False, True):
        scene = any_scene(picture, plan_view=plan)
        text = svg(scene)
        assert overlaps(text) == []
        assert outside(text) == []
        for item in scene.items:
            left, top, right, bottom = item.box_mm
            assert left >= -0.01, item
            assert top >= -0.01, item
            assert right <= scene.width_mm + 0.01, item
            assert bottom <= scene.height_mm + 0.01, item


# --- a proved run -----------------------------------------------------------------------


@pytest.mark.parametrize("size", [(88.0, 120.0), (180.0, 250.0), (190.0, 120.0)])
def test_no_picture_of_a_run_has_a_fault(size: tuple[float, float]) -> None:
    for step in run():
        scene = scene_of(step, plan_view=True, width_mm=size[0], height_mm=size[1])
        assert (scene.width_mm, scene.height_mm) == size
        assert faults(scene) == [], step.step.id


WAYS = {
    "esp-held": ("quernstone_14/corrected", CHOICE_1),
    "bypass-held": ("quernstone_14/corrected", CHOICE_1),
    "both-held": ("quernstone_14/corrected", CHOICE_1),
    "top-hung": ("skerrow_a09/corrected", CHOICE_2),
}


def job_for(way: str) -> Job:
    """The invented job, with the second line and the clamp that 'both-held' needs."""
    job = read_job(example_path(WAYS[way][0])).require_job()
    if way != "both-held":
        return job
    slips = next(one for one in job.holders if one.type == "slips")
    more = {"id": "HC-27", "name": "holding clamp", "type": "holding clamp"}
    hoisting = job.hoisting.model_copy(update={"lines": "two lines"})
    holders = (*job.holders, slips.model_copy(update=more))
    return job.model_copy(update={"hoisting": hoisting, "holders": holders})


@pytest.mark.parametrize("way", WAYS)
def test_no_picture_of_the_invented_jobs_has_a_fault(way: str) -> None:
    job = job_for(way)
    procedure = generate(job, assemble(job, WAYS[way][1]), way)  # type: ignore[arg-type]
    steps = prove(procedure).steps
    assert len(steps) > 100
    for number, step in enumerate(steps):
        if number % 3:
            continue
        title = f"{step.step.id} {step_words(procedure, step.step)}"
        scene = floor_scene(
            procedure, step.before, step.after, step.numbers, title,
            elements=ELEMENTS, plan_view=number % 2 == 0,
        )  # fmt: skip
        assert faults(scene) == [], step.step.id
        for one in step.numbers.holds:
            if one.taut:
                assert "carries" in joined(scene)


def test_only_a_lift_over_its_own_string_is_drawn_higher() -> None:
    """The motor hangs at the floor beside the bypass: it is drawn where it is."""
    pick = next(one for one in run() if one.step.action.do == "pick_up" and one.step.id[0] == "2")
    offsets = {"B05": -4.0, "motor": -(3.83 * FT)}
    holds = tuple(one for one in pick.after.holds if one.on == "motor")
    beside = State(offsets=offsets, holds=holds)
    over = State(offsets={**offsets, "gauge": -0.5}, holds=holds)
    told = [
        "drawn higher" in joined(floor_scene(hand_made(), state, state, pick.numbers, "x"))
        for state in (beside, over)
    ]
    assert told == [False, True]


def test_an_empty_floor_can_be_drawn() -> None:
    first = run()[0]
    scene = floor_scene(hand_made(), State(), State(), first.numbers, "before the job")
    assert faults(scene) == []
    assert "block free" in words(scene)


def test_the_floor_keeps_its_place_in_all_pictures_of_a_run() -> None:
    def floors(scene: Scene) -> set[float]:
        return {
            round(one.y_mm, 6)
            for one in scene.on("landing")
            if isinstance(one, Rect) and one.fill == "black"
        }

    places = {frozenset(floors(scene_of(step))) for step in run()}
    assert len(places) == 1
    assert len(next(iter(places))) == 1


def landed() -> ProvedStep:
    """Clamp of the motor on the plate, the block freed: P25, base, B05, gauge and motor hang."""
    done = [one.step.action.do for one in run()]
    return run()[done.index("unlatch", done.index("land"))]


def test_heights_near_the_working_level_are_to_the_scale_that_is_told() -> None:
    step = landed()
    scene = scene_of(step)
    scale = next(
        float(one.split("1:")[1].split()[0]) for one in words(scene) if "to scale 1:" in one
    )
    floor = next(r.y_mm for r in scene.on("landing") if isinstance(r, Rect) and r.fill == "black")
    plate = min(r.y_mm for r in scene.on("landing") if isinstance(r, Rect) and r.fill == "grey")
    assert floor - plate == pytest.approx(PLATE_FT * FT * 1000 / scale)
    top = next(r.y_mm for r in scene.items if isinstance(r, Rect) and r.part == "B05")
    assert plate - top == pytest.approx((33.83 - 30.77) * FT * 1000 / scale)


def test_the_load_on_a_holder_is_the_weight_that_hangs_from_it() -> None:
    """Masses typed in pounds: their sum is the load in lbf, by the definition of the lbf."""
    step = landed()
    text = joined(scene_of(step))
    assert 40 + 265 + 201 + 140 + 1905 == 2551
    assert "LC-M lifting clamp stands on plate carries 2,551 lbf" in text


def test_every_load_of_the_numbers_is_on_its_picture() -> None:
    seen = set()
    for step in run():
        text = joined(scene_of(step))
        for one in step.numbers.holds:
            if not one.by:
                assert "fitted, held by nothing" in text or "on the rack" in text
            elif not one.taut:
                assert "slack, carries 0" in text
            else:
                ends = (one.low_n, one.high_n)
                least, most = (f"{load / LB / GRAVITY_M_S2:,.0f}" for load in ends)
                span = most if least == most else f"{least}–{most}"
                assert f"carries {span} lbf" in text
                seen.add(least == most)
    assert seen == {True, False}


CHANGED = {
    "fit": "FITTED",
    "pick_up": "PICKS UP",
    "stab": "ENTERED",
    "make_up": "MADE UP",
    "record_torque": "RECORDED",
    "take": "TAKES LOAD",
    "hoist": "HOISTED",
    "lower": "LOWERED",
    "land": "LANDED",
    "set_slips": "SET",
    "pull_slips": "TAKEN OFF",
    "fit_safety_clamp": "FITTED",
    "remove_safety_clamp": "TAKEN OFF",
    "remove": "TAKEN OFF",
    "slack_off": "TAKES LOAD",
    "cover": "COVER",
    "lock_seat": "SEAT LOCKED",
    "fit_twin_clamp": "FITTED",
    "connect_mle": "CONNECTED",
    "reel": "NOW FOLLOWS",
    "snug_union": "SNUG",
    "turn_union": "TURNED",
    "lock_union": "LOCKED",
    "confirm": "CONFIRMED",
    "hand_over": "HANDED OVER",
}
HEAVY_MM = 0.4


def test_every_change_has_its_word_in_white_on_black() -> None:
    met = set()
    for step in run():
        do = step.step.action.do
        told = [one.text for one in scene_of(step).texts() if one.white]
        assert told, step.step.id
        if do in CHANGED:
            assert any(one.startswith(CHANGED[do]) for one in told), (step.step.id, told)
            met.add(do)
    assert met == set(CHANGED)


def test_what_changes_is_drawn_heavier() -> None:
    """The lines round the clamp that is landed are heavy, those of the step after are not."""

    def clamp_line(step: ProvedStep) -> float:
        return next(
            one.line_mm
            for one in scene_of(step).items
            if isinstance(one, Rect) and one.part == "LC-M"
        )

    done = [one.step.action.do for one in run()]
    lands = done.index("land")
    unlatched = done.index("unlatch", lands)
    assert clamp_line(run()[lands]) > HEAVY_MM > clamp_line(run()[unlatched + 1])


def test_black_holders_carry_and_white_ones_do_not() -> None:
    seen = set()
    for step in run():
        fills = {
            one.part: one.fill
            for one in scene_of(step).items
            if isinstance(one, Rect | Outline) and one.part
        }
        carries: dict[str, bool] = {}
        for one in step.numbers.holds:
            if one.on in step.after.offsets:
                carries[one.holder] = carries.get(one.holder, False) or one.high_n > 1.0
        for holder, does in carries.items():
            assert fills[holder] == ("black" if does else "white"), (step.step.id, holder)
            seen.add(does)
    assert seen == {True, False}


def test_a_stabbed_joint_says_that_it_is_not_made_up_until_it_is() -> None:
    by_do = {}
    for step in run():
        by_do.setdefault(step.step.action.do, step)
    assert "entered, NOT made up" in joined(scene_of(by_do["stab"]))
    assert "NOT made up" not in joined(scene_of(by_do["make_up"]))


def test_what_is_left_out_is_told_with_its_length() -> None:
    """B05 on its lifting sub: what the picture shows and what it tells make it whole."""
    step = next(one for one in run() if one.step.action.do == "record_torque")
    scene = scene_of(step)
    cut = next(one for one in words(scene) if "cut of B05" in one)
    told_ft = float(cut.split(" ft")[0])
    high_ft = max(
        float(one.text) for one in scene.on("ruler") if isinstance(one, Text) and one.text.isdigit()
    )
    foot_ft = (step.after.offsets["B05"] + 3.1 * FT) / FT
    assert 30.73 - (high_ft + 2 - foot_ft) <= told_ft <= 30.73 - (high_ft - foot_ft)


@pytest.mark.parametrize("plan", [False, True])
def test_the_picture_tells_what_stands_across_each_element(plan: bool) -> None:
    step = landed()
    text = joined(scene_of(step, plan_view=plan))
    for name, depth_m, _ in ELEMENTS:
        z_ft = 30.77 - PLATE_FT - depth_m / FT
        ends = (("motor", 3.83, 31.25), ("B05", 3.1, 33.83))
        there = ", ".join(one for one, low, high in ends if low <= z_ft < high)
        if plan:
            assert f"{name}: {there}" in text
        else:
            assert f"{name} {depth_m / FT:.2f} ft" in text
            assert text.count(there) >= len(ELEMENTS)
    assert joined(scene_of(run()[2])).count("nothing across") == len(ELEMENTS)


@pytest.mark.parametrize("plate", ["open", "closed", "off"])
def test_the_false_rotary_is_told_in_words(plate: str) -> None:
    step = landed()
    state = State(offsets=step.after.offsets, joints=step.after.joints, plate=plate)  # type: ignore[arg-type]
    scene = floor_scene(hand_made(), state, state, step.numbers, "x")
    wanted = "no false rotary" if plate == "off" else f"false rotary {plate.upper()}"
    assert wanted in joined(scene)
    slabs = [one for one in scene.on("landing") if isinstance(one, Rect) and one.fill == "grey"]
    assert len(slabs) == {"off": 0, "open": 2, "closed": 5}[plate]  # closed: three more between


# --- symbols and plan -------------------------------------------------------------------


def shape(kind: str) -> tuple[object, ...]:
    """What a symbol looks like, names left out."""

    def key(item: object) -> object:
        assert isinstance(item, Rect | Circle | Outline | Line)
        return type(item).__name__, tuple(round(one, 2) for one in item.box_mm)

    return tuple(key(item) for item in symbol(kind, Mark(0.0, 0.0, 1.5)))


def test_every_sort_of_holder_has_a_shape_of_its_own() -> None:
    same_hook = {"tugger", "hook"}  # a tugger ends in a hook
    kinds = [one for one in KINDS if one not in same_hook]
    shapes = {one: shape(one) for one in [*kinds, "hook"]}
    assert len(set(shapes.values())) == len(shapes)


def test_the_pothead_lies_clockwise_from_the_bypass_line_looking_down() -> None:
    """85° clockwise looking down is down the page: y of the paper points down."""
    step = run()[-1]
    scene = scene_of(step, plan_view=True)
    round_esp = max(
        (one for one in scene.on("esp") if isinstance(one, Circle)), key=lambda one: one.radius_mm
    )
    bypass = next(one for one in scene.on("bypass") if isinstance(one, Circle))
    pothead = next(one for one in scene.on("cable") if isinstance(one, Outline))
    x, y = (sum(side) / 4 for side in zip(*pothead.points_mm, strict=True))
    angle = math.degrees(math.atan2(y - round_esp.y_mm, x - round_esp.x_mm))
    assert angle == pytest.approx(85.0, abs=0.01)
    assert bypass.y_mm == round_esp.y_mm
    assert bypass.x_mm > round_esp.x_mm
    assert "LOOKING DOWN" in words(scene)
    assert "clockwise +, pothead 85°" in words(scene)


# --- bytes ------------------------------------------------------------------------------

SCRIPT = """
import hashlib
from tests.drawing.floor_states import ELEMENTS
from tests.procedure.hand_made import hand_made
from abreast.drawing.floor import floor_svg
from abreast.procedure.prove import prove
procedure = hand_made()
text = "".join(
    floor_svg(procedure, s.before, s.after, s.numbers, s.step.id, elements=ELEMENTS)
    for s in prove(procedure).steps
)
print(hashlib.sha256(text.encode()).hexdigest())
"""


def test_the_same_step_gives_the_same_bytes_in_every_process() -> None:
    found = set()
    for seed in ("0", "1"):
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout)
    assert len(found) == 1
    step = landed()
    twice = {floor_svg(hand_made(), step.before, step.after, step.numbers, "x") for _ in range(2)}
    assert len(twice) == 1
