"""A running procedure: pieces, joints, holders, lines, what is due, and the steps.

It stands alone: whoever proves it needs no job beside it. Plain SI numbers.
Heights ``z_m`` are those of the finished twin string, positive up; what is not
known is null, and a proof says so.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from abreast.model.assembly import Result
from abreast.model.entries import EntryKind
from abreast.model.floor_actions import Action
from abreast.model.job import Arrangement, LoadPath
from abreast.model.rig import HolderType

__all__ = [
    "CableLine",
    "ClampPlace",
    "Due",
    "FloorHolder",
    "FloorJoint",
    "FloorPiece",
    "FloorSite",
    "FloorUnion",
    "HoistLine",
    "Neck",
    "Procedure",
    "StartState",
    "Step",
]

String = Literal["tail", "base", "esp", "bypass", "union", "Y-tool", "tubing"]
JointSort = Literal["thread", "flange", "swivel nut", "workshop", "seat", "socket"]


class Neck(Result):
    """Where a lifting clamp grips."""

    z_m: float = Field(description="height of its middle")
    od_m: float | None = Field(None, description="its diameter")
    insert: str = Field("", description="insert that the clamp needs on it")


class FloorPiece(Result):
    """One piece of the string."""

    id: str = Field(min_length=1, description="its id")
    name: str = Field("", description="what it is")
    string: String = Field(description="string it belongs to")
    bottom_m: float = Field(description="height of its lower end in the finished string")
    top_m: float = Field(description="height of its upper end")
    mass_kg: float | None = Field(None, ge=0, description="mass in air")
    body_od_m: float | None = Field(None, description="diameter of its body")
    max_od_m: float | None = Field(None, description="largest diameter")
    slick_m: tuple[tuple[float, float], ...] = Field(
        (), description="heights between which slips and holding clamps may grip"
    )
    grip_od_m: float | None = Field(None, description="diameter where slips and elevator grip")
    neck: Neck | None = Field(None, description="neck for a lifting clamp")
    flush: bool = Field(False, description="no upset at its top: an elevator needs a lifting sub")
    load_n: float | None = Field(None, description="axial load it may carry")
    ea_n: float | None = Field(None, description="axial stiffness EA")
    serial: str = Field("", description="serial number")


class FloorJoint(Result):
    """What joins two pieces; heights follow from the lower piece's top unless given."""

    id: str = Field(min_length=1, description="its id")
    lower: str = Field(description="piece below")
    upper: str = Field(description="piece above")
    sort: JointSort = Field(description="kind of joint; workshop: made before the run")
    z_m: float = Field(description="height where hands work on it")
    torque_nm: tuple[float, float] | None = Field(None, description="least and greatest torque")
    wanted_nm: float | None = Field(None, description="torque wanted")
    load_n: float | None = Field(None, description="axial load it may carry")
    window_m: tuple[float, float] | None = Field(
        None, description="how high above the working level it may stand when it is made"
    )
    signed: bool = Field(False, description="its orientation is signed before the next section")
    retained: bool = Field(True, description="seat: false when it only stands and can't be pulled")


class FloorHolder(Result):
    """Something that can hold, or gear between a line and a holder."""

    id: str = Field(min_length=1, description="its id")
    name: str = Field("", description="what it is")
    type: HolderType = Field(description="what sort of holder it is")
    rating_n: float | None = Field(None, gt=0, description="load it may carry; null: not known")
    origin: str = Field("", description="where the rating comes from")
    neck_od_m: tuple[float, float] | None = Field(None, description="necks it fits")
    insert: str = Field("", description="insert that is in it")
    pipe_od_m: float | None = Field(None, description="pipe it is dressed for")
    length_m: float = Field(0.0, ge=0, description="length it adds between piece and hook")
    mass_kg: float | None = Field(None, description="its own mass")
    count: int = Field(1, ge=1, description="how many there are")


class HoistLine(Result):
    """A line that can carry: of the block, of a second hoist, of the tugger."""

    id: str = Field(min_length=1, description="its id")
    hoist: str = Field(description="hoist it belongs to; two lines of one block share it")
    rating_n: float | None = Field(None, gt=0, description="load the hoist may carry")
    hook_max_m: float | None = Field(None, description="greatest height of the hook above floor")
    own_mass_kg: float = Field(0.0, ge=0, description="block and bails on the indicator")


class FloorSite(Result):
    """The rig floor."""

    plate_m: float = Field(description="plate of the false rotary above the floor")
    plate_opening_m: float | None = Field(None, description="opening of the false rotary")
    plate_rating_n: float | None = Field(None, description="load the false rotary may carry")
    rotary_opening_m: float | None = Field(None, description="opening of the rotary")
    rotary_rating_n: float | None = Field(None, description="load the rotary may carry")
    dynamic_ratio: float | None = Field(None, description="dynamic factor of lifts")
    dynamic_origin: str = Field("", description="where the dynamic factor comes from")
    reach_m: tuple[float, float] = Field(description="where hands reach, above the working level")
    land_play_m: float = Field(0.01, gt=0, description="how exactly a clamp meets the plate")
    safety_gap_m: float = Field(0.2, gt=0, description="greatest gap of a safety clamp to slips")
    sling_margin_m: float = Field(0.0, ge=0, description="sling length beyond the bypass top")
    block_clearance_m: float = Field(0.0, ge=0, description="height of block below the hook")


