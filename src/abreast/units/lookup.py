"""From what a person wrote to a row of the unit table."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from abreast.errors import InputError
from abreast.units.table import UNITS, Dimension, Unit

__all__ = ["is_known", "unit_named", "unit_of_any", "units_of"]

_QUOTES = str.maketrans("‘’′`“”″", "''''\"\"\"")
_DEGREE = re.compile(r"deg\.?\s*(?=[^a-z]|$|[fc]\b)|[º˚]", re.IGNORECASE)
# One sign or a blank between two parts of a unit; two signs (**) are not a unit.
_JOINT = re.compile(r"(?<=[^\W\d_]|[²³⁴)])\s*[·⋅∙•×*.\-\s]\s*(?=[^\W\d_]|[°(])")
_LOOSE = re.compile(r"(?<=[°0-9/()])\s+|\s+(?=[/()])|\^")


def _key(written: str) -> str:
    """A spelling without the differences that carry no meaning; case is kept."""
    text = _DEGREE.sub("°", written.strip().translate(_QUOTES)).removesuffix(".")
    text = _JOINT.sub("·", text)
    text = unicodedata.normalize("NFKC", _LOOSE.sub("", text))
    return text.replace("\N{GREEK CAPITAL LETTER OMEGA}", "ohm")


def _fold(key: str, unit: Unit) -> str:
    return key[:1] + key[1:].casefold() if unit.strict else key.casefold()


def _index() -> dict[tuple[Dimension, str], Unit]:
    found: dict[tuple[Dimension, str], Unit] = {}
    for unit in UNITS:
        for written in (unit.symbol, *unit.spellings):
            for key in (_key(written), _key(written).replace("·", "")):
                found.setdefault((unit.dimension, _fold(key, unit)), unit)
    return found


_FOUND = _index()


def units_of(dimension: Dimension) -> tuple[Unit, ...]:
    """The units a quantity of this kind may be written in, commonest first."""
    return tuple(unit for unit in UNITS if unit.dimension is dimension)


def is_known(written: str) -> bool:
    """Whether some quantity can be written in this unit."""
    return any(_find(written, dimension) for dimension in Dimension)


def unit_of_any(written: str) -> Unit:
    """The unit for the first kind of quantity that knows it; ``°F`` is a temperature.

    Raises
    ------
    InputError
        ``unknown-unit`` if no kind of quantity can be written in it.
    """
    for dimension in Dimension:
        if unit := _find(written, dimension):
            return unit
    message = f"unit {written.strip()!r} is not known"
    raise InputError(message, code="unknown-unit")


@lru_cache(maxsize=1024)
def _find(written: str, dimension: Dimension) -> Unit | None:
    key = _key(written)
    strict = _FOUND.get((dimension, key[:1] + key[1:].casefold()))
    if strict is not None:
        return strict
    unit = _FOUND.get((dimension, key.casefold()))
    return None if unit is not None and unit.strict else unit


def unit_named(written: str, dimension: Dimension) -> Unit:
    """The unit a person wrote, for a quantity of a known kind.

    Case, blanks and the sign between parts do not matter (``LBF-FT`` is
    lbf·ft), save where case tells mega from milli.

    Parameters
    ----------
    written : str
        As typed, for example ``deg/100 ft``.
    dimension : Dimension
        The kind of quantity the field holds.

    Raises
    ------
    InputError
        ``unknown-unit`` or ``wrong-dimension``, naming the units that do.

    Examples
    --------
    >>> unit_named("FT-LB", Dimension.TORQUE).symbol
    'lbf·ft'
    """
    unit = _find(written, dimension)
    if unit is not None:
        return unit
    others = [kind.value for kind in Dimension if _find(written, kind)]
    good = _names(unit.symbol for unit in units_of(dimension))
    if others:
        message = f"{written.strip()!r} is a unit of {others[0]}, not of {dimension.value}; {good}"
        raise InputError(message, code="wrong-dimension")
    message = f"{written.strip()!r} is not a unit of {dimension.value}; {good}"
    raise InputError(message, code="unknown-unit")


def _names(symbols: Iterable[str]) -> str:
    named = [symbol for symbol in symbols if symbol]
    if not named:
        return "write a plain number"
    return "write " + " or ".join([", ".join(named[:-1]), named[-1]] if named[:-1] else named)
