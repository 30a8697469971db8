"""The twin string as beams in a round hole: strings, discs, links; see docs/theory/passing.md.

Coordinate ``a`` runs down the hole, its zero anywhere. A cross-section has the
casing axis as origin, x from the ESP side to the bypass, y clockwise of it
looking down. SI throughout; tension is positive.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from abreast.formulas.guard import finite, not_negative, positive, require

__all__ = [
    "BeamSegment",
    "BeamString",
    "Disc",
    "DiscKind",
    "Held",
    "Link",
    "LinkKind",
    "TwinBeam",
    "Union",
]

DiscKind = Literal["body", "neck", "coupling", "cable", "guard", "clamp", "block"]
LinkKind = Literal["clamp", "stiff", "rigid"]
Union = Literal["free", "locked"]
_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class BeamSegment:
    """A length of one string with the same section.

    Parameters
    ----------
    name : str
        What it is.
    top_m, bottom_m : float
        Its ends along the hole [m].
    ei_nm2 : float
        Bending stiffness EI [N m2].
    weight_n_m : float
        Weight in air per length [N/m].
    buoyant_ratio : float
        Share of that weight which is left where it hangs in fluid.
    ea_n : float
        Axial stiffness EA [N]; only a locked union asks for it.
    x_m : float
        Its axis across the section [m].
    modulus_m3 : float or None
        Section modulus, for the bending stress [m3]; None: no stress is told.
    kind : str
        What sort of segment: ``body``, ``neck``, ``block``, ``tubing``.
    area_m2 : float or None
        Area of its steel, for the stress of pull [m2]; None: bending alone is told.
    """

    name: str
    top_m: float
    bottom_m: float
    ei_nm2: float
    weight_n_m: float = 0.0
    buoyant_ratio: float = 1.0
    ea_n: float = 1e12
    x_m: float = 0.0
    modulus_m3: float | None = None
    kind: str = "body"
    area_m2: float | None = None

    def __post_init__(self) -> None:
        reason = f"{self.name}: its lower end must lie below its upper end"
        require(finite("bottom_m", self.bottom_m) > finite("top_m", self.top_m), "bottom_m", reason)
        positive("ei_nm2", self.ei_nm2)
        positive("ea_n", self.ea_n)
        not_negative("weight_n_m", self.weight_n_m)
        finite("x_m", self.x_m)
        if self.modulus_m3 is not None:
            positive("modulus_m3", self.modulus_m3)
        if self.area_m2 is not None:
            positive("area_m2", self.area_m2)


@dataclass(frozen=True, slots=True)
class Disc:
    """A round part of a string that can touch the casing.

    Parameters
    ----------
    at_m : float
        Depth of its upper end [m].
    x_m, y_m, radius_m : float
        Its place across the section, and its radius [m].
    name : str
        What it is.
    kind : str
        What sort of part.
    length_m : float
        How far down it goes [m]: it can touch at every node on the way.
    """

    at_m: float
    x_m: float
    y_m: float
    radius_m: float
    name: str
    kind: DiscKind = "body"
    length_m: float = 0.0

    def __post_init__(self) -> None:
        for field in ("at_m", "x_m", "y_m"):
            finite(field, getattr(self, field))
        not_negative("radius_m", self.radius_m)
        not_negative("length_m", self.length_m)

    @property
    def bottom_m(self) -> float:
        """Depth of its lower end [m]."""
        return self.at_m + self.length_m


@dataclass(frozen=True, slots=True)
class BeamString:
    """One string: its segments top to bottom with no gap, and its discs."""

    name: str
    segments: tuple[BeamSegment, ...]
    discs: tuple[Disc, ...] = ()

    def __post_init__(self) -> None:
        require(bool(self.segments), "segments", f"{self.name}: give at least one segment")
        for upper, lower in pairwise(self.segments):
            gap_m = abs(lower.top_m - upper.bottom_m)
            reason = f"{self.name}: {lower.name} must begin where {upper.name} ends"
            require(gap_m <= _SAME_M, "segments", reason)
        for disc in self.discs:
            inside = self.top_m - _SAME_M <= disc.at_m and disc.bottom_m <= self.bottom_m + _SAME_M
            require(inside, "discs", f"{self.name}: {disc.name} lies beyond the string")

    @property
    def top_m(self) -> float:
        """Its upper end [m]."""
        return self.segments[0].top_m

    @property
    def bottom_m(self) -> float:
        """Its lower end [m]."""
        return self.segments[-1].bottom_m


@dataclass(frozen=True, slots=True)
class Link:
    """Where both strings go sideways together.

    Parameters
    ----------
    at_m : float
        Depth [m].
    kind : {"clamp", "stiff", "rigid"}
        ``clamp`` joins them sideways only, ``stiff`` in slope too; ``rigid`` is
        Y-tool or base support, which also passes on axial force.
    play_m : float
        Diametral play of a clamp [m].
    name : str
        What it is.
    grips : bool
        A clamp that does not let the bypass slide along the ESP side: it hands
        over what drags on it.
    """

    at_m: float
    kind: LinkKind
    play_m: float = 0.0
    name: str = ""
    grips: bool = False

    def __post_init__(self) -> None:
        finite("at_m", self.at_m)
        not_negative("play_m", self.play_m)
        loose = self.play_m > 0 and self.kind != "clamp"
        require(not loose, "play_m", "only a clamp that joins sideways alone can have play")


@dataclass(frozen=True, slots=True)
class Held:
    """A point of a string that stays on the casing axis, and with ``slope`` parallel to it."""

    string: int
    at_m: float
    slope: bool = False


@dataclass(frozen=True, slots=True)
class TwinBeam:
    """One or two strings, what joins them, and where they are held.

    Parameters
    ----------
    strings : tuple of BeamString
        The first runs all along: tubing above, ESP side, tail. The second, the
        bypass, runs beside a part of it.
    links : tuple of Link
        Joints of both; of a rigid pair the upper is the Y-tool.
    held : tuple of Held
        Points on the casing axis.
    union : {"free", "locked"}
        Whether the two lines between two rigid links can slide in length.
    misfit_m : float
        Of a locked union: how much too short the bypass is at no force, once the
        ESP side carries all that hangs [m].
    """

    strings: tuple[BeamString, ...]
    links: tuple[Link, ...] = ()
    held: tuple[Held, ...] = ()
    union: Union = "free"
    misfit_m: float = 0.0

    def __post_init__(self) -> None:
        require(len(self.strings) in (1, 2), "strings", "give one or two strings")
        require(bool(self.held), "held", "hold at least one point of a string")
        for one in self.held:
            known = 0 <= one.string < len(self.strings)
            require(known, "held", f"there is no string {one.string + 1}")
            string = self.strings[one.string]
            on_it = string.top_m - _SAME_M <= one.at_m <= string.bottom_m + _SAME_M
            require(on_it, "held", f"{one.at_m:g} m is not on {string.name}")
        self._check_links()
        finite("misfit_m", self.misfit_m)

    def _check_links(self) -> None:
        rigid = sorted(link.at_m for link in self.links if link.kind == "rigid")
        require(len(rigid) <= 2, "links", "at most two links are rigid: Y-tool and base support")
        require(not self.links or len(self.strings) == 2, "links", "a link joins two strings")
        for link in self.links:
            for string in self.strings:
                inside = string.top_m - _SAME_M <= link.at_m <= string.bottom_m + _SAME_M
                require(inside, "links", f"a link at {link.at_m:g} m is not on {string.name}")
        if self.union == "locked":
            require(len(rigid) == 2, "union", "a locked union needs both ends of both lines joined")
        if len(self.strings) == 2:
            main, bypass = self.strings
            along = main.top_m <= bypass.top_m + _SAME_M
            along = along and bypass.bottom_m <= main.bottom_m + _SAME_M
            require(
                along or len(rigid) < 2, "strings", f"{bypass.name} must end within {main.name}"
            )

    @property
    def rigid_m(self) -> tuple[float, ...]:
        """Depths of Y-tool and base support [m]."""
        return tuple(sorted(link.at_m for link in self.links if link.kind == "rigid"))

    def ends_m(self) -> Iterator[float]:
        """Depths at which the model must have a node: ends, discs, links, held points [m]."""
        for string in self.strings:
            for segment in string.segments:
                yield from (segment.top_m, segment.bottom_m)
            for disc in string.discs:
                yield from (disc.at_m, disc.bottom_m)
        yield from (link.at_m for link in self.links)
        yield from (held.at_m for held in self.held)
