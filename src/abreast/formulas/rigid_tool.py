"""Stiff tools in a bend of constant curvature: what passes unbent, and with which force."""

from __future__ import annotations

import math

from abreast.formulas.guard import below, not_negative, positive

__all__ = ["bend_side_force", "longest_rigid_tool", "sagitta"]


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
    """Height of an arc over its chord, as kappa L^2 / 8 [m].

    Parameters
    ----------
    length_m : float
        Length of the chord [m].
    curvature_rad_m : float
        Curvature of the arc [rad/m].

    Notes
    -----
    Right to 1 % while the arc turns less than 35 degrees.

    Examples
    --------
    >>> round(sagitta(9.144, math.radians(3.07) / 30.48), 4)
    0.0184
    """
    return (
        not_negative("curvature_rad_m", curvature_rad_m) * positive("length_m", length_m) ** 2 / 8
    )


def bend_side_force(
    ei_nm2: float, length_m: float, clearance_m: float, curvature_rad_m: float
) -> float:
    r"""Force in the middle of a stiff body that a bend bends, ends on the wall [N].

    Parameters
    ----------
    ei_nm2 : float
        Bending stiffness EI [N m2].
    length_m : float
        Length of the body [m].
    clearance_m : float
        Bore less diameter [m].
    curvature_rad_m : float
        Curvature of the bend [rad/m].

    Returns
    -------
    float
        0 where the body lies in the bend unbent.

    Notes
    -----
    :math:`F = 48 EI (\kappa L^2/8 - c)/L^3`, a simply supported beam (Roark;
    Timoshenko). It touches in three places only while its own curvature there,
    :math:`12(\kappa L^2/8 - c)/L^2`, stays below that of the bend; beyond, the
    body follows the bend over a length and the figure is approximate.

    Examples
    --------
    A 5.4 in motor of 27.4 ft in a 3.07 degrees per 100 ft bend:

    >>> round(bend_side_force(2.0e6, 8.36, 0.0056, math.radians(3.07) / 30.48))
    1603
    """
    positive("ei_nm2", ei_nm2)
    not_negative("clearance_m", clearance_m)
    needed_m = sagitta(length_m, curvature_rad_m) - clearance_m
    return 48 * ei_nm2 * max(needed_m, 0.0) / length_m**3
