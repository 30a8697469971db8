"""What is added to pushed strings so that their energy is convex: closed clamps, or less push."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_newton import WALL_N_M
from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_system import Fields, Lock, System, system

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Bools = npt.NDArray[np.bool_]
else:
    Array = Bools = Any

__all__ = ["convex"]

# Springs across the play of each clamp: the softest that make the strings stable are taken.
_SPRINGS_N_M = (1e3, 1e4, 1e5, 1e6, 1e7, WALL_N_M)
# Shares of the push that stay in the matrix: the most with which it is still definite is taken.
_SHARES = (0.8, 0.6, 0.4, 0.2, 0.0)


def convex(true: System, fields: Fields, lock: Lock | None) -> tuple[Array, Bools]:
    """Definite matrices near those of strings that are not stable, and who holds the strings.

    Parameters
    ----------
    true : System
        The strings as they are, clamps open within their play.
    fields, lock
        What it was made of.

    Returns
    -------
    array (stations, size, band + 1), array of bool
        With springs across the play of the clamps, or with less push; and whether
        the springs were enough: such strings can move apart within that play, but
        with their clamps closed they are stable, walls or none.
    """
    import numpy as np

    matrix = true.matrix.copy()
    waiting = np.ones(len(matrix), dtype=bool)
    for spring_n_m in _SPRINGS_N_M if _has_play(true.mesh) else ():
        if np.any(waiting):
            waiting &= ~_take(matrix, _sprung(true, spring_n_m), waiting)
    held = ~waiting
    for share in _SHARES:
        if not np.any(waiting):
            break
        tension = np.where(fields.tension_n < 0, share * fields.tension_n, fields.tension_n)
        less = system(true.mesh, replace(fields, tension_n=tension), lock)
        waiting &= ~_take(matrix, less, waiting, sure=share == 0.0)
    return matrix, held


def _take(matrix: Array, tried: System, waiting: Bools, *, sure: bool = False) -> Bools:
    """The stations among those waiting where a matrix is definite; there it is taken."""
    good: Bools = waiting & (sure or tried.stable(waiting))
    matrix[good] = tried.matrix[good]
    return good


def _has_play(mesh: Mesh) -> bool:
    return any(one.what == "clamp" for one in mesh.contacts)


def _sprung(true: System, spring_n_m: float) -> System:
    """The strings with a spring, the same all ways, across the play of each clamp."""
    import numpy as np

    maps = pattern(true.mesh)
    spring = [spring_n_m * (one.what == "clamp") for one in true.mesh.contacts]
    added = maps.stiffen @ np.concatenate((spring, spring, np.zeros(len(spring))))
    matrix = true.matrix.copy()
    matrix.reshape(len(matrix), -1)[:, maps.touched] += added
    return replace(true, matrix=matrix)
