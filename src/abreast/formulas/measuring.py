"""How well a measured string is known: tape, temperature, and the closure's error."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from abreast.formulas.guard import finite, not_negative, positive, require, within

__all__ = [
    "STEEL_EXPANSION_PER_K",
    "TAPE_STANDARD_K",
    "ClosureError",
    "ErrorTerm",
    "closure_error",
    "length_at_temperature",
    "tape_corrected_length",
    "thermal_expansion",
]

STEEL_EXPANSION_PER_K = 6.9e-6 * 1.8
"""6.9e-6 per degF: Lubinski, Althouse and Logan, JPT June 1962 (from memory)."""
TAPE_STANDARD_K = 293.15
"""Steel tapes are standardised at 68 degF, 20 degC (surveying practice)."""
# A length correction of more than this is a slip in the temperatures, not the sun.
_WIDEST_RISE_K = 500.0


@dataclass(frozen=True, slots=True)
class ErrorTerm:
    """One source of error in the closure.

    Parameters
    ----------
    spread_m : float
        Half-width of the error of one piece [m], 0 or more.
    count : int
        Pieces that have it.
    common : bool
        True if it is the same error on each of them (tape offset, wrong loss);
        it then adds up. False if it differs by chance from piece to piece.
    """

    spread_m: float
    count: int = 1
    common: bool = False

    def __post_init__(self) -> None:
        not_negative("spread_m", self.spread_m)
        require(self.count >= 1, "count", f"{self.count} must be 1 or more")

    @property
    def worst_m(self) -> float:
        """The largest error it can make, all pieces at the same end of their spread [m]."""
        return self.count * self.spread_m

    @property
    def likely_m(self) -> float:
        """Its part of the quadrature sum [m]."""
        return self.worst_m if self.common else math.sqrt(self.count) * self.spread_m


@dataclass(frozen=True, slots=True)
class ClosureError:
    """Error of the closure [m]: the chance of all adding up is small, but it is shown."""

    quadrature_m: float
    worst_m: float


def closure_error(terms: Sequence[ErrorTerm]) -> ClosureError:
    r"""Combine the errors of all pieces of both strings.

    Parameters
    ----------
    terms : sequence of ErrorTerm
        At least one.

    Returns
    -------
    ClosureError
        Root of the sum of squares, for independent errors, and the plain sum
        of all spreads, both [m].

    Raises
    ------
    InputError
        If there are no terms.

    Notes
    -----
    With a common spread counted as one error of n times its size,

    .. math:: q^2 = \sum_{chance} n_i s_i^2 + \sum_{common} (n_j s_j)^2 .

    JCGM 100:2008 (GUM) section 5, uncorrelated and fully correlated inputs. The
    result is as wide as the spreads are: with standard deviations it is one
    standard deviation, with limits it is not a limit.

    Examples
    --------
    Nine flanges of 0.06 in, six joints of 0.05 in and 0.25 in common: 0.33 in.

    >>> inch = 0.0254
    >>> terms = [ErrorTerm(0.06 * inch, 9), ErrorTerm(0.05 * inch, 6), ErrorTerm(0.25 * inch)]
    >>> round(closure_error(terms).quadrature_m / inch, 2)
    0.33
    """
    require(len(terms) > 0, "terms", "give at least one source of error")
    return ClosureError(
        quadrature_m=math.hypot(*(term.likely_m for term in terms)),
        worst_m=math.fsum(term.worst_m for term in terms),
    )


def thermal_expansion(
    length_m: float, rise_dk: float, expansion_per_k: float = STEEL_EXPANSION_PER_K
) -> float:
    """Growth of a free length that warms by ``rise_dk`` [m]; negative when it cools.

    Parameters
    ----------
    length_m : float
        Length before [m], 0 or more.
    rise_dk : float
        Change of temperature [K], within 500 K.
    expansion_per_k : float
        Coefficient of linear expansion [1/K].

    Notes
    -----
    alpha L dT. Steel varies by 5 % with alloy and temperature.

    Examples
    --------
    10,000 ft of steel, 20 degF: 16.56 in (Lubinski et al. 1962).

    >>> round(thermal_expansion(3048.0, 20 / 1.8) / 0.0254, 2)
    16.56
    """
    not_negative("length_m", length_m)
    within("rise_dk", rise_dk, -_WIDEST_RISE_K, _WIDEST_RISE_K)
    within("expansion_per_k", expansion_per_k, 0.0, 1e-3)
    return expansion_per_k * length_m * rise_dk


def length_at_temperature(
    length_m: float,
    measured_at_k: float,
    wanted_at_k: float,
    expansion_per_k: float = STEEL_EXPANSION_PER_K,
) -> float:
    """Length of a piece at another temperature than the one it was measured at [m].

    Examples
    --------
    A 32 m string measured in the sun at 45 degC, in the shade at 34 degC:

    >>> round(length_at_temperature(32.0, 318.15, 307.15), 4)
    31.9956
    """
    positive("measured_at_k", measured_at_k)
    positive("wanted_at_k", wanted_at_k)
    rise = wanted_at_k - measured_at_k
    return length_m + thermal_expansion(length_m, rise, expansion_per_k)


def tape_corrected_length(
    reading_m: float,
    tape_k: float,
    standard_k: float = TAPE_STANDARD_K,
    expansion_per_k: float = STEEL_EXPANSION_PER_K,
) -> float:
    """True length behind a tape reading, the tape being warm or cold [m].

    A warm tape is too long and reads short. The result is the length of the
    pipe at the temperature that the pipe has; a steel tape as warm as the pipe
    needs no correction if both are to be compared at the tape's standard
    temperature.

    Parameters
    ----------
    reading_m : float
        What the tape reads [m].
    tape_k, standard_k : float
        Temperature of the tape, and the one it is right at [K].
    expansion_per_k : float
        Of the tape [1/K].

    Notes
    -----
    L (1 + alpha (T - T0)), the temperature correction of plane surveying. Pull
    and sag of the tape are not covered.

    Examples
    --------
    >>> round(tape_corrected_length(30.0, 313.15), 4)
    30.0075
    """
    finite("reading_m", reading_m)
    return length_at_temperature(reading_m, standard_k, tape_k, expansion_per_k)
