"""The worst places of a run: every part and force with its limit, and where it was greatest."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from abreast.checks.passing_joints import asked_in_bends
from abreast.mechanics.needs import needs_of
from abreast.mechanics.passing_limits import bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Job, Quantity, TwinClamp

__all__ = [
    "WAYS",
    "Kind",
    "Worst",
    "dogleg_beside",
    "placed",
    "worst_forces",
    "worst_moments",
]

Kind = str
"""``moment``, ``force``, ``load`` or ``stress``: how the value is printed."""
_SLIGHT = 0.1
WAYS = ("lowering", "picking up", "hanging")


@dataclass(frozen=True, slots=True)
class Worst:
    """The greatest value of one part or force, and where it comes.

    Parameters
    ----------
    what, kind : str
        What it is, and how it is printed.
    value : float
        Greatest of all places with numbers [N m, N or Pa].
    limit : float or None
        What may be, in the same unit; None: none is stated.
    origin : str
        Where the limit comes from.
    needs : tuple of str
        What would have to be stated; empty where no limit is asked for.
    place, way
        Where, and on which way; no place: an upper bound for all of them.
    md_m : float
        Depth of the Y-tool's top there [m].
    slips : bool
        Its maker lets it slip there, so that more than the limit breaks nothing.
    """

    what: str
    kind: Kind
    value: float
    limit: float | None
    origin: str
    needs: tuple[str, ...]
    place: Place | None
    way: str
    md_m: float
    slips: bool = False

    @property
    def is_slight(self) -> bool:
        """Far below its limit: no reason to go slow."""
        return self.limit is not None and self.use < _SLIGHT

    @property
    def use(self) -> float:
        """Value over limit; 0 without a limit."""
        return 0.0 if self.limit is None else self.value / max(self.limit, 1e-9)


def placed(running: RunIn) -> Iterator[tuple[str, Place]]:
    """Every place of the run that has numbers, with its way."""
    for way, places in zip(WAYS, (running.down, running.up, running.hung), strict=True):
        for place in places:
            if place.found:
                yield way, place


def dogleg_beside(running: RunIn, top_md_m: float) -> float:
    """Sharpest dogleg of the survey beside the string with the Y-tool's top at a depth [rad/m]."""
    path, foot_m = running.hole.path, top_md_m + running.length_m
    rows = zip(path.md_m[:-1], path.md_m[1:], path.severity_rad_m, strict=True)
    beside = (float(bend) for top, foot, bend in rows if foot > top_md_m and top < foot_m)
    return max(beside, default=0.0)


def worst_moments(job: Job, running: RunIn) -> tuple[Worst, ...]:
    """Each body, joint and block at its greatest moment: nearest to its limit first.

    Those without a limit come last, the greatest moment first.
    """
    most: dict[str, Worst] = {}
    for way, place in placed(running):
        for one in bent(job, place):
            if one.name not in most or one.moment_nm > most[one.name].value:
                limit, name = one.limit, one.name
                most[name] = _worst(name, "moment", one.moment_nm, limit, place, way)
    return tuple(sorted(most.values(), key=lambda one: (one.limit is None, -one.use, -one.value)))


def _worst(
    what: str, kind: Kind, value: float, limit: Quantity, place: Place, way: str, share: float = 1.0
) -> Worst:
    most = limit.known
    scaled = None if most is None else most * share
    needs = needs_of(limit) if limit.state == "not measured" else ()
    origin = _origin(limit, share)
    return Worst(what, kind, value, scaled, origin, needs, place, way, place.md_m)


def _origin(limit: Quantity, share: float) -> str:
    origin = str(limit.origin) if limit.is_given else ""
    return f"{100 * share:g} % of the grip, {origin}" if origin and share != 1.0 else origin


class _Asked(NamedTuple):
    """A force or stress of a place, what limits it, and the part of that which may be used."""

    what: str
    value: Callable[[Place], float | None]
    limit: Quantity = Quantity.not_applicable("no limit of its own")
    share: float = 1.0
    kind: Kind = "force"
    clamp: str = ""


