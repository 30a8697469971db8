"""The space-out of a job: the choice, its proof, fall-backs, or why there is none.

The search proves the fewest pieces, the nearest bucket and the fewest pups.
Among plans equal in these, one whose pieces can all be replaced is worth more
than a tenth of a millimetre at the union, so the plans are compared by how many
of their pieces could not be lost, and only then by their deviation.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

from abreast.errors import AbreastError
from abreast.model import Choice, FallBack, Job, seat_range
from abreast.spaceout.build import BuiltCase, build_case
from abreast.spaceout.case import Answer, Case
from abreast.spaceout.checker import check_answer
from abreast.spaceout.explain import Cure, explain
from abreast.spaceout.fallback import FallBack as CaseFallBack
from abreast.spaceout.fallback import (
    fall_back,
    fall_backs,
    grounds_of,
    grounds_without,
    locked_below,
    state_without,
)
from abreast.spaceout.solve import Ground, Search, StoppedError, runners_up, solve
from abreast.units import Dimension, show

__all__ = ["SpaceOut", "choose"]

_RUNNERS_UP = 3
_MOST_COMPARED = 60  # plans whose robustness is looked at
_EXPLAIN_S = 20.0
_RUNNERS_S = 10.0

Progress = Callable[[str], None]
_Rank = tuple[int, int, float, tuple[str, ...]]


@dataclass(frozen=True)
class SpaceOut:
    """What the space-out of a job came to.

    ``proof`` says in words what was proved and how far; ``dropped`` says of each
    rack piece that was no candidate why not.
    """

    status: Literal["optimal", "infeasible", "stopped"]
    proved: bool
    proof: str
    choice: Choice | None
    runners_up: tuple[Choice, ...]
    fall_backs: tuple[FallBack, ...]
    irreplaceable: tuple[str, ...]
    blocking: tuple[str, ...]
    cures: tuple[str, ...]
    dropped: dict[str, str]
    elapsed_s: float


def choose(job: Job, *, limit_s: float | None = None, progress: Progress | None = None) -> SpaceOut:
    """The joints to run for a job.

    Parameters
    ----------
    job : Job
        Pieces in the well already are kept; any state of either side is solved
        the same way.
    limit_s : float, optional
        Time for the proof; the comparison of robustness has the job's own limit.
    progress : callable, optional
        Told in a few words what is being done.

    Raises
    ------
    MissingInputError, InputError
        If the job lacks a length that the space-out needs, or contradicts itself.
    """
    begun = time.perf_counter()
    tell = progress or (lambda _: None)
    built = build_case(job)
    answer = solve(built.case, limit_s=limit_s, progress=tell)
    _must_be_right(built.case, answer)
    if answer.objective is None:
        return _nothing(job, built, answer, begun, tell)
    compared = 1
    if answer.proved:
        tell("comparing plans by the pieces that can't be lost")
        answer, compared = _most_robust(job, built, answer)
        _must_be_right(built.case, answer)
    tell("fall-backs")
    losses = _losses(built.case, answer, tell) if answer.proved else {}
    lost = tuple(
        i for item, one in losses.items() if not one.replaceable for i in built.ids((item,))
    )
    return SpaceOut(
        status="optimal" if answer.proved else "stopped",
        proved=answer.proved,
        proof=_proof(job, built, answer, compared, lost),
        choice=built.choice(job, answer).model_copy(update={"irreplaceable": lost}),
        runners_up=_runners_up(job, built, answer),
        fall_backs=tuple(_told(job, built, answer, one) for one in losses.values()),
        irreplaceable=lost,
        blocking=(),
        cures=(),
        dropped=built.dropped,
        elapsed_s=time.perf_counter() - begun,
    )


def _must_be_right(case: Case, answer: Answer) -> None:
    faults = check_answer(case, answer)
    if faults:
        message = f"the space-out failed its own check ({faults[0]}); please report this job"
        raise AbreastError(message, code="wrong-answer")


# --- robustness ---------------------------------------------------------------------


def _most_robust(job: Job, built: BuiltCase, first: Answer) -> tuple[Answer, int]:
    """Among plans equal in pieces, bucket and pups: fewest irreplaceable, nearest, seat as planned.

    Returns the plan and how many were compared.
    """
    until = time.perf_counter() + min(job.rules.time_limit_s.si, 60.0)
    grounds = grounds_of(built.case)
    best, compared = first, 0
    rank: _Rank | None = None
    try:
        for answer in chain([first], _equals(built.case, first, until)):
            if rank and rank[0] == 0 and _deviation(answer) > _deviation(best):
                break
            other = _rank(job, built, grounds, answer, until)
            compared += 1
            if rank is None or other < rank:
                best, rank = answer, other
            if compared >= _MOST_COMPARED:
                break
    except StoppedError:
        pass
    return best, compared


def _equals(case: Case, first: Answer, until: float) -> Iterator[Answer]:
    """Other plans with as many pieces, the same bucket and as many pups, nearest first."""
    assert first.objective is not None
    search = Search(Ground.of(case), until=until)
    for plan in search.equals(first.objective):
        answer = search.answer(*plan)
        if answer.items != first.items or answer.seat != first.seat:
            yield answer


def _deviation(answer: Answer) -> int:
    assert answer.objective is not None
    return answer.objective[3]


def _rank(
    job: Job, built: BuiltCase, grounds: Sequence[Ground], answer: Answer, until: float
) -> _Rank:
    """Pieces that can't be lost, deviation, how far the seat is moved, ids."""
    assert answer.seat is not None
    seat = seat_range(job)
    planned_m = seat.planned_m if seat.locked_m is None else seat.locked_m
    moved_m = abs(built.seats_m[answer.seat] - planned_m)
    case = built.case
    lost = sum(not _replaceable(case, grounds, answer, i, until) for i in _free(case, answer))
    return lost, _deviation(answer), moved_m, answer.items


