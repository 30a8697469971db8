"""The ledger: a state, an action, the next state or the rule that forbids it; and the numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from abreast.mechanics.ledger import finishing, hoisting, holding, joining
from abreast.mechanics.ledger.book import Book, keys_of
from abreast.mechanics.ledger.closed import frame_forces
from abreast.mechanics.ledger.loads import loads
from abreast.mechanics.ledger.moving import must_not_be_slack
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import State, start_state
from abreast.mechanics.ledger.watch import Link, links, watch
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["HoldLoad", "Ledger", "StepNumbers"]

_ACTS: dict[str, Callable[[Book, State, Any], State]] = {
    "pick_up": hoisting.pick_up,
    "lay_down": hoisting.lay_down,
    "latch": hoisting.latch,
    "unlatch": hoisting.unlatch,
    "take": hoisting.take,
    "slack_off": hoisting.slack_off,
    "state_tension": hoisting.state_tension,
    "hoist": hoisting.move,
    "lower": hoisting.move,
    "fit": holding.fit,
    "remove": holding.remove,
    "land": holding.land,
    "set_slips": holding.set_slips,
    "pull_slips": holding.pull_slips,
    "fit_safety_clamp": holding.fit_safety_clamp,
    "remove_safety_clamp": holding.remove_safety_clamp,
    "set_plate": holding.set_plate,
    "cover": holding.cover,
    "stab": joining.stab,
    "make_up": joining.make_up,
    "record_torque": joining.record_torque,
    "break_out": joining.break_out,
    "pull_apart": joining.pull_apart,
    "lock_seat": joining.lock_seat,
    "free_seat": joining.free_seat,
    "fit_twin_clamp": joining.fit_twin_clamp,
    "remove_twin_clamp": joining.remove_twin_clamp,
    "connect_mle": finishing.connect_mle,
    "disconnect_mle": finishing.disconnect_mle,
    "reel": finishing.reel,
    "splice": finishing.splice,
    "snug_union": finishing.snug_union,
    "turn_union": finishing.turn_union,
    "lock_union": finishing.lock_union,
    "unlock_union": finishing.unlock_union,
    "confirm": finishing.confirm,
    "remark": finishing.remark,
    "hand_over": finishing.hand_over,
}


@dataclass(frozen=True, slots=True)
class HoldLoad:
    """What one holder carries: static, in air; the utilisation counts the dynamic factor."""

    holder: str
    on: str
    by: str
    taut: bool
    low_n: float
    high_n: float
    rating_n: float | None
    utilisation: float | None


@dataclass(frozen=True, slots=True)
class StepNumbers:
    """The numbers of one step.

    Parameters
    ----------
    holds : tuple of HoldLoad
        Every holder after the step.
    links : tuple of Link
        Everything that carries after the step.
    weakest : Link or None
        The one used most.
    bypass_top_m, esp_face_m : float or None
        Above the working level.
    hook_left_m : float or None
        Height left to the hook's limit, the least of the lines in use.
    indicator_before_n, indicator_after_n : tuple of float or None
        What the indicator of the block shows, block and bails included.
    missing : tuple of str
        What the numbers lack.
    """

    holds: tuple[HoldLoad, ...]
    links: tuple[Link, ...]
    weakest: Link | None
    bypass_top_m: float | None
    esp_face_m: float | None
    hook_left_m: float | None
    indicator_before_n: tuple[float, float] | None
    indicator_after_n: tuple[float, float] | None
    missing: tuple[str, ...] = ()


class Ledger:
    """Judges actions on one procedure's pieces; pure: states go in and come out.

    Parameters
    ----------
    procedure : Procedure
        Pieces, holders, lines, dues. Its steps are not looked at.

    Raises
    ------
    Fault
        When the start itself breaks a rule.
    """

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.book = Book(procedure)
        self.start = start_state(procedure)
        watch(self.book, self.start)

    def act(self, state: State, action: Action) -> State:
        """The state after an action.

        Raises
        ------
        Fault
            Naming the rule that the action would break.
        """
        if state.handed_over and action.do != "remark":
            raise Fault("order", "The string is handed over: nothing may follow.")
        keys = keys_of(action)
        self._nothing_due(state, keys)
        after = _ACTS[action.do](self.book, state, action)
        if after is state:
            return state
        done = self.book.waiting.intersection(keys)
        stale = self.book.stale(action, keys)
        if not done <= after.done or stale & after.confirmed:
            after = replace(after, done=after.done | done, confirmed=after.confirmed - stale)
        if action.do == "take" and len(action.lines) == 1:
            found = loads(self.book, after)
            for line in action.lines:
                members = set(found.members(self.book.hold_on(after, line).on))
                must_not_be_slack(self.book, after, members, found)
        watch(self.book, after)
        return after

    def _nothing_due(self, state: State, keys: tuple[str, ...]) -> None:
        for key in keys:
            for due in self.book.by_key.get(key, ()):
                if due.id in state.confirmed or (due.after and due.after not in state.done):
                    continue
                raise Fault(
                    "due",
                    f"'{due.id}' is due before this: {due.text}.",
                    f"confirm '{due.id}' first",
                )

    def numbers(self, before: State, after: State) -> StepNumbers:
        """The numbers of a step, from the states on both sides of it."""
        found = links(self.book, after)
        rated = [one for one in found if one.utilisation is not None]
        _, missing = frame_forces(self.book, after)
        return StepNumbers(
            holds=self._holds(after),
            links=found,
            weakest=max(rated, key=lambda one: one.utilisation or 0.0, default=None),
            bypass_top_m=self._top_m(after, ("bypass", "union")),
            esp_face_m=self._top_m(after, ("esp",)),
            hook_left_m=self._hook_left_m(after),
            indicator_before_n=self._indicator_n(before),
            indicator_after_n=self._indicator_n(after),
            missing=(f"share of the closed frame: {missing}",) if missing else (),
        )

    def _holds(self, state: State) -> tuple[HoldLoad, ...]:
        factor = self.book.site.dynamic_ratio or 1.0
        made = []
        for hold, low_n, high_n in loads(self.book, state).holds:
            rating = self.book.holders[hold.holder].rating_n
            used = None if rating is None or not hold.taut else high_n * factor / rating
            made.append(
                HoldLoad(hold.holder, hold.on, hold.by, hold.taut, low_n, high_n, rating, used)
            )
        return tuple(made)

    def _top_m(self, state: State, strings: tuple[str, ...]) -> float | None:
        """Upper end of a string in the hole above the working level; a lift doesn't count."""
        standing = self._standing(state)
        tops = [
            state.at_m(one, self.book.pieces[one].top_m)
            for one in state.offsets
            if self.book.pieces[one].string in strings and one in standing
        ]
        return max(tops) - self.book.level_m(state) if tops else None

    def _standing(self, state: State) -> set[str]:
        """Pieces of components that reach below the working level."""
        found, level_m = loads(self.book, state), self.book.level_m(state)
        deep = {
            found.component[one]
            for one in state.offsets
            if state.at_m(one, self.book.pieces[one].bottom_m) < level_m - 1e-6
        }
        return {one for one, number in found.component.items() if number in deep}

    def _hook_left_m(self, state: State) -> float | None:
        left = []
        for hold in state.holds:
            line = self.book.lines.get(hold.by)
            if line is None or line.hook_max_m is None or hold.on not in state.offsets:
                continue
            gear_m = sum(self.book.holders[one].length_m for one in hold.gear)
            at_m = state.at_m(hold.on, hold.z_m) + gear_m + self.book.site.block_clearance_m
            left.append(line.hook_max_m - at_m)
        return min(left, default=None)

    def _indicator_n(self, state: State) -> tuple[float, float] | None:
        hoist = self.procedure.lines[0].hoist
        low_n = high_n = (
            max(one.own_mass_kg for one in self.procedure.lines if one.hoist == hoist)
            * GRAVITY_M_S2
        )
        whole = 0.0
        found = loads(self.book, state)
        counted: set[int] = set()
        for hold, low, high in found.holds:
            line = self.book.lines.get(hold.by)
            if line is None or line.hoist != hoist:
                continue
            low_n, high_n = low_n + low, high_n + high
            number = found.component.get(hold.on)
            if number is not None and number not in counted:
                counted.add(number)
                whole += found.weight_n[number]
        own_n = low_n - sum(
            low
            for hold, low, _ in found.holds
            if hold.by in self.book.lines and self.book.lines[hold.by].hoist == hoist
        )
        both = [one for one in state.holds if one.taut and one.by in self.book.lines]
        if len(both) > 1 and not any(
            one.taut and one.by not in self.book.lines for one in state.holds
        ):
            return own_n + whole, own_n + whole
        return low_n, min(high_n, own_n + whole)
