"""Cross-sections of a bent twin where it is pushed hardest, to scale, looking down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

from abreast.drawing.bent_view import arrow, look
from abreast.drawing.caption import FIGURE_MM
from abreast.drawing.page import wrapped
from abreast.drawing.scene import Circle, Fill, Item, Line, Outline, Point, Text
from abreast.drawing.sheet import round_scale
from abreast.mechanics.bent_shape import BentShape, Touch
from abreast.units import Dimension, System, show

__all__ = ["Group", "cuts", "groups_of", "hardest"]

_ROUND_MM = 31.0
_ORDER = ("block", "clamp", "esp", "neck", "bypass", "cable")
_FAINT_RAD_M, _STEEP = 1e-6, 1e-3


@dataclass(frozen=True, slots=True)
class Group:
    """Touching places of one part close to one another, as one: their sum, at the hardest."""

    touch: Touch
    force_n: float


def groups_of(shape: BentShape, apart_m: float = 1.2) -> tuple[Group, ...]:
    """Touching places, those of one part nearer than so together, from the top."""
    rows: list[list[Touch]] = []
    for one in sorted(shape.touches, key=lambda t: (t.string, t.name, t.kind, t.md_m)):
        last = rows[-1][-1] if rows else None
        same = last is not None and (last.string, last.name, last.kind) == (
            one.string,
            one.name,
            one.kind,
        )
        if last is not None and same and one.md_m - last.md_m < apart_m:
            rows[-1].append(one)
        else:
            rows.append([one])
    found = [
        Group(max(row, key=lambda t: t.force_n), sum(one.force_n for one in row)) for row in rows
    ]
    return tuple(sorted(found, key=lambda one: one.touch.md_m))


def hardest(groups: Sequence[Group], count: int, apart_m: float = 1.0) -> tuple[Group, ...]:
    """The hardest pushed, no two of them at nearly one depth, from the top."""
    found: list[Group] = []
    for one in sorted(groups, key=lambda group: -group.force_n):
        if all(abs(one.touch.md_m - other.touch.md_m) >= apart_m for other in found):
            found.append(one)
    return tuple(sorted(found[:count], key=lambda one: one.touch.md_m))


def cuts(
    shape: BentShape,
    chosen: Sequence[tuple[str, Group]],
    system: System,
    box: tuple[float, float, float, float],
    f: float,
) -> Iterator[Item]:
    """The sections one under the other in a box [mm], each with its letter."""
    left, top, right, bottom = box
    widest = max((one.diameter_m for one in shape.casing), default=1.0)
    scale = round_scale(widest * 1000 / (_ROUND_MM * f))
    each = (bottom - top) / 3
    for number, (letter, group) in enumerate(chosen):
        middle = (left + right) / 2, top + each * number + 27 * f
        cut = _Cut(shape, group, middle, 1000 / scale, f)
        yield from cut.items()
        yield from _words(cut, letter, system, (left, right), top + each * number + 51 * f, scale)


@dataclass(frozen=True)
class _Cut:
    """One section: x to the right, y down the page, which is clockwise looking down."""

    shape: BentShape
    group: Group
    middle: Point
    mm_per_m: float
    f: float

    @property
    def md_m(self) -> float:
        return self.group.touch.md_m

    @property
    def rim_mm(self) -> float:
        """Radius of the casing on paper."""
        here = [
            one.diameter_m / 2
            for one in self.shape.casing
            if one.top_md_m - 1e-6 <= self.md_m <= one.bottom_md_m + 1e-6
        ]
        return min(here, default=0.1) * self.mm_per_m

    def at(self, x_m: float, y_m: float) -> Point:
        return self.middle[0] + x_m * self.mm_per_m, self.middle[1] + y_m * self.mm_per_m

    def touching(self) -> list[Touch]:
        """What touches within a hand of this depth."""
        return [one for one in self.shape.touches if abs(one.md_m - self.md_m) < 0.1]

    def items(self) -> Iterator[Item]:
        f = self.f
        yield Circle(*self.middle, self.rim_mm, "casing", "none", 0.6 * f)
        parts = sorted(self.shape.at(self.md_m), key=lambda one: _ORDER.index(look(one)[0]))
        for part in parts:
            group, layer, fill = look(part)
            centre = self.at(float(part.x_m[0]), float(part.y_m[0]))
            solid: Fill = "light" if group in ("block", "neck") else fill
            solid = "none" if group == "clamp" else solid
            yield Circle(*centre, part.radius_m * self.mm_per_m, layer, solid, 0.3 * f)
        for x, y in ((f, 0.0), (0.0, f)):
            (x_mm, y_mm) = self.middle
            yield Line(x_mm - x, y_mm - y, x_mm + x, y_mm + y, "limit", 0.15 * f)
        most = max(one.force_n for one in self.touching())
        for one in self.touching():
            spot = self.at(one.x_m, one.y_m)
            yield Circle(*spot, 0.5 * f, "limit", "black", 0.0)
            away = hypot(one.x_m, one.y_m) or 1.0
            long_mm = 5 * f * one.force_n / most
            if long_mm > 0.5 * f:
                tail = (
                    spot[0] + one.x_m / away * long_mm,
                    spot[1] + one.y_m / away * long_mm,
                )
                yield from arrow(tail, spot, f)
        yield from self._compass()

    def _compass(self) -> Iterator[Item]:
        """Triangles within the casing: black to the low side, white to the inside of the bend."""
        course = self.shape.course
        row = int(abs(course.md_m - self.md_m).argmin())
        low, bend = course.low[row], course.bend_rad_m[row]
        taken = 0.0
        if hypot(*low) > _STEEP:
            yield self._triangle(atan2(low[1], low[0]), 0.0, "black")
            same = hypot(*bend) > 0 and cos(atan2(*low[::-1]) - atan2(*bend[::-1])) > 0.97
            taken = 2.6 * self.f if same else 0.0
        if hypot(*bend) > _FAINT_RAD_M:
            yield self._triangle(atan2(bend[1], bend[0]), taken, "white")

    def _triangle(self, angle: float, inwards_mm: float, fill: Fill) -> Item:
        f, (x_mm, y_mm) = self.f, self.middle
        tip = self.rim_mm - 0.6 * f - inwards_mm
        ux, uy, foot, half = cos(angle), sin(angle), tip - 2.4 * f, 1.1 * f
        corners = (
            (x_mm + tip * ux, y_mm + tip * uy),
            (x_mm + foot * ux - half * uy, y_mm + foot * uy + half * ux),
            (x_mm + foot * ux + half * uy, y_mm + foot * uy - half * ux),
        )
        return Outline(corners, "leader", fill, 0.25 * f)


def _words(
    cut: _Cut, letter: str, system: System, sides: tuple[float, float], y_mm: float, scale: float
) -> Iterator[Item]:
    """Letter and depth, what touches there, dogleg; as many rows as there is room."""
    size, f = FIGURE_MM * cut.f, cut.f
    course = cut.shape.course
    row = int(abs(course.md_m - cut.md_m).argmin())
    depth = show(cut.md_m, Dimension.LENGTH, system, digits=1)
    here = sorted(cut.touching(), key=lambda one: -one.force_n)
    sums = [f"{one.name} {show(one.force_n, Dimension.FORCE, system)}" for one in here]
    if cut.group.force_n > 1.01 * cut.group.touch.force_n:
        whole = show(cut.group.force_n, Dimension.FORCE, system)
        sums = [f"{sums[0]} here, {whole} in all", *sums[1:]]
    bend = show(hypot(*course.bend_rad_m[row]), Dimension.DOGLEG, system)
    rows = [(f"{letter}: MD {depth}, 1:{scale:g}", True)]
    rows += [(words, False) for words in (*sums[:2], f"dogleg {bend}")]
    for number, (words, bold) in enumerate(rows):
        text = next(wrapped(words, (sides[1] - sides[0]) * 0.96, size), "")
        at = y_mm + 3.3 * f * number
        yield Text(sides[0], at, text, size, "label", bold=bold)
