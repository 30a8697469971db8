"""What lies close together along the string: the circle round all that one length holds.

A section by itself tells nothing of the next one. Two that meet, or lie within
the length over which the hole is known to be straight and clear, pass the same
place almost at once, and need the circle round both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from abreast.formulas.enclosing import Disc, Enclosing, enclosing_circle
from abreast.mechanics.fit import Clearance, Fit, FitSection
from abreast.mechanics.outlines import Outline
from abreast.mechanics.passages import Passage

__all__ = ["Along", "Stretch", "fit_along", "stretches", "widest"]

_SAME_M = 1e-9
_MEET_M = 2e-6
"""Sections with a smaller gap meet: twice the thinnest that is told apart."""


@dataclass(frozen=True)
class Stretch:
    """Neighbouring sections that one length holds, as if projected on one another.

    Parameters
    ----------
    sections : tuple of FitSection
        Bottom to top.
    """

    sections: tuple[FitSection, ...]

    @cached_property
    def circle(self) -> Enclosing | None:
        """The smallest circle round all shapes whose size is known [m]; None: none is."""
        return enclosing_circle(tuple(self._owners)) if self._owners else None

    @cached_property
    def _owners(self) -> dict[Disc, Outline]:
        """Each disc once, with the shape it belongs to."""
        shapes = (shape for section in self.sections for shape in section.shapes)
        return {disc: shape for shape in shapes for disc in shape.discs}

    @property
    def diameter_m(self) -> float:
        """Diameter of the circle [m]; 0 when no size is known."""
        return 0.0 if self.circle is None else self.circle.diameter_m

    @property
    def deciding(self) -> tuple[Outline, ...]:
        """The shapes that decide the circle, bottom to top."""
        if self.circle is None:
            return ()
        owners = list(self._owners.values())
        found = dict.fromkeys(owners[place] for place in self.circle.deciding)
        return tuple(sorted(found, key=lambda shape: (shape.bottom_m, shape.top_m)))

    @property
    def deciders(self) -> frozenset[str]:
        """The ids of the pieces that decide the circle."""
        return frozenset(shape.piece for shape in self.deciding)

    @property
    def facing_m(self) -> tuple[float, float]:
        """Heights of the upper end of the lowest and the lower end of the highest that decide."""
        ends = [(shape.top_m, shape.bottom_m) for shape in self.deciding]
        return min(top for top, _ in ends), max(bottom for _, bottom in ends)


@dataclass(frozen=True, slots=True)
class Along:
    """What lies close together, in one bore.

    Parameters
    ----------
    passage : Passage
        The bore.
    alone : FitSection
        The widest section by itself.
    meeting : Stretch
        The widest of sections that meet: it needs its circle, however the string lies.
    together : Stretch
        The widest within the straight length of the bore; no more room is
        needed there, however little the string can lean or bend.
    needs : tuple of str
        Sizes that are missing in any section that passes.
    """

    passage: Passage
    alone: FitSection
    meeting: Stretch
    together: Stretch
    needs: tuple[str, ...]


def fit_along(found: Fit) -> tuple[Along | None, ...]:
    """The circles round what lies close together, for each bore on the way.

    Parameters
    ----------
    found : Fit
        The sections and what they pass, by :func:`abreast.mechanics.fit.fit`.

    Returns
    -------
    tuple of Along or None
        One for each of ``found.clearances``; None where nothing passes it.

    Notes
    -----
    The length is ``straight_m`` of the passage. A drift mandrel has proved that
    a straight body of its length and diameter passes everywhere. If the circle
    round each stretch as long is no larger, each stretch passes as it stands,
    with no lean and no bending. If it is larger, only the stiffness of the
    string tells; over a mandrel's length it gives about a millimetre.
    """
    made: dict[tuple[float, int], tuple[Stretch, Stretch]] = {}
    return tuple(_along(found, one, made) for one in found.clearances)


def _along(
    found: Fit, clearance: Clearance, made: dict[tuple[float, int], tuple[Stretch, Stretch]]
) -> Along | None:
    way = clearance.passage
    if clearance.section is None:
        return None
    passing = [one for one in found.sections if way.passed_at(one.deepest_md_m)]
    key = way.straight_m, len(passing)  # the lowest sections pass first
    if key not in made:
        made[key] = (
            widest(passing, _MEET_M),
            widest(passing, max(way.straight_m, _MEET_M)),
        )
    return Along(way, clearance.section, *made[key], clearance.needs)


def widest(sections: Sequence[FitSection], length_m: float) -> Stretch:
    """The stretch of a length with the largest circle; of equal ones the lowest."""
    return max(stretches(sections, length_m), key=lambda one: round(one.diameter_m, 9))


def stretches(sections: Sequence[FitSection], length_m: float) -> Iterator[Stretch]:
    """Every greatest run of sections that a length along the string can touch at once.

    Parameters
    ----------
    sections : sequence of FitSection
        Bottom to top.
    length_m : float
        That length [m]; 0 gives each section by itself.
    """
    held = 0
    for first, lowest in enumerate(sections):
        end = max(held, first + 1)
        while end < len(sections) and sections[end].bottom_m < lowest.top_m + length_m - _SAME_M:
            end += 1
        if end > held:
            yield Stretch(tuple(sections[first:end]))
        held = end
