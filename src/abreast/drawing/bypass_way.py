"""The way of a wireline tool from the hanger through the bypass: bores, and lengths that pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby

from abreast.drawing.bypass_words import bars, words
from abreast.drawing.fonts import clipped
from abreast.drawing.page import Page, frame
from abreast.drawing.scene import Anchor, Item, Line, Outline, Point, Scene, Text
from abreast.drawing.sheet import HeightMap, Paper, Sheet, round_scale, sheet_of
from abreast.errors import MissingInputError
from abreast.mechanics.access import Met
from abreast.mechanics.access_words import mark_words
from abreast.mechanics.bypass_tools import ToolPassages
from abreast.mechanics.bypass_way import BypassWay, WayPiece
from abreast.mechanics.way_pieces import PIPE
from abreast.model import Assembly, Job
from abreast.units import Dimension, display_unit, show

__all__ = ["bypass_way_sheet"]

_TOP_MM, _FOOT_MM = 36.0, 252.0
_DEPTH_MM, _MIDDLE_MM, _ACROSS_MM = 25.0, 45.0, 32.0
_NAME_MM, _BORE_MM, _DRIFT_MM, _TVD_MM = 64.5, 100.0, 111.0, 125.5
_ROW_MM, _WALL_MM, _SIZE_MM = 7.0, 1.6, 2.4
_MOST_MM_PER_M = 600.0
_MOST_ROWS = 30
_SAME_M = 0.005
"""A sliver of the Y-tool above its S-bend has no row of its own in the table."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Neighbouring pieces that are drawn as one."""

    pieces: tuple[WayPiece, ...]
    axis_m: float

    @property
    def first(self) -> WayPiece:
        return self.pieces[0]

    @property
    def top_m(self) -> float:
        return self.first.top_md_m

    @property
    def bottom_m(self) -> float:
        return self.pieces[-1].bottom_md_m

    @property
    def name(self) -> str:
        count = len(self.pieces)
        if count == 1:
            return self.first.what
        kind = "pipe " if all(one.kind in PIPE for one in self.pieces) else ""
        return f"{kind}{self.first.name} to {self.pieces[-1].name} ({count})"


@dataclass(frozen=True, slots=True)
class _View:
    """Where things lie on the sheet."""

    job: Job
    sheet: Sheet
    found: ToolPassages
    way: BypassWay
    rows: tuple[_Row, ...]
    along: HeightMap
    scale: float

    def mm(self, on_a4_mm: float) -> float:
        return on_a4_mm * self.sheet.factor

    def y(self, md_m: float) -> float:
        return self.along.y(-md_m)

    def x(self, across_m: float) -> float:
        shift_m = self.rows[-1].axis_m / 2
        return self.mm(_MIDDLE_MM) + (across_m - shift_m) * 1000 / self.scale


def bypass_way_sheet(
    job: Job, assembly: Assembly, found: ToolPassages, *, paper: Paper = "A4"
) -> tuple[Scene, ...]:
    """The bores that a tool meets, drawn wide, and beside them what passes.

    Parameters
    ----------
    job : Job
        Whose string it is.
    assembly : Assembly
        The twin string, planned or run.
    found : ToolPassages
        The way and the tools, of the same job and assembly.
    paper : {"A4", "A3"}
        The sheet, upright.

    Raises
    ------
    MissingInputError
        If something is missing for the way.
    """
    if found.way is None:
        raise MissingInputError(needs="; ".join(found.needs))
    view = _view(job, sheet_of(paper), found, found.way)
    page = Page(
        job=job,
        sheet=view.sheet,
        heading="Way of tools through the bypass",
        notes=_notes(view, assembly),
        scale=f"across 1:{view.scale:g}; along stretched",
    )
    items = (
        *_headings(view),
        *_channel(view),
        *_labels(view),
        *bars(job, view.sheet, found),
        *words(job, view.sheet, found),
        *frame(page),
    )
    return (Scene(view.sheet.width_mm, view.sheet.height_mm, page.title, items),)


def _view(job: Job, sheet: Sheet, found: ToolPassages, way: BypassWay) -> _View:
    rows = _rows(way, _alike)
    if len(rows) > _MOST_ROWS:
        rows = _rows(way, _alike_wide)
    f = sheet.factor
    wide_m = max(one.diameter_m for one in way.pieces) + abs(rows[-1].axis_m)
    room_mm = (_TOP_MM * f, _FOOT_MM * f)
    along = HeightMap.stretched(_knots(rows), room_mm, _ROW_MM * f, _MOST_MM_PER_M * f)
    scale = round_scale(wide_m * 1000 / (_ACROSS_MM * f))
    return _View(job, sheet, found, way, tuple(rows), along, scale)


