"""What to run instead when a piece is rejected; why nothing closes, and what would help."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from abreast.documents.workpack_words import shift
from abreast.model import Choice, FallBack, Job, Plan
from abreast.units import Dimension, display_unit, figure

__all__ = ["alternatives_text", "blocking_words", "by_reason", "moves_seat"]

_WIDTH = 100
_SAME_M = 5e-5


_RULES = {
    "connections": "connections: every pin meets a box of its thread",
    "drift": "drift: only pieces whose drift went through are run",
    "handling": "handling: the longest piece or lift that can be stood up",
    "union": "union: the part of its stroke that may be used",
    "max_items": "max_items: the greatest number of pieces",
    "lifts": "lifts: each lift is made up within reach while an ESP section hangs",
    "clamp": "twin clamp {}: free pipe must be where it closes",
    "landing": "landing {}: the bypass top must stand in its working window",
    "accessory": "accessory {}: its profile must lie in its window",
}


def alternatives_text(job: Job, plan: Plan, dropped: Mapping[str, str] | None = None) -> str:
    """The sheet to take to the rig floor beside the tally.

    For each piece of the plan: the string with the fewest new pieces if that
    piece is rejected when its turn comes, what is below it staying as it is. When
    nothing closes: the rules that are in the way, and what would help.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        The plan.
    dropped : mapping, optional
        Why each rack piece that was no candidate was none, by id.
    """
    lines = [
        *_wrapped(f"IF A PIECE IS REJECTED: {job.name}, revision {job.revision.number}"),
        *(["DRAFT: not approved, not for use on the rig"] if job.revision.is_draft else []),
        f"fingerprint {plan.fingerprint}; lengths in {_unit(job)}",
        *_strings(job, plan),
    ]
    for title, reasons in (
        ("In the way:", blocking_words(plan)),
        ("What would help, each by itself:", plan.cures),
        ("Not used from the rack:", by_reason(dropped or {})),
    ):
        if reasons:
            lines += ["", title]
            lines += [line for one in reasons for line in _wrapped(one, "  ", "    ")]
    return "\n".join(lines) + "\n"


def blocking_words(plan: Plan) -> list[str]:
    """The rules that exclude one another, as sentences; other words as they are."""
    found = []
    for name in plan.blocking:
        rule, _, which = name.partition(" ")
        is_rule = rule in _RULES and ("{}" in _RULES[rule]) == bool(which)
        found.append(_RULES[rule].format(which) if is_rule else name)
    return found


def by_reason(dropped: Mapping[str, str]) -> list[str]:
    """Pieces that were no candidates, one line for each reason."""
    groups: dict[str, list[str]] = {}
    for piece, reason in dropped.items():
        groups.setdefault(reason, []).append(piece)
    return [f"{reason}: {', '.join(pieces)}" for reason, pieces in groups.items()]


def _strings(job: Job, plan: Plan) -> Iterator[str]:
    """The plan, its fall-backs and its runners-up."""
    if plan.choice is None:
        yield from ("", *_wrapped(plan.proof))
        return
    seat_m = plan.choice.seat_m
    words = (
        "Everything below the rejected piece stays as it is. Mark the piece as rejected in the"
        " rack table and plan again before anything is run: the new plan has its own"
        " fingerprint, checks and tally."
    )
    yield from ("", *_wrapped(words))
    yield from ("", *_choice(job, "plan", plan.choice, seat_m))
    for one in plan.fall_backs:
        yield from ("", *_fall_back(job, one, seat_m))
    for number, choice in enumerate(plan.runners_up, 1):
        yield from ("", *_choice(job, f"runner-up {number}", choice, seat_m))


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def _unit(job: Job) -> str:
    return display_unit(Dimension.LENGTH, job.units)


def _length(job: Job, length_m: float) -> str:
    return figure(length_m, Dimension.LENGTH, job.units)


def _fall_back(job: Job, one: FallBack, seat_m: float) -> Iterator[str]:
    if one.choice is None:
        yield from _wrapped(f"without {one.rejected}: NOTHING CLOSES", "", "  ")
        for cure in one.cures:
            yield from _wrapped(f"would help: {cure}", "  ", "    ")
        return
    new = f"new: {', '.join(one.changed)}" if one.changed else "no new piece"
    yield from _choice(job, f"without {one.rejected} ({new})", one.choice, seat_m)
    if one.best is not None:
        yield from _choice(job, "  or, all above it chosen anew", one.best, seat_m)


def _choice(job: Job, title: str, choice: Choice, seat_m: float) -> Iterator[str]:
    yield from _wrapped(f"{title}: {_strung(choice)}", "", "    ")
    seat = "stick-down" if job.is_top_hung else "seat height"
    yield (
        f"    union {_length(job, choice.union_m)}, {_length(job, choice.deviation_m)} off the"
        f" wanted length; {seat} {_length(job, choice.seat_m)}"
    )
    if moves_seat(choice, seat_m):
        yield f"    MOVES THE {seat.upper()}: only while it can still be set"
    moved = {name: by_m for name, by_m in choice.clamp_shifts_m.items() if by_m}
    if moved:
        shifts = ", ".join(f"{name} {shift(job, by_m)}" for name, by_m in moved.items())
        yield from _wrapped(f"twin clamps moved: {shifts}", "    ", "    ")


def moves_seat(choice: Choice, seat_m: float) -> bool:
    """Whether a choice wants another seat height or stick-down than the plan has."""
    return abs(choice.seat_m - seat_m) > _SAME_M


def _strung(choice: Choice) -> str:
    """Pieces bottom to top; those of one lift joined by a plus."""
    if choice.lifts is None:
        return "  ".join(choice.items)
    lifted = sum(len(lift) for lift in choice.lifts)
    singles = choice.items[: len(choice.items) - lifted]
    return "  ".join((*singles, *("+".join(lift) for lift in choice.lifts)))
