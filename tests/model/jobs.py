"""Two invented jobs as model objects: one bottom-supported, one top-hung."""

from __future__ import annotations

from datetime import date
from typing import Any

from abreast.model import Job, Quantity, Signature

FT, IN, LB, LBF, FTLBF = 0.3048, 0.0254, 0.45359237, 4.4482216152605, 1.3558179483314004
INVENTED = "invented"


def q(value: float, factor: float = 1.0) -> Quantity:
    return Quantity.of(value * factor, INVENTED)


ESP_1 = [
    # id, kind, length ft, body in, max in, mass lb, neck below top ft, neck in, joint
    ("guide", "guide", 0.62, 3.50, 4.50, 48, None, None, "thread"),
    ("gauge", "gauge", 2.06, 4.50, 4.50, 92, None, None, "flange"),
    ("motor", "motor", 27.42, 5.40, 5.40, 1905, 0.48, 4.10, "flange"),
    ("protector", "protector", 11.36, 5.13, 5.13, 515, 0.42, 3.60, "flange"),
    ("intake", "intake", 1.36, 5.13, 5.13, 66, None, None, "flange"),
    ("pump-1", "pump", 17.84, 5.13, 5.13, 735, 0.42, 3.60, "flange"),
    ("pump-2", "pump", 21.46, 5.13, 5.13, 885, 0.42, 3.60, "flange"),
    ("pump-3", "pump", 21.46, 5.13, 5.13, 885, 0.42, 3.60, "flange"),
    ("head", "discharge head", 0.92, 5.13, 5.13, 44, None, None, "thread"),
    ("pup", "discharge pup", 3.55, 3.50, 4.50, 52, None, None, "swivel nut"),
]
LANDED_1 = ("motor", "protector", "pump-1", "pump-2", "pump-3")
RACK_1 = {"B05": 30.97, "P07": 12.02, "P01": 20.06, "P04": 20.03, "P08": 12.07, "P10": 10.01}
TAIL_RACK_1 = {"P24": 4.10, "T01": 31.88, "T02": 31.74, "T03": 32.02, "T05": 31.95, "P25": 6.08}


def esp_rows(rows: list[tuple[Any, ...]], along: float, across: float, mass: float) -> list[Any]:
    return [
        {
            "id": i,
            "name": i,
            "kind": kind,
            "length_m": q(length, along),
            "body_od_m": q(body, across),
            "max_od_m": q(largest, across),
            "mass_kg": q(weight, mass),
            "neck_below_top_m": None if neck is None else q(neck, along),
            "neck_od_m": None if neck_od is None else q(neck_od, across),
            "upper_joint": joint,
            "workshop_joint_above": kind == "intake",
        }
        for i, kind, length, body, largest, weight, neck, neck_od, joint in rows
    ]


def pipe_row(name: str, overall: float, thread: str, unit: float, **more: Any) -> dict[str, Any]:
    return {
        "id": name,
        "kind": "joint" if overall * unit > 7 else "pup",
        "lower_end": f"{thread} pin",
        "upper_end": f"{thread} box",
        "overall_m": q(overall, unit),
        "drift": "passed",
    } | more


def common() -> dict[str, Any]:
    signed = Signature("A. Pell", date(2024, 5, 1))
    return {
        "order": {"esp": "bottom to top"},
        "revision": {"number": "1", "prepared": signed, "checked": signed, "approved": signed},
        "depth_reference": "top of casing-head flange",
        "depth_datum": "RKB",
        "datums": [{"id": "RKB", "elevation_m": 9.0}, {"id": "old RKB", "elevation_m": 10.5}],
    }


