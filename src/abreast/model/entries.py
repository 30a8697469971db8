"""What is written down on the rig floor: the kinds of entries, once for procedure and record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from abreast.units import Dimension

__all__ = ["ENTRY_FIELDS", "EntryField", "EntryKind"]

EntryKind = Literal[
    "time",
    "piece run",
    "torque",
    "load",
    "height",
    "electrical",
    "drift",
    "orientation",
    "clamp",
    "count",
    "union",
    "seat",
    "splice",
    "face difference",
    "signature",
    "remark",
]


@dataclass(frozen=True, slots=True)
class EntryField:
    """One value of an entry: its name, what it is, and its quantity."""

    name: str
    what: str
    dimension: Dimension | None = None
    required: bool = True


def _field(
    name: str, what: str, dimension: Dimension | None = None, *, required: bool = True
) -> EntryField:
    return EntryField(name, what, dimension, required)


ENTRY_FIELDS: dict[EntryKind, tuple[EntryField, ...]] = {
    "time": (),
    "piece run": (
        _field("piece", "id of the piece, read off the piece"),
        _field("serial", "serial number, read off the piece"),
        _field("overall_m", "overall length read out", Dimension.LENGTH),
    ),
    "torque": (
        _field("joint", "joint"),
        _field("torque_nm", "torque reached", Dimension.TORQUE),
        _field("turns", "turns", required=False),
        _field("tool", "tong or wrench, by number"),
        _field("graph", "number of the graph", required=False),
    ),
    "load": (
        _field("before_n", "indicator before", Dimension.FORCE),
        _field("after_n", "indicator after", Dimension.FORCE),
    ),
    "height": (_field("height_m", "height above the plate by rule", Dimension.LENGTH),),
    "electrical": (
        _field("phase_ohm", "phase to phase, three pairs"),
        _field("insulation_ohm", "insulation of each phase to ground"),
        _field("test_v", "test voltage"),
        _field("duration_s", "duration of the test"),
        _field("temperature_k", "temperature", Dimension.TEMPERATURE),
        _field("instrument", "instrument and date of calibration"),
    ),
    "drift": (
        _field("result", "passed, stopped at, or not done with reason"),
        _field("mandrel", "mandrel", required=False),
    ),
    "orientation": (
        _field("angle_rad", "looking down, clockwise from the bypass line", Dimension.ANGLE),
        _field("photo", "number of the photo with the line visible", required=False),
    ),
    "clamp": (
        _field("clamp", "clamp and insert, read off the clamp"),
        _field("torque_nm", "torque of its bolts", Dimension.TORQUE),
    ),
    "count": (
        _field("out", "lifting subs, protectors, clamps, tools given out"),
        _field("in", "the same counted in"),
    ),
    "union": (
        _field("exposed_m", "stroke exposed by rule", Dimension.LENGTH),
        _field("turns", "turns from snug"),
        _field("lock", "lock fitted, torque, wire"),
    ),
    "seat": (
        _field("seat_m", "seat height by rule", Dimension.LENGTH),
        _field("gauge", "feeler round the seat"),
    ),
    "splice": (_field("place_m", "height above the Y-tool", Dimension.LENGTH),),
    "face difference": (
        _field("difference_m", "bypass face above ESP face by rule", Dimension.LENGTH),
    ),
    "signature": (_field("name", "name"), _field("role", "role")),
    "remark": (_field("text", "words"),),
}
