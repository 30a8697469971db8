"""The shape of a twin string at one place of its way: axes, parts, casing and what touches it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import require
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam import LinkKind
from abreast.mechanics.twin_beam_hole import Bore, Hole, Way, pass_through
from abreast.mechanics.twin_beam_mesh import Mesh, mesh
from abreast.mechanics.twin_beam_solve import FOUND
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Job
from abreast.units import in_both

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = [
    "BentLine",
    "BentLink",
    "BentPart",
    "BentShape",
    "Course",
    "Touch",
    "bent_shape",
    "narrowest",
    "worst",
]

_APART_M = 1e-6
_INSIDE_M = 1e-3


@dataclass(frozen=True, slots=True)
class BentLine:
    """The axis of one string, two points an element: it may jump where segments meet.

    Parameters
    ----------
    name : str
        The string.
    md_m, x_m, y_m : array
        Depths, and the place of its axis from the casing axis: x from the ESP
        to the bypass, y clockwise of it looking down [m].
    radius_m : array
        Of its body there; not a number where no body is modelled [m].
    """

    name: str
    md_m: Array
    x_m: Array
    y_m: Array
    radius_m: Array


@dataclass(frozen=True, slots=True)
class BentPart:
    """A round part where it came to lie: depths from its upper to its lower end, its centre."""

    name: str
    kind: str
    string: int
    md_m: Array
    x_m: Array
    y_m: Array
    radius_m: float


@dataclass(frozen=True, slots=True)
class Touch:
    """Where a part touches the casing: the point on the wall [m], and the push of the wall [N]."""

    name: str
    kind: str
    string: int
    md_m: float
    x_m: float
    y_m: float
    force_n: float


@dataclass(frozen=True, slots=True)
class BentLink:
    """A clamp or block: its depth, and the axes of both strings there [m]."""

    name: str
    kind: LinkKind
    md_m: float
    esp_m: tuple[float, float]
    bypass_m: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Course:
    """The hole beside the string, in the frame that x and y are told in.

    Parameters
    ----------
    md_m : array
        Depths [m].
    low : array (depths, 2)
        Share of gravity along x and y: it points to the low side.
    bend_rad_m : array (depths, 2)
        Curvature: it points to the inside of the bend [rad/m].
    """

    md_m: Array
    low: Array
    bend_rad_m: Array


@dataclass(frozen=True, slots=True)
class BentShape:
    """A twin string in its hole.

    Parameters
    ----------
    place : Place
        Depth of the Y-tool's top, roll, union.
    way : {"down", "up", "still"}
        Which way it moves.
    lines, parts, links
        Strings, round parts, and what joins the strings.
    touches : tuple of Touch
        What touches the casing, from the top.
    casing : tuple of Bore
        Walls beside it from the top, the narrowest at each depth.
    course : Course
        Of the hole.
    """

    place: Place
    way: Way
    lines: tuple[BentLine, ...]
    parts: tuple[BentPart, ...]
    links: tuple[BentLink, ...]
    touches: tuple[Touch, ...]
    casing: tuple[Bore, ...]
    course: Course

    @property
    def dogleg_rad_m(self) -> float:
        """Sharpest curvature of the hole beside it [rad/m]."""
        import numpy as np

        return float(np.hypot(*self.course.bend_rad_m.T).max())

    def at(self, md_m: float) -> Iterator[BentPart]:
        """The parts that stand at a depth, each cut there."""
        import numpy as np

        for one in self.parts:
            if one.md_m[0] - _APART_M <= md_m <= one.md_m[-1] + _APART_M:
                x, y = (np.array([np.interp(md_m, one.md_m, v)]) for v in (one.x_m, one.y_m))
                yield BentPart(one.name, one.kind, one.string, np.array([md_m]), x, y, one.radius_m)


def worst(job: Job, running: RunIn) -> tuple[Place, Way] | None:
    """The place on the way down or up that is worst of all, and which way it was.

    Nearest to a limit of bending; where no limit is stated, of the greatest side
    force. None: no shape was found anywhere.
    """
    ways: tuple[tuple[Way, tuple[Place, ...]], ...] = (("down", running.down), ("up", running.up))
    known = [(one, way) for way, places in ways for one in places if one.found]

    def rank(pair: tuple[Place, Way]) -> tuple[float, float]:
        bent = worst_bent(job, pair[0])
        return (bent.use if bent is not None else 0.0), pair[0].side_n

    return max(known, key=rank, default=None)


def bent_shape(running: RunIn, place: Place, way: Way = "down") -> BentShape:
    """Find the shape of one place again, with all that a picture needs.

    Parameters
    ----------
    running : RunIn
        Beams and hole.
    place : Place
        A depth and roll at which a shape was found.
    way : {"down", "up", "still"}
        As it was moved there.

    Raises
    ------
    InputError
        ``out-of-range``: at this place there are no numbers, or a depth beyond the survey.
    """
    require(place.found, "place", f"no shape was found at {in_both(place.md_m)}: {place.state}")
    cut = mesh(running.beams[place.union].twin)
    zero_m = place.md_m + running.top_above_zero_m
    shapes, _ = pass_through(cut, running.hole, [zero_m], place.roll_rad, way=way)
    state = str(shapes.state[0])
    require(state in FOUND, "place", f"no shape was found again at {in_both(place.md_m)}: {state}")
    made = _Made(cut, running.hole, zero_m, shapes.u[0])
    return BentShape(
        place,
        way,
        tuple(made.lines()),
        tuple(made.parts()),
        tuple(made.links()),
        tuple(made.touches(shapes.force_n[0])),
        narrowest(running.hole, zero_m + cut.node_m[0], zero_m + cut.node_m[-1]),
        made.course(place.roll_rad),
    )


def narrowest(hole: Hole, first_m: float, last_m: float) -> tuple[Bore, ...]:
    """The walls between two depths from the top, where several stand the narrowest."""
    ends = {float(first_m), float(last_m)}
    for bore in hole.bores:
        ends |= {at for at in (bore.top_md_m, bore.bottom_md_m) if first_m < at < last_m}
    found: list[Bore] = []
    for top, bottom in pairwise(sorted(ends)):
        middle = (top + bottom) / 2
        here = [one for one in hole.bores if one.top_md_m <= middle <= one.bottom_md_m]
        if here and bottom - top > _APART_M:
            least = min(here, key=lambda one: one.diameter_m)
            last = found[-1] if found else None
            goes_on = last is not None and last.name == least.name and last.bottom_md_m == top
            start = found.pop().top_md_m if goes_on else top
            found.append(Bore(least.name, start, bottom, least.diameter_m))
    return tuple(found)


class _Made:
    """A solved mesh read out at its nodes."""

    def __init__(self, cut: Mesh, hole: Hole, zero_m: float, u: Array) -> None:
        import numpy as np

        self.cut, self.hole, self.zero_m = cut, hole, zero_m
        self.u = np.append(u, 0.0)  # what is held has the number one past the last
        self.md_m = zero_m + cut.node_m

    def _moved(self, string: int, nodes: Iterable[int]) -> tuple[Array, Array]:
        """How far a string has moved at its nodes [m]."""
        import numpy as np

        slots = np.array([self.cut.slot[string, node] for node in nodes], dtype=np.intp)
        return self.u[slots[:, 0]], self.u[slots[:, 2]]

    def _point(self, string: int, node: int) -> tuple[float, float]:
        (x,), (y,) = self._moved(string, [node])
        return float(x), float(y)

    def lines(self) -> Iterator[BentLine]:
        import numpy as np

        for number, string in enumerate(self.cut.twin.strings):
            mine = np.nonzero(self.cut.string == number)[0]
            mine = mine[np.argsort(self.cut.upper[mine])]
            nodes = np.stack((self.cut.upper[mine], self.cut.upper[mine] + 1), axis=1).ravel()
            x, y = self._moved(number, nodes.tolist())
            axis = np.repeat([self.cut.segments[one].x_m for one in mine], 2)
            middles = self.cut.middle_m[mine]
            sorts = ("body", "neck", "block")
            bodies = [one for one in string.discs if one.kind in sorts and one.length_m > 0]
            radii = [
                next((b.radius_m for b in bodies if b.at_m <= at <= b.bottom_m), np.nan)
                for at in middles
            ]
            yield BentLine(string.name, self.md_m[nodes], axis + x, y, np.repeat(radii, 2))

    def parts(self) -> Iterator[BentPart]:
        for number, string in enumerate(self.cut.twin.strings):
            for disc in string.discs:
                first, last = (self._nearest(at) for at in (disc.at_m, disc.bottom_m))
                x, y = self._moved(number, range(first, last + 1))
                md_m = self.md_m[first : last + 1]
                where = disc.x_m + x, disc.y_m + y
                yield BentPart(disc.name, disc.kind, number, md_m, *where, disc.radius_m)

    def _nearest(self, at_m: float) -> int:
        import numpy as np

        return int(np.argmin(np.abs(self.cut.node_m - at_m)))

    def links(self) -> Iterator[BentLink]:
        strings = self.cut.twin.strings
        top_m, bottom_m = strings[-1].top_m + _INSIDE_M, strings[-1].bottom_m - _INSIDE_M
        for link in sorted(self.cut.twin.links, key=lambda one: one.at_m):
            node = self._nearest(link.at_m)
            beside_m = min(max(link.at_m, top_m), bottom_m)  # where both strings are abreast
            axes = []
            for number, string in enumerate(strings):
                x, y = self._point(number, node)
                here = (s for s in string.segments if s.top_m <= beside_m <= s.bottom_m)
                axes.append((next(here).x_m + x, y))
            yield BentLink(link.name, link.kind, float(self.md_m[node]), axes[0], axes[1])

    def touches(self, force_n: Array) -> Iterator[Touch]:
        import numpy as np

        walls = self.cut.contacts[: self.cut.walls]
        pressed = np.nonzero(force_n[: self.cut.walls] > 0)[0].tolist()
        for c in sorted(pressed, key=lambda number: walls[number].node):
            one = walls[c]
            centre = self._point(one.string, one.node) + self.cut.offset_m[c]
            away = float(np.hypot(*centre))
            rim = centre * (1 + one.radius_m / away) if away > _APART_M else centre
            md_m, force = float(self.md_m[one.node]), float(force_n[c])
            yield Touch(one.name, one.kind, one.string, md_m, float(rim[0]), float(rim[1]), force)

    def course(self, roll_rad: float) -> Course:
        import numpy as np

        path = self.hole.path
        turn = path.at(np.array([self.zero_m])).high_side() + roll_rad
        nodes = path.at(self.md_m).turned(turn)
        middle_m = (self.md_m[1:] + self.md_m[:-1]) / 2
        middle = path.at(middle_m).turned(turn)
        bend = np.diff(nodes.tangent, axis=0) / np.diff(self.md_m)[:, None]
        across = [np.sum(bend * one, axis=-1) for one in (middle.side, middle.across)]
        low = np.stack((middle.side[:, 2], middle.across[:, 2]), axis=-1)
        return Course(middle_m, low, np.stack(across, axis=-1))
