"""Calculators on what fits: circles round discs, room for a cable, stroke of a union."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import (
    Calculator,
    Inputs,
    Name,
    NotNegative,
    Number,
    Outputs,
    Positive,
)
from abreast.formulas.enclosing import Disc, enclosing_circle
from abreast.formulas.flat_cable import FlatCable, Window, angle_windows, edge_margin, fold_angle
from abreast.formulas.guard import require
from abreast.formulas.stroke import stroke_left

__all__ = ["CALCULATORS"]


class DiscInputs(Inputs):
    """One round outline."""

    id: Name = Field("", description="its name")
    x_m: Number = Field(description="its centre, across [m]")
    y_m: Number = Field(description="its centre, along [m]")
    radius_m: NotNegative = Field(description="its radius; 0 is a point [m]")


class CircleInputs(Inputs):
    """Discs at given places."""

    discs: Annotated[tuple[DiscInputs, ...], Field(min_length=1, max_length=200)] = Field(
        description="outlines that stand abreast"
    )
    bore_m: Positive | None = Field(None, description="diameter that they must pass [m]")


class CircleOutputs(Outputs):
    """The circle."""

    x_m: float = Field(description="its centre, across [m]")
    y_m: float = Field(description="its centre, along [m]")
    radius_m: float = Field(description="its radius [m]")
    diameter_m: float = Field(description="its diameter: the smallest bore that lets all pass [m]")
    clearance_m: float | None = Field(
        None, description="bore less diameter; negative: too large by so much [m]"
    )
    deciding: tuple[str, ...] = Field(
        description="the one to three discs that touch it, by name, else by place in the list"
    )


def _circle(given: CircleInputs) -> CircleOutputs:
    discs = [Disc(disc.x_m, disc.y_m, disc.radius_m) for disc in given.discs]
    circle = enclosing_circle(discs)
    return CircleOutputs(
        x_m=circle.x_m,
        y_m=circle.y_m,
        radius_m=circle.radius_m,
        diameter_m=circle.diameter_m,
        clearance_m=None if given.bore_m is None else given.bore_m - circle.diameter_m,
        deciding=tuple(given.discs[place].id or str(place + 1) for place in circle.deciding),
    )


class CableInputs(Inputs):
    """Two strings and a flat cable on the first."""

    esp_od_m: Positive = Field(description="diameter of the string the cable lies on [m]")
    bypass_od_m: Positive = Field(description="diameter of its neighbour [m]")
    axis_spacing_m: Positive = Field(description="distance between their axes [m]")
    thickness_m: Positive = Field(description="thickness of the cable, off the string [m]")
    width_m: Positive = Field(description="its width, along the circumference [m]")
    corner_radius_m: NotNegative = Field(0.0, description="radius of its corners; 0 is sharp [m]")
    guard_m: NotNegative = Field(0.0, description="thickness of a guard over it [m]")
    drift_m: Positive = Field(description="diameter that all must pass [m]")
    pothead_angle_rad: Number | None = Field(
        None, description="angle of the cable, looking down, clockwise positive [rad]"
    )
    pothead_tolerance_rad: NotNegative | None = Field(
        None, description="how far it may be off, to each side [rad]"
    )


class WindowOutputs(Outputs):
    """One window, on the clockwise side; the other side is its mirror image."""

    low_rad: float = Field(description="lower edge [rad]")
    high_rad: float = Field(description="upper edge [rad]")


class CableOutputs(Outputs):
    """Where the cable fits."""

    windows: tuple[WindowOutputs, ...] = Field(
        description="angles from the line to the neighbour, 0 to pi; none: it fits nowhere"
    )
    strings_m: float = Field(description="diameter of the circle round both strings [m]")
    strings_clearance_m: float = Field(description="drift less that; negative: too large [m]")
    envelope_m: float | None = Field(
        None, description="diameter round all, the cable at its angle [m]"
    )
    margin_rad: float | None = Field(
        None, description="from its angle to the nearer edge; negative: outside [rad]"
    )
    inside: bool | None = Field(
        None, description="whether it stays in the window, tolerance included"
    )


def _window(given: CableInputs) -> CableOutputs:
    cable = FlatCable(
        given.esp_od_m / 2,
        given.thickness_m + given.guard_m,
        given.width_m,
        given.corner_radius_m,
    )
    pair = _pair(given)
    windows = angle_windows(cable, pair, pair[1:], given.drift_m)
    strings_m = enclosing_circle(pair).diameter_m
    angle = given.pothead_angle_rad
    return CableOutputs(
        windows=tuple(WindowOutputs(low_rad=low, high_rad=high) for low, high in windows),
        strings_m=strings_m,
        strings_clearance_m=given.drift_m - strings_m,
        envelope_m=None
        if angle is None
        else enclosing_circle([*pair, *cable.discs(angle)]).diameter_m,
        margin_rad=None if angle is None else _margin(windows, angle),
        inside=_inside(given, windows),
    )


def _pair(given: CableInputs) -> list[Disc]:
    radii_m = (given.esp_od_m + given.bypass_od_m) / 2
    apart = given.axis_spacing_m >= radii_m
    reason = f"{given.axis_spacing_m:g} must be at least half of both diameters ({radii_m:g})"
    require(apart, "axis_spacing_m", reason)
    return [
        Disc(0.0, 0.0, given.esp_od_m / 2),
        Disc(given.axis_spacing_m, 0.0, given.bypass_od_m / 2),
    ]


def _margin(windows: Sequence[Window], angle_rad: float) -> float | None:
    """None where there is no edge to be near to: no window, or a window all round."""
    margin = edge_margin(windows, fold_angle(angle_rad))
    return None if margin is None or math.isinf(margin) else margin


def _inside(given: CableInputs, windows: Sequence[Window]) -> bool | None:
    angle, tolerance = given.pothead_angle_rad, given.pothead_tolerance_rad
    if angle is None or tolerance is None:
        return None
    margin = edge_margin(windows, fold_angle(angle))
    return margin is not None and margin >= tolerance


class StrokeInputs(Inputs):
    """A union set at a length."""

    length_m: NotNegative = Field(description="length it is set at [m]")
    closed_m: NotNegative = Field(description="length it adds, fully closed [m]")
    open_m: Positive = Field(description="length it adds, fully open [m]")
    travel_per_turn_m: Positive | None = Field(
        None, description="change of length in one turn; 4 threads to the inch: 0.00635 [m]"
    )


class StrokeOutputs(Outputs):
    """What is left of its stroke."""

    to_closed_m: float = Field(description="stroke left to fully closed [m]")
    to_open_m: float = Field(description="stroke left to fully open [m]")
    from_middle_m: float = Field(description="length less mid-stroke; positive is longer [m]")
    opened_ratio: float = Field(description="0 closed, 1 open")
    turns_to_closed_count: float | None = Field(None, description="turns left to fully closed")
    turns_to_open_count: float | None = Field(None, description="turns left to fully open")


def _stroke(given: StrokeInputs) -> StrokeOutputs:
    left = stroke_left(given.length_m, given.closed_m, given.open_m)
    turn_m = given.travel_per_turn_m
    return StrokeOutputs(
        to_closed_m=left.to_closed_m,
        to_open_m=left.to_open_m,
        from_middle_m=left.from_middle_m,
        opened_ratio=left.opened_ratio,
        turns_to_closed_count=None if turn_m is None else left.to_closed_m / turn_m,
        turns_to_open_count=None if turn_m is None else left.to_open_m / turn_m,
    )


CALCULATORS = (
    Calculator(
        name="enclosing-circle",
        summary="smallest circle round discs at given places, and which of them decide",
        formula="two discs: R = (d + r1 + r2)/2; three: |p - ci| = R - ri",
        source="plane geometry, exact; compared with published packings (from memory)",
        inputs=CircleInputs,
        outputs=CircleOutputs,
        function=_circle,
        example={
            "discs": [
                {"id": "motor", "x_m": 0.0, "y_m": 0.0, "radius_m": 0.06858},
                {"id": "bypass", "x_m": 0.10795, "y_m": 0.0, "radius_m": 0.038354},
            ],
            "bore_m": 0.216535,
        },
    ),
    Calculator(
        name="cable-window",
        summary="angles at which a flat cable fits beside two strings",
        formula="smallest circle round strings and cable within the drift, clear of the neighbour",
        source="plane geometry; edges by bisection to 0.0001 degrees",
        inputs=CableInputs,
        outputs=CableOutputs,
        function=_window,
        example={
            "esp_od_m": 0.130302,
            "bypass_od_m": 0.076708,
            "axis_spacing_m": 0.10795,
            "thickness_m": 0.0127,
            "width_m": 0.03302,
            "guard_m": 0.00254,
            "drift_m": 0.216535,
            "pothead_angle_rad": 1.4835,
            "pothead_tolerance_rad": 0.2094,
        },
    ),
    Calculator(
        name="stroke-left",
        summary="what is left of the stroke of an adjustable union",
        formula="length - closed, open - length",
        source="elementary",
        inputs=StrokeInputs,
        outputs=StrokeOutputs,
        function=_stroke,
        example={"length_m": 0.857, "closed_m": 0.74, "open_m": 0.98, "travel_per_turn_m": 0.006},
    ),
)
