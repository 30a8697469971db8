"""What closes the frame: base support or entry guide, union, Y-tool, clamps, cable."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from abreast.model.part import (
    Count,
    Diameter,
    EffectiveLength,
    Height,
    Id,
    Part,
    Text,
    Value,
    optional,
    remark,
)
from abreast.model.texts import EndText

__all__ = [
    "AdjustableUnion",
    "BaseSupport",
    "EntryGuide",
    "GripMode",
    "Mle",
    "PowerCable",
    "SlipWord",
    "TwinClamp",
    "YTool",
]

GripMode = Literal["grips both", "slides on bypass", "slides on both", "not stated"]
SlipWord = Literal["yes", "no", "not stated"]


class BaseSupport(Part):
    """The block that joins both strings at the bottom; heights from its lower shoulder."""

    called: ClassVar[str] = "base support"

    name: Text = remark("what it is, as on the sheet")
    length_m: EffectiveLength = Field(description="lower shoulder to upper end")
    bypass_shoulder_m: Value = Field(
        description="height of the bypass connection above the lower shoulder"
    )
    seat_plane_m: Value = Field(
        description="height of the ESP seat above the lower shoulder at seat height 0"
    )
    seat_min_m: Value = Field(description="least seat height")
    seat_max_m: Value = Field(description="greatest seat height")
    seat_step_m: Diameter = Field(description="step of the seat height")
    seat_planned_m: Value = Field(description="seat height the plan starts from")
    seat_locked_m: Value = optional("seat height once it is fixed on the rig")
    max_od_m: Diameter = Field(description="largest diameter")
    centre_m: Diameter = optional(
        "distance of the middle of its outline from the ESP axis, towards the bypass"
    )
    bore_m: Diameter = optional("smallest bore of the bypass passage")
    mass_kg: Value = Field(description="mass in air")
    lower_end: EndText = Field(description="lower connection, for example EU pin")
    upper_end: EndText = Field(description="bypass connection, for example SF box")
    retainer_load_n: Value = optional("load the guide retainer may carry upwards; n/a: none")
    rating_n: Value = optional("axial load the base may carry")
    moment_nm: Value = optional("bending moment it may carry")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    nose_below_shoulder_m: Value = optional("how far the ESP guide reaches below its shoulder")
    wall_m: Diameter = optional("wall of the bypass passage")
    ea_n: Value = optional("axial stiffness EA")
    ei_nm2: Value = optional("bending stiffness EI")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class EntryGuide(Part):
    """The open lower end of a top-hung bypass; stick-down is counted from the motor base."""

    called: ClassVar[str] = "entry guide"

    name: Text = remark("what it is, as on the sheet")
    length_m: EffectiveLength = Field(description="length it adds to the bypass")
    stick_down_min_m: Value = Field(description="least distance of its lower end below the ESP")
    stick_down_max_m: Value = Field(description="greatest distance of its lower end below the ESP")
    stick_down_step_m: Diameter = Field(description="step in which the distance is set")
    stick_down_planned_m: Value = Field(description="distance the plan starts from")
    stick_down_locked_m: Value = optional("distance once the first twin clamp is tight")
    upper_end: EndText = Field(description="upper connection, for example FJ box")
    max_od_m: Diameter = Field(description="largest diameter")
    bore_m: Diameter = optional("smallest bore")
    yield_pa: Value = optional("yield strength of its body")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    mass_kg: Value = Field(description="mass in air")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class AdjustableUnion(Part):
    """The telescoping length that closes the bypass on the Y-tool."""

    called: ClassVar[str] = "adjustable union"

    name: Text = remark("what it is, as on the sheet")
    closed_m: EffectiveLength = Field(description="length it adds, fully closed")
    open_m: EffectiveLength = Field(description="length it adds, fully open")
    usable_low_m: Value = optional("shortest length to be used; blank: a quarter of stroke open")
    usable_high_m: Value = optional("longest length to be used; blank: a quarter from open")
    target_m: Value = optional("length wanted; blank: the middle of the stroke")
    lower_end: EndText = Field(description="lower connection, for example SF pin")
    upper_end: EndText | None = Field(None, description="upper connection to the Y-tool leg")
    max_od_m: Diameter = Field(description="largest diameter")
    bore_m: Diameter = optional("smallest bore")
    mass_kg: Value = Field(description="mass in air")
    travel_per_turn_m: Diameter = optional("change of length in one turn; 4 threads/in: 0.25 in")
    torque_nm: Value = optional("make-up torque of its lower connection")
    rating_n: Value = optional("axial load it may carry when locked")
    moment_nm: Value = optional("bending moment it may carry")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    seal_od_m: Diameter = optional("diameter of its sliding seal")
    ea_n: Value = optional("axial stiffness EA when locked")
    ei_nm2: Value = optional("bending stiffness EI")
    lock: Text = remark("how it is locked")
    locked_from_md_m: Value = optional(
        "depth of the Y-tool from which it is locked; 0: before it is run; n/a: it runs free"
    )
    lock_torque_nm: Value = optional("torque of the lock")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")

    @model_validator(mode="after")
    def _opens(self) -> AdjustableUnion:
        closed, opened = self.closed_m.known, self.open_m.known
        if closed is not None and opened is not None and closed >= opened:
            message = "closed is not shorter than open"
            raise ValueError(message)
        return self

    @property
    def stroke_m(self) -> float:
        """Open less closed length [m]."""
        return self.open_m.si - self.closed_m.si

    @property
    def window_m(self) -> tuple[float, float]:
        """Usable lengths [m]: as stated, else the middle half of the stroke."""
        quarter = self.stroke_m / 4
        return (
            self.usable_low_m.or_else(self.closed_m.si + quarter),
            self.usable_high_m.or_else(self.open_m.si - quarter),
        )

    @property
    def wanted_m(self) -> float:
        """Target length [m]: as stated, else mid-stroke."""
        return self.target_m.or_else((self.closed_m.si + self.open_m.si) / 2)


class YTool(Part):
    """The block that joins both strings at the top; heights from its ESP leg face."""

    called: ClassVar[str] = "Y-tool"

    name: Text = remark("what it is, as on the sheet")
    length_m: EffectiveLength = Field(description="ESP leg face to top shoulder")
    bypass_leg_above_esp_leg_m: Value = Field(
        description="height of the bypass leg face above the ESP leg face"
    )
    max_od_m: Diameter = Field(description="largest diameter")
    centre_m: Diameter = optional(
        "distance of the middle of its outline from the ESP axis, towards the bypass"
    )
    mass_kg: Value = Field(description="mass in air")
    rating_n: Value = optional("axial load it may carry")
    moment_nm: Value = optional("bending moment it may carry")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    nipple_bore_m: Diameter = optional("bore of the plug nipple in the bypass leg")
    nipple_length_m: Value = optional("length of the plug nipple")
    bend_offset_m: Diameter = optional("sideways offset of the S-bend")
    bend_length_m: Value = optional("length of the S-bend")
    bend_bore_m: Diameter = optional("bore of the S-bend")
    esp_leg_torque_nm: Value = optional("make-up torque of the ESP leg")
    bypass_leg_torque_nm: Value = optional("make-up torque of the bypass leg")
    upper_end: EndText | None = Field(None, description="connection to the tubing above")
    plug: Text = remark("plug or valve in the bypass leg when it is run")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class TwinClamp(Part):
    """A clamp that holds the two strings at their spacing."""

    called: ClassVar[str] = "twin clamp"

    id: Id = Field(description="name of the clamp")
    piece: Text = remark("id of the ESP piece on whose neck it sits; blank: at a height")
    height_m: Height = optional("height of its middle, from the job's zero of heights")
    offset_m: Value = optional("height of its middle above the middle of the neck")
    shift_down_m: Value = optional("how far it may be moved down")
    shift_up_m: Value = optional("how far it may be moved up")
    length_m: Value = Field(description="length along the bypass")
    clearance_m: Value = optional("free pipe needed at each end; blank: that of the rules")
    max_od_m: Diameter = Field(description="outer diameter of the closed clamp")
    centre_m: Diameter = optional(
        "distance of the middle of its outline from the ESP axis, towards the bypass"
    )
    mass_kg: Value = Field(description="mass in air")
    play_m: Diameter = optional("sideways play of the bypass in the clamp")
    grip: GripMode = Field("not stated", description="what it does along the strings")
    grip_load_n: Value = optional("axial load it can hold by grip")
    may_slip: SlipWord = Field(
        "not stated", description="its maker's word: may it slip along the bypass in bends"
    )
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    bolt_torque_nm: Value = optional("torque of its bolts")
    bolts: Count | None = Field(None, description="number of bolts")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @model_validator(mode="after")
    def _has_a_place(self) -> TwinClamp:
        if bool(self.piece) == self.height_m.is_given:
            message = "give either the piece on whose neck it sits, or a height"
            raise ValueError(message)
        return self


class Mle(Part):
    """The motor lead extension: the flat cable beside the ESP."""

    called: ClassVar[str] = "MLE"

    name: Text = remark("what it is, as on the sheet")
    thickness_m: Diameter = Field(description="thickness, off the string")
    width_m: Diameter = Field(description="width, along the circumference")
    corner_radius_m: Diameter = optional("radius of its corners")
    guard_m: Diameter = optional("thickness of the guard over it")
    length_m: Value = Field(description="length from pothead to free end")
    pothead_angle_rad: Value = optional(
        "angle of the pothead from the line that faces the bypass, looking down, clockwise"
    )
    pothead_tolerance_rad: Value = optional("how far that angle may be off, to each side")
    mass_per_length_kg_m: Value = optional("mass per length")
    bend_radius_m: Value = optional("smallest bend radius")
    side_load_n: Value = optional("side force that cable and guard may bear at one place")
    serial: Text = remark("serial number")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class PowerCable(Part):
    """The power cable from the splice to the hanger."""

    called: ClassVar[str] = "power cable"

    name: Text = remark("what it is, as on the sheet")
    shape: Literal["round", "flat"] = Field("round", description="round or flat")
    od_m: Diameter = optional("diameter of a round cable")
    thickness_m: Diameter = optional("thickness of a flat cable")
    width_m: Diameter = optional("width of a flat cable")
    mass_per_length_kg_m: Value = optional("mass per length")
    length_m: Value = optional("length on the reel")
    resistance_ohm_m: Value = optional("resistance of one phase per length at 20 °C")
    load_n: Value = optional("pull the cable may carry")
    serial: Text = remark("reel number")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")