def job_1(**changes: Any) -> Job:
    rack = [pipe_row(name, ft, "SF", FT) for name, ft in RACK_1.items()]
    rack += [pipe_row(name, ft, "EU", FT, usable_for="tail") for name, ft in TAIL_RACK_1.items()]
    order = ["P24", "nipple", "T01", "T02", "T03", "T05", "P25"]
    nipple = {
        "id": "nipple",
        "kind": "nipple",
        "overall_m": q(1.35, FT),
        "lower_end": "EU pin",
        "upper_end": "EU box",
        "no_go_m": q(2.20, IN),
        "mass_kg": q(19, LB),
    }
    guide = {
        "id": "bell",
        "kind": "guide",
        "overall_m": q(0.74, FT),
        "upper_end": "EU box",
        "mass_kg": q(14, LB),
    }
    data: dict[str, Any] = common() | {
        "name": "Quernstone 14",
        "arrangement": "bottom-supported",
        "load_path": "esp-held",
        "units": "oilfield",
        "setting": {"axis_spacing_m": q(4.25, IN), "ytool_top_md_m": q(5600, FT)},
        "base": {
            "length_m": q(3.40, FT),
            "bypass_shoulder_m": q(3.10, FT),
            "seat_plane_m": q(0.90, FT),
            "seat_min_m": q(0.0, FT),
            "seat_max_m": q(0.50, FT),
            "seat_step_m": q(0.5, IN),
            "seat_planned_m": q(0.25, FT),
            "max_od_m": q(8.44, IN),
            "mass_kg": q(265, LB),
            "lower_end": "EU pin",
            "upper_end": "SF box",
            "retainer_load_n": q(15000, LBF),
        },
        "union": {
            "closed_m": q(2.60, FT),
            "open_m": q(3.40, FT),
            "lower_end": "SF pin",
            "max_od_m": q(3.55, IN),
            "mass_kg": q(78, LB),
            "travel_per_turn_m": q(0.25, IN),
        },
        "ytool": {
            "length_m": q(4.20, FT),
            "bypass_leg_above_esp_leg_m": q(0.62, FT),
            "max_od_m": q(8.45, IN),
            "mass_kg": q(305, LB),
        },
        "pipe": {
            "name": "2-7/8 in 6.5 lb/ft L80 SF",
            "body_od_m": q(2.875, IN),
            "joint_od_m": q(3.02, IN),
            "bore_m": q(2.441, IN),
            "drift_m": q(2.347, IN),
            "mass_per_length_kg_m": q(6.5, LB / FT),
        },
        "window": {"low_m": q(2.0, FT), "high_m": q(5.5, FT)},
        "rig": {"false_rotary_height_m": q(3.6, FT)},
        "survey_head": {"wellbore": "14", "datum": "RKB", "north": "grid"},
        "esp": esp_rows(ESP_1, FT, IN, LB),
        "landings": [{"id": f"L{n}", "piece": piece} for n, piece in enumerate(LANDED_1, 1)],
        "clamps": [
            {
                "id": f"C{n}",
                "piece": piece,
                "length_m": q(0.70, FT),
                "max_od_m": q(8.42, IN),
                "mass_kg": q(46, LB),
            }
            for n, piece in enumerate(LANDED_1, 1)
        ],
        "ports": [{"id": "pothead", "piece": "motor", "kind": "pothead", "height_m": q(26.52, FT)}],
        "tail": [guide] + [nipple if i == "nipple" else {"id": i, "rack": True} for i in order],
        "rack": rack,
        "lifts": [{"id": "D1", "pieces": ["P08", "P10"]}],
        "threads": [
            {"id": "SF", "make_up_loss_m": q(0.24, FT), "upset_m": 0.1, "coupling_m": 0.2},
            {"id": "EU", "make_up_loss_m": q(0.17, FT)},
        ],
        "casing": [
            {
                "name": "9-5/8 in 47 lb/ft",
                "top_md_m": 0.0,
                "shoe_md_m": q(6900, FT),
                "bore_m": q(8.681, IN),
                "drift_m": q(8.525, IN),
            }
        ],
    }
    return Job.model_validate(data | changes)


ESP_2 = [
    ("base", "guide", 0.28, 88.0, 90.0, 11, None, None, "flange"),
    ("gauge", "gauge", 0.62, 86.4, 86.4, 20, None, None, "flange"),
    ("motor", "motor", 9.84, 91.4, 91.4, 455, 0.14, 66.0, "flange"),
    ("protector", "protector", 2.46, 86.4, 86.4, 82, 0.13, 62.0, "flange"),
    ("intake", "intake", 0.78, 86.4, 86.4, 24, None, None, "flange"),
    ("pump-1", "pump", 5.52, 86.4, 86.4, 158, 0.13, 62.0, "flange"),
    ("pump-2", "pump", 6.71, 86.4, 86.4, 192, 0.13, 62.0, "flange"),
    ("head", "discharge head", 0.24, 86.4, 86.4, 9.5, None, None, "thread"),
    ("pup", "discharge pup", 1.10, 60.3, 77.8, 11.5, None, None, "swivel nut"),
]
LANDED_2 = ("motor", "protector", "pump-1", "pump-2")
RACK_2 = {"K01": 9.562, "Q07": 3.668, "Q10": 3.048, "Q02": 6.094, "Q04": 6.121}


def job_2(**changes: Any) -> Job:
    data: dict[str, Any] = common() | {
        "name": "Skerrow A-09",
        "arrangement": "top-hung",
        "load_path": "top-hung",
        "units": "SI",
        "setting": {"axis_spacing_m": 0.07665, "ytool_top_md_m": 2150.0},
        "guide": {
            "length_m": 0.32,
            "stick_down_min_m": 1.0,
            "stick_down_max_m": 3.0,
            "stick_down_step_m": 0.01,
            "stick_down_planned_m": 1.65,
            "upper_end": "FJ box",
            "max_od_m": 0.066,
            "mass_kg": 3.2,
        },
        "union": {
            "closed_m": 0.74,
            "open_m": 0.98,
            "lower_end": "FJ pin",
            "max_od_m": 0.0665,
            "mass_kg": 19,
        },
        "ytool": {
            "length_m": 1.16,
            "bypass_leg_above_esp_leg_m": 0.16,
            "max_od_m": 0.1515,
            "mass_kg": 88,
        },
        "pipe": {
            "name": "2-3/8 in 4.6 lb/ft L80 FJ",
            "body_od_m": 0.06033,
            "joint_od_m": 0.06033,
            "bore_m": 0.05067,
            "drift_m": 0.04829,
            "mass_per_length_kg_m": 6.85,
        },
        "window": {"low_m": 0.6, "high_m": 1.7},
        "rig": {"false_rotary_height_m": 1.05},
        "survey_head": {"wellbore": "A-09", "datum": "RKB", "north": "grid"},
        "esp": esp_rows(ESP_2, 1.0, 0.001, 1.0),
        "landings": [{"id": f"L{n}", "piece": piece} for n, piece in enumerate(LANDED_2, 1)],
        "rack": [pipe_row(name, m, "FJ", 1.0) for name, m in RACK_2.items()],
        "threads": [{"id": "FJ", "make_up_loss_m": 0.062}],
        "casing": [
            {
                "name": "7 in 29 lb/ft",
                "top_md_m": 0.0,
                "shoe_md_m": 2720.0,
                "bore_m": 0.15707,
                "drift_m": 0.1539,
            }
        ],
    }
    return Job.model_validate(data | changes)
