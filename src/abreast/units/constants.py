"""SI values of the customary units that published formulas are written in."""

from __future__ import annotations

from abreast.units.printing import to_si

__all__ = ["FOOT_M", "GRAVITY_M_S2", "INCH_M", "LBF_FT_NM", "LBF_N", "LB_KG", "PSI_PA"]

INCH_M = to_si(1.0, "in")
FOOT_M = to_si(1.0, "ft")
LB_KG = to_si(1.0, "lb")
LBF_N = to_si(1.0, "lbf")
LBF_FT_NM = to_si(1.0, "lbf·ft")
PSI_PA = to_si(1.0, "psi")
GRAVITY_M_S2 = to_si(1.0, "kgf")
"""Standard gravity: the weight of one kilogram in newtons."""
