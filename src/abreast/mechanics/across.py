"""What stands across each element of the blow-out preventer, landing by landing."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from abreast.mechanics.cable import CABLE_ID
from abreast.mechanics.fit import Fit, FitSection
from abreast.mechanics.needs import needs_of
from abreast.mechanics.outlines import Outline
from abreast.model import Assembly, BopElement, Job

__all__ = ["Across", "Moment", "across", "moments"]

Seals = Literal["yes", "no", "not known"]
_SAME_M = 1e-9


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of the run: the height that stands at the plate of the false rotary [m]."""

    name: str
    plate_m: float


@dataclass(frozen=True, slots=True)
class Across:
    """What one element would close on.

    Parameters
    ----------
    element : str
        Id of the element.
    height_m : float
        Height of the assembly that stands at it [m].
    pieces : tuple of str
        Ids of what stands there: string by string, then clamps and blocks, the cable last.
    seals : {"yes", "no", "not known"}
        Whether the element is meant for that.
    why : str
        The reason, in a few words.
    needs : tuple of str
        Inputs that are missing to tell.
    """

    element: str
    height_m: float
    pieces: tuple[str, ...]
    seals: Seals
    why: str
    needs: tuple[str, ...] = ()


def moments(assembly: Assembly) -> tuple[Moment, ...]:
    """Each landing, and half-way down from it to the next."""
    landed = [Moment(state.id, state.neck_m) for state in assembly.landings]
    found = landed[:1]
    for before, after in pairwise(landed):
        middle_m = (before.plate_m + after.plate_m) / 2
        found += [Moment(f"half-way to {after.name}", middle_m), after]
    return tuple(found)


def across(job: Job, found: Fit, moment: Moment) -> tuple[Across, ...]:
    """What stands across every element at a moment, top element first.

    Parameters
    ----------
    job : Job
        The elements, and the height of the false rotary.
    found : Fit
        The sections of the assembly.
    moment : Moment
        A landing, or a height on the way between two.

    Returns
    -------
    tuple of Across
        An element is taken to seal on one round body within its range, a blind
        ram on nothing at all; on two strings, or on a string with a cable,
        nothing seals.

    Raises
    ------
    MissingInputError
        If the height of the false rotary or the depth of an element is missing.
    """
    elements = sorted(job.bop, key=lambda element: element.below_floor_m.si)
    return tuple(_across(job, found, moment, element) for element in elements)


def _across(job: Job, found: Fit, moment: Moment, element: BopElement) -> Across:
    drop_m = job.rig.false_rotary_height_m.si + element.below_floor_m.si
    height_m = moment.plate_m - drop_m
    section = found.at(height_m)
    shapes = [] if section is None else _in_order(section, found, height_m)
    needs = () if section is None else section.cut.solid_needs
    seals, why, needs = _judged(element, shapes, needs)
    names = tuple(dict.fromkeys(shape.piece for shape in shapes))
    return Across(element.id, height_m, names, seals, why, needs)


def _in_order(section: FitSection, found: Fit, height_m: float) -> list[Outline]:
    order = ("esp", "bypass", "both", "cable")
    shapes = sorted(section.shapes, key=lambda shape: order.index(shape.side))
    cable = found.cable
    beside = cable.bottom_m <= height_m <= cable.top_m
    if beside and not section.has(CABLE_ID):  # its place is not known, but it is there
        shapes.append(Outline(CABLE_ID, "cable", "", cable.bottom_m, cable.top_m))
    return shapes


_Judged = tuple[Seals, str, tuple[str, ...]]


def _judged(element: BopElement, shapes: list[Outline], needs: tuple[str, ...]) -> _Judged:
    if not shapes and not needs:
        blind = element.kind in ("annular", "blind-shear rams")
        return ("yes" if blind else "no"), "the hole is empty there", ()
    if element.kind == "blind-shear rams":
        return "no", "it is meant for an empty hole", ()
    strings = {shape.side for shape in shapes}
    if len(strings) > 1:
        return "no", "nothing seals on more than one round body", ()
    if strings & {"both", "cable"}:
        return "no", "what stands there is not one round body", ()
    return _on_one(element, shapes, needs)


def _on_one(element: BopElement, shapes: list[Outline], needs: tuple[str, ...]) -> _Judged:
    low, high = element.closes_min_od_m, element.closes_max_od_m
    missing = (*needs_of(low, high), *needs)
    if low.known is None or high.known is None or missing:
        return "not known", "its range or a diameter is not stated", missing
    od_m = 2 * max(shape.radius_m for shape in shapes)
    if low.known - _SAME_M <= od_m <= high.known + _SAME_M:
        return "yes", "one round body within its range", ()
    return "no", "one round body, but out of its range", ()
