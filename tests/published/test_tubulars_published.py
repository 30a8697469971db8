"""Pipe dimensions, weights and strength against printed tables.

Sources, and how each figure was come by:

* API Spec 5CT / ISO 11960, tables of casing and tubing: wall, inside diameter
  and drift, three decimals of an inch. 10-3/4 in casing and the 2-3/8, 2-7/8,
  3-1/2 and 4-1/2 in rows read in public copies, the rest keyed from memory.
* API Spec 5CT, plain-end masses of 4-1/2 in casing, read in a public copy.
* API Bul 5C2, pipe body yield strength, rounded to 1,000 lbf, from memory.

Tolerances are half of the last printed digit.
"""

import pytest

from abreast.formulas.tubulars import (
    drift_diameter,
    drift_mandrel_length,
    inside_diameter,
    plain_end_weight,
    steel_area,
)
from abreast.standards import casing, tubing

INCH = 0.0254
LBF = 4.4482216152605
LB_FT = 0.45359237 / 0.3048
HALF_DIGIT_M = 0.0005 * INCH * 1.0001  # three printed decimals; the last factor is for rounding

# kind, size, nominal weight, OD, wall, ID, drift: as printed
DIMENSIONS = [
    ("casing", "7", 17.0, 7.0, 0.231, 6.538, 6.413),
    ("casing", "7", 23.0, 7.0, 0.317, 6.366, 6.241),
    ("casing", "7", 26.0, 7.0, 0.362, 6.276, 6.151),
    ("casing", "7", 29.0, 7.0, 0.408, 6.184, 6.059),
    ("casing", "7", 32.0, 7.0, 0.453, 6.094, 5.969),
    ("casing", "7-5/8", 29.7, 7.625, 0.375, 6.875, 6.75),
    ("casing", "7-5/8", 39.0, 7.625, 0.5, 6.625, 6.5),
    ("casing", "8-5/8", 32.0, 8.625, 0.352, 7.921, 7.796),
    ("casing", "8-5/8", 40.0, 8.625, 0.45, 7.725, 7.6),
    ("casing", "9-5/8", 36.0, 9.625, 0.352, 8.921, 8.765),
    ("casing", "9-5/8", 40.0, 9.625, 0.395, 8.835, 8.679),
    ("casing", "9-5/8", 43.5, 9.625, 0.435, 8.755, 8.599),
    ("casing", "9-5/8", 47.0, 9.625, 0.472, 8.681, 8.525),
    ("casing", "9-5/8", 53.5, 9.625, 0.545, 8.535, 8.379),
    ("casing", "10-3/4", 40.5, 10.75, 0.35, 10.05, 9.894),
    ("casing", "10-3/4", 51.0, 10.75, 0.45, 9.85, 9.694),
    ("casing", "11-3/4", 60.0, 11.75, 0.489, 10.772, 10.616),
    ("casing", "13-3/8", 68.0, 13.375, 0.48, 12.415, 12.259),
    ("casing", "13-3/8", 72.0, 13.375, 0.514, 12.347, 12.191),
    ("tubing", "2-3/8", 4.7, 2.375, 0.19, 1.995, 1.901),
    ("tubing", "2-7/8", 6.5, 2.875, 0.217, 2.441, 2.347),
    ("tubing", "3-1/2", 9.3, 3.5, 0.254, 2.992, 2.867),
    ("tubing", "3-1/2", 10.2, 3.5, 0.289, 2.922, 2.797),
    ("tubing", "4-1/2", 12.75, 4.5, 0.271, 3.958, 3.833),
]
IDS = [f"{row[0]} {row[1]} {row[2]}" for row in DIMENSIONS]


@pytest.mark.parametrize("row", DIMENSIONS, ids=IDS)
def test_formulas_give_the_printed_bore_and_drift(row):
    kind, _, _, od, wall, bore, drift = row
    computed = inside_diameter(od * INCH, wall * INCH)
    assert computed == pytest.approx(bore * INCH, abs=HALF_DIGIT_M)
    computed = drift_diameter(od * INCH, bore * INCH, kind)
    assert computed == pytest.approx(drift * INCH, abs=HALF_DIGIT_M)


