"""What is in a work pack: the same plan gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping

from abreast import __version__
from abreast.actions.drawing_files import drawing_about, drawing_files
from abreast.actions.pack import INDEX, index_text
from abreast.actions.procedure_pages import procedure_pages
from abreast.actions.report import finding_counts
from abreast.actions.running import procedure_files
from abreast.documents import (
    PackDrawing,
    alternatives_text,
    corrections_table,
    csv_of,
    findings_table,
    tally,
    tally_csv,
    tally_text,
    tally_workbook,
    well_part,
    workpack,
)
from abreast.drawing import Paper
from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.down_hole import DownHole
from abreast.model import Assembly, Job, Plan

__all__ = ["make_pack", "pack_files"]

_PRINTED = "workpack.pdf"
_ABOUT = {
    _PRINTED: "the work pack to print and to sign, A4, all of it in one",
    "plan.json": "the whole plan as data, SI units",
    "tally.txt": "tally in running order, to print",
    "tally.csv": "tally with every figure",
    "tally.xlsx": "the same as a workbook",
    "procedure.json": "the running procedure as data; abreast prove judges it, also when edited",
    "pull_procedure.json": "the pulling procedure as data, proved like the other",
    "fallbacks.txt": "what to run if a piece is rejected; what is in the way if nothing closes",
    "findings.csv": "answers of all checks, tightest first",
    "findings.json": "the same as data, SI units",
    "corrections.csv": "cells of the job that were corrected or accepted, by whom and why",
    INDEX: "this list",
}
_STATUS = {
    "optimal": "found and proved",
    "stopped": "stopped before the proof",
    "infeasible": "NO SPACE-OUT: nothing closes",
    "blocked": "NOT PLANNED: open suspicions",
}
Made = tuple[str, bytes | str]


def pack_files(
    job: Job, plan: Plan, dropped: Mapping[str, str], well: DownHole | None = None
) -> dict[str, bytes]:
    """Name and content of every file of the pack, the index last; see :func:`make_pack`."""
    return make_pack(job, plan, dropped, well=well)[0]


def make_pack(
    job: Job,
    plan: Plan,
    dropped: Mapping[str, str],
    paper: Paper = "A4",
    well: DownHole | None = None,
) -> tuple[dict[str, bytes], dict[str, str]]:
    """Every file of the pack, the index last; and why each file that is left out is.

    ``paper`` is that of the drawings. What cannot be made for want of a package
    or of paper is left out, and the index says so.
    """
    files = {"plan.json": _json(plan.model_dump(mode="json", exclude={"elapsed_s"}))}
    left_out: dict[str, str] = {}
    if plan.assembly is not None:
        _sort(_of_string(job, plan, plan.assembly, paper, well), files, left_out)
    files["fallbacks.txt"] = alternatives_text(job, plan, dropped).encode()
    files["findings.csv"] = csv_of(findings_table(plan.findings, job.units)).encode()
    files["findings.json"] = _json([one.model_dump(mode="json") for one in plan.findings])
    files["corrections.csv"] = csv_of(corrections_table(job.corrections, job.units)).encode()
    first: dict[str, bytes] = {}
    missed: dict[str, str] = {}
    _sort([(_PRINTED, _printed(job, plan, dropped, files, well))], first, missed)
    files, left_out = first | files, missed | left_out
    return files | {INDEX: _index(job, plan, files, left_out).encode()}, left_out


def _sort(made: Iterable[Made], files: dict[str, bytes], left_out: dict[str, str]) -> None:
    for name, content in made:
        if isinstance(content, bytes):
            files[name] = content
        else:
            left_out[name] = content


def _printed(
    job: Job,
    plan: Plan,
    dropped: Mapping[str, str],
    files: Mapping[str, bytes],
    well: DownHole | None,
) -> bytes | str:
    """The work pack, with every drawing among the files; a text tells why there is none."""
    about = drawing_about(files)
    drawings = [
        PackDrawing(f"{about[name][:1].upper()}{about[name][1:]}", content.decode(), name)
        for name, content in files.items()
        if name.endswith(".svg") and name in about
    ]
    try:
        chapter = None
        if plan.assembly is not None and well is not None:
            chapter = well_part(job, plan.assembly, well)
        return workpack(job, plan, dropped, drawings, procedure_pages(job, plan), chapter)
    except MissingInputError as fault:
        return f"needs {fault.needs}"
    except AbreastError as fault:
        return fault.message


def _json(data: object) -> bytes:
    return (json.dumps(data, indent=1, ensure_ascii=False) + "\n").encode()


def _of_string(
    job: Job, plan: Plan, assembly: Assembly, paper: Paper, well: DownHole | None
) -> Iterator[Made]:
    """Tally and drawings; a text in place of bytes tells why a file is left out."""
    made = tally(job, assembly, plan.choice)
    yield "tally.txt", tally_text(made).encode()
    yield "tally.csv", tally_csv(made).encode()
    try:
        yield "tally.xlsx", tally_workbook(made)
    except MissingInputError as fault:
        yield "tally.xlsx", f"needs {fault.needs}"
    yield from procedure_files(job, assembly).items()
    yield from drawing_files(job, assembly, paper, well)


def _index(job: Job, plan: Plan, files: dict[str, bytes], left_out: dict[str, str]) -> str:
    draft = "DRAFT: not approved, not for use on the rig" if job.revision.is_draft else "approved"
    counts = finding_counts(plan.findings)
    head = {
        "job": job.name,
        "well": job.well,
        "revision": f"{job.revision.number}, {draft}",
        "fingerprint": plan.fingerprint,
        "space-out": _STATUS[plan.status],
        "findings": ", ".join(f"{number} {name}" for name, number in counts.items()),
        "made by": f"abreast {__version__}",
    }
    head |= {f"no {name}": why for name, why in left_out.items()}
    return index_text(
        {k: " ".join(v.split()) for k, v in head.items()}, files, _ABOUT | drawing_about(files)
    )
