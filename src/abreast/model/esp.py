"""The ESP side: its pieces bottom to top, their ports, and where it lands."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from abreast.model.part import (
    Count,
    Diameter,
    EffectiveLength,
    Id,
    Part,
    Text,
    Value,
    optional,
    optional_effective,
    remark,
)
from abreast.model.quantity import Effective

__all__ = ["EspKind", "EspPiece", "JointKind", "Landing", "Port"]

EspKind = Literal[
    "guide",
    "gauge",
    "motor",
    "protector",
    "intake",
    "gas separator",
    "pump",
    "discharge head",
    "discharge pup",
    "other",
]
JointKind = Literal["flange", "thread", "swivel nut", "none"]


class EspPiece(Part):
    """One piece of the ESP side, from its lower face to its upper face."""

    called: ClassVar[str] = "ESP piece"

    id: Id = Field(description="name of the piece in the other tables")
    name: Text = Field(description="what it is, as on the sheet")
    kind: EspKind = Field(description="what sort of piece it is")
    length_m: EffectiveLength = Field(description="face to face, as planned; flanges lose nothing")
    remeasured_m: EffectiveLength = optional_effective("face to face, as measured on location")
    body_od_m: Diameter = Field(description="diameter of the body")
    max_od_m: Diameter = Field(description="largest diameter anywhere on the piece")
    mass_kg: Value = Field(description="mass in air")
    neck_below_top_m: Value = optional("middle of the clamp neck below the upper face")
    neck_od_m: Diameter = optional("diameter of the clamp neck")
    neck_length_m: Value = optional("length of the clamp neck that a clamp can take")
    neck_insert: Text = remark("insert that the lifting clamp needs on this neck")
    upper_joint: JointKind = Field("none", description="how the upper end is joined")
    upper_joint_note: Text = remark("bolts or thread of the upper joint, as on the sheet")
    upper_joint_bolts: Count | None = Field(None, description="number of bolts of the upper joint")
    upper_joint_torque_nm: Value = optional("make-up torque of the upper joint, each bolt")
    upper_joint_load_n: Value = optional("axial load that the upper joint may carry")
    upper_joint_moment_nm: Value = optional("bending moment that the upper joint may carry")
    workshop_joint_above: bool = Field(
        False, description="joined in the workshop to the piece above: no joint on the rig floor"
    )
    wall_m: Diameter = optional("wall of the housing")
    bore_m: Diameter = optional("bore of the housing or of the pup")
    ea_n: Value = optional("axial stiffness EA of the body")
    ei_nm2: Value = optional("bending stiffness EI of the body")
    neck_ei_nm2: Value = optional("bending stiffness EI of the neck and flange")
    moment_nm: Value = optional("bending moment that body and flange may carry")
    load_n: Value = optional("axial load that the housing may carry")
    pass_dogleg_rad_m: Value = optional("sharpest dogleg the piece may pass")
    set_dogleg_rad_m: Value = optional("sharpest dogleg the piece may be set in")
    max_inclination_rad: Value = optional("steepest inclination the piece may be set at")
    bending_stress_pa: Value = optional("bending stress that the housing may carry where it is set")
    side_load_n: Value = optional(
        "side force that its housing, centraliser or neck may bear at one place; n/a: no limit"
    )
    stages_count: Value = optional("number of pump stages")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    spare_of: Text = remark("id of the piece this one is a spare of; a spare is not in the string")
    cumulative_m: Value = optional("supplier's running length from the bottom; only compared")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @property
    def actual_m(self) -> Effective:
        """The measured length where there is one, else the planned one [m]."""
        return self.remeasured_m if self.remeasured_m.is_given else self.length_m

    @property
    def is_spare(self) -> bool:
        """Whether the piece only stands by."""
        return bool(self.spare_of)

    @property
    def has_neck(self) -> bool:
        """Whether a lifting clamp or twin clamp can take it by a neck."""
        return self.neck_below_top_m.is_given


class Port(Part):
    """An opening of an ESP piece that hands must reach: pothead, vent, fill or drain valve."""

    called: ClassVar[str] = "port"

    id: Id = Field(description="name of the port")
    piece: Id = Field(description="id of the ESP piece it is on")
    kind: Literal["pothead", "vent", "fill valve", "drain valve", "other"] = Field(
        description="what sort of port it is"
    )
    height_m: Value = Field(description="height above the lower face of its piece")
    angle_rad: Value = optional(
        "angle from the line that faces the bypass, looking down, clockwise positive"
    )
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class Landing(Part):
    """A state in which the ESP hangs by a neck on the false rotary."""

    called: ClassVar[str] = "landing"

    id: Id = Field(description="name of the landing")
    piece: Id = Field(description="id of the ESP piece whose neck stands on the false rotary")
    holder: Text = remark("id of the lifting clamp that takes this neck")
    window_low_m: Value = optional("lowest bypass top above the plate; blank: that of the job")
    window_high_m: Value = optional("highest bypass top above the plate; blank: that of the job")
    grip_low_m: Value = optional("lower end of the bypass length a holding clamp needs, from plate")
    grip_high_m: Value = optional("upper end of the bypass length a holding clamp needs")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @model_validator(mode="after")
    def _both_ends(self) -> Landing:
        for low, high, name in (
            (self.window_low_m, self.window_high_m, "window"),
            (self.grip_low_m, self.grip_high_m, "grip"),
        ):
            if low.is_given != high.is_given:
                message = f"{name}: give both ends or neither"
                raise ValueError(message)
            if low.known is not None and high.known is not None and low.known > high.known:
                message = f"{name}: the low end is above the high end"
                raise ValueError(message)
        return self
