"""Scenes as a DXF file for a CAD program: the same scenes give the same bytes.

Version R2010, units millimetres of paper, y up, one layer for each class of the
scene. Sheets stand side by side in model space. Shapes are outlines; of lines
that a scene covers with a later shape only what can be seen is drawn.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from abreast.drawing.hidden import covers, visible
from abreast.drawing.scene import LAYERS, Box, Circle, Item, Layer, Line, Outline, Rect, Scene, Text
from abreast.errors import InputError, MissingInputError

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

__all__ = ["dxf"]

_CAPITALS = 0.72
"""Height of capitals over the type size: DXF measures text by its capitals."""
_GAP_MM = 20.0
_GREYS: dict[Layer, int] = {"grid": 9, "leader": 8}
_BLACK = 7
_STYLES = {False: "PLAIN", True: "BOLD"}
_HUNDREDTHS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
"""Line weights that a DXF file knows [0.01 mm] (DXF reference, group code 370)."""


def dxf(scenes: Sequence[Scene]) -> bytes:
    """The sheets as one DXF file.

    Raises
    ------
    MissingInputError
        If the package that writes DXF is not installed.
    InputError
        If the writer finds a fault in what it made.
    """
    with _fixed_meta_data():
        document = _new_document()
        space, left_mm = document.modelspace(), 0.0
        for scene in scenes:
            pen = _Pen(space, left_mm, scene.height_mm)
            for item, boxes in zip(scene.items, covers(scene.items), strict=True):
                pen.draw(item, boxes)
            left_mm += scene.width_mm + _GAP_MM
        _audit(document)
        document.header["$EXTMIN"] = (0.0, 0.0, 0.0)
        document.header["$EXTMAX"] = (left_mm - _GAP_MM, max(s.height_mm for s in scenes), 0.0)
        return _bytes_of(document)


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """No date and no random id in what is made meanwhile."""
    try:
        from ezdxf._options import options
    except ImportError:
        needs = "the package ezdxf (install abreast with its 'documents' extra)"
        raise MissingInputError(needs) from None
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _new_document() -> Drawing:
    from ezdxf.filemanagement import new

    document = new("R2010", units=4)  # 4: millimetres (DXF reference, $INSUNITS)
    for name, words in LAYERS.items():
        layer = document.layers.add(name, color=_GREYS.get(name, _BLACK))
        layer.description = words
    for bold, style in _STYLES.items():
        document.styles.add(style, font="arialbd.ttf" if bold else "arial.ttf")
    document.linetypes.add("PAPER_DASH", [2.0, 1.2, -0.8], description="dashed on paper")
    return document


def _audit(document: Drawing) -> None:
    found = document.audit()
    if found.errors or found.fixes:
        message = f"the DXF file has {len(found.errors) + len(found.fixes)} faults"
        raise InputError(message, code="dxf")


def _bytes_of(document: Drawing) -> bytes:
    # The writer takes class names from a set, whose order changes from process to process.
    classes = document.classes
    classes.add_required_classes(document.dxfversion)
    classes.classes = dict(sorted(classes.classes.items()))
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding, errors="replace")


class _Pen:
    """Draws items of one sheet whose lower left corner is at (left, 0)."""

    def __init__(self, space: Modelspace, left_mm: float, height_mm: float) -> None:
        self.space, self.left_mm, self.height_mm = space, left_mm, height_mm

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return round(self.left_mm + x_mm, 4), round(self.height_mm - y_mm, 4)

    def draw(self, item: Item, boxes: list[Box]) -> None:
        """Draw what can be seen of an item of which these boxes are laid over."""
        if isinstance(item, Text):
            self._text(item)
        elif isinstance(item, Line):
            ends = (item.x1_mm, item.y1_mm), (item.x2_mm, item.y2_mm)
            how = self._drawn(item.layer, item.width_mm, item.dash_mm)
            for start, end in visible(ends, boxes):
                self.space.add_line(self.at(*start), self.at(*end), how)
        elif isinstance(item, Circle):
            how = self._drawn(item.layer, item.line_mm, item.dash_mm)
            self.space.add_circle(self.at(item.x_mm, item.y_mm), round(item.radius_mm, 4), how)
        else:
            self._shape(item, boxes)

    def _drawn(
        self, layer: Layer, line_mm: float, dash_mm: tuple[float, ...] = ()
    ) -> dict[str, Any]:
        weight = min(_HUNDREDTHS, key=lambda one: abs(one - 100 * line_mm))
        dashed = {"linetype": "PAPER_DASH"} if dash_mm else {}
        return {"layer": layer, "lineweight": weight, **dashed}

    def _shape(self, item: Rect | Outline, boxes: list[Box]) -> None:
        """Black shapes are filled, unless words stand on them; blank paper is left out."""
        if not item.line_mm and item.fill != "black":
            return
        corners, how = _corners(item), self._drawn(item.layer, item.line_mm)
        edges = list(pairwise((*corners, corners[0])))
        seen = [visible(edge, boxes) for edge in edges]
        if all(parts == [edge] for parts, edge in zip(seen, edges, strict=True)):
            points = [self.at(*corner) for corner in corners]
            self.space.add_lwpolyline(points, close=True, dxfattribs=how)
        else:
            for start, end in (part for parts in seen for part in parts):
                self.space.add_line(self.at(*start), self.at(*end), how)
        if item.fill == "black" and item.layer != "label" and len(corners) in (3, 4):
            points = [self.at(*corner) for corner in corners]
            self.space.add_solid([*points[:2], points[-1], *points[2:3]], {"layer": item.layer})

    def _text(self, item: Text) -> None:
        from ezdxf.enums import TextEntityAlignment as Align

        align = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[item.anchor]
        height = round(_CAPITALS * item.size_mm, 4)
        how = {"layer": item.layer, "style": _STYLES[item.bold]}
        text = self.space.add_text(item.text, height=height, dxfattribs=how)
        text.set_placement(self.at(item.x_mm, item.y_mm), align=align)


def _corners(item: Rect | Outline) -> tuple[tuple[float, float], ...]:
    if isinstance(item, Outline):
        return item.points_mm
    left, top, right, bottom = item.box_mm
    return (left, top), (right, top), (right, bottom), (left, bottom)
