"""Writes the steps of a pull: each judged, with what must come before it put in."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.mechanics.ledger import Fault, Ledger, State
from abreast.mechanics.ledger.book import keys_of
from abreast.mechanics.ledger.loads import loads
from abreast.model import floor_actions as fa
from abreast.model.procedure import Procedure, Step
from abreast.procedure.words_names import Names, one_line, series

__all__ = ["Writer"]


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
        self._steps: list[Step] = []
        self.state: State = self._ledger.start

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
        book, lift = self._ledger.book, self._lift(action)
        low_m = min((book.pieces[one].bottom_m for one in lift), default=0.0)
        if lift and self.state.at_m(lift[0], low_m) < book.level_m(self.state):
            yield fa.Hoist(lines=(action.line,), z_m=low_m, to_m=book.level_m(self.state))

    def _dues(self, action: fa.Action) -> Iterator[fa.Action]:
        for key in keys_of(action):
            for due in self._ledger.book.by_key.get(key, ()):
                asked = not due.after or due.after in self.state.done
                if asked and due.id not in self.state.confirmed:
                    yield fa.Confirm(due=due.id)

    def _lift(self, action: fa.LayDown) -> tuple[str, ...]:
        hold = self.state.on_line(action.line)
        if hold is None:
            return ()
        return loads(self._ledger.book, self.state).members(hold.on)

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
