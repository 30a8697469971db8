"""Small procedures of every load path, made by hand, and tools to break them.

The esp-held, bypass-held and both-held ones share their pieces: a tail joint, a
base support, two ESP sections, two bypass joints, a union and a Y-tool.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tests.procedure.hand_hung import hand_hung
from tests.procedure.hand_made import (
    ACTIONS,
    FT,
    HOLDERS,
    LB,
    LBF,
    LBF_FT,
    PIECES,
    PLATE_FT,
    SITE,
    T,
    bare,
    bypass,
    move,
    slick,
)

from abreast.mechanics.ledger import Fault, Ledger, State
from abreast.model.procedure import ClampPlace, FloorHolder, HoistLine, Procedure, Step
from abreast.procedure.prove import prove

Actions = list[dict[str, Any]]

__all__ = [
    "FT",
    "LB",
    "LBF",
    "LBF_FT",
    "PLATE_FT",
    "SITE",
    "Actions",
    "act",
    "actions",
    "at",
    "both_held",
    "bypass_held",
    "esp_held",
    "move",
    "rule",
    "spliced",
    "top_hung",
    "upto",
]

LOWER = ClampPlace(
    id="C1", z_m=30.9 * FT, mass_kg=46 * LB, esp="motor", bypass="B05", torque_nm=80.0, bolts=4
)
UPPER = ClampPlace(id="C2", z_m=41.1 * FT, mass_kg=40 * LB, esp="pump", bypass="P07")
MORE = (
    FloorHolder(id="HC", type="holding clamp", rating_n=30000 * LBF, origin=T),
    FloorHolder(
        id="EL-B", type="elevator", rating_n=20000 * LBF, pipe_od_m=0.073, length_m=0.4, origin=T
    ),
    FloorHolder(id="SUB2", type="lifting sub", rating_n=20000 * LBF, pipe_od_m=0.0889, origin=T),
)
BLOCK = HoistLine(id="block", hoist="block", rating_n=300000 * LBF, own_mass_kg=4300)
SECOND = HoistLine(id="second", hoist="block", rating_n=300000 * LBF)
TUGGER = HoistLine(id="tugger", hoist="tugger", rating_n=2500 * LBF)
LINES = (BLOCK, TUGGER)


def _sized() -> tuple[Any, ...]:
    """The pieces with the diameters that holders are dressed for."""
    od = {"P25": 0.073, "B05": 0.073, "P07": 0.073, "Y-tool": 0.073}
    wide = {"P07": slick(34.5, 42.0)}
    return tuple(
        one.model_copy(
            update={"grip_od_m": od.get(one.id), "slick_m": wide.get(one.id, one.slick_m)}
        )
        for one in PIECES
    )


def _small(work: Actions, **changes: Any) -> Procedure:
    fields: dict[str, Any] = {
        "pieces": _sized(),
        "holders": (*HOLDERS, *MORE),
        "clamps": (LOWER, UPPER),
        "lines": LINES,
        "steps": tuple(Step(id=str(n), action=one) for n, one in enumerate(work, 1)),  # type: ignore[arg-type]
    }
    return bare(**(fields | changes))


def _work() -> Actions:
    return [dict(one) for _, group in ACTIONS for one in group]


def at(work: Sequence[dict[str, Any]], do: str, **about: Any) -> int:
    """Place of the first action that does something."""
    for place, one in enumerate(work):
        if one["do"] == do and all(one.get(key) == value for key, value in about.items()):
            return place
    raise AssertionError(f"no {do} {about}")


def esp_held(**changes: Any) -> Procedure:
    """Path A: the lifting clamp on the ESP carries all."""
    work = _work()
    place = at(work, "remove", holder="LC-P")
    work.insert(place + 1, {"do": "fit_twin_clamp", "clamp": "C2"})
    return _small(work, **changes)


def actions(procedure: Procedure) -> Actions:
    """Its actions as plain data."""
    return [one.action.model_dump() for one in procedure.steps]


def upto(procedure: Procedure, place: int) -> tuple[Ledger, State]:
    """A ledger, and the state before the action at a place."""
    ledger = Ledger(procedure)
    state = ledger.start
    for one in procedure.steps[:place]:
        state = ledger.act(state, one.action)
    return ledger, state


def act(ledger: Ledger, state: State, *work: dict[str, Any]) -> State:
    """The state after actions given as plain data."""
    for one in work:
        state = ledger.act(state, Step(id="x", action=one).action)  # type: ignore[arg-type]
    return state


def rule(ledger: Ledger, state: State, *work: dict[str, Any]) -> str:
    """The rule that forbids the last of these actions; blank when none does."""
    state = act(ledger, state, *work[:-1])
    try:
        act(ledger, state, work[-1])
    except Fault as fault:
        return fault.rule
    return ""


def spliced(procedure: Procedure, *cuts: tuple[int, int, Actions]) -> tuple[str, int]:
    """Rule and place of the fault once parts of the work are replaced; places as before."""
    work = actions(procedure)
    for start, end, new in sorted(cuts, key=lambda one: -one[0]):
        work[start:end] = new
    steps = tuple(Step(id=str(n), action=one) for n, one in enumerate(work))  # type: ignore[arg-type]
    fault = prove(procedure.model_copy(update={"steps": steps})).fault
    return ("", -1) if fault is None else (fault.rule, fault.index)


def bypass_held(**changes: Any) -> Procedure:
    """Path B: slips and the block on the bypass carry all; the ESP only stands on its seat."""
    joints = tuple(
        one.model_copy(update={"retained": False}) if one.sort == "seat" else one
        for one in bare().joints
    )
    work = _work()
    start, end = at(work, "cover", on=True), at(work, "take")
    foot = work[: start + 2]
    lift = bypass("B05", "base", "J2")[:5]
    motor = [one | _line(one, "second") for one in work[at(work, "fit", holder="LC-M") : end]]
    motor = [one for one in motor if one["do"] != "lock_seat"]
    stand = [
        {"do": "slack_off", "lines": ["second"]},
        {"do": "unlatch", "line": "second"},
        {"do": "take", "lines": ["block"]},
        {"do": "remove_safety_clamp", "holder": "SC"},
        {"do": "pull_slips", "holder": "SL"},
        {"do": "cover", "on": False},
        move("lower", 30.6, PLATE_FT),
        {"do": "set_plate", "to": "closed"},
        {"do": "set_slips", "holder": "SL", "on": "B05", "support": "plate"},
        {"do": "fit_safety_clamp", "holder": "SC", "on": "B05", "gap_m": 0.1},
        {"do": "slack_off", "lines": ["block"]},
        {"do": "remark", "text": "the motor's clamp stands by above the plate"},
    ]
    fields: dict[str, Any] = {
        "load_path": "bypass-held",
        "joints": joints,
        "lines": (BLOCK, SECOND.model_copy(update={"hoist": "second"})),
    }
    return _small([*foot, *lift, *motor, *stand], **(fields | changes))


def both_held(hoist: str = "block", **changes: Any) -> Procedure:
    """Path C, as far as both are landed: two lines, lifting clamp and holding clamp."""
    work = _work()
    start, end = at(work, "cover", on=True), at(work, "take")
    foot = work[: start + 2]
    lift = bypass("B05", "base", "J2")
    motor = [one | _line(one, "second") for one in work[at(work, "fit", holder="LC-M") : end]]
    both = ["second", "block"]
    lines = {"lines": both}
    park = [
        {"do": "fit", "holder": "LS-SF", "on": "B05"},
        {"do": "latch", "line": "block", "holder": "LS-SF", "on": "B05", "gear": ["EL-LS"]},
        {"do": "take", **lines},
        {"do": "state_tension", "line": "second", "least_n": 5000.0, "by": "load cell"},
        {"do": "remove_safety_clamp", "holder": "SC"},
        {"do": "pull_slips", "holder": "SL"},
        {"do": "cover", "on": False},
        move("lower", 30.77, 6.6) | lines,
        {"do": "set_plate", "to": "closed"},
        {"do": "state_tension", "line": "second", "least_n": 5000.0, "by": "load cell"},
        move("lower", 30.77, PLATE_FT) | lines,
        {"do": "land", "holder": "LC-M"},
        {"do": "fit", "holder": "HC", "on": "B05"},
        {"do": "land", "holder": "HC"},
        {"do": "slack_off", **lines},
        {"do": "unlatch", "line": "second"},
    ]
    fields: dict[str, Any] = {
        "load_path": "both-held",
        "lines": (BLOCK, SECOND.model_copy(update={"hoist": hoist})),
    }
    return _small([*foot, *lift, *motor, *park], **(fields | changes))


def _line(one: dict[str, Any], line: str) -> dict[str, Any]:
    """The same with another line in it."""
    if "lines" in one:
        return {"lines": [line]}
    return {"line": line} if "line" in one else {}


def top_hung(**changes: Any) -> Procedure:
    """The bypass waits in slips beside the motor until the first twin clamp ties it."""
    return hand_hung(tied_on_block=True, **changes)
