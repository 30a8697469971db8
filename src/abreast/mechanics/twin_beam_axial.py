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
    grip_n : array (stations, links)
        What each clamp that grips hands over from the bypass, upwards positive [N].
    """

    tension_n: Array
    couple_nm: Array
    top_n: Array
    grip_n: Array


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
    hangs by itself. What drags on the bypass goes to the next clamps that grip
    above and below, as in a bar held at both ends; with none, to base support or
    Y-tool. Statics along each string; ``docs/theory/passing.md``.
    """
    import numpy as np

    twin = mesh.twin
    count, nodes = len(along_n), len(mesh.node_m)
    rigid_m = twin.rigid_m
    couple = np.zeros((count, len(rigid_m)))
    joint = [mesh.node_at(at) for at in rigid_m]
    # What each node carries: drag on its discs, and what the bypass hands over there.
    carried = [_per_node(mesh, drag_n, number) for number in range(len(twin.strings))]
    tension = np.zeros_like(along_n)
    grip = np.zeros((count, len(twin.links)))
    if len(twin.strings) == 2:
        dragged, at_node = _handed_over(mesh, carried[1], joint)
        second = np.nonzero(mesh.string == 1)[0]
        tension[:, second] = dragged[:, mesh.upper[second]]
        carried[0] = carried[0] + at_node
        for number, link in enumerate(twin.links):
            grip[:, number] = at_node[:, mesh.node_at(link.at_m)] if link.grips else 0.0
    below = [np.zeros((count, 0))] * len(twin.strings)
    for number in range(len(twin.strings)):
        mine = np.nonzero(mesh.string == number)[0]
        load = np.zeros((count, nodes))
        load[:, mesh.upper[mine]] = along_n[:, mine]
        if number == 0:
            # A node's drag acts on what is above it: taken off with the element over the node.
            load[:, :-1] -= carried[0][:, 1:]
        hung = np.cumsum(load[:, ::-1], axis=1)[:, ::-1]
        below[number] = np.concatenate((hung, np.zeros((count, 1))), axis=1)
        tension[:, mine] += hung[:, mesh.upper[mine]] - along_n[:, mine] / 2
    if len(twin.strings) == 1 or not joint:
        return Pull(tension, couple, below[0][:, 0], grip)
    top = joint[0]
    both = len(joint) == 2
    shift = _joined(mesh, tension, below, joint, lock_n) if both else below[1][:, top]
    above = (mesh.string == 0) & (mesh.upper < top)
    tension[:, above] += shift[:, None]
    _couples(mesh, tension, joint, couple, lock_n)
    return Pull(tension, couple, below[0][:, 0] + shift, grip)


def _per_node(mesh: Mesh, drag_n: Array, string: int) -> Array:
    """Drag on the discs of one string, node by node [N]."""
    import numpy as np

    walls = mesh.contacts[: mesh.walls]
    mine = [k for k, one in enumerate(walls) if one.string == string]
    node = np.array([walls[k].node for k in mine], dtype=np.intp)
    found = np.zeros((len(drag_n), len(mesh.node_m)))
    np.add.at(found.T, node, drag_n[:, mine].T)
    return found


def _handed_over(mesh: Mesh, drag_n: Array, joint: list[int]) -> tuple[Array, Array]:
    """Tension that drag leaves in the bypass below each node, and what it hands to the ESP side.

    Between two points that hold it, a bar of flexibility f passes a push P on
    the upper one by f below over f, on the lower one by f above over f.
    """
    import numpy as np

    count, nodes = drag_n.shape
    flexible = np.zeros(nodes)
    mine = np.nonzero(mesh.string == 1)[0]
    soft = np.array([mesh.segments[k].ea_n for k in mine])
    flexible[mesh.upper[mine] + 1] = mesh.length_m[mine] / soft
    depth = np.cumsum(flexible)
    held = _held_nodes(mesh, joint)
    tension, handed = np.zeros((count, nodes)), np.zeros((count, nodes))
    if not held:
        tension[:, :-1] = -np.cumsum(drag_n[:, ::-1], axis=1)[:, ::-1][:, 1:]
        return tension, handed
    for high, low in zip([None, *held], [*held, None], strict=True):
        first = 0 if high is None else high + 1
        last = nodes if low is None else low
        push = drag_n[:, first:last]
        up = _upward_share(depth, high, low, first, last)
        to_high = np.sum(push * up, axis=1)
        if high is not None:
            handed[:, high] += to_high
        if low is not None:
            handed[:, low] += np.sum(push * (1 - up), axis=1)
        # Just below the upper holder the bar is pushed by what that one takes.
        start = first - 1 if high is not None else 0
        gone = np.cumsum(push, axis=1)
        tension[:, start] -= to_high
        end = min(start + push.shape[1], nodes - 1)
        if high is None:
            tension[:, 0:last] += gone
        else:
            tension[:, first : end + 1] += (gone - to_high[:, None])[:, : end + 1 - first]
    for node in held:
        handed[:, node] += drag_n[:, node]
    return tension, handed


def _held_nodes(mesh: Mesh, joint: list[int]) -> list[int]:
    """Nodes at which the bypass can't slide along the ESP side."""
    grips = {mesh.node_at(one.at_m) for one in mesh.twin.links if one.grips}
    locked = mesh.twin.union == "locked" or len(joint) == 1
    ends = joint if locked else joint[1:]
    return sorted(grips | set(ends))


def _upward_share(
    depth: Array, high: int | None, low: int | None, first: int, last: int
) -> Array | float:
    if high is None:
        return 0.0
    if low is None:
        return 1.0
    whole = depth[low] - depth[high]
    share: Array = (depth[low] - depth[first:last]) / whole
    return share


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