def _free(case: Case, answer: Answer) -> tuple[str, ...]:
    return answer.items[len(case.locked) :]


def _replaceable(
    case: Case, grounds: Sequence[Ground], answer: Answer, item: str, until: float
) -> bool:
    left = grounds_without(case, answer, item, grounds)
    searches = (Search(ground, until=until) for ground in left)
    return any(next(search.solutions(), None) is not None for search in searches)


def _losses(case: Case, answer: Answer, tell: Progress) -> dict[str, CaseFallBack]:
    """A fall-back for every free piece; the seat is moved only when nothing closes without.

    The seat is set before the pieces above it are run, so on the rig it is fixed
    by the time one of them is rejected.
    """
    kept = case.model_copy(update={"seat": case.seat.model_copy(update={"locked": answer.seat})})
    losses = fall_backs(kept, answer, progress=tell)
    if case.seat.locked is None:
        for item, loss in losses.items():
            if not loss.replaceable:
                losses[item] = fall_back(case, answer, item)
    for item, loss in losses.items():
        state = state_without(case, answer, item)
        _must_be_right(state, loss.nearest)
        _must_be_right(state, loss.best)
    return losses


# --- the answer in words ------------------------------------------------------------


def _proof(job: Job, built: BuiltCase, answer: Answer, compared: int, lost: tuple[str, ...]) -> str:
    assert answer.objective is not None
    n, _, pups, deviation = answer.objective
    if not answer.proved:
        bound = answer.bound or (0, 0, 0, 0)
        return (
            f"Stopped before the proof. In hand: {n} pieces, {pups} of them pups. Proved so far:"
            f" no plan has fewer than {bound[0]} pieces."
        )
    step = show(job.rules.bucket_m.si, Dimension.LENGTH, job.units, small=True)
    near = show(deviation * built.tick_m, Dimension.LENGTH, job.units, small=True)
    first = (
        f"Proved: no plan has fewer than {n} pieces; with {n}, none closes in a nearer step of"
        f" {step} (this one is {near} from the target), and none in this step has fewer than"
        f" {pups} pups."
    )
    plans = "plan was" if compared == 1 else "plans were"
    rest = f"{len(lost)} of its pieces can't be lost" if lost else "every piece can be replaced"
    return f"{first} {compared} equal {plans} compared for robustness: {rest}.{_limits_of(job)}"


def _limits_of(job: Job) -> str:
    """What the proof leaves out of account."""
    if not job.lifts:
        return ""
    return " Clamps were sought on the longest body of a pre-made lift only."


