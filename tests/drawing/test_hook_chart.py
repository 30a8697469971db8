"""The sheet of the hook load, and its rows: figures of the forecast, nothing over another."""

from __future__ import annotations

from functools import cache

import pytest
from tests.drawing.reading import outside, overlaps
from tests.mechanics.test_hook_forecast import both
from tests.mechanics.test_run_string import FT, LBF, of

from abreast.drawing.hook_chart import hook_chart
from abreast.drawing.hook_table import hook_columns, hook_rows, scale_of
from abreast.drawing.scene import Line, Outline
from abreast.drawing.svg import svg
from abreast.mechanics.hook_forecast import forecast_run
from abreast.model import Quantity

NAMES = ["quernstone_14", "skerrow_a09"]
NO = Quantity.not_measured()


@cache
def drawn(name, paper="A4"):
    job, assembly = both()[name]
    forecast = forecast_run(job, assembly, lambda md: 2000 + md)
    (scene,) = hook_chart(job, assembly, forecast, paper=paper)
    return forecast, scene


def words(scene):
    return " ".join(one.text for one in scene.texts())


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_and_nothing_leaves_the_sheet(name, paper):
    _, scene = drawn(name, paper)
    assert overlaps(svg(scene)) == []
    assert outside(svg(scene)) == []
    assert min(one.size_mm for one in scene.texts() if one.layer != "frame") >= 2.5
    for item in scene.items:
        left, top, right, bottom = item.box_mm
        assert left >= -1e-6 and top >= -1e-6
        assert right <= scene.width_mm + 1e-6 and bottom <= scene.height_mm + 1e-6


def test_curves_end_at_the_loads_of_the_landed_string():
    """Read back from the paper by the ticks of the axis, 0 and 80 klbf; no block in them."""
    forecast, scene = drawn("quernstone_14")
    ticks = {
        one.text: one.x_mm for one in scene.texts() if one.anchor == "middle" and one.x_mm < 130
    }
    per_klbf = (ticks["80"] - ticks["0"]) / 80
    last = forecast.rows[-1]
    for layer, load_n in (("esp", last.up_n), ("bypass", last.down_n)):
        lines = [one for one in scene.items if isinstance(one, Line) and one.layer == layer]
        heavy = [one for one in lines if one.width_mm == 0.5 and one.x2_mm < 130]
        end = max(heavy, key=lambda one: one.y2_mm)
        shown = (end.x2_mm - ticks["0"]) / per_klbf
        assert shown == pytest.approx(load_n / LBF / 1e3, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_four_bands_and_the_limit_that_is_near(name):
    _, scene = drawn(name)
    bands = [one for one in scene.items if isinstance(one, Outline) and one.fill == "light"]
    assert len(bands) == 4
    assert "pull allowed on this job" in words(scene)
    assert "Y-tool" not in [one.text for one in scene.texts()]


def test_what_is_missing_and_what_goes_wrong_is_said():
    job, assembly = both()["skerrow_a09"]
    bad = of(job, "friction", cased_ratio=Quantity.of(0.5), clamp_drag_n=Quantity.of(1500.0))
    bad = of(of(bad, "rig", block_mass_kg=NO), "hoisting", max_pull_n=NO)
    (scene,) = hook_chart(bad, assembly, forecast_run(bad, assembly))
    text = words(scene)
    assert "Does not go down by its own weight" in text
    assert "buckling not checked" in text
    assert "needs block mass of the rig" in text
    assert "max pull" in text
    assert "Block and bails are in no load here" in text
    assert overlaps(svg(scene)) == []
    assert outside(svg(scene)) == []


@pytest.mark.parametrize("top_m", [63.0, 120.0, 560.0])
def test_a_shallow_string_is_drawn_too(top_m):
    job, assembly = both()["quernstone_14"]
    shallow = of(job, "setting", ytool_top_md_m=Quantity.of(top_m))
    (scene,) = hook_chart(shallow, assembly, forecast_run(shallow, assembly))
    assert overlaps(svg(scene)) == []
    assert outside(svg(scene)) == []


@pytest.mark.parametrize("name", NAMES)
def test_one_row_of_text_for_each_piece(name):
    job, _ = both()[name]
    forecast, _ = drawn(name)
    rows, columns = hook_rows(job, forecast), hook_columns(job, forecast)
    assert len(rows) == len(forecast.rows)
    assert {len(row) for row in rows} == {len(columns)}
    factor, long = (LBF * 1e3, FT) if name == "quernstone_14" else (1e3, 1.0)
    for row, cells in zip(forecast.rows, rows, strict=True):
        assert cells[:2] == (str(row.number), row.name)
        assert float(cells[2]) == pytest.approx(row.ytool_md_m / long, abs=0.051)
        assert float(cells[4]) == pytest.approx(row.up_n / factor, abs=0.051)
        assert float(cells[7]) == pytest.approx(row.alarm_n / factor, abs=0.051)
    assert columns[4] == ("up [klbf]" if name == "quernstone_14" else "up [kN]")


def test_a_row_says_when_the_string_stays_up():
    job, assembly = both()["skerrow_a09"]
    bad = of(job, "friction", cased_ratio=Quantity.of(0.5), clamp_drag_n=Quantity.of(1500.0))
    forecast = forecast_run(bad, assembly)
    remarks = [cells[-1] for cells in hook_rows(bad, forecast)]
    assert [one == "stays up" for one in remarks] == [row.down_n <= 0 for row in forecast.rows]
    assert remarks[0] == ""


def test_sheet_and_table_have_one_zero_and_say_what_to_add() -> None:
    """The block of the invented rig: 9,500 lb, so that 9.5 klbf are to be added."""
    forecast, scene = drawn("quernstone_14")
    assert forecast.block_n == pytest.approx(9500 * LBF, rel=1e-6)
    text = words(scene)
    assert "[klbf], add 9.5 for block and bails" in text
    assert "an indicator that shows them reads 9,500 lbf more" in text
    assert "MD from RKB [ft]" in text


def test_the_limit_of_what_carries_the_block_stands_lower_by_its_weight() -> None:
    job, assembly = both()["quernstone_14"]
    forecast = forecast_run(job, assembly)
    scale, block_n = scale_of(job, forecast), forecast.block_n
    assert block_n is not None
    kinds = set()
    for limit in forecast.limits:
        if limit.rating_n:
            lower_n = block_n if limit.with_block else 0.0
            at = pytest.approx((limit.rating_n - lower_n) / LBF / 1e3)
            assert scale.limit(limit) == at
            kinds.add(limit.with_block)
    assert kinds == {True, False}
