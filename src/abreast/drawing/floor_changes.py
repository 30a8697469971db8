"""What a step changed on the rig floor, thing by thing, each with one word for its picture."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from abreast.mechanics.ledger.state import PLATE, ROTARY, Guard, Hold, State

__all__ = ["SUPPORTS", "Changes", "Grip", "changes", "grips"]

SUPPORTS = (PLATE, ROTARY)
Grip = tuple[str, str]
"""A holder and the piece it is on."""
_STILL_M = 0.0005
_JOINTS = {"entered": "ENTERED", "made": "MADE UP", "recorded": "RECORDED"}
_PLATE = {"open": "OPENED", "closed": "CLOSED", "off": "TAKEN AWAY"}


@dataclass(slots=True)
class Changes:
    """Words for what changed, by the id of the thing; ``banner`` names what has no place."""

    grips: dict[Grip, str] = field(default_factory=dict)
    gone: dict[Grip, Hold] = field(default_factory=dict)
    guards: dict[Grip, str] = field(default_factory=dict)
    gone_guards: tuple[Guard, ...] = ()
    joints: dict[str, str] = field(default_factory=dict)
    clamps: dict[str, str] = field(default_factory=dict)
    moved_m: dict[str, float] = field(default_factory=dict)
    """Move of each piece, up positive."""
    new: tuple[str, ...] = ()
    """Pieces that came from the rack."""
    away: tuple[str, ...] = ()
    """Pieces that went to the rack."""
    plate: str = ""
    cover: str = ""
    cable: str = ""
    reel: str = ""
    splice: str = ""
    union: str = ""
    banner: tuple[str, ...] = ()


def grips(state: State) -> dict[Grip, list[Hold]]:
    """The holds of a state; a clamp that stands on the plate and hangs on a line is one grip."""
    found: dict[Grip, list[Hold]] = {}
    for hold in state.holds:
        found.setdefault((hold.holder, hold.on), []).append(hold)
    return found


def changes(before: State, after: State) -> Changes:
    """All that differs between two states."""
    found = Changes(
        moved_m={
            name: at - before.offsets[name]
            for name, at in after.offsets.items()
            if name in before.offsets and abs(at - before.offsets[name]) > _STILL_M
        },
        new=tuple(one for one in after.offsets if one not in before.offsets),
        away=tuple(one for one in before.offsets if one not in after.offsets),
    )
    _grips(found, before, after)
    _guards(found, before, after)
    _joined(found, before, after)
    if before.plate != after.plate:
        set_up = before.plate == "off" and after.plate == "open"
        found.plate = "SET UP OPEN" if set_up else _PLATE[after.plate]
    if before.covered != after.covered:
        found.cover = "COVERED" if after.covered else "COVER OFF"
    _cable(found, before, after)
    if set(found.joints.values()) & {"ENTERED", "PARTED"}:
        found.moved_m.clear()  # a lift that swings to its place beside the string is not hoisted
    found.banner = tuple(_banner(found, before, after))
    return found


def _grips(found: Changes, before: State, after: State) -> None:
    old, new = grips(before), grips(after)
    for grip, holds in new.items():
        word = _grip_word(old.get(grip, []), holds)
        if word:
            found.grips[grip] = word
    _loads(found, old, new)
    found.gone = {grip: holds[0] for grip, holds in old.items() if grip not in new}


def _grip_word(old: list[Hold], new: list[Hold]) -> str:
    was, now = {one.by for one in old} - {""}, {one.by for one in new} - {""}
    carried, carries = any(one.taut for one in old), any(one.taut for one in new)
    if not old:
        lines = now - set(SUPPORTS)
        return "PICKS UP" if carries and lines else "LATCHED" if lines else _fitted(now)
    taut_was = {one.by for one in old if one.taut}
    taut_now = {one.by for one in new if one.taut}
    if carries and taut_was != taut_now:
        return "PICKS UP" if now - was and not carried else "TAKES LOAD"
    if carried and not carries:
        return "NOW SLACK" if now else "LIFTED OFF"
    return _moved_word(was, now) if was != now else ""


def _loads(found: Changes, old: dict[Grip, list[Hold]], new: dict[Grip, list[Hold]]) -> None:
    """Words for holders that carried before and carry now: all of it, or checked."""
    lost = any(
        any(one.taut for one in holds) and not any(one.taut for one in new.get(grip, ()))
        for grip, holds in old.items()
    )
    for grip, holds in new.items():
        if grip in found.grips or not any(one.taut for one in holds) or grip not in old:
            continue
        bounds = [
            {(one.by, one.least_n, one.most_n) for one in side} for side in (old[grip], holds)
        ]
        stated = any(one.least_n is not None for one in holds)
        if lost:
            found.grips[grip] = "TAKES LOAD"
        elif stated and bounds[0] != bounds[1]:
            found.grips[grip] = "LOAD CHECKED"


def _fitted(now: set[str]) -> str:
    return "SET" if now else "FITTED"


def _moved_word(was: set[str], now: set[str]) -> str:
    if now - was:
        return "LANDED" if now - was & set(SUPPORTS) else "LATCHED"
    return "LIFTED OFF" if was - now & set(SUPPORTS) else "LINE FREED"


def _guards(found: Changes, before: State, after: State) -> None:
    old = {(one.holder, one.on): one for one in before.guards}
    new = [(one.holder, one.on) for one in after.guards]
    found.guards = {grip: "FITTED" for grip in new if grip not in old}
    found.gone_guards = tuple(one for grip, one in old.items() if grip not in new)


def _joined(found: Changes, before: State, after: State) -> None:
    for name, how in after.joints.items():
        was = before.joints.get(name)
        if was == how or (was is None and how == "recorded"):
            continue
        found.joints[name] = "LOOSENED" if how == "entered" and was else _JOINTS[how]
    for name in before.joints:
        if name not in after.joints:
            found.joints[name] = "PARTED"
    for name in sorted(after.locked_seats ^ before.locked_seats):
        found.joints[name] = "SEAT LOCKED" if name in after.locked_seats else "SEAT FREED"
    for name in sorted(after.twin_clamps ^ before.twin_clamps):
        found.clamps[name] = "FITTED" if name in after.twin_clamps else "REMOVED"


def _cable(found: Changes, before: State, after: State) -> None:
    if before.mle != after.mle:
        found.cable = "CONNECTED" if after.mle else "DISCONNECTED"
    if before.reel != after.reel:
        found.reel = "NOW FOLLOWS" if after.reel == "follow" else "NOW HELD"
    if before.spliced != after.spliced:
        found.splice = "SPLICED" if after.spliced else "CUT"
    if before.union_locked != after.union_locked:
        found.union = "LOCKED" if after.union_locked else "UNLOCKED"
    elif before.union_turns != after.union_turns:
        found.union = "SNUG" if before.union_turns is None else "TURNED"


def _banner(found: Changes, before: State, after: State) -> Iterator[str]:
    if found.away:
        yield f"LAID DOWN: {', '.join(found.away)}"
    for due in sorted(after.confirmed - before.confirmed):
        yield f"CONFIRMED: {due}"
    if after.handed_over and not before.handed_over:
        yield "HANDED OVER"
    if after.confirmed != before.confirmed or after.handed_over != before.handed_over:
        return
    if after.offsets == before.offsets and not any(_located(found)):
        yield "NOTHING MOVES, NO HOLDER CHANGES"


def _located(found: Changes) -> Iterator[object]:
    yield from (found.grips, found.gone, found.guards, found.gone_guards, found.joints)
    yield from (found.clamps, found.plate, found.cover, found.cable, found.reel)
    yield from (found.splice, found.union)
