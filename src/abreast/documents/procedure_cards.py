"""Cards of the rig floor: the lift plan, the state at each landing, and shut-in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from abreast.documents.procedure_words import (
    Floor,
    hold_lines,
    link_text,
    numbers_of,
    percent,
    span,
)
from abreast.documents.workpack_words import Data
from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.across import Across, Moment, across
from abreast.mechanics.fit import fit
from abreast.mechanics.ledger import HoldLoad
from abreast.model import Assembly, Job
from abreast.model import floor_actions as fa
from abreast.procedure.prove import Proof, ProvedStep
from abreast.procedure.words import step_words

__all__ = ["floor_cards", "lift_plan", "shut_in_cards"]

_NEXT = 4
_STOPS = 5


# --- lift plan ------------------------------------------------------------------------------


def lift_plan(floor: Floor, proof: Proof) -> Data:
    """Each lift from the catwalk, and each time that lines take the whole string."""
    lifts = [_lift(floor, one) for one in proof.steps if isinstance(one.step.action, fa.PickUp)]
    takes = [_take(floor, one) for one in proof.steps if isinstance(one.step.action, fa.Take)]
    ratio = floor.factor
    return {
        "factor": "not stated: loads below are static" if ratio is None else f"{ratio:g}",
        "origin": floor.procedure.site.dynamic_origin,
        "lifts": lifts,
        "takes": takes,
    }


def _lift(floor: Floor, one: ProvedStep) -> Data:
    action = one.step.action
    assert isinstance(action, fa.PickUp)
    return _row(floor, one, floor.weight(action.pieces), action.pieces, (action.line,))


def _take(floor: Floor, one: ProvedStep) -> Data:
    action = one.step.action
    assert isinstance(action, fa.Take)
    return _row(floor, one, "", ("whole string",), action.lines)


def _row(
    floor: Floor, one: ProvedStep, mass: str, pieces: Sequence[str], lines: Sequence[str]
) -> Data:
    holds = [hold for hold in one.numbers.holds if hold.by in lines]
    left_m = one.numbers.hook_left_m
    return {
        "step": one.step.id,
        "pieces": " + ".join(pieces),
        "mass": mass,
        "chain": [part for hold in holds for part in _chain(floor, one, hold)],
        "hook": "not known" if left_m is None else floor.length(left_m),
        "weakest": link_text(floor, one.numbers.weakest),
    }


def _chain(floor: Floor, one: ProvedStep, hold: HoldLoad) -> Iterator[Data]:
    """Line, gear and holder, top first, each with its rating and where that is from."""
    line = next(own for own in floor.procedure.lines if own.id == hold.by)
    yield _part(floor, floor.line(line.id), hold, line.rating_n, "rig data")
    state = next(own for own in one.after.holds if own.by == hold.by)
    for name in (*state.gear, hold.holder):
        own = floor.holders[name]
        yield _part(floor, floor.holder(name), hold, own.rating_n, own.origin)


def _part(floor: Floor, name: str, hold: HoldLoad, rating_n: float | None, origin: str) -> Data:
    used = None if rating_n is None else hold.high_n * (floor.factor or 1.0) / rating_n
    return {
        "name": name,
        "load": span(floor, (hold.low_n, hold.high_n)),
        "rating": "not known" if rating_n is None else floor.load(rating_n),
        "origin": origin or ("" if rating_n is None else "no origin stated"),
        "used": percent(used),
    }


# --- floor state ----------------------------------------------------------------------------


def floor_cards(floor: Floor, proof: Proof) -> list[Data]:
    """A card for each landing: the floor once the plate carries, and what comes next."""
    found = []
    for index in _landed_at(proof):
        one = proof.steps[index]
        coming = proof.steps[index + 1 :]
        found.append(
            {
                "title": one.step.phase,
                "step": one.step.id,
                "holds": hold_lines(floor, one.numbers.holds),
                "guards": [
                    f"{floor.holder(guard.holder)} on {guard.on}, a back-up and no holder"
                    for guard in one.after.guards
                ],
                "facts": numbers_of(floor, one.numbers, one.after),
                "later": _after_next_lift(floor, coming),
                "next": [
                    f"{later.step.id}  {step_words(floor, later.step)}" for later in coming[:_NEXT]
                ],
                "stop": _stops(coming),
            }
        )
    return found


def _landed_at(proof: Proof) -> list[int]:
    """Index of the step after which the plate carries, for each landing of a clamp."""
    found, waits = [], False
    for index, one in enumerate(proof.steps):
        waits = waits or isinstance(one.step.action, fa.Land)
        if waits and isinstance(one.step.action, fa.SlackOff):
            found.append(index)
            waits = False
    return found


def _after_next_lift(floor: Floor, coming: Sequence[ProvedStep]) -> str:
    """Bypass top once the next bypass lift is made up on the string."""
    pieces = floor.procedure.pieces
    bypass = {one.id for one in pieces if one.string in ("bypass", "union")}
    for one in coming:
        action = one.step.action
        if isinstance(action, fa.Land):
            break
        if isinstance(action, fa.MakeUp) and floor.joints[action.joint].upper in bypass:
            top = dict(numbers_of(floor, one.numbers, one.after))["bypass top"]
            return f"{top} (step {one.step.id})"
    return "no bypass lift before the next landing"


def _stops(coming: Sequence[ProvedStep]) -> list[str]:
    """When to stop on the way to the next landing, each once."""
    found: dict[str, None] = {}
    for one in coming:
        if isinstance(one.step.action, fa.Land):
            break
        found |= dict.fromkeys(one.step.stop)
    return list(found)[:_STOPS]


# --- shut-in --------------------------------------------------------------------------------


def shut_in_cards(job: Job, assembly: Assembly) -> Data:
    """What stands across the BOP at each landing, and what must be ready."""
    if not job.bop:
        return {"cards": [], "why": "not checked: needs the table of the BOP"}
    try:
        found = fit(job, assembly)
        cards = [
            {
                "title": f"Landing {state.id}",
                "piece": state.piece,
                "open": _open_ends(job, assembly, state.bypass_top_m),
                "rows": [_seen(one) for one in across(job, found, Moment(state.id, state.neck_m))],
            }
            for state in assembly.landings
        ]
    except MissingInputError as fault:
        return {"cards": [], "why": f"not checked: needs {fault.needs}"}
    except AbreastError as fault:
        return {"cards": [], "why": f"not checked: {fault.message}"}
    why = "" if cards else "not checked: needs landings that the bypass reaches"
    return {"cards": cards, "why": why}


def _seen(one: Across) -> tuple[str, str, str]:
    word = {"yes": "seals on it", "no": "DOES NOT SEAL", "not known": "not checked"}[one.seals]
    needs = f"; needs {', '.join(one.needs)}" if one.needs else ""
    why = one.why if one.seals != "yes" else ""
    return one.element, " + ".join(one.pieces) or "nothing", f"{word} {why}{needs}".strip()


def _open_ends(job: Job, assembly: Assembly, top_m: float) -> str:
    """The end of the bypass that stands open at a landing, and its thread."""
    ends = {item.id: item.upper_end for item in job.rack}
    at = [
        one.id for one in assembly.pieces if one.side == "bypass" and abs(one.top_m - top_m) < 1e-6
    ]
    if not at:
        return "no bypass end stands open at the floor"
    end = ends.get(at[-1], "")
    return f"{at[-1]}, upper end {end}" if end else f"{at[-1]}, thread not known"
