"""What to run instead when a piece of the plan is rejected.

Everything below the lift of the rejected piece is in the well already; that
lift and all above it are open again. On the floor one swapped joint beats a new
plan, so the first answer is the one that changes the fewest lines of the
running list; the best plan for what is left stands beside it.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from abreast.spaceout.case import Answer, Case, Objective
from abreast.spaceout.count import LineChanges
from abreast.spaceout.descend import Descent, OutOfNodesError
from abreast.spaceout.reach import Key, Reach, heights_of
from abreast.spaceout.solve import Ground, Search, StoppedError, combined, plan_order, solve_one
from abreast.spaceout.tables import ways

__all__ = [
    "FallBack",
    "fall_back",
    "fall_backs",
    "grounds_of",
    "grounds_without",
    "locked_below",
    "state_without",
]

_MOST_CHANGES = 3  # beyond these the re-optimised rest is as good an answer
_NODES = 20_000


@dataclass(frozen=True)
class FallBack:
    """Answer to the loss of one piece.

    ``nearest`` changes the fewest lines of the running list (``changes`` of
    them); ``best`` is the optimum of what is left. Both are infeasible when
    nothing closes without the piece.
    """

    rejected: str
    nearest: Answer
    changes: int | None
    best: Answer

    @property
    def replaceable(self) -> bool:
        """Whether anything closes without the piece."""
        return self.nearest.objective is not None

    def as_dict(self) -> dict[str, Any]:
        """The nearest answer's fields, the lines it changes, and the re-optimised rest."""
        return {
            **self.nearest.as_dict(),
            "changed_lines": self.changes,
            "re_optimised": self.best.as_dict(),
        }


def locked_below(case: Case, answer: Answer, rejected: str) -> tuple[str, ...]:
    """The ids that are in the well when a piece of the plan is found bad."""
    if answer.lifts is not None:
        lift = next((lift for lift in answer.lifts if rejected in lift), (rejected,))
        return answer.items[: answer.items.index(lift[0])]
    return answer.items[: answer.items.index(rejected)]


def state_without(case: Case, answer: Answer, rejected: str) -> Case:
    """The case as it stands when a piece of its plan is found bad: the rest below is run."""
    locked = locked_below(case, answer, rejected)
    return case.model_copy(
        update={
            "locked": locked,
            "excluded": (*case.excluded, rejected),
            "landings_passed": _passed_below(case, answer, locked),
        }
    )


def _passed_below(case: Case, answer: Answer, locked: tuple[str, ...]) -> int | None:
    """Landings behind us once the locked pieces are run.

    Where some are behind us already, the later ones are met by lift ends not
    below the locked string; those that its own ends have met are passed too.
    The last landing it reaches is left open: its top may still be the one.
    """
    if not case.landings_passed or case.lifts is None or answer.seat is None:
        return case.landings_passed
    length = sum(case.item(i).effective for i in locked)
    top = case.base.height - answer.seat + length
    reached = sum(one.table + one.window[0] <= top for one in case.landings)
    return max(case.landings_passed, reached - 1)


def fall_backs(
    case: Case,
    answer: Answer,
    *,
    limit_s: float | None = None,
    progress: Callable[[str], None] | None = None,
) -> dict[str, FallBack]:
    """A fall-back for every free piece of a plan, keyed by its id.

    Parameters
    ----------
    case : Case
        The case the answer belongs to.
    answer : Answer
        An answer with a plan.
    limit_s : float, optional
        Time for all of them together; what is not settled by then is ``stopped``.
    progress : callable, optional
        Told which piece is being looked at.
    """
    until = None if limit_s is None else time.perf_counter() + limit_s
    grounds = grounds_of(case)
    found = {}
    for item_id in answer.items[len(case.locked) :]:
        if progress:
            progress(f"without {item_id}")
        found[item_id] = fall_back(case, answer, item_id, grounds=grounds, until=until)
    return found


