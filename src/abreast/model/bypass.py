"""The bypass side and the rack: pipe, threads, measured joints, tail, doubles."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from abreast.model.part import (
    Diameter,
    EffectiveLength,
    Height,
    Id,
    OverallLength,
    Part,
    Text,
    Value,
    optional,
    optional_effective,
    optional_overall,
    remark,
)
from abreast.model.texts import End, EndText

__all__ = [
    "Accessory",
    "BypassPipe",
    "FixedPiece",
    "PipeKind",
    "PremadeLift",
    "RackItem",
    "Thread",
    "pin_ends",
]

PipeKind = Literal["joint", "pup", "crossover", "nipple", "guide", "sub", "swivel", "other"]


class BypassPipe(Part):
    """The pipe that the bypass string is made of, unless a rack row says otherwise."""

    called: ClassVar[str] = "bypass pipe"

    name: Text = Field(description="size, weight, grade and connection")
    body_od_m: Diameter = Field(description="diameter of the pipe body")
    joint_od_m: Diameter = Field(description="diameter of the connection")
    bore_m: Diameter = Field(description="inner diameter")
    drift_m: Diameter = Field(description="drift diameter")
    mass_per_length_kg_m: Value = Field(description="mass per length, with connections")
    wall_m: Diameter = optional("wall")
    youngs_pa: Value = optional("Young's modulus")
    yield_pa: Value = optional("yield strength")
    side_load_n: Value = optional(
        "side force that body and connection may bear at one place; n/a: no limit"
    )
    body_load_n: Value = optional("axial load at yield of the body")
    ea_n: Value = optional("axial stiffness EA")
    ei_nm2: Value = optional("bending stiffness EI")
    moment_nm: Value = optional("bending moment that a connection may carry")
    expansion_per_k: Value = optional("thermal expansion")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Thread(Part):
    """A connection, under the code that the rack uses for it."""

    called: ClassVar[str] = "thread"

    id: Id = Field(description="code of the thread, as on the rack")
    name: Text = remark("what it is")
    hand: Literal["right", "left"] = Field("right", description="hand of the thread")
    make_up_loss_m: Value = Field(description="length lost at each made-up pin")
    upset_m: Value = optional("length above the pin shoulder where no clamp closes")
    coupling_m: Value = optional("length below the upper end where no clamp closes")
    torque_min_nm: Value = optional("least make-up torque")
    torque_opt_nm: Value = optional("make-up torque wanted")
    torque_max_nm: Value = optional("greatest make-up torque")
    compound_factor_ratio: Value = optional("friction factor of the compound")
    joint_efficiency_ratio: Value = optional("strength of the connection over that of the body")
    load_n: Value = optional("axial load the connection may carry")
    moment_nm: Value = optional("bending moment the connection may carry; blank: that of the pipe")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class RackItem(Part):
    """One measured piece on the rack."""

    called: ClassVar[str] = "rack piece"

    id: Id = Field(description="number painted on the piece")
    kind: PipeKind = Field(description="what sort of piece it is")
    lower_end: EndText = Field(description="lower connection, for example SF pin")
    upper_end: EndText = Field(description="upper connection, for example SF box")
    nominal_m: Value = optional("length it is sold as")
    overall_m: OverallLength = Field(description="length by tape, end to end, protectors off")
    overall_2_m: OverallLength = optional_overall(
        "second measurement, other tape end, other person"
    )
    make_up_loss_m: Value = optional("loss at its pin; blank: that of its thread")
    effective_m: EffectiveLength = optional_effective("supplier's effective length; only compared")
    cumulative_m: Value = optional("supplier's running length; only compared")
    mass_kg: Value = optional("mass in air")
    body_od_m: Diameter = optional("diameter of the body; blank: that of the bypass pipe")
    joint_od_m: Diameter = optional("diameter of the connection; blank: that of the bypass pipe")
    bore_m: Diameter = optional("smallest bore; blank: that of the bypass pipe")
    wall_m: Diameter = optional("wall")
    yield_pa: Value = optional(
        "yield strength; blank: that of the bypass pipe, if body, bore and wall are"
    )
    side_load_n: Value = optional(
        "side force it may bear at one place; blank: that of the bypass pipe, as for yield"
    )
    moment_nm: Value = optional(
        "bending moment it may carry; blank: that of the bypass pipe, as for yield"
    )
    upset_m: Value = optional("length above the pin shoulder where no clamp closes")
    coupling_m: Value = optional("length below the upper end where no clamp closes")
    drift: Literal["passed", "stopped", "not done"] = Field(
        description="result of the drift; blank is no result"
    )
    drift_stopped_m: Value = optional("how far in from the box the drift stopped")
    drift_reason: Text = remark("why it was not done, or a remark to the result")
    status: Literal["usable", "rejected", "laid aside", "spare"] = Field(
        "usable", description="whether it may be run"
    )
    status_reason: Text = remark("why it is not usable")
    usable_for: Literal["bypass", "tail", "both"] = Field(
        "bypass", description="part of the string it is kept for"
    )
    profile_m: Value = optional("height of the profile or no-go above the lower end")
    no_go_m: Diameter = optional("smallest bore of the profile")
    torque_nm: Value = optional("make-up torque, if not that of its thread")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    spare_of: Text = remark("id of the piece this one is a spare of")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @model_validator(mode="after")
    def _reasons(self) -> RackItem:
        if self.drift == "not done" and not self.drift_reason:
            message = "drift: 'not done' needs its drift_reason"
            raise ValueError(message)
        if self.drift == "stopped" and self.status == "usable":
            message = "drift stopped, yet the status is usable; set rejected or laid aside"
            raise ValueError(message)
        if self.status in ("rejected", "laid aside") and not self.status_reason:
            message = f"status: '{self.status}' needs its status_reason"
            raise ValueError(message)
        return self

    @property
    def drift_ok(self) -> bool:
        """Whether the drift went through; not done is not through."""
        return self.drift == "passed"


class FixedPiece(Part):
    """One piece of the tail below the base support: a rack piece, or one of its own."""

    called: ClassVar[str] = "tail piece"

    id: Id = Field(description="name of the piece, or the id of the rack piece")
    rack: bool = Field(False, description="yes: all about it stands in the rack table")
    name: Text = remark("what it is")
    kind: PipeKind = Field("other", description="what sort of piece it is")
    lower_end: EndText | None = Field(None, description="lower connection; blank: open end")
    upper_end: EndText | None = Field(None, description="upper connection")
    overall_m: OverallLength = optional_overall("length by tape, end to end")
    make_up_loss_m: Value = optional("loss at its pin; blank: that of its thread")
    mass_kg: Value = optional("mass in air")
    body_od_m: Diameter = optional("diameter of the body")
    joint_od_m: Diameter = optional("largest diameter")
    bore_m: Diameter = optional("bore")
    yield_pa: Value = optional("yield strength of its body")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    no_go_m: Diameter = optional("smallest bore of its no-go")
    profile_m: Value = optional("height of the profile above the lower end")
    torque_nm: Value = optional("make-up torque, if not that of its thread")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    cumulative_m: Value = optional("supplier's running length from the bottom; only compared")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @model_validator(mode="after")
    def _own_or_rack(self) -> FixedPiece:
        if not self.rack and not self.overall_m.is_given:
            message = "give its overall length, or say rack = yes and describe it in the rack table"
            raise ValueError(message)
        if self.rack and self.overall_m.is_given:
            message = "is on the rack: its overall length belongs in the rack table"
            raise ValueError(message)
        return self


class PremadeLift(Part):
    """Pieces made up to one on the rack before the run."""

    called: ClassVar[str] = "pre-made lift"

    id: Id = Field(description="name of the lift")
    pieces: Annotated[tuple[Id, ...], Field(min_length=2)] = Field(
        description="ids of its pieces, bottom to top"
    )
    overall_m: OverallLength = optional_overall("length by tape of the made-up lift")
    drift: Literal["passed", "stopped", "not done"] = Field(
        "not done", description="result of the drift after make-up"
    )
    torque_nm: Value = optional("torque its inner joint was made up to")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class Accessory(Part):
    """A piece of which exactly one must be in the bypass, its profile inside a window."""

    called: ClassVar[str] = "accessory"

    id: Id = Field(description="name of the need")
    kind: PipeKind = Field(description="kind of the rack piece")
    window_low_m: Height = Field(description="lowest profile height")
    window_high_m: Height = Field(description="highest profile height")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


def pin_ends(*ends: End | None) -> tuple[End, ...]:
    """The ends that lose length when they are made up."""
    return tuple(end for end in ends if end is not None and end.gender == "pin")
