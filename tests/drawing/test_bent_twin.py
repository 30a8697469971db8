"""The picture of the bent twin: true to its scales, nothing on top of another."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.faults import faults
from tests.drawing.runs import faulty, run_2, shapeless, unlimited

from abreast.drawing.bent_cuts import groups_of, hardest
from abreast.drawing.bent_twin import bent_twin
from abreast.drawing.scene import Circle, Line, Outline, Rect
from abreast.errors import MissingInputError
from abreast.mechanics.bent_shape import Touch, bent_shape, worst
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.twin_beam_hole import Bore
from abreast.mechanics.twin_beam_sweep import Place
from abreast.units import Dimension, show

ACROSS, BESIDE, TOP = 57.0, 132.0, 34.0  # axes of both views and their top on A4 [mm]


def drawn(paper="A4", **changes):
    job, string, run = run_2()
    return bent_twin(job, string, replace(run, **changes), paper=paper)


def words(scene):
    return " | ".join(one.text for one in scene.texts())


def scales(scene):
    """The n of 1:n along the hole, and how many times that sideways, as its title block says."""
    found = re.search(r"1:([\d.]+), sideways (\d+) times", words(scene))
    return float(found[1]), float(found[2])


def first_shape():
    job, _, run = run_2()
    return bent_shape(run, *worst(job, run))


def near(items, axis_mm):
    return [one for one in items if axis_mm - 22 < sum(one.box_mm[::2]) / 2 < axis_mm + 22]


@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_nothing_overlaps_or_leaves_the_paper(paper):
    scenes = drawn(paper)
    assert len(scenes) == 2
    assert [faults(one) for one in scenes] == [[], []]
    job, string, run = run_2()
    for scene in bent_twin(unlimited(job), string, faulty(run), paper=paper):
        assert faults(scene) == []


@settings(max_examples=12, deadline=None)
@given(st.floats(30, 2150), st.floats(0, 6.28), st.sampled_from(["ok", "leans"]))
def test_any_place_can_be_drawn(md_m, roll_rad, state):
    place = Place(md_m, roll_rad, state, moments_nm={})
    (scene,) = drawn(down=(place,), up=(), hung=())
    assert faults(scene) == []


def test_walls_stand_as_far_apart_as_the_scales_say():
    scene, _ = drawn()
    along, times = scales(scene)
    bore = first_shape().casing[0].diameter_m
    for axis in (ACROSS, BESIDE):
        walls = [
            one for one in scene.items
            if isinstance(one, Line) and one.layer == "casing" and abs(one.x1_mm - axis) < 22
        ]  # fmt: skip
        half = bore / 2 * 1000 / along * times
        assert {round(one.x1_mm - axis, 6) for one in walls} == {round(-half, 6), round(half, 6)}
    assert f"Drawn sideways {times:g} times" in words(scene)


def test_a_body_is_drawn_where_it_came_to_lie():
    shape = first_shape()
    scene, _ = drawn()
    along, times = scales(scene)
    top_md = min([shape.place.md_m - 5.0, *(one.md_m for one in shape.touches)]) - 0.5
    motor = max((one for one in shape.parts if one.name == "motor"), key=lambda one: len(one.md_m))
    for axis, places in ((ACROSS, motor.x_m), (BESIDE, -motor.y_m)):
        (band,) = near(
            [one for one in scene.items if isinstance(one, Outline) and one.part == "motor"], axis
        )
        count = len(motor.md_m)
        left, right = band.points_mm[:count], band.points_mm[: count - 1 : -1]
        per_m = 1000 / along
        for n in range(count):
            x_mm, half = axis + places[n] * per_m * times, motor.radius_m * per_m * times
            y_mm = TOP + (motor.md_m[n] - top_md) * per_m
            assert left[n] == pytest.approx((x_mm - half, y_mm), abs=1e-6)
            assert right[n] == pytest.approx((x_mm + half, y_mm), abs=1e-6)


def test_each_touch_is_a_dot_on_its_place_and_pushed_to_the_axis():
    shape = first_shape()
    scene, _ = drawn()
    along, times = scales(scene)
    per_m = times * 1000 / along
    for axis in (ACROSS, BESIDE):
        dots = near([one for one in scene.items if isinstance(one, Circle)], axis)
        want = [axis + per_m * (one.x_m if axis == ACROSS else -one.y_m) for one in shape.touches]
        assert sorted(one.x_mm for one in dots) == pytest.approx(sorted(want))
    top_md = min([shape.place.md_m - 5.0, *(one.md_m for one in shape.touches)]) - 0.5
    for axis in (ACROSS, BESIDE):
        arrows = [
            one for one in near([o for o in scene.items if isinstance(o, Outline)], axis)
            if one.layer == "limit"
        ]  # fmt: skip
        if axis == ACROSS:
            assert len(arrows) > 3
        for head in arrows:
            (tip, y_mm), *foot = head.points_mm
            md = top_md + (y_mm - TOP) * along / 1000
            touch = min(shape.touches, key=lambda one: abs(one.md_m - md))
            from_axis = touch.x_m if axis == ACROSS else -touch.y_m
            assert (tip - axis) * from_axis > 0  # on the side of the wall that pushes
            assert all(abs(tip - axis) < abs(x - axis) for x, _ in foot)  # and towards the axis


def test_the_words_tell_what_is_worst_and_how_hard_it_is_pushed():
    job, _, run = run_2()
    place, way = worst(job, run)
    part, shape = worst_bent(job, place), bent_shape(run, place, way)
    scene, hanging = drawn()
    text = words(scene)
    assert f"Y-tool top at MD {place.md_m:.0f} m, roll {place.roll_deg:.0f}°" in text
    assert f"{part.name} bears {part.use:.0%} of 5200 N·m (invented)" in text
    assert show(shape.dogleg_rad_m, Dimension.DOGLEG, "SI") in text
    assert f"Side force in all {show(place.side_n, Dimension.FORCE, 'SI')}" in text
    total = sum(one.force_n for one in groups_of(shape))
    assert total == pytest.approx(place.side_n, rel=1e-6)
    named = [one for one in groups_of(shape) if one.force_n >= 0.01 * total]
    for one in named:
        assert show(one.force_n, Dimension.FORCE, "SI") in text
    assert "Hanging, Y-tool top at MD 2150 m" in words(hanging)


def test_the_hardest_are_cut_no_two_at_one_depth():
    shape = first_shape()
    groups = groups_of(shape)
    cut = hardest(groups, 3)
    assert len(cut) == 3
    depths = [one.touch.md_m for one in cut]
    assert all(b - a >= 1.0 for a, b in pairwise(depths))
    assert max(groups, key=lambda one: one.force_n) in cut
    scene, _ = drawn()
    rims = [
        one
        for one in scene.items
        if isinstance(one, Circle) and one.layer == "casing" and one.x_mm > 150
    ]
    scale = float(re.search(r"A: MD [\d.]+ m, 1:([\d.]+)", words(scene))[1])
    assert [one.radius_mm for one in rims] == pytest.approx(
        [shape.casing[0].diameter_m / 2 * 1000 / scale] * 3
    )


def test_neighbours_of_one_part_are_one_and_others_are_not():
    def touch(name, md_m, force_n):
        return Touch(name, "body", 0, md_m, 0.1, 0.0, force_n)

    rows = [("a", 1.0, 10.0), ("a", 2.0, 30.0), ("a", 3.5, 5.0), ("b", 2.2, 20.0), ("c", 3.1, 1.0)]
    shape = replace(first_shape(), touches=tuple(touch(*row) for row in rows))
    groups = groups_of(shape)
    found = [(one.touch.name, one.touch.md_m, one.force_n) for one in groups]
    assert found == [("a", 2.0, 40.0), ("b", 2.2, 20.0), ("c", 3.1, 1.0), ("a", 3.5, 5.0)]
    # b is too near to the harder a, c to the harder second a
    assert [one.touch.md_m for one in hardest(groups, 3)] == [2.0, 3.5]


def test_a_narrower_casing_is_drawn_narrower():
    job, string, run = run_2()
    place, _ = worst(job, run)
    liner = Bore("liner", place.md_m + 10, 3000.0, 0.1568)
    hole = replace(run.hole, bores=(*run.hole.bores, liner))
    (scene, _) = bent_twin(job, string, replace(run, hole=hole))
    walls = {
        round(abs(one.x1_mm - ACROSS), 4)
        for one in scene.items
        if isinstance(one, Line) and one.layer == "casing" and abs(one.x1_mm - ACROSS) < 22
    }
    wide, slim = max(walls), min(walls)
    assert slim / wide == pytest.approx(0.1568 / run.hole.bores[1].diameter_m, rel=1e-4)


def test_a_run_without_any_shape_is_refused_and_without_limits_said():
    job, string, run = run_2()
    with pytest.raises(MissingInputError, match="contact model finds a shape"):
        bent_twin(job, string, shapeless(run))
    scene, _ = bent_twin(unlimited(job), string, run)
    assert "greatest side force; no limit of bending is stated" in words(scene)
    bars = [one for one in scene.items if isinstance(one, Rect) and one.part]
    assert {"C1 clamp", "C2 clamp"} <= {one.part for one in bars}


def test_a_shape_that_leans_says_so():
    job, string, run = run_2()
    place, _ = worst(job, run)
    scene, _ = bent_twin(job, string, replace(run, down=(replace(place, state="leans"),), up=()))
    assert "leans: would buckle if the casing did not hold it" in words(scene)
