"""The running procedure of a plan for its work pack, or why there is none."""

from __future__ import annotations

from abreast.actions.running import running_procedure
from abreast.documents.procedure_part import ProcedurePart, no_procedure, procedure_part
from abreast.errors import AbreastError, MissingInputError
from abreast.model import Assembly, Job, Plan
from abreast.model.procedure import Procedure
from abreast.procedure.prove import ProvedStep, prove

__all__ = ["procedure_pages"]


def procedure_pages(job: Job, plan: Plan) -> ProcedurePart | None:
    """Make, dress and prove the running procedure; None for a plan without a string.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        Its plan; findings on the union go to the union card.

    Returns
    -------
    ProcedurePart or None
        A job that lacks something gets a part that names it; this never fails
        for want of input.
    """
    if plan.assembly is None:
        return None
    try:
        return _pages(job, plan, plan.assembly)
    except MissingInputError as fault:
        return no_procedure(f"needs {fault.needs}")
    except AbreastError as fault:
        return no_procedure(fault.message)


def _pages(job: Job, plan: Plan, assembly: Assembly) -> ProcedurePart:
    from abreast.procedure.mutants import mutants

    procedure = running_procedure(job, assembly)
    proof = prove(procedure)
    return procedure_part(
        procedure,
        proof,
        job,
        assembly,
        findings=plan.findings,
        picture=_Pictures(job, procedure),
        mutants=mutants(procedure) if proof.fault is None else None,
    )


class _Pictures:
    """Draws steps of one procedure, with the elements of the BOP below the floor."""

    def __init__(self, job: Job, procedure: Procedure) -> None:
        depths = [(one.id, one.below_floor_m.known, one.kind) for one in job.bop]
        self._elements = [(own, depth, kind) for own, depth, kind in depths if depth is not None]
        self._procedure = procedure

    def __call__(self, one: ProvedStep) -> str:
        from abreast.drawing.floor import floor_svg
        from abreast.procedure.words_short import short

        title = short(self._procedure, one.step.action)
        return floor_svg(
            self._procedure,
            one.before,
            one.after,
            one.numbers,
            title,
            elements=self._elements,
        )
