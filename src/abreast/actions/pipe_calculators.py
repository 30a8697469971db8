"""Calculators on joints of pipe: lengths, drift, weight."""

from __future__ import annotations

from itertools import accumulate
from typing import Annotated, Literal

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
from abreast.errors import InputError, Where
from abreast.formulas.tubulars import (
    EffectiveLength,
    OverallLength,
    drift_diameter,
    drift_mandrel_length,
    effective_length,
    inside_diameter,
    plain_end_weight,
    second_moment,
    steel_area,
    string_length,
)
from abreast.standards import nearest_pipe, pipe_remarks

__all__ = ["CALCULATORS"]

Kind = Literal["casing", "tubing"]
# Two roundings of a metric table.
_SAME_BORE_M = 0.0002


class EffectiveInputs(Inputs):
    """One piece."""

    overall_m: Positive = Field(description="overall length, end to end [m]")
    make_up_loss_m: NotNegative = Field(description="make-up loss of its thread; 0: flange [m]")


class EffectiveOutputs(Outputs):
    """What it adds."""

    effective_m: float = Field(description="effective length [m]")


def _effective(given: EffectiveInputs) -> EffectiveOutputs:
    length = effective_length(OverallLength(given.overall_m), given.make_up_loss_m)
    return EffectiveOutputs(effective_m=round(length.m, 9))


class Piece(Inputs):
    """One piece of a string."""

    id: Name = Field("", description="its name")
    overall_m: Positive = Field(description="overall length, end to end [m]")
    make_up_loss_m: NotNegative = Field(description="make-up loss of its thread; 0: flange [m]")


class StringInputs(Inputs):
    """A string, bottom to top."""

    pieces: Annotated[tuple[Piece, ...], Field(min_length=1, max_length=1000)] = Field(
        description="pieces, bottom to top"
    )
    bottom_m: Number = Field(0.0, description="height of the lower shoulder of the first [m]")


class StringOutputs(Outputs):
    """The string made up."""

    length_m: float = Field(description="length of the string [m]")
    tops_m: tuple[float, ...] = Field(description="height of the top of each piece [m]")


def _string(given: StringInputs) -> StringOutputs:
    pieces = [_piece(number, piece) for number, piece in enumerate(given.pieces, 1)]
    heights = accumulate((piece.m for piece in pieces), initial=given.bottom_m)
    return StringOutputs(
        length_m=round(string_length(pieces), 9), tops_m=tuple(round(z, 9) for z in heights)[1:]
    )


def _piece(number: int, piece: Piece) -> EffectiveLength:
    try:
        return effective_length(OverallLength(piece.overall_m), piece.make_up_loss_m)
    except InputError as fault:
        place = Where(field=f"pieces.{number}.{fault.where.field}", piece=piece.id)
        raise InputError(fault.message, code=fault.code, where=place) from None


class DriftInputs(Inputs):
    """One pipe; its bore, or its wall."""

    kind: Kind = Field(description="casing or tubing: the two have different rules")
    od_m: Positive = Field(description="outside diameter of the body [m]")
    wall_m: Positive | None = Field(None, description="wall thickness [m]")
    bore_m: Positive | None = Field(None, description="inside diameter, instead of the wall [m]")
    stated_drift_m: Positive | None = Field(None, description="drift to be compared with it [m]")
    weight_kg_m: Positive | None = Field(None, description="nominal weight, to compare [kg/m]")


class DriftOutputs(Outputs):
    """Its drift, and what does not fit."""

    bore_m: float = Field(description="inside diameter [m]")
    drift_m: float = Field(description="API drift diameter [m]")
    mandrel_length_m: float = Field(description="length of the drift mandrel [m]")
    name: str | None = Field(None, description="pipe of the table with these diameters")
    remarks: tuple[str, ...] = Field(description="figures that do not fit one another")


