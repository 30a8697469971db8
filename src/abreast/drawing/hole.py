"""The hole as the job's tables give it, every depth from the job's own datum."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import radians

from abreast.errors import InputError, MissingInputError
from abreast.model import Job, Quantity, convert_depth_m

__all__ = ["Hole", "Mark", "Tube", "hole_of", "inclination_rad", "next_restriction"]

_KICK_OFF_RAD = radians(3.0)
"""Inclination by which a hole counts as kicked off (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Tube:
    """A length of hole [m]: a casing or liner, a narrow place, or perforations.

    ``bore_m`` is None when it is not stated; ``note`` says what else must be known.
    """

    name: str
    top_m: float
    bottom_m: float
    bore_m: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """Something told of one depth [m]."""

    md_m: float
    words: str


@dataclass(frozen=True, slots=True)
class Hole:
    """Casings outermost first, narrow places, perforations, and what was left out and why."""

    casings: tuple[Tube, ...]
    openings: tuple[Tube, ...]
    perforations: tuple[Tube, ...]
    missing: tuple[str, ...]

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """All of them."""
        return self.casings + self.openings + self.perforations


class _Reader:
    """Reads depths; what is missing is noted and left out."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.missing: list[str] = []

    def depth_m(self, md: Quantity, datum: str) -> float | None:
        try:
            return convert_depth_m(self.job, md.si, datum or self.job.depth_datum)
        except MissingInputError as fault:
            self.missing.append(fault.needs)
        except InputError as fault:
            self.missing.append(fault.message)
        return None

    def tube(
        self, name: str, ends: tuple[Quantity, Quantity], datum: str, bore_m: float | None = None
    ) -> Iterator[Tube]:
        top_m, bottom_m = (self.depth_m(end, datum) for end in ends)
        if top_m is not None and bottom_m is not None:
            yield Tube(name, min(top_m, bottom_m), max(top_m, bottom_m), bore_m)


def hole_of(job: Job) -> Hole:
    """The hole; what has no depth is left out and named."""
    read = _Reader(job)
    casings = [
        tube
        for one in job.casing
        for tube in read.tube(one.name, (one.top_md_m, one.shoe_md_m), one.datum, one.bore_m.known)
    ]
    perforations = [
        tube
        for one in job.perforations
        for tube in read.tube(one.name, (one.top_md_m, one.bottom_md_m), one.datum)
    ]
    return Hole(
        tuple(sorted(casings, key=lambda tube: -(tube.bore_m or 0.0))),
        tuple(_openings(job, read)),
        tuple(perforations),
        tuple(dict.fromkeys(read.missing)),
    )


def _openings(job: Job, read: _Reader) -> Iterator[Tube]:
    for one in job.openings:
        top_m = read.depth_m(one.md_m, one.datum)
        if top_m is not None:
            note = "" if one.in_place else "pulled before the run"
            bottom_m = top_m + one.length_m.or_else(0.0)
            yield Tube(one.name, top_m, bottom_m, one.bore_m.known, note)


def next_restriction(hole: Hole, below_m: float) -> Tube | None:
    """The first narrow place or top of a casing below a depth; None: the tables have none."""
    found = [one for one in hole.casings if one.top_m > below_m]
    found += [one for one in hole.openings if one.top_m > below_m and not one.note]
    return min(found, key=lambda one: one.top_m, default=None)


def _stations(job: Job) -> list[tuple[float, float]]:
    """Depth and inclination of each station, from the job's datum."""
    datum = job.survey_head.datum if job.survey_head is not None else ""
    read = _Reader(job)
    found = []
    for one in job.survey:
        md_m, inclination = read.depth_m(one.md_m, datum), one.inclination_rad.known
        if md_m is not None and inclination is not None:
            found.append((md_m, inclination))
    return sorted(found)


def inclination_rad(job: Job, md_m: float) -> float | None:
    """Inclination at a depth, straight between stations; None: beyond the survey."""
    for (low_m, low), (high_m, high) in pairwise(_stations(job)):
        if low_m <= md_m <= high_m and high_m > low_m:
            return low + (high - low) * (md_m - low_m) / (high_m - low_m)
    return None


def survey_marks(job: Job) -> Iterator[Mark]:
    """Where the hole kicks off, and where it is most inclined."""
    stations = _stations(job)
    for (low_m, low), (high_m, high) in pairwise(stations):
        if low < _KICK_OFF_RAD <= high:
            md_m = low_m + (high_m - low_m) * (_KICK_OFF_RAD - low) / (high - low)
            yield Mark(md_m, "kick-off, inclination passes")
            break
    if stations:
        yield Mark(max(stations, key=lambda one: one[1])[0], "greatest inclination")
