"""Cross-sections along an assembly: what stands abreast, between one change and the next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from abreast.formulas.enclosing import Disc
from abreast.mechanics.outlines import Outline

__all__ = ["Slice", "slices"]

_THINNEST_M = 1e-6


@dataclass(frozen=True, slots=True)
class Slice:
    """A length over which the cross-section stays the same.

    Parameters
    ----------
    bottom_m, top_m : float
        Heights [m].
    shapes : tuple of Outline
        What stands there: on each axis the widest, blocks and clamps.
    solid_needs, cable_needs : tuple of str
        What is missing of the strings and what holds them, and of the cable.
    """

    bottom_m: float
    top_m: float
    shapes: tuple[Outline, ...]
    solid_needs: tuple[str, ...] = ()
    cable_needs: tuple[str, ...] = ()

    @property
    def needs(self) -> tuple[str, ...]:
        """All that is missing."""
        return (*self.solid_needs, *self.cable_needs)

    @property
    def discs(self) -> tuple[Disc, ...]:
        """All discs of its shapes."""
        return tuple(disc for shape in self.shapes for disc in shape.discs)

    def side(self, *sides: str) -> tuple[Outline, ...]:
        """Its shapes of the named sides."""
        return tuple(shape for shape in self.shapes if shape.side in sides)

    @property
    def gap_m(self) -> float | None:
        """Least gap between the two strings [m], negative when they overlap; None: one is alone."""
        esp, bypass = self.side("esp"), self.side("bypass")
        gaps = [
            abs(b.discs[0].x_m - e.discs[0].x_m) - e.radius_m - b.radius_m
            for e in esp
            for b in bypass
            if e.discs and b.discs
        ]
        return min(gaps, default=None)


def slices(shapes: Sequence[Outline]) -> tuple[Slice, ...]:
    """The distinct lengths of an assembly, bottom to top; lengths where nothing stands left out."""
    ends = sorted({end for shape in shapes for end in (shape.bottom_m, shape.top_m)})
    found: list[Slice] = []
    for bottom_m, top_m in _steps(ends):
        middle_m = (bottom_m + top_m) / 2
        here = [shape for shape in shapes if shape.bottom_m <= middle_m <= shape.top_m]
        if not here:
            continue
        one = Slice(bottom_m, top_m, _widest(here), *_needs(here))
        before = found[-1] if found else None
        if before is not None and _same(before, one):
            found[-1] = replace(before, top_m=top_m)
        else:
            found.append(one)
    return tuple(found)


def _steps(ends: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Neighbouring ends, those that only rounding parts taken as one."""
    start = ends[0] if ends else 0.0
    for end in ends:
        if end - start > _THINNEST_M:
            yield start, end
            start = end


def _widest(here: Iterable[Outline]) -> tuple[Outline, ...]:
    """On each string the widest shape only: a connection hides the body it is on."""
    kept: dict[str, Outline] = {}
    others = []
    for shape in here:
        if shape.side in ("both", "cable"):
            others += [shape] if shape.discs else []
        elif shape.discs and shape.radius_m > _radius(kept.get(shape.side)):
            kept[shape.side] = shape
    return (*(kept[side] for side in ("esp", "bypass") if side in kept), *others)


def _radius(shape: Outline | None) -> float:
    return -1.0 if shape is None else shape.radius_m


def _needs(here: Sequence[Outline]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    solid = {shape.needs for shape in here if shape.needs and shape.side != "cable"}
    cable = {shape.needs for shape in here if shape.needs and shape.side == "cable"}
    return tuple(sorted(solid)), tuple(sorted(cable))


def _same(one: Slice, other: Slice) -> bool:
    def key(cut: Slice) -> object:
        return [(shape.name, shape.discs) for shape in cut.shapes], cut.needs

    return abs(one.top_m - other.bottom_m) <= _THINNEST_M and key(one) == key(other)
