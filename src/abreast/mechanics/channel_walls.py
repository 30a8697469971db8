"""The walls of a bent channel, cut into chords that never lie outside it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["Piece", "Stretch", "Walls", "pieces_of", "sag_for", "seen", "walls_of"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of the channel with one width.

    Parameters
    ----------
    length_m, width_m : float
        Its length and width [m].
    offset_m : float
        Sideways shift of its axis, in two equal arcs [m].
    bend_rad_m : float
        Curvature of its axis besides [rad/m].
    """

    length_m: float
    width_m: float
    offset_m: float = 0.0
    bend_rad_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A length of the channel with one width and one curvature, signed.

    ``cut_m`` is what :func:`seen` left out of its middle, ``stretch`` the number of
    the first stretch it is of.
    """

    length_m: float
    width_m: float
    bend_rad_m: float
    stretch: int
    cut_m: float = 0.0

    def longest_m(self, od_m: float) -> float:
        """Longest straight body of a diameter in an endless piece of this kind [m]."""
        if not self.bend_rad_m:
            return math.inf
        return math.sqrt(8 * max(self.width_m - od_m, 0.0) / abs(self.bend_rad_m))


@dataclass(frozen=True, slots=True)
class Walls:
    """Both walls as polygons over the depth, and the piece of each corner.

    ``depth_m`` counts no length that was left out.
    """

    depth_m: Array
    high_m: Array
    low_m: Array
    piece: Array

    def views(self) -> Iterator[tuple[Walls, bool]]:
        """The walls as they are and mirrored, read from the top and from the end.

        A body that starts at a corner is looked at from above, one that ends at a
        corner from below; the middle contact lies on either wall.
        """
        for turned, one in ((False, self), (True, self._turned())):
            yield one, turned
            yield Walls(one.depth_m, -one.low_m, -one.high_m, one.piece), turned

    def _turned(self) -> Walls:
        whole_m = self.depth_m[-1]
        return Walls(
            whole_m - self.depth_m[::-1], self.high_m[::-1], self.low_m[::-1], self.piece[::-1]
        )

    @property
    def length_m(self) -> float:
        """Length of the channel [m]."""
        return float(self.depth_m[-1])


def pieces_of(stretches: Sequence[Stretch], side: float = 1.0) -> tuple[Piece, ...]:
    """A channel in as few even pieces as it has.

    Parameters
    ----------
    stretches : sequence of Stretch
        From the top down, smoothly joined.
    side : float
        1 or -1: which way all of them curve, as seen from their shifts.
    """
    found: list[Piece] = []
    for number, one in enumerate(stretches):
        for piece in _halves(one, number, side):
            last = found[-1] if found else None
            same = last and (last.width_m, last.bend_rad_m) == (piece.width_m, piece.bend_rad_m)
            if last and same:
                found[-1] = replace(last, length_m=last.length_m + piece.length_m)
            else:
                found.append(piece)
    return tuple(found)


def _halves(one: Stretch, number: int, side: float) -> Iterator[Piece]:
    bend = side * one.bend_rad_m
    if not one.offset_m:
        yield Piece(one.length_m, one.width_m, bend, number)
        return
    own = 4 * one.offset_m / one.length_m**2
    for way in (own, -own):
        yield Piece(one.length_m / 2, one.width_m, bend + way, number)


def seen(pieces: Sequence[Piece], reach_m: float) -> tuple[Piece, ...]:
    """The same channel for bodies no longer than a reach: long even pieces made shorter.

    A body in a piece touches one end of it, or neither, and is then as everywhere
    in it; twice the reach has all these places.
    """
    return tuple(
        replace(one, length_m=2 * reach_m, cut_m=one.length_m - 2 * reach_m)
        if one.length_m > 2 * reach_m
        else one
        for one in pieces
    )


def sag_for(pieces: Sequence[Piece], sag_m: float, corners: int, bends_rad_m: Array) -> float:
    """A sag at which :func:`walls_of` has no more than so many corners, ``sag_m`` at least [m]."""
    pairs = zip(pieces, bends_rad_m.tolist(), strict=True)
    unit = math.fsum(one.length_m * math.sqrt(bend / 8) for one, bend in pairs)
    free = max(corners - 3 * len(pieces), 1)
    return max(sag_m, (unit / free) ** 2)


def walls_of(pieces: Sequence[Piece], sag_m: float, bends_rad_m: Array) -> Walls:
    """The walls of a channel.

    Parameters
    ----------
    pieces : sequence of Piece
        From the top down.
    sag_m : float
        How far a chord of a wall may lie off its arc [m].
    bends_rad_m : array
        For each piece the curvature that its corners are as close for, its own at
        least [rad/m].

    Notes
    -----
    A wall that curves away from the channel has its corners on it, so that chords
    lie inside. One that curves into it is moved in by the sag, so that they do
    too: what passes these walls passes the true ones, which are nowhere more than
    the sag away.
    """
    import numpy as np

    depth, high, low, owner = [], [], [], []
    above_m, across_m, slope = 0.0, 0.0, 0.0
    for number, (one, close) in enumerate(zip(pieces, bends_rad_m.tolist(), strict=True)):
        bend = one.bend_rad_m
        count = max(1, math.ceil(one.length_m * math.sqrt(close / (8 * sag_m)) - 1e-9))
        run = np.linspace(0.0, 1.0, count + 1) * one.length_m
        axis = across_m + slope * run + bend * run**2 / 2
        moved_m = abs(bend) * (one.length_m / count) ** 2 / 8
        depth.append(above_m + run)
        high.append(axis + one.width_m / 2 - (moved_m if bend > 0 else 0.0))
        low.append(axis - one.width_m / 2 + (moved_m if bend < 0 else 0.0))
        owner.append(np.full(count + 1, number))
        above_m, across_m = above_m + one.length_m, float(axis[-1])
        slope += bend * one.length_m
    return Walls(*(np.concatenate(part) for part in (depth, high, low, owner)))
