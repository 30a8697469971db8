"""Beams with loads set by hand, for tests of the contact model."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, TwinBeam
from abreast.mechanics.twin_beam_axial import lock_of
from abreast.mechanics.twin_beam_mesh import Mesh, mesh
from abreast.mechanics.twin_beam_solve import Fields, Shapes, solve

WALL_M = 0.3


def beam(
    length_m: float,
    ei_nm2: float,
    *,
    discs_m: tuple[float, ...] = (),
    clearance_m: float = 0.01,
    held: tuple[Held, ...] | None = None,
    longest_m: float = 1.0,
    leader: bool = False,
) -> Mesh:
    """One beam; with a leader, so limp that it only says where the beam is, it floats."""
    segments = (BeamSegment("beam", 0.0, length_m, ei_nm2),)
    if leader:
        segments = (BeamSegment("leader", -5.0, 0.0, 1.0), *segments)
    radius_m = WALL_M - clearance_m
    discs = tuple(Disc(at_m, 0.0, 0.0, radius_m, f"{at_m:g}") for at_m in discs_m)
    ends = held if held is not None else (Held(0, segments[0].top_m),)
    return mesh(TwinBeam((BeamString("beam", segments, discs),), held=ends), longest_m)


def fields(
    cut: Mesh,
    *,
    kappa: tuple[float, float] = (0.0, 0.0),
    load: tuple[float, float] | Callable[[int, float], tuple[float, float]] = (0.0, 0.0),
    tension: float | Callable[[float], float] = 0.0,
    wall_m: float = WALL_M,
) -> Fields:
    """The same curvature all along; load by string and depth; tension by depth."""
    count = len(cut.segments)
    middle = cut.middle_m
    loads = [
        load(int(cut.string[k]), float(middle[k])) if callable(load) else load for k in range(count)
    ]
    pulls = [tension(float(at)) if callable(tension) else tension for at in middle]
    ends = cut.twin.rigid_m
    return Fields(
        np.broadcast_to(np.array(kappa), (1, count, 2)).astype(float),
        np.array([loads], dtype=float),
        np.array([pulls], dtype=float),
        np.full((1, cut.walls), wall_m),
        np.zeros((1, len(ends))),
        np.array([kappa[0] * (ends[-1] - ends[0]) if len(ends) == 2 else 0.0]),
    )


def solved(cut: Mesh, given: Fields) -> Shapes:
    found = solve(cut, given, lock_of(cut))
    assert found.state[0] == "ok"
    return found


def moved(cut: Mesh, found: Shapes, at_m: float, string: int = 0) -> tuple[float, float]:
    four = cut.slot[string, cut.node_at(at_m)]
    both = np.append(found.u[0], 0.0)
    return float(both[four[0]]), float(both[four[2]])


def moment(cut: Mesh, found: Shapes, at_m: float, string: int = 0) -> float:
    """Bending moment in x below a node, positive where the beam bends as +u'' [N m]."""
    element = np.nonzero((cut.string == string) & (cut.upper == cut.node_at(at_m)))[0][0]
    return -float(found.ends[0, element, 0, 1])


def support(cut: Mesh, found: Shapes, at_m: float, string: int = 0) -> float:
    """What a support puts on the beam at a node, in x [N]: jump of the end forces."""
    node, total = cut.node_at(at_m), 0.0
    for element in np.nonzero(cut.string == string)[0]:
        if cut.upper[element] == node:
            total += float(found.ends[0, element, 0, 0])
        if cut.upper[element] + 1 == node:
            total += float(found.ends[0, element, 0, 2])
    return total


def push(cut: Mesh, found: Shapes, name: str) -> float:
    names = [one.name for one in cut.contacts]
    return float(found.force_n[0, names.index(name)])
