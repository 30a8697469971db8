"""Actions of joints, twin clamps, cable and union."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.closed import is_closed, legs
from abreast.mechanics.ledger.fitting import sub_on
from abreast.mechanics.ledger.loads import NOTHING_N, loads
from abreast.mechanics.ledger.moving import must_reach_hook
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import Hold, JointState, State
from abreast.model.floor_actions import (
    BreakOut,
    FitTwinClamp,
    FreeSeat,
    LockSeat,
    MakeUp,
    PullApart,
    RecordTorque,
    RemoveTwinClamp,
    Stab,
)
from abreast.model.procedure import ClampPlace, FloorJoint
from abreast.units.constants import GRAVITY_M_S2

__all__ = [
    "break_out",
    "covered",
    "fit_twin_clamp",
    "free_seat",
    "lock_seat",
    "make_up",
    "must_reach",
    "pull_apart",
    "record_torque",
    "remove_twin_clamp",
    "stab",
]

_SAME_M = 1e-6


def covered(state: State) -> None:
    """A fault unless loose tools can't fall down the hole."""
    if not state.covered and state.plate != "closed":
        raise Fault(
            "cover",
            "The hole is open and loose tools are in use.",
            "cover the hole or close the plate first",
        )


def must_reach(
    book: Book, state: State, at_m: float, window_m: tuple[float, float], what: str
) -> None:
    """A fault unless a height above the floor is within a window above the working level."""
    above_m = at_m - book.level_m(state)
    low, high = window_m
    slack_m = book.site.land_play_m
    if not low - slack_m <= above_m <= high + slack_m:
        raise Fault(
            "height",
            f"{what} is {book.length(above_m)} above the working level; it must be within"
            f" {book.length(low)} to {book.length(high)}.",
            "bring it to working height first",
        )


def stab(book: Book, state: State, action: Stab) -> State:
    """The new part stands in the joints; the line still holds it."""
    hold = book.hold_on(state, action.line)
    joints = [book.joint(name) for name in action.joints]
    found = loads(book, state)
    new = set(found.members(hold.on))
    if not hold.taut:
        raise Fault("held", f"{action.line} is slack on {hold.on}.", f"take with {action.line}")
    _free_to_go(state, new, hold)
    for joint in joints:
        _can_enter(book, state, joint, new)
    offset_m = state.offsets[joints[0].lower]
    if any(abs(state.offsets[one.lower] - offset_m) > book.site.land_play_m for one in joints):
        raise Fault(
            "height", "The two strings do not stand as planned: the joints don't meet together."
        )
    entered: dict[str, JointState] = {one.id: "entered" for one in joints}
    stabbed = replace(
        state,
        offsets={**state.offsets, **dict.fromkeys(new, offset_m)},
        joints={**state.joints, **entered},
    )
    must_reach_hook(book, stabbed)
    return stabbed


def _free_to_go(state: State, new: set[str], lift: Hold) -> None:
    for one in state.holds:
        if one.on not in new or one is lift or not one.by:
            continue
        if one.by in ("plate", "rotary"):
            raise Fault("clear", f"{one.holder} still stands on the {one.by} with {lift.on}.")
        raise Fault("line", f"{one.by} is on {one.on} too.", f"unlatch {one.by} first")


def _can_enter(book: Book, state: State, joint: FloorJoint, new: set[str]) -> None:
    if joint.id in state.joints:
        raise Fault("order", f"Joint {joint.id} is entered already.")
    if joint.lower not in state.offsets or joint.lower in new:
        raise Fault("order", f"{joint.lower} is not in the hole: {joint.id} has nothing below it.")
    if joint.upper not in new:
        raise Fault("order", f"{joint.upper} does not hang from this line.")
    sub = sub_on(book, state, joint.lower)
    if sub and joint.sort not in ("seat", "socket"):
        raise Fault(
            "lost", f"Lifting sub {sub} is still on {joint.lower}.", f"take {sub} off first"
        )
    at_m = state.at_m(joint.lower, joint.z_m)
    window = joint.window_m or book.site.reach_m
    must_reach(book, state, at_m, window, f"Joint {joint.id}")


def make_up(book: Book, state: State, action: MakeUp) -> State:
    """The joint is made."""
    joint = book.joint(action.joint)
    how = state.joints.get(joint.id)
    if how is None:
        raise Fault("order", f"Joint {joint.id} is not entered.", f"stab {joint.id} first")
    if how != "entered":
        raise Fault("order", f"Joint {joint.id} is made up already.")
    covered(state)
    _backed_up(joint, action.back_up)
    _in_window(book, joint, action.torque_nm)
    return replace(
        state,
        joints={**state.joints, joint.id: "made"},
        holds=_no_more(book, state, joint),
    )


def _no_more(book: Book, state: State, joint: FloorJoint) -> tuple[Hold, ...]:
    """Lines on the upper part: until they are hoisted they carry no more than before."""
    found = loads(book, state)
    upper = set(found.members(joint.upper))

    lower = set(found.members(joint.lower))

    def after(one: Hold) -> Hold:
        if one.on in upper and one.taut and one.by in book.lines:
            return replace(one, least_n=None, most_n=found.of(one)[1])
        if one.on in upper | lower:  # a split that was stated is no longer true
            return replace(one, least_n=None, most_n=None)
        return one

    return tuple(after(one) for one in state.holds)


