"""The whole way down: a twin string at many depths and rolls, on several processes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from dataclasses import dataclass
from typing import Any

from abreast.formulas.guard import positive
from abreast.mechanics.twin_beam import TwinBeam, Union
from abreast.mechanics.twin_beam_hole import Hole, Way, pass_through
from abreast.mechanics.twin_beam_mesh import Contact, Mesh, mesh
from abreast.mechanics.twin_beam_solve import FOUND
from abreast.mechanics.twin_beam_stress import axial_stress_pa, bending_stress_pa

__all__ = ["ROLLS_RAD", "Place", "sweep"]

ROLLS_RAD = tuple(math.radians(45.0 * k) for k in range(8))
"""The rolls of a scan: nobody knows how the string turns while it is run."""
_CHUNK, _SAME_M = 60, 1e-6
Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """The twin string at one depth and one roll.

    Parameters
    ----------
    md_m, roll_rad : float
        Depth of the string's zero [m], and its roll [rad].
    state : str
        As :class:`abreast.mechanics.twin_beam_solve.Shapes`.
    where : str
        Of a string that does not fit: the part that is deepest in the wall.
    moments_nm : dict
        Greatest bending moment of each segment by name and kind [N m].
    joints_nm : dict
        Bending moment at the upper end of each piece by name [N m].
    stresses_pa : dict
        Greatest stress of bending and pull together of each segment whose section
        modulus is known, by name and kind [Pa].
    side_n : float
        Sum of all side forces on the casing [N].
    cable_n, guard_n : float
        Greatest side force on the cable itself, and on its guard [N].
    walls_n : dict
        Greatest side force of each part that touches the casing, at one place, by name [N].
    drag_n : float or None
        Friction times side forces, the way it moves, the tubing above left out [N];
        None: no friction factor.
    union_n : float
        Force in a locked union: as it was locked, and by bending [N].
    grips_n : dict
        What each clamp that grips must hand over along the strings, by name [N].
    top_n : float
        Pull at the upper end of the modelled string [N].
    union : {"free", "locked"}
        Whether the two lines between Y-tool and base could slide in length.
    """

    md_m: float
    roll_rad: float
    state: str
    where: str = ""
    moments_nm: dict[tuple[str, str], float] | None = None
    joints_nm: dict[str, float] | None = None
    stresses_pa: dict[tuple[str, str], float] | None = None
    side_n: float = 0.0
    cable_n: float = 0.0
    guard_n: float = 0.0
    walls_n: dict[str, float] | None = None
    drag_n: float | None = None
    union_n: float = 0.0
    grips_n: dict[str, float] | None = None
    top_n: float = 0.0
    union: Union = "free"

    @property
    def found(self) -> bool:
        """Whether there is a shape, and so numbers."""
        return self.state in FOUND

    @property
    def touching(self) -> tuple[str, ...]:
        """Parts that touch the casing."""
        return tuple(self.walls_n or ())

    @property
    def stress_pa(self) -> float | None:
        """The greatest stress of all [Pa]; None: no section modulus is known."""
        return max((self.stresses_pa or {}).values(), default=None)

    @property
    def roll_deg(self) -> float:
        """The roll in degrees."""
        return math.degrees(self.roll_rad)

    @property
    def moment_nm(self) -> float:
        """The greatest moment of all [N m]."""
        return max((self.moments_nm or {}).values(), default=0.0)


def sweep(
    twin: TwinBeam,
    hole: Hole,
    depths_m: Sequence[float],
    rolls_rad: Sequence[float] = ROLLS_RAD,
    *,
    way: Way = "down",
    longest_m: float = 1.0,
    pool: Executor | None = None,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[Place, ...]:
    """Every depth at every roll; fewer places when it was stopped.

    Parameters
    ----------
    twin, hole : TwinBeam, Hole
        The string and its way.
    depths_m, rolls_rad : sequence of float
        Depths of the string's zero [m] and rolls from the high side [rad].
    way : {"down", "up", "still"}
        Which way it moves.
    longest_m : float
        Longest element [m].
    pool : Executor, optional
        Of :func:`abreast.mechanics.processes.processes`; without one all is done in this process.
    progress : callable, optional
        Called with places done and places in all.
    stop : callable, optional
        Asked between pieces of work; True ends the sweep.
    """
    positive("longest_m", longest_m)
    every = [(md_m, roll) for roll in rolls_rad for md_m in depths_m]
    pieces = [every[k : k + _CHUNK] for k in range(0, len(every), _CHUNK)]
    total = len(every)
    found: list[Place] = []
    for places in _worked(twin, hole, longest_m, pieces, way, pool, stop):
        found += places
        if progress is not None:
            progress(len(found), total)
    return _ordered(found)


def _worked(
    twin: TwinBeam,
    hole: Hole,
    longest_m: float,
    pieces: Sequence[Sequence[Spot]],
    way: Way,
    pool: Executor | None,
    stop: Callable[[], bool] | None,
) -> Iterator[list[Place]]:
    """The pieces of work as they are done."""
    if pool is None:
        cut = mesh(twin, longest_m)
        for spots in pieces:
            if stop is not None and stop():
                return
            yield _places(cut, hole, spots, way)
        return
    waiting: list[Future[list[Place]]] = [
        pool.submit(_piece, twin, hole, longest_m, spots, way) for spots in pieces
    ]
    try:
        for done in as_completed(waiting):
            yield done.result()
            if stop is not None and stop():
                return
    finally:
        for one in waiting:
            one.cancel()


def _ordered(found: list[Place]) -> tuple[Place, ...]:
    return tuple(sorted(found, key=lambda one: (one.md_m, one.roll_rad)))


def _piece(
    twin: TwinBeam, hole: Hole, longest_m: float, spots: Sequence[Spot], way: Way
) -> list[Place]:
    return _places(mesh(twin, longest_m), hole, spots, way)


def _places(cut: Mesh, hole: Hole, spots: Sequence[Spot], way: Way) -> list[Place]:
    import numpy as np

    depths, rolls = np.array(spots).T
    shapes, axial = pass_through(cut, hole, depths, rolls, way=way)
    ends_nm = shapes.moment_nm
    most = ends_nm.max(axis=2)
    stress = bending_stress_pa(cut, ends_nm) + axial_stress_pa(cut, axial.tension_n)
    parts = [(one.name, one.kind) for one in cut.segments]
    told = [None if one.modulus_m3 is None else (one.name, one.kind) for one in cut.segments]
    uppermost, ours = _uppermost(cut), _below_tubing(cut)
    union = cut.twin.union
    found = []
    for k, (md_m, roll) in enumerate(spots):
        state = str(shapes.state[k])
        if state not in FOUND:
            where = cut.contacts[int(shapes.deepest[k])].name if state == "does not fit" else ""
            found.append(Place(md_m, roll, state, where, union=union))
            continue
        force = shapes.force_n[k, : cut.walls]
        walls = cut.contacts[: cut.walls]
        rubbing = float(force[ours].sum())
        found.append(
            Place(
                md_m,
                roll,
                state,
                moments_nm=_greatest(parts, most[k]),
                joints_nm={
                    name: float(ends_nm[k, element, 0]) for name, element in uppermost.items()
                },
                stresses_pa=_greatest(told, stress[k]),
                side_n=float(force.sum()),
                cable_n=_most(walls, force, "cable"),
                guard_n=_most(walls, force, "guard"),
                walls_n=_by_part(walls, force),
                drag_n=None if hole.friction_ratio is None else hole.friction_ratio * rubbing,
                union_n=float(shapes.lock_n[k]),
                grips_n={
                    one.name: float(axial.grip_n[k, number])
                    for number, one in enumerate(cut.twin.links)
                    if one.grips
                },
                top_n=float(axial.top_n[k]),
                union=union,
            )
        )
    return found


def _greatest(keys: Sequence[tuple[str, str] | None], values: Any) -> dict[tuple[str, str], float]:
    """The greatest value of each key; elements without a key are left out."""
    found: dict[tuple[str, str], float] = {}
    for key, value in zip(keys, values.tolist(), strict=True):
        if key is not None and value > found.get(key, -math.inf):
            found[key] = value
    return found


def _uppermost(cut: Mesh) -> dict[str, int]:
    """The uppermost element of each piece, by its name."""
    found: dict[str, int] = {}
    for element, one in enumerate(cut.segments):
        before = found.get(one.name)
        if before is None or cut.upper[element] < cut.upper[before]:
            found[one.name] = element
    return found


def _below_tubing(cut: Mesh) -> Any:
    """Which discs are not on the tubing above: what that drags is its own."""
    import numpy as np

    tubing = [one.bottom_m for one in cut.twin.strings[0].segments if one.kind == "tubing"]
    foot_m = max(tubing, default=-math.inf) + _SAME_M
    nodes = np.array([one.node for one in cut.contacts[: cut.walls]], dtype=np.intp)
    return cut.node_m[nodes] > foot_m


def _by_part(walls: Sequence[Contact], force: Any) -> dict[str, float]:
    """The greatest force of each part that touches, in the order of names."""
    most: dict[str, float] = {}
    for number in (force > 0).nonzero()[0].tolist():
        name, force_n = walls[number].name, float(force[number])
        most[name] = max(most.get(name, 0.0), force_n)
    return dict(sorted(most.items()))


def _most(walls: Sequence[Contact], force: Any, kind: str) -> float:
    return max(
        (float(f) for one, f in zip(walls, force, strict=True) if one.kind == kind), default=0.0
    )
