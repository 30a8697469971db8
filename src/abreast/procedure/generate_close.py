"""Closing the frame: Y-tool, union, last holders off, lowering, splice, hand-over."""

from __future__ import annotations

from abreast.model import floor_actions as fa
from abreast.procedure.floor import BLOCK
from abreast.procedure.floor_dues import PLUG
from abreast.procedure.floor_joints import Y_LEG
from abreast.procedure.generate_stages import due_clamps, works
from abreast.procedure.lifting import slips_for, top_elevator
from abreast.procedure.plan_of_run import RunPlan, Section
from abreast.procedure.script import Script
from abreast.procedure.ways import Way
from abreast.spaceout.placing import UNION_ID

__all__ = ["close_frame", "hand_over"]


def close_frame(script: Script, plan: RunPlan, way: Way) -> None:
    """Both legs made up, union taken up and locked, the block on the Y-tool, all else off."""
    script.phase = "Y-tool"
    last = plan.sections[-1]
    way.free_bypass()
    if script.floor.union is not None:
        script.do(fa.Confirm(due="face difference"))
    script.confirm(PLUG)
    top = _pick_up(script)
    lower = next(
        one.id for one in script.joints.values() if one.upper == UNION_ID and one.sort != "workshop"
    )
    legs = (Y_LEG, lower) if script.floor.load_path != "bypass-held" else (lower, Y_LEG)
    script.join(BLOCK, legs)
    script.phase = "union"
    _take_up(script)
    script.phase = "off the plate"
    _on_block(script, last, way)
    script.phase = "below the floor"
    script.set_plate("off")
    _lower(script, top)


def _pick_up(script: Script) -> str:
    """Union, Y-tool and the pup above it; returns the piece that the elevator is on."""
    pieces = [one.id for one in script.floor.pieces if one.string in ("union", "Y-tool", "tubing")]
    top = pieces[-1]
    elevator = top_elevator(script.job)
    script.do(fa.PickUp(pieces=tuple(pieces), line=BLOCK, holder=elevator, on=top))
    return top


def _take_up(script: Script) -> None:
    union = script.floor.union
    if union is None:
        return
    script.do(fa.SnugUnion())
    if union.turns_wanted:
        script.do(fa.TurnUnion(turns=union.turns_wanted))
    script.do(fa.LockUnion())
    script.do(fa.Confirm(due="union stroke"))


class _OnYTool(Way):
    """The block carries all by the Y-tool."""

    def lines(self, section: Section) -> tuple[str, ...]:
        """One."""
        return (BLOCK,)


def _on_block(script: Script, last: Section, way: Way) -> None:
    """The block takes all; clamps and slips come off; the last twin clamps go on."""
    script.do(fa.Take(lines=(BLOCK,)))
    script.unhang()
    held = getattr(way, "held", "")
    holding = getattr(way, "holding", "")
    if held:
        script.do(fa.Remove(holder=holding, on=held))
    clamps = sorted(script.floor.clamps, key=lambda one: one.z_m)
    neck_m = last.landing.neck_m
    left = due_clamps(clamps, neck_m, None, own=script.job.is_top_hung)
    works(script, last, last, left, _OnYTool(script))


def _lower(script: Script, top: str) -> None:
    """The Y-tool goes through the rotary; the pup above it hangs in slips, if it can."""
    piece = script.pieces[top]
    slips = slips_for(script.job, piece.grip_od_m, ("tubing", "both", "any"))
    if piece.string != "tubing" or not slips or not piece.slick_m:
        script.move((BLOCK,), piece.top_m, script.hand_m, f"top of {top} at hand height")
        return
    z_m, _ = script.grip(top, piece.top_m - script.hand_m)
    script.move((BLOCK,), z_m, 0.0, f"slips on {top}")
    script.do(fa.SetSlips(holder=slips, on=top, support="rotary"))
    # The elevator stays closed above the slips: it is the back-up.
    script.do(fa.SlackOff(lines=(BLOCK,)))


def hand_over(script: Script) -> None:
    """Splice, counts, and the string goes to the next part of the programme."""
    cable = script.floor.cable
    if cable is not None and cable.splice_z_m is not None:
        script.phase = "splice"
        script.tools()
        script.do(fa.Reel(to="hold"))
        script.do(fa.Confirm(due="reading before splice"))
        script.do(fa.Splice())
        script.do(fa.Confirm(due="reading after splice"))
    script.phase = "hand-over"
    script.uncover()
    script.do(fa.Confirm(due="counts"))
    script.do(fa.HandOver())
