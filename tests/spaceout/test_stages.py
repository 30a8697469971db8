"""Which lift stands at which landing, against a search through every way there is."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.spaceout.stages import landing_ends


def serves(ends, windows, pre_run, tops) -> bool:
    """Rule 5 of the space-out, read word by word: T_m in window m, each lift made within reach."""
    for top, (low, high) in zip(tops, windows, strict=True):
        if not low <= ends[top] <= high:
            return False
    for start in range(len(ends) - 1):
        stage = sum(top <= start for top in tops)
        if stage == 0:
            if start > 0 and (pre_run is None or ends[start] > pre_run):
                return False
        elif not windows[stage - 1][0] <= ends[start] <= windows[stage - 1][1]:
            return False
    low, high = windows[-1]
    return low <= ends[-1] <= high


def first_that_serves(ends, windows, pre_run):
    every = combinations_with_replacement(range(len(ends)), len(windows))
    return next((tops for tops in every if serves(ends, windows, pre_run, tops)), None)


@st.composite
def strings(draw):
    steps = draw(st.lists(st.integers(1, 6), min_size=1, max_size=6))
    ends = [0.0]
    for step in steps:
        ends.append(ends[-1] + step)
    lows = sorted(draw(st.lists(st.integers(0, 20), min_size=1, max_size=3)))
    width = draw(st.integers(1, 8))
    windows = [(float(low), float(low + width)) for low in lows]
    pre_run = draw(st.none() | st.integers(0, 10))
    return ends, windows, None if pre_run is None else float(pre_run)


@settings(max_examples=600, deadline=None)
@given(strings())
def test_the_first_way_that_serves_is_found(string):
    ends, windows, pre_run = string
    wanted = first_that_serves(ends, windows, pre_run)
    made = landing_ends(ends, windows, pre_run)
    assert list(made) == sorted(made)
    assert len(made) == len(windows)
    if wanted is not None:
        assert made == wanted


def test_the_search_of_these_tests_meets_both_answers():
    """Guards the property above: such strings do exist, with a way and without one."""
    assert first_that_serves([0.0, 4.0, 8.0], [(3.0, 5.0), (6.0, 9.0)], None) == (1, 2)
    assert first_that_serves([0.0, 4.0, 8.0], [(3.0, 5.0), (9.0, 10.0)], None) is None


def test_a_pre_run_lets_two_lifts_stand_below_the_first_landing():
    ends, windows = [0.0, 4.0, 8.0], [(7.0, 9.0)]
    assert landing_ends(ends, windows, 4.0) == (2,)
    assert serves(ends, windows, 4.0, (2,))
    assert not serves(ends, windows, 3.9, (2,))


def test_without_a_way_each_landing_gets_its_nearest_end():
    assert landing_ends([0.0, 10.0, 20.0], [(4.0, 4.5), (12.0, 13.0)]) == (0, 1)


def test_sums_that_differ_in_the_last_place_still_meet_their_window():
    top = 0.1 + 0.2
    assert landing_ends([0.0, top], [(0.2, 0.3)]) == (1,)
    assert landing_ends([0.0, 0.1, top], [(0.05, 0.1), (0.3 + 1e-9, 0.4)]) == (1, 2)


def test_what_is_made_is_not_judged_again():
    """A double at 4 to 8 m made as two ends: its inner end at 6 m is out of reach, and done."""
    ends, windows = [0.0, 4.0, 6.0, 8.0], [(3.0, 5.0), (7.0, 9.0)]
    assert not serves(ends, windows, None, (1, 3))
    assert landing_ends(ends, windows, made=3) == (1, 3)
    assert landing_ends([*ends, 9.5], [*windows, (9.0, 10.0)], made=3) == (1, 3, 4)


def test_a_landing_ahead_stands_on_all_that_is_made():
    """The top at 4 m would serve the second landing too, yet 8 m are in the well."""
    ends, windows = [0.0, 4.0, 8.0], [(3.0, 5.0), (3.5, 9.0)]
    assert landing_ends(ends, windows, made=2) == (1, 1)
    assert landing_ends(ends, windows, made=2, passed=1) == (1, 2)


def test_a_landing_behind_stands_on_what_was_made():
    assert landing_ends([0.0, 4.0, 8.0], [(7.0, 9.0), (7.0, 9.0)], made=1, passed=1) == (1, 2)


def test_no_landings_no_ends():
    assert landing_ends([0.0, 1.0], []) == ()


@pytest.mark.parametrize("top", [4.4, 4.6, 5.4])
def test_the_end_of_a_long_string_must_be_in_reach_for_the_union(top):
    """Two lifts at the last landing: the upper end is only in reach up to 5 m."""
    assert serves([0.0, 4.0, top], [(3.0, 5.0)], None, (1,)) is (top <= 5.0)
