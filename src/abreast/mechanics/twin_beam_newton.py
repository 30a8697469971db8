"""Newton's method for the least energy between walls, many stations side by side.

Vectors hold one station a column: contacts, maps and line search work on whole
arrays, only the banded factorisations go one by one to LAPACK.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_pattern import pattern
from abreast.mechanics.twin_beam_system import System

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Bools = npt.NDArray[np.bool_]
else:
    Array = Bools = Any

__all__ = ["MOST_PENETRATION_M", "WALL_N_M", "Newton"]

WALL_N_M = 1e9
"""Stiffness of a wall at one node [N/m]; 10 kN press it in by 0.01 mm."""
MOST_PENETRATION_M = 2e-4
"""A disc deeper than this in a wall means that the string does not fit [m]."""
# From soft to stiff: each soft wall finds roughly who touches, the last one finds it exactly.
_WALLS_N_M = (1e5, 2e6, 2e7, WALL_N_M)
# For the few that do not settle so: smaller changes from wall to wall.
_PATIENT_N_M = (1e5, 1e6, 5e6, 3e7, 2e8, WALL_N_M)
# A step this short, or this little energy still to be gained, ends a soft and the last wall [m, J].
_LOOSE_M, _STILL_M = 1e-5, 1e-9
_LOOSE_J, _SPENT_J = 1e-8, 1e-10
# Nor is more asked of a soft wall than this share of the energy in it: it goes with the next wall.
_SOFT = 0.3
# A full Newton step as short as this, with the same contacts after it, is the last one.
_SETTLED_M = 5e-7
# Full steps at the last wall before the line search is asked.
_TRUSTED = 12
_MOST_STEPS = 80
_SEARCHES = 40
_TINY_M = 1e-30
# Where neither stiffness nor wall holds a string its energy has no least: it is let go so far out.
_LOST_M = 1e9
_PROP = 1e-12
# The search may stop where the slope along the step has fallen to this share.
_NEAR = 0.2


@dataclass(slots=True)
class _Live:
    """What is known of the stations that still move; the last axis is the station.

    ``v`` are the places of all contacts, x then y; ``push`` is what the last step
    led to expect of them; ``stage`` counts walls, ``since`` steps at this wall;
    ``short`` is set after a step that may have been the last.
    """

    station: Any
    u: Array
    v: Array
    resisted: Array
    load: Array
    limit: Array
    touch: Bools
    push: Array
    short: Bools
    stage: Any
    since: Any

    def keep(self, chosen: Bools) -> None:
        for name in self.__slots__:
            setattr(self, name, getattr(self, name)[..., chosen])


@dataclass(frozen=True, slots=True)
class _Walls:
    """Walls one after the other; patient: to the end of each, and never without line search."""

    stiffness_n_m: Array
    patient: bool

    def last(self, stage: Any) -> Any:
        return stage == len(self.stiffness_n_m) - 1


@dataclass(frozen=True, slots=True)
class _Press:
    """Walls as they are pressed: normal, push, and stiffness xx, yy, xy of each contact."""

    normal: Array
    push: Array
    stiff: tuple[Array, Array, Array]


class Newton:
    """The shapes of a system: ``u`` (size, stations), which are found, which do not fit."""

    def __init__(self, given: System) -> None:
        import numpy as np

        self.given, self.maps = given, pattern(given.mesh)
        count = len(given.matrix)
        self.u = np.zeros((given.mesh.size, count))
        self.found, self.stuck = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
        self.steps = np.zeros(count, dtype=int)

    def run(self, chosen: Bools, start: Array | None = None) -> None:
        """Settle the chosen stations, from a shape near the answer or from none."""
        import numpy as np

        first = np.zeros(len(chosen), dtype=int)
        if start is not None:
            self.u[:] = start
            first[np.any(start != 0.0, axis=0)] = len(_WALLS_N_M) - 1
        self._settle(chosen, _Walls(np.array(_WALLS_N_M), patient=False), first)
        again = chosen & ~self.found & ~self.stuck
        if np.any(again):
            self.u[:, again] = 0.0
            self._settle(again, _Walls(np.array(_PATIENT_N_M), patient=True), 0 * first)

    def _settle(self, chosen: Bools, walls: _Walls, first: Any) -> None:
        """Each station goes on to its next wall by itself."""
        import numpy as np

        live = self._begin(chosen, first)
        while len(live.station):
            away = _length(live.v)
            touch = away > live.limit
            settled = live.short & np.all(touch == live.touch, axis=0)
            if np.any(settled) and self._advance(live, settled, away, walls):
                continue
            live.touch = touch
            wall, last = walls.stiffness_n_m[live.stage], walls.last(live.stage)
            trusted = last & (live.since < _TRUSTED) & (not walls.patient)
            press = _press(live, away, wall)
            rest = live.resisted - live.load + self.maps.gathered @ _both(press.push, press.normal)
            step, propped = self._step(live.station, rest, press)
            going = self.maps.gather @ step
            # Newton's equation itself tells what the elastic part resists: no matrix product.
            held = -rest - self.maps.gathered @ _bent(press.stiff, going)
            if np.any(propped):
                held[:, propped] = self.given.times(step[:, propped], live.station[propped])
            gain = -np.einsum("ij,ij->j", rest, step)
            size = _line_search(live, (step, going, held), gain, wall, ~trusted)
            live.u += size * step
            live.v += size * going
            live.resisted += size * held
            live.since += 1
            live.since[np.max(np.abs(live.u), axis=0) > _LOST_M] = _MOST_STEPS
            _expect(live, press, going, wall, size)
            moved = np.max(np.abs(step), axis=0)
            live.short = (moved < _SETTLED_M) & (size == 1)
            loose = _LOOSE_J + (0.0 if walls.patient else _SOFT / 2 / wall) * np.einsum(
                "ij,ij->j", press.push, press.push
            )
            rested = moved * size < np.where(last, _STILL_M, _LOOSE_M)
            rested |= gain < np.where(last, _SPENT_J, loose)
            rested |= live.since >= _MOST_STEPS
            if np.any(rested):
                self._advance(live, rested, _length(live.v), walls)

    def _begin(self, chosen: Bools, first: Any) -> _Live:
        import numpy as np

        given, count = self.given, int(np.sum(chosen))
        u, limit, station = self.u[:, chosen], given.limit_m[:, chosen], np.nonzero(chosen)[0]
        return _Live(
            station,
            u,
            self.maps.gather @ u + given.mesh.offset_m.T.reshape(-1, 1),
            given.times(u, station) if np.any(u) else np.zeros_like(u),
            given.load[:, chosen],
            limit,
            np.zeros(limit.shape, dtype=bool),
            np.full(limit.shape, np.inf),
            np.zeros(count, dtype=bool),
            first[chosen],
            np.zeros(count, dtype=int),
        )

    def _advance(self, live: _Live, ready: Bools, away: Array, walls: _Walls) -> bool:
        """Next wall for those that are ready; True when some have left the field."""
        import numpy as np

        last = walls.last(live.stage)
        # The push only grows with a stiffer wall: what is too much now will not fit. Twice as
        # much, as the shape at a soft wall is a rough one.
        most = WALL_N_M * MOST_PENETRATION_M * np.where(last, 1.0, 2.0)
        push = walls.stiffness_n_m[live.stage] * np.max(away - live.limit, axis=0, initial=0.0)
        late = live.since >= _MOST_STEPS
        stuck = ready & ~late & (push > most)
        done = ready & last
        self.steps[live.station[ready]] += live.since[ready]
        self.stuck[live.station[stuck]] = True
        self.found[live.station[done & ~late]] = True
        live.stage = live.stage + ready
        live.since = np.where(ready, 0, live.since)
        live.short &= ~ready
        gone = done | stuck
        if np.any(gone):
            self.u[:, live.station[gone]] = live.u[:, gone]
            live.keep(~gone)
        return bool(np.any(gone))

    def _step(self, station: Any, rest: Array, press: _Press) -> tuple[Array, Bools]:
        """Newton's step: one banded factorisation a station, and Sherman and Morrison's lock.

        Where nothing holds a string but its own tension the factorisation may fail
        by rounding; a slight prop then gives a step that still leads down.
        """
        import numpy as np
        from scipy.linalg import lapack

        given, touched = self.given, self.maps.touched
        added = np.ascontiguousarray((self.maps.stiffen @ np.concatenate(press.stiff)).T)
        right = np.empty((len(station), 2 if given.tied_nm else 1, len(rest)))
        right[:, 0], right[:, 1:] = -rest.T, given.tie
        work = np.empty(given.matrix.shape[1:])
        flat, propped = work.reshape(-1), np.zeros(len(station), dtype=bool)
        for k, one in enumerate(station):
            np.copyto(work, given.matrix[one])
            flat[touched] += added[k]
            # Both are written over where they stand.
            fault = lapack.dpbsv(work.T, right[k].T, lower=1, overwrite_ab=1, overwrite_b=1)[2]
            prop = _PROP
            while fault and prop < 1.0:
                np.copyto(work, given.matrix[one])
                flat[touched] += added[k]
                work[:, 0] *= 1 + prop
                fault = lapack.dpbsv(work.T, right[k].T, lower=1, overwrite_ab=1, overwrite_b=1)[2]
                propped[k], prop = True, 10 * prop
        step = np.ascontiguousarray(right[:, 0].T)
        if given.tied_nm:
            tied = right[:, 1].T
            share = given.tied_nm * (given.tie @ step) / (1 + given.tied_nm * (given.tie @ tied))
            step -= share * tied
        return step, propped


def _length(v: Array) -> Array:
    import numpy as np

    half = len(v) // 2
    away: Array = np.sqrt(v[:half] ** 2 + v[half:] ** 2)
    return away


def _press(live: _Live, away: Array, wall: Array) -> _Press:
    """Push and stiffness of the walls.

    Across the wall a contact is held by push over radius. The push that the last
    step led to expect counts, if it is less: a step along a round wall takes the
    contact out of it by the square of the step, and that is not push.
    """
    import numpy as np

    half = len(away)
    normal = live.v / np.maximum(np.concatenate((away, away)), _TINY_M)
    nx, ny = normal[:half], normal[half:]
    push = np.where(live.touch, wall * (away - live.limit), 0.0)
    turn = np.minimum(live.push, push) / np.maximum(away, _TINY_M)
    first = np.where(live.touch, wall - turn, 0.0)
    stiff = (first * nx * nx + turn, first * ny * ny + turn, first * nx * ny)
    return _Press(normal, push, stiff)


def _expect(live: _Live, press: _Press, going: Array, wall: Array, size: Array) -> None:
    """The push after a full step, were the walls flat; after another step it is not known."""
    import numpy as np

    half = len(going) // 2
    into = press.normal[:half] * going[:half] + press.normal[half:] * going[half:]
    push = np.where(live.touch, np.maximum(press.push + wall * into, 0.0), 0.0)
    live.push = np.where(size == 1, push, np.inf)


def _both(push: Array, normal: Array) -> Array:
    """Push times its direction, x then y."""
    import numpy as np

    return np.concatenate((push, push)) * normal


def _bent(stiff: tuple[Array, Array, Array], going: Array) -> Array:
    import numpy as np

    half = len(going) // 2
    (xx, yy, xy), dx, dy = stiff, going[:half], going[half:]
    return np.concatenate((xx * dx + xy * dy, xy * dx + yy * dy))


def _line_search(
    live: _Live, along: tuple[Array, Array, Array], gain: Array, wall: Array, asked: Bools
) -> Array:
    """How far to go: where the derivative along the step has all but gone; 1 where not asked."""
    import numpy as np

    size = np.ones_like(gain)
    if not np.any(asked):
        return size
    step, going, held = along
    a = np.einsum("ij,ij->j", step, live.resisted - live.load)
    b = np.einsum("ij,ij->j", step, held)
    after = live.v + going
    half, away = len(after) // 2, _length(after)
    deep = np.maximum(away - live.limit, 0.0) / np.maximum(away, _TINY_M)
    rate = deep * (after[:half] * going[:half] + after[half:] * going[half:])
    ahead = a + b + wall * np.sum(rate, axis=0)
    far = asked & (np.abs(ahead) > _NEAR * gain)
    if not np.any(far):
        return size
    # Who touches neither before nor after a step does not on the way: a circle is convex.
    near = live.touch | (deep > 0) | (ahead < 0)
    contact, lane = np.nonzero(near[:, far])
    column = np.nonzero(far)[0][lane]
    vx, vy = live.v[contact, column], live.v[contact + half, column]
    dx, dy = going[contact, column], going[contact + half, column]
    limit, stiff = live.limit[contact, column], wall[far]
    a, b, count = a[far], b[far], int(np.sum(far))

    def slope(s: Array) -> Array:
        x, y = vx + s[lane] * dx, vy + s[lane] * dy
        away = np.sqrt(x * x + y * y)
        rate = np.maximum(away - limit, 0.0) * (x * dx + y * dy) / np.maximum(away, _TINY_M)
        total: Array = a + b * s + stiff * np.bincount(lane, rate, count)
        return total

    size[far] = _false_position(slope, -gain[far], ahead[far])
    return size


def _false_position(slope: Callable[[Array], Array], at_low: Array, at_high: Array) -> Array:
    """Where a rising slope is nearly zero, known at 0 (below zero) and at 1."""
    import numpy as np

    goal = _NEAR * np.abs(at_low)
    low, high = np.zeros_like(at_low), np.ones_like(at_low)
    for _ in range(_SEARCHES):
        wide = at_high < -goal
        if not np.any(wide):
            break
        low, at_low = np.where(wide, high, low), np.where(wide, at_high, at_low)
        high = np.where(wide, 2 * high, high)
        at_high = np.where(wide, slope(high), at_high)
    size, value = high, at_high
    for turn in range(_SEARCHES):
        open_ = np.abs(value) > goal
        if not np.any(open_):
            break
        span = np.where(at_high > at_low, at_high - at_low, 1.0)
        share = np.clip(-at_low / span, 0.02, 0.98) if turn % 3 < 2 else 0.5
        size = np.where(open_, low + share * (high - low), size)
        value = np.where(open_, slope(size), value)
        over, under = open_ & (value > 0), open_ & (value <= 0)
        high, at_high = np.where(over, size, high), np.where(over, value, at_high)
        low, at_low = np.where(under, size, low), np.where(under, value, at_low)
    return size
