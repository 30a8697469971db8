"""What must hold for any hole, string and tool."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.formulas.survey import Station, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, hook_load
from abreast.mechanics.setting_depth import Assembly, Limits, scan
from abreast.mechanics.tool_passage import Bore, Stiff, tool_passes

angles = st.floats(0.0, math.radians(89))
turns = st.floats(0.0, 2 * math.pi)
surveys = st.lists(st.tuples(angles, turns), min_size=1, max_size=5).map(
    lambda rows: [
        Station(0.0, 0.0, 0.0),
        *(Station(300.0 * k, inc, azi) for k, (inc, azi) in enumerate(rows, 1)),
    ]
)


@settings(max_examples=30, deadline=None)
@given(surveys, st.floats(0, 1), st.floats(0, 0.5))
def test_friction_only_ever_holds_back(stations, friction, more):
    hole, length_m = positions(stations), stations[-1].md_m
    items = [StringItem("pipe", length_m, 20 * length_m, 0.07)]

    def load(mu):
        return hook_load(hole, items, length_m, Fluids(1000, 1000), Drag(min(mu, 1.0)))

    one, two = load(friction), load(friction + more)
    vertical_n = 20 * 9.80665 * (1 - 1000 / 7850) * hole[-1].down_m
    assert one.still_n[-1] == pytest.approx(vertical_n, rel=1e-9, abs=1e-3)
    assert one.down_n[-1] <= one.still_n[-1] + 1e-6
    assert one.up_n[-1] >= one.still_n[-1] - 1e-6
    assert two.up_n[-1] >= one.up_n[-1] - 1e-6


@settings(max_examples=60, deadline=None)
@given(surveys, st.floats(1.0, 200.0), st.floats(0.0, 1.0), turns)
def test_setting_depth_does_not_care_for_north(stations, length_m, share, turn):
    top_m = share * (stations[-1].md_m - length_m)
    turned = [Station(s.md_m, s.inclination_rad, s.azimuth_rad + turn) for s in stations]
    one = scan(stations, Assembly(length_m, 0.1), [top_m], Limits())[0]
    two = scan(turned, Assembly(length_m, 0.1), [top_m], Limits())[0]
    assert two.dogleg_rad_m == pytest.approx(one.dogleg_rad_m, abs=1e-12)
    assert two.inclination_rad == pytest.approx(one.inclination_rad, abs=1e-6)
    assert one.dogleg_rad_m <= one.running_rad_m


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.3, 3.0), st.floats(0.05, 0.09), st.floats(-0.03, 0.03)),
        min_size=1,
        max_size=4,
    ),
    st.floats(0.1, 1.0),
    st.floats(0.02, 0.045),
)
def test_room_shrinks_with_length_and_goes_with_diameter(pieces, share, od_m):
    way = [Bore(str(k), *piece) for k, piece in enumerate(pieces)]
    whole_m = math.fsum(one.length_m for one in way)
    long, short = (Stiff("", size * whole_m, od_m) for size in (share, share / 2))
    # Room is told up to a micrometre too small.
    assert tool_passes(way, long).room_m <= tool_passes(way, short).room_m + 1e-6
    thin = tool_passes(way, Stiff("", share * whole_m, od_m - 0.01))
    assert thin.room_m == pytest.approx(tool_passes(way, long).room_m + 0.01, abs=1e-6)
