"""What every part of the space-out drawing needs: the job, the string, the sheet, the words."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.drawing.order import Numbered, running_order
from abreast.drawing.sheet import HeightMap, Paper, Sheet, sheet_of
from abreast.model import Assembly, Job, PlacedPiece
from abreast.units import Dimension, System, display_unit, figure

__all__ = ["View", "view_of"]

_TAIL_STEP_MM = 4.6


@dataclass(frozen=True)
class View:
    """One drawing in the making."""

    job: Job
    assembly: Assembly
    sheet: Sheet
    heights: HeightMap
    numbered: tuple[Numbered, ...]
    depth_of_zero_m: float | None

    def y(self, height_m: float) -> float:
        """Place of a height on paper [mm]."""
        return self.heights.y(height_m)

    def mm(self, on_a4_mm: float) -> float:
        """A size on this sheet that has the given size on A4 [mm]."""
        return on_a4_mm * self.sheet.factor

    @property
    def system(self) -> System:
        """The units of the job."""
        return self.job.units

    @property
    def unit(self) -> str:
        """The unit of lengths, heights and depths."""
        return display_unit(Dimension.LENGTH, self.system)

    def length(self, length_m: float) -> str:
        """A length or height without its unit."""
        return figure(length_m, Dimension.LENGTH, self.system)

    def depth(self, height_m: float) -> str:
        """The measured depth of a height without its unit; blank when nobody knows it."""
        if self.depth_of_zero_m is None:
            return ""
        return self.length(self.depth_of_zero_m - height_m)

    def part(self, *names: str) -> tuple[Numbered, ...]:
        """The numbered pieces of the named parts of the string, lowest first."""
        found = [one for one in self.numbered if one.part in names]
        return tuple(sorted(found, key=lambda one: one.piece.bottom_m))

    @property
    def foot_m(self) -> float:
        """Lowest height of all but the tail."""
        return _foot_m(self.numbered)

    def half_mm(self, piece: PlacedPiece) -> float:
        """Half the width at which a piece is drawn: in proportion on its own side only."""
        esp = piece.side == "esp"
        largest = max(
            (one.piece.body_od_m or 0.0 for one in self.part("ESP" if esp else "bypass")),
            default=0.0,
        )
        share = min(1.0, piece.body_od_m / largest) if piece.body_od_m and largest else 1.0
        return self.mm((6.0 if esp else 3.2) * max(0.6, share))


def view_of(job: Job, assembly: Assembly, paper: Paper) -> View:
    """Fit a string on a sheet."""
    sheet = sheet_of(paper)
    numbered = running_order(assembly)
    tail = [one.piece.bottom_m for one in numbered if one.part == "tail"]
    heights = HeightMap.fitted(
        assembly.top_m,
        _foot_m(numbered),
        tail,
        (sheet.top_mm + 7 * sheet.factor, sheet.bottom_mm - 3 * sheet.factor),
        _TAIL_STEP_MM * sheet.factor,
    )
    return View(job, assembly, sheet, heights, numbered, _depth_of_zero_m(assembly))


def _foot_m(numbered: tuple[Numbered, ...]) -> float:
    return min(one.piece.bottom_m for one in numbered if one.part != "tail")


def _depth_of_zero_m(assembly: Assembly) -> float | None:
    """Measured depth of height zero, from any piece whose depth is known."""
    for piece in assembly.pieces:
        if piece.top_md_m is not None:
            return piece.top_md_m + piece.top_m
    return None
