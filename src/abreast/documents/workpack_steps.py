"""What is set, closed and connected between the pieces of the running list, and where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast.documents.workpack_words import (
    Data,
    by_tape,
    seat_name,
    shift,
    two_ways,
    with_unit,
)
from abreast.errors import AbreastError
from abreast.mechanics.cable import pothead
from abreast.model import Assembly, Job, PlacedClamp, Quantity, TwinClamp, seat_range
from abreast.units import Dimension, show

__all__ = ["AFTER_BASE", "Step", "of_stage", "steps"]

AFTER_BASE = -1
"""Stage of the step that follows the base support, whichever stage that is in."""

_LATE = "The landing is passed: confirm from the record that this was done"


@dataclass(frozen=True, slots=True)
class Step:
    """A line of the running list that is no piece.

    ``stage`` counts the landings from 0: the step is done before that landing; as
    many as there are landings: after the last one. An early step comes before the
    pieces of its stage.
    """

    stage: int
    tag: str
    text: str
    blanks: tuple[str, ...]
    done: str = ""
    early: bool = False

    def as_data(self) -> Data:
        """The step as the template prints it."""
        return {"tag": self.tag, "text": self.text, "blanks": self.blanks, "done": self.done}


def steps(job: Job, assembly: Assembly) -> list[Step]:
    """The steps in their order within each stage: cable, seat of a top-hung string, clamps, union.

    Parameters
    ----------
    job : Job
        The job, for torques, limits and what is in the well.
    assembly : Assembly
        The string as planned.

    Returns
    -------
    list of Step
        A twin clamp on the neck that stands on the plate is closed in the stage
        after that landing: the next section has been added and the block holds.
    """
    clamps = [
        _clamp(job, assembly, one, _clamp_stage(job, assembly, one)) for one in assembly.clamps
    ]
    first = min((one.stage for one in clamps), default=0)
    return [
        *_cable(job, assembly),
        _seat(job, assembly, first if job.is_top_hung else AFTER_BASE),
        *_union(job, assembly),
        *clamps,
    ]


# --- seat ---------------------------------------------------------------------------


def _seat(job: Job, assembly: Assembly, stage: int) -> Step:
    allowed, name = seat_range(job), seat_name(job)
    when = " before the first twin clamp is tight" if job.is_top_hung else ""
    locked = allowed.locked_m is not None
    verb = "is locked at" if locked else "to"
    text = f"{name} {verb} {two_ways(job, assembly.seat_m)}{'' if locked else when}"
    if not locked and abs(assembly.seat_m - allowed.planned_m) > 1e-6:
        text += f"; NOT the {two_ways(job, allowed.planned_m)} that the job had planned"
    tag = "SET STICK-DOWN" if job.is_top_hung else "SET SEAT"
    return Step(stage, tag, text, ("measured", "name", "second name"), "locked" if locked else "")


# --- twin clamps --------------------------------------------------------------------


def _clamp_stage(job: Job, assembly: Assembly, clamp: PlacedClamp) -> int:
    """The stage in which the place of the clamp is above the plate for the last time."""
    typed = _typed(job, clamp)
    for number, landing in enumerate(assembly.landings):
        if typed.piece == landing.piece:
            return number + 1
        if landing.neck_m >= clamp.height_m:
            return number
    return len(assembly.landings)


def _typed(job: Job, clamp: PlacedClamp) -> TwinClamp:
    return next(one for one in job.clamps if one.id == clamp.id)


def _clamp(job: Job, assembly: Assembly, clamp: PlacedClamp, stage: int) -> Step:
    typed = _typed(job, clamp)
    place = f"on the neck of {typed.piece}" if typed.piece else f"beside {clamp.on_piece}"
    onto = f", over {clamp.on_item}" if clamp.on_item else ""
    bolts = f"{typed.bolts} bolts" if typed.bolts else "bolts"
    if clamp.shift_m:
        onto += f", MOVED by {shift(job, clamp.shift_m)}"
    text = (
        f"{clamp.id} {place}{onto}, middle at z {with_unit(job, clamp.height_m)};"
        f" {bolts} to {_torque(job, typed.bolt_torque_nm)}."
        f" {_held(assembly, stage)}{_passed(job, stage)}"
    )
    return Step(stage, "CLOSE CLAMP", text, ("torque made", "name"))


def _held(assembly: Assembly, stage: int) -> str:
    if stage >= len(assembly.landings):
        return "The block holds at the Y-tool, the lifting clamp is off"
    return "The next section is made up, the block holds, the lifting clamp is off"


def _passed(job: Job, stage: int) -> str:
    """That the landing is passed does not say that the step was done: nobody recorded it."""
    late = stage < job.in_well.landings_passed
    return f". {_LATE}" if late else ""


def _torque(job: Job, torque: Quantity) -> str:
    if torque.given is None:
        return "the torque of the maker (not stated in the job)"
    return show(torque.given, Dimension.TORQUE, job.units)


# --- cable --------------------------------------------------------------------------


def _cable(job: Job, assembly: Assembly) -> Iterator[Step]:
    """Connecting the MLE where hands first reach the pothead, else where it must be hoisted."""
    if job.mle is None:
        return
    stage, text, early = _pothead_place(job, assembly)
    blanks = ("phase, IR before", "phase, IR after", "name", "second name")
    yield Step(stage, "CONNECT MLE", text + _passed(job, stage), blanks, early=early)


def _pothead_place(job: Job, assembly: Assembly) -> tuple[int, str, bool]:
    port = pothead(job)
    if port is None:
        return 0, "at which landing is not planned: needs a port of kind pothead in ports.csv", True
    try:
        placed = next(one for one in assembly.side("esp") if one.id == port.piece)
        height_m = placed.bottom_m + port.height_m.si
    except (AbreastError, StopIteration):
        text = f"at which landing is not planned: needs the height of {port.id} in ports.csv"
        return 0, text, True
    ids = [one.id for one in assembly.landings]
    own = ids.index(placed.landing) if placed.landing in ids else len(ids)
    return _reached(job, assembly, own, height_m)


def _reached(job: Job, assembly: Assembly, own: int, height_m: float) -> tuple[int, str, bool]:
    """Stage, words, and whether early, for a pothead whose section lands as number ``own``."""
    high_m = job.window.high_m.si
    landings = list(enumerate(assembly.landings))[max(own - 1, 0) :]
    for number, landing in landings:
        above_m = height_m - landing.neck_m
        if 0 <= above_m <= high_m:
            text = f"pothead {by_tape(job, above_m)} above the plate at landing {landing.id}"
            return number + 1, text, True
    return _out_of_reach(job, assembly, own, height_m)


def _out_of_reach(job: Job, assembly: Assembly, own: int, height_m: float) -> tuple[int, str, bool]:
    if own >= len(assembly.landings):
        return own, "no landing brings the pothead within reach: hoist for it", False
    landing = assembly.landings[own]
    above_m = height_m - landing.neck_m
    if above_m > 0:
        high = f"{by_tape(job, above_m)} above the plate at landing {landing.id}"
        return own, f"pothead {high}, out of reach: before the section is stood up", True
    low = f"{by_tape(job, -above_m)} below the plate at landing {landing.id}"
    text = f"pothead {low}: the block must hoist it above the plate and hold it, brake chained"
    return own + 1, text, False


# --- union --------------------------------------------------------------------------


def _union(job: Job, assembly: Assembly) -> Iterator[Step]:
    union = assembly.union
    if union is None:
        return
    travel_m = job.union.travel_per_turn_m.known
    turns = f", {union.to_close_m / travel_m:.1f} turns from closed" if travel_m else ""
    lock = job.union.lock or "lock as the maker says (not stated in the job)"
    text = (
        f"length {two_ways(job, union.length_m)}: stroke exposed"
        f" {two_ways(job, union.to_close_m)}{turns}. Run to snug, mark, then only the turns that"
        f" the programme says. Lock: {lock}, {_torque(job, job.union.lock_torque_nm)}"
    )
    blanks = ("stroke exposed", "turns from snug", "lock torque", "name", "second name")
    yield Step(len(assembly.landings), "SET UNION", text, blanks)


def of_stage(found: Sequence[Step], stage: int, *, early: bool = False) -> list[Data]:
    """The steps of one stage as data, in order: those before its pieces, or those after."""
    return [one.as_data() for one in found if one.stage == stage and one.early == early]
