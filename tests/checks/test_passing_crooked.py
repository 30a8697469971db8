"""Sharper bends than surveyed: what the check says of places made by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.checks.passing_runs import ROLLS, answers, filled, lost, place

from abreast.mechanics.twin_beam_hole import station_fields
from abreast.mechanics.twin_beam_mesh import mesh

NAME = "passage-crooked:worst depths"


def crooked(moment_nm: float):
    run = filled(2)
    places = tuple(place(run, 1000.0, roll, moment_nm=moment_nm) for roll in ROLLS)
    return replace(run, crooked=places)


@pytest.mark.parametrize(
    ("moment_nm", "status"), [(500.0, "ok"), (1900.0, "near limit"), (2100.0, "exceeds")]
)
def test_the_nearest_part_decides(moment_nm, status):
    """Gauge and motor base bear 2,000 N m at their joints: the least of the job."""
    one = answers(crooked(moment_nm))[NAME]
    assert one.status == status
    assert one.utilisation == pytest.approx(moment_nm / 2000.0)
    assert "0.30°/30 m more" in one.text and "Y-tool top at 1000 m" in one.text


def test_a_place_without_a_shape_is_no_pass():
    run = crooked(500.0)
    gone = lost(run, 1000.0, ROLLS[0], "not found")
    one = answers(replace(run, crooked=(gone, *run.crooked[1:])))[NAME]
    assert one.status == "not checked" and "1 of 4 places" in one.needs[0]


def test_no_places_are_no_answer():
    assert answers(filled(2))[NAME].status == "not checked"


def test_an_allowance_makes_a_bend_sharper_in_its_own_plane():
    run = filled(2)
    cut = mesh(next(iter(run.beams.values())).twin)
    more = replace(run.hole, allowance_rad_m=2e-4)
    at = np.array([690.0]), 0.3
    plain = station_fields(cut, run.hole, *at)[0].curvature_rad_m
    sharp = station_fields(cut, more, *at)[0].curvature_rad_m
    size = np.linalg.norm(plain, axis=-1)
    assert np.allclose(np.linalg.norm(sharp, axis=-1), size + 2e-4, rtol=1e-9)
    across = plain[..., 0] * sharp[..., 1] - plain[..., 1] * sharp[..., 0]
    assert np.allclose(across, 0.0, atol=1e-15)
    assert np.sum(plain * sharp, axis=-1).min() >= 0.0
