"""A small top-hung run made by hand: the bypass waits in slips beside the motor, then is tied."""

from __future__ import annotations

from typing import Any

from tests.procedure.hand_made import T

from abreast.model.procedure import (
    ClampPlace,
    FloorHolder,
    FloorJoint,
    FloorPiece,
    FloorSite,
    FloorUnion,
    HoistLine,
    Neck,
    Procedure,
    Step,
)

PLATE_M = 1.05
NECK_M, PUMP_NECK_M = 10.60, 17.07


def piece(
    own_id: str, string: str, bottom: float, top: float, kg: float, **more: Any
) -> FloorPiece:
    return FloorPiece(
        id=own_id,
        string=string,  # type: ignore[arg-type]
        bottom_m=bottom,
        top_m=top,
        mass_kg=kg,
        load_n=120e3,
        ea_n=2e8,
        grip_od_m=None if string == "esp" else 0.0603,
        **more,
    )


PIECES = (
    piece("guide", "bypass", -1.65, -1.33, 6, name="entry guide"),
    piece("K01", "bypass", -1.33, 11.78, 90, name="joint", flush=True, slick_m=((-1.0, 11.5),)),
    piece("Q10", "bypass", 11.78, 17.70, 41, name="pup joint", flush=True),
    piece("AU", "union", 17.70, 18.56, 19, name="adjustable union"),
    piece("motor", "esp", 0.0, 10.74, 486, neck=Neck(z_m=NECK_M, od_m=0.066)),
    piece("pump", "esp", 10.74, 17.20, 260, neck=Neck(z_m=PUMP_NECK_M, od_m=0.062)),
    piece("pup", "esp", 17.20, 18.40, 12, name="discharge pup"),
    piece("Y-tool", "Y-tool", 18.40, 19.56, 88),
)
FJ = {"torque_nm": (810.0, 990.0), "wanted_nm": 900.0}


def joint(own_id: str, lower: str, upper: str, sort: str, z: float, **more: Any) -> FloorJoint:
    return FloorJoint(
        id=own_id,
        lower=lower,
        upper=upper,
        sort=sort,  # type: ignore[arg-type]
        z_m=z,
        load_n=80e3,
        **more,
    )


JOINTS = (
    joint("H1", "guide", "K01", "workshop", -1.33),
    joint("H2", "motor", "pump", "flange", 10.74, torque_nm=(50.0, 58.0), wanted_nm=54.0),
    joint("H3", "pump", "pup", "workshop", 17.20),
    joint("H4", "K01", "Q10", "thread", 11.78, **FJ),
    joint("H5", "AU", "Y-tool", "workshop", 18.56),
    joint("H6", "pup", "Y-tool", "swivel nut", 18.40, torque_nm=(700.0, 900.0), wanted_nm=800.0),
    joint("H7", "Q10", "AU", "thread", 17.70, **FJ),
)
HOLDERS = (
    FloorHolder(id="SL", type="slips", pipe_od_m=0.0603, rating_n=98e3, origin=T),
    FloorHolder(id="SC", type="safety clamp", pipe_od_m=0.0603, origin=T),
    FloorHolder(id="EL", type="elevator", rating_n=90e3, length_m=0.4, origin=T),
    FloorHolder(
        id="LS",
        type="lifting sub",
        pipe_od_m=0.0603,
        rating_n=90e3,
        length_m=0.3,
        origin=T,
        count=2,
    ),
    FloorHolder(id="LC-M", type="lifting clamp", rating_n=44e3, neck_od_m=(0.065, 0.067), origin=T),
    FloorHolder(id="LC-P", type="lifting clamp", rating_n=44e3, neck_od_m=(0.061, 0.063), origin=T),
    FloorHolder(id="SLG", type="slings", rating_n=90e3, length_m=3.0, origin=T),
)


def move(do: str, z: float, to: float) -> dict[str, Any]:
    return {"do": do, "lines": ["block"], "z_m": z, "to_m": to}


def lift(pieces: list[str], on: str, holder: str) -> list[dict[str, Any]]:
    gear = ["SLG"] if holder.startswith("LC") else ["EL"]
    return [
        {"do": "fit", "holder": holder, "on": on},
        {
            "do": "pick_up",
            "pieces": pieces,
            "line": "block",
            "holder": holder,
            "on": on,
            "gear": gear,
        },
    ]


GIVE = [{"do": "slack_off", "lines": ["block"]}, {"do": "unlatch", "line": "block"}]
TIE = {"do": "fit_twin_clamp", "clamp": "C1"}


def thread(own_joint: str, low: str, up: str) -> list[dict[str, Any]]:
    return [
        {"do": "stab", "joints": [own_joint], "line": "block"},
        {"do": "make_up", "joint": own_joint, "torque_nm": 900.0, "back_up": low},
        {"do": "record_torque", "joint": own_joint},
        *GIVE,
        {"do": "remove", "holder": "LS", "on": up},
    ]


