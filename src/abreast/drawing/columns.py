"""Labels set into the two columns of the sheet, moved apart, with leaders to the strings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, zip_longest

from abreast.drawing.canvas import Canvas
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.labels import Label, left_labels, right_labels
from abreast.drawing.scene import Item, Line, Rect, Text
from abreast.drawing.spread import spread
from abreast.drawing.view import View
from abreast.errors import InputError

__all__ = ["Side", "draw_columns", "label_columns"]

_LARGEST_MM, _SMALLEST_MM, _STEP_MM = 3.2, 2.2, 0.1
_PITCH = 1.36
"""Distance of rows over type size: the letters' own height is 0.97 of it."""
_GAP_MM, _LEAST_NAME_MM = 2.0, 18.0


@dataclass(frozen=True, slots=True)
class Side:
    """One side of the sheet; places on A4 [mm]. A side with no numbers has no column for them."""

    labels: tuple[Label, ...]
    headings: tuple[str, ...]
    left_mm: float
    right_mm: float
    leader_mm: float
    knee_mm: float
    numbered: bool = True


@dataclass(frozen=True, slots=True)
class _Column:
    """A side with its type size and the right ends of its columns of figures [mm]."""

    side: Side
    size_mm: float
    number_mm: float
    name_mm: float
    figures_mm: tuple[float, ...]

    @property
    def pitch_mm(self) -> float:
        """Distance of rows."""
        return self.size_mm * _PITCH


def label_columns(view: View) -> Iterator[Item]:
    """Both columns with their headings; the type is as large as lets every label in.

    Raises
    ------
    InputError
        If even the smallest type is too large for that many labels.
    """
    depth = () if view.depth_of_zero_m is None else ("top MD",)
    left = Side(tuple(left_labels(view)), ("ESP side", "length", "top z"), 33, 91.5, 92.3, 94.5)
    right = Side(
        tuple(right_labels(view)), ("bypass side", "adds", "top z", *depth), 136, 203, 135.4, 129.5
    )
    yield from draw_columns(view, (left, right))


def draw_columns(view: Canvas, sides: Sequence[Side]) -> Iterator[Item]:
    """Columns of labels in one size of type, the largest that lets every label in.

    Raises
    ------
    InputError
        If even the smallest type is too large for that many labels.
    """
    for column in _fitted(view, sides):
        yield from _heading(view, column)
        yield from _labels(view, column)


def _fitted(view: Canvas, sides: Sequence[Side]) -> list[_Column]:
    steps = round((_LARGEST_MM - _SMALLEST_MM) / _STEP_MM)
    for step in range(steps + 1):
        columns = [_column(view, side, view.mm(_LARGEST_MM - step * _STEP_MM)) for side in sides]
        if all(_fits(view, column) for column in columns):
            return columns
    most = max(sum(label.rows for label in side.labels) for side in sides)
    message = f"{most} rows of labels do not fit on a sheet of {view.sheet.paper}"
    raise InputError(message, code="labels-do-not-fit")


def _fits(view: Canvas, column: _Column) -> bool:
    rows = sum(label.rows for label in column.side.labels)
    high = view.sheet.bottom_mm - view.sheet.top_mm
    wide = column.figures_mm[0] - column.name_mm - _widest(column.side, column.size_mm)[0]
    return rows * column.pitch_mm <= high and wide >= view.mm(_LEAST_NAME_MM)


def _widest(side: Side, size_mm: float) -> list[float]:
    """Width of each column of figures, its heading included."""
    rows = [side.headings[1:], *(label.figures for label in side.labels)]
    return [
        max(width_mm(text, size_mm) for text in col) for col in zip_longest(*rows, fillvalue="")
    ]


def _column(view: Canvas, side: Side, size_mm: float) -> _Column:
    ends = [view.mm(side.right_mm)]
    for wide in reversed(_widest(side, size_mm)[1:]):
        ends.append(ends[-1] - wide - view.mm(_GAP_MM))
    number = view.mm(side.left_mm) + width_mm("000" if side.numbered else "", size_mm)
    return _Column(side, size_mm, number, number + view.mm(1.2), tuple(reversed(ends)))


