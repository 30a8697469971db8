"""What the worst places would be if the casing were narrower than its nominal bore."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.passing_words import (
    MEANS,
    SETTLED,
    Source,
    depth,
    gaps,
    known,
    listed,
    share,
    taken,
)
from abreast.mechanics.needs import needs_of
from abreast.mechanics.passing_limits import missing_limits, worst_bent
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.model import Job, Quantity
from abreast.units import Dimension, show

if TYPE_CHECKING:
    from abreast.mechanics.running_in import NarrowTrial, RunIn

__all__ = ["judge_narrow", "narrow_check", "narrow_in_short"]

_MEASURE = (
    "the real inner diameter there (caliper), or a dummy of equal stiffness and length run through"
)
_WIDE = "does not fit"
_LOST = {_WIDE: "do not fit", "not found": "without a shape"}
_NEIGHBOURS = "Which parts there need more room together than each by itself: see fit-along."
_WORST_ONLY = "narrower casing is tried at the worst depths of the nominal bore, while lowering"


def narrow_check(run_of: Source) -> Check[RunIn]:
    """The check of narrower casing, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, RunIn]]:
        yield "worst depths", run_of(context)

    return Check(
        id="passage-narrow",
        question="How narrow may the casing be and still let the string pass?",
        places=places,
        judge=judge_narrow,
        basis="contact at walls from the drift, which is known to pass, to the nominal bore",
    )


@dataclass(frozen=True, slots=True)
class _Trial:
    """One trial: the bores it was made at, what does not hold in it, and what is not known."""

    share: float
    bores_m: tuple[float, float]
    faults: tuple[str, ...]
    needs: tuple[str, ...]

    @property
    def holds(self) -> bool:
        return not self.faults and not self.needs


def judge_narrow(context: Context, run: RunIn) -> Verdict:
    """The narrowest wall at which, and above which, everything passes within its limits."""
    if not run.narrow:
        return not_checked(*gaps(run) or ("trials of narrower casing",))
    trials = [_tried(context, run, one) for one in sorted(run.narrow, key=lambda one: one.share)]
    least = _least(trials)
    text = f"{_where(context, run)} {' '.join(_told(context, one) for one in trials)}"
    if any(one.state == _WIDE for trial in run.narrow for one in trial.places):
        text = f"{text} {_NEIGHBOURS}"
    rests_on = (_WORST_ONLY, *taken(run))
    open_ = dict.fromkeys((*(need for one in trials for need in one.needs), *gaps(run)))
    if least is not None and least.share <= 0.0 and not open_:
        return Verdict(
            status="ok",
            text=f"{text} All of it holds at the drift.",
            dimension=Dimension.LENGTH,
            value=least.bores_m[0],
            assumptions=rests_on,
        )
    needs = (*open_, *(() if least is not None and least.share <= 0.0 else (_MEASURE,)))
    verdict = not_checked(*needs, text=f"{text} {_result(context, least)}")
    return replace(
        verdict,
        dimension=None if least is None else Dimension.LENGTH,
        value=None if least is None else least.bores_m[0],
        action="measure the casing there, or run the dummy, before the string is run",
        assumptions=rests_on,
    )


def _least(trials: list[_Trial]) -> _Trial | None:
    """The narrowest trial that holds with all the wider ones; None: not even the widest."""
    found = None
    for one in reversed(trials):
        if not one.holds:
            break
        found = one
    return found


def _tried(context: Context, run: RunIn, trial: NarrowTrial) -> _Trial:
    return _Trial(
        trial.share,
        _bores_m(context.job, run, trial),
        tuple(_faults(context, trial)),
        tuple(_open(context, trial)),
    )


def _bores_m(job: Job, run: RunIn, trial: NarrowTrial) -> tuple[float, float]:
    """Least and greatest of the narrowest bores beside the string at these depths [m]."""
    import numpy as np

    hole = read_hole(job, share=trial.share)
    tops_m = np.array(sorted({one.md_m for one in trial.places}))
    widths_m = 2 * hole.radius_m(tops_m, tops_m + run.length_m)
    return float(widths_m.min()), float(widths_m.max())