def _rows(way: BypassWay, alike: Callable[[WayPiece], tuple[object, ...]]) -> list[_Row]:
    rows, axis_m = [], 0.0
    for _, group in groupby(way.pieces, key=alike):
        row = _Row(tuple(group), axis_m)
        rows.append(row)
        axis_m += sum(one.offset_m for one in row.pieces)
    return rows


def _alike(one: WayPiece) -> tuple[object, ...]:
    """Plain pipe of one size is one row; anything else is a row of its own."""
    return *_alike_wide(one), one.bore_m, "" if one.kind in PIPE else one.name


def _alike_wide(one: WayPiece) -> tuple[object, ...]:
    return one.diameter_m, one.offset_m


def _knots(rows: list[_Row]) -> Iterator[float]:
    """Ends of all rows; an S-bend has more, so that it is drawn long enough to be seen."""
    for row in rows:
        yield -row.top_m
        yield -row.bottom_m
        if row.first.offset_m:
            yield from (-row.top_m - row.first.length_m * k / 3 for k in (1, 2))


def _notes(view: _View, assembly: Assembly) -> tuple[str, ...]:
    return (
        f"Depths from {view.way.datum}, {assembly.status}: of upper ends. Bores across"
        f" 1:{view.scale:g}; short parts are drawn long. Drawn: the drift of pipe, the bore of"
        " machined parts.",
        f"Plane channel, curved {_curved(view)}; the S-bend begins below the top of the Y-tool,"
        " its plug nipple stands at the lower end of the bypass leg.",
        "Each stiff length is one straight body of its largest diameter; knuckles turn freely."
        " Scale, wear and a plug in the bore are not counted.",
    )


def _curved(view: _View) -> str:
    def dogleg(rad_m: float) -> str:
        return show(rad_m, Dimension.DOGLEG, view.job.units)

    hole, sharpest = dogleg(view.way.curve.rad_m), view.way.sharpest
    if sharpest is None:
        return f"each piece as its hole, to {hole} ({view.way.curve.source})"
    most = dogleg(sharpest.bend_rad_m)
    return f"as each piece hangs bent, to {most} at {sharpest.what}, the hole to {hole}"


def _headings(view: _View) -> Iterator[Item]:
    y_mm, size = view.mm(_TOP_MM - 4.0), view.mm(_SIZE_MM)
    length = display_unit(Dimension.LENGTH, view.job.units)
    free = display_unit(Dimension.LENGTH, view.job.units, small=True)
    for x_mm, text, anchor in (
        (_DEPTH_MM, f"MD [{length}]", "end"),
        (_NAME_MM, "piece", "start"),
        (_BORE_MM, f"bore [{free}]", "end"),
        (_DRIFT_MM, "drift", "end"),
        (_TVD_MM, f"TVD [{length}]", "end"),
    ):
        place: Anchor = "start" if anchor == "start" else "end"
        yield Text(view.mm(x_mm), y_mm, text, size, "ruler", place, bold=True)


# --- the bores -----------------------------------------------------------------------------


def _channel(view: _View) -> Iterator[Item]:
    wall_m = _WALL_MM * view.sheet.factor * view.scale / 1000
    for row in view.rows:
        yield Outline(_sides(view, row, wall_m), "bypass", "grey", view.mm(0.2), row.first.piece)
    for row in view.rows:
        yield Outline(_sides(view, row, 0.0), "bypass", "white", view.mm(0.35), row.first.piece)
    smallest = min(view.rows, key=lambda row: row.first.diameter_m)
    yield from _arrows(view, smallest)


def _sides(view: _View, row: _Row, more_m: float) -> tuple[Point, ...]:
    """Both walls of a row as one outline, ``more_m`` outside the bore."""
    half_m, steps = row.first.diameter_m / 2 + more_m, 12 if row.first.offset_m else 1
    left, right = [], []
    for share in (number / steps for number in range(steps + 1)):
        arcs = 2 * share**2 if share < 0.5 else 1 - 2 * (1 - share) ** 2
        axis_m = row.axis_m + row.first.offset_m * arcs
        y_mm = view.y(row.top_m + share * (row.bottom_m - row.top_m))
        left.append((view.x(axis_m - half_m), y_mm))
        right.append((view.x(axis_m + half_m), y_mm))
    return (*left, *reversed(right))


def _arrows(view: _View, row: _Row) -> Iterator[Item]:
    """Two arrows on the walls of the smallest bore of the way."""
    y_mm, half_m = view.y((row.top_m + row.bottom_m) / 2), row.first.diameter_m / 2
    for side in (-1, 1):
        tip = view.x(row.axis_m + side * half_m)
        tail, barb = tip + side * view.mm(7), tip + side * view.mm(1.6)
        yield Line(tip, y_mm, tail, y_mm, "limit", view.mm(0.5))
        for up in (-1, 1):
            yield Line(tip, y_mm, barb, y_mm + up * view.mm(0.9), "limit", view.mm(0.5))


