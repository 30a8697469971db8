"""What holds for the smallest circle round any discs, and a second, slow way to find it."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.enclosing import Disc, enclosing_circle

SIZE = st.floats(-10, 10, allow_subnormal=False)
DISC = st.builds(Disc, SIZE, SIZE, st.floats(0, 5, allow_subnormal=False))
WHOLE = st.builds(Disc, *[st.integers(-3, 3)] * 2, st.integers(0, 3))  # touching, equal, aligned
DISCS = st.lists(DISC, min_size=1, max_size=9) | st.lists(WHOLE, min_size=1, max_size=9)
NEAR = 1e-9 * 20


def reach(x, y, discs):
    return max(math.hypot(a - x, b - y) + r for a, b, r in discs)


def minimised(discs):
    """Convex minimisation by nested golden section; knows nothing of deciding discs."""

    def golden(f, low, high):
        share = (math.sqrt(5) - 1) / 2
        a, b = high - share * (high - low), low + share * (high - low)
        fa, fb = f(a), f(b)
        for _ in range(70):
            if fa < fb:
                high, b, fb = b, a, fa
                a = high - share * (high - low)
                fa = f(a)
            else:
                low, a, fa = a, b, fb
                b = low + share * (high - low)
                fb = f(b)
        return min(fa, fb)

    xs, ys = [d[0] for d in discs], [d[1] for d in discs]
    return golden(
        lambda x: golden(lambda y: reach(x, y, discs), min(ys), max(ys)), min(xs), max(xs)
    )


@settings(deadline=None)
@given(DISCS)
def test_it_takes_every_disc_and_those_that_decide_touch_it(discs):
    circle = enclosing_circle(discs)
    assert reach(circle.x_m, circle.y_m, discs) <= circle.radius_m + NEAR
    assert 1 <= len(circle.deciding) <= 3
    for place in circle.deciding:
        assert reach(circle.x_m, circle.y_m, [discs[place]]) == pytest.approx(
            circle.radius_m, abs=NEAR
        )


@settings(deadline=None)
@given(DISCS)
def test_those_that_decide_are_enough_and_all_needed(discs):
    circle = enclosing_circle(discs)
    few = [discs[place] for place in circle.deciding]
    assert enclosing_circle(few).radius_m == pytest.approx(circle.radius_m, abs=NEAR)
    if len(few) > 1:
        less = [enclosing_circle(few[:i] + few[i + 1 :]).radius_m for i in range(len(few))]
        assert all(one <= circle.radius_m for one in less)


@settings(deadline=None, max_examples=30)
@given(DISCS)
def test_no_centre_does_better(discs):
    assert enclosing_circle(discs).radius_m == pytest.approx(minimised(discs), abs=1e-7)


@settings(deadline=None)
@given(DISCS, SIZE, SIZE, st.floats(0, 2 * math.pi))
def test_it_moves_and_turns_with_the_discs(discs, dx, dy, angle):
    c, s = math.cos(angle), math.sin(angle)
    moved = [(c * x - s * y + dx, s * x + c * y + dy, r) for x, y, r in discs]
    one, other = enclosing_circle(discs), enclosing_circle(moved)
    assert other.radius_m == pytest.approx(one.radius_m, abs=NEAR)
    # the centre is as well known as the root of what rounding leaves in the radius
    assert other.x_m == pytest.approx(c * one.x_m - s * one.y_m + dx, abs=1e-5)
    assert other.y_m == pytest.approx(s * one.x_m + c * one.y_m + dy, abs=1e-5)


@settings(deadline=None)
@given(DISCS, st.randoms(use_true_random=False))
def test_order_does_not_matter(discs, chance):
    mixed = list(discs)
    chance.shuffle(mixed)
    assert enclosing_circle(mixed).radius_m == pytest.approx(
        enclosing_circle(discs).radius_m, abs=NEAR
    )


@settings(deadline=None)
@given(DISCS, st.data())
def test_it_never_shrinks_when_a_disc_grows_or_comes(discs, chance):
    before = enclosing_circle(discs).radius_m
    place = chance.draw(st.integers(0, len(discs) - 1))
    x, y, r = discs[place]
    more = chance.draw(st.floats(0, 3))
    grown = [*discs[:place], (x, y, r + more), *discs[place + 1 :]]
    after = enclosing_circle(grown).radius_m
    assert before - NEAR <= after <= before + more + NEAR
    assert enclosing_circle([*discs, chance.draw(DISC)]).radius_m >= before - NEAR


@settings(deadline=None)
@given(DISCS, st.data())
def test_a_disc_inside_another_changes_nothing(discs, chance):
    x, y, r = chance.draw(st.sampled_from(discs))
    share, angle = chance.draw(st.floats(0, 1)), chance.draw(st.floats(0, 7))
    off = r * share
    inner = (x + off * math.cos(angle), y + off * math.sin(angle), max(r - off, 0.0))
    assert enclosing_circle([*discs, inner]).radius_m == pytest.approx(
        enclosing_circle(discs).radius_m, abs=NEAR
    )


@pytest.mark.parametrize("off", [0.0, 1e-15, 1e-12, 1e-9, 1e-6, 1e-3])
def test_discs_nearly_in_a_line_and_nearly_equal(off):
    """The quadratic of three discs is then ill; the answer must not be."""
    chance = random.Random(5)
    for _ in range(200):
        y = [chance.uniform(-off, off) for _ in range(6)]
        line = [(chance.uniform(-1, 1), h, chance.uniform(0, 0.3)) for h in y]
        low, high = min(x - r for x, _, r in line), max(x + r for x, _, r in line)
        widest = max(r for _, _, r in line)
        expected = max((high - low) / 2, widest)
        assert enclosing_circle(line).radius_m == pytest.approx(expected, abs=3 * off + 1e-12)
        equal = [(h, -g, 1.0 + k) for h, g, k in zip(y, y[1:], y[2:], strict=False)]
        assert enclosing_circle(equal).radius_m == pytest.approx(1.0, abs=4 * off + 1e-12)


def test_far_from_the_origin_no_digits_are_lost():
    discs = [(0.0, 0.0, 2.0), (5.0, 0.0, 1.0), (1.0, 4.0, 1.5)]
    far = [(x + 4096.0, y - 8192.0, r) for x, y, r in discs]
    assert enclosing_circle(far).radius_m == pytest.approx(
        enclosing_circle(discs).radius_m, rel=1e-14
    )


@pytest.mark.parametrize(
    ("discs", "where", "says"),
    [
        ([], "discs", "at least one"),
        ([(0, 0, 1), (0, math.nan, 1)], "discs.2.y_m", "finite"),
        ([(math.inf, 0, 1)], "discs.1.x_m", "finite"),
        ([(0, 0, -0.1)], "discs.1.radius_m", "must not be below 0"),
        ([(0, 0, math.inf)], "discs.1.radius_m", "finite"),
    ],
)
def test_what_is_no_disc_is_refused(discs, where, says):
    with pytest.raises(InputError, match=says) as caught:
        enclosing_circle(discs)
    assert caught.value.where.field == where
