"""Which lift stands at which landing: the bypass top while each ESP section hangs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

__all__ = ["Window", "landing_ends"]

Window = tuple[float, float]
# Sums of measured lengths differ by a few units in the last place; a tape does not.
_SAME_M = 1e-6


def _inside(height_m: float, window: Window) -> bool:
    return window[0] - _SAME_M <= height_m <= window[1] + _SAME_M


def landing_ends(
    ends_m: Sequence[float],
    windows_m: Sequence[Window],
    pre_run_m: float | None = None,
    *,
    made: int = 0,
    passed: int = 0,
) -> tuple[int, ...]:
    """For each landing, the number of lifts below the bypass top.

    Parameters
    ----------
    ends_m : sequence of float
        Heights of the lift ends, P0 first, rising [m].
    windows_m : sequence of (float, float)
        Heights between which the bypass top may stand at each landing, landings
        bottom up [m].
    pre_run_m : float, optional
        Greatest height of the lower end of a lift made up before the first ESP
        section [m]; None: only the first lift is made up then.
    made : int
        Number of lifts that are in the well: where they were made up is not
        judged any more.
    passed : int
        Number of landings that lie behind: they had a top within what is made,
        the others have it at the end of that or above. 0: not stated.

    Returns
    -------
    tuple of int
        Index into ``ends_m`` per landing, never falling. Of several ways in
        which every lift is made up within reach, the one that adds each lift
        latest. Where there is none, the lift end nearest to each window: the
        checks then say what is out of reach.

    Examples
    --------
    Ends 0, 4, 8 m; landings that want 3 to 5 m and 6 to 9 m:

    >>> landing_ends([0.0, 4.0, 8.0], [(3.0, 5.0), (6.0, 9.0)])
    (1, 2)
    """
    behind = _nearest(ends_m[: made + 1], windows_m[:passed], 0)
    first = made if passed else 0
    ahead = _in_reach(ends_m, windows_m, pre_run_m, made=made, passed=passed)
    return (*behind, *(ahead or _nearest(ends_m, windows_m[passed:], first)))


def _in_reach(
    ends_m: Sequence[float],
    windows_m: Sequence[Window],
    pre_run_m: float | None,
    *,
    made: int,
    passed: int,
) -> tuple[int, ...] | None:
    """Ends of the landings ahead, each lift made up within reach; None if there is no way."""
    count, last = len(windows_m), len(ends_m) - 1

    def may_start(end: int, stage: int) -> bool:
        if end < made:
            return True
        if stage > 0:
            return _inside(ends_m[end], windows_m[stage - 1])
        return end == 0 or (pre_run_m is not None and ends_m[end] <= pre_run_m + _SAME_M)

    @cache
    def rest(at: int, stage: int) -> tuple[int, ...] | None:
        """Ends of the landings after ``stage``, the bypass top being at ``at``."""
        if stage == count:
            reached = all(may_start(end, stage) for end in range(at, last + (stage > 0)))
            return () if reached else None
        for end in range(at, last + 1):
            if _inside(ends_m[end], windows_m[stage]):
                after = rest(end, stage + 1)
                if after is not None:
                    return (end, *after)
            if not may_start(end, stage):
                break
        return None

    return rest(made if passed else 0, min(passed, count))


def _nearest(ends_m: Sequence[float], windows_m: Sequence[Window], first: int) -> tuple[int, ...]:
    found: list[int] = []
    for low, high in windows_m:
        start = found[-1] if found else first
        miss = {
            end: max(low - ends_m[end], ends_m[end] - high, 0.0)
            for end in range(start, len(ends_m))
        }
        found.append(min(miss, key=lambda end: (miss[end], end)))
    return tuple(found)
