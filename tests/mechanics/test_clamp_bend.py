"""What bends ask of clamps that grip, against the composite beam and arcs about one centre."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.formulas.tubulars import second_moment
from abreast.mechanics.clamp_bend import bend_at_clamps_n, tied_force_n
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Held, Link, TwinBeam

EA_1, EA_2, SPACING_M, DOGLEG = 4.0e8, 1.6e8, 0.11, math.radians(3) / 30
SIZES = st.floats(0.03, 0.2)


def arc(turn_rad_m=DOGLEG, length_m=400.0):
    """A hole in one vertical plane, of one curvature, from 10 degrees down."""
    start = math.radians(10)
    stations = [
        Station(k * length_m / 8, start + turn_rad_m * k * length_m / 8, 0.0) for k in range(9)
    ]
    return path_frame(positions(stations))


def twin(clamps_m=(10.0, 25.0), *, base=False, union="free"):
    strings = tuple(
        BeamString(name, (BeamSegment(name, 0.0, 40.0, 1e5, 100.0, 1.0, ea, x),))
        for name, ea, x in (("ESP", EA_1, 0.0), ("bypass", EA_2, SPACING_M))
    )
    links = [Link(0.0, "rigid", name="Y-tool")]
    if base:
        links.append(Link(40.0, "rigid", name="base"))
    links += [Link(at, "clamp", 0.0, f"C{k}", True) for k, at in enumerate(clamps_m)]
    return TwinBeam(strings, tuple(links), (Held(0, 0.0),), union)


@given(SIZES, SIZES, st.floats(0.5, 0.95), st.floats(1e-4, 5e-3))
def test_it_is_the_axial_part_of_a_composite_beam(od_1, od_2, hollow, dogleg):
    """Parallel axis theorem: I of both as one, less I of each, carries d times the force."""
    youngs = 207e9
    areas = [math.pi / 4 * od**2 * (1 - hollow**2) for od in (od_1, od_2)]
    own = [second_moment(od, hollow * od) for od in (od_1, od_2)]
    spacing = (od_1 + od_2) / 2
    middle = areas[1] * spacing / sum(areas)
    whole = own[0] + areas[0] * middle**2 + own[1] + areas[1] * (spacing - middle) ** 2
    force = tied_force_n(youngs * areas[0], youngs * areas[1], spacing, dogleg)
    assert force * spacing == pytest.approx(youngs * (whole - sum(own)) * dogleg, rel=1e-9)


def test_in_an_arc_only_the_last_clamp_hands_over():
    """Between holds the pull is the same all along: chords of the tangents, 1e-4 off at most."""
    found = bend_at_clamps_n(twin(), arc(), [100.0, 150.0], SPACING_M)
    whole = tied_force_n(EA_1, EA_2, SPACING_M, DOGLEG)
    assert found["C1"] == pytest.approx([whole, whole], rel=1e-3)
    # What is left at C0 is that the force turns with the hole: whole times the turn between.
    assert np.all(found["C0"] < whole * DOGLEG * 13.0)


def test_a_base_support_holds_the_lower_end():
    found = bend_at_clamps_n(twin(base=True, union="locked"), arc(), [100.0], SPACING_M)
    assert found["C1"][0] < 0.03 * tied_force_n(EA_1, EA_2, SPACING_M, DOGLEG)


def test_a_union_that_can_move_leaves_the_upper_end_loose():
    free = bend_at_clamps_n(twin(base=True), arc(), [100.0], SPACING_M)
    assert free["C0"][0] == pytest.approx(tied_force_n(EA_1, EA_2, SPACING_M, DOGLEG), rel=1e-3)
    assert free["C1"][0] < 0.03 * free["C0"][0]


def test_a_straight_hole_and_a_sliding_clamp_ask_nothing():
    found = bend_at_clamps_n(twin(), arc(0.0), [100.0], SPACING_M)
    assert found["C0"][0] == found["C1"][0] == 0.0
    slides = twin()
    slides = replace(slides, links=tuple(replace(one, grips=False) for one in slides.links))
    assert bend_at_clamps_n(slides, arc(), [100.0], SPACING_M) == {}


@given(st.floats(0.2, 4.0), st.floats(0.2, 4.0))
def test_it_grows_with_spacing_and_bend(wider, sharper):
    base = bend_at_clamps_n(twin(), arc(), [60.0], SPACING_M)["C1"][0]
    wide = bend_at_clamps_n(twin(), arc(), [60.0], wider * SPACING_M)["C1"][0]
    sharp = bend_at_clamps_n(twin(), arc(sharper * DOGLEG, 200.0), [60.0], SPACING_M)["C1"][0]
    assert wide == pytest.approx(wider * base)
    assert sharp == pytest.approx(sharper * base, rel=2e-3)


@pytest.mark.parametrize("bad", [(0.0, 1e8, 0.1), (1e8, -1.0, 0.1), (1e8, 1e8, -0.1)])
def test_sizes_out_of_range_are_refused(bad):
    with pytest.raises(InputError):
        tied_force_n(*bad, 1e-3)
