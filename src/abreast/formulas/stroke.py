"""The stroke of a telescoping piece: what is left to either end."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.formulas.guard import below, finite, not_negative, require

__all__ = ["StrokeLeft", "stroke_left"]


@dataclass(frozen=True, slots=True)
class StrokeLeft:
    """How far a piece set at some length is from its ends [m], and where in its stroke.

    ``opened_ratio`` is 0 closed, 1 open.
    """

    to_closed_m: float
    to_open_m: float
    from_middle_m: float
    opened_ratio: float

    @property
    def nearer_end_m(self) -> float:
        """Distance to the nearer end [m]."""
        return min(self.to_closed_m, self.to_open_m)


def stroke_left(length_m: float, closed_m: float, open_m: float) -> StrokeLeft:
    """What is left of the stroke of a union set at a length.

    Parameters
    ----------
    length_m : float
        Length it is set at, from closed to open [m].
    closed_m, open_m : float
        Lengths it adds when fully closed and fully open [m].

    Raises
    ------
    InputError
        ``out-of-range``: closed is not shorter than open, or the length is
        beyond an end: no union can be set there.

    Notes
    -----
    Differences of lengths.

    Examples
    --------
    >>> left = stroke_left(0.857, 0.74, 0.98)
    >>> round(left.to_closed_m, 3), round(left.to_open_m, 3), round(left.from_middle_m, 3)
    (0.117, 0.123, -0.003)
    """
    not_negative("closed_m", closed_m)
    finite("open_m", open_m)
    below("closed_m", closed_m, open_m, "the open length")
    inside = closed_m <= finite("length_m", length_m) <= open_m
    require(inside, "length_m", f"{length_m:g} must lie from {closed_m:g} to {open_m:g}")
    return StrokeLeft(
        to_closed_m=length_m - closed_m,
        to_open_m=open_m - length_m,
        from_middle_m=length_m - (closed_m + open_m) / 2,
        opened_ratio=(length_m - closed_m) / (open_m - closed_m),
    )
