"""What stands across the blow-out preventer at each landing, and what could close on it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.fit_once import fit_of
from abreast.mechanics.across import Across, Moment, across, moments
from abreast.mechanics.fit import Fit

__all__ = ["BOP_VIEW"]

_CAUTION = "Nothing seals on two strings, or on a string with its cable."


@dataclass(frozen=True, slots=True)
class _Stand:
    """A landing, and half-way down to the next."""

    found: Fit
    moments: tuple[Moment, ...]


def _places(context: Context) -> Iterator[tuple[str, _Stand]]:
    if not context.job.bop:
        return
    found = fit_of(context)
    landed = {state.id for state in context.assembly.landings}
    stand: list[Moment] = []
    for moment in moments(context.assembly):
        if moment.name in landed and stand:
            yield stand[0].name, _Stand(found, tuple(stand))
            stand = []
        stand.append(moment)
    if stand:
        yield stand[0].name, _Stand(found, tuple(stand))


def _judge(context: Context, stand: _Stand) -> Verdict:
    seen = [(moment, across(context.job, stand.found, moment)) for moment in stand.moments]
    text = " ".join(_told(moment, views) for moment, views in seen)
    sealing = [any(view.seals == "yes" for view in views) for _, views in seen]
    unknown = [need for _, views in seen for view in views for need in view.needs]
    if unknown and not all(sealing):
        return not_checked(*dict.fromkeys(unknown), text=text)
    closed = all(sealing)
    return Verdict(
        status="ok" if closed else "near limit",
        text=f"{text} {'' if closed else _CAUTION}".strip(),
        action="" if closed else "settle before this step who does what if the well flows",
        assumptions=("an element seals on one round body within its range, blind rams on nothing",),
    )


def _told(moment: Moment, views: tuple[Across, ...]) -> str:
    """Neighbouring elements with the same before them are told together."""
    parts = []
    for seen, same in groupby(views, key=_seen):
        names = ", ".join(view.element for view in same)
        parts.append(f"{names}: {seen}")
    return f"{moment.name[0].upper()}{moment.name[1:]} - {'; '.join(parts)}."


def _seen(view: Across) -> str:
    seen = " + ".join(view.pieces) if view.pieces else "nothing"
    return f"{seen} (seals)" if view.seals == "yes" else seen


BOP_VIEW = Check(
    id="bop-view",
    question="What stands across the BOP at each landing and half-way to the next?",
    places=_places,
    judge=_judge,
    basis="heights of the rig; closing ranges of the elements",
    needs="the table of the BOP, and landings that the bypass reaches",
)
