"""Tools through the bypass of a job: what passes, how long it may be, what a plug bears."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.bores import Smallest, smallest_on_path
from abreast.mechanics.bypass_way import ABOVE_M, BypassWay, bypass_way
from abreast.mechanics.tool_passage import Passage, plug_force, tool_passes, tool_table
from abreast.mechanics.tool_strings import StiffLength, ToolString, tool_strings
from abreast.model import Assembly, Job

__all__ = [
    "LongestStiff",
    "PlugForce",
    "StringPassage",
    "ToolPassages",
    "equalise_words",
    "tool_passages",
]

_SIXTEENTH_M = 0.0254 / 16
_ROWS = 12
_STEP_PA = {"oilfield": 100 * 6894.757293168361, "SI": 1e6}
"""Pressure difference for which a plug's force is stated: 100 psi, 10 bar."""


@dataclass(frozen=True, slots=True)
class LongestStiff:
    """Longest stiff length of a diameter that passes straight [m].

    Parameters
    ----------
    od_m, length_m : float
        Diameter, and the length that passes for sure: each piece at its sharpest
        bend all along, all to one side [m].
    hole_m : float
        The length if the bypass lay as its hole [m].
    or_more : bool
        As long as the tubing that was looked at; a longer one was not judged.
    """

    od_m: float
    length_m: float
    hole_m: float
    or_more: bool


@dataclass(frozen=True, slots=True)
class StringPassage:
    """What becomes of a tool string: of each of its stiff lengths, top to bottom.

    ``longest_m`` is for each the longest of its diameter that passes straight as
    far as the string is run. It and ``passages`` are empty where ``needs`` says
    what is missing.
    """

    name: str
    run_to: str
    lengths: tuple[StiffLength, ...]
    passages: tuple[Passage, ...] = ()
    longest_m: tuple[float, ...] = ()
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlugForce:
    """Force of a pressure difference on a plug in a nipple.

    Parameters
    ----------
    place : str
        The nipple.
    why : str
        What the difference is.
    seal_m : float
        Diameter of the seal: the bore of the nipple [m].
    difference_pa, force_n : float
        Pressure difference and its force on the plug [Pa, N].
    """

    place: str
    why: str
    seal_m: float
    difference_pa: float
    force_n: float


@dataclass(frozen=True, slots=True)
class ToolPassages:
    """All about tools through the bypass.

    Parameters
    ----------
    way : BypassWay or None
        The way with the diameters taken; None: something is missing.
    smallest : Smallest
        Smallest bore of the whole path, in every datum of the job.
    table : tuple of LongestStiff
        By diameter, thin first; empty without a way.
    strings : tuple of StringPassage
        The tool strings of the job.
    plug_forces : tuple of PlugForce
        Of each nipple whose bore is known.
    in_bore : str
        What the job says of plug or valve in the bypass leg; blank: nothing.
    clearance_m : float or None
        Diametral clearance kept [m].
    assumptions, needs : tuple of str
        What was taken for granted, and what is missing; with a way, what its
        curvature does not hold yet.
    """

    way: BypassWay | None
    smallest: Smallest
    table: tuple[LongestStiff, ...]
    strings: tuple[StringPassage, ...]
    plug_forces: tuple[PlugForce, ...]
    in_bore: str
    clearance_m: float | None
    assumptions: tuple[str, ...]
    needs: tuple[str, ...]


def tool_passages(
    job: Job,
    assembly: Assembly,
    bends_rad_m: Mapping[str, float] | float | None = None,
    also_needs: Sequence[str] = (),
) -> ToolPassages:
    """Which tools pass the bypass of an assembly, and what a plug in it bears.

    Parameters
    ----------
    job : Job
        Bores, survey, clearance, tool strings.
    assembly : Assembly
        The twin string, planned or as run.
    bends_rad_m : mapping, float or None
        How sharply each piece hangs bent, by its id, or one figure for all [rad/m];
        the hole's own curvature is taken where it is sharper, or this is not known.
    also_needs : sequence of str
        What else is missing before a tool string can be judged.

    Returns
    -------
    ToolPassages
        What is missing is in its ``needs`` and in those of each string.
    """
    needs: list[str] = [] if job.tools else ["the tools in tools.csv"]
    strings, faults = _strings(job)
    needs += (*faults, *also_needs)
    way: BypassWay | None = None
    table: tuple[LongestStiff, ...] = ()
    clearance_m = job.rules.tool_clearance_m.known
    try:
        clearance_m = _clearance_m(job)
        above_m = max([ABOVE_M, *(one.longest_m for one in strings)])
        way = bypass_way(job, assembly, bends_rad_m, above_m=above_m)
        table = _table(way, clearance_m, strings)
        needs += way.curve.needs
    except AbreastError as fault:
        needs.append(_asked(fault))
        way = None
    smallest = smallest_on_path(job, assembly)
    return ToolPassages(
        way,
        smallest,
        table,
        tuple(_judged(way, one, clearance_m, tuple(needs)) for one in strings),
        _plug_forces(job),
        job.ytool.plug,
        clearance_m,
        _assumptions(way),
        tuple(dict.fromkeys((*needs, *smallest.needs))),
    )


