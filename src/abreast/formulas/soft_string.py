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
_ROUNDS = 100


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
    upper, lower = direction(cell.upper.station), direction(cell.lower.station)
    pull = [tension_n * (b - a) for a, b in zip(upper, lower, strict=True)]
    pull[2] += cell.weight_n
    mean = [a + b for a, b in zip(upper, lower, strict=True)]
    size = math.hypot(*mean)
    along = sum(p * m for p, m in zip(pull, mean, strict=True)) / size
    return math.hypot(*(p - along * m / size for p, m in zip(pull, mean, strict=True)))


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
    w times the vertical height of a uniform string.

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
    above_n = still_n
    for _ in range(_ROUNDS):
        wall_n = normal_force((below_n + above_n) / 2, cell)
        last_n, above_n = above_n, still_n + sign * (friction_ratio * wall_n + cell.drag_n)
        if abs(above_n - last_n) <= 1e-12 * (abs(above_n) + abs(below_n)):
            break
    return above_n


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
