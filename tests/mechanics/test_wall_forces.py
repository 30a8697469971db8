"""The side force of each part at a place: the greatest of its touching points, none left out."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.mechanics.twins import hole, twin

from abreast.mechanics.twin_beam_hole import pass_through
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_sweep import Place, sweep

DEPTHS_M = (400.0, 700.0, 1000.0, 1300.0)
ROLLS_RAD = (0.0, math.pi / 2)


def test_each_part_has_the_greatest_force_of_its_points():
    """Read off the shapes themselves, point by point."""
    cut, way = mesh(twin()), hole()
    spots = [(md_m, roll) for md_m in DEPTHS_M for roll in ROLLS_RAD]
    shapes, _ = pass_through(cut, way, *np.array(spots).T, way="down")
    places = {(one.md_m, one.roll_rad): one for one in sweep(twin(), way, DEPTHS_M, ROLLS_RAD)}
    shared = 0
    for spot, forces in zip(spots, shapes.force_n[:, : cut.walls], strict=True):
        place = places[spot]
        names = {cut.contacts[k].name for k in np.flatnonzero(forces > 0)}
        assert set(place.touching) == names and list(place.walls_n) == sorted(names)
        for name in names:
            own = [forces[k] for k in range(cut.walls) if cut.contacts[k].name == name]
            shared += sum(force > 0 for force in own) > 1
            # The sweep works in other groups of places, so in another order of rounding.
            assert place.walls_n[name] == pytest.approx(max(own), rel=1e-4, abs=0.1)
        assert max(place.walls_n.values()) <= place.side_n * (1 + 1e-9)
    assert shared, "no part touches at two points: nothing was told apart"


def test_a_place_without_a_shape_touches_nothing():
    assert Place(500.0, 0.0, "buckled").touching == ()
