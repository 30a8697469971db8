"""What a wireline crew must mind on the way, in words, in the units of the job."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.mechanics.access import Access, Met
from abreast.mechanics.bores import PathBore
from abreast.mechanics.bypass_way import BypassWay
from abreast.mechanics.way_pieces import PIPE, piece_words
from abreast.model import Job
from abreast.units import Dimension, show

__all__ = ["bore_words", "mark_words", "place_words", "unchecked_words", "valve_words", "way_facts"]

_LONG_M = 30.0
_MARKS = {
    "flapper": "flapper: hold it open",
    "plug": "seat of the plug",
    "profile": "profile",
    "no-go": "no-go",
    "to fit": "to fit: its length follows",
    "": "",
}


def bore_words(job: Job, place: PathBore) -> str:
    """A diameter of the path in words: ``safety valve U6 (drift)``.

    Parameters
    ----------
    job : Job
        Its upper completion, rack and tail.
    place : PathBore
        The diameter.
    """
    if place.what in ("S-bend", "plug nipple"):
        return f"{place.what} of the {place.piece}"
    if place.what == "no-go":
        return f"no-go of {place.piece}"
    return f"{piece_words(job, place.piece)} ({place.what})"


def mark_words(job: Job, one: Met) -> str:
    """What a tool must mind at a place; blank: nothing of its own."""
    if one.mark != "bend":
        return _MARKS[one.mark]
    shift_m = abs(job.ytool.bend_offset_m.or_else(0.0))
    return f"axis shifts {show(shift_m, Dimension.LENGTH, job.units, small=True)}"


def valve_words(job: Job, found: Access) -> tuple[str, ...]:
    """A warning for each safety valve on the way."""
    return tuple(
        f"{one.what[:1].upper()}{one.what[1:]} at"
        f" {show(one.top_md_m, Dimension.LENGTH, job.units)}: hold its flapper open, and prove it,"
        " before and while a tool is in it or below."
        for one in found.valves
    )


def unchecked_words() -> tuple[str, ...]:
    """What this answer never holds, whatever the job states."""
    return (
        "tree, its valves and the lubricator above the hanger: not in the job",
        "passing below the open end, and the way back into it",
    )


def place_words(job: Job, way: BypassWay, where: str, depth_m: float) -> str:
    """Where on the way a tool has least room: a piece and a depth.

    Parameters
    ----------
    job : Job
        Its units.
    way : BypassWay
        The way.
    where : str
        The piece.
    depth_m : float
        Depth below the top of the way [m].

    Notes
    -----
    A long pipe above the Y-tool is taken bent all along as at its sharpest place: no
    one depth of it decides, so both its ends are told.
    """
    md_m = way.top_md_m + depth_m
    piece = next((one for one in way.pieces if one.what == where), None)
    long = piece is not None and piece.kind in PIPE and piece.length_m > _LONG_M
    if piece is None or not long:
        return f"{where}, {show(md_m, Dimension.LENGTH, job.units)}"
    top, foot = (
        show(one, Dimension.LENGTH, job.units) for one in (piece.top_md_m, piece.bottom_md_m)
    )
    return f"{where}, {top.rpartition(' ')[0]} to {foot}"


def way_facts(job: Job, way: BypassWay, found: Access) -> Iterator[tuple[str, str]]:
    """Greatest inclination, sharpest dogleg of the hole, and what hangs bent sharper.

    Parameters
    ----------
    job : Job
        Its units.
    way : BypassWay
        The way.
    found : Access
        What is met on it.
    """
    steep = "not known"
    if found.steepest is not None:
        angle = show(found.steepest[0], Dimension.ANGLE, job.units)
        steep = f"{angle} at {_depth(job, found.steepest[1])}"
    yield "Greatest inclination", steep
    top, foot = (_depth(job, md_m) for md_m in way.curve.at_md_m)
    bend = f"{_dogleg(job, way.curve.rad_m)} at {top.rpartition(' ')[0]} to {foot}"
    source = way.curve.source
    held = "allowance in it" if "and the survey's allowance" in source else "no allowance in it"
    yield "Sharpest dogleg", f"{bend}; {held}"
    if way.sharpest is not None:
        sharp = _dogleg(job, way.sharpest.bend_rad_m)
        yield "Hangs bent to", f"{sharp}, {way.sharpest.what}, worst roll"


def _depth(job: Job, md_m: float) -> str:
    return show(md_m, Dimension.LENGTH, job.units, digits=1)


def _dogleg(job: Job, rad_m: float) -> str:
    return show(rad_m, Dimension.DOGLEG, job.units)
