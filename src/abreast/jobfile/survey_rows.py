"""The stations of a job's survey that can be computed with, and how finely they are written."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from abreast.formulas.survey import Station
from abreast.jobfile.suspicion import number_typed
from abreast.model import Job, Quantity, SurveyStation

__all__ = [
    "FARTHEST_M",
    "StationRow",
    "angles_scaled",
    "courses",
    "half_digit",
    "station_rows",
    "unit_typed",
]

# No hole is deeper; beyond it sums may overflow.
FARTHEST_M = 1e5
_SHORTEST_M = 1e-3


@dataclass(frozen=True, slots=True)
class StationRow:
    """A row of the survey, its entry, and its station as the formulas take it."""

    index: int
    row: SurveyStation
    station: Station


def station_rows(job: Job) -> list[StationRow]:
    """Rows with depth and angles that make a station; a vertical one needs no azimuth."""
    found = []
    for index, row in enumerate(job.survey):
        depth, inclination = row.md_m.known, row.inclination_rad.known
        azimuth = 0.0 if inclination == 0 else row.azimuth_rad.known
        if depth is None or inclination is None or azimuth is None:
            continue
        if 0 <= inclination <= math.pi and abs(depth) <= FARTHEST_M:
            found.append(StationRow(index, row, Station(depth, inclination, azimuth)))
    return found


def courses(rows: Sequence[StationRow]) -> Iterator[tuple[StationRow, StationRow]]:
    """Neighbours in the file, the lower one deeper: what a figure of the lower row spans."""
    for upper, lower in pairwise(rows):
        next_row = lower.index == upper.index + 1
        if next_row and lower.station.md_m - upper.station.md_m > _SHORTEST_M:
            yield upper, lower


def angles_scaled(rows: Sequence[StationRow], factor: float) -> list[StationRow]:
    """The rows with both angles multiplied, those left out that make no station then."""
    return [
        StationRow(
            one.index,
            one.row,
            Station(
                one.station.md_m,
                one.station.inclination_rad * factor,
                one.station.azimuth_rad * factor,
            ),
        )
        for one in rows
        if one.station.inclination_rad * factor <= math.pi
    ]


def half_digit(values: Iterable[Quantity]) -> float:
    """Half of the last digit of a column in SI, by its most finely written value."""
    found = []
    for value in values:
        number = number_typed(value) if value.is_given else ""
        if number and float(number):
            # a workbook drops zeros at the end; the answer must not hang on them
            digits = len(number.partition(".")[2].rstrip("0"))
            found.append(abs(value.si / float(number)) * 0.5 * 10.0**-digits)
    return min(found, default=0.0)


def unit_typed(values: Iterable[Quantity]) -> str:
    """The one unit that a column was written in; blank when there are several or none."""
    units = {value.typed.partition(" ")[2] for value in values if value.is_given}
    return units.pop() if len(units) == 1 else ""
