"""Calculators on what hangs on the hook: a whole soft string, and one element of it."""

from __future__ import annotations

import math
from itertools import pairwise
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
    Share,
)
from abreast.actions.survey_calculators import LONGEST_SURVEY, StationInputs
from abreast.formulas.guard import require
from abreast.formulas.lifting import STEEL_DENSITY_KG_M3
from abreast.formulas.soft_string import Cell, Way, normal_force, tensions
from abreast.formulas.survey import Position, minimum_curvature, position_at, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, hook_load

__all__ = ["CALCULATORS", "HoleAndString"]

_MOST_CELLS = 10_000
_SHARPEST_RAD = math.radians(1.0)
"""A soft string is cut into elements that turn no further."""
_DEEPEST_M = 30_000.0
_ABOVE_M = 1e-6
_NO_BORE = "no piece has a bore that this fluid could fill; give bore_m, or leave it out"
Survey = Annotated[tuple[StationInputs, ...], Field(min_length=2, max_length=LONGEST_SURVEY)]


class ItemInputs(Inputs):
    """One piece of the string."""

    id: Name = Field("", description="its name")
    length_m: Positive = Field(description="length it adds [m]")
    mass_kg: NotNegative = Field(description="its mass in air, cable included [kg]")
    bore_m: NotNegative = Field(0.0, description="bore that fluid can fill; 0: none [m]")
    clamps_count: Annotated[int, Field(strict=True, ge=0, le=10_000)] = Field(
        0, description="cable clamps on it"
    )


class HoleAndString(Inputs):
    """A survey, a string, fluids and what drags besides friction on the wall."""

    stations: Survey = Field(description="survey; its first station is the surface, depth 0")
    items: Annotated[tuple[ItemInputs, ...], Field(min_length=1, max_length=1000)] = Field(
        description="the string, bottom to top; what stands above the surface is not counted"
    )
    outside_kg_m3: NotNegative = Field(0.0, description="density of the fluid outside [kg/m3]")
    inside_kg_m3: NotNegative = Field(0.0, description="density of the fluid inside [kg/m3]")
    steel_kg_m3: Positive = Field(
        STEEL_DENSITY_KG_M3, description="density that turns mass into volume [kg/m3]"
    )
    outside_level_md_m: Number | None = Field(
        None, description="its level outside, measured depth; none: full [m]"
    )
    inside_level_md_m: Number | None = Field(
        None, description="its level inside, measured depth; none: full [m]"
    )
    twin_drag_n: NotNegative | None = Field(
        None, description="drag of the twin string at the bottom; none: not counted [N]"
    )
    clamp_drag_n: NotNegative | None = Field(
        None, description="drag of each cable clamp; none: not counted [N]"
    )

    def hole(self, bottom_md_m: float, field: str) -> tuple[Position, ...]:
        """The path of the hole, which begins at the surface and is no deeper than any."""
        hole = positions([row.station() for row in self.stations])
        top_m = hole[0].station.md_m
        reason = (
            f"the survey begins at {top_m:g} m and what hangs above it would not be counted;"
            " give a station at the surface, depth 0"
        )
        require(top_m <= 0, "stations.1.md_m", reason)
        along_m = bottom_md_m - top_m
        reason = f"{along_m:g} m of hole is deeper than any well ({_DEEPEST_M:g} m); check the unit"
        require(along_m <= _DEEPEST_M, field, reason)
        return hole

    def string(self) -> list[StringItem]:
        """The string, bottom to top."""
        filled = any(one.bore_m for one in self.items)
        require(filled or not self.inside_kg_m3, "inside_kg_m3", _NO_BORE)
        return [
            StringItem(one.id, one.length_m, one.mass_kg, one.bore_m, one.clamps_count)
            for one in self.items
        ]

    def fluids(self) -> Fluids:
        """What stands outside and inside."""
        outside_md_m, inside_md_m = self.outside_level_md_m, self.inside_level_md_m
        return Fluids(
            self.outside_kg_m3,
            self.inside_kg_m3,
            -math.inf if outside_md_m is None else outside_md_m,
            -math.inf if inside_md_m is None else inside_md_m,
            self.steel_kg_m3,
        )

    def remarks(self, bottom_md_m: float) -> tuple[str, ...]:
        """What was not counted of the string, in words."""
        above_m = math.fsum(one.length_m for one in self.items) - bottom_md_m
        above_m += self.stations[0].md_m
        said = []
        if above_m > _ABOVE_M:
            said.append(f"{above_m:.2f} m of the string stand above the surface: not counted")
        solid = [one.id or f"item {k}" for k, one in enumerate(self.items, 1) if not one.bore_m]
        if self.inside_kg_m3 and solid:
            said.append(f"no bore given, no fluid counted inside: {', '.join(solid[:5])}")
        return tuple(said)


