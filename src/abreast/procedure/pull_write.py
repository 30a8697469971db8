"""Writes the steps of a pull: each judged, with what must come before it put in."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.mechanics.ledger import Fault, Ledger, State
from abreast.mechanics.ledger.book import Book, keys_of
from abreast.mechanics.ledger.loads import loads
from abreast.model import floor_actions as fa
from abreast.model.procedure import Procedure, Step
from abreast.procedure.words_names import Names, one_line, series

__all__ = ["Writer"]

_SAME_M = 1e-6


class Writer:
    """Steps so far, and the state they lead to.

    Parameters
    ----------
    procedure : Procedure
        The pull without its steps.
    """

    def __init__(self, procedure: Procedure) -> None:
        self._bare = procedure
        self._names = Names(procedure)
        self._ledger = Ledger(procedure)
        self.book: Book = self._ledger.book
        self._steps: list[Step] = []
        self.state: State = self._ledger.start
        self._before: State = self.state

    def procedure(self) -> Procedure:
        """The procedure as written so far."""
        return self._bare.model_copy(update={"steps": tuple(self._steps)})

    def do(self, action: fa.Action, phase: str) -> None:
        """Write an action, and before it what it needs: cover, reel, what is due.

        Raises
        ------
        Fault
            When the ledger forbids it.
        """
        for what in (self._dues, self._needs):
            for first in tuple(what(action)):
                self._add(first, phase)
        self._add(action, phase)

    def _add(self, action: fa.Action, phase: str) -> None:
        words = self._words(action)
        if self._steps and _goes_on(self._steps[-1].action, action):
            self._steps.pop()
            self.state = self._before
        self._before = self.state
        self.state = self._ledger.act(self.state, action)
        number = str(len(self._steps) + 1)
        self._steps.append(Step(id=number, action=action, phase=phase, words=words))

    def _needs(self, action: fa.Action) -> Iterator[fa.Action]:
        state = self.state
        if self._forbids(action) == "cover":
            yield fa.Cover(on=True)
        if isinstance(action, fa.Hoist | fa.Lower):
            if state.covered:
                yield fa.Cover(on=False)
            if state.mle and state.reel != "follow":
                yield fa.Reel(to="follow")
        if isinstance(action, fa.DisconnectMle) and state.reel != "hold":
            yield fa.Reel(to="hold")
        if isinstance(action, fa.LayDown):
            yield from self._clear(action)

    def _clear(self, action: fa.LayDown) -> Iterator[fa.Action]:
        """A hoist that brings the lower end of a lift above the working level."""
        book, lift = self.book, self._lift(action)
        if not lift:
            return
        lowest = min(lift, key=lambda one: book.pieces[one].bottom_m)
        low_m, level_m = book.pieces[lowest].bottom_m, book.level_m(self.state)
        if self.state.at_m(lowest, low_m) < level_m - _SAME_M:
            mark = f"bottom of {self._names.piece(lowest)}"
            yield fa.Hoist(lines=(action.line,), z_m=low_m, to_m=level_m, mark=mark)

    def _dues(self, action: fa.Action) -> Iterator[fa.Action]:
        for key in keys_of(action):
            for due in self.book.by_key.get(key, ()):
                asked = not due.after or due.after in self.state.done
                if asked and due.id not in self.state.confirmed:
                    yield fa.Confirm(due=due.id)

    def _lift(self, action: fa.LayDown) -> tuple[str, ...]:
        hold = self.state.on_line(action.line)
        if hold is None:
            return ()
        return loads(self.book, self.state).members(hold.on)

    def _words(self, action: fa.Action) -> str:
        """Words of their own where an action can't name its pieces."""
        lift = self._lift(action) if isinstance(action, fa.LayDown) else ()
        if not lift or not isinstance(action, fa.LayDown):
            return ""
        named = series(self._names.piece(one) for one in lift)
        return one_line(
            f"lay down {named} ({self._names.weight(lift)}) on the catwalk from"
            f" {self._names.line(action.line)}, the lower end tailed in"
        )

    def _forbids(self, action: fa.Action) -> str:
        """The rule that forbids an action now; blank when none does."""
        try:
            self._ledger.act(self.state, action)
        except Fault as fault:
            return fault.rule
        return ""


def _goes_on(last: fa.Action, action: fa.Action) -> bool:
    """Whether a move goes on where the last one stopped: then it is one move."""
    if not isinstance(last, fa.Hoist | fa.Lower) or not isinstance(action, fa.Hoist | fa.Lower):
        return False
    return last.do == action.do and last.lines == action.lines
