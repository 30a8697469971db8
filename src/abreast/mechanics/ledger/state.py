"""The state of the rig floor between two actions: what stands where and what holds it.

Heights ``z_m`` are those of the finished string. A component (pieces that are
joined) has one offset: height above the floor less ``z_m``.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from abreast.mechanics.ledger.rules import Fault
from abreast.model.procedure import Procedure

__all__ = ["Guard", "Hold", "JointState", "State", "start_state"]

JointState = Literal["entered", "made", "recorded"]
PLATE, ROTARY = "plate", "rotary"


@dataclass(frozen=True, slots=True)
class Hold:
    """A holder on a string.

    Parameters
    ----------
    holder : str
        Its id: elevator, clamp, slips, lifting sub.
    on : str
        The piece it grips.
    z_m : float
        The height at which it grips.
    by : str
        Line it hangs from, ``plate`` or ``rotary`` it stands on; blank: fitted
        to the piece and standing on nothing.
    taut : bool
        Whether it may carry.
    gear : tuple of str
        Gear between line and holder, top first.
    least_n, most_n : float or None
        Load stated by a check [N].
    """

    holder: str
    on: str
    z_m: float
    by: str = ""
    taut: bool = False
    gear: tuple[str, ...] = ()
    least_n: float | None = None
    most_n: float | None = None


@dataclass(frozen=True, slots=True)
class Guard:
    """A safety clamp above slips; a back-up, never a holder."""

    holder: str
    on: str
    z_m: float
    gap_m: float


@dataclass(frozen=True, slots=True)
class State:
    """All that the rules look at."""

    offsets: dict[str, float] = field(default_factory=dict)
    """Offset of each piece off the rack [m]: height above the floor less ``z_m``."""
    joints: dict[str, JointState] = field(default_factory=dict)
    holds: tuple[Hold, ...] = ()
    guards: tuple[Guard, ...] = ()
    twin_clamps: frozenset[str] = frozenset()
    plate: Literal["open", "closed", "off"] = "off"
    covered: bool = False
    locked_seats: frozenset[str] = frozenset()
    mle: bool = False
    reel: Literal["follow", "hold"] = "hold"
    spliced: bool = False
    union_turns: float | None = None
    """Turns from snug; None: not snug."""
    union_locked: bool = False
    snug: tuple[str, float] | None = None
    """String and height of the holder that carried the frame when the union was snug."""
    done: frozenset[str] = frozenset()
    """Keys of the actions done that something due waits for."""
    confirmed: frozenset[str] = frozenset()
    handed_over: bool = False

    def at_m(self, piece: str, z_m: float) -> float:
        """Height above the floor of a height of a piece [m]."""
        return self.offsets[piece] + z_m

    def on_line(self, line: str) -> Hold | None:
        """What hangs from a line."""
        return next((one for one in self.holds if one.by == line), None)

    def hold_of(self, holder: str, on: str = "") -> Hold | None:
        """The hold of a holder, on a piece when it is named."""
        for one in self.holds:
            if one.holder == holder and on in ("", one.on):
                return one
        return None

    def swap(self, old: Hold, new: Hold | None) -> State:
        """The state with one hold replaced, or left out."""
        holds = tuple(new if one is old else one for one in self.holds)
        return replace(self, holds=tuple(one for one in holds if one is not None))


def start_state(procedure: Procedure) -> State:
    """The state in which a procedure starts."""
    start = procedure.start
    _must_be_known(procedure)
    offsets = dict.fromkeys(start.in_hole, start.at_m - start.z_m)
    inside = set(start.in_hole)
    joints: dict[str, JointState] = {
        one.id: "recorded" for one in procedure.joints if {one.lower, one.upper} <= inside
    }
    holds: tuple[Hold, ...] = ()
    if start.line:
        top = next(one for one in procedure.pieces if one.id == start.on)
        z_m = top.neck.z_m if top.neck and _is_clamp(procedure, start.holder) else top.top_m
        holds = (Hold(start.holder, start.on, z_m, start.line, True, start.gear),)
    seats = {one.id for one in procedure.joints if one.sort == "seat" and one.retained}
    return State(
        offsets=offsets,
        joints=joints,
        holds=holds,
        twin_clamps=frozenset(start.clamps),
        plate=start.plate,
        locked_seats=frozenset(seats & set(joints)),
        mle=start.mle,
        spliced=start.spliced,
        union_turns=start.union_turns,
        union_locked=start.union_locked,
    )


def _must_be_known(procedure: Procedure) -> None:
    """A fault when the start names what is not there, or holds nothing."""
    start = procedure.start
    for what, named, there in (
        ("piece", (*start.in_hole, start.on), [one.id for one in procedure.pieces]),
        ("line", (start.line,), [one.id for one in procedure.lines]),
        ("holder", (start.holder, *start.gear), [one.id for one in procedure.holders]),
        ("twin clamp", start.clamps, [one.id for one in procedure.clamps]),
    ):
        for name in named:
            if name and name not in there:
                raise Fault("known", f"The start names {what} {name!r:.60}, which is not there.")
    if start.in_hole and not (start.line and start.holder and start.on in start.in_hole):
        raise Fault(
            "held",
            "The start does not say what holds the string in the hole.",
            "name line, holder, and the piece it is on",
        )
    kind = next((one.type for one in procedure.holders if one.id == start.holder), "")
    if kind in ("slips", "safety clamp"):
        raise Fault(
            "fit", f"The start has {start.holder} on {start.line}: no line holds by {kind}."
        )
    if start.line and not start.in_hole:
        raise Fault("known", "The start has a line that carries, and nothing in the hole.")


def _is_clamp(procedure: Procedure, holder: str) -> bool:
    kind = next((one.type for one in procedure.holders if one.id == holder), "")
    return kind in ("lifting clamp", "holding clamp")