def _strings(job: Job) -> tuple[tuple[ToolString, ...], tuple[str, ...]]:
    try:
        return tool_strings(job), ()
    except AbreastError as fault:
        return (), (_asked(fault),)


def _clearance_m(job: Job) -> float:
    clearance_m = job.rules.tool_clearance_m.si
    if clearance_m < 0:
        raise MissingInputError(needs="tool_clearance of the rules that is not below 0")
    return clearance_m


def _asked(fault: AbreastError) -> str:
    """What a fault asks for, as 'not checked: needs ...' goes on."""
    if isinstance(fault, MissingInputError):
        return fault.needs
    return f"input that can be used: {fault}"


def _table(
    way: BypassWay, clearance_m: float, strings: tuple[ToolString, ...]
) -> tuple[LongestStiff, ...]:
    bores = way.bores()
    room_m = min(one.bore_m for one in bores) - clearance_m
    most = math.floor(room_m / _SIXTEENTH_M + 1e-9)
    if most < 1:
        raise MissingInputError(needs="a smallest bore that is wider than the clearance of a tool")
    ods = {number * _SIXTEENTH_M for number in range(max(1, most - _ROWS + 1), most + 1)}
    for od_m in {one.stiff.od_m for string in strings for one in string.lengths}:
        if od_m <= room_m and not any(math.isclose(od_m, one, abs_tol=2e-4) for one in ods):
            ods.add(od_m)
    most_m, bend = way.above_m, way.curve.rad_m
    sure = hole = tool_table(bores, sorted(ods), bend, clearance_m, most_m)
    if way.sharpest is not None:
        hole = tool_table(way.bores(bent=False), sorted(ods), bend, clearance_m, most_m)
    return tuple(
        LongestStiff(od_m, length_m, hole_m, length_m >= most_m)
        for (od_m, length_m), (_, hole_m) in zip(sure, hole, strict=True)
    )


def _judged(
    way: BypassWay | None, string: ToolString, clearance_m: float | None, needs: tuple[str, ...]
) -> StringPassage:
    alone = StringPassage(string.name, string.run_to, string.lengths)
    if way is None or clearance_m is None:
        return replace(alone, needs=needs)
    bend = way.curve.rad_m
    ods = sorted({one.stiff.od_m for one in string.lengths})
    try:
        bores = way.bores(string.run_to)
        longest = dict(tool_table(bores, ods, bend, clearance_m, way.above_m))
        passages = tuple(
            tool_passes(bores, one.stiff, bend, clearance_m, one.side_load_n)
            for one in string.lengths
        )
    except AbreastError as fault:
        return replace(alone, needs=(_asked(fault),))
    lengths_m = tuple(longest[one.stiff.od_m] for one in string.lengths)
    return replace(alone, passages=passages, longest_m=lengths_m)


def _plug_forces(job: Job) -> tuple[PlugForce, ...]:
    """For the stated difference in each nipple; in that of the Y-tool also with the pump on."""
    step_pa, rise_pa = _STEP_PA[job.units], job.fluids.pump_pressure_pa.known
    asked = [("plug nipple", job.ytool.nipple_bore_m, "stated difference", step_pa)]
    if rise_pa is not None:
        why = "pump running: its pressure rise, from above"
        asked.append(("plug nipple", job.ytool.nipple_bore_m, why, rise_pa))
    for one in job.tail:
        if one.kind == "nipple":
            asked.append((one.id, one.bore_m, "stated difference", step_pa))
    return tuple(
        PlugForce(place, why, bore.si, difference_pa, plug_force(difference_pa, bore.si))
        for place, bore, why, difference_pa in asked
        if bore.is_given and bore.si > 0
    )


def equalise_words() -> tuple[str, ...]:
    """What must be done before a plug is pulled, for a page; the maker's manual rules."""
    return (
        "Stop the pump and equalise across the plug before it is latched: an unequalised plug"
        " throws the tools up the hole.",
        "How to equalise, and which difference may be left, says the manual of the plug's maker;"
        " it rules over this sheet.",
        "With the plug out, do not start the pump: it would only pump round through the bypass.",
    )


def _bend_words(way: BypassWay) -> tuple[str, ...]:
    if way.sharpest is None:
        return ("the bypass lies no sharper than its hole; how it hangs is not in it",)
    return (
        "each piece of the bypass bent all along as sharply as at its sharpest place, all to one"
        " side: more than it bends",
    )


def _assumptions(way: BypassWay | None) -> tuple[str, ...]:
    return (
        *(way.assumptions if way is not None else ()),
        *((f"curvature: {way.curve.source}",) if way is not None else ()),
        *(_bend_words(way) if way is not None else ()),
        "parts with no knuckle between them are one stiff length: largest diameter and greatest"
        " EI all along",
        "knuckles turn freely and far enough; their angle is not looked at",
        "force that bends a tool: beam on three contacts at the tightest place, approximate",
        "plug: its seal is as wide as the bore of the nipple",
    )
