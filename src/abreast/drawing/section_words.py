"""The words beside a cross-section: what stands there, the circle, the drift and the room."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, pi
from typing import NamedTuple

from abreast.drawing.canvas import Canvas
from abreast.drawing.tight_places import TightPlace
from abreast.mechanics.fit import Fit
from abreast.mechanics.outlines import Outline
from abreast.model import Assembly

__all__ = ["LETTERS", "Row", "rows_of"]

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""One for each shape, in the order of the section; none that looks like a figure."""

_MOST_NAMES = 5


class Row(NamedTuple):
    """A line of words; one of them carries the clearance."""

    words: str
    bold: bool = False
    is_clearance: bool = False


def rows_of(view: Canvas, found: Fit, assembly: Assembly, place: TightPlace) -> tuple[Row, ...]:
    """Heading first, then the rows of the legend."""
    section = place.section
    return (
        Row(" + ".join(section.deciding) or "nothing known"),
        *_clearance(view, found, place),
        Row(f"smallest circle {view.across(section.diameter_m)}"),
        *_bores(view, place),
        *_heights(view, assembly, place),
        *_legend(view, found, place),
        *(Row(f"NOT DRAWN: needs {need}", bold=True) for need in section.cut.needs),
        *_also(place),
    )


def _clearance(view: Canvas, found: Fit, place: TightPlace) -> Iterator[Row]:
    clearance_m = place.section.clearance_m
    if clearance_m is None:
        needs = "; ".join(found.way_needs[:2]) or "drifts and depths on the way"
        yield Row(f"clearance NOT KNOWN: needs {needs}", bold=True)
        return
    sign = "-" if clearance_m < 0 else "+"
    words = f"clearance {sign}{view.across(abs(clearance_m))}"
    yield Row(words, bold=True, is_clearance=True)
    if clearance_m < 0:
        yield Row("TOO LARGE for the drift", bold=True)


def _bores(view: Canvas, place: TightPlace) -> Iterator[Row]:
    way = place.passage
    if way is None:
        return
    special = "special drift" if way.special else "drift"
    drift = f"{special} {view.across(way.drift_m)}" if way.drift_m is not None else ""
    bore = f"bore {view.across(way.bore_m)}" if way.bore_m is not None else "bore not stated"
    yield Row(drift)
    yield Row(bore)
    yield Row(f"in {way.name}")


def _heights(view: Canvas, assembly: Assembly, place: TightPlace) -> Iterator[Row]:
    section = place.section
    low, high = view.length(section.bottom_m), view.length(section.top_m)
    yield Row(f"z {low} to {high} {view.unit}")
    known = next((one for one in assembly.pieces if one.top_md_m is not None), None)
    if known is not None:
        zero_m = (known.top_md_m or 0.0) + known.top_m
        top, bottom = view.length(zero_m - section.top_m), view.length(zero_m - section.bottom_m)
        yield Row(f"MD {top} to {bottom} {view.unit}")


def _legend(view: Canvas, found: Fit, place: TightPlace) -> Iterator[Row]:
    for letter, shape in zip(LETTERS, place.section.shapes, strict=False):
        yield from (Row(f"{letter}: {words}") for words in _shape(view, found, shape))
    yield from _window(found, place)


def _shape(view: Canvas, found: Fit, shape: Outline) -> Iterator[str]:
    if shape.side != "cable":
        yield f"{shape.name} {view.across(2 * shape.radius_m)}"
        return
    angle = found.cable.angle_rad
    yield f"{shape.name} at {degrees(angle or 0.0):.0f}°"


def _window(found: Fit, place: TightPlace) -> Iterator[Row]:
    section, course = place.section, found.cable
    cable = course.at((section.bottom_m + section.top_m) / 2)
    if cable is None or section.windows is None or not section.has("MLE"):
        return
    if not section.windows:
        yield Row("MLE fits at NO angle", bold=True)
        return
    side = -1.0 if (course.angle_rad or 0.0) < 0 else 1.0
    spans = [
        f"{degrees(side * low):.0f}° to {degrees(side * high):.0f}°"
        for low, high in section.windows
    ]
    yield Row(f"MLE window {', '.join(spans)}")
    yield from _margin(found, place)


def _margin(found: Fit, place: TightPlace) -> Iterator[Row]:
    angle = found.cable.angle_rad
    if angle is None:
        return
    folded = abs((angle + pi) % (2 * pi) - pi)
    for low, high in place.section.windows or ():
        if low <= folded <= high:
            room = degrees(min(folded - low, high - folded))
            yield Row(f"{room:.0f}° to its nearer edge")
            return
    yield Row("MLE lies OUTSIDE its window", bold=True)


def _also(place: TightPlace) -> Iterator[Row]:
    more = len(place.others) - _MOST_NAMES
    if place.others:
        names = ", ".join(place.others[:_MOST_NAMES])
        yield Row(f"same circle: {names}{f' and {more} more' if more > 0 else ''}")
