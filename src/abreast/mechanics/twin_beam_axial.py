"""Effective tension along both strings: weight along the hole, drag, locked union."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_solve import Lock

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["Pull", "lock_of", "pull"]


@dataclass(frozen=True, slots=True)
class Pull:
    """Tensions at each station.

    Parameters
    ----------
    tension_n : array (stations, elements)
        Effective tension at the middle of each element [N].
    couple_nm : array (stations, rigid links)
        Couple in x of the eccentric pulls at Y-tool and base support [N m].
    top_n : array (stations)
        Pull at the upper end of the first string [N].
    """

    tension_n: Array
    couple_nm: Array
    top_n: Array


def lock_of(mesh: Mesh) -> Lock | None:
    """The locked union of a mesh: two lines in series between Y-tool and base; None: it is free."""
    import numpy as np

    twin = mesh.twin
    if twin.union != "locked":
        return None
    upper_m, lower_m = twin.rigid_m
    inside = (mesh.middle_m > upper_m) & (mesh.middle_m < lower_m)
    soft = np.array([one.ea_n for one in mesh.segments])
    x_m = np.array([one.x_m for one in mesh.segments])
    flexible = float(np.sum((mesh.length_m / soft)[inside]))
    spacing = [float(np.average(x_m[inside & (mesh.string == s)])) for s in (0, 1)]
    return Lock(1 / flexible, spacing[1] - spacing[0], twin.misfit_m)


def pull(mesh: Mesh, along_n: Array, drag_n: Array, lock_n: Array) -> Pull:
    """Tension of every element at every station.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    along_n : array (stations, elements)
        Buoyant weight of each element along the hole [N].
    drag_n : array (stations, walls)
        Drag on each disc, upwards positive: while lowering it carries [N].
    lock_n : array (stations)
        Pull of the bypass by bending in a locked union [N].

    Notes
    -----
    Free union: it carries nothing, so that the bypass stands on the base
    support and the ESP side carries all. With no base support each string
    hangs by itself. Statics along each string; ``docs/theory/passing.md``.
    """
    import numpy as np

    twin, node_m = mesh.twin, mesh.node_m
    count, walls = len(along_n), mesh.walls
    tension = np.zeros_like(along_n)
    rigid_m = twin.rigid_m
    couple = np.zeros((count, len(rigid_m)))
    node = np.array([one.node for one in mesh.contacts[:walls]], dtype=np.intp)
    owner = np.array([one.string for one in mesh.contacts[:walls]], dtype=np.intp)
    joint = [mesh.node_at(at) for at in rigid_m]
    below = [np.zeros((count, 0))] * len(twin.strings)
    for number in range(len(twin.strings)):
        carried = np.zeros((count, len(node_m)))
        mine = np.nonzero(mesh.string == number)[0]
        np.add.at(carried.T, mesh.upper[mine], along_n[:, mine].T)
        discs = np.nonzero(owner == number)[0]
        # A node's drag acts on what is above it: it is taken off with the element over the node.
        np.add.at(carried.T, np.maximum(node[discs] - 1, 0), -drag_n[:, discs].T)
        hung = np.cumsum(carried[:, ::-1], axis=1)[:, ::-1]
        below[number] = np.concatenate((hung, np.zeros((count, 1))), axis=1)
        tension[:, mine] = hung[:, mesh.upper[mine]] - along_n[:, mine] / 2
    if len(twin.strings) == 1 or not joint:
        return Pull(tension, couple, below[0][:, 0])
    top = joint[0]
    both = len(joint) == 2
    shift = _joined(mesh, tension, below, joint, lock_n) if both else below[1][:, top]
    above = (mesh.string == 0) & (mesh.upper < top)
    tension[:, above] += shift[:, None]
    _couples(mesh, tension, joint, couple, lock_n)
    return Pull(tension, couple, below[0][:, 0] + shift)


def _joined(
    mesh: Mesh, tension: Array, below: list[Array], joint: list[int], lock_n: Array
) -> Array:
    """Tensions between two rigid links: the bypass pulls only by a locked union."""
    top, base = joint
    bypass_n = below[1][:, top] - below[1][:, base]
    abreast = (mesh.upper >= top) & (mesh.upper < base)
    second, first = abreast & (mesh.string == 1), abreast & (mesh.string == 0)
    tension[:, second] += (lock_n - bypass_n)[:, None]
    tension[:, first] += (bypass_n - lock_n)[:, None]
    return bypass_n


def _couples(mesh: Mesh, tension: Array, joint: list[int], couple: Array, lock_n: Array) -> None:
    """Pulls above less pulls below a rigid link, times where they are across the section.

    The change by a locked union is left out: the energy of the lock has it.
    """
    for number, at in enumerate(joint):
        for element, segment in enumerate(mesh.segments):
            if segment.x_m == 0.0 or at not in (mesh.upper[element], mesh.upper[element] + 1):
                continue
            sign = 1.0 if mesh.upper[element] + 1 == at else -1.0
            within = len(joint) == 2 and joint[0] <= mesh.upper[element] < joint[1]
            change = (lock_n if mesh.string[element] == 1 else -lock_n) if within else 0.0
            couple[:, number] += sign * segment.x_m * (tension[:, element] - change)