@pytest.mark.parametrize("row", DIMENSIONS, ids=IDS)
def test_the_table_holds_the_printed_row(row):
    kind, size, weight, *printed = row
    held = (casing if kind == "casing" else tubing)(size, weight)
    sizes = [x / INCH for x in (held.od_m, held.wall_m, held.bore_m, held.drift_m)]
    assert sizes == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(
    ("kind", "od", "length"),
    [
        ("tubing", 2.875, 42),
        ("tubing", 3.5, 42),
        ("casing", 7.0, 6),
        ("casing", 8.625, 6),
        ("casing", 9.625, 12),
        ("casing", 13.375, 12),
        ("casing", 20.0, 12),
    ],
)
def test_drift_mandrel_lengths(kind, od, length):
    """API Spec 5CT, drift mandrels, read in a public copy."""
    assert drift_mandrel_length(od * INCH, kind) == pytest.approx(length * INCH, rel=1e-12)


@pytest.mark.parametrize(
    ("bore", "allowance_mm", "kind", "od"),
    [
        (50.0, 2.38, "tubing", 2.375),
        (80.0, 3.18, "tubing", 3.5),
        (160.0, 3.18, "casing", 7.0),
        (220.0, 3.97, "casing", 9.625),
        (400.0, 4.76, "casing", 18.625),
    ],
)
def test_drift_allowances_in_millimetres(bore, allowance_mm, kind, od):
    """ISO 11960 prints the allowances in millimetres, two decimals; read in a public copy."""
    drift = drift_diameter(od * INCH, bore / 1000, kind)
    assert bore - drift * 1000 == pytest.approx(allowance_mm, abs=0.005001)


@pytest.mark.parametrize(
    ("wall", "weight"), [(0.205, 9.41), (0.224, 10.24), (0.250, 11.36), (0.290, 13.05)]
)
def test_plain_end_weight_of_four_and_a_half_inch(wall, weight):
    """API Spec 5CT, read in a public copy; two decimals."""
    computed = plain_end_weight(4.5 * INCH, wall * INCH) / LB_FT
    assert computed == pytest.approx(weight, abs=0.005)


@pytest.mark.parametrize(
    ("od", "wall", "yield_ksi", "body_yield_klbf"),
    [
        (2.875, 0.217, 80, 145),
        (7.0, 0.317, 55, 366),
        (7.0, 0.362, 55, 415),
        (7.0, 0.317, 80, 532),
        (7.0, 0.362, 80, 604),
        (7.0, 0.408, 80, 676),
        (7.0, 0.453, 80, 745),
        (7.0, 0.408, 110, 929),
        (7.625, 0.375, 80, 683),
        (8.625, 0.352, 55, 503),
        (8.625, 0.450, 80, 925),
        (9.625, 0.352, 55, 564),
        (9.625, 0.395, 80, 916),
        (9.625, 0.435, 80, 1005),
        (9.625, 0.472, 80, 1086),
        (9.625, 0.545, 80, 1244),
        (9.625, 0.472, 110, 1493),
        (10.75, 0.450, 80, 1165),
        (11.75, 0.375, 55, 737),
        (11.75, 0.489, 80, 1384),
        (13.375, 0.480, 55, 1069),
        (13.375, 0.480, 80, 1556),
        (13.375, 0.514, 80, 1661),
    ],
)
def test_steel_area_carries_the_printed_body_yield(od, wall, yield_ksi, body_yield_klbf):
    """API Bul 5C2, from memory: area times least yield, to 1,000 lbf."""
    area_in2 = steel_area(od * INCH, (od - 2 * wall) * INCH) / INCH**2
    assert area_in2 * yield_ksi == pytest.approx(body_yield_klbf, abs=0.5)
