"""The smallest repair of a refused procedure: add, move or leave out a step or two."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from abreast.mechanics.ledger import Fault, Ledger, State
from abreast.model.floor_actions import (
    Action,
    ConnectMle,
    FitTwinClamp,
    HandOver,
    LockSeat,
    RecordTorque,
    Splice,
    StateTension,
)
from abreast.model.procedure import Procedure, Step
from abreast.procedure.candidates import Hands
from abreast.procedure.prove import FaultAt, Proof, prove
from abreast.procedure.words import words

__all__ = ["Repair", "repair", "repairs"]

Kind = Literal["add", "move", "leave out"]

_NEAR, _LATER = 6, 40  # how far ahead a step is looked for that came too late
_FAR = 200  # how far back a place is looked for where something could still be done
_SOON = 3  # a step so near is moved or left out rather than done a second time
_BACK = 12  # how far back a step is looked for that should not have been


@dataclass(frozen=True, slots=True)
class Repair:
    """A change of a refused procedure.

    Parameters
    ----------
    kind : str
        ``add`` one or two steps, ``move`` a step, ``leave out`` a step.
    text : str
        The change, in words.
    procedure : Procedure
        The procedure with the change.
    whole : bool
        Whether no rule is broken any more.
    next_fault : str
        Step of the next fault; blank when there is none.
    """

    kind: Kind
    text: str
    procedure: Procedure
    whole: bool
    next_fault: str = ""


def repair(procedure: Procedure, proof: Proof, *, limit: int = 30_000) -> Repair | None:
    """The smallest change that lets a refused procedure pass, or get further.

    What the fault itself asks for is added; else a step that comes a little too
    late is moved ahead; else what else could be done here is added; else a step
    is moved further or left out; else two are added. The first change with which
    everything passes is taken, else the one that gets furthest beyond the fault.

    Parameters
    ----------
    procedure : Procedure
        The one that was judged.
    proof : Proof
        Its proof.
    limit : int
        Actions to judge, at most.

    Returns
    -------
    Repair or None
        None when nothing is wrong, or when no change within the limit helps.
    """
    if proof.fault is None:
        return None
    try:
        ledger = Ledger(procedure)
    except Fault:  # the start itself can't be: no step mends that
        return None
    work = _Work(ledger, procedure, proof, proof.fault, limit)
    best: tuple[bool, int] = (False, work.fault.index)
    chosen: _Edit | None = None
    for edit in work.edits():
        passed = work.passed(edit)
        if passed is None:
            return work.as_repair(edit, None)
        # Short of a proof, what is added is trusted before what is moved or left out.
        if passed > work.fault.index and (edit.kind == "add", passed) > best:
            best, chosen = (edit.kind == "add", passed), edit
        if work.spent >= limit:
            break
    return work.as_repair(chosen, best[1]) if chosen else None


def repairs(procedure: Procedure, proof: Proof, *, most: int = 5) -> tuple[Repair, ...]:
    """Repairs one after another until the procedure passes, or until nothing helps.

    Each is made to the procedure as the one before left it.
    """
    found: list[Repair] = []
    while proof.fault is not None and len(found) < most:
        one = repair(procedure, proof)
        if one is None:
            break
        found.append(one)
        if one.whole:
            break
        procedure = one.procedure
        proof = prove(procedure)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Edit:
    """The steps from ``start`` on in their new order; an int is a step of the procedure."""

    kind: Kind
    start: int
    head: tuple[int | Action, ...]
    rest: int
    without: int = -1
    moved: tuple[int, int] = (-1, -1)

    def order(self, count: int) -> Iterator[int | Action]:
        yield from self.head
        yield from (one for one in range(self.rest, count) if one != self.without)


@dataclass(slots=True)
class _Work:
    """One repair under way; ``spent`` counts the actions judged."""

    ledger: Ledger
    procedure: Procedure
    proof: Proof
    fault: FaultAt
    limit: int
    spent: int = 0
    hands: Hands = field(init=False)

    def __post_init__(self) -> None:
        self.hands = Hands(self.ledger)

    # --- judging ------------------------------------------------------------------------

    def before(self, index: int) -> State:
        """The state before a step that was reached."""
        if index < len(self.proof.steps):
            return self.proof.steps[index].before
        return self.fault.before

    def action(self, one: int | Action) -> Action:
        """An action, or that of a step."""
        return self.procedure.steps[one].action if isinstance(one, int) else one

    def passed(self, edit: _Edit) -> int | None:
        """The first step that is not done with a change; None when there is no fault."""
        state, count = self.before(edit.start), len(self.procedure.steps)
        done = {edit.without} if edit.kind == "leave out" else set()
        for one in edit.order(count):
            self.spent += 1
            try:
                state = self.ledger.act(state, self.action(one))
            except Fault:
                return next(n for n in range(edit.start, count + 1) if n not in done)
            if isinstance(one, int):
                done.add(one)
        return None if state.handed_over else count

    # --- changes ------------------------------------------------------------------------

    def edits(self) -> Iterator[_Edit]:
        """Changes, the smallest and most likely first."""
        at = self.fault.index
        count = len(self.procedure.steps)
        suggested = list(dict.fromkeys(self._suggested()))
        if self._repeats(at):
            yield _Edit("leave out", at, (), at, without=at)
        soon = {one.action for one in self.procedure.steps[at + 1 : at + 1 + _SOON]}
        yield from (_Edit("add", at, (one,), at) for one in suggested if one not in soon)
        yield from self._earlier(at, range(at + 1, min(count, at + 1 + _NEAR)))
        yield from (_Edit("add", at, (one,), at) for one in suggested if one in soon)
        first = [] if self.spent > self.limit else list(self.hands.moves(self.fault.before))
        self.spent += 3 * len(first)
        yield from (_Edit("add", at, (one,), at) for one, _ in first if one not in suggested)
        if at < count:
            yield from self._later(at, count)
            yield from self._earlier(at, range(at + 1 + _NEAR, min(count, at + 1 + _LATER)))
        if at < count:
            yield from (
                _Edit("leave out", one, (), one, without=one)
                for one in range(at - 1, max(-1, at - _BACK), -1)
            )
            if self.procedure.steps[at].action.do != "hand_over":
                yield _Edit("leave out", at, (), at, without=at)
        yield from self._forgotten(at)
        yield from self._pairs(at, first)

    def _repeats(self, at: int) -> bool:
        """Whether the refused step does again what was done just before."""
        steps = self.procedure.steps
        return at < len(steps) and any(
            one.action == steps[at].action for one in steps[max(0, at - _SOON) : at]
        )

    def _suggested(self) -> Iterator[Action]:
        """What the fault itself asks for."""
        if self.fault.index >= len(self.procedure.steps):
            yield HandOver()
            return
        action = self.procedure.steps[self.fault.index].action
        fault = Fault(self.fault.rule, self.fault.text, self.fault.cure)
        yield from self.hands.enablers(self.fault.before, action, fault)
        if self.fault.rule == "slack":
            yield from (
                one.action for one in self.procedure.steps if isinstance(one.action, StateTension)
            )

    def _forgotten(self, at: int) -> Iterator[_Edit]:
        """What can't be made good here any more is done where it could be done."""
        missing = list(self._missing())
        for index in range(at - 1, max(-1, at - _FAR), -1):
            before = self.before(index)
            for action in missing:
                self.spent += 1
                if self._may(before, action):
                    yield _Edit("add", index, (action,), index)

    def _missing(self) -> Iterator[Action]:
        state, procedure = self.fault.before, self.procedure
        for clamp in procedure.clamps:
            if clamp.id not in state.twin_clamps:
                yield FitTwinClamp(clamp=clamp.id)
        for name, how in state.joints.items():
            if how == "made":
                yield RecordTorque(joint=name)
            if self.ledger.book.joints[name].sort == "seat" and name not in state.locked_seats:
                yield LockSeat(joint=name)
        if procedure.cable is not None:
            yield from [] if state.mle else [ConnectMle()]
            yield from [] if state.spliced else [Splice()]

    def _may(self, state: State, action: Action) -> bool:
        try:
            self.ledger.act(state, action)
        except Fault:
            return False
        return True

    def _earlier(self, at: int, late_ones: range) -> Iterator[_Edit]:
        """A step that comes too late is done before the fault, or a little before that."""
        for late in late_ones:
            for to in (at, at - 1):
                if to >= 0:
                    head = (late, *range(to, at))
                    yield _Edit("move", to, head, at, without=late, moved=(late, to))

    def _later(self, at: int, count: int) -> Iterator[_Edit]:
        """The refused step, or one before it, is done later; or the refused one earlier."""
        for to in range(at + 1, min(count, at + 1 + _BACK)):
            head = (*range(at + 1, to + 1), at)
            yield _Edit("move", at, head, to + 1, moved=(at, to + 1))
        for to in range(at - 1, max(-1, at - _BACK), -1):
            yield _Edit("move", to, (at, *range(to, at)), at + 1, moved=(at, to))
        for early in range(at - 1, max(-1, at - _BACK), -1):
            head = (*range(early + 1, at + 1), early)
            yield _Edit("move", early, head, at + 1, moved=(early, at + 1))

    def _pairs(self, at: int, first: Sequence[tuple[Action, State]]) -> Iterator[_Edit]:
        """Two steps before the fault, where the second makes the refused one pass."""
        goes_on = self.action(at) if at < len(self.procedure.steps) else None
        for one, state in first:
            for two, after in self.hands.moves(state):
                self.spent += 3
                if self.spent > self.limit:
                    return
                if goes_on is None or self._may(after, goes_on):
                    yield _Edit("add", at, (one, two), at)

    # --- the answer ---------------------------------------------------------------------

    def as_repair(self, edit: _Edit, passed: int | None) -> Repair:
        """The change in words, and the procedure with it."""
        steps = self.procedure.steps
        used = {one.id for one in steps}
        made: list[Step] = list(steps[: edit.start])
        for one in edit.order(len(steps)):
            made.append(steps[one] if isinstance(one, int) else self._new(one, edit.start, used))
        changed = self.procedure.model_copy(update={"steps": tuple(made)})
        next_fault = "" if passed is None else self._id(passed)
        return Repair(edit.kind, self._text(edit), changed, passed is None, next_fault)

    def _new(self, action: Action, index: int, used: set[str]) -> Step:
        base = self._id(index)
        number = next(n for n in range(1, 1000) if f"{base}+{n}" not in used)
        used.add(f"{base}+{number}")
        return Step(id=f"{base}+{number}", action=action)

    def _id(self, index: int) -> str:
        return self.procedure.steps[index].id if index < len(self.procedure.steps) else "end"

    def _text(self, edit: _Edit) -> str:
        if edit.kind == "add":
            new = [words(self.procedure, self.action(one)) for one in edit.head]
            return f"Before {self._place(edit.start)}: {' Then: '.join(new)}"
        if edit.kind == "leave out":
            return f"Leave out step {self._id(edit.without)}."
        step, to = edit.moved
        return f"Do step {self._id(step)} before {self._place(to)}."

    def _place(self, index: int) -> str:
        known = index < len(self.procedure.steps)
        return f"step {self._id(index)}" if known else "the end"
