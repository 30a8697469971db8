"""How sharply the hole bends over any length of it, by its survey."""

from __future__ import annotations

from itertools import pairwise

from abreast.formulas.survey import minimum_curvature
from abreast.mechanics.run_string import survey_stations
from abreast.model import Job
from abreast.units import Dimension, show

__all__ = ["HoleBends"]

_SAME_M = 1e-4


class HoleBends:
    """The doglegs of a survey, worked out once.

    Parameters
    ----------
    job : Job
        Survey, its datum and its allowance for tortuosity.

    Raises
    ------
    MissingInputError
        As :func:`abreast.mechanics.run_string.survey_stations`.
    """

    def __init__(self, job: Job) -> None:
        stations = survey_stations(job)
        head = job.survey_head
        self._job, self._first_md_m = job, stations[0].md_m
        self._allowance = head.tortuosity_rad_m.known or 0.0 if head else 0.0
        self._intervals = [
            (minimum_curvature(upper, lower).dogleg_rad_m, upper.md_m, lower.md_m)
            for upper, lower in pairwise(stations)
        ]

    def sharpest_rad_m(self, top_md_m: float, bottom_md_m: float) -> float:
        """Sharpest dogleg of every interval that a length overlaps, allowance added [rad/m].

        A length above the survey has what its first interval has; see :meth:`needs`.
        """
        found = [
            bend
            for bend, upper_m, lower_m in self._intervals
            if upper_m < bottom_md_m - _SAME_M and lower_m > top_md_m + _SAME_M
        ]
        return max(found or [self._intervals[0][0]]) + self._allowance

    def needs(self, top_md_m: float) -> tuple[str, ...]:
        """What the survey lacks above: nothing is assumed there."""
        if self._first_md_m <= top_md_m + _SAME_M:
            return ()
        top, first = (
            show(one, Dimension.LENGTH, self._job.units, digits=1)
            for one in (top_md_m, self._first_md_m)
        )
        return (f"a survey that begins at {top} or above; it begins at {first}",)
