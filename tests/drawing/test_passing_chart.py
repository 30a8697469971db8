"""The sheet of the way down: it can be read, and what it shows is what was found."""

from dataclasses import replace

import pytest
from tests.drawing.faults import faults
from tests.drawing.runs import faulty, run_2, shapeless, unlimited

from abreast.drawing.passing_chart import passing_chart
from abreast.drawing.passing_words import use_of
from abreast.drawing.scene import Circle, Line, Outline, Rect
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.twin_beam_hole import Bore
from abreast.model import Quantity
from abreast.units import Dimension, show

TOP, HIGH = 33.0, 170.0  # of every track on A4 [mm]
SIDE, USE, DRAG, STATE = (82.0, 29.0), (115.0, 29.0), (148.0, 29.0), (181.0, 21.0)


def narrow(run, count):
    places = tuple(
        Bore(f"narrow place of a rather long name, number {n}", 70.0 * n + 40, 70.0 * n + 41, 0.15)
        for n in range(count)
    )
    return replace(run, hole=replace(run.hole, bores=(*run.hole.bores, *places)))


def without_friction(run):
    def dragless(places):
        return tuple(replace(one, drag_n=None) for one in places)

    hole = replace(run.hole, friction_ratio=None)
    return replace(run, hole=hole, down=dragless(run.down), up=dragless(run.up))


CASES = {
    "as found": lambda run: run,
    "faults": faulty,
    "no shape": shapeless,
    "nothing yet": lambda run: replace(run, down=(), up=(), hung=(), whole=False),
    "one depth": lambda run: replace(run, down=run.down[:8], up=(), whole=False),
    "narrow places": lambda run: narrow(run, 30),
    "no friction factor": without_friction,
}


def drawn(case="as found", paper="A4", job=None):
    own, string, run = run_2()
    run = CASES[case](run)
    (scene,) = passing_chart(own if job is None else job, string, run, paper=paper)
    return run, scene


def words(scene):
    return " | ".join(one.text for one in scene.texts())


def inside(scene, track, kind):
    """What lies in a track, not on its border."""
    left, wide = track
    return [
        one
        for one in scene.items
        if isinstance(one, kind)
        and one.box_mm[0] >= left - 0.01
        and one.box_mm[2] <= left + wide + 0.01
        and one.box_mm[1] >= TOP - 0.01
        and one.box_mm[3] <= TOP + HIGH + 0.01
    ]


@pytest.mark.parametrize("case", list(CASES))
@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_nothing_overlaps_or_leaves_the_paper(case, paper):
    _, scene = drawn(case, paper)
    assert faults(scene) == []


def test_bars_are_as_long_as_the_worst_use_at_their_depth():
    job, _, run = run_2()
    _, scene = drawn()
    bars = [
        one
        for one in inside(scene, USE, Rect)
        if one.x_mm == pytest.approx(USE[0]) and one.height_mm < HIGH - 1
    ]
    depths = sorted({one.md_m for one in run.down})
    assert len(bars) == len(depths)
    per_mm = 1.1 / USE[1]  # the axis goes a tenth beyond the limit
    for bar, md in zip(bars, depths, strict=True):
        use = max(worst_bent(job, one).use for one in run.down if one.md_m == md)
        assert bar.width_mm * per_mm == pytest.approx(use, rel=1e-6)
    limit = [one for one in inside(scene, USE, Line) if one.layer == "limit"]
    assert [one.x1_mm for one in limit] == [pytest.approx(USE[0] + 1.0 / per_mm)]


def test_every_place_is_a_point_at_its_depth_and_force():
    _, _, run = run_2()
    _, scene = drawn()
    points = [one for one in scene.items if isinstance(one, Circle) and one.y_mm < TOP + HIGH]
    assert len(points) == len(run.down)
    most = max(one.side_n for one in run.down) * 1.1
    last_m = run.planned_md_m + 1.15 * run.length_m
    want = sorted(
        (SIDE[0] + one.side_n / most * SIDE[1], TOP + one.md_m / last_m * HIGH) for one in run.down
    )
    assert sorted((one.x_mm, one.y_mm) for one in points) == [pytest.approx(one) for one in want]


