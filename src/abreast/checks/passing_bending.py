"""Bending on the way down: moments against the limits of the job, and the stress of pipe."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.part_limits import (
    has_own_sizes,
    housing_limits,
    needs_by_field,
    pipe_yields,
)
from abreast.checks.passing_words import (
    Source,
    at,
    bend,
    held,
    known,
    no_numbers,
    spread,
    ways,
    worst,
    worst_of,
)
from abreast.mechanics.needs import needs_of
from abreast.mechanics.passing_limits import Bent, bent
from abreast.mechanics.setting_depth import stress_text
from abreast.model import Job, esp_string
from abreast.spaceout.assemble import BASE_ID, UNION_ID, YTOOL_ID
from abreast.units import Dimension

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = ["Bodies", "Moments", "judge_moment", "judge_stress", "moment_check", "stress_check"]

_BLOCKS = (UNION_ID, YTOOL_ID, BASE_ID)
_CLASSES = ("ESP bodies and necks", "ESP joints", "bypass pieces", "union and blocks")
_BENDING_ONLY = "bending alone, M/Z, as the limit is one of bending"
_AND_PULL = (
    "bending and effective tension, M/Z + T/A, of the body and not of its threads; pressure is the"
    " same inside and out; no torque"
)
_AGREE = (
    "do not run it so: another path or a union that can move, a stronger part, or its maker's"
    " agreement in writing"
)


@dataclass(frozen=True, slots=True)
class Moments:
    """Parts whose limits are of one kind, and how they are bent at each place, by its ``id``."""

    run: RunIn
    parts: str
    bent: dict[int, list[Bent]]

    def at(self, place: Place) -> list[Bent]:
        """The parts of this kind at a place."""
        return self.bent.get(id(place), [])


@dataclass(frozen=True, slots=True)
class Bodies:
    """Parts whose stress is held against one kind of limit."""

    run: RunIn
    parts: str


def moment_check(run_of: Source) -> Check[Moments]:
    """The check of bending moments, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, Moments]]:
        run = run_of(context)
        yield from ((name, Moments(run, name, found)) for name, found in _sorted(context.job, run))

    return Check(
        id="passage-moment",
        question="Does every part bear the bending on its way?",
        places=places,
        judge=judge_moment,
    )


def _sorted(job: Job, run: RunIn) -> Iterator[tuple[str, dict[int, list[Bent]]]]:
    """How the parts of each class are bent at each place: read once, for a run has many."""
    found: dict[str, dict[int, list[Bent]]] = {name: {} for name in _CLASSES}
    classes: dict[str, str] = {}
    for _, places in ways(run):
        for place in known(places):
            for one in bent(job, place):
                kind = classes.setdefault(one.name, _class(one.name))
                found[kind].setdefault(id(place), []).append(one)
    yield from found.items()


def _class(name: str) -> str:
    if name in _BLOCKS:
        return _CLASSES[3]
    starts = {"body and neck of ": 0, "upper joint of ": 1}
    return _CLASSES[next((k for start, k in starts.items() if name.startswith(start)), 2)]


def judge_moment(context: Context, asked: Moments) -> Verdict:
    """The part of a kind that is nearest to its limit, at its worst place."""
    run, needs = asked.run, _missing(context.job, asked)
    rated = worst(run, lambda place: _most(one.use for one in _rated(asked.at(place))))
    if rated is None:
        return _unrated(context, asked, needs)
    part = max(_rated(asked.at(rated.place)), key=lambda one: one.use)
    found = worst_of(run, rated, lambda place: _moment(asked.at(place), part.name))
    limit_nm = part.limit.si
    return held(
        run,
        text=f"Nearest to its limit is {_the(part.name)}: {context.torque(found.value)}, limit"
        f" {context.torque(limit_nm)}; {at(context, found)}; {spread(found, context.torque)};"
        f" {bend(context, run, found.place)}.",
        dimension=Dimension.TORQUE,
        value=found.value,
        limit=limit_nm,
        needs=needs,
        basis=f"limit: {part.limit.origin}",
        action=_AGREE,
    )


def _the(name: str) -> str:
    return name if name.startswith("bypass piece") else f"the {name}"


def _rated(parts: Iterable[Bent]) -> Iterator[Bent]:
    return (one for one in parts if one.limit.is_given)


def _moment(parts: Iterable[Bent], name: str) -> float | None:
    return next((one.moment_nm for one in parts if one.name == name), None)


def _most(values: Iterator[float]) -> float | None:
    return max(values, default=None)


def _missing(job: Job, asked: Moments) -> tuple[str, ...]:
    """Limits that are not stated, of every part that was ever bent."""
    places = [one for _, group in ways(asked.run) for one in known(group)]
    open_ = {
        one.name: one.limit for place in places for one in asked.at(place) if not one.limit.is_given
    }
    needs = dict.fromkeys(need for limit in open_.values() for need in needs_of(limit))
    if asked.parts == _CLASSES[2]:
        stated = {one.id for one in job.rack if one.moment_nm.is_given}
        ran = {name for one in places for name, _ in one.moments_nm or {}}
        needs |= dict.fromkeys(
            f"bending moment that bypass piece {name} may carry (column moment of table rack)"
            for name in sorted((_own_sizes(job) & ran) - stated)
        )
    return tuple(needs)


def _own_sizes(job: Job) -> set[str]:
    """Pieces of the rack that are not of the bypass pipe."""
    return {one.id for one in job.rack if has_own_sizes(one)}


