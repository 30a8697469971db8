"""The shape of a twin string in its hole: least energy, walls as stiff one-sided springs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_lean import lean
from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_newton import MOST_PENETRATION_M, WALL_N_M, Newton
from abreast.mechanics.twin_beam_pattern import element_matrices
from abreast.mechanics.twin_beam_system import Fields, Lock, system

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = [
    "FOUND",
    "LEANS",
    "MOST_PENETRATION_M",
    "UNFIT",
    "WALL_N_M",
    "Fields",
    "Lock",
    "Shapes",
    "solve",
]

LEANS = "leans"
UNFIT = "does not fit"
FOUND = ("ok", LEANS)
"""States in which a shape was found."""

# Stations side by side: more share the overhead of each step, fewer stay in the cache.
_TOGETHER = 60


@dataclass(frozen=True, slots=True)
class Shapes:
    """The solution at each station.

    Parameters
    ----------
    u : array (stations, size)
        The unknowns [m, rad].
    state : array of str
        ``ok``; ``leans``: the strings would buckle even with their clamps closed,
        the casing holds them, and of the shape before and after a kick this is
        the worse; ``does not fit``, ``buckled`` (no shape was found that the
        casing holds) or ``not found``.
        Where it is neither of the first two, no other number means anything.
    force_n : array (stations, contacts)
        Push of each contact.
    deepest : array (stations)
        Number of the contact that is deepest in its wall.
    penetration_m : array (stations)
        How deep that is [m].
    ends : array (stations, elements, 2, 4)
        Force and moment at both ends of each element, in x and in y [N, N m].
    lock_n : array (stations)
        Force by bending in a locked union, pull of the bypass positive [N].
    steps : array (stations)
        Newton steps taken.
    """

    u: Array
    state: Any
    force_n: Array
    deepest: Any
    penetration_m: Array
    ends: Array
    lock_n: Array
    steps: Any

    @property
    def moment_nm(self) -> Array:
        """Bending moment at both ends of each element (stations, elements, 2) [N m]."""
        import numpy as np

        moment: Array = np.hypot(self.ends[:, :, 0, 1::2], self.ends[:, :, 1, 1::2])
        return moment


def solve(
    mesh: Mesh,
    fields: Fields,
    lock: Lock | None = None,
    start: Array | None = None,
    *,
    kicked: bool = True,
) -> Shapes:
    """The shape with the least energy at every station.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    fields : Fields
        Hole, weight and tension at each station.
    lock : Lock, optional
        A locked union.
    start : array, optional
        A shape to begin with at each station; the answer does not depend on it.
    kicked : bool
        Whether strings that lean are kicked, and the worse shape is taken.

    Returns
    -------
    Shapes
        Shape, contacts, forces at the ends of the elements.

    Notes
    -----
    The energy is convex as long as the elastic matrix is positive definite:
    there is one shape. Its Cholesky factorisation tells; where it fails,
    :func:`abreast.mechanics.twin_beam_lean.lean` looks for a shape that the
    clamps hold once their play is taken up, or the casing. The rest is Newton's
    method with an exact line search; the derivative along a step rises steadily,
    so the search can't miss.
    """
    import numpy as np

    count = len(fields.tension_n)
    runs = [
        _together(
            mesh,
            fields.part(slice(k, k + _TOGETHER)),
            lock,
            None if start is None else start[k : k + _TOGETHER],
            kicked,
        )
        for k in range(0, count, _TOGETHER)
    ]
    names = Shapes.__slots__
    return Shapes(*(np.concatenate([getattr(run, name) for run in runs]) for name in names))


def _together(
    mesh: Mesh, fields: Fields, lock: Lock | None, start: Array | None, kicked: bool
) -> Shapes:
    """A few stations side by side."""
    import numpy as np

    given = system(mesh, fields, lock)
    stable = given.stable(np.any(fields.tension_n < 0, axis=1))
    newton = Newton(given)
    newton.run(stable, None if start is None else start.T)
    leaning = np.zeros(len(stable), dtype=bool)
    if not np.all(stable):
        begin = None if start is None else start[~stable].T
        part = fields.part(~stable)
        late, stands, held, other = lean(mesh, part, lock, begin, kicked=kicked)
        newton.u[:, ~stable] = _worse(mesh, part, late.u, other) if kicked else late.u
        newton.steps[~stable] = late.steps
        newton.found[~stable], newton.stuck[~stable] = stands, late.stuck
        leaning[~stable] = stands & ~held
    offset = mesh.offset_m.T.reshape(-1, 1)
    vx, vy = np.split(newton.maps.gather @ newton.u + offset, 2)
    deep = (np.hypot(vx, vy) - given.limit_m).T
    worst = np.argmax(deep, axis=1) if deep.shape[1] else np.zeros(len(deep), dtype=int)
    depth = np.max(deep, axis=1, initial=0.0)
    names = np.where(newton.found, "ok", np.where(stable, "not found", "buckled"))
    names = np.where(leaning, LEANS, names)
    names = np.where(newton.stuck | (newton.found & (depth > MOST_PENETRATION_M)), UNFIT, names)
    u = np.ascontiguousarray(newton.u.T)
    return Shapes(
        u,
        names,
        WALL_N_M * np.maximum(deep, 0.0),
        worst,
        depth,
        _ends(mesh, fields, u),
        np.zeros(len(u)) if lock is None else lock.force_n(fields.turn_rad, u @ given.tie),
        newton.steps,
    )


def _worse(mesh: Mesh, fields: Fields, one: Array, other: Array) -> Array:
    """Of two shapes at each station the one that bends a string more (size, stations)."""
    import numpy as np

    most = []
    for u in (one, other):
        ends = _ends(mesh, fields, np.ascontiguousarray(u.T))
        moment = np.hypot(ends[:, :, 0, 1::2], ends[:, :, 1, 1::2])
        most.append(moment.max(axis=(1, 2)))
    worse: Array = np.where(most[1] > most[0] * (1 + 1e-6), other, one)
    return worse


def _ends(mesh: Mesh, fields: Fields, u: Array) -> Array:
    """Forces and moments at the ends of the elements, K u - f of each."""
    import numpy as np

    bend, pull, load = element_matrices(mesh.length_m)
    whole = np.concatenate((u, np.zeros((len(u), 1))), axis=1)
    moved = whole[:, mesh.place]
    bend = bend * mesh.ei_nm2[:, None, None]
    ends: Array = np.einsum("eij,bepj->bepi", bend, moved)
    ends += fields.tension_n[:, :, None, None] * np.einsum("eij,bepj->bepi", pull, moved)
    kappa = fields.curvature_rad_m[..., None]
    couple = np.array([0.0, 1.0, 0.0, -1.0])
    side = (fields.lateral_n_m + fields.tension_n[..., None] * fields.curvature_rad_m)[..., None]
    ends -= mesh.ei_nm2[:, None, None] * kappa * couple + side * load[:, None, :]
    return ends
