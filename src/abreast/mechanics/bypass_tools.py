"""Tools through the bypass of a job: what passes from the hanger down, and how long it may be."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.access import Access, access
from abreast.mechanics.bores import Smallest, depths_from_every_zero, smallest_on_path
from abreast.mechanics.bypass_plug import PlugForce, plug_forces
from abreast.mechanics.bypass_way import BypassWay, bypass_way
from abreast.mechanics.tool_passage import Passage, tool_passes, tool_table
from abreast.mechanics.tool_strings import StiffLength, ToolString, tool_strings
from abreast.model import Assembly, Job

__all__ = [
    "LISTED_M",
    "LongestStiff",
    "StringPassage",
    "ToolPassages",
    "tool_passages",
]

LISTED_M = 30.0
"""No table tells a longer stiff length."""
_SIXTEENTH_M = 0.0254 / 16
_ROWS = 12


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
        As long as the table goes; a longer one was not judged.
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
    access : Access or None
        What is met on the way and below it; None without a way.
    assumptions, needs : tuple of str
        What was taken for granted, and what is missing; with a way, what it
        does not hold yet.
    """

    way: BypassWay | None
    smallest: Smallest
    table: tuple[LongestStiff, ...]
    strings: tuple[StringPassage, ...]
    plug_forces: tuple[PlugForce, ...]
    in_bore: str
    clearance_m: float | None
    access: Access | None
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
        way = bypass_way(job, assembly, bends_rad_m)
        table = _table(way, clearance_m, strings)
        needs += way.needs
    except AbreastError as fault:
        needs.append(_asked(fault))
        way = None
    smallest = _smallest(job, assembly, way)
    return ToolPassages(
        way,
        smallest,
        table,
        tuple(_judged(way, one, clearance_m, tuple(needs)) for one in strings),
        plug_forces(job),
        job.ytool.plug,
        clearance_m,
        None if way is None else access(job, way),
        _assumptions(way),
        tuple(dict.fromkeys((*needs, *smallest.needs))),
    )


def _smallest(job: Job, assembly: Assembly, way: BypassWay | None) -> Smallest:
    """The smallest bore; above pieces of no stated length the way knows its depth."""
    found = smallest_on_path(job, assembly)
    if way is None or found.place is None or found.depths:
        return found
    one = next((one for one in way.pieces if one.name == found.place.piece), None)
    if one is None:
        return found
    depths = depths_from_every_zero(job, assembly, one.top_md_m, one.bottom_md_m)
    return replace(found, depths=depths)


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
    most_m = min(LISTED_M, way.above_m)
    sure = hole = tool_table(bores, sorted(ods), 0.0, clearance_m, most_m)
    if way.sharpest is not None:
        straight = way.bores(curved="hole")
        hole = tool_table(straight, sorted(ods), 0.0, clearance_m, most_m)
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
    ods = sorted({one.stiff.od_m for one in string.lengths})
    try:
        bores = way.bores(string.run_to)
        most_m = min(max(LISTED_M, string.longest_m), way.above_m)
        if string.longest_m > most_m:
            raise MissingInputError(needs="tools shorter than the tubing above the Y-tool")
        longest = dict(tool_table(bores, ods, 0.0, clearance_m, most_m))
        passages = tuple(
            tool_passes(bores, one.stiff, 0.0, clearance_m, one.side_load_n)
            for one in string.lengths
        )
    except AbreastError as fault:
        return replace(alone, needs=(_asked(fault),))
    lengths_m = tuple(
        # Both are short of the truth by a little, not by the same.
        max(longest[one.stiff.od_m], one.stiff.length_m if passage.verdict == "passes" else 0.0)
        for one, passage in zip(string.lengths, passages, strict=True)
    )
    return replace(alone, passages=passages, longest_m=lengths_m)


def _curve_words(way: BypassWay) -> tuple[str, ...]:
    return (
        "curvature of the hole: each piece above the Y-tool as the sharpest survey interval it"
        " hangs in, the rest as the sharpest of theirs"
        + (", " + after if (after := way.curve.source.partition("along the way, ")[2]) else ""),
    )


def _bend_words(way: BypassWay) -> tuple[str, ...]:
    if way.sharpest is None:
        return ("no piece lies sharper than its hole; how the bypass hangs is not in it",)
    return (
        "each piece of the bypass bent all along as sharply as at its sharpest place, all to one"
        " side: more than it bends",
    )


def _assumptions(way: BypassWay | None) -> tuple[str, ...]:
    return (
        *(way.assumptions if way is not None else ()),
        *(_curve_words(way) if way is not None else ()),
        *(_bend_words(way) if way is not None else ()),
        "parts with no knuckle between them are one stiff length: largest diameter and greatest"
        " EI all along",
        "knuckles turn freely and far enough; their angle is not looked at",
        "force that bends a tool: beam on three contacts at the tightest place, or lying on an"
        " even bend",
        "plug: its seal is as wide as the bore of the nipple",
    )
