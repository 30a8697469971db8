"""Ranges of a survey against looking at every interval, and against points along the arcs."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation, Slerp

from abreast.errors import InputError
from abreast.formulas.survey import Station, dogleg_severity
from abreast.mechanics.hole_ranges import hole_ranges


@st.composite
def holes(draw):
    """Surveys of 2 to 12 stations; steep and flat, turning either way, some straight."""
    count = draw(st.integers(2, 12))
    steps = draw(st.lists(st.floats(1.0, 200.0), min_size=count, max_size=count))
    depth = np.cumsum(steps)
    inclinations = st.sampled_from([0.0, 30.0, 90.0]) | st.floats(0.0, 120.0)
    angles = [
        (math.radians(draw(inclinations)), math.radians(draw(st.floats(0.0, 359.0))))
        for _ in range(count)
    ]
    same = draw(st.booleans())
    # no two directions straight opposite: an azimuth turns less than 170 degrees at a time
    found, last = [], 0.0
    for md, (inc, azi) in zip(depth, angles, strict=True):
        turn = math.remainder(azi - last, math.tau)
        last = found[-1].azimuth_rad if same and found else last + max(-1.0, min(1.0, turn))
        found.append(Station(float(md), inc, last))
    return found


@st.composite
def asked(draw):
    hole = draw(holes())
    span = hole[-1].md_m - hole[0].md_m
    depths = st.sampled_from([one.md_m for one in hole]) | st.floats(0, 1).map(
        lambda share: hole[0].md_m + share * span
    )
    low, high = sorted((draw(depths), draw(depths)))
    return hole, low, min(max(high, low + 1e-3), hole[-1].md_m)


@given(asked())
def test_the_sharpest_is_that_of_all_intervals_looked_at(case):
    hole, top, bottom = case
    ranges = hole_ranges(hole, 0.001)
    place = int(ranges.sharpest(np.array([top]), np.array([bottom]))[0])
    bends = [dogleg_severity(a, b) for a, b in itertools.pairwise(hole)]
    over = [
        n
        for n, (a, b) in enumerate(itertools.pairwise(hole))
        if a.md_m < bottom - 1e-9 and b.md_m > top + 1e-9
    ]
    if not over:
        return
    assert place in over
    assert bends[place] == pytest.approx(max(bends[n] for n in over), rel=1e-12, abs=1e-15)
    assert ranges.severity_rad_m[place] == pytest.approx(bends[place] + 0.001, rel=1e-12)


@given(asked())
def test_inclinations_hold_every_point_of_the_arcs(case):
    """Points on great circles by scipy's rotations, an independent interpolation."""
    hole, top, bottom = case
    low, high = (float(one[0]) for one in hole_ranges(hole).inclination([top], [bottom]))
    seen = []
    for upper, lower in itertools.pairwise(hole):
        start, end = max(upper.md_m, top), min(lower.md_m, bottom)
        if start > end:
            continue
        depths = np.linspace(start, end, 200)
        seen += list(_tilts(upper, lower, depths))
    assert low - 1e-9 <= min(seen) and max(seen) <= high + 1e-9
    # 200 points of an arc of at most 180 degrees are at most 0.016 apart
    assert min(seen) - low < 0.008
    assert high - max(seen) < 0.008


def _tilts(upper, lower, depths):
    """Turn the upper direction into the lower one about the normal of both."""
    a, b = (
        np.array(
            [
                math.sin(s.inclination_rad) * math.cos(s.azimuth_rad),
                math.sin(s.inclination_rad) * math.sin(s.azimuth_rad),
                math.cos(s.inclination_rad),
            ]
        )
        for s in (upper, lower)
    )
    across = np.cross(a, b)
    size = float(np.linalg.norm(across))
    angle = math.atan2(size, float(a @ b))
    if size < 1e-12:
        return [upper.inclination_rad] * len(depths)
    ends = Rotation.from_rotvec([np.zeros(3), across / size * angle])
    points = Slerp([upper.md_m, lower.md_m], ends)(depths).apply(a)
    return np.arctan2(np.hypot(points[:, 0], points[:, 1]), points[:, 2])


def test_the_published_interval():
    """15 deg at 20 to 25 deg at 45 in 100 ft: 12.95 degrees.

    Formulas and Calculations for Drilling, Production and Workover, 2nd edition, as
    an open tutorial on minimum curvature cites it.
    """
    hole = [
        Station(3500 * 0.3048, math.radians(15), math.radians(20)),
        Station(3600 * 0.3048, math.radians(25), math.radians(45)),
    ]
    (severity,) = hole_ranges(hole).severity_rad_m
    assert math.degrees(severity * 30.48) == pytest.approx(12.95, abs=0.005)


def test_half_way_on_the_arc():
    """1800/24/56 to 2000/30/58: 26.9965 degrees half-way, exact on the great circle, not 27."""
    hole = [
        Station(1800, math.radians(24), math.radians(56)),
        Station(2000, math.radians(30), math.radians(58)),
    ]
    low, high = hole_ranges(hole).inclination([1900.0], [2000.0])
    assert math.degrees(float(low[0])) == pytest.approx(26.996507, abs=5e-7)
    assert math.degrees(float(high[0])) == pytest.approx(30)


@pytest.mark.parametrize(("inc", "least", "most"), [(80, 0, 1), (100, 1, 0)])
def test_an_arc_between_equal_inclinations_bows_away_from_horizontal(inc, least, most):
    """Half-way on a great circle tan I = tan 80 cos 30; the same seen from below at 100."""
    arc = [Station(0, math.radians(inc), 0.0), Station(100, math.radians(inc), math.radians(60))]
    found = [float(one[0]) for one in hole_ranges(arc).inclination([0.0], [100.0])]
    middle = math.atan(math.tan(math.radians(80)) * math.cos(math.radians(30)))
    assert found[least] == pytest.approx(middle if inc < 90 else math.pi - middle, rel=1e-9)
    assert found[most] == pytest.approx(math.radians(inc))


@pytest.mark.parametrize(
    ("rows", "field", "words"),
    [
        ([(0, 0, 0)], "stations", "at least two"),
        ([(0, 0, 0), (0, 1, 0)], "stations.2.md_m", "must be deeper"),
        ([(0, 0, 0), (9, 90, 0), (20, 90, 180)], "stations.3.inclination_rad", "turns right back"),
        ([(0, 0, 0), (9, 180, 0)], "stations.2.inclination_rad", "turns right back"),
    ],
)
def test_what_is_no_survey(rows, field, words):
    hole = [Station(md, math.radians(inc), math.radians(azi)) for md, inc, azi in rows]
    with pytest.raises(InputError, match=words) as fault:
        hole_ranges(hole)
    assert fault.value.where.field == field
