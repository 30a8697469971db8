"""Stations so far apart that nobody knows how the hole runs between them.

Between two stations the hole is taken as one arc. Over a long interval it may
bend away and back, and their angles do not show it. A hole that its stations call
vertical is no exception: nothing else says that it is.

The distance is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from abreast.units import Dimension, System, show

__all__ = ["LONG_M", "Gap", "gap_words", "gaps", "gaps_needed"]

LONG_M = 1000 * 0.3048
"""Farther apart, they leave a dogleg unknown [m]."""
_SAME_M = 1e-3


@dataclass(frozen=True, slots=True)
class Gap:
    """An interval without stations, depths as those of its stations [m]."""

    upper_m: float
    lower_m: float

    @property
    def length_m(self) -> float:
        """Its length [m]."""
        return self.lower_m - self.upper_m

    def overlaps(self, top_m: float, foot_m: float) -> bool:
        """Whether any of it lies between two depths [m]."""
        return self.upper_m < foot_m - _SAME_M and self.lower_m > top_m + _SAME_M

    def words(self, system: System) -> str:
        """Its ends, as text."""
        upper, lower = (
            show(md, Dimension.LENGTH, system, digits=1) for md in (self.upper_m, self.lower_m)
        )
        return f"{upper} and {lower}"


def gaps(depths_m: Iterable[float]) -> Iterator[Gap]:
    """Intervals longer than :data:`LONG_M`, top down.

    Parameters
    ----------
    depths_m : iterable of float
        Depths of the stations, top down [m].

    Examples
    --------
    >>> [gap.length_m for gap in gaps([0, 300, 610])]
    [310]
    """
    for upper_m, lower_m in pairwise(depths_m):
        if lower_m - upper_m > LONG_M + _SAME_M:
            yield Gap(upper_m, lower_m)


def gaps_needed(found: Sequence[Gap], system: System) -> tuple[str, ...]:
    """What a question that rests on such intervals needs: the longest by name, the others counted.

    Examples
    --------
    >>> gaps_needed([Gap(0.0, 310.0), Gap(310.0, 700.0)], "SI")
    ("the survey's stations between 310.0 m and 700.0 m and in 1 more longer than 305 m",)
    """
    if not found:
        return ()
    longest = max(found, key=lambda one: round(one.length_m, 3))
    more = len(found) - 1
    most = show(LONG_M, Dimension.LENGTH, system, digits=0)
    others = f" and in {more} more longer than {most}" if more else ""
    return (f"the survey's stations between {longest.words(system)}{others}",)


def gap_words(found: Sequence[Gap], system: System) -> tuple[str, ...]:
    """The same as an assumption: an arc was taken where nothing is known."""
    return tuple(
        f"the hole is taken as one arc where nothing is known of it: needs {need}"
        for need in gaps_needed(found, system)
    )
