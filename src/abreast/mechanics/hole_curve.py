"""Curvature of the hole along a length: the sharpest survey interval, and what it may hide."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from abreast.errors import MissingInputError
from abreast.formulas.survey import minimum_curvature
from abreast.jobfile.survey_gaps import gaps_needed
from abreast.mechanics.needs import needs_of
from abreast.mechanics.run_string import survey_gaps, survey_needs, survey_stations
from abreast.model import Job, Quantity
from abreast.units import Dimension, show

__all__ = ["Curve", "hole_curve"]

_SAME_M = 1e-4
_SHARPEST_RAD_M = 0.1
"""170 degrees in 30 m: no well bends so."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Curvature that is taken all along a length, and where it comes from.

    Parameters
    ----------
    rad_m : float
        It [rad/m].
    source : str
        What it is.
    at_md_m : tuple of float
        The sharpest interval of the hole [m].
    needs : tuple of str
        What it does not hold yet.
    """

    rad_m: float
    source: str
    at_md_m: tuple[float, float]
    needs: tuple[str, ...] = ()


def hole_curve(job: Job, top_md_m: float, bottom_md_m: float) -> Curve:
    """Sharpest dogleg of every survey interval that a length overlaps, allowance added.

    Parameters
    ----------
    job : Job
        Survey, its datum and its allowance for tortuosity.
    top_md_m, bottom_md_m : float
        Ends of the length, from the datum of the job [m].

    Raises
    ------
    MissingInputError
        If there is no survey, it ends above the lower end, or no well can bend so.
    """
    stations = survey_stations(job)
    if stations[-1].md_m < bottom_md_m - _SAME_M:
        raise MissingInputError(needs=survey_needs(job, bottom_md_m, stations[-1].md_m))
    bend, *at_md_m = max(
        (minimum_curvature(upper, lower).dogleg_rad_m, upper.md_m, lower.md_m)
        for upper, lower in pairwise(stations)
        if upper.md_m < bottom_md_m - _SAME_M and lower.md_m > top_md_m + _SAME_M
    )
    where = at_md_m[0], at_md_m[1]
    source = "sharpest dogleg of the survey's intervals along the way"
    allowance = job.survey_head.tortuosity_rad_m if job.survey_head else Quantity.not_measured()
    if allowance.is_given:
        bend += allowance.si
        source += ", and the survey's allowance for tortuosity"
    if not 0 <= bend <= _SHARPEST_RAD_M:
        given = show(bend, Dimension.DOGLEG, job.units)
        needs = f"survey and tortuosity as a well can have; they give {given}"
        raise MissingInputError(needs=needs)
    unseen = gaps_needed(survey_gaps(job, top_md_m, bottom_md_m), job.units)
    if allowance.is_given or allowance.state == "not applicable":
        return Curve(bend, source, where, unseen)
    source += "; no allowance for what the survey does not see"
    return Curve(bend, source, where, (*unseen, *needs_of(allowance)))
