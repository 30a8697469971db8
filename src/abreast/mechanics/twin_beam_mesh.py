"""The twin string cut into beam elements: numbering, contacts, patterns for many stations at once.

Unknowns of a node are (u, u') in x, then in y, of each string; numbering node
by node keeps all couplings within about ten places, so that matrices are
banded. An unknown that is held has the number ``size``, one past the last.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import positive, require
from abreast.mechanics.twin_beam import BeamSegment, Disc, Link, TwinBeam

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Integers = npt.NDArray[np.intp]
else:
    Array = Integers = Any

__all__ = ["NEAREST_M", "Contact", "Mesh", "mesh"]

_SAME_M = 1e-4
NEAREST_M = 0.02
"""Ends nearer to one another than this share a node [m]: shorter elements cost digits."""
Slot = tuple[int, int, int, int]
# A gap between strings is a contact with a round wall so wide that it is flat.
_FLAT_M = 1000.0


@dataclass(frozen=True, slots=True)
class Contact:
    """One thing that may touch: a disc the casing, the bypass its clamp, or string string."""

    what: str
    name: str
    kind: str
    string: int
    node: int
    radius_m: float = 0.0


@dataclass(frozen=True)
class Mesh:
    """Elements, numbering and contacts of a :class:`TwinBeam`.

    Parameters
    ----------
    twin : TwinBeam
        What was cut.
    node_m : array
        Depths of the nodes [m].
    segments : tuple of BeamSegment
        The segment of each element.
    string, upper, length_m : array
        String, upper node and length of each element.
    place : array (elements, 2, 4)
        Numbers of its unknowns u, u' above and below, in x and in y.
    slot : dict
        Numbers of the four unknowns of a node of a string.
    size, band : int
        How many unknowns, and how far apart the farthest coupled ones are.
    contacts : tuple of Contact
        What may touch; the first ``walls`` are discs against the casing.
    """

    twin: TwinBeam
    node_m: Array
    segments: tuple[BeamSegment, ...]
    string: Integers
    upper: Integers
    length_m: Array
    place: Integers
    slot: dict[tuple[int, int], Slot]
    size: int
    band: int
    contacts: tuple[Contact, ...]
    walls: int
    offset_m: Array
    limit_m: Array
    near: Integers
    far: Integers
    made: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def middle_m(self) -> Array:
        """Depth of the middle of each element [m]."""
        return self.node_m[self.upper] + self.length_m / 2

    @property
    def ei_nm2(self) -> Array:
        """EI of each element [N m2]."""
        import numpy as np

        return np.array([one.ei_nm2 for one in self.segments])

    def node_at(self, at_m: float) -> int:
        """The node at a depth."""
        number = _nearest(self.node_m, at_m)
        require(abs(self.node_m[number] - at_m) < 2 * NEAREST_M, "at_m", f"no node at {at_m:g} m")
        return number

    def reach_m(self) -> tuple[Array, Array]:
        """From where to where each disc stands for its string: half-way to its neighbours [m]."""
        import numpy as np

        middle = (self.node_m[1:] + self.node_m[:-1]) / 2
        above = np.concatenate((self.node_m[:1], middle))
        below = np.concatenate((middle, self.node_m[-1:]))
        node = np.array([one.node for one in self.contacts[: self.walls]], dtype=np.intp)
        return above[node], below[node]


def mesh(twin: TwinBeam, longest_m: float = 1.0, nearest_m: float = NEAREST_M) -> Mesh:
    """Cut a twin string into elements no longer than a length.

    Parameters
    ----------
    twin : TwinBeam
        The strings. Both get the same nodes where they are abreast.
    longest_m : float
        Longest element [m].
    nearest_m : float
        Ends nearer to one another than this share a node [m].

    Raises
    ------
    InputError
        ``out-of-range``: a length that is not above 0, or strings that overlap.
    """
    import numpy as np

    node_m = _nodes(twin, positive("longest_m", longest_m), nearest_m)
    slot, size = _numbering(twin, node_m)
    segments: list[BeamSegment] = []
    rows: list[tuple[int, int]] = []
    for number, string in enumerate(twin.strings):
        for upper in range(len(node_m) - 1):
            if (number, upper) in slot and (number, upper + 1) in slot:
                middle_m = (node_m[upper] + node_m[upper + 1]) / 2
                segments.append(_segment(string.segments, float(middle_m)))
                rows.append((number, upper))
    numbers = np.array(rows, dtype=np.intp)
    above = np.array([slot[s, k] for s, k in rows], dtype=np.intp)
    below = np.array([slot[s, k + 1] for s, k in rows], dtype=np.intp)
    place = np.stack(
        (
            np.concatenate((above[:, :2], below[:, :2]), axis=1),
            np.concatenate((above[:, 2:], below[:, 2:]), axis=1),
        ),
        axis=1,
    )
    contacts = [*_walls(twin, node_m, slot, size)]
    walls = len(contacts)
    contacts += [*_pairs(twin, node_m, slot)]
    live = np.where(place < size, place, -1)
    spread = [np.ptp(row[row >= 0]) for row in live.reshape(-1, 4) if np.any(row >= 0)]
    inside = [max(ends) - min(ends) for _, _, _, ends in map(_four, contacts)]
    inner = [
        max(s) - min(s) for s in ([v for v in four if v < size] for four in slot.values()) if s
    ]
    return Mesh(
        twin,
        node_m,
        tuple(segments),
        numbers[:, 0],
        numbers[:, 1],
        np.diff(node_m)[numbers[:, 1]],
        place,
        slot,
        size,
        int(max([*spread, *inside, *inner])),
        tuple(one for one, *_ in contacts),
        walls,
        np.array([one[1] for one in contacts]).reshape(-1, 2),
        np.array([one[2] for one in contacts]),
        np.array([one[3] for one in contacts], dtype=np.intp).reshape(-1, 2),
        np.array([one[4] for one in contacts], dtype=np.intp).reshape(-1, 2),
    )


_Touch = tuple[Contact, tuple[float, float], float, tuple[int, int], tuple[int, int]]


def _four(one: _Touch) -> tuple[Contact, float, float, tuple[int, ...]]:
    contact, _, limit_m, near, far = one
    ends = near if contact.what == "casing" else (*near, *far)
    return contact, limit_m, limit_m, ends


def _nodes(twin: TwinBeam, longest_m: float, nearest_m: float) -> Array:
    import numpy as np

    ends = sorted(twin.ends_m())
    kept = [ends[0]]
    for end in ends[1:]:
        if end - kept[-1] > nearest_m:
            kept.append(end)
    found = [kept[0]]
    for upper, lower in pairwise(kept):
        count = int(np.ceil((lower - upper) / longest_m - 1e-9))
        found.extend(upper + (lower - upper) * np.arange(1, count + 1) / count)
    return np.array(found)


def _numbering(twin: TwinBeam, node_m: Array) -> tuple[dict[tuple[int, int], Slot], int]:
    """Numbers of u_x, u_x', u_y, u_y' of each string at each node; held ones come last.

    Both strings in x, then both in y; where they share a place its slope in y goes
    before it, nearer to the node above. That keeps the band narrow.
    """
    link = {_nearest(node_m, one.at_m): one for one in twin.links}
    held = {(one.string, _nearest(node_m, one.at_m)): one.slope for one in twin.held}
    raw: dict[tuple[int, int], list[int]] = {}
    ends = [(_nearest(node_m, one.top_m), _nearest(node_m, one.bottom_m)) for one in twin.strings]
    size = 0
    for node in range(len(node_m)):
        here = [number for number, (top, bottom) in enumerate(ends) if top <= node <= bottom]
        joint = link.get(node) if len(here) == 2 else None
        place = joint is not None and joint.play_m == 0
        whole = joint is not None and joint.kind != "clamp"
        raw.update({(number, node): [-1, -1, -1, -1] for number in here})
        for axis in (0, 2):
            for number in here:
                for at in (axis + 1, axis) if place and axis else (axis, axis + 1):
                    joined = place if at == axis else whole
                    if joined and number == 1:
                        raw[1, node][at] = raw[0, node][at]
                        continue
                    sharing = here if joined else [number]
                    # Held in place; in slope too only where that is asked for.
                    slopes = [held[one, node] for one in sharing if (one, node) in held]
                    if not (any(slopes) or (slopes and at == axis)):
                        raw[number, node][at] = size
                        size += 1
    found: dict[tuple[int, int], Slot] = {}
    for key, four in raw.items():
        a, b, c, d = (one if one >= 0 else size for one in four)
        found[key] = (a, b, c, d)
    return found, size


def _nearest(node_m: Array, at_m: float) -> int:
    import numpy as np

    return int(np.argmin(np.abs(node_m - at_m)))


def _segment(segments: Iterable[BeamSegment], at_m: float) -> BeamSegment:
    return min(segments, key=lambda one: max(one.top_m - at_m, at_m - one.bottom_m))


def _walls(
    twin: TwinBeam, node_m: Array, slot: dict[tuple[int, int], Slot], size: int
) -> Iterable[_Touch]:
    for number, string in enumerate(twin.strings):
        for disc, nodes in _spans(string.discs, node_m):
            for node in nodes:
                four = slot[number, node]
                if four[0] == size:  # held on the axis: it can't move to a wall
                    continue
                contact = Contact("casing", disc.name, disc.kind, number, node, disc.radius_m)
                yield contact, (disc.x_m, disc.y_m), 0.0, (four[0], four[2]), (size, size)


def _spans(discs: Iterable[Disc], node_m: Array) -> list[tuple[Disc, range]]:
    """The nodes on the length of each disc."""
    ends = [(_nearest(node_m, disc.at_m), _nearest(node_m, disc.bottom_m)) for disc in discs]
    return [(disc, range(top, low + 1)) for disc, (top, low) in zip(discs, ends, strict=True)]


def _pairs(twin: TwinBeam, node_m: Array, slot: dict[tuple[int, int], Slot]) -> Iterable[_Touch]:
    if len(twin.strings) < 2:
        return
    link: dict[int, Link] = {_nearest(node_m, one.at_m): one for one in twin.links}
    spans = [_spans(string.discs, node_m) for string in twin.strings]
    for node in range(len(node_m)):
        if (0, node) not in slot or (1, node) not in slot:
            continue
        esp, bypass = slot[0, node], slot[1, node]
        if esp[0] == bypass[0]:
            continue
        near, far = (esp[0], esp[2]), (bypass[0], bypass[2])
        joint = link.get(node)
        if joint is not None:
            contact = Contact("clamp", joint.name, "clamp", 1, node)
            yield contact, (0.0, 0.0), joint.play_m / 2, near, far
            continue
        left, right = (_widest(span, node) for span in spans)
        if left is None or right is None:
            continue
        gap_m = right.x_m - left.x_m - left.radius_m - right.radius_m
        name = f"{left.name} and {right.name}"
        require(gap_m > -_SAME_M, "discs", f"{name} overlap by {-1e3 * gap_m:.1f} mm as they stand")
        contact = Contact("strings", name, "body", 1, node)
        yield contact, (_FLAT_M, 0.0), _FLAT_M + max(gap_m, 0.0), near, far


def _widest(spans: Iterable[tuple[Disc, range]], node: int) -> Disc | None:
    """The widest disc on the axis of a string at a node."""
    sorts = ("body", "neck", "coupling")
    here = [disc for disc, nodes in spans if node in nodes and disc.kind in sorts]
    return max(here, key=lambda one: one.radius_m, default=None)
