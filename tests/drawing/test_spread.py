"""Labels moved apart: against every way of placing them, on small cases."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.drawing.spread import isotonic, spread
from abreast.errors import InputError

NUMBERS = st.floats(-50, 150)


def cheapest(wanted: list[float], heights: list[float], low: float, high: float) -> float:
    """Least sum of squares over all partitions into touching groups, each at its own optimum.

    An optimal placing is a row of groups of touching labels; a group that touches no end of the
    sheet sits where the sum of its moves is zero. All 2^(n-1) partitions are tried.
    """
    best = float("inf")
    for cuts in product((False, True), repeat=len(wanted) - 1):
        groups, start = [], 0
        for end, cut in enumerate([*cuts, True], 1):
            if cut:
                groups.append((start, end))
                start = end
        placed: list[float] = []
        for first, last in groups:
            places = [heights[first] / 2]
            for one, other in pairwise(heights[first:last]):
                places.append(places[-1] + (one + other) / 2)
            count = last - first
            top = sum(w - p for w, p in zip(wanted[first:last], places, strict=True)) / count
            least, most = low + sum(heights[:first]), high - sum(heights[first:])
            top = min(max(top, least), most)
            placed += [top + place for place in places]
        gaps = [(a + b) / 2 for a, b in pairwise(heights)]
        apart = all(y - x >= g - 1e-6 for (x, y), g in zip(pairwise(placed), gaps, strict=True))
        if apart:
            best = min(best, sum((p - w) ** 2 for p, w in zip(placed, wanted, strict=True)))
    return best


@given(st.lists(st.tuples(NUMBERS, st.floats(1, 20)), min_size=1, max_size=7))
def test_no_placing_moves_labels_less(rows: list[tuple[float, float]]) -> None:
    wanted = sorted(want for want, _ in rows)
    heights = [height for _, height in rows]
    low, high = 0.0, max(100.0, sum(heights))
    placed = spread(wanted, heights, low, high)
    cost = sum((p - w) ** 2 for p, w in zip(placed, wanted, strict=True))
    assert cost == pytest.approx(cheapest(wanted, heights, low, high), rel=1e-6, abs=1e-6)


@given(st.lists(st.tuples(NUMBERS, st.floats(0.5, 5)), min_size=1, max_size=30))
def test_labels_stay_apart_and_between_the_ends(rows: list[tuple[float, float]]) -> None:
    heights = [height for _, height in rows]
    placed = spread(sorted(want for want, _ in rows), heights, 0.0, 150.0)
    tops = [p - h / 2 for p, h in zip(placed, heights, strict=True)]
    ends = [p + h / 2 for p, h in zip(placed, heights, strict=True)]
    assert tops[0] >= -1e-9
    assert ends[-1] <= 150 + 1e-9
    assert all(top >= end - 1e-9 for top, end in zip(tops[1:], ends[:-1], strict=True))


@given(st.lists(NUMBERS, max_size=40))
def test_isotonic_rises_and_keeps_the_sum(values: list[float]) -> None:
    fit = isotonic(values)
    assert all(a <= b + 1e-9 for a, b in pairwise(fit))
    assert sum(fit) == pytest.approx(sum(values), abs=1e-6)


def test_labels_that_have_room_stay_where_they_are() -> None:
    assert spread([10.0, 30.0, 55.0], [4.0, 4.0, 4.0], 0.0, 60.0) == [10.0, 30.0, 55.0]


def test_too_many_labels_are_refused_in_words() -> None:
    with pytest.raises(InputError, match="3 labels need 30 mm of paper, there are 20 mm"):
        spread([1.0, 2.0, 3.0], [10.0, 10.0, 10.0], 0.0, 20.0)
