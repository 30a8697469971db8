"""A frame that goes down the hole without turning about it: directions, sides, curvature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, sin
from typing import TYPE_CHECKING, Any

from abreast.formulas.guard import require
from abreast.formulas.survey import Position
from abreast.units import in_both

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["Frame", "PathFrame", "path_frame"]

# A dogleg below this has no plane that rounding does not choose [rad].
_STRAIGHT_RAD = 1e-12
_EDGE_M = 1e-6


@dataclass(frozen=True, slots=True)
class Frame:
    """Frames at many depths; each array has the shape of the depths, and 3 for north, east, down.

    Parameters
    ----------
    tangent, side, across : array
        Unit vectors: down the hole, and two square to it. Looking down the
        hole ``across`` lies a quarter turn clockwise of ``side``.
    """

    tangent: Array
    side: Array
    across: Array

    def turned(self, angle_rad: Array | float) -> Frame:
        """The frame turned clockwise about the hole, looking down it."""
        import numpy as np

        c, s = (np.asarray(f(angle_rad))[..., None] for f in (np.cos, np.sin))
        return Frame(self.tangent, c * self.side + s * self.across, c * self.across - s * self.side)

    def high_side(self) -> Array:
        """Angle of the high side from ``side``, clockwise [rad]; of north in a vertical hole."""
        import numpy as np

        upwards = -np.stack((self.side[..., 2], self.across[..., 2]))
        north = np.stack((self.side[..., 0], self.across[..., 0]))
        steep = np.hypot(*upwards) > 1e-9
        x, y = np.where(steep, upwards, north)
        angle: Array = np.arctan2(y, x)
        return angle


@dataclass(frozen=True, slots=True)
class PathFrame:
    """The frame at every survey station, and the arcs between them; see :func:`path_frame`."""

    md_m: Array
    tangent: Array
    side: Array
    axis: Array
    severity_rad_m: Array

    def at(self, md_m: Array) -> Frame:
        """The frames at depths of the survey, any shape [m].

        Raises
        ------
        InputError
            ``out-of-range``: a depth is beyond the survey; nothing is extrapolated.
        """
        import numpy as np

        low, high = float(self.md_m[0]), float(self.md_m[-1])
        inside = bool(np.all((md_m >= low - _EDGE_M) & (md_m <= high + _EDGE_M)))
        if not inside:
            reason = f"the survey goes from {in_both(low)} to {in_both(high)}, not further"
            require(False, "md_m", reason)
        number = np.clip(np.searchsorted(self.md_m, md_m, side="right") - 1, 0, len(self.axis) - 1)
        angle = self.severity_rad_m[number] * (md_m - self.md_m[number])
        tangent = _rotated(self.tangent[number], self.axis[number], angle)
        side = _rotated(self.side[number], self.axis[number], angle)
        return Frame(tangent, side, np.cross(tangent, side))


def path_frame(known: Sequence[Position]) -> PathFrame:
    r"""The rotation-minimising frame of a hole whose intervals are circular arcs.

    Parameters
    ----------
    known : sequence of Position
        Survey stations as :func:`abreast.formulas.survey.positions` gives them, two or more.

    Returns
    -------
    PathFrame
        It begins with ``side`` to the north, as far as that is square to the hole.

    Raises
    ------
    InputError
        ``out-of-range``: fewer than two stations.

    Notes
    -----
    Along an arc the frame is turned about the axis of the arc only, by the
    angle of the arc, and so never about the hole itself (Bishop 1975: the frame
    with the least turning). Unlike high side and right side it is defined in a
    vertical hole and does not spin near one.

    Examples
    --------
    A quarter circle due north turns what was north to point up:

    >>> import math, numpy as np
    >>> from abreast.formulas.survey import Station, positions
    >>> path = path_frame(positions([Station(0, 0, 0), Station(90, math.pi / 2, 0)]))
    >>> frame = path.at(np.array([90.0]))
    >>> [round(float(value), 6) + 0.0 for value in (*frame.tangent[0], *frame.side[0])]
    [1.0, 0.0, 0.0, 0.0, 0.0, -1.0]
    """
    import numpy as np

    from abreast.formulas.survey import direction

    require(len(known) > 1, "stations", "give at least two stations")
    md_m = np.array([one.station.md_m for one in known])
    tangent = np.array([direction(one.station) for one in known])
    axis = np.cross(tangent[:-1], tangent[1:])
    half = np.linalg.norm(np.diff(tangent, axis=0), axis=1) / 2
    angle = 2 * np.arcsin(np.minimum(half, 1.0))
    length = np.linalg.norm(axis, axis=1)
    bent = angle > _STRAIGHT_RAD
    axis = np.where(bent[:, None], axis / np.where(bent, length, 1.0)[:, None], 0.0)
    angle = np.where(bent, angle, 0.0)
    first = np.array([1.0, 0.0, 0.0]) - tangent[0, 0] * tangent[0]
    if np.linalg.norm(first) < 1e-6:  # the hole begins northwards
        first = np.array([0.0, 1.0, 0.0]) - tangent[0, 1] * tangent[0]
    side = np.array(_carried(first / np.linalg.norm(first), axis, angle))
    return PathFrame(md_m, tangent, side, axis, angle / np.diff(md_m))


def _carried(first: Array, axis: Array, angle: Array) -> list[tuple[float, float, float]]:
    """A vector turned about one axis after the other: on floats, for arrays of three are slow."""
    x, y, z = first.tolist()
    found = [(x, y, z)]
    for (a, b, c), turn in zip(axis.tolist(), angle.tolist(), strict=True):
        if a or b or c:
            cosine, sine = cos(turn), sin(turn)
            along = (1 - cosine) * (a * x + b * y + c * z)
            x, y, z = (
                cosine * x + sine * (b * z - c * y) + along * a,
                cosine * y + sine * (c * x - a * z) + along * b,
                cosine * z + sine * (a * y - b * x) + along * c,
            )
        found.append((x, y, z))
    return found


def _rotated(vector: Array, axis: Array, angle: Array) -> Array:
    """Rodrigues' rotation; a zero axis leaves the vector as it is."""
    import numpy as np

    c, s = np.cos(angle)[..., None], np.sin(angle)[..., None]
    along = np.sum(axis * vector, axis=-1, keepdims=True) * axis
    straight = ~np.any(axis, axis=-1, keepdims=True)
    turned: Array = c * vector + s * np.cross(axis, vector) + (1 - c) * along
    return np.where(straight, vector, turned)
