"""Numbers that read well and are yet likely to be in the wrong unit: to be asked, never mended."""

from __future__ import annotations

import re
from collections.abc import Iterable

from abreast.units.lookup import unit_named, units_of
from abreast.units.printing import to_si
from abreast.units.table import Dimension

__all__ = ["fitting_unit", "may_be_feet_dot_inches"]

_TWO_DECIMALS = re.compile(r"\s*[0-9]+\.([0-9]{2})\s*(?:ft)?\s*")
# By chance two decimals are all under 12 once in 5,000 columns of four, less in longer ones.
_FEWEST = 4
_CLOSE = 0.03


def may_be_feet_dot_inches(texts: Iterable[str]) -> bool:
    """Whether a column of lengths may mean feet and inches by its decimal point.

    ``31.05`` for 31 ft 5 in gives itself away only as a column: no two decimals
    ever reach 12. Common practice, no source.

    Parameters
    ----------
    texts : iterable of str
        The cells as typed; empty ones are passed over.

    Returns
    -------
    bool
        True if at least four cells have two decimals, none of them is 12 or
        more, not all of them are the same, and no cell is written otherwise.

    Examples
    --------
    >>> may_be_feet_dot_inches(["31.05", "30.11", "31.00", "29.10"])
    True
    >>> may_be_feet_dot_inches(["31.05", "30.11", "31.42", "29.10"])
    False
    """
    found = [_TWO_DECIMALS.fullmatch(text) for text in texts if text.strip()]
    decimals = [match[1] for match in found if match]
    if len(decimals) < max(_FEWEST, len(found)):
        return False
    return all(int(two) < 12 for two in decimals) and len(set(decimals)) > 1


def fitting_unit(value: float, unit: str, dimension: Dimension, expected_si: float) -> str | None:
    """The unit in which a number would be what is expected, when in its own it is not.

    Parameters
    ----------
    value : float
        The number as typed.
    unit : str
        The unit it was taken in.
    dimension : Dimension
        The kind of quantity.
    expected_si : float
        What such a piece usually has, in SI; above 0.

    Returns
    -------
    str or None
        Symbol of the other unit; None when the number fits as it is, within
        3 %, or fits no unit.

    Examples
    --------
    A pup listed as 10.04 m, its nominal length being 3.05 m:

    >>> fitting_unit(10.04, "m", Dimension.LENGTH, 3.05)
    'ft'
    """
    if _fits(to_si(value, unit, dimension), expected_si):
        return None
    own = unit_named(unit, dimension)
    others = (other for other in units_of(dimension) if other is not own)
    fits = (o.symbol for o in others if _fits(to_si(value, o.symbol, dimension), expected_si))
    return next(fits, None)


def _fits(si: float, expected_si: float) -> bool:
    return abs(si - expected_si) <= _CLOSE * abs(expected_si)
