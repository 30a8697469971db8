"""Lengths, bores and weights of joints of pipe.

Sizes are nominal unless the caller has measured them. Tolerances of new pipe
are wide (wall -12.5 %, API Spec 5CT), so a figure from here is a figure from
the table, not from the rack.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from abreast.formulas.guard import below, not_negative, positive, require
from abreast.units.constants import INCH_M

__all__ = [
    "EffectiveLength",
    "OverallLength",
    "PipeKind",
    "bore_area",
    "drift_diameter",
    "drift_mandrel_length",
    "effective_length",
    "inside_diameter",
    "plain_end_weight",
    "second_moment",
    "steel_area",
    "string_length",
    "wall_of_plain_end_weight",
]

PipeKind = Literal["casing", "tubing"]

# Millimetre tables round diameters to 0.1 mm; a size must not change its class by that.
_ROUNDING_M = 0.0001
# kg/m per mm2 of (D - t) t, as API Spec 5CT prints it; 1e6 mm2 in a square metre.
_PLAIN_END = 0.0246615e6


@dataclass(frozen=True, slots=True, order=True)
class OverallLength:
    """What the tape reads from end to end [m]; it does not add up along a string."""

    m: float

    def __post_init__(self) -> None:
        positive("overall_m", self.m)


@dataclass(frozen=True, slots=True, order=True)
class EffectiveLength:
    """What a piece adds to the string once it is made up [m]."""

    m: float

    def __post_init__(self) -> None:
        positive("effective_m", self.m)

    def __add__(self, other: EffectiveLength) -> EffectiveLength:
        if type(other) is not EffectiveLength:
            return NotImplemented
        return EffectiveLength(self.m + other.m)


def effective_length(overall: OverallLength, make_up_loss_m: float) -> EffectiveLength:
    """What one piece adds to the string: overall length less make-up loss.

    Parameters
    ----------
    overall : OverallLength
        Measured end to end [m].
    make_up_loss_m : float
        Length lost in the thread, from the connection's data sheet or measured
        on the rig [m]; 0 for a face-to-face flanged piece.

    Returns
    -------
    EffectiveLength
        [m].

    Raises
    ------
    InputError
        If the loss is negative or not shorter than the piece.

    Notes
    -----
    API RP 5C1 tally practice (from memory): length from coupling face to pin
    end, less the make-up loss.

    Examples
    --------
    >>> round(effective_length(OverallLength(9.577), 0.062).m, 6)
    9.515
    """
    not_negative("make_up_loss_m", make_up_loss_m)
    below("make_up_loss_m", make_up_loss_m, overall.m, "the overall length")
    return EffectiveLength(overall.m - make_up_loss_m)


def string_length(pieces: Iterable[EffectiveLength]) -> float:
    """Length of a made-up string [m]: the sum of effective lengths, 0 of none.

    Examples
    --------
    >>> string_length([EffectiveLength(9.5), EffectiveLength(3.0)])
    12.5
    """
    return math.fsum(piece.m for piece in pieces)


def inside_diameter(od_m: float, wall_m: float) -> float:
    """Bore of a plain pipe, d = D - 2t.

    Parameters
    ----------
    od_m, wall_m : float
        Outside diameter and wall thickness [m]; the wall under half of it.

    Returns
    -------
    float
        [m].

    Examples
    --------
    9-5/8 in 47 lb/ft casing, in inches 8.681:

    >>> round(inside_diameter(9.625 * 0.0254, 0.472 * 0.0254) / 0.0254, 3)
    8.681
    """
    positive("od_m", od_m)
    positive("wall_m", wall_m)
    below("wall_m", wall_m, od_m / 2, "half of od_m")
    return od_m - 2 * wall_m


def drift_diameter(od_m: float, bore_m: float, kind: PipeKind) -> float:
    """API drift diameter: the bore less the allowance of its size class.

    This is the standard drift. A special drift is larger and holds only for
    pipe that was ordered and drifted to it; it is not computed here.

    Parameters
    ----------
    od_m, bore_m : float
        Outside and inside diameter [m].
    kind : {"casing", "tubing"}
        Which of the two tables the pipe belongs to.

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        If the bore is not smaller than the pipe, or the pipe is outside the
        range of the table: tubing 1.050 to 4-1/2 in, casing 4-1/2 to 20 in.

    Notes
    -----
    API Spec 5CT / ISO 11960, drift requirements: tubing to 2-7/8 in 3/32 in,
    above 1/8 in; casing under 9-5/8 in 1/8 in, to 13-3/8 in 5/32 in, above
    3/16 in.

    Examples
    --------
    >>> round(drift_diameter(9.625 * 0.0254, 8.681 * 0.0254, "casing") / 0.0254, 3)
    8.525
    """
    positive("od_m", od_m)
    positive("bore_m", bore_m)
    below("bore_m", bore_m, od_m, "od_m")
    allowance, _ = _drift_class(od_m, kind)
    drift = bore_m - allowance
    require(drift > 0, "bore_m", f"{bore_m:g} leaves no drift after the allowance")
    return drift


def drift_mandrel_length(od_m: float, kind: PipeKind) -> float:
    """Length of the drift mandrel for a size class [m].

    Notes
    -----
    API Spec 5CT: tubing 42 in; casing under 9-5/8 in 6 in, from 9-5/8 in up 12 in.

    Examples
    --------
    >>> round(drift_mandrel_length(2.875 * 0.0254, "tubing") / 0.0254)
    42
    """
    return _drift_class(od_m, kind)[1]


_Row = tuple[float, float, float]
# kind: (least OD, ((OD up to and including, allowance, mandrel length), ...)), inches.
# The casing class "under 9-5/8" is closed just short of that size.
_DRIFT_CLASSES: dict[str, tuple[float, tuple[_Row, ...]]] = {
    "tubing": (1.050, ((2.875, 3 / 32, 42), (4.5, 1 / 8, 42))),
    "casing": (4.5, ((9.61, 1 / 8, 6), (13.375, 5 / 32, 12), (20.0, 3 / 16, 12))),
}


def _drift_class(od_m: float, kind: PipeKind) -> tuple[float, float]:
    """Allowance and mandrel length [m] of a size."""
    require(kind in _DRIFT_CLASSES, "kind", f"{kind!r} must be casing or tubing")
    least, classes = _DRIFT_CLASSES[kind]
    largest = classes[-1][0]
    in_range = least * INCH_M - _ROUNDING_M <= od_m <= largest * INCH_M + _ROUNDING_M
    span = f"API {kind} runs from {least * INCH_M:.5g} to {largest * INCH_M:.5g} m"
    require(in_range, "od_m", f"{od_m:g} is not in the table; {span}")
    allowance, mandrel = next(row[1:] for row in classes if od_m <= row[0] * INCH_M + _ROUNDING_M)
    return allowance * INCH_M, mandrel * INCH_M


def plain_end_weight(od_m: float, wall_m: float) -> float:
    """Mass per length of pipe without its ends [kg/m].

    Parameters
    ----------
    od_m, wall_m : float
        Outside diameter and wall thickness [m]; the wall under half of it.

    Returns
    -------
    float
        [kg/m]. Nominal weights count threads and couplings and are 1 to 7 %
        higher; they name a pipe, they do not weigh it.

    Notes
    -----
    API Spec 5CT: 0.0246615 (D - t) t with D and t in mm (10.69 in US units),
    which is steel of 7850 kg/m3.

    Examples
    --------
    4-1/2 in, wall 0.250 in: 11.36 lb/ft.

    >>> round(plain_end_weight(4.5 * 0.0254, 0.25 * 0.0254) * 0.3048 / 0.45359237, 2)
    11.36
    """
    inside_diameter(od_m, wall_m)
    return _PLAIN_END * (od_m - wall_m) * wall_m


def wall_of_plain_end_weight(od_m: float, weight_kg_m: float) -> float:
    """Wall thickness that gives a plain-end mass per length [m].

    The inverse of :func:`plain_end_weight`: the smaller root of
    :math:`t^2 - D t + w/c = 0`, in the form that keeps its digits for thin pipe.

    Raises
    ------
    InputError
        If the mass is more than that of a solid bar of that diameter.

    Examples
    --------
    >>> w = plain_end_weight(0.2444, 0.012)
    >>> round(wall_of_plain_end_weight(0.2444, w), 9)
    0.012
    """
    positive("od_m", od_m)
    q = positive("weight_kg_m", weight_kg_m) / _PLAIN_END
    root = od_m * od_m - 4 * q
    heavy = f"{weight_kg_m:g} is more than a solid bar of od_m weighs"
    require(root > 0, "weight_kg_m", heavy)
    return 2 * q / (od_m + math.sqrt(root))


def steel_area(od_m: float, bore_m: float) -> float:
    """Cross-section of the steel [m2].

    Examples
    --------
    2-7/8 in 6.5 lb/ft tubing, 1.812 in2:

    >>> round(steel_area(2.875 * 0.0254, 2.441 * 0.0254) / 0.0254**2, 3)
    1.812
    """
    positive("od_m", od_m)
    positive("bore_m", bore_m)
    below("bore_m", bore_m, od_m, "od_m")
    return math.pi / 4 * (od_m - bore_m) * (od_m + bore_m)


def bore_area(bore_m: float) -> float:
    """Cross-section of the bore [m2].

    Examples
    --------
    >>> round(bore_area(0.1), 6)
    0.007854
    """
    return math.pi / 4 * positive("bore_m", bore_m) ** 2


def second_moment(od_m: float, bore_m: float) -> float:
    """Second moment of area of the steel about a diameter [m4]; twice it is the polar one.

    Examples
    --------
    2-7/8 in 6.5 lb/ft tubing, 1.611 in4:

    >>> round(second_moment(2.875 * 0.0254, 2.441 * 0.0254) / 0.0254**4, 3)
    1.611
    """
    return steel_area(od_m, bore_m) * (od_m**2 + bore_m**2) / 16
