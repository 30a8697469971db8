"""What undoes one step of a run, from the states on both sides of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from abreast.mechanics.ledger import Fault, State
from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.loads import loads
from abreast.mechanics.ledger.state import PLATE, Hold
from abreast.model import floor_actions as fa
from abreast.procedure.prove import ProvedStep

__all__ = ["back"]

Move = fa.Hoist | fa.Lower
_SAME_M = 1e-6
_CLEAR_M = 0.3
"""Lift that shows a clamp to be clear of the plate; common practice, no source."""


def back(
    book: Book, step: ProvedStep, now: State, reached: Move | None = None
) -> Iterator[fa.Action]:
    """The actions that lead from the state after a step to the state before it.

    Parameters
    ----------
    book : Book
        Look-ups of the pull.
    step : ProvedStep
        A step of the run.
    now : State
        The state of the pull, alike to the state after the step.
    reached : Hoist or Lower, optional
        The last move of the run before the step; it names the height best.

    Raises
    ------
    Fault
        ``order``, when nothing undoes such a step.
    """
    if isinstance(step.step.action, Move):
        yield from _move(book, step, now, reached)
    else:
        yield from _BACK[step.step.action.do](book, step, now)


def _carriers(book: Book, state: State, line: str) -> tuple[list[Hold], list[Hold]]:
    """Taut holds on the string of a line: those by lines, and those on plate or rotary."""
    hold = state.on_line(line)
    found = loads(book, state).with_piece(hold.on) if hold else ()
    taut = [one for one, _, _ in found if one.taut]
    on_lines = [one for one in taut if one.by in book.lines]
    return on_lines, [one for one in taut if one.by not in book.lines]


# --- hoisting ---------------------------------------------------------------------------


def _pick_up(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.LayDown(line=_action(step).line)


def _latch(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.Unlatch(line=_action(step).line)


def _unlatch(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    hold = step.before.on_line(_action(step).line)
    if hold is not None:
        yield fa.Latch(line=hold.by, holder=hold.holder, on=hold.on, gear=hold.gear)


def _take(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """Supports that carried carry again; lines that carried alone take again."""
    do = _action(step)
    on_lines, on_supports = _carriers(book, step.before, do.lines[0])
    if _tied_only(book, step.before, on_lines, on_supports):
        return
    if on_supports:
        yield fa.SlackOff(lines=do.lines)
        return
    was = tuple(one.by for one in on_lines)
    if set(was) < set(do.lines):
        yield fa.SlackOff(lines=tuple(one for one in do.lines if one not in was))
    elif set(was) != set(do.lines):
        yield fa.Take(lines=was)


def _tied_only(book: Book, before: State, on_lines: list[Hold], on_supports: list[Hold]) -> bool:
    """Slips carry the bypass and a line the ESP: twin clamps alone tie them.

    The line keeps all until the clamp comes off; slips that took all would load its grip.
    """
    carrying = {name for name, one in book.clamps.items() if one.carries} & before.twin_clamps
    return bool(
        carrying
        and on_lines
        and on_supports
        and all(book.pieces[one.on].string == "esp" for one in on_lines)
        and all(book.pieces[one.on].string == "bypass" for one in on_supports)
    )


def _slack_off(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """Lines that carried alone take again; beside a support they stay slack."""
    on_lines, on_supports = _carriers(book, step.before, _action(step).lines[0])
    if on_lines and not on_supports:
        yield fa.Take(lines=tuple(one.by for one in on_lines))


def _move(book: Book, step: ProvedStep, now: State, reached: Move | None) -> Iterator[fa.Action]:
    do = _action(step)
    hold = step.before.on_line(do.lines[0])
    if hold is None:
        return
    yield from _tension(book, step, now)
    stands = {one.holder for one in step.after.holds if one.by == PLATE}
    lands = [one for one in step.before.holds if one.by == PLATE and one.holder not in stands]
    z_m, mark = _watched(book, step, hold, reached)
    to_m = step.before.at_m(hold.on, z_m)
    by_m = to_m - now.at_m(hold.on, z_m)
    if abs(by_m) > _SAME_M:
        kind = fa.Hoist if by_m > 0 else fa.Lower
        yield kind(lines=do.lines, z_m=z_m, to_m=to_m, mark=mark)
    for one in lands:
        if now.hold_of(one.holder, one.on) is None:
            yield fa.Fit(holder=one.holder, on=one.on)
        yield fa.Land(holder=one.holder)


def _watched(book: Book, step: ProvedStep, hold: Hold, reached: Move | None) -> tuple[float, str]:
    """The height that is watched and its name: a lift that comes clear, else as the run came."""
    parts = loads(book, step.before).members(hold.on)
    lowest = min(parts, key=lambda one: book.pieces[one].bottom_m)
    bottom_m = book.pieces[lowest].bottom_m
    if abs(step.before.at_m(lowest, bottom_m) - book.level_m(step.before)) < _SAME_M:
        return bottom_m, f"bottom of {lowest}"
    if reached is not None:
        off_m = step.before.at_m(hold.on, reached.z_m) - reached.to_m
        if abs(off_m) < _SAME_M:
            return reached.z_m, reached.mark
    do = _action(step)
    return do.z_m, do.mark


def _tension(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """The load of a line that was stated for this move is stated again."""
    for one in step.before.holds:
        current = now.on_line(one.by) if one.by else None
        if one.least_n is not None and current is not None and current.least_n is None:
            yield fa.StateTension(line=one.by, least_n=one.least_n, most_n=one.most_n)


# --- holders ----------------------------------------------------------------------------


def _fit(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    do = _action(step)
    yield fa.Remove(holder=do.holder, on=do.on)


def _remove(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """Fitted again; a holding clamp grips at the plate only, so it waits for the string."""
    do = _action(step)
    was = step.before.hold_of(do.holder, do.on)
    stood = was is not None and was.by == PLATE
    if book.holder(do.holder).type == "holding clamp" and not stood:
        return
    yield fa.Fit(holder=do.holder, on=do.on)
    if stood:
        yield fa.Land(holder=do.holder)


def _set_slips(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.PullSlips(holder=_action(step).holder)


def _pull_slips(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    was = step.before.hold_of(_action(step).holder)
    if was is not None:
        yield fa.SetSlips(holder=was.holder, on=was.on, support=was.by)


def _safety_clamp(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.RemoveSafetyClamp(holder=_action(step).holder)


def _safety_clamp_off(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    for was in step.before.guards:
        if was.holder == _action(step).holder:
            yield fa.FitSafetyClamp(holder=was.holder, on=was.on, gap_m=was.gap_m)


def _set_plate(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """The plate as it was; a clamp that still stands on it is lifted clear first."""
    if step.before.plate == now.plate:
        return
    for clamp in now.holds:
        if clamp.by == PLATE and not clamp.taut:
            on_lines, _ = _carriers(book, now, _line_on(book, now, clamp))
            to_m = book.site.plate_m + _CLEAR_M
            yield from _tension(book, step, now)
            yield fa.Hoist(
                lines=tuple(one.by for one in on_lines),
                z_m=clamp.z_m,
                to_m=to_m,
                mark=f"grip of {clamp.holder}",
            )
            break
    yield fa.SetPlate(to=step.before.plate)


def _line_on(book: Book, state: State, clamp: Hold) -> str:
    """A line that carries the string of a clamp; blank when none does."""
    found = loads(book, state).with_piece(clamp.on)
    return next((one.by for one, _, _ in found if one.taut and one.by in book.lines), "")


# --- joints, cable, union -----------------------------------------------------------------


def _stab(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    do = _action(step)
    yield fa.PullApart(joints=do.joints, line=do.line)


def _make_up(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    do = _action(step)
    yield fa.BreakOut(joint=do.joint, back_up=do.back_up)


def _lock_seat(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.FreeSeat(joint=_action(step).joint)


def _fit_twin_clamp(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.RemoveTwinClamp(clamp=_action(step).clamp)


def _connect_mle(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    yield fa.DisconnectMle()


def _lock_union(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    """Unloaded by the recorded turns first, then unlocked."""
    if now.union_turns:
        yield fa.TurnUnion(turns=-now.union_turns)
    yield fa.UnlockUnion()


def _nothing(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    return iter(())


def _never(book: Book, step: ProvedStep, now: State) -> Iterator[fa.Action]:
    rule, message = "order", f"nothing undoes '{step.step.action.do}' of the run."
    raise Fault(rule, message, "take what was undone in the run out of it")


def _action(step: ProvedStep) -> Any:
    """The action of a step; the table has chosen by its kind."""
    return step.step.action


# Cover, reel and dues of the pull are put in where they are needed, not undone.
_BACK: dict[str, Callable[[Book, ProvedStep, State], Iterator[fa.Action]]] = {
    "pick_up": _pick_up,
    "lay_down": _never,
    "latch": _latch,
    "unlatch": _unlatch,
    "take": _take,
    "slack_off": _slack_off,
    "state_tension": _nothing,
    "fit": _fit,
    "remove": _remove,
    "land": _nothing,
    "set_slips": _set_slips,
    "pull_slips": _pull_slips,
    "fit_safety_clamp": _safety_clamp,
    "remove_safety_clamp": _safety_clamp_off,
    "set_plate": _set_plate,
    "cover": _nothing,
    "stab": _stab,
    "make_up": _make_up,
    "record_torque": _nothing,
    "break_out": _never,
    "pull_apart": _never,
    "lock_seat": _lock_seat,
    "free_seat": _never,
    "fit_twin_clamp": _fit_twin_clamp,
    "remove_twin_clamp": _never,
    "connect_mle": _connect_mle,
    "disconnect_mle": _never,
    "reel": _nothing,
    "splice": _nothing,
    "snug_union": _nothing,
    "turn_union": _nothing,
    "lock_union": _lock_union,
    "unlock_union": _never,
    "confirm": _nothing,
    "remark": _nothing,
    "hand_over": _nothing,
}
