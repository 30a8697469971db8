"""Strings that are pushed so hard that they stand only with the help of the casing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_newton import WALL_N_M, Newton
from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_system import Fields, Lock, System, system

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Bools = npt.NDArray[np.bool_]
else:
    Array = Bools = Any

__all__ = ["lean"]

# Shares of the push that stay in the matrix: the most with which it is still definite is taken.
_SHARES = (0.8, 0.6, 0.4, 0.2, 0.0)
_ROUNDS = 40
# After so many rounds the contacts are nearly those of the answer, and Newton's method ends it.
_ROUGH = 6
_STILL_M = 1e-7
_KICK_M = 0.003


def lean(
    mesh: Mesh,
    fields: Fields,
    lock: Lock | None,
    start: Array | None = None,
    *,
    kicked: bool = True,
) -> tuple[Newton, Bools, Array]:
    """Shapes at stations where the strings alone are not stable, and which of them stand.

    Parameters
    ----------
    mesh, fields, lock
        As for :func:`abreast.mechanics.twin_beam_solve.solve`.
    start : array (size, stations), optional
        Shapes under nearly the same loads; 0 where there is none.
    kicked : bool
        Whether those that stand are kicked, to see where they come to rest.

    Returns
    -------
    Newton, array of bool, array
        The shapes; whether each is a minimum of the energy with the contacts it
        has, so that the string stands there; and the shape in which it stands
        after a kick of some millimetres. There may still be others.

    Notes
    -----
    The push makes the energy the difference of two convex ones. The concave
    part is replaced by its tangent at the last shape, round by round; the energy
    falls with each round (convex-concave procedure, Yuille and Rangarajan 2003,
    from memory). From the shape of the strings under part of the push the walls
    so take over what the strings can't.
    """
    import numpy as np

    true = system(mesh, fields, lock)
    soft, left_n = _softened(mesh, fields, lock)
    given = replace(true, matrix=soft)
    pushed = (pattern(mesh).tension @ left_n.T).T.reshape(given.matrix.shape)
    push = System(mesh, pushed, true.load, true.limit_m, true.tie, 0.0)
    count = len(fields.tension_n)
    everywhere = np.ones(count, dtype=bool)
    newton = Newton(given)
    settled = np.zeros(count, dtype=bool)
    if start is not None:
        newton.u[:] = start
        known = np.any(start != 0.0, axis=0)
        newton, left = _finished(true, newton, known)
        settled = known & ~left
        newton.u[:, ~settled] = 0.0
    newton = _next(given, newton, everywhere & ~settled, cold=True)
    open_ = newton.found & ~newton.stuck & ~settled
    for turn in range(_ROUNDS):
        at = np.nonzero(open_)[0]
        if not len(at):
            break
        before = newton.u.copy()
        load = true.load.copy()
        load[:, at] -= push.times(before[:, at], at)
        newton = _next(replace(given, load=load), newton, open_)
        moved = np.max(np.abs(newton.u - before), axis=0)
        open_ &= newton.found & ~newton.stuck & (moved > _STILL_M)
        if turn == _ROUGH:
            newton, open_ = _finished(true, newton, open_)
    newton.found &= ~open_
    stands = newton.found & ~newton.stuck & _minimum(true, newton.u)
    return newton, stands, _kicked(true, newton, stands) if kicked else newton.u


def _softened(mesh: Mesh, fields: Fields, lock: Lock | None) -> tuple[Array, Array]:
    """Matrices with as much of the push as they bear, and the push that is left out [N]."""
    import numpy as np

    tension = fields.tension_n
    matrix: Array | None = None
    share = np.zeros(len(tension))
    waiting = np.ones(len(tension), dtype=bool)
    for one in _SHARES:
        part = replace(fields, tension_n=np.where(tension < 0, one * tension, tension))
        tried = system(mesh, part, lock)
        good = waiting & (tried.stable(waiting) if one else waiting)
        matrix = tried.matrix.copy() if matrix is None else matrix
        matrix[good], share[good] = tried.matrix[good], one
        waiting &= ~good
    assert matrix is not None
    return matrix, np.where(tension < 0, (1 - share[:, None]) * tension, 0.0)


def _next(given: System, before: Newton, open_: Bools, *, cold: bool = False) -> Newton:
    """Newton's method under another load, from the shapes before."""
    newton = Newton(given)
    newton.found[:], newton.stuck[:] = before.found, before.stuck
    newton.found[open_] = False
    newton.steps[:] = before.steps
    newton.run(open_, None if cold else before.u)
    if cold:
        newton.u[:, ~open_] = before.u[:, ~open_]
    return newton


def _finished(true: System, newton: Newton, open_: Bools) -> tuple[Newton, Bools]:
    """Those that Newton's method on the true energy settles where they stand."""
    late = _next(true, newton, open_)
    done = open_ & late.found & ~late.stuck & _minimum(true, late.u)
    late.u[:, ~done] = newton.u[:, ~done]
    late.found[:], late.stuck[:] = newton.found | done, newton.stuck
    return late, open_ & ~done


def _kicked(true: System, newton: Newton, stands: Bools) -> Array:
    """Shapes in which the strings stand after a kick; where they don't, those before it."""
    import numpy as np

    kicked = Newton(true)
    kicked.u[:] = newton.u + _kick(true.mesh)[:, None]
    again = _next(true, kicked, stands)
    rests = stands & again.found & ~again.stuck & _minimum(true, again.u)
    shapes: Array = np.where(rests, again.u, newton.u)
    return shapes


def _kick(mesh: Mesh) -> Array:
    """Two waves along the string sideways and three across, as a shape."""
    import numpy as np

    share = (mesh.node_m - mesh.node_m[0]) / (mesh.node_m[-1] - mesh.node_m[0])
    kick = np.zeros(mesh.size + 1)
    for (_, node), four in mesh.slot.items():
        kick[four[0]] = _KICK_M * np.sin(2 * np.pi * share[node])
        kick[four[2]] = _KICK_M * np.sin(3 * np.pi * share[node])
    found: Array = kick[:-1]
    return found


def _minimum(true: System, u: Array) -> Bools:
    """Whether matrix and walls that are touched are definite together at each shape."""
    import numpy as np
    from scipy.linalg import lapack

    maps = pattern(true.mesh)
    v = maps.gather @ u + true.mesh.offset_m.T.reshape(-1, 1)
    half = len(v) // 2
    away = np.hypot(v[:half], v[half:])
    touch = away > true.limit_m
    nx, ny = v[:half] / np.maximum(away, 1e-30), v[half:] / np.maximum(away, 1e-30)
    turn = np.where(touch, WALL_N_M * (away - true.limit_m) / np.maximum(away, 1e-30), 0.0)
    first = np.where(touch, WALL_N_M - turn, 0.0)
    stiff = np.concatenate((first * nx * nx + turn, first * ny * ny + turn, first * nx * ny))
    added = np.ascontiguousarray((maps.stiffen @ stiff).T)
    found = np.zeros(u.shape[1], dtype=bool)
    for k, matrix in enumerate(true.matrix):
        work = matrix.copy()
        work.reshape(-1)[maps.touched] += added[k]
        found[k] = lapack.dpbtrf(work.T, lower=1)[1] == 0
    return found
