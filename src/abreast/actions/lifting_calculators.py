"""Calculators on slings and buoyancy."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import Calculator, Inputs, NotNegative, Outputs, Positive
from abreast.formulas.lifting import STEEL_DENSITY_KG_M3, buoyancy_factor, sling_leg_load

__all__ = ["CALCULATORS"]


class SlingInputs(Inputs):
    """An even bridle sling."""

    load_n: NotNegative = Field(description="weight lifted, dynamic factor included [N]")
    legs: Annotated[int, Field(strict=True, ge=1, le=4)] = Field(description="legs that carry")
    angle_rad: Positive = Field(description="of a leg above the horizontal [rad]")


class SlingOutputs(Outputs):
    """One leg."""

    leg_load_n: float = Field(description="tension in one leg [N]")


def _sling(given: SlingInputs) -> SlingOutputs:
    return SlingOutputs(leg_load_n=sling_leg_load(given.load_n, given.legs, given.angle_rad))


class BuoyancyInputs(Inputs):
    """A string under fluid, open-ended."""

    fluid_kg_m3: NotNegative = Field(description="density of the fluid [kg/m3]")
    steel_kg_m3: Positive = Field(STEEL_DENSITY_KG_M3, description="density of the steel [kg/m3]")


class BuoyancyOutputs(Outputs):
    """What is left of its weight."""

    buoyancy_ratio: float = Field(description="weight in fluid over weight in air")


def _buoyancy(given: BuoyancyInputs) -> BuoyancyOutputs:
    return BuoyancyOutputs(buoyancy_ratio=buoyancy_factor(given.fluid_kg_m3, given.steel_kg_m3))


CALCULATORS = (
    Calculator(
        name="sling-load",
        summary="tension in one leg of an even bridle sling",
        formula="W / (n sin angle), not below 30 degrees",
        source="ASME B30.9 sling charts (read in public copies)",
        inputs=SlingInputs,
        outputs=SlingOutputs,
        function=_sling,
        example={"load_n": 30000.0, "legs": 2, "angle_rad": 1.0472},
    ),
    Calculator(
        name="buoyancy",
        summary="share of its weight that a submerged open-ended string keeps",
        formula="1 - fluid density / steel density",
        source="handbooks; same fluid inside and outside",
        inputs=BuoyancyInputs,
        outputs=BuoyancyOutputs,
        function=_buoyancy,
        example={"fluid_kg_m3": 1030.5},
    ),
)
