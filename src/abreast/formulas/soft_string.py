"""Tension along a soft string in a curved hole: weight, and friction against the wall."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from abreast.formulas.guard import finite, not_negative, require, within
from abreast.formulas.survey import Position, direction

__all__ = ["Cell", "Way", "normal_force", "tension_above", "tensions"]

Way = Literal["up", "down", "still"]
"""Picking up, slacking off, or hanging without friction."""
_SIGN: dict[Way, float] = {"up": 1.0, "down": -1.0, "still": 0.0}
# A bend below this has no plane that rounding does not choose [rad].
STRAIGHT_RAD = 1e-9


@dataclass(frozen=True, slots=True)
class Cell:
    """A short piece of string between two points of the hole.

    Parameters
    ----------
    upper, lower : Position
        Its ends, as :func:`abreast.formulas.survey.position_at` gives them.
    weight_n_m : float
        Effective weight per length: in air, with the fluid inside, less the
        fluid displaced [N/m]. Negative floats.
    drag_n : float
        Drag besides that on the wall, of a clamp for example [N].

    Raises
    ------
    InputError
        ``out-of-range``: the lower end is not deeper, or the drag is negative.
    """

    upper: Position
    lower: Position
    weight_n_m: float
    drag_n: float = 0.0

    def __post_init__(self) -> None:
        deeper = self.upper.station.md_m < self.lower.station.md_m
        require(deeper, "lower.md_m", "the lower end must be deeper than the upper end")
        finite("weight_n_m", self.weight_n_m)
        not_negative("drag_n", self.drag_n)

    @property
    def weight_n(self) -> float:
        """Effective weight [N]."""
        return self.weight_n_m * (self.lower.station.md_m - self.upper.station.md_m)


def normal_force(tension_n: float, cell: Cell) -> float:
    r"""Force of a cell on the wall of the hole [N].

    Parameters
    ----------
    tension_n : float
        Effective tension in the middle of the cell; negative is compression [N].
    cell : Cell
        Where it lies and what it weighs.

    Notes
    -----
    The length of the part across the hole of :math:`T(t_2 - t_1) + W g`, t unit
    vectors down the hole, g down. For short cells it is
    :math:`\sqrt{(T\,\Delta\alpha\sin\theta)^2 + (T\,\Delta\theta + W\sin\theta)^2}`
    of Johancsik, Friesen and Dawson, JPT June 1984, and unlike it knows no
    azimuth that jumps in a vertical hole.

    Examples
    --------
    1,000 N of string in a straight hole at 30 degrees:

    >>> from abreast.formulas.survey import Station, positions
    >>> upper, lower = positions([Station(0, math.pi / 6, 0), Station(10, math.pi / 6, 0)])
    >>> round(normal_force(5_000, Cell(upper, lower, 100.0)), 6)
    500.0
    """
    bend, within_n, beside_n = _across(cell)
    return math.hypot(tension_n * bend + within_n, beside_n)


def _across(cell: Cell) -> tuple[float, float, float]:
    """Chord of the bend [rad], and the weight across the hole in its plane and beside it [N]."""
    upper, lower = direction(cell.upper.station), direction(cell.lower.station)
    turn = [b - a for a, b in zip(upper, lower, strict=True)]
    mean = [a + b for a, b in zip(upper, lower, strict=True)]
    bend, size = math.hypot(*turn), math.hypot(*mean)
    if bend < STRAIGHT_RAD:
        return 0.0, cell.weight_n * math.hypot(*mean[:2]) / size, 0.0
    beside = (mean[0] * turn[1] - mean[1] * turn[0]) / (size * bend)
    return bend, cell.weight_n * turn[2] / bend, cell.weight_n * beside


def tension_above(below_n: float, cell: Cell, friction_ratio: float, way: Way) -> float:
    """Effective tension at the upper end of a cell from that at its lower end [N].

    Parameters
    ----------
    below_n : float
        Effective tension at the lower end [N].
    cell : Cell
        The cell.
    friction_ratio : float
        Friction factor, 0 to 1.
    way : {"up", "down", "still"}
        Which way the string moves.

    Raises
    ------
    InputError
        ``out-of-range``: friction outside 0 to 1.

    Notes
    -----
    T1 = T2 + w dTVD +- (mu N + drag), N with the mean of both tensions. Weight
    goes with true vertical depth, so that without friction the tension is exactly
    w times the vertical height of a uniform string. N depends on T1 itself: the
    friction x = T1 - T0, T0 without it, solves

    x = +- mu sqrt((h + x b/2)^2 + c^2),   h = b (T2 + T0)/2 + W_in,   c = W_beside

    with b the chord of the bend and the weight across the hole parted into that
    in the plane of the bend and that beside it: a quadratic equation, solved.

    Examples
    --------
    >>> from abreast.formulas.survey import Station, positions
    >>> upper, lower = positions([Station(0, math.pi / 6, 0), Station(10, math.pi / 6, 0)])
    >>> round(tension_above(0.0, Cell(upper, lower, 100.0), 0.3, "up"), 3)
    1016.025
    """
    within("friction_ratio", friction_ratio, 0.0, 1.0)
    sign = _SIGN[way]
    still_n = below_n + cell.weight_n_m * (cell.lower.down_m - cell.upper.down_m)
    if not sign:
        return still_n
    bend, within_n, beside_n = _across(cell)
    base_n = still_n + sign * cell.drag_n
    half = friction_ratio * bend / 2
    plain_n = bend * (below_n + base_n) / 2 + within_n
    root_n = math.sqrt(plain_n**2 + (1 - half**2) * beside_n**2)
    return base_n + friction_ratio * (half * plain_n + sign * root_n) / (1 - half**2)


def tensions(
    cells: Iterable[Cell], friction_ratio: float, way: Way, bottom_n: float = 0.0
) -> tuple[float, ...]:
    """Effective tension at the upper end of every cell [N].

    Parameters
    ----------
    cells : iterable of Cell
        From the bottom up, each beginning where the last one ended.
    friction_ratio, way
        As for :func:`tension_above`.
    bottom_n : float
        Effective tension at the lower end of the first cell [N].

    Raises
    ------
    InputError
        ``out-of-range``: as for :func:`tension_above`.

    Notes
    -----
    The string is soft: it follows the axis of the hole and has no stiffness;
    where it is compressed it is not taken to buckle.
    """
    within("friction_ratio", friction_ratio, 0.0, 1.0)
    tension_n, found = finite("bottom_n", bottom_n), []
    for cell in cells:
        tension_n = tension_above(tension_n, cell, friction_ratio, way)
        found.append(tension_n)
    return tuple(found)