def worst_forces(job: Job, running: RunIn) -> tuple[Worst, ...]:
    """Cable, guard, clamps, locked union, side force, drag and stress where each is greatest.

    What is 0 everywhere is left out; of the clamps that grip, the one nearest to its
    limit stays, and those without one: for drag alone, and for bends with it.
    """
    grips = [one for asked in _grips(job) for one in _greatest(running, asked)]
    rated = [one for one in grips if one.limit is not None]
    tightest = max(rated, key=lambda one: one.use, default=None)
    return (
        *(one for asked in _on_cable(job) for one in _greatest(running, asked)),
        *(one for one in grips if one.limit is None or one is tightest),
        *_bends(job, running),
        *(one for asked in _others(job) for one in _greatest(running, asked)),
    )


def _bends(job: Job, running: RunIn) -> tuple[Worst, ...]:
    """What drag and bends together ask of clamps that grip, as long as nothing slips.

    Of those with a limit the one nearest to it, and one of those without. Bends are an
    upper bound, as in the check of the clamps: above the limit it slips or is not known to
    hold, and is not condemned.
    """
    found = [_with_bends(job, running, one) for one in job.clamps if one.grip == "grips both"]
    rated = max((one for one in found if one.limit is not None), key=_use, default=None)
    open_ = max((one for one in found if one.limit is None), key=_value, default=None)
    return tuple(one for one in (rated, open_) if one is not None and one.value)


def _use(one: Worst) -> float:
    return one.use


def _value(one: Worst) -> float:
    return one.value


def _with_bends(job: Job, running: RunIn, clamp: TwinClamp) -> Worst:
    bends_n, md_m = asked_in_bends(job, running, clamp)
    asked = next(one for one in _grips(job) if one.clamp == clamp.id)
    drags = [one.value for one in _greatest(running, asked)]
    value_n = bends_n + max(drags, default=0.0)
    limit = asked.limit
    known = None if limit.known is None else asked.share * limit.known
    over = known is not None and value_n > known
    needs = needs_of(limit)
    if over and clamp.may_slip != "yes":
        needs = (f"whether {clamp.id} may slip along the bypass in the bends, or more grip",)
    return Worst(
        f"bends and drag on clamp {clamp.id} if it does not slip",
        "force",
        value_n,
        known,
        _origin(limit, asked.share),
        needs,
        None,
        "any",
        md_m,
        slips=over and clamp.may_slip == "yes",
    )


def _on_cable(job: Job) -> Iterator[_Asked]:
    if job.mle is not None:
        yield _Asked("side force on the bare cable", lambda one: one.cable_n, job.mle.side_load_n)
        yield _Asked("side force on the cable guard", lambda one: one.guard_n, job.mle.side_load_n)


def _grips(job: Job) -> Iterator[_Asked]:
    """What each clamp hands over, against the part of its grip that may be used."""
    use = job.rules.grip_use_ratio
    for clamp in job.clamps:
        if clamp.grip == "grips both":
            limit = clamp.grip_load_n if use.is_given else use
            share = 1.0 if use.known is None else use.known
            what, value = f"drag on clamp {clamp.id}", _handed(clamp.id)
            yield _Asked(what, value, limit, share, clamp=clamp.id)


def _handed(name: str) -> Callable[[Place], float | None]:
    return lambda one: None if one.grips_n is None else abs(one.grips_n.get(name, 0.0))


def _others(job: Job) -> Iterator[_Asked]:
    yield _Asked("force in the locked union", _locked, job.union.rating_n)
    yield _Asked("all side forces together", lambda one: one.side_n)
    yield _Asked("drag of the twin string", _drag)
    yield _Asked(
        "stress of bending and pull, body or neck", lambda one: one.stress_pa, kind="stress"
    )


def _locked(place: Place) -> float | None:
    return abs(place.union_n) if place.union == "locked" else None


def _drag(place: Place) -> float | None:
    return None if place.drag_n is None else abs(place.drag_n)


def _greatest(running: RunIn, asked: _Asked) -> Iterator[Worst]:
    known = ((asked.value(place), place, way) for way, place in placed(running))
    values = [(value, place, way) for value, place, way in known if value]
    if values:
        value, place, way = max(values, key=lambda one: one[0])
        yield _worst(asked.what, asked.kind, value, asked.limit, place, way, asked.share)
