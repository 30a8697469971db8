"""What the checks of the way down share: the worst place of a run, and words for where it is."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING

from abreast.checks.base import Context, Verdict, at_most, not_checked, plural
from abreast.mechanics.twin_beam_solve import FOUND, LEANS
from abreast.units import Dimension, show

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.twin_beam_sweep import Place

__all__ = [
    "MEANS",
    "SETTLED",
    "Source",
    "Worst",
    "at",
    "at_place",
    "bend",
    "count",
    "depth",
    "depths",
    "gaps",
    "held",
    "known",
    "listed",
    "no_numbers",
    "rolls",
    "share",
    "spread",
    "taken",
    "ways",
    "worst",
    "worst_of",
]

Source = Callable[[Context], "RunIn"]
"""Where a check takes the run from; MissingInputError where there is none."""
Value = Callable[["Place"], "float | None"]
SETTLED = FOUND
"""States that leave nothing open; in any other the answer is 'not checked' at best."""
_KICKED = "where the casing alone holds it, the string was kicked once and the worse shape counts"
MEANS = {LEANS: "held by the casing only"}
"""States in other words."""
_MOST_RANGES = 4
_MOST_NAMES = 8
_FEW_ROLLS = 4
_MOST_RATIO = 10.0
_DEG = 180 / math.pi
_SAME_M = 1e-6
_ROLL = "roll: where the bypass lies, from the high side, clockwise looking down the hole"


@dataclass(frozen=True, slots=True)
class Worst:
    """A value at its worst place, and the least at another roll of the same depth and way.

    Parameters
    ----------
    value, best : float
        At the worst roll and at the best one.
    place : Place
        The worst place.
    way : str
        Lowering, picking up, hanging.
    open_rolls : int
        Rolls of that depth without a shape.
    """

    value: float
    best: float
    place: Place
    way: str
    open_rolls: int = 0


def ways(run: RunIn) -> tuple[tuple[str, tuple[Place, ...]], ...]:
    """Each way the string moves, in words, with its places."""
    return (("lowering", run.down), ("picking up", run.up), ("hanging", run.hung))


def known(places: Iterable[Place]) -> Iterator[Place]:
    """The places with numbers."""
    return (one for one in places if one.moments_nm is not None)


def worst(run: RunIn, value: Value, only: Sequence[str] = ()) -> Worst | None:
    """The greatest value on the ways named (all if none is); None where there is no value.

    ``best`` is the least that ``value`` is at that depth.
    """
    found: Worst | None = None
    for way, places in ways(run):
        if only and way not in only:
            continue
        for one in known(places):
            now = value(one)
            if now is not None and (found is None or now > found.value):
                found = Worst(now, now, one, way)
    return None if found is None else _with_best(run, value, found)


def worst_of(run: RunIn, at_worst: Worst, value: Callable[[Place], float | None]) -> Worst:
    """Another value at a place that was worst, and its least at the other rolls there."""
    here = at_worst.place

    def only_here(place: Place) -> float | None:
        same = abs(place.md_m - here.md_m) < 1e-6 and place.union == here.union
        return value(place) if same else None

    found = worst(run, only_here, (at_worst.way,))
    assert found is not None, "the place itself has the value"
    return found


def _with_best(run: RunIn, value: Value, found: Worst) -> Worst:
    places = dict(ways(run))[found.way]
    here = [one for one in places if _same(one, found.place)]
    values = [v for one in known(here) if (v := value(one)) is not None]
    open_ = sum(one.moments_nm is None for one in here)
    return replace(found, best=min(values), open_rolls=open_)


def _same(one: Place, other: Place) -> bool:
    return abs(one.md_m - other.md_m) < _SAME_M and one.union == other.union


# --- words ---------------------------------------------------------------------------------


def depth(context: Context, md_m: float) -> str:
    """A measured depth, as text."""
    return context.length(md_m, digits=0)


def at(context: Context, found: Worst) -> str:
    """Way, depth, roll and union of a place."""
    return f"{found.way}, {at_place(context, found.place)}"


def at_place(context: Context, place: Place) -> str:
    """Depth, roll and union of a place."""
    union = "" if context.job.is_top_hung else f", union {place.union}"
    state = "" if place.state == "ok" else f" ({MEANS.get(place.state, place.state)})"
    return (
        f"Y-tool top at {depth(context, place.md_m)}"
        f" ({context.job.depth_datum}), roll {place.roll_rad * _DEG:.0f}°{union}{state}"
    )


def bend(context: Context, run: RunIn, place: Place) -> str:
    """The sharpest dogleg of the survey beside the assembly."""
    path = run.hole.path
    foot_m = place.md_m + run.length_m
    beside = [
        (float(severity), float(top_m), float(foot))
        for severity, top_m, foot in zip(
            path.severity_rad_m, path.md_m[:-1], path.md_m[1:], strict=True
        )
        if foot > place.md_m and top_m < foot_m
    ]
    severity, top_m, bottom_m = max(beside)
    dogleg = show(severity, Dimension.DOGLEG, context.job.units)
    first, last = depth(context, top_m), depth(context, bottom_m)
    return f"sharpest dogleg beside it {dogleg} at {_range(first, last)}"


def spread(found: Worst, told: Callable[[float], str]) -> str:
    """How much the roll decides."""
    missing = f"; {plural(found.open_rolls, 'roll')} there without a shape"
    return (
        f"between {told(found.best)} at the best and {told(found.value)} at the worst roll"
        f"{missing if found.open_rolls else ''}"
    )


def rolls(some: Sequence[Place], of: Sequence[Place]) -> str:
    """The rolls of some places; how many a depth where they are too many to name."""
    angles = sorted({round(one.roll_rad * _DEG) for one in some})
    if len(angles) <= _FEW_ROLLS:
        word = "roll" if len(angles) == 1 else "rolls"
        return f"{word} {', '.join(f'{angle}°' for angle in angles)}"
    every = len({round(one.roll_rad * _DEG) for one in of})
    here = Counter((one.md_m, one.union) for one in some).values()
    low, high = min(here), max(here)
    return f"{low if low == high else f'{low} to {high}'} of {every} rolls at each"


def depths(context: Context, some: Iterable[Place], of: Iterable[Place]) -> str:
    """The depths of some places as ranges of all the depths looked at."""
    stations = sorted({one.md_m for one in of})
    chosen = {one.md_m for one in some}
    ranges = []
    for is_in, group in groupby(stations, key=lambda md: md in chosen):
        here = list(group)
        if is_in:
            ranges.append(_range(depth(context, here[0]), depth(context, here[-1])))
    more = len(ranges) - _MOST_RANGES
    told = "; ".join(ranges[:_MOST_RANGES])
    return f"{told}; {more} more ranges" if more > 0 else told


def _range(first: str, last: str) -> str:
    return first if first == last else f"{first.rpartition(' ')[0]} to {last}"


def listed(names: Sequence[str]) -> str:
    """Names in one line, the first eight of many."""
    more = len(names) - _MOST_NAMES
    told = ", ".join(names[:_MOST_NAMES])
    return f"{told} and {more} more" if more > 0 else told


def share(ratio: float) -> str:
    """A part of something, in per cent; of next to nothing it says no more than that."""
    return f"more than {100 * _MOST_RATIO:.0f} %" if ratio > _MOST_RATIO else f"{100 * ratio:.0f} %"


def count(some: int, of: int) -> str:
    """So many of so many places."""
    return f"{some} of {plural(of, 'place')}"


# --- verdicts ------------------------------------------------------------------------------


def gaps(run: RunIn, only: Sequence[str] = ()) -> tuple[str, ...]:
    """What keeps an answer about the whole run, or the ways named, from being final."""
    needs = [] if run.whole else ["the sweep to its end: it was stopped"]
    groups = [group for way, group in ways(run) if not only or way in only]
    if not all(groups) and run.whole:
        needs.append("places on the way down, up, and where it hangs")
    places = [one for group in groups for one in group]
    states = Counter(one.state for one in places if one.state not in SETTLED)
    if states:
        told = ", ".join(f"{number} {MEANS.get(one, one)}" for one, number in states.items())
        needs.append(
            f"a shape that stands by itself at {count(states.total(), len(places))}"
            f" ({told}; see passage)"
        )
    return tuple(needs)


def taken(run: RunIn) -> tuple[str, ...]:
    """What every number of a run rests on."""
    leaning = any(one.state == LEANS for one in (*run.down, *run.up, *run.hung))
    return (_ROLL, *run.assumptions, *((_KICKED,) if leaning else ()))


def no_numbers(run: RunIn, only: Sequence[str] = ()) -> Verdict:
    """The verdict where no place has the number that is asked for."""
    return not_checked(*gaps(run, only) or ("a place with numbers",))


def held(
    run: RunIn,
    *,
    text: str,
    dimension: Dimension,
    value: float,
    limit: float | None,
    needs: Sequence[str] = (),
    basis: str = "",
    action: str = "",
    assumptions: Sequence[str] = (),
    only: Sequence[str] = (),
) -> Verdict:
    """A value against its limit; a missing limit or place leaves it open, unless it exceeds.

    ``action`` is what to do when the limit is exceeded or near; ``only`` names
    the ways that the question is about.
    """
    rests_on = (*assumptions, *taken(run))
    judged = None if limit is None else at_most(value, limit)
    open_ = (*needs, *gaps(run, only))
    if judged is None or (open_ and judged.status != "exceeds"):
        verdict = not_checked(*open_ or ("a limit",), text=text)
        todo = verdict.action if needs else "settle the open places of passage first"
        return replace(
            verdict,
            dimension=dimension,
            value=value,
            limit=limit,
            action=todo,
            basis=basis,
            assumptions=rests_on,
        )
    return Verdict(
        status=judged.status,
        text=text,
        dimension=dimension,
        value=value,
        limit=limit,
        utilisation=judged.utilisation,
        basis=basis,
        action="" if judged.status == "ok" else action,
        assumptions=rests_on,
    )
