"""Make-up loss and torque of API tubing against printed tables.

Sources: API Spec 5CT coupling lengths, API Spec 5B thread lengths L4, API RP
5C1 make-up torque of external-upset tubing; all keyed from memory. The loss
NL/2 - 1/2 in and L4 come from different tables and must agree to the printed
0.001 in, the torque rule and the torque table to their rounding.
"""

import pytest

from abreast.formulas.makeup import eight_round_optimum_torque, make_up_loss, torque_window
from abreast.standards import (
    api_make_up,
    eue_torque,
    eue_torque_table,
    grade,
    make_up_table,
    tubing,
)

INCH = 0.0254
FT_LBF = 1.3558179483314004
KSI = 6894757.293168361

# size, end, coupling length NL, thread length L4, loss
LOSSES = [
    ("2-3/8", "EUE", 4.875, 1.938, 1.9375),
    ("2-7/8", "EUE", 5.25, 2.125, 2.125),
    ("3-1/2", "EUE", 5.75, 2.375, 2.375),
    ("4-1/2", "EUE", 6.25, 2.625, 2.625),
    ("2-3/8", "NUE", 4.25, 1.625, 1.625),
    ("2-7/8", "NUE", 5.125, 2.063, 2.0625),
    ("3-1/2", "NUE", 5.625, 2.313, 2.3125),
    ("4-1/2", "NUE", 6.125, 2.563, 2.5625),
]
# size, weight: optimum torque ft·lbf by grade
TORQUES = {
    ("2-3/8", 4.7): {"H40": 990, "J55": 1290, "L80": 1760, "N80": 1800},
    ("2-3/8", 5.95): {"L80": 2190, "N80": 2240},
    ("2-7/8", 6.5): {"H40": 1250, "J55": 1650, "L80": 2250, "N80": 2300},
    ("2-7/8", 8.7): {"L80": 2950, "N80": 3020},
    ("3-1/2", 9.3): {"H40": 1730, "J55": 2280, "L80": 3130, "N80": 3200},
    ("3-1/2", 12.95): {"L80": 4200, "N80": 4290},
    ("4-1/2", 12.75): {"H40": 2160, "J55": 2860, "L80": 3940, "N80": 4020},
}
PRINTED = [
    pytest.param(size, weight, name, torque, id=f"{size} {weight} {name}")
    for (size, weight), by_grade in TORQUES.items()
    for name, torque in by_grade.items()
]


@pytest.mark.parametrize(("size", "end", "coupling", "thread", "loss"), LOSSES)
def test_make_up_loss_is_half_the_coupling_less_half_an_inch(size, end, coupling, thread, loss):
    assert make_up_loss(coupling * INCH) == pytest.approx(loss * INCH, rel=1e-12)
    assert make_up_loss(coupling * INCH) == pytest.approx(thread * INCH, abs=0.00051 * INCH)
    assert api_make_up(size, end).loss_m == pytest.approx(loss * INCH, rel=1e-12)


def test_the_loss_table_has_these_rows_and_no_others():
    assert {(row.size, row.end) for row in make_up_table()} == {row[:2] for row in LOSSES}


@pytest.mark.parametrize(("size", "weight", "name", "printed"), PRINTED)
def test_table_holds_the_printed_torque(size, weight, name, printed):
    assert eue_torque(size, weight, name).optimum_nm == pytest.approx(printed * FT_LBF, rel=1e-12)


@pytest.mark.parametrize(("size", "weight", "name", "printed"), PRINTED)
def test_pull_out_rule_gives_the_printed_torque(size, weight, name, printed):
    pipe, steel = tubing(size, weight), grade(name)
    computed = eight_round_optimum_torque(
        pipe.upset_od_m,
        pipe.bore_m,
        api_make_up(size, "EUE").thread_length_m,
        steel.yield_pa,
        steel.ultimate_pa,
    )
    assert computed / FT_LBF == pytest.approx(printed, abs=6)


@pytest.mark.parametrize("row", eue_torque_table(), ids=lambda r: f"{r.size} {r.grade}")
def test_printed_limits_are_three_quarters_and_five_quarters(row):
    """Printed to 10 ft·lbf, some rounded, some cut: one whole step is allowed."""
    window = torque_window(row.optimum_nm)
    assert row.minimum_nm == pytest.approx(window.minimum_nm, abs=10 * FT_LBF)
    assert row.maximum_nm == pytest.approx(window.maximum_nm, abs=10 * FT_LBF)


def test_the_torque_table_is_complete():
    assert len(eue_torque_table()) == len(PRINTED) == 22


@pytest.mark.parametrize(
    ("name", "yield_ksi", "yield_max_ksi", "ultimate_ksi"),
    [
        ("H40", 40, 80, 60),
        ("J55", 55, 80, 75),
        ("K55", 55, 80, 95),
        ("L80", 80, 95, 95),
        ("N80", 80, 110, 100),
        ("P110", 110, 140, 125),
    ],
)
def test_strength_of_grades(name, yield_ksi, yield_max_ksi, ultimate_ksi):
    """API Spec 5CT, tensile requirements, from memory."""
    row = grade(name)
    held = (row.yield_pa / KSI, row.yield_max_pa / KSI, row.ultimate_pa / KSI)
    assert held == pytest.approx((yield_ksi, yield_max_ksi, ultimate_ksi), rel=1e-12)


@pytest.mark.parametrize(
    ("name", "yield_mpa", "yield_max_mpa", "ultimate_mpa"),
    [
        ("H40", 276, 552, 414),
        ("J55", 379, 552, 517),
        ("N80", 552, 758, 689),
        ("L80", 552, 655, 655),
    ],
)
def test_strength_of_grades_in_newtons(name, yield_mpa, yield_max_mpa, ultimate_mpa):
    """The same requirements in N/mm2, whole numbers, read in a public table."""
    row = grade(name)
    held = (row.yield_pa / 1e6, row.yield_max_pa / 1e6, row.ultimate_pa / 1e6)
    assert held == pytest.approx((yield_mpa, yield_max_mpa, ultimate_mpa), abs=0.5)
