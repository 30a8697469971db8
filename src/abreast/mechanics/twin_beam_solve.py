"""The shape of a twin string in its hole: least energy, walls as stiff one-sided springs.

Many stations of one mesh are solved side by side: contacts and line search as
arrays over all of them, the banded factorisations one by one in LAPACK.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_pattern import Pattern, element_matrices, pattern

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Bools = npt.NDArray[np.bool_]
else:
    Array = Bools = Any

__all__ = ["MOST_PENETRATION_M", "WALL_N_M", "Fields", "Lock", "Shapes", "solve"]

WALL_N_M = 1e9
"""Stiffness of a wall at one node [N/m]; 10 kN press it in by 0.01 mm."""
MOST_PENETRATION_M = 2e-4
"""A disc deeper than this in a wall means that the string does not fit [m]."""
# From soft to stiff: each soft wall finds roughly who touches, the last one finds it exactly.
_WALLS_N_M = (2e6, 5e7, WALL_N_M)
# For the few that do not settle so: smaller changes from wall to wall.
_PATIENT_N_M = (1e5, 1e6, 5e6, 3e7, 2e8, WALL_N_M)
_LOOSE_M = 1e-5
# A full Newton step as short as this, with the same contacts after it, is the last one.
_SETTLED_M = 2e-6
_STILL_M = 1e-9
# Energy still to be gained [J]: below it a shape is found, whatever rounding leaves of a step.
_SPENT_J = 1e-10
_MOST_STEPS = 80
_SEARCHES = 40
_TINY_M = 1e-30
# The search may stop where the slope along the step has fallen to this share.
_NEAR = 0.2
_TOGETHER = 24


@dataclass(frozen=True, slots=True)
class Fields:
    """What the hole and the weights do at each station; the first axis is the station.

    Parameters
    ----------
    curvature_rad_m : array (stations, elements, 2)
        Curvature of the hole, in x and y of the section [rad/m].
    lateral_n_m : array (stations, elements, 2)
        Lateral load per length [N/m].
    tension_n : array (stations, elements)
        Effective tension at the middle of each element [N].
    casing_m : array (stations, walls)
        Radius of the casing at each disc [m].
    couple_nm : array (stations, rigid links)
        Couple in x from the eccentric pull of the strings at Y-tool and base [N m].
    turn_rad : array (stations)
        Turn of the hole in x between the rigid links [rad]; for a locked union.
    """

    curvature_rad_m: Array
    lateral_n_m: Array
    tension_n: Array
    casing_m: Array
    couple_nm: Array
    turn_rad: Array

    def part(self, chosen: Any) -> Fields:
        """Some of the stations."""
        return Fields(*(getattr(self, name)[chosen] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Lock:
    """A locked union: stiffness of both lines in series [N/m], spacing and misfit [m]."""

    stiffness_n_m: float
    spacing_m: float
    misfit_m: float = 0.0

    def force_n(self, turn_rad: Array, tilt_rad: Array) -> Array:
        """Pull of the bypass by bending [N]; turn of the hole, and of the ends beyond it [rad]."""
        bent: Array = self.misfit_m - self.spacing_m * (turn_rad + tilt_rad)
        return self.stiffness_n_m * bent


@dataclass(frozen=True, slots=True)
class Shapes:
    """The solution at each station.

    Parameters
    ----------
    u : array (stations, size)
        The unknowns [m, rad].
    state : array of str
        ``ok``, ``does not fit``, ``buckled`` (the strings lose stability
        between their clamps before any wall helps) or ``not found``. Where it is
        not ``ok``, no other number means anything.
    force_n : array (stations, contacts)
        Push of each contact.
    deepest : array (stations)
        Number of the contact that is deepest in its wall.
    penetration_m : array (stations)
        How deep that is [m].
    ends : array (stations, elements, 2, 4)
        Force and moment at both ends of each element, in x and in y [N, N m].
    lock_n : array (stations)
        Force by bending in a locked union, pull of the bypass positive [N].
    steps : array (stations)
        Newton steps taken.
    """

    u: Array
    state: Any
    force_n: Array
    deepest: Any
    penetration_m: Array
    ends: Array
    lock_n: Array
    steps: Any

    @property
    def moment_nm(self) -> Array:
        """Bending moment at both ends of each element (stations, elements, 2) [N m]."""
        import numpy as np

        moment: Array = np.hypot(self.ends[:, :, 0, 1::2], self.ends[:, :, 1, 1::2])
        return moment


def solve(
    mesh: Mesh, fields: Fields, lock: Lock | None = None, start: Array | None = None
) -> Shapes:
    """The shape with the least energy at every station.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    fields : Fields
        Hole, weight and tension at each station.
    lock : Lock, optional
        A locked union.
    start : array, optional
        A shape to begin with at each station; the answer does not depend on it.

    Returns
    -------
    Shapes
        Shape, contacts, forces at the ends of the elements.

    Notes
    -----
    The energy is convex as long as the elastic matrix is positive definite:
    there is one shape. Its Cholesky factorisation tells; where it fails, the
    state is ``buckled``. The rest is Newton's method with an exact line search;
    the derivative along a step rises steadily, so the search can't miss.
    """
    import numpy as np

    count = len(fields.tension_n)
    runs = [
        _Batch(mesh, fields.part(slice(k, k + _TOGETHER)), lock).run(
            None if start is None else start[k : k + _TOGETHER]
        )
        for k in range(0, count, _TOGETHER)
    ]
    names = Shapes.__slots__
    return Shapes(*(np.concatenate([getattr(run, name) for run in runs]) for name in names))


class _Batch:
    """Newton's method for a few stations side by side."""

    def __init__(self, mesh: Mesh, fields: Fields, lock: Lock | None) -> None:
        import numpy as np

        self.mesh, self.fields, self.lock = mesh, fields, lock
        self.maps: Pattern = pattern(mesh)
        self.count = len(fields.tension_n)
        maps = self.maps
        stiff = maps.bending + (maps.tension.T @ fields.tension_n.T).T
        self.matrix = stiff.reshape(self.count, mesh.size, mesh.band + 1)
        kappa = np.concatenate(np.moveaxis(fields.curvature_rad_m, -1, 0), axis=1)
        pulled = fields.lateral_n_m + fields.tension_n[..., None] * fields.curvature_rad_m
        side = np.concatenate(np.moveaxis(pulled, -1, 0), axis=1)
        ei = np.tile(mesh.ei_nm2, 2)
        load = (maps.end_couple.T @ (kappa * ei).T + maps.sideways.T @ side.T).T
        ends = [mesh.slot[0, mesh.node_at(at)][1] for at in mesh.twin.rigid_m]
        for number, end in enumerate(ends):
            if end < mesh.size:
                load[:, end] += fields.couple_nm[:, number]
        tie = np.zeros(mesh.size + 1)
        self.tied = 0.0
        if lock is not None:
            tie[ends[1]], tie[ends[0]] = 1.0, -1.0
        self.tie = tie[:-1]  # an end that is held does not turn
        if lock is not None:
            self.tied = lock.stiffness_n_m * lock.spacing_m**2
            pull = lock.force_n(fields.turn_rad, np.zeros(self.count))
            load += (pull * lock.spacing_m)[:, None] * self.tie
        self.load = load
        walls = mesh.walls
        limit = np.broadcast_to(mesh.limit_m, (self.count, len(mesh.contacts))).copy()
        radii = np.array([one.radius_m for one in mesh.contacts[:walls]])
        limit[:, :walls] = fields.casing_m - radii
        # A disc larger than its casing has nowhere to be; the push on it then tells so.
        self.limit = limit

    def run(self, start: Array | None) -> Shapes:
        import numpy as np

        ok = self._stable()
        self.stuck = np.zeros(self.count, dtype=bool)
        u = np.zeros((self.count, self.mesh.size)) if start is None else start.copy()
        steps = np.zeros(self.count, dtype=int)
        found = ok.copy()
        for wall in _WALLS_N_M if start is None else (WALL_N_M,):
            found = self._newton(u, wall, ok & ~self.stuck, steps)
        again = ok & ~found & ~self.stuck
        if np.any(again):
            u[again] = 0.0
            for wall in _PATIENT_N_M:
                late = self._newton(u, wall, again & ~self.stuck, steps)
            found |= late & again
        return self._shapes(u, ok, found, steps)

    def _stable(self) -> Bools:
        import numpy as np
        from scipy.linalg import lapack

        ok = np.ones(self.count, dtype=bool)
        pushed = np.any(self.fields.tension_n < 0, axis=1)
        for b in np.nonzero(pushed)[0]:
            _, fault = lapack.dpbtrf(self.matrix[b].T, lower=1)
            ok[b] = fault == 0
        return ok

    def _times(self, live: Any, p: Array) -> Array:
        """Elastic matrix times a vector at some stations."""
        k = self.matrix[live]
        product: Array = k[:, :, 0] * p
        for off in range(1, self.mesh.band + 1):
            product[:, off:] += k[:, :-off, off] * p[:, :-off]
            product[:, :-off] += k[:, :-off, off] * p[:, off:]
        if self.lock is not None:
            product += self.tied * (p @ self.tie)[:, None] * self.tie
        return product

    def _vectors(self, u: Array) -> tuple[Array, Array]:
        both = (self.maps.gather @ u.T).T
        half = len(self.mesh.contacts)
        return both[:, :half], both[:, half:]

    def _newton(self, u: Array, wall: float, chosen: Bools, steps: Any) -> Bools:
        import numpy as np

        live = np.nonzero(chosen)[0]
        if not len(live):
            return np.zeros(self.count, dtype=bool)
        done = np.zeros(self.count, dtype=bool)
        offset = self.mesh.offset_m
        last = wall == WALL_N_M
        still, spare = (_STILL_M, _SPENT_J) if last else (_LOOSE_M, 100 * _SPENT_J)
        resisted = self._times(live, u[live])
        before = np.zeros((len(live), len(self.mesh.contacts)), dtype=bool)
        short = np.zeros(len(live), dtype=bool)
        for _ in range(_MOST_STEPS):
            vx, vy = self._vectors(u[live])
            vx, vy = vx + offset[:, 0], vy + offset[:, 1]
            away = np.hypot(vx, vy)
            touch = away > self.limit[live]
            going = ~(short & np.all(touch == before, axis=1))
            if not np.all(going):
                done[live[~going]] = True
                live, resisted, touch, away, vx, vy = (
                    part[going] for part in (live, resisted, touch, away, vx, vy)
                )
            if not len(live):
                break
            deep = away - self.limit[live]
            safe = np.where(touch & (away > 0), away, 1.0)
            nx, ny = vx / safe, vy / safe
            push = np.where(touch, wall * deep, 0.0)
            rest = resisted - self.load[live]
            rest += (self.maps.gather.T @ np.concatenate((push * nx, push * ny), axis=1).T).T
            blocks = self._blocks(touch, (wall, push / safe), (nx, ny))
            step = self._step(live, rest, blocks)
            dx, dy = self._vectors(step)
            # Newton's equation itself tells what the elastic part resists: no matrix product.
            xx, yy, xy = blocks
            bent = np.concatenate((xx * dx + xy * dy, xy * dx + yy * dy), axis=1)
            held = -rest - (self.maps.gather.T @ bent.T).T
            line = (
                np.sum(step * (resisted - self.load[live]), axis=1),
                np.sum(step * held, axis=1),
            )
            size = self._search(line, wall, self.limit[live], (vx, vy), (dx, dy))
            u[live] += size[:, None] * step
            resisted += size[:, None] * held
            steps[live] += 1
            moved = np.max(np.abs(step), axis=1)
            spent = -np.sum(rest * step, axis=1) < spare
            rested = (moved * size < still) | spent
            done[live[rested]] = True
            before, short = touch[~rested], ((moved < _SETTLED_M) & (size == 1))[~rested]
            live, resisted = live[~rested], resisted[~rested]
        vx, vy = self._vectors(u)
        deep = np.hypot(vx + offset[:, 0], vy + offset[:, 1]) - self.limit
        # The push only grows with a stiffer wall: what is too much now will not fit.
        too_much = np.max(deep, axis=1, initial=0.0) * wall > WALL_N_M * MOST_PENETRATION_M
        self.stuck |= too_much & chosen
        return done

    @staticmethod
    def _blocks(
        touch: Bools, press: tuple[float, Array], normal: tuple[Array, Array]
    ) -> tuple[Array, Array, Array]:
        """Stiffness of each contact, xx, yy and xy [N/m]."""
        import numpy as np

        (wall, turn), (nx, ny) = press, normal
        first = np.where(touch, wall - turn, 0.0)
        return first * nx * nx + turn, first * ny * ny + turn, first * nx * ny

    def _step(self, live: Any, rest: Array, blocks: tuple[Array, Array, Array]) -> Array:
        import numpy as np
        from scipy.linalg import lapack

        added = (self.maps.stiffen.T @ np.concatenate(blocks, axis=1).T).T
        step = np.empty_like(rest)
        work = np.empty(self.matrix.shape[1:])
        flat, touched = work.reshape(-1), self.maps.touched
        for k, station in enumerate(live):
            np.copyto(work, self.matrix[station])
            flat[touched] += added[k]
            factor, _ = lapack.dpbtrf(work.T, lower=1, overwrite_ab=1)
            if self.lock is None:
                step[k] = lapack.dpbtrs(factor, -rest[k], lower=1)[0]
                continue
            both = lapack.dpbtrs(factor, np.stack((-rest[k], self.tie), axis=1), lower=1)[0]
            plain, tie = both[:, 0], both[:, 1]
            share = self.tied * (self.tie @ plain) / (1 + self.tied * (self.tie @ tie))
            step[k] = plain - share * tie
        return step

    @staticmethod
    def _search(
        line: tuple[Array, Array],
        wall: float,
        limit: Array,
        at: tuple[Array, Array],
        going: tuple[Array, Array],
    ) -> Array:
        """Where the derivative along the step is zero, by false position within a bracket."""
        import numpy as np

        (a, b), (vx, vy), (dx, dy) = line, at, going

        def slope(s: Array) -> Array:
            x, y = vx + s[:, None] * dx, vy + s[:, None] * dy
            away = np.sqrt(x * x + y * y)
            deep = np.maximum(away - limit, 0.0)
            rate = deep * (x * dx + y * dy) / np.maximum(away, _TINY_M)
            total: Array = a + b * s + wall * np.sum(rate, axis=1)
            return total

        low, high = np.zeros_like(a), np.ones_like(a)
        at_low, at_high = slope(low), slope(high)
        goal = _NEAR * np.abs(at_low)
        size = np.ones_like(a)
        wide = at_high < -goal
        for _ in range(_SEARCHES):
            if not np.any(wide):
                break
            low, at_low = np.where(wide, high, low), np.where(wide, at_high, at_low)
            high = np.where(wide, 2 * high, high)
            at_high = np.where(wide, slope(high), at_high)
            wide = at_high < -goal
        size, value = high.copy(), at_high.copy()
        for turn in range(_SEARCHES):
            open_ = np.abs(value) > goal
            if not np.any(open_):
                break
            span = np.where(at_high > at_low, at_high - at_low, 1.0)
            share = np.clip(-at_low / span, 0.02, 0.98) if turn % 3 < 2 else np.full_like(a, 0.5)
            size = np.where(open_, low + share * (high - low), size)
            value = np.where(open_, slope(size), value)
            over = open_ & (value > 0)
            under = open_ & ~over
            high, at_high = np.where(over, size, high), np.where(over, value, at_high)
            low, at_low = np.where(under, size, low), np.where(under, value, at_low)
        return size

    def _shapes(self, u: Array, ok: Bools, found: Bools, steps: Any) -> Shapes:
        import numpy as np

        mesh, fields = self.mesh, self.fields
        vx, vy = self._vectors(u)
        away = np.hypot(vx + mesh.offset_m[:, 0], vy + mesh.offset_m[:, 1])
        deep = away - self.limit
        worst = np.argmax(deep, axis=1) if deep.shape[1] else np.zeros(self.count, dtype=int)
        depth = deep[np.arange(self.count), worst] if deep.shape[1] else np.zeros(self.count)
        names = np.where(found, "ok", "not found")
        fault = self.stuck | (found & (depth > MOST_PENETRATION_M))
        names = np.where(fault, "does not fit", names)
        state = np.where(ok, names, "buckled")
        lock_n = np.zeros(self.count)
        if self.lock is not None:
            lock_n = self.lock.force_n(fields.turn_rad, u @ self.tie)
        force = WALL_N_M * np.maximum(deep, 0.0)
        return Shapes(u, state, force, worst, np.maximum(depth, 0.0), self._ends(u), lock_n, steps)

    def _ends(self, u: Array) -> Array:
        """Forces and moments at the ends of the elements, K u - f of each."""
        import numpy as np

        mesh, fields = self.mesh, self.fields
        bend, pull, load = element_matrices(mesh.length_m)
        whole = np.concatenate((u, np.zeros((self.count, 1))), axis=1)
        moved = whole[:, mesh.place]
        bend = bend * mesh.ei_nm2[:, None, None]
        ends: Array = np.einsum("eij,bepj->bepi", bend, moved)
        ends += fields.tension_n[:, :, None, None] * np.einsum("eij,bepj->bepi", pull, moved)
        kappa = fields.curvature_rad_m[..., None]
        couple = np.array([0.0, 1.0, 0.0, -1.0])
        side = (fields.lateral_n_m + fields.tension_n[..., None] * fields.curvature_rad_m)[
            ..., None
        ]
        ends -= mesh.ei_nm2[:, None, None] * kappa * couple + side * load[:, None, :]
        return ends
