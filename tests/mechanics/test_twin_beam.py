"""The contact model: a finer mesh, turned and mirrored frames, balance of forces, refusals."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.mechanics.twins import hole, twin

from abreast.errors import InputError
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_hole import Bore, Hole, pass_through, station_fields
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_solve import MOST_PENETRATION_M


def test_a_finer_mesh_changes_little():
    """Discs stay where they are: only the elements between them get shorter."""
    most, sums = [], []
    for longest_m in (1.0, 0.5, 0.25):
        cut = mesh(_few_discs(), longest_m)
        found, _ = pass_through(cut, hole(friction=None), [430.0, 905.0], 0.6)
        most.append(found.moment_nm.max(axis=(1, 2)))
        sums.append(found.force_n.sum(axis=1))
    assert most[1] == pytest.approx(most[2], rel=2e-3)
    assert most[0] == pytest.approx(most[2], rel=1e-2)
    assert sums[0] == pytest.approx(sums[2], rel=2e-3)


def _few_discs() -> TwinBeam:
    whole = twin(4, 3)
    kept = [
        replace(
            string,
            discs=tuple(
                replace(disc, at_m=disc.at_m + part * disc.length_m, length_m=0.0)
                for disc in string.discs
                for part in ((0.0, 0.5, 1.0) if disc.length_m else (0.0,))
            ),
        )
        for string in whole.strings
    ]
    return replace(whole, strings=tuple(kept))


def test_the_compass_does_not_matter():
    """The same hole turned about the vertical gives the same forces."""
    cut = mesh(twin(4, 3))
    depths = [80.0, 430.0, 905.0]
    one, _ = pass_through(cut, hole(), depths, 0.5)
    other, _ = pass_through(cut, hole(turn=1.234), depths, 0.5)
    assert other.moment_nm == pytest.approx(one.moment_nm, rel=1e-5, abs=0.05)
    assert other.force_n == pytest.approx(one.force_n, rel=1e-4, abs=1.0)


def test_a_mirrored_twin_in_a_mirrored_hole():
    """Azimuths the other way, roll the other way, cable on the other side."""
    depths = [80.0, 430.0, 905.0]
    one, _ = pass_through(mesh(twin(4, 3)), hole(), depths, 0.8)
    other, _ = pass_through(mesh(twin(4, 3, mirror=True)), hole(side=-1), depths, -0.8)
    assert other.moment_nm == pytest.approx(one.moment_nm, rel=1e-5, abs=0.05)
    assert other.force_n.sum(axis=1) == pytest.approx(one.force_n.sum(axis=1), rel=1e-5)


def test_a_whole_turn_is_no_roll():
    cut = mesh(twin(3, 3))
    one, _ = pass_through(cut, hole(), [905.0], 0.3)
    other, _ = pass_through(cut, hole(), [905.0], 0.3 + 2 * math.pi)
    assert other.moment_nm == pytest.approx(one.moment_nm, rel=1e-6, abs=0.01)


def test_one_station_does_not_depend_on_its_neighbours():
    cut = mesh(twin(3, 3))
    depths = list(np.linspace(100, 1500, 30))
    together, _ = pass_through(cut, hole(), depths, 0.3)
    alone, _ = pass_through(cut, hole(), depths[7:8], 0.3)
    assert together.moment_nm[7] == pytest.approx(alone.moment_nm[0], rel=1e-6, abs=0.01)


def test_no_disc_is_deeper_in_the_wall_than_its_push_allows():
    cut = mesh(twin())
    found, _ = pass_through(cut, hole(), np.linspace(50, 1600, 25), 1.0)
    assert set(found.state) == {"ok"}
    assert found.penetration_m.max() < MOST_PENETRATION_M / 10


def test_side_forces_carry_the_weight_across_the_hole():
    """Straight inclined hole: walls and the held top carry all weight square to the hole."""
    slant = math.radians(60)
    straight = path_frame(positions([Station(0, slant, 1.0), Station(2000, slant, 1.0)]))
    way = Hole(straight, (Bore("casing", 0, 2000, 0.22),))
    cut = mesh(twin(4, 3, cable=False))
    found, axial = pass_through(cut, way, [1000.0], 0.0)
    weight = sum(one.weight_n_m * one.buoyant_ratio * length for one, length in _weights(cut))
    assert axial.top_n[0] == pytest.approx(weight * math.cos(slant), rel=1e-9)
    top = np.hypot(*found.ends[0, 0, :, 0])
    assert found.force_n[0, : cut.walls].sum() + top > weight * math.sin(slant) * (1 - 1e-6)


def _weights(cut):
    return list(zip(cut.segments, cut.length_m, strict=True))


def test_drag_by_hand():
    """Pull at the top while lowering: weight along the hole less friction times side forces."""
    cut = mesh(twin(4, 3))
    still, at_rest = pass_through(cut, hole(), [905.0], 0.0, way="still")
    down, lowered = pass_through(cut, hole(), [905.0], 0.0, way="down", drag_passes=4)
    up, lifted = pass_through(cut, hole(), [905.0], 0.0, way="up", drag_passes=4)
    for found, axial, sign in ((down, lowered, -1), (up, lifted, 1)):
        drag = 0.25 * found.force_n[0, : cut.walls].sum()
        assert axial.top_n[0] - at_rest.top_n[0] == pytest.approx(sign * drag, rel=1e-6)
    assert still.force_n.sum() > 0


def test_a_locked_union_loads_the_bypass_in_a_bend_and_a_free_one_does_not():
    depths = [430.0]
    free, _ = pass_through(mesh(twin(6, 5)), hole(), depths, math.pi)
    locked, _ = pass_through(mesh(twin(6, 5, union="locked")), hole(), depths, math.pi)
    other, _ = pass_through(mesh(twin(6, 5, union="locked")), hole(), depths, 0.0)
    assert free.lock_n[0] == 0.0
    assert locked.lock_n[0] * other.lock_n[0] < 0  # outside of the bend, then inside
    assert abs(locked.lock_n[0]) > 1000


def test_a_narrow_hole_is_named_not_passed():
    cut = mesh(twin(3, 3))
    found, _ = pass_through(cut, hole(casing_m=0.2), [905.0], 0.0)
    assert found.state[0] == "does not fit"


def test_slender_strings_that_are_pushed_buckle_between_their_clamps():
    strings = (
        BeamString("ESP", (BeamSegment("ESP", 0, 30, 1e6),)),
        BeamString("bypass", (BeamSegment("bypass", 0, 30, 50.0, 300.0),)),
    )
    links = (Link(0.0, "rigid"), Link(30.0, "rigid"))
    cut = mesh(TwinBeam(strings, links, (Held(0, 0.0), Held(0, 30.0))))
    found, _ = pass_through(cut, hole(), [500.0], 0.0)
    assert found.state[0] == "buckled"


def test_strings_that_overlap_as_they_stand_are_refused():
    strings = tuple(
        BeamString(name, (BeamSegment(name, 0, 5, 1e5),), (Disc(2.0, x, 0, 0.06, name),))
        for name, x in (("ESP", 0.0), ("bypass", 0.1))
    )
    with pytest.raises(InputError, match=r"overlap by 20\.0 mm"):
        mesh(TwinBeam(strings, (Link(0, "clamp"),), (Held(0, 0.0),)))


def test_beyond_survey_or_casing_nothing_is_guessed():
    cut = mesh(twin(3, 3))
    with pytest.raises(InputError, match="survey"):
        pass_through(cut, hole(), [1690.0])
    short = replace(hole(), bores=(Bore("casing", 0, 900, 0.22),))
    with pytest.raises(InputError, match="no bore"):
        pass_through(cut, short, [895.0])


def test_strings_keep_their_distance():
    """A heavy bypass over an ESP side comes down on it, and no further."""
    strings = tuple(
        BeamString(
            name,
            (BeamSegment(name, 0, 20, ei, weight, x_m=x),),
            (Disc(0.0, x, 0, radius, name, length_m=20.0),),
        )
        for name, ei, weight, x, radius in (
            ("ESP", 1e6, 100.0, -0.045, 0.065),
            ("bypass", 5e3, 300.0, 0.067, 0.0365),
        )
    )
    cut = mesh(TwinBeam(strings, (Link(0, "rigid"), Link(20, "rigid")), (Held(0, 0), Held(0, 20))))
    flat = path_frame(positions([Station(0, math.pi / 2, 0), Station(100, math.pi / 2, 0)]))
    found, _ = pass_through(cut, Hole(flat, (Bore("casing", 0, 100, 0.3),)), [50.0], 0.0)
    between = [k for k, one in enumerate(cut.contacts) if one.what == "strings"]
    closer = [found.u[0, cut.near[k, 0]] - found.u[0, cut.far[k, 0]] for k in between]
    room = 0.112 - 0.065 - 0.0365
    assert max(closer) == pytest.approx(room, abs=2e-5)
    assert found.force_n[0, between].sum() > 1000


@pytest.mark.parametrize(("roll", "turn"), [(0.0, (1, 0)), (math.pi / 2, (0, -1))])
def test_bends_and_weight_point_where_they_should(roll, turn):
    """Roll 0: x to the high side, y to the right of one who looks down the hole.

    A hole that builds curves to its high side, one whose azimuth grows to the right; weight
    pulls to the low side. With the bypass to the right (roll 90), up is on its left: -y.
    """
    r = math.radians
    cut = mesh(twin(2, 2))
    for lower, curve in (((65, 30), (1, 0)), ((60, 36), (0, 1))):
        rows = [(0, 60, 30), (300, *lower)]
        path = path_frame(positions([Station(md, r(inc), r(azi)) for md, inc, azi in rows]))
        way = Hole(path, (Bore("casing", 0, 300, 0.22),))
        given, along = station_fields(cut, way, np.array([100.0]), roll)
        up = np.array(turn)
        right = np.array([-up[1], up[0]])
        expected = curve[0] * up + curve[1] * right
        kappa = given.curvature_rad_m.mean(axis=(0, 1))
        assert kappa @ expected / np.hypot(*kappa) > 0.99
        load = given.lateral_n_m.mean(axis=(0, 1))
        assert -load @ up / np.hypot(*load) > 0.99
        assert np.all(along > 0)
