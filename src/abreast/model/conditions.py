"""What flows and how hot it is, the electrics, and the completion above the Y-tool."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from abreast.model.part import Diameter, Id, Part, Text, Value, optional, remark
from abreast.model.texts import EndText

__all__ = ["Electrical", "Fluids", "Friction", "Rates", "Temperatures", "UpperItem"]


class Fluids(Part):
    """The fluids in the well while running and while producing."""

    called: ClassVar[str] = "fluids"

    annulus_kg_m3: Value = optional("density of the fluid in the well while running")
    fluid_level_md_m: Value = optional("static fluid level, measured depth")
    datum: Text = remark("zero of that depth; blank: that of the job")
    oil_kg_m3: Value = optional("density of the oil at stock-tank conditions")
    water_kg_m3: Value = optional("density of the produced water")
    gas_gravity_ratio: Value = optional("gravity of the gas, air 1")
    water_cut_ratio: Value = optional("water cut")
    gor_m3_m3: Value = optional("gas-oil ratio")
    viscosity_pa_s: Value = optional("viscosity of the produced liquid at the motor")
    heat_capacity_j_kg_k: Value = optional("specific heat of the produced liquid")
    pump_pressure_pa: Value = optional("pressure rise of the pump")
    intake_pressure_pa: Value = optional("pressure at the intake")
    bypass_pressure_pa: Value = optional("pressure in the bypass over that outside it")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Temperatures(Part):
    """Temperatures of the well and of the strings."""

    called: ClassVar[str] = "temperatures"

    bottom_hole_k: Value = optional("bottom hole")
    surface_k: Value = optional("surface, undisturbed")
    intake_k: Value = optional("fluid at the pump intake")
    running_k: Value = optional("strings when the frame is closed")
    esp_over_bypass_dk: Value = optional("ESP hotter than the bypass when producing")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Rates(Part):
    """Liquid rates at stock-tank conditions."""

    called: ClassVar[str] = "rates"

    target_m3_s: Value = optional("rate wanted")
    least_m3_s: Value = optional("least rate")
    most_m3_s: Value = optional("greatest rate")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Friction(Part):
    """Friction factors and allowances for drag, and the filling of the string; the user's own."""

    called: ClassVar[str] = "friction"

    cased_ratio: Value = optional("friction factor in casing")
    open_hole_ratio: Value = optional("friction factor in open hole")
    bypass_clamp_ratio: Value = optional("friction factor of the bypass in a twin clamp")
    clamp_drag_n: Value = optional("drag of each cable clamp on the casing, while running")
    inside_level_md_m: Value = optional(
        "fluid level inside the string while running, measured depth from the job's datum;"
        " not measured: as outside; n/a: the string stays empty"
    )
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class Electrical(Part):
    """The motor and its supply."""

    called: ClassVar[str] = "electrical"

    power_w: Value = optional("rated power of the motor")
    voltage_v: Value = optional("rated voltage of the motor")
    current_a: Value = optional("rated current of the motor")
    frequency_hz: Value = optional("rated frequency of the motor")
    efficiency_ratio: Value = optional("efficiency of the motor")
    power_factor_ratio: Value = optional("power factor at load")
    start_factor_ratio: Value = optional("starting current over rated current")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this section that state none")


class UpperItem(Part):
    """One item of the completion above the Y-tool."""

    called: ClassVar[str] = "upper item"

    id: Id = Field(description="name of the item")
    name: Text = Field(description="what it is")
    kind: Literal[
        "tubing", "pup", "joint", "packer", "safety valve", "hanger", "nipple", "other"
    ] = Field(description="what sort of item it is")
    length_m: Value = optional("length it adds; of tubing by the length: not measured, to fit")
    joint_m: Value = optional("average joint of tubing")
    od_m: Diameter = optional("diameter of the body")
    max_od_m: Diameter = optional("largest diameter, coupling or body")
    bore_m: Diameter = optional("inner diameter")
    drift_m: Diameter = optional("drift diameter")
    mass_kg: Value = optional("mass in air")
    mass_per_length_kg_m: Value = optional("mass per length, with connections")
    lower_end: EndText | None = Field(None, description="lower connection")
    upper_end: EndText | None = Field(None, description="upper connection")
    torque_min_nm: Value = optional("least make-up torque")
    torque_opt_nm: Value = optional("make-up torque wanted")
    torque_max_nm: Value = optional("greatest make-up torque")
    rating_n: Value = optional("axial load it may carry")
    yield_pa: Value = optional("yield strength of its body")
    side_load_n: Value = optional("side force it may bear at one place; n/a: no limit")
    lines: Text = remark("cable and control lines it takes or passes")
    splice: bool = Field(False, description="the cable splice lies on this item")
    serial: Text = remark("serial number")
    certificate: Text = remark("certificate, or why there is none")
    cumulative_m: Value = optional("supplier's running length from the bottom; only compared")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")
