"""Look-ups of one procedure, made once: pieces, joints, holders, lines, clamps, keys, dues."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from abreast.mechanics.ledger.dues import fixed_dues
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import PLATE, ROTARY, Hold, State
from abreast.model.floor_actions import Action
from abreast.model.procedure import (
    Due,
    FloorHolder,
    FloorJoint,
    FloorPiece,
    HoistLine,
    Procedure,
)
from abreast.units import Dimension, show
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["CLAMPS", "Book", "is_final_count", "keys_of"]

CLAMPS = ("lifting clamp", "holding clamp")
T = TypeVar("T")
_UNDONE = {
    "break_out": "make_up",
    "disconnect_mle": "connect_mle",
    "unlock_union": "lock_union",
}
_USED = frozenset({"fit", "fit_safety_clamp", "fit_twin_clamp", "pick_up"})
"""After these the count of what was given out is no longer that of the sheet."""


def keys_of(action: Action) -> tuple[str, ...]:
    """Keys of an action: its kind, and its kind with each thing it is about."""
    about: list[str] = []
    for field in ("joint", "holder", "clamp", "line", "due", "on", "to"):
        value = getattr(action, field, None)
        if isinstance(value, str) and value:
            about.append(value)
    for field in ("joints", "lines"):
        about += getattr(action, field, ())
    return (action.do, *(f"{action.do} {one}" for one in about))


def is_final_count(due: Due) -> bool:
    """Whether it is a count that the hand-over waits for."""
    return due.sort == "count" and "hand_over" in due.before


class Book:
    """What the rules look up; nothing in it changes."""

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.site = procedure.site
        self.pieces = {one.id: one for one in procedure.pieces}
        self.joints = {one.id: one for one in procedure.joints}
        self.holders = {one.id: one for one in procedure.holders}
        self.lines = {one.id: one for one in procedure.lines}
        self.clamps = {one.id: one for one in procedure.clamps}
        dues = (*fixed_dues(procedure), *procedure.dues)
        self.dues = {one.id: one for one in dues}
        self.waiting = frozenset(one.after for one in dues if one.after)
        self.by_key: dict[str, list[Due]] = {}
        for due in dues:
            for key in due.before:
                self.by_key.setdefault(key, []).append(due)
        self.weight_n = {one.id: (one.mass_kg or 0.0) * GRAVITY_M_S2 for one in procedure.pieces}
        self._memo: dict[str, list[tuple[State, Any]]] = {}
        self.at_piece: dict[str, list[FloorJoint]] = {one.id: [] for one in procedure.pieces}
        for joint in procedure.joints:
            self.at_piece[joint.lower].append(joint)
            self.at_piece[joint.upper].append(joint)

    def remembered(self, what: str, state: State, make: Callable[[], T]) -> T:
        """What was found of a state, kept for the last two: a step looks at both its ends."""
        memo = self._memo.setdefault(what, [])
        for place, (known, found) in enumerate(memo):
            if _loaded_alike(known, state):
                if place:
                    memo.reverse()
                kept: T = found
                return kept
        fresh = make()
        self._memo[what] = [(state, fresh), *memo[:1]]
        return fresh

    def stale(self, action: Action, keys: tuple[str, ...]) -> frozenset[str]:
        """What was confirmed and is no longer true: done anew, loosened, or used again."""
        if action.do in _USED:
            return frozenset(one.id for one in self.dues.values() if is_final_count(one))
        undone = _UNDONE.get(action.do)
        gone = {key.replace(action.do, undone, 1) for key in keys} if undone else set()
        named = gone | set(keys[1:] or keys)
        return frozenset(one.id for one in self.dues.values() if one.after in named)

    def joined_to(self, state: State, start: str, *, short_of: tuple[str, ...] = ()) -> set[str]:
        """Pieces joined to one by made joints, not past those of some strings."""
        reached, waiting = {start}, [start]
        while waiting:
            piece = waiting.pop()
            for joint in self.at_piece[piece]:
                other = joint.upper if joint.lower == piece else joint.lower
                made = state.joints.get(joint.id) in ("made", "recorded")
                if made and other not in reached and self.pieces[other].string not in short_of:
                    reached.add(other)
                    waiting.append(other)
        return reached

    def piece(self, name: str) -> FloorPiece:
        """The piece of an id; a fault when there is none."""
        return _known(self.pieces, name, "piece")

    def joint(self, name: str) -> FloorJoint:
        """The joint of an id; a fault when there is none."""
        return _known(self.joints, name, "joint")

    def holder(self, name: str) -> FloorHolder:
        """The holder of an id; a fault when there is none."""
        return _known(self.holders, name, "holder")

    def line(self, name: str) -> HoistLine:
        """The line of an id; a fault when there is none."""
        return _known(self.lines, name, "line")

    def hold_on(self, state: State, line: str) -> Hold:
        """What hangs from a line; a fault when nothing does."""
        self.line(line)
        hold = state.on_line(line)
        if hold is None:
            raise Fault("line", f"Nothing hangs from {line}.", f"latch {line} first")
        return hold

    def level_m(self, state: State) -> float:
        """Working level above the floor: the closed plate, else the floor [m]."""
        return self.site.plate_m if state.plate == "closed" else 0.0

    def support_m(self, support: str) -> float:
        """Height of plate or rotary above the floor [m]."""
        if support == PLATE:
            return self.site.plate_m
        if support == ROTARY:
            return 0.0
        raise Fault("known", f"There is no support {support!r}; there are plate and rotary.")

    def length(self, value_m: float) -> str:
        """A length, as text."""
        return show(value_m, Dimension.LENGTH, self.procedure.units)

    def load(self, value_n: float) -> str:
        """A load, as text."""
        return show(value_n, Dimension.FORCE, self.procedure.units)

    def torque(self, value_nm: float) -> str:
        """A torque, as text."""
        return show(value_nm, Dimension.TORQUE, self.procedure.units)

    def small(self, value_m: float) -> str:
        """A diameter, as text."""
        return show(value_m, Dimension.LENGTH, self.procedure.units, small=True)


def _known(table: Mapping[str, T], name: str, what: str) -> T:
    if name in table:
        return table[name]
    near = difflib.get_close_matches(name, list(table), 1, 0.5)
    hint = f"; did you mean {near[0]}?" if near else ""
    raise Fault("known", f"The procedure has no {what} {name!r:.60}{hint}")


def _loaded_alike(one: State, other: State) -> bool:
    """Whether nothing that carries differs: an action keeps what it does not touch."""
    return (
        one.holds is other.holds
        and one.joints is other.joints
        and one.offsets is other.offsets
        and one.twin_clamps is other.twin_clamps
        and one.union_turns == other.union_turns
        and one.snug == other.snug
    )
