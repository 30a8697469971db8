"""Symbols of the holders, each with its own shape: known in black and white without its name.

Black: it carries. White: it carries nothing. Dashed lines are slack.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.drawing.scene import Circle, Fill, Item, Layer, Line, Outline, Rect

__all__ = ["HALF_MM", "Mark", "extent", "ghost", "symbol"]

_LAYER: Layer = "clamp"
HALF_MM = 4.6
"""How far a holder reaches to each side of its string."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A symbol to draw: where, round how wide a pipe, carrying or not, changed or not."""

    x_mm: float
    y_mm: float
    pipe_mm: float
    carries: bool = False
    changed: bool = False
    part: str = ""

    @property
    def line_mm(self) -> float:
        """Width of its lines."""
        return 0.6 if self.changed else 0.25

    @property
    def fill(self) -> Fill:
        """Black when it carries."""
        return "black" if self.carries else "white"


def symbol(kind: str, mark: Mark) -> Iterator[Item]:
    """The symbol of a sort of holder; its first item names the holder as its part."""
    draw = _SYMBOLS.get(kind, _other)
    yield from draw(mark)
    if mark.changed:
        yield from _brackets(kind, mark)


def extent(kind: str, pipe_mm: float) -> tuple[float, float, float]:
    """Half width of a symbol, and how far it reaches above and below its place [mm]."""
    half, above, below = _EXTENTS.get(kind, (1.4, 1.6, 1.6))
    return (half if half > 3.0 else pipe_mm + half), above, below


def _brackets(kind: str, mark: Mark) -> Iterator[Item]:
    """Heavy corners round what this step changed."""
    half, above, below = extent(kind, mark.pipe_mm)
    arm, gap = 1.2, 0.9
    ends = ((mark.y_mm - above - gap, 1), (mark.y_mm + below + gap, -1))
    for way in (-1, 1):
        x_mm = mark.x_mm + way * (half + gap)
        for y_mm, inward in ends:
            yield Line(x_mm, y_mm, x_mm - way * arm, y_mm, _LAYER, 0.6)
            yield Line(x_mm, y_mm, x_mm, y_mm + inward * arm, _LAYER, 0.6)


def _elevator(mark: Mark) -> Iterator[Item]:
    """A collar under the upset, with an eye at each end for the bails."""
    x, y, half = mark.x_mm, mark.y_mm, mark.pipe_mm + 1.3
    yield Rect(x - half, y - 1.1, 2 * half, 2.2, _LAYER, mark.fill, mark.line_mm, mark.part)
    yield Rect(x - mark.pipe_mm, y - 1.1, 2 * mark.pipe_mm, 2.2, _LAYER, "white", mark.line_mm)
    for way in (-1, 1):
        yield Circle(x + way * (half + 0.8), y, 0.8, _LAYER, "white", mark.line_mm + 0.15)


def _slips(mark: Mark) -> Iterator[Item]:
    """Wedges in the bowl, thick end up, with handles."""
    x, y, pipe = mark.x_mm, mark.y_mm, mark.pipe_mm
    for way in (-1, 1):
        inner, outer = x + way * (pipe + 0.1), x + way * (pipe + 2.2)
        points = ((inner, y - 1.6), (outer, y - 1.6), (inner, y + 2.0))
        part = mark.part if way < 0 else ""
        yield Outline(points, _LAYER, mark.fill, mark.line_mm, part)
        yield Line(outer, y - 1.6, outer + way * 0.6, y - 2.9, _LAYER, 0.35)


def _lifting_clamp(mark: Mark) -> Iterator[Item]:
    """Two halves bolted round a neck, with ears and eyes for slings."""
    x, y, half = mark.x_mm, mark.y_mm, HALF_MM - 1.2
    yield Rect(x - half, y - 1.3, 2 * half, 2.6, _LAYER, mark.fill, mark.line_mm, mark.part)
    ink: Fill = "white" if mark.carries else "black"
    for way in (-1, 1):
        yield Rect(x + way * (half - 0.9) - 0.45, y - 0.45, 0.9, 0.9, _LAYER, ink, 0.0)
        ear = x + way * (half + 0.6)
        yield Outline(
            ((x + way * half, y + 1.3), (ear + way * 0.6, y + 1.3), (x + way * half, y - 1.3)),
            _LAYER,
            mark.fill,
            mark.line_mm,
        )
    pipe = mark.pipe_mm * 0.75
    yield Rect(x - pipe, y - 1.3, 2 * pipe, 2.6, _LAYER, "light", mark.line_mm)


def _holding_clamp(mark: Mark) -> Iterator[Item]:
    """A clamp with a broad foot: it stands and is never hoisted by."""
    x, y, half = mark.x_mm, mark.y_mm, mark.pipe_mm + 1.5
    yield Rect(x - half, y - 2.0, 2 * half, 2.4, _LAYER, mark.fill, mark.line_mm, mark.part)
    foot = HALF_MM - 0.3
    yield Rect(x - foot, y + 0.4, 2 * foot, 0.9, _LAYER, mark.fill, mark.line_mm)
    yield Rect(x - mark.pipe_mm, y - 2.0, 2 * mark.pipe_mm, 2.4, _LAYER, "white", mark.line_mm)
    for n in (0, 1):
        y_mm = y - 1.4 + 1.0 * n
        yield Line(x - mark.pipe_mm, y_mm, x + mark.pipe_mm, y_mm, _LAYER, 0.3)