def _backed_up(joint: FloorJoint, back_up: str) -> None:
    if joint.sort not in ("thread", "swivel nut"):
        return
    if back_up not in (joint.lower, joint.upper):
        raise Fault(
            "torque",
            f"Nothing holds {joint.lower} while {joint.id} is turned: string, clamps and cable"
            " would turn with it.",
            f"back up on {joint.lower}",
        )


def _in_window(book: Book, joint: FloorJoint, torque_nm: float | None) -> None:
    if joint.torque_nm is None or torque_nm is None:
        return
    low, high = joint.torque_nm
    if not low * (1 - 1e-9) <= torque_nm <= high * (1 + 1e-9):
        raise Fault(
            "torque",
            f"{book.torque(torque_nm)} on {joint.id} is outside {book.torque(low)} to"
            f" {book.torque(high)}.",
            "break out, look at the threads, and make up again inside the window",
        )


def record_torque(book: Book, state: State, action: RecordTorque) -> State:
    """The torque is written down."""
    joint = book.joint(action.joint)
    if state.joints.get(joint.id) not in ("made", "recorded"):
        raise Fault("order", f"Joint {joint.id} is not made up.", f"make up {joint.id} first")
    return replace(state, joints={**state.joints, joint.id: "recorded"})


def break_out(book: Book, state: State, action: BreakOut) -> State:
    """The joint is loose; both parts must be held."""
    joint = book.joint(action.joint)
    if state.joints.get(joint.id) not in ("made", "recorded"):
        raise Fault("order", f"Joint {joint.id} is not made up.")
    if joint.id in state.locked_seats:
        raise Fault("seat", f"The retainer of {joint.id} is locked.", f"free the seat {joint.id}")
    covered(state)
    _backed_up(joint, action.back_up)
    must_reach(
        book,
        state,
        state.at_m(joint.lower, joint.z_m),
        joint.window_m or book.site.reach_m,
        f"Joint {joint.id}",
    )
    _union_empty(book, state, joint)
    parted = replace(state, joints={**state.joints, joint.id: "entered"})
    if book.procedure.union is not None and joint.id in legs(book, book.procedure.union):
        parted = replace(parted, union_turns=None, snug=None)
    return _awake(book, parted, lines_only=True)


def _union_empty(book: Book, state: State, joint: FloorJoint) -> None:
    """A fault when a leg of the closed frame would be opened with take-up still in it."""
    union = book.procedure.union
    if union is None or joint.id not in legs(book, union) or not is_closed(book, state):
        return
    if state.union_locked or (state.union_turns and abs(state.union_turns) > 1e-9):
        raise Fault(
            "empty",
            f"The union is set: joint {joint.id} carries its take-up.",
            "turn the union back by the recorded turns and unlock it first",
        )


def _awake(book: Book, state: State, *, lines_only: bool) -> State:
    """Each part that lost its carrier hangs on what was engaged on it and slack.

    A slack line takes the part above as its thread spins out. What is below
    must have been carried before: slips that never carried are no holder.
    """
    found = loads(book, state)

    def after(one: Hold) -> Hold:
        one = replace(one, least_n=None, most_n=None)
        alone = found.component.get(one.on) in found.unheld
        ready = one.by in book.lines or (bool(one.by) and not lines_only)
        return replace(one, taut=True) if alone and ready else one

    return replace(state, holds=tuple(after(one) for one in state.holds))


def pull_apart(book: Book, state: State, action: PullApart) -> State:
    """The upper part hangs clear on its line."""
    hold = book.hold_on(state, action.line)
    joints = [book.joint(name) for name in action.joints]
    found = loads(book, state)
    new = set(found.members(hold.on))
    for joint in joints:
        if state.joints.get(joint.id) != "entered":
            raise Fault("order", f"Joint {joint.id} is not broken out.", f"break out {joint.id}")
        if joint.upper not in new or joint.lower in new:
            raise Fault("order", f"{joint.upper} does not hang free on {action.line}.")
    if not hold.taut:
        raise Fault("held", f"{action.line} is slack.", f"take with {action.line}")
    _none_left(book, state, new, {one.id for one in joints})
    return replace(
        state,
        joints={name: how for name, how in state.joints.items() if name not in action.joints},
    )


def _none_left(book: Book, state: State, new: set[str], parted: Iterable[str]) -> None:
    for name in state.joints:
        joint = book.joints[name]
        if name not in parted and len({joint.lower, joint.upper} & new) == 1:
            raise Fault("order", f"Joint {name} still holds.", f"break out {name}")
    for name in state.twin_clamps:
        if len({book.clamps[name].esp, book.clamps[name].bypass} & new) == 1:
            raise Fault("order", f"Twin clamp {name} still holds.", f"take {name} off")


