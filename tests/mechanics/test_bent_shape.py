"""The shape at one place: a beam from the handbook, and the invented top-hung job."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing import runs

from abreast.errors import InputError
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.mechanics.bent_shape import bent_shape, worst
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, TwinBeam
from abreast.mechanics.twin_beam_hole import Bore, Hole
from abreast.mechanics.twin_beam_lines import JobBeam
from abreast.mechanics.twin_beam_sweep import Place

WALL_M = 5e-5  # no wall is pressed in farther by the forces of these strings


def run_2():
    job, _, run = runs.run_2()
    return job, run


def level_run(length_m=12.0, ei_nm2=1.4e5, weight_n_m=30.0, bore_m=0.5):
    """A beam on two held points in a hole that is horizontal, north to south."""
    flat = [Station(md, math.pi / 2, 0.0) for md in (0.0, 200.0)]
    hole = Hole(
        path_frame(positions(flat)),
        (Bore("wide", 0, 120, bore_m), Bore("tight", 103, 104, 0.2), Bore("below", 120, 200, 0.6)),
        fluid_md_m=500.0,
    )
    beam = BeamString(
        "beam",
        (BeamSegment("beam", 0.0, length_m, ei_nm2, weight_n_m),),
        (Disc(0.0, 0.0, 0.0, 0.03, "body", "body", length_m),),
    )
    twin = TwinBeam((beam,), held=(Held(0, 0.0), Held(0, length_m)))
    run = RunIn({"free": JobBeam(twin, 0.0, ())}, hole, 0.0, (), (), (), (), 100.0, 1.0, ())
    return run, Place(100.0, 0.0, "ok", moments_nm={})


def test_a_level_beam_sags_as_the_handbook_says():
    """5 q L^4 / 384 EI, simple beam under its weight: Roark's table of beams, from memory."""
    run, place = level_run()
    shape = bent_shape(run, place)
    (line,) = shape.lines
    sag = 5 * 30.0 * 12.0**4 / (384 * 1.4e5)
    middle = int(np.argmin(line.x_m))
    assert line.md_m[middle] == pytest.approx(106.0)
    assert line.x_m[middle] == pytest.approx(-sag, rel=1e-6)  # roll 0: x points to the high side
    assert line.y_m == pytest.approx(0, abs=1e-9)
    assert shape.course.low == pytest.approx(np.tile([-1.0, 0.0], (len(shape.course.md_m), 1)))
    assert shape.dogleg_rad_m == pytest.approx(0, abs=1e-12)
    assert not shape.touches
    # a quarter turn clockwise: what was low along -x is now along y
    turned = bent_shape(run, dataclasses.replace(place, roll_rad=math.pi / 2))
    assert turned.lines[0].y_m[middle] == pytest.approx(sag, rel=1e-6)
    assert turned.course.low[0] == pytest.approx([0.0, 1.0], abs=1e-12)


def test_walls_beside_it_are_the_narrowest_at_each_depth():
    run, place = level_run()
    found = [(w.name, w.top_md_m, w.bottom_md_m) for w in bent_shape(run, place).casing]
    assert found == [("wide", 100, 103), ("tight", 103, 104), ("wide", 104, 112)]


def test_a_beam_on_the_wall_is_pushed_by_what_it_cannot_carry():
    """Held ends and an even floor share the weight: statics of the whole beam."""
    run, place = level_run(length_m=40.0, ei_nm2=1e4)
    shape = bent_shape(run, place)
    pushed = sum(one.force_n for one in shape.touches)
    assert 0.6 * 1200 < pushed < 1200
    # on the floor of the narrow place, and of the casings above and below 120 m
    for one in shape.touches:
        want = 0.1 if one.md_m < 105 else 0.25 if one.md_m < 120.6 else 0.3
        assert (one.x_m, one.y_m) == pytest.approx((-want, 0.0), abs=WALL_M)
    assert len(shape.touches) > 10


def test_a_bend_is_told_where_its_inside_is():
    """3 deg/30 m building angle: the inside of the bend is the high side."""
    rows = [Station(md, math.radians(20 + 0.1 * md), 0.5) for md in (0.0, 100.0, 200.0)]
    run, place = level_run()
    run = dataclasses.replace(
        run, hole=dataclasses.replace(run.hole, path=path_frame(positions(rows)))
    )
    shape = bent_shape(run, dataclasses.replace(place, roll_rad=0.0))
    want = math.radians(0.1)
    assert shape.course.bend_rad_m[:, 0] == pytest.approx(want, rel=1e-3)
    assert shape.course.bend_rad_m[:, 1] == pytest.approx(0, abs=1e-9)
    assert shape.dogleg_rad_m == pytest.approx(want, rel=1e-3)


def test_the_worst_place_is_the_nearest_to_its_limit():
    job, run = run_2()
    place, way = worst(job, run)
    uses = [worst_bent(job, one).use for one in (*run.down, *run.up)]
    assert worst_bent(job, place).use == max(uses)
    assert place in {"down": run.down, "up": run.up}[way]
    bare = runs.unlimited(job)
    place, _ = worst(bare, run)
    assert place.side_n == max(one.side_n for one in (*run.down, *run.up))
    lost = tuple(Place(one.md_m, one.roll_rad, "buckled") for one in run.down)
    assert worst(job, dataclasses.replace(run, down=lost, up=())) is None
    with pytest.raises(InputError, match="buckled"):
        bent_shape(run, lost[0])


def test_the_shape_has_the_numbers_of_its_place():
    job, run = run_2()
    place, way = worst(job, run)
    shape = bent_shape(run, place, way)
    assert sum(one.force_n for one in shape.touches) == pytest.approx(place.side_n, rel=1e-6)
    assert {one.name for one in shape.touches} == set(place.touching)
    depths = [one.md_m for one in shape.touches]
    assert depths == sorted(depths)
    top = min(float(one.md_m[0]) for one in shape.parts if one.kind == "block")
    assert top == pytest.approx(place.md_m)  # the Y-tool's top
    for link in shape.links:
        (x1, y1), (x2, y2) = link.esp_m, link.bypass_m
        apart = job.setting.axis_spacing_m.si
        play = 0.0 if link.kind == "rigid" else 0.5 * 0.4e-3 + WALL_M
        assert math.hypot(x2 - x1 - apart, y2 - y1) <= play + 1e-9


@settings(max_examples=15, deadline=None)
@given(st.floats(30.0, 2150.0), st.floats(0, 2 * math.pi), st.sampled_from(["down", "up", "still"]))
def test_every_part_stays_in_the_casing_and_touches_lie_on_it(md_m, roll_rad, way):
    _, run = run_2()
    shape = bent_shape(run, Place(md_m, roll_rad, "ok", moments_nm={}), way)
    walls = shape.casing
    for part in shape.parts:
        reach = np.hypot(part.x_m, part.y_m) + part.radius_m
        room = [widest(walls, md) for md in part.md_m]
        assert np.all(reach <= np.array(room) + 2e-4), part.name
    for one in shape.touches:
        assert one.force_n > 0
        radii = {wall.diameter_m / 2 for wall in walls}
        assert min(abs(math.hypot(one.x_m, one.y_m) - r) for r in radii) < WALL_M
    assert np.all(np.hypot(*shape.course.low.T) <= 1 + 1e-9)


def widest(walls, md_m):
    """Radius of the casing at a depth, the wider one just at a change."""
    return max(w.diameter_m / 2 for w in walls if w.top_md_m - 0.6 <= md_m <= w.bottom_md_m + 0.6)