def _safety_clamp(mark: Mark) -> Iterator[Item]:
    """A chain of links round the pipe: a back-up that never carries."""
    x, y, reach = mark.x_mm, mark.y_mm, mark.pipe_mm + 0.9
    count = 5
    for n in range(count):
        place = x - reach + 2 * reach * n / (count - 1)
        part = mark.part if not n else ""
        yield Circle(place, y, 0.75, _LAYER, "white", mark.line_mm, (), part)
    yield Line(x + reach + 0.75, y, x + reach + 1.7, y - 0.9, _LAYER, 0.4)


def _lifting_sub(mark: Mark) -> Iterator[Item]:
    """Screwed into the top of flush pipe: a stem with a head wider than the pipe."""
    x, y, pipe = mark.x_mm, mark.y_mm, mark.pipe_mm
    head = pipe + 1.1
    yield Rect(x - head, y - 3.4, 2 * head, 1.3, _LAYER, mark.fill, mark.line_mm, mark.part)
    yield Rect(x - pipe * 0.6, y - 2.1, pipe * 1.2, 2.1, _LAYER, mark.fill, mark.line_mm)
    for n in range(2):  # its thread
        yield Line(x - pipe, y + 0.3 + 0.7 * n, x + pipe, y - 0.1 + 0.7 * n, _LAYER, 0.25)


def _slings(mark: Mark) -> Iterator[Item]:
    """A band choked round the piece, its legs going up to one point."""
    x, y, half = mark.x_mm, mark.y_mm, mark.pipe_mm + 0.8
    yield Rect(x - half, y - 0.5, 2 * half, 1.0, _LAYER, mark.fill, mark.line_mm, mark.part)
    for way in (-1, 1):
        yield Line(x + way * half, y - 0.5, x, y - 3.4, _LAYER, 0.6 if mark.carries else 0.25)


def _hook(mark: Mark) -> Iterator[Item]:
    """A ring with a shank."""
    x, y = mark.x_mm, mark.y_mm
    yield Circle(x, y, 1.3, _LAYER, mark.fill, max(mark.line_mm, 0.4), (), mark.part)
    yield Circle(x, y, 0.55, _LAYER, "white", 0.2)


def _c_plate(mark: Mark) -> Iterator[Item]:
    """A plate with a slot."""
    x, y, half = mark.x_mm, mark.y_mm, HALF_MM - 0.6
    yield Rect(x - half, y - 0.6, 2 * half, 1.2, _LAYER, mark.fill, mark.line_mm, mark.part)
    yield Rect(x - mark.pipe_mm, y - 0.6, 2 * mark.pipe_mm, 1.2, _LAYER, "white", mark.line_mm)


def _other(mark: Mark) -> Iterator[Item]:
    """A holder of no known sort: a diamond."""
    x, y, half = mark.x_mm, mark.y_mm, mark.pipe_mm + 1.4
    points = ((x - half, y), (x, y - 1.6), (x + half, y), (x, y + 1.6))
    yield Outline(points, _LAYER, mark.fill, mark.line_mm, mark.part)


_SYMBOLS = {
    "elevator": _elevator,
    "slips": _slips,
    "lifting clamp": _lifting_clamp,
    "holding clamp": _holding_clamp,
    "safety clamp": _safety_clamp,
    "lifting sub": _lifting_sub,
    "slings": _slings,
    "tugger": _hook,
    "hook": _hook,
    "C-plate": _c_plate,
}


_EXTENTS = {  # half width beyond the pipe, or from the middle when over 3; above; below
    "elevator": (2.9, 1.1, 1.1),
    "slips": (2.8, 2.9, 2.0),
    "lifting clamp": (HALF_MM, 1.3, 1.3),
    "holding clamp": (HALF_MM - 0.3, 2.0, 1.3),
    "safety clamp": (2.6, 0.9, 0.8),
    "lifting sub": (1.1, 3.4, 1.4),
    "slings": (0.8, 3.4, 0.5),
    "tugger": (1.0, 1.3, 1.3),
    "hook": (1.0, 1.3, 1.3),
    "C-plate": (HALF_MM - 0.6, 0.6, 0.6),
}


def ghost(x_mm: float, y_mm: float) -> Iterator[Item]:
    """Where something was: a dashed frame, crossed out."""
    half, high, dash = HALF_MM, 1.8, (0.8, 0.6)
    left, right, top, bottom = x_mm - half, x_mm + half, y_mm - high, y_mm + high
    for y in (top, bottom):
        yield Line(left, y, right, y, _LAYER, 0.4, dash)
    for x in (left, right):
        yield Line(x, top, x, bottom, _LAYER, 0.4, dash)
    yield Line(left, top, right, bottom, _LAYER, 0.4, dash)
    yield Line(left, bottom, right, top, _LAYER, 0.4, dash)
