"""The whole way down: a twin string at many depths and rolls, on several processes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from multiprocessing import get_context
from typing import Any

from abreast.formulas.guard import positive, require
from abreast.mechanics.twin_beam import TwinBeam
from abreast.mechanics.twin_beam_hole import Hole, pass_through
from abreast.mechanics.twin_beam_mesh import Mesh, mesh

__all__ = ["ROLLS_RAD", "Place", "sweep"]

ROLLS_RAD = tuple(math.radians(45.0 * k) for k in range(8))
"""The rolls of a scan: nobody knows how the string turns while it is run."""
_CHUNK = 60


@dataclass(frozen=True, slots=True)
class Place:
    """The twin string at one depth and one roll.

    Parameters
    ----------
    md_m, roll_rad : float
        Depth of the string's zero [m], and its roll [rad].
    state : str
        As :class:`abreast.mechanics.twin_beam_solve.Shapes`; when it is not ``ok``
        there are no numbers.
    where : str
        Of a string that does not fit: the part that is deepest in the wall.
    moments_nm : dict
        Greatest bending moment of each segment by name and kind [N m].
    stress_pa : float or None
        Greatest bending stress M/Z of bodies and necks [Pa]; None: no modulus is known.
    side_n : float
        Sum of all side forces on the casing [N].
    cable_n, guard_n : float
        Greatest side force on the cable itself, and on its guard [N].
    touching : tuple of str
        Parts that touch the casing.
    drag_n : float or None
        Friction times side forces, the way it moves [N]; None: no friction factor.
    union_n : float
        Force of bending in a locked union [N].
    """

    md_m: float
    roll_rad: float
    state: str
    where: str = ""
    moments_nm: dict[tuple[str, str], float] | None = None
    stress_pa: float | None = None
    side_n: float = 0.0
    cable_n: float = 0.0
    guard_n: float = 0.0
    touching: tuple[str, ...] = ()
    drag_n: float | None = None
    union_n: float = 0.0

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
    longest_m: float = 1.0,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[Place, ...]:
    """Every depth at every roll, lowering; fewer places when it was stopped.

    Parameters
    ----------
    twin, hole : TwinBeam, Hole
        The string and its way.
    depths_m, rolls_rad : sequence of float
        Depths of the string's zero [m] and rolls from the high side [rad].
    longest_m : float
        Longest element [m].
    workers : int
        Processes; 1 works in this one.
    progress : callable, optional
        Called with places done and places in all.
    stop : callable, optional
        Asked between pieces of work; True ends the sweep.
    """
    require(workers >= 1, "workers", f"{workers} must be at least 1")
    positive("longest_m", longest_m)
    pieces = [
        (roll, tuple(depths_m[k : k + _CHUNK]))
        for roll in rolls_rad
        for k in range(0, len(depths_m), _CHUNK)
    ]
    total, found = len(depths_m) * len(rolls_rad), []
    if workers == 1:
        cut = mesh(twin, longest_m)
        for roll, depths in pieces:
            if stop is not None and stop():
                break
            found += _places(cut, hole, depths, roll)
            if progress is not None:
                progress(len(found), total)
        return _ordered(found)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        waiting: list[Future[list[Place]]] = [
            pool.submit(_piece, twin, hole, longest_m, depths, roll) for roll, depths in pieces
        ]
        for done in as_completed(waiting):
            found += done.result()
            if progress is not None:
                progress(len(found), total)
            if stop is not None and stop():
                pool.shutdown(cancel_futures=True)
                break
    return _ordered(found)


def _ordered(found: list[Place]) -> tuple[Place, ...]:
    return tuple(sorted(found, key=lambda one: (one.md_m, one.roll_rad)))


def _piece(
    twin: TwinBeam, hole: Hole, longest_m: float, depths: Sequence[float], roll: float
) -> list[Place]:
    return _places(mesh(twin, longest_m), hole, depths, roll)


def _places(cut: Mesh, hole: Hole, depths: Sequence[float], roll: float) -> list[Place]:
    import numpy as np

    shapes, _ = pass_through(cut, hole, depths, roll)
    most = shapes.moment_nm.max(axis=2)
    names = [(one.name, one.kind) for one in cut.segments]
    modulus = np.array([one.modulus_m3 or math.inf for one in cut.segments])
    found = []
    for k, md_m in enumerate(depths):
        state = str(shapes.state[k])
        if state != "ok":
            where = cut.contacts[int(shapes.deepest[k])].name if state == "does not fit" else ""
            found.append(Place(md_m, roll, state, where))
            continue
        moments: dict[tuple[str, str], float] = {}
        for name, moment in zip(names, most[k], strict=True):
            moments[name] = max(moments.get(name, 0.0), float(moment))
        force = shapes.force_n[k, : cut.walls]
        walls = cut.contacts[: cut.walls]
        side = float(force.sum())
        stress = float((most[k] / modulus).max())
        parts = {kind: _most(walls, force, kind) for kind in ("cable", "guard")}
        found.append(
            Place(
                md_m,
                roll,
                state,
                moments_nm=moments,
                stress_pa=stress if np.isfinite(modulus).any() else None,
                side_n=side,
                cable_n=parts["cable"],
                guard_n=parts["guard"],
                touching=tuple(
                    sorted({one.name for one, f in zip(walls, force, strict=True) if f > 0})
                ),
                drag_n=None if hole.friction_ratio is None else hole.friction_ratio * side,
                union_n=float(shapes.lock_n[k]),
            )
        )
    return found


def _most(walls: Sequence[object], force: Any, kind: str) -> float:
    return max(
        (float(f) for one, f in zip(walls, force, strict=True) if getattr(one, "kind", "") == kind),
        default=0.0,
    )
