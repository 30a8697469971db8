"""Every action in a few words, for pictures and lists."""

from __future__ import annotations

from abreast.model import floor_actions as fa
from abreast.model.procedure import Procedure
from abreast.procedure.words_names import Names

__all__ = ["LONGEST_SHORT", "short"]

LONGEST_SHORT = 40
"""Signs that a short form has at most."""

# Fields of the action stand in braces; joints are named by the piece above.
_SHORT: dict[str, str] = {
    "pick_up": "Pick up {pieces}",
    "lay_down": "Lay down from {line}",
    "latch": "Latch {line} to {on}",
    "unlatch": "Free {line}",
    "take": "Take weight on {lines}",
    "slack_off": "Slack off {lines}",
    "state_tension": "Check load on {line}",
    "hoist": "Hoist to {to_m}",
    "lower": "Lower to {to_m}",
    "fit": "Fit {holder} on {on}",
    "remove": "Take {holder} off {on}",
    "land": "Land {holder} on plate",
    "set_slips": "Set {holder} on {on}",
    "pull_slips": "Pull {holder}",
    "fit_safety_clamp": "Safety clamp {holder} on {on}",
    "remove_safety_clamp": "Safety clamp {holder} off",
    "set_plate": "False rotary {to}",
    "cover": "Cover {on}",
    "stab": "Stab {joints}",
    "make_up": "Make up {joint}",
    "record_torque": "Write torque of {joint}",
    "break_out": "Break out {joint}",
    "pull_apart": "Lift off {joints}",
    "lock_seat": "Lock seat of {joint}",
    "free_seat": "Open seat of {joint}",
    "fit_twin_clamp": "Close twin clamp {clamp}",
    "remove_twin_clamp": "Take twin clamp {clamp} off",
    "connect_mle": "Connect MLE",
    "disconnect_mle": "Take MLE off",
    "reel": "Reel: {to}",
    "splice": "Splice cable",
    "snug_union": "Union snug",
    "turn_union": "Turn union {turns}",
    "lock_union": "Lock union",
    "unlock_union": "Unlock union",
    "confirm": "Confirm {due}",
    "remark": "{text}",
    "hand_over": "Hand over",
}


def short(procedure: Procedure | Names, action: fa.Action) -> str:
    """An action in at most 40 signs; what is longer is cut with an ellipsis.

    Parameters
    ----------
    procedure : Procedure or Names
        The procedure, or its look-ups where many are made.
    action : Action
        The action.
    """
    names = procedure if isinstance(procedure, Names) else Names(procedure)
    fields = {key: _field(names, key, value) for key, value in action}
    text = " ".join(_SHORT[action.do].format_map(fields).split())
    if isinstance(action, fa.Hoist | fa.Lower):
        mark = names.mark(action.z_m, action.mark)
        full = text.replace(" to ", f": {mark} to ", 1)
        text = full if mark and len(full) <= LONGEST_SHORT else text
    return text if len(text) <= LONGEST_SHORT else text[: LONGEST_SHORT - 1].rstrip() + "…"


def _field(names: Names, key: str, value: object) -> str:
    match value:
        case bool():
            return "on" if value else "off"
        case tuple():
            ids = [_field(names, key.removesuffix("s"), one) for one in value]
            return " + ".join(dict.fromkeys(ids)) if len(ids) < 4 else f"{ids[0]} to {ids[-1]}"
        case float():
            return names.level(value) or names.length(value) if key == "to_m" else f"{value:+g}"
        case str() if key == "joint":
            known = names.joints.get(value)
            return known.upper if known else value
    return str(value)
