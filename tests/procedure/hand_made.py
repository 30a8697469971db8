"""A small bottom-supported run made by hand: one motor, one pump, two bypass pieces, a Y-tool."""

from __future__ import annotations

from typing import Any

from abreast.model.procedure import (
    CableLine,
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

FT, LB, LBF, LBF_FT = 0.3048, 0.45359237, 4.4482216152605, 1.3558179483314004
PIPE_M = 0.073
PLATE_FT = 3.6
REACH_FT = (-0.5, 40.0)  # from the floor to a man on the platform at the top of B05


def piece(
    own_id: str, string: str, bottom: float, top: float, lb: float, **more: Any
) -> FloorPiece:
    return FloorPiece(
        id=own_id,
        string=string,  # type: ignore[arg-type]
        bottom_m=bottom * FT,
        top_m=top * FT,
        mass_kg=lb * LB,
        load_n=60000 * LBF,
        ea_n=2.0e8,
        grip_od_m=None if string == "esp" else PIPE_M,
        **more,
    )


def slick(low: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((low * FT, high * FT),)


PIECES = (
    piece("P25", "tail", -6.0, 0.0, 40, name="pup joint", slick_m=slick(-5.5, -0.8)),
    piece("base", "base", 0.0, 3.1, 265, name="base support"),
    piece("B05", "bypass", 3.1, 33.83, 201, name="joint", flush=True, slick_m=slick(4.0, 33.5)),
    piece("P07", "bypass", 33.83, 42.62, 80, name="pup joint", flush=True),
    piece("AU", "union", 42.62, 45.62, 78, name="adjustable union"),
    piece("gauge", "esp", 1.15, 3.83, 140),
    piece(
        "motor",
        "esp",
        3.83,
        31.25,
        1905,
        neck=Neck(z_m=30.77 * FT, od_m=4.10 * FT / 12, insert="IN-410"),
        serial="M-7731",
    ),
    piece("pump", "esp", 31.25, 41.4, 735, neck=Neck(z_m=41.0 * FT, od_m=3.60 * FT / 12)),
    piece("pup", "esp", 41.4, 45.0, 96, name="discharge pup"),
    piece("Y-tool", "Y-tool", 45.0, 49.2, 305),
)


def joint(own_id: str, lower: str, upper: str, sort: str, z: float, **more: Any) -> FloorJoint:
    return FloorJoint(
        id=own_id,
        lower=lower,
        upper=upper,
        sort=sort,  # type: ignore[arg-type]
        z_m=z * FT,
        load_n=40000 * LBF,
        **more,
    )


SF = {"torque_nm": (1300 * LBF_FT, 1600 * LBF_FT), "wanted_nm": 1450 * LBF_FT}
FLANGE = {"torque_nm": (50 * LBF_FT, 60 * LBF_FT), "wanted_nm": 55 * LBF_FT}
JOINTS = (
    joint("J1", "P25", "base", "workshop", 0.0),
    joint("J2", "base", "B05", "thread", 3.1, **SF),
    joint("J3", "base", "gauge", "seat", 1.15, signed=True),
    joint("J4", "gauge", "motor", "workshop", 3.83),
    joint("J5", "B05", "P07", "thread", 33.83, **SF),
    joint("J6", "motor", "pump", "flange", 31.25, signed=True, **FLANGE),
    joint("J7", "pump", "pup", "workshop", 41.4),
    joint("J8", "AU", "Y-tool", "workshop", 45.62),
    joint(
        "J9",
        "pup",
        "Y-tool",
        "swivel nut",
        45.0,
        torque_nm=(800 * LBF_FT, 1000 * LBF_FT),
        wanted_nm=900 * LBF_FT,
    ),
    joint("J10", "P07", "AU", "thread", 42.62, **SF),
)
T = "certificate, invented"
HOLDERS = (
    FloorHolder(id="SL", type="slips", pipe_od_m=PIPE_M, rating_n=80000 * LBF, origin=T),
    FloorHolder(id="SC", type="safety clamp", pipe_od_m=PIPE_M, origin=T),
    FloorHolder(id="EL-LS", type="elevator", rating_n=20000 * LBF, length_m=0.4, origin=T),
    FloorHolder(
        id="LS-SF",
        type="lifting sub",
        pipe_od_m=PIPE_M,
        rating_n=20000 * LBF,
        length_m=0.3,
        origin=T,
        count=2,
    ),
    FloorHolder(
        id="LC-M",
        name="lifting clamp for the motor",
        type="lifting clamp",
        rating_n=15000 * LBF,
        neck_od_m=(4.0 * FT / 12, 4.2 * FT / 12),
        insert="IN-410",
        origin=T,
    ),
    FloorHolder(
        id="LC-P",
        type="lifting clamp",
        rating_n=15000 * LBF,
        neck_od_m=(3.5 * FT / 12, 3.7 * FT / 12),
        origin=T,
    ),
    FloorHolder(id="SLG", type="slings", rating_n=20000 * LBF, length_m=6 * FT, origin=T),
    FloorHolder(id="SOFT", type="slings", rating_n=20000 * LBF, length_m=6 * FT, origin=T),
)
SITE = FloorSite(
    plate_m=PLATE_FT * FT,
    plate_rating_n=40000 * LBF,
    rotary_rating_n=300000 * LBF,
    dynamic_ratio=1.3,
    dynamic_origin="common practice, no source",
    reach_m=(REACH_FT[0] * FT, REACH_FT[1] * FT),
)


def bare(**changes: Any) -> Procedure:
    """The pieces and the floor, without steps."""
    fields: dict[str, Any] = {
        "name": "Hand-made run",
        "job": "Quernstone 14",
        "units": "oilfield",
        "arrangement": "bottom-supported",
        "load_path": "esp-held",
        "site": SITE,
        "lines": (HoistLine(id="block", hoist="block", rating_n=300000 * LBF, own_mass_kg=4300),),
        "pieces": PIECES,
        "joints": JOINTS,
        "holders": HOLDERS,
        "clamps": (
            ClampPlace(
                id="C1",
                z_m=30.9 * FT,
                mass_kg=46 * LB,
                esp="motor",
                bypass="B05",
                torque_nm=60 * LBF_FT,
                bolts=4,
            ),
        ),
        "cable": CableLine(piece="motor", z_m=30.35 * FT, angle_rad=1.4835298641951802),
        "union": FloorUnion(
            piece="AU",
            joint="J10",
            travel_m=0.25 * FT / 12,
            turns_wanted=1.0,
            to_closed_m=0.4 * FT,
            to_open_m=0.4 * FT,
        ),
    }
    return Procedure(**(fields | changes))


def move(do: str, z: float, to: float) -> dict[str, Any]:
    return {"do": do, "lines": ["block"], "z_m": z * FT, "to_m": to * FT}


def bypass(name: str, low: str, own_joint: str) -> list[dict[str, Any]]:
    """One bypass piece on its lifting sub."""
    return [
        {"do": "fit", "holder": "LS-SF", "on": name},
        {
            "do": "pick_up",
            "pieces": [name],
            "line": "block",
            "holder": "LS-SF",
            "on": name,
            "gear": ["EL-LS"],
        },
        {"do": "stab", "joints": [own_joint], "line": "block"},
        {"do": "make_up", "joint": own_joint, "torque_nm": 1450 * LBF_FT, "back_up": low},
        {"do": "record_torque", "joint": own_joint},
        {"do": "slack_off", "lines": ["block"]},
        {"do": "unlatch", "line": "block"},
        {"do": "remove", "holder": "LS-SF", "on": name},
    ]


def esp(names: list[str], on: str, clamp: str, own_joint: str) -> list[dict[str, Any]]:
    """One ESP section on its lifting clamp, signed."""
    return [
        {"do": "fit", "holder": clamp, "on": on},
        {
            "do": "pick_up",
            "pieces": names,
            "line": "block",
            "holder": clamp,
            "on": on,
            "gear": ["SLG"],
        },
        {"do": "stab", "joints": [own_joint], "line": "block"},
        {"do": "make_up", "joint": own_joint}
        | ({"torque_nm": 55 * LBF_FT} if own_joint == "J6" else {}),
    ]


ACTIONS: list[tuple[str, list[dict[str, Any]]]] = [
    (
        "Base",
        [
            {
                "do": "pick_up",
                "pieces": ["P25", "base"],
                "line": "block",
                "holder": "SOFT",
                "on": "base",
            },
            move("lower", 3.1, 4.6),
            {"do": "set_slips", "holder": "SL", "on": "P25", "support": "rotary"},
            {"do": "fit_safety_clamp", "holder": "SC", "on": "P25", "gap_m": 0.5 * FT},
            {"do": "slack_off", "lines": ["block"]},
            {"do": "unlatch", "line": "block"},
            {"do": "cover", "on": True},
            {"do": "confirm", "due": "seat set"},
            *bypass("B05", "base", "J2"),
        ],
    ),
    (
        "Landing L1",
        [
            *esp(["gauge", "motor"], "motor", "LC-M", "J3"),
            {"do": "confirm", "due": "seat checked"},
            {"do": "lock_seat", "joint": "J3"},
            {"do": "confirm", "due": "orientation J3"},
            {"do": "take", "lines": ["block"]},
            {"do": "remove_safety_clamp", "holder": "SC"},
            {"do": "pull_slips", "holder": "SL"},
            {"do": "cover", "on": False},
            move("lower", 30.77, 6.6),
            {"do": "set_plate", "to": "closed"},
            move("lower", 30.77, PLATE_FT),
            {"do": "land", "holder": "LC-M"},
            {"do": "slack_off", "lines": ["block"]},
            {"do": "unlatch", "line": "block"},
            *bypass("P07", "B05", "J5"),
        ],
    ),
    (
        "Landing L2",
        [
            *esp(["pump", "pup"], "pump", "LC-P", "J6"),
            {"do": "record_torque", "joint": "J6"},
            {"do": "confirm", "due": "orientation J6"},
            {"do": "take", "lines": ["block"]},
            move("hoist", 30.77, 6.6),
            {"do": "remove", "holder": "LC-M", "on": "motor"},
            {"do": "confirm", "due": "reading before MLE"},
            {"do": "connect_mle"},
            {"do": "confirm", "due": "reading after MLE"},
            {"do": "fit_twin_clamp", "clamp": "C1"},
            {"do": "reel", "to": "follow"},
            move("lower", 41.0, PLATE_FT),
            {"do": "land", "holder": "LC-P"},
            {"do": "slack_off", "lines": ["block"]},
            {"do": "unlatch", "line": "block"},
        ],
    ),
    (
        "Close the frame",
        [
            {"do": "confirm", "due": "face difference"},
            {"do": "fit", "holder": "LS-SF", "on": "Y-tool"},
            {
                "do": "pick_up",
                "pieces": ["AU", "Y-tool"],
                "line": "block",
                "holder": "LS-SF",
                "on": "Y-tool",
                "gear": ["EL-LS"],
            },
            {"do": "stab", "joints": ["J9", "J10"], "line": "block"},
            {"do": "make_up", "joint": "J9", "torque_nm": 900 * LBF_FT, "back_up": "pup"},
            {"do": "record_torque", "joint": "J9"},
            {"do": "make_up", "joint": "J10", "torque_nm": 1450 * LBF_FT, "back_up": "P07"},
            {"do": "record_torque", "joint": "J10"},
            {"do": "snug_union"},
            {"do": "turn_union", "turns": 1.0},
            {"do": "lock_union"},
            {"do": "confirm", "due": "union stroke"},
            {"do": "take", "lines": ["block"]},
            move("hoist", 41.0, 6.6),
            {"do": "remove", "holder": "LC-P", "on": "pump"},
            {"do": "set_plate", "to": "off"},
            {"do": "confirm", "due": "counts"},
            {"do": "hand_over"},
        ],
    ),
]


def hand_made(**changes: Any) -> Procedure:
    """The run, step by step."""
    steps = [
        Step(id=f"{number}.{place}", phase=phase, action=action)  # type: ignore[arg-type]
        for number, (phase, actions) in enumerate(ACTIONS, 1)
        for place, action in enumerate(actions, 1)
    ]
    return bare(steps=tuple(steps), **changes)