class HookInputs(HoleAndString):
    """All that, a depth and friction."""

    bottom_md_m: Number = Field(description="measured depth of its lower end [m]")
    friction_ratio: Share = Field(description="friction factor, 0 to 1")


class TopOutputs(Outputs):
    """Effective tension at the upper end of a piece, or at the surface where it stands above."""

    id: str = Field(description="the piece")
    md_m: float = Field(description="measured depth [m]")
    up_n: float = Field(description="picking up [N]")
    still_n: float = Field(description="hanging [N]")
    down_n: float = Field(description="slacking off [N]")


class HookOutputs(Outputs):
    """Hook loads, block and bails not in them."""

    up_n: float = Field(description="picking up [N]")
    still_n: float = Field(description="hanging, without friction [N]")
    down_n: float = Field(description="slacking off; not above 0: does not go down [N]")
    warning: str = Field(description="lock-up or compression; empty: none found")
    tops: tuple[TopOutputs, ...] = Field(
        description="tensions at the top of each piece; of one that reaches out of the hole at the"
        " surface, and none of those above"
    )
    not_counted: tuple[str, ...] = Field(description="drags left out")
    remarks: tuple[str, ...] = Field((), description="what of the string was not counted")


def _hook(given: HookInputs) -> HookOutputs:
    hole = given.hole(given.bottom_md_m, "bottom_md_m")
    items = given.string()
    drag = Drag(given.friction_ratio, given.twin_drag_n, given.clamp_drag_n)
    load = hook_load(hole, items, given.bottom_md_m, given.fluids(), drag)
    return HookOutputs(
        up_n=load.up_n[-1],
        still_n=load.still_n[-1],
        down_n=load.down_n[-1],
        warning=load.warning,
        tops=tuple(
            TopOutputs(
                id=item.name,
                md_m=load.md_m[k],
                up_n=load.up_n[k],
                still_n=load.still_n[k],
                down_n=load.down_n[k],
            )
            for item, k in zip(items, load.tops, strict=False)
        ),
        not_counted=load.not_counted,
        remarks=given.remarks(given.bottom_md_m),
    )


class FluidInputs(Inputs):
    """A length of pipe, what is in it and what is round it."""

    mass_kg_m: Positive = Field(description="mass in air, couplings included [kg/m]")
    bore_m: NotNegative = Field(0.0, description="bore that fluid can fill; 0: none [m]")
    inside_kg_m3: NotNegative = Field(0.0, description="density of the fluid inside [kg/m3]")
    outside_kg_m3: NotNegative = Field(0.0, description="density of the fluid outside [kg/m3]")
    steel_kg_m3: Positive = Field(
        STEEL_DENSITY_KG_M3, description="density that turns mass into volume [kg/m3]"
    )


class FluidOutputs(Outputs):
    """What it weighs there."""

    weight_n_m: float = Field(description="effective weight; negative: it floats [N/m]")
    air_n_m: float = Field(description="weight in air, empty [N/m]")
    buoyancy_ratio: float = Field(description="one over the other")


def _in_fluid(given: FluidInputs) -> FluidOutputs:
    require(bool(given.bore_m) or not given.inside_kg_m3, "inside_kg_m3", _NO_BORE)
    item = StringItem("pipe", 1.0, given.mass_kg_m, given.bore_m)
    fluids = Fluids(given.outside_kg_m3, given.inside_kg_m3, steel_kg_m3=given.steel_kg_m3)
    weight_n_m, air_n_m = fluids.weight_n_m(item, 0.0), Fluids().weight_n_m(item, 0.0)
    return FluidOutputs(weight_n_m=weight_n_m, air_n_m=air_n_m, buoyancy_ratio=weight_n_m / air_n_m)


class ElementInputs(Inputs):
    """A piece of string along one arc of the hole."""

    upper: StationInputs = Field(description="its upper end")
    lower: StationInputs = Field(description="its lower end")
    tension_n: Number = Field(description="effective tension at its lower end [N]")
    weight_n_m: Number = Field(description="effective weight, in fluid [N/m]")
    friction_ratio: Share = Field(description="friction factor, 0 to 1")
    longest_m: Positive | None = Field(
        None, description="elements no longer than this; none: as their turn asks [m]"
    )


