"""Read a job from a folder or from a workbook."""

from __future__ import annotations

from pathlib import Path

from abreast.errors import InputError, Where
from abreast.jobfile.build import build_job
from abreast.jobfile.folder_in import read_folder
from abreast.jobfile.issues import Issue, ReadResult
from abreast.jobfile.raw import RawJob
from abreast.jobfile.workbook_in import read_workbook

__all__ = ["read_job"]


def read_job(path: Path | str, *, apply_corrections: bool = True) -> ReadResult:
    """The job in a folder or workbook, with everything wrong or suspect about it.

    Parameters
    ----------
    path : Path or str
        A job folder, its ``job.toml``, or a workbook (``.xlsx``).
    apply_corrections : bool
        Whether ``corrections.csv`` is applied; without it the cells are read
        as they came.

    Returns
    -------
    ReadResult
        ``job`` is None when there are errors. Never raises for bad input.
    """
    try:
        return build_job(_raw(Path(path)), apply=apply_corrections)
    except InputError as fault:
        where = fault.where if str(fault.where) else Where(Path(path).name)
        return ReadResult(None, (Issue("error", fault.code, fault.message, where),))


def _raw(path: Path) -> RawJob:
    try:
        is_folder, is_there = path.is_dir(), path.exists()
    except (OSError, ValueError):
        is_folder, is_there = False, False
    try:
        if is_folder:
            return read_folder(path)
        return _raw_file(path, is_there)
    except OSError as fault:
        message = f"cannot be read ({fault.strerror or 'system error'}); check name and rights"
        raise InputError(message, code="unreadable", where=Where(path.name)) from None


def _raw_file(path: Path, is_there: bool) -> RawJob:
    where = Where(path.name[:100])
    if not is_there:
        message = "does not exist; give a job folder or a workbook"
        raise InputError(message, code="not-found", where=where)
    if path.name == "job.toml":
        return read_folder(path.parent)
    if path.suffix.lower() in (".xlsx", ".xlsm"):
        return read_workbook(path)
    message = "is neither a job folder nor a workbook (.xlsx); give one of them"
    raise InputError(message, code="not-a-job", where=where)
