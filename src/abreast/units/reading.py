"""Reading a quantity as people write it on a tally sheet or a data sheet.

One number, plain, grouped or with a fraction, and one unit; for lengths also
feet and inches. Whatever could be read in two ways is asked back, because a
wrong length costs a trip. Arithmetic is exact and is rounded once, at the end.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from abreast.errors import InputError
from abreast.units.lookup import unit_named
from abreast.units.numbers import NUMBER, Reading, read_number
from abreast.units.refusal import example_of, looks_otherwise, refuse_text
from abreast.units.table import Dimension, Unit

__all__ = ["LONGEST_TEXT", "Parsed", "parse"]

LONGEST_TEXT = 64

_SAME = str.maketrans(
    {"−": "-", "–": "-", "‘": "'", "’": "'", "′": "'", "“": '"', "”": '"', "″": '"', "⁄": "/"}
    | dict.fromkeys("\u00a0\u202f\u2009\u2007\t", " ")
)
_FOOT = r"(?:ft\.?|feet|foot|')"
_INCH = r"(?:in\.?|inch|inches|\"|'')"
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>{NUMBER})\s*{_FOOT}\s*(?:(?<=')-)?\s*(?P<inches>{NUMBER})\s*{_INCH}", re.IGNORECASE
)
_SIGNED = re.compile(r"(?P<sign>[+-]?)\s*(?P<rest>.*)", re.DOTALL)
_QUANTITY = re.compile(rf"(?P<number>{NUMBER})\s*(?P<unit>.*)", re.DOTALL)
_BARE = frozenset({Dimension.RATIO, Dimension.COUNT})


@dataclass(frozen=True, slots=True)
class Parsed:
    """A quantity read from text.

    Parameters
    ----------
    si : float
        The value in the SI unit of its kind.
    typed : str
        What was written, as written.
    echo : str
        How it was understood, for the person to confirm.
    unit : str
        The unit it was understood in.
    """

    si: float
    typed: str
    echo: str
    unit: str


def parse(text: str, dimension: Dimension, unit: str | None = None) -> Parsed:
    r"""Read one quantity; a unit in the text goes before the declared one.

    Parameters
    ----------
    text : str
        What was typed, at most 64 characters.
    dimension : Dimension
        What kind of quantity the field holds.
    unit : str, optional
        Unit of a bare number, as declared by a column or a form. Without it a
        bare number is refused, unless the quantity has no unit.

    Returns
    -------
    Parsed
        The value in SI, rounded once, with the text and its reading.

    Raises
    ------
    InputError
        When the text is no quantity of this kind, or can be read in two ways.
        The message says what to write; the caller adds the place.

    Examples
    --------
    >>> parse("31' 5 1/16\"", Dimension.LENGTH).si
    9.5773875
    >>> parse("31 ft 5 in", Dimension.LENGTH).echo
    '31 ft 5 in = 31.417 ft'
    >>> parse("26.4", Dimension.MASS_PER_LENGTH, unit="lb/ft").echo
    '26.4 lb/ft'
    """
    typed = text.strip()
    if len(typed) > LONGEST_TEXT:
        message = f"text of {len(typed)} characters is too long for a number; write one value"
        raise InputError(message, code="too-long")
    plain = " ".join(_spelled_out(typed).translate(_SAME).split())
    declared = unit_named(unit, dimension) if unit is not None else None
    if dimension is Dimension.LENGTH and (both := _feet_and_inches(plain, typed)):
        return both
    return _one_quantity(plain, typed, dimension, declared)


def _spelled_out(text: str) -> str:
    """Vulgar fraction signs as ``a b/c``."""
    return "".join(
        f" {unicodedata.normalize('NFKC', c)}"
        if unicodedata.name(c, "").startswith("VULGAR")
        else c
        for c in text
    )


def _one_quantity(plain: str, typed: str, dimension: Dimension, declared: Unit | None) -> Parsed:
    signed = _SIGNED.fullmatch(plain)
    found = _QUANTITY.fullmatch(signed["rest"]) if signed else None
    if signed is None or found is None or looks_otherwise(plain):
        raise refuse_text(typed, dimension, declared)
    unit = _unit_of(found["unit"], plain, typed, dimension, declared)
    number = read_number(found["number"], typed, unit, explicit=bool(found["unit"]))
    value = -number.value if signed["sign"] == "-" else number.value
    echo = _echo(signed["sign"], number, value, unit)
    si = _to_si(value, unit)
    if dimension is Dimension.TEMPERATURE and si < 0:
        message = f"{typed!r} is below absolute zero; check the figure and its unit"
        raise InputError(message, code="out-of-range")
    return Parsed(si, typed, echo, unit.symbol)


def _unit_of(
    written: str, plain: str, typed: str, dimension: Dimension, declared: Unit | None
) -> Unit:
    if written:
        if written[0] in "0123456789.,/-+*:^" and not written.startswith(("1/", "/")):
            raise refuse_text(typed, dimension, declared)
        return unit_named(written, dimension)
    if declared is not None:
        return declared
    if dimension in _BARE:
        return unit_named("", dimension)
    message = f"{plain!r} has no unit; write it with its unit, for example {example_of(dimension)}"
    raise InputError(message, code="needs-unit")


def _feet_and_inches(plain: str, typed: str) -> Parsed | None:
    signed = _SIGNED.fullmatch(plain)
    found = _FEET_AND_INCHES.fullmatch(signed["rest"]) if signed else None
    if signed is None or found is None:
        return None
    foot, inch = (unit_named(name, Dimension.LENGTH) for name in ("ft", "in"))
    feet = read_number(found["feet"], typed, foot, explicit=True, grouped_ok=True)
    inches = read_number(found["inches"], typed, inch, explicit=True)
    if feet.value.denominator != 1 or inches.value >= 12:
        message = f"{typed!r}: with inches, feet must be whole and inches under 12"
        raise InputError(message, code="feet-inches")
    sign = -1 if signed["sign"] == "-" else 1
    value = sign * (feet.value + inches.value / 12)
    read = f"{'-' if sign < 0 else ''}{feet.text} ft {inches.text} in"
    return Parsed(_to_si(value, foot), typed, f"{read} = {_decimal(value, 3)} ft", "ft")


def _to_si(value: Fraction, unit: Unit) -> float:
    return float((value + unit.offset) * unit.factor)


def _echo(sign: str, number: Reading, value: Fraction, unit: Unit) -> str:
    read = f"{'-' if sign == '-' else ''}{number.text}"
    if "/" not in number.text:
        return unit.after(read)
    return f"{unit.after(read)} = {unit.after(_decimal(value, 4))}"


def _decimal(value: Fraction, digits: int) -> str:
    """Decimal digits for reading back, trailing zeros dropped."""
    text = f"{float(value):.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
