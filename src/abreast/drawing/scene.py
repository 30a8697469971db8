"""What a drawing is made of: lines, shapes and words in millimetres of paper.

The origin is the upper left corner of the sheet, x to the right, y down. Every
item lies on one layer, by which a page can colour it and a CAD program hide it.
Later items lie over earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from abreast.drawing.fonts import ASCENT, DESCENT, width_mm

__all__ = [
    "LAYERS",
    "Anchor",
    "Box",
    "Circle",
    "Fill",
    "Item",
    "Layer",
    "Line",
    "Outline",
    "Point",
    "Rect",
    "Scene",
    "Text",
    "printable",
]

Layer = Literal[
    "frame",
    "grid",
    "ruler",
    "casing",
    "esp",
    "bypass",
    "joint",
    "clamp",
    "landing",
    "cable",
    "limit",
    "leader",
    "label",
]
LAYERS: dict[Layer, str] = {
    "frame": "border, heading, title block and notes",
    "grid": "faint lines at the heights of the ruler",
    "ruler": "the ruler of heights and depths",
    "casing": "casing, liners, narrow places and perforations",
    "esp": "bodies of the ESP side, the Y-tool and the base support",
    "bypass": "bodies of the bypass side, tail and union",
    "joint": "connections and flanges",
    "clamp": "twin clamps",
    "landing": "plates, working windows and bypass tops",
    "cable": "the motor lead extension and where it may lie",
    "limit": "bore, drift and smallest circle of a cross-section",
    "leader": "lines from a label to what it names",
    "label": "words beside the strings",
}
Anchor = Literal["start", "middle", "end"]
Fill = Literal["none", "white", "light", "grey", "black"]
Box = tuple[float, float, float, float]
"""Left, top, right and bottom [mm]."""
Point = tuple[float, float]
"""x and y [mm]."""


def printable(text: str) -> str:
    r"""One line of words: blanks made single, and a '?' for each sign that cannot be shown.

    Examples
    --------
    >>> printable("pup\t 3-1/2\u202e in")
    'pup 3-1/2? in'
    """
    shown = (sign if sign.isprintable() else " " if sign.isspace() else "?" for sign in text)
    return " ".join("".join(shown).split())


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; ``dash_mm`` are lengths drawn and left out in turn."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    layer: Layer
    width_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()

    @property
    def box_mm(self) -> Box:
        """The paper it covers, without its width."""
        left, right = sorted((self.x1_mm, self.x2_mm))
        top, bottom = sorted((self.y1_mm, self.y2_mm))
        return left, top, right, bottom


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle; ``part`` is the id of the piece it stands for."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    layer: Layer
    fill: Fill = "white"
    line_mm: float = 0.25
    part: str = ""

    @property
    def box_mm(self) -> Box:
        """The paper it covers, without the width of its line."""
        return self.x_mm, self.y_mm, self.x_mm + self.width_mm, self.y_mm + self.height_mm


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; ``part`` is the id of the piece it stands for."""

    x_mm: float
    y_mm: float
    radius_mm: float
    layer: Layer
    fill: Fill = "none"
    line_mm: float = 0.25
    dash_mm: tuple[float, ...] = ()
    part: str = ""

    @property
    def box_mm(self) -> Box:
        """The paper it covers, without the width of its line."""
        x, y, r = self.x_mm, self.y_mm, self.radius_mm
        return x - r, y - r, x + r, y + r


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline of straight edges; ``part`` is the id of the piece it stands for."""

    points_mm: tuple[Point, ...]
    layer: Layer
    fill: Fill = "none"
    line_mm: float = 0.25
    part: str = ""

    @property
    def box_mm(self) -> Box:
        """The paper it covers, without the width of its line."""
        x, y = zip(*self.points_mm, strict=True)
        return min(x), min(y), max(x), max(y)


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words on its baseline, drawn exactly as wide as ``box_mm`` says."""

    x_mm: float
    y_mm: float
    text: str
    size_mm: float
    layer: Layer = "label"
    anchor: Anchor = "start"
    bold: bool = False
    white: bool = False
    part: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", printable(self.text))

    @property
    def width_mm(self) -> float:
        """Length of the line on paper [mm]."""
        return width_mm(self.text, self.size_mm, bold=self.bold)

    @property
    def box_mm(self) -> Box:
        """The paper it covers: from the tallest letter to the deepest."""
        width = self.width_mm
        left = self.x_mm - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        top, bottom = self.y_mm - ASCENT * self.size_mm, self.y_mm + DESCENT * self.size_mm
        return left, top, left + width, bottom


Item = Line | Rect | Circle | Outline | Text


@dataclass(frozen=True, slots=True)
class Scene:
    """A sheet of paper with everything on it."""

    width_mm: float
    height_mm: float
    title: str
    items: tuple[Item, ...]

    def on(self, layer: Layer) -> Iterator[Item]:
        """The items of one layer, in the order in which they are drawn."""
        return (item for item in self.items if item.layer == layer)

    def texts(self) -> Iterator[Text]:
        """The words on the sheet."""
        return (item for item in self.items if isinstance(item, Text))