def _heading(view: Canvas, column: _Column) -> Iterator[Item]:
    size, y_mm = view.mm(2.3), view.sheet.top_mm - view.mm(1.6)
    first, *rest = column.side.headings
    if column.side.numbered:
        yield Text(column.number_mm, y_mm, "no.", size, "label", "end", bold=True)
    yield Text(column.name_mm, y_mm, first, size, "label", bold=True)
    for x_mm, words in zip(column.figures_mm, rest, strict=True):
        yield Text(x_mm, y_mm, words, size, "label", "end", bold=True)
    under = y_mm + view.mm(0.9)
    left, right = view.mm(column.side.left_mm), column.figures_mm[-1]
    yield Line(left, under, right, under, "label", view.mm(0.25))


def _labels(view: Canvas, column: _Column) -> Iterator[Item]:
    labels, pitch = column.side.labels, column.pitch_mm
    wanted = [view.on_sheet(label.height_m) for label in labels]
    heights = [label.rows * pitch for label in labels]
    middles = spread(wanted, heights, view.sheet.top_mm, view.sheet.bottom_mm)
    for label, y_mm, height in zip(labels, middles, heights, strict=True):
        top = y_mm - height / 2
        yield from _leader(view, column.side, label, top + pitch / 2)
        yield _backing(view, column, top, height)
        yield from _rows(view, column, label, top + pitch / 2 + 0.36 * column.size_mm)


def _leader(view: Canvas, side: Side, label: Label, y_mm: float) -> Iterator[Item]:
    """From the string straight out, slanted to the label's first row, straight to its words."""
    end, knee, at = view.mm(side.leader_mm), view.mm(side.knee_mm), view.on_sheet(label.height_m)
    short = view.mm(0.6) if end < knee else -view.mm(0.6)
    ends = ((label.x_mm, at), (knee, at), (end + short, y_mm), (end, y_mm))
    for (x1, y1), (x2, y2) in pairwise(ends):
        yield Line(x1, y1, x2, y2, "leader", view.mm(0.13))


def _backing(view: Canvas, column: _Column, top_mm: float, height_mm: float) -> Rect:
    """Blank paper behind a label, so that no line of the grid strikes it out."""
    left, right = view.mm(column.side.left_mm), column.figures_mm[-1]
    return Rect(left, top_mm, right - left, height_mm, "label", "white", 0.0)


def _rows(view: Canvas, column: _Column, label: Label, y_mm: float) -> Iterator[Item]:
    yield from _first_row(view, column, label, y_mm)
    room = column.figures_mm[-1] - column.name_mm
    for row, words in enumerate(label.more, 1):
        text = clipped(words, room, column.size_mm)
        yield Text(column.name_mm, y_mm + row * column.pitch_mm, text, column.size_mm)


def _first_row(view: Canvas, column: _Column, label: Label, y_mm: float) -> Iterator[Item]:
    size, left, right = column.size_mm, column.name_mm, column.figures_mm[-1]
    if label.tag:
        tag = _tag(view, view.mm(column.side.left_mm), y_mm, label.tag, size)
        left = max(left, tag[0].box_mm[2] + view.mm(1))
        yield from tag
    else:
        yield Text(column.number_mm, y_mm, label.number, size, "label", "end")
    for x_mm, text in zip(column.figures_mm, label.figures, strict=False):
        if text:
            yield Text(x_mm, y_mm, text, size, "label", "end", part=label.part)
            right = min(right, x_mm - width_mm(text, size) - view.mm(1))
    yield from _name(view, label, (left, right), y_mm, size)


def _name(
    view: Canvas, label: Label, ends_mm: tuple[float, float], y_mm: float, size_mm: float
) -> Iterator[Item]:
    left, right = ends_mm
    small = max(size_mm * 0.8, view.mm(_SMALLEST_MM))
    note = clipped(label.note, (right - left) * 0.6, small)
    room = right - left - width_mm(note, small) - view.mm(1.2)
    name = clipped(label.name, room, size_mm, bold=label.bold)
    yield Text(left, y_mm, name, size_mm, bold=label.bold, part=label.part)
    if note:
        yield Text(right, y_mm, note, small, anchor="end", part=label.part)


def _tag(view: Canvas, x_mm: float, y_mm: float, words: str, size_mm: float) -> tuple[Rect, Text]:
    """White words in a black box: found at once, also on a copy."""
    edge, text = view.mm(0.7), clipped(words, view.mm(14), size_mm, bold=True)
    wide = width_mm(text, size_mm, bold=True) + 2 * edge
    box = Rect(x_mm, y_mm - 0.86 * size_mm, wide, 1.16 * size_mm, "label", "black", 0.0)
    return box, Text(x_mm + edge, y_mm, text, size_mm, bold=True, white=True)
