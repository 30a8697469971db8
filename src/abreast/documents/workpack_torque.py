"""The torque to which each piece is made up on the one below it, as the job states it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from abreast.documents.tally import Tally, TallyRow
from abreast.model import Assembly, EspPiece, FixedPiece, Job, Quantity, RackItem, esp_string
from abreast.units import Dimension, figure

__all__ = ["torques"]


def torques(made: Tally, assembly: Assembly) -> dict[str, str]:
    """Words for the lower joint of each piece, by id; what is not known is left out.

    Parameters
    ----------
    made : Tally
        The tally of the string.
    assembly : Assembly
        The string, which tells the union and the Y-tool from the rest.

    Returns
    -------
    dict of str
        Pipe: least, wanted and greatest torque of its thread, or the piece's own.
        ESP: the joint of the piece below it, each bolt for a flange. Y-tool: both
        legs. Without a unit; the page tells it.
    """
    job = made.job
    found = {row.id: _of_thread(job, row) for row in made.rows if row.part != "ESP"}
    found |= dict(_own(job)) | dict(_of_esp(job))
    for row in [row for row in made.rows if row.part != "ESP"][:1]:
        found.pop(row.id, None)  # the lowest end of the bypass is made up on nothing
    for one in assembly.pieces:
        if one.kind == "union" and job.union.torque_nm.is_given:
            found[one.id] = _figure(job, job.union.torque_nm)
        elif one.kind == "Y-tool":
            found[one.id] = _of_legs(job)
    return {name: words for name, words in found.items() if words}


def _figure(job: Job, torque: Quantity) -> str:
    return "?" if torque.given is None else figure(torque.given, Dimension.TORQUE, job.units)


def _of_thread(job: Job, row: TallyRow) -> str:
    if not row.lower.endswith(" pin"):
        return ""
    code = row.lower.removesuffix(" pin")
    thread = next((one for one in job.threads if one.id == code), None)
    if thread is None:
        return ""
    values = (thread.torque_min_nm, thread.torque_opt_nm, thread.torque_max_nm)
    known = any(one.is_given for one in values)
    return " / ".join(_figure(job, one) for one in values) if known else ""


def _own(job: Job) -> Iterator[tuple[str, str]]:
    """Pieces of pipe that state their own torque, which comes before that of the thread."""
    items: tuple[RackItem | FixedPiece, ...] = (*job.rack, *job.tail)
    for item in items:
        if item.torque_nm.is_given:
            yield item.id, _figure(job, item.torque_nm)


def _of_esp(job: Job) -> Iterator[tuple[str, str]]:
    """The joint under each ESP piece is the upper joint of the piece below."""
    string = esp_string(job)
    for below, piece in pairwise(string):
        yield piece.id, _joint(job, below)


def _joint(job: Job, piece: EspPiece) -> str:
    if piece.workshop_joint_above:
        return "workshop joint"
    if not piece.upper_joint_torque_nm.is_given:
        return ""
    words = _figure(job, piece.upper_joint_torque_nm)
    return f"{words} each bolt" if piece.upper_joint == "flange" else words


def _of_legs(job: Job) -> str:
    legs = {"ESP leg": job.ytool.esp_leg_torque_nm, "bypass leg": job.ytool.bypass_leg_torque_nm}
    return ", ".join(f"{name} {_figure(job, one)}" for name, one in legs.items() if one.is_given)
