"""Strings pushed so hard that they stand only with the help of their clamps or of the casing."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_convex import convex
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

_ROUNDS, _PATIENT_ROUNDS = 40, 120
# After every so many rounds Newton's method tries to end it: the contacts may be the right ones.
_ROUGH = 7
_STILL_M = 1e-7
# At rest: what is left of the forces would change no push by more than this share of the greatest.
_RESTS = 1e-3
# What can roll round a wall and stays where it is has no stiffness that way: rounding decides.
_ROUNDING = 1e-12
_KICK_M = 0.003


def lean(
    mesh: Mesh,
    fields: Fields,
    lock: Lock | None,
    start: Array | None = None,
    *,
    kicked: bool = True,
) -> tuple[Newton, Bools, Bools, Array]:
    """Shapes at stations where the strings alone are not stable, and which of them stand.

    Parameters
    ----------
    mesh, fields, lock
        As for :func:`abreast.mechanics.twin_beam_solve.solve`.
    start : array (size, stations), optional
        Shapes under nearly the same loads; 0 where there is none.
    kicked : bool
        Whether those that the walls alone hold are kicked, to see where they come to rest.

    Returns
    -------
    Newton, array of bool, array of bool, array
        The shapes; whether each is a minimum of the energy with the contacts it
        has, so that the string stands there; whether its clamps hold it, once
        their play is taken up, without the walls; and the shape in which it
        stands after a kick of some millimetres. There may still be others.

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
    definite, held = convex(true, fields, lock)
    newton = Newton(replace(true, matrix=definite))
    settled = np.zeros(len(held), dtype=bool)
    if start is not None:
        newton.u[:] = start
        known = np.any(start != 0.0, axis=0)
        newton, left = _finished(true, newton, known)
        settled = known & ~left
        newton.u[:, ~settled] = 0.0
    newton = _next(replace(true, matrix=definite), newton, ~settled, cold=True)
    newton = _rounds(true, definite, newton, newton.found & ~newton.stuck & ~settled)
    stands = _stands(true, newton)
    balanced = ~stands & ~newton.stuck
    if np.any(balanced):
        # In balance with clamps and walls untouched, as a straight column is: a touch upsets it.
        newton.u[:, balanced] += _apart(mesh)[:, None]
        newton = _rounds(true, definite, newton, balanced, _PATIENT_ROUNDS)
        # On its clamps it may yet roll round within their play; that is no buckling.
        rests = held & balanced & _minimum(true, newton.u, rests=_RESTS, matrix=definite)
        newton.found |= rests & ~newton.stuck
        stands = np.where(balanced, _stands(true, newton) | (rests & ~newton.stuck), stands)
    return newton, stands, held, _kicked(true, newton, stands & ~held) if kicked else newton.u


def _rounds(
    true: System, definite: Array, newton: Newton, open_: Bools, most: int = _ROUNDS
) -> Newton:
    """Round by round to where what was added to the energy is taken off again."""
    import numpy as np

    # What was added has to come off again.
    concave = replace(true, matrix=true.matrix - definite, tied_nm=0.0)
    newton.found[open_] = True
    slow = np.zeros_like(open_)
    for turn in range(most):
        at = np.nonzero(open_)[0]
        if not len(at):
            break
        before = newton.u.copy()
        load = true.load.copy()
        load[:, at] -= concave.times(before[:, at], at)
        newton = _next(replace(true, matrix=definite, load=load), newton, open_)
        moved = np.max(np.abs(newton.u - before), axis=0)
        open_ = open_ & newton.found & ~newton.stuck
        slow |= open_ & (moved <= _STILL_M)
        open_ &= ~slow
        if turn % _ROUGH == _ROUGH - 1:
            newton, open_ = _finished(true, newton, open_)
    newton.found &= ~open_
    # Rounds only come ever nearer; near a minimum Newton's method goes the rest.
    return _finished(true, newton, slow & _minimum(true, newton.u))[0] if slow.any() else newton


def _stands(true: System, newton: Newton) -> Bools:
    """Where a shape was found that is a minimum."""
    return newton.found & ~newton.stuck & _minimum(true, newton.u)


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
    done = open_ & late.found & ~late.stuck
    done[done] = _minimum(true.part(done), late.u[:, done], rests=_RESTS)
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


def _apart(mesh: Mesh) -> Array:
    """A shape with the first string out of line in both planes, by waves of every length."""
    import numpy as np

    share = (mesh.node_m - mesh.node_m[0]) / (mesh.node_m[-1] - mesh.node_m[0])
    waves = np.arange(1, max(4, len(share) // 4))
    wave = _KICK_M * np.sum(np.sin(np.pi * np.outer(share, waves)) / waves, axis=1)
    shape = np.zeros(mesh.size + 1)
    for (string, node), four in mesh.slot.items():
        if string == 0:
            shape[four[0]] = shape[four[2]] = wave[node]
    found: Array = shape[:-1]
    return found


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


def _minimum(
    true: System, u: Array, *, rests: float = math.inf, matrix: Array | None = None
) -> Bools:
    """Whether matrix and touched walls are definite together at each shape, and it is at rest.

    At rest: what is left of the forces would change no push by more than the share
    ``rests`` of the greatest one. Newton's method may end elsewhere where the energy
    is not convex. ``matrix``, where given, is asked in place of the true one.
    """
    import numpy as np
    from scipy.linalg import lapack

    maps = pattern(true.mesh)
    v = maps.gather @ u + true.mesh.offset_m.T.reshape(-1, 1)
    half = len(v) // 2
    away = np.hypot(v[:half], v[half:])
    touch = away > true.limit_m
    nx, ny = v[:half] / np.maximum(away, 1e-30), v[half:] / np.maximum(away, 1e-30)
    push = np.where(touch, WALL_N_M * (away - true.limit_m), 0.0)
    turn = push / np.maximum(away, 1e-30)
    first = np.where(touch, WALL_N_M - turn, 0.0)
    stiff = np.concatenate((first * nx * nx + turn, first * ny * ny + turn, first * nx * ny))
    added = np.ascontiguousarray((maps.stiffen @ stiff).T)
    left = true.load - true.times(u, slice(None))
    left -= maps.gathered @ np.concatenate((push * nx, push * ny))
    found = np.zeros(u.shape[1], dtype=bool)
    step = np.zeros_like(u)
    for k, one in enumerate(true.matrix if matrix is None else matrix):
        work = one.copy()
        work.reshape(-1)[maps.touched] += added[k]
        work[:, 0] *= 1 + _ROUNDING
        _, step[:, k], fault = lapack.dpbsv(work.T, left[:, k], lower=1)
        found[k] = fault == 0
    if math.isfinite(rests):
        dx, dy = np.split(maps.gather @ step, 2)
        more = np.max(np.where(touch, WALL_N_M * np.abs(nx * dx + ny * dy), 0.0), axis=0, initial=0)
        found &= more <= rests * np.max(push, axis=0, initial=0)
    return found
