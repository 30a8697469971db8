"""What the chart of the way down says in words: the worst of each kind, states, what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from abreast.mechanics.bent_shape import worst
from abreast.mechanics.needs import needs_of
from abreast.mechanics.passing_limits import bent, missing_limits, worst_bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam_hole import Way
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Job
from abreast.spaceout.assemble import BASE_ID, UNION_ID, YTOOL_ID
from abreast.units import Dimension, show

__all__ = ["MEANS", "WAYS", "Use", "has_limits", "place_words", "states", "use_of", "words_of"]

MEANS = {
    "leans": "would buckle if the casing did not hold it; kicked once, the worse shape counts",
    "buckled": "no shape that the casing holds, so not checked",
    "does not fit": "a part is pressed into the wall",
    "not found": "no shape within the steps allowed, so not checked",
}
WAYS: dict[Way, str] = {"down": "lowering", "up": "picking up", "still": "hanging"}


@dataclass(frozen=True, slots=True)
class Use:
    """The part that is bent worst at a place.

    Parameters
    ----------
    name : str
        The part.
    value : float
        Moment over limit; where the job states no limit at all, the moment [N m].
    side : {"esp", "bypass", "both"}
        Of which string it is.
    """

    name: str
    value: float
    side: str


def has_limits(job: Job, running: RunIn) -> bool:
    """Whether any bent part has a limit."""
    known = (one for one in (*running.down, *running.up) if one.found)
    place = next(known, None)
    return place is not None and worst_bent(job, place) is not None


def use_of(job: Job, place: Place, *, rated: bool) -> Use | None:
    """The part that is bent worst, by its limit or by its moment alone."""
    if rated:
        found = worst_bent(job, place)
        value = 0.0 if found is None else found.use
    else:
        found = max(bent(job, place), key=lambda one: one.moment_nm, default=None)
        value = 0.0 if found is None else found.moment_nm
    if found is None:
        return None
    both = found.name in (YTOOL_ID, BASE_ID)
    bypass = found.name == UNION_ID or found.name.startswith("bypass piece ")
    name = found.name.removeprefix("body and neck of ")
    return Use(name, value, "both" if both else "bypass" if bypass else "esp")


def states(places: Iterable[Place]) -> Counter[str]:
    """How many places there are in each state that is not ``ok``."""
    return Counter(one.state for one in places if one.state != "ok")


def place_words(job: Job, place: Place) -> str:
    """A place in words: depth of the Y-tool's top, roll, and union if it could slide or not."""
    depth = show(place.md_m, Dimension.LENGTH, job.units, digits=0)
    union = "" if job.is_top_hung else f", union {place.union}"
    return f"MD {depth}, roll {place.roll_deg:.0f}°{union}"


def words_of(job: Job, running: RunIn) -> Iterator[tuple[str, bool]]:
    """Rows of words, and whether they are bold."""
    if not running.whole:
        yield "STOPPED BEFORE ITS END: not all depths were looked at.", True
    yield _bending(job, running), True
    yield _dogleg(job, running), False
    yield _sides(job, running), False
    yield _drags(job, running), False
    yield _hanging(job, running), False
    yield _lost(running), bool(states((*running.down, *running.up, *running.hung)))
    needs = {
        need
        for one in (*running.down, *running.up, *running.hung)
        if one.found
        for need in missing_limits(job, one)
    }
    if needs:
        yield f"Not checked: needs {', '.join(sorted(needs))}.", True


