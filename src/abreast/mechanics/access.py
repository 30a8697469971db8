"""What a wireline crew meets: every change of diameter down to the tail, and what is below it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal, TypeVar

from abreast.errors import AbreastError, MissingInputError
from abreast.formulas.survey import Position, position_at
from abreast.mechanics.bypass_way import BypassWay, WayPiece
from abreast.mechanics.run_string import running_hole, survey_stations
from abreast.mechanics.way_pieces import PIPE
from abreast.model import CasingString, Job, Quantity, convert_depth_m
from abreast.spaceout.assemble import YTOOL_ID

__all__ = ["Access", "Mark", "Met", "access"]

Mark = Literal["", "flapper", "plug", "profile", "no-go", "bend", "to fit"]
Found = TypeVar("Found")
_JUST_M = 0.01


@dataclass(frozen=True, slots=True)
class Met:
    """One thing that a tool meets.

    Parameters
    ----------
    what : str
        What it is, in words.
    top_md_m, bottom_md_m : float
        Its depths from the datum of the way [m].
    top_tvd_m : float or None
        True vertical depth of its top from the same datum [m]; None: not known.
    bore_m, drift_m : float or None
        Its diameters [m]; None: not stated, or it has none.
    mark : Mark
        What a tool must mind there.
    smallest : bool
        It is the smallest of the way.
    """

    what: str
    top_md_m: float
    bottom_md_m: float
    top_tvd_m: float | None
    bore_m: float | None = None
    drift_m: float | None = None
    mark: Mark = ""
    smallest: bool = False


@dataclass(frozen=True, slots=True)
class Access:
    """The way down in a crew's words.

    Parameters
    ----------
    way : tuple of Met
        Every change of diameter from the hanger to the open end.
    below : tuple of Met
        What stands below the open end.
    steepest : tuple of float or None
        Greatest inclination of a station of the way, and its depth [rad, m].
    needs : tuple of str
        What is missing, for the depths alone.
    """

    way: tuple[Met, ...]
    below: tuple[Met, ...]
    steepest: tuple[float, float] | None
    needs: tuple[str, ...]

    @property
    def valves(self) -> tuple[Met, ...]:
        """Safety valves on the way."""
        return tuple(one for one in self.way if one.mark == "flapper")


def access(job: Job, way: BypassWay) -> Access:
    """What is met from the hanger down, and below the tail.

    Parameters
    ----------
    job : Job
        Survey, casing, openings, perforations.
    way : BypassWay
        The way of the same job.
    """
    hole, needs = _asked(lambda: running_hole(job))
    depths = _Depths(hole)
    below, more = _asked(lambda: tuple(_below(job, way, depths)))
    return Access(
        tuple(_on_the_way(way, depths)),
        tuple(sorted(below, key=lambda one: one.top_md_m)),
        _steepest(hole, way),
        (*needs, *more),
    )


def _asked(work: Callable[[], tuple[Found, ...]]) -> tuple[tuple[Found, ...], tuple[str, ...]]:
    """What was found; nothing, and what it needs, where an input is missing."""
    try:
        return work(), ()
    except MissingInputError as fault:
        return (), (fault.needs,)
    except AbreastError as fault:
        return (), (f"input that can be used: {fault}",)


class _Depths:
    """True vertical depths from the datum of measured depths."""

    def __init__(self, hole: Sequence[Position]) -> None:
        self._hole = hole

    def tvd_m(self, md_m: float) -> float | None:
        """None: above or below the survey, or there is none."""
        if not self._hole:
            return None
        first, last = self._hole[0], self._hole[-1]
        if not first.station.md_m <= md_m <= last.station.md_m:
            return None
        return position_at(self._hole, md_m).down_m - first.down_m + first.station.md_m

    def met(
        self,
        what: str,
        top_md_m: float,
        bottom_md_m: float | None = None,
        sizes: tuple[Quantity, Quantity] | None = None,
    ) -> Met:
        """A thing below the tail; with one depth it is a point."""
        bore_m, drift_m = (one.known for one in sizes) if sizes else (None, None)
        foot_m = top_md_m if bottom_md_m is None else bottom_md_m
        return Met(what, top_md_m, foot_m, self.tvd_m(top_md_m), bore_m, drift_m)


# --- on the way ------------------------------------------------------------------------------


def _on_the_way(way: BypassWay, depths: _Depths) -> Iterator[Met]:
    narrow = min(way.pieces, key=lambda one: one.diameter_m)
    for _, group in groupby(way.pieces, key=_alike):
        pieces = tuple(group)
        first, last = pieces[0], pieces[-1]
        yield Met(
            _names(pieces),
            first.top_md_m,
            last.bottom_md_m,
            depths.tvd_m(first.top_md_m),
            last.bore_m,
            last.drift_m,
            "to fit" if any(one.follows for one in pieces) else _mark(last),
            narrow in pieces,
        )


def _alike(one: WayPiece) -> tuple[object, ...]:
    """Plain pipe of one size is one row, so is one bore of the Y-tool; all else stands alone."""
    if one.piece == YTOOL_ID:
        return one.bore_m, YTOOL_ID
    return one.bore_m, one.drift_m, "" if one.kind in PIPE else one.name


def _names(pieces: Sequence[WayPiece]) -> str:
    last = pieces[-1]
    if last.piece == YTOOL_ID and last.what != YTOOL_ID:
        return f"{last.what} of the {YTOOL_ID}"
    if len(pieces) == 1:
        return last.what
    return f"pipe {pieces[0].name} to {last.name}, {len(pieces)} pieces"


def _mark(one: WayPiece) -> Mark:
    if one.kind == "safety valve":
        return "flapper"
    if one.name == "plug nipple":
        return "plug"
    if one.name.startswith("no-go of "):
        return "no-go"
    if one.offset_m:
        return "bend"
    return "profile" if one.kind == "nipple" and one.name == one.piece else ""


# --- below the tail --------------------------------------------------------------------------


def _below(job: Job, way: BypassWay, depths: _Depths) -> Iterator[Met]:
    """Casing round the open end, tops and shoes, narrow places, perforations, end of the survey."""
    end_m = way.bottom_md_m
    inside = _innermost(job, end_m)
    for one, top_m, shoe_m in _casings(job):
        if shoe_m <= end_m:
            continue
        if top_m > end_m:
            yield depths.met(f"top of {one.name}", top_m, shoe_m, (one.bore_m, one.drift_m))
        elif one is inside:
            words = f"open end of the way, in {one.name}"
            yield depths.met(words, end_m, shoe_m, (one.bore_m, one.drift_m))
        if one is _innermost(job, shoe_m - _JUST_M):
            yield depths.met(f"shoe of {one.name}", shoe_m)
    for place in job.openings:
        (top_m,) = _from_datum(job, place.datum, place.md_m)
        if place.in_place and top_m > end_m:
            foot_m = top_m + place.length_m.or_else(0.0)
            yield depths.met(place.name, top_m, foot_m, (place.bore_m, place.drift_m))
    for zone in job.perforations:
        top_m, foot_m = _from_datum(job, zone.datum, zone.top_md_m, zone.bottom_md_m)
        if foot_m > end_m:
            yield depths.met(f"perforations {zone.name}".strip(), top_m, foot_m)
    yield depths.met("end of the survey", survey_stations(job)[-1].md_m)


def _casings(job: Job) -> Iterator[tuple[CasingString, float, float]]:
    """Every casing with its top and shoe from the datum of the job [m]."""
    for one in job.casing:
        top_m, shoe_m = _from_datum(job, one.datum, one.top_md_m, one.shoe_md_m)
        yield one, top_m, shoe_m


def _innermost(job: Job, md_m: float) -> CasingString | None:
    """The casing of the smallest bore round a depth; None: there is none."""
    found = [one for one, top_m, shoe_m in _casings(job) if top_m <= md_m < shoe_m]
    return min(found, key=lambda one: one.bore_m.or_else(0.0), default=None)


def _from_datum(job: Job, datum: str, *depths: Quantity) -> tuple[float, ...]:
    return tuple(convert_depth_m(job, one.si, datum or job.depth_datum) for one in depths)


def _steepest(hole: Sequence[Position], way: BypassWay) -> tuple[float, float] | None:
    """Greatest inclination at stations of the way and at its end."""
    if not hole or hole[-1].station.md_m < way.bottom_md_m:
        return None
    stations = [one.station for one in hole if way.top_md_m <= one.station.md_m < way.bottom_md_m]
    stations.append(position_at(hole, way.bottom_md_m).station)
    most = max(stations, key=lambda one: one.inclination_rad)
    return most.inclination_rad, most.md_m


# --- the smallest bore -----------------------------------------------------------------------
