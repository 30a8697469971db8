"""Words that the checks of the fit share."""

from __future__ import annotations

import math

from abreast.checks.base import Context
from abreast.mechanics.cable import CABLE_ID
from abreast.mechanics.fit import Fit, FitSection
from abreast.mechanics.fit_along import Stretch
from abreast.mechanics.passages import Passage
from abreast.units import Dimension, show

__all__ = ["BY_ITSELF", "angle", "assumed", "corner_needs", "rooms", "told", "window"]

BY_ITSELF = "each height by itself; fit-along asks for what lies close above one another"


def told(context: Context, section: FitSection) -> str:
    """What decides a section, and where it is."""
    names = " + ".join(section.deciding)
    bottom, top = context.length(section.bottom_m), context.length(section.top_m)
    return f"{names} at {bottom} to {top} above the ESP's lower face"


def corner_needs(found: Fit, section: FitSection | Stretch) -> tuple[str, ...]:
    """What to ask for before a section is called too large: its cable may be taken as sharp."""
    return found.cable.corner_needs if CABLE_ID in section.deciders else ()


def rooms(context: Context, way: Passage, diameter_m: float) -> str:
    """A circle against what a bore lets pass, as text."""
    if way.kind == "rig":
        return _against(context, "opening", way.bore_m, diameter_m)
    name = "special drift" if way.special else "drift"
    drift = _against(context, name, way.drift_m, diameter_m)
    return f"{drift}, {_against(context, 'bore', way.bore_m, diameter_m)}"


def _against(context: Context, what: str, size_m: float | None, diameter_m: float) -> str:
    if size_m is None:
        return f"{what} not stated"
    side = "under" if size_m >= diameter_m else "OVER"
    return f"{context.small(abs(size_m - diameter_m))} {side} the {what} of {context.small(size_m)}"


def angle(context: Context, angle_rad: float) -> str:
    """An angle, as text."""
    return show(angle_rad, Dimension.ANGLE, context.job.units)


def window(context: Context, windows: tuple[tuple[float, float], ...]) -> str:
    """The windows of a cable, as text."""
    if not windows:
        return "none"
    whole = [low <= 0 and high >= math.pi for low, high in windows]
    if any(whole):
        return "any angle"
    return " and ".join(f"{angle(context, a)} to {angle(context, b)}" for a, b in windows)


def assumed(context: Context, found: Fit) -> tuple[str, ...]:
    """What every number of the fit rests on."""
    spread = context.small(found.spread_m, 2)
    told_all = [
        "the axes keep their spacing all along",
        f"bypass connections within {spread} of their place",
        "blocks and twin clamps in line with the widest part beside them",
        "largest diameter of a piece all along it, but for a stated neck or connection",
    ]
    if not found.cable.needs:
        told_all.append(
            "cable with sharp corners: no radius is stated"
            if found.cable.corner_needs
            else "corners of the guard as round as those of the cable"
        )
    return tuple(told_all)
