"""The drawings that go into a work pack, by the name of their files."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, Protocol

from abreast.drawing.bent_twin import bent_twin
from abreast.drawing.bypass_way import bypass_way_sheet
from abreast.drawing.hook_chart import hook_chart
from abreast.drawing.passing_chart import passing_chart
from abreast.drawing.scene import Scene
from abreast.drawing.sections import section_sheets
from abreast.drawing.setting_chart import setting_chart
from abreast.drawing.sheet import Paper
from abreast.drawing.spaceout import spaceout_stretched, spaceout_true
from abreast.drawing.well import well_sketch
from abreast.drawing.well_path import well_path
from abreast.mechanics.down_hole import DownHole
from abreast.model import Assembly, Job

__all__ = ["DRAWINGS", "WELL_DRAWINGS", "Drawing", "WellDrawing"]


class Make(Protocol):
    """A function that draws a job's string on sheets of a paper."""

    def __call__(
        self, job: Job, assembly: Assembly, *, paper: Paper = "A4"
    ) -> tuple[Scene, ...]: ...


class WellDrawing(NamedTuple):
    """How a part of a string in its well is drawn, which part, and what it is.

    ``make(job, assembly, part, *, paper)`` gives its sheets.
    """

    make: Callable[..., tuple[Scene, ...]]
    part: Callable[[DownHole], Any]
    about: str


class Drawing(NamedTuple):
    """How a drawing is made, and what it is."""

    make: Make
    about: str


DRAWINGS: dict[str, Drawing] = {
    "spaceout_stretched": Drawing(
        spaceout_stretched, "space-out drawing, short parts stretched so that all can be read"
    ),
    "spaceout_true": Drawing(spaceout_true, "space-out drawing, to scale along the well"),
    "well": Drawing(well_sketch, "the well with the landed string at its depths, not to scale"),
    "well_path": Drawing(
        well_path, "path of the well in section and plan, with the dogleg of every interval"
    ),
    "sections": Drawing(section_sheets, "cross-sections at the tightest places, to scale"),
}

WELL_DRAWINGS: dict[str, WellDrawing] = {
    "passing": WellDrawing(
        passing_chart,
        lambda well: well.running,
        "side force, bending and drag on the way down by depth, best to worst roll",
    ),
    "bent_twin": WellDrawing(
        bent_twin,
        lambda well: well.running,
        "both strings bent in the worst place of the way, and where they hang",
    ),
    "setting_depth": WellDrawing(
        setting_chart,
        lambda well: well.setting,
        "where the string may be set: doglegs along it by depth, ranked",
    ),
    "hook_load": WellDrawing(
        hook_chart,
        lambda well: well.hook,
        "hook load to expect on the way down, up and hanging, with its alarm band",
    ),
    "bypass_way": WellDrawing(
        bypass_way_sheet,
        lambda well: well.tools,
        "way of a tool through the bypass, with the longest stiff tool by diameter",
    ),
}
