"""Refusing numbers outside the range of a formula, with the argument and the bound named."""

from __future__ import annotations

import math

from abreast.errors import InputError, Where

__all__ = ["below", "finite", "not_negative", "positive", "require", "within"]


def require(holds: bool, name: str, reason: str) -> None:
    """Refuse an argument unless the condition on it holds.

    Raises
    ------
    InputError
        ``out-of-range``; the place is the argument's name, the message says
        what its value must be.
    """
    if not holds:
        raise InputError(reason, code="out-of-range", where=Where(field=name))


def finite(name: str, value: float) -> float:
    """The value, if it is a number."""
    require(math.isfinite(value), name, f"{value} must be a finite number")
    return value


def positive(name: str, value: float) -> float:
    """The value, if it is above zero."""
    require(finite(name, value) > 0, name, f"{value:g} must be above 0")
    return value


def not_negative(name: str, value: float) -> float:
    """The value, if it is not below zero."""
    require(finite(name, value) >= 0, name, f"{value:g} must not be below 0")
    return value


def within(name: str, value: float, low: float, high: float) -> float:
    """The value, if it lies from ``low`` to ``high``."""
    inside = low <= finite(name, value) <= high
    require(inside, name, f"{value:g} must lie from {low:g} to {high:g}")
    return value


def below(name: str, value: float, limit: float, what: str) -> float:
    """The value, if it is below a limit that another argument sets."""
    inside = finite(name, value) < limit
    require(inside, name, f"{value:g} must be below {what} ({limit:g})")
    return value
