"""The part of a procedure that does not change: floor, lines, pieces, joints, holders."""

from __future__ import annotations

from abreast.errors import MissingInputError
from abreast.mechanics.cable import pothead
from abreast.mechanics.take_up import planned_turns
from abreast.model import Assembly, Holder, Job, fingerprint, port_height_m
from abreast.model.job import LoadPath
from abreast.model.procedure import (
    CableLine,
    ClampPlace,
    FloorHolder,
    FloorSite,
    FloorUnion,
    HoistLine,
    Procedure,
)
from abreast.procedure.floor_dues import floor_dues
from abreast.procedure.floor_joints import Y_LEG, floor_joints, union_joint
from abreast.procedure.floor_pieces import floor_pieces
from abreast.spaceout.placing import UNION_ID

__all__ = ["BLOCK", "SECOND", "STAND_BY_M", "TUGGER", "floor", "reach_m"]

BLOCK, SECOND, TUGGER = "block", "second line", "tugger"
STAND_BY_M = 0.02
"""A stand-by clamp above the plate: close, and yet never loaded."""


def floor(job: Job, assembly: Assembly, load_path: LoadPath) -> Procedure:
    """A procedure without steps: everything that stands, holds or is run.

    Parameters
    ----------
    job : Job
        The job: rig, holders, ratings, torques.
    assembly : Assembly
        Where every piece stands in the finished string.
    load_path : str
        What carries the twin string.

    Returns
    -------
    Procedure
        With no steps. What the job does not state is null.

    Raises
    ------
    MissingInputError
        If there is no union as set, no landing, or no window where hands reach.
    """
    if assembly.union is None:
        raise MissingInputError(needs="the union as set")
    if not assembly.landings:
        raise MissingInputError(needs="landings in landings.csv")
    pieces = floor_pieces(job, assembly)
    return Procedure(
        name=f"{job.name}, {load_path}",
        job=job.name,
        fingerprint=fingerprint(job),
        units=job.units,
        arrangement=job.arrangement,
        load_path=load_path,
        site=_site(job),
        lines=tuple(_lines(job)),
        pieces=pieces,
        joints=floor_joints(
            job, assembly, pieces, higher_m=STAND_BY_M if load_path == "bypass-held" else 0.0
        ),
        holders=tuple(_holder(one) for one in job.holders),
        clamps=tuple(_clamps(job, assembly)),
        cable=_cable(job, assembly),
        union=_union(job, assembly, load_path),
        dues=floor_dues(job, assembly),
    )


def reach_m(job: Job) -> tuple[float, float]:
    """Where hands reach, above the level they stand on [m]: up to the window of the job."""
    return 0.0, max(job.window.high_m.si, job.hoisting.hand_height_m.or_else(0.0))


def _site(job: Job) -> FloorSite:
    rig = job.rig
    factor = rig.daf_derrick_ratio
    return FloorSite(
        plate_m=rig.false_rotary_height_m.si,
        plate_opening_m=rig.false_rotary_opening_m.known,
        plate_rating_n=rig.false_rotary_rating_n.known,
        rotary_opening_m=rig.rotary_opening_m.known,
        rotary_rating_n=rig.rotary_rating_n.known,
        dynamic_ratio=factor.known,
        dynamic_origin=str(factor.origin) if factor.is_given else "",
        reach_m=reach_m(job),
        sling_margin_m=job.hoisting.sling_margin_m.or_else(0.0),
        block_clearance_m=rig.block_clearance_m.or_else(0.0),
    )


def _lines(job: Job) -> list[HoistLine]:
    rig = job.rig
    block = HoistLine(
        id=BLOCK,
        hoist=BLOCK,
        rating_n=rig.block_rating_n.known,
        hook_max_m=rig.hook_max_height_m.known,
        own_mass_kg=rig.block_mass_kg.or_else(0.0),
    )
    found = [block]
    if job.hoisting.lines == "two lines":
        found.append(block.model_copy(update={"id": SECOND}))
    elif job.hoisting.lines == "two hoists":
        found.append(HoistLine(id=SECOND, hoist="second hoist"))
    if any(one.type == "tugger" for one in job.holders):
        found.append(HoistLine(id=TUGGER, hoist=TUGGER, rating_n=rig.tugger_rating_n.known))
    return found


def _holder(one: Holder) -> FloorHolder:
    low, high = one.neck_od_min_m.known, one.neck_od_max_m.known
    return FloorHolder(
        id=one.id,
        name=one.name,
        type=one.type,
        rating_n=one.rating_n.known,
        origin=str(one.rating_n.origin) if one.rating_n.is_given else "",
        neck_od_m=None if low is None or high is None else (low, high),
        insert=one.insert,
        pipe_od_m=one.pipe_od_m.known,
        length_m=one.height_m.or_else(0.0),
        mass_kg=one.mass_kg.known,
        count=max(one.count, 1),
    )


def _clamps(job: Job, assembly: Assembly) -> list[ClampPlace]:
    typed = {one.id: one for one in job.clamps}
    esp, use = assembly.side("esp"), job.rules.grip_use_ratio.known
    found = []
    for one in assembly.clamps:
        grip = typed[one.id].grip_load_n.known
        at = next((p for p in esp if p.bottom_m <= one.height_m < p.top_m), esp[-1])
        found.append(
            ClampPlace(
                id=one.id,
                z_m=one.height_m,
                mass_kg=typed[one.id].mass_kg.known,
                esp=one.on_piece or at.id,
                bypass=one.on_item or _beside(assembly, one.height_m),
                grip_n=None if grip is None or use is None else grip * use,
                torque_nm=typed[one.id].bolt_torque_nm.known,
                bolts=typed[one.id].bolts,
                carries=job.is_top_hung,
            )
        )
    return found


def _beside(assembly: Assembly, height_m: float) -> str:
    """The bypass piece at a height, for a clamp that names none."""
    pieces = assembly.side("bypass")
    return next((p.id for p in pieces if p.bottom_m <= height_m < p.top_m), pieces[-1].id)


def _cable(job: Job, assembly: Assembly) -> CableLine | None:
    port = pothead(job)
    if job.mle is None:
        return None
    if port is None:
        raise MissingInputError(needs="a port of kind pothead in ports.csv: the MLE ends there")
    z_m = port_height_m(job, port)
    angle = port.angle_rad if port.angle_rad.is_given else job.mle.pothead_angle_rad
    length_m = job.mle.length_m.known
    splice_m = None if job.cable is None or length_m is None else z_m + length_m
    return CableLine(piece=port.piece, z_m=z_m, angle_rad=angle.known, splice_z_m=splice_m)


def _union(job: Job, assembly: Assembly, load_path: LoadPath) -> FloorUnion:
    union = assembly.union
    assert union is not None, "looked at before"
    # What the bypass carries anyway passes its own leg; the ESP leg then closes the frame.
    closing = Y_LEG if load_path == "bypass-held" else union_joint(assembly)
    return FloorUnion(
        piece=UNION_ID,
        joint=closing,
        travel_m=job.union.travel_per_turn_m.known,
        turns_wanted=planned_turns(job, assembly, load_path),
        to_closed_m=union.to_close_m,
        to_open_m=union.to_open_m,
    )
