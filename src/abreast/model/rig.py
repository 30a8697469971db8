"""The rig: floor, block, BOP, crane, and everything that can hold a pipe."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from abreast.model.part import Count, Diameter, Id, Part, Text, Value, optional, remark

__all__ = [
    "BopElement",
    "CranePoint",
    "Hoisting",
    "Holder",
    "HolderType",
    "Rig",
    "WorkingWindow",
]

HolderType = Literal[
    "elevator",
    "slips",
    "lifting clamp",
    "holding clamp",
    "safety clamp",
    "lifting sub",
    "slings",
    "tugger",
    "hook",
    "C-plate",
    "other",
]


class Rig(Part):
    """Heights from the rig floor, ratings and reach."""

    called: ClassVar[str] = "rig"

    name: Text = remark("name of the rig")
    false_rotary_height_m: Value = Field(description="height of the false rotary above the floor")
    false_rotary_opening_m: Diameter = optional("opening of the false rotary")
    false_rotary_rating_n: Value = optional("load the false rotary may carry")
    false_rotary_stiffness_n_m: Value = optional("stiffness of the false rotary")
    rotary_opening_m: Diameter = optional("opening of the rotary table")
    rotary_rating_n: Value = optional("load the rotary table may carry")
    hook_max_height_m: Value = optional("greatest height of the hook above the floor")
    block_mass_kg: Value = optional("mass of block and bails on the indicator")
    block_rating_n: Value = optional("load the block may carry")
    block_clearance_m: Value = optional("height that block and bails take below the hook")
    hoist_stiffness_n_m: Value = optional("stiffness of block, bails and lines")
    sling_length_m: Value = optional("length of the slings of the lifting clamp")
    sling_stiffness_n_m: Value = optional("stiffness of the slings")
    catwalk_length_m: Value = optional("longest piece the catwalk takes")
    tugger_rating_n: Value = optional("load the tugger may carry")
    daf_derrick_ratio: Value = optional("dynamic factor of lifts in the derrick")
    daf_crane_ratio: Value = optional("dynamic factor of lifts by crane")
    load_cells: bool = Field(False, description="each line of the block has its own load cell")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class BopElement(Part):
    """One element of the blow-out preventer."""

    called: ClassVar[str] = "BOP element"

    id: Id = Field(description="name of the element")
    kind: Literal["annular", "pipe rams", "variable rams", "blind-shear rams", "other"] = Field(
        description="what sort of element it is"
    )
    below_floor_m: Value = Field(description="depth of its seal below the floor")
    closes_min_od_m: Diameter = optional("least diameter it seals on")
    closes_max_od_m: Diameter = optional("greatest diameter it seals on")
    bore_m: Diameter = optional("bore when open")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class CranePoint(Part):
    """One point of the crane's load chart."""

    called: ClassVar[str] = "crane radius"

    radius_m: Value = Field(description="radius")
    rating_n: Value = Field(description="load the crane may carry there")


class Hoisting(Part):
    """Limits of handling."""

    called: ClassVar[str] = "hoisting"

    max_overall_m: Value = optional("longest piece or lift that can be stood up")
    max_pull_n: Value = optional("greatest pull of the rig allowed on this job")
    lines: Literal["one line", "two lines", "two hoists"] = Field(
        "one line", description="how both strings can be held from above"
    )
    max_speed_m_s: Value = optional("running speed through the BOP")
    hand_height_m: Value = optional("height above the floor at which a part is worked on")
    sling_margin_m: Value = optional("sling length beyond the bypass above a lifting clamp")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Holder(Part):
    """Anything that can carry a string, and what it fits."""

    called: ClassVar[str] = "holder"

    id: Id = Field(description="name or number of the holder")
    name: Text = remark("what it is")
    type: HolderType = Field(description="what sort of holder it is")
    side: Literal["esp", "bypass", "tubing", "both", "any"] = Field(
        "any", description="string it is meant for"
    )
    neck_od_min_m: Diameter = optional("least neck it fits")
    neck_od_max_m: Diameter = optional("greatest neck it fits")
    insert: Text = remark("insert that is in it")
    pipe: Text = remark("pipe size it is dressed for")
    pipe_od_m: Diameter = optional("diameter of that pipe")
    rating_n: Value = optional("load it may carry")
    max_od_m: Diameter = optional("its own largest diameter, closed")
    height_m: Value = optional("its own height")
    mass_kg: Value = optional("its own mass")
    count: Count = Field(1, description="how many there are on the rig")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")


class WorkingWindow(Part):
    """Where the bypass top may stand above the plate while an ESP section hangs on it."""

    called: ClassVar[str] = "working window"

    low_m: Value = Field(description="lowest bypass top above the plate")
    high_m: Value = Field(description="highest bypass top above the plate")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")

    @model_validator(mode="after")
    def _upright(self) -> WorkingWindow:
        low, high = self.low_m.known, self.high_m.known
        if low is not None and high is not None and low > high:
            message = "low is above high"
            raise ValueError(message)
        return self
