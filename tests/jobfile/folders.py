"""The two invented jobs as the files that people would send, in feet and in metres."""

from __future__ import annotations

from pathlib import Path

JOB_1 = """\
format = 1
name = "Quernstone 14"
arrangement = "bottom-supported"
load_path = "esp-held"
units = "oilfield"
depth_reference = "top of casing-head flange"
depth_datum = "workover RKB"
heights_from = "base lower shoulder"
default_origin = "invented"

[order]
esp = "bottom to top"
bypass = "bottom to top"

[revision]
number = "A"
prepared = "A. Pell, 2024-05-01"

[setting]
axis_spacing = "4.25 in"
ytool_top_md = "5600 ft"
tolerance = "3 ft"

[base]
length = "3.40 ft"
bypass_shoulder = "3.10 ft"
seat_plane = "0.90 ft"
seat_min = "0 ft"
seat_max = "0.50 ft"
seat_step = "1/2 in"
seat_planned = "3 in"
max_od = "8.44 in"
mass = "265 lb"
lower_end = "EU pin"
upper_end = "SF box"
retainer_load = "15,000 lbf @ sheet: base support rev 2"

[union]
closed = "2.60 ft"
open = "3.40 ft"
lower_end = "SF pin"
max_od = "3.55 in"
mass = "78 lb"
travel_per_turn = "0.25 in"
rating = "60 klbf"
lock = "lock nut and 6 set screws"

[ytool]
length = "4.20 ft"
bypass_leg_above_esp_leg = "0.62 ft"
max_od = "8.45 in"
mass = "305 lb"
nipple_bore = "2.30 in"

[pipe]
name = "2-7/8 in 6.5 lb/ft L80 SF, semi-flush"
body_od = "2 7/8 in"
joint_od = "3.02 in"
bore = "2.441 in"
drift = "2.347 in"
mass_per_length = "6.5 lb/ft"
ei = "not measured: no sheet"

[mle]
thickness = "0.50 in"
width = "1.30 in"
guard = "0.10 in"
length = "100 ft"
pothead_angle = "85 deg"

[window]
low = "2.0 ft"
high = "5.5 ft"

[rig]
false_rotary_height = "3.6 ft"
daf_derrick = "1.3 @ common practice"

[survey]
wellbore = "Quernstone 14"
datum = "workover RKB"
north = "grid"

[fluids]
annulus = "8.6 ppg"
water_cut = "62 %"

[temperatures]
bottom_hole = "176 degF"

[rules]
reserve_factor = "3"
max_lift_pieces = "2"
"""

ESP_1 = """\
id,name,kind,length [ft],body_od [in],max_od [in],mass [lb],neck_below_top [ft],neck_od [in],\
upper_joint,upper_joint_note,workshop_joint_above,cumulative [ft]
guide,bottom guide,guide,0.62,3.50,4.50,48,,,thread,"2.75 in, 400 ft·lbf + set screws",,0.62
gauge,gauge,gauge,2.06,4.50,4.50,92,,,flange,8 x 3/8 in,,2.68
motor,motor 240 hp,motor,27.42,5.40,5.40,1905,0.48,4.10,flange,12 x 7/16 in,,30.10
protector,protector,protector,11.36,5.13,5.13,515,0.42,3.60,flange,8 x 7/16 in,,41.46
intake,intake,intake,1.36,5.13,5.13,66,,,flange,8 x 7/16 in,yes,42.82
pump-1,pump lower,pump,17.84,5.13,5.13,735,0.42,3.60,flange,8 x 7/16 in,,60.66
pump-2,pump middle,pump,21.46,5.13,5.13,885,0.42,3.60,flange,8 x 7/16 in,,82.12
pump-3,pump upper,pump,21.46,5.13,5.13,885,0.42,3.60,flange,8 x 7/16 in,,103.58
head,discharge head,discharge head,0.92,5.13,5.13,44,,,thread,3-1/2 EU box,,104.50
pup,discharge pup,discharge pup,3.55,3.50,4.50,52,,,swivel nut,,,108.05
"""

TAIL_1 = """\
id,rack,kind,lower_end,upper_end,overall [ft],mass [lb],no_go [in]
bell,no,guide,,EU box,0.74,14,
P24,yes,other,,,,,
nipple,no,nipple,EU pin,EU box,1.35,19,2.20
T01,yes,other,,,,,
T02,yes,other,,,,,
T03,yes,other,,,,,
T05,yes,other,,,,,
P25,yes,other,,,,,
"""

THREADS_1 = """\
id,make_up_loss [ft],torque_min [ft.lbf],torque_opt [ft.lbf],torque_max [ft.lbf]
SF,0.24,1300,1450,1600
EU,0.17,1700,2250,2800
"""

