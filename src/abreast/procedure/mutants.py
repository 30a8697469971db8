"""What if a step is forgotten, two are swapped, or something is opened too early?

Each such mutant of a proved procedure is run. It is refused, or it comes to the
same state as the original (then all that follows is the same), or nobody has
said why it may stand: such mutants are shown to people.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from abreast.errors import InputError
from abreast.mechanics.ledger import Fault, Ledger
from abreast.mechanics.ledger.state import State
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure
from abreast.procedure.same import differences, same_state

__all__ = ["Mutant", "mutants"]

Kind = Literal["drop", "swap", "early"]
Result = Literal["refused", "commutes", "no effect", "unexplained"]
Progress = Callable[[str], None]

_EARLIEST = 6
_OPENINGS = frozenset(
    {
        "remove",
        "unlatch",
        "pull_slips",
        "remove_safety_clamp",
        "remove_twin_clamp",
        "unlock_union",
        "free_seat",
        "slack_off",
        "break_out",
        "pull_apart",
        "lay_down",
        "disconnect_mle",
    }
)


@dataclass(frozen=True, slots=True)
class Mutant:
    """One procedure that differs a little from the proved one.

    Parameters
    ----------
    kind : str
        ``drop``: the step is left out; ``swap``: it comes before ``before``, the
        step just ahead of it; ``early``: an opening or removal comes before
        ``before``, further ahead.
    step, before : str
        Ids of steps.
    result : str
        ``refused``; ``commutes``: the state becomes that of the original;
        ``no effect``: the dropped step changes nothing; ``unexplained``.
    at : str
        Step at which it is refused, or after which the state is the same.
    rule : str
        Rule that refuses it.
    text : str
        The sentence of that rule; of an unexplained mutant, what is different at
        the end.
    """

    kind: Kind
    step: str
    before: str
    result: Result
    at: str = ""
    rule: str = ""
    text: str = ""

    @property
    def change(self) -> str:
        """What is different, in words."""
        if self.kind == "drop":
            return f"without step {self.step}"
        return f"step {self.step} before step {self.before}"

    @property
    def sentence(self) -> str:
        """What is different and what comes of it."""
        if self.result == "refused":
            return f"{self.change}: refused at step {self.at} ({self.rule}). {self.text}"
        if self.result == "commutes":
            return f"{self.change}: all is the same after step {self.at}"
        if self.result == "no effect":
            return f"{self.change}: the step changes nothing that a rule looks at"
        return f"{self.change}: not refused, but the end is another ({self.text}); look at it"


def mutants(procedure: Procedure, progress: Progress | None = None) -> tuple[Mutant, ...]:
    """Run every mutant of a procedure: drops, swaps, and openings up to six steps early.

    Parameters
    ----------
    procedure : Procedure
        One that is proved.
    progress : callable, optional
        Told in a few words how far it is.

    Returns
    -------
    tuple of Mutant
        In the order of the steps.

    Raises
    ------
    InputError
        If the procedure is refused itself.
    """
    try:
        ledger = Ledger(procedure)
    except Fault as fault:
        message = f"the start is refused ({fault.text}); prove the procedure first"
        raise InputError(message, code="refused") from None
    run = _Run(ledger, [one.action for one in procedure.steps], _states(ledger, procedure))
    found: list[Mutant] = []
    count = len(procedure.steps)
    for index in range(count):
        if progress is not None and index % 10 == 0:
            progress(f"mutants: step {index + 1} of {count}")
        found.append(_drop(procedure, run, index))
        found += [_moved(procedure, run, index, to) for to in _places(procedure, index)]
    return tuple(found)


def _states(ledger: Ledger, procedure: Procedure) -> list[State]:
    """The state before each step and after the last."""
    states = [ledger.start]
    for step in procedure.steps:
        try:
            states.append(ledger.act(states[-1], step.action))
        except Fault as fault:
            message = f"step {step.id} is refused ({fault.text}); prove the procedure first"
            raise InputError(message, code="refused") from None
    return states


def _places(procedure: Procedure, index: int) -> Iterator[int]:
    """Where a step is tried earlier: before its neighbour, and further if it opens something."""
    if index == 0:
        return
    yield index - 1
    if _opens(procedure.steps[index].action):
        yield from range(index - 2, max(-1, index - 1 - _EARLIEST), -1)


def _opens(action: Action) -> bool:
    if action.do in _OPENINGS:
        return True
    return (action.do == "cover" and not action.on) or (
        action.do == "set_plate" and action.to != "closed"
    )


@dataclass(frozen=True, slots=True)
class _End:
    """How a mutant ended, and at which step that shows."""

    result: Result
    index: int
    rule: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class _Run:
    """The original run that the mutants are held against."""

    ledger: Ledger
    actions: Sequence[Action]
    states: Sequence[State]

    def follow(self, start: int, changed: Sequence[int]) -> _End:
        """Do changed steps in place of those from ``start`` on, then the rest.

        Returns
        -------
        _End
            The result, the step it shows at, the rule and the words.
        """
        state = self.states[start]
        after = max([start, *changed])
        for index in changed:
            try:
                state = self.ledger.act(state, self.actions[index])
            except Fault as fault:
                return _End("refused", index, fault.rule, fault.text)
        for index in range(after + 1, len(self.actions)):
            if same_state(state, self.states[index]):
                return _End("commutes", index - 1)
            try:
                state = self.ledger.act(state, self.actions[index])
            except Fault as fault:
                return _End("refused", index, fault.rule, fault.text)
        last = len(self.actions) - 1
        if same_state(state, self.states[-1]):
            return _End("commutes", last)
        if self.states[-1].handed_over and not state.handed_over:
            return _End("refused", last, "order", "The string is not handed over at the end.")
        return _End("unexplained", last, "", ", ".join(differences(state, self.states[-1])))


def _drop(procedure: Procedure, run: _Run, index: int) -> Mutant:
    step = procedure.steps[index]
    if same_state(run.states[index], run.states[index + 1]):
        return Mutant("drop", step.id, "", "no effect")
    return _mutant(procedure, "drop", index, index, run.follow(index, ()))


def _moved(procedure: Procedure, run: _Run, index: int, to: int) -> Mutant:
    changed = (index, *range(to, index))
    kind: Kind = "swap" if to == index - 1 else "early"
    return _mutant(procedure, kind, index, to, run.follow(to, changed))


def _mutant(procedure: Procedure, kind: Kind, index: int, to: int, end: _End) -> Mutant:
    steps = procedure.steps
    before = "" if kind == "drop" else steps[to].id
    return Mutant(
        kind, steps[index].id, before, end.result, steps[end.index].id, end.rule, end.text
    )
