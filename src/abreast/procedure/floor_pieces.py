"""The pieces of a procedure: heights, masses, slick pipe, necks, ratings."""

from __future__ import annotations

from abreast.errors import MissingInputError
from abreast.mechanics.load_lines import axial_stiffness
from abreast.model import (
    Assembly,
    EspPiece,
    FixedPiece,
    Job,
    PlacedPiece,
    Quantity,
    RackItem,
    UpperItem,
)
from abreast.model.procedure import FloorPiece, Neck
from abreast.procedure.lifting import is_flush
from abreast.spaceout.placing import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = ["end_thread", "floor_pieces", "item_of", "shoulder_m", "tubing_pup"]


def floor_pieces(job: Job, assembly: Assembly) -> tuple[FloorPiece, ...]:
    """Every piece bottom to top, side by side, and the pup above the Y-tool if there is one."""
    made = [_piece(job, assembly, one) for one in assembly.pieces]
    pup = tubing_pup(job)
    if pup is not None:
        made.append(_pup(job, assembly, pup))
    return tuple(made)


def item_of(job: Job, name: str) -> RackItem | FixedPiece | None:
    """The row of a tail or bypass piece; None for base, guide, union and Y-tool."""
    rack = next((one for one in job.rack if one.id == name), None)
    return rack or next((one for one in job.tail if one.id == name), None)


def end_thread(job: Job, name: str, end: str) -> str:
    """Code of the thread at an end (``lower_end`` or ``upper_end``) of a piece; blank: none."""
    part: object
    if name == BASE_ID:
        part = job.base
    elif name == GUIDE_ID:
        part = job.guide
    elif name == UNION_ID:
        part = job.union
    else:
        part = item_of(job, name)
    found = getattr(part, end, None)
    return "" if found is None else str(found.thread)


def shoulder_m(job: Job, assembly: Assembly) -> float:
    """Height of the lowest bypass connection: top of base support or entry guide [m]."""
    foot = assembly.piece(GUIDE_ID if job.is_top_hung else BASE_ID)
    return foot.bottom_m + foot.effective_m


def tubing_pup(job: Job) -> UpperItem | None:
    """The first item above the Y-tool, when it is a pup that goes up with it."""
    first = job.upper[0] if job.upper else None
    return first if first is not None and first.kind == "pup" and first.length_m.is_given else None


def _piece(job: Job, assembly: Assembly, placed: PlacedPiece) -> FloorPiece:
    base = placed.id in (BASE_ID, GUIDE_ID)
    made = FloorPiece(
        id=placed.id,
        name=placed.name,
        string=_string(placed, assembly),
        bottom_m=placed.bottom_m,
        top_m=placed.bottom_m + placed.effective_m if base else placed.top_m,
        mass_kg=placed.mass_kg,
        body_od_m=placed.body_od_m,
        max_od_m=placed.max_od_m,
        serial=placed.serial,
    )
    if placed.side == "esp":
        return made.model_copy(update=_esp(job, placed))
    return made.model_copy(update=_pipe(job, placed))


def _string(placed: PlacedPiece, assembly: Assembly) -> str:
    if placed.id == BASE_ID:
        return "base"
    if placed.id == UNION_ID:
        return "union"
    if placed.id == YTOOL_ID:
        return "Y-tool"
    if placed.side == "esp":
        return "esp"
    order = [one.id for one in assembly.side("bypass", "both")]
    foot = next(i for i, name in enumerate(order) if name in (BASE_ID, GUIDE_ID))
    return "tail" if order.index(placed.id) <= foot else "bypass"


def _esp(job: Job, placed: PlacedPiece) -> dict[str, object]:
    part = next(one for one in job.esp if one.id == placed.id)
    return {
        "neck": _neck(part, placed),
        "load_n": part.load_n.known,
        "ea_n": _ea(part.ea_n, part.body_od_m, part.bore_m, part.wall_m, job.pipe.youngs_pa),
    }


def _neck(part: EspPiece, placed: PlacedPiece) -> Neck | None:
    below = part.neck_below_top_m.known
    if below is None:
        return None
    z_m = placed.top_m - below
    return Neck(z_m=z_m, od_m=part.neck_od_m.known, insert=part.neck_insert)


