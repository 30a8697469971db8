"""What must hold for the hook load of any run."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.formulas.survey import Station, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, forecast

angles = st.floats(0.0, math.radians(110))
holes = st.lists(st.tuples(angles, st.floats(0, 6.28)), min_size=1, max_size=5).map(
    lambda rows: positions(
        [
            Station(0.0, 0.0, 0.0),
            *(Station(300.0 * k, inc, azi) for k, (inc, azi) in enumerate(rows, 1)),
        ]
    )
)
strings = st.lists(
    st.builds(
        StringItem,
        st.just("piece"),
        st.floats(1.0, 60.0),
        st.floats(100.0, 4000.0),
        clamps=st.integers(0, 2),
        own_drag=st.booleans(),
    ),
    min_size=1,
    max_size=5,
)
drags = st.builds(
    Drag, st.floats(0, 1), st.none() | st.floats(0, 9000), st.none() | st.floats(0, 200)
)


@settings(max_examples=60, deadline=None)
@given(holes, strings, drags, st.floats(0, 0.5))
def test_up_above_still_above_down_and_more_friction_holds_more(hole, items, drag, more):
    rough = Drag(min(drag.friction_ratio + more, 1.0), drag.twin_n, drag.clamp_n)
    fluids = Fluids(1000.0, 1000.0)
    for one, two in zip(
        forecast(hole, items, fluids, drag), forecast(hole, items, fluids, rough), strict=True
    ):
        assert len(one.tops) == len({*one.tops})
        slack = 1e-9 * (abs(one.up_n[-1]) + abs(one.still_n[-1]) + 1)
        for up, still, down in zip(one.up_n, one.still_n, one.down_n, strict=True):
            assert down - slack <= still <= up + slack
        assert two.up_n[-1] >= one.up_n[-1] - slack
        assert two.down_n[-1] <= one.down_n[-1] + slack
        assert two.still_n == one.still_n


@settings(max_examples=60, deadline=None)
@given(holes, strings)
def test_without_friction_and_allowance_all_three_are_equal(hole, items):
    for load in forecast(hole, items, Fluids(1000.0, 1000.0), Drag(0.0)):
        assert load.up_n == pytest.approx(load.still_n, abs=1e-6)
        assert load.down_n == pytest.approx(load.still_n, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(holes, strings, drags, st.floats(0, 6.28))
def test_hook_load_does_not_care_for_north(hole, items, drag, turn):
    turned = positions(
        [
            Station(s.station.md_m, s.station.inclination_rad, s.station.azimuth_rad + turn)
            for s in hole
        ]
    )
    for one, two in zip(
        forecast(hole, items, Fluids(), drag), forecast(turned, items, Fluids(), drag), strict=True
    ):
        assert two.up_n[-1] == pytest.approx(one.up_n[-1], rel=1e-7, abs=1e-2)
        assert two.down_n[-1] == pytest.approx(one.down_n[-1], rel=1e-7, abs=1e-2)
