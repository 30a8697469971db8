"""The unit table against pint, a general-purpose units library, as the outside judge.

What pint knows under another name is spelled out in its own words.
"""

import pint
import pytest

from abreast.units import UNITS, Dimension, Unit, to_si, to_unit, unit_named

_SPELLED = {
    "°": "degree",
    "turn": "turn",
    "°/30 m": "degree / (30 meter)",
    "°/10 m": "degree / (10 meter)",
    "°/100 ft": "degree / (100 foot)",
    "t": "metric_ton",
    "klb": "1000 pound",
    "tf": "metric_ton * standard_gravity",
    "klbf": "1000 force_pound",
    "lbf·ft/°": "force_pound * foot / degree",
    "Mpsi": "1e6 psi",
    "SG": "1000 kilogram / meter**3",
    "ppg": "pound / gallon",
    "K": "kelvin",
    "°C/km": "delta_degC / kilometer",
    "°C/100 m": "delta_degC / (100 meter)",
    "°F/100 ft": "delta_degF / (100 foot)",
    "°F/ft": "delta_degF / foot",
    "1/°F": "1 / delta_degF",
    "Btu/(h·ft·°F)": "Btu_it / (hour * foot * delta_degF)",
    "Btu/(d·ft·°F)": "Btu_it / (day * foot * delta_degF)",
    "Btu/(lb·°F)": "Btu_it / (pound * delta_degF)",
    "Btu/(h·ft²·°F)": "Btu_it / (hour * foot**2 * delta_degF)",
    "Btu/(d·ft²·°F)": "Btu_it / (day * foot**2 * delta_degF)",
    "scf/stb": "foot**3 / oil_barrel",
    "Ω/1000 ft": "ohm / (1000 foot)",
    "rpm": "1 / minute",
    "Hz": "1 / second",
    "hp": "550 * foot * force_pound / second",
    "%": "0.01",
    "": "1",
    "cP": "centipoise",
}
_PARTS = {
    "lbf": "force_pound",
    "lb": "pound",
    "kgf": "kilogram_force",
    "bbl": "oil_barrel",
    "in": "inch",
}


def pint_text(unit: Unit) -> str:
    if unit.symbol in _SPELLED:
        return _SPELLED[unit.symbol]
    words = unit.symbol.replace("·", " * ").replace("/", " / ")
    for sign, power in (("²", " ** 2"), ("³", " ** 3"), ("⁴", " ** 4")):
        words = words.replace(sign, power)
    return " ".join(_PARTS.get(w, w.replace("Ω", "ohm")) for w in words.split(" "))


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", UNITS, ids=lambda u: f"{u.dimension.value}: {u.symbol}")
def test_factor_is_that_of_pint(registry, unit):
    if unit.dimension is Dimension.TEMPERATURE:
        name = {"K": "kelvin", "°C": "degC", "°F": "degF"}[unit.symbol]
        expected = registry.Quantity(77.0, name).to("kelvin").magnitude
        assert to_si(77.0, unit.symbol, unit.dimension) == pytest.approx(expected, rel=1e-14)
        return
    if unit.dimension is Dimension.TEMPERATURE_DIFFERENCE:
        name = {"K": "kelvin", "°F": "delta_degF"}[unit.symbol]
    else:
        name = pint_text(unit)
    expected = registry.parse_expression(name)
    if hasattr(expected, "to_base_units"):
        expected = expected.to_base_units().magnitude
    assert float(unit.factor) == pytest.approx(expected, rel=1e-12)


def test_definitions_are_exact():
    """NIST SP 811, appendix B (from memory): exact by definition."""
    assert to_si(1, "in") == 0.0254
    assert to_si(1, "lb") == 0.45359237
    assert to_si(1, "lbf") == 4.4482216152605
    assert to_si(1, "ft") == 0.3048


@pytest.mark.parametrize("unit", UNITS, ids=lambda u: f"{u.dimension.value}: {u.symbol}")
def test_every_spelling_finds_its_unit_and_back(unit):
    for written in (unit.symbol, *unit.spellings):
        assert unit_named(written, unit.dimension) is unit
    there = to_si(12.5, unit.symbol, unit.dimension)
    assert to_unit(there, unit.symbol, unit.dimension) == pytest.approx(12.5, rel=1e-13)


def test_case_and_separators_are_forgiven_where_nothing_hangs_on_them():
    for written in ("LBF-FT", "ft lbs", "Ft·Lbf", "ft.lb", "lbf*ft", "lbf × ft"):
        assert unit_named(written, Dimension.TORQUE).symbol == "lbf·ft"
    assert unit_named("N.M", Dimension.TORQUE).symbol == "N·m"
    assert unit_named("Deg. F", Dimension.TEMPERATURE).symbol == "°F"
    assert unit_named("Deg / 100 FT", Dimension.DOGLEG).symbol == "°/100 ft"


def test_mega_and_milli_are_told_apart():
    assert unit_named("MOhm", Dimension.RESISTANCE).factor == 10**6
    assert unit_named("mOhm", Dimension.RESISTANCE).factor * 1000 == 1
