"""The unit in a field's name, and the unit in a column's heading.

Field names end in their SI unit (``overall_m``); tables that people fill in
carry their own unit (``overall [ft]``). Both name the same field.
"""

from __future__ import annotations

import re

from abreast.errors import InputError
from abreast.units.lookup import is_known
from abreast.units.table import Dimension

__all__ = ["bare_name", "dimension_of_field", "parse_unit_header"]

_D = Dimension
_SUFFIXES: dict[str, Dimension] = {
    "m": _D.LENGTH,
    "m2": _D.AREA,
    "m3": _D.VOLUME,
    "m4": _D.SECOND_MOMENT,
    "kg": _D.MASS,
    "kg_m": _D.MASS_PER_LENGTH,
    "kg_s": _D.MASS_FLOW,
    "n": _D.FORCE,
    "n_m": _D.STIFFNESS,
    "nm": _D.TORQUE,
    "nm_rad": _D.TORSIONAL_STIFFNESS,
    "nm2": _D.BENDING_STIFFNESS,
    "pa": _D.PRESSURE,
    "pa_m": _D.PRESSURE_GRADIENT,
    "kg_m3": _D.DENSITY,
    "pa_s": _D.VISCOSITY,
    "k": _D.TEMPERATURE,
    "dk": _D.TEMPERATURE_DIFFERENCE,
    "k_m": _D.TEMPERATURE_GRADIENT,
    "per_k": _D.EXPANSION,
    "rad": _D.ANGLE,
    "rad_m": _D.DOGLEG,
    "m_s": _D.SPEED,
    "m_s2": _D.ACCELERATION,
    "m3_s": _D.FLOW,
    "m3_m3": _D.GAS_LIQUID_RATIO,
    "m3_s_pa": _D.PRODUCTIVITY,
    "w_m_k": _D.CONDUCTIVITY,
    "j_kg_k": _D.HEAT_CAPACITY,
    "w_m2_k": _D.HEAT_TRANSFER,
    "m2_s": _D.DIFFUSIVITY,
    "v": _D.VOLTAGE,
    "a": _D.CURRENT,
    "ohm": _D.RESISTANCE,
    "ohm_m": _D.RESISTANCE_PER_LENGTH,
    "w": _D.POWER,
    "hz": _D.FREQUENCY,
    "s": _D.TIME,
    "ratio": _D.RATIO,
    "count": _D.COUNT,
}
_LONGEST_FIRST = sorted(_SUFFIXES, key=len, reverse=True)
_HEADING = re.compile(r"\s*(?P<name>[^\[\]]*?)\s*(?:\[(?P<unit>[^\[\]]*)\]\s*)?")


def _suffix(name: str) -> str | None:
    ends = (end for end in _LONGEST_FIRST if name.endswith("_" + end) and len(name) > len(end) + 1)
    return next(ends, None)


def dimension_of_field(name: str) -> Dimension | None:
    """The kind of quantity a field holds, from the SI unit its name ends in.

    Examples
    --------
    >>> dimension_of_field("linear_mass_kg_m")
    <Dimension.MASS_PER_LENGTH: 'mass per length'>
    >>> dimension_of_field("thread") is None
    True
    """
    suffix = _suffix(name)
    return None if suffix is None else _SUFFIXES[suffix]


def bare_name(name: str) -> str:
    """A field's name without its unit, as a column of a table is headed.

    Examples
    --------
    >>> bare_name("overall_m"), bare_name("thread")
    ('overall', 'thread')
    """
    suffix = _suffix(name)
    return name if suffix is None else name[: -len(suffix) - 1]


def parse_unit_header(heading: str) -> tuple[str, str | None]:
    """Name and unit of a column heading such as ``overall [ft]``.

    Parameters
    ----------
    heading : str
        The heading; the unit, if any, in square brackets at its end.

    Returns
    -------
    tuple of str and (str or None)
        The name, and the unit as written.

    Raises
    ------
    InputError
        When the brackets do not close, are empty, or hold no known unit.

    Examples
    --------
    >>> parse_unit_header("overall [ft]"), parse_unit_header("thread")
    (('overall', 'ft'), ('thread', None))
    """
    found = _HEADING.fullmatch(heading)
    if found is None or not found["name"]:
        message = f"heading {heading!r} cannot be read; write for example overall [ft]"
        raise InputError(message, code="bad-heading")
    unit = found["unit"]
    if unit is not None and not (unit.strip() and is_known(unit)):
        message = f"heading {heading!r}: {unit!r} is not a unit; write for example [ft] or [m]"
        raise InputError(message, code="unknown-unit")
    return found["name"], None if unit is None else unit.strip()
