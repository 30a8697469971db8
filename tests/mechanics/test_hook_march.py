"""Many depths at once give what the formulas give cell by cell, with pieces that move along."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.soft_string import Cell, normal_force, tension_above
from abreast.formulas.survey import Station, direction, position_at, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, forecast, hook_load

TOUCH = 1e-6


def one_by_one(hole, items, bottom_m, fluids, drag):
    """The string cut and marched with the scalar formulas: up, down and still at the surface."""
    top_m = hole[0].station.md_m
    own_m, deep_m = 0.0, bottom_m
    for one in items:
        own_m += one.own_drag * max(min(one.length_m, deep_m - top_m), 0.0)
        deep_m -= one.length_m
    ways = drag.twin_ways_n or (0.0, 0.0)
    foot = (0.0, 0.0) if own_m else ways
    up, down, still, lower = foot[0], -foot[1], 0.0, bottom_m
    cuts = {one.station.md_m for one in hole}
    cuts |= {fluids.outside_level_md_m, fluids.inside_level_md_m}
    for item in items:
        upper = max(lower - item.length_m, top_m)
        if lower - upper <= TOUCH:
            break
        inner = {md for md in cuts if upper + TOUCH < md < lower - TOUCH}
        free = item.own_drag and drag.twin_ways_n is not None
        for low, high in pairwise(sorted({upper, lower, *inner}, reverse=True)):
            ends = [direction(position_at(hole, md).station) for md in (low, high)]
            parts = max(1, math.ceil((low - high) / 10), math.ceil(math.dist(*ends) / 0.02))
            points = [low - (low - high) * k / parts for k in range(parts)] + [high]
            for below, above in pairwise(points):
                length_m = below - above
                loads = []
                for way, load in (("up", up), ("down", down), ("still", still)):
                    held = item.clamps * (drag.clamp_n or 0.0) / item.length_m * length_m
                    if item.own_drag and way != "still":
                        held += ways[way == "down"] * length_m / own_m
                    cell = Cell(
                        position_at(hole, above),
                        position_at(hole, below),
                        fluids.weight_n_m(item, (low + high) / 2),
                        held,
                    )
                    loads.append(
                        tension_above(load, cell, 0.0 if free else drag.friction_ratio, way)
                    )
                up, down, still = loads
        lower = upper
    return up, down, still


angles = st.floats(0.0, math.radians(95))
holes = st.lists(st.tuples(angles, st.floats(0, 2 * math.pi)), min_size=1, max_size=4).map(
    lambda rows: positions(
        [
            Station(0.0, 0.0, 0.0),
            *(Station(170.0 * k, inc, azi) for k, (inc, azi) in enumerate(rows, 1)),
        ]
    )
)
strings = st.lists(
    st.builds(
        StringItem,
        st.just("piece"),
        st.floats(0.5, 60.0),
        st.floats(0.0, 4000.0),
        st.floats(0.0, 0.1),
        st.integers(0, 3),
        st.booleans(),
    ),
    min_size=1,
    max_size=4,
)
levels = st.sampled_from([-math.inf, 0.0, 33.0, 170.0, math.inf])
wells = st.builds(Fluids, st.floats(0, 1500), st.floats(0, 1500), levels, levels)
drags = st.builds(
    Drag,
    st.floats(0, 1),
    st.none() | st.floats(0, 9000),
    st.none() | st.floats(0, 200),
    st.none() | st.floats(0, 9000),
)


@settings(max_examples=25, deadline=None)
@given(holes, strings, wells, drags)
def test_all_depths_at_once_are_the_formulas_cell_by_cell(hole, items, fluids, drag):
    end_m = hole[-1].station.md_m
    while sum(one.length_m for one in items) > end_m:
        items = items[:-1]
    run = forecast(hole, items, fluids, drag)
    for count, row in enumerate(run, 1):
        up, down, still = one_by_one(hole, items[:count], row.bottom_md_m, fluids, drag)
        found = (row.up_n[-1], row.down_n[-1], row.still_n[-1])
        assert found == pytest.approx((up, down, still), rel=1e-9, abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(
    angles,
    angles,
    st.floats(0, 6.2),
    st.floats(-1e6, 1e6),
    st.floats(-300, 900),
    st.floats(0, 1),
    st.floats(0, 5000),
)
def test_friction_of_a_cell_agrees_with_its_own_wall_force(
    first, last, turn, below_n, weight_n_m, friction, drag_n
):
    """T1 = T2 + w dTVD +- (mu N + drag) with N of the mean tension: put back into itself."""
    hole = positions([Station(0, first, 0.3), Station(20, last, turn)])
    cell = Cell(hole[0], hole[1], weight_n_m, drag_n)
    still = below_n + weight_n_m * (hole[1].down_m - hole[0].down_m)
    for way, sign in (("up", 1), ("down", -1)):
        above = tension_above(below_n, cell, friction, way)
        wall = normal_force((below_n + above) / 2, cell)
        assert wall >= 0
        scale = abs(below_n) + abs(weight_n_m) * 20 + drag_n + 1
        held = sign * (friction * wall + drag_n)
        # A cell bent sharply with much friction carries a tension many times as large.
        assert above == pytest.approx(still + held, rel=1e-6, abs=1e-6 * scale)


def test_a_twin_with_a_drag_of_its_own_has_no_other():
    """Straight at 60 degrees: W cos 60 less the drag given, friction on the tubing only."""
    hole = positions([Station(0, math.pi / 3, 0), Station(500, math.pi / 3, 0)])
    twin, pipe = StringItem("twin", 50.0, 3000.0, own_drag=True), StringItem("pipe", 200.0, 4000.0)
    load = hook_load(hole, [twin, pipe], 250.0, Fluids(), Drag(0.3, 2_000.0, twin_up_n=2_500.0))
    twin_n, pipe_n, sine = 3000 * 9.80665, 4000 * 9.80665, math.sin(math.pi / 3)
    top = load.tops[0]
    assert load.md_m[top] == pytest.approx(200.0)
    assert load.up_n[top] == pytest.approx(twin_n / 2 + 2_500)
    assert load.down_n[top] == pytest.approx(twin_n / 2 - 2_000)
    assert load.up_n[-1] == pytest.approx((twin_n + pipe_n) / 2 + 2_500 + 0.3 * pipe_n * sine)
    assert load.compressed_md_m is None
    plain = hook_load(hole, [twin, pipe], 250.0, Fluids(), Drag(0.3))
    assert plain.up_n[top] == pytest.approx(twin_n * (0.5 + 0.3 * sine))


def test_drag_may_go_with_depth():
    hole = positions([Station(0, 0, 0), Station(500, 0, 0)])
    items = [StringItem("twin", 50.0, 3000.0, own_drag=True), StringItem("pipe", 200.0, 4000.0)]
    run = forecast(hole, items, Fluids(), [Drag(0.3, 100.0), Drag(0.3)])
    assert run[0].up_n[-1] - run[0].still_n[-1] == pytest.approx(100.0)
    assert run[1].up_n[-1] == pytest.approx(run[1].still_n[-1])
    assert [one.not_counted[0] for one in run] == [
        "drag of cable clamps: not counted",
        "drag of the twin string: not counted",
    ]
    with pytest.raises(InputError, match="one drag for each item"):
        forecast(hole, items, Fluids(), [Drag(0.3)])
