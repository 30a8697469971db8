"""The path of the well: section view, plan view and doglegs, with the landed string on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, hypot, sin

from abreast.drawing.caption import FIGURE_MM, caption
from abreast.drawing.chart import Axes, Axis
from abreast.drawing.page import Page, frame
from abreast.drawing.scene import Item, Line, Rect, Scene, Text
from abreast.drawing.sheet import Paper, Sheet, sheet_of
from abreast.drawing.thin import tallest, thinned
from abreast.errors import MissingInputError
from abreast.formulas.survey import (
    Position,
    dogleg_severity,
    position_at,
    positions,
)
from abreast.mechanics.run_string import survey_stations
from abreast.model import Assembly, Job
from abreast.units import Dimension, display_unit, show, to_unit

__all__ = ["well_path"]

_PEN_MM, _STATION_MM, _BAR_MM = 0.1, 0.35, 0.15
"""Nearer than this on paper, points of a curve, stations and bars are not told apart."""


@dataclass(frozen=True, slots=True)
class _Path:
    """What the three charts show, in metres."""

    job: Job
    known: tuple[Position, ...]
    fine: tuple[Position, ...]
    top_md_m: float
    end_md_m: float

    @property
    def system(self) -> str:
        return self.job.units

    def long(self, value_m: float) -> float:
        """A length in the unit that is printed."""
        return to_unit(value_m, display_unit(Dimension.LENGTH, self.job.units))

    @property
    def unit(self) -> str:
        return display_unit(Dimension.LENGTH, self.job.units)

    def string(self) -> tuple[Position, ...]:
        """Positions along the landed string, as far as the survey reaches."""
        first, last = self.known[0].station.md_m, self.known[-1].station.md_m
        low, high = max(self.top_md_m, first), min(self.end_md_m, last)
        if high <= low:
            return ()
        return tuple(position_at(self.known, low + (high - low) * n / 8) for n in range(9))


def well_path(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> tuple[Scene, ...]:
    """Section view, plan view and dogleg chart on one sheet.

    Parameters
    ----------
    job : Job
        Survey, casing, openings, limits of doglegs.
    assembly : Assembly
        The twin string, planned or run.
    paper : {"A4", "A3"}
        The sheet, upright.

    Raises
    ------
    MissingInputError
        If the survey or the depth of the string is missing.

    Notes
    -----
    Minimum curvature between stations; what a survey does not see is not on it.
    """
    sheet = sheet_of(paper)
    path = _path_of(job, assembly)
    page = Page(
        job=job,
        sheet=sheet,
        heading="Well path",
        notes=(
            "Minimum curvature between the survey's stations; doglegs between stations are not"
            f" seen. Depths are MD from {job.depth_datum} in {path.unit}.",
            _north(job),
            "Heavy line: the landed twin string.",
        ),
        scale="not to one scale",
    )
    items = (*_section(path, sheet), *_plan(path, sheet), *_doglegs(path, sheet), *frame(page))
    return (Scene(sheet.width_mm, sheet.height_mm, page.title, items),)


def _path_of(job: Job, assembly: Assembly) -> _Path:
    depths = [one.top_md_m for one in assembly.pieces if one.top_md_m is not None]
    ends = [one.bottom_md_m for one in assembly.pieces if one.bottom_md_m is not None]
    if not depths or not ends:
        raise MissingInputError(needs="depth of the Y-tool in section setting")
    known = tuple(positions(survey_stations(job)))
    return _Path(job, known, _fine(known), min(depths), max(ends))


def _fine(known: Sequence[Position], count: int = 240) -> tuple[Position, ...]:
    """Positions close enough to look smooth, every station among them."""
    first, last = known[0].station.md_m, known[-1].station.md_m
    between = (first + (last - first) * n / count for n in range(count + 1))
    found = {one.station.md_m: one for one in known}
    found |= {md: position_at(known, md) for md in between if md not in found}
    return tuple(found[md] for md in sorted(found))


def _north(job: Job) -> str:
    head = job.survey_head
    return f"Azimuths from {head.north} north, as the survey states." if head else ""


def _section(path: _Path, sheet: Sheet) -> Iterator[Item]:
    """Departure along the bearing of the end of the hole against true vertical depth."""
    f, end = sheet.factor, path.known[-1]
    bearing = atan2(end.east_m, end.north_m)
    points = [(path.long(_along(one, bearing)), path.long(one.down_m)) for one in path.fine]
    deep = max(down for _, down in points)
    low, high = min(0.0, *(x for x, _ in points)), max(x for x, _ in points)
    high = max(high, low + 0.02 * deep)
    title = f"Section towards {degrees(bearing) % 360:.0f}°: departure [{path.unit}]"
    axes = Axes(
        24 * f,
        38 * f,
        74 * f,
        96 * f,
        Axis(low, high, title),
        Axis(0.0, deep, f"TVD [{path.unit}]"),
        FIGURE_MM * f,
    )
    yield from axes.frame()
    yield from axes.curve(thinned(points, _PEN_MM * f, axes.at), width_mm=0.4 * f)
    stations = [
        axes.at(path.long(_along(one, bearing)), path.long(one.down_m)) for one in path.known
    ]
    for x_mm, y_mm in thinned(stations, _STATION_MM * f):
        yield Rect(x_mm - 0.35 * f, y_mm - 0.35 * f, 0.7 * f, 0.7 * f, "casing", "black", 0.0)
    on = [(path.long(_along(one, bearing)), path.long(one.down_m)) for one in path.string()]
    yield from axes.curve(on, "esp", 1.4 * f)
    yield from _shoes(path, axes, bearing, f)


def _along(one: Position, bearing: float) -> float:
    return one.north_m * cos(bearing) + one.east_m * sin(bearing)


def _shoes(path: _Path, axes: Axes, bearing: float, f: float) -> Iterator[Item]:
    first, last = path.known[0].station.md_m, path.known[-1].station.md_m
    for casing in path.job.casing:
        shoe = casing.shoe_md_m.known
        if shoe is None or not first <= shoe <= last:
            continue
        at = position_at(path.known, shoe)
        x_mm, y_mm = axes.at(path.long(_along(at, bearing)), path.long(at.down_m))
        for side in (-1, 1):
            yield Line(x_mm, y_mm, x_mm + side * 2 * f, y_mm, "casing", 0.5 * f)


def _plan(path: _Path, sheet: Sheet) -> Iterator[Item]:
    """Seen from above, north up, both axes to one scale."""
    f = sheet.factor
    points = [(path.long(one.east_m), path.long(one.north_m)) for one in path.fine]
    east, north = [x for x, _ in points], [y for _, y in points]
    span = max(max(east) - min(east), max(north) - min(north), 1e-3) * 1.1
    mid_e, mid_n = (max(east) + min(east)) / 2, (max(north) + min(north)) / 2
    axes = Axes(
        118 * f,
        38 * f,
        74 * f,
        74 * f,
        Axis(mid_e - span / 2, mid_e + span / 2, f"Plan: east [{path.unit}]"),
        Axis(mid_n + span / 2, mid_n - span / 2, f"north [{path.unit}]"),
        FIGURE_MM * f,
    )
    yield from axes.frame()
    yield from axes.curve(thinned(points, _PEN_MM * f, axes.at), width_mm=0.4 * f)
    on = [(path.long(one.east_m), path.long(one.north_m)) for one in path.string()]
    yield from axes.curve(on, "esp", 1.4 * f)
    end = path.known[-1]
    away = show(hypot(end.east_m, end.north_m), Dimension.LENGTH, path.job.units)
    inc = max(one.station.inclination_rad for one in path.known)
    size = FIGURE_MM * f
    for row, words in enumerate(
        (
            f"End of survey: {away} away, TVD {show(end.down_m, Dimension.LENGTH, path.job.units)}",
            f"Greatest inclination {degrees(inc):.1f}°",
            _depths(path),
        )
    ):
        yield Text(112 * f, (124 + 4 * row) * f, words, size, "label")


def _depths(path: _Path) -> str:
    top = show(path.top_md_m, Dimension.LENGTH, path.job.units)
    end = show(path.end_md_m, Dimension.LENGTH, path.job.units)
    return f"Twin string: Y-tool top MD {top}, lowest end {end}"


def _doglegs(path: _Path, sheet: Sheet) -> Iterator[Item]:
    """Dogleg severity of every survey interval over measured depth, with the limits."""
    f = sheet.factor
    unit = display_unit(Dimension.DOGLEG, path.job.units)
    bars = _intervals(path.known, unit)
    limits = _limits(path.job, unit)
    most = max([value for _, _, value in bars] + [value for _, value in limits] + [1e-6]) * 1.1
    last = path.long(path.known[-1].station.md_m)
    first = path.long(path.known[0].station.md_m)
    axes = Axes(
        24 * f,
        152 * f,
        168 * f,
        78 * f,
        Axis(first, last, f"MD from {path.job.depth_datum} [{path.unit}]"),
        Axis(most, 0.0, f"Dogleg severity [{unit}]"),
        FIGURE_MM * f,
    )
    told = [(f"Dogleg [{unit}]: {_sharpest(path, bars)}; {_held(limits)}", True)]
    yield from caption(told, (9.0, 239.0, 201.0, 255.0), f, "the findings of dogleg")
    yield from _extent(path, axes)
    yield from axes.frame()
    placed = [
        (axes.at(path.long(upper), 0.0)[0], axes.at(path.long(lower), 0.0)[0], value)
        for upper, lower, value in bars
    ]
    for x1, x2, value in tallest(placed, _BAR_MM * f):
        (_, y1), (_, y2) = axes.at(first, value), axes.at(first, 0.0)
        wide = max(x2 - x1, 0.05)
        # Outlines of thin bars side by side would run together to black.
        yield Rect(x1, y1, wide, y2 - y1, "casing", "grey", min(0.1 * f, wide / 5))
    for name, value in limits:
        x1, y_mm = axes.at(first, value)
        x2, _ = axes.at(last, value)
        yield Line(x1, y_mm, x2, y_mm, "limit", 0.4 * f, (2.0, 1.2))
        yield Text(x2 - f, y_mm - 0.8 * f, name, FIGURE_MM * f, "limit", "end", bold=True)


def _sharpest(path: _Path, bars: list[tuple[float, float, float]]) -> str:
    upper, lower, value = max(bars, key=lambda one: one[2])
    where = f"MD {path.long(upper):g} to {path.long(lower):g} {path.unit}"
    return f"sharpest interval {value:.2f} at {where}"


def _held(limits: list[tuple[str, float]]) -> str:
    told = ", ".join(f"{name.partition(' (')[0]} {value:.2f}" for name, value in limits)
    return f"{told}." if told else "no limit is stated."


def _intervals(known: Sequence[Position], unit: str) -> list[tuple[float, float, float]]:
    return [
        (
            one.station.md_m,
            two.station.md_m,
            to_unit(dogleg_severity(one.station, two.station), unit),
        )
        for one, two in pairwise(known)
    ]


def _limits(job: Job, unit: str) -> list[tuple[str, float]]:
    found = []
    for name, quantity in (
        ("running limit", job.rules.max_dogleg_pass_rad_m),
        ("setting limit", job.rules.max_dogleg_set_rad_m),
    ):
        if quantity.known is not None:
            found.append((f"{name} ({quantity.origin})", to_unit(quantity.known, unit)))
    return found


def _extent(path: _Path, axes: Axes) -> Iterator[Item]:
    low = max(path.long(path.top_md_m), axes.x.start)
    high = min(path.long(path.end_md_m), axes.x.end)
    if high <= low:
        return
    x1, top = axes.at(low, axes.y.start)
    x2, bottom = axes.at(high, axes.y.end)
    yield Rect(x1, top, max(x2 - x1, 0.4), bottom - top, "esp", "light", 0.0)
