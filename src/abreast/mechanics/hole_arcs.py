"""Points of the surveyed hole, and how far its arcs stand off a straight rod."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from abreast.formulas.path_frame import PathFrame, path_frame
from abreast.formulas.survey import Position

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["HoleArcs", "hole_arcs"]

_POINTS = 25


@dataclass(frozen=True, slots=True)
class HoleArcs:
    """The arcs of a survey, for many chords at once; made by :func:`hole_arcs`.

    Parameters
    ----------
    path : PathFrame
        Directions and curvature.
    station_m : array
        Places of the stations, north, east, down [m].
    """

    path: PathFrame
    station_m: Array

    def places_m(self, md_m: Array) -> Array:
        """Points of the arcs at depths of the survey, any shape: north, east, down [m]."""
        import numpy as np

        path = self.path
        number = np.clip(np.searchsorted(path.md_m, md_m, side="right") - 1, 0, len(path.axis) - 1)
        along = md_m - path.md_m[number]
        bend = path.severity_rad_m[number]
        bent = bend > 0
        angle, safe = bend * along, np.where(bent, bend, 1.0)
        ahead = np.where(bent, np.sin(angle) / safe, along)[..., None]
        aside = np.where(bent, 2 * np.sin(angle / 2) ** 2 / safe, 0.0)[..., None]
        tangent = path.tangent[number]
        inward = np.cross(path.axis[number], tangent)
        found: Array = self.station_m[number] + ahead * tangent + aside * inward
        return found

    def heights_m(self, top_md_m: Array, length_m: float) -> Array:
        """Greatest distance of the arcs from the chord of each length [m].

        Parameters
        ----------
        top_md_m : array
            Depths at which the lengths begin, all of them in the survey [m].
        length_m : float
            Measured length of each [m].
        """
        import numpy as np

        points = self.places_m(top_md_m[:, None] + length_m * np.linspace(0, 1, _POINTS))
        chord = points[:, -1] - points[:, 0]
        off = np.cross(points - points[:, :1], chord[:, None])
        away: Array = np.linalg.norm(off, axis=-1).max(axis=1) / np.linalg.norm(chord, axis=-1)
        return away


def hole_arcs(known: Sequence[Position]) -> HoleArcs:
    """The arcs between stations as :func:`abreast.formulas.survey.positions` gives them.

    Raises
    ------
    InputError
        ``out-of-range``: fewer than two stations.
    """
    import numpy as np

    return HoleArcs(path_frame(known), np.array([one.place_m for one in known]))
