"""Sheets for the rig floor: the running list, the tally, and the rack with its pull order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from abreast.documents.tally import Tally, TallyRow, why_struck
from abreast.documents.workpack_front import tape_check
from abreast.documents.workpack_steps import AFTER_BASE, Step, of_stage, steps
from abreast.documents.workpack_torque import torques
from abreast.documents.workpack_words import (
    Data,
    by_tape,
    length,
    length_unit,
    shift,
    with_unit,
)
from abreast.model import Assembly, Job, LandingState, PlacedClamp, RackItem
from abreast.spaceout.assemble import BASE_ID
from abreast.units import Dimension, display_unit

__all__ = ["pull_order", "rack_sheet", "running_list", "tally_sheet"]


# --- running list -------------------------------------------------------------------


def running_list(made: Tally, assembly: Assembly) -> Data:
    """Every piece in running order, parted by the landings; blanks to write on.

    Parameters
    ----------
    made : Tally
        The tally of the string.
    assembly : Assembly
        The string, for its landings and the tape check.

    Returns
    -------
    dict
        ``stages``, each with a title, its pieces, the steps after them, and the
        landing that ends it. A piece has ``after``, the steps that follow it.
    """
    job, torque, found = made.job, torques(made, assembly), steps(made.job, assembly)

    def set_out(rows: list[TallyRow]) -> list[Data]:
        return [_piece(made, row, torque, found) for row in rows]

    first, last = _before_and_after(made, {landing.id for landing in assembly.landings})
    stages = [_stage("Before the first landing", set_out(first))] if first else []
    for number, landing in enumerate(assembly.landings):
        rows = [row for row in made.rows if row.landing == landing.id]
        passed = number < job.in_well.landings_passed
        stages.append(_stage(f"For landing {landing.id}, {landing.piece}", set_out(rows)))
        stages[-1]["landing"] = _landing(job, landing, passed)
        stages[-1] |= _steps(found, number)
    if last:
        stages.append(_stage("After the last landing", set_out(last)))
        stages[-1]["tape"] = tape_check(job, assembly)
        stages[-1] |= _steps(found, len(assembly.landings))
    return {
        "unit": length_unit(job),
        "torque_unit": display_unit(Dimension.TORQUE, job.units),
        "stages": stages,
        "clamps": [_clamp(job, clamp) for clamp in assembly.clamps],
    }


def _before_and_after(made: Tally, landings: set[str]) -> tuple[list[TallyRow], list[TallyRow]]:
    """Rows of no landing: those before the first piece that lands, and those after."""
    landed = [row.number for row in made.rows if row.landing in landings and row.number]
    start = min(landed, default=len(made.rows) + 1)
    rest = [row for row in made.rows if row.landing not in landings]
    first = [row for row in rest if row.number is not None and row.number < start]
    return first, [row for row in rest if row not in first]


def _stage(title: str, rows: list[Data]) -> Data:
    return {"title": title, "rows": rows, "early": [], "steps": [], "landing": None, "tape": ""}


def _steps(found: Sequence[Step], number: int) -> Data:
    return {"early": of_stage(found, number, early=True), "steps": of_stage(found, number)}


def _piece(made: Tally, row: TallyRow, torque: Mapping[str, str], found: Sequence[Step]) -> Data:
    return {
        "after": of_stage(found, AFTER_BASE) if row.id == BASE_ID else [],
        "no": str(row.number),
        "id": row.id,
        "what": row.what if row.what != row.id else "",
        "string": row.part,
        "adds": length(made.job, row.effective_m),
        "lift": _lift(made, row),
        "torque": torque.get(row.id, ""),
        "in_well": row.state == "run",
        "note": row.reason,
    }


def _landing(job: Job, landing: LandingState, passed: bool) -> Data:
    low, high = landing.window_m
    return {
        "id": landing.id,
        "piece": landing.piece,
        "above": by_tape(job, landing.above_plate_m),
        "window": f"{length(job, low)} to {with_unit(job, high)}",
        "passed": passed,
    }


def _clamp(job: Job, clamp: PlacedClamp) -> Data:
    return {
        "id": clamp.id,
        "height": length(job, clamp.height_m),
        "on": clamp.on_piece,
        "over": clamp.on_item,
        "below": length(job, clamp.free_below_m),
        "above": length(job, clamp.free_above_m),
        "shift": shift(job, clamp.shift_m) if round(clamp.shift_m, 4) else "none",
    }


# --- tally --------------------------------------------------------------------------


def tally_sheet(made: Tally) -> Data:
    """The tally in full; struck pieces stay in it, struck."""
    job = made.job
    return {
        "unit": length_unit(job),
        "datum": made.datum,
        "rows": [_tally_row(job, row) for row in made.rows],
        "struck": [_tally_row(job, row) for row in made.struck],
        "left": [_tally_row(job, row) for row in made.left],
        "sums": [
            {
                "part": one.part,
                "count": str(one.count),
                "overall": length(job, one.overall_m),
                "loss": length(job, one.loss_m),
                "effective": length(job, one.effective_m),
            }
            for one in made.sums
        ],
        "closure": _closure(made),
    }


def _tally_row(job: Job, row: TallyRow) -> Data:
    return {
        "no": "" if row.number is None else str(row.number),
        "part": row.part,
        "id": row.id,
        "what": row.what if row.what != row.id else "",
        "ends": _ends(row),
        "overall": length(job, row.overall_m),
        "loss": length(job, row.loss_m),
        "effective": length(job, row.effective_m),
        "cumulative": length(job, row.cumulative_m),
        "top": length(job, row.top_m),
        "depth": length(job, row.top_md_m),
        "landing": row.landing,
        "serial": row.serial,
        "reason": row.reason,
    }


def _ends(row: TallyRow) -> str:
    low, high = row.lower.rpartition(" "), row.upper.rpartition(" ")
    if row.lower and row.upper and low[0] == high[0]:
        return f"{row.lower}/{high[2]}"
    return " x ".join(text for text in (row.lower, row.upper) if text)


def _closure(made: Tally) -> list[tuple[str, str]]:
    """The sum that must close, line by line."""
    job = made.job
    pipe_m = next((one.effective_m for one in made.sums if one.part == "bypass"), 0.0)
    lines = [("bypass connection, z", made.connection_m), ("bypass pipe above it", pipe_m)]
    if made.union_m is not None:
        lines += [
            ("union as set", made.union_m),
            ("sum, z", made.connection_m + pipe_m + made.union_m),
        ]
    lines.append(("bypass leg of the Y-tool, z", made.leg_m))
    return [(name, length(job, value_m)) for name, value_m in lines]


# --- rack ---------------------------------------------------------------------------


def rack_sheet(job: Job, made: Tally | None) -> Data:
    """The rack as it is typed, what to pull and when, and what is red-taped."""
    pulls = pull_order(made) if made is not None else []
    numbers = {pull["id"]: pull["pull"] for pull in pulls}
    barred = _barred(job)
    return {
        "unit": length_unit(job),
        "pulls": pulls,
        "rows": [
            _rack_row(job, item, place, numbers.get(item.id, ""), barred.get(item.id, ""))
            for place, item in enumerate(job.rack, 1)
        ],
        "taped": len(barred),
    }


def pull_order(made: Tally) -> list[Data]:
    """Rack pieces in the order in which they leave the rack."""
    items = {item.id: item for item in made.job.rack}
    rows = [row for row in made.rows if row.id in items]
    return [_pull(made, row, items[row.id], n) for n, row in enumerate(rows, 1)]


def _pull(made: Tally, row: TallyRow, item: RackItem, number: int) -> Data:
    lift = _lift(made, row)
    place = [one.id for one in made.job.rack].index(item.id) + 1
    return {
        "pull": str(number),
        "id": row.id,
        "kind": item.kind,
        "overall": length(made.job, row.overall_m),
        "when": _when(row),
        "lift": f"one lift, made up on the rack: {lift}" if lift else "",
        "place": f"place {place}",
        "note": item.note,
        "in_well": row.state == "run",
    }


def _lift(made: Tally, row: TallyRow) -> str:
    """The pieces that go up with this one, and the name of their lift; blank for a single."""
    pieces = [one.id for one in made.rows if row.lift and one.lift == row.lift]
    if len(pieces) < 2:
        return ""
    named = "+".join(pieces)
    return named if named == row.lift else f"{named} ({row.lift})"


def _when(row: TallyRow) -> str:
    if row.part == "tail":
        return "tail"
    return f"before landing {row.landing}" if row.landing else "after the last landing"


def _barred(job: Job) -> dict[str, str]:
    """Why each piece that may not be run may not, by id."""
    return {item.id: reason for item in job.rack if (reason := why_struck(job, item))}


def _rack_row(job: Job, item: RackItem, place: int, pull: str, barred: str) -> Data:
    kept = "kept for the tail" if item.usable_for == "tail" else "stays on the rack"
    return {
        "place": str(place),
        "id": item.id,
        "kind": item.kind,
        "ends": f"{item.lower_end}/{item.upper_end}",
        "overall": length(job, item.overall_m.known),
        "pull": pull,
        "barred": barred,
        "kept": "" if pull or barred else kept,
        "note": "" if item.note and item.note in barred else item.note,
    }
