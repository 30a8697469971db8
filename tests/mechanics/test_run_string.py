"""The whole string of a run: lengths add up, and the hook load is near the invented job's own."""

from __future__ import annotations

import pytest
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.errors import MissingInputError
from abreast.examples import example_path
from abreast.formulas.survey import positions
from abreast.jobfile import read_job
from abreast.mechanics.hook_load import hook_load
from abreast.mechanics.run_string import (
    running_drag,
    running_fluids,
    running_items,
    survey_stations,
)
from abreast.spaceout.assemble import assemble

LB = 0.45359237
LBF = 4.4482216152605


def planned(name, choice):
    job = read_job(example_path(name)).job
    return job, assemble(job, choice)


@pytest.mark.parametrize(
    ("name", "choice"), [("quernstone_14", CHOICE_1), ("skerrow_a09", CHOICE_2)]
)
def test_the_string_reaches_from_its_end_to_the_datum(name, choice):
    job, assembly = planned(name, choice)
    items = running_items(job, assembly)
    end_m = assembly.top_m - min(one.bottom_m for one in assembly.pieces)
    whole_m = sum(one.length_m for one in items)
    top_m = job.setting.ytool_top_md_m.si
    assert whole_m == pytest.approx(top_m + end_m, abs=0.5)


def test_hook_load_at_landing_is_near_the_figure_of_the_job():
    """About 76,000 lbf buoyed to the surface, by hand; the level at 1,450 ft takes buoyancy off.

    12.6 + 1.9 lb/ft of tubing and cable lose 8.6 lb/gal over 65.4 lb/gal of it above the level.
    """
    job, assembly = planned("quernstone_14", CHOICE_1)
    items = running_items(job, assembly)
    hole = tuple(positions(survey_stations(job)))
    end_m = sum(one.length_m for one in items)
    load = hook_load(hole, items, end_m, running_fluids(job), running_drag(job))
    above_level = 1450 * 14.5 * 8.6 / 65.4
    assert load.still_n[-1] / LBF == pytest.approx(76_000 + above_level, rel=0.02)
    assert load.down_n[-1] < load.still_n[-1] < load.up_n[-1]
    assert items[0].mass_kg / LB == pytest.approx(7730, rel=0.001)


def test_a_missing_mass_is_asked_for():
    job, assembly = planned("quernstone_14", CHOICE_1)
    bare = assembly.pieces[3].model_copy(update={"mass_kg": None})
    pieces = (*assembly.pieces[:3], bare, *assembly.pieces[4:])
    with pytest.raises(MissingInputError, match=f"mass of {bare.id}"):
        running_items(job, assembly.model_copy(update={"pieces": pieces}))
