"""Where numbers of elements and contacts go in the banded matrices: sparse maps, made once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Integers = npt.NDArray[np.intp]
else:
    Array = Integers = Any

__all__ = ["Pattern", "element_matrices", "pattern"]


@dataclass(frozen=True)
class Pattern:
    """Maps of one mesh.

    Parameters
    ----------
    bending : array (size * (band + 1))
        The banded bending stiffness, flat.
    tension : sparse (size * (band + 1), elements)
        What one newton of tension in each element adds to it.
    end_couple, sideways : sparse (size, 2 * elements)
        Load from EI times curvature, and from a lateral load per length; x then y.
    gather : sparse (2 * contacts, size)
        Movement of each contact, x then y, from the unknowns.
    gathered : sparse (size, 2 * contacts)
        Load on the unknowns from the pushes: its transpose, stored by rows.
    touched : array
        Flat places of the matrix that contacts change.
    stiffen : sparse (touched, 3 * contacts)
        What xx, yy and xy stiffness of each contact add there.
    """

    bending: Array
    tension: Any
    end_couple: Any
    sideways: Any
    gather: Any
    gathered: Any
    touched: Integers
    stiffen: Any


def element_matrices(length_m: Array) -> tuple[Array, Array, Array]:
    """Bending stiffness for EI = 1, stiffness of unit tension, and lateral load of Hermite beams.

    Cubic elements; see any text on matrix structural analysis, for example
    Przemieniecki, *Theory of Matrix Structural Analysis*, 1968 (from memory).
    """
    import numpy as np

    n = np.ones_like(length_m)
    a = length_m
    bend = np.array(
        [
            [12 * n, 6 * a, -12 * n, 6 * a],
            [6 * a, 4 * a**2, -6 * a, 2 * a**2],
            [-12 * n, -6 * a, 12 * n, -6 * a],
            [6 * a, 2 * a**2, -6 * a, 4 * a**2],
        ]
    )
    pull = np.array(
        [
            [36 * n, 3 * a, -36 * n, 3 * a],
            [3 * a, 4 * a**2, -3 * a, -(a**2)],
            [-36 * n, -3 * a, 36 * n, -3 * a],
            [3 * a, -(a**2), -3 * a, 4 * a**2],
        ]
    )
    load = np.array([a / 2, a**2 / 12, a / 2, -(a**2) / 12])
    return (
        np.moveaxis(bend / a**3, -1, 0),
        np.moveaxis(pull / (30 * a), -1, 0),
        np.moveaxis(load, -1, 0),
    )


def pattern(mesh: Mesh) -> Pattern:
    """The maps of a mesh; kept with it."""
    if "pattern" not in mesh.made:
        mesh.made["pattern"] = _pattern(mesh)
    found: Pattern = mesh.made["pattern"]
    return found


def _pattern(mesh: Mesh) -> Pattern:
    import numpy as np
    from scipy import sparse

    width, size, count = mesh.band + 1, mesh.size, len(mesh.length_m)
    bend, pull, load = element_matrices(mesh.length_m)
    rows, flat, bends, pulls = [], [], [], []
    for plane in (0, 1):
        for i in range(4):
            for j in range(4):
                p, q = mesh.place[:, plane, i], mesh.place[:, plane, j]
                kept = (p >= q) & (p < size) & (q < size)
                rows.append(np.nonzero(kept)[0])
                flat.append((q * width + p - q)[kept])
                bends.append((bend[:, i, j] * mesh.ei_nm2)[kept])
                pulls.append(pull[kept, i, j])
    at = np.concatenate(flat)
    bending = np.bincount(at, np.concatenate(bends), size * width).astype(np.float64)
    where = (np.concatenate(rows), at)
    tension = sparse.csr_matrix((np.concatenate(pulls), where[::-1]), (size * width, count))
    couple = np.array([0.0, 1.0, 0.0, -1.0])
    touched, stiffen = _stiffen(mesh)
    gather = _gather(mesh)
    return Pattern(
        bending,
        tension,
        _loads(mesh, np.broadcast_to(couple, (count, 4))),
        _loads(mesh, load),
        gather,
        gather.T.tocsr(),
        touched,
        stiffen,
    )


def _loads(mesh: Mesh, values: Array) -> Any:
    import numpy as np
    from scipy import sparse

    count = len(mesh.length_m)
    rows = np.repeat(np.arange(2 * count), 4)
    columns = np.concatenate((mesh.place[:, 0], mesh.place[:, 1])).ravel()
    data = np.concatenate((values, values)).ravel()
    kept = columns < mesh.size
    return sparse.csr_matrix((data[kept], (columns[kept], rows[kept])), (mesh.size, 2 * count))


def _gather(mesh: Mesh) -> Any:
    import numpy as np
    from scipy import sparse

    count = len(mesh.contacts)
    rows = np.arange(2 * count)
    near, far = mesh.near.T.ravel(), mesh.far.T.ravel()
    row = np.concatenate((rows, rows))
    column = np.concatenate((near, far))
    data = np.concatenate((np.ones(2 * count), -np.ones(2 * count)))
    kept = column < mesh.size
    return sparse.csr_matrix((data[kept], (row[kept], column[kept])), (2 * count, mesh.size))


def _stiffen(mesh: Mesh) -> tuple[Integers, Any]:
    import numpy as np
    from scipy import sparse

    width, size, count = mesh.band + 1, mesh.size, len(mesh.contacts)
    rows, flat, signs = [], [], []
    for part, pairs in enumerate((((0, 0),), ((1, 1),), ((0, 1), (1, 0)))):
        for i, j in pairs:
            for one, left in ((mesh.near, 1.0), (mesh.far, -1.0)):
                for other, right in ((mesh.near, 1.0), (mesh.far, -1.0)):
                    p, q = one[:, i], other[:, j]
                    kept = (p >= q) & (p < size) & (q < size)
                    rows.append(np.nonzero(kept)[0] + part * count)
                    flat.append((q * width + p - q)[kept])
                    signs.append(np.full(int(kept.sum()), left * right))
    at = np.concatenate(flat) if flat else np.zeros(0, dtype=np.intp)
    touched, column = np.unique(at, return_inverse=True)
    where = (column, np.concatenate(rows))
    shape = (len(touched), 3 * count)
    return touched, sparse.csr_matrix((np.concatenate(signs), where), shape)
