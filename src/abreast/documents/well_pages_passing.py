"""The page on the way down: worst places, rolls, who touches, narrow casing, where to go slow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from abreast.checks.base import NEAR, plural
from abreast.checks.passing_narrow import narrow_in_short
from abreast.checks.passing_words import SETTLED
from abreast.documents.well_rolls import roll_rows, touching_rows, trial_rows
from abreast.documents.well_words import Numbers, absent, listed, roll, used
from abreast.documents.well_worst import (
    Worst,
    dogleg_beside,
    worst_forces,
    worst_moments,
)
from abreast.documents.workpack_words import Data
from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.down_hole import Missing
from abreast.mechanics.dummy_for import dummy_for, dummy_words
from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place
from abreast.model import Assembly, Job

__all__ = ["passing_page"]

_RATED, _UNRATED, _SLOW = 8, 3, 6
_SLIPS = "; its maker lets it slip there"
_STATES = {
    "ok": "a shape was found",
    "does not fit": "DOES NOT FIT: pressed into the wall",
    "leans": "a shape was found that only the casing holds: the strings alone would buckle between"
    " their clamps; kicked once, the worse shape counts",
    "buckled": "not checked: the strings alone buckle, and no shape that the casing holds was"
    " found",
    "not found": "not checked: no shape was found",
}
_UNSEEN = (
    "bends between the stations of the survey, but for the trial above",
    "casing that is worn, dented, out of round or narrower than its nominal bore, but for the"
    " trials above",
    "torsion, and friction that holds a string sideways",
    "debris, scale, cement, burrs; lips at connections and at the top of a liner",
    "blows: the string is taken as moving slowly and steadily",
    "the stretch from the wellhead to the first depth looked at: only the cross-sections were held"
    " to the bores there",
)


def passing_page(
    job: Job, assembly: Assembly, running: RunIn | Missing, hook: HookForecast | Missing
) -> Data:
    """The way down as plain data; without the contact model, what it needs.

    Parameters
    ----------
    job, assembly : Job, Assembly
        Limits, units and pieces.
    running : RunIn or Missing
        What the contact model says.
    hook : HookForecast or Missing
        Loads to expect at the worst places.
    """
    if isinstance(running, Missing):
        return absent(running.needs)
    numbers, page = Numbers(job), _Page(job, running)
    moments, forces = worst_moments(job, running), worst_forces(job, running)
    rated = [one for one in moments if one.limit is not None]
    unrated = [one for one in moments if one.limit is None]
    most = max(_RATED, sum(one.use >= NEAR for one in rated))
    shown = [*rated[:most], *forces, *unrated[:_UNRATED]]
    needs = listed(need for one in (*forces, *unrated) for need in one.needs)
    needs += [f"grip of twin clamp {name}: what it does" for name in _loose(job, assembly)]
    return {
        "needs": "",
        "whole": running.whole,
        "facts": list(page.facts()),
        "states": list(page.states()),
        "gaps": page.gaps(),
        "units": {"depth": numbers.long_unit, "dogleg": numbers.bend_unit},
        "worst": [page.worst_row(one) for one in shown],
        "rest": [*_rest(rated[most:], unrated[_UNRATED:]), *_cable(job, forces)],
        "open": [f"needs {need}" for need in needs],
        "rolls": list(roll_rows(job, running, _depths(running, shown))),
        "touching": list(touching_rows(job, running)),
        "narrow": list(trial_rows(job, running)),
        "narrow_in_short": narrow_in_short(job, running),
        "slow": list(page.slow(shown, hook)),
        "load_unit": numbers.load_unit,
        "assumptions": list(running.assumptions),
        "unseen": list(_UNSEEN),
        "dummy": list(_dummy(job, assembly)),
    }


def _rest(rated: Sequence[Worst], unrated: Sequence[Worst]) -> Iterator[str]:
    if rated:
        most = f"none above {100 * max(one.use for one in rated):.0f} % of it"
        yield f"{plural(len(rated), 'more part')} with a limit: {most}"
    if unrated:
        yield f"{plural(len(unrated), 'more part')} without a limit, each with a smaller moment"


def _loose(job: Job, assembly: Assembly) -> list[str]:
    """Clamps of which nobody says whether they grip."""
    fitted = {one.id for one in assembly.clamps}
    return [one.id for one in job.clamps if one.id in fitted and one.grip == "not stated"]


def _cable(job: Job, forces: Sequence[Worst]) -> Iterator[str]:
    if job.mle is None:
        yield "No cable is stated: its side force is not checked"
    elif not any("cable" in one.what for one in forces):
        yield "Cable and guard are pressed on the casing at no place that has numbers"


def _depths(running: RunIn, shown: Sequence[Worst]) -> list[float]:
    """Depths of the worst places while lowering, and the planned one."""
    lowered = [one.md_m for one in shown if one.way == "lowering"]
    return sorted({*dict.fromkeys(lowered[: _SLOW + 2]), _last(running)})


def _last(running: RunIn) -> float:
    return max((one.md_m for one in running.down), default=running.planned_md_m)


class _Page:
    """The rows of the page."""

    def __init__(self, job: Job, running: RunIn) -> None:
        self.job, self.running, self.numbers = job, running, Numbers(job)
        self.everything = (*running.down, *running.up, *running.hung)

    def facts(self) -> Iterator[tuple[str, str]]:
        running, numbers = self.running, self.numbers
        tops = [one.md_m for one in running.down]
        if tops:
            yield (
                "Looked at",
                (
                    f"Y-tool top at {numbers.span(min(tops), max(tops))},"
                    f" {plural(len(set(tops)), 'depth')}, every {numbers.depth(running.step_m)} and"
                    f" closer at the worst places; {len(ROLLS_RAD)} rolls at each"
                ),
            )
        yield (
            "Also",
            (
                f"picking up at {_count(running.up)}, hanging at {_count(running.hung)}, at"
                f" {numbers.depth(running.planned_md_m)} and a joint beside it"
            ),
        )
        yield "Union", self._union()
        yield "Length of the string", f"{numbers.depth(running.length_m)} from the Y-tool top down"
        yield (
            "Roll",
            (
                "where the bypass lies, from the high side of the hole, clockwise looking down;"
                " nobody knows it beforehand, so the worst of all counts"
            ),
        )

    def _union(self) -> str:
        if self.job.is_top_hung:
            return "not locked: each string hangs by itself"
        if len(self.running.beams) == 1:
            return f"taken as {next(iter(self.running.beams))} all the way"
        return "free and locked, as the job says by depth, or both where it does not"

    def states(self) -> Iterator[Data]:
        """What was found, and how often, with the depths between which it lies."""
        everything = self.everything
        count = Counter((one.state, one.where) for one in everything)
        for (state, where), places in sorted(count.items(), key=lambda one: -one[1]):
            depths = [one.md_m for one in everything if (one.state, one.where) == (state, where)]
            yield {
                "fine": state == "ok",
                "state": state,
                "words": _STATES.get(state, state) + (f": {where}" if where else ""),
                "count": f"{places} of {len(everything)}",
                "depths": self.numbers.span(min(depths), max(depths)),
            }

    def gaps(self) -> str:
        """That there are places without a shape, where the worst may be; blank: there are none."""
        lacking = sum(one.state not in SETTLED for one in self.everything)
        if not lacking:
            return ""
        return (
            f"At {lacking} of {len(self.everything)} places no shape was found that stands. The"
            " worst may be there: shares of limits below are those that were found, and none of"
            " them is a pass."
        )

    @property
    def settled(self) -> bool:
        """Every place has a shape that stands, to the end of the run."""
        return self.running.whole and all(one.state in SETTLED for one in self.everything)

    def worst_row(self, one: Worst) -> Data:
        numbers, place = self.numbers, one.place
        show = {"moment": numbers.moment, "stress": numbers.stress}.get(one.kind, numbers.force)
        unjudged = one.limit is None and not one.needs
        limit = "not stated" if one.limit is None else show(one.limit)
        if unjudged:
            limit = "by part: see the findings" if one.kind == "stress" else "none asked"
        return {
            "what": one.what + _SLIPS * one.slips,
            "value": show(one.value),
            "limit": limit,
            "origin": one.origin,
            "used": None if unjudged else self._used(one),
            "depth": numbers.bare_depth(one.md_m),
            "dogleg": numbers.bare_dogleg(dogleg_beside(self.running, one.md_m)),
            "roll": "any" if place is None else roll(place.roll_rad),
            "union": "–" if self.job.is_top_hung or place is None else place.union,
            "way": one.way,
            "leans": place is not None and place.state == LEANS,
        }

    def _used(self, one: Worst) -> Data:
        """An upper bound above its limit condemns nothing: it slips, or is not checked."""
        found = used(one.value, one.limit, settled=self.settled)
        if one.place is None and found["status"] == "exceeds":
            known = one.slips and self.settled
            return found | {"status": "near limit" if known else "not checked"}
        return found

    def slow(self, shown: Sequence[Worst], hook: HookForecast | Missing) -> Iterator[Data]:
        """Depths at which the floor goes slowly and writes down what it saw."""
        why: dict[float, list[str]] = {}
        for one in shown:
            if one.way != "lowering" or one.is_slight:
                continue
            if one.md_m in why or len(why) < _SLOW:
                why.setdefault(one.md_m, []).append(one.what)
        for md_m, reasons in sorted(why.items()):
            row = None if isinstance(hook, Missing) else _nearest(hook, md_m)
            loads = (row.up_n, row.down_n) if row else (None, None)
            up, down = ("" if one is None else self.numbers.bare_load(one) for one in loads)
            yield {
                "depth": self.numbers.bare_depth(md_m),
                "why": _some(reasons),
                "up": up,
                "down": down,
            }


def _count(places: Sequence[Place]) -> str:
    return plural(len({one.md_m for one in places}), "depth")


def _some(names: Sequence[str]) -> str:
    more = len(names) - 3
    return ", ".join(names[:3]) + (f" and {more} more" if more > 0 else "")


def _nearest(hook: HookForecast, ytool_md_m: float) -> HookRow:
    return min(hook.rows, key=lambda one: abs(one.ytool_md_m - ytool_md_m))


# --- drift dummy ---------------------------------------------------------------------------


def _dummy(job: Job, assembly: Assembly) -> tuple[str, ...]:
    """Which drift dummy stands for the string, and what it proves."""
    try:
        return dummy_words(job, dummy_for(job, assembly))
    except MissingInputError as fault:
        return (f"Not checked: needs {fault.needs}.",)
    except AbreastError as fault:
        return (f"Not checked: {fault}.",)
