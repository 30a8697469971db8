"""The hole: datums, casing, narrow places, perforations, survey, setting."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from abreast.model.part import Diameter, Id, Part, Text, Value, optional, remark

__all__ = [
    "CasingString",
    "Datum",
    "Opening",
    "Perforation",
    "Setting",
    "SurveyHead",
    "SurveyStation",
]


class Datum(Part):
    """A named zero of depth."""

    called: ClassVar[str] = "datum"

    id: Id = Field(description="name of the zero of depth")
    elevation_m: Value = Field(description="height above the one fixed reference of the job")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class CasingString(Part):
    """A casing or liner."""

    called: ClassVar[str] = "casing"

    name: Id = Field(description="size, weight, grade")
    top_md_m: Value = Field(description="top, measured depth")
    shoe_md_m: Value = Field(description="shoe, measured depth")
    od_m: Diameter = optional("outer diameter")
    bore_m: Diameter = Field(description="inner diameter")
    drift_m: Diameter = Field(description="drift diameter, of standard or as run")
    special_drift_m: Diameter = optional("larger drift that was proved in this casing")
    wall_m: Diameter = optional("wall")
    weight_kg_m: Value = optional("nominal mass per length")
    datum: Text = remark("zero of its depths; blank: that of the job")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class Opening(Part):
    """A narrow place in the well: seal bore, stage collar, polished bore."""

    called: ClassVar[str] = "opening"

    name: Id = Field(description="what it is")
    md_m: Value = Field(description="its top, measured depth")
    length_m: Value = optional("its length")
    bore_m: Diameter = Field(description="inner diameter")
    drift_m: Diameter = optional("drift diameter")
    in_place: bool = Field(True, description="no: it is pulled before the string is run")
    datum: Text = remark("zero of its depth; blank: that of the job")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class Perforation(Part):
    """An open interval."""

    called: ClassVar[str] = "perforation"

    name: Text = remark("zone")
    top_md_m: Value = Field(description="top, measured depth")
    bottom_md_m: Value = Field(description="bottom, measured depth")
    datum: Text = remark("zero of its depths; blank: that of the job")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class SurveyHead(Part):
    """What holds for the whole survey."""

    called: ClassVar[str] = "survey"

    wellbore: Text = Field(description="the hole that was surveyed")
    datum: Id = Field(description="zero of its depths")
    north: Literal["grid", "true", "magnetic"] = Field(description="north of its azimuths")
    tool: Text = remark("how it was surveyed")
    tortuosity_rad_m: Value = optional("dogleg between stations that the survey can't see")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class SurveyStation(Part):
    """One station of the survey."""

    called: ClassVar[str] = "station"

    md_m: Value = Field(description="measured depth")
    inclination_rad: Value = Field(description="inclination from vertical")
    azimuth_rad: Value = Field(description="azimuth, clockwise from the survey's north")
    tvd_m: Value = optional("true vertical depth as reported; only compared")
    dogleg_rad_m: Value = optional("dogleg severity as reported; only compared")


class Setting(Part):
    """Where the twin string is to hang."""

    called: ClassVar[str] = "setting"

    axis_spacing_m: Diameter = Field(description="distance between the axes of the two strings")
    ytool_top_md_m: Value = Field(description="measured depth wanted for the top of the Y-tool")
    tolerance_m: Value = optional("how far off that depth it may hang")
    datum: Text = remark("zero of that depth; blank: that of the job")
    roll_rad: Value = optional("side of the hole wanted for the bypass, clockwise from high side")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")
