"""The wells of both invented jobs, worked as a differential equation by a general solver.

dT/ds = w t.g + - mu |T dt/ds + w (g across t)|, t on the arcs of minimum curvature, by
scipy's explicit Runge-Kutta of order 8 from arc to arc: no cells, no mean tensions.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from tests.mechanics.test_hook_forecast import both

from abreast.formulas.survey import direction
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, hook_load
from abreast.mechanics.run_string import running_hole

DOWN = np.array([0.0, 0.0, 1.0])
WEIGHT_N_M = 190.0


def arc(upper, lower):
    """Direction and its change with depth, at any depth of an arc."""
    first, last = (np.array(direction(one.station)) for one in (upper, lower))
    top_m, length_m = upper.station.md_m, lower.station.md_m - upper.station.md_m
    bend = 2 * math.asin(min(np.linalg.norm(last - first) / 2, 1.0))

    def at(md_m):
        share = (md_m - top_m) / length_m
        if bend < 1e-9:
            return first + share * (last - first), (last - first) / length_m
        near, far = (1 - share) * bend, share * bend
        tangent = (math.sin(near) * first + math.sin(far) * last) / math.sin(bend)
        turn = (math.cos(far) * last - math.cos(near) * first) * bend / length_m / math.sin(bend)
        return tangent, turn

    return at


def by_solver(hole, bottom_m, friction, sign):
    tension = 0.0
    for upper, lower in reversed(list(pairwise(hole))):
        if upper.station.md_m >= bottom_m:
            continue
        at = arc(upper, lower)

        def rate(md_m, load, at=at):
            tangent, turn = at(md_m)
            across = load[0] * turn + WEIGHT_N_M * (DOWN - tangent[2] * tangent)
            return [-(WEIGHT_N_M * tangent[2] + sign * friction * np.linalg.norm(across))]

        span = min(lower.station.md_m, bottom_m), upper.station.md_m
        found = solve_ivp(rate, span, [tension], "DOP853", rtol=1e-9, atol=1e-6)
        tension = float(found.y[0, -1])
    return tension


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
@pytest.mark.parametrize("friction", [0.25, 0.8])
@pytest.mark.parametrize("share", [0.4, 1.0])
def test_a_uniform_string_in_the_well_of_a_job(name, friction, share):
    hole = running_hole(both()[name][0])
    bottom_m = share * hole[-1].station.md_m
    each = 12.1
    items = [
        StringItem(f"J{k}", each, WEIGHT_N_M / 9.80665 * each)
        for k in range(math.ceil(bottom_m / each))
    ]
    load = hook_load(hole, items, bottom_m, Fluids(), Drag(friction))
    for way, sign in ((load.up_n, 1), (load.down_n, -1)):
        exact = by_solver(hole, bottom_m, friction, sign)
        # Cells of 10 m with the mean of both tensions are off by up to 1.6e-5 of the weight here.
        assert way[-1] == pytest.approx(exact, abs=3e-5 * load.still_n[-1])
