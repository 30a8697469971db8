"""A third invented job, typed by hand from the page on the job folder, with nothing wrong in it."""

from __future__ import annotations

from pathlib import Path

TOML = """\
format = 1
name = "Harrow Beck 2"
arrangement = "bottom-supported"
load_path = "bypass-held"
units = "oilfield"
depth_reference = "top of casing-head flange"
depth_datum = "KB"
default_origin = "invented"

[order]
esp = "top to bottom"

[revision]
number = "0"

[setting]
axis_spacing = "4.10 in"
ytool_top_md = "3200 ft"

[base]
length = "3.00 ft"
bypass_shoulder = "2.80 ft"
seat_plane = "0.80 ft"
seat_min = "0 ft"
seat_max = "4 in"
seat_step = "1 in"
seat_planned = "2 in"
max_od = "8.30 in"
mass = "240 lb"
lower_end = "ET pin"
upper_end = "SX box"

[union]
closed = "2.40 ft"
open = "3.00 ft"
lower_end = "SX pin"
max_od = "3.50 in"
mass = "70 lb"

[ytool]
length = "4.00 ft"
bypass_leg_above_esp_leg = "0.60 ft"
max_od = "8.35 in"
mass = "290 lb"

[pipe]
name = "2-7/8 in 6.5 lb/ft L80 SX"
body_od = "2.875 in"
joint_od = "3.00 in"
bore = "2.441 in"
drift = "2.347 in"
mass_per_length = "6.5 lb/ft"

[window]
low = "2 ft"
high = "5 ft"

[rig]
false_rotary_height = "3.5 ft"

[fluids]
annulus = "8.5 ppg"
"""

ESP = """\
id,name,kind,length [ft],body_od [in],max_od [in],mass [lb],neck_below_top [ft],neck_od [in],\
cumulative [ft]
head,discharge head,discharge head,0.90,5.13,5.13,44,,,51.05
pump,pump 60 stages,pump,18.40,5.13,5.13,760,0.42,3.60,50.15
seal,protector,protector,8.05,5.13,5.13,370,0.42,3.60,31.75
motor,motor 120 hp,motor,20.80,5.40,5.40,1450,0.48,4.10,23.70
gauge,gauge,gauge,2.00,4.50,4.50,90,,,2.90
foot,bottom guide,guide,0.90,3.50,4.50,50,,,0.90
"""

RACK = """\
id,kind,lower_end,upper_end,nominal [ft],overall [ft],overall_2 [ft],effective [ft],\
mass [lb],drift,status,usable_for,serial,certificate,note
J1,joint,SX pin,SX box,31,31.24,31.25,31.01,203,passed,usable,bypass,A1,C1,
J2,joint,SX pin,SX box,31,31.19,31.19,30.96,203,passed,usable,bypass,A2,C2,
J3,joint,SX pin,SX box,31,31.31,31.30,31.08,204,passed,usable,bypass,A3,C3,
J4,joint,SX pin,SX box,31,31.27,31.27,31.04,203,passed,usable,bypass,A4,C4,
J5,joint,SX pin,SX box,31,31.22,31.21,30.99,203,passed,usable,bypass,A5,C5,
P1,pup,SX pin,SX box,12,12.04,12.04,11.81,80,passed,usable,bypass,A6,C6,
P2,pup,SX pin,SX box,10,10.03,10.04,9.80,67,passed,usable,bypass,A7,C7,
P3,pup,SX pin,SX box,10,9.97,9.97,9.74,67,passed,usable,bypass,A8,C8,
P4,pup,SX pin,SX box,6,6.05,6.05,5.82,41,passed,usable,bypass,A9,C9,
P5,pup,SX pin,SX box,4,4.01,4.01,3.78,28,passed,usable,bypass,A10,C10,
P6,pup,SX pin,SX box,2,2.02,2.02,1.79,15,passed,usable,bypass,A11,C11,
E1,joint,ET pin,ET box,32,31.88,31.88,31.71,207,passed,usable,tail,A12,C12,
E2,pup,ET pin,ET box,6,6.07,6.07,5.90,42,passed,usable,tail,A13,C13,
"""

TAIL = """\
id,rack,kind,lower_end,upper_end,overall [ft],mass [lb]
bell,no,guide,plain,ET box,0.70,13
E1,yes,joint,,,,
E2,yes,pup,,,,
"""

THREADS = """\
id,hand,make_up_loss [ft],torque_min [lbf*ft],torque_opt [lbf*ft],torque_max [lbf*ft]
SX,right,0.23,1300,1450,1600
ET,right,0.17,1700,2250,2800
SXL,left,0.23,1300,1450,1600
"""

CASING = """\
name,top_md [ft],shoe_md [ft],bore [in],drift [in],datum
9-5/8 in 43.5 lb/ft,0,4100,8.755,8.599,KB
"""

FILES = {
    "job.toml": TOML,
    "esp.csv": ESP,
    "rack.csv": RACK,
    "bypass.csv": TAIL,
    "threads.csv": THREADS,
    "casing.csv": CASING,
    "datums.csv": "id,elevation [ft]\nKB,18\n",
    "landings.csv": "id,piece\nL1,motor\nL2,seal\nL3,pump\n",
}


def spoilt(file: str, *changes: tuple[str, str]) -> dict[str, str]:
    """The files with texts replaced in one of them; each must stand there exactly once."""
    text = FILES[file]
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return FILES | {file: text}


def column(name: str, values: list[str]) -> dict[str, str]:
    """The files with other texts in a column of the rack."""
    head, *rows = RACK.splitlines()
    at = [one.split(" [")[0] for one in head.split(",")].index(name)
    lines = [head]
    for row, value in zip(rows, values, strict=True):
        cells = row.split(",")
        cells[at] = value
        lines.append(",".join(cells))
    return FILES | {"rack.csv": "\n".join(lines) + "\n"}


def put(folder: Path, files: dict[str, str]) -> Path:
    """Write the files into a new folder."""
    folder.mkdir()
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder
