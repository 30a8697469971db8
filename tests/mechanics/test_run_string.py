"""The whole string of a run: lengths add up, and the hook load is near the invented job's own."""

from __future__ import annotations

import math

import pytest
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.errors import InputError, MissingInputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.hook_load import hook_load
from abreast.mechanics.run_string import (
    LANDING_STRING,
    run_pieces,
    running_drag,
    running_fluids,
    running_hole,
    running_items,
    running_words,
)
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble

FT = 0.3048
LB = 0.45359237
LBF = 4.4482216152605
JOBS = [("quernstone_14", CHOICE_1), ("skerrow_a09", CHOICE_2)]


def planned(name, choice):
    job = read_job(example_path(name)).job
    return job, assemble(job, choice)


def of(job, section, **changes):
    """The job with some values of one section changed."""
    old = getattr(job, section)
    part = type(old).model_validate(dict(old) | changes)
    return job.model_copy(update={section: part})


@pytest.mark.parametrize(("name", "choice"), JOBS)
def test_the_string_reaches_from_its_end_to_the_datum(name, choice):
    job, assembly = planned(name, choice)
    items = running_items(job, assembly)
    end_m = assembly.top_m - min(one.bottom_m for one in assembly.pieces)
    top_m = job.setting.ytool_top_md_m.si
    assert sum(one.length_m for one in items) == pytest.approx(top_m + end_m, abs=0.5)
    assert items[-1].name == LANDING_STRING
    assert items[-1].length_m == pytest.approx(job.datums[0].elevation_m.si)


def test_hook_load_at_landing_is_near_the_figure_of_the_job():
    """About 76,000 lbf buoyed to the surface, by hand; the level at 1,450 ft takes buoyancy off.

    12.6 + 1.9 lb/ft of tubing and cable lose 8.6 lb/gal over 65.4 lb/gal of it above the level.
    """
    job, assembly = planned("quernstone_14", CHOICE_1)
    items = running_items(job, assembly)
    end_m = sum(one.length_m for one in items)
    load = hook_load(running_hole(job), items, end_m, running_fluids(job), running_drag(job))
    above_level = 1450 * 14.5 * 8.6 / 65.4
    assert load.still_n[-1] / LBF == pytest.approx(76_000 + above_level, rel=0.02)
    assert load.down_n[-1] < load.still_n[-1] < load.up_n[-1]


def test_the_twin_string_weighs_its_pieces_and_the_lead_beside_them():
    """7,730 lb of pieces and twin clamps; MLE of 0.9 lb/ft from the pothead to the Y-tool."""
    job, assembly = planned("quernstone_14", CHOICE_1)
    twin = running_items(job, assembly)[0]
    beside_ft = 5683 - 5600  # depths of pothead and Y-tool top on the job's own sheet
    assert twin.mass_kg / LB == pytest.approx(7730 + 0.9 * beside_ft, rel=0.001)
    assert twin.own_drag


def test_the_lead_lies_beside_the_first_pieces_in_place_of_cable():
    """100 ft less 83 ft: 17 ft above the Y-tool, 10.02 ft of them on the pup."""
    job, assembly = planned("quernstone_14", CHOICE_1)
    _, pup, joint = running_items(job, assembly)[:3]
    assert pup.mass_kg / LB == pytest.approx(126 + 0.9 * 10.02, rel=1e-4)
    assert joint.mass_kg / LB == pytest.approx(499 + 0.9 * 7 + 1.9 * 32.58, rel=2e-3)


def test_tubing_of_a_stated_length_is_run_joint_by_joint():
    job, assembly = planned("skerrow_a09", CHOICE_2)
    pieces = [one.item for one in run_pieces(job, assembly) if one.item.name.startswith("U7.")]
    assert len(pieces) == 480 / 9.6
    assert {one.clamps for one in pieces} == {1}
    mass_kg = math.fsum(one.mass_kg for one in pieces)
    assert mass_kg == pytest.approx(6571 + 1.5 * 480)


def test_how_the_string_fills():
    job, assembly = planned("skerrow_a09", CHOICE_2)
    assert "fills as it is run" in " ".join(running_words(job, assembly)[1])
    assert running_fluids(job).inside_level_md_m == pytest.approx(410.0)
    empty = of(job, "friction", inside_level_md_m=Quantity.not_applicable("it stays empty"))
    assert running_fluids(empty).inside_level_md_m == math.inf
    full = of(job, "friction", inside_level_md_m=Quantity.of(0.0))
    assert running_fluids(full).inside_level_md_m == 0.0
    assert "fills" not in " ".join(running_words(full, assembly)[1])


def test_what_is_not_weighed_is_said():
    job, assembly = planned("skerrow_a09", CHOICE_2)
    left = running_words(job, assembly)[0]
    assert "mass of control line and vent line: not counted" in left
    bare = job.model_copy(update={"mle": None, "cable": None})
    left = running_words(bare, assembly)[0]
    assert "mass of the MLE: not counted: needs the section of the MLE" in left
    assert "mass of the cable: not counted: needs section cable" in left


def test_a_missing_mass_is_asked_for():
    job, assembly = planned("quernstone_14", CHOICE_1)
    bare = assembly.pieces[3].model_copy(update={"mass_kg": None})
    pieces = (*assembly.pieces[:3], bare, *assembly.pieces[4:])
    with pytest.raises(MissingInputError, match=f"mass of {bare.id}"):
        running_items(job, assembly.model_copy(update={"pieces": pieces}))


def test_what_else_is_asked_for():
    job, assembly = planned("quernstone_14", CHOICE_1)
    with pytest.raises(MissingInputError, match="the union as set"):
        running_items(job, assembly.model_copy(update={"union": None}))
    with pytest.raises(MissingInputError, match="fluid level"):
        running_fluids(of(job, "fluids", fluid_level_md_m=Quantity.not_measured()))
    with pytest.raises(MissingInputError, match="cased"):
        running_drag(of(job, "friction", cased_ratio=Quantity.not_measured()))
    late = job.model_copy(update={"survey": job.survey[1:]})
    with pytest.raises(MissingInputError, match=r"begins 500\.00 ft below"):
        running_hole(late)


def test_a_survey_from_a_higher_zero_begins_at_the_datum():
    """Its first 5.5 ft lie above the datum of the job: the hole is cut there."""
    job, _ = planned("quernstone_14", CHOICE_1)
    other = of(job, "survey_head", datum="drilling RKB")
    hole = running_hole(other)
    assert hole[0].station.md_m == 0.0
    assert hole[0].down_m == pytest.approx(5.5 * FT, abs=1e-4)
    assert hole[1].station.md_m == pytest.approx(494.5 * FT)


@pytest.mark.parametrize("joint_m", [0.0, -9.6, 1e-4])
def test_a_joint_that_cannot_be_is_refused(joint_m):
    job, assembly = planned("skerrow_a09", CHOICE_2)
    odd = job.upper[6].model_copy(update={"joint_m": Quantity.of(joint_m)})
    upper = (*job.upper[:6], odd, *job.upper[7:])
    with pytest.raises(InputError, match=r"above 0|4800000 joints of U7"):
        run_pieces(job.model_copy(update={"upper": upper}), assembly)
