"""Stiff tools in a bend of constant curvature: what passes unbent, and with which force."""

from __future__ import annotations

import math
from dataclasses import dataclass

from abreast.formulas.guard import below, not_negative, positive, require

__all__ = [
    "BentRod",
    "bend_side_force",
    "bent_rod",
    "longest_rigid_tool",
    "must_bend",
    "sagitta",
]


@dataclass(frozen=True, slots=True)
class BentRod:
    """How a stiff rod stands in a bend.

    Parameters
    ----------
    force_n : float
        Force of the inner wall on its middle; half of it stands at each end [N].
    moment_nm : float
        Greatest bending moment [N m].
    lies_m : float
        Length of its middle that lies on the inner wall; 0: it touches there in
        one place, or not at all [m].
    """

    force_n: float
    moment_nm: float
    lies_m: float


def longest_rigid_tool(bore_m: float, od_m: float, radius_m: float) -> float:
    r"""Longest rigid cylinder that lies in a bend [m]; infinite in a straight hole.

    Parameters
    ----------
    bore_m : float
        Bore of the bend, its drift for example [m].
    od_m : float
        Diameter of the tool, smaller than the bore [m].
    radius_m : float
        Radius of the axis of the bend; infinite: straight [m].

    Raises
    ------
    InputError
        ``out-of-range``: the tool is not smaller than the bore, or the radius is
        not larger than half the bore.

    Notes
    -----
    :math:`L = 2\sqrt{(D-d)(2R+d)}`: the chord of the outer wall that the tool
    makes while it touches the inner wall. Plane geometry; in space the plane case
    governs. A longer tool passes only if it bends.

    Examples
    --------
    8 in through 8.681 in at 3 degrees per 100 ft:

    >>> longest = longest_rigid_tool(8.681 * 0.0254, 8.0 * 0.0254, 22918.31 * 0.0254)
    >>> round(longest / 0.0254, 2)
    353.38
    """
    positive("bore_m", bore_m)
    not_negative("od_m", od_m)
    below("od_m", od_m, bore_m, "the bore")
    if math.isinf(radius_m) and radius_m > 0:
        return math.inf
    below("bore_m", bore_m / 2, positive("radius_m", radius_m), "the radius of the bend")
    return 2 * math.sqrt((bore_m - od_m) * (2 * radius_m + od_m))


def sagitta(length_m: float, curvature_rad_m: float) -> float:
    r"""Height of an arc over its chord [m].

    Parameters
    ----------
    length_m : float
        Length of the chord [m].
    curvature_rad_m : float
        Curvature of the arc, one over its radius [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: the chord is longer than the bend is wide.

    Notes
    -----
    :math:`R - \sqrt{R^2 - L^2/4}`, in a form that keeps its digits:
    :math:`\kappa L^2/4 / (1 + \sqrt{1 - (\kappa L/2)^2})`.

    Examples
    --------
    >>> round(sagitta(9.144, math.radians(3.07) / 30.48), 4)
    0.0184
    """
    positive("length_m", length_m)
    half = not_negative("curvature_rad_m", curvature_rad_m) * length_m / 2
    reason = f"{length_m:g} m is longer than a bend of that curvature is wide; check both"
    require(half <= 1, "length_m", reason)
    return half * length_m / 2 / (1 + math.sqrt(1 - half * half))


def must_bend(bore_m: float, od_m: float, length_m: float, curvature_rad_m: float) -> float:
    """How far a body must bend in a bend of even curvature; not above 0: it lies unbent [m].

    Parameters
    ----------
    bore_m, od_m : float
        Bore, and diameter of the body, smaller than it [m].
    length_m : float
        Length of the body [m].
    curvature_rad_m : float
        Curvature of the axis of the bend [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: the body is not smaller than the bore, the radius is not
        larger than half the bore, or the body is longer than the bend is wide.

    Notes
    -----
    Height of the outer wall, of radius R + D/2, over a chord of the body's
    length, less D - d. It is 0 for :func:`longest_rigid_tool`.

    Examples
    --------
    >>> longest = longest_rigid_tool(0.2205, 0.2032, 1000.0)
    >>> abs(must_bend(0.2205, 0.2032, longest, 1e-3)) < 1e-12
    True
    """
    positive("bore_m", bore_m)
    below("od_m", not_negative("od_m", od_m), bore_m, "the bore")
    turn = not_negative("curvature_rad_m", curvature_rad_m) * bore_m / 2
    require(turn < 1, "curvature_rad_m", "the bend is sharper than its bore allows; check both")
    return sagitta(length_m, curvature_rad_m / (1 + turn)) - (bore_m - od_m)


def bent_rod(ei_nm2: float, length_m: float, clearance_m: float, curvature_rad_m: float) -> BentRod:
    r"""Forces on a stiff rod that a bend of even curvature bends, its ends free.

    Parameters
    ----------
    ei_nm2 : float
        Bending stiffness EI [N m2].
    length_m : float
        Length of the rod [m].
    clearance_m : float
        Bore less diameter [m].
    curvature_rad_m : float
        Curvature of the bend [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: no clearance is left for a rod that must bend; nothing
        then bounds the force.

    Notes
    -----
    Small slopes, a rod of one stiffness. With three contacts
    :math:`F = 48 EI(\kappa L^2/8 - c)/L^3` and :math:`M = FL/4`, a simply
    supported beam (Roark; Timoshenko). That holds while the rod is less curved
    there than the bend, :math:`c \ge \kappa L^2/24`. A longer one lies on the
    inner wall up to a from each end: its curvature falls evenly from kappa to 0
    along a, so that it stands off :math:`\kappa a^2/6` at its end, which is c:

    .. math:: a = \sqrt{6c/\kappa}, \quad F = 2 EI\kappa/a, \quad M = EI\kappa

    whatever its length. Both agree where one turns into the other.

    Examples
    --------
    Of 8.36 m the middle 2.67 m lie on the bend; 4 m touch in three places:

    >>> rod = bent_rod(1.3e6, 8.36, 0.0026, 0.00193)
    >>> round(rod.force_n), round(rod.moment_nm), round(rod.lies_m, 2)
    (1765, 2509, 2.67)
    >>> bent_rod(1.3e6, 4.0, 0.0026, 0.00193).lies_m
    0.0
    """
    positive("ei_nm2", ei_nm2)
    not_negative("clearance_m", clearance_m)
    positive("length_m", length_m)
    arc_m = not_negative("curvature_rad_m", curvature_rad_m) * length_m**2 / 8
    if arc_m <= clearance_m:
        return BentRod(0.0, 0.0, 0.0)
    reason = "no clearance is left in a bend: nothing bounds the force; give the bore as it is"
    require(clearance_m > 0, "clearance_m", reason)
    if 3 * clearance_m >= arc_m:
        force_n = 48 * ei_nm2 * (arc_m - clearance_m) / length_m**3
        return BentRod(force_n, force_n * length_m / 4, 0.0)
    arm_m, moment_nm = math.sqrt(6 * clearance_m / curvature_rad_m), ei_nm2 * curvature_rad_m
    return BentRod(2 * moment_nm / arm_m, moment_nm, length_m - 2 * arm_m)


def bend_side_force(
    ei_nm2: float, length_m: float, clearance_m: float, curvature_rad_m: float
) -> float:
    """Force on the middle of a stiff rod that a bend bends [N]; 0 where it lies unbent.

    As :func:`bent_rod`.

    Examples
    --------
    >>> round(bend_side_force(1.3e6, 8.36, 0.0026, 0.00193))
    1765
    """
    return bent_rod(ei_nm2, length_m, clearance_m, curvature_rad_m).force_n
