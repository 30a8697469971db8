"""What to run instead: one fall-back for each piece that could be rejected, and the runners-up."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from abreast.model import Choice, FallBack, Job, Plan
from abreast.units import Dimension, display_unit, figure

__all__ = ["alternatives_text", "moves_seat"]

_WIDTH = 100
_SAME_M = 5e-5


def alternatives_text(job: Job, plan: Plan) -> str:
    """The sheet to take to the rig floor beside the tally.

    For each piece of the plan: the string with the fewest new pieces if that
    piece is rejected when its turn comes, what is below it staying as it is.
    """
    lines = [
        *_wrapped(f"IF A PIECE IS REJECTED: {job.name}, revision {job.revision.number}"),
        *(["DRAFT: not approved, not for use on the rig"] if job.revision.is_draft else []),
        f"fingerprint {plan.fingerprint}; lengths in {_unit(job)}",
        "",
        *_wrapped(
            "Everything below the rejected piece stays as it is. Mark the piece as rejected in the"
            " rack table and plan again before anything is run: the new plan has its own"
            " fingerprint, checks and tally."
        ),
    ]
    seat_m = None if plan.choice is None else plan.choice.seat_m
    if plan.choice is not None:
        lines += ["", *_choice(job, "plan", plan.choice, seat_m)]
    for one in plan.fall_backs:
        lines += ["", *_fall_back(job, one, seat_m)]
    for number, choice in enumerate(plan.runners_up, 1):
        lines += ["", *_choice(job, f"runner-up {number}", choice, seat_m)]
    return "\n".join(lines) + "\n"


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def _unit(job: Job) -> str:
    return display_unit(Dimension.LENGTH, job.units)


def _length(job: Job, length_m: float) -> str:
    return figure(length_m, Dimension.LENGTH, job.units)


def _fall_back(job: Job, one: FallBack, seat_m: float | None) -> Iterator[str]:
    if one.choice is None:
        yield from _wrapped(f"without {one.rejected}: NOTHING CLOSES", "", "  ")
        for cure in one.cures:
            yield from _wrapped(f"would help: {cure}", "  ", "    ")
        return
    new = f"new: {', '.join(one.changed)}" if one.changed else "no new piece"
    yield from _choice(job, f"without {one.rejected} ({new})", one.choice, seat_m)
    if one.best is not None:
        yield from _choice(job, "  or, all above it chosen anew", one.best, seat_m)


def _choice(job: Job, title: str, choice: Choice, seat_m: float | None) -> Iterator[str]:
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
        shifts = ", ".join(f"{name} {by_m * 1000:+.0f} mm" for name, by_m in moved.items())
        yield from _wrapped(f"twin clamps moved: {shifts}", "    ", "    ")


def moves_seat(choice: Choice, seat_m: float | None) -> bool:
    """Whether a choice wants another seat height or stick-down than the plan has."""
    return seat_m is not None and abs(choice.seat_m - seat_m) > _SAME_M


def _strung(choice: Choice) -> str:
    """Pieces bottom to top; those of one lift joined by a plus."""
    if choice.lifts is None:
        return "  ".join(choice.items)
    lifted = sum(len(lift) for lift in choice.lifts)
    singles = choice.items[: len(choice.items) - lifted]
    return "  ".join((*singles, *("+".join(lift) for lift in choice.lifts)))
