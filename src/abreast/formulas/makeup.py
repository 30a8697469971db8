"""Make-up of threaded connections: length lost, torque to apply, torque of a tong."""

from __future__ import annotations

import math
from dataclasses import dataclass

from abreast.formulas.guard import below, positive, require, within
from abreast.formulas.tubulars import steel_area
from abreast.units.constants import INCH_M, LBF_FT_NM, PSI_PA

__all__ = [
    "API_STANDOFF_M",
    "TorqueWindow",
    "eight_round_optimum_torque",
    "make_up_loss",
    "tong_torque",
    "torque_window",
]

API_STANDOFF_M = 0.5 * INCH_M
"""Pin end to the middle of the coupling, power tight: J of API Spec 5B."""


def make_up_loss(coupling_length_m: float, standoff_m: float = API_STANDOFF_M) -> float:
    """Length a coupled API tubing joint loses in the thread when power tight [m].

    Parameters
    ----------
    coupling_length_m : float
        Length NL of the coupling [m].
    standoff_m : float
        Pin end to the middle of the coupling, J [m]; 1/2 in for EUE and NUE.

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        If the stand-off is not under half of the coupling.

    Notes
    -----
    NL/2 - J, API Specs 5CT and 5B (from memory; equals the thread length L4 of
    5B for every tubing size). Premium and semi-flush connections have no
    coupling of this kind: their loss is on the maker's sheet. A loss measured
    on the rig overrides this one.

    Examples
    --------
    2-7/8 in EUE, coupling 5-1/4 in: 2-1/8 in.

    >>> make_up_loss(5.25 * 0.0254) / 0.0254
    2.125
    """
    half = positive("coupling_length_m", coupling_length_m) / 2
    positive("standoff_m", standoff_m)
    below("standoff_m", standoff_m, half, "half of coupling_length_m")
    return half - standoff_m


@dataclass(frozen=True, slots=True)
class TorqueWindow:
    """Least, best and greatest make-up torque [N·m]."""

    minimum_nm: float
    optimum_nm: float
    maximum_nm: float

    def __post_init__(self) -> None:
        positive("minimum_nm", self.minimum_nm)
        ordered = self.minimum_nm <= self.optimum_nm <= self.maximum_nm
        require(
            ordered,
            "optimum_nm",
            f"{self.optimum_nm:g} must lie between minimum and maximum torque",
        )

    def with_compound(self, friction_factor: float) -> TorqueWindow:
        """The window for a thread compound that is not the reference one.

        Parameters
        ----------
        friction_factor : float
            Of the compound against the reference compound (1.0), 0.5 to 2;
            from the compound's sheet.

        Notes
        -----
        Multiplying is written down for rotary-shouldered connections (API RP
        7G practice); for tubing threads it is what compound makers state. Ask
        the maker.

        Examples
        --------
        >>> TorqueWindow(900, 1000, 1100).with_compound(0.9).optimum_nm
        900.0
        """
        within("friction_factor", friction_factor, 0.5, 2.0)
        torques = (self.minimum_nm, self.optimum_nm, self.maximum_nm)
        return TorqueWindow(*(torque * friction_factor for torque in torques))

    def holds(self, torque_nm: float) -> bool:
        """Whether a torque lies inside the window, its ends included."""
        return self.minimum_nm <= torque_nm <= self.maximum_nm


def torque_window(optimum_nm: float) -> TorqueWindow:
    """Window about an optimum torque of API round thread: 75 to 125 per cent.

    Notes
    -----
    API RP 5C1 (from memory); the printed limits are rounded to 10 ft·lbf.

    Examples
    --------
    >>> torque_window(1000)
    TorqueWindow(minimum_nm=750.0, optimum_nm=1000, maximum_nm=1250.0)
    """
    positive("optimum_nm", optimum_nm)
    return TorqueWindow(0.75 * optimum_nm, optimum_nm, 1.25 * optimum_nm)


def eight_round_optimum_torque(
    end_od_m: float,
    bore_m: float,
    thread_length_m: float,
    yield_pa: float,
    ultimate_pa: float,
) -> float:
    r"""Optimum make-up torque of 8-round external-upset tubing [N·m].

    One per cent of the pull-out strength of the round thread, a force in lbf
    read as a torque in ft·lbf.

    Parameters
    ----------
    end_od_m, bore_m : float
        Outside diameter of the upset and bore of the pipe [m].
    thread_length_m : float
        Length L4 of the thread [m].
    yield_pa, ultimate_pa : float
        Minimum yield and ultimate strength of the grade [Pa].

    Returns
    -------
    float
        [N·m], for the reference compound.

    Raises
    ------
    InputError
        If a size is not positive or the thread leaves no steel.

    Notes
    -----
    With D the upset diameter, L = L4 - 0.534 in, and the area
    Ajp = pi/4 ((D - 0.1425)^2 - d^2) of inches,

    .. math::

        T = 0.01 \cdot 0.95 A_{jp} L \left[\frac{0.74 D^{-0.59} U_p}{0.5 L + 0.14 D}
            + \frac{Y_p}{L + 0.14 D}\right]

    API Bul 5C3 joint strength of round thread, with the 1 % rule of API RP
    5C1 (both from memory). It gives all 22 rows of the table in
    ``abreast.standards`` within 6 ft·lbf. It is here to check that table and
    for sizes that it lacks.

    Examples
    --------
    2-7/8 in 6.5 lb/ft L80, printed 2,250 ft·lbf:

    >>> inch, psi = 0.0254, 6894.757
    >>> torque = eight_round_optimum_torque(
    ...     3.094 * inch, 2.441 * inch, 2.125 * inch, 80e3 * psi, 95e3 * psi
    ... )
    >>> round(torque / 1.355818)
    2252
    """
    od, bore = positive("end_od_m", end_od_m) / INCH_M, bore_m / INCH_M
    engaged = positive("thread_length_m", thread_length_m) / INCH_M - 0.534
    require(engaged > 0, "thread_length_m", f"{thread_length_m:g} must be above 0.534 in (0.01356)")
    area = steel_area((od - 0.1425) * INCH_M, bore * INCH_M) / INCH_M**2
    ultimate = positive("ultimate_pa", ultimate_pa) / PSI_PA * 0.74 / math.pow(od, 0.59)
    strength = ultimate / (0.5 * engaged + 0.14 * od)
    strength += positive("yield_pa", yield_pa) / PSI_PA / (engaged + 0.14 * od)
    return 0.01 * 0.95 * area * engaged * strength * LBF_FT_NM


def tong_torque(line_pull_n: float, arm_m: float, angle_rad: float = math.pi / 2) -> float:
    """Torque that a tong gives: line pull times arm times the sine between them [N·m].

    Parameters
    ----------
    line_pull_n : float
        Pull in the tong line [N].
    arm_m : float
        Length of the tong arm, pipe axis to line [m].
    angle_rad : float
        Angle between arm and line, above 0 to pi/2 [rad].

    Notes
    -----
    Statics. A line that is not at a right angle gives less torque than the
    gauge says: 3.4 % less at 75 degrees.

    Examples
    --------
    >>> round(tong_torque(5000, 0.9, math.radians(75)), 1)
    4346.7
    """
    positive("line_pull_n", line_pull_n)
    positive("arm_m", arm_m)
    positive("angle_rad", angle_rad)
    within("angle_rad", angle_rad, 0.0, math.pi / 2)
    return line_pull_n * arm_m * math.sin(angle_rad)