def _drift(given: DriftInputs) -> DriftOutputs:
    bore = given.bore_m
    if bore is None:
        if given.wall_m is None:
            message = "give bore_m or wall_m"
            raise InputError(message, code="bad-input", where=Where(field="bore_m"))
        bore = inside_diameter(given.od_m, given.wall_m)
    near = nearest_pipe(given.kind, given.od_m, bore)
    named = near is not None and abs(near.bore_m - bore) <= _SAME_BORE_M
    remarks = pipe_remarks(
        given.kind,
        od_m=given.od_m,
        wall_m=given.wall_m,
        bore_m=bore,
        drift_m=given.stated_drift_m,
        weight_kg_m=given.weight_kg_m,
        system="SI",
    )
    return DriftOutputs(
        bore_m=bore,
        drift_m=drift_diameter(given.od_m, bore, given.kind),
        mandrel_length_m=drift_mandrel_length(given.od_m, given.kind),
        name=near.name if near and named else None,
        remarks=tuple(remark.message for remark in remarks),
    )


class WeightInputs(Inputs):
    """One pipe body."""

    od_m: Positive = Field(description="outside diameter [m]")
    wall_m: Positive = Field(description="wall thickness [m]")


class WeightOutputs(Outputs):
    """Its section."""

    weight_kg_m: float = Field(description="plain-end weight [kg/m]")
    bore_m: float = Field(description="inside diameter [m]")
    area_m2: float = Field(description="cross-section of the steel [m2]")
    second_moment_m4: float = Field(description="second moment of area [m4]")


def _weight(given: WeightInputs) -> WeightOutputs:
    bore = inside_diameter(given.od_m, given.wall_m)
    return WeightOutputs(
        weight_kg_m=plain_end_weight(given.od_m, given.wall_m),
        bore_m=bore,
        area_m2=steel_area(given.od_m, bore),
        second_moment_m4=second_moment(given.od_m, bore),
    )


CALCULATORS = (
    Calculator(
        name="effective-length",
        summary="what one piece adds to the string",
        formula="effective = overall - make-up loss",
        source="API RP 5C1 tally practice (from memory)",
        inputs=EffectiveInputs,
        outputs=EffectiveOutputs,
        function=_effective,
        example={"overall_m": 9.577, "make_up_loss_m": 0.062},
    ),
    Calculator(
        name="string-length",
        summary="length of a made-up string and the height of each top",
        formula="sum of (overall - make-up loss)",
        source="API RP 5C1 tally practice (from memory)",
        inputs=StringInputs,
        outputs=StringOutputs,
        function=_string,
        example={
            "bottom_m": 0.945,
            "pieces": [
                {"id": "B05", "overall_m": 9.44, "make_up_loss_m": 0.073},
                {"id": "P07", "overall_m": 3.664, "make_up_loss_m": 0.073},
            ],
        },
    ),
    Calculator(
        name="drift",
        summary="API drift diameter of casing or tubing, and whether its figures fit",
        formula="drift = bore - allowance; tubing to 2-7/8 in 3/32 in, above 1/8 in;"
        " casing under 9-5/8 in 1/8 in, to 13-3/8 in 5/32 in, above 3/16 in",
        source="API Spec 5CT / ISO 11960, drift requirements (read in a public copy)",
        inputs=DriftInputs,
        outputs=DriftOutputs,
        function=_drift,
        example={"kind": "casing", "od_m": 0.244475, "bore_m": 0.2204974},
    ),
    Calculator(
        name="plain-end-weight",
        summary="weight, area and second moment of a pipe body",
        formula="w = 0.0246615 (D - t) t, mm and kg/m; A = pi/4 (D2 - d2); I = pi/64 (D4 - d4)",
        source="API Spec 5CT plain-end mass (read in a public copy); geometry",
        inputs=WeightInputs,
        outputs=WeightOutputs,
        function=_weight,
        example={"od_m": 0.1143, "wall_m": 0.00635},
    ),
)