def lock_seat(book: Book, state: State, action: LockSeat) -> State:
    """The seat can be pulled from now on."""
    joint = book.joint(action.joint)
    if joint.sort != "seat" or not joint.retained:
        raise Fault("seat", f"{joint.id} has no retainer.")
    if state.joints.get(joint.id) not in ("made", "recorded"):
        raise Fault("seat", f"The ESP is not down on {joint.id}.", f"make up {joint.id} first")
    covered(state)
    return replace(state, locked_seats=state.locked_seats | {joint.id})


def free_seat(book: Book, state: State, action: FreeSeat) -> State:
    """The retainer is open; nothing may pull on it."""
    joint = book.joint(action.joint)
    if joint.id not in state.locked_seats:
        raise Fault("order", f"The retainer of {joint.id} is not locked.")
    covered(state)
    return replace(state, locked_seats=state.locked_seats - {joint.id})


def fit_twin_clamp(book: Book, state: State, action: FitTwinClamp) -> State:
    """The twin clamp ties both strings."""
    clamp = _clamp(book, action.clamp)
    if clamp.id in state.twin_clamps:
        raise Fault("order", f"Twin clamp {clamp.id} is fitted already.")
    _both_there(book, state, clamp)
    covered(state)
    off_m = state.offsets[clamp.esp] - state.offsets[clamp.bypass]
    if abs(off_m) > book.site.land_play_m:
        raise Fault(
            "height",
            f"The bypass stands {book.length(abs(off_m))} off its place beside the ESP: {clamp.id}"
            " would fix it there.",
            "bring the bypass to its height first",
        )
    at_m = state.at_m(clamp.esp, clamp.z_m)
    must_reach(book, state, at_m, book.site.reach_m, f"Twin clamp {clamp.id}")
    for hold in state.holds:
        same = hold.on == clamp.esp and abs(hold.z_m - clamp.z_m) < 0.05
        if same and book.holders[hold.holder].type == "lifting clamp" and not clamp.carries:
            raise Fault(
                "clear",
                f"{hold.holder} is on the neck where {clamp.id} goes.",
                f"take {hold.holder} off first",
            )
    _cable_first(book, state, clamp)
    return replace(
        state,
        twin_clamps=state.twin_clamps | {clamp.id},
        holds=tuple(_with_more(one, clamp) for one in state.holds),
    )


def _with_more(hold: Hold, clamp: ClampPlace) -> Hold:
    """What was stated as most, and the twin clamp that came on since."""
    if hold.most_n is None:
        return hold
    return replace(hold, most_n=hold.most_n + (clamp.mass_kg or 0.0) * GRAVITY_M_S2)


def _held_apart(book: Book, state: State, clamp: ClampPlace, carried_n: float) -> None:
    """A fault unless a holder of its own stands ready on the bypass."""
    members = book.joined_to(state, clamp.bypass)
    if any(one.on in members and one.by for one in state.holds):
        return
    raise Fault(
        "empty",
        f"{clamp.id} may carry up to {book.load(carried_n)} of the bypass.",
        "hold the bypass by itself first",
    )


def _both_there(book: Book, state: State, clamp: ClampPlace) -> None:
    for piece in (clamp.esp, clamp.bypass):
        if piece not in state.offsets:
            raise Fault("order", f"{piece} is not there yet: {clamp.id} has nothing to close on.")
    for piece in (clamp.esp, clamp.bypass):
        if any(
            state.joints.get(one.id) == "entered"
            for one in book.at_piece[piece]
            if one.upper == piece
        ):
            raise Fault("loose", f"The joint below {piece} is not made up.", "make it up first")


def _cable_first(book: Book, state: State, clamp: ClampPlace) -> None:
    cable = book.procedure.cable
    if cable is None or state.mle or clamp.z_m <= cable.z_m:
        return
    raise Fault(
        "cable",
        f"The MLE is not connected: it lies in the groove of {clamp.id}, above the pothead.",
        "connect the MLE first",
    )


def _clamp(book: Book, name: str) -> ClampPlace:
    if name not in book.clamps:
        raise Fault("known", f"The procedure has no twin clamp {name!r:.60}.")
    return book.clamps[name]


def remove_twin_clamp(book: Book, state: State, action: RemoveTwinClamp) -> State:
    """The twin clamp is off; it carried nothing."""
    clamp = _clamp(book, action.clamp)
    if clamp.id not in state.twin_clamps:
        raise Fault("order", f"Twin clamp {clamp.id} is not fitted.")
    covered(state)
    low_n, high_n = loads(book, state).pulls.get(clamp.id, (0.0, 0.0))
    if clamp.carries and max(abs(low_n), abs(high_n)) > NOTHING_N:
        _held_apart(book, state, clamp, max(abs(low_n), abs(high_n)))
    at_m = state.at_m(clamp.esp, clamp.z_m)
    must_reach(book, state, at_m, book.site.reach_m, f"Twin clamp {clamp.id}")
    off = replace(state, twin_clamps=state.twin_clamps - {clamp.id})
    return _awake(book, off, lines_only=False)
