"""Hidden lines, against points tried one by one."""

from __future__ import annotations

from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.drawing import Line, Rect, Text
from abreast.drawing.hidden import covers, visible

PLACES = st.floats(-20, 20)
BOXES = st.tuples(PLACES, PLACES, st.floats(0.5, 15), st.floats(0.5, 15)).map(
    lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3])
)


@given(st.tuples(PLACES, PLACES), st.tuples(PLACES, PLACES), st.lists(BOXES, max_size=5))
def test_points_are_seen_unless_a_box_holds_them(
    start: tuple[float, float],
    end: tuple[float, float],
    boxes: list[tuple[float, float, float, float]],
) -> None:
    if dist(start, end) < 0.1:
        return
    parts = visible((start, end), boxes)
    for step in range(1, 60):
        x, y = (a + (b - a) * step / 60 for a, b in zip(start, end, strict=True))
        edge = min(
            (min(abs(x - b[0]), abs(x - b[2]), abs(y - b[1]), abs(y - b[3])) for b in boxes),
            default=1.0,
        )
        if edge < 1e-3:
            continue
        held = any(b[0] < x < b[2] and b[1] < y < b[3] for b in boxes)
        shown = any(dist(p, (x, y)) + dist((x, y), q) <= dist(p, q) + 1e-7 for p, q in parts)
        assert shown != held


def test_a_line_through_a_box_is_cut_in_two() -> None:
    parts = visible(((0, 5), (10, 5)), [(4, 0, 6, 10)])
    assert [x for part in parts for x, _ in part] == pytest.approx([0, 4, 6, 10], abs=1e-5)


def test_an_edge_of_a_box_hides_nothing() -> None:
    """Stacked bars share an edge, which both of them show."""
    assert visible(((4, 0), (4, 10)), [(4, 0, 6, 10)]) == [((4, 0), (4, 10))]


def test_only_later_opaque_shapes_cover() -> None:
    white = Rect(0, 0, 10, 10, "esp")
    see_through = Rect(0, 0, 10, 10, "frame", "none")
    line, words = Line(0, 5, 10, 5, "esp"), Text(1, 5, "B05", 2.5)
    boxes = covers([white, line, see_through, words, white])
    assert boxes[1] == [white.box_mm]
    assert boxes[4] == []
    assert boxes[0] == [white.box_mm]