def test_bands_stop_where_no_shape_was_found():
    _, scene = drawn()
    assert len(inside(scene, SIDE, Outline)) == 1
    _, scene = drawn("faults")
    bands = inside(scene, SIDE, Outline)
    assert len(bands) == 2
    # hatched from half-way above the first fault to half-way below the last
    run, _ = drawn("faults")
    depths = sorted({one.md_m for one in run.down})
    last_m = run.planned_md_m + 1.15 * run.length_m
    spans = ((depths[3], depths[4], depths[8], depths[9]), (*depths[9:11], *depths[10:12]))
    spans = [tuple(TOP + (a + b) / 2 / last_m * HIGH for a, b in (s[:2], s[2:])) for s in spans]
    for line in hatching(scene):
        _, top, _, bottom = line.box_mm
        assert any(high - 0.01 <= top and bottom <= low + 0.01 for high, low in spans)
    assert len(hatching(scene)) > 20
    assert not hatching(drawn()[1])


def hatching(scene):
    """Slanted lines of the track of side force."""
    return [
        one for one in inside(scene, SIDE, Line) if one.layer == "grid" and one.y1_mm > one.y2_mm
    ]


def test_states_are_counted_depth_by_depth():
    run, scene = drawn("faults")
    bars = [
        one for one in inside(scene, STATE, Rect) if one.layer == "limit" and one.height_mm < 100
    ]
    per_roll = STATE[1] / 8
    rolls = sorted((one.fill, round(one.width_mm / per_roll)) for one in bars)
    want = {"black": [8, 8], "grey": [1, 4, 4, 4], "light": [8], "white": [1]}
    assert rolls == [(fill, count) for fill, counts in want.items() for count in counts]
    # side by side where a depth has two of them
    assert sorted(round((one.x_mm - STATE[0]) / per_roll) for one in bars) == [0] * 7 + [1]
    text = words(scene)
    lowering = "lowering: buckled 13, does not fit 16, leans 8, not found 1"
    assert f"{lowering} of {len(run.down)} places" in text
    assert f"picking up: buckled 8 of {len(run.up)} places" in text
    _, scene = drawn()
    assert "Every depth and roll ok" in words(scene)


def test_without_limits_the_moment_is_shown_and_the_need_told():
    job, _, run = run_2()
    bare = unlimited(job)
    _, scene = drawn(job=bare)
    text = words(scene)
    assert "no limit stated" in text and "limit at 1" not in text
    assert "Not checked: needs" in text and "moment of" in text
    assert not [one for one in inside(scene, USE, Line) if one.layer == "limit"]
    assert faults(scene) == []
    place = run.down[0]
    use = use_of(bare, place, rated=False)
    assert use.value == max(v for (name, _), v in place.moments_nm.items() if name[0] != "U")


def test_without_a_friction_factor_no_drag_is_drawn():
    job, _, _ = run_2()
    none = job.friction.model_copy(update={"cased_ratio": Quantity.not_measured()})
    _, scene = drawn("no friction factor", job=job.model_copy(update={"friction": none}))
    assert not inside(scene, DRAG, Outline)
    assert "Drag: not checked: needs" in words(scene)
    _, scene = drawn()
    assert len(inside(scene, DRAG, Outline)) == 2


def test_the_words_name_place_limit_and_origin():
    job, _, run = run_2()
    _, scene = drawn()
    text = words(scene)
    use, part, place = max(
        ((worst_bent(job, one).use, worst_bent(job, one).name, one) for one in run.down),
        key=lambda row: row[0],
    )
    assert f"Worst bent: {part}, {use:.0%} of 5200 N·m (invented); lowering" in text
    assert f"MD {place.md_m:.0f} m, roll {place.roll_deg:.0f}°" in text
    side = show(max(one.side_n for one in run.down), Dimension.FORCE, "SI")
    assert f"Greatest side force: lowering {side}" in text
    assert "2.45°/30 m, MD 640 m to 700 m; limit of the job 3.00°/30 m" in text
    assert "9.76 kN to 14.91 kN" in text.split("Hanging at 2150 m")[1]
    _, scene = drawn("no shape")
    assert "not known, no shape was found" in words(scene)
    _, scene = drawn("nothing yet")
    assert "STOPPED BEFORE ITS END" in words(scene)
