"""The string in its well, as the pack prints it: setting depth, way down, hook load, tools."""

from __future__ import annotations

from dataclasses import dataclass, field

from abreast.documents.well_pages_hook import hook_page
from abreast.documents.well_pages_passing import passing_page
from abreast.documents.well_pages_setting import setting_page
from abreast.documents.well_pages_tools import tools_page
from abreast.documents.workpack_words import Data
from abreast.mechanics.down_hole import DownHole
from abreast.model import Assembly, Job

__all__ = ["WellPart", "well_part"]


@dataclass(frozen=True, slots=True)
class WellPart:
    """What the template prints, and the pictures it names: SVG text by file name."""

    data: Data
    images: dict[str, str] = field(default_factory=dict)


def well_part(job: Job, assembly: Assembly, down_hole: DownHole) -> WellPart:
    """The chapter on the string in its well as plain data.

    Parameters
    ----------
    job, assembly : Job, Assembly
        The well and the string, planned or as run.
    down_hole : DownHole
        What was worked out; a part that is missing leaves a page that says what it
        needs, and nothing else.

    Returns
    -------
    WellPart
        Texts in the units of the job; the drawings of the well have sheets of their own.
    """
    data = {
        "datum": job.depth_datum,
        "setting": setting_page(job, down_hole.setting),
        "passing": passing_page(job, assembly, down_hole.running, down_hole.hook),
        "hook": hook_page(job, down_hole.hook),
        "tools": tools_page(job, assembly, down_hole.tools),
    }
    return WellPart(data)
