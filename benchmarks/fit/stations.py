"""Invented cross-sections: ESP, bypass, four corners of a cable, at times a clamp; no two alike."""

from __future__ import annotations

import math
import random

from abreast.formulas.enclosing import Triplet
from abreast.formulas.flat_cable import FlatCable

__all__ = ["stations"]

_INCH = 0.0254


def stations(count: int, seed: int = 0) -> list[list[Triplet]]:
    """``count`` sections of realistic size [m]; the same seed gives the same ones."""
    chance = random.Random(seed)
    return [_station(chance) for _ in range(count)]


def _station(chance: random.Random) -> list[Triplet]:
    esp = chance.uniform(3.4, 5.6) / 2 * _INCH
    bypass = chance.uniform(2.3, 3.7) / 2 * _INCH
    spacing = esp + bypass + chance.uniform(0.02, 0.4) * _INCH
    thickness, width = chance.uniform(0.4, 0.7) * _INCH, chance.uniform(1.1, 1.5) * _INCH
    cable = FlatCable(esp, thickness, width, chance.choice((0.0, 0.2 * thickness)))
    angle = math.radians(chance.uniform(30, 160))
    found: list[Triplet] = [(0.0, 0.0, esp), (spacing, 0.0, bypass), *cable.discs(angle)]
    if chance.random() < 0.2:
        held = (spacing + esp + bypass) / 2
        found.append(((spacing + bypass - esp) / 2, 0.0, held * chance.uniform(0.97, 1.01)))
    return found
