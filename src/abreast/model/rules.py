"""The rules of the job: reserves, margins, limits of lifts; each with its origin."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import Field

from abreast.model.part import Count, Diameter, Height, Part, Text, Value, remark
from abreast.model.quantity import Origin, Quantity

__all__ = ["Rules"]

_PRACTICE = Origin("common practice")


def _usual(si: float, description: str) -> Any:
    """A quantity with a usual value, marked as common practice."""
    return Field(default=Quantity.of(si, _PRACTICE), description=description)


class Rules(Part):
    """What the space-out and the checks hold to; a value with no source says so."""

    called: ClassVar[str] = "rules"

    reserve_factor_ratio: Value = _usual(3.0, "stroke reserve in multiples of the closure spread")
    spread_esp_flange_m: Diameter = _usual(0.0015, "spread of each flanged ESP length")
    spread_joint_m: Diameter = _usual(0.0013, "spread of each measured joint")
    spread_common_m: Diameter = _usual(0.00635, "spread common to all: tape, temperature, make-up")
    stroke_reserve_ratio: Value = _usual(0.10, "part of the stroke never used, at each end")
    rounding_m: Diameter = _usual(0.0001, "step to which lengths are rounded in the search")
    bucket_m: Diameter = _usual(0.025, "difference of union length that counts as equal")
    max_items: Count = Field(14, description="greatest number of pieces above the base")
    clamp_margin_m: Value = _usual(0.03, "free pipe needed beyond each end of a twin clamp")
    landing_margin_m: Value = _usual(0.0, "margin inside each end of the working window")
    grip_use_ratio: Value = _usual(0.5, "part of the grip of the twin clamps that may be used")
    envelope_margin_m: Diameter = _usual(0.0008, "least clearance to the casing drift")
    max_lift_pieces: Count = Field(1, description="pieces that may go up as one lift; 1: singles")
    max_lift_length_m: Value = Field(
        default=Quantity.not_measured("no limit stated"), description="overall length of a lift"
    )
    pre_run_height_m: Height = Field(
        default=Quantity.not_applicable("no pre-run"),
        description="highest lower end of a lift made up before the first ESP section, from the"
        " job's zero of heights",
    )
    time_limit_s: Value = _usual(10.0, "time the search may take to improve a proved plan")
    tape_k: Value = Field(
        default=Quantity.not_measured(), description="temperature of tape and steel at measuring"
    )
    tape_reference_k: Value = _usual(293.15, "temperature at which the tape is true")
    measure_agreement_m: Diameter = _usual(0.005, "two measurements of a piece agree within")
    face_agreement_m: Value = _usual(0.015, "measured and computed face difference agree within")
    min_cooling_m_s: Value = _usual(0.3048, "least speed of the liquid past the motor")
    max_dogleg_pass_rad_m: Value = Field(
        default=Quantity.not_measured(), description="sharpest dogleg allowed while running"
    )
    max_dogleg_set_rad_m: Value = Field(
        default=Quantity.not_measured(), description="sharpest dogleg allowed at the setting depth"
    )
    tool_clearance_m: Diameter = _usual(0.001524, "room a wireline tool needs, bore less diameter")
    hook_alarm_ratio: Value = _usual(
        0.10, "deviation of the hook load at which to stop, as a part of the hanging weight"
    )
    hook_alarm_least_n: Value = Field(
        default=Quantity.not_measured(),
        description="deviation of the hook load that the weight indicator can tell; no alarm below",
    )
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")
