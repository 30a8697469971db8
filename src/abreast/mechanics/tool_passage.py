"""Passage of wireline tools through a bent bore: which stiff length passes, and where it stops."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from abreast.formulas.guard import finite, not_negative, positive, require
from abreast.formulas.rigid_tool import BentRod, bent_rod
from abreast.mechanics.channel import Contacts, Stretch, least_width, longest_through

__all__ = [
    "Bore",
    "Passage",
    "Stiff",
    "longest_stiff",
    "plug_force",
    "smallest_bore",
    "tool_passes",
    "tool_table",
]

_TOUCH_M = 1e-9
Verdict = Literal["passes", "passes bent", "does not pass", "not checked"]


@dataclass(frozen=True, slots=True)
class Bore:
    """A piece of the way, from its upper to its lower end.

    Parameters
    ----------
    name : str
        What it is.
    length_m : float
        Its length [m].
    bore_m : float
        Diameter that is free: the drift of pipe, the bore of a nipple [m].
    offset_m : float
        Sideways shift of the axis from its upper to its lower end, in two equal arcs [m].
    bend_rad_m : float
        Its own curvature, where it is sharper than that of the way [rad/m].
    """

    name: str
    length_m: float
    bore_m: float
    offset_m: float = 0.0
    bend_rad_m: float = 0.0

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("bore_m", self.bore_m)
        finite("offset_m", self.offset_m)
        not_negative("bend_rad_m", self.bend_rad_m)


@dataclass(frozen=True, slots=True)
class Stiff:
    """One part of a tool string that does not knuckle.

    Parameters
    ----------
    name : str
        What it is.
    length_m, od_m : float
        Length between knuckles and largest diameter [m].
    ei_nm2 : float or None
        Bending stiffness; None: it is not bent [N m2].
    """

    name: str
    length_m: float
    od_m: float
    ei_nm2: float | None = None

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("od_m", self.od_m)
        if self.ei_nm2 is not None:
            positive("ei_nm2", self.ei_nm2)


@dataclass(frozen=True, slots=True)
class Passage:
    """What becomes of one stiff part.

    Parameters
    ----------
    name : str
        The part.
    verdict : {"passes", "passes bent", "does not pass", "not checked"}
        ``passes bent``: with a force below the limit that was given.
    where : str
        The piece with the least room.
    depth_m : float
        Depth of the middle of the three places that decide, below the top of the way [m].
    room_m : float
        Diametral room there beyond the clearance asked for; negative: what the
        part must bend [m].
    force_n, moment_nm : float or None
        Force in the middle and moment that bend it so far [N, N m].
    words : str
        In one sentence; of a part that is not checked, what it needs.
    """

    name: str
    verdict: Verdict
    where: str
    depth_m: float
    room_m: float
    force_n: float | None
    moment_nm: float | None
    words: str


def plug_force(difference_pa: float, seal_od_m: float) -> float:
    """Force of a pressure difference on a plug [N].

    Parameters
    ----------
    difference_pa : float
        Pressure on one side less that on the other; the sign stays [Pa].
    seal_od_m : float
        Diameter of its seal [m].

    Notes
    -----
    Delta p pi d^2 / 4.

    Examples
    --------
    500 psi on 2.30 in, 2,077 lbf:

    >>> round(plug_force(500 * 6894.757, 2.30 * 0.0254) / 4.4482216)
    2077
    """
    return (
        finite("difference_pa", difference_pa) * math.pi / 4 * positive("seal_od_m", seal_od_m) ** 2
    )


def smallest_bore(way: Sequence[Bore]) -> Bore:
    """The narrowest piece; of several the uppermost.

    Raises
    ------
    InputError
        ``out-of-range``: there is no piece.
    """
    require(len(way) > 0, "way", "give at least one piece of the way")
    return min(way, key=lambda one: one.bore_m)


def tool_passes(
    way: Sequence[Bore],
    part: Stiff,
    curvature_rad_m: float = 0.0,
    clearance_m: float = 0.0,
    most_force_n: float | None = None,
) -> Passage:
    r"""Whether a stiff part of a tool passes the whole way.

    Parameters
    ----------
    way : sequence of Bore
        From the top down; the part starts within it and ends within it.
    part : Stiff
        The part.
    curvature_rad_m : float
        Curvature of the way, taken in the plane of every offset, to both sides; a
        piece that bends sharper by itself counts with its own [rad/m].
    clearance_m : float
        Diametral clearance to keep [m].
    most_force_n : float or None
        Side force that may bend it; None: the force is stated, and one that bends
        is not checked [N].

    Raises
    ------
    InputError
        ``out-of-range``: a negative clearance, the part longer than the way.

    Notes
    -----
    Plane channel. At each place the straight line with the most room between
    the walls is sought; by duality that room is the least over all three contacts
    of the chord over the middle one. Where it is negative, three points touch, and
    the part bends as a beam over the outer two,
    :math:`F = 3EI\,l\,\delta/(a^2 b^2)` (Roark; Timoshenko), 48 EI delta / l^3
    in the middle. Where that asks for more curvature than the wall has, the part
    lies on it: in an even bend as :func:`abreast.formulas.rigid_tool.bent_rod`; in
    another the larger force and moment of both are told, and that they are about so.
    """
    require(len(way) > 0, "way", "give at least one piece of the way")
    not_negative("clearance_m", clearance_m)
    not_negative("curvature_rad_m", curvature_rad_m)
    whole_m = math.fsum(one.length_m for one in way)
    reason = f"{part.length_m:g} m is longer than the way that is given ({whole_m:g} m)"
    require(part.length_m <= whole_m, "length_m", reason)
    tight = smallest_bore(way)
    if part.od_m + clearance_m > tight.bore_m:
        return _too_thick(way, part, tight, clearance_m)
    stretches, sides = _both(way, curvature_rad_m)
    wide_m, length_m = part.od_m + clearance_m, part.length_m
    found = [least_width(stretches, side, length_m) for side in sides]
    least = min(found, key=lambda one: one.width_m)
    room_m = least.width_m - wide_m
    if room_m < -_TOUCH_M and _goes(stretches, sides, wide_m, length_m):
        room_m = 0.0
    return _verdict(part, room_m, least, way[least.stretch], clearance_m, most_force_n)


def _goes(
    stretches: Sequence[Stretch], sides: Sequence[float], wide_m: float, length_m: float
) -> bool:
    """Whether a body of a length is among the longest: room is told a little too small."""
    return all(longest_through(stretches, side, wide_m) >= length_m for side in sides)


def _both(
    way: Sequence[Bore], curvature_rad_m: float
) -> tuple[tuple[Stretch, ...], tuple[float, ...]]:
    """The way as a channel, and the sides it may curve to.

    Where pieces have bends of their own, these all lie to one side: no other
    order of sides moves the middle of three contacts further.
    """
    stretches = tuple(
        Stretch(one.length_m, one.bore_m, one.offset_m, max(one.bend_rad_m, curvature_rad_m))
        for one in way
    )
    shifted = any(one.offset_m for one in stretches)
    bent = any(one.bend_rad_m for one in stretches)
    return stretches, (1.0, -1.0) if bent and shifted else (1.0,)


def _too_thick(way: Sequence[Bore], part: Stiff, tight: Bore, clearance_m: float) -> Passage:
    above_m = math.fsum(one.length_m for one in way[: list(way).index(tight)])
    room_m = tight.bore_m - part.od_m - clearance_m
    words = f"{-room_m * 1e3:.2f} mm too thick for {tight.name}, {above_m:.2f} m down"
    return Passage(part.name, "does not pass", tight.name, above_m, room_m, None, None, words)


def _verdict(
    part: Stiff,
    room_m: float,
    tight: Contacts,
    bore: Bore,
    clearance_m: float,
    most_force_n: float | None,
) -> Passage:
    depth_m = tight.middle_m
    place = f"{bore.name}, {depth_m:.2f} m down"

    def answer(verdict: Verdict, words: str, *bent: float) -> Passage:
        force_n, moment_nm = bent if bent else (None, None)
        return Passage(part.name, verdict, bore.name, depth_m, room_m, force_n, moment_nm, words)

    if room_m >= -_TOUCH_M:
        return answer("passes", f"passes straight, {room_m * 1e3:.2f} mm to spare at {place}")
    bend = f"must bend {-room_m * 1e3:.2f} mm at {place}"
    if part.ei_nm2 is None:
        return answer("not checked", f"{bend}: not checked: needs EI of the part")
    a, b = tight.middle_m - tight.first_m, tight.last_m - tight.middle_m
    clear_m = bore.bore_m - part.od_m - clearance_m
    if min(a, b) <= _TOUCH_M or (tight.even and clear_m <= _TOUCH_M):
        return answer("does not pass", f"{bend}, where no room is left to bend in")
    rod, about = _bent(part.ei_nm2, -room_m, tight, max(clear_m, _TOUCH_M))
    words = f"{bend}, with {about}{rod.force_n:.0f} N"
    words += f", {rod.lies_m:.2f} m of it on the bend" if rod.lies_m else ""
    bent = rod.force_n, rod.moment_nm
    if most_force_n is None:
        need = "not checked: needs most_force_n, the side force it may take"
        return answer("not checked", f"{words}: {need}", *bent)
    if rod.force_n > most_force_n:
        return answer("does not pass", f"{words}, more than {most_force_n:.0f} N", *bent)
    return answer("passes bent", words, *bent)


def _bent(ei_nm2: float, bend_m: float, tight: Contacts, clear_m: float) -> tuple[BentRod, str]:
    """Force and moment of a part that must bend so far, and a word where they are not exact."""
    a, b = tight.middle_m - tight.first_m, tight.last_m - tight.middle_m
    even = bent_rod(ei_nm2, a + b, clear_m, tight.bend_rad_m)
    if tight.even:
        return even, ""
    force_n = 3 * ei_nm2 * (a + b) * bend_m / (a * b) ** 2
    moment_nm = force_n * a * b / (a + b)
    if not tight.bend_rad_m or moment_nm <= ei_nm2 * tight.bend_rad_m:
        return BentRod(force_n, moment_nm, 0.0), ""
    most = BentRod(max(force_n, even.force_n), max(moment_nm, even.moment_nm), even.lies_m)
    return most, "about "


def longest_stiff(
    way: Sequence[Bore], od_m: float, curvature_rad_m: float = 0.0, clearance_m: float = 0.0
) -> float:
    """Longest part of a diameter that passes straight [m]; the whole way if all of it does.

    Parameters
    ----------
    way, curvature_rad_m, clearance_m
        As for :func:`tool_passes`.
    od_m : float
        Diameter of the part [m].

    Returns
    -------
    float
        0: too thick for the narrowest piece.

    Raises
    ------
    InputError
        ``out-of-range``: as for :func:`tool_passes`.
    """
    return tool_table(way, [od_m], curvature_rad_m, clearance_m)[0][1]


def tool_table(
    way: Sequence[Bore],
    ods_m: Sequence[float],
    curvature_rad_m: float = 0.0,
    clearance_m: float = 0.0,
    most_m: float = math.inf,
) -> tuple[tuple[float, float], ...]:
    """Diameter and longest stiff length for each diameter asked for, ``most_m`` at most [m]."""
    require(len(way) > 0, "way", "give at least one piece of the way")
    not_negative("clearance_m", clearance_m)
    stretches, sides = _both(way, not_negative("curvature_rad_m", curvature_rad_m))
    asked = [positive("od_m", od_m) + clearance_m for od_m in ods_m]
    longest = [
        min(longest_through(stretches, side, wide_m, most_m) for side in sides) for wide_m in asked
    ]
    return tuple(zip(ods_m, longest, strict=True))
