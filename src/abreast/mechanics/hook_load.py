"""Hook load while running: up, down and hanging, for one depth or joint by joint."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from abreast.formulas.guard import finite, not_negative, positive, require, within
from abreast.formulas.lifting import STEEL_DENSITY_KG_M3
from abreast.formulas.soft_string import Cell, Way, tensions
from abreast.formulas.survey import Position, direction, position_at
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["Drag", "Fluids", "HookLoad", "StringItem", "forecast", "hook_load"]

_LONGEST_CELL_M = 10.0
_SHARPEST_CELL_RAD = 0.02
_TOUCH_M = 1e-6


@dataclass(frozen=True, slots=True)
class StringItem:
    """One piece of the string.

    Parameters
    ----------
    name : str
        Its id.
    length_m : float
        Length it adds [m].
    mass_kg : float
        Mass in air of the whole piece, connections and cable included [kg].
    bore_m : float
        Bore that fluid can fill; 0: none [m].
    clamps : int
        Cable clamps on it.
    """

    name: str
    length_m: float
    mass_kg: float
    bore_m: float = 0.0
    clamps: int = 0

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        not_negative("mass_kg", self.mass_kg)
        not_negative("bore_m", self.bore_m)
        require(self.clamps >= 0, "clamps", f"{self.clamps} must not be below 0")


@dataclass(frozen=True, slots=True)
class Fluids:
    """What stands outside and inside the string; above its level there is no weight.

    Parameters
    ----------
    outside_kg_m3, inside_kg_m3 : float
        Densities [kg/m3].
    outside_level_md_m, inside_level_md_m : float
        Measured depths of the levels; infinite: empty [m].
    steel_kg_m3 : float
        Density that turns mass into displaced volume [kg/m3].
    """

    outside_kg_m3: float = 0.0
    inside_kg_m3: float = 0.0
    outside_level_md_m: float = -math.inf
    inside_level_md_m: float = -math.inf
    steel_kg_m3: float = STEEL_DENSITY_KG_M3

    def __post_init__(self) -> None:
        not_negative("outside_kg_m3", self.outside_kg_m3)
        not_negative("inside_kg_m3", self.inside_kg_m3)
        positive("steel_kg_m3", self.steel_kg_m3)
        for name in ("outside_level_md_m", "inside_level_md_m"):
            require(not math.isnan(getattr(self, name)), name, "must be a depth")

    def weight_n_m(self, item: StringItem, md_m: float) -> float:
        """Effective weight per length of an item at a depth [N/m].

        The metal takes the volume of its mass, couplings included:
        w = m + rho_i A_i - rho_o (A_i + m / rho_steel).
        """
        mass = item.mass_kg / item.length_m
        bore_m2 = math.pi / 4 * item.bore_m**2
        inside = self.inside_kg_m3 if md_m > self.inside_level_md_m else 0.0
        outside = self.outside_kg_m3 if md_m > self.outside_level_md_m else 0.0
        displaced = outside * (bore_m2 + mass / self.steel_kg_m3)
        return GRAVITY_M_S2 * (mass + inside * bore_m2 - displaced)


@dataclass(frozen=True, slots=True)
class Drag:
    """What holds the string back; the user's own figures.

    Parameters
    ----------
    friction_ratio : float
        Friction factor of string on casing, 0 to 1.
    twin_n : float or None
        Drag of the twin string at the bottom, from its own analysis; None: not counted [N].
    clamp_n : float or None
        Allowance for each cable clamp; None: not counted [N].
    """

    friction_ratio: float
    twin_n: float | None = None
    clamp_n: float | None = None

    def __post_init__(self) -> None:
        within("friction_ratio", self.friction_ratio, 0.0, 1.0)
        not_negative("twin_n", self.twin_n or 0.0)
        not_negative("clamp_n", self.clamp_n or 0.0)

    @property
    def not_counted(self) -> tuple[str, ...]:
        """Which drags are left out, in words."""
        left = []
        if self.twin_n is None:
            left.append("drag of the twin string: not counted")
        if self.clamp_n is None:
            left.append("drag of cable clamps: not counted")
        return tuple(left)


@dataclass(frozen=True, slots=True)
class HookLoad:
    """Effective tension along a string whose lower end is at one depth.

    Parameters
    ----------
    bottom_md_m : float
        Depth of its lower end [m].
    md_m, still_n, up_n, down_n : tuple of float
        Depths, bottom first, and tensions there [N]; the last is the surface.
    not_counted : tuple of str
        Drags left out.
    """

    bottom_md_m: float
    md_m: tuple[float, ...]
    still_n: tuple[float, ...]
    up_n: tuple[float, ...]
    down_n: tuple[float, ...]
    not_counted: tuple[str, ...]

    @property
    def hangs_up(self) -> bool:
        """The string does not go down by its own weight: nothing is left at the hook."""
        return self.down_n[-1] <= 0

    @property
    def compressed_md_m(self) -> tuple[float, float] | None:
        """Shallowest and deepest depth with compression while slacking off [m]."""
        found = [md for md, load in zip(self.md_m, self.down_n, strict=True) if load < 0]
        return (min(found), max(found)) if found else None

    @property
    def warning(self) -> str:
        """Lock-up or compression in one sentence; empty where there is none."""
        if self.hangs_up:
            return (
                f"with its lower end at {self.bottom_md_m:.1f} m the string does not go down"
                " by its own weight"
            )
        if self.compressed_md_m is None:
            return ""
        high, low = self.compressed_md_m
        return (
            f"slacking off, the string is compressed from {high:.1f} to {low:.1f} m;"
            " buckling is not counted"
        )


def hook_load(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    bottom_md_m: float,
    fluids: Fluids,
    drag: Drag,
) -> HookLoad:
    """Tensions along a string whose lower end is at a depth.

    Parameters
    ----------
    hole : sequence of Position
        The survey; its first station is the surface.
    items : sequence of StringItem
        From the bottom up. What stands above the surface is not counted.
    bottom_md_m : float
        Depth of the lower end [m].
    fluids : Fluids
        Outside and inside.
    drag : Drag
        Friction and allowances.

    Raises
    ------
    InputError
        ``out-of-range``: the end is beyond the survey, or the string is too short
        to reach from there to the surface.

    Notes
    -----
    Soft string, Johancsik, Friesen and Dawson 1984, without torque. Load of
    travelling block and bails is not in it.
    """
    require(len(items) > 0, "items", "give at least one item of the string")
    require(len(hole) > 1, "stations", "give at least two stations of the survey")
    top_m, end_m = hole[0].station.md_m, hole[-1].station.md_m
    inside = top_m < finite("bottom_md_m", bottom_md_m) <= end_m + _TOUCH_M
    reason = (
        f"the lower end at {bottom_md_m:.2f} m lies outside the survey ({top_m:g} to {end_m:g} m)"
    )
    require(inside, "bottom_md_m", reason)
    short_m = bottom_md_m - top_m - math.fsum(item.length_m for item in items)
    message = f"the string is {short_m:.2f} m too short to reach from that depth to the surface"
    require(short_m <= _TOUCH_M, "items", message)
    cells = _cells(hole, items, min(bottom_md_m, end_m), fluids, drag.clamp_n or 0.0)
    twin_n = drag.twin_n or 0.0

    def along(way: Way, bottom_n: float) -> tuple[float, ...]:
        return (bottom_n, *tensions(cells, drag.friction_ratio, way, bottom_n))

    depths = tuple(cell.lower.station.md_m for cell in cells)
    return HookLoad(
        bottom_md_m,
        (*depths, cells[-1].upper.station.md_m),
        along("still", 0.0),
        along("up", twin_n),
        along("down", -twin_n),
        drag.not_counted,
    )


def _cells(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    bottom_m: float,
    fluids: Fluids,
    clamp_n: float,
) -> list[Cell]:
    """Bottom first; cut at items, stations and levels, and then short and flat enough."""
    top_m = hole[0].station.md_m
    cuts = {one.station.md_m for one in hole}
    cuts |= {fluids.outside_level_md_m, fluids.inside_level_md_m}
    found, lower_m = [], bottom_m
    for item in items:
        upper_m = max(lower_m - item.length_m, top_m)
        if lower_m - upper_m <= _TOUCH_M:
            break
        inner = [md for md in cuts if upper_m + _TOUCH_M < md < lower_m - _TOUCH_M]
        ends = sorted({upper_m, lower_m, *inner}, reverse=True)
        clamp_n_m = item.clamps * clamp_n / item.length_m
        for low, high in pairwise(ends):
            weight_n_m = fluids.weight_n_m(item, (low + high) / 2)
            found += _short(hole, low, high, weight_n_m, clamp_n_m)
        lower_m = upper_m
    return found


def _short(
    hole: Sequence[Position], low_m: float, high_m: float, weight_n_m: float, clamp_n_m: float
) -> list[Cell]:
    bend = math.dist(_heading(hole, low_m), _heading(hole, high_m))
    steps = max(
        1, math.ceil((low_m - high_m) / _LONGEST_CELL_M), math.ceil(bend / _SHARPEST_CELL_RAD)
    )
    step_m = (low_m - high_m) / steps
    points = [position_at(hole, max(low_m - step_m * k, high_m)) for k in range(steps)]
    points.append(position_at(hole, high_m))
    return [Cell(up, low, weight_n_m, clamp_n_m * step_m) for low, up in pairwise(points)]


def _heading(hole: Sequence[Position], md_m: float) -> tuple[float, float, float]:
    return direction(position_at(hole, md_m).station)


def forecast(
    hole: Sequence[Position], items: Sequence[StringItem], fluids: Fluids, drag: Drag
) -> tuple[HookLoad, ...]:
    """Hook loads of the whole run: one for each item, when its upper end is at the surface.

    Parameters
    ----------
    hole, items, fluids, drag
        As for :func:`hook_load`; items from the bottom up, in running order.

    Raises
    ------
    InputError
        ``out-of-range``: the string is longer than the hole.
    """
    depths, bottom_m = [], hole[0].station.md_m
    for item in items:
        bottom_m += item.length_m
        depths.append(bottom_m)
    reason = (
        f"the string ends at {bottom_m:.2f} m, beyond the survey ({hole[-1].station.md_m:g} m);"
        " add stations or take items off"
    )
    require(bottom_m <= hole[-1].station.md_m + _TOUCH_M, "items", reason)
    return tuple(
        hook_load(hole, items[: count + 1], depth, fluids, drag)
        for count, depth in enumerate(depths)
    )
