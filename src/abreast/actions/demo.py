"""The demonstration: an invented job copied out and planned from start to finish."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from abreast.actions.jobs import copy_example
from abreast.actions.pack import check_target
from abreast.actions.plan import PlanReport, plan
from abreast.errors import InputError, Where

__all__ = ["demo"]

Progress = Callable[[str], None]


def demo(out: Path, progress: Progress | None = None) -> PlanReport:
    """Copy the invented job to ``OUT/job`` and plan it into ``OUT/pack``.

    Parameters
    ----------
    out : Path
        Folder for both. A job that is there already is planned as it stands, so
        that a changed demo job can be planned again.
    progress : callable, optional
        Told in a few words what is being done.

    Raises
    ------
    InputError
        If the folder is no folder, or holds other things under these names.
    """
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        message = "is there already and is no folder; give a new name"
        raise InputError(message, code="target", where=Where(file=str(out)))
    job, pack = out / "job", out / "pack"
    check_target(pack)
    if not (job / "job.toml").is_file():
        copy_example(job)
    return plan(job, pack, progress=progress)
