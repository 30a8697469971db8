"""Surveys by minimum curvature against printed and worked figures.

Sources: the two-station example of *Formulas and Calculations for Drilling,
Production and Workover*, 2nd ed., as an open tutorial page prints it (read on
that page, not in the book); the radius table of directional-drilling handbooks,
R = 18000 / (pi DLS), which is exact. The table of 20 stations is an invented
well, worked twice outside this program, by the ratio factor and by integrating
the tangent along the great circle; it is no published table.
"""

import math

import pytest

from abreast.formulas.survey import (
    Station,
    dogleg_severity,
    minimum_curvature,
    positions,
    radius_of_curvature,
)

FT = 0.3048


def station(md_ft, inclination_deg, azimuth_deg):
    return Station(md_ft * FT, math.radians(inclination_deg), math.radians(azimuth_deg))


def test_two_stations_of_the_handbook():
    """The page prints 27.22, 19.45, 94.01 ft and 12.95 degrees.

    It also prints a ratio factor of 1.00408, with which its own results do not
    follow: a misprint of 1.00428, worked here from its angle of 0.22605 rad.
    """
    step = minimum_curvature(station(3500, 15, 20), station(3600, 25, 45))
    assert step.north_m / FT == pytest.approx(27.22, abs=0.005)
    assert step.east_m / FT == pytest.approx(19.45, abs=0.005)
    assert step.down_m / FT == pytest.approx(94.01, abs=0.005)
    assert math.degrees(step.dogleg_rad) == pytest.approx(12.95, abs=0.005)
    assert step.dogleg_rad == pytest.approx(0.22605, abs=5e-6)
    assert step.ratio_factor == pytest.approx(1.004280, abs=1e-6)


@pytest.mark.parametrize(
    ("severity_deg", "radius_ft"),
    [
        (1, 5729.58),
        (2, 2864.79),
        (3, 1909.86),
        (5, 1145.92),
        (8, 716.20),
        (10, 572.96),
        (15, 381.97),
    ],
)
def test_radius_of_curvature_per_100_ft(severity_deg, radius_ft):
    radius_m = radius_of_curvature(math.radians(severity_deg) / (100 * FT))
    assert radius_m / FT == pytest.approx(radius_ft, abs=0.005)


def test_radius_of_curvature_per_30_m():
    assert radius_of_curvature(math.radians(3) / 30) == pytest.approx(572.96, abs=0.005)


# md ft, inclination, azimuth deg, tvd, north, east ft, dogleg deg, deg/100 ft, ratio factor
TABLE = [
    (0, 0, 0, 0.000, 0.000, 0.000, 0.0000, 0.0000, 1.000000),
    (500, 0, 0, 500.000, 0.000, 0.000, 0.0000, 0.0000, 1.000000),
    (1000, 0, 45, 1000.000, 0.000, 0.000, 0.0000, 0.0000, 1.000000),
    (1100, 3, 45, 1099.954, 1.851, 1.851, 3.0000, 3.0000, 1.000229),
    (1200, 6, 47, 1199.635, 7.267, 7.525, 3.0036, 3.0036, 1.000229),
    (1300, 9, 50, 1298.768, 15.861, 17.341, 3.0244, 3.0244, 1.000232),
    (1400, 12, 52, 1397.083, 27.291, 31.528, 3.0216, 3.0216, 1.000232),
    (1500, 15, 54, 1494.309, 41.301, 50.194, 3.0357, 3.0357, 1.000234),
    (1600, 18, 55, 1590.180, 57.774, 73.325, 3.0133, 3.0133, 1.000231),
    (1700, 21, 55, 1684.434, 76.918, 100.666, 3.0000, 3.0000, 1.000229),
    (1800, 24, 56, 1776.812, 98.573, 132.211, 3.0242, 3.0242, 1.000232),
    (2000, 30, 58, 1954.935, 147.859, 208.405, 6.0675, 3.0338, 1.000936),
    (2500, 30, 58, 2387.948, 280.339, 420.417, 0.0000, 0.0000, 1.000000),
    (3000, 31, 57.5, 2818.758, 415.765, 635.023, 1.0317, 0.2063, 1.000027),
    (3500, 29.5, 60, 3250.680, 546.513, 850.252, 1.9583, 0.3917, 1.000097),
    (4000, 20, 62, 3704.240, 648.444, 1032.782, 9.5356, 1.9071, 1.002315),
    (4300, 12, 65, 3992.389, 685.770, 1106.466, 8.0400, 2.6800, 1.001644),
    (4600, 5, 80, 4288.940, 701.242, 1147.661, 7.2845, 2.4282, 1.001349),
    (5000, 1.5, 120, 4688.270, 701.651, 1169.370, 3.9695, 0.9924, 1.000400),
    (5500, 0, 0, 5188.213, 698.379, 1175.038, 1.5000, 0.3000, 1.000057),
]
STATIONS = [station(*row[:3]) for row in TABLE]


def test_places_of_twenty_stations():
    """Within half of the last digit: vertical stations, a straight interval, long steps."""
    for found, row in zip(positions(STATIONS), TABLE, strict=True):
        tvd, north, east = row[3:6]
        assert found.down_m / FT == pytest.approx(tvd, abs=0.0005001), row
        assert found.north_m / FT == pytest.approx(north, abs=0.0005001), row
        assert found.east_m / FT == pytest.approx(east, abs=0.0005001), row


def test_doglegs_of_twenty_stations():
    for upper, lower, row in zip(STATIONS, STATIONS[1:], TABLE[1:], strict=False):
        dogleg, severity, factor = row[6:]
        step = minimum_curvature(upper, lower)
        assert math.degrees(step.dogleg_rad) == pytest.approx(dogleg, abs=0.00005001), row
        per_100_ft = math.degrees(dogleg_severity(upper, lower)) * 100 * FT
        assert per_100_ft == pytest.approx(severity, abs=0.00005001), row
        assert step.ratio_factor == pytest.approx(factor, abs=0.0000005001), row
