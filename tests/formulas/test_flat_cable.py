"""A flat cable beside a string: outline, gap and window against plain geometry and sampling."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.enclosing import enclosing_circle
from abreast.formulas.flat_cable import (
    FlatCable,
    angle_windows,
    common_windows,
    edge_margin,
    fold_angle,
)

CABLE = st.builds(
    lambda seat, thick, width, corner: FlatCable(
        seat, thick, width, corner * min(thick, width) / 2
    ),
    st.floats(1, 4),
    st.floats(0.1, 1),
    st.floats(0.2, 2),
    st.floats(0, 1),
)
PAIRS = {
    # ESP diameter, bypass diameter, spacing, thickness with guard, width, drift
    "job 1 pump": (5.13, 3.02, 4.25, 0.60, 1.30, 8.525),
    "job 1 motor head": (5.40, 2.875, 4.25, 0.60, 1.30, 8.525),  # no joint beside the motor
    "job 2 pump": (86.4, 60.33, 76.65, 12.5, 30.0, 153.90),
    "job 2 motor head": (91.4, 60.33, 76.65, 12.5, 30.0, 153.90),
}


def degrees(windows):
    return [(math.degrees(low), math.degrees(high)) for low, high in windows]


def outline(cable, angle, count=60):
    """Points on the edge of the cable, from its definition: a rectangle shrunk, then rounded."""
    c, s, r = math.cos(angle), math.sin(angle), cable.corner_radius_m
    half = cable.width_m / 2 - r
    corners = [(cable.seat_m + r, -half), (cable.seat_m + cable.thickness_m - r, -half)]
    corners += [(off, half) for off, _ in reversed(corners)]
    points = []
    for number, (off, along) in enumerate(corners):
        start = math.pi + number * math.pi / 2
        for step in range(count + 1):
            turn = start + math.pi / 2 * step / count
            a, b = off + r * math.cos(turn), along + r * math.sin(turn)
            points.append((a * c - b * s, a * s + b * c))
    return points


@settings(deadline=None, max_examples=60)
@given(CABLE, st.floats(0, 2 * math.pi), st.floats(0, 12), st.floats(0.1, 3))
def test_gap_is_the_distance_of_the_outlines(cable, angle, away, radius):
    """Sampled edge: no point of it is nearer than the gap, and one is about as near."""
    edge = outline(cable, angle)
    sampled = math.inf
    for (x1, y1), (x2, y2) in zip(edge, [*edge[1:], edge[0]], strict=True):
        length2 = (x2 - x1) ** 2 + (y2 - y1) ** 2
        at = ((away - x1) * (x2 - x1) - y1 * (y2 - y1)) / length2 if length2 > 1e-300 else 0.0
        at = min(max(at, 0.0), 1.0)
        sampled = min(sampled, math.hypot(x1 + at * (x2 - x1) - away, y1 + at * (y2 - y1)))
    gap = cable.gap(angle, (away, 0.0, radius))
    if gap > -radius:  # at -radius a sharp-cornered outline may hold the centre
        assert gap == pytest.approx(sampled - radius, abs=2e-3 * (1 + cable.corner_radius_m))
    else:
        assert gap >= -radius - cable.corner_radius_m - 1e-12


@settings(deadline=None, max_examples=60)
@given(CABLE, st.floats(0, 2 * math.pi))
def test_its_discs_are_its_hull_and_lie_on_the_string(cable, angle):
    discs = cable.discs(angle)
    assert len(discs) == 4
    edge = outline(cable, angle)
    farthest = max(math.hypot(x, y) for x, y in edge)
    sampled = 1e-4 * cable.corner_radius_m + 1e-12  # the arcs are sampled
    assert max(math.hypot(x, y) + r for x, y, r in discs) == pytest.approx(farthest, abs=sampled)
    foot = (cable.seat_m * math.cos(angle), cable.seat_m * math.sin(angle))
    inward = [(x - foot[0]) * math.cos(angle) + (y - foot[1]) * math.sin(angle) for x, y in edge]
    assert min(inward) == pytest.approx(0.0, abs=1e-12)
    assert max(inward) == pytest.approx(cable.thickness_m, rel=1e-12)
    assert cable.gap(angle, (0.0, 0.0, cable.seat_m)) == pytest.approx(0.0, abs=1e-12)


@settings(deadline=None, max_examples=40)
@given(
    CABLE,
    st.floats(0.3, 2),
    st.floats(0.01, 1),
    st.floats(0, 1),
    st.floats(0, math.pi),
    st.floats(0, math.pi),
)
def test_the_circle_round_all_never_shrinks_as_the_cable_turns_away(
    cable, radius, free, held, one, other
):
    """What the search for the upper edge rests on, with and without a clamp round both."""
    spacing = cable.seat_m + radius + free
    pair = [(0.0, 0.0, cable.seat_m), (spacing, 0.0, radius)]
    pair.append((spacing / 2, 0.0, held * spacing))
    farthest = math.pi - cable.corner_rad
    near, far = sorted((min(one, farthest), min(other, farthest)))
    around = [enclosing_circle([*pair, *cable.discs(t)]).radius_m for t in (near, far)]
    assert around[0] <= around[1] + 1e-9


@settings(deadline=None, max_examples=25)
@given(CABLE, st.floats(0.3, 2), st.floats(0.01, 2.5), st.floats(1.0, 1.6))
def test_windows_agree_with_a_scan(cable, radius, free, room):
    """Every whole degree, on both sides, judged by itself."""
    spacing = cable.seat_m + radius + free
    pair = [(0.0, 0.0, cable.seat_m), (spacing, 0.0, radius)]
    bore = (2 * cable.seat_m + 2 * radius + free) * room
    windows = angle_windows(cable, pair, pair[1:], bore)
    for whole in range(-180, 181):
        angle = math.radians(whole)
        excess = 2 * enclosing_circle([*pair, *cable.discs(angle)]).radius_m - bore
        gap = cable.gap(angle, pair[1])
        margin = edge_margin(windows, fold_angle(angle))
        if excess <= -1e-6 and gap >= 1e-6:
            assert margin is not None
            assert margin >= -2e-6
        if excess > 1e-6 or gap < -1e-6:
            assert margin is None or margin <= 2e-6


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("job 1 pump", 30, 126),
        ("job 1 motor head", 29, 123),
        ("job 2 pump", 37, 118),
        ("job 2 motor head", 37, 109),
    ],
)
def test_windows_of_the_two_jobs_as_reckoned_by_hand(name, low, high):
    """Sharp corners, whole degrees; there the outer corners kept 2 % of its radius from the bypass.

    Without that 2 % the bypass edge lies about 1 degree lower.
    """
    esp, bypass, spacing, thick, width, drift = PAIRS[name]
    cable = FlatCable(esp / 2, thick, width)
    pair = [(0.0, 0.0, esp / 2), (spacing, 0.0, bypass / 2)]
    wider = [(spacing, 0.0, bypass / 2 * 1.02)]
    [(first, last)] = degrees(angle_windows(cable, pair, wider, drift))
    assert (math.ceil(first), math.floor(last)) == (low, high)
    [(bare, same)] = degrees(angle_windows(cable, pair, pair[1:], drift))
    assert low - 2 < bare < first
    assert same == last


@pytest.mark.parametrize("name", PAIRS)
def test_edges_are_where_the_limit_is_met(name):
    esp, bypass, spacing, thick, width, drift = PAIRS[name]
    cable = FlatCable(esp / 2, thick, width, 0.3 * thick)
    pair = [(0.0, 0.0, esp / 2), (spacing, 0.0, bypass / 2)]
    [(low, high)] = angle_windows(cable, pair, pair[1:], drift)
    around = [2 * enclosing_circle([*pair, *cable.discs(high + off)]).radius_m for off in (0, 2e-4)]
    assert around[0] <= drift * (1 + 1e-8) < around[1]
    assert cable.gap(low, pair[1]) == pytest.approx(0, abs=2e-5 * spacing)
    assert cable.gap(low - 2e-4, pair[1]) < 0


def test_rounder_corners_widen_the_window_and_a_guard_narrows_it():
    pair = [(0.0, 0.0, 2.7), (4.25, 0.0, 1.51)]

    def window(thick, corner):
        return angle_windows(FlatCable(2.7, thick, 1.3, corner), pair, pair[1:], 8.525)[0]

    sharp, rounded, bare = window(0.6, 0.0), window(0.6, 0.2), window(0.5, 0.0)
    assert rounded[0] < sharp[0]
    assert rounded[1] > sharp[1]
    assert bare[1] > sharp[1]


def test_a_cable_between_the_strings_is_a_window_of_its_own():
    """Room for it between them, none beside the joint, room again further round."""
    pair = [(0.0, 0.0, 1.0), (3.0, 0.0, 1.5)]
    cable = FlatCable(1.0, 0.5 - 1e-6, 1.0)
    windows = angle_windows(cable, pair, pair[1:], 9.0)
    assert len(windows) == 2
    assert windows[0][0] == 0.0
    assert windows[1][1] == math.pi
    assert edge_margin(windows, 0.0) > 0


def test_no_window_when_the_strings_alone_are_too_large():
    pair = [(0.0, 0.0, 2.7), (4.25, 0.0, 1.51)]
    assert angle_windows(FlatCable(2.7, 0.6, 1.3), pair, pair[1:], 8.4) == ()
    assert edge_margin((), 1.0) is None


def test_margin_to_the_nearer_edge_is_signed():
    windows = common_windows([(0.5, 2.0)], [(0.0, 1.0), (1.5, math.pi)])
    assert windows == ((0.5, 1.0), (1.5, 2.0))
    assert edge_margin(windows, 0.6) == pytest.approx(0.1)
    assert edge_margin(windows, 1.2) == pytest.approx(-0.2)
    assert edge_margin([(0.0, 1.0)], 0.1) == pytest.approx(0.9)


@pytest.mark.parametrize(("turned", "folded"), [(85, 85), (-85, 85), (275, 85), (180, 180)])
def test_either_side_folds_onto_the_clockwise_one(turned, folded):
    assert math.degrees(fold_angle(math.radians(turned))) == pytest.approx(folded)


@pytest.mark.parametrize(
    ("sizes", "where"),
    [
        ((-1.0, 0.5, 1.0, 0.0), "seat_m"),
        ((1.0, 0.0, 1.0, 0.0), "thickness_m"),
        ((1.0, 0.5, 0.0, 0.0), "width_m"),
        ((1.0, 0.5, 1.0, 0.26), "corner_radius_m"),
    ],
)
def test_no_such_cable(sizes, where):
    with pytest.raises(InputError) as caught:
        FlatCable(*sizes)
    assert caught.value.where.field == where


def test_discs_off_the_line_are_refused():
    with pytest.raises(InputError, match="on the line"):
        angle_windows(FlatCable(1, 0.5, 1), [(0.0, 0.1, 1.0)], [], 3.0)


def test_a_cable_that_lies_opposite_flat_has_a_window_of_its_own():
    """Its corners stand out farthest a little beside 180 degrees, where it does not fit."""
    cable = FlatCable(1.34375, 0.484375, 1.0, 0.12109375)
    pair = [(0.0, 0.0, 1.34375), (2.59375, 0.0, 0.5)]
    bore = (2 * 1.34375 + 2 * 0.5 + 0.75) * 1.1171875
    windows = angle_windows(cable, pair, pair[1:], bore)
    assert [round(math.degrees(end)) for window in windows for end in window] == [0, 161, 174, 180]
