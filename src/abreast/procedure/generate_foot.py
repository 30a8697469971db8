"""First steps: tail, base support, lowest bypass; or the lower bypass of a top-hung string."""

from __future__ import annotations

from abreast.errors import MissingInputError
from abreast.model import floor_actions as fa
from abreast.procedure.floor import BLOCK, TUGGER
from abreast.procedure.floor_joints import joint_id
from abreast.procedure.plan_of_run import Names, RunPlan
from abreast.procedure.script import Script
from abreast.procedure.ways import Way

__all__ = ["hang_bypass", "run_foot"]


def run_foot(script: Script, plan: RunPlan, way: Way) -> None:
    """Tail in slips, base support on it, the bypass lifts that come before the first section.

    Afterwards the base stands at hand height, in slips on the tail or, with no
    tail that slips can hold, on the block.
    """
    *tail, base = plan.foot
    script.phase = "tail"
    for number, names in enumerate(tail):
        last = number == len(tail) - 1
        _hang_lift(script, names, _under_base(script, base) if last else script.hand_m)
    script.phase = "base support"
    _base(script, base, tail)
    script.phase = "lower bypass"
    lifts = plan.sections[0].lifts
    if not lifts:
        raise MissingInputError(needs="a bypass lift before the first landing")
    _first_bypass(script, base, lifts, tail)
    if not way.keeps_bypass_line and tail:
        script.free(BLOCK)
    if tail:
        script.set_plate("open")


def _under_base(script: Script, base: Names) -> float:
    """Height of the tail's top so that the bypass connection of the base is at hand height [m]."""
    length_m = script.pieces[base[-1]].top_m - script.pieces[base[0]].bottom_m
    return script.hand_m - length_m


def _hang_lift(script: Script, names: Names, top_at_m: float, support: str = "rotary") -> None:
    """A lift of the string is added and hung in slips with its top near a height."""
    at_m = script.floor.site.plate_m if support == "plate" else 0.0
    add_lift(script, names)
    if script.slips:
        script.do(fa.Take(lines=(BLOCK,)))
        script.unhang()
    top = script.pieces[names[-1]]
    script.hang(top.id, top.top_m - (top_at_m - at_m), support)
    script.free(BLOCK)


def add_lift(script: Script, names: Names, line: str = BLOCK) -> None:
    """A lift on a line, made up to what hangs below it; the line still holds it."""
    below = next(
        (one for one in script.joints.values() if one.upper == names[0] and one.sort != "seat"),
        None,
    )
    hangs = script.offset_m is not None
    script.pick_up(names, line)
    if below is not None and hangs:
        script.join(line, (joint_id(below.lower, names[0]),))


def _base(script: Script, base: Names, tail: list[Names]) -> None:
    line, holder = _base_gear(script)
    script.do(fa.PickUp(pieces=base, line=line, holder=holder, on=base[-1]))
    if script.offset_m is None:
        script.offset_m = -script.pieces[base[0]].bottom_m
        script.subs[line] = ""
        return
    script.join(line, (joint_id(tail[-1][-1], base[0]),))
    script.do(fa.SlackOff(lines=(line,)))
    script.do(fa.Unlatch(line=line))


def _base_gear(script: Script) -> tuple[str, str]:
    """Line and holder for the base support: the tugger, else slings on the block."""
    kinds = {one.type: one.id for one in reversed(script.floor.holders)}
    lines = {one.id for one in script.floor.lines}
    if "tugger" in kinds and TUGGER in lines:
        return TUGGER, kinds["tugger"]
    if "slings" in kinds:
        return BLOCK, kinds["slings"]
    raise MissingInputError(needs="a tugger or slings for the base support in holders.csv")


def _first_bypass(script: Script, base: Names, lifts: tuple[Names, ...], tail: list[Names]) -> None:
    """The bypass lifts below the first section; several are lowered for and hoisted back."""
    at_m = script.offset_m
    assert at_m is not None, "the base hangs"
    for number, names in enumerate(lifts):
        add_lift(script, names)
        last = number == len(lifts) - 1
        if last and number == 0 and tail:
            script.do(fa.SlackOff(lines=(BLOCK,)))
            return
        script.do(fa.Take(lines=(BLOCK,)))
        script.free(TUGGER)
        script.unhang()
        if not last:
            top = script.pieces[names[-1]]
            script.hang(top.id, top.top_m - script.hand_m, "rotary")
            script.free(BLOCK)
    if tail:
        piece = tail[-1][-1]
        z_m, gap_m = script.grip(piece, -at_m)
        script.move((BLOCK,), z_m, 0.0, f"slips on {piece}")
        script.set_slips(piece, gap_m, "rotary")
        script.do(fa.SlackOff(lines=(BLOCK,)))
    elif len(lifts) > 1:
        script.move((BLOCK,), script.pieces[base[-1]].top_m, script.hand_m, "base at hand height")


def hang_bypass(script: Script, plan: RunPlan) -> None:
    """Top-hung: entry guide and lowest bypass hang in the slot of the plate, at their height."""
    script.phase = "lower bypass"
    script.set_plate("closed")
    first = plan.sections[0]
    if not first.lifts:
        raise MissingInputError(needs="a bypass lift before the first landing")
    lifts = [(*plan.foot[0], *first.lifts[0]), *first.lifts[1:]]
    plate_m = script.floor.site.plate_m
    for number, names in enumerate(lifts):
        if number < len(lifts) - 1:
            _hang_lift(script, names, plate_m + script.work_m, "plate")
            continue
        add_lift(script, names)
        if script.slips:
            script.do(fa.Take(lines=(BLOCK,)))
            script.unhang()
        neck_m = first.landing.neck_m
        piece = _at(script, neck_m)
        if abs(script.grip(piece, neck_m)[0] - neck_m) > script.floor.site.land_play_m:
            raise MissingInputError(
                needs=f"slick pipe of {piece} at the plate of landing {first.landing.id}:"
                " the bypass can't hang there at its height"
            )
        script.hang(piece, neck_m, "plate")
        script.free(BLOCK)


def _at(script: Script, z_m: float) -> str:
    """The bypass piece that stands at a height."""
    for piece in script.floor.pieces:
        if piece.string in ("bypass", "tail") and piece.bottom_m <= z_m < piece.top_m:
            return piece.id
    raise MissingInputError(needs="a bypass piece at the plate of the first landing")
