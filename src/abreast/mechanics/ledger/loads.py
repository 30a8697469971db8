"""Who carries what: intervals on holders, and the forces through joints.

Static, in air. One taut holder on a component carries exactly its weight;
several carry between nothing and all of it unless a check bounds one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.state import Hold, State
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["Edge", "Loads", "loads"]

NOTHING_N = 1e-6


@dataclass(frozen=True, slots=True)
class Edge:
    """A joint, or a twin clamp that carries, between a lower and an upper piece."""

    id: str
    lower: str
    upper: str


@dataclass(frozen=True, slots=True)
class Loads:
    """Loads of one state.

    Parameters
    ----------
    component : dict
        Number of the component of each piece off the rack.
    weight_n : tuple of float
        Weight of each component.
    holds : tuple of (Hold, float, float)
        Each hold with its least and greatest load [N].
    pulls : dict
        Least and greatest pull through each joint or carrying clamp [N];
        negative: it is pushed.
    unheld : tuple of int
        Components without a taut holder.
    """

    component: dict[str, int]
    weight_n: tuple[float, ...]
    holds: tuple[tuple[Hold, float, float], ...]
    pulls: dict[str, tuple[float, float]]
    unheld: tuple[int, ...]

    def of(self, hold: Hold) -> tuple[float, float]:
        """Least and greatest load of a hold [N]."""
        for one, low, high in self.holds:
            if one is hold:
                return low, high
        return 0.0, 0.0

    def members(self, piece: str) -> tuple[str, ...]:
        """The pieces that are one component with a piece."""
        number = self.component[piece]
        return tuple(one for one, at in self.component.items() if at == number)

    def with_piece(self, piece: str) -> tuple[tuple[Hold, float, float], ...]:
        """The holds on the component of a piece."""
        number = self.component[piece]
        return tuple(one for one in self.holds if self.component.get(one[0].on) == number)


def loads(book: Book, state: State) -> Loads:
    """Loads of a state, as intervals; those of the last two states are kept."""
    return book.remembered("loads", state, lambda: _loads(book, state))


def _loads(book: Book, state: State) -> Loads:
    edges, component, count = _forest(book, state)
    weight = [0.0] * count
    own = dict(book.weight_n)
    for name in state.twin_clamps:
        clamp = book.clamps[name]
        if clamp.esp in own:
            own[clamp.esp] += (clamp.mass_kg or 0.0) * GRAVITY_M_S2
    for piece, number in component.items():
        weight[number] += own[piece]
    holds = tuple(_intervals(state, component, weight))
    held = {component[hold.on] for hold in state.holds if hold.taut and hold.on in component}
    unheld = tuple(number for number in range(count) if number not in held)
    pulls = _pulls(component, edges, own, weight, holds)
    return Loads(component, tuple(weight), holds, pulls, unheld)


def _forest(book: Book, state: State) -> tuple[list[Edge], dict[str, int], int]:
    """Made joints without loops, and the components they leave."""
    parent = {piece: piece for piece in state.offsets}

    def root(piece: str) -> str:
        while parent[piece] != piece:
            piece = parent[piece]
        return piece

    edges: list[Edge] = []
    for edge in _candidates(book, state):
        low, high = root(edge.lower), root(edge.upper)
        if low != high:
            parent[high] = low
            edges.append(edge)
    roots: dict[str, int] = {}
    component = {piece: roots.setdefault(root(piece), len(roots)) for piece in state.offsets}
    return edges, component, len(roots)


def _candidates(book: Book, state: State) -> Iterator[Edge]:
    """Joints made, the one that closes the frame after the others, then clamps that carry."""
    last = book.procedure.union.joint if book.procedure.union else ""
    made = [name for name, how in state.joints.items() if how != "entered"]
    for name in sorted(made, key=lambda one: one == last):
        joint = book.joints[name]
        yield Edge(name, joint.lower, joint.upper)
    for clamp in book.procedure.clamps:
        if clamp.carries and clamp.id in state.twin_clamps:
            yield Edge(clamp.id, clamp.bypass, clamp.esp)


def _intervals(
    state: State, component: dict[str, int], weight: list[float]
) -> Iterator[tuple[Hold, float, float]]:
    taut: dict[int, list[Hold]] = {}
    for hold in state.holds:
        if hold.taut:
            taut.setdefault(component[hold.on], []).append(hold)
    for hold in state.holds:
        if not hold.taut:
            yield hold, 0.0, 0.0
            continue
        whole = weight[component[hold.on]]
        others = [one for one in taut[component[hold.on]] if one is not hold]
        if not others:
            yield hold, whole, whole
            continue
        low = max(hold.least_n or 0.0, whole - sum(_most(one, whole) for one in others))
        high = min(_most(hold, whole), whole - sum(one.least_n or 0.0 for one in others))
        yield hold, max(0.0, low), max(0.0, high)


def _most(hold: Hold, whole_n: float) -> float:
    return whole_n if hold.most_n is None else min(hold.most_n, whole_n)


def _pulls(
    component: dict[str, int],
    edges: list[Edge],
    own: dict[str, float],
    weight: list[float],
    holds: tuple[tuple[Hold, float, float], ...],
) -> dict[str, tuple[float, float]]:
    """Pull through each joint: cut it, and see what the part without its holder weighs."""
    at: dict[str, list[tuple[Edge, str]]] = {}
    for edge in edges:
        at.setdefault(edge.lower, []).append((edge, edge.upper))
        at.setdefault(edge.upper, []).append((edge, edge.lower))
    held: dict[str, tuple[float, float]] = {}
    for hold, low, high in holds:
        before = held.get(hold.on, (0.0, 0.0))
        held[hold.on] = (before[0] + low, before[1] + high)
    pulls: dict[str, tuple[float, float]] = {}
    seen: set[str] = set()
    for start in component:
        if start in seen:
            continue
        order: list[tuple[str, Edge | None, str]] = [(start, None, "")]
        seen.add(start)
        for piece, _, _ in order:  # grows while it is walked
            for edge, other in at.get(piece, ()):
                if other not in seen:
                    seen.add(other)
                    order.append((other, edge, piece))
        below: dict[str, list[float]] = {
            piece: [own[piece], *held.get(piece, (0.0, 0.0))] for piece, _, _ in order
        }
        whole = weight[component[start]]
        for piece, via, up in reversed(order):
            if via is None:
                continue
            part, low, high = below[piece]
            pulls[via.id] = _through(via, piece, part, low, high, whole)
            for place in range(3):
                below[up][place] += below[piece][place]
    return pulls


def _through(
    edge: Edge, child: str, part_n: float, low_n: float, high_n: float, whole_n: float
) -> tuple[float, float]:
    """Least and greatest pull where a part of a weight carries itself between two limits."""
    low_n, high_n = min(low_n, whole_n), min(high_n, whole_n)
    if child == edge.lower:
        return part_n - high_n, part_n - low_n
    return low_n - part_n, high_n - part_n
