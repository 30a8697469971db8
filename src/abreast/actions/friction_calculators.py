"""Calculator of friction: what factor agrees best with recorded hook loads, and how surely."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import (
    Calculator,
    Inputs,
    Number,
    Outputs,
    Positive,
    Share,
)
from abreast.actions.hook_calculators import HoleAndString
from abreast.errors import InputError, Where
from abreast.formulas.guard import require
from abreast.mechanics.hook_fit import Fit, Prior, Reading, fit_friction
from abreast.mechanics.hook_load import Drag, hook_load

__all__ = ["CALCULATORS"]

Model = Callable[[float, float], tuple[float, float, float]]


class ReadingInputs(Inputs):
    """Weights recorded at one depth; one of them may be left out."""

    bottom_md_m: Number = Field(description="measured depth of the lower end [m]")
    up_n: Positive | None = Field(None, description="picking up, block weight taken off [N]")
    down_n: Number | None = Field(None, description="slacking off, block weight taken off [N]")


class FrictionInputs(HoleAndString):
    """A survey, a string, and what was recorded."""

    readings: Annotated[tuple[ReadingInputs, ...], Field(min_length=1, max_length=1000)] = Field(
        description="recorded weights"
    )
    expected_ratio: Share | None = Field(
        None, description="friction factor expected before; with its spread and noise_n"
    )
    expected_spread_ratio: Positive | None = Field(
        None, description="one standard deviation of it; none: 0.1, common practice"
    )
    noise_n: Positive | None = Field(
        None, description="one standard deviation of a recorded weight [N]"
    )


class MissOutputs(Outputs):
    """One reading: recorded less computed."""

    bottom_md_m: float = Field(description="its depth [m]")
    up_n: float | None = Field(None, description="picking up [N]")
    down_n: float | None = Field(None, description="slacking off [N]")


class FrictionOutputs(Outputs):
    """The friction, and how well it agrees."""

    friction_ratio: float = Field(description="friction factor of least squares, 0 to 1")
    spread_ratio: float | None = Field(
        None, description="one standard deviation of it; none: a single weight says nothing of it"
    )
    residual_n: float = Field(description="root mean square of recorded less computed [N]")
    bias_n: float = Field(description="mean of recorded less computed [N]")
    misses: tuple[MissOutputs, ...] = Field(description="recorded less computed")
    weights_count: int = Field(description="weights that were counted")
    remarks: tuple[str, ...] = Field(description="what to look at before it is used")


_SPREAD = 0.1
_BOUND = "the best friction would lie outside 0 to 1: look at weights and fluids first"
_BIASED = "computed weights are off one way by most of what is left: look at weights and fluids"


def _friction(given: FrictionInputs) -> FrictionOutputs:
    deepest_m = max(one.bottom_md_m for one in given.readings)
    hole = given.hole(deepest_m, "readings")
    items, fluids = given.string(), given.fluids()

    def model(depth_m: float, friction: float) -> tuple[float, float, float]:
        drag = Drag(friction, given.twin_drag_n, given.clamp_drag_n)
        load = hook_load(hole, items, depth_m, fluids, drag)
        return load.up_n[-1], load.down_n[-1], load.still_n[-1]

    readings = [_reading(one, number, model) for number, one in enumerate(given.readings, 1)]
    found = fit_friction(readings, model, _prior(given))
    misses = tuple(_miss(one, model(one.bottom_md_m, found.friction_ratio)) for one in readings)
    counted = sum((one.up_n is not None) + (one.down_n is not None) for one in readings)
    return FrictionOutputs(
        friction_ratio=found.friction_ratio,
        spread_ratio=found.spread_ratio,
        residual_n=found.residual_n,
        bias_n=found.bias_n,
        misses=misses,
        weights_count=counted,
        remarks=(*_doubts(found, counted), *given.remarks(deepest_m)),
    )


def _reading(one: ReadingInputs, number: int, model: Model) -> Reading:
    field = f"readings.{number}"
    known = one.up_n is not None or one.down_n is not None
    require(known, f"{field}.up_n", "give the weight picking up, slacking off, or both")
    try:
        model(one.bottom_md_m, 0.0)
    except InputError as fault:
        if fault.where is None or fault.where.field != "bottom_md_m":
            raise
        place = Where(field=f"{field}.bottom_md_m")
        raise InputError(fault.message, code=fault.code, where=place) from None
    return Reading(one.bottom_md_m, one.up_n, one.down_n)


def _prior(given: FrictionInputs) -> Prior | None:
    if given.expected_ratio is None:
        unused = given.expected_spread_ratio is None and given.noise_n is None
        require(unused, "expected_ratio", "give it with its spread and noise_n, or none of them")
        return None
    if given.noise_n is None:
        message = "needed to weigh recorded weights against the friction expected"
        raise InputError(message, code="out-of-range", where=Where(field="noise_n"))
    return Prior(given.expected_ratio, given.expected_spread_ratio or _SPREAD, given.noise_n)


def _miss(one: Reading, computed: tuple[float, float, float]) -> MissOutputs:
    return MissOutputs(
        bottom_md_m=one.bottom_md_m,
        up_n=None if one.up_n is None else one.up_n - computed[0],
        down_n=None if one.down_n is None else one.down_n - computed[1],
    )


def _doubts(found: Fit, counted: int) -> tuple[str, ...]:
    said = [_BOUND] if found.at_bound else []
    if counted > 1 and abs(found.bias_n) > 0.8 * found.residual_n > 1.0:
        said.append(_BIASED)
    return tuple(said)


def _station(md_m: float, inclination_rad: float, azimuth_rad: float) -> dict[str, float]:
    return {"md_m": md_m, "inclination_rad": inclination_rad, "azimuth_rad": azimuth_rad}


CALCULATORS = (
    Calculator(
        name="friction-fit",
        summary="friction calibrated from recorded pick-up and slack-off weights",
        formula="least squares of recorded less computed hook load F; spread of mu"
        " s / sqrt(sum (dF/dmu)^2), s with one degree of freedom less than weights",
        source="soft string of Johancsik, Friesen and Dawson 1984; least squares, textbooks",
        inputs=FrictionInputs,
        outputs=FrictionOutputs,
        function=_friction,
        example={
            "stations": [
                _station(0.0, 0.0, 0.0),
                _station(400.0, 0.0, 0.0),
                _station(1060.0, 0.83776, 1.117),
                _station(2720.0, 0.8290, 1.152),
            ],
            "items": [{"id": "tubing", "length_m": 2150.0, "mass_kg": 29400.0, "bore_m": 0.076}],
            "outside_kg_m3": 1080.0,
            "inside_kg_m3": 1080.0,
            "readings": [
                {"bottom_md_m": 1200.0, "up_n": 136900.0, "down_n": 113500.0},
                {"bottom_md_m": 1700.0, "up_n": 192300.0, "down_n": 140900.0},
                {"bottom_md_m": 2150.0, "up_n": 250400.0, "down_n": 160700.0},
            ],
        },
    ),
)
