"""Does the cable find room beside both strings at the angle of the pothead?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_least, not_checked
from abreast.checks.fit_once import fit_of
from abreast.checks.fit_words import angle, assumed, window
from abreast.formulas.flat_cable import Window, edge_margin, fold_angle
from abreast.mechanics.fit import Fit
from abreast.mechanics.needs import needs_of
from abreast.units import Dimension

__all__ = ["CABLE_WINDOW"]

_SAME_RAD = 1e-9


@dataclass(frozen=True, slots=True)
class _Stretch:
    """The pothead, or the whole run from it to the Y-tool."""

    found: Fit
    name: str
    windows: tuple[Window, ...] | None


def _places(context: Context) -> Iterator[tuple[str, _Stretch]]:
    found = fit_of(context)
    yield "pothead", _Stretch(found, "at the pothead", found.at_pothead)
    yield "whole run", _Stretch(found, "from the pothead to the Y-tool", found.whole_run)


def _judge(context: Context, stretch: _Stretch) -> Verdict:
    verdict, missing = _judged(context, stretch), stretch.found.cable.corner_needs
    if verdict.status == "exceeds" and missing:
        return not_checked(*missing, text=f"{verdict.text} That is with sharp corners.")
    return verdict


def _judged(context: Context, stretch: _Stretch) -> Verdict:
    found, windows = stretch.found, stretch.windows
    if windows is None:
        return not_checked(*found.run_needs)
    if not windows:
        return Verdict(
            status="exceeds",
            text=f"There is no angle at which the cable passes {stretch.name}{_widest(context)}.",
            action="a thinner cable or guard, smaller parts, or a larger axis spacing",
            assumptions=assumed(context, found),
        )
    return _at_angle(context, stretch, windows)


def _widest(context: Context) -> str:
    spacing = context.small(context.job.setting.axis_spacing_m.si)
    return f" with the axes {spacing} apart"


def _at_angle(context: Context, stretch: _Stretch, windows: tuple[Window, ...]) -> Verdict:
    found, mle = stretch.found, context.job.mle
    shown = f"Room {stretch.name}: {window(context, windows)} from the line to the bypass"
    angle_rad, tolerance_rad = found.cable.angle_rad, found.cable.tolerance_rad
    if angle_rad is None or mle is None:
        return not_checked(*found.cable.angle_needs, text=f"{shown}.")
    margin_rad = edge_margin(windows, fold_angle(angle_rad)) or 0.0
    told = f"{shown}{_edges(found, windows)}; the pothead stands at {_sided(context, angle_rad)}"
    if tolerance_rad is None and margin_rad >= 0:
        needs = needs_of(mle.pothead_tolerance_rad)
        return not_checked(*needs, text=f"{told}, {angle(context, margin_rad)} inside.")
    return _verdict(context, stretch, told, (margin_rad, tolerance_rad or 0.0))


def _verdict(
    context: Context, stretch: _Stretch, told: str, margins: tuple[float, float]
) -> Verdict:
    margin_rad, tolerance_rad = margins
    judged = at_least(margin_rad, tolerance_rad)
    if math.isinf(margin_rad):
        place = "no edge near it"
    elif margin_rad < 0:
        place = f"OUTSIDE by {angle(context, -margin_rad)}"
    else:
        place = f"{angle(context, margin_rad)} from the nearer edge"
    return Verdict(
        status=judged.status,
        text=f"{told}, {place}; it may be off by {angle(context, tolerance_rad)}.",
        dimension=Dimension.ANGLE,
        value=None if math.isinf(margin_rad) else margin_rad,
        limit=tolerance_rad,
        utilisation=judged.utilisation,
        action={
            "near limit": "measure the angle of the pothead on the motor before it goes up",
            "exceeds": "turn the motor in its flange, or change the parts beside it",
        }.get(judged.status, ""),
        assumptions=(
            *assumed(context, stretch.found),
            "the cable keeps the angle of the pothead, in the grooves of the twin clamps too",
        ),
    )


def _sided(context: Context, angle_rad: float) -> str:
    """The angle on its side of the line."""
    turned = math.remainder(angle_rad, 2 * math.pi)
    side = "clockwise" if turned >= 0 else "counter-clockwise"
    return f"{angle(context, abs(turned))} {side}, looking down"


def _edges(found: Fit, windows: tuple[Window, ...]) -> str:
    """Which section sets the lower and the upper edge of the widest window."""
    low, high = max(windows, key=lambda one: one[1] - one[0])
    by = [_section_with(found, 0, low), _section_with(found, 1, high)]
    named = [f"{edge} by {name}" for edge, name in zip(("low", "high"), by, strict=True) if name]
    return f" ({', '.join(named)})" if named else ""


def _section_with(found: Fit, end: int, edge_rad: float) -> str:
    if edge_rad <= 0 or edge_rad >= math.pi:
        return ""
    for section in found.sections:
        if any(abs(one[end] - edge_rad) <= _SAME_RAD for one in section.windows or ()):
            solid = [shape.name for shape in section.shapes if shape.side != "cable"]
            return " + ".join(solid)
    return ""


CABLE_WINDOW = Check(
    id="cable-window",
    question="Does the cable find room beside both strings at the angle of the pothead?",
    places=_places,
    judge=_judge,
    basis="physics: smallest circle round all within the drift, clear of the bypass",
)
