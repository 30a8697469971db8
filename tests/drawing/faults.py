"""What a reader of a sheet would stumble over, found from the scene and from its SVG."""

from __future__ import annotations

from tests.drawing.reading import outside, overlaps

from abreast.drawing import Scene, svg

SMALLEST_MM = 2.2


def faults(scene: Scene) -> list[object]:
    """Words on words, anything beyond the paper, and type too small to read."""
    text = svg(scene)
    beyond = [
        item
        for item in scene.items
        if item.box_mm[0] < -0.01
        or item.box_mm[1] < -0.01
        or item.box_mm[2] > scene.width_mm + 0.01
        or item.box_mm[3] > scene.height_mm + 0.01
    ]
    small = [one.text for one in scene.texts() if one.size_mm < SMALLEST_MM - 1e-9 and one.text]
    return [*overlaps(text), *outside(text), *beyond, *small]