def _runners_up(job: Job, built: BuiltCase, answer: Answer) -> tuple[Choice, ...]:
    try:
        plans = runners_up(built.case, _RUNNERS_UP + 1, until=time.perf_counter() + _RUNNERS_S)
    except StoppedError:
        return ()
    others = [plan for plan in plans if set(plan.items) != set(answer.items)]
    for plan in others:
        _must_be_right(built.case, plan)
    return tuple(built.choice(job, one) for one in others[:_RUNNERS_UP])


def _told(job: Job, built: BuiltCase, answer: Answer, loss: CaseFallBack) -> FallBack:
    """A fall-back in terms of the job, its lifts complete."""
    rejected = " + ".join(built.ids((loss.rejected,)))
    if not loss.replaceable:
        return FallBack(rejected=rejected, choice=None)
    choice = built.choice(job, _whole(built.case, answer, loss.rejected, loss.nearest))
    best = built.choice(job, _whole(built.case, answer, loss.rejected, loss.best))
    new = tuple(i for i in choice.items if i not in built.ids(answer.items))
    same = best.items == choice.items and best.seat_m == choice.seat_m
    return FallBack(
        rejected=rejected, choice=choice, changed=new, best=None if same or not best else best
    )


def _whole(case: Case, plan: Answer, rejected: str, later: Answer) -> Answer:
    """A later answer with the lifts of what was run before it put back in front."""
    below = locked_below(case, plan, rejected)[len(case.locked) :]
    made = tuple(lift for lift in plan.lifts or () if lift[0] in below)
    return replace(later, lifts=None if later.lifts is None else (*made, *later.lifts))


# --- nothing closes -----------------------------------------------------------------


def _nothing(job: Job, built: BuiltCase, answer: Answer, begun: float, tell: Progress) -> SpaceOut:
    if answer.status == "stopped":
        why, proof = None, "Stopped before a plan was found; nothing is proved."
    else:
        tell("looking for what is in the way")
        why = explain(built.case, limit_s=_EXPLAIN_S, progress=tell)
        proof = "Proved: no choice and order of the usable pieces closes within the rules."
        proof += _limits_of(job)
    return SpaceOut(
        status="stopped" if answer.status == "stopped" else "infeasible",
        proved=answer.proved,
        proof=proof,
        choice=None,
        runners_up=(),
        fall_backs=(),
        irreplaceable=(),
        blocking=() if why is None else (*why.blocking, *why.notes()),
        cures=() if why is None else tuple(_cure(job, built, cure) for cure in why.cures),
        dropped=built.dropped,
        elapsed_s=time.perf_counter() - begun,
    )


def _cure(job: Job, built: BuiltCase, cure: Cure) -> str:
    def length(ticks: int) -> str:
        return show(ticks * built.tick_m, Dimension.LENGTH, job.units)

    def move(ticks: int) -> str:
        return show(ticks * built.tick_m, Dimension.LENGTH, job.units, small=True)

    if cure.kind == "pup":
        if cure.low == cure.high:
            return f"one more pup of {length(cure.low)} effective length"
        return (
            f"one more pup of {length(cure.low)} to {length(cure.high)} effective length"
            f" (confirmed every {length(cure.step)})"
        )
    if cure.kind == "max_items":
        most = job.rules.max_items
        return f"greatest number of pieces: {most + cure.high} instead of {most}"
    ways = [(cure.low, "lower"), (cure.high, "upper")]
    moves = [f"{end} limit out by {move(by)}" for by, end in ways if by]
    name = "usable stroke of the union" if cure.kind == "union" else f"{cure.kind} {cure.name}"
    return f"{name}: {' and '.join(moves)}{_beyond(job, built, cure)}"


def _beyond(job: Job, built: BuiltCase, cure: Cure) -> str:
    """Says so when the union itself has no such stroke."""
    union = job.union
    low_m, high_m = union.window_m
    if cure.kind != "union":
        return ""
    for off_m, end, limit_m in (
        (union.closed_m.si - low_m + cure.low * built.tick_m, "closed", union.closed_m.si),
        (high_m + cure.high * built.tick_m - union.open_m.si, "open", union.open_m.si),
    ):
        if off_m > built.tick_m:
            limit = show(limit_m, Dimension.LENGTH, job.units)
            return f"; NOT WITH THIS UNION ({end} {limit})"
    return ""
