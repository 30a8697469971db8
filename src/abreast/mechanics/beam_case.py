"""One twin string in one place, to the last digit: shape, pushes, reactions, moments.

The sweep down a well lets every wall give by a micrometre or so. Here the walls are moved
against their give until the pushes rest, so that a closed form is met to rounding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import require
from abreast.mechanics.twin_beam import TwinBeam
from abreast.mechanics.twin_beam_axial import Pull, lock_of, pull
from abreast.mechanics.twin_beam_hole import Hole, station_fields
from abreast.mechanics.twin_beam_mesh import Mesh
from abreast.mechanics.twin_beam_solve import FOUND, UNFIT, WALL_N_M, Fields, Shapes, solve

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["FLAT_M", "LEADER", "NEAREST_M", "Rested", "check_places", "is_held", "rest", "rest_in"]

FLAT_M = 1000.0
"""A wall of this radius counts as flat [m]: a move of 0.1 m along it leaves it by 5 um."""
NEAREST_M = 0.001
"""Places nearer to one another than this can't be told apart [m]."""
LEADER = "leader"
"""Kind of a limp segment that only says where a string is: it carries no tension."""
_ROUNDS = 40
_CALM = 1e-8
_CLOSE = 1e-3
_SAME_M = 1e-6
_WIDER_M = 1e-9


@dataclass(frozen=True, slots=True)
class Rested:
    """The one station of a case, settled.

    Parameters
    ----------
    mesh : Mesh
        The strings, cut.
    shapes : Shapes
        The solution; its ``state`` tells whether the rest means anything.
    tension_n : array (elements)
        Effective tension [N].
    couple_nm : array (rigid links)
        Couple in x of the eccentric pulls [N m].
    drag_n : float
        Sum of drag, up positive [N].
    top_n : float or None
        Pull at the upper end of the first string [N]; None: tensions were given.
    """

    mesh: Mesh
    shapes: Shapes
    tension_n: Array
    couple_nm: Array
    drag_n: float = 0.0
    top_n: float | None = None

    @property
    def state(self) -> str:
        """``ok``, ``leans``, ``does not fit``, ``buckled`` or ``not found``."""
        return str(self.shapes.state[0])


def check_places(twin: TwinBeam) -> None:
    """Refuse places too near to one another to tell apart.

    Raises
    ------
    InputError
        ``out-of-range``: two places that differ by less than 1 mm, but are not the same.
    """
    for upper, lower in pairwise(sorted(twin.ends_m())):
        near = f"{upper:g} and {lower:g} m are nearer than 1 mm; put both at one place or farther"
        require(not _SAME_M < lower - upper <= NEAREST_M, "strings", near)


def is_held(twin: TwinBeam) -> bool:
    """Whether held points and links alone keep both strings in place, with no wall."""
    import numpy as np

    rows: list[list[float]] = []
    for one in twin.held:
        here = [0.0] * (2 * one.string)
        rows.append([*here, 1.0, one.at_m])
        if one.slope:
            rows.append([*here, 0.0, 1.0])
    for link in twin.links:
        if link.play_m == 0:
            rows.append([1.0, link.at_m, -1.0, -link.at_m])
        if link.kind != "clamp":
            rows.append([0.0, 1.0, 0.0, -1.0])
    count = 2 * len(twin.strings)
    filled = np.array([row + [0.0] * (count - len(row)) for row in rows])
    return bool(rows) and int(np.linalg.matrix_rank(filled)) == count


def rest(cut: Mesh, fields: Fields) -> Rested:
    """The shape under given loads and tensions, one station.

    Parameters
    ----------
    cut : Mesh
        The strings.
    fields : Fields
        What acts on them; a casing may be infinite where there is none.

    Notes
    -----
    Method of multipliers (Hestenes 1969; Powell 1969, from memory): each wall
    is moved back by its push over its stiffness, and the shape found again.
    """
    return _settle(cut, fields, lambda _drag, _lock: None, 0.0)


