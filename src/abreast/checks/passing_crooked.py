"""What the worst places would be if the hole bends sharper between stations than surveyed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.checks.passing_words import (
    MEANS,
    SETTLED,
    Source,
    at_place,
    count,
    share,
    taken,
)
from abreast.mechanics.needs import needs_of
from abreast.mechanics.passing_limits import missing_limits, worst_bent
from abreast.units import Dimension, show

if TYPE_CHECKING:
    from abreast.mechanics.running_in import RunIn

__all__ = ["crooked_check", "judge_crooked"]

_WORST_ONLY = "sharper bends are tried at the worst depths of the survey, while lowering"


def crooked_check(run_of: Source) -> Check[RunIn]:
    """The check of bends between stations, for the place where the run is kept."""

    def places(context: Context) -> Iterator[tuple[str, RunIn]]:
        yield "worst depths", run_of(context)

    return Check(
        id="passage-crooked",
        question="Does it still pass if the hole bends sharper than its survey sees?",
        places=places,
        judge=judge_crooked,
        basis="allowance for tortuosity of the survey, added to every bend in its own plane",
    )


def judge_crooked(context: Context, run: RunIn) -> Verdict:
    """The part that is nearest to its moment with the allowance added."""
    job = context.job
    if job.survey_head is None or not job.survey_head.tortuosity_rad_m.is_given:
        head = job.survey_head
        asked = () if head is None else needs_of(head.tortuosity_rad_m)
        return not_checked(*asked or ("the tortuosity of the survey",))
    more = show(job.survey_head.tortuosity_rad_m.si, Dimension.DOGLEG, job.units)
    if not run.crooked:
        if run.whole and not job.survey_head.tortuosity_rad_m.si:
            return Verdict(status="ok", text="The survey's allowance is 0: nothing to add.")
        return not_checked("the sweep to its end: it was stopped")
    rated = [(one, worst_bent(job, one)) for one in run.crooked if one.found]
    bent = [(place, worst) for place, worst in rated if worst is not None]
    lost = Counter(one.state for one in run.crooked if one.state not in SETTLED)
    needs = tuple(
        f"a shape at {count(number, len(run.crooked))} ({MEANS.get(state, state)})"
        for state, number in lost.items()
    )
    needs += tuple(dict.fromkeys(n for one, _ in rated for n in missing_limits(job, one)))
    if not bent:
        return not_checked(*needs or ("moments that the parts may carry",))
    place, worst = max(bent, key=lambda pair: pair[1].use)
    judged = at_most(worst.moment_nm, worst.limit.si)
    text = (
        f"With {more} more in every bend {worst.name} is nearest to its limit:"
        f" {context.torque(worst.moment_nm)}, {share(worst.use)} of"
        f" {context.torque(worst.limit.si)}; lowering, {at_place(context, place)}."
    )
    if needs and judged.status != "exceeds":
        return not_checked(*needs, text=text)
    return Verdict(
        status=judged.status,
        text=text,
        dimension=Dimension.TORQUE,
        value=worst.moment_nm,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"limit: {worst.limit.origin}",
        action="" if judged.status == "ok" else "survey the bend closer before it is run",
        assumptions=(_WORST_ONLY, *taken(run)),
    )
