"""What the roll of a string decides: best and worst roll, who touches, narrower casing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from abreast.checks.passing_words import SETTLED
from abreast.documents.well_words import Numbers, roll, used
from abreast.documents.well_worst import dogleg_beside
from abreast.documents.workpack_words import Data
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import NarrowTrial, RunIn, bands
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Job

__all__ = ["roll_rows", "touching_rows", "trial_rows"]

_TOUCHING = 12
_SAME_M = 1e-6


def roll_rows(job: Job, running: RunIn, depths_m: Sequence[float]) -> Iterator[Data]:
    """Best and worst roll at some depths, lowering: share of the nearest limit, side force."""
    numbers = Numbers(job)
    for md_m in depths_m:
        here = [one for one in running.down if abs(one.md_m - md_m) <= _SAME_M]
        if not here:
            continue
        use = bands(here, lambda one: _use(job, one))[0].points
        side = bands(here, lambda one: one.side_n)[0]
        found = sum(one.found for one in here)
        yield {
            "depth": numbers.bare_depth(md_m),
            "dogleg": numbers.bare_dogleg(dogleg_beside(running, md_m)),
            "found": f"{found} of {len(here)}",
            "whole": found == len(here),
            "use": [f"{100 * share:.0f} % at {_at(place)}" for place, share in _ends(use)],
            "side": [f"{numbers.force(n)} at {_at(place)}" for place, n in _ends(side.points)],
            "touching": str(len(side.points[-1][0].touching)) if side.points else "–",
        }


def _use(job: Job, place: Place) -> float | None:
    worst = worst_bent(job, place)
    return None if worst is None else worst.use


def _at(place: Place) -> str:
    return roll(place.roll_rad)


def _ends(points: Sequence[tuple[Place, float]]) -> tuple[tuple[Place, float], ...]:
    return (points[0], points[-1]) if points else ()


def touching_rows(job: Job, running: RunIn) -> Iterator[Data]:
    """Who touches the casing while lowering, the most frequent first."""
    numbers = Numbers(job)
    places = [one for one in running.down if one.found]
    count = Counter(name for one in places for name in one.touching)
    ranked = sorted(count.items(), key=lambda one: (-one[1], one[0]))
    for name, times in ranked[:_TOUCHING]:
        depths = [one.md_m for one in places if name in one.touching]
        yield {
            "name": name,
            "share": f"{100 * times / len(places):.0f} %",
            "depths": numbers.span(min(depths), max(depths)),
        }


def trial_rows(job: Job, running: RunIn) -> Iterator[Data]:
    """The worst places in narrower casing, in the nominal bore, and with bends made sharper."""
    trials = [one for one in running.narrow if one.places]
    depths = {round(one.md_m, 3) for trial in trials for one in trial.places}
    same = tuple(one for one in running.down if round(one.md_m, 3) in depths)
    for trial in (*trials, *([NarrowTrial(1.0, same)] if same else [])):
        yield _trial_row(job, trial, _wall(trial.share))
    if running.crooked:
        wall = "nominal bore, bends sharper by the allowance of the survey"
        yield _trial_row(job, NarrowTrial(1.0, running.crooked), wall)


def _trial_row(job: Job, trial: NarrowTrial, wall: str) -> Data:
    found = [one for one in trial.places if one.found]
    shares = [share for one in found if (share := _use(job, one)) is not None]
    return {
        "wall": wall,
        "fine": trial.all_pass,
        "found": f"{len(found)} of {len(trial.places)}",
        "else": "; ".join(_otherwise(trial)),
        "used": used(max(shares), 1.0, settled=_settled(trial)) if shares else None,
    }


def _settled(trial: NarrowTrial) -> bool:
    return all(one.state in SETTLED for one in trial.places)


def _wall(share: float) -> str:
    if share <= 0:
        return "at its drift"
    return "at its nominal bore" if share >= 1 else f"{100 * share:.0f} % from drift to nominal"


def _otherwise(trial: NarrowTrial) -> Iterator[str]:
    """Places that need the casing to stand, and those without a shape."""
    leaning = sum(one.state == LEANS for one in trial.places)
    if leaning:
        yield f"only the casing holds: {leaning}"
    lost = Counter(
        one.state + (f" ({one.where})" if one.where else "")
        for one in trial.places
        if not one.found
    )
    yield from (f"{state}: {count}" for state, count in sorted(lost.items()))
