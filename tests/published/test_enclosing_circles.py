"""The smallest circle round discs against printed and classical figures.

Sources: Descartes' theorem for three discs that touch (Soddy's outer circle;
from memory), the incircle of the arbelos for the limit up to which the third
disc costs nothing (closed form; from memory), equal circles in a circle as
published by Kravitz (1967) and Graham (1968) (from memory, six decimals), and
triangles of school geometry. What they print as R is compared to half of the
last digit.
"""

import math
from itertools import pairwise

import pytest

from abreast.formulas.enclosing import enclosing_circle

SIX = 5e-7
TRIPLES = [
    # r1, r2, r3 that touch one another, the circle that touches all three, the smallest circle
    (1.0, 1.0, 1.0, 2.154701, 2.154701),
    (1.0, 1.0, 2 / 3, 2.000000, 2.000000),  # just as large as it may be for nothing
    (1.0, 1.0, 0.7, 2.002601, 2.002601),
    (1.0, 2.0, 3.0, 6.000000, 5.000000),  # the 3-4-5 trap: the touching circle is not smallest
    (2.0, 2.0, 1.0, 4.236068, 4.000000),
    (3.0, 2.0, 1.5, 5.008184, 5.000000),
    (2.81, 1.834, 0.6, 27.206, 4.644000),  # a cable in the cusp between two strings
]


def touching(a, b, c):
    """Three discs that touch one another: the first two on a line, the third by its distances."""
    x = ((a + b) ** 2 + (a + c) ** 2 - (b + c) ** 2) / (2 * (a + b))
    return [(0.0, 0.0, a), (a + b, 0.0, b), (x, math.sqrt((a + c) ** 2 - x * x), c)]


def soddy(a, b, c):
    """Descartes: k4 = k1 + k2 + k3 - 2 sqrt(k1 k2 + k2 k3 + k3 k1), the circle round them."""
    k = [1 / a, 1 / b, 1 / c]
    return -1 / (sum(k) - 2 * math.sqrt(k[0] * k[1] + k[1] * k[2] + k[2] * k[0]))


@pytest.mark.parametrize(("a", "b", "c", "around", "smallest"), TRIPLES)
def test_three_discs_that_touch(a, b, c, around, smallest):
    assert soddy(a, b, c) == pytest.approx(around, abs=5e-4 if around > 20 else SIX)
    circle = enclosing_circle(touching(a, b, c))
    assert circle.radius_m == pytest.approx(smallest, abs=SIX)
    assert len(circle.deciding) == (2 if smallest < around - SIX or smallest == 2.0 else 3)


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (3.0, 2.0), (2.81, 1.834), (5.0, 0.5)])
def test_third_disc_costs_nothing_up_to_the_incircle_of_the_arbelos(a, b):
    """r3 <= r1 r2 (r1 + r2) / (r1^2 + r1 r2 + r2^2)."""
    limit = a * b * (a + b) / (a * a + a * b + b * b)
    assert enclosing_circle(touching(a, b, limit * 0.999)).radius_m == pytest.approx(a + b, abs=SIX)
    over = touching(a, b, limit * 1.01)
    assert enclosing_circle(over).radius_m > a + b + 1e-7
    assert enclosing_circle(over).radius_m == pytest.approx(soddy(a, b, limit * 1.01), rel=1e-9)


def ring(count, radius):
    """Unit discs with their centres on a circle."""
    angles = (2 * math.pi * i / count for i in range(count))
    return [(radius * math.cos(t), radius * math.sin(t), 1.0) for t in angles]


@pytest.mark.parametrize(
    ("count", "inner", "ratio"),
    [
        (2, 0, 2.0),
        (3, 0, 2.154701),
        (4, 0, 2.414214),
        (5, 0, 2.701302),
        (6, 0, 3.0),
        (6, 1, 3.0),
        (7, 1, 3.304765),
        (8, 1, 3.613126),
    ],
)
def test_equal_circles_in_a_circle(count, inner, ratio):
    """The best packings of up to nine: neighbours in the ring touch."""
    discs = ring(count, 1 / math.sin(math.pi / count)) + [(0.0, 0.0, 1.0)] * inner
    assert all(math.dist(p[:2], q[:2]) == pytest.approx(2) for p, q in pairwise(discs[:count]))
    circle = enclosing_circle(discs)
    assert circle.radius_m == pytest.approx(ratio, abs=SIX)
    assert (circle.x_m, circle.y_m) == pytest.approx((0, 0), abs=1e-9)


@pytest.mark.parametrize(
    ("discs", "radius", "centre"),
    [
        # by convex minimisation to 1e-6, two strings and a cable at given places
        ([(0, 0, 2.81), (4.6, 0, 1.4375), (1.5, 3.2, 0.5)], 4.42375, (1.61375, 0.0)),
        ([(0, 0, 2), (5, 0, 1), (1, 4, 1.5)], 4.3390808, (1.932184, 1.318318)),
    ],
)
def test_discs_at_given_places(discs, radius, centre):
    circle = enclosing_circle(discs)
    assert circle.radius_m == pytest.approx(radius, abs=1e-6)
    assert (circle.x_m, circle.y_m) == pytest.approx(centre, abs=1e-6)


@pytest.mark.parametrize(
    ("a", "b", "c"), [(3, 4, 5), (5, 5, 6), (7, 8, 9), (2, 2, 3.9), (13, 14, 15), (1, 1, 1)]
)
def test_points_of_a_triangle(a, b, c):
    """Half of the longest side if right or obtuse, else abc / 4K with Heron's area K."""
    a, b, c = sorted((a, b, c))
    x = (c * c + b * b - a * a) / (2 * c)
    points = [(0.0, 0.0, 0.0), (float(c), 0.0, 0.0), (x, math.sqrt(b * b - x * x), 0.0)]
    half = (a + b + c) / 2
    area = math.sqrt(half * (half - a) * (half - b) * (half - c))
    expected = c / 2 if a * a + b * b <= c * c else a * b * c / (4 * area)
    assert enclosing_circle(points).radius_m == pytest.approx(expected, rel=1e-12)


def test_rectangle_with_round_corners():
    """Half of the diagonal between the corner arcs' centres, and the radius of the corners."""
    width, height, corner = 1.3, 0.6, 0.2
    x, y = width / 2 - corner, height / 2 - corner
    corners = [(sx * x, sy * y, corner) for sx in (-1, 1) for sy in (-1, 1)]
    assert enclosing_circle(corners).radius_m == pytest.approx(math.hypot(x, y) + corner, rel=1e-12)
