"""Heights and depths: the one place where a zero is changed for another.

Height z is positive up. Its zero is the ESP's seating shoulder as it is set
(bottom-supported) or the motor base (top-hung), and it moves with the ESP: a
seat height or stick-down ``a`` lowers the bypass by ``a``. Measured depth is
positive down from a named datum.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from abreast.errors import InputError
from abreast.model.bypass import FixedPiece, RackItem, pin_ends
from abreast.model.quantity import Effective, HeightZero, Quantity

if TYPE_CHECKING:
    from abreast.model.esp import EspPiece, Landing, Port
    from abreast.model.frame_parts import EntryGuide, TwinClamp
    from abreast.model.job import Job

__all__ = [
    "HeightZero",
    "SeatRange",
    "base_top_m",
    "bypass_leg_m",
    "clamp_height_m",
    "convert_depth_m",
    "depth_of_height_m",
    "effective_length",
    "esp_heights_m",
    "esp_length_m",
    "esp_string",
    "free_body_ends_m",
    "landing_window_m",
    "make_up_loss_m",
    "neck_height_m",
    "of_pipe",
    "port_height_m",
    "rack_item",
    "seat_range",
    "tail_items",
    "to_esp_frame_m",
    "zero_shift_m",
]


@dataclass(frozen=True, slots=True)
class SeatRange:
    """Seat height (bottom-supported) or stick-down (top-hung): how far the bypass may go down."""

    min_m: float
    max_m: float
    step_m: float
    planned_m: float
    locked_m: float | None


def seat_range(job: Job) -> SeatRange:
    """The free distance between the two strings at the bottom [m]."""
    if job.base is not None:
        base = job.base
        return SeatRange(
            base.seat_min_m.si,
            base.seat_max_m.si,
            base.seat_step_m.si,
            base.seat_planned_m.si,
            base.seat_locked_m.known,
        )
    guide = _guide(job)
    return SeatRange(
        guide.stick_down_min_m.si,
        guide.stick_down_max_m.si,
        guide.stick_down_step_m.si,
        guide.stick_down_planned_m.si,
        guide.stick_down_locked_m.known,
    )


def _guide(job: Job) -> EntryGuide:
    if job.guide is None:
        message = "the job has neither base support nor entry guide"
        raise InputError(message, code="no-base")
    return job.guide


def base_top_m(job: Job) -> float:
    """Height of the lowest bypass connection at seat height or stick-down 0 [m]."""
    if job.base is not None:
        return job.base.bypass_shoulder_m.si - job.base.seat_plane_m.si
    return _guide(job).length_m.si


def zero_shift_m(job: Job, zero: HeightZero) -> float:
    """What to add to a height typed from another zero, the seat as planned [m].

    Examples
    --------
    A table whose zero is the lower shoulder of a base with its seat plane at
    0.90 ft and the seat planned at 0.25 ft is 1.15 ft too high throughout.
    """
    if zero == "esp":
        return 0.0
    now = seat_range(job).planned_m
    if zero == "bypass connection":
        return base_top_m(job) - now
    if job.base is None:
        message = "heights from the base lower shoulder need a base support"
        raise InputError(message, code="no-base")
    return -(job.base.seat_plane_m.si + now)


def to_esp_frame_m(job: Job, height_m: float, zero: HeightZero) -> float:
    """A height typed from a named zero, in the ESP frame [m]."""
    return height_m + zero_shift_m(job, zero)


def esp_string(job: Job) -> tuple[EspPiece, ...]:
    """The ESP pieces that are run, bottom to top."""
    return tuple(piece for piece in job.esp if not piece.is_spare)


def esp_heights_m(job: Job) -> dict[str, tuple[float, float]]:
    """Height of lower and upper face of every ESP piece that is run [m].

    Raises
    ------
    MissingInputError
        If a length is missing.
    """
    heights: dict[str, tuple[float, float]] = {}
    top = 0.0
    for piece in esp_string(job):
        bottom, top = top, top + piece.actual_m.si
        heights[piece.id] = (bottom, top)
    return heights


def esp_length_m(job: Job) -> float:
    """Height of the Y-tool's ESP leg face: the whole ESP side [m]."""
    return sum(piece.actual_m.si for piece in esp_string(job))


def bypass_leg_m(job: Job) -> float:
    """Height of the Y-tool's bypass leg face, the upper end of the union [m]."""
    return esp_length_m(job) + job.ytool.bypass_leg_above_esp_leg_m.si


