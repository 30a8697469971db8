"""Depths of the completion above the Y-tool: from the Y-tool up, and from the hanger down."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.mechanics.bores import depth_at
from abreast.model import Assembly, Job, UpperItem
from abreast.units import Dimension, show

__all__ = ["PieceAbove", "pieces_above"]

_LANDS_M = 0.5
"""A hanger is no point: so far from the fixed reference of depths it still lands there."""


@dataclass(frozen=True, slots=True)
class PieceAbove:
    """A row of the upper completion where it hangs.

    Parameters
    ----------
    item : UpperItem
        The row.
    top_md_m, bottom_md_m : float
        Its depths from the datum of the assembly [m].
    follows : bool
        Its length is not stated: it fills what the others leave.
    """

    item: UpperItem
    top_md_m: float
    bottom_md_m: float
    follows: bool = False


def pieces_above(job: Job, assembly: Assembly) -> tuple[PieceAbove, ...]:
    """The completion above the Y-tool with its depths, the hanger first.

    Parameters
    ----------
    job : Job
        ``upper.csv``, and the elevation of the datum above the fixed reference.
    assembly : Assembly
        The twin string, whose Y-tool has a depth.

    Raises
    ------
    MissingInputError
        If the Y-tool has no depth, the table is empty, more than one length is
        open, or the lengths do not fill the hole from the hanger to the Y-tool.

    Notes
    -----
    One row may be "to fit": it ends where the row above it begins, counted from
    the hanger at the fixed reference of depths. Without such a row all depths
    count from the Y-tool.
    """
    foot_m = depth_at(assembly, assembly.top_m)
    if foot_m is None:
        raise MissingInputError(needs="depth of the Y-tool in section setting")
    if not job.upper:
        raise MissingInputError(needs="the completion above the Y-tool in upper.csv")
    to_fit = [one for one in job.upper if one.length_m.known is None]
    if len(to_fit) > 1:
        raise MissingInputError(needs=f"length of {to_fit[1].id}: only one item can be to fit")
    hanger_m = _hanger_md_m(job)
    rest_m = foot_m - hanger_m - sum(one.length_m.known or 0.0 for one in job.upper)
    if rest_m <= (0.0 if to_fit else -hanger_m):
        raise MissingInputError(needs="a completion that is no longer than the depth of the Y-tool")
    if not to_fit:
        _reaches(job, rest_m)
    found: list[PieceAbove] = []
    for item in job.upper:
        length_m = item.length_m.known
        top_m = foot_m - (rest_m if length_m is None else length_m)
        found.append(PieceAbove(item, top_m, foot_m, length_m is None))
        foot_m = top_m
    return tuple(reversed(found))


def _hanger_md_m(job: Job) -> float:
    """Where the hanger lands: the fixed reference, from the datum of the job [m]."""
    zero = next((one for one in job.datums if one.id == job.depth_datum), None)
    if zero is None:
        raise MissingInputError(needs=f"datum {job.depth_datum} in datums.csv")
    return zero.elevation_m.si


def _reaches(job: Job, rest_m: float) -> None:
    """Whether lengths that are all stated reach up to the hanger."""
    if rest_m > job.setting.tolerance_m.or_else(0.0) + _LANDS_M:
        gap = show(rest_m, Dimension.LENGTH, job.units)
        needs = f"the rest of the completion in upper.csv: {gap} are missing up to its hanger"
        raise MissingInputError(needs=f"{needs}; one item may be to fit")
