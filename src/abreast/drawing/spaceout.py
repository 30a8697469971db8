"""The space-out drawing: both strings beside one ruler, to scale along the well."""

from __future__ import annotations

from abreast.drawing.body import clamp_bars, strings
from abreast.drawing.columns import label_columns
from abreast.drawing.frame import frame
from abreast.drawing.marks import face_dimension, landings
from abreast.drawing.ruler import ruler
from abreast.drawing.scene import Scene
from abreast.drawing.sheet import Paper
from abreast.drawing.view import view_of
from abreast.model import Assembly, Job

__all__ = ["spaceout_drawing"]


def spaceout_drawing(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> Scene:
    """Both strings to one scale along the well, with every number a hand on the rig needs.

    Parameters
    ----------
    job : Job
        The job; its revision and fingerprint go into the title block.
    assembly : Assembly
        The twin string, planned or run.
    paper : {"A4", "A3"}
        The sheet, upright.

    Returns
    -------
    Scene
        One ruler of heights and depths; ESP side left, bypass right, running
        numbers, connections, twin clamps, plates and working windows, the union
        with its stroke left. A long tail is drawn broken, its true length
        written. Words overlap nothing and stay on the sheet.

    Raises
    ------
    InputError
        If the paper is not known, or there are too many labels for it.
    """
    view = view_of(job, assembly, paper)
    items = (
        *ruler(view),
        *strings(view),
        *landings(view),
        *clamp_bars(view),
        *face_dimension(view),
        *label_columns(view),
        *frame(view),
    )
    return Scene(view.sheet.width_mm, view.sheet.height_mm, _title(job), items)


def _title(job: Job) -> str:
    draft = ", DRAFT" if job.revision.is_draft else ""
    return f"Space-out of {job.name}, revision {job.revision.number}{draft}"