# --- the words beside them -----------------------------------------------------------------


def _labels(view: _View) -> Iterator[Item]:
    smallest = min(view.rows, key=lambda row: row.first.diameter_m)
    last = -1e9
    for row in view.rows:
        top_mm, bottom_mm = view.y(row.top_m), view.y(row.bottom_m)
        if top_mm - last >= view.mm(_SIZE_MM + 0.4):
            yield from _depth(view, row.top_m)
            last = top_mm
        if bottom_mm - top_mm >= view.mm(_SIZE_MM + 0.6):
            yield from _row_words(view, row, row is smallest)
    if view.y(view.way.bottom_md_m) - last >= view.mm(_SIZE_MM + 0.4):
        yield from _depth(view, view.way.bottom_md_m)


def _depth(view: _View, md_m: float) -> Iterator[Item]:
    y_mm, size = view.y(md_m), view.mm(_SIZE_MM)
    yield Text(view.mm(_DEPTH_MM), y_mm + 0.35 * size, _digits(view, md_m), size, "ruler", "end")
    edge = view.x(-max(one.diameter_m for one in view.way.pieces) / 2) - view.mm(_WALL_MM)
    yield Line(view.mm(_DEPTH_MM + 0.6), y_mm, edge, y_mm, "grid", view.mm(0.1))


def _row_words(view: _View, row: _Row, is_smallest: bool) -> Iterator[Item]:
    size, pitch = view.mm(_SIZE_MM), view.mm(3.0)
    more = _more(view, row, is_smallest)
    room_mm = view.y(row.bottom_m) - view.y(row.top_m)
    more = more[: max(0, int((room_mm - view.mm(_SIZE_MM + 0.8)) / pitch))]
    middle = (view.y(row.top_m) + view.y(row.bottom_m)) / 2
    y_mm = middle + 0.35 * size - len(more) * 0.5 * pitch
    name = clipped(row.name, view.mm(_BORE_MM - _NAME_MM - 8.0), size, bold=is_smallest)
    yield Text(view.mm(_NAME_MM), y_mm, name, size, "label", bold=is_smallest, part=row.first.piece)
    for x_mm, text in _figures(view, row):
        yield Text(view.mm(x_mm), y_mm, text, size, "label", "end", bold=is_smallest)
    for number, text in enumerate(more, 1):
        below = y_mm + number * pitch
        yield Text(view.mm(_NAME_MM), below, text, view.mm(2.2), "label", bold=is_smallest)
    if row.first.offset_m:
        yield from _axes(view, row)


def _figures(view: _View, row: _Row) -> Iterator[tuple[float, str]]:
    """Bore, drift and vertical depth, where they are known."""
    for x_mm, size_m in ((_BORE_MM, row.first.bore_m), (_DRIFT_MM, row.first.drift_m)):
        yield x_mm, "–" if size_m is None else _digits(view, size_m, small=True)
    met = _met(view, row)
    if met is not None and met.top_tvd_m is not None:
        yield _TVD_MM, _digits(view, met.top_tvd_m)


def _digits(view: _View, length_m: float, *, small: bool = False) -> str:
    return show(length_m, Dimension.LENGTH, view.job.units, small=small).rpartition(" ")[0]


def _more(view: _View, row: _Row, is_smallest: bool) -> list[str]:
    """What must be minded there, below the name."""
    met = _met(view, row)
    words = ["smallest of this way"] if is_smallest else []
    if met is not None and met.mark not in ("", "no-go") and not row.name.startswith(met.mark):
        words.append(mark_words(view.job, met))
    return words


def _met(view: _View, row: _Row) -> Met | None:
    """The row of the access table that begins here."""
    rows = view.found.access.way if view.found.access else ()
    return next((one for one in rows if abs(one.top_md_m - row.top_m) < _SAME_M), None)


def _axes(view: _View, row: _Row) -> Iterator[Item]:
    """The axis above and below an S-bend, so that its shift is seen."""
    for axis_m, y1, y2 in (
        (row.axis_m, view.y(view.way.top_md_m), view.y(row.bottom_m)),
        (row.axis_m + row.first.offset_m, view.y(row.top_m), view.y(view.way.bottom_md_m)),
    ):
        dash = (view.mm(3), view.mm(0.8), view.mm(0.6), view.mm(0.8))
        x_mm = view.x(axis_m)
        yield Line(x_mm, y1, x_mm, y2, "leader", view.mm(0.12), dash)
