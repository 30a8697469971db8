"""The proof of a procedure: every step judged by the ledger, or the first that breaks a rule."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from abreast.mechanics.ledger import Fault, Ledger, State, StepNumbers
from abreast.model.procedure import Procedure, Step

__all__ = ["FaultAt", "Outcome", "Proof", "ProvedStep", "prove"]

Outcome = Literal["proved", "proved except", "refused"]
_GRIPS = ("fit", "pick_up", "latch", "set_slips", "fit_safety_clamp")
_PIPE = ("elevator", "lifting sub", "slips", "safety clamp", "holding clamp")
_FULL = (
    "weights in air, standing still, times the dynamic factor of the site",
    "holders, gear and joints as good as their ratings; the ratings are the user's",
    "heights as planned or measured; strings hang straight and stiff",
    "what is confirmed was really done: a proof reads the procedure, not the rig floor",
)


@dataclass(frozen=True, slots=True)
class ProvedStep:
    """A step that breaks no rule, the states on both sides of it, and its numbers."""

    step: Step
    before: State
    after: State
    numbers: StepNumbers


@dataclass(frozen=True, slots=True)
class FaultAt:
    """The counterexample: where, which rule, in words, and the state before."""

    step: str
    index: int
    rule: str
    text: str
    cure: str
    before: State


@dataclass(frozen=True, slots=True)
class Proof:
    """The outcome of a proof.

    Parameters
    ----------
    outcome : str
        ``proved``; ``proved except``, when something that carries has no
        rating or a number is missing; ``refused``.
    steps : tuple of ProvedStep
        Up to the fault, or all.
    unrated : tuple of str
        What has no rating or number, each once.
    fault : FaultAt or None
        The counterexample.
    rests_on : tuple of str
        What the proof takes for granted.
    """

    outcome: Outcome
    steps: tuple[ProvedStep, ...]
    unrated: tuple[str, ...]
    fault: FaultAt | None
    rests_on: tuple[str, ...]


def prove(procedure: Procedure, ledger: Ledger | None = None) -> Proof:
    """Judge every step of a procedure.

    Parameters
    ----------
    procedure : Procedure
        Generated or written by hand; nothing about it is taken on trust.
    ledger : Ledger, optional
        One made of the same procedure before.

    Returns
    -------
    Proof
        A procedure that does not end with a hand-over is refused at its end.
    """
    fault: FaultAt | None = None
    try:
        ledger = ledger or Ledger(procedure)
    except Fault as found:
        fault = FaultAt("start", 0, found.rule, found.text, found.cure, State())
        return Proof("refused", (), (), fault, _rests_on(procedure))
    state = ledger.start
    passed: list[ProvedStep] = []
    for index, step in enumerate(procedure.steps):
        try:
            after = ledger.act(state, step.action)
        except Fault as found:
            fault = FaultAt(step.id, index, found.rule, found.text, found.cure, state)
            break
        passed.append(ProvedStep(step, state, after, ledger.numbers(state, after)))
        state = after
    if fault is None and not state.handed_over:
        text = "The procedure ends before the string is handed over."
        fault = FaultAt("end", len(procedure.steps), "order", text, "add a hand-over", state)
    open_points = [*_unweighed(procedure), *_uncompared(procedure, passed), *_unrated(passed)]
    unrated = tuple(dict.fromkeys(open_points))
    outcome: Outcome = "refused" if fault else "proved except" if unrated else "proved"
    return Proof(outcome, tuple(passed), unrated, fault, _rests_on(procedure))


def _unweighed(procedure: Procedure) -> Iterable[str]:
    for piece in procedure.pieces:
        if piece.mass_kg is None:
            yield f"mass of {piece.id}"
    for clamp in procedure.clamps:
        if clamp.mass_kg is None:
            yield f"mass of twin clamp {clamp.id}"
    if procedure.site.dynamic_ratio is None:
        yield "dynamic factor of the site"
    for joint in procedure.joints:
        if joint.torque_nm is None and joint.sort in ("thread", "flange", "swivel nut"):
            yield f"torque window of joint {joint.id}"


def _uncompared(procedure: Procedure, passed: Iterable[ProvedStep]) -> Iterable[str]:
    """What was taken as fitting or inside its window only because a figure is missing."""
    holders = {one.id: one for one in procedure.holders}
    pieces = {one.id: one for one in procedure.pieces}
    joints = {one.id: one for one in procedure.joints}
    for one in passed:
        action = one.step.action
        if action.do == "make_up":
            joint = joints[action.joint]
            if joint.torque_nm is not None and action.torque_nm is None:
                yield f"torque that joint {joint.id} is made up to"
        holder = holders.get(getattr(action, "holder", ""))
        piece = pieces.get(getattr(action, "on", ""))
        if holder is None or piece is None or action.do not in _GRIPS:
            continue
        neck = piece.neck
        if holder.type == "lifting clamp":
            if holder.neck_od_m is None or neck is None or neck.od_m is None:
                yield f"fit of {holder.id} on {piece.id}: both neck diameters"
        elif holder.type in _PIPE and (holder.pipe_od_m is None or piece.grip_od_m is None):
            yield f"fit of {holder.id} on {piece.id}: both pipe diameters"


def _unrated(passed: Iterable[ProvedStep]) -> Iterable[str]:
    for one in passed:
        for link in one.numbers.links:
            if link.rating_n is None and link.worst_n > 0:
                yield f"rating of {link.name}"
        yield from one.numbers.missing


def _rests_on(procedure: Procedure) -> tuple[str, ...]:
    return (f"load path {procedure.load_path}, as declared", *_FULL)
