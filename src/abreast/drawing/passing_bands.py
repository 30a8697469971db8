"""The tracks of what the contact model found: side force, bending, drag, states of the rolls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from abreast.drawing.chart import Axes, Axis
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.passing_tracks import LOOK, ROOM, STATES, TrackSheet, planned_line, slanted
from abreast.drawing.passing_words import Use, has_limits, states, use_of
from abreast.drawing.scene import Circle, Fill, Item, Layer, Line, Rect, Text
from abreast.mechanics.running_in import Band, bands
from abreast.mechanics.twin_beam_sweep import Place
from abreast.units import Dimension, to_unit

__all__ = ["bend_track", "drag_track", "side_track", "state_track"]

Span = tuple[float, float]


def _rows(found: Sequence[Band]) -> Iterator[tuple[Band, Span]]:
    """Each depth with the stretch that it stands for: half-way to its neighbours [m]."""
    depths = [one.md_m for one in found]
    middles = [(upper + lower) / 2 for upper, lower in pairwise(depths)]
    ends = [*depths[:1], *middles, *depths[-1:]]
    return zip(found, pairwise(ends), strict=True)


def _hatch(chart: TrackSheet, axes: Axes, found: Sequence[Band], x: Span) -> Iterator[Item]:
    """Slanted lines where rolls have no shape: close where none has one, else wide apart."""
    left, right = sorted(axes.at(value, 0.0)[0] for value in x)
    for band, (high, low) in _rows(found):
        if not band.faults:
            continue
        pitch = (3.2 if band.points else 1.6) * chart.f
        (_, top), (_, bottom) = (axes.at(0.0, chart.long(md)) for md in (high, low))
        yield from slanted((left, top, right, bottom), pitch, 0.25 * chart.f)


def _runs(found: Sequence[Band]) -> Iterator[list[Band]]:
    """Neighbours that all have numbers."""
    for known, group in groupby(found, key=lambda one: bool(one.points)):
        if known:
            yield list(group)


def _band(
    chart: TrackSheet, axes: Axes, found: Sequence[Band], sign: float, layer: Layer
) -> Iterator[Item]:
    """Best to worst roll as a filled band with its two edges; a lone depth as a bar."""
    for run in _runs(found):
        low = [(sign * chart.force(one.low), chart.long(one.md_m)) for one in run]
        high = [(sign * chart.force(one.high), chart.long(one.md_m)) for one in run]
        yield from axes.band(low, high, layer, "light")
        yield from axes.curve(low, layer, 0.15 * chart.f)
        yield from axes.curve(high, layer, 0.35 * chart.f)
        if len(run) == 1:
            yield from axes.curve((low[0], high[0]), layer, 0.35 * chart.f)


def _most(chart: TrackSheet, *groups: Sequence[Band]) -> float:
    """End of an axis that shows all of these forces."""
    highs = [chart.force(one.high) for group in groups for one in group if one.points]
    return max([*highs, 1e-3]) * 1.1


def side_track(chart: TrackSheet) -> Iterator[Item]:
    """Side force while it is lowered: best to worst roll, and every roll."""
    found = bands(chart.running.down, lambda one: one.side_n)
    unit = f"[{chart.unit(Dimension.FORCE)}]"
    axes, words = chart.track(82, 29, Axis(0.0, _most(chart, found), unit), "Side force, lowering")
    yield from words
    yield from _hatch(chart, axes, found, (axes.x.start, axes.x.end))
    yield from axes.frame(figures_down=False)
    yield from _band(chart, axes, found, 1.0, "esp")
    for band in found:
        for _, value in band.points:
            x_mm, y_mm = axes.at(chart.force(value), chart.long(band.md_m))
            yield Circle(x_mm, y_mm, 0.28 * chart.f, "esp", "black", 0.0)
    yield from planned_line(chart, axes)


def bend_track(chart: TrackSheet) -> Iterator[Item]:
    """The worst bent part at each depth, as bars, against its limit."""
    job, running = chart.job, chart.running
    rated = has_limits(job, running)
    torque = chart.unit(Dimension.TORQUE)

    def value(place: Place) -> float | None:
        use = use_of(job, place, rated=rated)
        if use is None:
            return None
        return use.value if rated else to_unit(use.value, torque)

    found = bands(running.down, value)
    highs = [one.high for one in found if one.points]
    most = max([*highs, 1.0] if rated else [*highs, 1e-3]) * 1.1
    heading = "Bending, part of limit" if rated else "Bending, no limit stated"
    axes, words = chart.track(
        115, 29, Axis(0.0, most, "[-], limit at 1" if rated else f"[{torque}]"), heading
    )
    yield from words
    yield from _hatch(chart, axes, found, (axes.x.start, axes.x.end))
    yield from axes.frame(figures_down=False)
    worst: list[tuple[Span, float, Use]] = []
    for band, span in _rows(found):
        if band.points:
            place, high = band.points[-1]
            use = use_of(job, place, rated=rated)
            assert use is not None, "only places with a value are points"
            worst.append((span, high, use))
    for (high, low), amount, use in worst:
        layer, fill = LOOK[use.side]
        over = rated and amount > 1
        yield from axes.bar(
            (0.0, amount),
            (chart.long(high), chart.long(low)),
            "limit" if over else layer,
            fill,
            (0.6 if over else 0.1) * chart.f,
        )
    if rated:
        yield from axes.upright(1.0, 0.5 * chart.f)
    yield from planned_line(chart, axes)
    yield from _part_names(chart, axes, worst)


def _part_names(
    chart: TrackSheet, axes: Axes, worst: Sequence[tuple[Span, float, Use]]
) -> Iterator[Item]:
    """The part of each stretch of bars, where there is room for its name."""
    size, right = chart.size, axes.left_mm + axes.width_mm - 0.7 * chart.f
    free_mm = axes.top_mm
    for name, group in groupby(worst, key=lambda one: one[2].name):
        rows = list(group)
        ends = [axes.at(0.0, chart.long(md))[1] for md in (rows[0][0][0], rows[-1][0][1])]
        middle = max(sum(ends) / 2, free_mm + 0.8 * size)
        if ends[1] - ends[0] < size or middle > ends[1] + 0.2 * size:
            continue
        words = clipped(name, axes.width_mm - 2 * chart.f, size, bold=True)
        bar_mm, _ = axes.at(max(one[1] for one in rows), 0.0)
        end_mm = bar_mm + chart.f + width_mm(words, size, bold=True)
        yield from axes.tag(min(end_mm, right), middle + 0.35 * size, words)
        free_mm = middle + 0.8 * size


def drag_track(chart: TrackSheet) -> Iterator[Item]:
    """Drag down to the left, up to the right."""
    running = chart.running
    found: dict[str, tuple[Band, ...]] = {
        "down": bands(running.down, lambda one: one.drag_n),
        "up": bands(running.up, lambda one: one.drag_n),
    }
    most = _most(chart, found["down"], found["up"])
    unit = f"[{chart.unit(Dimension.FORCE)}]"
    known = running.hole.friction_ratio is not None
    axes, words = chart.track(
        148, 29, Axis(-most, most, unit if known else ""), "Drag: down -, up +"
    )
    yield from words
    if not known:
        yield from _unknown(chart, axes)
        return
    yield from _hatch(chart, axes, found["down"], (-most, 0.0))
    yield from _hatch(chart, axes, found["up"], (0.0, most))
    yield from axes.frame(figures_down=False)
    yield from _band(chart, axes, found["down"], -1.0, "esp")
    yield from _band(chart, axes, found["up"], 1.0, "bypass")
    (x_mm, top), (_, foot) = (axes.at(0.0, value) for value in (axes.y.start, axes.y.end))
    yield Line(x_mm, top, x_mm, foot, "ruler", 0.3 * chart.f)
    yield from planned_line(chart, axes)


def _unknown(chart: TrackSheet, axes: Axes) -> Iterator[Item]:
    yield Rect(axes.left_mm, axes.top_mm, axes.width_mm, axes.height_mm, "ruler", "none", 0.3)
    middle = axes.left_mm + axes.width_mm / 2, axes.top_mm + axes.height_mm / 2
    for row, words in enumerate(("not checked:", "no friction factor")):
        y_mm = middle[1] + 1.4 * row * chart.size
        yield Text(middle[0], y_mm, words, chart.size, "label", "middle", bold=True)


def state_track(chart: TrackSheet) -> Iterator[Item]:
    """How many rolls of each depth are in another state than ok, while it is lowered."""
    found = bands(chart.running.down, lambda one: one.side_n)
    rolls = max((len(one.points) + len(one.faults) for one in found), default=8)
    heading = f"Rolls not ok, of {rolls}"
    axes, words = chart.track(181, 21, Axis(0.0, float(rolls), ""), heading)
    axes = replace(axes, room_mm=0.65 * ROOM)
    yield from words
    yield from axes.frame(figures_down=False)
    is_clear = True
    for band, (high, low) in _rows(found):
        left, span = 0.0, (chart.long(high), chart.long(low))
        for fill, count in _filled((*(one for one, _ in band.points), *band.faults)):
            yield from axes.bar((left, left + count), span, "limit", fill, 0.1 * chart.f)
            left, is_clear = left + count, False
    if is_clear:
        x_mm, y_mm = axes.at(rolls / 2, chart.long(chart.last_m / 2))
        yield Text(x_mm, y_mm, "none", chart.size, "label", "middle")
    yield from planned_line(chart, axes)


def _filled(places: Sequence[Place]) -> Iterator[tuple[Fill, int]]:
    """How many are not ok, state by state, each with its fill."""
    counts = states(places)
    for state, fill in STATES:
        if counts[state]:
            yield fill, counts.pop(state)
    if sum(counts.values()):
        yield "light", sum(counts.values())
