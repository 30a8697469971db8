"""Calculator on the load that two strings share once the union is set."""

from __future__ import annotations

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
from abreast.formulas.guard import require
from abreast.mechanics.load_share import Bar, Hold, Pair, Share, flexibility, misfit_for, share

__all__ = ["CALCULATORS"]


class BarInputs(Inputs):
    """One piece of a string."""

    id: Name = Field("", description="its name")
    length_m: Positive = Field(description="its length [m]")
    ea_n: Positive = Field(description="its axial stiffness EA [N]")
    weight_n: NotNegative = Field(0.0, description="its weight [N]")


Bars = Annotated[tuple[BarInputs, ...], Field(min_length=1, max_length=500)]


class LoadInputs(Inputs):
    """Two strings between base support and Y-tool."""

    esp: Bars = Field(description="pieces of the ESP side, bottom to top")
    bypass: Bars = Field(description="pieces of the bypass with the union, bottom to top")
    below_n: NotNegative = Field(0.0, description="weight that hangs below both strings [N]")
    ytool_n: NotNegative = Field(0.0, description="weight of the Y-tool [N]")
    misfit_m: Number = Field(
        0.0,
        description="by how much the bypass is too short since the union was snug: take-up of the"
        " union, growth of the ESP side [m]",
    )
    plate_m: NotNegative | None = Field(
        None,
        description="height of the holder on the ESP side when the union was snug, above the lower"
        " end; left out: it hung by the Y-tool [m]",
    )
    to_closed_m: NotNegative | None = Field(
        None, description="of a union that slides: way left to closed; left out: locked [m]"
    )
    to_open_m: NotNegative | None = Field(
        None, description="of a union that slides: way left to open; left out: locked [m]"
    )
    seated: bool = Field(False, description="the ESP only stands on the base, it can't pull it up")
    travel_per_turn_m: Positive | None = Field(
        None, description="change of union length in one turn; 4 threads to the inch: 0.00635 [m]"
    )


class ShareOutputs(Outputs):
    """Who carries what; tension is positive."""

    mode: str = Field(description="state of the union: locked, free, closed stop or open stop")
    union_n: float = Field(description="force through the union [N]")
    bypass_bottom_n: float = Field(description="force at the lower end of the bypass [N]")
    esp_bottom_n: float = Field(description="force at the foot of the ESP [N]")
    esp_top_n: float = Field(description="force at the top of the ESP [N]")
    opening_m: float = Field(description="how much longer the union is than when snug [m]")
    gap_m: float = Field(description="how far an ESP that only stands has lifted off its seat [m]")


class LoadOutputs(Outputs):
    """How both share."""

    esp_stiffness_n_m: float = Field(description="of the ESP side alone [N/m]")
    bypass_stiffness_n_m: float = Field(description="of the bypass alone [N/m]")
    frame_stiffness_n_m: float = Field(description="union force for each metre of take-up [N/m]")
    turn_n: float | None = Field(None, description="union force for one turn [N]")
    quarter_turn_n: float | None = Field(None, description="union force for a quarter turn [N]")
    whole_load_m: float = Field(
        description="take-up that moves all that hangs to the bypass, hung by the Y-tool [m]"
    )
    hung: ShareOutputs = Field(description="hung by the Y-tool")
    on_plate: ShareOutputs | None = Field(None, description="on the holder, if there is one")


def _load(given: LoadInputs) -> LoadOutputs:
    pair = Pair(_bars(given.esp), _bars(given.bypass), given.below_n, given.ytool_n)
    snug = None if given.plate_m is None else Hold("esp", given.plate_m)
    turn_m, k_n_m = given.travel_per_turn_m, pair.stiffness_n_m
    return LoadOutputs(
        esp_stiffness_n_m=1 / flexibility(pair.esp),
        bypass_stiffness_n_m=1 / flexibility(pair.bypass),
        frame_stiffness_n_m=k_n_m,
        turn_n=None if turn_m is None else turn_m * k_n_m,
        quarter_turn_n=None if turn_m is None else turn_m * k_n_m / 4,
        whole_load_m=misfit_for(pair, pair.hanging_n, snug=snug),
        hung=_shared(given, pair, snug, None),
        on_plate=None if snug is None else _shared(given, pair, snug, snug),
    )


def _bars(given: tuple[BarInputs, ...]) -> tuple[Bar, ...]:
    return tuple(Bar(bar.id, bar.length_m, bar.ea_n, bar.weight_n) for bar in given)


def _shared(given: LoadInputs, pair: Pair, snug: Hold | None, now: Hold | None) -> ShareOutputs:
    stroke_m = _stroke(given)
    found: Share = share(
        pair, given.misfit_m, snug=snug, now=now, stroke_m=stroke_m, seated=given.seated
    )
    return ShareOutputs(
        mode=found.mode,
        union_n=found.union_n,
        bypass_bottom_n=found.bypass_bottom_n,
        esp_bottom_n=found.esp_bottom_n,
        esp_top_n=found.esp_top_n,
        opening_m=found.opening_m,
        gap_m=found.gap_m,
    )


def _stroke(given: LoadInputs) -> tuple[float, float] | None:
    ends = (given.to_closed_m, given.to_open_m)
    if ends == (None, None):
        return None
    closed_m, open_m = ends
    require(closed_m is not None, "to_closed_m", "is missing: give both ways left, or neither")
    require(open_m is not None, "to_open_m", "is missing: give both ways left, or neither")
    return closed_m or 0.0, open_m or 0.0


CALCULATORS = (
    Calculator(
        name="load-share",
        summary="how ESP side and bypass share the load once the union is set",
        formula="union force = (misfit + change of stretch of ESP less bypass) / sum of L/EA",
        source="two springs in series, elementary; weight and take-up only, no heat, no pressure",
        inputs=LoadInputs,
        outputs=LoadOutputs,
        function=_load,
        example={
            "esp": [{"id": "esp", "length_m": 40.0, "ea_n": 6.0e8, "weight_n": 18000.0}],
            "bypass": [{"id": "bypass", "length_m": 40.0, "ea_n": 2.40261e8, "weight_n": 3200.0}],
            "below_n": 15000.0,
            "misfit_m": 0.0124,
            "travel_per_turn_m": 0.00635,
        },
    ),
)
