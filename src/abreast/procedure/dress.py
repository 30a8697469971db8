"""What a step carries beside its action: cautions, who calls and signs, stops, records."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from abreast.mechanics.ledger.dues import fixed_dues
from abreast.model import floor_actions as fa
from abreast.model.entries import EntryKind
from abreast.model.procedure import Procedure, Step
from abreast.procedure.words_cautions import CAUTIONS, STOPS, Facts, Line, electrical

__all__ = ["HOLD_POINT", "dress"]

HOLD_POINT = ("WSS", "ESP technician")
"""Who signs before anybody goes on."""

_SIGNALLER, _TONGS, _ESP, _LEAD, _PUSHER = (
    "signaller",
    "tong operator",
    "ESP technician",
    "WSS",
    "toolpusher",
)
_CALLS: dict[str, str] = {
    "pick_up": _SIGNALLER,
    "lay_down": _SIGNALLER,
    "latch": _SIGNALLER,
    "unlatch": _SIGNALLER,
    "take": _SIGNALLER,
    "slack_off": _SIGNALLER,
    "state_tension": _LEAD,
    "hoist": _SIGNALLER,
    "lower": _SIGNALLER,
    "fit": _PUSHER,
    "remove": _PUSHER,
    "land": _PUSHER,
    "set_slips": _PUSHER,
    "pull_slips": _PUSHER,
    "fit_safety_clamp": _PUSHER,
    "remove_safety_clamp": _PUSHER,
    "set_plate": _PUSHER,
    "cover": _PUSHER,
    "stab": _SIGNALLER,
    "make_up": _TONGS,
    "record_torque": _TONGS,
    "break_out": _TONGS,
    "pull_apart": _SIGNALLER,
    "lock_seat": _ESP,
    "free_seat": _ESP,
    "fit_twin_clamp": _ESP,
    "remove_twin_clamp": _ESP,
    "connect_mle": _ESP,
    "disconnect_mle": _ESP,
    "reel": _ESP,
    "splice": _ESP,
    "snug_union": _LEAD,
    "turn_union": _LEAD,
    "lock_union": _LEAD,
    "unlock_union": _LEAD,
    "confirm": _LEAD,
    "remark": "",
    "hand_over": _LEAD,
}
_SIGNED = frozenset(
    {
        "state_tension",
        "lock_seat",
        "free_seat",
        "connect_mle",
        "disconnect_mle",
        "splice",
        "turn_union",
        "lock_union",
        "unlock_union",
        "hand_over",
    }
)
_RECORDS: dict[str, tuple[EntryKind, ...]] = {
    "take": ("load",),
    "slack_off": ("load",),
    "state_tension": ("load", "signature"),
    "land": ("time", "height"),
    "record_torque": ("torque",),
    "lock_seat": ("seat", "signature"),
    "free_seat": ("seat", "signature"),
    "remove": ("count",),
    "connect_mle": ("time", "signature"),
    "disconnect_mle": ("time", "signature"),
    "hand_over": ("time", "signature"),
    "fit_twin_clamp": ("clamp",),
    "remove_twin_clamp": ("clamp",),
    "splice": ("splice", "signature"),
    "turn_union": ("union", "signature"),
    "lock_union": ("union", "signature"),
    "unlock_union": ("union", "signature"),
    "remark": ("remark",),
}
_DUES: dict[str, tuple[EntryKind, ...]] = {
    "signature": ("signature",),
    "measurement": ("height", "signature"),
    "count": ("count", "signature"),
    "check": ("signature",),
}
# A due that has an entry of its own kind; named by the start of its id.
_OWN: dict[str, EntryKind] = {
    "orientation": "orientation",
    "seat": "seat",
    "face difference": "face difference",
    "union": "union",
}


def dress(procedure: Procedure) -> Procedure:
    """Fill in what each step lacks: cautions, caller, signatures, stops, records.

    What a step has already is kept, so that a second dressing changes nothing.
    Words stay blank; they are made when they are shown.

    Parameters
    ----------
    procedure : Procedure
        The procedure; it need not be proved.

    Returns
    -------
    Procedure
        The same steps, dressed.

    Notes
    -----
    A caution stands where it applies: some at every such action, some at the
    first of each phase. Common practice, no source.
    """
    facts, seen = _start(procedure), set[tuple[str, str]]()
    steps = []
    for step in procedure.steps:
        steps.append(_dressed(step, facts, seen))
        facts = _after(facts, step.action)
    return procedure.model_copy(update={"steps": tuple(steps)})


def _dressed(step: Step, facts: Facts, seen: set[tuple[str, str]]) -> Step:
    do = step.action
    cautions = tuple(_lines(CAUTIONS, facts, step, seen))
    stops = tuple(one.text for one in STOPS if one.applies(facts, do))
    return step.model_copy(
        update={
            "cautions": step.cautions or cautions,
            "calls": step.calls or _calls(facts, do),
            "signs": step.signs or (HOLD_POINT if _is_hold_point(facts, do) else ()),
            "stop": step.stop or stops,
            "records": step.records or _records(facts, do),
        }
    )


def _lines(
    table: tuple[Line, ...], facts: Facts, step: Step, seen: set[tuple[str, str]]
) -> Iterator[str]:
    for one in table:
        if not one.applies(facts, step.action):
            continue
        if one.each or (one.key, step.phase) not in seen:
            yield one.text
        seen.add((one.key, step.phase))


# --- calls, signatures, records -----------------------------------------------------------


def _calls(facts: Facts, do: fa.Action) -> str:
    if isinstance(do, fa.MakeUp | fa.BreakOut | fa.RecordTorque):
        joint = facts.joints.get(do.joint)
        if joint is not None and joint.sort in {"flange", "seat", "socket"}:
            return _ESP
    if electrical(facts, do):
        return _ESP
    return _CALLS[do.do]


def _is_hold_point(facts: Facts, do: fa.Action) -> bool:
    """Dues, the cable, the seat, the union, and the first take of the closed frame."""
    if isinstance(do, fa.Confirm):
        return True
    return do.do in _SIGNED or (isinstance(do, fa.Take) and facts.locked)


def _records(facts: Facts, do: fa.Action) -> tuple[EntryKind, ...]:
    special = _SPECIAL.get(do.do)
    return special(facts, do) if special else _RECORDS.get(do.do, ("time",))


def _piece_records(facts: Facts, do: fa.Action) -> tuple[EntryKind, ...]:
    if not isinstance(do, fa.PickUp):
        return ("time",)
    pipe = {facts.strings.get(one) for one in do.pieces} & {"tail", "bypass", "tubing"}
    return ("piece run", "drift") if pipe else ("piece run",)


def _lay_down_records(facts: Facts, do: fa.Action) -> tuple[EntryKind, ...]:
    """A piece that is pulled is looked at: how it came out is written down."""
    return ("time", "remark") if facts.pulling else ("time",)


def _fit_records(facts: Facts, do: fa.Action) -> tuple[EntryKind, ...]:
    kind = facts.kinds.get(getattr(do, "holder", ""), "")
    return ("clamp",) if kind in {"lifting clamp", "holding clamp"} else ("count",)


def _due_records(facts: Facts, do: fa.Action) -> tuple[EntryKind, ...]:
    if not isinstance(do, fa.Confirm):
        return ("time",)
    own = next((kind for start, kind in _OWN.items() if do.due.startswith(start)), None)
    if own is not None:
        return (own, "signature")
    if electrical(facts, do):
        return ("electrical", "signature")
    due = facts.dues.get(do.due)
    return _DUES[due.sort] if due else ("signature",)


_SPECIAL: dict[str, Callable[[Facts, fa.Action], tuple[EntryKind, ...]]] = {
    "pick_up": _piece_records,
    "lay_down": _lay_down_records,
    "fit": _fit_records,
    "confirm": _due_records,
}


# --- what the tables look at ----------------------------------------------------------------


def _start(procedure: Procedure) -> Facts:
    start = procedure.start
    return Facts(
        procedure,
        {one.id: one for one in procedure.joints},
        {one.id: one.type for one in procedure.holders},
        {one.id: one.string for one in procedure.pieces},
        {one.id: one for one in (*fixed_dues(procedure), *procedure.dues)},
        there=frozenset(start.in_hole),
        mle=start.mle,
        locked=start.union_locked,
    )


def _after(facts: Facts, do: fa.Action) -> Facts:
    match do:
        case fa.PickUp():
            return replace(facts, there=facts.there | set(do.pieces))
        case fa.PullApart():
            return replace(facts, there=facts.there - _above(facts, do.joints))
        case fa.ConnectMle() | fa.DisconnectMle():
            return replace(facts, mle=do.do == "connect_mle")
        case fa.LockUnion() | fa.UnlockUnion():
            return replace(facts, locked=do.do == "lock_union")
    return facts


def _above(facts: Facts, joints: tuple[str, ...]) -> set[str]:
    """Pieces above joints that are parted."""
    found: set[str] = set()
    ahead = [facts.joints[one].upper for one in joints if one in facts.joints]
    while ahead:
        piece = ahead.pop()
        if piece not in found:
            found.add(piece)
            ahead += [one.upper for one in facts.joints.values() if one.lower == piece]
    return found
