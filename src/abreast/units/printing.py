"""Printing a quantity in the user's units, with the digits the trade uses."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from abreast.units.lookup import unit_named, unit_of_any
from abreast.units.numbers import RULE_MARKS, comma_groups
from abreast.units.table import Dimension, System, Unit

__all__ = ["display_unit", "feet_inches", "figure", "in_both", "show", "to_si", "to_unit"]


@dataclass(frozen=True, slots=True)
class _Style:
    unit: str
    digits: int


_D = Dimension
_SYSTEMS: tuple[System, System] = ("SI", "oilfield")
# kind: (oilfield unit, decimals, SI unit, decimals); negative: significant figures
_STYLES: dict[Dimension, tuple[str, int, str, int]] = {
    _D.LENGTH: ("ft", 2, "m", 3),
    _D.AREA: ("in²", 3, "mm²", 0),
    _D.VOLUME: ("bbl", 2, "m³", 3),
    _D.SECOND_MOMENT: ("in⁴", 4, "mm⁴", 0),
    _D.MASS: ("lb", 0, "kg", 1),
    _D.MASS_PER_LENGTH: ("lb/ft", 2, "kg/m", 2),
    _D.MASS_FLOW: ("lb/d", 0, "kg/s", 3),
    _D.FORCE: ("lbf", 0, "kN", 2),
    _D.STIFFNESS: ("lbf/in", 0, "kN/m", 1),
    _D.TORQUE: ("lbf·ft", 0, "N·m", 0),
    _D.TORSIONAL_STIFFNESS: ("lbf·ft/°", 2, "N·m/rad", 0),
    _D.BENDING_STIFFNESS: ("lbf·in²", 0, "N·m²", 0),
    _D.PRESSURE: ("psi", 0, "bar", 1),
    _D.PRESSURE_GRADIENT: ("psi/ft", 3, "kPa/m", 2),
    _D.DENSITY: ("ppg", 2, "kg/m³", 0),
    _D.VISCOSITY: ("cP", 2, "mPa·s", 2),
    _D.TEMPERATURE: ("°F", 1, "°C", 1),
    _D.TEMPERATURE_DIFFERENCE: ("°F", 1, "K", 1),
    _D.TEMPERATURE_GRADIENT: ("°F/100 ft", 2, "°C/km", 1),
    _D.EXPANSION: ("1/°F", -4, "1/K", -4),
    _D.ANGLE: ("°", 1, "°", 1),
    _D.DOGLEG: ("°/100 ft", 2, "°/30 m", 2),
    _D.SPEED: ("ft/s", 2, "m/s", 2),
    _D.ACCELERATION: ("ft/s²", 2, "m/s²", 2),
    _D.FLOW: ("bbl/d", 0, "m³/d", 1),
    _D.GAS_LIQUID_RATIO: ("scf/stb", 0, "m³/m³", 1),
    _D.PRODUCTIVITY: ("bbl/d/psi", 3, "m³/d/bar", 3),
    _D.CONDUCTIVITY: ("Btu/(h·ft·°F)", 2, "W/(m·K)", 2),
    _D.HEAT_CAPACITY: ("Btu/(lb·°F)", 3, "J/(kg·K)", 0),
    _D.HEAT_TRANSFER: ("Btu/(h·ft²·°F)", 2, "W/(m²·K)", 1),
    _D.DIFFUSIVITY: ("ft²/d", 3, "m²/s", -4),
    _D.VOLTAGE: ("V", 0, "V", 0),
    _D.CURRENT: ("A", 1, "A", 1),
    _D.RESISTANCE: ("Ω", 3, "Ω", 3),
    _D.RESISTANCE_PER_LENGTH: ("Ω/1000 ft", 4, "Ω/km", 4),
    _D.POWER: ("hp", 1, "kW", 1),
    _D.FREQUENCY: ("Hz", 1, "Hz", 1),
    _D.TIME: ("s", 0, "s", 0),
    _D.RATIO: ("", 3, "", 3),
    _D.COUNT: ("", 0, "", 0),
}
_SMALLEST = 1e-30
# Diameters, gaps and walls: what a caliper shows, not what a tape shows.
_SMALL = {"oilfield": _Style("in", 3), "SI": _Style("mm", 1)}


def _style(dimension: Dimension, system: System, small: bool) -> _Style:
    if small and dimension is Dimension.LENGTH:
        return _SMALL[system]
    oil_unit, oil_digits, si_unit, si_digits = _STYLES[dimension]
    return _Style(oil_unit, oil_digits) if system == "oilfield" else _Style(si_unit, si_digits)


def display_unit(dimension: Dimension, system: System, *, small: bool = False) -> str:
    """The unit in which :func:`show` prints; ``small`` is for cross-section sizes."""
    return _style(dimension, system, small).unit


def to_unit(si: float, unit: str, dimension: Dimension | None = None) -> float:
    """An SI value as a number in another unit.

    Parameters
    ----------
    si : float
        The value in SI.
    unit : str
        The unit wanted, for example ``ft``.
    dimension : Dimension, optional
        Needed where one unit serves two kinds (``°F`` of a temperature or of
        a difference); else the first kind that knows the unit is taken.

    Raises
    ------
    InputError
        When the unit is not known.

    Examples
    --------
    >>> round(to_unit(0.2194, "in"), 3)
    8.638
    """
    row = _resolve(unit, dimension)
    return float(Fraction(si) / row.factor - row.offset)


def to_si(value: float, unit: str, dimension: Dimension | None = None) -> float:
    """The SI value of a number in some unit; the inverse of :func:`to_unit`."""
    row = _resolve(unit, dimension)
    return float((Fraction(value) + row.offset) * row.factor)


def _resolve(unit: str, dimension: Dimension | None) -> Unit:
    if dimension is not None:
        return unit_named(unit, dimension)
    return unit_of_any(unit)


def show(
    si: float,
    dimension: Dimension,
    system: System,
    *,
    digits: int | None = None,
    small: bool = False,
    unit: str | None = None,
) -> str:
    """A quantity as text with its unit, rounded as the trade rounds it.

    The text reads back (:func:`abreast.units.parse`) to within half of its
    last digit.

    Parameters
    ----------
    si : float
        The value in SI; finite.
    dimension : Dimension
        The kind of quantity.
    system : {"oilfield", "SI"}
        The user's choice.
    digits : int, optional
        Decimals; the trade's usual number if not given.
    small : bool
        A cross-section size (in or mm) and not a length along the string.
    unit : str, optional
        Another unit of the same kind, for example ``ft/min``.

    Raises
    ------
    ValueError
        If the value is not finite.
    InputError
        If the unit is not one of this kind.

    Examples
    --------
    >>> show(9.577388, Dimension.LENGTH, "oilfield")
    '31.42 ft'
    >>> show(0.2165, Dimension.LENGTH, "SI", small=True)
    '216.5 mm'
    >>> show(3050.6, Dimension.TORQUE, "oilfield")
    '2,250 lbf·ft'
    """
    if not math.isfinite(si):
        message = f"cannot print {si} as a {dimension.value}"
        raise ValueError(message)
    style = _style(dimension, system, small)
    row = unit_named(style.unit if unit is None else unit, dimension)
    decimals = style.digits if digits is None else digits
    return row.after(_number(to_unit(si, row.symbol, dimension), decimals, row))


def figure(si: float, dimension: Dimension, system: System, *, small: bool = False) -> str:
    """The digits that :func:`show` prints, for a column whose heading carries the unit.

    Examples
    --------
    >>> figure(9.577388, Dimension.LENGTH, "oilfield"), figure(1700.0, Dimension.LENGTH, "SI")
    ('31.42', '1700.000')
    """
    style = _style(dimension, system, small)
    row = unit_named(style.unit, dimension)
    return _number(to_unit(si, row.symbol, dimension), style.digits, row)


def in_both(length_m: float, digits: int = 1) -> str:
    """A length in metres and feet, for a message of code that knows no user's units.

    Examples
    --------
    >>> in_both(1706.88)
    '1706.9 m (5,600.0 ft)'
    """
    if not math.isfinite(length_m):
        return f"{length_m} m"
    metres, feet = (show(length_m, Dimension.LENGTH, system, digits=digits) for system in _SYSTEMS)
    return f"{metres} ({feet})"


def _number(value: float, decimals: int, row: Unit) -> str:
    if decimals < 0:
        return f"{value if abs(value) >= _SMALLEST else 0.0:.{-decimals}g}"
    commas = row.customary and (decimals > 0 or comma_groups(row))
    text = f"{value:{',' if commas else ''}.{decimals}f}"
    return text.lstrip("-") if not text.strip("-0.,") else text


def feet_inches(length_m: float, denominator: int = 16) -> str:
    """A length in feet, inches and a fraction of an inch, as on a tape.

    Parameters
    ----------
    length_m : float
        Length [m].
    denominator : int
        Finest mark of the rule: 2, 4, 8, 16, 32, 64 or 128 to the inch.

    Raises
    ------
    ValueError
        If the length is not finite or the rule has no such mark.

    Examples
    --------
    >>> feet_inches(9.5773875), feet_inches(-0.0127)
    ('31 ft 5 1/16 in', '-1/2 in')
    """
    if denominator not in RULE_MARKS or not math.isfinite(length_m):
        message = f"cannot print {length_m} m in inches by 1/{denominator}"
        raise ValueError(message)
    marks = round(Fraction(length_m) / unit_named("in", Dimension.LENGTH).factor * denominator)
    feet, rest = divmod(abs(marks), 12 * denominator)
    inches, top = divmod(rest, denominator)
    shown = [f"{feet} ft"] if feet else []
    part = Fraction(top, denominator)
    digits = [str(inches)] if inches or not part else []
    shown.append(" ".join([*digits, *([str(part)] if part else [])]) + " in")
    return ("-" if marks < 0 else "") + " ".join(shown)
