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
from abreast.formulas.soft_string import Cell, normal_force, tensions
from abreast.formulas.survey import minimum_curvature, position_at, positions
from abreast.mechanics.hook_load import Drag, Fluids, StringItem, hook_load

__all__ = ["CALCULATORS"]

_MOST_CELLS = 10_000
_DEEPEST_M = 30_000.0
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


class HookInputs(Inputs):
    """A survey, a string, fluids and friction."""

    stations: Survey = Field(description="survey, from the surface down")
    items: Annotated[tuple[ItemInputs, ...], Field(min_length=1, max_length=1000)] = Field(
        description="the string, bottom to top"
    )
    bottom_md_m: Number = Field(description="measured depth of its lower end [m]")
    friction_ratio: Share = Field(description="friction factor, 0 to 1")
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
    tops: tuple[TopOutputs, ...] = Field(description="tensions at the top of each piece")
    not_counted: tuple[str, ...] = Field(description="drags left out")


def _hook(given: HookInputs) -> HookOutputs:
    hole = positions([row.station() for row in given.stations])
    along_m = given.bottom_md_m - hole[0].station.md_m
    reason = f"{along_m:g} m of hole is deeper than any well ({_DEEPEST_M:g} m); check the unit"
    require(along_m <= _DEEPEST_M, "bottom_md_m", reason)
    items = [StringItem(i.id, i.length_m, i.mass_kg, i.bore_m, i.clamps_count) for i in given.items]
    outside_md_m, inside_md_m = given.outside_level_md_m, given.inside_level_md_m
    fluids = Fluids(
        given.outside_kg_m3,
        given.inside_kg_m3,
        -math.inf if outside_md_m is None else outside_md_m,
        -math.inf if inside_md_m is None else inside_md_m,
        given.steel_kg_m3,
    )
    drag = Drag(given.friction_ratio, given.twin_drag_n, given.clamp_drag_n)
    load = hook_load(hole, items, given.bottom_md_m, fluids, drag)
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
        None, description="cut into elements no longer than this; none: one element [m]"
    )


class ElementOutputs(Outputs):
    """Wall force and tensions above it."""

    wall_n: float = Field(description="wall force at the tension below, of one element [N]")
    up_n: float = Field(description="effective tension above, picking up [N]")
    still_n: float = Field(description="the same hanging, without friction [N]")
    down_n: float = Field(description="the same slacking off [N]")


def _element(given: ElementInputs) -> ElementOutputs:
    minimum_curvature(given.upper.station(), given.lower.station())  # tells which end is faulty
    known = positions([given.upper.station(), given.lower.station()])
    top_m, bottom_m = given.upper.md_m, given.lower.md_m
    longest_m = bottom_m - top_m if given.longest_m is None else given.longest_m
    count = math.ceil((bottom_m - top_m) / longest_m - 1e-9)
    fits = count <= _MOST_CELLS
    require(fits, "longest_m", f"cuts it in more than {_MOST_CELLS} elements; make it longer")
    inner = [position_at(known, top_m + (bottom_m - top_m) * k / count) for k in range(1, count)]
    points = [known[0], *inner, known[1]]
    cells = [Cell(a, b, given.weight_n_m) for a, b in pairwise(points)][::-1]
    loads = [
        tensions(cells, given.friction_ratio, way, given.tension_n)[-1]
        for way in ("up", "still", "down")
    ]
    wall_n = normal_force(given.tension_n, Cell(known[0], known[1], given.weight_n_m))
    return ElementOutputs(wall_n=wall_n, up_n=loads[0], still_n=loads[1], down_n=loads[2])


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
        summary="wall force and tension over one arc of a soft string, or over an arc cut finely",
        formula="N = |T (t2 - t1) + W g| across the hole; T1 = T2 + w dTVD +- mu N, T their mean",
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
