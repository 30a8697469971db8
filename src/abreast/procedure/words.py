"""Every action as one plain sentence for the rig floor, from the data alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from abreast.model import floor_actions as fa
from abreast.model.procedure import Procedure, Step
from abreast.procedure import words_joints as joints
from abreast.procedure.words_names import Names, one_line, series
from abreast.procedure.words_short import short

__all__ = ["short", "step_words", "words"]

# Fields of the action stand in braces, named as the floor names them.
_PLAIN: dict[str, str] = {
    "lay_down": "lay down on the catwalk what hangs from {line}, its lower end tailed in",
    "latch": "latch {line} to {on} with {holder}{gear}; leave it slack",
    "unlatch": "see that {line} carries nothing, then free it",
    "take": "take the whole string on {lines} until every other holder is seen empty",
    "slack_off": "slack off {lines} until what is landed or set carries, by indicator and by eye",
    "land": "see all round that {holder} stands flat on the plate",
    "set_slips": "set {holder} on {on} in the {support}",
    "pull_slips": "see that {holder} carry nothing, then pull them",
    "fit_safety_clamp": "fit {holder} on {on}, {gap_m} above the slips",
    "remove_safety_clamp": "take {holder} off and count it in",
    "connect_mle": "connect the MLE to {pothead}",
    "disconnect_mle": "take the MLE off {pothead} and cap both ends",
    "snug_union": "run {union} until its torque starts to rise (snug), and mark it there",
    "lock_union": "lock {union}: nut, screws and wire as its manual says",
    "unlock_union": "see that {union} carries nothing, then open its lock",
    "remark": "{text}",
}
_FIELDS: dict[str, Callable[[Names, Any], str]] = {
    "line": Names.line,
    "lines": Names.all_lines,
    "gear": Names.through,
    "holder": Names.holder,
    "on": Names.piece,
    "gap_m": Names.rule,
}
_PLATES = {
    "open": "Set up the false rotary with its halves back",
    "closed": "Close the plate of the false rotary round the string",
    "off": "Take the false rotary away",
}
_REELS = {
    "follow": "Let the reel follow the string with little pull",
    "hold": "Hold the reel, with no pull on the cable",
}
_CONFIRM = {
    "signature": "Sign",
    "reading": "Take",
    "measurement": "Measure",
    "count": "Count",
    "check": "Check",
}


def words(procedure: Procedure | Names, action: fa.Action) -> str:
    """One sentence that says what is done, imperative and on one line.

    Every number in it comes from the procedure, in the procedure's units. An id
    that the procedure does not know is written as it is, so that a procedure
    that is refused can be read all the same.

    Parameters
    ----------
    procedure : Procedure or Names
        The procedure, or its look-ups where many sentences are made.
    action : Action
        The action.

    Returns
    -------
    str
        The sentence.
    """
    names = procedure if isinstance(procedure, Names) else Names(procedure)
    plain = _PLAIN.get(action.do)
    if plain is None:
        return one_line(_MADE[action.do](names, action))
    fields = {key: _FIELDS[key](names, value) if key in _FIELDS else value for key, value in action}
    fields |= {"pothead": _pothead(names), "union": _union(names)}
    return one_line(plain.format_map(fields))


def step_words(procedure: Procedure | Names, step: Step) -> str:
    """The words of a step: its own when it has some, else those of its action."""
    return one_line(step.words) if step.words.strip() else words(procedure, step.action)


# --- hoisting ---------------------------------------------------------------------------


def _pick_up(names: Names, do: fa.PickUp) -> str:
    lift = series(names.piece(one) for one in do.pieces)
    where = f" on {names.piece(do.on)}" if len(do.pieces) > 1 else ""
    return (
        f"pick up {lift} ({names.weight(do.pieces)}) from the catwalk on {names.line(do.line)},"
        f" with {names.holder(do.holder)}{where}{names.through(do.gear)}"
    )


def _state_tension(names: Names, do: fa.StateTension) -> str:
    most = "" if do.most_n is None else f" and at most {names.load(do.most_n)}"
    by = f", by {do.by}" if do.by else ""
    return f"check that {names.line(do.line)} carries at least {names.load(do.least_n)}{most}{by}"


def _move(names: Names, do: fa.Hoist | fa.Lower) -> str:
    mark, z = names.mark(do.z_m, do.mark), names.length(do.z_m)
    level = names.level(do.to_m)
    verb = f"{do.do} on {names.all_lines(do.lines)} until"
    named = f"the {mark}" if mark else f"z {z}"
    at_z = f" (z {z})" if mark else ""
    ends = mark.split(" ", maxsplit=1)[0].endswith("s")  # slips stand, a neck stands
    stands, comes = ("stand", "come") if ends else ("stands", "comes")
    if not level:
        return f"{verb} {named}{at_z} {stands} {names.above_floor(do.to_m, by_rule=True)}"
    if level == "floor":
        return f"{verb} {named}{at_z} {comes} level with the floor"
    lands = do.do == "lower" and mark.startswith("neck")
    how = "stands on" if lands else f"{comes} level with"
    at = f"{mark} z {z}" if mark else "it"
    return f"{verb} {named} {how} the plate ({at} {comes} to {names.above_floor(do.to_m)})"


# --- holders ----------------------------------------------------------------------------


def _fit(names: Names, do: fa.Fit) -> str:
    holder, piece = names.holder(do.holder), names.piece(do.on)
    kind = names.kind(do.holder)
    if kind == "lifting sub":
        return f"screw {holder} into the top of {piece}"
    if kind != "lifting clamp":
        return f"fit {holder} on plain pipe of {piece}"
    known = names.pieces.get(do.on)
    neck = known.neck if known else None
    checks = []
    if neck and neck.insert:
        checks.append(f"insert {neck.insert}")
    if neck and neck.od_m is not None:
        checks.append(f"neck {names.size(neck.od_m)}")
    check = f"; read off {series(checks)} first" if checks else ""
    return f"fit {holder} on the neck of {piece}{check}"


def _remove(names: Names, do: fa.Remove) -> str:
    holder, piece = names.holder(do.holder), names.piece(do.on)
    if names.kind(do.holder) == "lifting sub":
        return f"screw {holder} out of {piece} and count it in"
    return f"see that {holder} carries nothing, then take it off {piece} and count it in"


def _set_plate(names: Names, do: fa.SetPlate) -> str:
    return _PLATES[do.to]


def _cover(names: Names, do: fa.Cover) -> str:
    if do.on:
        return "cover the hole round the string before tools come out"
    return "count the tools, then take the cover off the hole"


# --- cable and union --------------------------------------------------------------------


def _pothead(names: Names) -> str:
    cable = names.procedure.cable
    if cable is None:
        return "the pothead"
    turned = ""
    if cable.angle_rad is not None:
        turned = f", {names.angle(cable.angle_rad)} clockwise from the bypass line seen from above"
    return f"the pothead of {names.piece(cable.piece)} (z {names.length(cable.z_m)}{turned})"


def _reel(names: Names, do: fa.Reel) -> str:
    if do.to == "follow" and names.procedure.purpose == "pull":
        return "let the reel take the cable in as the string rises, with little pull"
    return _REELS[do.to]


def _splice(names: Names, do: fa.Splice) -> str:
    cable = names.procedure.cable
    place = cable.splice_z_m if cable else None
    at = "" if place is None else f" at z {names.length(place)}"
    return f"splice MLE and power cable{at}, clear of couplings and clamps"


def _union(names: Names) -> str:
    union = names.procedure.union
    return names.piece(union.piece) if union else "the union"


def _turn_union(names: Names, do: fa.TurnUnion) -> str:
    union = names.procedure.union
    count = f"{abs(do.turns):g} turn{'' if abs(do.turns) == 1 else 's'}"
    if union is not None and union.travel_m is not None:
        count += f" ({names.size(abs(do.turns) * union.travel_m)})"
    if do.turns < 0:
        return f"turn {_union(names)} back by {count}; load leaves the bypass"
    return f"turn {_union(names)} up by {count}; load moves to the bypass"


# --- word and sign ----------------------------------------------------------------------


def _confirm(names: Names, do: fa.Confirm) -> str:
    due = names.dues.get(do.due)
    return f"{_CONFIRM[due.sort]}: {due.text}" if due else f"confirm: {do.due}"


def _hand_over(names: Names, do: fa.HandOver) -> str:
    if names.procedure.purpose == "pull":
        return "hand over: everything is laid down and nothing is in the hole"
    return "hand the twin string over to the next part of the programme"


_MADE: dict[str, Callable[[Names, Any], str]] = {
    "pick_up": _pick_up,
    "state_tension": _state_tension,
    "hoist": _move,
    "lower": _move,
    "fit": _fit,
    "remove": _remove,
    "set_plate": _set_plate,
    "cover": _cover,
    "stab": joints.stab,
    "make_up": joints.make_up,
    "record_torque": joints.record_torque,
    "break_out": joints.break_out,
    "pull_apart": joints.pull_apart,
    "lock_seat": joints.lock_seat,
    "free_seat": joints.free_seat,
    "fit_twin_clamp": joints.fit_twin_clamp,
    "remove_twin_clamp": joints.remove_twin_clamp,
    "reel": _reel,
    "splice": _splice,
    "turn_union": _turn_union,
    "confirm": _confirm,
    "hand_over": _hand_over,
}
