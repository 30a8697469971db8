"""Reading the number of a quantity, exactly, and asking back what is ambiguous."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from abreast.errors import InputError
from abreast.units.table import Dimension, Unit

__all__ = ["NUMBER", "RULE_MARKS", "Reading", "comma_groups", "read_number"]

_DIGITS = r"[0-9]"
NUMBER = (
    r"(?:"
    rf"{_DIGITS}{{1,6}}[ -]{_DIGITS}{{1,3}}/{_DIGITS}{{1,3}}"  # 9 5/8, 9-5/8
    rf"|{_DIGITS}{{1,3}}/{_DIGITS}{{1,3}}"  # 5/8
    rf"|{_DIGITS}{{1,3}}(?: {_DIGITS}{{3}})+(?:\.{_DIGITS}+)?"  # 1 200
    rf"|{_DIGITS}+(?:,{_DIGITS}+)+(?:\.{_DIGITS}+)?"  # 1,200 (judged later)
    rf"|(?:{_DIGITS}+(?:\.{_DIGITS}*)?|\.{_DIGITS}+)(?:[eE][+-]?{_DIGITS}{{1,4}})?"
    r")(?![0-9.,/])"
)
"""Pattern of one unsigned number; a capturing group is left to the caller."""

_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)")
_GROUPS = re.compile(r"[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?")
_LARGEST_EXPONENT = 30
RULE_MARKS = (2, 4, 8, 16, 32, 64, 128)

# Quantities that run to thousands in US customary units, where a comma groups digits.
_LARGE = frozenset(
    {
        Dimension.FORCE,
        Dimension.STIFFNESS,
        Dimension.TORQUE,
        Dimension.BENDING_STIFFNESS,
        Dimension.PRESSURE,
        Dimension.MASS,
        Dimension.FLOW,
        Dimension.POWER,
    }
)


def comma_groups(unit: Unit) -> bool:
    """Whether a single comma before three digits can only be a thousands sign in this unit."""
    return unit.customary and unit.dimension in _LARGE


@dataclass(frozen=True, slots=True)
class Reading:
    """An exact number and its text without grouping signs."""

    value: Fraction
    text: str


def read_number(
    written: str, typed: str, unit: Unit, *, explicit: bool, grouped_ok: bool = False
) -> Reading:
    """The exact value of one unsigned number.

    Parameters
    ----------
    written : str
        The number as matched by :data:`NUMBER`.
    typed : str
        The whole text, for the message.
    unit : Unit
        Its unit: it decides whether a single comma can only be a thousands sign.
    explicit : bool
        Whether the unit stood in the text. A fraction without one is taken in
        inches only.
    grouped_ok : bool
        The context already says that the number is whole.

    Raises
    ------
    InputError
        ``decimal-comma``, ``bad-fraction`` or ``too-large``.
    """
    if fraction := _FRACTION.fullmatch(written):
        return _fraction(fraction, typed, explicit or unit.symbol == "in")
    if "," in written:
        return _grouped(written, typed, unit, grouped_ok)
    if " " in written:
        digits = written.replace(" ", "")
        return Reading(Fraction(digits), digits)
    return _decimal(written, typed)


def _fraction(found: re.Match[str], typed: str, has_unit: bool) -> Reading:
    whole, top, bottom = (int(part or 0) for part in found.groups())
    if bottom not in RULE_MARKS or not 0 < top < bottom:
        message = (
            f"{typed!r} is not a fraction of a rule (halves to 128ths, under 1);"
            " write it as a decimal"
        )
        raise InputError(message, code="bad-fraction")
    if not has_unit:
        message = f"{typed!r}: a fraction needs its unit; write for example {found[0]} in"
        raise InputError(message, code="needs-unit")
    text = f"{whole} {top}/{bottom}" if found[1] else f"{top}/{bottom}"
    return Reading(whole + Fraction(top, bottom), text)


def _grouped(written: str, typed: str, unit: Unit, grouped_ok: bool) -> Reading:
    digits = written.replace(",", "")
    well_formed = _GROUPS.fullmatch(written)
    certain = written.count(",") > 1 or "." in written or grouped_ok
    if not (well_formed and (certain or comma_groups(unit))):
        decimal = written.replace(",", ".", 1).replace(",", "")
        message = (
            f"{typed!r}: is the comma a decimal sign or thousands?"
            f" Write {decimal if written.count(',') == 1 else digits}"
            + (f" or {digits}" if well_formed and written.count(",") == 1 else "")
            + (f" {unit.symbol}" if unit.symbol else "")
        )
        raise InputError(message, code="decimal-comma")
    return Reading(Fraction(digits), digits)


def _decimal(written: str, typed: str) -> Reading:
    _, _, exponent = written.lower().partition("e")
    if exponent and abs(int(exponent)) > _LARGEST_EXPONENT:
        message = f"{typed!r} is out of range; powers of ten run from -30 to 30"
        raise InputError(message, code="too-large")
    return Reading(Fraction(written), written)
