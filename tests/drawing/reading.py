"""What a viewer makes of an SVG: boxes of words, read back from the file alone."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

NS = "{http://www.w3.org/2000/svg}"
# Parts of a type size above and below the baseline that letters cover: capitals and brackets of
# common sans-serif faces stay below 0.75, descenders above -0.22 (from memory of their metrics).
UP, DOWN = 0.75, 0.22


@dataclass(frozen=True)
class Words:
    text: str
    layer: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Words) -> bool:
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return wide > 0.01 and high > 0.01


def root_of(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def words_of(svg: str) -> list[Words]:
    found = []
    for node in root_of(svg).iter(f"{NS}text"):
        x, y = float(node.get("x", "")), float(node.get("y", ""))
        size, wide = float(node.get("font-size", "")), float(node.get("textLength", ""))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[node.get("text-anchor", "start")]
        box = (left, y - UP * size, left + wide, y + DOWN * size)
        found.append(Words(node.text or "", node.get("class", ""), *box))
    return found


def overlaps(svg: str) -> list[tuple[str, str]]:
    pairs = combinations(words_of(svg), 2)
    return [(one.text, other.text) for one, other in pairs if one.overlaps(other)]


def outside(svg: str) -> list[str]:
    view = [float(part) for part in root_of(svg).get("viewBox", "").split()]
    return [
        one.text
        for one in words_of(svg)
        if one.left < 0 or one.top < 0 or one.right > view[2] or one.bottom > view[3]
    ]
