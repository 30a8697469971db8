"""Bending and pull in one stress: a handbook size of tubing, and what is not known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from abreast.formulas.tubulars import inside_diameter, second_moment, steel_area
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Held, TwinBeam
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_stress import axial_stress_pa, bending_stress_pa
from abreast.units.constants import FOOT_M, INCH_M, LBF_N, PSI_PA

OD_M = 2.875 * INCH_M
BORE_M = inside_diameter(OD_M, 0.217 * INCH_M)
YOUNGS_PA = 30e6 * PSI_PA


def tubing(**known: float | None) -> TwinBeam:
    ei = YOUNGS_PA * second_moment(OD_M, BORE_M)
    given = {"modulus_m3": ei / (YOUNGS_PA * OD_M / 2), "area_m2": steel_area(OD_M, BORE_M)}
    segment = BeamSegment("pipe", 0.0, 10.0, ei, **(given | known))
    return TwinBeam((BeamString("pipe", (segment,)),), held=(Held(0, 0.0),))


def test_60000_lbf_and_5_degrees_per_100_ft_on_2_7_8_tubing():
    """T/A 33,112 psi and E OD / 2R 3,136 psi: 36,248 psi at the outer fibre.

    Sums of API TR 5C3 / ISO 10400 section 6 without the pressures, worked by hand.
    """
    cut = mesh(tubing(), 1.0)
    ei = cut.segments[0].ei_nm2
    moment_nm = np.full((1, len(cut.segments), 2), ei * math.radians(5) / (100 * FOOT_M))
    bending = bending_stress_pa(cut, moment_nm) / PSI_PA
    axial = axial_stress_pa(cut, np.full((1, len(cut.segments)), 60_000 * LBF_N)) / PSI_PA
    assert axial == pytest.approx(33_112, abs=1)
    assert bending == pytest.approx(3_136.1, abs=1)
    assert axial + bending == pytest.approx(36_248, abs=1)


def test_a_push_counts_as_a_pull_does():
    cut = mesh(tubing(), 1.0)
    tension_n = np.linspace(-1e4, 1e4, len(cut.segments))[None, :]
    stress = axial_stress_pa(cut, tension_n)
    assert stress == pytest.approx(axial_stress_pa(cut, -tension_n))
    assert np.all(stress >= 0)


@pytest.mark.parametrize("unknown", ["modulus_m3", "area_m2"])
def test_what_is_not_known_adds_nothing(unknown):
    cut = mesh(tubing(**{unknown: None}), 1.0)
    count = len(cut.segments)
    found = {
        "modulus_m3": bending_stress_pa(cut, np.ones((1, count, 2))),
        "area_m2": axial_stress_pa(cut, np.ones((1, count))),
    }
    assert np.all(found.pop(unknown) == 0)
    assert np.all(next(iter(found.values())) > 0)
