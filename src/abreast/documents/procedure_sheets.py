"""Sheets to fill in: the union card, torque, electrical, drift, counts, and shift hand-over."""

from __future__ import annotations

from collections.abc import Sequence

from abreast.documents.procedure_words import Floor, hold_lines, numbers_of
from abreast.documents.workpack_words import Data
from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.load_lines import plate_hold, read_pair
from abreast.mechanics.load_share import Pair, misfit_for, share
from abreast.model import Assembly, Finding, Job
from abreast.model import floor_actions as fa
from abreast.model.procedure import FloorUnion, Step
from abreast.procedure.prove import Proof
from abreast.procedure.words import step_words
from abreast.units import Dimension, display_unit

__all__ = ["check_sheets", "hand_over_pages", "union_card"]

_QUARTERS = 8


# --- union ----------------------------------------------------------------------------------


def union_card(
    floor: Floor, job: Job, assembly: Assembly, findings: Sequence[Finding]
) -> Data | None:
    """Stroke and force to expect for each quarter turn; None when there is no union."""
    union = floor.procedure.union
    if union is None:
        return None
    told = [
        (one.where, one.status, one.text)
        for one in findings
        if one.id.partition(":")[0] in ("union-stroke", "union-take-up")
    ]
    return {
        "stroke": _stroke(floor, union),
        "wanted": _wanted(floor, union),
        "rows": _quarters(floor, union, job, assembly),
        "needs": _needs(job, assembly),
        "told": told,
        "length_unit": display_unit(Dimension.LENGTH, floor.system, small=True),
    }


def _stroke(floor: Floor, union: FloorUnion) -> list[tuple[str, str]]:
    def small(value_m: float | None) -> str:
        return "not known" if value_m is None else floor.size(value_m)

    return [
        ("union", floor.piece(union.piece)),
        ("stroke left to closed, planned", small(union.to_closed_m)),
        ("stroke left to open, planned", small(union.to_open_m)),
        ("travel of one turn", small(union.travel_m)),
    ]


def _wanted(floor: Floor, union: FloorUnion) -> str:
    if union.turns_wanted is None:
        return "not stated: the person in charge writes it here before the union is turned"
    count = f"{union.turns_wanted:g} turn{'' if union.turns_wanted == 1 else 's'} from snug"
    if union.travel_m is None:
        return count
    return f"{count}, {floor.size(union.turns_wanted * union.travel_m)}"


def _needs(job: Job, assembly: Assembly) -> str:
    try:
        read_pair(job, assembly), plate_hold(job, assembly)
    except MissingInputError as fault:
        return f"not checked: needs {fault.needs}"
    except AbreastError as fault:
        return f"not checked: {fault.message}"
    return ""


def _quarters(floor: Floor, union: FloorUnion, job: Job, assembly: Assembly) -> list[Data]:
    """Quarter turns from snug with the forces that each brings; blank where not known."""
    pair = None if _needs(job, assembly) else read_pair(job, assembly)
    travel_m = union.travel_m
    return [_quarter(floor, n, travel_m, pair, job, assembly) for n in range(_QUARTERS + 1)]


def _quarter(
    floor: Floor, n: int, travel_m: float | None, pair: Pair | None, job: Job, assembly: Assembly
) -> Data:
    row = {"turns": f"{n / 4:g}", "taken": "", "force": "", "plate": "", "block": ""}
    if travel_m is None:
        return row
    taken_m = n / 4 * travel_m
    row["taken"] = floor.size(taken_m)
    if pair is None:
        return row
    row["force"] = floor.load(taken_m * pair.stiffness_n_m)
    if job.is_top_hung:
        return row | {"plate": "not reckoned: top-hung", "block": "not reckoned: top-hung"}
    snug = plate_hold(job, assembly)
    if taken_m > max(misfit_for(pair, pair.hanging_n, snug=snug), 0.0):
        return row | {"plate": "beyond the whole load", "block": "presses the ESP"}
    seated = job.base is not None and job.base.retainer_load_n.state == "not applicable"
    try:
        now = share(pair, taken_m, snug=snug, now=snug, seated=seated)
        later = share(pair, taken_m, snug=snug, seated=seated)
    except AbreastError as fault:
        return row | {"plate": f"not checked: {fault.message}"}
    row["plate"] = f"union {floor.load(now.union_n)}"
    row["block"] = f"bypass {floor.load(later.union_n)}, ESP {floor.load(later.esp_top_n)}"
    return row