DATUMS_1 = "id,elevation [ft]\nworkover RKB,24.0\nold RKB,27.5\n"
CASING_1 = """\
name,top_md [ft],shoe_md [ft],bore [in],drift [in]
13-3/8 in 68 lb/ft,0,2150,12.415,12.259
9-5/8 in 47 lb/ft L80,0,6900,8.681,8.525
7 in 29 lb/ft L80 liner,6650,7620,6.184,6.059
"""
LANDINGS_1 = "id,piece\nL1,motor\nL2,protector\nL3,pump-1\nL4,pump-2\nL5,pump-3\n"
CLAMPS_1 = """\
id,piece,length [ft],max_od [in],mass [lb],grip,grip_load [lbf]
C1,motor,0.70,8.42,46,grips both,3000
C2,protector,0.70,8.42,46,grips both,3000
"""
SURVEY_1 = """\
md [ft],inclination [deg],azimuth [deg]
0,0,0
500,0.4,112
1000,0.7,140
1500,0.9,151
2000,1.0,151
2500,1.0,151
3000,1.0,151
3500,1.0,151
4000,1.0,151
4500,1.0,151
5000,1.0,151
5500,1.0,151
6000,1.0,151
"""
LIFTS_1 = "id,pieces,overall [ft],drift\nD1,P08; P10,21.84,passed\n"
HOLDERS_1 = """\
id,type,side,neck_od_min [in],neck_od_max [in],insert,rating [lbf],count
LC-41,lifting clamp,esp,4.05,4.15,41,15000,2
SL-27,slips,bypass,,,,80000,1
"""

_SF_JOINTS = [31.42, 31.36, 31.18, 31.55, 30.97, 31.27, 31.61, 31.09]
_EU_JOINTS = [31.88, 31.74, 32.02, 31.69, 31.95, 31.80, 31.77]
_PUPS_1 = [
    (20, 20.06), (20, 20.11), (20, 19.98), (20, 20.03), (15, 15.04), (15, 15.10), (12, 12.02),
    (12, 12.07), (10, 10.05), (10, 10.01), (10, 9.96), (8, 8.03), (8, 7.98), (6, 6.04), (6, 6.00),
    (5, 5.03), (4, 4.05), (4, 4.02), (3, 3.03), (3, 3.00), (2, 2.05), (2, 2.02),
]  # fmt: skip
RACK_HEAD_1 = (
    "id,kind,lower_end,upper_end,nominal [ft],overall [ft],mass [lb],drift,drift_stopped [ft],"
    "status,status_reason,usable_for"
)
B04_ROW = "B04,joint,SF pin,SF box,31,31.55,205,stopped,14,rejected,drift stopped,bypass"


def rack_1() -> str:
    """The rack of job 1 as received: B04 rejected, P23 an EU pup among the SF ones."""
    rows = [RACK_HEAD_1]

    def add(i: str, thread: str, nominal: float, overall: float, use: str) -> None:
        kind = "joint" if nominal > 30 else "pup"
        mass = round(overall * 6.5 + (2 if kind == "pup" else 0))
        ends = f"{thread} pin,{thread} box"
        rows.append(f"{i},{kind},{ends},{nominal},{overall:.2f},{mass},passed,,usable,,{use}")

    for n, overall in enumerate(_SF_JOINTS, 1):
        add(f"B{n:02d}", "SF", 31, overall, "bypass")
    rows[4] = B04_ROW
    for n, overall in enumerate(_EU_JOINTS, 1):
        add(f"T{n:02d}", "EU", 32, overall, "tail")
    for n, (nominal, overall) in enumerate(_PUPS_1, 1):
        add(f"P{n:02d}", "SF", nominal, overall, "bypass")
    add("P23", "EU", 10, 10.08, "bypass")
    add("P24", "EU", 4, 4.10, "tail")
    add("P25", "EU", 6, 6.08, "tail")
    return "\n".join(rows) + "\n"


def files_1() -> dict[str, str]:
    """Every file of job 1 as received."""
    return {
        "job.toml": JOB_1,
        "esp.csv": ESP_1,
        "bypass.csv": TAIL_1,
        "threads.csv": THREADS_1,
        "datums.csv": DATUMS_1,
        "casing.csv": CASING_1,
        "landings.csv": LANDINGS_1,
        "clamps.csv": CLAMPS_1,
        "survey.csv": SURVEY_1,
        "lifts.csv": LIFTS_1,
        "holders.csv": HOLDERS_1,
        "rack.csv": rack_1(),
    }


