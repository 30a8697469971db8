"""The first two tracks of the way down: walls with what is narrow, and doglegs of the survey."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from itertools import pairwise

from abreast.drawing.chart import Axes, Axis
from abreast.drawing.fonts import width_mm
from abreast.drawing.page import wrapped
from abreast.drawing.passing_tracks import TOP, TrackSheet, planned_line
from abreast.drawing.scene import Item, Line, Rect, Text
from abreast.drawing.spread import spread
from abreast.drawing.thin import tallest, thinned
from abreast.mechanics.bent_shape import narrowest
from abreast.mechanics.twin_beam_hole import Bore
from abreast.units import Dimension, to_unit

__all__ = ["dogleg_track", "hole_track"]

_PEN_MM = 0.1
_SHORT = 0.01
"""A narrow place shorter than this share of the depth is marked by ticks."""
Span = tuple[float, float]


def hole_track(chart: TrackSheet) -> Iterator[Item]:
    """Walls down the hole, the narrowest at each depth, and the string where it is planned."""
    f, walls = chart.f, narrowest(chart.running.hole, 0.0, chart.last_m)
    widest = max(one.diameter_m for one in walls) * 1.05
    axes, words = chart.track(20, 27, Axis(-widest / 2, widest / 2, ""), "Hole, planned string")
    yield from words
    x_mm, foot = axes.left_mm, axes.top_mm + axes.height_mm
    for value in axes.y.ticks(axes.height_mm, 2.5 * axes.size_mm):
        _, y_mm = axes.at(0.0, value)
        yield Line(x_mm, y_mm, x_mm + axes.width_mm, y_mm, "grid", 0.1)
        yield Line(x_mm - 1.2, y_mm, x_mm, y_mm, "ruler", 0.2)
        yield Text(
            x_mm - 1.7, y_mm + 0.35 * axes.size_mm, f"{value:g}", axes.size_mm, "ruler", "end"
        )
    unit = f"MD [{chart.unit(Dimension.LENGTH)}]"
    yield Text(9 * f, (TOP - 2.2) * f, unit, axes.size_mm, "ruler", bold=True)
    yield Rect(x_mm, axes.top_mm, axes.width_mm, foot - axes.top_mm, "ruler", "none", 0.3)
    for side in (-1, 1):
        ends = [
            (side * one.diameter_m / 2, chart.long(md))
            for one in walls
            for md in (one.top_md_m, one.bottom_md_m)
        ]
        yield from axes.curve(ends, "casing", 0.5 * f)
    for one in walls:
        if one.bottom_md_m - one.top_md_m < _SHORT * chart.last_m:
            yield from _pinch(chart, axes, one)
    string = chart.running.planned_md_m, chart.running.planned_md_m + chart.running.length_m
    slim = (-0.16 * widest, 0.16 * widest)
    yield from axes.bar(slim, (chart.long(string[0]), chart.long(string[1])), "esp", "grey", 0.15)
    yield from _names(chart, axes, walls)


def _pinch(chart: TrackSheet, axes: Axes, place: Bore) -> Iterator[Item]:
    """Ticks at a place too short to be seen in the course of the walls."""
    middle = chart.long((place.top_md_m + place.bottom_md_m) / 2)
    for side in (-1, 1):
        x_mm, y_mm = axes.at(side * place.diameter_m / 2, middle)
        yield Line(x_mm, y_mm, x_mm - side * 2 * chart.f, y_mm, "casing", 0.5 * chart.f)


def _names(chart: TrackSheet, axes: Axes, walls: Sequence[Bore]) -> Iterator[Item]:
    """Names of casings and narrow places, on white, each beside its longest stretch."""
    longest: dict[str, tuple[float, float]] = {}
    for one in walls:
        length = one.bottom_md_m - one.top_md_m
        if length > longest.get(one.name, (0.0, 0.0))[0]:
            longest[one.name] = length, (one.top_md_m + one.bottom_md_m) / 2
    size, pitch = chart.size, 1.25 * chart.size
    room = axes.width_mm - 6 * chart.f
    rows = [list(wrapped(name, room, size))[:3] for name in longest]
    wanted = [axes.at(0.0, chart.long(middle))[1] for _, middle in longest.values()]
    order = sorted(range(len(rows)), key=lambda n: wanted[n])
    high = [len(rows[n]) * pitch + 0.6 * size for n in order]
    top, foot = axes.top_mm + size, axes.top_mm + axes.height_mm - size
    while sum(high) > foot - top:  # more narrow places than there is paper
        order, high = order[:-1], high[:-1]
    middles = spread([wanted[n] for n in order], high, top, foot)
    x_mm = axes.left_mm + axes.width_mm / 2
    for n, middle in zip(order, middles, strict=True):
        for k, words in enumerate(rows[n]):
            y_mm = middle + (k - (len(rows[n]) - 1) / 2) * pitch + 0.35 * size
            wide = width_mm(words, size)
            box = (x_mm - wide / 2 - 0.3, y_mm - 0.8 * size, wide + 0.6, 1.05 * size)
            yield Rect(*box, "casing", "white", 0.0)
            yield Text(x_mm, y_mm, words, size, "casing", "middle")


def dogleg_track(chart: TrackSheet) -> Iterator[Item]:
    """Dogleg of each survey interval, and the sharpest along the string by its Y-tool's top."""
    f, path, unit = chart.f, chart.running.hole.path, chart.unit(Dimension.DOGLEG)
    bars = [
        (float(top), float(bottom), to_unit(float(sharp), unit))
        for (top, bottom), sharp in zip(pairwise(path.md_m), path.severity_rad_m, strict=True)
        if top < chart.last_m
    ]
    limit = chart.job.rules.max_dogleg_pass_rad_m
    shown = [] if limit.known is None else [to_unit(limit.known, unit)]
    most = max([value for _, _, value in bars] + shown + [1e-3]) * 1.15
    axes, words = chart.track(51, 27, Axis(0.0, most, f"[{unit}]"), "Dogleg, survey")
    yield from words
    yield from axes.frame(figures_down=False)
    pen_m = _PEN_MM * f * chart.last_m / axes.height_mm
    for top, bottom, value in tallest(bars, pen_m):
        span = chart.long(top), chart.long(bottom)
        yield from axes.bar((0.0, value), span, "casing", "light", 0.1 * f)
    along = [(value, chart.long(md)) for md, value in _along(chart, bars)]
    yield from axes.curve(thinned(along, _PEN_MM * f, axes.at), "esp", 0.35 * f)
    for value in shown:
        yield from axes.upright(value, 0.4 * f)
    yield from planned_line(chart, axes)


def _along(chart: TrackSheet, bars: list[tuple[float, float, float]]) -> Iterator[Span]:
    """Sharpest dogleg beside the string at each depth of its Y-tool's top, corner by corner."""
    reach, planned = chart.running.length_m, chart.running.planned_md_m
    ends = {0.0, planned}
    for top, bottom, _ in bars:
        ends |= {md for md in (top - reach, bottom) if 0 < md < planned}
    # Those beside the string that no lower one outdoes, the sharpest first: each comes and goes
    # once, so that a long survey takes no longer a bar than a short one.
    beside: deque[tuple[float, float, float]] = deque()
    coming = deque(bars)
    for high, low in pairwise(sorted(ends)):
        middle = (high + low) / 2
        while coming and coming[0][0] < middle + reach:
            while beside and beside[-1][2] <= coming[0][2]:
                beside.pop()
            beside.append(coming.popleft())
        while beside and beside[0][1] <= middle:
            beside.popleft()
        for md in (high, low):
            yield md, beside[0][2] if beside else 0.0
