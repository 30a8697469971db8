"""What hands do on the rig floor, as typed data: one class for each kind of action.

An action names pieces, holders, lines and joints of its procedure. Heights
``z_m`` are those of the finished twin string; heights above the floor say so.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from abreast.model.assembly import Result

__all__ = [
    "Action",
    "BreakOut",
    "Confirm",
    "ConnectMle",
    "Cover",
    "DisconnectMle",
    "Fit",
    "FitSafetyClamp",
    "FitTwinClamp",
    "FreeSeat",
    "HandOver",
    "Hoist",
    "Land",
    "Latch",
    "LayDown",
    "LockSeat",
    "LockUnion",
    "Lower",
    "MakeUp",
    "PickUp",
    "PullApart",
    "PullSlips",
    "RecordTorque",
    "Reel",
    "Remark",
    "Remove",
    "RemoveSafetyClamp",
    "RemoveTwinClamp",
    "SetPlate",
    "SetSlips",
    "SlackOff",
    "SnugUnion",
    "Splice",
    "Stab",
    "StateTension",
    "Take",
    "TurnUnion",
    "Unlatch",
    "UnlockUnion",
]

Ids = Annotated[tuple[str, ...], Field(min_length=1)]


class _Action(Result):
    """Common ground of the actions."""


# --- hoisting ---------------------------------------------------------------------------


class PickUp(_Action):
    """A line takes new pieces from the catwalk; they hang from it alone."""

    do: Literal["pick_up"] = "pick_up"
    pieces: Ids = Field(description="ids of the pieces of this lift, bottom to top")
    line: str = Field(description="line that takes them")
    holder: str = Field(description="holder on the lift: elevator, lifting clamp, sling")
    on: str = Field(description="piece that the holder is on")
    gear: tuple[str, ...] = Field((), description="gear between line and holder, top first")


class LayDown(_Action):
    """The lift that hangs from a line alone goes back to the catwalk."""

    do: Literal["lay_down"] = "lay_down"
    line: str = Field(description="line it hangs from")


class Latch(_Action):
    """A line is made fast to a string that something else holds; it stays slack."""

    do: Literal["latch"] = "latch"
    line: str = Field(description="line")
    holder: str = Field(description="elevator closed on the piece, or clamp fitted before")
    on: str = Field(description="piece")
    gear: tuple[str, ...] = Field((), description="gear between line and holder, top first")


class Unlatch(_Action):
    """A line is freed from a string; it must carry nothing."""

    do: Literal["unlatch"] = "unlatch"
    line: str = Field(description="line")


class Take(_Action):
    """Lines take the whole string; every other holder on it becomes slack."""

    do: Literal["take"] = "take"
    lines: Ids = Field(description="one line, or two of the same string")


class SlackOff(_Action):
    """Lines give their load to the holders that are landed or set."""

    do: Literal["slack_off"] = "slack_off"
    lines: Ids = Field(description="lines")


class StateTension(_Action):
    """A check states the least load of a line: load cell, indicator or a feel test."""

    do: Literal["state_tension"] = "state_tension"
    line: str = Field(description="line")
    least_n: float = Field(gt=0, description="load that it carries at least [N]")
    most_n: float | None = Field(None, description="load that it carries at most [N]")
    by: str = Field("", description="how it was checked")


class Hoist(_Action):
    """Lines raise a string until a height of it stands at a height above the floor."""

    do: Literal["hoist"] = "hoist"
    lines: Ids = Field(description="lines that carry it")
    z_m: float = Field(description="height of the string that is watched")
    to_m: float = Field(description="where that height comes to, above the floor")
    mark: str = Field("", description="what is at that height, in words")


class Lower(_Action):
    """Lines lower a string until a height of it stands at a height above the floor."""

    do: Literal["lower"] = "lower"
    lines: Ids = Field(description="lines that carry it")
    z_m: float = Field(description="height of the string that is watched")
    to_m: float = Field(description="where that height comes to, above the floor")
    mark: str = Field("", description="what is at that height, in words")


# --- holders ----------------------------------------------------------------------------


class Fit(_Action):
    """A lifting clamp, holding clamp or lifting sub is fitted to a piece; it carries nothing."""

    do: Literal["fit"] = "fit"
    holder: str = Field(description="what is fitted")
    on: str = Field(description="piece")


class Remove(_Action):
    """A clamp or lifting sub is taken off; it must carry nothing."""

    do: Literal["remove"] = "remove"
    holder: str = Field(description="what is taken off")
    on: str = Field(description="piece")


class Land(_Action):
    """A fitted clamp stands on the plate of the false rotary; it carries nothing yet."""

    do: Literal["land"] = "land"
    holder: str = Field(description="lifting clamp or holding clamp")


class SetSlips(_Action):
    """Slips are set on slick pipe at the height of their support; they carry nothing yet."""

    do: Literal["set_slips"] = "set_slips"
    holder: str = Field(description="slips")
    on: str = Field(description="piece")
    support: str = Field(description="support they stand in: rotary or plate")


class PullSlips(_Action):
    """Slips are pulled; they must carry nothing."""

    do: Literal["pull_slips"] = "pull_slips"
    holder: str = Field(description="slips")


class FitSafetyClamp(_Action):
    """A safety clamp is fitted above slips. It is a back-up and never a holder."""

    do: Literal["fit_safety_clamp"] = "fit_safety_clamp"
    holder: str = Field(description="safety clamp")
    on: str = Field(description="piece")
    gap_m: float = Field(ge=0, description="its lower face above the slips [m]")


class RemoveSafetyClamp(_Action):
    """A safety clamp is taken off."""

    do: Literal["remove_safety_clamp"] = "remove_safety_clamp"
    holder: str = Field(description="safety clamp")


class SetPlate(_Action):
    """The false rotary is set up with its halves back, closed round the string, or removed."""

    do: Literal["set_plate"] = "set_plate"
    to: Literal["open", "closed", "off"] = Field(description="state of the plate")


class Cover(_Action):
    """The hole is covered round the string, or the cover is taken away."""

    do: Literal["cover"] = "cover"
    on: bool = Field(description="true: covered; false: open")


# --- joints -----------------------------------------------------------------------------


class Stab(_Action):
    """What hangs from a line is set on the string; the joints are entered, not yet made."""

    do: Literal["stab"] = "stab"
    joints: Ids = Field(description="joints that are entered")
    line: str = Field(description="line the new part hangs from")


class MakeUp(_Action):
    """A joint is made up; everything else is held against turning."""

    do: Literal["make_up"] = "make_up"
    joint: str = Field(description="joint")
    torque_nm: float | None = Field(None, description="torque applied [N m]")
    back_up: str = Field("", description="piece held against turning; threads need it")


class RecordTorque(_Action):
    """Torque of a made joint is read and written down."""

    do: Literal["record_torque"] = "record_torque"
    joint: str = Field(description="joint")


class BreakOut(_Action):
    """A made joint is loosened; it is still entered."""

    do: Literal["break_out"] = "break_out"
    joint: str = Field(description="joint")
    back_up: str = Field("", description="piece held against turning; threads need it")


class PullApart(_Action):
    """A line lifts the upper part out of loose joints."""

    do: Literal["pull_apart"] = "pull_apart"
    joints: Ids = Field(description="joints that are parted")
    line: str = Field(description="line the upper part hangs from")


class LockSeat(_Action):
    """The retainer of the ESP's seat is locked; from now on the seat can be pulled."""

    do: Literal["lock_seat"] = "lock_seat"
    joint: str = Field(description="joint of kind seat")


