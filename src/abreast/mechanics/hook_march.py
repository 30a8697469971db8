"""Many depths of a running string side by side: cut into cells, and marched up from the bottom.

The formulas of :mod:`abreast.formulas.soft_string`, on arrays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import require
from abreast.formulas.soft_string import STRAIGHT_RAD
from abreast.formulas.survey import Position, direction
from abreast.mechanics.hook_string import Drag, Fluids, StringItem

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Counts = npt.NDArray[np.int64]
else:
    Array = Counts = Any

__all__ = ["HookLoad", "march"]

_LONGEST_CELL_M = 10.0
_SHARPEST_CELL_RAD = 0.02
_TOUCH_M = 1e-6


@dataclass(frozen=True, slots=True)
class HookLoad:
    """Effective tension along a string whose lower end is at one depth.

    Parameters
    ----------
    bottom_md_m : float
        Depth of its lower end [m].
    md_m, still_n, up_n, down_n : tuple of float
        Depths, bottom first, and tensions there [N]; the last is the surface.
    tops : tuple of int
        Where the upper end of each item is among them.
    not_counted : tuple of str
        Drags left out.
    """

    bottom_md_m: float
    md_m: tuple[float, ...]
    still_n: tuple[float, ...]
    up_n: tuple[float, ...]
    down_n: tuple[float, ...]
    not_counted: tuple[str, ...]
    tops: tuple[int, ...] = ()

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


@dataclass(frozen=True, slots=True)
class _Cells:
    """The cells of all strings in one row after another, each string bottom first.

    ``place`` is the number of a cell in its string; ``within_n`` and
    ``beside_n`` are the weight across the hole in the plane of the bend and
    beside it, ``weight_n`` that along the vertical.
    """

    string: Counts
    place: Counts
    item: Counts
    low_md_m: Array
    length_m: Array
    weight_n: Array
    bend_rad: Array
    within_n: Array
    beside_n: Array


def march(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    bottoms_md_m: Sequence[float],
    fluids: Fluids,
    drags: Sequence[Drag],
) -> tuple[HookLoad, ...]:
    """Tensions along a string at several depths of its lower end.

    Parameters
    ----------
    hole, items, fluids
        As for :func:`abreast.mechanics.hook_load.hook_load`, which sees that
        the string lies in the survey.
    bottoms_md_m : sequence of float
        Depths of the lower end [m].
    drags : sequence of Drag
        What holds the string back, for each depth.

    Raises
    ------
    InputError
        ``out-of-range``: a lower end is at the surface, so that nothing hangs.

    Notes
    -----
    Cells are cut at ends of items, stations and fluid levels, and then into
    equal parts no longer than 10 m and no sharper than 0.02 rad, anew for each
    depth: they move with the string.
    """
    import numpy as np

    hangs = min(bottoms_md_m) - hole[0].station.md_m > 2 * _TOUCH_M
    require(hangs, "bottom_md_m", "the lower end is at the surface: nothing hangs in the hole")
    cells = _cut(hole, items, bottoms_md_m, fluids)
    shape = int(cells.place.max()) + 1, len(bottoms_md_m)
    at = cells.place, cells.string

    def spread(values: Array) -> Array:
        """One row for each place in the string; nothing where a string has ended."""
        table = np.zeros(shape)
        table[at] = values
        return table

    friction, drag_n, bottom_n = _held(cells, items, drags)
    half = friction * cells.bend_rad / 2
    rows = [
        spread(values)
        for values in (
            cells.weight_n,
            cells.bend_rad,
            cells.within_n,
            half,
            (1 - half**2) * cells.beside_n**2,
            friction / (1 - half**2),
        )
    ]
    drag_rows = np.stack([spread(drag_n[0]), -spread(drag_n[1])], axis=1)
    sign = np.array([[1.0], [-1.0]])
    tension = sign * bottom_n
    found = np.empty((shape[0] + 1, *tension.shape))
    found[0] = tension
    for place, (weight, bend, within, turn, beside, gain) in enumerate(zip(*rows, strict=True)):
        base = tension + weight + drag_rows[place]
        plain = bend * (tension + base) / 2 + within
        tension = base + gain * (turn * plain + sign * np.sqrt(plain * plain + beside))
        found[place + 1] = tension
    still = np.vstack([np.zeros(shape[1]), np.cumsum(rows[0], axis=0)])
    return tuple(_read(hole, cells, bottoms_md_m, drags, found, still))


def _read(
    hole: Sequence[Position],
    cells: _Cells,
    bottoms_md_m: Sequence[float],
    drags: Sequence[Drag],
    found: Array,
    still: Array,
) -> list[HookLoad]:
    import numpy as np

    ends = np.cumsum(np.bincount(cells.string, minlength=len(bottoms_md_m)))
    top_m, loads = hole[0].station.md_m, []
    for number, (bottom_m, end) in enumerate(zip(bottoms_md_m, ends, strict=True)):
        begin = int(ends[number - 1]) if number else 0
        upto = int(end) - begin + 1
        item = cells.item[begin:end]
        last = np.append(np.flatnonzero(np.diff(item)) + 1, upto - 1)
        loads.append(
            HookLoad(
                bottom_m,
                (*cells.low_md_m[begin:end].tolist(), top_m),
                tuple(still[:upto, number].tolist()),
                tuple(found[:upto, 0, number].tolist()),
                tuple(found[:upto, 1, number].tolist()),
                drags[number].not_counted,
                tuple(last.tolist()),
            )
        )
    return loads


def _held(
    cells: _Cells, items: Sequence[StringItem], drags: Sequence[Drag]
) -> tuple[Array, tuple[Array, Array], Array]:
    """Friction of each cell; its other drag, up and down; drag at lower ends, up and down [N]."""
    import numpy as np

    own = np.array([one.own_drag for one in items])[cells.item]
    own_m = np.bincount(cells.string, np.where(own, cells.length_m, 0.0), len(drags))
    known = np.array([one.twin_ways_n is not None for one in drags])
    twin_n = np.array([one.twin_ways_n or (0.0, 0.0) for one in drags]).T
    clamp_n = np.array([one.clamp_n or 0.0 for one in drags])
    per_m = np.array([one.clamps / one.length_m for one in items])
    friction = np.array([one.friction_ratio for one in drags])[cells.string]
    clamps_n = clamp_n[cells.string] * per_m[cells.item] * cells.length_m
    share = np.where(own, cells.length_m / np.where(own_m > 0, own_m, 1.0)[cells.string], 0.0)
    up_n, down_n = (clamps_n + share * way[cells.string] for way in twin_n)
    friction = np.where(own & known[cells.string], 0.0, friction)
    return friction, (up_n, down_n), np.where(own_m > 0, 0.0, twin_n)


def _cut(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    bottoms_md_m: Sequence[float],
    fluids: Fluids,
) -> _Cells:
    import numpy as np

    string, item, low, high = _segments(hole, items, bottoms_md_m, fluids)
    weight_n_m = _weights(items, fluids, item, (low + high) / 2)
    bend = np.linalg.norm(_course(hole, low)[0] - _course(hole, high)[0], axis=1)
    parts = np.maximum(np.ceil((low - high) / _LONGEST_CELL_M), np.ceil(bend / _SHARPEST_CELL_RAD))
    parts = np.maximum(parts, 1).astype(np.int64)
    step = (low - high) / parts
    cell = np.repeat(np.arange(len(parts)), parts)
    part = np.arange(len(cell)) - np.repeat(np.cumsum(parts) - parts, parts)
    low_md = low[cell] - step[cell] * part
    string = string[cell]
    first = np.flatnonzero(np.diff(string, prepend=-1))
    last = np.append(first[1:], len(string)) - 1
    lower, lower_down = _course(hole, low_md)
    upper, upper_down = np.roll(lower, -1, axis=0), np.roll(lower_down, -1)
    upper[last], upper_down[last] = direction(hole[0].station), hole[0].down_m
    length_m = step[cell]
    weight_n = weight_n_m[cell] * length_m
    bend_rad, within, beside = _across(upper, lower)
    return _Cells(
        string,
        np.arange(len(cell)) - np.repeat(first, np.diff(np.append(first, len(cell)))),
        item[cell],
        low_md,
        length_m,
        weight_n_m[cell] * (lower_down - upper_down),
        bend_rad,
        weight_n * within,
        weight_n * beside,
    )


def _segments(
    hole: Sequence[Position],
    items: Sequence[StringItem],
    bottoms_md_m: Sequence[float],
    fluids: Fluids,
) -> tuple[Counts, Counts, Array, Array]:
    """Number of the string, of its item, and both depths, between all cuts; bottom first."""
    import numpy as np

    top_m = hole[0].station.md_m
    above_m = np.concatenate([[0.0], np.cumsum([one.length_m for one in items])])
    levels = (fluids.outside_level_md_m, fluids.inside_level_md_m)
    cuts = np.unique([*(one.station.md_m for one in hole), *levels])
    strings, numbers, lows, highs = [], [], [], []
    for string, bottom_m in enumerate(bottoms_md_m):
        ends = bottom_m - above_m
        ends = np.append(ends[ends > top_m + _TOUCH_M], top_m)
        inner = cuts[(cuts > top_m) & (cuts < bottom_m)]
        clear = np.abs(inner[:, None] - ends).min(axis=1, initial=np.inf) > _TOUCH_M
        depths = np.concatenate([ends, inner[clear]])
        order = np.argsort(-depths, kind="stable")
        # An end of an item is followed by that item; a cut lies in the item begun last.
        item = np.maximum.accumulate(np.where(order < len(ends), order, 0))[:-1]
        depths = depths[order]
        strings.append(np.full(len(item), string))
        numbers.append(item)
        lows.append(depths[:-1])
        highs.append(depths[1:])
    joined = (np.concatenate(parts) for parts in (strings, numbers, lows, highs))
    string_of, item_of, low, high = joined
    return string_of, item_of, low, high


def _weights(items: Sequence[StringItem], fluids: Fluids, item: Counts, md_m: Array) -> Array:
    """Effective weight per length of an item at each depth [N/m]; it changes at the levels only."""
    import numpy as np

    zone = 1 * (md_m > fluids.outside_level_md_m) + 2 * (md_m > fluids.inside_level_md_m)
    _, first, number = np.unique(zone, return_index=True, return_inverse=True)
    table = np.array([[fluids.weight_n_m(one, float(md_m[k])) for k in first] for one in items])
    weights: Array = table[item, number]
    return weights


def _course(hole: Sequence[Position], md_m: Array) -> tuple[Array, Array]:
    """Directions and true vertical depths at depths, on the arcs between the stations.

    As :func:`abreast.formulas.survey.position_at`.
    """
    import numpy as np

    known_m = np.array([one.station.md_m for one in hole])
    known = np.array([direction(one.station) for one in hole])
    down_m = np.array([one.down_m for one in hole])
    apart = np.linalg.norm(np.diff(known, axis=0), axis=1)
    dogleg = 2 * np.arctan2(apart, np.linalg.norm(known[1:] + known[:-1], axis=1))
    at = np.clip(np.searchsorted(known_m, md_m, side="right") - 1, 0, len(dogleg) - 1)
    along_m = md_m - known_m[at]
    share = along_m / np.diff(known_m)[at]
    bend = dogleg[at]
    straight = bend < STRAIGHT_RAD
    whole = np.where(straight, 1.0, np.sin(bend))
    near = np.where(straight, 1 - share, np.sin((1 - share) * bend) / whole)
    far = np.where(straight, share, np.sin(share * bend) / whole)
    tangent: Array = near[:, None] * known[at] + far[:, None] * known[at + 1]
    half = share * bend / 2
    factor = np.where(straight, 1.0, np.tan(half) / np.where(half > 0, half, 1.0))
    factor = np.where(half > 0, factor, 1.0)
    return tangent, down_m[at] + factor * along_m / 2 * (known[at, 2] + tangent[:, 2])


def _across(upper: Array, lower: Array) -> tuple[Array, Array, Array]:
    """Chord of each bend, and the share of weight across the hole in its plane and beside it."""
    import numpy as np

    turn, mean = lower - upper, lower + upper
    bend, size = np.linalg.norm(turn, axis=1), np.linalg.norm(mean, axis=1)
    straight = bend < STRAIGHT_RAD
    safe = np.where(straight, 1.0, bend)
    flat = np.hypot(mean[:, 0], mean[:, 1]) / size
    beside = (mean[:, 0] * turn[:, 1] - mean[:, 1] * turn[:, 0]) / (size * safe)
    return (
        np.where(straight, 0.0, bend),
        np.where(straight, flat, turn[:, 2] / safe),
        np.where(straight, 0.0, beside),
    )
