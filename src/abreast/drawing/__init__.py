"""Drawings: one scene in paper millimetres, written out by small back-ends.

``spaceout_true`` and ``spaceout_stretched`` make the sheets of a planned or run
twin string; ``svg``, ``pdf`` and ``dxf`` write scenes. A scene knows nothing of files, and a
back-end nothing of strings.
"""

from abreast.drawing.catalogue import DRAWINGS, WELL_DRAWINGS, Drawing, WellDrawing
from abreast.drawing.dxf import dxf
from abreast.drawing.order import Numbered, running_order
from abreast.drawing.pdf import pdf
from abreast.drawing.scene import LAYERS, Circle, Item, Layer, Line, Outline, Rect, Scene, Text
from abreast.drawing.sections import section_sheets
from abreast.drawing.sheet import PAPERS, Paper
from abreast.drawing.spaceout import spaceout_stretched, spaceout_true
from abreast.drawing.svg import svg
from abreast.drawing.well import well_sketch

__all__ = [
    "DRAWINGS",
    "LAYERS",
    "PAPERS",
    "WELL_DRAWINGS",
    "Circle",
    "Drawing",
    "Item",
    "Layer",
    "Line",
    "Numbered",
    "Outline",
    "Paper",
    "Rect",
    "Scene",
    "Text",
    "WellDrawing",
    "dxf",
    "pdf",
    "running_order",
    "section_sheets",
    "spaceout_stretched",
    "spaceout_true",
    "svg",
    "well_sketch",
]
