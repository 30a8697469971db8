"""The units this program reads and prints: a fixed table, exact factors, nothing else.

A factor is a :class:`fractions.Fraction` times the SI unit, from the
definitions: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, standard gravity
9.80665 m/s2, 1 US gal = 231 in3 (international yard and pound agreement of
1959; NIST Special Publication 811, from memory). Angles use the nearest
double to pi as if it were exact.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Literal

__all__ = ["UNITS", "Dimension", "System", "Unit"]

System = Literal["oilfield", "SI"]


class Dimension(StrEnum):
    """What kind of quantity a field holds; two fields of one kind can be compared."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    SECOND_MOMENT = "second moment of area"
    MASS = "mass"
    MASS_PER_LENGTH = "mass per length"
    MASS_FLOW = "mass flow"
    FORCE = "force"
    STIFFNESS = "force per length"
    TORQUE = "torque"
    TORSIONAL_STIFFNESS = "torque per angle"
    BENDING_STIFFNESS = "bending stiffness"
    PRESSURE = "pressure"
    PRESSURE_GRADIENT = "pressure gradient"
    DENSITY = "density"
    VISCOSITY = "viscosity"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    TEMPERATURE_GRADIENT = "temperature gradient"
    EXPANSION = "thermal expansion"
    ANGLE = "angle"
    DOGLEG = "dogleg severity"
    SPEED = "speed"
    ACCELERATION = "acceleration"
    FLOW = "flow"
    GAS_LIQUID_RATIO = "gas-liquid ratio"
    PRODUCTIVITY = "productivity index"
    CONDUCTIVITY = "thermal conductivity"
    HEAT_CAPACITY = "specific heat"
    HEAT_TRANSFER = "heat transfer coefficient"
    DIFFUSIVITY = "thermal diffusivity"
    VOLTAGE = "voltage"
    CURRENT = "current"
    RESISTANCE = "resistance"
    RESISTANCE_PER_LENGTH = "resistance per length"
    POWER = "power"
    FREQUENCY = "frequency"
    TIME = "time"
    RATIO = "ratio"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``si = (value + offset) * factor``.

    Parameters
    ----------
    symbol : str
        How it is printed.
    dimension : Dimension
        The kind of quantity.
    factor : Fraction
        SI units in one of it.
    spellings : tuple of str
        Other ways people write it; case and separators are forgiven.
    customary : bool
        US customary, where a comma is never a decimal sign.
    strict : bool
        The case of the first letter counts: mega is not milli.
    offset : Fraction
        Added before scaling; only temperatures have one.
    """

    symbol: str
    dimension: Dimension
    factor: Fraction
    spellings: tuple[str, ...] = ()
    customary: bool = False
    strict: bool = False
    offset: Fraction = Fraction(0)

    def after(self, number: str) -> str:
        """The number with this unit behind it, spaced as it is printed."""
        tight = self.symbol in ("", "°") or self.symbol.startswith("°/")
        return f"{number}{'' if tight else ' '}{self.symbol}"


_F = Fraction
_IN = _F(254, 10_000)
_FT = 12 * _IN
_LB = _F(45_359_237, 10**8)
_LBF = _LB * _F(980_665, 100_000)
_GAL = 231 * _IN**3
_BBL = 42 * _GAL
_SCF = _FT**3
_DAY = _F(86_400)
_DEG = _F(math.pi) / 180
_RANKINE = _F(5, 9)
# International Table Btu: 1 Btu/(lb degF) = 4186.8 J/(kg K).
_BTU = _F(41_868, 10) * _LB * _RANKINE


def _si(symbol: str, kind: Dimension, factor: Fraction | int, *spellings: str) -> Unit:
    return Unit(symbol, kind, Fraction(factor), spellings)


def _prefixed(symbol: str, kind: Dimension, factor: Fraction | int, *spellings: str) -> Unit:
    return Unit(symbol, kind, Fraction(factor), spellings, strict=True)


def _us(symbol: str, kind: Dimension, factor: Fraction | int, *spellings: str) -> Unit:
    return Unit(symbol, kind, Fraction(factor), spellings, customary=True)


_D = Dimension
_GEOMETRY = (
    _si("m", _D.LENGTH, 1, "metre", "metres", "meter", "meters"),
    _si("mm", _D.LENGTH, _F(1, 1000), "millimetre", "millimetres"),
    _si("cm", _D.LENGTH, _F(1, 100)),
    _si("km", _D.LENGTH, 1000),
    _us("ft", _D.LENGTH, _FT, "feet", "foot", "'"),
    _us("in", _D.LENGTH, _IN, "inch", "inches", '"', "''"),
    _si("m²", _D.AREA, 1, "sqm"),
    _si("cm²", _D.AREA, _F(1, 10**4)),
    _si("mm²", _D.AREA, _F(1, 10**6), "sqmm"),
    _us("in²", _D.AREA, _IN**2, "sqin"),
    _us("ft²", _D.AREA, _FT**2, "sqft"),
    _si("m³", _D.VOLUME, 1),
    _si("L", _D.VOLUME, _F(1, 1000), "litre", "litres"),
    _us("bbl", _D.VOLUME, _BBL, "bbls"),
    _us("gal", _D.VOLUME, _GAL),
    _us("ft³", _D.VOLUME, _FT**3),
    _si("m⁴", _D.SECOND_MOMENT, 1),
    _si("cm⁴", _D.SECOND_MOMENT, _F(1, 10**8)),
    _si("mm⁴", _D.SECOND_MOMENT, _F(1, 10**12)),
    _us("in⁴", _D.SECOND_MOMENT, _IN**4),
    _si("rad", _D.ANGLE, 1),
    _si("°", _D.ANGLE, _DEG, "deg", "degree", "degrees"),
    _si("turn", _D.ANGLE, 2 * _F(math.pi), "turns", "rev"),
    _si("rad/m", _D.DOGLEG, 1),
    _si("°/30 m", _D.DOGLEG, _DEG / 30, "deg/30m"),
    _si("°/10 m", _D.DOGLEG, _DEG / 10, "deg/10m"),
    _us("°/100 ft", _D.DOGLEG, _DEG / (100 * _FT), "deg/100ft"),
)
_MECHANICS = (
    _si("kg", _D.MASS, 1, "kgs"),
    _si("t", _D.MASS, 1000, "tonne", "tonnes", "te"),
    _us("lb", _D.MASS, _LB, "lbs", "lbm", "pound", "pounds"),
    _us("klb", _D.MASS, 1000 * _LB, "klbs", "klbm"),
    _si("kg/m", _D.MASS_PER_LENGTH, 1),
    _us("lb/ft", _D.MASS_PER_LENGTH, _LB / _FT, "lbs/ft", "lbm/ft", "ppf"),
    _si("kg/s", _D.MASS_FLOW, 1),
    _us("lb/d", _D.MASS_FLOW, _LB / _DAY, "lb/day", "lbm/d"),
    _si("N", _D.FORCE, 1),
    _si("kN", _D.FORCE, 1000),
    _prefixed("MN", _D.FORCE, 10**6),
    _si("daN", _D.FORCE, 10),
    _si("kgf", _D.FORCE, _F(980_665, 100_000)),
    _si("tf", _D.FORCE, _F(980_665, 100), "tonf", "tonnef"),
    _us("lbf", _D.FORCE, _LBF, "lbsf"),
    _us("klbf", _D.FORCE, 1000 * _LBF, "kip", "kips"),
    _si("N/m", _D.STIFFNESS, 1),
    _si("N/mm", _D.STIFFNESS, 1000),
    _si("kN/m", _D.STIFFNESS, 1000),
    _si("kN/mm", _D.STIFFNESS, 10**6),
    _us("lbf/in", _D.STIFFNESS, _LBF / _IN),
    _us("lbf/ft", _D.STIFFNESS, _LBF / _FT),
    _si("N·m", _D.TORQUE, 1),
    _si("kN·m", _D.TORQUE, 1000),
    _si("daN·m", _D.TORQUE, 10),
    _us("lbf·ft", _D.TORQUE, _LBF * _FT, "ft·lbf", "ft·lb", "lb·ft", "ft·lbs", "lbs·ft"),
    _us("lbf·in", _D.TORQUE, _LBF * _IN, "in·lbf", "in·lb", "lb·in", "in·lbs"),
    _si("N·m/rad", _D.TORSIONAL_STIFFNESS, 1),
    _us("lbf·ft/°", _D.TORSIONAL_STIFFNESS, _LBF * _FT / _DEG, "lbf·ft/deg", "ft·lbf/deg"),
    _si("N·m²", _D.BENDING_STIFFNESS, 1),
    _si("kN·m²", _D.BENDING_STIFFNESS, 1000),
    _us("lbf·in²", _D.BENDING_STIFFNESS, _LBF * _IN**2),
    _us("lbf·ft²", _D.BENDING_STIFFNESS, _LBF * _FT**2),
    _si("Pa", _D.PRESSURE, 1),
    _si("kPa", _D.PRESSURE, 1000),
    _prefixed("MPa", _D.PRESSURE, 10**6),
    _prefixed("GPa", _D.PRESSURE, 10**9),
    _si("bar", _D.PRESSURE, 10**5, "bars"),
    _us("psi", _D.PRESSURE, _LBF / _IN**2),
    _us("ksi", _D.PRESSURE, 1000 * _LBF / _IN**2, "kpsi"),
    _us("Mpsi", _D.PRESSURE, 10**6 * _LBF / _IN**2),
    _si("Pa/m", _D.PRESSURE_GRADIENT, 1),
    _si("kPa/m", _D.PRESSURE_GRADIENT, 1000),
    _si("bar/m", _D.PRESSURE_GRADIENT, 10**5),
    _us("psi/ft", _D.PRESSURE_GRADIENT, _LBF / _IN**2 / _FT),
    _si("kg/m³", _D.DENSITY, 1),
    _si("g/cm³", _D.DENSITY, 1000, "g/cc", "kg/L"),
    # Specific gravity against 1000 kg/m3 (8.345 ppg): common practice, no source.
    _si("SG", _D.DENSITY, 1000, "sp.gr"),
    _us("ppg", _D.DENSITY, _LB / _GAL, "lb/gal", "lbm/gal"),
    _us("lb/ft³", _D.DENSITY, _LB / _FT**3, "pcf"),
    _si("Pa·s", _D.VISCOSITY, 1),
    _prefixed("mPa·s", _D.VISCOSITY, _F(1, 1000)),
    _si("cP", _D.VISCOSITY, _F(1, 1000), "centipoise"),
    _si("m/s", _D.SPEED, 1),
    _si("m/min", _D.SPEED, _F(1, 60)),
    _us("ft/s", _D.SPEED, _FT, "fps", "ft/sec"),
    _us("ft/min", _D.SPEED, _FT / 60, "fpm"),
    _us("ft/h", _D.SPEED, _FT / 3600, "ft/hr"),
    _si("m/s²", _D.ACCELERATION, 1),
    _us("ft/s²", _D.ACCELERATION, _FT),
)
_HEAT = (
    Unit("K", _D.TEMPERATURE, _F(1), ("kelvin",)),
    Unit("°C", _D.TEMPERATURE, _F(1), ("degC", "C"), offset=_F(27_315, 100)),
    Unit("°F", _D.TEMPERATURE, _RANKINE, ("degF", "F"), customary=True, offset=_F(45_967, 100)),
    _si("K", _D.TEMPERATURE_DIFFERENCE, 1, "°C", "degC", "C"),
    _us("°F", _D.TEMPERATURE_DIFFERENCE, _RANKINE, "degF", "F"),
    _si("K/m", _D.TEMPERATURE_GRADIENT, 1, "°C/m", "degC/m"),
    _si("°C/km", _D.TEMPERATURE_GRADIENT, _F(1, 1000), "degC/km", "K/km"),
    _si("°C/100 m", _D.TEMPERATURE_GRADIENT, _F(1, 100), "degC/100m", "K/100m"),
    _us("°F/100 ft", _D.TEMPERATURE_GRADIENT, _RANKINE / (100 * _FT), "degF/100ft"),
    _us("°F/ft", _D.TEMPERATURE_GRADIENT, _RANKINE / _FT, "degF/ft"),
    _si("1/K", _D.EXPANSION, 1, "/K", "1/°C", "/°C", "1/degC", "/degC"),
    _us("1/°F", _D.EXPANSION, 1 / _RANKINE, "/°F", "1/degF", "/degF"),
    _si("W/(m·K)", _D.CONDUCTIVITY, 1, "W/m/K", "W/m·K"),
    _us("Btu/(h·ft·°F)", _D.CONDUCTIVITY, _BTU / (3600 * _FT * _RANKINE), "Btu/h/ft/degF"),
    _us("Btu/(d·ft·°F)", _D.CONDUCTIVITY, _BTU / (_DAY * _FT * _RANKINE), "Btu/d/ft/degF"),
    _si("J/(kg·K)", _D.HEAT_CAPACITY, 1, "J/kg/K", "J/kg·K"),
    _si("kJ/(kg·K)", _D.HEAT_CAPACITY, 1000, "kJ/kg/K", "kJ/kg·K"),
    _us("Btu/(lb·°F)", _D.HEAT_CAPACITY, _F(41_868, 10), "Btu/lb/degF"),
    _si("W/(m²·K)", _D.HEAT_TRANSFER, 1, "W/m2/K", "W/m2·K"),
    _us("Btu/(h·ft²·°F)", _D.HEAT_TRANSFER, _BTU / (3600 * _FT**2 * _RANKINE), "Btu/h/ft2/degF"),
    _us("Btu/(d·ft²·°F)", _D.HEAT_TRANSFER, _BTU / (_DAY * _FT**2 * _RANKINE), "Btu/d/ft2/degF"),
    _si("m²/s", _D.DIFFUSIVITY, 1),
    _us("ft²/d", _D.DIFFUSIVITY, _FT**2 / _DAY, "ft2/day"),
)
_FLOW = (
    _si("m³/s", _D.FLOW, 1),
    _si("m³/d", _D.FLOW, 1 / _DAY, "m3/day"),
    _si("m³/h", _D.FLOW, _F(1, 3600), "m3/hr"),
    _si("L/min", _D.FLOW, _F(1, 60_000), "lpm"),
    _us("bbl/d", _D.FLOW, _BBL / _DAY, "bpd", "b/d", "bbl/day", "stb/d", "bfpd"),
    _us("gal/min", _D.FLOW, _GAL / 60, "gpm"),
    _us("bbl/min", _D.FLOW, _BBL / 60, "bpm"),
    _si("m³/m³", _D.GAS_LIQUID_RATIO, 1, "Sm3/Sm3"),
    _us("scf/stb", _D.GAS_LIQUID_RATIO, _SCF / _BBL, "scf/bbl"),
    _si("m³/s/Pa", _D.PRODUCTIVITY, 1),
    _si("m³/d/bar", _D.PRODUCTIVITY, 1 / _DAY / 10**5),
    _us("bbl/d/psi", _D.PRODUCTIVITY, _BBL / _DAY / (_LBF / _IN**2), "stb/d/psi", "bpd/psi"),
)
_REST = (
    _si("V", _D.VOLTAGE, 1, "volt", "volts"),
    _si("kV", _D.VOLTAGE, 1000),
    _si("A", _D.CURRENT, 1, "amp", "amps"),
    _si("Ω", _D.RESISTANCE, 1, "ohm", "ohms"),
    _prefixed("mΩ", _D.RESISTANCE, _F(1, 1000), "mohm", "milliohm"),
    _si("kΩ", _D.RESISTANCE, 1000, "kohm"),
    _prefixed("MΩ", _D.RESISTANCE, 10**6, "Mohm", "Megohm"),
    _prefixed("GΩ", _D.RESISTANCE, 10**9, "Gohm", "Gigohm"),
    _si("Ω/m", _D.RESISTANCE_PER_LENGTH, 1, "ohm/m"),
    _si("Ω/km", _D.RESISTANCE_PER_LENGTH, _F(1, 1000), "ohm/km"),
    _us("Ω/1000 ft", _D.RESISTANCE_PER_LENGTH, 1 / (1000 * _FT), "ohm/1000ft", "ohm/kft"),
    _si("W", _D.POWER, 1, "watt", "watts"),
    _si("kW", _D.POWER, 1000),
    _prefixed("MW", _D.POWER, 10**6),
    _us("hp", _D.POWER, 550 * _FT * _LBF, "bhp"),
    _si("Hz", _D.FREQUENCY, 1),
    _si("rpm", _D.FREQUENCY, _F(1, 60), "rev/min"),
    _si("s", _D.TIME, 1, "sec"),
    _si("min", _D.TIME, 60, "mins"),
    _si("h", _D.TIME, 3600, "hr", "hrs", "hour", "hours"),
    _si("d", _D.TIME, _DAY, "day", "days"),
    _si("", _D.RATIO, 1),
    _si("%", _D.RATIO, _F(1, 100), "percent", "pct"),
    _si("", _D.COUNT, 1),
)

UNITS: tuple[Unit, ...] = _GEOMETRY + _MECHANICS + _HEAT + _FLOW + _REST
"""Every unit that may be written; nothing outside it is understood."""