def actions(tied_on_block: bool) -> list[dict[str, Any]]:
    """The run; the first clamp is closed with the motor on the plate, or still on the block."""
    bypass = [
        {"do": "set_plate", "to": "closed"},
        *lift(["guide", "K01"], "K01", "LS"),
        move("lower", NECK_M, PLATE_M),
        {"do": "set_slips", "holder": "SL", "on": "K01", "support": "plate"},
        {"do": "fit_safety_clamp", "holder": "SC", "on": "K01", "gap_m": 0.15},
        *GIVE,
        {"do": "remove", "holder": "LS", "on": "K01"},
    ]
    free = [{"do": "remove_safety_clamp", "holder": "SC"}, {"do": "pull_slips", "holder": "SL"}]
    land = {"do": "land", "holder": "LC-M"}
    motor = [*lift(["motor"], "motor", "LC-M"), move("lower", NECK_M, PLATE_M)]
    pump = [
        *lift(["pump", "pup"], "pump", "LC-P"),
        {"do": "stab", "joints": ["H2"], "line": "block"},
        {"do": "make_up", "joint": "H2", "torque_nm": 54.0},
        {"do": "record_torque", "joint": "H2"},
        {"do": "take", "lines": ["block"]},
    ]
    if tied_on_block:
        middle = [TIE, {"do": "take", "lines": ["block"]}, *free, land, *GIVE, *pump]
    else:
        middle = [land, *GIVE, TIE, *pump, *free]
    return [
        *bypass,
        *motor,
        *middle,
        move("hoist", NECK_M, PLATE_M + 1.0),
        {"do": "remove", "holder": "LC-M", "on": "motor"},
        move("lower", NECK_M, PLATE_M - 0.0),
        {"do": "remark", "text": "bypass top stands in the window"},
        *second(),
        {"do": "snug_union"},
        {"do": "lock_union"},
        {"do": "confirm", "due": "union stroke"},
        {"do": "take", "lines": ["block"]},
        move("hoist", PUMP_NECK_M, PLATE_M + 1.0),
        {"do": "remove", "holder": "LC-P", "on": "pump"},
        {"do": "set_plate", "to": "off"},
        {"do": "confirm", "due": "counts"},
        {"do": "hand_over"},
    ]


def second() -> list[dict[str, Any]]:
    """Pump on the plate, second bypass piece, Y-tool on both legs."""
    return [
        move("lower", PUMP_NECK_M, PLATE_M),
        {"do": "land", "holder": "LC-P"},
        *GIVE,
        *lift(["Q10"], "Q10", "LS"),
        *thread("H4", "K01", "Q10"),
        {"do": "confirm", "due": "face difference"},
        *lift(["AU", "Y-tool"], "Y-tool", "LS"),
        {"do": "stab", "joints": ["H6", "H7"], "line": "block"},
        {"do": "make_up", "joint": "H6", "torque_nm": 800.0, "back_up": "pup"},
        {"do": "record_torque", "joint": "H6"},
        {"do": "make_up", "joint": "H7", "torque_nm": 900.0, "back_up": "Q10"},
        {"do": "record_torque", "joint": "H7"},
    ]


def hand_hung(*, tied_on_block: bool = False, **changes: Any) -> Procedure:
    """The run, step by step."""
    fields: dict[str, Any] = {
        "name": "Hand-made top-hung run",
        "job": "Skerrow A-09",
        "units": "SI",
        "arrangement": "top-hung",
        "load_path": "top-hung",
        "site": FloorSite(
            plate_m=PLATE_M,
            plate_rating_n=196e3,
            rotary_rating_n=1e6,
            dynamic_ratio=1.3,
            dynamic_origin="common practice, no source",
            reach_m=(-7.0, 2.6),
        ),
        "lines": (HoistLine(id="block", hoist="block", rating_n=1e6, own_mass_kg=4000),),
        "pieces": PIECES,
        "joints": JOINTS,
        "holders": HOLDERS,
        "clamps": (
            ClampPlace(
                id="C1",
                z_m=NECK_M + 0.1,
                mass_kg=9.5,
                esp="motor",
                bypass="K01",
                grip_n=9000.0,
                torque_nm=30.0,
                carries=True,
            ),
        ),
        "union": FloorUnion(piece="AU", joint="H7", to_closed_m=0.1, to_open_m=0.1),
    }
    steps = tuple(
        Step(id=str(at), action=one)  # type: ignore[arg-type]
        for at, one in enumerate(actions(tied_on_block), 1)
    )
    return Procedure(**({**fields, "steps": steps} | changes))
