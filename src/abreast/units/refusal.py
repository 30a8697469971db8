"""Why a text is no quantity, said so that the person knows what to write instead."""

from __future__ import annotations

import re

from abreast.errors import InputError
from abreast.units.lookup import units_of
from abreast.units.table import Dimension, Unit

__all__ = ["example_of", "looks_otherwise", "refuse_text"]

_NOT_VALUES = frozenset(
    (
        *("-", "--", "---", ".", "?", "??", "*", "x", "n/a", "na", "n.a.", "nil", "none", "null"),
        *("nan", "inf", "ok", "good", "pass", "fail", "yes", "no", "tbc", "tba", "tbd"),
    )
)
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE = re.compile(
    rf"[0-9]{{4}}-[0-9]{{1,2}}-[0-9]{{1,2}}.*|[0-9]{{1,2}}([./-])[0-9]{{1,2}}\1[0-9]{{2,4}}.*"
    rf"|[0-9]{{1,2}}[ .-]?{_MONTH}.*|{_MONTH}[ .-]?[0-9]{{1,4}}.*",
    re.IGNORECASE,
)
_DASHED = re.compile(r"([0-9]{1,5})\s*(?:[-'’′]|ft|feet)\s*([0-9]{1,2})", re.IGNORECASE)


def looks_otherwise(text: str) -> bool:
    """Whether the text is a date, or feet and inches without their marks."""
    return bool(_DATE.fullmatch(text) or _DASHED.fullmatch(text))


def refuse_text(typed: str, dimension: Dimension, declared: Unit | None) -> InputError:
    """The error for a text that could not be read as a quantity of this kind."""
    code, reason = _reason(typed, dimension)
    unit = f" {declared.symbol}" if declared is not None and declared.symbol else ""
    hint = _hint(dimension, unit)
    return InputError(f"{reason}; {hint}", code=code)


def _reason(typed: str, dimension: Dimension) -> tuple[str, str]:
    if not typed:
        return "empty", f"no value where a {dimension.value} is needed"
    if typed.casefold() in _NOT_VALUES:
        return (
            "not-a-number",
            f"{typed!r} is not a value (say not measured, and why, if it was not)",
        )
    if typed[0] in "<>≤≥~≈":
        return "bound", f"{typed!r} is a bound, not a value"
    dashed = _DASHED.fullmatch(typed)
    if dashed and dimension is Dimension.LENGTH:
        return "feet-inches", _feet_inches_reason(typed, *map(int, dashed.groups()))
    if _DATE.fullmatch(typed) or dashed:
        return "date", f"{typed!r} looks like a date, or was made one by a spreadsheet"
    return "not-a-number", f"{typed!r} cannot be read as a {dimension.value}"


def _feet_inches_reason(typed: str, feet: int, inches: int) -> str:
    may_be = "feet and inches, or a date" if "-" in typed else "feet and inches"
    if inches >= 12:
        return f"{typed!r} cannot be read as a length"
    return f"{typed!r} may be {may_be}; if feet and inches are meant write {feet} ft {inches} in"


def _hint(dimension: Dimension, unit: str) -> str:
    if dimension is Dimension.LENGTH:
        return "a length is written 31.42 ft, 31 ft 5 1/16 in, 9 5/8 in or 9.577 m"
    if dimension in (Dimension.COUNT, Dimension.RATIO):
        return "write a plain number, for example 0.25"
    return f"write one number{' in' + unit if unit else ' and its unit'}"


def example_of(dimension: Dimension) -> str:
    """One quantity of this kind as it may be written."""
    examples = {
        Dimension.LENGTH: "31.42 ft or 9.577 m",
        Dimension.TEMPERATURE: "176 °F or 80 °C",
        Dimension.DENSITY: "8.6 ppg or 1030 kg/m³",
    }
    return examples.get(dimension, f"1.5 {units_of(dimension)[0].symbol}".strip())
