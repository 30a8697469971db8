"""How far the strings alone are from buckling: the load factor of what pushes them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_system import Fields

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["MOST_FACTOR", "load_factor"]

MOST_FACTOR = 64.0
"""Beyond this the factor is told as infinite."""
_EXACT = 1e-4


def load_factor(mesh: Mesh, fields: Fields) -> Array:
    """By how much all that pushes could grow before the strings lose stability between clamps.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    fields : Fields
        Tension at each station; where it is below zero it is scaled, a pull stays as it is.

    Returns
    -------
    array (stations)
        The factor, within 1e-4 of itself. Below 1: the strings stand only where the casing helps,
        if at all. Infinite: nothing pushes, or the factor is beyond ``MOST_FACTOR``.
        0: not stable even with no push.

    Notes
    -----
    Both strings with their clamps, no wall and no lock, which could only help. The
    elastic matrix is linear in the factor; Cholesky's factorisation tells whether it
    is positive definite, and halving the interval finds where it ceases to be.
    """
    import numpy as np

    maps, shape = pattern(mesh), (mesh.size, mesh.band + 1)
    pulls = (maps.tension @ np.maximum(fields.tension_n, 0.0).T).T + maps.bending
    pushes = (maps.tension @ np.minimum(fields.tension_n, 0.0).T).T
    return np.array(
        [
            _factor(pulled.reshape(shape), pushed.reshape(shape))
            for pulled, pushed in zip(pulls, pushes, strict=True)
        ]
    )


def _factor(pulled: Array, pushed: Array) -> float:
    import numpy as np
    from scipy.linalg import lapack

    def stands(factor: float) -> bool:
        matrix = pulled + factor * pushed
        return bool(lapack.dpbtrf(matrix.T, lower=1, overwrite_ab=1)[1] == 0)

    if not np.any(pushed):
        return math.inf
    if not stands(0.0):
        return 0.0
    low, high = 0.0, 1.0
    while stands(high):
        if high >= MOST_FACTOR:
            return math.inf
        low, high = high, 2 * high
    while high - low > _EXACT * high:
        middle = (low + high) / 2
        low, high = (middle, high) if stands(middle) else (low, middle)
    return low
