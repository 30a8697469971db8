"""Calculators on the curved hole: setting depth, stiff tools."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import (
    Bend,
    Calculator,
    Inclination,
    Inputs,
    Name,
    NotNegative,
    Number,
    Outputs,
    Positive,
)
from abreast.actions.survey_calculators import LONGEST_SURVEY, StationInputs
from abreast.formulas.guard import require
from abreast.formulas.rigid_tool import BentRod, bent_rod, longest_rigid_tool, must_bend, sagitta
from abreast.formulas.survey import positions
from abreast.mechanics.setting_depth import YOUNG_PA, Assembly, Limit, Limits, scan
from abreast.mechanics.tool_passage import (
    Bore,
    Stiff,
    longest_stiff,
    plug_force,
    smallest_bore,
    tool_passes,
)

__all__ = ["CALCULATORS"]


_STRAIGHT = "a straight hole: every length lies unbent, so there is no longest and no radius"
# What a body must bend less than this is rounding: it lies unbent.
_ROUNDING_M = 1e-12
_SAME_M = 1e-9
# A bypass with its tail has a third of it; more is a slip of units.
_LONGEST_WAY_M = 300.0


Length = Annotated[float, Field(strict=True, ge=1e-3, le=1e6, allow_inf_nan=False)]
"""The length of a piece, a millimetre at least."""
Survey = Annotated[tuple[StationInputs, ...], Field(min_length=2, max_length=LONGEST_SURVEY)]


class RigidInputs(Inputs):
    """A stiff body in a bend."""

    bore_m: Positive = Field(description="bore of the bend [m]")
    od_m: NotNegative = Field(description="diameter of the body, below the bore [m]")
    curvature_rad_m: Bend = Field(description="dogleg severity; 0: straight [rad/m]")
    length_m: Length | None = Field(None, description="its length [m]")
    ei_nm2: Positive | None = Field(None, description="its bending stiffness EI [N m2]")


class RigidOutputs(Outputs):
    """What passes unbent, and how far a longer body must bend."""

    longest_m: float | None = Field(
        None, description="longest that lies in the bend unbent; none when straight [m]"
    )
    radius_m: float | None = Field(None, description="radius of the bend; none when straight [m]")
    follows_stress_pa: float = Field(
        description="bending stress of steel that follows the bend all along, E kappa OD/2, with"
        f" E of {YOUNG_PA / 1e9:g} GPa [Pa]"
    )
    sagitta_m: float | None = Field(
        None, description="height of the bend's axis over a chord of its length [m]"
    )
    must_bend_m: float | None = Field(
        None,
        description="the same of the outer wall, less clearance; not above 0: lies unbent [m]",
    )
    force_n: float | None = Field(
        None, description="force of the inner wall on its middle, all told [N]"
    )
    moment_nm: float | None = Field(None, description="greatest bending moment [N m]")
    lies_m: float | None = Field(
        None, description="length of it that lies on the inner wall; 0: in one place or none [m]"
    )
    remark: str | None = Field(None, description="of a straight hole")


def _rigid(given: RigidInputs) -> RigidOutputs:
    bend, clear_m = given.curvature_rad_m, given.bore_m - given.od_m
    radius_m = 1 / bend if bend else math.inf
    longest_m = longest_rigid_tool(given.bore_m, given.od_m, radius_m)
    found = RigidOutputs(
        longest_m=longest_m if bend else None,
        radius_m=radius_m if bend else None,
        follows_stress_pa=YOUNG_PA * bend * given.od_m / 2,
        remark=None if bend else _STRAIGHT,
    )
    if given.length_m is None:
        require(given.ei_nm2 is None, "length_m", "give it with ei_nm2, or neither")
        return found
    bent_m = must_bend(given.bore_m, given.od_m, given.length_m, bend)
    known = {"sagitta_m": sagitta(given.length_m, bend), "must_bend_m": bent_m}
    if given.ei_nm2 is None:
        return found.model_copy(update=known)
    rod = BentRod(0.0, 0.0, 0.0)
    if bent_m > _ROUNDING_M:
        rod = bent_rod(given.ei_nm2, given.length_m, clear_m, bend)
    return found.model_copy(update=known | asdict(rod))


class DepthInputs(Inputs):
    """A survey, an assembly, depths to look at, limits of the user."""

    stations: Survey = Field(description="survey, from the top down")
    length_m: Positive = Field(description="length of the assembly from its top [m]")
    od_m: Positive = Field(description="largest diameter of a body that is bent [m]")
    stiff_length_m: Positive | None = Field(None, description="its longest stiff body [m]")
    tops_md_m: Annotated[tuple[Number, ...], Field(min_length=1, max_length=2000)] = Field(
        description="measured depths of its top to look at [m]"
    )
    tolerance_m: NotNegative = Field(0.0, description="how far off it may come to hang [m]")
    allowance_rad_m: Bend = Field(0.0, description="dogleg the survey misses [rad/m]")
    running_limit_rad_m: Bend | None = Field(None, description="on the way down [rad/m]")
    setting_limit_rad_m: Bend | None = Field(None, description="where it hangs [rad/m]")
    inclination_limit_rad: Inclination | None = Field(None, description="inclination [rad]")
    stress_limit_pa: NotNegative | None = Field(None, description="bending stress [Pa]")
    origin: Name = Field("user", description="where the limits come from")


class DepthOutput(Outputs):
    """One depth."""

    top_md_m: float = Field(description="top of the assembly [m]")
    bottom_md_m: float = Field(description="its lower end [m]")
    dogleg_rad_m: float = Field(description="sharpest dogleg along it [rad/m]")
    running_rad_m: float = Field(description="sharpest dogleg on the way down [rad/m]")
    least_inclination_rad: float = Field(description="least inclination along it [rad]")
    greatest_inclination_rad: float = Field(description="greatest inclination along it [rad]")
    stress_pa: float = Field(
        description=f"bending stress of steel, E of {YOUNG_PA / 1e9:g} GPa [Pa]"
    )
    sag_m: float | None = Field(None, description="sagitta of the longest stiff body [m]")
    refusals: tuple[str, ...] = Field(description="limits that are broken")
    not_checked: tuple[str, ...] = Field(
        description="limits that nobody gave; hole that the survey does not see"
    )


class DepthsOutputs(Outputs):
    """Depths, the best first."""

    candidates: tuple[DepthOutput, ...] = Field(description="unrefused first, then by dogleg")


def _depths(given: DepthInputs) -> DepthsOutputs:
    limits = Limits(
        *(
            None if value is None else Limit(value, given.origin)
            for value in (
                given.running_limit_rad_m,
                given.setting_limit_rad_m,
                given.inclination_limit_rad,
                given.stress_limit_pa,
            )
        )
    )
    stations = [row.station() for row in given.stations]
    positions(stations)  # tells which station is faulty before any depth is
    _within_survey(given)
    first_m = given.stations[0].md_m
    found = scan(
        stations,
        Assembly(given.length_m, given.od_m, given.stiff_length_m),
        given.tops_md_m,
        limits,
        given.allowance_rad_m,
        given.tolerance_m,
    )
    unseen = (
        (f"the hole above {first_m:g} m: not checked: needs its survey",) if first_m > 0 else ()
    )
    return DepthsOutputs(
        candidates=tuple(
            DepthOutput(
                top_md_m=one.top_md_m,
                bottom_md_m=one.bottom_md_m,
                dogleg_rad_m=one.dogleg_rad_m,
                running_rad_m=one.running_rad_m,
                least_inclination_rad=one.inclination_rad[0],
                greatest_inclination_rad=one.inclination_rad[1],
                stress_pa=one.stress_pa,
                sag_m=one.sag_m,
                refusals=one.refusals,
                not_checked=(*one.not_checked, *unseen),
            )
            for one in found
        )
    )


def _within_survey(given: DepthInputs) -> None:
    """Refuse a depth at which the assembly reaches out of the survey, by its number."""
    first_m, last_m = given.stations[0].md_m, given.stations[-1].md_m
    if given.length_m > last_m - first_m:
        return  # refused with its own words
    for number, top_m in enumerate(given.tops_md_m, 1):
        high_m, low_m = top_m - given.tolerance_m, top_m + given.length_m + given.tolerance_m
        inside = first_m - _SAME_M <= high_m and low_m <= last_m + _SAME_M
        reason = (
            f"from {high_m:.10g} to {low_m:.10g} m the assembly reaches out of the survey"
            f" ({first_m:.10g} to {last_m:.10g} m)"
        )
        require(inside, f"tops_md_m.{number}", reason)


class BoreInputs(Inputs):
    """One piece of the way."""

    id: Name = Field(description="its name")
    length_m: Length = Field(description="its length [m]")
    bore_m: Positive = Field(description="diameter that is free, the drift of pipe [m]")
    offset_m: Number = Field(0.0, description="sideways shift of its axis, an S-bend [m]")


class PassageInputs(Inputs):
    """A way and a stiff part of a tool."""

    way: Annotated[tuple[BoreInputs, ...], Field(min_length=1, max_length=50)] = Field(
        description="pieces from the top down, the tubing above the Y-tool with them"
    )
    length_m: Length = Field(description="length of the part between knuckles [m]")
    od_m: Positive = Field(description="its diameter [m]")
    ei_nm2: Positive | None = Field(None, description="its bending stiffness EI [N m2]")
    curvature_rad_m: Bend = Field(0.0, description="curvature of the hole [rad/m]")
    clearance_m: NotNegative = Field(0.0, description="diametral clearance to keep [m]")
    most_force_n: NotNegative | None = Field(
        None, description="side force it may take; none: a bent part is not checked [N]"
    )


class PassageOutputs(Outputs):
    """What becomes of it."""

    verdict: str = Field(description="passes, passes bent, does not pass, not checked")
    words: str = Field(description="in one sentence")
    where: str = Field(description="piece with the least room")
    depth_m: float = Field(description="below the top of the way [m]")
    room_m: float = Field(description="room beyond the clearance; negative: must bend [m]")
    force_n: float | None = Field(None, description="side force that bends it [N]")
    moment_nm: float | None = Field(None, description="bending moment [N m]")
    longest_m: float = Field(
        description="longest that passes straight; no more than the whole way, which is all that"
        " was looked at [m]"
    )
    smallest_bore_m: float = Field(description="smallest bore of the way [m]")
    smallest_bore_at: str = Field(description="the piece that has it")


def _passage(given: PassageInputs) -> PassageOutputs:
    way = [Bore(one.id, one.length_m, one.bore_m, one.offset_m) for one in given.way]
    whole_m = math.fsum(one.length_m for one in way)
    reason = f"the way is {whole_m:g} m long; give the part near the bypass, {_LONGEST_WAY_M:g} m"
    require(whole_m <= _LONGEST_WAY_M, "way", reason)
    part = Stiff("part", given.length_m, given.od_m, given.ei_nm2)
    bend, clear = given.curvature_rad_m, given.clearance_m
    found = tool_passes(way, part, bend, clear, given.most_force_n)
    tight = smallest_bore(way)
    longest_m = longest_stiff(way, given.od_m, bend, clear)
    if found.verdict == "passes":  # both are short of the truth by a little, not by the same
        longest_m = max(longest_m, given.length_m)
    return PassageOutputs(
        verdict=found.verdict,
        words=found.words,
        where=found.where,
        depth_m=found.depth_m,
        room_m=found.room_m,
        force_n=found.force_n,
        moment_nm=found.moment_nm,
        longest_m=longest_m,
        smallest_bore_m=tight.bore_m,
        smallest_bore_at=tight.name,
    )


class PlugInputs(Inputs):
    """A plug and the pressures on it."""

    above_pa: NotNegative = Field(description="pressure above it [Pa]")
    below_pa: NotNegative = Field(description="pressure below it [Pa]")
    seal_od_m: Positive = Field(description="diameter of its seal [m]")


class PlugOutputs(Outputs):
    """What the difference does."""

    difference_pa: float = Field(description="pressure below less that above [Pa]")
    force_n: float = Field(description="force upwards on the plug; negative: downwards [N]")


def _plug(given: PlugInputs) -> PlugOutputs:
    difference_pa = given.below_pa - given.above_pa
    return PlugOutputs(
        difference_pa=difference_pa, force_n=plug_force(difference_pa, given.seal_od_m)
    )


def _rows(*rows: tuple[float, float, float]) -> list[dict[str, float]]:
    return [{"md_m": md, "inclination_rad": inc, "azimuth_rad": azi} for md, inc, azi in rows]


_HOLE = _rows((0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (1060.0, 0.83776, 1.117), (2720.0, 0.8290, 1.152))

CALCULATORS = (
    Calculator(
        name="rigid-tool-in-bend",
        summary="longest stiff body that lies in a bend unbent, and the force that bends a longer",
        formula="L = 2 sqrt((D - d)(2R + d)); with c = D - d: F = 48 EI (kappa L^2/8 - c) / L^3 on"
        " three contacts, c not below kappa L^2/24; else F = 2 EI kappa / a, a = sqrt(6c/kappa)",
        source="plane geometry, exact; beam theory (Roark) of a rod with free ends, small slopes",
        inputs=RigidInputs,
        outputs=RigidOutputs,
        function=_rigid,
        example={"bore_m": 0.2205, "od_m": 0.2032, "curvature_rad_m": 0.0017178},
    ),
    Calculator(
        name="setting-depth",
        summary="depths for an assembly, ranked by dogleg along it, with each reason to refuse",
        formula="dogleg of every survey interval that overlaps; E kappa OD/2;"
        " R - sqrt(R^2 - L^2/4)",
        source="minimum curvature; limits are the user's own",
        inputs=DepthInputs,
        outputs=DepthsOutputs,
        function=_depths,
        example={
            "stations": _HOLE,
            "length_m": 30.4,
            "od_m": 0.0914,
            "tops_md_m": [900.0, 2150.0],
            "setting_limit_rad_m": 0.00058,
        },
    ),
    Calculator(
        name="tool-passage",
        summary="whether a stiff part of a wireline tool passes bores, nipples and an S-bend",
        formula="straight part between both walls of a plane channel; F = 3 EI l delta/(a^2 b^2)",
        source="plane geometry; beam on three contacts (Roark), approximate",
        inputs=PassageInputs,
        outputs=PassageOutputs,
        function=_passage,
        example={
            "way": [
                {"id": "tubing", "length_m": 13.0, "bore_m": 0.07282},
                {"id": "S-bend", "length_m": 0.7, "bore_m": 0.062, "offset_m": 0.019},
                {"id": "plug nipple", "length_m": 0.3, "bore_m": 0.0476},
                {"id": "bypass", "length_m": 27.0, "bore_m": 0.04829},
            ],
            "length_m": 1.0,
            "od_m": 0.0429,
        },
    ),
    Calculator(
        name="plug-force",
        summary="force of a pressure difference on a plug in the bypass",
        formula="F = dp pi/4 d2",
        source="statics; the plug's own sheet says what it bears",
        inputs=PlugInputs,
        outputs=PlugOutputs,
        function=_plug,
        example={"above_pa": 12.0e6, "below_pa": 15.447e6, "seal_od_m": 0.05842},
    ),
)