def rest_in(cut: Mesh, hole: Hole, zero_md_m: float, roll_rad: float, sign: float) -> Rested:
    """The shape in a hole under its own weight, drag and locked union followed until they rest.

    Parameters
    ----------
    cut : Mesh
        The strings.
    hole : Hole
        The hole; friction factor and fluid level with it.
    zero_md_m, roll_rad : float
        Where the string's zero stands [m], and where the bypass lies there from
        the high side, clockwise looking down; from north in a vertical hole [rad].
    sign : float
        1 lowering, -1 pulling, 0 at rest.

    Raises
    ------
    InputError
        ``out-of-range``: beyond the survey, or no bore at a part.
    """
    import numpy as np

    fields, along = station_fields(cut, hole, np.array([zero_md_m]), roll_rad)
    friction = sign * (hole.friction_ratio or 0.0)
    limp = np.array([one.kind == LEADER for one in cut.segments])

    def axial(drag: Array, lock: Array) -> Pull:
        found = pull(cut, along, drag, lock)
        return replace(found, tension_n=np.where(limp, 0.0, found.tension_n))

    return _settle(cut, fields, axial, friction)


_Axial = Callable[[Array, Array], Pull | None]


def _settle(cut: Mesh, fields: Fields, axial: _Axial, friction: float) -> Rested:
    import numpy as np

    lock, walls = lock_of(cut), cut.walls
    radius = np.array([one.radius_m for one in cut.contacts[:walls]])
    room, gap = fields.casing_m[0] - radius, cut.limit_m
    push, lock_n = np.zeros(len(cut.contacts)), np.zeros(1)
    before: tuple[Array, Array] | None = None
    start, top_n, off, axial_off = None, None, np.inf, np.inf
    for _ in range(_ROUNDS):
        acting = axial(friction * push[None, :walls], lock_n)
        if acting is not None:
            fields = replace(fields, tension_n=acting.tension_n, couple_nm=acting.couple_nm)
            top_n = float(acting.top_n[0])
        give = push / WALL_N_M
        moved = replace(cut, limit_m=_less(gap, give))
        casing = _less(room, give[:walls]) + radius
        with np.errstate(all="ignore"):  # figures beyond all sense end as not found
            shapes = solve(moved, replace(fields, casing_m=casing[None, :]), lock, start)
        if str(shapes.state[0]) not in FOUND:
            break
        start, push, lock_n = shapes.u, shapes.force_n[0], shapes.lock_n
        after = push, np.concatenate((lock_n, fields.tension_n[0]))
        if before is not None:
            off, axial_off = (_change(old, new) for old, new in zip(before, after, strict=True))
        before = after
        if max(off, axial_off) <= _CALM:
            break
    # The last micrometres of a disc that is wider than its hole are a wall's give, not room.
    if np.min(room, initial=0.0) < -_WIDER_M:
        shapes = replace(shapes, state=np.array([UNFIT]), deepest=np.array([int(np.argmin(room))]))
    # Pushes that still shift among neighbours are less than a micrometre of wall.
    if str(shapes.state[0]) in FOUND and axial_off > _CLOSE:
        shapes = replace(shapes, state=np.array(["not found"]))
    drag_n = friction * float(np.sum(push[:walls]))
    return Rested(cut, shapes, fields.tension_n[0], fields.couple_nm[0], drag_n, top_n)


def _change(old: Array, new: Array) -> float:
    import numpy as np

    largest = float(np.max(np.abs(new), initial=1.0))
    return float(np.max(np.abs(new - old), initial=0.0)) / largest


def _less(room_m: Array, give_m: Array) -> Array:
    """Room less what the wall gives, as long as there is room."""
    import numpy as np

    return np.where(give_m > 0, np.maximum(room_m - give_m, np.minimum(room_m, 0.0)), room_m)
