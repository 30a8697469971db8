"""One cell: from what was typed to a value of the model, and back to text.

The notation is the same in ``job.toml``, in CSV and in workbooks:

* ``8.681 in @ sheet`` value, unit, origin; unit and origin may be left out
  where a heading and a default give them;
* ``not measured: rule broken`` and ``n/a: no flange`` with the reason;
* ``yes`` and ``no``; ``2024-05-01``; ``SF pin``; ``A. Pell, 2024-05-01``;
  ``P08; P10`` for a list of names.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from abreast.errors import InputError
from abreast.jobfile.layout import Column
from abreast.model import End, Origin, Quantity, Signature
from abreast.units import Dimension, Parsed, is_known, parse, to_unit, units_of

__all__ = [
    "CellValue",
    "ascii_unit",
    "number_text",
    "quantity_text",
    "read_cell",
    "same_meaning",
    "unit_of_text",
    "value_text",
]

_WITHOUT = re.compile(
    r"(?P<state>not measured|n/a|not applicable)\s*(?::\s*(?P<reason>.*))?",
    re.IGNORECASE | re.DOTALL,
)
_BARE_NUMBER = re.compile(r"[-+−]?[0-9][0-9 .,/-]*([eE][+-]?[0-9]+)?|[-+]?\.[0-9]+")
_STATES = "or say 'not measured: why' or 'n/a: why'"
_YES = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class CellValue:
    """A value read from a cell; ``echo`` tells how, when it was not written plainly."""

    value: Any
    echo: str = ""


def read_cell(column: Column, text: str, unit: str | None, default_origin: str) -> CellValue:
    """The value of a cell that is not blank.

    Parameters
    ----------
    column : Column
        The column it stands in.
    text : str
        What was typed.
    unit : str or None
        Unit declared by the heading.
    default_origin : str
        Origin of a value that states none.

    Raises
    ------
    ValueError, InputError
        When it is no value of this kind; the message says what to write.
    """
    if column.kind == "quantity":
        return _quantity(column, text, unit, default_origin)
    return CellValue(_READERS[column.kind](column, text))


def _quantity(column: Column, text: str, unit: str | None, default_origin: str) -> CellValue:
    if without := _WITHOUT.fullmatch(text.strip()):
        return CellValue(_without(column, without))
    typed, mark, origin = (piece.strip() for piece in text.partition("@"))
    if mark and not origin:
        message = f"{text!r} ends in '@'; write the origin after it, for example @ sheet"
        raise ValueError(message)
    parsed = _parsed(column, typed, unit)
    bare = bool(_BARE_NUMBER.fullmatch(typed))
    own = f"{typed} {unit}" if bare and unit else typed
    value = column.quantity(
        given=parsed.si,
        origin=Origin.parse(origin or default_origin or "unstated"),
        typed=own,
    )
    return CellValue(
        value, _echo(column, parsed, unit) if _needs_echo(column, parsed, own, unit) else ""
    )


def _echo(column: Column, parsed: Parsed, unit: str | None) -> str:
    """How a length was understood; in the unit of its column too when it stands in another."""
    if unit is None or parsed.unit == unit or column.dimension is None:
        return parsed.echo
    digits = f"{to_unit(parsed.si, unit, column.dimension):.4f}".rstrip("0").rstrip(".")
    return f"{parsed.echo} = {digits} {unit}"


def _needs_echo(column: Column, parsed: Parsed, own: str, unit: str | None) -> bool:
    """A length is read back unless it was written plainly, in the unit of its column."""
    plain = parsed.echo.replace(" ", "") == own.replace(" ", "")
    in_unit = unit is None or parsed.unit == unit
    return column.dimension is Dimension.LENGTH and not (plain and in_unit)


def _without(column: Column, found: re.Match[str]) -> Quantity:
    state, reason = found["state"].lower(), (found["reason"] or "").strip()
    if not reason:
        message = (
            f"{found['state']!r} needs its reason, for example '{found['state']}: rule broken'"
        )
        raise ValueError(message)
    if state == "not measured":
        return column.quantity.not_measured(reason)
    return column.quantity.not_applicable(reason)


def _parsed(column: Column, typed: str, unit: str | None) -> Parsed:
    assert column.dimension is not None
    try:
        return parse(typed, column.dimension, unit)
    except InputError as fault:
        if fault.code in ("not-a-number", "empty"):
            blank = "" if column.required else ", or leave it blank"
            fault.message = f"{fault.message}, {_STATES}{blank}"
            raise fault from None
        raise


def _choice(column: Column, text: str) -> str:
    wanted = " ".join(text.split()).casefold()
    for choice in column.choices:
        if choice.casefold() == wanted:
            return choice
    near = difflib.get_close_matches(wanted, column.choices, 1, 0.6)
    hint = f"did you mean {near[0]!r}?" if near else "choose one"
    message = f"{text!r} is none of {', '.join(column.choices)}; {hint}"
    raise ValueError(message)


def _flag(_: Column, text: str) -> bool:
    if text.strip().casefold() not in _YES:
        message = f"{text!r} is neither yes nor no; write one of them"
        raise ValueError(message)
    return _YES[text.strip().casefold()]


def _integer(_: Column, text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", text.strip()):
        message = f"{text!r} is no whole number; write digits only"
        raise ValueError(message)
    return int(text)


def _date(_: Column, text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        message = f"{text!r} is no date; write year-month-day, for example 2024-05-01"
        raise ValueError(message) from None


def _names(_: Column, text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(";") if name.strip())


_READERS: dict[str, Any] = {
    "choice": _choice,
    "flag": _flag,
    "integer": _integer,
    "text": lambda _, text: text.strip(),
    "end": lambda _, text: End.parse(text),
    "signature": lambda _, text: Signature.parse(text),
    "date": _date,
    "names": _names,
}


def value_text(value: Any) -> str:
    """The text of a value that is not a quantity; None is blank."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(value)
    return value.isoformat() if isinstance(value, date) else str(value)