class ElementOutputs(Outputs):
    """Wall forces along it and tensions above it."""

    wall_up_n: float = Field(description="force on the wall, all told, picking up [N]")
    wall_n: float = Field(description="the same hanging, without friction [N]")
    wall_down_n: float = Field(description="the same slacking off [N]")
    up_n: float = Field(description="effective tension above, picking up [N]")
    still_n: float = Field(description="the same hanging, without friction [N]")
    down_n: float = Field(description="the same slacking off [N]")
    elements_count: int = Field(
        description="elements it was cut into: each turns by 1 degree at most"
    )


def _element(given: ElementInputs) -> ElementOutputs:
    turn_rad = minimum_curvature(given.upper.station(), given.lower.station()).dogleg_rad
    known = positions([given.upper.station(), given.lower.station()])
    top_m, length_m = given.upper.md_m, given.lower.md_m - given.upper.md_m
    longest_m = length_m if given.longest_m is None else given.longest_m
    fits = length_m / longest_m <= _MOST_CELLS
    require(fits, "longest_m", f"cuts it in more than {_MOST_CELLS} elements; make it longer")
    count = max(math.ceil(length_m / longest_m - 1e-9), math.ceil(turn_rad / _SHARPEST_RAD - 1e-9))
    inner = [position_at(known, top_m + length_m * k / count) for k in range(1, count)]
    points = [known[0], *inner, known[1]]
    cells = [Cell(a, b, given.weight_n_m) for a, b in pairwise(points)][::-1]
    loads = {way: _along(cells, given.friction_ratio, way, given.tension_n) for way in _WAYS}
    return ElementOutputs(
        wall_up_n=loads["up"][1],
        wall_n=loads["still"][1],
        wall_down_n=loads["down"][1],
        up_n=loads["up"][0],
        still_n=loads["still"][0],
        down_n=loads["down"][0],
        elements_count=count,
    )


_WAYS: tuple[Way, ...] = ("up", "still", "down")


def _along(cells: list[Cell], friction: float, way: Way, bottom_n: float) -> tuple[float, float]:
    """Tension above all cells, and their wall forces together [N]."""
    ends = (bottom_n, *tensions(cells, friction, way, bottom_n))
    middles = [(below + above) / 2 for below, above in pairwise(ends)]
    walls = (normal_force(mid, cell) for mid, cell in zip(middles, cells, strict=True))
    return ends[-1], math.fsum(walls)


def _station(md_m: float, inclination_rad: float, azimuth_rad: float) -> dict[str, float]:
    return {"md_m": md_m, "inclination_rad": inclination_rad, "azimuth_rad": azimuth_rad}


_HOLE = [
    _station(0.0, 0.0, 0.0),
    _station(400.0, 0.0, 0.0),
    _station(1060.0, 0.83776, 1.117),
    _station(2720.0, 0.8290, 1.152),
]

CALCULATORS = (
    Calculator(
        name="soft-string",
        summary="hook load picking up, hanging and slacking off, friction and buoyancy in it",
        formula="dT = w dTVD +- mu N, N = |T (t2 - t1) + W g| across the hole",
        source="Johancsik, Friesen and Dawson, JPT June 1984; no torque, no buckling",
        inputs=HookInputs,
        outputs=HookOutputs,
        function=_hook,
        example={
            "stations": _HOLE,
            "items": [{"id": "tubing", "length_m": 2150.0, "mass_kg": 29400.0, "bore_m": 0.076}],
            "bottom_md_m": 2150.0,
            "friction_ratio": 0.25,
            "outside_kg_m3": 1080.0,
            "inside_kg_m3": 1080.0,
        },
    ),
    Calculator(
        name="weight-in-fluid",
        summary="effective weight of pipe with one fluid inside and another round it",
        formula="w = g (m + rho_i A_i - rho_o (A_i + m / rho_steel))",
        source="statics of pipe under pressure, textbooks of torque and drag",
        inputs=FluidInputs,
        outputs=FluidOutputs,
        function=_in_fluid,
        example={
            "mass_kg_m": 9.67,
            "bore_m": 0.062,
            "inside_kg_m3": 850.0,
            "outside_kg_m3": 1078.0,
        },
    ),
    Calculator(
        name="soft-string-element",
        summary="wall force and tension over one arc of a soft string, cut by 1 degree of turn",
        formula="N = |T (t2 - t1) + W g| across the hole; T1 = T2 + w dTVD +- mu N, T their mean;"
        " N summed over elements that turn by 1 degree at most",
        source="Johancsik, Friesen and Dawson, JPT June 1984; no torque, no buckling",
        inputs=ElementInputs,
        outputs=ElementOutputs,
        function=_element,
        example={
            "upper": _station(1000.0, 0.45, 0.17),
            "lower": _station(1030.0, 0.4, 0.21),
            "tension_n": 222000.0,
            "weight_n_m": 82.0,
            "friction_ratio": 0.25,
        },
    ),
)
