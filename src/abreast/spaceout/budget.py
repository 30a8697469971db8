"""How well the closure is known: the measuring errors of a job, and the reserve they ask for."""

from __future__ import annotations

from collections.abc import Sequence

from abreast.formulas.measuring import ClosureError, ErrorTerm, closure_error
from abreast.model import Job, esp_string

__all__ = [
    "closure_budget",
    "measured_bypass_lengths",
    "measured_esp_lengths",
    "reserve_m",
]


def measured_esp_lengths(job: Job) -> int:
    """Number of ESP lengths taken by tape: pieces joined in the workshop are measured as one."""
    return sum(not piece.workshop_joint_above for piece in esp_string(job))


def measured_bypass_lengths(job: Job, items: Sequence[str]) -> int:
    """Number of bypass lengths taken by tape: a lift made up and measured beforehand is one."""
    count, row = len(items), tuple(items)
    for lift in job.lifts:
        size = len(lift.pieces)
        starts = range(len(row) - size + 1)
        if lift.overall_m.is_given and any(row[i : i + size] == lift.pieces for i in starts):
            count -= size - 1
    return count


def closure_budget(job: Job, items: int) -> ClosureError:
    """Error of the union length that closes the frame.

    Parameters
    ----------
    job : Job
        Its rules hold the spreads.
    items : int
        Number of measured bypass pieces, 0 or more.

    Returns
    -------
    ClosureError
        In quadrature, and all errors the same way [m].

    Raises
    ------
    MissingInputError
        If a spread is missing.

    Notes
    -----
    One spread for each measured ESP length, one for each bypass piece, and one
    common to all. What the spreads are is a rule of the job.
    """
    rules = job.rules
    counts = (
        (rules.spread_esp_flange_m.si, measured_esp_lengths(job)),
        (rules.spread_joint_m.si, items),
        (rules.spread_common_m.si, 1),
    )
    return closure_error([ErrorTerm(spread, count) for spread, count in counts if count])


def reserve_m(job: Job, items: int) -> float:
    """Stroke kept free at each end of the usable stroke for the measuring error [m]."""
    return job.rules.reserve_factor_ratio.si * closure_budget(job, items).quadrature_m
