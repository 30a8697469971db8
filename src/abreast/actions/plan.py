"""Plan a job: space out, assemble, check, draw, and write the work pack."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from abreast.actions.pack import check_target, write_pack
from abreast.actions.pack_files import make_pack
from abreast.actions.plan_text import plan_text
from abreast.actions.running import procedure_finding
from abreast.checks import run_checks, tightest_first
from abreast.drawing import Paper
from abreast.errors import InputError, MissingInputError, Where
from abreast.jobfile import ReadResult, read_job
from abreast.mechanics.down_hole import DownHole, down_hole
from abreast.mechanics.running_in import STEP_M
from abreast.model import Assembly, Finding, Job, Plan, fingerprint
from abreast.spaceout.assemble import assemble
from abreast.spaceout.choose import SpaceOut, choose
from abreast.units import Dimension, parse

__all__ = ["PlanReport", "distance_m", "plan"]

Progress = Callable[[str], None]
# Looked at so seldom, the work is done before other processes have started.
_FEW_M = 100.0


@dataclass(frozen=True)
class PlanReport:
    """A plan with what was written; it knows its words, its data and its exit status."""

    job: Job
    plan: Plan
    dropped: dict[str, str]
    out: Path
    files: tuple[str, ...]
    left_out: dict[str, str]
    well: DownHole | None = None

    @property
    def exit_status(self) -> int:
        """0 found, proved, and no limit exceeded; else 1."""
        exceeds = any(finding.status == "exceeds" for finding in self.plan.findings)
        return int(self.plan.status != "optimal" or exceeds)

    @property
    def not_checked(self) -> int:
        """How many questions could not be answered for want of input."""
        return sum(finding.status == "not checked" for finding in self.plan.findings)

    def text(self) -> str:
        """A summary that fits one screen."""
        pack = str(self.out), self.files, self.left_out
        return plan_text(self.job, self.plan, self.dropped, *pack, self.well)

    def as_dict(self) -> dict[str, object]:
        """The plan as plain data, and the files of the pack."""
        pack = {
            "folder": str(self.out),
            "files": list(self.files),
            "left_out": dict(self.left_out),
        }
        return {
            **self.plan.model_dump(mode="json"),
            "dropped": dict(self.dropped),
            "is_draft": self.job.revision.is_draft,
            "not_checked": self.not_checked,
            "pack": pack,
            "exit_status": self.exit_status,
        }


def plan(
    job_path: Path,
    out_dir: Path,
    *,
    limit_s: float | None = None,
    paper: Paper = "A4",
    every_m: float | None = None,
    progress: Progress | None = None,
) -> PlanReport:
    """Space out a job, check it, and write the pack.

    What the job says is in the well already stays there; to re-space after a
    piece was rejected, the same action is run on the changed job.

    Parameters
    ----------
    job_path : Path
        Job folder or workbook.
    out_dir : Path
        Folder for the pack: new, empty, or an unchanged pack, which is replaced.
    limit_s : float, optional
        Time for the search.
    paper : "A4" or "A3"
        Paper of the drawings; the rest of the pack is A4.
    every_m : float, optional
        Distance of the depths at which the string is looked at on its way down [m].
    progress : callable, optional
        Told in a few words what is being done.

    Raises
    ------
    InputError
        If the job can't be used, lacks a length that the space-out needs, or the
        folder may not be written to.
    """
    tell = progress or (lambda _: None)
    check_target(out_dir, job_path)
    tell("reading the job")
    read = read_job(job_path)
    job, made, dropped, well = _planned(read, limit_s, every_m or STEP_M, tell)
    tell("writing the pack")
    files, left_out = make_pack(job, made, dropped, paper, well)
    write_pack(out_dir, files)
    return PlanReport(job, made, dropped, out_dir, tuple(files), left_out, well)


def distance_m(text: str) -> float:
    """A distance above zero, typed with its unit [m].

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        length_m = parse(text, Dimension.LENGTH).si
    except InputError:
        length_m = 0.0
    if length_m <= 0:
        message = f"{text!r} is not a length; give one above 0 with its unit, for example '20 m'"
        raise InputError(message, code="out-of-range", where=Where(field="--every"))
    return length_m


def _planned(
    read: ReadResult, limit_s: float | None, every_m: float, tell: Progress
) -> tuple[Job, Plan, dict[str, str], DownHole | None]:
    if read.job is not None and read.is_blocked:
        return read.job, _blocked(read, read.job), {}, None
    job = read.require_job()
    try:
        found = choose(job, limit_s=limit_s, progress=tell)
        made, well = _plan_of(job, found, every_m, tell)
        return job, made, found.dropped, well
    except MissingInputError as fault:
        message = f"no space-out without {fault.needs}; fill it in"
        raise InputError(message, code=fault.code, where=fault.where) from None


def _blocked(read: ReadResult, job: Job) -> Plan:
    """The plan of a job that may not be used as a whole: nothing but the reasons."""
    whole = [one for one in read.suspicions if not one.where.piece]
    return Plan(
        job_name=job.name,
        fingerprint=fingerprint(job),
        status="blocked",
        proof="Not planned: a cell that concerns the whole job looks wrong.",
        blocking=tuple(f"{one.where}: {one.message}" for one in whole),
        cures=tuple(one.proposal or "correct or accept it in corrections.csv" for one in whole),
    )


def _plan_of(
    job: Job, found: SpaceOut, every_m: float, tell: Progress
) -> tuple[Plan, DownHole | None]:
    choice = found.choice
    assembly = None if choice is None else assemble(job, choice)
    findings: tuple[Finding, ...] = ()
    well = None
    if assembly is not None and choice is not None:
        well = _down_hole(job, assembly, every_m, tell)
        tell("checking")
        findings = (*run_checks(job, assembly, choice, well), procedure_finding(job, assembly))
    made = Plan(
        job_name=job.name,
        fingerprint=fingerprint(job),
        status=found.status,
        proved=found.proved,
        proof=found.proof,
        choice=choice,
        runners_up=found.runners_up,
        fall_backs=found.fall_backs,
        irreplaceable=found.irreplaceable,
        blocking=found.blocking,
        cures=found.cures,
        assembly=assembly,
        findings=tightest_first(findings),
        elapsed_s=found.elapsed_s,
    )
    return made, well


def _down_hole(job: Job, assembly: Assembly, every_m: float, tell: Progress) -> DownHole:
    """The string in its well, on all cores but where it is looked at in a few places only."""
    cores = len(os.sched_getaffinity(0)) if every_m <= _FEW_M else 1
    return down_hole(
        job,
        assembly,
        step_m=every_m,
        workers=cores,
        progress=lambda what, done, total: tell(f"in the well: {what}, {done} of {total} places"),
    )
