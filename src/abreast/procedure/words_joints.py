"""Sentences about joints, the seat and the twin clamps."""

from __future__ import annotations

from abreast.model import floor_actions as fa
from abreast.procedure.words_names import Names, series

__all__ = [
    "break_out",
    "fit_twin_clamp",
    "free_seat",
    "lock_seat",
    "make_up",
    "pull_apart",
    "record_torque",
    "remove_twin_clamp",
    "stab",
]


def _torque(names: Names, joint: str, given_nm: float | None = None) -> str:
    known = names.joints.get(joint)
    wanted_nm = known.wanted_nm if given_nm is None and known else given_nm
    shown = "" if wanted_nm is None else f" to {names.torque(wanted_nm)}"
    return shown + _window(names, joint)


def _back_up(names: Names, piece: str) -> str:
    return f"; hold {names.piece(piece)} against turning" if piece else ""


def stab(names: Names, do: fa.Stab) -> str:
    """A new part set on the string."""
    uppers = series(names.ends(one)[0] for one in do.joints)
    lowers = series(names.ends(one)[1] or f"joint {one}" for one in do.joints)
    sorts = {names.sort(one) for one in do.joints}
    signed = any(one.signed for name in do.joints if (one := names.joints.get(name)))
    turn = ", turned to its mark as seen from above" if signed else ""
    verb = "guide" if sorts & {"seat", "socket"} else "stab"
    into = {"seat": "onto its seat on", "socket": "into the socket of"}
    how = next((text for sort, text in into.items() if sort in sorts), "on")
    together = ", all joints together" if len(do.joints) > 1 else ""
    return f"{verb} {uppers} {how} {lowers}, on {names.line(do.line)}{together}{turn}"


def make_up(names: Names, do: fa.MakeUp) -> str:
    """A joint made up, by its kind."""
    upper, lower = names.ends(do.joint)
    torque = _torque(names, do.joint, do.torque_nm)
    back = _back_up(names, do.back_up)
    sort = names.sort(do.joint)
    if not lower:
        return f"make up joint {do.joint}{torque}{back}"
    if sort in {"seat", "socket"}:
        return f"set {upper} down on {lower} until it is seen to stand{torque}{back}"
    if sort == "flange":
        return f"bolt {upper} to {lower}, crosswise,{torque or ' as its manual says'}{back}"
    nut = "the swivel nut of " if sort == "swivel nut" else ""
    return f"make up {nut}{upper} on {lower}{torque or ', as its sheet says'}{back}"


def record_torque(names: Names, do: fa.RecordTorque) -> str:
    """Its torque written down."""
    return f"read and write down the torque of {names.join(do.joint)}{_window(names, do.joint)}"


def _window(names: Names, joint: str) -> str:
    known = names.joints.get(joint)
    if known is None or known.torque_nm is None:
        return ""
    low_nm, high_nm = known.torque_nm
    return f" (window {names.torque(low_nm)} to {names.torque(high_nm)})"


def break_out(names: Names, do: fa.BreakOut) -> str:
    """A joint loosened, by its kind."""
    upper, lower = names.ends(do.joint)
    back = _back_up(names, do.back_up)
    sort = names.sort(do.joint)
    if sort == "flange":
        return f"take out the bolts between {upper} and {lower}, and count them{back}"
    if sort == "swivel nut":
        return f"loosen the swivel nut between {upper} and {lower}{back}"
    verb = "loosen" if sort in {"seat", "socket"} else "break out"
    return f"{verb} {upper} from {lower}{back}" if lower else f"{verb} {upper}{back}"


def pull_apart(names: Names, do: fa.PullApart) -> str:
    """The upper part lifted off."""
    uppers = series(names.ends(one)[0] for one in do.joints)
    lowers = series(names.ends(one)[1] or f"joint {one}" for one in do.joints)
    return f"lift {uppers} straight up off {lowers} on {names.line(do.line)} until clear"


def lock_seat(names: Names, do: fa.LockSeat) -> str:
    """The retainer of the seat locked."""
    upper, lower = names.ends(do.joint)
    return f"lock the retainer that holds {upper} on the seat of {lower or do.joint}"


def free_seat(names: Names, do: fa.FreeSeat) -> str:
    """The retainer of the seat opened."""
    upper, lower = names.ends(do.joint)
    return (
        f"open the retainer of {upper} on the seat of {lower or do.joint};"
        " the seat pulls nothing from here on"
    )


def _twin_ends(names: Names, clamp: str) -> str:
    known = names.clamps.get(clamp)
    return series(names.piece(one) for one in (known.esp, known.bypass)) if known else ""


def fit_twin_clamp(names: Names, do: fa.FitTwinClamp) -> str:
    """A twin clamp closed."""
    known = names.clamps.get(do.clamp)
    if known is None:
        return f"close twin clamp {do.clamp}"
    bolts = f"{known.bolts} bolts" if known.bolts else "bolts"
    nm = known.torque_nm
    torque = "as its manual says" if nm is None else f"to {names.torque(nm)}"
    text = (
        f"close twin clamp {do.clamp} on {_twin_ends(names, do.clamp)},"
        f" middle at z {names.length(known.z_m)}; {bolts} {torque}"
    )
    return f"{text}; it carries the bypass from here on" if known.carries else text


def remove_twin_clamp(names: Names, do: fa.RemoveTwinClamp) -> str:
    """A twin clamp taken off."""
    ends = _twin_ends(names, do.clamp)
    off = f" off {ends}" if ends else " off"
    return f"take twin clamp {do.clamp}{off} and count its bolts in"
