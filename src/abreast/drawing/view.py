"""What every part of the space-out drawings needs: the job, the string, the sheet, the words."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

from abreast.drawing.canvas import EVERYTHING, Canvas, Window
from abreast.drawing.order import Numbered, running_order
from abreast.drawing.sheet import HeightMap, Paper, sheet_of
from abreast.model import Assembly, Job, PlacedPiece

__all__ = ["Mode", "View", "view_of"]

Mode = Literal["true", "stretched"]
_TAIL_STEP_MM, _LEAST_MM, _MOST_MM_PER_M = 4.6, 3.6, 40.0


@dataclass(frozen=True, kw_only=True)
class View(Canvas):
    """One space-out drawing in the making."""

    job: Job
    assembly: Assembly
    numbered: tuple[Numbered, ...]
    depth_of_zero_m: float | None
    mode: Mode

    def depth(self, height_m: float) -> str:
        """The measured depth of a height without its unit; blank when nobody knows it."""
        if self.depth_of_zero_m is None:
            return ""
        return self.length(self.depth_of_zero_m - height_m)

    def part(self, *names: str) -> tuple[Numbered, ...]:
        """The numbered pieces of the named parts of the string, lowest first."""
        found = [
            one
            for one in self.numbered
            if one.part in names and self.shows(one.piece.bottom_m, one.piece.top_m)
        ]
        return tuple(sorted(found, key=lambda one: one.piece.bottom_m))

    @property
    def foot_m(self) -> float:
        """Lowest height of all but the tail."""
        return _foot_m(self.numbered)

    def half_mm(self, piece: PlacedPiece) -> float:
        """Half the width at which a piece is drawn: in proportion on its own side only."""
        esp = piece.side == "esp"
        part = "ESP" if esp else "bypass"
        largest = max(
            (one.piece.body_od_m or 0.0 for one in self.numbered if one.part == part), default=0.0
        )
        share = min(1.0, piece.body_od_m / largest) if piece.body_od_m and largest else 1.0
        return self.mm((6.0 if esp else 3.2) * max(0.6, share))


def view_of(
    job: Job, assembly: Assembly, paper: Paper, mode: Mode = "true", window_m: Window = EVERYTHING
) -> View:
    """Fit a string, or what a window shows of it, on a sheet."""
    sheet = sheet_of(paper)
    numbered = running_order(assembly)
    room = sheet.top_mm + 7 * sheet.factor, sheet.bottom_mm - 3 * sheet.factor
    if mode == "true":
        heights = _true_heights(assembly, numbered, window_m, room, _TAIL_STEP_MM * sheet.factor)
    else:
        least, most = _LEAST_MM * sheet.factor, _MOST_MM_PER_M * sheet.factor
        knots = [one for one in _knots_m(assembly) if window_m[0] < one < window_m[1]]
        ends = [one for one in window_m if isfinite(one)]
        heights = HeightMap.stretched([*knots, *ends], room, least, most)
    return View(
        sheet=sheet,
        heights=heights,
        system=job.units,
        window_m=window_m,
        job=job,
        assembly=assembly,
        numbered=numbered,
        depth_of_zero_m=_depth_of_zero_m(assembly),
        mode=mode,
    )


def _true_heights(
    assembly: Assembly,
    numbered: tuple[Numbered, ...],
    window_m: Window,
    room_mm: tuple[float, float],
    step_mm: float,
) -> HeightMap:
    """One scale for all but a long tail; a sheet of the tail alone is to scale."""
    tail = [one.piece.bottom_m for one in numbered if one.part == "tail"]
    foot_m = _foot_m(numbered)
    top_m = min(assembly.top_m, window_m[1])
    low_m = max(min([foot_m, *tail]), window_m[0])
    if low_m >= foot_m or top_m <= foot_m:
        return HeightMap.fitted(top_m, low_m, (), room_mm, step_mm)
    below = sorted({low_m, *(one for one in tail if one > low_m)})
    return HeightMap.fitted(top_m, foot_m, below, room_mm, step_mm)


def _knots_m(assembly: Assembly) -> set[float]:
    """Heights between which a stretched sheet has one scale: the ends of pieces."""
    ends = {end for piece in assembly.pieces for end in (piece.bottom_m, piece.top_m)}
    return ends | {assembly.esp_leg_m, assembly.bypass_leg_m, assembly.top_m}


def _foot_m(numbered: tuple[Numbered, ...]) -> float:
    return min(one.piece.bottom_m for one in numbered if one.part != "tail")


def _depth_of_zero_m(assembly: Assembly) -> float | None:
    """Measured depth of height zero, from any piece whose depth is known."""
    for piece in assembly.pieces:
        if piece.top_md_m is not None:
            return piece.top_md_m + piece.top_m
    return None
