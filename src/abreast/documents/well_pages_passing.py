"""The page on the way down: worst places, rolls, who touches, narrow casing, where to go slow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from abreast.checks.base import plural
from abreast.documents.well_words import Numbers, absent, listed, roll, used
from abreast.documents.well_worst import Worst, worst_forces, worst_moments
from abreast.documents.workpack_words import Data
from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.down_hole import Missing
from abreast.mechanics.dummy_for import dummy_for, dummy_words
from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import NarrowTrial, RunIn, bands
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.mechanics.twin_beam_sweep import ROLLS_RAD, Place
from abreast.model import Assembly, Job

__all__ = ["passing_page"]

_RATED, _UNRATED, _TOUCHING, _SLOW = 8, 3, 12, 6
_SAME_M = 1e-6
_STATES = {
    "ok": "a shape was found",
    "does not fit": "DOES NOT FIT: pressed into the wall",
    "leans": "a shape was found that only the casing holds: the strings alone would buckle between"
    " their clamps, and there may be other shapes",
    "buckled": "not checked: the strings alone buckle, and no shape that the casing holds was"
    " found",
    "not found": "not checked: no shape was found",
}
_UNSEEN = (
    "bends between the stations of the survey; no allowance for them is added here",
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
    shown = [*rated[:_RATED], *forces, *unrated[:_UNRATED]]
    needs = listed(need for one in (*forces, *unrated) for need in one.needs)
    return {
        "needs": "",
        "whole": running.whole,
        "facts": list(page.facts()),
        "states": list(page.states()),
        "gaps": page.gaps(),
        "units": {"depth": numbers.long_unit, "dogleg": numbers.bend_unit},
        "worst": [page.worst_row(one) for one in shown],
        "rest": [*_rest(rated, unrated), *_cable(job, forces)],
        "open": [f"needs {need}" for need in needs],
        "rolls": list(page.rolls(_depths(running, shown))),
        "touching": list(page.touching()),
        "narrow": [page.trial(one) for one in page.trials()],
        "slow": list(page.slow(shown, hook)),
        "load_unit": numbers.load_unit,
        "assumptions": list(running.assumptions),
        "unseen": list(_UNSEEN),
        "dummy": list(_dummy(job, assembly)),
    }


def _rest(rated: Sequence[Worst], unrated: Sequence[Worst]) -> Iterator[str]:
    if more := rated[_RATED:]:
        most = max(one.use for one in more)
        yield f"{plural(len(more), 'more part')} with a limit: none above {100 * most:.0f} % of it"
    if more := unrated[_UNRATED:]:
        yield f"{plural(len(more), 'more part')} without a limit, each with a smaller moment"


def _cable(job: Job, forces: Sequence[Worst]) -> Iterator[str]:
    if job.mle is None:
        yield "No cable is stated: its side force is not checked"
    elif not any("cable" in one.what for one in forces):
        yield "Cable and guard are pressed on the casing at no place that has numbers"


def _depths(running: RunIn, shown: Sequence[Worst]) -> list[float]:
    """Depths of the worst places while lowering, and the planned one."""
    lowered = [one.place.md_m for one in shown if one.way == "lowering"]
    return sorted({*dict.fromkeys(lowered[: _SLOW + 2]), _last(running)})


def _last(running: RunIn) -> float:
    return max((one.md_m for one in running.down), default=running.planned_md_m)


class _Page:
    """The rows of the page."""

    def __init__(self, job: Job, running: RunIn) -> None:
        self.job, self.running, self.numbers = job, running, Numbers(job)

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
        """Places without a shape, by what is wrong, with the depths between which they lie."""
        running = self.running
        everything = (*running.down, *running.up, *running.hung)
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
        """That there are places without numbers, where the worst may be."""
        running = self.running
        everything = (*running.down, *running.up, *running.hung)
        lacking = sum(not one.found for one in everything)
        if not lacking:
            return ""
        return (
            f"At {lacking} of {len(everything)} places there are no numbers: the worst may be"
            " there, and whether the string passes them is not checked."
        )

    def worst_row(self, one: Worst) -> Data:
        numbers, place = self.numbers, one.place
        show = {"moment": numbers.moment, "stress": numbers.stress}.get(one.kind, numbers.force)
        limit = "" if one.limit is None else show(one.limit)
        unjudged = one.limit is None and not one.needs
        return {
            "what": one.what,
            "value": show(one.value),
            "limit": "none asked" if unjudged else limit or "not stated",
            "origin": one.origin,
            "used": None if unjudged else used(one.value, one.limit),
            "depth": numbers.bare_depth(place.md_m),
            "dogleg": numbers.bare_dogleg(self._dogleg(place.md_m)),
            "roll": roll(place.roll_rad),
            "union": "–" if self.job.is_top_hung else place.union,
            "way": one.way,
            "leans": place.state == LEANS,
        }

    def _dogleg(self, top_md_m: float) -> float:
        """Sharpest dogleg of the survey beside the string [rad/m]."""
        path, foot_m = self.running.hole.path, top_md_m + self.running.length_m
        rows = zip(path.md_m[:-1], path.md_m[1:], path.severity_rad_m, strict=True)
        beside = (float(bend) for top, foot, bend in rows if foot > top_md_m and top < foot_m)
        return max(beside, default=0.0)

    def rolls(self, depths_m: Sequence[float]) -> Iterator[Data]:
        """Best and worst roll at some depths, lowering: use of the nearest limit, side force."""
        for md_m in depths_m:
            here = [one for one in self.running.down if abs(one.md_m - md_m) <= _SAME_M]
            use = bands(here, self._use)[0]
            side = bands(here, lambda one: one.side_n)[0]
            yield {
                "depth": self.numbers.bare_depth(md_m),
                "dogleg": self.numbers.bare_dogleg(self._dogleg(md_m)),
                "found": f"{len(here) - len(side.faults)} of {len(here)}",
                "whole": not side.faults,
                "use": [_share(*one) for one in _ends(use.points)],
                "side": [self._side(*one) for one in _ends(side.points)],
                "touching": str(len(side.points[-1][0].touching)) if side.points else "",
            }

    def _use(self, place: Place) -> float | None:
        worst = worst_bent(self.job, place)
        return None if worst is None else worst.use

    def _side(self, place: Place, side_n: float) -> str:
        return f"{self.numbers.force(side_n)} at {roll(place.roll_rad)}"

    def touching(self) -> Iterator[Data]:
        """Who touches the casing, the most frequent first, lowering."""
        places = [one for one in self.running.down if one.found]
        count = Counter(name for one in places for name in one.touching)
        ranked = sorted(count.items(), key=lambda one: (-one[1], one[0]))
        for name, times in ranked[:_TOUCHING]:
            depths = [one.md_m for one in places if name in one.touching]
            yield {
                "name": name,
                "share": f"{100 * times / len(places):.0f} %",
                "depths": self.numbers.span(min(depths), max(depths)),
            }

    def trials(self) -> tuple[NarrowTrial, ...]:
        """The trials, and the nominal bore at the same depths."""
        trials = self.running.narrow
        if not trials:
            return ()
        depths = {round(one.md_m, 3) for trial in trials for one in trial.places}
        same = tuple(one for one in self.running.down if round(one.md_m, 3) in depths)
        return (*trials, NarrowTrial(1.0, same))

    def trial(self, trial: NarrowTrial) -> Data:
        bad = Counter(
            one.state + (f" ({one.where})" if one.where else "")
            for one in trial.places
            if not one.found
        )
        uses = (self._use(one) for one in trial.places if one.found)
        most = max((one for one in uses if one is not None), default=None)
        return {
            "wall": _wall(trial.share),
            "fine": not bad,
            "found": f"{len(trial.places) - bad.total()} of {len(trial.places)}",
            "bad": "; ".join(f"{state}: {count}" for state, count in sorted(bad.items())),
            "use": "" if most is None else f"{100 * most:.0f} %",
        }

    def slow(self, shown: Sequence[Worst], hook: HookForecast | Missing) -> Iterator[Data]:
        """Depths at which the floor goes slowly and writes down what it saw."""
        why: dict[float, list[str]] = {}
        for one in shown:
            if one.way != "lowering" or one.is_slight:
                continue
            if one.place.md_m in why or len(why) < _SLOW:
                why.setdefault(one.place.md_m, []).append(one.what)
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


def _ends(points: Sequence[tuple[Place, float]]) -> tuple[tuple[Place, float], ...]:
    return (points[0], points[-1]) if points else ()


def _share(place: Place, use: float) -> str:
    return f"{100 * use:.0f} % at {roll(place.roll_rad)}"


def _nearest(hook: HookForecast, ytool_md_m: float) -> HookRow:
    return min(hook.rows, key=lambda one: abs(one.ytool_md_m - ytool_md_m))


def _wall(share: float) -> str:
    if share <= 0:
        return "at its drift"
    return "at its nominal bore" if share >= 1 else f"{100 * share:.0f} % from drift to nominal"


# --- drift dummy ---------------------------------------------------------------------------


def _dummy(job: Job, assembly: Assembly) -> tuple[str, ...]:
    """Which drift dummy stands for the string, and what it proves."""
    try:
        return dummy_words(job, dummy_for(job, assembly))
    except MissingInputError as fault:
        return (f"Not checked: needs {fault.needs}.",)
    except AbreastError as fault:
        return (f"Not checked: {fault}.",)
