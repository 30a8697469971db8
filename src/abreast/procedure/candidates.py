"""What hands could do next: actions worth a try from a state of the floor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Literal

from abreast.mechanics.ledger import Fault, Hold, Ledger, State, loads
from abreast.mechanics.ledger.book import keys_of
from abreast.model import floor_actions as fa
from abreast.model.floor_actions import Action
from abreast.model.procedure import FloorJoint, FloorPiece
from abreast.procedure.heights import heights
from abreast.procedure.rack import gears, next_lifts

__all__ = ["Hands", "candidates"]

_CLAMPS = ("lifting clamp", "holding clamp")
_PLATES: tuple[Literal["open", "closed", "off"], ...] = ("open", "closed", "off")
_ROUND_M = 0.5
_STEADY_FRACTION = 0.75  # of the greatest gap of a safety clamp


def candidates(ledger: Ledger, state: State) -> tuple[Action, ...]:
    """Every candidate action that breaks no rule in a state.

    Heights of hoisting and lowering are the meaningful ones: a neck at the
    plate, a joint at working height, a top where hands reach.
    """
    return tuple(action for action, _ in Hands(ledger).moves(state))


class Hands:
    """Proposes actions; the ledger judges them.

    Parameters
    ----------
    ledger : Ledger
        Of the procedure whose pieces, holders and lines may be used.
    kinds : frozenset of str
        Kinds of actions to propose; empty: all.
    """

    def __init__(self, ledger: Ledger, kinds: frozenset[str] = frozenset()) -> None:
        self.ledger = ledger
        self.book = ledger.book
        self.kinds = kinds
        self._gear = gears(ledger)
        self._plates = ledger.procedure.start.plate != "off" or any(
            one.action.do == "set_plate" for one in ledger.procedure.steps
        )
        self._lifts = tuple(
            one.action for one in ledger.procedure.steps if isinstance(one.action, fa.PickUp)
        )

    def moves(self, state: State, *, still: bool = False) -> Iterator[tuple[Action, State]]:
        """Actions that break no rule, with the state each leads to.

        Parameters
        ----------
        state : State
            Where the floor stands.
        still : bool
            Propose no hoisting and lowering: the action before was one.

        Yields
        ------
        tuple of (Action, State)
            Enabling actions (cover, plate, confirmation, reel, torque written
            down, safety clamp) come only when an action needs them here.
        """
        wanted: dict[Action, None] = {}
        every = self._proposals(state, still)
        proposed = dict.fromkeys(one for one in every if self._wants(one.do))
        for action in proposed:
            try:
                yield action, self.ledger.act(state, action)
            except Fault as fault:
                wanted |= dict.fromkeys(self.enablers(state, action, fault))
        for action in (one for one in wanted if one not in proposed):
            try:
                yield action, self.ledger.act(state, action)
            except Fault:
                continue

    def enablers(self, state: State, action: Action, fault: Fault) -> Iterator[Action]:
        """What might let an action pass that a rule forbids, by the nature of the fault."""
        if fault.rule == "due":
            yield from self._dues(state, action)
        elif fault.rule == "cover":
            yield fa.Cover(on=True)
        elif fault.rule == "clear":
            yield from [fa.Cover(on=False)] if state.covered else ()
            yield from self._plate(state)
        elif fault.rule == "cable":
            yield from (fa.Reel(to="follow"), fa.Reel(to="hold"), fa.ConnectMle())
        elif fault.rule == "back-up":
            yield from self._safety_clamps(state, action)
        elif fault.rule == "torque":
            yield from self._to_record(state)
        elif fault.rule == "seat":
            yield from self._seats(state)

    def _wants(self, kind: str) -> bool:
        return not self.kinds or kind in self.kinds

    # --- proposals ----------------------------------------------------------------------

    def _proposals(self, state: State, still: bool) -> Iterator[Action]:
        yield from self._of_lines(state, still)
        yield from self._of_holds(state)
        yield from self._of_joints(state)
        yield from self._slips(state)
        yield from self._fits(state)
        yield from self._twin(state)
        yield from self._cable_and_union(state)
        if not state.handed_over:
            yield fa.HandOver()

    def _of_lines(self, state: State, still: bool) -> Iterator[Action]:
        on: dict[str, Hold] = {one.by: one for one in state.holds if one.by in self.book.lines}
        for line in self.book.lines:
            if line not in on:
                yield from self._free_line(state, line)
                continue
            yield fa.Unlatch(line=line)
            yield fa.LayDown(line=line)
        for lines in _sets(self.book.lines, on):
            if all(on[one].taut for one in lines):
                yield fa.SlackOff(lines=lines)
            yield fa.Take(lines=lines)
            if not still and all(on[one].taut for one in lines):
                yield from heights(self.book, state, lines)

    def _free_line(self, state: State, line: str) -> Iterator[Action]:
        for hold in state.holds:
            holder = self.book.holders[hold.holder]
            fitted = holder.type in _CLAMPS or holder.type == "lifting sub"
            if fitted and hold.on in state.offsets and hold.by not in self.book.lines:
                for gear in self._gear.get(hold.holder, ()):
                    yield fa.Latch(line=line, holder=hold.holder, on=hold.on, gear=gear)
        for piece in self._tops(state):
            if not piece.flush:
                for holder in self.book.holders.values():
                    if holder.type == "elevator":
                        yield fa.Latch(line=line, holder=holder.id, on=piece.id)
        if self._wants("pick_up"):
            yield from self._pick_ups(state, line)

    def _pick_ups(self, state: State, line: str) -> Iterator[Action]:
        for lift in self._lifts:
            if lift.line == line and not any(one in state.offsets for one in lift.pieces):
                yield lift
        for pieces in next_lifts(self.book, state):
            names = tuple(one.id for one in pieces)
            for hold in (one for one in state.holds if one.on in names):
                for gear in self._gear.get(hold.holder, ()):
                    yield fa.PickUp(
                        pieces=names, line=line, holder=hold.holder, on=hold.on, gear=gear
                    )
            if not pieces[-1].flush:
                for holder in self.book.holders.values():
                    if holder.type == "elevator":
                        yield fa.PickUp(pieces=names, line=line, holder=holder.id, on=names[-1])

    def _of_holds(self, state: State) -> Iterator[Action]:
        for hold in state.holds:
            kind = self.book.holders[hold.holder].type
            if kind == "slips":
                if not hold.taut:
                    yield fa.PullSlips(holder=hold.holder)
            elif kind in _CLAMPS or kind == "lifting sub":
                if hold.by not in self.book.lines and not hold.taut:
                    yield fa.Remove(holder=hold.holder, on=hold.on)
                if kind in _CLAMPS:
                    yield fa.Land(holder=hold.holder)
        for guard in state.guards:
            yield fa.RemoveSafetyClamp(holder=guard.holder)

    def _of_joints(self, state: State) -> Iterator[Action]:
        for line in self.book.lines:
            hold = state.on_line(line)
            if hold is not None and hold.on in state.offsets:
                yield from self._stab_or_part(state, line, hold)
        for name, how in state.joints.items():
            joint = self.book.joints[name]
            if how == "entered":
                yield fa.MakeUp(joint=name, torque_nm=_torque(joint), back_up=joint.lower)
            elif joint.sort != "workshop" and self._near(state, joint.lower, joint.z_m):
                yield fa.BreakOut(joint=name, back_up=joint.lower)

    def _stab_or_part(self, state: State, line: str, hold: Hold) -> Iterator[Action]:
        new = set(loads(self.book, state).members(hold.on))
        meet = [
            one.id
            for one in self.book.joints.values()
            if one.id not in state.joints
            and one.upper in new
            and one.lower in state.offsets
            and one.lower not in new
        ]
        if meet:
            yield fa.Stab(joints=tuple(meet), line=line)
        loose = [
            name
            for name, how in state.joints.items()
            if how == "entered"
            and self.book.joints[name].upper in new
            and self.book.joints[name].lower not in new
        ]
        if loose:
            yield fa.PullApart(joints=tuple(loose), line=line)

    def _slips(self, state: State) -> Iterator[Action]:
        set_ = {one.holder for one in state.holds}
        free = [o for o in self.book.holders.values() if o.type == "slips" and o.id not in set_]
        if not free:
            return
        for support in ("rotary", "plate") if state.plate == "closed" else ("rotary",):
            at_m = self.book.support_m(support)
            for name, offset_m in state.offsets.items():
                spans = self.book.pieces[name].slick_m
                if any(low <= at_m - offset_m <= high for low, high in spans):
                    for holder in free:
                        yield fa.SetSlips(holder=holder.id, on=name, support=support)

    def _fits(self, state: State) -> Iterator[Action]:
        lifts = list(next_lifts(self.book, state)) if self._wants("pick_up") else []
        tops = [*self._tops(state), *(lift[-1] for lift in lifts)]
        rack = [piece for lift in lifts for piece in lift]
        near = [self.book.pieces[one] for one in state.offsets]
        necks = [one for one in (*near, *rack) if self._neck_near(state, one)]
        for holder in self.book.holders.values():
            if holder.type == "lifting sub":
                for piece in tops:
                    if piece.string != "esp":
                        yield fa.Fit(holder=holder.id, on=piece.id)
            elif holder.type == "lifting clamp":
                for piece in necks:
                    yield fa.Fit(holder=holder.id, on=piece.id)
        if state.plate == "closed":
            yield from self._holding_clamps(state)

    def _holding_clamps(self, state: State) -> Iterator[Action]:
        for name, offset_m in state.offsets.items():
            piece, z_m = self.book.pieces[name], self.book.site.plate_m - offset_m
            if any(low <= z_m <= high for low, high in piece.slick_m):
                for holder in self.book.holders.values():
                    if holder.type == "holding clamp":
                        yield fa.Fit(holder=holder.id, on=name)

    def _neck_near(self, state: State, piece: FloorPiece) -> bool:
        if piece.neck is None:
            return False
        return piece.id not in state.offsets or self._near(state, piece.id, piece.neck.z_m)

    def _near(self, state: State, piece: str, z_m: float) -> bool:
        """Worth a look by the ledger, which knows the exact reach."""
        above_m = state.at_m(piece, z_m) - self.book.level_m(state)
        return -_ROUND_M <= above_m <= self.book.site.reach_m[1] + _ROUND_M

    def _tops(self, state: State) -> Iterator[FloorPiece]:
        """Pieces off the rack with nothing joined on top, their top near hands."""
        covered = {self.book.joints[name].lower for name in state.joints}
        for name in state.offsets:
            piece = self.book.pieces[name]
            if name not in covered and self._near(state, name, piece.top_m):
                yield piece

    def _twin(self, state: State) -> Iterator[Action]:
        for name, clamp in self.book.clamps.items():
            if clamp.esp not in state.offsets or not self._near(state, clamp.esp, clamp.z_m):
                continue
            if name in state.twin_clamps:
                yield fa.RemoveTwinClamp(clamp=name)
            else:
                yield fa.FitTwinClamp(clamp=name)

    def _plate(self, state: State) -> Iterator[Action]:
        if self._plates:
            yield from (fa.SetPlate(to=to) for to in _PLATES if to != state.plate)

    def _cable_and_union(self, state: State) -> Iterator[Action]:
        procedure = self.ledger.procedure
        if procedure.cable is not None:
            yield fa.DisconnectMle() if state.mle else fa.ConnectMle()
            if state.mle and not state.spliced:
                yield fa.Splice()
        union = procedure.union
        if union is None or union.piece not in state.offsets:
            return
        if state.union_turns is None:
            yield fa.SnugUnion()
        elif state.union_locked:
            yield fa.UnlockUnion()
        else:
            by = (union.turns_wanted or 0.0) - state.union_turns
            yield from [fa.TurnUnion(turns=by)] if by else ()
            yield from [fa.TurnUnion(turns=-state.union_turns)] if state.union_turns else ()
            yield fa.LockUnion()

    # --- what makes an action possible --------------------------------------------------

    def _dues(self, state: State, action: Action) -> Iterator[Action]:
        for due in chain.from_iterable(self.book.by_key.get(key, ()) for key in keys_of(action)):
            if due.id not in state.confirmed and (not due.after or due.after in state.done):
                yield fa.Confirm(due=due.id)

    def _safety_clamps(self, state: State, action: Action) -> Iterator[Action]:
        gap_m = _STEADY_FRACTION * self.book.site.safety_gap_m
        guarded = {one.on for one in state.guards}
        for hold in state.holds:
            if self.book.holders[hold.holder].type == "slips" and hold.on not in guarded:
                for holder in self.book.holders.values():
                    if holder.type == "safety clamp":
                        yield fa.FitSafetyClamp(holder=holder.id, on=hold.on, gap_m=gap_m)

    def _to_record(self, state: State) -> Iterator[Action]:
        for name, how in state.joints.items():
            if how == "made":
                yield fa.RecordTorque(joint=name)

    def _seats(self, state: State) -> Iterator[Action]:
        for name in state.joints:
            if self.book.joints[name].sort == "seat":
                locked = name in state.locked_seats
                yield fa.FreeSeat(joint=name) if locked else fa.LockSeat(joint=name)


def _sets(lines: Iterable[str], on: dict[str, Hold]) -> Iterator[tuple[str, ...]]:
    used = [one for one in lines if one in on]
    yield from ((one,) for one in used)
    if len(used) == 2:
        yield tuple(used)


def _torque(joint: FloorJoint) -> float | None:
    if joint.wanted_nm is not None or joint.torque_nm is None:
        return joint.wanted_nm
    return sum(joint.torque_nm) / 2