def _dogleg(job: Job, running: RunIn) -> str:
    """The sharpest interval that the string meets, and the limit of the job."""
    path, end_m = running.hole.path, running.planned_md_m + running.length_m
    rows = list(zip(pairwise(path.md_m.tolist()), path.severity_rad_m.tolist(), strict=True))
    (top, bottom), sharp = max((row for row in rows if row[0][0] < end_m), key=lambda row: row[1])
    depths = " to ".join(show(md, Dimension.LENGTH, job.units, digits=0) for md in (top, bottom))
    limit = job.rules.max_dogleg_pass_rad_m
    if limit.known is None:
        held = f"not checked: needs {needs_of(limit)[0]}"
    else:
        held = f"limit of the job {show(limit.known, Dimension.DOGLEG, job.units)} ({limit.origin})"
    return f"Sharpest dogleg: {show(sharp, Dimension.DOGLEG, job.units)}, MD {depths}; {held}."


def _bending(job: Job, running: RunIn) -> str:
    found = worst(job, running)
    if found is None:
        return "Bending: not known, no shape was found."
    place, way = found
    part = worst_bent(job, place)
    where = f"{WAYS[way]}, {place_words(job, place)}"
    if part is None:
        use = use_of(job, place, rated=False)
        most = "" if use is None else f"; {use.name} bears {_moment(job, use.value)} there"
        return f"Bending: no limit is stated. Greatest side force {where}{most}."
    limit = f"{_moment(job, part.limit.si)} ({part.limit.origin})"
    return f"Worst bent: {part.name}, {part.use:.0%} of {limit}; {where}."


def _moment(job: Job, moment_nm: float) -> str:
    return show(moment_nm, Dimension.TORQUE, job.units)


def _force(job: Job, force_n: float) -> str:
    return show(force_n, Dimension.FORCE, job.units)


def _sides(job: Job, running: RunIn) -> str:
    parts = []
    for name, places in (("lowering", running.down), ("picking up", running.up)):
        known = [one for one in places if one.found]
        if known:
            most = max(known, key=lambda one: one.side_n)
            parts.append(f"{name} {_force(job, most.side_n)}, {place_words(job, most)}")
    return f"Greatest side force: {'; '.join(parts)}." if parts else "Side force: not known."


def _drags(job: Job, running: RunIn) -> str:
    ratio = running.hole.friction_ratio
    if ratio is None:
        needs = ", ".join(needs_of(job.friction.cased_ratio)) or "a friction factor"
        return f"Drag: not checked: needs {needs}."
    most = []
    for name, places in (("down", running.down), ("up", running.up)):
        drags = [one.drag_n for one in places if one.drag_n is not None]
        if drags:
            most.append(f"{name} {_force(job, max(drags))}")
    origin = job.friction.cased_ratio.origin
    return f"Greatest drag, friction factor {ratio:g} ({origin}): {', '.join(most)}."


def _hanging(job: Job, running: RunIn) -> str:
    planned = show(running.planned_md_m, Dimension.LENGTH, job.units, digits=0)
    here = [
        one for one in running.hung if abs(one.md_m - running.planned_md_m) < 1e-3 and one.found
    ]
    if not here:
        return f"Hanging at {planned}: not known, no shape was found."
    sides = [one.side_n for one in here]
    rated = [found for one in here if (found := worst_bent(job, one)) is not None]
    part = max(rated, key=lambda one: one.use, default=None)
    use = "" if part is None else f", {part.name} {part.use:.0%} of its limit"
    low, high = _force(job, min(sides)), _force(job, max(sides))
    return f"Hanging at {planned}: side force {low} to {high}{use}."


def _lost(running: RunIn) -> str:
    rows = (("lowering", running.down), ("picking up", running.up), ("hanging", running.hung))
    parts = []
    for name, places in rows:
        found = states(places)
        if found:
            told = ", ".join(f"{state} {count}" for state, count in sorted(found.items()))
            parts.append(f"{name}: {told} of {len(places)} places")
    if not parts:
        return "Every depth and roll ok: a shape was found that stands by itself."
    seen = {state for _, places in rows for state in states(places)}
    means = [f"{state}: {MEANS[state]}" for state in sorted(seen) if state in MEANS]
    return f"Not ok: {'; '.join(parts)}. {'; '.join(means)}".strip() + ("." if means else "")
