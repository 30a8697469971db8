"""Hook load while running: up, down and hanging, for one depth or joint by joint."""

from __future__ import annotations

import math
from collections.abc import Sequence

from abreast.formulas.guard import finite, require
from abreast.formulas.survey import Position
from abreast.mechanics.hook_march import HookLoad, march
from abreast.mechanics.hook_string import Drag, Fluids, StringItem
from abreast.units import in_both

__all__ = ["TOUCH_M", "Drag", "Fluids", "HookLoad", "StringItem", "forecast", "hook_load"]

TOUCH_M = 1e-6
"""A string that ends so little below the last station ends there [m]."""


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
    inside = top_m < finite("bottom_md_m", bottom_md_m) <= end_m + TOUCH_M
    reason = (
        f"the lower end at {in_both(bottom_md_m)} lies outside the survey, {in_both(top_m)} to"
        f" {in_both(end_m)}"
    )
    require(inside, "bottom_md_m", reason)
    short_m = bottom_md_m - top_m - math.fsum(item.length_m for item in items)
    message = (
        f"the string is {in_both(short_m, 2)} too short to reach from that depth to the surface"
    )
    require(short_m <= TOUCH_M, "items", message)
    return march(hole, items, [min(bottom_md_m, end_m)], fluids, [drag])[0]


def forecast(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    fluids: Fluids,
    drag: Drag | Sequence[Drag],
) -> tuple[HookLoad, ...]:
    """Hook loads of the whole run: one for each item, when its upper end is at the surface.

    Parameters
    ----------
    hole, items, fluids, drag
        As for :func:`hook_load`; items from the bottom up, in running order. One
        drag for all, or one for each item, where it goes with depth.

    Raises
    ------
    InputError
        ``out-of-range``: the string is longer than the hole, there is no item, or
        the drags are fewer or more than the items.
    """
    require(len(items) > 0, "items", "give at least one item of the string")
    require(len(hole) > 1, "stations", "give at least two stations of the survey")
    drags = [drag] * len(items) if isinstance(drag, Drag) else list(drag)
    require(len(drags) == len(items), "drag", "give one drag for each item, or one for all")
    depths, bottom_m = [], hole[0].station.md_m
    for item in items:
        bottom_m += item.length_m
        depths.append(bottom_m)
    reason = (
        f"the string ends at {in_both(bottom_m)}, beyond the survey,"
        f" {in_both(hole[-1].station.md_m)}; add stations or take items off"
    )
    require(bottom_m <= hole[-1].station.md_m + TOUCH_M, "items", reason)
    depths[-1] = min(depths[-1], hole[-1].station.md_m)
    return march(hole, items, depths, fluids, drags)