class ClampPlace(Result):
    """A twin clamp."""

    id: str = Field(min_length=1, description="its id")
    z_m: float = Field(description="height of its middle")
    mass_kg: float | None = Field(None, description="its mass")
    esp: str = Field(description="ESP piece it sits on")
    bypass: str = Field(description="bypass piece it closes on")
    grip_n: float | None = Field(None, description="axial load it may hold, use factor counted")
    torque_nm: float | None = Field(None, description="torque of its bolts")
    bolts: int | None = Field(None, description="number of bolts")
    carries: bool = Field(False, description="it carries the bypass until the frame is closed")


class CableLine(Result):
    """The cable: where it is connected and spliced."""

    piece: str = Field(description="piece with the pothead")
    z_m: float = Field(description="height of the pothead")
    angle_rad: float | None = Field(None, description="pothead from the bypass line, clockwise")
    splice_z_m: float | None = Field(None, description="height of the splice in the string")
    reach_m: tuple[float, float] | None = Field(None, description="where it can be connected")


class FloorUnion(Result):
    """The adjustable union while the frame is closed."""

    piece: str = Field(description="id of the union")
    joint: str = Field(description="joint that closes the frame: union to Y-tool or bypass")
    travel_m: float | None = Field(None, description="travel of one turn")
    turns_wanted: float | None = Field(None, description="turns from snug that the job wants")
    to_closed_m: float | None = Field(None, description="stroke left to closed as planned")
    to_open_m: float | None = Field(None, description="stroke left to open as planned")


class Due(Result):
    """Something that must be confirmed before an action may be done."""

    id: str = Field(min_length=1, description="its id")
    sort: Literal["signature", "reading", "measurement", "count", "check"] = Field(
        description="what it is"
    )
    text: str = Field(description="what is asked")
    after: str = Field("", description="key of the action after which it is due; blank: at once")
    before: tuple[str, ...] = Field(description="keys of the actions that wait for it")


class StartState(Result):
    """What stands when the procedure starts; blank: nothing is in the hole."""

    in_hole: tuple[str, ...] = Field((), description="pieces in the hole, all joined")
    z_m: float = Field(0.0, description="height of the string that is watched")
    at_m: float = Field(0.0, description="where it stands above the floor")
    line: str = Field("", description="line that carries it")
    holder: str = Field("", description="holder of that line")
    on: str = Field("", description="piece the holder is on")
    gear: tuple[str, ...] = Field((), description="gear of that line")
    clamps: tuple[str, ...] = Field((), description="twin clamps that are closed")
    plate: Literal["open", "closed", "off"] = Field("off", description="false rotary")
    mle: bool = Field(False, description="the MLE is connected")
    spliced: bool = Field(False, description="the cable is spliced")
    union_turns: float | None = Field(None, description="turns of the union from snug")
    union_locked: bool = Field(False, description="the union is locked")


class Step(Result):
    """One line of the procedure."""

    id: str = Field(min_length=1, description="its number or name")
    action: Action = Field(description="what is done")
    words: str = Field("", description="own words; blank: made from the action")
    phase: str = Field("", description="part of the job it belongs to")
    cautions: tuple[str, ...] = Field((), description="cautions, before the action")
    calls: str = Field("", description="who calls")
    signs: tuple[str, ...] = Field((), description="who signs")
    stop: tuple[str, ...] = Field((), description="when to stop")
    records: tuple[EntryKind, ...] = Field((), description="what is written down")


class Procedure(Result):
    """A procedure that stands alone."""

    format: Literal[1] = Field(1, description="version of this format")
    name: str = Field(description="name of the procedure")
    job: str = Field("", description="name of the job")
    fingerprint: str = Field("", description="fingerprint of the job it was made from")
    units: Literal["oilfield", "SI"] = Field("SI", description="units in which results are shown")
    arrangement: Arrangement = Field(description="bottom-supported or top-hung")
    load_path: LoadPath = Field(description="what carries the twin string, as declared")
    purpose: Literal["run", "pull"] = Field("run", description="running in or pulling out")
    site: FloorSite = Field(description="the rig floor")
    lines: Annotated[tuple[HoistLine, ...], Field(min_length=1)] = Field(description="lines")
    pieces: Annotated[tuple[FloorPiece, ...], Field(min_length=1)] = Field(description="pieces")
    joints: tuple[FloorJoint, ...] = Field((), description="joints")
    holders: tuple[FloorHolder, ...] = Field((), description="holders and gear")
    clamps: tuple[ClampPlace, ...] = Field((), description="twin clamps")
    cable: CableLine | None = Field(None, description="cable")
    union: FloorUnion | None = Field(None, description="union")
    dues: tuple[Due, ...] = Field((), description="what the job asks for beyond the fixed rules")
    start: StartState = Field(default_factory=StartState, description="start")
    steps: tuple[Step, ...] = Field((), description="the steps")

    @model_validator(mode="after")
    def _unique(self) -> Procedure:
        for what, ids in (
            ("piece", [one.id for one in self.pieces]),
            ("joint", [one.id for one in self.joints]),
            ("holder", [one.id for one in self.holders]),
            ("line", [one.id for one in self.lines]),
            ("twin clamp", [one.id for one in self.clamps]),
            ("step", [one.id for one in self.steps]),
        ):
            twice = sorted({one for one in ids if ids.count(one) > 1})
            if twice:
                message = f"{what} id {', '.join(twice)} is there twice"
                raise ValueError(message)
        known = {one.id for one in self.pieces}
        for joint in self.joints:
            for piece in (joint.lower, joint.upper):
                if piece not in known:
                    message = f"joint {joint.id}: there is no piece {piece}"
                    raise ValueError(message)
        return self