_ASCII = str.maketrans({"·": "*", "°": "deg", "²": "2", "³": "3", "⁴": "4", "Ω": "ohm"})


def ascii_unit(unit: str) -> str:
    """A unit in signs that every spreadsheet and keyboard has, where there is such a spelling."""
    spelled = unit.translate(_ASCII).replace(" ", "")
    return spelled if is_known(spelled) else unit


def _si_unit(dimension: Dimension) -> str:
    return next(one.symbol for one in units_of(dimension) if one.factor == 1 and not one.offset)


def number_text(si: float, dimension: Dimension, unit: str) -> tuple[str, str]:
    """The shortest text, and its unit, that reads back as exactly this number.

    Parameters
    ----------
    si : float
        The value in SI.
    dimension : Dimension
        Kind of quantity.
    unit : str
        Unit wanted; if no text in it reads back exactly, the SI unit is taken.

    Raises
    ------
    InputError
        If the number is too large or too small to be written.
    """
    value = to_unit(si, unit, dimension)
    for digits in range(1, 18):
        text = _plain(f"{value:.{digits}g}")
        if _reads_as(text, dimension, unit, si):
            return text, unit
    symbol = _si_unit(dimension)
    text = _plain(repr(si))
    if _reads_as(text, dimension, symbol, si):
        return text, symbol
    message = f"{si!r} is out of the range that can be written down"
    raise InputError(message, code="too-large")


def _plain(text: str) -> str:
    """Digits without an exponent where that stays short."""
    if "e" not in text:
        return text.removesuffix(".0")
    value = Fraction(text)
    if value.denominator == 1 and abs(value) < 10**15:
        return str(value.numerator)
    return text


def _reads_as(text: str, dimension: Dimension, unit: str, si: float) -> bool:
    try:
        return parse(text, dimension, unit or None).si == si
    except InputError:
        return False


def _typed_number(quantity: Quantity, dimension: Dimension, unit: str) -> tuple[str, str, str]:
    """Full text, bare number and its unit: as typed where that still holds, else shortest."""
    assert quantity.given is not None
    typed = quantity.typed
    if typed:
        try:
            parsed = parse(typed, dimension)
        except InputError:
            parsed = None
        if parsed is not None and parsed.si == quantity.given:
            number = _number_of(typed)
            return typed, number, parsed.unit
    number, symbol = number_text(quantity.given, dimension, unit)
    return f"{number} {ascii_unit(symbol)}".strip(), number, symbol


def _number_of(typed: str) -> str:
    """The number of ``31.42 ft`` alone; empty when the text is not number and unit."""
    words = typed.split(" ")
    if len(words) == 1:
        return typed if _BARE_NUMBER.fullmatch(typed) else ""
    for end in range(len(words) - 1, 0, -1):  # a unit may be of two words: °/100 ft
        number, unit = " ".join(words[:end]), " ".join(words[end:])
        if _BARE_NUMBER.fullmatch(number) and is_known(unit):
            return number
    return ""


def unit_of_text(quantity: Quantity, dimension: Dimension, unit: str) -> str:
    """The unit a given quantity is written in when ``unit`` is the usual one."""
    return _typed_number(quantity, dimension, unit)[2]


def quantity_text(
    quantity: Quantity, dimension: Dimension, unit: str, default_origin: str, *, bare: bool
) -> str:
    """The text of a quantity.

    Parameters
    ----------
    quantity : Quantity
        What to write.
    dimension : Dimension
        Kind of quantity.
    unit : str
        Unit of the heading, or the usual one.
    default_origin : str
        Origin that need not be written.
    bare : bool
        Whether a heading carries the unit, so that the number alone will do.
    """
    if quantity.is_blank:
        return ""
    if not quantity.is_given:
        state = "n/a" if quantity.state == "not applicable" else quantity.state
        return f"{state}: {quantity.reason}"
    text, number, symbol = _typed_number(quantity, dimension, unit)
    if bare and number and symbol == unit and _reads_as(number, dimension, unit, quantity.si):
        text = number
    origin = "" if quantity.origin == Origin.parse(default_origin or "unstated") else "@"
    return f"{text} {origin} {quantity.origin}" if origin else text


def same_meaning(column: Column, one: str, other: str, unit: str | None) -> bool:
    """Whether two texts of a cell say the same: ``31.40`` and ``31.4``."""
    if " ".join(one.split()) == " ".join(other.split()):
        return True
    if column.kind != "quantity" or not one.strip() or not other.strip():
        return False
    try:
        values = [read_cell(column, text, unit, "unstated").value for text in (one, other)]
    except (InputError, ValueError):
        return False
    return bool(values[0] == values[1])