def _unrated(context: Context, asked: Moments, needs: tuple[str, ...]) -> Verdict:
    found = worst(asked.run, lambda place: _most(one.moment_nm for one in asked.at(place)))
    if found is None:
        return not_checked(*needs) if needs else no_numbers(asked.run)
    part = max(asked.at(found.place), key=lambda one: one.moment_nm)
    return held(
        asked.run,
        text=f"Most bent is {_the(part.name)}: {context.torque(found.value)};"
        f" {at(context, found)}; {bend(context, asked.run, found.place)}.",
        dimension=Dimension.TORQUE,
        value=found.value,
        limit=None,
        needs=needs,
    )


# --- stress --------------------------------------------------------------------------------

_PIPE, _HOUSINGS, _OTHERS = "bypass pipe", "ESP housings where it hangs", "tubing and tail"
_NO_LIMIT_PA, _LEAST_PA = 1e12, 1e-3


def stress_check(run_of: Source) -> Check[Bodies]:
    """The check of stress, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, Bodies]]:
        run = run_of(context)
        yield from ((name, Bodies(run, name)) for name in (_PIPE, _HOUSINGS, _OTHERS))

    return Check(
        id="passage-stress",
        question="What stress do bending and pull put into pipe, and bending into housings?",
        places=places,
        judge=judge_stress,
    )


def judge_stress(context: Context, asked: Bodies) -> Verdict:
    """The body of a kind that is nearest to its limit: yield, or the bending stress of the job."""
    run, job = asked.run, context.job
    only = ("hanging",) if asked.parts == _HOUSINGS else ()
    stress = _Stress(run, asked.parts, job)

    def use(name: str, stress_pa: float) -> float:
        """Over the limit; over a great one where nobody states it: the greatest is told."""
        return stress_pa / max(stress.limits[name].value.or_else(_NO_LIMIT_PA), _LEAST_PA)

    def uses(place: Place) -> dict[str, float]:
        return {name: use(name, value) for name, value in stress.at(place).items()}

    nearest = worst(run, lambda place: max(uses(place).values(), default=None), only)
    if nearest is None:
        open_ = needs_of(job.pipe.youngs_pa)
        return not_checked(*open_) if open_ else no_numbers(run, only)
    by_name = uses(nearest.place)
    name = max(by_name, key=by_name.__getitem__)
    found = worst_of(run, nearest, lambda place: stress.at(place).get(name))
    limit = stress.limits[name].value

    def told(stress_pa: float) -> str:
        return stress_text(stress_pa, job.units)

    bends_pa = stress.bending(found.place).get(name, found.value)
    pulled = f", {told(bends_pa)} of it by bending" if found.value > bends_pa else ""
    what = "Bending stress" if asked.parts == _HOUSINGS else "Stress by bending and pull"
    nearness = "nearest to its limit" if limit.is_given else "greatest"
    stated = f", limit {told(limit.si)}" if limit.is_given else ""
    return held(
        run,
        text=f"{what} is {nearness} in {name}: {told(found.value)}{pulled}{stated};"
        f" {at(context, found)}; {spread(found, told)}; {bend(context, run, found.place)}.",
        dimension=Dimension.PRESSURE,
        value=found.value,
        limit=limit.known,
        needs=stress.needs(),
        basis=f"limit: {limit.origin}" if limit.is_given else "",
        action=_AGREE,
        assumptions=(_BENDING_ONLY if asked.parts == _HOUSINGS else _AND_PULL,),
        only=only,
    )


class _Stress:
    """Stress and limits of the bodies of one kind, by name: of housings that of bending alone."""

    def __init__(self, run: RunIn, parts: str, job: Job) -> None:
        self.limits = housing_limits(job) if parts == _HOUSINGS else pipe_yields(job)
        self.bending_only = parts == _HOUSINGS
        self.what = "bending stress" if self.bending_only else "yield strength"
        self.modulus_m3: dict[tuple[str, str, str], float] = {}
        for union, beam in run.beams.items():
            for string in beam.twin.strings:
                for one in string.segments:
                    told = one.modulus_m3 is not None and one.kind in ("body", "tubing")
                    if told and _kind_of(job, one.name) == parts:
                        self.modulus_m3[union, one.name, one.kind] = one.modulus_m3 or math.inf

    def at(self, place: Place) -> dict[str, float]:
        """Stress of each body at a place that is held against its limit [Pa]."""
        found = self.bending(place)
        for (name, kind), stress_pa in (place.stresses_pa or {}).items():
            told = (place.union, name, kind) in self.modulus_m3 and not self.bending_only
            if told and stress_pa > found.get(name, 0.0):
                found[name] = stress_pa
        return found

    def bending(self, place: Place) -> dict[str, float]:
        """Bending stress of each body at a place [Pa]."""
        found: dict[str, float] = {}
        for (name, kind), moment_nm in (place.moments_nm or {}).items():
            modulus_m3 = self.modulus_m3.get((place.union, name, kind))
            if modulus_m3 is not None:
                found[name] = max(found.get(name, 0.0), moment_nm / modulus_m3)
        return found

    def needs(self) -> tuple[str, ...]:
        """The limits that nobody states."""
        limits = (self.limits[name] for _, name, _ in self.modulus_m3)
        return needs_by_field(self.what, limits)


def _kind_of(job: Job, name: str) -> str:
    if any(one.id == name for one in esp_string(job)):
        return _HOUSINGS
    own = _own_sizes(job)
    return _PIPE if any(one.id == name and name not in own for one in job.rack) else _OTHERS
