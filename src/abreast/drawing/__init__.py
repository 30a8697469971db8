"""Drawings: one scene in paper millimetres, written out by small back-ends.

``spaceout_drawing`` makes the scene of a planned or run twin string; ``svg``
writes a scene. A scene knows nothing of files, and a back-end nothing of strings.
"""

from abreast.drawing.order import Numbered, running_order
from abreast.drawing.scene import LAYERS, Item, Layer, Line, Rect, Scene, Text
from abreast.drawing.sheet import PAPERS, Paper
from abreast.drawing.spaceout import spaceout_drawing
from abreast.drawing.svg import svg

__all__ = [
    "LAYERS",
    "PAPERS",
    "Item",
    "Layer",
    "Line",
    "Numbered",
    "Paper",
    "Rect",
    "Scene",
    "Text",
    "running_order",
    "spaceout_drawing",
    "svg",
]
