"""A twin string at a depth of its hole: curvature, weight, drag, wall, and the shape from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from abreast.formulas.guard import not_negative, positive, require
from abreast.formulas.path_frame import PathFrame
from abreast.mechanics.twin_beam_axial import Pull, lock_of, pull
from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_solve import FOUND, Fields, Shapes, solve
from abreast.units import in_both

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["MOST_PUSH_N", "Bore", "Hole", "Way", "pass_through", "station_fields"]

Way = Literal["down", "up", "still"]
_STRAIGHT_RAD_M, _SAME_M = 1e-9, 1e-9
MOST_PUSH_N = 4e4
"""A push of 40 kN at one place is a string squeezed in, not run: it does not fit [N]."""
_SIGN: dict[Way, float] = {"down": 1.0, "up": -1.0, "still": 0.0}


@dataclass(frozen=True, slots=True)
class Bore:
    """A length of the hole with one inner diameter [m]."""

    name: str
    top_md_m: float
    bottom_md_m: float
    diameter_m: float

    def __post_init__(self) -> None:
        reason = f"{self.name}: its lower end must lie below its upper end"
        require(self.bottom_md_m > self.top_md_m, "bottom_md_m", reason)
        positive("diameter_m", self.diameter_m)


@dataclass(frozen=True, slots=True)
class Hole:
    """The hole that a string passes.

    Parameters
    ----------
    path : PathFrame
        Its course.
    bores : sequence of Bore
        Casings and narrow places; where several stand, the narrowest counts.
    fluid_md_m : float
        Depth of the fluid level: above it weights are in air [m].
    friction_ratio : float or None
        Friction factor of the casing; None: no drag is worked out.
    allowance_rad_m : float
        Curvature between stations that the survey does not see: added everywhere
        in the plane in which the hole bends there anyhow [rad/m].
    """

    path: PathFrame
    bores: tuple[Bore, ...]
    fluid_md_m: float = 0.0
    friction_ratio: float | None = None
    allowance_rad_m: float = 0.0

    def __post_init__(self) -> None:
        not_negative("allowance_rad_m", self.allowance_rad_m)
        require(bool(self.bores), "bores", "give at least one bore")
        if self.friction_ratio is not None:
            not_negative("friction_ratio", self.friction_ratio)

    def radius_m(self, top_md_m: Array, bottom_md_m: Array) -> Array:
        """The least radius between two depths [m]; infinite where there is no casing."""
        import numpy as np

        found = np.full(np.broadcast(top_md_m, bottom_md_m).shape, np.inf)
        for bore in self.bores:
            here = (top_md_m <= bore.bottom_md_m) & (bottom_md_m >= bore.top_md_m)
            found = np.where(here, np.minimum(found, bore.diameter_m / 2), found)
        return found


def pass_through(
    mesh: Mesh,
    hole: Hole,
    zero_md_m: Sequence[float] | Array,
    roll_rad: float | Array = 0.0,
    *,
    way: Way = "down",
    drag_passes: int = 2,
) -> tuple[Shapes, Pull]:
    """Shape and tension of a twin string at many depths.

    Parameters
    ----------
    mesh : Mesh
        The strings.
    hole : Hole
        Course and bores of the hole.
    zero_md_m : sequence of float
        Depths at which the zero of the string's coordinate stands [m].
    roll_rad : float or array
        Where the bypass lies at that zero: from the high side, clockwise
        looking down the hole; from north where the hole is vertical [rad].
    way : {"down", "up", "still"}
        Which way it moves: how drag changes the tension.
    drag_passes : int
        How often the shape is found again with the drag of the shape before.

    Returns
    -------
    Shapes, Pull
        Of the last pass. A locked union adds a pass or two until its force rests.

    Raises
    ------
    InputError
        ``out-of-range``: beyond the survey, or with no casing at a disc.
    """
    import numpy as np

    depths = np.asarray(zero_md_m, dtype=float)
    fields, along = station_fields(mesh, hole, depths, roll_rad)
    lock = lock_of(mesh)
    lock_n, drag_n = np.zeros(len(depths)), np.zeros((len(depths), mesh.walls))
    sign = _SIGN[way] * (hole.friction_ratio or 0.0)
    passes = max(drag_passes if sign else 1, 3 if lock is not None else 1)
    fine = np.ones(len(depths), dtype=bool)
    shapes: Shapes | None = None
    for turn in range(1, passes + 1):
        axial = pull(mesh, along, drag_n, lock_n)
        now = replace(fields, tension_n=axial.tension_n, couple_nm=axial.couple_nm)
        if shapes is None:
            shapes = solve(mesh, now, lock, kicked=turn == passes)
        elif np.any(fine):
            again = solve(mesh, now.part(fine), lock, shapes.u[fine], kicked=turn == passes)
            shapes = _put(shapes, again, fine)
        shapes = _squeezed(mesh, fields, shapes)
        fine = np.isin(shapes.state, FOUND)
        lock_n = np.where(fine, shapes.lock_n, 0.0)
        drag_n = np.where(fine[:, None], sign * shapes.force_n[:, : mesh.walls], 0.0)
    assert shapes is not None
    return shapes, pull(mesh, along, drag_n, lock_n)


def _squeezed(mesh: Mesh, fields: Fields, shapes: Shapes) -> Shapes:
    """The shapes, with those that do not fit named: no room for a disc, or a push beyond sense."""
    import numpy as np

    walls = mesh.contacts[: mesh.walls]
    if not walls:
        return shapes
    over = np.array([one.radius_m for one in walls]) - fields.casing_m
    push = shapes.force_n[:, : mesh.walls]
    wide = np.max(over, axis=1) > _SAME_M
    hard = np.isin(shapes.state, FOUND) & (np.max(push, axis=1) > MOST_PUSH_N)
    deepest = np.where(hard, np.argmax(push, axis=1), shapes.deepest)
    deepest = np.where(wide, np.argmax(over, axis=1), deepest)
    state = np.where(wide | hard, "does not fit", shapes.state)
    return replace(shapes, state=state, deepest=deepest)


def _put(shapes: Shapes, part: Shapes, chosen: Any) -> Shapes:
    """The shapes with those of some stations found anew."""
    changed = {}
    for name in Shapes.__slots__:
        old = getattr(shapes, name)
        whole = old.astype("<U12") if name == "state" else old.copy()
        whole[chosen] = getattr(part, name)
        changed[name] = whole
    return Shapes(**changed)


def _sharper(kappa: Array, allowance_rad_m: float) -> Array:
    """Curvatures with so much more in their own direction; of a straight hole, in x."""
    import numpy as np

    if not allowance_rad_m:
        return kappa
    size = np.linalg.norm(kappa, axis=-1, keepdims=True)
    straight = size < _STRAIGHT_RAD_M
    along = np.where(straight, np.array([1.0, 0.0]), kappa / np.where(straight, 1.0, size))
    sharper: Array = kappa + allowance_rad_m * along
    return sharper


def station_fields(
    mesh: Mesh, hole: Hole, depths: Array, roll_rad: float | Array
) -> tuple[Fields, Array]:
    """Curvature, load and casing at each station with no tension yet; weight along the hole [N]."""
    import numpy as np

    twin = mesh.twin
    zero = hole.path.at(depths)
    turn = zero.high_side() + roll_rad
    md_m = depths[:, None] + mesh.node_m
    nodes = hole.path.at(md_m).turned(turn[:, None])
    middle = hole.path.at((md_m[:, 1:] + md_m[:, :-1]) / 2).turned(turn[:, None])
    bend = np.diff(nodes.tangent, axis=1) / np.diff(mesh.node_m)[:, None]
    kappa = np.stack(
        (np.sum(bend * middle.side, axis=-1), np.sum(bend * middle.across, axis=-1)), axis=-1
    )
    kappa = _sharper(kappa, hole.allowance_rad_m)
    down = np.stack((middle.side[..., 2], middle.across[..., 2], middle.tangent[..., 2]), axis=-1)
    weight = np.array([one.weight_n_m for one in mesh.segments])
    left = np.array([one.buoyant_ratio for one in mesh.segments])
    wet = depths[:, None] + mesh.middle_m > hole.fluid_md_m
    load = np.where(wet, weight * left, weight)
    lateral = load[..., None] * down[:, mesh.upper, :2]
    along = load * mesh.length_m * down[:, mesh.upper, 2]
    above, below = mesh.reach_m()
    casing = hole.radius_m(depths[:, None] + above, depths[:, None] + below)
    bare = ~np.isfinite(casing)
    if np.any(bare):
        station, wall = np.argwhere(bare)[0]
        at_m = depths[station] + mesh.node_m[mesh.contacts[wall].node]
        require(
            False, "bores", f"there is no bore at {in_both(at_m)}; give the casing down to there"
        )
    turned = np.zeros(len(depths))
    if len(twin.rigid_m) == 2:
        top, base = (mesh.node_at(at) for at in twin.rigid_m)
        turned = np.sum(kappa[:, top:base, 0] * np.diff(mesh.node_m)[top:base], axis=1)
    count, elements = len(depths), len(mesh.segments)
    fields = Fields(
        kappa[:, mesh.upper],
        lateral,
        np.zeros((count, elements)),
        casing,
        np.zeros((count, len(twin.rigid_m))),
        turned,
    )
    return fields, along
