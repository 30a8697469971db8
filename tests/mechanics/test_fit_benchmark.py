"""The benchmark of the fit: its sections differ, and its peers find what we find."""

import pytest
from benchmarks.fit.peers import peers
from benchmarks.fit.stations import stations

from abreast.formulas.enclosing import enclosing_circle


def test_sections_can_be_made_again_and_none_is_twice():
    assert stations(200, seed=3) == stations(200, seed=3)
    assert len({str(section) for section in stations(200)}) == 200
    assert {len(section) for section in stations(200)} == {6, 7}


@pytest.mark.parametrize("name", peers())
def test_a_peer_finds_the_same_radius(name):
    for section in stations(8, seed=1):
        ours_m = enclosing_circle(section).radius_m
        assert peers()[name](section) == pytest.approx(ours_m, abs=1e-7)
        assert peers()[name](section) >= ours_m - 1e-9
