"""Thinned curves and bars show what the whole ones show, to a pen's width."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from tests.drawing.runs import run_2
from tests.drawing.strings import CHOICE_1

from abreast.drawing.chart import Axes, Axis
from abreast.drawing.passing_chart import passing_chart
from abreast.drawing.passing_hole import dogleg_track
from abreast.drawing.passing_tracks import TOP, TrackSheet
from abreast.drawing.scene import Line, Rect
from abreast.drawing.sheet import sheet_of
from abreast.drawing.thin import tallest, thinned
from abreast.drawing.well_path import well_path
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import SurveyStation
from abreast.spaceout.assemble import assemble

PLACES = st.floats(-50, 50)
CURVES = st.lists(st.tuples(PLACES, PLACES), min_size=1, max_size=60)
BARS = st.lists(st.tuples(st.floats(0.001, 3), st.floats(0, 9)), min_size=1, max_size=60)


@given(CURVES, st.floats(0, 20))
def test_every_point_left_out_lies_beside_one_that_is_kept(points, within_mm):
    kept = thinned(points, within_mm)
    assert (kept[0], kept[-1]) == (points[0], points[-1])
    for one in points:
        assert min(math.dist(one, other) for other in kept) <= within_mm + 1e-9
    # in their order
    rest = iter(points)
    assert all(one in rest for one in kept)


def test_nearness_is_that_of_the_paper():
    axes = Axes(0, 0, 100, 50, Axis(0, 10_000, "x"), Axis(1, 0, "y"))
    curve = [(float(n), 0.5) for n in range(10_000)]
    kept = thinned(curve, 0.1, axes.at)
    # a hundredth of a millimetre each: every tenth or eleventh is farther than a tenth
    assert [x for x, _ in kept[:3]] == [0, 11, 22]
    assert len(kept) < 1000
    curve[500] = (500.0, 0.9)
    assert (500.0, 0.9) in thinned(curve, 0.1, axes.at)


@given(BARS, st.floats(0, 5))
def test_joined_bars_cover_the_same_and_keep_the_greatest(widths, pen):
    bars, at = [], 0.0
    for wide, value in widths:
        bars.append((at, at + wide, value))
        at += wide
    joined = tallest(bars, pen)
    assert (joined[0][0], joined[-1][1]) == (0.0, at)
    for one, two in pairwise(joined):
        assert one[1] == two[0]
    for start, end, value in joined:
        inside = [v for a, b, v in bars if a >= start and b <= end]
        assert value == max(inside)
        assert len(inside) == 1 or end - start <= pen


def long_survey(count, last_m=2300.0):
    """A hole that turns about a little, and one sharp bend of 0.3 degrees in 0.23 m."""
    rows = []
    for n in range(count):
        bend = 0.3 if n > count // 2 else 0.0
        tilt = math.radians(5 + 2 * math.sin(n * 6 / count) + bend)
        rows.append(
            SurveyStation(md_m=last_m * n / (count - 1), inclination_rad=tilt, azimuth_rad=0.5)
        )
    return tuple(rows)


def test_ten_thousand_stations_keep_their_sharpest_bend_on_paper():
    job = read_job(example_path("quernstone_14")).require_job()
    job = job.model_copy(update={"survey": long_survey(10_000)})
    (scene,) = well_path(job, assemble(job, CHOICE_1))
    # 168 mm of chart, 0.15 mm a bar and no bar below half of that after joining
    assert len(scene.items) < 6_000
    bars = [one for one in scene.items if isinstance(one, Rect) and one.fill == "grey"]
    tall = max(bars, key=lambda one: one.height_mm)
    # 78 mm for 1.1 times the sharpest
    assert abs(tall.height_mm - 78 / 1.1) < 1e-6
    assert abs(tall.x_mm + tall.width_mm / 2 - (24 + 168 / 2)) < 0.2
    assert sum(one.width_mm for one in bars) >= 168 - 1e-6
    assert all(one.line_mm <= one.width_mm / 5 + 1e-12 for one in bars)


def test_the_dogleg_beside_the_string_is_the_greatest_of_all_that_overlap():
    """The curve of the track against a search through every interval."""
    job, _, run = run_2()
    chart = TrackSheet(job, run, sheet_of("A4"), run.planned_md_m + run.length_m)
    path = run.hole.path
    bars = list(zip(path.md_m[:-1], path.md_m[1:], path.severity_rad_m, strict=True))
    lines = [one for one in dogleg_track(chart) if isinstance(one, Line) and one.layer == "esp"]
    upright = [one for one in lines if abs(one.x2_mm - one.x1_mm) < 1e-9 and one.y2_mm > one.y1_mm]
    assert len(upright) > 5
    per_mm = chart.last_m / 170.0
    scale = max((one.x1_mm - 51) for one in upright) / max(
        v for a, b, v in bars if a < chart.running.planned_md_m + run.length_m
    )
    for one in upright:
        if one.y2_mm - one.y1_mm < 0.3:
            continue
        middle = ((one.y1_mm + one.y2_mm) / 2 - TOP) * per_mm
        beside = max(v for a, b, v in bars if a < middle + run.length_m and b > middle)
        assert abs((one.x1_mm - 51) / scale - beside) < 1e-3 * beside + 1e-9


def test_the_sheet_of_the_way_down_is_made_of_few_items_for_any_survey():
    job, string, run = run_2()
    path = run.hole.path
    few = len(passing_chart(job, string, run)[0].items)
    import numpy as np

    md = np.linspace(path.md_m[0], path.md_m[-1], 10_001)
    sharp = 0.001 + 0.0005 * np.sin(np.arange(10_000) / 7)
    fine = replace(path, md_m=md, severity_rad_m=sharp)
    many = replace(run, hole=replace(run.hole, path=fine))
    scene = passing_chart(job, string, many)[0]
    assert len(scene.items) < few + 4_000