# --- check sheets ---------------------------------------------------------------------------


def check_sheets(floor: Floor, steps: Sequence[Step]) -> Data:
    """Torque, electrical, drift and counts, each line with the step it belongs to."""
    return {
        "torque_unit": floor.unit(Dimension.TORQUE),
        "temperature_unit": floor.unit(Dimension.TEMPERATURE),
        "torque": [_torque(floor, one) for one in steps if isinstance(one.action, fa.MakeUp)],
        "electrical": [
            (one.id, step_words(floor, one)) for one in steps if "electrical" in one.records
        ],
        "drift": [
            (one.id, piece)
            for one in steps
            if "drift" in one.records and isinstance(one.action, fa.PickUp)
            for piece in one.action.pieces
        ],
        "counts": _counts(floor, steps),
    }


def _torque(floor: Floor, step: Step) -> tuple[str, str, str, str]:
    action = step.action
    assert isinstance(action, fa.MakeUp)
    joint = floor.joints.get(action.joint)
    if joint is None:
        return step.id, action.joint, "not known", ""
    low_high = joint.torque_nm
    window = "not known" if low_high is None else " to ".join(map(floor.torque, low_high))
    wanted = joint.wanted_nm if joint.wanted_nm is not None else action.torque_nm
    return (
        step.id,
        floor.join(action.joint),
        window,
        "" if wanted is None else floor.torque(wanted),
    )


def _counts(floor: Floor, steps: Sequence[Step]) -> list[tuple[str, str, str]]:
    """Each holder that is fitted to the string: steps at which it goes out and comes in."""
    out: dict[str, list[str]] = {}
    back: dict[str, list[str]] = {}
    for one in steps:
        match one.action:
            case fa.Fit() | fa.FitSafetyClamp():
                out.setdefault(one.action.holder, []).append(one.id)
            case fa.Remove() | fa.RemoveSafetyClamp():
                back.setdefault(one.action.holder, []).append(one.id)
    rows = [(floor.holder(own), ", ".join(out[own]), ", ".join(back.get(own, []))) for own in out]
    loose = ("thread protectors", "bolts and keys", "hand tools and lanyards", "cable clips")
    return rows + [(one, "", "") for one in loose]


# --- hand-over ------------------------------------------------------------------------------


def hand_over_pages(floor: Floor, proof: Proof) -> list[Data]:
    """At the end of each phase: where the job is, what hangs on what, what is open."""
    found = []
    for index, one in enumerate(proof.steps):
        last = index + 1 == len(proof.steps)
        if not last and proof.steps[index + 1].step.phase == one.step.phase:
            continue
        found.append(
            {
                "title": one.step.phase or "steps",
                "step": one.step.id,
                "next": "" if last else proof.steps[index + 1].step.id,
                "holds": hold_lines(floor, one.numbers.holds),
                "facts": numbers_of(floor, one.numbers, one.after)[1:3],
                "open": _open(floor, proof, index),
            }
        )
    return found


def _open(floor: Floor, proof: Proof, index: int) -> list[str]:
    """Joints that are not finished, and what must still be confirmed for what is done."""
    state = proof.steps[index].after
    found = [
        f"joint {floor.join(name)}: {'not made up' if how == 'entered' else 'torque not written'}"
        for name, how in state.joints.items()
        if how != "recorded" and floor.sort(name) not in ("seat", "workshop", "socket")
    ]
    found += [
        f"due: {due.text}"
        for due in floor.dues.values()
        if due.id not in state.confirmed and due.after and due.after in state.done
    ]
    ground = {"open": "halves back", "closed": "closed", "off": "off"}[state.plate]
    found.append(f"false rotary {ground}; hole {'covered' if state.covered else 'not covered'}")
    if state.mle:
        found.append(f"MLE connected; reel {'follows' if state.reel == 'follow' else 'held'}")
    return found
