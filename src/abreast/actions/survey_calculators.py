"""Calculators on the survey: one interval, its dogleg, the position at a depth."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import (
    Calculator,
    Inclination,
    Inputs,
    Number,
    Outputs,
    Positive,
    Turn,
)
from abreast.formulas.survey import (
    Position,
    Station,
    Step,
    dogleg_severity,
    minimum_curvature,
    position_at,
    positions,
    radius_of_curvature,
)

__all__ = ["CALCULATORS", "LONGEST_SURVEY", "StationInputs"]

_METHOD = "minimum curvature, Taylor and Mason 1972; Sawaryn and Thorogood 2005, SPE 84246"
LONGEST_SURVEY = 20_000
"""More stations than a survey has, fewer than take a minute."""
_100_FT_M = 30.48


class StationInputs(Inputs):
    """One station of a survey."""

    md_m: Number = Field(description="measured depth [m]")
    inclination_rad: Inclination = Field(description="inclination from vertical [rad]")
    azimuth_rad: Turn = Field(description="azimuth clockwise from north [rad]")

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
    ratio_factor: float = Field(description="(2/dogleg) tan(dogleg/2), 1 when straight")


def _interval(given: IntervalInputs) -> IntervalOutputs:
    step = minimum_curvature(given.upper.station(), given.lower.station())
    return IntervalOutputs(
        north_m=step.north_m,
        east_m=step.east_m,
        down_m=step.down_m,
        dogleg_rad=step.dogleg_rad,
        dogleg_rad_m=step.dogleg_rad_m,
        ratio_factor=step.ratio_factor,
    )


class DoglegInputs(Inputs):
    """Two directions and the hole between them."""

    course_m: Positive = Field(description="measured length between the two stations [m]")
    upper_inclination_rad: Inclination = Field(description="inclination above [rad]")
    upper_azimuth_rad: Turn = Field(description="azimuth above [rad]")
    lower_inclination_rad: Inclination = Field(description="inclination below [rad]")
    lower_azimuth_rad: Turn = Field(description="azimuth below [rad]")


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


class TableInputs(Inputs):
    """A survey."""

    stations: Annotated[
        tuple[StationInputs, ...], Field(min_length=1, max_length=LONGEST_SURVEY)
    ] = Field(description="stations, from the top down")
    start_north_m: Number = Field(0.0, description="north of the first station [m]")
    start_east_m: Number = Field(0.0, description="east of the first station [m]")
    start_down_m: Number = Field(0.0, description="true vertical depth of the first station [m]")

    def positions(self) -> tuple[Position, ...]:
        """Where every station is."""
        start = (self.start_north_m, self.start_east_m, self.start_down_m)
        return positions([row.station() for row in self.stations], start)


class RowOutputs(Outputs):
    """One station, and the interval above it."""

    md_m: float = Field(description="measured depth [m]")
    north_m: float = Field(description="north [m]")
    east_m: float = Field(description="east [m]")
    down_m: float = Field(description="true vertical depth [m]")
    dogleg_rad: float = Field(description="turn since the station above [rad]")
    dogleg_rad_m: float = Field(description="dogleg severity of that interval [rad/m]")
    ratio_factor: float = Field(description="(2/dogleg) tan(dogleg/2) of it")


class TableOutputs(Outputs):
    """All stations."""

    stations: tuple[RowOutputs, ...] = Field(description="stations, from the top down")
    sharpest_rad_m: float = Field(description="sharpest dogleg severity of all [rad/m]")


def _table(given: TableInputs) -> TableOutputs:
    known = given.positions()
    steps = [minimum_curvature(up.station, low.station) for up, low in pairwise(known)]
    first = Step(1.0, 0.0, 0.0, 0.0, 0.0)  # nothing is above the first station
    rows = tuple(
        RowOutputs(
            md_m=one.station.md_m,
            north_m=one.north_m,
            east_m=one.east_m,
            down_m=one.down_m,
            dogleg_rad=step.dogleg_rad,
            dogleg_rad_m=step.dogleg_rad_m,
            ratio_factor=step.ratio_factor,
        )
        for one, step in zip(known, [first, *steps], strict=True)
    )
    return TableOutputs(stations=rows, sharpest_rad_m=max(one.dogleg_rad_m for one in rows))


class PositionInputs(TableInputs):
    """A survey and a depth."""

    md_m: Number = Field(description="measured depth wanted, within the survey [m]")


class PositionOutputs(Outputs):
    """Where the hole is at that depth, and where it points."""

    north_m: float = Field(description="north [m]")
    east_m: float = Field(description="east [m]")
    down_m: float = Field(description="true vertical depth [m]")
    inclination_rad: float = Field(description="inclination from vertical [rad]")
    azimuth_rad: float = Field(description="azimuth clockwise from north, 0 to 2 pi [rad]")


def _position(given: PositionInputs) -> PositionOutputs:
    there = position_at(given.positions(), given.md_m)
    return PositionOutputs(
        north_m=there.north_m,
        east_m=there.east_m,
        down_m=there.down_m,
        inclination_rad=there.station.inclination_rad,
        azimuth_rad=there.station.azimuth_rad % math.tau,
    )


def _example(md_m: float, inclination_rad: float, azimuth_rad: float) -> dict[str, float]:
    return {"md_m": md_m, "inclination_rad": inclination_rad, "azimuth_rad": azimuth_rad}


_STATIONS = [
    _example(0.0, 0.0, 0.0),
    _example(300.0, 0.0, 0.0),
    _example(390.0, 0.15, 1.1),
    _example(600.0, 0.6, 1.15),
]

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
        name="survey-table",
        summary="position of every station of a survey, and the dogleg of every interval",
        formula="sum of intervals: (dMD/2) F (t1 + t2), F = (2/beta) tan(beta/2)",
        source=_METHOD,
        inputs=TableInputs,
        outputs=TableOutputs,
        function=_table,
        example={"stations": _STATIONS},
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
            "stations": _STATIONS,
            "md_m": 500.0,
        },
    ),
)
