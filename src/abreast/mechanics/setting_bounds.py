"""How deep and how high a string may hang by what is in the well: bores, perforations, fluid."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from abreast.mechanics.needs import needs_of
from abreast.mechanics.passages import uncovered_m
from abreast.model import Assembly, Job, PlacedPiece, Quantity, convert_depth_m
from abreast.units import Dimension, show

__all__ = [
    "Bound",
    "bound_needs",
    "bounds",
    "first_perforation_m",
    "hole_top_m",
    "submergence_words",
]

_SAME_M = 1e-6
_INTAKES = ("intake", "gas separator")


@dataclass(frozen=True, slots=True)
class Bound:
    """A depth that the top of the Y-tool may not be below, or above.

    Parameters
    ----------
    top_md_m : float
        The depth, from the job's datum [m].
    lowest : bool
        True: it may not be deeper; False: not shallower.
    words, short : str
        What would be wrong beyond it; the same in a few words.
    unknown : bool
        Whether beyond it something is merely not known.
    """

    top_md_m: float
    lowest: bool
    words: str
    short: str
    unknown: bool = False

    def refuses(self, top_md_m: float) -> bool:
        """Whether a depth of the Y-tool is beyond it."""
        over_m = top_md_m - self.top_md_m
        return (over_m if self.lowest else -over_m) > _SAME_M


def bounds(job: Job, assembly: Assembly, tolerance_m: float) -> tuple[Bound, ...]:
    """What in the well bounds the depth of the Y-tool's top.

    Parameters
    ----------
    job : Job
        Casing, openings, perforations, fluid level, completion above the Y-tool.
    assembly : Assembly
        The twin string.
    tolerance_m : float
        How far off its depth it may come to hang [m].

    Notes
    -----
    Single pieces against drifts, the widest of those that would enter. That both
    strings fit abreast is another question, asked of every cross-section.
    """
    found = (
        *_bores(job, assembly, tolerance_m),
        *_perforations(job, assembly, tolerance_m),
        *_bare(job, assembly, tolerance_m),
        *_fluid(job, assembly, tolerance_m),
        *_completion(job),
    )
    return tuple(found)


def bound_needs(job: Job, assembly: Assembly) -> tuple[str, ...]:
    """Inputs that are missing for the bounds."""
    needs: list[str] = []
    if not job.casing:
        needs.append("the table of casing")
    for bore in _all_bores(job):
        needs += needs_of(bore.top_md)
        if bore.free_m is None:
            needs += needs_of(bore.drift)
    for zone in job.perforations:
        needs += needs_of(zone.top_md_m)
    needs += [f"max od of {one.id}" for one in assembly.pieces if one.max_od_m is None]
    return tuple(dict.fromkeys(needs))


def hole_top_m(job: Job) -> float | None:
    """Where the casing begins [m]; None: no casing top is known."""
    tops = [_depth_m(job, one.top_md_m, one.datum) for one in job.casing]
    return min((top for top in tops if top is not None), default=None)


def first_perforation_m(job: Job) -> float | None:
    """The uppermost perforation [m]; None: none is stated."""
    tops = [_depth_m(job, one.top_md_m, one.datum) for one in job.perforations]
    return min((top for top in tops if top is not None), default=None)


def _depth_m(job: Job, md: Quantity, datum: str) -> float | None:
    return None if md.known is None else convert_depth_m(job, md.known, datum or job.depth_datum)


def _shown(job: Job, md_m: float) -> str:
    return show(md_m, Dimension.LENGTH, job.units, digits=1)


class _Bore(NamedTuple):
    """A casing, or a narrow place that is in the well."""

    name: str
    top_md: Quantity
    datum: str
    drift: Quantity
    special: Quantity | None = None

    @property
    def free_m(self) -> float | None:
        """The diameter that is known to pass: the larger of drift and special drift [m]."""
        sizes = (self.drift.known, self.special.known if self.special else None)
        return max((size for size in sizes if size is not None), default=None)


def _all_bores(job: Job) -> Iterator[_Bore]:
    for one in job.casing:
        yield _Bore(one.name, one.top_md_m, one.datum, one.drift_m, one.special_drift_m)
    for place in job.openings:
        if place.in_place:
            yield _Bore(place.name, place.md_m, place.datum, place.drift_m)


def _bores(job: Job, assembly: Assembly, tolerance_m: float) -> Iterator[Bound]:
    for bore in _all_bores(job):
        top_m, free_m = _depth_m(job, bore.top_md, bore.datum), bore.free_m
        if top_m is None or free_m is None:
            continue
        wide = [one for one in assembly.pieces if (one.max_od_m or 0.0) > free_m]
        if not wide:
            continue
        first = min(wide, key=lambda one: one.bottom_m)
        od, drift = (
            show(size, Dimension.LENGTH, job.units, small=True)
            for size in (first.max_od_m or 0.0, free_m)
        )
        words = f"{first.id} ({od}) would enter {bore.name} (drift {drift}) at {_shown(job, top_m)}"
        lowest_m = top_m - tolerance_m - (assembly.top_m - first.bottom_m)
        yield Bound(lowest_m, True, words, f"{first.id} would enter {bore.name}")


def _perforations(job: Job, assembly: Assembly, tolerance_m: float) -> Iterator[Bound]:
    top_m = first_perforation_m(job)
    if top_m is not None:
        words = f"the lower end would be below the top perforation at {_shown(job, top_m)}"
        foot_m = top_m - tolerance_m - _length_m(assembly)
        yield Bound(foot_m, True, words, "lower end below the top perforation")


def _length_m(assembly: Assembly) -> float:
    return assembly.top_m - min(one.bottom_m for one in assembly.pieces)


def _bare(job: Job, assembly: Assembly, tolerance_m: float) -> Iterator[Bound]:
    depths = [_depth_m(job, one.shoe_md_m, one.datum) for one in job.casing]
    shoes = [shoe for shoe in depths if shoe is not None]
    if not shoes:
        return
    bare = uncovered_m(job, max(shoes) + 1.0)
    for top_m, _ in bare[:1]:
        words = f"needs the bore of the hole from {_shown(job, top_m)} down"
        foot_m = top_m - tolerance_m - _length_m(assembly)
        yield Bound(foot_m, True, words, words, unknown=True)


def _level_m(job: Job) -> float | None:
    return _depth_m(job, job.fluids.fluid_level_md_m, job.fluids.datum)


def _intake(assembly: Assembly) -> PlacedPiece | None:
    """The lowest piece that takes in fluid."""
    intakes = [one for one in assembly.side("esp") if one.kind in _INTAKES]
    return min(intakes, key=lambda piece: piece.bottom_m, default=None)


def submergence_words(job: Job, assembly: Assembly) -> str:
    """What was taken for granted of the fluid above the intake."""
    level_m = _level_m(job)
    if level_m is None:
        return "submergence not looked at: no fluid level stated"
    if _intake(assembly) is None:
        return "submergence not looked at: no intake among the ESP pieces"
    return (
        f"intake wholly under the standing fluid level, {_shown(job, level_m)}; how deep under it,"
        " and the level while producing, not looked at"
    )


def _fluid(job: Job, assembly: Assembly, tolerance_m: float) -> Iterator[Bound]:
    """A pump draws nothing through an intake that is not under the fluid of a well that stands."""
    level_m, one = _level_m(job), _intake(assembly)
    if level_m is None or one is None:
        return
    words = (
        f"breaks a physical limit: {one.id} would not be wholly under the fluid level at"
        f" {_shown(job, level_m)}"
    )
    highest_m = level_m + tolerance_m - (assembly.top_m - one.top_m)
    yield Bound(highest_m, False, words, f"{one.id} not under the fluid level")


def _completion(job: Job) -> Iterator[Bound]:
    """Pieces of a stated length above the Y-tool need their room."""
    fixed_m = sum(one.length_m.si for one in job.upper if one.length_m.is_given)
    if fixed_m > 0:
        words = f"the pieces above the Y-tool are {_shown(job, fixed_m)} long as stated"
        yield Bound(fixed_m, False, words, "no room for the pieces above the Y-tool")
