"""Bands, bars and limits of a chart lie where its axes say."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.drawing.chart import Axes, Axis
from abreast.drawing.fonts import width_mm
from abreast.drawing.scene import Line, Outline, Rect, Text

# 10 mm a unit across, 5 mm a unit down the page.
DEEP = Axes(10, 20, 100, 50, Axis(0, 10, "x"), Axis(0, 10, "depth"))
HIGH = Axes(10, 20, 100, 50, Axis(0, 10, "x"), Axis(10, 0, "value"))


def test_a_band_goes_down_one_curve_and_back_the_other():
    (band,) = DEEP.band([(1, 0), (2, 10)], [(3, 0), (5, 10)])
    assert isinstance(band, Outline)
    assert band.points_mm == ((20, 20), (30, 70), (60, 70), (40, 20))
    assert not list(DEEP.band([(1, 0)], [(3, 0)]))


def test_a_bar_covers_its_spans_and_is_cut_off_at_the_border():
    (bar,) = DEEP.bar((0, 4), (2, 4))
    assert bar.box_mm == pytest.approx((10, 30, 50, 40))
    (bar,) = HIGH.bar((2, 4), (0, 5))
    assert bar.box_mm == pytest.approx((30, 45, 50, 70))
    (bar,) = HIGH.bar((-5, 4), (0, 50))
    assert bar.box_mm == pytest.approx((10, 20, 50, 70))


@given(st.tuples(*[st.floats(-30, 30)] * 4), st.booleans())
def test_no_bar_leaves_its_chart(ends, is_deep):
    axes = DEEP if is_deep else HIGH
    bar, *ends_of_it = axes.bar(ends[:2], ends[2:])
    left, top, right, bottom = bar.box_mm
    assert 10 - 1e-9 <= left < right <= 110.06 and 20 - 1e-9 <= top < bottom <= 70.06
    for one in ends_of_it:
        assert one.x1_mm == one.x2_mm and left <= one.x1_mm <= right + 1e-9


@pytest.mark.parametrize(("tall_mm", "line_mm"), [(0.9, 0.0), (1.1, 0.1)])
def test_a_thin_bar_has_no_outline_so_that_close_ones_stay_grey(tall_mm, line_mm):
    """50 mm of paper for the span of the axis of depth; what covers a thin bar is its grey."""
    per_mm = (DEEP.y.end - DEEP.y.start) / 50.0
    bar, *lines = DEEP.bar((DEEP.x.start, DEEP.x.end), (0.0, tall_mm * per_mm))
    assert bar.height_mm == pytest.approx(tall_mm)
    assert (bar.line_mm, bar.fill) == (line_mm, "grey")
    assert not [one for one in lines if one.y1_mm == one.y2_mm]


def test_limits_are_dashed_and_named_on_white():
    line, white, name = HIGH.level(2.5, "limit 2.5")
    assert isinstance(line, Line) and isinstance(white, Rect) and isinstance(name, Text)
    assert line.box_mm == pytest.approx((10, 57.5, 110, 57.5)) and line.dash_mm
    assert name.bold and name.box_mm[2] < 110
    assert name.width_mm == pytest.approx(width_mm("limit 2.5", HIGH.size_mm, bold=True))
    assert white.box_mm[0] < name.box_mm[0] and white.box_mm[2] > name.box_mm[2]
    (line,) = DEEP.upright(1)
    assert line.box_mm == pytest.approx((20, 20, 20, 70)) and line.dash_mm
    assert len(list(HIGH.level(2.5))) == 1


def test_a_track_beside_another_has_no_figures_of_its_own():
    both = [one.text for one in DEEP.frame() if isinstance(one, Text)]
    across = [one.text for one in DEEP.frame(figures_down=False) if isinstance(one, Text)]
    assert "depth" in both and "depth" not in across
    assert "x" in across and across.count("4") == 1 and both.count("4") == 2
