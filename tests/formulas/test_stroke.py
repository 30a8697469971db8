"""What is left of a stroke: job figures worked by hand, and what is no stroke."""

import pytest

from abreast.errors import InputError
from abreast.formulas.stroke import stroke_left


@pytest.mark.parametrize(
    ("length", "closed", "opened", "to_closed", "to_open", "from_middle"),
    [
        (3.00, 2.60, 3.40, 0.40, 0.40, 0.0),  # the first invented job, mid-stroke
        (2.92, 2.60, 3.40, 0.32, 0.48, -0.08),  # P02 in place of P04: 0.08 ft more closed
        (0.857, 0.74, 0.98, 0.117, 0.123, -0.003),  # the second
        (0.98, 0.74, 0.98, 0.24, 0.0, 0.12),
    ],
)
def test_stroke_left(length, closed, opened, to_closed, to_open, from_middle):
    left = stroke_left(length, closed, opened)
    assert left.to_closed_m == pytest.approx(to_closed)
    assert left.to_open_m == pytest.approx(to_open, abs=1e-12)
    assert left.from_middle_m == pytest.approx(from_middle, abs=1e-12)
    assert left.nearer_end_m == pytest.approx(min(to_closed, to_open), abs=1e-12)
    assert left.opened_ratio == pytest.approx(to_closed / (to_closed + to_open))


@pytest.mark.parametrize(
    ("sizes", "where"),
    [
        ((2.59, 2.60, 3.40), "length_m"),
        ((3.41, 2.60, 3.40), "length_m"),
        ((3.0, 3.4, 2.6), "closed_m"),
        ((3.0, 3.0, 3.0), "closed_m"),
    ],
)
def test_beyond_an_end_is_refused(sizes, where):
    with pytest.raises(InputError) as caught:
        stroke_left(*sizes)
    assert caught.value.where.field == where
