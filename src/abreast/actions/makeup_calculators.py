"""Calculators on threaded connections: length lost, torque to apply."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from abreast.actions.calculator import Calculator, Inputs, Name, Number, Outputs, Positive
from abreast.errors import InputError, Where
from abreast.formulas.makeup import (
    API_STANDOFF_M,
    TorqueWindow,
    make_up_loss,
    tong_torque,
    torque_window,
)
from abreast.standards import api_make_up, eue_torque
from abreast.units import to_unit

__all__ = ["CALCULATORS"]


class LossInputs(Inputs):
    """An API connection by name, or a coupling by its length."""

    size: Name = Field("", description="size of the tubing, for example 2-7/8")
    end: Literal["EUE", "NUE"] | None = Field(None, description="API thread, with the size")
    coupling_length_m: Positive | None = Field(
        None, description="coupling length NL, instead of size and end [m]"
    )
    standoff_m: Positive = Field(
        API_STANDOFF_M, description="pin end to middle of the coupling, J, with NL [m]"
    )


class LossOutputs(Outputs):
    """What the thread takes."""

    make_up_loss_m: float = Field(description="make-up loss, power tight [m]")
    basis: str = Field(description="where the figures come from")


def _loss(given: LossInputs) -> LossOutputs:
    if given.coupling_length_m is not None:
        loss = make_up_loss(given.coupling_length_m, given.standoff_m)
        return LossOutputs(make_up_loss_m=loss, basis="coupling length as given")
    if not given.size or given.end is None:
        message = "give size and end, or coupling_length_m"
        raise InputError(message, code="bad-input", where=Where(field="size"))
    row = api_make_up(given.size, given.end)
    return LossOutputs(make_up_loss_m=row.loss_m, basis=row.source)


class TorqueInputs(Inputs):
    """External-upset tubing by name, or the optimum torque of a sheet."""

    size: Name = Field("", description="size of EUE tubing, for example 2-7/8")
    weight_kg_m: Positive | None = Field(None, description="its nominal weight [kg/m]")
    grade: Name = Field("", description="its grade, for example L80")
    optimum_nm: Positive | None = Field(
        None, description="optimum torque of the sheet, instead of size, weight and grade [N·m]"
    )
    minimum_nm: Positive | None = Field(None, description="least torque of the sheet [N·m]")
    maximum_nm: Positive | None = Field(None, description="greatest torque of the sheet [N·m]")
    friction_factor: Positive = Field(1.0, description="of the compound, reference 1.0")
    arm_m: Positive | None = Field(None, description="arm of the tong, for the line pull [m]")
    angle_rad: Positive = Field(math.pi / 2, description="between arm and line [rad]")


class TorqueOutputs(Outputs):
    """What to apply."""

    minimum_nm: float = Field(description="least torque [N·m]")
    optimum_nm: float = Field(description="optimum torque [N·m]")
    maximum_nm: float = Field(description="greatest torque [N·m]")
    line_pull_n: float | None = Field(None, description="tong line pull at the optimum [N]")
    basis: str = Field(description="where the figures come from")


def _torque(given: TorqueInputs) -> TorqueOutputs:
    window, basis = _window(given)
    window = window.with_compound(given.friction_factor)
    pull = None
    if given.arm_m is not None:
        pull = window.optimum_nm / tong_torque(1.0, given.arm_m, given.angle_rad)
    return TorqueOutputs(
        minimum_nm=window.minimum_nm,
        optimum_nm=window.optimum_nm,
        maximum_nm=window.maximum_nm,
        line_pull_n=pull,
        basis=basis,
    )


def _window(given: TorqueInputs) -> tuple[TorqueWindow, str]:
    if given.optimum_nm is not None:
        usual = torque_window(given.optimum_nm)
        stated = given.minimum_nm is not None and given.maximum_nm is not None
        window = TorqueWindow(
            given.minimum_nm or usual.minimum_nm,
            given.optimum_nm,
            given.maximum_nm or usual.maximum_nm,
        )
        return window, "torques as given" if stated else "optimum as given, limits 75 and 125 %"
    if not given.size or not given.grade or given.weight_kg_m is None:
        lacking = next(f for f in ("size", "weight_kg_m", "grade") if not getattr(given, f))
        message = "give size, weight_kg_m and grade, or optimum_nm"
        raise InputError(message, code="bad-input", where=Where(field=lacking))
    row = eue_torque(given.size, to_unit(given.weight_kg_m, "lb/ft"), given.grade)
    return row.window, row.source


class TongInputs(Inputs):
    """A pull in the tong line."""

    line_pull_n: Positive = Field(description="pull in the line [N]")
    arm_m: Positive = Field(description="arm, pipe axis to line [m]")
    angle_rad: Positive = Field(math.pi / 2, description="between arm and line [rad]")


class TongOutputs(Outputs):
    """The torque on the pipe."""

    torque_nm: float = Field(description="torque on the connection [N·m]")
    lost_ratio: Number = Field(description="share lost because the line is not square")


def _tong(given: TongInputs) -> TongOutputs:
    torque = tong_torque(given.line_pull_n, given.arm_m, given.angle_rad)
    return TongOutputs(torque_nm=torque, lost_ratio=1 - torque / (given.line_pull_n * given.arm_m))


CALCULATORS = (
    Calculator(
        name="make-up-loss",
        summary="length an API tubing connection loses when power tight",
        formula="loss = NL/2 - J, J 1/2 in",
        source="API Specs 5CT and 5B (from memory; agrees with L4 of 5B in eight sizes)",
        inputs=LossInputs,
        outputs=LossOutputs,
        function=_loss,
        example={"size": "2-7/8", "end": "EUE"},
    ),
    Calculator(
        name="make-up-torque",
        summary="least, best and greatest make-up torque, with compound and tong",
        formula="table torque x friction factor; limits 75 and 125 % of the optimum;"
        " line pull = torque / (arm sin angle)",
        source="API RP 5C1 (from memory); compound factor: practice of API RP 7G, ask the maker",
        inputs=TorqueInputs,
        outputs=TorqueOutputs,
        function=_torque,
        example={
            "size": "2-7/8",
            "weight_kg_m": 9.673,
            "grade": "L80",
            "friction_factor": 0.9,
            "arm_m": 0.9144,
        },
    ),
    Calculator(
        name="tong-torque",
        summary="torque of a tong from line pull, arm and angle",
        formula="T = F a sin(angle)",
        source="statics",
        inputs=TongInputs,
        outputs=TongOutputs,
        function=_tong,
        example={"line_pull_n": 5000.0, "arm_m": 0.9144, "angle_rad": 1.309},
    ),
)
