"""The joints of a procedure: what joins what, where hands work on it, torque and rating."""

from __future__ import annotations

from itertools import pairwise

from abreast.checks.loads import Lift, lifts
from abreast.checks.stages import stages
from abreast.model import Assembly, Job, PlacedPiece
from abreast.model.procedure import FloorJoint, FloorPiece, JointSort
from abreast.procedure.floor_pieces import end_thread, item_of, tubing_pup
from abreast.spaceout.placing import BASE_ID, UNION_ID, YTOOL_ID

__all__ = ["SEAT", "Y_LEG", "floor_joints", "joint_id", "union_joint"]

SEAT, Y_LEG = "seat", "Y-tool ESP leg"
_SPREAD = 0.1
"""Window round a torque stated alone: common practice, no source."""


def joint_id(lower: str, upper: str) -> str:
    """Id of the joint between two pieces of one string."""
    return f"{lower}/{upper}"


def union_joint(assembly: Assembly) -> str:
    """Id of the joint of bypass and union."""
    return joint_id(_bypass(assembly)[-2].id, UNION_ID)


def _bypass(assembly: Assembly) -> list[PlacedPiece]:
    return [one for one in assembly.side("bypass", "both") if one.id != YTOOL_ID]


def floor_joints(
    job: Job, assembly: Assembly, pieces: tuple[FloorPiece, ...], *, higher_m: float = 0.0
) -> tuple[FloorJoint, ...]:
    """All joints: along the bypass, along the ESP, the seat, and those of the Y-tool.

    ``higher_m``: how much higher than planned the string stands at a landing.
    """
    together = _together(assembly)
    bare = {one.id for one in pieces if one.string == "tail" and not one.slick_m}
    windows = _windows(job, assembly, higher_m)
    found = []
    for low, high in pairwise(_bypass(assembly)):
        # What slips can't hold is made up beforehand to the piece above it.
        inside = low.id in bare or _same(together, low.id, high.id)
        one = _thread(job, low, high, inside=inside)
        window = None if inside else windows.get(high.id)
        found.append(one.model_copy(update={"window_m": window}))
    esp = assembly.side("esp")
    found += [_esp(job, low, high, together) for low, high in pairwise(esp)]
    if job.base is not None:
        found.append(_seat(job, esp[0]))
    found += _of_ytool(job, assembly, esp[-1])
    return tuple(found)


def _windows(job: Job, assembly: Assembly, higher_m: float) -> dict[str, tuple[float, float]]:
    """Working window of each bypass piece that is made up while a section hangs on the plate."""
    typed = {one.id: one for one in job.landings}
    found: dict[str, tuple[float, float]] = {}
    for stage in stages(assembly):
        landing = typed[stage.state.id]
        low, high = landing.window_low_m, landing.window_high_m
        if not low.is_given:
            low, high = job.window.low_m, job.window.high_m
        window = (low.si, high.si + higher_m)
        found.update((piece.id, window) for lift in stage.lifts for piece in lift.pieces)
        found[UNION_ID] = window
    return found


def _together(assembly: Assembly) -> dict[str, int]:
    """Number of the lift of each piece: pieces of one lift are joined before the run."""
    number: dict[str, int] = {}
    for count, lift in enumerate(lifts(assembly)):
        number.update((one.id, count) for one in lift.pieces if _joined_before(lift))
    return number


def _joined_before(lift: Lift) -> bool:
    return lift.kind in ("bypass", "esp", "Y-tool")


def _same(together: dict[str, int], low: str, high: str) -> bool:
    return low in together and together[low] == together.get(high)


def _thread(job: Job, low: PlacedPiece, high: PlacedPiece, *, inside: bool) -> FloorJoint:
    code = end_thread(job, low.id, "upper_end") or end_thread(job, high.id, "lower_end")
    thread = next((one for one in job.threads if one.id == code), None)
    own = job.union.torque_nm.known if high.id == UNION_ID else None
    item = item_of(job, high.id)
    if item is not None:
        own = item.torque_nm.known
    window = wanted = load = None
    if thread is not None:
        least, most = thread.torque_min_nm.known, thread.torque_max_nm.known
        window = None if least is None or most is None else (least, most)
        wanted, load = thread.torque_opt_nm.known, thread.load_n.known
    wanted = wanted if own is None else own
    return FloorJoint(
        id=joint_id(low.id, high.id),
        lower=low.id,
        upper=high.id,
        sort="workshop" if inside else "thread",
        z_m=high.bottom_m,
        torque_nm=window or _around(wanted),
        wanted_nm=wanted,
        load_n=load,
    )


def _around(wanted_nm: float | None) -> tuple[float, float] | None:
    if wanted_nm is None:
        return None
    return wanted_nm * (1 - _SPREAD), wanted_nm * (1 + _SPREAD)


def _esp(job: Job, low: PlacedPiece, high: PlacedPiece, together: dict[str, int]) -> FloorJoint:
    part = next(one for one in job.esp if one.id == low.id)
    torque = part.upper_joint_torque_nm.known
    on_floor: JointSort = "flange" if part.upper_joint == "none" else part.upper_joint
    inside = _same(together, low.id, high.id)
    return FloorJoint(
        id=joint_id(low.id, high.id),
        lower=low.id,
        upper=high.id,
        sort="workshop" if inside else on_floor,
        z_m=low.top_m,
        torque_nm=_around(torque),
        wanted_nm=torque,
        load_n=part.upper_joint_load_n.known,
        signed=not inside,
    )


def _seat(job: Job, lowest: PlacedPiece) -> FloorJoint:
    assert job.base is not None, "a seat belongs to a base support"
    load = job.base.retainer_load_n
    retained = load.state != "not applicable"
    return FloorJoint(
        id=SEAT,
        lower=BASE_ID,
        upper=lowest.id,
        sort="seat",
        z_m=lowest.bottom_m,
        # A seat that can't be pulled is only pressed on: the base support carries that.
        load_n=load.known if retained else job.base.rating_n.known,
        signed=True,
        retained=retained,
    )


def _of_ytool(job: Job, assembly: Assembly, top: PlacedPiece) -> list[FloorJoint]:
    part = next(one for one in job.esp if one.id == top.id)
    torque = part.upper_joint_torque_nm.known
    if torque is None:
        torque = job.ytool.esp_leg_torque_nm.known
    leg = FloorJoint(
        id=Y_LEG,
        lower=top.id,
        upper=YTOOL_ID,
        sort="swivel nut" if part.upper_joint == "none" else part.upper_joint,
        z_m=top.top_m,
        torque_nm=_around(torque),
        wanted_nm=torque,
        load_n=part.upper_joint_load_n.known,
        signed=True,
    )
    code = "" if job.union.upper_end is None else job.union.upper_end.thread
    thread = next((one for one in job.threads if one.id == code), None)
    hung = FloorJoint(
        id=joint_id(UNION_ID, YTOOL_ID),
        lower=UNION_ID,
        upper=YTOOL_ID,
        sort="workshop",
        z_m=assembly.bypass_leg_m,
        load_n=None if thread is None else thread.load_n.known,
    )
    pup = tubing_pup(job)
    if pup is None:
        return [leg, hung]
    above = FloorJoint(
        id=joint_id(YTOOL_ID, pup.id),
        lower=YTOOL_ID,
        upper=pup.id,
        sort="workshop",
        z_m=assembly.top_m,
        load_n=pup.rating_n.known,
    )
    return [leg, hung, above]