class FreeSeat(_Action):
    """The retainer of the ESP's seat is opened; it must not be pulled."""

    do: Literal["free_seat"] = "free_seat"
    joint: str = Field(description="joint of kind seat")


class FitTwinClamp(_Action):
    """A twin clamp is closed on both strings and its bolts are torqued."""

    do: Literal["fit_twin_clamp"] = "fit_twin_clamp"
    clamp: str = Field(description="twin clamp")


class RemoveTwinClamp(_Action):
    """A twin clamp is taken off."""

    do: Literal["remove_twin_clamp"] = "remove_twin_clamp"
    clamp: str = Field(description="twin clamp")


# --- cable and union --------------------------------------------------------------------


class ConnectMle(_Action):
    """The MLE is connected to the pothead."""

    do: Literal["connect_mle"] = "connect_mle"


class DisconnectMle(_Action):
    """The MLE is taken off the pothead."""

    do: Literal["disconnect_mle"] = "disconnect_mle"


class Reel(_Action):
    """The reel follows the string with little pull, or is held."""

    do: Literal["reel"] = "reel"
    to: Literal["follow", "hold"] = Field(description="what the reel does")


class Splice(_Action):
    """MLE and power cable are spliced."""

    do: Literal["splice"] = "splice"


class SnugUnion(_Action):
    """The union is run until it is snug: the torque rises; marked."""

    do: Literal["snug_union"] = "snug_union"


class TurnUnion(_Action):
    """The union is turned from snug: positive takes the bypass up, negative gives it back."""

    do: Literal["turn_union"] = "turn_union"
    turns: float = Field(description="turns; positive moves load to the bypass")


class LockUnion(_Action):
    """The union is locked."""

    do: Literal["lock_union"] = "lock_union"


class UnlockUnion(_Action):
    """The lock of the union is opened; it must carry nothing."""

    do: Literal["unlock_union"] = "unlock_union"


# --- word and sign ----------------------------------------------------------------------


class Confirm(_Action):
    """Something due is done: a signature, a reading, a measurement, a count."""

    do: Literal["confirm"] = "confirm"
    due: str = Field(description="id of what was due")


class Remark(_Action):
    """Words only; nothing moves."""

    do: Literal["remark"] = "remark"
    text: str = Field(min_length=1, description="the words")


class HandOver(_Action):
    """The finished string is handed over to the next part of the programme."""

    do: Literal["hand_over"] = "hand_over"


Action = Annotated[
    PickUp
    | LayDown
    | Latch
    | Unlatch
    | Take
    | SlackOff
    | StateTension
    | Hoist
    | Lower
    | Fit
    | Remove
    | Land
    | SetSlips
    | PullSlips
    | FitSafetyClamp
    | RemoveSafetyClamp
    | SetPlate
    | Cover
    | Stab
    | MakeUp
    | RecordTorque
    | BreakOut
    | PullApart
    | LockSeat
    | FreeSeat
    | FitTwinClamp
    | RemoveTwinClamp
    | ConnectMle
    | DisconnectMle
    | Reel
    | Splice
    | SnugUnion
    | TurnUnion
    | LockUnion
    | UnlockUnion
    | Confirm
    | Remark
    | HandOver,
    Field(discriminator="do"),
]