def fall_back(
    case: Case,
    answer: Answer,
    rejected: str,
    *,
    grounds: Sequence[Ground] | None = None,
    until: float | None = None,
) -> FallBack:
    """The fall-back for one piece of a plan."""
    begun = time.perf_counter()
    locked = locked_below(case, answer, rejected)
    left = grounds_without(case, answer, rejected, grounds)
    searches = [Search(ground, until=until) for ground in left]
    former = answer.items[len(locked) :]
    best = _timed(combined(solve_one(search) for search in searches), begun)
    if best.status == "infeasible":
        return FallBack(rejected, best, None, best)
    try:
        near = _nearest(searches, former)
    except (StoppedError, OutOfNodesError):
        near = None
    if near is None:
        changes = _distance(former, best.items[len(locked) :]) if best.objective else None
        return FallBack(rejected, best, changes, best)
    return FallBack(rejected, _timed(near[0], begun), near[1], best)


def grounds_of(case: Case) -> list[Ground]:
    """The grounds of a case, one for each of its ways."""
    return [Ground.of(case, touched, merge=False) for touched in ways(case)]


def grounds_without(
    case: Case, answer: Answer, rejected: str, grounds: Sequence[Ground] | None = None
) -> list[Ground]:
    """The grounds of :func:`state_without`; those of the whole case are used where they can be.

    What a landing that is passed asks for is worked into a ground, so one with
    more of them passed is made anew.
    """
    state = state_without(case, answer, rejected)
    if state.landings_passed != case.landings_passed:
        return grounds_of(state)
    whole = grounds_of(case) if grounds is None else grounds
    return [ground.reduced(state.locked, rejected) for ground in whole]


def _timed(answer: Answer, begun: float) -> Answer:
    return Answer(**{**answer.__dict__, "elapsed_s": time.perf_counter() - begun})


def _nearest(searches: Sequence[Search], former: tuple[str, ...]) -> tuple[Answer, int] | None:
    """The answer with the fewest changed lines, then the best objective, if few will do."""
    case = searches[0].case
    lines = len(case.locked) + len(former)
    for changes in range(1, _MOST_CHANGES + 1):
        for n in range(max(1, lines - changes), min(lines + changes, case.max_items) + 1):
            answers = [_with_changes(search, former, n, changes) for search in searches]
            found = [answer for answer in answers if answer is not None]
            if found:  # more items can't be better
                return min(found, key=plan_order), changes
    return None


def _with_changes(search: Search, former: tuple[str, ...], n: int, changes: int) -> Answer | None:
    count = LineChanges(search.tables, search.outlook, n, former, changes)
    reach = Reach(search.tables, search.moves, count, (), search.check)
    descent = Descent(reach, search.check)
    for objective, height, keys in _ranked(search, reach, n):
        found = descent.settle(keys, height, _NODES)
        if found is not None:
            ids = [*search.case.locked, *found[0]]
            return search.answer(objective, ids, search.seat_of(found[1]))
    return None


def _ranked(search: Search, reach: Reach, n: int) -> list[tuple[Objective, int, list[Key]]]:
    """Objectives and heights that are reached, best first, and the final states that do."""
    union, gap = search.case.union, search.case.gap
    ranked: dict[tuple[Objective, int], list[Key]] = defaultdict(list)
    for key, span in reach.tops():
        for height in heights_of(span):
            deviation = abs(gap - height - union.target)
            objective = (n, deviation // union.bucket, key.mark[2], deviation)
            ranked[objective, -height].append(key)
    return [(objective, -down, sorted(keys)) for (objective, down), keys in sorted(ranked.items())]


def _distance(former: tuple[str, ...], later: tuple[str, ...]) -> int:
    """Fewest lines replaced, put in or left out that turn one running list into the other."""
    row = list(range(len(later) + 1))
    for i, old in enumerate(former, 1):
        row, above = [i], row
        for j, new in enumerate(later, 1):
            row.append(min(above[j] + 1, row[-1] + 1, above[j - 1] + (old != new)))
    return row[-1]