def _faults(context: Context, trial: NarrowTrial) -> Iterator[str]:
    states = Counter(one.state for one in trial.places if one.state not in SETTLED)
    for state, number in states.items():
        parts = sorted({one.where for one in trial.places if one.state == state and one.where})
        named = f" ({listed(parts)})" if parts else ""
        yield f"{number} of {len(trial.places)} {MEANS.get(state, state)}{named}"
    rated = [worst_bent(context.job, one) for one in known(trial.places)]
    most = max((one for one in rated if one is not None), key=lambda one: one.use, default=None)
    if most is not None and most.use > 1:
        yield f"{most.name} bent to {share(most.use)} of its limit"
    force_n = max((max(one.cable_n, one.guard_n) for one in known(trial.places)), default=0.0)
    limit_n = _cable_limit(context).known
    if limit_n is not None and force_n > limit_n:
        yield f"cable or guard pressed by {context.load(force_n)}"


def _open(context: Context, trial: NarrowTrial) -> Iterator[str]:
    """Limits that are not stated."""
    if not trial.places:
        yield "places with narrower casing"
    for one in known(trial.places):
        yield from missing_limits(context.job, one)
    yield from needs_of(_cable_limit(context))


def _cable_limit(context: Context) -> Quantity:
    if context.job.mle is None:
        return Quantity.not_measured().labelled("side load of the MLE")
    return context.job.mle.side_load_n


def narrow_in_short(job: Job, run: RunIn) -> str:
    """Every trial of narrower casing in a sentence with its numbers; blank: none was made.

    Parameters
    ----------
    job : Job
        Limits of bending, units.
    run : RunIn
        The way down with its trials.

    Notes
    -----
    For a page that has room for a sentence; :func:`judge_narrow` gives the verdict.
    """
    trials = sorted(run.narrow, key=lambda one: one.share)
    told = [_in_short(job, run, one) for one in trials if one.places]
    return f"narrower casing, {'; '.join(told)}" if told else ""


def _in_short(job: Job, run: RunIn, trial: NarrowTrial) -> str:
    low, high = (
        show(one, Dimension.LENGTH, job.units, small=True) for one in _bores_m(job, run, trial)
    )
    at = "at its drift" if trial.share <= 0 else f"{share(trial.share)} of the way to the bore"
    bore = low if low == high else f"{low.partition(' ')[0]} to {high}"
    lost = Counter(one.state for one in trial.places if one.state not in SETTLED)
    told = [
        f"{count} of {len(trial.places)} places {_LOST.get(state, state)}"
        for state, count in lost.items()
    ]
    rated = [worst_bent(job, one) for one in known(trial.places)]
    use = max((one.use for one in rated if one is not None), default=None)
    if use is not None:
        told.append(f"{share(use)} of a moment limit")
    return f"{at} ({bore}): {', '.join(told) or 'no moment limit is stated'}"


# --- words ---------------------------------------------------------------------------------


def _where(context: Context, run: RunIn) -> str:
    tops = sorted({one.md_m for trial in run.narrow for one in trial.places})
    told = ", ".join(depth(context, md) for md in tops)
    return f"Tried with the Y-tool top at {told} ({context.job.depth_datum}), each at every roll."


def _told(context: Context, trial: _Trial) -> str:
    found = "; ".join(trial.faults) or ("passes, limits missing" if trial.needs else "holds")
    return f"{_name(context, trial)}: {found}."


def _name(context: Context, trial: _Trial) -> str:
    """Where the wall was taken."""
    at = "At the drift" if trial.share <= 0 else f"At {share(trial.share)} of the way to the bore"
    low, high = (context.small(one) for one in trial.bores_m)
    bore = low if low == high else f"{low.partition(' ')[0]} to {high}"
    return f"{at} ({bore})"


def _result(context: Context, least: _Trial | None) -> str:
    if least is None:
        return "Nothing narrower than the nominal bore is known to let it pass."
    return f"It holds down to {share(least.share)} of the way; narrower is not known to pass."
