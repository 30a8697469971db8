"""Sling loads, buoyancy and expansion against printed values.

Sources: sling-angle charts after ASME B30.9 (read in public copies, three
decimals); OSHA, Guidance on Safe Sling Use, table 1, grade 80 chain (read,
given in hundreds of pounds); Lubinski, Althouse and Logan, JPT June 1962, 16.6
in for 10,000 ft and 20 degF (read).
"""

import math

import pytest

from abreast.formulas.lifting import buoyancy_factor, sling_leg_load
from abreast.formulas.measuring import thermal_expansion

LBF = 4.4482216152605
PPG = 0.45359237 / (231 * 0.0254**3)


@pytest.mark.parametrize(
    ("angle_deg", "factor"), [(90, 1.000), (75, 1.035), (60, 1.155), (45, 1.414), (30, 2.000)]
)
def test_sling_tension_factor(angle_deg, factor):
    assert sling_leg_load(1.0, 1, math.radians(angle_deg)) == pytest.approx(factor, abs=0.0005)


@pytest.mark.parametrize(
    ("single_lb", "at_60", "at_45", "at_30"),
    [
        (7_100, 12_300, 10_000, 7_100),
        (12_000, 20_800, 17_000, 12_000),
        (18_100, 31_300, 25_600, 18_100),
        (47_700, 82_600, 67_400, 47_700),
    ],
)
def test_two_leg_bridle_of_chain(single_lb, at_60, at_45, at_30):
    """The printed bridle load puts the rated load of one chain in each leg, within 100 lb."""
    for angle_deg, rated_lb in ((60, at_60), (45, at_45), (30, at_30)):
        angle = math.radians(angle_deg)
        leg_lb = sling_leg_load(rated_lb * LBF, 2, angle) / LBF
        assert leg_lb == pytest.approx(single_lb, abs=100 / (2 * math.sin(angle)))


@pytest.mark.parametrize(
    ("mud_ppg", "factor"), [(8.33, 0.873), (9.0, 0.863), (9.5, 0.855), (10.0, 0.847), (12.0, 0.817)]
)
def test_buoyancy_factor_of_the_mud_tables(mud_ppg, factor):
    """Handbook tables, three decimals, steel 65.5 ppg; from memory."""
    assert buoyancy_factor(mud_ppg * PPG, 65.5 * PPG) == pytest.approx(factor, abs=0.0005)
    assert buoyancy_factor(mud_ppg * PPG) == pytest.approx(factor, abs=0.001)


def test_expansion_of_a_long_string():
    inches = thermal_expansion(10_000 * 0.3048, 20 / 1.8) / 0.0254
    assert inches == pytest.approx(16.6, abs=0.05)
