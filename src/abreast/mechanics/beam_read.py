"""What a settled case says: moves, moments, pushes, and what holds it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.beam_case import Rested
from abreast.mechanics.twin_beam_axial import lock_of

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["AtNode", "at_node", "link_push", "moves_m", "push_of", "reaction", "steepest_rad"]

_ALL = ("casing", "strings", "clamp")


def moves_m(case: Rested) -> float:
    """The farthest that any node moves across the hole [m]."""
    return _largest(case, 0)


def steepest_rad(case: Rested) -> float:
    """The steepest slope to the axis of the hole [rad]; the model takes it as small."""
    return _largest(case, 1)


def _largest(case: Rested, which: int) -> float:
    import numpy as np

    whole = np.append(case.shapes.u[0], 0.0)
    slots = np.array(list(case.mesh.slot.values()), dtype=np.intp)
    return float(np.max(np.abs(whole[slots[:, which::2]])))


@dataclass(frozen=True, slots=True)
class AtNode:
    """Shape and moment of a string at a node: x, y [m], [rad], [N m]."""

    moved_m: tuple[float, float]
    slope_rad: tuple[float, float]
    moment_nm: tuple[float, float]


def at_node(case: Rested, string: int, node: int) -> AtNode:
    """What a string does at a node; the moment is EI times its curvature, below the node.

    At its lower end, and where no element is below, it is that above.
    """
    import numpy as np

    cut = case.mesh
    whole = np.append(case.shapes.u[0], 0.0)
    four = [float(whole[number]) for number in cut.slot[string, node]]
    mine = cut.string == string
    below = np.nonzero(mine & (cut.upper == node))[0]
    element = below[0] if len(below) else np.nonzero(mine & (cut.upper + 1 == node))[0][0]
    ends = case.shapes.ends[0, element]
    x, y = (-ends[:, 1]) if len(below) else ends[:, 3]
    return AtNode((four[0], four[2]), (four[1], four[3]), (float(x), float(y)))


def _ends_sum(case: Rested, string: int, node: int) -> Array:
    """What acts on a string from outside at a node: force and moment, in x and in y."""
    import numpy as np

    cut, total = case.mesh, np.zeros((2, 2))
    mine = cut.string == string
    for element in np.nonzero(mine & (cut.upper == node))[0]:
        total += case.shapes.ends[0, element, :, :2]
    for element in np.nonzero(mine & (cut.upper + 1 == node))[0]:
        total += case.shapes.ends[0, element, :, 2:]
    return total


def push_of(case: Rested, number: int) -> tuple[float, float]:
    """Push of a contact on its own string, in x and y [N]; the other string gets the opposite."""
    import numpy as np

    cut = case.mesh
    whole = np.append(case.shapes.u[0], 0.0)
    near, far = cut.near[number], cut.far[number]
    vector = whole[near] - whole[far] + cut.offset_m[number]
    away = float(np.hypot(*vector))
    force = float(case.shapes.force_n[0, number])
    if not away or not force:
        return 0.0, 0.0
    return float(-force * vector[0] / away), float(-force * vector[1] / away)


def _contacts_on(case: Rested, string: int, node: int, whats: tuple[str, ...] = _ALL) -> Array:
    """Sum of the pushes of contacts on a string at a node, in x and y."""
    import numpy as np

    total = np.zeros(2)
    for number, one in enumerate(case.mesh.contacts):
        if one.node != node or one.what not in whats:
            continue
        push = np.array(push_of(case, number))
        # A contact between strings acts on the first as it stands, on the second reversed.
        if one.what == "casing":
            total += push if one.string == string else 0.0
        else:
            total += push if string == 0 else -push
    return total


def link_push(case: Rested, node: int) -> tuple[Array, Array]:
    """Force and moment that a link puts on the second string, in x and y [N], [N m]."""
    total = _ends_sum(case, 1, node)
    return total[:, 0] - _contacts_on(case, 1, node, ("casing", "strings")), total[:, 1]


def reaction(case: Rested, string: int, node: int) -> tuple[Array, Array]:
    """Force and moment that a held point puts on its string, in x and y [N], [N m].

    A string that a link joins there leans on the same point: its share is in it.
    """
    cut = case.mesh
    total = _ends_sum(case, string, node)
    force, moment = total[:, 0] - _contacts_on(case, string, node), total[:, 1]
    joint = next((one for one in cut.twin.links if cut.node_at(one.at_m) == node), None)
    if joint is not None and joint.play_m == 0:
        other = 1 - string
        more = _ends_sum(case, other, node)
        force = force + more[:, 0] - _contacts_on(case, other, node)
        if joint.kind != "clamp":
            moment = moment + more[:, 1]
    rigid = [cut.node_at(at) for at in cut.twin.rigid_m]
    if node in rigid:
        moment[0] -= _couple(case, rigid.index(node))
    return force, moment


def _couple(case: Rested, end: int) -> float:
    """Couple in x of the eccentric pulls at a rigid link, that of a locked union with it [N m]."""
    lock = lock_of(case.mesh)
    tied = 0.0 if lock is None else float(case.shapes.lock_n[0]) * lock.spacing_m
    return float(case.couple_nm[end]) + (tied if end else -tied)
