"""Lengths of the rack that look wrong against their nominal, their class and one another.

The bounds here are common practice, no source: they only decide what is asked
back, never what is used.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from abreast.jobfile.suspicion import Suspect, length_text, number_typed
from abreast.model import Job, Quantity, RackItem
from abreast.units import Dimension, show

__all__ = ["length_suspects"]

_METRES_PER_FOOT = 0.3048
_FEET_PER_METRE = 1 / _METRES_PER_FOOT
_RATIO_SLACK = 0.06
# Median absolute deviation to standard deviation of a normal spread.
_ROBUST = 1.4826
_SPREADS = 3.0
_FLOOR_M = 0.04
_LEAST_GROUP = 4
_ALONE_M = 0.15
_INCHES = 12
_LEAST_DOTTED = 5


@dataclass(frozen=True, slots=True)
class _Measured:
    """A rack piece with a length, and how far that is from what it is sold as."""

    index: int
    item: RackItem
    overall_m: float
    nominal_m: float | None

    @property
    def excess_m(self) -> float:
        return self.overall_m - (self.nominal_m or 0.0)


def length_suspects(job: Job) -> Iterator[Suspect]:
    """Lengths of rack pieces that look wrong."""
    measured = [
        _Measured(index, item, item.overall_m.si, item.nominal_m.known)
        for index, item in enumerate(job.rack)
        if item.overall_m.is_given
    ]
    swapped = {one.index for one in measured if _factor(one) is not None}
    for one in measured:
        factor = _factor(one)
        if factor is not None:
            yield _unit_swapped(job, one, factor)
    yield from _outliers(job, [one for one in measured if one.index not in swapped])
    yield from _dotted_inches(measured)
    yield from _twice_measured(job, measured)


def _factor(one: _Measured) -> float | None:
    """3.28 or 0.305 when overall over nominal is near it."""
    if not one.nominal_m:
        return None
    ratio = one.overall_m / one.nominal_m
    for factor in (_FEET_PER_METRE, 1 / _FEET_PER_METRE):
        if abs(ratio / factor - 1) < _RATIO_SLACK:
            return factor
    return None


def _unit_swapped(job: Job, one: _Measured, factor: float) -> Suspect:
    feet = factor > 1
    number = number_typed(one.item.overall_m) or f"{one.overall_m:.3f}"
    wrong, right = ("metres", "ft") if feet else ("feet", "m")
    meant = length_text(job, one.overall_m / factor)
    message = (
        f"{length_text(job, one.overall_m)} is {one.overall_m / (one.nominal_m or 1):.2f} times the"
        f" nominal {length_text(job, one.nominal_m or 0.0)}, as if {'feet' if feet else 'metres'}"
        f" stood in a column of {wrong}"
    )
    proposal = f"If so correct it to {number} {right} ({meant}); else measure the piece again"
    return Suspect("rack", one.index, "overall", "unit-swapped", message, proposal, one.item.id)


def _outliers(job: Job, measured: list[_Measured]) -> Iterator[Suspect]:
    groups: dict[tuple[str, str, bool], list[_Measured]] = defaultdict(list)
    for one in measured:
        if one.nominal_m is not None or one.item.kind == "joint":
            thread = one.item.lower_end.thread if one.item.kind == "joint" else ""
            groups[one.item.kind, thread, one.nominal_m is None].append(one)
    for group in groups.values():
        middle, reach = _class_of(group)
        for one in group:
            if abs(one.excess_m - middle) > reach:
                yield _outlier(job, one, (one.nominal_m or 0.0) + middle, reach)


def _class_of(group: Sequence[_Measured]) -> tuple[float, float]:
    """Usual excess of a class over nominal, and how far a piece may be from it [m]."""
    if len(group) < _LEAST_GROUP:
        has_nominal = group[0].nominal_m is not None and group[0].item.kind != "joint"
        return 0.0 if has_nominal else group[0].excess_m, _ALONE_M if has_nominal else 1e9
    middle = median(one.excess_m for one in group)
    spread = _ROBUST * median(abs(one.excess_m - middle) for one in group)
    return middle, max(_SPREADS * spread, _FLOOR_M)


def _outlier(job: Job, one: _Measured, usual_m: float, reach_m: float) -> Suspect:
    off = one.overall_m - usual_m
    guess = _guess(job, one, usual_m, reach_m)
    message = (
        f"{length_text(job, one.overall_m)} is {length_text(job, abs(off))}"
        f" {'longer' if off > 0 else 'shorter'} than its class"
        f" ({length_text(job, usual_m)} ± {length_text(job, reach_m)})"
    )
    proposal = f"{guess}measure the piece again, then correct or accept it"
    proposal = proposal[0].upper() + proposal[1:]
    return Suspect("rack", one.index, "overall", "outlier", message, proposal, one.item.id)


def _guess(job: Job, one: _Measured, usual_m: float, reach_m: float) -> str:
    """What slip would bring the typed number back into its class."""
    number = number_typed(one.item.overall_m)
    if not number:
        return ""
    for factor, wrong, meant in (
        (_METRES_PER_FOOT, "feet", "ft"),
        (_FEET_PER_METRE, "metres", "m"),
    ):
        length_m = one.overall_m * factor
        if abs(length_m - usual_m) <= reach_m:
            return f"Typed in {wrong}? {number} {meant} ({length_text(job, length_m)}) would fit; "
    unit_m = one.overall_m / float(number) if float(number) else 1.0
    for step in (-1.0, 1.0):
        if abs((float(number) + step) * unit_m - usual_m) <= reach_m:
            return f"Off by 1.00? {float(number) + step:.{_decimals(number)}f} would fit; "
    for text in _swaps(number):
        if abs(float(text) * unit_m - usual_m) <= reach_m:
            return f"Digits swapped? {text} would fit; "
    return ""


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])


def _swaps(number: str) -> Iterator[str]:
    """The number with two neighbouring digits changed about, the point staying where it is."""
    places = [n for n, sign in enumerate(number) if sign != "."]
    for a, b in pairwise(places):
        if number[a] != number[b]:
            signs = list(number)
            signs[a], signs[b] = signs[b], signs[a]
            yield "".join(signs)


def _dotted_inches(measured: list[_Measured]) -> Iterator[Suspect]:
    """A whole column of feet whose decimals never pass .11 may be feet and inches."""
    decimals = [_feet_decimals(one.item.overall_m) for one in measured]
    known = [text for text in decimals if text is not None]
    if len(known) < _LEAST_DOTTED or len(known) < len(measured):
        return
    if any(len(text) != 2 or int(text) >= _INCHES for text in known) or len(set(known)) < 3:
        return
    message = (
        f"none of {len(known)} lengths in feet has more than .11 after the point:"
        " they may be feet and inches (31.05 for 31 ft 5 in)"
    )
    proposal = "Ask who measured; write 31 ft 5 in, or accept the heading"
    yield Suspect("rack", None, "overall", "dotted-inches", message, proposal)


def _feet_decimals(overall: Quantity) -> str | None:
    number = number_typed(overall)
    return number.partition(".")[2] if overall.typed == f"{number} ft" and "." in number else None


def _twice_measured(job: Job, measured: list[_Measured]) -> Iterator[Suspect]:
    allowed_m = job.rules.measure_agreement_m.known
    for one in measured:
        second_m = one.item.overall_2_m.known
        if second_m is None or allowed_m is None:
            continue
        off = abs(second_m - one.overall_m)
        if off > allowed_m + 1e-9:
            shown = show(off, Dimension.LENGTH, job.units, small=True)
            message = f"the two measurements differ by {shown}"
            proposal = "Measure the piece a third time and correct the wrong one"
            yield Suspect(
                "rack", one.index, "overall_2", "measured-twice", message, proposal, one.item.id
            )
