"""The hook load on the way down: picking up, hanging, slacking off, with where to stop."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from abreast.drawing.caption import FIGURE_MM, caption
from abreast.drawing.chart import Axes, Axis
from abreast.drawing.hook_table import Scale, scale_of
from abreast.drawing.page import Page, frame
from abreast.drawing.scene import Item, Line, Scene, Text
from abreast.drawing.sheet import Paper, Sheet, sheet_of
from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.hook_limits import HookLimit
from abreast.model import Assembly, Job
from abreast.units import Dimension, show

__all__ = ["hook_chart"]

_TOP, _HIGH = 32.0, 172.0
_LEFT, _WIDE = 26.0, 104.0
_DRAG_LEFT, _DRAG_WIDE = 144.0, 50.0
_FARTHEST = 1.7
"""A limit is drawn if it lies within this many times the greatest load; else it is in words."""
Value = Callable[[HookRow], float]


@dataclass(frozen=True, slots=True)
class _Chart:
    """What both charts share."""

    job: Job
    forecast: HookForecast
    sheet: Sheet
    scale: Scale

    @property
    def f(self) -> float:
        return self.sheet.factor

    def mm(self, left: float, wide: float, x: Axis, title: str, room: float = 9.0) -> Axes:
        """Axes with the depth of the lower end downwards."""
        f, deepest = self.f, self.scale.long(self.forecast.rows[-1].bottom_md_m)
        depth = Axis(0.0, deepest, title)
        return Axes(left * f, _TOP * f, wide * f, _HIGH * f, x, depth, FIGURE_MM * f, room)

    def load(self, load_n: float) -> str:
        """A load with its unit."""
        return show(load_n, Dimension.FORCE, self.job.units)

    def curve(self, value: Value) -> list[tuple[float, float]]:
        """One point for each row."""
        rows = self.forecast.rows
        return [(value(row), self.scale.long(row.bottom_md_m)) for row in rows]


def hook_chart(
    job: Job, assembly: Assembly, forecast: HookForecast, *, paper: Paper = "A4"
) -> tuple[Scene, ...]:
    """Hook load and drag over the depth of the lower end, on one sheet.

    Parameters
    ----------
    job : Job
        Units, and what stands in the frame.
    assembly : Assembly
        The twin string; its depths are in the forecast.
    forecast : HookForecast
        As :func:`abreast.mechanics.hook_forecast.forecast_run` gives it.
    paper : {"A4", "A3"}
        The sheet, upright.

    Notes
    -----
    Loads as in the table of the pack, block and bails not in them. The limit of what
    carries the block too stands lower by its weight.
    """
    sheet = sheet_of(paper)
    chart = _Chart(job, forecast, sheet, scale_of(job, forecast))
    page = Page(
        job=job,
        sheet=sheet,
        heading="Hook load while running",
        notes=tuple(_notes(chart)),
        scale="not to scale",
    )
    items = (*_loads(chart), *_drags(chart), *_numbers(chart), *_words(chart), *frame(page))
    return (Scene(sheet.width_mm, sheet.height_mm, page.title, items),)


def _notes(chart: _Chart) -> Iterator[str]:
    forecast = chart.forecast
    taken = "; ".join((*forecast.not_counted, *forecast.assumptions))
    friction = chart.job.friction.cased_ratio
    yield (
        f"Friction factor {forecast.friction_ratio:g} ({friction.origin})."
        f" {taken[:1].upper()}{taken[1:]}."
    )


# --- hook load -----------------------------------------------------------------------------


def _loads(chart: _Chart) -> Iterator[Item]:
    scale, f = chart.scale, chart.f
    limits = [
        (limit, scale.limit(limit))
        for limit in chart.forecast.limits
        if limit.rating_n and limit.at_hook
    ]
    most = max(scale.load(row.up_band_n[1]) for row in chart.forecast.rows)
    drawn = [one for one in limits if one[1] <= _FARTHEST * most]
    end = max([most, *(at for _, at in drawn)]) * 1.06
    begin = min(0.0, *(scale.load(row.down_band_n[0]) for row in chart.forecast.rows)) * 1.06
    title = f"Hook load [{scale.unit}], {scale.block_words}"
    depth = f"Lower end of the string, MD from {chart.job.depth_datum} [{scale.long_unit}]"
    axes = chart.mm(_LEFT, _WIDE, Axis(begin, end, title), depth)
    ways: tuple[tuple[Value, Value], ...] = (
        (lambda row: scale.load(row.up_band_n[0]), lambda row: scale.load(row.up_band_n[1])),
        (lambda row: scale.load(row.down_band_n[0]), lambda row: scale.load(row.down_band_n[1])),
    )
    for low, high in ways:
        yield from axes.band(chart.curve(low), chart.curve(high), "landing")
    yield from axes.frame()
    for pair in ways:
        for edge in pair:
            yield from axes.curve(chart.curve(edge), "landing", 0.13 * f)
    yield from _dashed(axes, chart.curve(lambda row: scale.load(row.still_n)), f)
    yield from axes.curve(chart.curve(lambda row: scale.load(row.up_n)), "esp", 0.5 * f)
    yield from axes.curve(chart.curve(lambda row: scale.load(row.down_n)), "bypass", 0.5 * f)
    yield from _limits(chart, axes, drawn)
    yield from _names(chart, axes)


def _names(chart: _Chart, axes: Axes) -> Iterator[Item]:
    """What the two heavy lines are, beside their bands."""
    rows, scale, f = chart.forecast.rows, chart.scale, chart.f
    row = rows[len(rows) * 2 // 3]
    x_mm, y_mm = axes.at(scale.load(row.up_band_n[1]), scale.long(row.bottom_md_m))
    right_mm = axes.left_mm + axes.width_mm - f
    yield from axes.tag(min(x_mm + 19 * f, right_mm), y_mm, "picking up")
    x_mm, _ = axes.at(scale.load(row.down_band_n[0]), 0.0)
    yield from axes.tag(max(x_mm - 1.5 * f, axes.left_mm + 20 * f), y_mm, "slacking off")


def _dashed(axes: Axes, points: Sequence[tuple[float, float]], f: float) -> Iterator[Item]:
    """Every other step, so that the curve reads as a broken one."""
    yield from list(axes.curve(points, "casing", 0.3 * f))[::2]


def _limits(chart: _Chart, axes: Axes, drawn: Sequence[tuple[HookLimit, float]]) -> Iterator[Item]:
    """Their lines, and their names in rows so that none lies on another."""
    for row, (limit, value) in enumerate(sorted(drawn, key=lambda one: one[1])):
        x_mm, _ = axes.at(value, 0.0)
        yield from axes.upright(value, 0.4 * chart.f)
        yield from axes.tag(x_mm - chart.f, (_TOP + 5.0 + 3.4 * row) * chart.f, limit.name)


# --- drag ----------------------------------------------------------------------------------


def _drags(chart: _Chart) -> Iterator[Item]:
    """Drag as a part of the hanging weight, which the first chart is too coarse to show."""
    rows = [row for row in chart.forecast.rows if row.still_n > 0]
    if len(rows) < 2:
        return
    f, scale = chart.f, chart.scale

    def part(load_n: Value) -> list[tuple[float, float]]:
        return [(100 * (load_n(r) / r.still_n - 1), scale.long(r.bottom_md_m)) for r in rows]

    up, down = part(lambda row: row.up_n), part(lambda row: row.down_n)
    alarm = [100 * row.alarm_n / row.still_n for row in rows]
    reach = max(abs(x) for x, _ in (*up, *down))
    usual = 100 * chart.forecast.alarm_ratio
    end = 1.08 * (reach + 1.5 * usual)
    axes = chart.mm(_DRAG_LEFT, _DRAG_WIDE, Axis(-end, end, "Drag [% of hanging weight]"), "", 5.0)
    for points in (up, down):
        low = [(max(x - a, -end), y) for (x, y), a in zip(points, alarm, strict=True)]
        high = [(min(x + a, end), y) for (x, y), a in zip(points, alarm, strict=True)]
        yield from axes.band(low, high, "landing")
    yield from axes.frame()
    for points in (up, down):
        for sign in (-1, 1):
            edge = [
                (min(max(x + sign * a, -end), end), y)
                for (x, y), a in zip(points, alarm, strict=True)
            ]
            yield from axes.curve(edge, "landing", 0.13 * f)
    yield from axes.curve(up, "esp", 0.5 * f)
    yield from axes.curve(down, "bypass", 0.5 * f)
    yield from axes.curve([(0.0, 0.0), (0.0, axes.y.end)], "casing", 0.2 * f)
    for words, side in (("slacking off", -1), ("picking up", 1)):
        x_mm, _ = axes.at(side * end / 2, 0.0)
        yield Text(x_mm, (_TOP - 1.5) * f, words, FIGURE_MM * f, "label", "middle", bold=True)


def _numbers(chart: _Chart) -> Iterator[Item]:
    """Every tenth piece at its depth, between both charts."""
    f, rows = chart.f, chart.forecast.rows
    x_mm = (_LEFT + _WIDE) * f
    step = 10 if len(rows) > 20 else 5 if len(rows) > 8 else 1
    yield Text(x_mm + 1.0 * f, (_TOP - 1.5) * f, "no.", FIGURE_MM * f, "joint", bold=True)
    deepest, last = rows[-1].bottom_md_m, -1e9
    for row in rows[::step]:
        y_mm = (_TOP + _HIGH * row.bottom_md_m / deepest) * f
        if y_mm - last < 2.6 * f:
            continue
        last = y_mm
        yield Line(x_mm, y_mm, x_mm + 1.2 * f, y_mm, "joint", 0.25 * f)
        yield Text(x_mm + 1.8 * f, y_mm + 0.8 * f, str(row.number), FIGURE_MM * f, "joint")


# --- words ---------------------------------------------------------------------------------


def _words(chart: _Chart) -> Iterator[Item]:
    rows = ((words, number == 0) for number, words in enumerate(_said(chart)))
    return caption(rows, (9.0, 213.0, 201.0, 255.0), chart.f, "the findings of hook-load")


def _said(chart: _Chart) -> Iterator[str]:
    forecast = chart.forecast
    last, least = forecast.rows[-1], forecast.least_down
    yield (
        f"Landed: picking up {chart.load(last.up_n)}, hanging {chart.load(last.still_n)}, slacking"
        f" off {chart.load(last.down_n)}."
    )
    yield _block(chart)
    yield (
        "Heavy lines: up and down; broken line: hanging. Filled: no reason to stop, within"
        f" {forecast.alarm_ratio:.0%} of the hanging weight{_least(chart)}."
    )
    held = [row for row in forecast.rows if not row.goes_down]
    if held:
        yield (
            f"Does not go down by its own weight at {len(held)} depths, first with"
            f" {held[0].name} (no. {held[0].number})."
        )
    elif least.left_ratio is not None:
        yield (
            f"It goes down by its own weight; least left slacking off {least.left_ratio:.0%} of its"
            f" weight, {chart.load(least.down_n)}, with {least.name} (no. {least.number}), lower"
            f" end at {show(least.bottom_md_m, Dimension.LENGTH, chart.job.units, digits=0)}."
        )
    pushed = [row for row in forecast.rows if row.compressed_md_m]
    if pushed:
        yield (
            f"Compressed slacking off at {len(pushed)} depths, first with {pushed[0].name}"
            f" (no. {pushed[0].number}); buckling not checked."
        )
    yield from _limit_words(chart)


def _block(chart: _Chart) -> str:
    block_n = chart.forecast.block_n
    if block_n is None:
        return "Block and bails are in no load here: not checked: needs block mass of the rig."
    return (
        "Block and bails are in no load here, nor in the table of the pack: an indicator that"
        f" shows them reads {chart.load(block_n)} more."
    )


def _least(chart: _Chart) -> str:
    least_n = chart.forecast.alarm_least_n
    return f", at least {chart.load(least_n)}" if least_n else ""


def _limit_words(chart: _Chart) -> Iterator[str]:
    forecast = chart.forecast
    rated = [one for one in forecast.limits if one.utilisation is not None]
    told = "; ".join(
        f"{one.name} {one.utilisation:.0%} of {chart.load(one.rating_n or 0.0)} ({one.origin})"
        for one in rated[:6]
        if one.utilisation is not None
    )
    if told:
        yield f"Limits picking up, block and bails counted on the block only: {told}."
        if forecast.block_n is not None:
            yield "The limit of what carries block and bails stands lower by their weight."
    if forecast.needs:
        yield f"Not checked: needs {'; '.join(forecast.needs)}."
