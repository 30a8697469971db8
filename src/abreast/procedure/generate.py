"""The running procedure of a job: its static part, and the steps of the declared load path."""

from __future__ import annotations

from abreast.errors import InputError
from abreast.model import Assembly, Job
from abreast.model.job import LoadPath
from abreast.model.procedure import Procedure
from abreast.procedure.floor import floor
from abreast.procedure.floor_dues import WELL_QUIET
from abreast.procedure.generate_close import close_frame, hand_over
from abreast.procedure.generate_foot import hang_bypass, run_foot
from abreast.procedure.generate_stages import run_sections
from abreast.procedure.plan_of_run import run_plan
from abreast.procedure.script import Script
from abreast.procedure.ways import way_of

__all__ = ["generate"]


def generate(job: Job, assembly: Assembly, load_path: LoadPath | None = None) -> Procedure:
    """Every step of the run, from the empty hole to the hand-over.

    Parameters
    ----------
    job : Job
        Rig, holders, torques, ratings; which way it declares.
    assembly : Assembly
        The twin string as solved.
    load_path : str, optional
        Another load path than the declared one, to compare them.

    Returns
    -------
    Procedure
        Its words are blank, and nothing about it is proved. What the job does
        not state is null in it.

    Raises
    ------
    MissingInputError
        If no procedure can be made without something the job lacks.
    InputError
        ``load-path``, for a load path that the arrangement does not allow.

    Notes
    -----
    The order of common practice for twin strings: tail, base support, lowest
    bypass, then bypass lifts and ESP sections in turn, the frame closed at last.
    """
    path = load_path or job.load_path
    if (path == "top-hung") != job.is_top_hung:
        message = f"a {job.arrangement} string can't be run {path}: choose another load path"
        raise InputError(message, code="load-path")
    static = floor(job, assembly, path)
    plan = run_plan(job, assembly, static)
    script = Script(job, static)
    way = way_of(path, script)
    script.phase = "before the run"
    script.confirm(WELL_QUIET)
    if job.is_top_hung:
        hang_bypass(script, plan)
    else:
        run_foot(script, plan, way)
    run_sections(script, plan, way)
    close_frame(script, plan, way)
    hand_over(script)
    return static.model_copy(update={"steps": tuple(script.steps)})
