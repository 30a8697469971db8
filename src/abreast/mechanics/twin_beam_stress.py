"""Stress in both strings: bending and pull together, element by element."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["axial_stress_pa", "bending_stress_pa"]


def bending_stress_pa(mesh: Mesh, moment_nm: Array) -> Array:
    """Greatest bending stress M/Z of each element [Pa]; 0 where no section modulus is known.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    moment_nm : array (stations, elements, 2)
        Bending moment at both ends of each element [N m].
    """
    import numpy as np

    modulus = np.array([one.modulus_m3 or math.inf for one in mesh.segments])
    stress: Array = moment_nm.max(axis=2) / modulus
    return stress


def axial_stress_pa(mesh: Mesh, tension_n: Array) -> Array:
    """Size of the stress T/A of pull or push in each element [Pa]; 0 where no area is known.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    tension_n : array (stations, elements)
        Effective tension [N].

    Notes
    -----
    Effective tension over the steel is the axial stress beyond that of the fluid
    round it; where the pressure is the same inside and out, steel yields by it
    and by bending alone, added where both are worst (Sparks 1984, from memory).
    """
    import numpy as np

    area = np.array([one.area_m2 or math.inf for one in mesh.segments])
    stress: Array = np.abs(tension_n) / area
    return stress
