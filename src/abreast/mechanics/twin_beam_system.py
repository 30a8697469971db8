"""The energy of a twin string at many stations: banded matrices, loads, walls."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_pattern import pattern

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Bools = npt.NDArray[np.bool_]
else:
    Array = Bools = Any

__all__ = ["Fields", "Lock", "System", "system"]


@dataclass(frozen=True, slots=True)
class Fields:
    """What the hole and the weights do at each station; the first axis is the station.

    Parameters
    ----------
    curvature_rad_m : array (stations, elements, 2)
        Curvature of the hole, in x and y of the section [rad/m].
    lateral_n_m : array (stations, elements, 2)
        Lateral load per length [N/m].
    tension_n : array (stations, elements)
        Effective tension at the middle of each element [N].
    casing_m : array (stations, walls)
        Radius of the casing at each disc [m].
    couple_nm : array (stations, rigid links)
        Couple in x from the eccentric pull of the strings at Y-tool and base [N m].
    turn_rad : array (stations)
        Turn of the hole in x between the rigid links [rad]; for a locked union.
    """

    curvature_rad_m: Array
    lateral_n_m: Array
    tension_n: Array
    casing_m: Array
    couple_nm: Array
    turn_rad: Array

    def part(self, chosen: Any) -> Fields:
        """Some of the stations."""
        return Fields(*(getattr(self, name)[chosen] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Lock:
    """A locked union: stiffness of both lines in series [N/m], spacing and misfit [m]."""

    stiffness_n_m: float
    spacing_m: float
    misfit_m: float = 0.0

    def force_n(self, turn_rad: Array, tilt_rad: Array) -> Array:
        """Pull of the bypass by bending [N]; turn of the hole, and of the ends beyond it [rad]."""
        bent: Array = self.misfit_m - self.spacing_m * (turn_rad + tilt_rad)
        return self.stiffness_n_m * bent


@dataclass(frozen=True, slots=True)
class System:
    """Least of u'Ku/2 - f'u + (tied/2) (tie'u)^2, each contact within its limit.

    Parameters
    ----------
    matrix : array (stations, size, band + 1)
        K by columns: the entry itself, then those below it.
    load : array (size, stations)
        f; vectors have the station last, so that maps work on all at once.
    limit_m : array (contacts, stations)
        How far each contact can move before it touches [m]. Below zero for a
        disc larger than its casing: it has nowhere to be, and its push tells so.
    tie : array (size)
        The turn of the ends of a locked union by the unknowns.
    tied_nm : float
        Its stiffness against that turn [N m]; 0: no lock.
    """

    mesh: Mesh
    matrix: Array
    load: Array
    limit_m: Array
    tie: Array
    tied_nm: float

    def part(self, chosen: Any) -> System:
        """Some of the stations."""
        matrix, load, limit = self.matrix[chosen], self.load[:, chosen], self.limit_m[:, chosen]
        return System(self.mesh, matrix, load, limit, self.tie, self.tied_nm)

    def stable(self, pushed: Bools) -> Bools:
        """Whether K is positive definite at each of the stations where it is asked for."""
        import numpy as np
        from scipy.linalg import lapack

        ok = np.ones(len(self.matrix), dtype=bool)
        for b in np.nonzero(pushed)[0]:
            ok[b] = lapack.dpbtrf(self.matrix[b].T, lower=1)[1] == 0
        return ok

    def times(self, u: Array, stations: Any) -> Array:
        """K and the lock times a shape at some stations (size, stations)."""
        import numpy as np

        p, k = u.T, self.matrix[stations]
        product: Array = k[:, :, 0] * p
        for off in range(1, self.mesh.band + 1):
            product[:, off:] += k[:, :-off, off] * p[:, :-off]
            product[:, :-off] += k[:, :-off, off] * p[:, off:]
        if self.tied_nm:
            product += self.tied_nm * (p @ self.tie)[:, None] * self.tie
        return np.ascontiguousarray(product.T)


def system(mesh: Mesh, fields: Fields, lock: Lock | None) -> System:
    """Matrices, loads and walls of the stations of some fields."""
    import numpy as np

    maps, count, walls = pattern(mesh), len(fields.tension_n), mesh.walls
    stiff = (maps.tension @ fields.tension_n.T).T + maps.bending
    kappa = _by_plane(fields.curvature_rad_m) * np.tile(mesh.ei_nm2, 2)[:, None]
    pulled = fields.lateral_n_m + fields.tension_n[..., None] * fields.curvature_rad_m
    load = maps.end_couple @ kappa + maps.sideways @ _by_plane(pulled)
    ends = [mesh.slot[0, mesh.node_at(at)][1] for at in mesh.twin.rigid_m]
    for number, end in enumerate(ends):
        if end < mesh.size:
            load[end] += fields.couple_nm[:, number]
    tie, tied = np.zeros(mesh.size + 1), 0.0
    if lock is not None:
        tie[ends[1]], tie[ends[0]] = 1.0, -1.0
    tie = tie[:-1]  # an end that is held does not turn
    if lock is not None:
        tied = lock.stiffness_n_m * lock.spacing_m**2
        load += np.outer(tie, lock.force_n(fields.turn_rad, np.zeros(count)) * lock.spacing_m)
    limit = np.repeat(mesh.limit_m[:, None], count, axis=1)
    radii = np.array([one.radius_m for one in mesh.contacts[:walls]])
    limit[:walls] = fields.casing_m.T - radii[:, None]
    return System(mesh, stiff.reshape(count, mesh.size, mesh.band + 1), load, limit, tie, tied)


def _by_plane(values: Array) -> Array:
    """(stations, elements, 2) as (2 elements, stations), x before y."""
    import numpy as np

    return np.ascontiguousarray(values.transpose(2, 1, 0).reshape(-1, len(values)))
