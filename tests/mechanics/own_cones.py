"""The contact model written down a second time, for clarabel, a general-purpose cone solver.

Nothing is shared with the program but the strings, the directions of the survey and how stiff
a wall is: own nodes, own frame (tangents turned step by step), the energy summed at Gauss
points from the shape polynomials, own statics along the strings, walls as cones that give.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import clarabel
import numpy as np
from scipy import sparse

from abreast.mechanics.twin_beam import TwinBeam
from abreast.mechanics.twin_beam_hole import Hole
from abreast.mechanics.twin_beam_solve import WALL_N_M

_GAUSS, _WEIGHT = np.polynomial.legendre.leggauss(4)
_SORTS = ("body", "neck", "coupling")


@dataclass
class Answer:
    """Place of each string at each node, pushes, moments, pulls; stable: K is definite."""

    place: dict[tuple[int, int], np.ndarray]
    side_n: np.ndarray
    pair_n: float
    moment_nm: float
    lock_n: float
    top_n: float
    stable: bool = True


class Cones:
    def __init__(self, twin: TwinBeam, hole: Hole, depth_m: float, roll: float) -> None:
        self.twin, self.hole, self.depth_m = twin, hole, depth_m
        self.node = self._nodes()
        self._frame(roll)
        self.number = self._unknowns()
        self.size = 1 + max(v for four in self.number.values() for v in four)
        self.beams = [
            (s, k, next(g for g in string.segments if g.top_m <= at <= g.bottom_m))
            for s, string in enumerate(twin.strings)
            for k, at in enumerate((self.node[1:] + self.node[:-1]) / 2)
            if string.top_m <= at <= string.bottom_m
        ]
        self.rigid = [self.near(one) for one in twin.rigid_m]
        wet = [
            depth_m + (self.node[k] + self.node[k + 1]) / 2 > hole.fluid_md_m
            for _, k, _ in self.beams
        ]
        self.load = [
            g.weight_n_m * (g.buoyant_ratio if w else 1.0)
            for (_, _, g), w in zip(self.beams, wet, strict=True)
        ]
        self._contacts()

    def near(self, at_m: float) -> int:
        return int(np.argmin(np.abs(self.node - at_m)))

    def _nodes(self) -> np.ndarray:
        kept: list[float] = []
        for end in sorted(self.twin.ends_m()):
            if not kept or end - kept[-1] > 0.02:
                kept.append(end)
        parts = [np.linspace(a, b, int(np.ceil(b - a - 1e-9)) + 1)[:-1] for a, b in pairwise(kept)]
        return np.append(np.concatenate(parts), kept[-1])

    def _frame(self, roll: float) -> None:
        """Tangents on the arcs between stations; the section carried along by small steps."""
        path = self.hole.path

        def tangent(md: float) -> np.ndarray:
            k = int(np.clip(np.searchsorted(path.md_m, md) - 1, 0, len(path.md_m) - 2))
            a, b = path.tangent[k], path.tangent[k + 1]
            share = (md - path.md_m[k]) / (path.md_m[k + 1] - path.md_m[k])
            angle = np.arccos(np.clip(a @ b, -1, 1))
            if angle < 1e-9:
                return a
            return (np.sin((1 - share) * angle) * a + np.sin(share * angle) * b) / np.sin(angle)

        start = tangent(self.depth_m)
        up = np.array([0.0, 0.0, -1.0])
        up = up - (up @ start) * start
        up /= np.linalg.norm(up)
        first = np.cos(roll) * up + np.sin(roll) * np.cross(start, up)

        def carried(ends: np.ndarray) -> list[np.ndarray]:
            """The section at depths that lead away from the start, turned as little as can be."""
            e, t, at, found = first, start, 0.0, []
            for end in ends:
                for step in np.linspace(at, end, 2 + int(abs(end - at) / 0.5))[1:]:
                    new = tangent(self.depth_m + step)
                    e = e - (new @ e) / (1 + t @ new) * (t + new)
                    e, t = e / np.linalg.norm(e), new
                found.append(e)
                at = end
            return found

        t = np.array([tangent(self.depth_m + at) for at in self.node])
        middle = (self.node[1:] + self.node[:-1]) / 2
        tm = np.array([tangent(self.depth_m + at) for at in middle])
        above, below = middle[middle < 0], middle[middle >= 0]
        e = np.array([*carried(above[::-1])[::-1], *carried(below)])
        bend = np.diff(t, axis=0) / np.diff(self.node)[:, None]
        n = np.cross(tm, e)
        self.kappa = np.stack(((bend * e).sum(1), (bend * n).sum(1)), axis=1)
        self.down = np.stack((e[:, 2], n[:, 2], tm[:, 2]), axis=1)

    def _unknowns(self) -> dict[tuple[int, int], list[int]]:
        found: dict[tuple[int, int], list[int]] = {}
        links = {self.near(one.at_m): one for one in self.twin.links}
        held = {(one.string, self.near(one.at_m)): one.slope for one in self.twin.held}
        count = 0
        for s, string in enumerate(self.twin.strings):
            for k in range(self.near(string.top_m), self.near(string.bottom_m) + 1):
                four = []
                for part in range(4):
                    slope = part % 2 == 1
                    link = links.get(k) if s == 1 and (0, k) in found else None
                    if link and link.play_m == 0 and (link.kind != "clamp" or not slope):
                        four.append(found[0, k][part])
                    elif (s, k) in held and (held[s, k] or not slope):
                        four.append(-1)
                    else:
                        four.append(count)
                        count += 1
                found[s, k] = four
        return found

    def _contacts(self) -> None:
        self.walls, self.rooms, self.plays = [], [], []
        spans: list[dict[int, list]] = [{}, {}]
        middle = (self.node[1:] + self.node[:-1]) / 2
        above = np.append(self.node[0], middle)
        below = np.append(middle, self.node[-1])
        for s, string in enumerate(self.twin.strings):
            for disc in string.discs:
                for k in range(self.near(disc.at_m), self.near(disc.bottom_m) + 1):
                    spans[s].setdefault(k, []).append(disc)
                    if self.number[s, k][0] < 0:
                        continue
                    top, low = self.depth_m + above[k], self.depth_m + below[k]
                    least = min(
                        b.diameter_m / 2
                        for b in self.hole.bores
                        if b.top_md_m <= low and b.bottom_md_m >= top
                    )
                    self.walls.append((s, k, disc.x_m, disc.y_m, least - disc.radius_m))
        links = {self.near(one.at_m): one for one in self.twin.links}
        for k in range(len(self.node)):
            if (1, k) not in self.number or (0, k) not in self.number:
                continue
            if k in links:
                if links[k].play_m:
                    self.plays.append((k, links[k].play_m / 2))
                continue
            wide = [
                max(
                    (d for d in span.get(k, []) if d.kind in _SORTS),
                    key=lambda d: d.radius_m,
                    default=None,
                )
                for span in spans
            ]
            if wide[0] and wide[1]:
                gap = wide[1].x_m - wide[0].x_m - wide[0].radius_m - wide[1].radius_m
                self.rooms.append((k, max(gap, 0.0)))

    def pulls(self, drag: np.ndarray, lock_n: float) -> tuple[np.ndarray, list[float], float]:
        """Tension at the middle of each element, couples at the rigid joints, pull at the top."""
        ends = [self.node[k + 1] - self.node[k] for _, k, _ in self.beams]
        along = np.array(
            [
                w * h * self.down[k, 2]
                for w, h, (_, k, _) in zip(self.load, ends, self.beams, strict=True)
            ]
        )
        s_of, k_of = (np.array([b[n] for b in self.beams]) for n in (0, 1))
        dragged, handed = self._bar(drag, s_of, k_of)
        on_main = handed.copy()
        for (s, k, *_), push in zip(self.walls, drag, strict=True):
            on_main[k] += push if s == 0 else 0.0
        weight_b = float(along[s_of == 1].sum())
        hung = [
            along[(s_of == 0) & (k_of >= k)].sum() - on_main[k + 1 :].sum()
            for k in range(len(self.node))
        ]
        tension = np.zeros(len(self.beams))
        for i, (s, k, _) in enumerate(self.beams):
            within = len(self.rigid) == 2 and k < self.rigid[1]
            if s == 0:
                tension[i] = hung[k] - along[i] / 2
                tension[i] += weight_b if k < self.rigid[0] or within else 0.0
                tension[i] -= lock_n if within and k >= self.rigid[0] else 0.0
            elif within:  # it stands on the base and only the lock pulls at its top
                above = along[(s_of == 1) & (k_of < k)].sum()
                tension[i] = lock_n - above - along[i] / 2 + dragged[k]
            else:
                tension[i] = along[(s_of == 1) & (k_of >= k)].sum() - along[i] / 2 + dragged[k]
        couples = []
        for at in self.rigid:
            total = 0.0
            for i, (s, k, g) in enumerate(self.beams):
                abreast = len(self.rigid) == 2 and self.rigid[0] <= k < self.rigid[1]
                t = tension[i] - ((lock_n if s else -lock_n) if abreast else 0.0)
                total += g.x_m * t * ((k + 1 == at) - (k == at))
            couples.append(total)
        return tension, couples, float(hung[0] + weight_b)

    def _bar(
        self, drag: np.ndarray, s_of: np.ndarray, k_of: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Drag on the bypass as a bar of springs, held where it can't slide: pull, reactions."""
        count = len(self.node)
        stiff, push = np.zeros((count, count)), np.zeros(count)
        spring = np.zeros(count)
        for i in np.nonzero(s_of == 1)[0]:
            k, g = k_of[i], self.beams[i][2]
            spring[k] = g.ea_n / (self.node[k + 1] - self.node[k])
            stiff[k : k + 2, k : k + 2] += spring[k] * np.array([[1, -1], [-1, 1]])
        for (s, k, *_), one in zip(self.walls, drag, strict=True):
            push[k] -= one if s == 1 else 0.0
        ends = self.rigid
        if len(self.rigid) == 2 and self.twin.union == "free":
            ends = self.rigid[1:]
        held = sorted({*ends, *(self.near(one.at_m) for one in self.twin.links if one.grips)})
        loose = [k for k in range(count) if stiff[k, k] > 0 and k not in held]
        moved = np.zeros(count)
        moved[loose] = np.linalg.solve(stiff[np.ix_(loose, loose)], push[loose])
        handed = np.zeros(count)
        handed[held] = (stiff @ moved - push)[held]
        return np.append(spring[:-1] * np.diff(moved), 0.0), handed

    def solve(self, tension: np.ndarray, couples: list[float]) -> Answer:
        rows = {part: ([], [], []) for part in "ngb"}
        values = {name: [] for name in ("ei", "t", "kappa", "side")}
        count = 0
        for i, (s, k, g) in enumerate(self.beams):
            h = self.node[k + 1] - self.node[k]
            shape = np.linalg.inv(
                np.array([[1, 0, 0, 0], [0, 1, 0, 0], [1, h, h**2, h**3], [0, 1, 2 * h, 3 * h**2]])
            )
            x = h * (_GAUSS + 1) / 2
            one, zero = np.ones(4), np.zeros(4)
            basis = {
                "n": np.stack((one, x, x**2, x**3), 1) @ shape,
                "g": np.stack((zero, one, 2 * x, 3 * x**2), 1) @ shape,
                "b": np.stack((zero, zero, 2 * one, 6 * x), 1) @ shape,
            }
            for plane in (0, 1):
                a, b = self.number[s, k], self.number[s, k + 1]
                four = [*a[2 * plane : 2 * plane + 2], *b[2 * plane : 2 * plane + 2]]
                at = np.array([one if one >= 0 else self.size for one in four])
                for part, table in basis.items():
                    entries, lines, columns = rows[part]
                    entries.append(table.ravel())
                    lines.append(np.repeat(np.arange(count, count + 4), 4))
                    columns.append(np.tile(at, 4))
                w, kappa = _WEIGHT * h / 2, self.kappa[k, plane]
                values["ei"] += list(g.ei_nm2 * w)
                values["t"] += list(tension[i] * w)
                values["kappa"] += [kappa] * 4
                values["side"] += list(
                    (self.load[i] * self.down[k, plane] + tension[i] * kappa) * w
                )
                count += 4
        maps = {}
        for part, three in rows.items():
            entries, lines, columns = (np.concatenate(one) for one in three)
            shape = (count, self.size + 1)
            maps[part] = sparse.csr_matrix((entries, (lines, columns)), shape)[:, :-1]
        ei, t, kappa, side = (np.array(values[n]) for n in ("ei", "t", "kappa", "side"))
        matrix = (
            maps["b"].T @ sparse.diags(ei) @ maps["b"] + maps["g"].T @ sparse.diags(t) @ maps["g"]
        ).toarray()
        load = maps["n"].T @ side - maps["b"].T @ (ei * kappa)
        for at, couple in zip(self.rigid, couples, strict=True):
            if self.number[0, at][1] >= 0:
                load[self.number[0, at][1]] += couple
        try:
            np.linalg.cholesky(matrix)
        except np.linalg.LinAlgError:
            return Answer({}, np.zeros(0), 0, 0, 0, 0, stable=False)
        tie, spring, free_n, spacing = np.zeros(self.size), 0.0, 0.0, 0.0
        if self.twin.union == "locked":
            spring, free_n, spacing, tie = self._lock()
            matrix = matrix + spring * spacing**2 * np.outer(tie, tie)
            load = load + free_n * spacing * tie
        x, side_n, pair_n = self._minimum(matrix, load)
        curved = (maps["b"] @ x + kappa).reshape(-1, 2, 4)
        outer, inner = curved[..., [0, 3]], curved[..., [3, 0]]
        ends = outer + (outer - inner) * (1 + _GAUSS[0]) / (2 * _GAUSS[3])  # it is linear
        stiff = np.array([g.ei_nm2 for _, _, g in self.beams])
        moment = float((stiff[:, None] * np.hypot(ends[:, 0], ends[:, 1])).max())
        place = {
            key: np.array([x[v] if v >= 0 else 0.0 for v in four])
            for key, four in self.number.items()
        }
        lock_n = free_n - spring * spacing * float(tie @ x)
        return Answer(place, side_n, pair_n, moment, lock_n, 0.0)

    def _lock(self) -> tuple[float, float, float, np.ndarray]:
        top, base = self.rigid
        inside = [(s, k, g) for s, k, g in self.beams if top <= k < base]
        soft = sum((self.node[k + 1] - self.node[k]) / g.ea_n for _, k, g in inside)
        x = [next(g.x_m for s, _, g in inside if s == which) for which in (0, 1)]
        turn = float(
            sum(self.kappa[k, 0] * (self.node[k + 1] - self.node[k]) for k in range(top, base))
        )
        tie = np.zeros(self.size + 1)
        tie[self.number[0, base][1]] += 1.0
        tie[self.number[0, top][1]] -= 1.0
        d = x[1] - x[0]
        return 1 / soft, (self.twin.misfit_m - d * turn) / soft, d, tie[:-1]

    def _minimum(
        self, matrix: np.ndarray, load: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, float]:
        """Least of x'Kx/2 - f'x + wall s's/2 with each contact in its room + s.

        Shapes are scaled by 1/sqrt(diag K), what the walls give by 1/sqrt(wall).
        """
        scale, soft = 1 / np.sqrt(matrix.diagonal()), 1 / np.sqrt(WALL_N_M)
        at, signs, limits, cones = [], [], [], []
        contacts = len(self.rooms) + len(self.walls) + len(self.plays)
        given = iter(range(self.size, self.size + contacts))

        def row(limit: float, *parts: tuple[int, float]) -> None:
            for number, sign in parts:
                if number >= 0:
                    at.append((len(limits), number))
                    signs.append(sign * (scale[number] if number < self.size else soft))
            limits.append(limit)

        def disc(room: float, ox: float, oy: float, x: list, y: list) -> None:
            row(room, (next(given), -1.0))
            row(ox, *x)
            row(oy, *y)
            cones.append(clarabel.SecondOrderConeT(3))

        number = self.number
        for k, room in self.rooms:
            row(room, (number[0, k][0], 1.0), (number[1, k][0], -1.0), (next(given), -1.0))
        if self.rooms:
            cones.append(clarabel.NonnegativeConeT(len(self.rooms)))
        for s, k, ox, oy, room in self.walls:
            x, _, y, _ = number[s, k]
            disc(room, ox, oy, [(x, -1.0)], [(y, -1.0)])
        for k, room in self.plays:
            (ex, _, ey, _), (bx, _, by, _) = number[0, k], number[1, k]
            disc(room, 0.0, 0.0, [(ex, 1.0), (bx, -1.0)], [(ey, 1.0), (by, -1.0)])
        settings = clarabel.DefaultSettings()
        settings.verbose = False
        settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-10
        upper = sparse.triu(sparse.csc_matrix(matrix * np.outer(scale, scale)))
        found = clarabel.DefaultSolver(
            sparse.block_diag((upper, sparse.identity(contacts)), format="csc"),
            np.append(-load * scale, np.zeros(contacts)),
            sparse.csc_matrix((signs, np.array(at).T), (len(limits), self.size + contacts)),
            np.array(limits),
            cones,
            settings,
        ).solve()
        assert str(found.status) in ("Solved", "AlmostSolved"), found.status
        pushes, flat = np.array(found.z), len(self.rooms)
        walls = pushes[flat : flat + 3 * len(self.walls) : 3]
        return np.array(found.x)[: self.size] * scale, walls, float(pushes[:flat].sum())


def own_answer(
    twin: TwinBeam, hole: Hole, depth_m: float, roll: float, sign: float, passes: int
) -> tuple[Cones, Answer]:
    """As often as the program: shape, its drag (sign: +1 down, -1 up), its lock, next shape."""
    cones = Cones(twin, hole, depth_m, roll)
    drag, lock_n = np.zeros(len(cones.walls)), 0.0
    for _ in range(passes):
        tension, couples, _ = cones.pulls(drag, lock_n)
        found = cones.solve(tension, couples)
        if not found.stable:
            return cones, found
        drag, lock_n = sign * (hole.friction_ratio or 0.0) * found.side_n, found.lock_n
    found.top_n = cones.pulls(drag, lock_n)[2]
    return cones, found
