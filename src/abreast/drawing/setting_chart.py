"""Where to set: dogleg and inclination along the assembly over its depth, and the ten best."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import degrees

from abreast.drawing.caption import FIGURE_MM, caption
from abreast.drawing.chart import Axes, Axis
from abreast.drawing.fonts import width_mm
from abreast.drawing.page import Page, frame
from abreast.drawing.scene import Circle, Fill, Item, Layer, Line, Outline, Rect, Scene, Text
from abreast.drawing.setting_table import table_items
from abreast.drawing.sheet import Paper, Sheet, sheet_of
from abreast.drawing.thin import thinned
from abreast.mechanics.setting_bounds import Bound
from abreast.mechanics.setting_depth import Limit
from abreast.mechanics.setting_places import SAME_RAD_M, Place, SettingScan
from abreast.mechanics.setting_words import setting_words
from abreast.model import Assembly, Job, convert_depth_m
from abreast.units import Dimension, display_unit, to_unit

__all__ = ["setting_chart"]

_LEFT, _WIDTH = 24.0, 168.0
_PEN_MM = 0.1
_LETTERS = "abcdefghjkmn"
_Points = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class _Chart:
    """What is drawn, on which sheet, over which depths [m]."""

    job: Job
    assembly: Assembly
    scan: SettingScan
    sheet: Sheet
    first_m: float
    last_m: float

    @property
    def f(self) -> float:
        return self.sheet.factor

    @property
    def unit(self) -> str:
        return display_unit(Dimension.LENGTH, self.scan.system)

    @property
    def by_depth(self) -> tuple[Place, ...]:
        return tuple(sorted(self.scan.places, key=lambda one: one.top_md_m))

    def long(self, length_m: float) -> float:
        """A depth in the unit that is printed."""
        return to_unit(length_m, self.unit)

    def bend(self, severity_rad_m: float) -> float:
        """A dogleg in the unit that is printed."""
        return to_unit(severity_rad_m, display_unit(Dimension.DOGLEG, self.scan.system))

    def axes(self, top: float, height: float, y: Axis, title: str = "") -> Axes:
        """Axes over depth; sizes as on A4."""
        f, x = self.f, Axis(self.long(self.first_m), self.long(self.last_m), title)
        return Axes(_LEFT * f, top * f, _WIDTH * f, height * f, x, y, FIGURE_MM * f)

    def x_mm(self, md_m: float) -> float:
        """Where a depth lies on paper."""
        share = (md_m - self.first_m) / ((self.last_m - self.first_m) or 1.0)
        return (_LEFT + share * _WIDTH) * self.f

    @property
    def in_reach(self) -> tuple[Bound, ...]:
        """What bounds the depth within the chart, the nearest to the planned depth first."""
        planned_m = self.scan.planned.top_md_m
        seen = [one for one in self.scan.bounds if self.first_m < one.top_md_m < self.last_m]
        return tuple(sorted(seen, key=lambda one: abs(one.top_md_m - planned_m)))

    @property
    def lettered(self) -> tuple[tuple[str, Bound], ...]:
        """Those for which there are letters, from the top."""
        seen = sorted(self.in_reach[: len(_LETTERS)], key=lambda one: one.top_md_m)
        return tuple(zip(_LETTERS, seen, strict=False))


def setting_chart(
    job: Job, assembly: Assembly, scan: SettingScan, *, paper: Paper = "A4"
) -> tuple[Scene, ...]:
    """Dogleg and inclination over the depth of the Y-tool, windows, limits, the ten best depths.

    Parameters
    ----------
    job : Job
        Casing, openings and perforations to mark.
    assembly : Assembly
        The twin string.
    scan : SettingScan
        The ranked depths, :func:`abreast.mechanics.where_to_set.where_to_set`.
    paper : {"A4", "A3"}
        The sheet, upright.
    """
    sheet = sheet_of(paper)
    last_m = max(one.candidate.bottom_md_m for one in scan.places) + scan.tail_m
    deep = [one for one in _zones(job) if one[1] < last_m + 300.0]
    last_m = max([last_m, *(bottom for _, bottom in deep)])
    first_m = min(one.top_md_m for one in scan.places)
    chart = _Chart(job, assembly, scan, sheet, first_m, last_m)
    page = Page(
        job=job,
        sheet=sheet,
        heading="Where to set",
        notes=_notes(scan),
        scale="not to scale",
    )
    items = (
        *_bends(chart),
        *_windows(chart),
        *_in_hole(chart),
        *_tilts(chart),
        *_words(chart),
        *table_items(scan, sheet, 206.0),
        *frame(page),
    )
    return (Scene(sheet.width_mm, sheet.height_mm, page.title, items),)


def _notes(scan: SettingScan) -> tuple[str, ...]:
    rank = (
        "Rank: limits kept, within the setting limit also a joint off, dogleg in steps of"
        f" {scan.dogleg(SAME_RAD_M)}, distance to the planned depth (common practice)."
    )
    taken = "; ".join(scan.assumptions)
    return (
        f"Depths of the Y-tool top from {scan.datum}. {rank}",
        f"{taken[:1].upper()}{taken[1:]}.",
    )


# --- dogleg --------------------------------------------------------------------------------


def _bends(chart: _Chart) -> Iterator[Item]:
    scan, places = chart.scan, chart.by_depth
    limits = _dogleg_limits(scan)
    values = [one.candidate.running_rad_m for one in places]
    values += [one.slide_rad_m or 0.0 for one in places]
    values += [limit.value for _, limit in limits]
    most = chart.bend(max(values)) * 1.25 or 1.0
    unit = display_unit(Dimension.DOGLEG, scan.system)
    axes = chart.axes(34, 57, Axis(most, 0.0, f"Dogleg [{unit}]: {_key(scan)}"))
    low = [(chart.long(one.top_md_m), chart.bend(one.dogleg_rad_m)) for one in places]
    high = [
        (x, y if one.slide_rad_m is None else chart.bend(one.slide_rad_m))
        for one, (x, y) in zip(places, low, strict=True)
    ]
    yield from _band(axes, low, high)
    yield from axes.frame()
    way = [(chart.long(one.top_md_m), chart.bend(one.candidate.running_rad_m)) for one in places]
    yield from _dashed(axes, way)
    yield from axes.curve(thinned(low, _PEN_MM, axes.at), "esp", 0.45 * chart.f)
    yield from _bounds(chart, axes)
    yield from _depths(chart, axes)
    yield from _planned(chart, axes)
    for name, limit in limits:
        words = f"{name} {scan.dogleg(limit.value)}"
        yield from _limit(chart, axes, chart.bend(limit.value), words)
    for one in places:
        if one.contact is not None:
            x_mm, y_mm = axes.at(chart.long(one.top_md_m), chart.bend(one.dogleg_rad_m))
            fill: Fill = "black" if one.contact.refuses else "white"
            yield Circle(x_mm, y_mm, 0.9 * chart.f, "esp", fill, 0.3 * chart.f)


def _key(scan: SettingScan) -> str:
    off = "" if scan.joint_m is None else "; band: a joint off"
    asked = "; rings: contact model" if scan.confirmed else ""
    return f"line: along the assembly{off}; dashes: on the way down{asked}"


def _dogleg_limits(scan: SettingScan) -> list[tuple[str, Limit]]:
    pairs = (
        ("setting limit", scan.limits.setting_rad_m),
        ("passing limit", scan.limits.running_rad_m),
    )
    return [(name, limit) for name, limit in pairs if limit is not None]


def _band(axes: Axes, low: _Points, high: _Points) -> Iterator[Item]:
    if len(low) > 1:
        edges = *thinned(low, _PEN_MM, axes.at), *reversed(thinned(high, _PEN_MM, axes.at))
        points = tuple(axes.at(*one) for one in edges)
        yield Outline(points, "esp", "light", 0.0)


def _dashed(axes: Axes, points: _Points) -> Iterator[Item]:
    """A dashed curve of steps: only where it rises, and level between."""
    corners = [points[0]]
    for before, after in pairwise(points):
        if after[1] != before[1]:
            corners += [before, after]
    corners.append(points[-1])
    for one in axes.curve(corners, "casing", 0.25):
        yield replace(one, dash_mm=(1.6, 1.0)) if isinstance(one, Line) else one


def _limit(chart: _Chart, axes: Axes, value: float, words: str) -> Iterator[Item]:
    f = chart.f
    x1, y_mm = axes.at(axes.x.start, value)
    x2, _ = axes.at(axes.x.end, value)
    yield Line(x1, y_mm, x2, y_mm, "limit", 0.4 * f, (2.0, 1.2))
    yield from _tag(x2 - f, y_mm - 0.8 * f, words, f, anchor_end=True)


def _tag(x_mm: float, y_mm: float, words: str, f: float, *, anchor_end: bool) -> Iterator[Item]:
    """Words on white, so that a curve behind them does not cross them."""
    size, wide = FIGURE_MM * f, width_mm(words, FIGURE_MM * f, bold=True)
    left = x_mm - wide if anchor_end else x_mm
    yield Rect(left - 0.3 * f, y_mm - 0.8 * size, wide + 0.6 * f, 1.05 * size, "limit", "white", 0)
    yield Text(left, y_mm, words, size, "limit", bold=True)


def _bounds(chart: _Chart, axes: Axes) -> Iterator[Item]:
    f, bottom = chart.f, axes.top_mm + axes.height_mm
    last = float("-inf")
    for letter, one in chart.lettered:
        x_mm = chart.x_mm(one.top_md_m)
        yield Line(x_mm, axes.top_mm, x_mm, bottom, "limit", 0.3 * f, (0.6, 0.9))
        is_last = x_mm > axes.left_mm + axes.width_mm - 3 * f
        at = max(x_mm + (-0.6 if is_last else 0.6) * f, last + 2.4 * f)
        last = at
        yield from _tag(at, axes.top_mm + 3 * f, letter, f, anchor_end=is_last)


def _planned(chart: _Chart, axes: Axes) -> Iterator[Item]:
    """The planned depth in words, on the side of its line where there is room."""
    f, words = chart.f, f"planned {chart.scan.length(chart.scan.planned.top_md_m)}"
    x_mm = chart.x_mm(chart.scan.planned.top_md_m)
    left = x_mm - width_mm(words, FIGURE_MM * f, bold=True) - 2 * f > axes.left_mm
    at = x_mm + (-1 if left else 1) * f
    yield from _tag(at, axes.top_mm + 20 * f, words, f, anchor_end=left)


def _depths(chart: _Chart, axes: Axes) -> Iterator[Item]:
    """The planned depth, and a joint off."""
    f, bottom = chart.f, axes.top_mm + axes.height_mm
    x_mm = chart.x_mm(chart.scan.planned.top_md_m)
    yield Line(x_mm, axes.top_mm, x_mm, bottom, "esp", 0.5 * f)
    for _, one in chart.scan.neighbours:
        if one is not None:
            off = chart.x_mm(one.top_md_m)
            yield Line(off, bottom - 3 * f, off, bottom, "esp", 0.3 * f)


# --- strips --------------------------------------------------------------------------------


def _windows(chart: _Chart) -> Iterator[Item]:
    """Depths of the Y-tool that no limit refuses."""
    f, top = chart.f, 99.0 * chart.f
    yield Text(_LEFT * f, top, "Y-tool top where no limit that was given is broken", FIGURE_MM * f)
    half = (chart.scan.step_m or 0.0) / 2
    for low, high in chart.scan.windows():
        x1, x2 = (
            chart.x_mm(max(low - half, chart.first_m)),
            chart.x_mm(min(high + half, chart.last_m)),
        )
        yield Rect(x1, top + 0.8 * f, max(x2 - x1, 0.3 * f), 2.6 * f, "esp", "grey", 0.15 * f)
    x_mm = chart.x_mm(chart.scan.planned.top_md_m)
    yield Line(x_mm, top + 0.2 * f, x_mm, top + 4.2 * f, "esp", 0.6 * f)


def _zones(job: Job) -> list[tuple[float, float]]:
    return [
        (_md(job, one.top_md_m.si, one.datum), _md(job, one.bottom_md_m.si, one.datum))
        for one in job.perforations
        if one.top_md_m.is_given and one.bottom_md_m.is_given
    ]


def _md(job: Job, md_m: float, datum: str) -> float:
    return convert_depth_m(job, md_m, datum or job.depth_datum)


def _in_hole(chart: _Chart) -> Iterator[Item]:
    """The string at its planned depth, casing ends, narrow places and perforations."""
    f, top, scan = chart.f, 107.0 * chart.f, chart.scan
    words = (
        "In the hole: string as planned, tail thin; ticks: tops of liners, narrow places; black:"
    )
    yield Text(_LEFT * f, top, f"{words} perforations", FIGURE_MM * f)
    yield Line(chart.x_mm(chart.first_m), top + 2.1 * f, chart.x_mm(chart.last_m), top + 2.1 * f,
               "casing", 0.2 * f)  # fmt: skip
    for md_m in _ticks(chart):
        x_mm = chart.x_mm(md_m)
        yield Line(x_mm, top + 0.8 * f, x_mm, top + 3.4 * f, "casing", 0.4 * f)
    for low, high in _zones(chart.job):
        yield from _bar(chart, (low, high), top + 0.8 * f, 2.6 * f, "casing")
    planned = scan.planned.candidate
    foot_m = planned.bottom_md_m
    yield from _bar(chart, (foot_m, foot_m + scan.tail_m), top + 1.6 * f, 1.0 * f, "bypass")
    yield from _bar(chart, (planned.top_md_m, foot_m), top + 0.8 * f, 2.6 * f, "esp")


def _ticks(chart: _Chart) -> Iterator[float]:
    job = chart.job
    depths = [(one.top_md_m, one.datum) for one in job.casing]
    depths += [(one.md_m, one.datum) for one in job.openings if one.in_place]
    for depth, datum in depths:
        md_m = None if depth.known is None else _md(job, depth.si, datum)
        if md_m is not None and chart.first_m < md_m < chart.last_m:
            yield md_m


def _bar(
    chart: _Chart, span_m: tuple[float, float], y_mm: float, high_mm: float, layer: Layer
) -> Iterator[Item]:
    low, high = (min(max(md, chart.first_m), chart.last_m) for md in span_m)
    if high > low:
        x1, x2 = chart.x_mm(low), chart.x_mm(high)
        fill: Fill = "black" if layer == "casing" else "grey"
        yield Rect(x1, y_mm, max(x2 - x1, 0.5 * chart.f), high_mm, layer, fill, 0.2 * chart.f)


# --- inclination ---------------------------------------------------------------------------


def _tilts(chart: _Chart) -> Iterator[Item]:
    places, f = chart.by_depth, chart.f
    rated = [
        (one.body.name, degrees(one.body.inclination_rad.value))
        for one in chart.scan.planned.candidate.bodies
        if one.body.inclination_rad is not None
    ]
    strict = sorted(rated, key=lambda one: one[1])[:1]
    spans = [tuple(map(degrees, one.candidate.inclination_rad)) for one in places]
    most = max([high for _, high in spans] + [value for _, value in strict]) * 1.4 or 1.0
    title = f"Depth of the Y-tool top [{chart.unit}]"
    axes = chart.axes(118, 33, Axis(most, 0.0, "Inclination along the assembly [°]"), title)
    depths = [chart.long(one.top_md_m) for one in places]
    low = [(x, span[0]) for x, span in zip(depths, spans, strict=True)]
    high = [(x, span[1]) for x, span in zip(depths, spans, strict=True)]
    yield from _band(axes, low, high)
    yield from axes.frame()
    yield from axes.curve(thinned(high, _PEN_MM, axes.at), "esp", 0.45 * f)
    yield from _bounds(chart, axes)
    yield from _depths(chart, axes)
    for name, value in strict:
        yield from _limit(chart, axes, value, f"strictest: {name} {value:.0f}°")


# --- words ---------------------------------------------------------------------------------


def _words(chart: _Chart) -> Iterator[Item]:
    """The answer in words, then limits and letters; as many rows as there is room."""
    rows = [(words, True) for words in (*setting_words(chart.scan), *chart.scan.not_checked)]
    rows += [
        (f"{name} {chart.scan.dogleg(limit.value)}: {limit.origin}", False)
        for name, limit in _dogleg_limits(chart.scan)
    ]
    rows += [(f"{letter}: {one.words}", False) for letter, one in chart.lettered]
    if len(chart.in_reach) > len(_LETTERS):
        rows.append(
            (f"{len(chart.in_reach) - len(_LETTERS)} more that bound it, farther off", False)
        )
    yield from caption(rows, (9.0, 159.5, 201.0, 201.0), chart.f, "the findings of setting-depth")
