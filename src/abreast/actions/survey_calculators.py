"""Calculators on the survey: one interval, its dogleg, the position at a depth."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import Calculator, Inputs, Number, Outputs, Positive
from abreast.formulas.survey import (
    Station,
    dogleg_severity,
    minimum_curvature,
    position_at,
    positions,
    radius_of_curvature,
)

__all__ = ["CALCULATORS"]

_METHOD = "minimum curvature, Taylor and Mason 1972; Sawaryn and Thorogood 2005, SPE 84246"
_LONGEST_SURVEY = 5_000
_100_FT_M = 30.48

Inclination = Annotated[float, Field(strict=True, ge=0, le=math.pi, allow_inf_nan=False)]
"""An angle from 0 to pi."""


class StationInputs(Inputs):
    """One station of a survey."""

    md_m: Number = Field(description="measured depth [m]")
    inclination_rad: Inclination = Field(description="inclination from vertical [rad]")
    azimuth_rad: Number = Field(description="azimuth clockwise from north [rad]")

    def station(self) -> Station:
        """The station as the formulas take it."""
        return Station(self.md_m, self.inclination_rad, self.azimuth_rad)


class IntervalInputs(Inputs):
    """Two stations, one below the other."""

    upper: StationInputs = Field(description="the upper station")
    lower: StationInputs = Field(description="the lower station")


class IntervalOutputs(Outputs):
    """From the upper station to the lower one."""

    north_m: float = Field(description="displacement to the north [m]")
    east_m: float = Field(description="displacement to the east [m]")
    down_m: float = Field(description="displacement down, the gain in true vertical depth [m]")
    dogleg_rad: float = Field(description="angle between the two directions [rad]")
    dogleg_rad_m: float = Field(description="dogleg severity [rad/m]")


def _interval(given: IntervalInputs) -> IntervalOutputs:
    step = minimum_curvature(given.upper.station(), given.lower.station())
    return IntervalOutputs(
        north_m=step.north_m,
        east_m=step.east_m,
        down_m=step.down_m,
        dogleg_rad=step.dogleg_rad,
        dogleg_rad_m=step.dogleg_rad_m,
    )


class DoglegInputs(Inputs):
    """Two directions and the hole between them."""

    course_m: Positive = Field(description="measured length between the two stations [m]")
    upper_inclination_rad: Inclination = Field(description="inclination above [rad]")
    upper_azimuth_rad: Number = Field(description="azimuth above [rad]")
    lower_inclination_rad: Inclination = Field(description="inclination below [rad]")
    lower_azimuth_rad: Number = Field(description="azimuth below [rad]")


class DoglegOutputs(Outputs):
    """How sharply the hole bends."""

    dogleg_rad: float = Field(description="angle between the two directions [rad]")
    dogleg_rad_m: float = Field(description="dogleg severity [rad/m]")
    per_30_m_rad: float = Field(description="dogleg in 30 m of hole [rad]")
    per_100_ft_rad: float = Field(description="dogleg in 100 ft of hole [rad]")
    radius_m: float | None = Field(None, description="radius of the arc; none when straight [m]")


def _dogleg(given: DoglegInputs) -> DoglegOutputs:
    upper = Station(0.0, given.upper_inclination_rad, given.upper_azimuth_rad)
    lower = Station(given.course_m, given.lower_inclination_rad, given.lower_azimuth_rad)
    severity = dogleg_severity(upper, lower)
    return DoglegOutputs(
        dogleg_rad=severity * given.course_m,
        dogleg_rad_m=severity,
        per_30_m_rad=severity * 30.0,
        per_100_ft_rad=severity * _100_FT_M,
        radius_m=radius_of_curvature(severity) if severity else None,
    )


class PositionInputs(Inputs):
    """A survey and a depth."""

    stations: Annotated[
        tuple[StationInputs, ...], Field(min_length=1, max_length=_LONGEST_SURVEY)
    ] = Field(description="stations, from the top down")
    md_m: Number = Field(description="measured depth wanted, within the survey [m]")
    start_north_m: Number = Field(0.0, description="north of the first station [m]")
    start_east_m: Number = Field(0.0, description="east of the first station [m]")
    start_down_m: Number = Field(0.0, description="true vertical depth of the first station [m]")


class PositionOutputs(Outputs):
    """Where the hole is at that depth, and where it points."""

    north_m: float = Field(description="north [m]")
    east_m: float = Field(description="east [m]")
    down_m: float = Field(description="true vertical depth [m]")
    inclination_rad: float = Field(description="inclination from vertical [rad]")
    azimuth_rad: float = Field(description="azimuth clockwise from north [rad]")


def _position(given: PositionInputs) -> PositionOutputs:
    start = (given.start_north_m, given.start_east_m, given.start_down_m)
    known = positions([row.station() for row in given.stations], start)
    there = position_at(known, given.md_m)
    return PositionOutputs(
        north_m=there.north_m,
        east_m=there.east_m,
        down_m=there.down_m,
        inclination_rad=there.station.inclination_rad,
        azimuth_rad=there.station.azimuth_rad,
    )


def _example(md_m: float, inclination_rad: float, azimuth_rad: float) -> dict[str, float]:
    return {"md_m": md_m, "inclination_rad": inclination_rad, "azimuth_rad": azimuth_rad}


CALCULATORS = (
    Calculator(
        name="survey-interval",
        summary="displacement and dogleg between two survey stations",
        formula="dMD/2 (t1 + t2) RF, RF = tan(beta/2) / (beta/2), t direction cosines",
        source=_METHOD,
        inputs=IntervalInputs,
        outputs=IntervalOutputs,
        function=_interval,
        example={
            "upper": _example(1066.8, 0.2618, 0.34907),
            "lower": _example(1097.28, 0.43633, 0.7854),
        },
    ),
    Calculator(
        name="dogleg",
        summary="dogleg severity between two directions, per 30 m and per 100 ft, and radius",
        formula="cos(beta) = cos(I2 - I1) - sin I1 sin I2 (1 - cos(A2 - A1)); beta / dMD",
        source=f"{_METHOD}; computed in half angles against round-off",
        inputs=DoglegInputs,
        outputs=DoglegOutputs,
        function=_dogleg,
        example={
            "course_m": 30.0,
            "upper_inclination_rad": 0.84,
            "upper_azimuth_rad": 1.152,
            "lower_inclination_rad": 0.853,
            "lower_azimuth_rad": 1.201,
        },
    ),
    Calculator(
        name="survey-position",
        summary="position and direction of the hole at any depth of a survey",
        formula="sum of intervals; inside one, the direction moves on a great circle",
        source=_METHOD,
        inputs=PositionInputs,
        outputs=PositionOutputs,
        function=_position,
        example={
            "stations": [
                _example(0.0, 0.0, 0.0),
                _example(300.0, 0.0, 0.0),
                _example(390.0, 0.15, 1.1),
                _example(600.0, 0.6, 1.15),
            ],
            "md_m": 500.0,
        },
    ),
)
