"""The tracks of the way down: their axes, their looks, what they share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.drawing.caption import FIGURE_MM
from abreast.drawing.chart import Axes, Axis
from abreast.drawing.page import wrapped
from abreast.drawing.scene import Box, Fill, Item, Layer, Line, Text
from abreast.drawing.sheet import Sheet
from abreast.mechanics.running_in import RunIn
from abreast.model import Job
from abreast.units import Dimension, display_unit, to_unit

__all__ = ["LOOK", "ROOM", "STATES", "TOP", "TrackSheet", "planned_line", "slanted"]

TOP, _HIGH, ROOM = 33.0, 170.0, 6.0
STATES: tuple[tuple[str, Fill], ...] = (
    ("leans", "light"),
    ("buckled", "grey"),
    ("does not fit", "black"),
    ("not found", "white"),
)
LOOK: dict[str, tuple[Layer, Fill]] = {
    "esp": ("esp", "grey"),
    "bypass": ("bypass", "white"),
    "both": ("clamp", "light"),
}


@dataclass(frozen=True)
class TrackSheet:
    """What is drawn, on which sheet, down to which depth [m]."""

    job: Job
    running: RunIn
    sheet: Sheet
    last_m: float

    @property
    def f(self) -> float:
        """Paper per size on A4."""
        return self.sheet.factor

    @property
    def size(self) -> float:
        """Of words [mm]."""
        return FIGURE_MM * self.f

    def long(self, depth_m: float) -> float:
        """A depth in the unit that is printed."""
        return to_unit(depth_m, display_unit(Dimension.LENGTH, self.job.units))

    def force(self, force_n: float) -> float:
        """A force in the unit that is printed."""
        return to_unit(force_n, display_unit(Dimension.FORCE, self.job.units))

    def unit(self, dimension: Dimension) -> str:
        """The unit that is printed."""
        return display_unit(dimension, self.job.units)

    def track(self, left: float, width: float, x: Axis, heading: str) -> tuple[Axes, list[Item]]:
        """Axes of one track, sizes as on A4, and its heading over it."""
        f = self.f
        y = Axis(0.0, self.long(self.last_m), "")
        axes = Axes(left * f, TOP * f, width * f, _HIGH * f, x, y, self.size, ROOM)
        rows = list(wrapped(heading, width * f, self.size))
        words: list[Item] = [
            Text(left * f, (TOP - 1.4) * f - 1.25 * self.size * (len(rows) - 1 - n), row,
                 self.size, "ruler", bold=True)
            for n, row in enumerate(rows)
        ]  # fmt: skip
        return axes, words

    @property
    def planned(self) -> float:
        """The planned depth in the unit that is printed."""
        return self.long(self.running.planned_md_m)


def planned_line(chart: TrackSheet, axes: Axes) -> Iterator[Item]:
    """The planned depth across a track."""
    (x1, y_mm), (x2, _) = (axes.at(x, chart.planned) for x in (axes.x.start, axes.x.end))
    yield Line(x1, y_mm, x2, y_mm, "esp", 0.5 * chart.f)


def slanted(box: Box, pitch: float, wide: float) -> Iterator[Item]:
    """Lines x + y = a multiple of the pitch, cut off at a box, so that boxes join."""
    left, top, right, bottom = box
    for number in range(int((left + top) / pitch) + 1, int((right + bottom) / pitch) + 1):
        total = number * pitch
        x1, x2 = max(left, total - bottom), min(right, total - top)
        if x2 > x1:
            yield Line(x1, total - x1, x2, total - x2, "grid", wide)
