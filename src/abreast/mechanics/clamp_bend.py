"""What bends ask of clamps that grip: two strings tied together are of unequal length there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import not_negative, positive
from abreast.formulas.path_frame import PathFrame
from abreast.mechanics.twin_beam import TwinBeam

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["BESIDE_A_CONTACT", "bend_at_clamps_n", "holds_m", "tied_force_n"]

BESIDE_A_CONTACT = 1.5
"""How much sharper than its hole a string may bend beside a contact: a beam on three contacts
in an even bend, M = 3/2 EI kappa over the middle one (three-moment equation)."""


def tied_force_n(
    esp_ea_n: float, bypass_ea_n: float, spacing_m: float, dogleg_rad_m: float
) -> float:
    """Pull of one string and push of the other where a bend is passed by two that can't slide.

    Parameters
    ----------
    esp_ea_n, bypass_ea_n : float
        Axial stiffness EA of both [N].
    spacing_m : float
        Distance of their axes [m].
    dogleg_rad_m : float
        Curvature of the hole, in the plane of both axes [rad/m].

    Notes
    -----
    F = d κ / (1/EA1 + 1/EA2): the axial part of a section of two bars that
    bends as one (parallel axis theorem).

    Examples
    --------
    3 deg/30 m, axes 112 mm apart:

    >>> import math
    >>> round(tied_force_n(6.0e8, 2.4e8, 0.112, math.radians(3) / 30))
    33510
    """
    positive("esp_ea_n", esp_ea_n)
    positive("bypass_ea_n", bypass_ea_n)
    not_negative("spacing_m", spacing_m)
    return spacing_m * dogleg_rad_m / (1 / esp_ea_n + 1 / bypass_ea_n)


@dataclass(frozen=True, slots=True)
class _Hold:
    """A place at which the bypass can't slide along the ESP side."""

    at_m: float
    name: str


def bend_at_clamps_n(
    twin: TwinBeam, path: PathFrame, zero_md_m: Sequence[float], spacing_m: float
) -> dict[str, Array]:
    """Force that each clamp which grips hands over in the bends if nothing slips, by name [N].

    Parameters
    ----------
    twin : TwinBeam
        Both strings and what joins them.
    path : PathFrame
        Course of the hole.
    zero_md_m : sequence of float
        Depths of the zero of the strings [m].
    spacing_m : float
        Distance of the axes of both strings [m].

    Returns
    -------
    dict
        An array of one force for each depth, at the worst roll.

    Notes
    -----
    Both strings follow the hole. Room lets them straighten, and ask less; beside a
    contact a string turns more than the hole, at most by :data:`BESIDE_A_CONTACT`.
    Between two holds the strings differ in length by the distance of their
    axes times the turn of the hole; Hooke's law. A clamp hands over what the
    forces above and below it differ by.
    """
    import numpy as np

    holds = _holds(twin)
    depths = np.asarray(zero_md_m, dtype=float)
    at_m = np.array([one.at_m for one in holds])
    tangents = path.at(depths[:, None] + at_m).tangent
    nothing = np.zeros((len(depths), 3))
    between = [
        spacing_m * (tangents[:, k + 1] - tangents[:, k]) / _flexibility(twin, at_m[k], at_m[k + 1])
        for k in range(len(holds) - 1)
    ]
    around = [nothing, *between, nothing]
    return {
        one.name: np.linalg.norm(around[k] - around[k + 1], axis=1)
        for k, one in enumerate(holds)
        if one.name
    }


def holds_m(twin: TwinBeam) -> list[float]:
    """Where the bypass can't slide along the ESP side, from the zero of the strings [m]."""
    return [one.at_m for one in _holds(twin)]


def _holds(twin: TwinBeam) -> list[_Hold]:
    """Clamps that grip, and the ends that hold: the Y-tool unless a union can move."""
    rigid_m = twin.rigid_m
    held = twin.union == "locked" or len(rigid_m) == 1
    ends = rigid_m if held else rigid_m[1:]
    found = [_Hold(at_m, "") for at_m in ends]
    found += [_Hold(one.at_m, one.name) for one in twin.links if one.grips]
    return sorted(found, key=lambda one: one.at_m)


def _flexibility(twin: TwinBeam, top_m: float, bottom_m: float) -> float:
    """Stretch of both strings between two depths under a force [m/N]."""
    return sum(
        max(0.0, min(one.bottom_m, bottom_m) - max(one.top_m, top_m)) / one.ea_n
        for string in twin.strings
        for one in string.segments
    )
