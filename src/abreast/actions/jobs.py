"""What a user does with a job on file: start one, check it, turn it into a workbook and back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from abreast.actions.report import clip, columns, counted, wrap
from abreast.errors import InputError, Where
from abreast.jobfile import ReadResult, job_schema, read_job, starter, write_folder, write_workbook
from abreast.jobfile.atomic import write_files
from abreast.model import Job, fingerprint
from abreast.model.job import Arrangement

__all__ = ["EXAMPLE", "CheckReport", "check", "convert", "copy_example", "init", "schema"]

EXAMPLE = "quernstone_14/corrected"
TOP_HUNG_EXAMPLE = "skerrow_a09/corrected"
_EXCEEDS, _UNUSABLE = 1, 2


def init(
    target: Path, *, blank: bool = False, top_hung: bool = False, oilfield: bool = False
) -> None:
    """Write a job folder to start from.

    Parameters
    ----------
    target : Path
        Folder to make; new or empty.
    blank : bool
        Every field named, explained and left open, in place of an invented
        example.
    top_hung : bool
        A top-hung job in place of a bottom-supported one.
    oilfield : bool
        Headings of a blank job in feet, inches and pounds; an example has its own.

    Raises
    ------
    InputError
        If the folder holds anything, or can't be written.
    """
    _must_be_new(target)
    if blank:
        arrangement: Arrangement = "top-hung" if top_hung else "bottom-supported"
        starter(target, arrangement=arrangement, units="oilfield" if oilfield else "SI")
    else:
        copy_example(target, TOP_HUNG_EXAMPLE if top_hung else EXAMPLE)


def copy_example(target: Path, example: str = EXAMPLE) -> None:
    """Copy an invented job, as corrected, to a folder that is new or empty."""
    from abreast.examples import example_path

    _must_be_new(target)
    found = [p for p in example_path(example).iterdir() if p.suffix in (".toml", ".csv", ".md")]
    found.sort(key=lambda path: (path.suffix == ".toml", path.name))  # job.toml last
    write_files(target, {path.name: path.read_bytes() for path in found})


def _must_be_new(target: Path) -> None:
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        message = "is there already and is no folder; give a new name"
        raise InputError(message, code="target", where=Where(file=str(target)))
    if target.is_dir() and any(target.iterdir()):
        message = "holds files already; give a new or empty folder"
        raise InputError(message, code="target", where=Where(file=str(target)))


def check(job_path: Path) -> CheckReport:
    """Read a job and tell everything that is wrong, suspected or missing, at once."""
    return CheckReport(str(job_path), read_job(job_path))


def convert(source: Path, target: Path) -> None:
    """Write a job folder as a workbook, or a workbook as a job folder.

    Open suspicions do not stand in the way: they are still there when the
    result is read.

    Raises
    ------
    InputError
        If the source is no job, or the target is there already.
    """
    result = read_job(source)
    if result.job is None:
        result.require_job()
        return
    is_workbook = target.suffix.lower() == ".xlsx"
    if is_workbook and (target.exists() or target.is_symlink()):
        message = "is there already; give a new name, or take it away first"
        raise InputError(message, code="target", where=Where(file=str(target)))
    if is_workbook:
        write_workbook(result.job, target)
    else:
        _must_be_new(target)
        write_folder(result.job, target)


def schema() -> dict[str, Any]:
    """The JSON Schema of a job."""
    return job_schema()


@dataclass(frozen=True)
class CheckReport:
    """What reading a job came to."""

    source: str
    result: ReadResult

    @property
    def exit_status(self) -> int:
        """0 usable; 1 usable, but something is barred by a suspicion; 2 not usable."""
        if self.result.job is None:
            return _UNUSABLE
        return _EXCEEDS if self.result.suspicions else 0

    @property
    def not_checked(self) -> int:
        """How many rack pieces lack a second measurement or a drift result."""
        return 0 if self.result.job is None else sum(_open_questions(self.result.job))

    def text(self) -> str:
        """The report in words, worst first."""
        found = self.result
        lines = [clip(self.source), self._verdict()]
        for severity, title in (
            ("error", "ERRORS: no job until these are mended"),
            ("suspicion", "SUSPECTED: barred until corrected or accepted in corrections.csv"),
            ("notice", "TO BE KNOWN"),
        ):
            issues = found.of(severity)  # type: ignore[arg-type]
            if issues:
                lines += ["", f"{title} ({len(issues)}):"]
                lines += [line for one in issues for line in wrap(str(one), 20, "  ", "    ")]
        if found.echoes:
            lines += ["", f"READ AS ({len(found.echoes)}):"]
            lines += [line for one in found.echoes for line in wrap(str(one), 5, "  ", "    ")]
        if found.job is not None:
            lines += ["", *_summary(found.job)]
        return "\n".join(lines)

    def _verdict(self) -> str:
        found = self.result
        parts = [
            counted(len(found.errors), "error"),
            counted(len(found.suspicions), "suspicion"),
            counted(len(found.of("notice")), "notice"),
        ]
        return f"{self._state()}: {', '.join(parts)}"

    def _state(self) -> str:
        if self.result.job is None:
            return "cannot be used yet"
        if self.result.is_blocked:
            return "readable, but not to be planned yet"
        return "can be planned, some pieces barred" if self.exit_status else "can be planned"

    def as_dict(self) -> dict[str, object]:
        """The report as plain data."""
        job = self.result.job
        return {
            "source": self.source,
            "usable": job is not None and not self.result.is_blocked,
            "job": None if job is None else job.name,
            "fingerprint": None if job is None else fingerprint(job),
            "issues": [one.as_dict() for one in self.result.issues],
            "echoes": [
                {"where": str(one.where), "typed": one.typed, "read": one.read}
                for one in self.result.echoes
            ],
            "counts": {} if job is None else _counts(job),
            "not_checked": self.not_checked,
            "exit_status": self.exit_status,
        }


def _counts(job: Job) -> dict[str, int]:
    return {
        "ESP pieces": len(job.esp),
        "landings": len(job.landings),
        "twin clamps": len(job.clamps),
        "tail pieces": len(job.tail),
        "rack pieces": len(job.rack),
        "usable rack pieces": sum(job.usable(item) for item in job.rack),
        "holders": len(job.holders),
        "survey stations": len(job.survey),
        "corrections": sum(not one.accepts for one in job.corrections),
        "accepted cells": sum(one.accepts for one in job.corrections),
    }


def _open_questions(job: Job) -> tuple[int, int]:
    """Usable pieces without a second measurement, and pieces that were not drifted."""
    usable = [item for item in job.rack if job.usable(item)]
    once = sum(not item.overall_2_m.is_given for item in usable)
    return once, sum(item.drift == "not done" for item in job.rack)


def _summary(job: Job) -> list[str]:
    state = "DRAFT: not approved" if job.revision.is_draft else "approved"
    once, undrifted = _open_questions(job)
    lines = [
        *wrap(
            f"{job.name}, revision {job.revision.number}, {state}; {job.arrangement}, units"
            f" {job.units}; fingerprint {fingerprint(job)}",
            3,
        ),
        *columns([(f"  {name}", str(count)) for name, count in _counts(job).items()]),
    ]
    if once or undrifted:
        lines += wrap(
            f"not checked: {counted(once, 'usable rack piece')} measured once only,"
            f" {counted(undrifted, 'piece')} not drifted",
            2,
        )
    return lines
