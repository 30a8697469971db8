"""One case settled to the last digit: against a cone solver, the sweep, and statics."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.mechanics.twins import hole, random_case, twin

from abreast.mechanics.beam_case import rest, rest_in
from abreast.mechanics.beam_read import link_push, push_of, reaction
from abreast.mechanics.twin_beam import Held
from abreast.mechanics.twin_beam_axial import lock_of, pull
from abreast.mechanics.twin_beam_hole import pass_through, station_fields
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_solve import solve


def cone_case(seed):
    one, way, depth_m, roll = random_case(seed)
    cut = mesh(one)
    given, along = station_fields(cut, way, np.array([depth_m]), roll)
    axial = pull(cut, along, np.zeros((1, cut.walls)), np.zeros(1))
    return cut, replace(given, tension_n=axial.tension_n, couple_nm=axial.couple_nm)


@pytest.mark.parametrize("seed", range(8))
def test_walls_that_do_not_give_come_nearer_to_a_cone_solver(seed):
    """Oracle: clarabel, whose walls are hard; the sweep's walls give by micrometres."""
    from benchmarks.passing.peer import solve_by_cones

    cut, given = cone_case(seed)
    hard, soft = rest(cut, given), solve(cut, given, lock_of(cut))
    assert hard.state == "ok"
    peer = solve_by_cones(cut, given, lock_of(cut))
    off = np.abs(hard.shapes.u[0] - peer.u).max()
    assert off < 2e-6
    assert off <= np.abs(soft.u[0] - peer.u).max() + 1e-7
    assert hard.shapes.force_n.sum() == pytest.approx(peer.force_n.sum(), rel=5e-4, abs=1.0)


@pytest.mark.parametrize("union", ["free", "locked"])
@pytest.mark.parametrize("way", ["down", "still"])
def test_it_lies_as_in_the_sweep(union, way):
    cut = mesh(twin(5, 4, union=union))
    sign = {"down": 1.0, "still": 0.0}[way]
    one = rest_in(cut, hole(), 430.0, 0.7, sign)
    swept, axial = pass_through(cut, hole(), [430.0], 0.7, way=way, drag_passes=6)
    assert one.state == "ok"
    assert one.shapes.force_n.sum() == pytest.approx(swept.force_n.sum(), rel=2e-3)
    assert one.top_n == pytest.approx(axial.top_n[0], rel=1e-4)
    assert float(one.shapes.lock_n[0]) == pytest.approx(float(swept.lock_n[0]), rel=1e-2, abs=1)
    drag_n = sign * 0.25 * one.shapes.force_n[0, : cut.walls].sum()
    assert one.drag_n == pytest.approx(drag_n, rel=1e-9)


def test_pushes_and_reactions_carry_all_loads():
    """Sum over both strings: loads, walls and held points are in balance, x and y."""
    whole = replace(twin(4, 3, play_m=0.001), held=(Held(0, -20.0), Held(1, 24.0), Held(0, 36.0)))
    cut = mesh(whole)
    given, _ = station_fields(cut, hole(), np.array([600.0]), 0.4)
    case = rest(cut, given)
    assert case.state == "ok"
    load = (given.lateral_n_m[0] * cut.length_m[:, None]).sum(axis=0)
    walls = sum(np.array(push_of(case, number)) for number in range(cut.walls))
    held = sum(reaction(case, one.string, cut.node_at(one.at_m))[0] for one in whole.held)
    assert load + walls + held == pytest.approx([0, 0], abs=1e-3)
    assert np.hypot(*load) > 1000


def test_links_carry_what_the_second_string_does_not_get_elsewhere():
    cut = mesh(twin(4, 3, play_m=0.001))
    given, _ = station_fields(cut, hole(), np.array([600.0]), 0.4)
    case = rest(cut, given)
    mine = cut.string == 1
    load = (given.lateral_n_m[0, mine] * cut.length_m[mine, None]).sum(axis=0)
    links = sum(link_push(case, cut.node_at(one.at_m))[0] for one in cut.twin.links)
    pushes = np.zeros(2)
    for number, one in enumerate(cut.contacts):
        if one.what == "casing" and one.string == 1:
            pushes += push_of(case, number)
        if one.what == "strings":
            pushes -= push_of(case, number)
    assert load + links + pushes == pytest.approx([0, 0], abs=1e-3)