JOB_2 = """\
format = 1
name = "Skerrow A-09"
arrangement = "top-hung"
load_path = "top-hung"
units = "SI"
depth_reference = "top of casing-head flange"
depth_datum = "RKB"
default_origin = "invented"

[order]
esp = "top to bottom"

[revision]
number = "0"

[setting]
axis_spacing = "76.65 mm"
ytool_top_md = "2150 m"

[guide]
length = "0.32 m"
stick_down_min = "1.0 m"
stick_down_max = "3.0 m"
stick_down_step = "10 mm"
stick_down_planned = "1.65 m"
upper_end = "FJ box"
max_od = "66 mm"
mass = "3.2 kg"

[union]
closed = "0.74 m"
open = "0.98 m"
lower_end = "FJ pin"
max_od = "66.5 mm"
mass = "19 kg"

[ytool]
length = "1.16 m"
bypass_leg_above_esp_leg = "0.16 m"
max_od = "151.5 mm"
mass = "88 kg"

[pipe]
name = "2-3/8 in 4.6 lb/ft L80 FJ, flush"
body_od = "60.33 mm"
joint_od = "60.33 mm"
bore = "50.67 mm"
drift = "48.29 mm"
mass_per_length = "6.85 kg/m"

[window]
low = "0.6 m"
high = "1.7 m"

[rig]
false_rotary_height = "1.05 m"
"""

ESP_2 = """\
id,name,kind,length [m],body_od [mm],max_od [mm],mass [kg],neck_below_top [m],neck_od [mm]
pup,discharge pup,discharge pup,1.10,60.3,77.8,11.5,,
head,discharge head,discharge head,0.24,86.4,86.4,9.5,,
pump-2,pump upper,pump,6.71,86.4,86.4,192,0.13,62
pump-1,pump lower,pump,5.52,86.4,86.4,158,0.13,62
intake,intake,intake,0.78,86.4,86.4,24,,
protector,protector,protector,2.46,86.4,86.4,82,0.13,62
motor,motor 90 kW,motor,9.84,91.4,91.4,455,0.14,66
gauge,gauge,gauge,0.62,86.4,86.4,20,,
base,motor base,guide,0.28,88.0,90.0,11,,
"""
THREADS_2 = "id,make_up_loss [mm]\nFJ,62\nEU,50\n"
DATUMS_2 = "id,elevation [m]\nRKB,31.2\n"
CASING_2 = """\
name,top_md [m],shoe_md [m],bore [mm],drift [mm]
7 in 29 lb/ft L80 tie-back,0,2720,157.07,153.90
"""
LANDINGS_2 = "id,piece\nL1,motor\nL2,protector\nL3,pump-1\nL4,pump-2\n"

_RACK_2 = """\
K01 9.5 9.562|K02 9.5 9.604|K03 9.5 9.533|K04 9.5 9.487|K05 9.5 9.618|K06 9.5 9.575|K07 9.5 9.541
K08 9.5 9.590|K09 9.5 9.468|K10 9.5 9.557|Q01 6.1 6.112|Q02 6.1 6.094|Q03 6.1 6.105|Q04 6.1 6.121
Q05 4.6 4.583|Q06 4.6 4.571|Q07 3.66 3.668|Q08 3.66 3.655|Q09 3.05 3.061|Q10 3.05 3.048
Q11 3.05 3.066|Q12 2.44 2.449|Q13 2.44 2.438|Q14 2.44 2.442|Q15 1.83 1.835|Q16 1.83 1.829
Q17 1.22 1.231|Q18 1.22 1.224|Q19 0.91 0.922|Q20 0.91 0.917|Q21 0.61 0.618|Q22 0.61 0.613
Q23 0.46 0.468|Q24 0.46 0.462|Q25 0.30 0.314|Q26 0.30 0.309|Q27 3.05 10.04|Q12 1.22 1.219
Q28 2.44 2.446 EU|Q29 1.83 1.832"""


def rack_2(second_q12: str = "Q12") -> str:
    """The rack of job 2 as received: Q12 twice, Q27 in feet, Q28 an EU pup, K07 laid aside."""
    rows = ["id,kind,lower_end,upper_end,nominal [m],overall [m],drift,status,status_reason"]
    seen = set()
    for text in _RACK_2.replace("\n", "|").split("|"):
        i, nominal, overall, *thread = text.split()
        name = second_q12 if i in seen else i
        seen.add(i)
        code = thread[0] if thread else "FJ"
        kind = "joint" if float(nominal) > 9 else "pup"
        aside = {"K07": "laid aside,pin dented", "Q29": "spare,no certificate"}
        status = aside.get(i, "usable,")
        rows.append(f"{name},{kind},{code} pin,{code} box,{nominal},{overall},passed,{status}")
    return "\n".join(rows) + "\n"


def files_2(second_q12: str = "Q12") -> dict[str, str]:
    """Every file of job 2 as received."""
    return {
        "job.toml": JOB_2,
        "esp.csv": ESP_2,
        "threads.csv": THREADS_2,
        "datums.csv": DATUMS_2,
        "casing.csv": CASING_2,
        "landings.csv": LANDINGS_2,
        "rack.csv": rack_2(second_q12),
    }


def put(folder: Path, files: dict[str, str]) -> Path:
    """Write the files of a job into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def row_of(table: str, piece: str) -> int:
    """Row of the first piece of that id, as a spreadsheet counts."""
    rows = [line.split(",")[0] for line in table.splitlines()]
    return rows.index(piece) + 1
