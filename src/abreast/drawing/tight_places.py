"""Which cross-sections are drawn: the tightest, one for each circle they need."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from abreast.mechanics.fit import Fit, FitSection
from abreast.mechanics.passages import Passage

__all__ = ["TightPlace", "tight_places"]

_SAME_M = 1e-5
Key = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class TightPlace:
    """A cross-section to draw.

    ``count`` sections need the same circle in the same bore; this one shows most.
    ``passage`` is the bore with the smallest drift that it passes; None: not known.
    """

    section: FitSection
    passage: Passage | None
    count: int
    others: tuple[str, ...]


def tight_places(found: Fit, most: int) -> tuple[TightPlace, ...]:
    """The tightest places, tightest first, no two with the same circle in the same bore."""
    groups: dict[Key, list[FitSection]] = {}
    for section in found.sections:
        if section.circle is not None:
            groups.setdefault(_key(section), []).append(section)
    ranked = sorted(groups.values(), key=_rank)
    return tuple(_place(found, group) for group in ranked[:most])


def _key(section: FitSection) -> Key:
    circle = section.circle
    assert circle is not None, "only sections with a circle are asked"
    limit_m = -1.0 if section.limit_m is None else section.limit_m
    sizes = circle.x_m, circle.y_m, circle.radius_m, limit_m
    x, y, radius, limit = (round(size / _SAME_M) for size in sizes)
    return x, y, radius, limit


def _rank(group: list[FitSection]) -> tuple[float, float]:
    """Least clearance first; where no drift is known, the largest first, after the others."""
    clearance_m = group[0].clearance_m
    if clearance_m is None:
        return float("inf"), -group[0].diameter_m
    return clearance_m, -group[0].diameter_m


def _place(found: Fit, group: list[FitSection]) -> TightPlace:
    """Of equals the one that shows most, and of those the longest."""
    shown = max(group, key=lambda one: (len(one.shapes), one.top_m - one.bottom_m))
    others = dict.fromkeys(name for one in group for name in one.deciding)
    rest = tuple(name for name in others if name not in shown.deciding)
    return TightPlace(shown, _passage(found, shown), len(group), rest)


def _passage(found: Fit, section: FitSection) -> Passage | None:
    if section.limit_m is None:
        return None
    ways: Iterable[Passage] = (one.passage for one in found.clearances)
    passed = [
        way
        for way in ways
        if way.drift_m is not None and not way.behind and way.passed_at(section.deepest_md_m)
    ]
    return min(passed, key=lambda way: way.drift_m or 0.0, default=None)