def _pipe(job: Job, placed: PlacedPiece) -> dict[str, object]:
    if placed.id == UNION_ID:
        return {"load_n": job.union.rating_n.known, "ea_n": job.union.ea_n.known}
    if placed.id == YTOOL_ID:
        return {"load_n": job.ytool.rating_n.known}
    if placed.id == BASE_ID and job.base is not None:
        flush = is_flush(job, end_thread(job, BASE_ID, "upper_end"))
        return {"load_n": job.base.rating_n.known, "flush": flush}
    item = item_of(job, placed.id)
    thread = end_thread(job, placed.id, "upper_end")
    made: dict[str, object] = {"flush": is_flush(job, thread), "grip_od_m": _grip_od(job, item)}
    made["slick_m"] = _slick(job, placed, item)
    if isinstance(item, RackItem) and not _own_size(item):
        pipe = job.pipe
        made["load_n"] = pipe.body_load_n.known
        sizes = (pipe.ea_n, pipe.body_od_m, pipe.bore_m, pipe.wall_m, pipe.youngs_pa)
        made["ea_n"] = _ea(*sizes)
    elif isinstance(item, RackItem):
        none = Quantity.not_measured()
        bore, wall = (item.bore_m, item.wall_m)
        if not bore.is_given and not wall.is_given:
            bore, wall = job.pipe.bore_m, job.pipe.wall_m
        od = item.body_od_m if item.body_od_m.is_given else job.pipe.body_od_m
        made["ea_n"] = _ea(none, od, bore, wall, job.pipe.youngs_pa)
    return made


def _own_size(item: RackItem) -> bool:
    return any(one.is_given for one in (item.body_od_m, item.bore_m, item.wall_m))


def _grip_od(job: Job, item: RackItem | FixedPiece | None) -> float | None:
    if item is None:
        return None
    own = item.body_od_m.known
    return job.pipe.body_od_m.known if own is None and isinstance(item, RackItem) else own


def _slick(
    job: Job, placed: PlacedPiece, item: RackItem | FixedPiece | None
) -> tuple[tuple[float, float], ...]:
    """Pipe body between the upset above the pin shoulder and the coupling."""
    if item is None or item.kind not in ("joint", "pup"):
        return ()
    threads = {one.id: one for one in job.threads}
    lower = threads.get(end_thread(job, placed.id, "lower_end"))
    upper = threads.get(end_thread(job, placed.id, "upper_end"))
    own = (item.upset_m.known, item.coupling_m.known) if isinstance(item, RackItem) else (None,) * 2
    low = own[0] if own[0] is not None or lower is None else lower.upset_m.known
    high = own[1] if own[1] is not None or upper is None else upper.coupling_m.known
    if low is None or high is None or placed.bottom_m + low >= placed.top_m - high:
        return ()
    return ((placed.bottom_m + low, placed.top_m - high),)


def _pup(job: Job, assembly: Assembly, pup: UpperItem) -> FloorPiece:
    top_m = assembly.top_m + pup.length_m.si
    # Between the coupling below and the one above slips may grip; their length is a usual one.
    end_m = 0.3
    slick = ((assembly.top_m + end_m, top_m - end_m),) if pup.length_m.si > 2 * end_m else ()
    return FloorPiece(
        id=pup.id,
        name=pup.name,
        string="tubing",
        bottom_m=assembly.top_m,
        top_m=top_m,
        mass_kg=pup.mass_kg.known,
        body_od_m=pup.od_m.known,
        max_od_m=pup.max_od_m.known,
        grip_od_m=pup.od_m.known,
        slick_m=slick,
        load_n=pup.rating_n.known,
        serial=pup.serial,
    )


def _ea(
    ea_n: Quantity, od_m: Quantity, bore_m: Quantity, wall_m: Quantity, youngs_pa: Quantity
) -> float | None:
    try:
        return axial_stiffness(ea_n, od_m, bore_m, wall_m, youngs_pa)
    except MissingInputError:
        return None
