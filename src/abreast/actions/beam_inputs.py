"""What the contact calculator takes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from abreast.actions.calculator import (
    Bend,
    Inputs,
    Name,
    NotNegative,
    Number,
    Positive,
    Turn,
)
from abreast.actions.survey_calculators import StationInputs
from abreast.formulas.guard import require

__all__ = ["BeamInputs", "agree"]

_FARTHEST_FLOOR_M = 100.0


class SegmentInputs(Inputs):
    """A length of one string with the same section and load."""

    id: Name = Field("", description="its name")
    length_m: Positive = Field(description="its length [m]")
    ei_nm2: Positive = Field(description="its bending stiffness EI [N m2]")
    x_m: Number | None = Field(None, description="its axis across; none: that of its string [m]")
    ea_n: Annotated[float, Field(ge=1.0, le=1e15)] | None = Field(
        None, description="its axial stiffness EA, 1 to 1e15; for a lock [N]"
    )
    modulus_m3: Positive | None = Field(None, description="section modulus, for the stress [m3]")
    load_x_n_m: Number = Field(0.0, description="load across it, to +x; without stations [N/m]")
    load_y_n_m: Number = Field(0.0, description="load across it, to +y; without stations [N/m]")
    weight_n_m: NotNegative = Field(0.0, description="weight in air; with stations [N/m]")
    buoyant_ratio: Number = Field(1.0, description="share of it left in fluid; with stations")


class PartInputs(Inputs):
    """A round part that may touch the wall; between parts nothing touches."""

    id: Name = Field("", description="its name")
    at_m: Number = Field(description="its upper end, depth as of top_m [m]")
    length_m: NotNegative = Field(0.0, description="length along which it may touch [m]")
    diameter_m: NotNegative = Field(description="its diameter; 0: the axis itself touches [m]")
    x_m: Number | None = Field(None, description="its centre; none: on the string [m]")
    y_m: Number = Field(0.0, description="its centre, across [m]")
    beside: bool = Field(True, description="whether it may touch the other string too")


class StringInputs(Inputs):
    """One string, top to bottom."""

    id: Name = Field("", description="its name")
    top_m: Number = Field(0.0, description="depth of its upper end [m]")
    x_m: Number = Field(0.0, description="its axis across the hole [m]")
    tension_n: Number = Field(0.0, description="effective tension at its top, push negative [N]")
    tension_bottom_n: Number | None = Field(None, description="at its bottom; none: same [N]")
    segments: Annotated[tuple[SegmentInputs, ...], Field(min_length=1, max_length=400)] = Field(
        description="its lengths, top to bottom"
    )
    parts: Annotated[tuple[PartInputs, ...], Field(max_length=1000)] = Field(
        (), description="parts that may touch"
    )


class LinkInputs(Inputs):
    """Where both strings go sideways together."""

    id: Name = Field("", description="its name")
    at_m: Number = Field(description="its depth [m]")
    kind: Literal["clamp", "stiff", "rigid"] = Field(
        "clamp", description="sideways only; slopes too; Y-tool or base support"
    )
    play_m: NotNegative = Field(0.0, description="diametral play of a clamp [m]")
    grips: bool = Field(False, description="a clamp along which the bypass can't slide; for drag")


class HeldInputs(Inputs):
    """A point on the axis of the hole."""

    string: Literal["first", "second"] = Field("first", description="its string")
    at_m: Number = Field(description="its depth [m]")
    how: Literal["pinned", "built-in"] = Field(
        "pinned", description="free to turn, or parallel to the hole"
    )


class BoreInputs(Inputs):
    """A length of hole with one bore."""

    id: Name = Field("", description="its name")
    top_md_m: Number = Field(description="its upper end [m]")
    bottom_md_m: Number = Field(description="its lower end [m]")
    bore_m: Positive = Field(description="its bore [m]")


class BeamInputs(Inputs):
    """One or two strings in a hole: given by loads, or by its survey and their weights."""

    strings: Annotated[tuple[StringInputs, ...], Field(min_length=1, max_length=2)] = Field(
        description="ESP side with all above and below it; then the bypass"
    )
    links: Annotated[tuple[LinkInputs, ...], Field(max_length=200)] = Field(
        (), description="what joins the two; +x is from the first string to the second"
    )
    held: Annotated[tuple[HeldInputs, ...], Field(max_length=200)] = Field(
        (), description="points held on the axis; none: the walls alone hold it"
    )
    union: Literal["free", "locked"] = Field("free", description="union of the bypass")
    misfit_m: Number = Field(0.0, description="of a locked one: bypass too short by [m]")
    bore_m: Positive | None = Field(None, description="bore of a round hole all along [m]")
    bores: Annotated[tuple[BoreInputs, ...], Field(max_length=200)] = Field(
        (), description="bores by depth instead; the narrowest counts"
    )
    floor_m: Number | None = Field(
        None, description="a flat wall instead, this far from the axis on the side of +x [m]"
    )
    dogleg_rad_m: Bend = Field(0.0, description="curvature of the hole, without stations [rad/m]")
    bend_rad: Turn = Field(0.0, description="where it bends to: 0 to +x, pi/2 to +y [rad]")
    stations: Annotated[tuple[StationInputs, ...], Field(max_length=5000)] = Field(
        (), description="survey of the hole; weights then count, and tension follows"
    )
    zero_md_m: Number = Field(0.0, description="measured depth at which depth 0 stands [m]")
    roll_rad: Turn = Field(
        0.0, description="where +x points at it: from the high side, clockwise looking down [rad]"
    )
    fluid_md_m: Number = Field(0.0, description="fluid level; above it weights are in air [m]")
    friction_ratio: Annotated[Number, Field(ge=0, le=1)] | None = Field(
        None, description="friction factor, 0 to 1; none: no drag [-]"
    )
    way: Literal["down", "up", "still"] = Field("still", description="how it moves; with friction")
    asked_m: Annotated[tuple[Number, ...], Field(max_length=1000)] = Field(
        (), description="depths at which the shape is told too [m]"
    )
    longest_m: Annotated[float, Field(strict=True, gt=0, le=1e5, allow_inf_nan=False)] | None = (
        Field(None, description="longest element; none: a hundredth of the length, at most 1 m [m]")
    )


def agree(given: BeamInputs) -> None:
    """Refuse fields that would count for nothing, or twice."""
    walls = [
        given.bore_m is not None and "bore_m",
        bool(given.bores) and "bores",
        given.floor_m is not None and "floor_m",
    ]
    named = [one for one in walls if one]
    require(len(named) < 2, "bores", f"give only one of {', '.join(map(str, named))}")
    surveyed = bool(given.stations)
    require(len(given.stations) != 1, "stations", "give two stations at least, or none")
    unused = {"dogleg_rad_m": given.dogleg_rad_m, "bend_rad": given.bend_rad}
    if not surveyed:
        unused = {
            "roll_rad": given.roll_rad,
            "fluid_md_m": given.fluid_md_m,
            "friction_ratio": given.friction_ratio or 0.0,
        }
    for name, value in unused.items():
        _only(not value, name, surveyed)
    for number, one in enumerate(given.strings, 1):
        field = f"strings.{number}"
        pulled = bool(one.tension_n or one.tension_bottom_n)
        _only(not (surveyed and pulled), f"{field}.tension_n", surveyed)
        for place, part in enumerate(one.segments, 1):
            here = f"{field}.segments.{place}"
            loaded = bool(part.load_x_n_m or part.load_y_n_m)
            _only(not (surveyed and loaded), f"{here}.load_x_n_m", surveyed)
            _only(surveyed or not part.weight_n_m, f"{here}.weight_n_m", surveyed)
    near = given.floor_m is None or abs(given.floor_m) <= _FARTHEST_FLOOR_M
    require(near, "floor_m", f"must lie within {_FARTHEST_FLOOR_M:g} m of the axis")
    require(not (surveyed and given.floor_m is not None), "floor_m", "a hole has no flat wall")


def _only(holds: bool, field: str, surveyed: bool) -> None:
    reason = "counts only without stations: weights make it" if surveyed else "needs stations"
    require(holds, field, f"{reason}; leave it out")
