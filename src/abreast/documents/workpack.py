"""The printed work pack: one PDF with all that the office signs and the rig floor needs."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from abreast.documents.procedure_part import ProcedurePart
from abreast.documents.tally import tally
from abreast.documents.verdict import verdict_box
from abreast.documents.well_part import WellPart
from abreast.documents.workpack_answers import corrections, fall_backs, findings
from abreast.documents.workpack_cautions import CAUTIONS
from abreast.documents.workpack_front import cover, summary
from abreast.documents.workpack_glyphs import shown_single
from abreast.documents.workpack_origins import doubtful, rules
from abreast.documents.workpack_run import rack_sheet, running_list, tally_sheet
from abreast.documents.workpack_typst import qr_svg, typeset
from abreast.documents.workpack_words import Data
from abreast.model import Job, Plan

__all__ = ["PackDrawing", "workpack", "workpack_data"]

_UNDATED = date(2000, 1, 1)
_QR = "fingerprint.svg"
_SIZE = re.compile(r'<svg[^>]*?\bwidth="([\d.]+)mm"[^>]*?\bheight="([\d.]+)mm"')
_A4_MM = (210.0, 297.0)


@dataclass(frozen=True, slots=True)
class PackDrawing:
    """A drawing for the pack: its title, its SVG text, and the file that holds it full size."""

    title: str
    svg: str
    file: str = ""

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height as its own first line says; A4 when it says none."""
        found = _SIZE.search(self.svg[:1000])
        return (float(found[1]), float(found[2])) if found else _A4_MM


def workpack(
    job: Job,
    plan: Plan,
    dropped: Mapping[str, str],
    drawings: Sequence[PackDrawing] = (),
    procedure: ProcedurePart | None = None,
    well: WellPart | None = None,
) -> bytes:
    """The work pack of a plan as PDF/A-2b, A4; the same plan gives the same bytes.

    Parameters
    ----------
    job : Job
        The job; a pack that is not approved says DRAFT on every page.
    plan : Plan
        Its plan, also one without a space-out: the pack then says why.
    dropped : mapping
        Why each rack piece that was no candidate was none, by id.
    drawings : sequence of PackDrawing, optional
        Each gets a page of its own; one on larger paper keeps its paper.
    procedure : ProcedurePart, optional
        The running procedure with its cards and sheets.
    well : WellPart, optional
        The string in its well: setting depth, way down, hook load, tools.

    Raises
    ------
    MissingInputError
        If a package that is needed for it is not installed.
    AbreastError
        If it could not be set without a warning.
    """
    data = workpack_data(job, plan, dropped, drawings, procedure, well)
    images = {_QR: qr_svg(plan.fingerprint)}
    for page, drawing in zip(data["drawings"], drawings, strict=True):
        images[page["image"]] = shown_single(drawing.svg)
    for part in (procedure, well):
        if part is not None:
            images |= {name: shown_single(text) for name, text in part.images.items()}
    return typeset(data, images)


def workpack_data(
    job: Job,
    plan: Plan,
    dropped: Mapping[str, str],
    drawings: Sequence[PackDrawing] = (),
    procedure: ProcedurePart | None = None,
    well: WellPart | None = None,
) -> Data:
    """All that the template prints, as plain data: texts in the job's units, lists and flags."""
    made = None if plan.assembly is None else tally(job, plan.assembly, plan.choice)
    return {
        "cover": cover(job, plan),
        "day": _day(job),
        "qr": _QR,
        "cautions": [{"title": title, "points": list(points)} for title, points in CAUTIONS],
        "summary": summary(job, plan, dropped),
        "run": running_list(made, plan.assembly) if made and plan.assembly else None,
        "procedure": procedure.data if procedure else None,
        "well": well.data if well else None,
        "verdict": verdict_box(plan, job.units, _narrow(well)),
        "drawings": [_drawing(one, n) for n, one in enumerate(drawings, 1)],
        "tally": tally_sheet(made) if made else None,
        "rack": rack_sheet(job, made),
        "fall_backs": fall_backs(job, plan),
        "findings": findings(job, plan),
        "rules": rules(job),
        "doubtful": doubtful(job),
        "corrections": corrections(job),
    }


def _narrow(well: WellPart | None) -> str:
    """The trials of narrower casing in a sentence; blank where there are none."""
    return "" if well is None else str(well.data["passing"].get("narrow_in_short", ""))


def _day(job: Job) -> dict[str, int]:
    """The date of the document: that of the last signature, else of the last correction."""
    revision = job.revision
    signed = [one.day for one in (revision.prepared, revision.checked, revision.approved) if one]
    days = signed or [one.when for one in job.corrections]
    day = max(days, default=_UNDATED)
    return {"year": day.year, "month": day.month, "day": day.day}


def _drawing(drawing: PackDrawing, number: int) -> Data:
    width_mm, height_mm = drawing.size_mm
    return {
        "title": drawing.title,
        "image": f"drawing-{number}.svg",
        "file": drawing.file,
        "width": width_mm,
        "height": height_mm,
    }
