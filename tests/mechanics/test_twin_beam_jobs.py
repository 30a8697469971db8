"""The contact model on the invented jobs: what it reads, asks for, and sweeps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.checks.twins import FT, IN, LBF, choice_1, choice_2, job_1, job_2, with_section

from abreast.errors import MissingInputError
from abreast.mechanics.processes import processes
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.mechanics.twin_beam_lines import read_twin_beam
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_sweep import sweep
from abreast.model import depth_of_height_m
from abreast.spaceout.assemble import assemble


def test_stiffness_weights_and_links_come_from_the_tables():
    job = job_1()
    beam = read_twin_beam(job, assemble(job, choice_1()))
    main, bypass = beam.twin.strings
    motor = {one.kind: one for one in main.segments if one.name == "motor"}
    unit = LBF * IN**2
    assert motor["body"].ei_nm2 / unit == pytest.approx(404.8e6)
    assert motor["neck"].ei_nm2 / unit == pytest.approx(180e6)
    assert motor["neck"].bottom_m - motor["neck"].top_m == pytest.approx(0.80 * FT)
    # 1905 lb of motor and 46 lb of twin clamp on 27.42 ft.
    assert motor["body"].weight_n_m * 27.42 * FT / LBF == pytest.approx(1951, abs=0.5)
    union = next(one for one in bypass.segments if one.name == "adjustable union")
    assert union.ei_nm2 / unit == pytest.approx(70e6)
    assert [one.play_m / IN for one in beam.twin.links if one.kind == "clamp"] == [0.02] * 5
    assert main.segments[0].top_m <= -20
    assert {disc.kind for disc in main.discs} >= {"body", "neck", "guard", "clamp", "block"}


def test_a_top_hung_twin_has_no_base_and_no_lock():
    job = job_2()
    beam = read_twin_beam(job, assemble(job, choice_2()))
    assert [one.kind for one in beam.twin.links].count("rigid") == 1
    assert beam.twin.union == "free"


@pytest.mark.parametrize(
    ("section", "field", "word"),
    [
        ("pipe", "ei_nm2", "youngs"),
        ("union", "ei_nm2", "ei of adjustable union"),
        ("base", "ei_nm2", "ei of"),
        ("fluids", "annulus_kg_m3", "annulus"),
        ("mle", "thickness_m", "thickness"),
        ("base", "centre_m", "centre of base support"),
        ("ytool", "centre_m", "centre of y-tool"),
    ],
)
def test_what_is_missing_is_asked_for(section, field, word):
    job = with_section(job_1(), section, **{field: None})
    if section == "pipe":
        job = with_section(job, "pipe", youngs_pa=None)
    with pytest.raises(MissingInputError) as asked:
        read_twin_beam(job, assemble(job, choice_1()))
    assert word in asked.value.needs.lower()


def test_the_hole_asks_for_the_fluid_level_and_not_for_friction():
    with pytest.raises(MissingInputError, match="fluid level"):
        read_hole(with_section(job_1(), "fluids", fluid_level_md_m=None))
    assert read_hole(with_section(job_1(), "friction", cased_ratio=None)).friction_ratio is None
    assert read_hole(job_1()).friction_ratio == 0.25


def test_job_1_passes_its_sharpest_place_by_bending():
    """3.07 deg/100 ft at 4,300 ft: a rigid rod of this envelope might be a third as long."""
    job = job_1()
    beam = read_twin_beam(job, assemble(job, choice_1()), union="free")
    cut, hole = mesh(beam.twin), read_hole(job)
    severity = math.radians(3.07) / (100 * FT)
    clearance = (8.681 - 8.45) * IN
    rigid_m = math.sqrt(8 * clearance / severity)
    twin_m = beam.twin.rigid_m[1] - beam.twin.rigid_m[0]
    assert rigid_m < twin_m / 3
    found = sweep(beam.twin, hole, [4315 * FT - twin_m / 2], (0.0, math.pi))
    assert {one.state for one in found} == {"ok"}
    assert all(one.moment_nm > 0 for one in found)
    assert cut.size > 500


def test_a_sweep_gives_the_same_in_processes_and_can_be_stopped():
    job = job_2()
    beam = read_twin_beam(job, assemble(job, choice_2()))
    hole = read_hole(job)
    depths = [float(at) for at in np.linspace(60, depth_of_height_m(job, beam.zero_m), 4)]
    seen: list[tuple[int, int]] = []
    alone = sweep(beam.twin, hole, depths, (0.0,), progress=lambda *at: seen.append(at))
    assert seen[-1] == (4, 4)
    with processes(2) as pool:
        assert sweep(beam.twin, hole, depths, (0.0,), pool=pool) == alone
    assert sweep(beam.twin, hole, depths, (0.0,), stop=lambda: True) == ()


def test_a_locked_frame_without_a_landing_asks_for_one():
    job = job_1()
    string = assemble(job, choice_1()).model_copy(update={"landings": ()})
    with pytest.raises(MissingInputError):
        read_twin_beam(job, string, union="locked")


def test_a_locked_bypass_is_pulled_by_the_union_and_bent_by_the_hole():
    """Job 1 before its sharp bend: T/A of 2-7/8 in 6.5 lb/ft (1.812 in2, API Spec 5CT) and M/Z."""
    job = job_1()
    beam = read_twin_beam(job, assemble(job, choice_1()), union="locked")
    (place,) = sweep(beam.twin, read_hole(job), [1000.0], [0.0])
    joint = next(one for one in beam.twin.strings[1].segments if one.name == "P01")
    key = joint.name, joint.kind
    bending_pa = place.moments_nm[key] / joint.modulus_m3
    pull_pa = place.stresses_pa[key] - bending_pa
    assert joint.area_m2 / IN**2 == pytest.approx(1.812, abs=1e-3)
    # The union's force, less the weight of at most 100 ft of pipe between it and the joint.
    most_pa = place.union_n / joint.area_m2
    assert most_pa - 650 * LBF / joint.area_m2 < pull_pa <= most_pa
    assert pull_pa > 0.3 * bending_pa
    assert place.stress_pa == max(place.stresses_pa.values())
