"""What hangs in the hole for the hook load: pieces, fluids, and what holds them back."""

from __future__ import annotations

import math
from dataclasses import dataclass

from abreast.formulas.guard import not_negative, positive, require, within
from abreast.formulas.lifting import STEEL_DENSITY_KG_M3
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["Drag", "Fluids", "StringItem"]


@dataclass(frozen=True, slots=True)
class StringItem:
    """One piece of the string.

    Parameters
    ----------
    name : str
        Its id.
    length_m : float
        Length it adds [m].
    mass_kg : float
        Mass in air of the whole piece, connections and cable included [kg].
    bore_m : float
        Bore that fluid can fill; 0: none [m].
    clamps : int
        Cable clamps on it.
    own_drag : bool
        Its drag comes from an analysis of its own; the soft string counts its
        friction only where that drag is not known.
    """

    name: str
    length_m: float
    mass_kg: float
    bore_m: float = 0.0
    clamps: int = 0
    own_drag: bool = False

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        not_negative("mass_kg", self.mass_kg)
        not_negative("bore_m", self.bore_m)
        require(self.clamps >= 0, "clamps", f"{self.clamps} must not be below 0")


@dataclass(frozen=True, slots=True)
class Fluids:
    """What stands outside and inside the string; above its level there is no weight.

    Parameters
    ----------
    outside_kg_m3, inside_kg_m3 : float
        Densities [kg/m3].
    outside_level_md_m, inside_level_md_m : float
        Measured depths of the levels; infinite: empty [m].
    steel_kg_m3 : float
        Density that turns mass into displaced volume [kg/m3].
    """

    outside_kg_m3: float = 0.0
    inside_kg_m3: float = 0.0
    outside_level_md_m: float = -math.inf
    inside_level_md_m: float = -math.inf
    steel_kg_m3: float = STEEL_DENSITY_KG_M3

    def __post_init__(self) -> None:
        not_negative("outside_kg_m3", self.outside_kg_m3)
        not_negative("inside_kg_m3", self.inside_kg_m3)
        positive("steel_kg_m3", self.steel_kg_m3)
        for name in ("outside_level_md_m", "inside_level_md_m"):
            require(not math.isnan(getattr(self, name)), name, "must be a depth")

    def weight_n_m(self, item: StringItem, md_m: float) -> float:
        """Effective weight per length of an item at a depth [N/m].

        The metal takes the volume of its mass, couplings included:
        w = m + rho_i A_i - rho_o (A_i + m / rho_steel).
        """
        mass = item.mass_kg / item.length_m
        bore_m2 = math.pi / 4 * item.bore_m**2
        inside = self.inside_kg_m3 if md_m > self.inside_level_md_m else 0.0
        outside = self.outside_kg_m3 if md_m > self.outside_level_md_m else 0.0
        displaced = outside * (bore_m2 + mass / self.steel_kg_m3)
        return GRAVITY_M_S2 * (mass + inside * bore_m2 - displaced)


@dataclass(frozen=True, slots=True)
class Drag:
    """What holds the string back; the user's own figures.

    Parameters
    ----------
    friction_ratio : float
        Friction factor of string on casing, 0 to 1.
    twin_n : float or None
        Drag of the twin string from its own analysis, picking up and slacking
        off; None: not counted [N]. It is spread over the items with a drag of
        their own, which then have no other; without such items it acts at the
        bottom.
    clamp_n : float or None
        Allowance for each cable clamp; None: not counted [N].
    twin_up_n : float or None
        Drag of the twin picking up, where it is another [N].
    """

    friction_ratio: float
    twin_n: float | None = None
    clamp_n: float | None = None
    twin_up_n: float | None = None

    def __post_init__(self) -> None:
        within("friction_ratio", self.friction_ratio, 0.0, 1.0)
        not_negative("twin_n", self.twin_n or 0.0)
        not_negative("clamp_n", self.clamp_n or 0.0)
        not_negative("twin_up_n", self.twin_up_n or 0.0)

    @property
    def twin_ways_n(self) -> tuple[float, float] | None:
        """Drag of the twin picking up and slacking off; None: not known [N]."""
        if self.twin_n is None:
            return None
        return (self.twin_n if self.twin_up_n is None else self.twin_up_n), self.twin_n

    @property
    def not_counted(self) -> tuple[str, ...]:
        """Which drags are left out, in words."""
        left = []
        if self.twin_ways_n is None:
            left.append("drag of the twin string: not counted")
        if self.clamp_n is None:
            left.append("drag of cable clamps: not counted")
        return tuple(left)
