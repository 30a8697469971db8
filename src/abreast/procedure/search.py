"""The shortest safe way from a state of the floor to a goal, found by search."""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

from abreast.mechanics.ledger import Ledger, State
from abreast.model.floor_actions import Action
from abreast.procedure.candidates import Hands
from abreast.procedure.goals import Goal
from abreast.procedure.same import state_key

__all__ = ["search"]

Progress = Callable[[str], None]
_MOVES = ("hoist", "lower")


@dataclass(frozen=True, slots=True)
class _Node:
    state: State
    action: Action | None
    parent: _Node | None
    depth: int

    def actions(self) -> tuple[Action, ...]:
        found: list[Action] = []
        node: _Node | None = self
        while node is not None and node.action is not None:
            found.append(node.action)
            node = node.parent
        return tuple(reversed(found))


def search(
    ledger: Ledger,
    state: State,
    goal: Callable[[State], bool],
    *,
    limit: int = 20_000,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Action, ...] | None:
    """The shortest sequence of candidate actions that reaches a goal and breaks no rule.

    Parameters
    ----------
    ledger : Ledger
        Judges every action.
    state : State
        Where the floor stands.
    goal : callable
        True for a state that is wanted. A :class:`~abreast.procedure.goals.Goal`
        also says how many actions are left at least, which guides the search.
    limit : int
        States to look at, at most.
    progress : callable, optional
        Told in a few words how far it is.
    cancelled : callable, optional
        Asked now and then; true stops the search.

    Returns
    -------
    tuple of Action, or None
        Empty when the goal is reached already. None when no way was found
        among the candidates within the limit; that is no proof that there is none.
    """
    left = goal.left if isinstance(goal, Goal) else _nothing
    hands = Hands(ledger, goal.kinds if isinstance(goal, Goal) else frozenset())
    order = count()
    best = {state_key(state): 0}
    ahead = [(left(state), 0, next(order), _Node(state, None, None, 0))]
    seen = 0
    while ahead and seen < limit:
        _, _, _, node = heapq.heappop(ahead)
        if goal(node.state):
            return node.actions()
        if best[state_key(node.state)] < node.depth:
            continue
        seen += 1
        if seen % 50 == 0:
            if cancelled is not None and cancelled():
                return None
            if progress is not None:
                progress(f"search: {seen} states looked at, {node.depth} actions deep")
        still = node.action is not None and node.action.do in _MOVES
        for action, after in hands.moves(node.state, still=still):
            key, depth = state_key(after), node.depth + 1
            if best.get(key, depth + 1) <= depth:
                continue
            best[key] = depth
            at_least = depth + left(after)
            heapq.heappush(
                ahead, (at_least, -depth, next(order), _Node(after, action, node, depth))
            )
    return None


def _nothing(_state: State) -> int:
    return 0
