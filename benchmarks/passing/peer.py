"""The contact problem as a second-order cone program, for a general-purpose solver (clarabel).

Least of u'Ku/2 - f'u with each contact inside its circle. Variables are scaled by
1/sqrt(diag K); unscaled the solver stalls where the hole is nearly vertical.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

import clarabel
import numpy as np
import numpy.typing as npt
from scipy import sparse

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_system import Fields, Lock, system

__all__ = ["PeerAnswer", "solve_by_cones"]

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class PeerAnswer:
    """Unknowns, push of each contact, and the times of building and of solving [s]."""

    u: Array
    force_n: Array
    build_s: float
    solve_s: float
    status: str


def solve_by_cones(mesh: Mesh, fields: Fields, lock: Lock | None = None) -> PeerAnswer:
    """One station; matrix and load are ours, contact and method are the peer's."""
    start = time.process_time()
    ours = system(mesh, fields, lock)
    matrix, load = _full(mesh, ours.matrix[0]), ours.load[:, 0]
    if lock is not None:
        tie = sparse.csc_matrix(ours.tie[:, None])
        matrix = matrix + ours.tied_nm * (tie @ tie.T)
    scale = 1 / np.sqrt(matrix.diagonal())
    spread = sparse.diags(scale)
    gather = pattern(mesh).gather @ spread
    count, half = len(mesh.contacts), 3 * np.arange(len(mesh.contacts))
    rows = np.zeros((3 * count, mesh.size))
    dense = gather.toarray()
    rows[half + 1], rows[half + 2] = -dense[:count], -dense[count:]
    limits = np.zeros(3 * count)
    limits[half] = ours.limit_m[:, 0]
    limits[half + 1], limits[half + 2] = mesh.offset_m[:, 0], mesh.offset_m[:, 1]
    upper = sparse.triu(spread @ matrix @ spread).tocsc()
    cones = [clarabel.SecondOrderConeT(3)] * count
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    built = time.process_time()
    solver = clarabel.DefaultSolver(
        upper, -load * scale, sparse.csc_matrix(rows), limits, cones, settings
    )
    found = solver.solve()
    end = time.process_time()
    force = np.asarray(found.z)[half]
    return PeerAnswer(
        np.asarray(found.x) * scale, force, built - start, end - built, str(found.status)
    )


def _full(mesh: Mesh, banded: Array) -> Any:
    lower = [banded[: mesh.size - off, off] for off in range(mesh.band + 1)]
    offsets = [-off for off in range(mesh.band + 1)]
    below = sparse.diags(lower, offsets, format="csc")
    return below + below.T - sparse.diags(lower[0])
