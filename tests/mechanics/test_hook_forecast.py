"""The forecast of a run: rows, drag of the twin, limits; held against hand calculations."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from tests.mechanics.test_run_string import JOBS, LBF, of, planned

from abreast.errors import MissingInputError
from abreast.mechanics.hook_forecast import forecast_run
from abreast.mechanics.hook_load import hook_load
from abreast.mechanics.run_string import (
    running_drag,
    running_fluids,
    running_hole,
    running_items,
)
from abreast.model import Quantity

NO = Quantity.not_measured()


@cache
def both():
    return {name: planned(name, choice) for name, choice in JOBS}


@cache
def expected(name):
    return forecast_run(*both()[name])


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
def test_one_row_for_each_piece_as_each_depth_alone(name):
    job, assembly = both()[name]
    items = running_items(job, assembly)
    found = expected(name)
    assert [row.name for row in found.rows] == [one.name for one in items]
    assert [row.number for row in found.rows] == list(range(len(items)))
    hole = running_hole(job)
    for row in (found.rows[0], found.rows[30], found.rows[-1]):
        string = items[: row.number + 1]
        load = hook_load(hole, string, row.bottom_md_m, running_fluids(job), running_drag(job))
        assert (row.up_n, row.still_n, row.down_n) == pytest.approx(
            (load.up_n[-1], load.still_n[-1], load.down_n[-1]), rel=1e-12
        )
    assert found.rows[-1].ytool_md_m == pytest.approx(job.setting.ytool_top_md_m.si, abs=0.5)


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
def test_the_band_is_a_part_of_the_hanging_weight_both_ways(name):
    for row in expected(name).rows:
        half_n = max(0.1 * row.still_n, expected(name).alarm_least_n)
        assert row.up_band_n == pytest.approx((row.up_n - half_n, row.up_n + half_n))
        assert row.down_band_n == pytest.approx((row.down_n - half_n, row.down_n + half_n))


def test_the_alarm_of_a_light_string_is_what_the_indicator_can_tell():
    job, assembly = both()["quernstone_14"]
    fine = forecast_run(of(job, "rules", hook_alarm_least_n=NO), assembly)
    assert "needs hook alarm least" in " ".join(fine.assumptions)
    assert fine.rows[0].alarm_n == pytest.approx(0.1 * fine.rows[0].still_n)
    coarse = forecast_run(of(job, "rules", hook_alarm_least_n=Quantity.of(9e3)), assembly)
    assert coarse.rows[0].alarm_n == 9e3
    assert coarse.rows[-1].alarm_n == pytest.approx(0.1 * coarse.rows[-1].still_n)


def test_the_drag_of_the_twin_takes_the_place_of_its_friction():
    job, assembly = both()["skerrow_a09"]
    none = forecast_run(job, assembly, lambda _: 0.0)
    some = forecast_run(job, assembly, lambda md: 10.0 * md, lambda md: 12.0 * md)
    soft = expected("skerrow_a09")
    assert {row.twin_drag for row in some.rows} == {"contact"}
    assert {row.twin_drag for row in soft.rows} == {"soft string"}
    assert "wedge" in " ".join(soft.assumptions)
    first = some.rows[0], none.rows[0]
    assert first[0].up_n == first[1].up_n == pytest.approx(first[0].still_n)
    steep, plain = some.rows[12], none.rows[12]  # above the first bend
    assert steep.up_n - plain.up_n == pytest.approx(12 * steep.ytool_md_m, rel=2e-3)
    assert plain.down_n - steep.down_n == pytest.approx(10 * steep.ytool_md_m, rel=2e-3)
    last, bare = some.rows[-1], none.rows[-1]
    # More pull below means more wall force above it in a bent hole: more than the drag itself.
    assert last.up_n - bare.up_n > 12 * last.ytool_md_m
    assert bare.down_n - last.down_n > 5 * last.ytool_md_m
    assert bare.up_n < soft.rows[-1].up_n


def test_where_the_contact_model_knows_nothing_the_soft_string_counts():
    job, assembly = both()["quernstone_14"]
    found = forecast_run(job, assembly, lambda md: 100.0 if md > 900 else None)
    soft = [row for row in found.rows if row.twin_drag == "soft string"]
    assert soft == [row for row in found.rows if row.ytool_md_m <= 900]
    assert f"in {len(soft)} of {len(found.rows)} rows" in " ".join(found.assumptions)
    assert "as much picking up" in " ".join(found.assumptions)


def test_clamps_are_counted_or_said_not_to_be():
    job, assembly = both()["quernstone_14"]
    bare = forecast_run(of(job, "friction", clamp_drag_n=NO), assembly)
    assert any("needs clamp drag of the friction" in one for one in bare.not_counted)
    held = forecast_run(of(job, "friction", clamp_drag_n=Quantity.of(40.0)), assembly)
    assert not any("drag of cable clamps" in one for one in held.not_counted)
    clamps = sum(one.clamps for one in running_items(job, assembly))
    more = held.rows[-1].up_n - bare.rows[-1].up_n
    assert 40 * clamps <= more < 1.2 * 40 * clamps


def test_an_empty_string_is_lighter_and_needs_its_bores():
    job, assembly = both()["quernstone_14"]
    dry = of(job, "friction", inside_level_md_m=Quantity.not_applicable("it stays empty"))
    lost_n = (
        expected("quernstone_14").rows[-1].still_n - forecast_run(dry, assembly).rows[-1].still_n
    )
    # 3.958 in bore of fluid of 8.6 lb/gal over the height from the level to the Y-tool, 4,101 ft.
    area_ft2 = 3.14159265 / 4 * (3.958 / 12) ** 2
    assert lost_n / LBF == pytest.approx(area_ft2 * 7.48052 * 8.6 * (5551 - 1450), rel=2e-3)
    bare = dry.upper[2].model_copy(update={"bore_m": NO})
    upper = (*dry.upper[:2], bare, *dry.upper[3:])
    with pytest.raises(MissingInputError, match="bore of U3"):
        forecast_run(dry.model_copy(update={"upper": upper}), assembly)


def test_a_string_longer_than_the_survey_is_refused():
    job, assembly = both()["quernstone_14"]
    above = tuple(one for one in job.survey if one.md_m.si < 5000 * 0.3048)
    with pytest.raises(MissingInputError, match=r"to 5,852\.1 ft; it ends at 4,830\.0 ft"):
        forecast_run(job.model_copy(update={"survey": above}), assembly)


def test_stations_too_far_apart_are_an_assumption():
    job, assembly = both()["quernstone_14"]
    assert not any("one arc" in one for one in forecast_run(job, assembly).assumptions)
    few = tuple(one for one in job.survey if not 2200 < one.md_m.si / 0.3048 < 3400)
    (said,) = (
        one
        for one in forecast_run(job.model_copy(update={"survey": few}), assembly).assumptions
        if "one arc" in one
    )
    assert said.endswith("needs the survey's stations between 2,150.0 ft and 3,480.0 ft")


# --- limits --------------------------------------------------------------------------------


def limit(found, name):
    return next(one for one in found.limits if one.name == name)


def test_the_tightest_limit_is_named_with_its_load_and_place():
    """Pull of 120,000 lbf; block of 250,000 with 9,500 lb of its own; elevator of 300,000."""
    found = expected("quernstone_14")
    weakest, most_n = found.weakest, found.rows[-1].up_n
    assert weakest.name == "pull allowed on this job"
    assert weakest.utilisation == pytest.approx(most_n / (120_000 * LBF))
    assert weakest.number == found.rows[-1].number
    assert limit(found, "block").load_n == pytest.approx(most_n + 9_500 * LBF)
    assert limit(found, "block").with_block
    assert limit(found, "elevator EL-45").utilisation == pytest.approx(most_n / (300_000 * LBF))
    assert found.needs == ()


def test_a_piece_is_held_against_the_greatest_load_on_the_whole_way():
    """The Y-tool carries most while the twin string still hangs above the fluid."""
    found = expected("quernstone_14")
    ytool = limit(found, "Y-tool")
    air_n = found.run.items[0].mass_kg * 9.80665
    assert ytool.load_n == pytest.approx(air_n, rel=0.005)
    assert found.rows[ytool.number].bottom_md_m < 1450 * 0.3048 + 12.1


def test_a_weaker_piece_becomes_the_weakest():
    job, assembly = both()["skerrow_a09"]
    weak = job.upper[5].model_copy(update={"rating_n": Quantity.of(245e3)})
    upper = (*job.upper[:5], weak, *job.upper[6:])
    found = forecast_run(job.model_copy(update={"upper": upper}), assembly)
    assert found.weakest.name == "U6"
    assert 0.9 < found.weakest.utilisation < 1.0


def test_ratings_that_nobody_stated_are_asked_for():
    job, assembly = both()["quernstone_14"]
    bare = of(of(job, "hoisting", max_pull_n=NO), "rig", block_mass_kg=NO)
    holders = tuple(one for one in bare.holders if one.side != "tubing")
    found = forecast_run(bare.model_copy(update={"holders": holders}), assembly)
    words = "; ".join(found.needs)
    assert "max pull" in words
    assert "block mass" in words
    assert "elevator for the tubing" in words
    assert "slips for the tubing" in words
    assert found.weakest.name == "rotary table"
    assert found.block_n is None


def test_a_string_below_the_last_shoe_is_told():
    job, string = planned(*JOBS[1])
    casing = tuple(
        one.model_copy(update={"shoe_md_m": replace(one.shoe_md_m, given=1500.0)})
        for one in job.casing
    )
    assert not any("no casing" in one for one in forecast_run(job, string).assumptions)
    short = forecast_run(job.model_copy(update={"casing": casing}), string)
    assert any("m there is no casing" in one for one in short.assumptions)
