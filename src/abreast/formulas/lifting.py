"""Loads in slings, and steel in fluid: elementary statics."""

from __future__ import annotations

import math

from abreast.formulas.guard import below, finite, not_negative, positive, require, within

__all__ = ["LEAST_SLING_ANGLE_RAD", "buoyancy_factor", "sling_leg_load"]

LEAST_SLING_ANGLE_RAD = math.radians(30.0)
STEEL_DENSITY_KG_M3 = 7850.0
"""490 lb/ft3, 65.5 ppg: the steel of the handbooks."""


def sling_leg_load(load_n: float, legs: int, angle_rad: float) -> float:
    """Tension in one leg of an even bridle sling [N].

    Parameters
    ----------
    load_n : float
        Weight lifted, with any dynamic factor already in it [N].
    legs : int
        Legs that carry: 1 to 4. Of a stiff three- or four-leg bridle without
        an equaliser only two carry; say so here.
    angle_rad : float
        Angle of a leg above the horizontal, 30 to 90 degrees [rad].

    Raises
    ------
    InputError
        Below 30 degrees: such a lift needs its own engineering (ASME B30.9).

    Notes
    -----
    W / (n sin beta), ASME B30.9 sling charts.

    Examples
    --------
    >>> round(sling_leg_load(20_000, 2, math.radians(60)))
    11547
    """
    not_negative("load_n", load_n)
    require(legs in (1, 2, 3, 4), "legs", f"{legs} must be 1, 2, 3 or 4")
    # Thirty degrees typed in degrees may come out one rounding below the limit.
    require(
        finite("angle_rad", angle_rad) >= LEAST_SLING_ANGLE_RAD * (1 - 1e-12),
        "angle_rad",
        f"{math.degrees(angle_rad):.1f} degrees is too flat; legs below 30 degrees above the"
        " horizontal need engineering of their own",
    )
    within("angle_rad", angle_rad, 0.0, math.pi / 2)
    return load_n / (legs * math.sin(angle_rad))


def buoyancy_factor(fluid_kg_m3: float, steel_kg_m3: float = STEEL_DENSITY_KG_M3) -> float:
    """Share of its weight in air that a submerged open-ended string keeps.

    Parameters
    ----------
    fluid_kg_m3, steel_kg_m3 : float
        Densities [kg/m3], the fluid lighter. The same fluid inside and
        outside.

    Notes
    -----
    1 - rho_fluid / rho_steel. Above the fluid level the factor is 1, not this.

    Examples
    --------
    >>> round(buoyancy_factor(1030.5), 3)
    0.869
    """
    not_negative("fluid_kg_m3", fluid_kg_m3)
    positive("steel_kg_m3", steel_kg_m3)
    below("fluid_kg_m3", fluid_kg_m3, steel_kg_m3, "the density of the steel")
    return 1 - fluid_kg_m3 / steel_kg_m3
