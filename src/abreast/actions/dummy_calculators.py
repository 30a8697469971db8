"""Calculator of drift dummies: how stiff one must be, and what one that went through proves."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import Bend, Calculator, Inputs, Outputs, Positive
from abreast.mechanics.drift_dummy import Body, equivalent_stiffness, judge_dummy

__all__ = ["CALCULATORS"]

_STEEL_PA = 2.07e11
Length = Annotated[float, Field(strict=True, ge=1e-3, le=1e6, allow_inf_nan=False)]
"""The length of a body, a millimetre at least."""


class DummyInputs(Inputs):
    """The real body, the bend, and the dummy."""

    length_m: Length = Field(description="length of the real stiff body [m]")
    od_m: Positive = Field(description="its largest diameter, all beside it counted [m]")
    ei_nm2: Positive = Field(description="its bending stiffness EI [N m2]")
    bore_m: Positive = Field(description="drift of the casing [m]")
    curvature_rad_m: Bend = Field(description="sharpest bend on the way [rad/m]")
    dummy_length_m: Length = Field(description="length of the dummy [m]")
    dummy_od_m: Positive = Field(description="diameter of the dummy [m]")
    dummy_ei_nm2: Positive | None = Field(
        None, description="its bending stiffness EI; none: what it should be is taken [N m2]"
    )


class DummyOutputs(Outputs):
    """How stiff it should be, and what it proves."""

    wanted_ei_nm2: float | None = Field(
        None, description="EI with which it pushes as hard as the real body [N m2]"
    )
    wanted_bar_m: float | None = Field(
        None, description="solid steel bar of that EI, 207 GPa, its diameter [m]"
    )
    real_n: float = Field(description="side force of the real body; 0: lies unbent [N]")
    dummy_n: float = Field(description="side force of the dummy [N]")
    proves: tuple[str, ...] = Field(description="what it proves once it went through")
    does_not_prove: tuple[str, ...] = Field(description="what it does not prove")


def _dummy(given: DummyInputs) -> DummyOutputs:
    real = Body(given.length_m, given.od_m, given.ei_nm2)
    bend, bore_m, known = given.curvature_rad_m, given.bore_m, given.dummy_ei_nm2
    size = given.dummy_length_m, given.dummy_od_m
    wanted = None if known is not None else equivalent_stiffness(real, *size, bore_m, bend)
    ei_nm2 = wanted if known is None else known
    assert ei_nm2 is not None
    proof = judge_dummy(real, Body(*size, ei_nm2), bore_m, bend)
    return DummyOutputs(
        wanted_ei_nm2=wanted,
        wanted_bar_m=None if wanted is None else (64 * wanted / math.pi / _STEEL_PA) ** 0.25,
        real_n=proof.real_n,
        dummy_n=proof.dummy_n,
        proves=proof.proves,
        does_not_prove=proof.does_not_prove,
    )


CALCULATORS = (
    Calculator(
        name="drift-dummy",
        summary="how stiff a drift dummy must be, and what one that went through proves",
        formula="F of both set equal, with c = D - d: 48 EI (kappa L^2/8 - c) / L^3 on three"
        " contacts, c not below kappa L^2/24; else 2 EI kappa / a, a = sqrt(6c/kappa)",
        source="beam theory (Roark) of rods with free ends; what it proves: plain reasoning",
        inputs=DummyInputs,
        outputs=DummyOutputs,
        function=_dummy,
        example={
            "length_m": 8.36,
            "od_m": 0.2139,
            "ei_nm2": 1.3e6,
            "bore_m": 0.2165,
            "curvature_rad_m": 0.00193,
            "dummy_length_m": 6.0,
            "dummy_od_m": 0.2145,
        },
    ),
)
