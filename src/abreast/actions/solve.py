"""Solve a bare space-out case: text in, plain data out, every answer checked apart."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from abreast.errors import AbreastError
from abreast.spaceout.case import Answer, Case, read_case_text

__all__ = ["solve_text"]

Progress = Callable[[str], None]


def solve_text(
    text: str,
    file: str = "",
    *,
    limit_s: float | None = None,
    alternatives: int = 0,
    fall_backs: bool = False,
    explain: bool = False,
    progress: Progress | None = None,
) -> dict[str, Any]:
    """The answer to a case written as JSON.

    Parameters
    ----------
    text : str
        The case.
    file : str
        Its name, for messages.
    limit_s : float, optional
        Time for everything together.
    alternatives : int
        How many runners-up to add.
    fall_backs, explain : bool
        Add a fall-back for every free piece; say what blocks and what would cure it.
    progress : callable, optional
        Told in a few words what is being tried.

    Returns
    -------
    dict
        The answer object of the case format.

    Raises
    ------
    InputError
        If the text is no case.
    """
    from abreast.spaceout.solve import solve

    until = None if limit_s is None else time.perf_counter() + limit_s
    case = read_case_text(text, file)
    answer = solve(case, limit_s=limit_s, progress=progress)
    _must_be_right(case, answer)
    data = answer.as_dict()
    if alternatives > 0:
        data["alternatives"] = _alternatives(case, answer, alternatives, until, progress)
    if fall_backs:
        data["fall_backs"] = _fall_backs(case, answer, until, progress)
    if explain:
        data |= _explanation(case, answer, until, progress)
    return data


def _must_be_right(case: Case, answer: Answer) -> None:
    """Pass an answer on only when the independent checker finds nothing against it."""
    from abreast.spaceout.checker import check_answer

    faults = check_answer(case, answer)
    if faults:
        message = f"the answer failed its own check ({faults[0]}); please report this case"
        raise AbreastError(message, code="wrong-answer")


def _alternatives(
    case: Case, answer: Answer, count: int, until: float | None, progress: Progress | None
) -> list[dict[str, Any]]:
    from abreast.spaceout.solve import StoppedError, runners_up

    if answer.objective is None:
        return []
    try:
        plans = runners_up(case, count + 1, until=until, progress=progress)
    except StoppedError:
        return []
    found = [plan for plan in plans if set(plan.items) != set(answer.items)]
    for one in found:
        _must_be_right(case, one)
    return [one.as_dict() for one in found[:count]]


def _fall_backs(
    case: Case, answer: Answer, until: float | None, progress: Progress | None
) -> dict[str, Any]:
    from abreast.spaceout.fallback import fall_backs, state_without

    if answer.objective is None:
        return {}
    left = None if until is None else max(0.0, until - time.perf_counter())
    if answer.status == "stopped":
        left = 0.0
    found = fall_backs(case, answer, limit_s=left, progress=progress)
    for item_id, one in found.items():
        state = state_without(case, answer, item_id)
        _must_be_right(state, one.nearest)
        _must_be_right(state, one.best)
    return {item_id: one.as_dict() for item_id, one in found.items()}


def _explanation(
    case: Case, answer: Answer, until: float | None, progress: Progress | None
) -> dict[str, Any]:
    from abreast.spaceout.explain import explain

    if answer.status != "infeasible":
        return {"blocking": [], "cures": []}
    if until is None:
        return explain(case, progress=progress).as_dict()
    return explain(case, limit_s=max(0.1, until - time.perf_counter()), progress=progress).as_dict()
