"""Cross-sections at the tightest places, to scale, looking down, placed as the fit says."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from abreast.drawing.canvas import Canvas
from abreast.drawing.page import Page, frame, wrapped
from abreast.drawing.scene import Box, Circle, Fill, Item, Layer, Line, Outline, Point, Scene, Text
from abreast.drawing.section_words import LETTERS, Row, rows_of
from abreast.drawing.sheet import HeightMap, Paper, round_scale, sheet_of
from abreast.drawing.tight_places import TightPlace, tight_places
from abreast.errors import MissingInputError
from abreast.formulas.enclosing import Disc
from abreast.mechanics.fit import Fit, fit
from abreast.mechanics.outlines import Outline as Shape
from abreast.model import Assembly, Job

__all__ = ["section_sheets"]

_COLUMNS, _ROWS, _ROUND_MM, _LETTER_MM = 2, 3, 46.0, 2.4
_WORDS_MM, _PITCH_MM = 2.5, 3.4
_FILLS: dict[str, Fill] = {"esp": "light", "bypass": "white", "cable": "grey", "both": "none"}
_LAYERS: dict[str, Layer] = {"esp": "esp", "bypass": "bypass", "both": "clamp"}
_ORDER = ("both", "esp", "bypass", "cable")


def section_sheets(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> tuple[Scene, ...]:
    """The tightest cross-sections of an assembly on one sheet.

    Parameters
    ----------
    job : Job
        Diameters, casing, openings, cable.
    assembly : Assembly
        The twin string, planned or run.
    paper : {"A4", "A3"}
        The sheet, upright.

    Returns
    -------
    tuple of Scene
        Up to six sections, tightest first, all to one scale: what stands there,
        the smallest circle round it, drift and bore round that circle, the
        cable at its angle with the window it may lie in, the clearance.

    Raises
    ------
    MissingInputError
        If no cross-section is known.
    """
    sheet, found = sheet_of(paper), fit(job, assembly)
    places = tight_places(found, _COLUMNS * _ROWS)
    if not places:
        needs = "the diameters of the pieces"
        raise MissingInputError(needs)
    flat = HeightMap((0.0, 1.0), (1.0, 0.0), 1.0, None)
    view = Canvas(sheet=sheet, heights=flat, system=job.units)
    scale = round_scale(max(_widest_m(place) for place in places) * 1000 / view.mm(_ROUND_MM))
    items = [item for panel in _panels(view, found, assembly, places, scale) for item in panel]
    page = _page(job, assembly, view, scale)
    return (Scene(sheet.width_mm, sheet.height_mm, page.title, (*items, *frame(page))),)


def _widest_m(place: TightPlace) -> float:
    bore_m = 0.0 if place.passage is None else place.passage.bore_m or 0.0
    return max(bore_m, place.section.limit_m or 0.0, place.section.diameter_m)


def _page(job: Job, assembly: Assembly, view: Canvas, scale: float) -> Page:
    state = "as run" if assembly.status == "as-run" else "as planned"
    notes = (
        f"Scale 1:{scale:g} printed full size on {view.sheet.paper}. LOOKING DOWN. Angles from the"
        " line ESP to bypass (0°), clockwise positive. Dash-dot line: the bypass line.",
        "Thick circle: bore; dashed: drift; thin: smallest circle round all that stands there."
        " Grey sector: where the MLE may lie. Clearance is drift less that circle, in diameter:"
        " + room, - too large. Connections are drawn where they may stand, reserve included.",
    )
    heading = f"TIGHTEST CROSS-SECTIONS, {state}"
    return Page(job, view.sheet, heading, notes, f"1:{scale:g} on {view.sheet.paper}")


def _panels(
    view: Canvas, found: Fit, assembly: Assembly, places: tuple[TightPlace, ...], scale: float
) -> Iterator[Iterator[Item]]:
    sheet = view.sheet
    left, right = sheet.margin_mm, sheet.width_mm - sheet.margin_mm
    top, bottom = sheet.top_mm - view.mm(6), sheet.bottom_mm
    wide, high = (right - left) / _COLUMNS, (bottom - top) / _ROWS
    for number, place in enumerate(places):
        x_mm, y_mm = left + number % _COLUMNS * wide, top + number // _COLUMNS * high
        box = (x_mm, y_mm, x_mm + wide, y_mm + high)
        rows = rows_of(view, found, assembly, place)
        yield _Panel(view, found, place, scale, box).items(number, rows)


@dataclass(frozen=True)
class _Panel:
    """One section in its box on the sheet [mm]."""

    view: Canvas
    found: Fit
    place: TightPlace
    scale: float
    box: Box

    def items(self, number: int, rows: tuple[Row, ...]) -> Iterator[Item]:
        if number >= _COLUMNS:
            left, top, right, _ = self.box
            yield Line(left, top, right, top, "frame", self.view.mm(0.2))
        yield from self._sector()
        yield from self._limits()
        shapes = sorted(self.place.section.shapes, key=lambda one: _ORDER.index(one.side))
        for shape in shapes:
            yield from self._shape(shape)
        yield from self._bypass_line()
        yield from self._letters()
        yield from self._words(number, rows)

    # --- places on paper

    @property
    def _middle(self) -> Point:
        """Where the centre of the smallest circle is drawn."""
        left, top, _, bottom = self.box
        x_mm = left + self.view.mm(_ROUND_MM / 2 + 5.5)
        return x_mm, (top + bottom) / 2 + self.view.mm(2.5)

    def _at(self, x_m: float, y_m: float) -> Point:
        """Place on paper of a point of the section: y lies clockwise, down the page."""
        circle = self.place.section.circle
        assert circle is not None, "only sections with a circle are drawn"
        x_mm, y_mm = self._middle
        per_m = 1000 / self.scale
        return x_mm + (x_m - circle.x_m) * per_m, y_mm + (y_m - circle.y_m) * per_m

    def _mm(self, size_m: float) -> float:
        return size_m * 1000 / self.scale

    @property
    def _rim_mm(self) -> float:
        """Radius on paper of the widest circle."""
        return self._mm(_widest_m(self.place) / 2)

    # --- shapes

    def _limits(self) -> Iterator[Item]:
        """Bore and drift about the centre of the smallest circle, which lies within them."""
        (x_mm, y_mm), way, mm = self._middle, self.place.passage, self.view.mm
        if way is not None and way.bore_m is not None:
            radius = self._mm(way.bore_m / 2)
            yield Circle(x_mm, y_mm, radius, "limit", "none", mm(0.6))
        if way is not None and way.drift_m is not None:
            radius, dash = self._mm(way.drift_m / 2), (mm(1.4), mm(0.9))
            yield Circle(x_mm, y_mm, radius, "limit", "none", mm(0.25), dash)
        radius = self._mm(self.place.section.diameter_m / 2)
        yield Circle(x_mm, y_mm, radius, "limit", "none", mm(0.15))

    def _shape(self, shape: Shape) -> Iterator[Item]:
        if not shape.discs:
            return
        fill, line = _FILLS[shape.side], self.view.mm(0.35)
        if shape.side == "cable":
            corners = tuple(self._at(x, y) for x, y in _hull(shape.discs))
            yield Outline(corners, "cable", fill, line, shape.piece)
            return
        layer = _LAYERS[shape.side]
        for disc in shape.discs:
            centre, radius = self._at(disc.x_m, disc.y_m), self._mm(disc.radius_m)
            yield Circle(*centre, radius, layer, fill, line, (), shape.piece)

    def _sector(self) -> Iterator[Item]:
        """The window of the cable, on the side of the ESP where it lies."""
        section, course = self.place.section, self.found.cable
        cable = course.at((section.bottom_m + section.top_m) / 2)
        if cable is None or not section.windows:
            return
        side = -1.0 if (course.angle_rad or 0.0) < 0 else 1.0
        inner, outer = cable.seat_m, cable.seat_m + 1.25 * cable.thickness_m
        for low, high in section.windows:
            steps = [low + (high - low) * n / 24 for n in range(25)]
            ring = [(inner, one) for one in steps] + [(outer, one) for one in reversed(steps)]
            corners = (self._at(r * math.cos(a), side * r * math.sin(a)) for r, a in ring)
            yield Outline(tuple(corners), "cable", "light", self.view.mm(0.13))

    def _bypass_line(self) -> Iterator[Item]:
        """The line from the ESP to the bypass, 0°, and a tick at 90°."""
        mm, (x_mm, y_mm), (axis_x, axis_y) = self.view.mm, self._middle, self._at(0.0, 0.0)
        rim, size = self._rim_mm, mm(_WORDS_MM)
        dash = (mm(2), mm(0.6), mm(0.4), mm(0.6))
        end = x_mm + rim + mm(1.2)
        yield Line(axis_x, axis_y, end, axis_y, "limit", mm(0.15), dash)
        yield Text(end + mm(0.5), axis_y + 0.35 * size, "0°", size, "limit")
        foot = y_mm + math.sqrt(max(rim**2 - (axis_x - x_mm) ** 2, 0.0))
        yield Line(axis_x, foot, axis_x, foot + mm(1.2), "limit", mm(0.25))
        yield Text(axis_x, foot + mm(1.6) + 0.75 * size, "90°", size, "limit", "middle")
        for x, y in ((axis_x - mm(1), axis_y), (axis_x, axis_y - mm(1))):
            yield Line(x, y, 2 * axis_x - x, 2 * axis_y - y, "limit", mm(0.2))

    # --- words

    def _letters(self) -> Iterator[Text]:
        """A letter on each shape; where two would touch, the legend alone must do."""
        taken: list[Box] = []
        size = self.view.mm(_LETTER_MM)
        for letter, shape in zip(LETTERS, self.place.section.shapes, strict=False):
            x_mm, y_mm = self._letter_at(shape)
            text = Text(x_mm, y_mm + 0.35 * size, letter, size, "label", "middle", bold=True)
            if shape.discs and not any(_touch(text.box_mm, box) for box in taken):
                taken.append(text.box_mm)
                yield text

    def _letter_at(self, shape: Shape) -> Point:
        if not shape.discs:
            return 0.0, 0.0
        xs, ys = [disc.x_m for disc in shape.discs], [disc.y_m for disc in shape.discs]
        x_mm, y_mm = self._at(sum(xs) / len(xs), sum(ys) / len(ys))
        if shape.side == "both":
            up = -1.0 if (self.found.cable.angle_rad or 0.0) >= 0 else 1.0
            return x_mm, y_mm + up * max(self._mm(shape.radius_m) - self.view.mm(3), 0.0)
        above = self.view.mm(2.6)  # clear of the axis and of the bypass line
        return x_mm, y_mm if shape.side == "cable" else y_mm - above

    def _words(self, number: int, rows: tuple[Row, ...]) -> Iterator[Item]:
        mm, (left, top, right, bottom) = self.view.mm, self.box
        heading, *rest = rows
        size = mm(2.9)
        title = next(wrapped(f"{number + 1}: {heading.words}", right - left - mm(2), size), "")
        yield Text(left, top + mm(4.4), title, size, "label", bold=True)
        x_mm, size = left + mm(_ROUND_MM + 15.5), mm(_WORDS_MM)
        lines = [
            (words, row.bold, row.is_clearance and not place)
            for row in rest
            for place, words in enumerate(wrapped(row.words, (right - x_mm) * 0.94, size))
        ]
        most = int((bottom - top - mm(12)) / mm(_PITCH_MM)) + 1
        if len(lines) > most:
            lines[most - 1 :] = [("... more: see the findings", True, False)]
        for line, (words, bold, is_clearance) in enumerate(lines):
            y_mm = top + mm(11 + line * _PITCH_MM)
            yield Text(x_mm, y_mm, words, size, "label", bold=bold)
            if is_clearance:
                yield from self._pointer(x_mm - mm(0.6), y_mm - 0.35 * size)

    def _pointer(self, x_mm: float, y_mm: float) -> Iterator[Item]:
        """From the gap between smallest circle and drift to the figure of the clearance."""
        section, (mid_x, mid_y) = self.place.section, self._middle
        if section.limit_m is None:
            return
        gap = self._mm((section.diameter_m + section.limit_m) / 4)
        gap_x, gap_y = mid_x + gap * math.cos(-0.9), mid_y + gap * math.sin(-0.9)
        knee = x_mm - self.view.mm(2)
        corners = ((gap_x, gap_y), (knee, y_mm), (x_mm, y_mm))
        for (x1, y1), (x2, y2) in pairwise(corners):
            yield Line(x1, y1, x2, y2, "leader", self.view.mm(0.15))
        yield Circle(gap_x, gap_y, self.view.mm(0.45), "leader", "black", 0.0)


def _touch(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _hull(discs: tuple[Disc, ...]) -> list[Point]:
    """Outline of the four corner arcs of a cable, as corners round its middle [m]."""
    rim = [
        (disc.x_m + disc.radius_m * math.cos(a), disc.y_m + disc.radius_m * math.sin(a))
        for disc in discs
        for a in (math.tau * n / 16 for n in range(16))
    ]
    return _convex(sorted(set(rim)))


def _convex(points: list[Point]) -> list[Point]:
    """Convex hull by the monotone chain (A. M. Andrew, 1979; cited from memory)."""

    def half(ordered: list[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in ordered:
            while len(kept) >= 2 and _turn(kept[-2], kept[-1], point) <= 0:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return half(points) + half(points[::-1])


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
