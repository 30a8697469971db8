"""The sheet: its size, its columns, and where a height lies on it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import sqrt
from typing import Literal

from abreast.errors import InputError

__all__ = ["PAPERS", "HeightMap", "Paper", "Sheet", "round_scale", "sheet_of"]

Paper = Literal["A4", "A3"]
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "A3": (297.0, 420.0)}
"""Width and height, upright [mm] (ISO 216)."""

# Scales people have a rule for, or can halve one for; times a power of ten.
_SCALES = (1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0, 7.5)


def round_scale(least: float) -> float:
    """The smallest round scale 1:n that is not larger than 1:least.

    Examples
    --------
    >>> round_scale(163.0), round_scale(80.0), round_scale(175.0)
    (175.0, 100.0, 175.0)
    """
    power = 1.0
    while power * 10 <= least:
        power *= 10
    steps = [power * step for step in (*_SCALES, 10.0)]
    return next(step for step in steps if step >= least * (1 - 1e-9))


@dataclass(frozen=True, slots=True)
class Sheet:
    """Columns of the sheet [mm]; A3 is A4 with everything larger by one factor."""

    paper: Paper
    factor: float
    margin_mm: float
    top_mm: float
    bottom_mm: float
    ruler_mm: float
    esp_mm: float
    bypass_mm: float
    windows_mm: float
    left_mm: tuple[float, float]
    right_mm: tuple[float, float]

    @property
    def width_mm(self) -> float:
        """Width of the paper."""
        return PAPERS[self.paper][0]

    @property
    def height_mm(self) -> float:
        """Height of the paper."""
        return PAPERS[self.paper][1]


def sheet_of(paper: Paper) -> Sheet:
    """The columns of a sheet.

    Raises
    ------
    InputError
        If the paper is none of ours.
    """
    if paper not in PAPERS:
        message = f"paper {paper!r} is not known; choose one of {', '.join(PAPERS)}"
        raise InputError(message, code="paper")
    f = 1.0 if paper == "A4" else sqrt(2)
    return Sheet(
        paper=paper,
        factor=f,
        margin_mm=7 * f,
        top_mm=30 * f,
        bottom_mm=PAPERS[paper][1] - 42 * f,
        ruler_mm=19 * f,
        esp_mm=104 * f,
        bypass_mm=119 * f,
        windows_mm=125 * f,
        left_mm=(33 * f, 91 * f),
        right_mm=(136 * f, 203 * f),
    )


_FLOORS = 0.6
"""Share of the paper that least heights may take up; the rest shows lengths."""
_TIGHTEST = 0.6
"""Share of the wanted least height below which the string needs a further sheet."""
_SAME_M = 1e-6


def _distinct(knots_m: Iterable[float]) -> list[float]:
    found: list[float] = []
    for knot in sorted(knots_m):
        if not found or knot - found[-1] > _SAME_M:
            found.append(knot)
    return found


def _common_scale(lengths_m: Sequence[float], floors_mm: Sequence[float], room_mm: float) -> float:
    """The mm per m with which stretches, none below its floor, fill the room."""
    low, high = 0.0, room_mm / sum(lengths_m)
    for _ in range(60):
        s = (low + high) / 2
        used = sum(max(f, s * m) for f, m in zip(floors_mm, lengths_m, strict=True))
        low, high = (s, high) if used < room_mm else (low, s)
    return high


@dataclass(frozen=True, slots=True)
class HeightMap:
    """Where a height lies on paper: straight between knots, lowest first.

    Parameters
    ----------
    heights_m, y_mm : sequence of float
        Heights rising, and their places on paper, which fall.
    scale : float
        The n of 1:n between the last two knots, which are drawn to scale.
    broken_m : float or None
        Height below which the drawing is not to scale; None: all is to scale.
    true_mm_per_m : float
        Where short parts are stretched, what one scale for all would draw: parts
        drawn smaller are marked. 0: nothing is stretched.
    """

    heights_m: tuple[float, ...]
    y_mm: tuple[float, ...]
    scale: float
    broken_m: float | None
    true_mm_per_m: float = 0.0

    @property
    def is_stretched(self) -> bool:
        """Whether short parts are drawn larger than to scale."""
        return self.true_mm_per_m > 0

    def longest_m(self, low_m: float, high_m: float) -> tuple[float, float]:
        """The longest stretch between neighbouring knots within two heights [m]."""
        inner = [one for one in self.heights_m if low_m < one < high_m]
        return max(pairwise((low_m, *inner, high_m)), key=lambda ends: ends[1] - ends[0])

    def y(self, height_m: float) -> float:
        """Place on paper of a height [mm]; beyond the ends the nearest stretch goes on."""
        last = len(self.heights_m) - 2
        at = min(max(bisect_right(self.heights_m, height_m) - 1, 0), last)
        low, high = self.heights_m[at : at + 2]
        below, above = self.y_mm[at : at + 2]
        return below + (height_m - low) * (above - below) / (high - low)

    @classmethod
    def fitted(
        cls,
        top_m: float,
        bottom_m: float,
        tail_m: Sequence[float],
        room_mm: tuple[float, float],
        step_mm: float,
    ) -> HeightMap:
        """The map that fills the paper.

        Parameters
        ----------
        top_m, bottom_m : float
            Ends of what must be to scale [m].
        tail_m : sequence of float
            Heights of the tail's joints below, lowest first, without ``bottom_m`` [m].
        room_mm : (float, float)
            Top and bottom of the paper it may use.
        step_mm : float
            Height on paper of each tail piece when the tail is drawn broken.
        """
        low_m = tail_m[0] if tail_m else bottom_m
        whole = (top_m - low_m) / (room_mm[1] - room_mm[0])
        if (bottom_m - low_m) <= 0.15 * (top_m - low_m):
            return cls._straight(low_m, top_m, room_mm, whole)
        broken_mm = min(step_mm * len(tail_m), 0.35 * (room_mm[1] - room_mm[0]))
        room = room_mm[0], room_mm[1] - broken_mm
        main = cls._straight(bottom_m, top_m, room, (top_m - bottom_m) / (room[1] - room[0]))
        foot_mm, each = main.y_mm[0], broken_mm / len(tail_m)
        tail_mm = [foot_mm + each * (len(tail_m) - n) for n in range(len(tail_m))]
        heights = (*tail_m, *main.heights_m)
        return cls(heights, (*tail_mm, *main.y_mm), main.scale, bottom_m)

    @classmethod
    def stretched(
        cls, knots_m: Iterable[float], room_mm: tuple[float, float], least_mm: float, most: float
    ) -> HeightMap:
        """The map that fills the paper with short stretches drawn large enough to read.

        Parameters
        ----------
        knots_m : iterable of float
            Heights between which the map is straight, in any order; at least two.
        room_mm : (float, float)
            Top and bottom of the paper it may use.
        least_mm : float
            Least height on paper of a stretch between knots.
        most : float
            Greatest paper per length of stretches so enlarged [mm/m], so that
            slivers don't eat the sheet.

        Raises
        ------
        InputError
            If so many stretches leave too little paper for each.

        Notes
        -----
        Each stretch gets the larger of its floor and s times its length, one s
        for all, found by bisection so that their sum is the room.
        """
        heights = _distinct(knots_m)
        lengths = [high - low for low, high in pairwise(heights)]
        room = room_mm[1] - room_mm[0]
        floors = [min(least_mm, most * length) for length in lengths]
        shrink = min(1.0, _FLOORS * room / sum(floors))
        if shrink < _TIGHTEST:
            message = f"{len(lengths)} stretches of the string are too many for the sheet"
            raise InputError(message, code="labels-do-not-fit")
        s = _common_scale(lengths, [shrink * floor for floor in floors], room)
        drawn = [
            max(shrink * floor, s * length) for floor, length in zip(floors, lengths, strict=True)
        ]
        y_mm = list(accumulate((-one for one in drawn), initial=room_mm[0] + sum(drawn)))
        linear = room / (heights[-1] - heights[0])
        is_stretched = s < linear * (1 - 1e-6)
        return cls(tuple(heights), tuple(y_mm), 1000 / s, None, linear if is_stretched else 0.0)

    @classmethod
    def _straight(
        cls, low_m: float, top_m: float, room_mm: tuple[float, float], m_per_mm: float
    ) -> HeightMap:
        scale = round_scale(m_per_mm * 1000)
        used_mm = (top_m - low_m) * 1000 / scale
        return cls((low_m, top_m), (room_mm[0] + used_mm, room_mm[0]), scale, None)
