"""The elastic lines of the invented jobs, from their own data, and how stiffness is found."""

from __future__ import annotations

import math

import pytest
from tests.checks.twins import (
    FT,
    IN,
    LBF,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.errors import MissingInputError
from abreast.mechanics.load_lines import axial_stiffness, plate_hold, read_pair
from abreast.mechanics.load_share import Pair, flexibility, misfit_for
from abreast.model import Job, Quantity
from abreast.spaceout.assemble import assemble

PSI = LBF / IN**2
UNIT = LBF / IN


def pair_1(job: Job | None = None) -> Pair:
    job = job or job_1()
    return read_pair(job, assemble(job, choice_1()))


def test_job_1_by_its_own_data_against_the_simple_frame():
    """The simple frame takes the bypass as pipe from base shoulder to Y-tool: 106.72 ft.

    The job has the same ESP, whose EA follow from 0.907 of the housings' diameters. Its bypass is
    1.95 ft longer, from the seat on, but there and in the union stiffer: 0.01 % apart. What does
    differ is the take-up: while the clamp holds the neck of pump-3 the part above is not
    stretched; the block then stretches it, which takes 0.005 in of the turn's work off the union.
    """
    pair = pair_1()
    simple = 54.36e6 / (106.72 * 12)
    assert 1 / flexibility(pair.esp) / UNIT == pytest.approx(85_100, abs=50)
    assert 1 / flexibility(pair.bypass) / UNIT == pytest.approx(simple, rel=2e-4)
    assert pair.stiffness_n_m / UNIT == pytest.approx(28_300, abs=50)
    assert pair.stiffness_n_m * 0.0625 * IN / LBF == pytest.approx(1770, abs=5)
    assert pair.hanging_n / LBF == pytest.approx(7425)
    assert pair.total_n / LBF == pytest.approx(7730)
    assert misfit_for(pair, pair.hanging_n) / IN == pytest.approx(0.262, abs=5e-4)
    job = job_1()
    snug = plate_hold(job, assemble(job, choice_1()))
    above_in_lbf = 12 * ((103.58 - 103.16) / 110.0 + 0.92 / 110.0 + 3.55 / 77.7) * 1e-6
    expected_in = 7425 / 28_318 - 7730 * above_in_lbf
    assert misfit_for(pair, pair.hanging_n, snug=snug) / IN == pytest.approx(expected_in, abs=1e-4)


def test_the_lines_of_job_1_end_where_the_frame_does():
    pair, assembly = pair_1(), assemble(job_1(), choice_1())
    assert sum(bar.length_m for bar in pair.esp) == pytest.approx(assembly.esp_leg_m)
    assert sum(bar.length_m for bar in pair.bypass) == pytest.approx(assembly.bypass_leg_m)
    assert pair.below_n / LBF == pytest.approx(1198)  # tail 933 and base support 265
    assert sum(bar.weight_n for bar in pair.esp) / LBF == pytest.approx(5227 + 5 * 46)


def test_the_masses_of_job_2_are_those_that_hang():
    job = job_2()
    assembly = assemble(job, choice_2())
    masses_kg = sum(piece.mass_kg or math.nan for piece in assembly.pieces)
    clamps_kg = sum(clamp.mass_kg.si for clamp in job.clamps)
    total_n = read_pair(job, assembly).total_n
    assert total_n == pytest.approx((masses_kg + clamps_kg) * 9.80665)


def test_what_holds_the_frame_on_the_plate_is_the_declared_path():
    job = job_1()
    at_m = (104.31 - 1.15) * FT  # neck of pump-3; heights of that job count from the base shoulder
    for path, side in (("esp-held", "esp"), ("bypass-held", "bypass")):
        declared = job.model_copy(update={"load_path": path})
        hold = plate_hold(declared, assemble(declared, choice_1()))
        assert (hold.side, hold.height_m) == (side, pytest.approx(at_m))
    both = job.model_copy(update={"load_path": "both-held"})
    with pytest.raises(MissingInputError, match="which of the two holders"):
        plate_hold(both, assemble(both, choice_1()))


class TestStiffness:
    """EA as stated, else E times the steel area of the sizes, else asked for."""

    def test_from_sizes(self):
        """2-7/8 in 6.5 lb/ft: 1.8120 in2 (API Spec 5CT sizes), 30 Mpsi."""
        od, bore, wall, e = (
            Quantity.of(v) for v in (2.875 * IN, 2.441 * IN, 0.217 * IN, 30e6 * PSI)
        )
        none = Quantity.not_measured()
        for sizes in ((od, bore, none), (od, none, wall)):
            found = axial_stiffness(none, *sizes, e)
            assert found / LBF == pytest.approx(54.36e6, rel=1e-4)
        assert axial_stiffness(Quantity.of(7.0), od, bore, none, e) == 7.0

    @pytest.mark.parametrize(
        ("section", "field"), [("pipe", "ea_n"), ("base", "ea_n")], ids=["pipe", "base"]
    )
    def test_a_section_without_ea_is_reckoned_from_its_sizes(self, section, field):
        """The stated EA of the invented job are those of its sizes."""
        without = pair_1(with_section(job_1(), section, **{field: None}))
        assert flexibility(without.bypass) == pytest.approx(flexibility(pair_1().bypass), rel=1e-3)

    def test_an_esp_piece_without_ea_is_reckoned_from_its_sizes(self):
        without = pair_1(with_row(job_1(), "esp", "motor", ea_n=None))
        assert flexibility(without.esp) == pytest.approx(flexibility(pair_1().esp), rel=1e-3)

    def test_a_rack_piece_with_sizes_of_its_own_is_not_the_pipe(self):
        job = with_row(job_1(), "rack", "B05", bore_m=2.0 * IN)
        area_ratio = (2.875**2 - 2.0**2) / (2.875**2 - 2.441**2)
        [own] = [bar for bar in pair_1(job).bypass if bar.name == "B05"]
        [pipe] = [bar for bar in pair_1().bypass if bar.name == "B05"]
        assert own.ea_n / pipe.ea_n == pytest.approx(area_ratio, rel=1e-3)

    @pytest.mark.parametrize(
        ("section", "fields", "asked"),
        [
            ("union", ("ea_n",), "ea of adjustable union"),
            ("pipe", ("ea_n", "youngs_pa"), "ea of bypass pipe"),
            ("base", ("ea_n", "bore_m"), "ea of base support"),
            ("union", ("mass_kg",), "mass of adjustable union"),
        ],
    )
    def test_else_it_is_asked_for(self, section, fields, asked):
        job = with_section(job_1(), section, **dict.fromkeys(fields))
        with pytest.raises(MissingInputError, match=asked):
            pair_1(job)
