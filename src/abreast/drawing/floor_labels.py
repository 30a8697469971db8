"""Words beside a step picture: rows at the edge, a leader to what they name, a box for a change."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from abreast.drawing.floor_layout import TYPE_MM, Layout
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.scene import Anchor, Circle, Item, Line, Rect, Text, printable
from abreast.drawing.spread import spread

__all__ = ["FloorLabel", "placed", "rows_in"]

_PITCH_MM, _GAP_MM, _PAD_MM = 2.7, 1.1, 0.5
_ICON_MM, _WIDOW = 6.0, 5
Icon = Callable[[float, float], Iterator[Item]]


@dataclass(frozen=True, slots=True)
class FloorLabel:
    """Rows of words about one thing.

    Parameters
    ----------
    at_mm : (float, float)
        The thing: its edge on the side of the words.
    rows : tuple of str
        The words; the first row, and every row that starts with '*', is bold.
    left : bool
        On the ESP side.
    tag : str
        What this step changed on it.
    part : str
        Id of the thing.
    rank : int
        0 is always kept; the highest is left out first where the paper is too small.
    icon : callable or None
        Draws the thing at the words, instead of a leader.
    plain : bool
        The first row is not bold.
    """

    at_mm: tuple[float, float]
    rows: tuple[str, ...]
    left: bool = False
    tag: str = ""
    part: str = ""
    rank: int = 0
    icon: Icon | None = None
    plain: bool = False


def rows_in(words: str, room_mm: float, *, bold: bool = False) -> list[str]:
    """Words in rows no wider than the room; a word that is too long is clipped."""
    rows, row = [], ""
    for word in printable(words).split():
        longer = f"{row} {word}" if row else word
        if row and width_mm(longer, TYPE_MM, bold=bold) > room_mm:
            rows.append(row)
            longer = word
        row = longer
    if rows and " " not in row and len(row) < _WIDOW and " " in rows[-1]:
        rows[-1], last = rows[-1].rsplit(" ", 1)  # a unit stays with its number
        row = f"{last} {row}"
    rows.append(row)
    return [clipped(one, room_mm, TYPE_MM, bold=bold) for one in rows]


def placed(
    layout: Layout, labels: Sequence[FloorLabel], top_mm: float, left_end_mm: float
) -> Iterator[Item]:
    """All labels, in two columns, none over another."""
    for left in (True, False):
        mine = sorted((one for one in labels if one.left is left), key=lambda one: one.at_mm[1])
        end_mm = left_end_mm if left else layout.end_mm - 0.5
        yield from _column(layout, mine, left, (top_mm, end_mm))


def _column(
    layout: Layout, labels: list[FloorLabel], left: bool, span_mm: tuple[float, float]
) -> Iterator[Item]:
    edges = layout.left_mm if left else layout.right_mm
    room = edges[1] - edges[0] - 2 * _PAD_MM
    boxes = [_Box(one, room) for one in labels]
    free = span_mm[1] - span_mm[0]
    for spare in sorted(boxes, key=lambda one: (-one.label.rank, -one.high_mm)):
        if sum(one.high_mm for one in boxes) <= free or not spare.label.rank:
            break
        boxes.remove(spare)
    shrink = min(1.0, free / max(sum(one.high_mm for one in boxes), 1e-9))
    heights = [one.high_mm * shrink for one in boxes]
    middles = spread([one.label.at_mm[1] for one in boxes], heights, span_mm[0], span_mm[1] + 1e-6)
    for box, middle, high in zip(boxes, middles, heights, strict=True):
        yield from box.items(edges, middle - high / 2, shrink)


class _Box:
    """The rows of one label, with the words of its change on top."""

    def __init__(self, label: FloorLabel, room_mm: float) -> None:
        self.label = label
        self.room_mm = room_mm - (_ICON_MM if label.icon else 0.0)
        self.rows: list[tuple[str, bool]] = []
        for number, words in enumerate(label.rows):
            bold = (not number and not label.plain) or words.startswith("*")
            found = rows_in(words.removeprefix("*"), self.room_mm, bold=bold)
            self.rows += [(one, bold) for one in found]

    @property
    def high_mm(self) -> float:
        rows = len(self.rows) + (1.15 if self.label.tag else 0.0)
        return rows * _PITCH_MM + _GAP_MM

    def items(self, edges_mm: tuple[float, float], top_mm: float, shrink: float) -> Iterator[Item]:
        label, pitch, size = self.label, _PITCH_MM * shrink, TYPE_MM * shrink
        x_mm = edges_mm[1] - _PAD_MM if label.left else edges_mm[0] + _PAD_MM
        inward = -1.0 if label.left else 1.0
        yield from self._pointer(edges_mm, top_mm, pitch)
        if label.icon:
            yield from label.icon(x_mm + inward * 0.5 * _ICON_MM, top_mm + pitch)
            x_mm += inward * _ICON_MM
        y_mm = top_mm + _GAP_MM * shrink / 2 + 0.8 * pitch
        anchor: Anchor = "end" if label.left else "start"
        if label.tag:
            tag = clipped(label.tag, self.room_mm, TYPE_MM, bold=True)
            wide = width_mm(tag, size, bold=True)
            left = x_mm - wide - 0.5 if label.left else x_mm - 0.5
            yield Rect(left, y_mm - 0.8 * size - 0.25, wide + 1.0, 1.15 * size, "label", "black", 0)
            yield Text(x_mm, y_mm, tag, size, "label", anchor, True, True)
            y_mm += 1.15 * pitch
        for number, (words, bold) in enumerate(self.rows):
            part = "" if number else label.part
            yield Text(x_mm, y_mm, words, size, "label", anchor, bold, False, part)
            y_mm += pitch

    def _pointer(
        self, edges_mm: tuple[float, float], top_mm: float, pitch_mm: float
    ) -> Iterator[Item]:
        label = self.label
        if label.icon:
            return
        edge = edges_mm[1] + 0.2 if label.left else edges_mm[0] - 0.2
        y_mm = top_mm + _GAP_MM / 2 + 0.5 * pitch_mm
        width = 0.45 if label.tag else 0.15
        x_at, y_at = label.at_mm
        knee = edge + (1.2 if label.left else -1.2)
        yield Line(edge, y_mm, knee, y_mm, "leader", width)
        yield Line(knee, y_mm, x_at, y_at, "leader", width)
        yield Circle(x_at, y_at, 0.55 if label.tag else 0.35, "leader", "black", 0.0)