def _piece(job: Job, piece_id: str) -> EspPiece:
    return next(piece for piece in job.esp if piece.id == piece_id)


def neck_height_m(job: Job, piece_id: str) -> float:
    """Height of the middle of a piece's clamp neck [m]."""
    return esp_heights_m(job)[piece_id][1] - _piece(job, piece_id).neck_below_top_m.si


def port_height_m(job: Job, port: Port) -> float:
    """Height of a port [m]."""
    return esp_heights_m(job)[port.piece][0] + port.height_m.si


def clamp_height_m(job: Job, clamp: TwinClamp) -> float:
    """Height of the middle of a twin clamp [m]."""
    if clamp.height_m.is_given:
        return clamp.height_m.si
    return neck_height_m(job, clamp.piece) + clamp.offset_m.or_else(0.0)


def landing_window_m(job: Job, landing: Landing) -> tuple[float, float]:
    """Where the bypass top may stand above the plate at a landing, margins taken off [m]."""
    margin = job.rules.landing_margin_m.si
    own = landing.window_low_m.is_given
    low = landing.window_low_m if own else job.window.low_m
    high = landing.window_high_m if own else job.window.high_m
    return low.si + margin, high.si - margin


def make_up_loss_m(job: Job, item: RackItem | FixedPiece) -> float:
    """Length the piece loses when it is made up: its own figure, else that of its pins [m]."""
    if item.make_up_loss_m.is_given:
        return item.make_up_loss_m.si
    loss = {thread.id: thread.make_up_loss_m for thread in job.threads}
    return sum(loss[end.thread].si for end in pin_ends(item.lower_end, item.upper_end))


def effective_length(job: Job, item: RackItem | FixedPiece) -> Effective:
    """What a piece adds to the string: overall length less make-up loss [m]."""
    return item.overall_m.less(make_up_loss_m(job, item))


def rack_item(job: Job, item_id: str) -> RackItem:
    """The rack piece of that id; KeyError when there is none."""
    for item in job.rack:
        if item.id == item_id:
            return item
    raise KeyError(item_id)


def tail_items(job: Job) -> tuple[RackItem | FixedPiece, ...]:
    """The pieces of the tail, bottom to top, rack references looked up."""
    return tuple(rack_item(job, piece.id) if piece.rack else piece for piece in job.tail)


def of_pipe(job: Job, item: RackItem | FixedPiece, field: str) -> Quantity:
    """A size of a piece (``body_od_m``, ``joint_od_m``, ``bore_m``), else that of the pipe."""
    own: Quantity = getattr(item, field)
    if own.is_given or own.state == "not applicable" or isinstance(item, FixedPiece):
        return own
    common: Quantity = getattr(job.pipe, field)
    return common


def free_body_ends_m(job: Job, item: RackItem) -> tuple[float, float]:
    """Lengths at lower and upper end where no clamp closes: upset and coupling [m]."""
    by_id = {thread.id: thread for thread in job.threads}
    lower, upper = by_id.get(item.lower_end.thread), by_id.get(item.upper_end.thread)
    upset = item.upset_m if item.upset_m.is_given or lower is None else lower.upset_m
    coupling = item.coupling_m if item.coupling_m.is_given or upper is None else upper.coupling_m
    return upset.si, coupling.si


def convert_depth_m(job: Job, md_m: float, datum: str, to: str = "") -> float:
    """A measured depth from one named datum, counted from another [m].

    Raises
    ------
    InputError
        If a datum has no name or is not in the table: a depth needs a named zero.

    Notes
    -----
    Both zeros lie in the vertical top of the hole: the depth changes by the
    difference of their elevations.
    """
    elevation = {one.id: one.elevation_m for one in job.datums}
    wanted = to or job.depth_datum
    for name in (datum, wanted):
        if name not in elevation:
            message = f"datum {name!r} is not in the table of datums; a depth needs a named zero"
            raise InputError(message, code="no-datum")
    return md_m - (elevation[datum].si - elevation[wanted].si)


def depth_of_height_m(job: Job, height_m: float, to: str = "") -> float:
    """Measured depth of a height once the Y-tool top hangs at its planned depth [m]."""
    top_m = esp_length_m(job) + job.ytool.length_m.si
    wanted_m = job.setting.ytool_top_md_m.si
    md_m = wanted_m + top_m - height_m
    return convert_depth_m(job, md_m, job.setting.datum or job.depth_datum, to)
