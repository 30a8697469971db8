"""Setting depth: both invented jobs, local doglegs, limits with rounding, refusals."""

import math

import pytest

from abreast.errors import InputError
from abreast.formulas.survey import Station
from abreast.mechanics.setting_depth import Assembly, Limit, Limits, scan

FT = 0.3048


def survey(text, unit=1.0):
    rows = [[float(part) for part in row.split("/")] for row in text.split()]
    return [Station(md * unit, math.radians(inc), math.radians(azi)) for md, inc, azi in rows]


QUERNSTONE = survey(
    "0/0/0 500/.4/112 1000/.7/140 1500/.9/151 2000/1.4/158 2150/2.6/160 2250/4.5/161 2350/6.6/161"
    " 2450/8.6/162 2550/10.7/162 2650/12.1/163 3000/12.3/163 3480/12.0/164 4000/12.2/163"
    " 4300/11.9/164 4330/11.2/167 4430/9.9/167 4530/8.3/166 4630/6.6/165 4730/5.1/165 4830/4.0/164"
    " 5200/3.9/163 5600/4.1/164 6000/4.0/166 6650/4.2/165 7300/4.1/167 7620/4.1/167",
    FT,
)
SKERROW = survey(
    "0/0/0 150/.3/41 300/.8/52 400/2.1/58 460/5.4/60 520/9.8/61 580/14.6/61 640/19.3/62 700/24.2/62"
    " 760/29.0/63 820/33.6/63 880/38.1/63 940/42.4/64 1000/46.3/64 1060/48.0/64 1300/48.3/65"
    " 1600/47.9/65 1690/48.2/66 1720/48.9/68.8 1750/48.4/67 1900/48.1/66 2080/48.0/66 2110/48.2/66"
    " 2140/48.1/66.2 2170/48.2/66.1 2200/48.3/66 2400/47.6/66 2588/46.9/66 2720/46.5/66"
)
LIMITS = Limits(
    running_rad_m=Limit(math.radians(6) / 30, "invented"),
    setting_rad_m=Limit(math.radians(1) / 30, "invented"),
    inclination_rad=Limit(math.radians(60), "invented"),
    stress_pa=Limit(100e6, "invented"),
)


def test_quernstone_hangs_straight_at_its_depth():
    """5,600 +- 3 ft, 0.05 deg/100 ft, that of the interval that ends there.

    4,280 ft lies across the local 3.07 deg/100 ft.
    """
    assembly = Assembly(113.4 * FT, 0.13716, 27.42 * FT)
    found = scan(QUERNSTONE, assembly, [4280 * FT, 5600 * FT, 2300 * FT], LIMITS, 0.0, 3 * FT)
    assert found[0].top_md_m == pytest.approx(5600 * FT)
    assert found[0].within_limits
    assert math.degrees(found[0].dogleg_rad_m * 30.48) == pytest.approx(0.05, abs=0.005)
    assert math.degrees(found[0].running_rad_m * 30.48) == pytest.approx(3.07, abs=0.005)
    worst = found[-1]
    assert worst.top_md_m == pytest.approx(4280 * FT)
    assert math.degrees(worst.dogleg_rad_m * 30.48) == pytest.approx(3.07, abs=0.005)
    assert worst.sag_m / 0.0254 == pytest.approx(0.61, abs=0.01)
    assert worst.stress_pa / 6894.757 == pytest.approx(
        30e6 * 5.4 / 2 * 3.07 * math.pi / 216e3, rel=3e-3
    )
    where = "from 1310.6 to 1319.8 m along the assembly, limit 1.00°/30 m (invented)"
    assert where in worst.refusals[0]
    assert "dogleg 3.07°/100 ft from 4,300.0 to 4,330.0 ft" in worst.broken[0].words("oilfield")


def test_skerrow_hangs_straight_at_its_depth():
    """2,150 m at 0.12 deg/30 m, 48 degrees."""
    found = scan(SKERROW, Assembly(30.4, 0.0914), [1700.0, 2150.0], LIMITS)
    best, worst = found
    assert best.top_md_m == 2150.0
    assert math.degrees(best.dogleg_rad_m * 30) == pytest.approx(0.12, abs=0.006)
    assert [round(math.degrees(x), 1) for x in best.inclination_rad] == [48.1, 48.2]
    assert best.sag_m is None
    assert math.degrees(worst.dogleg_rad_m * 30) == pytest.approx(2.21, abs=0.01)
    assert worst.refusals


def test_a_local_bend_is_not_hidden_by_the_chord():
    """3 degrees out and back within 60 m: the ends are parallel."""
    bent = survey("0/0/0 100/0/0 130/3/0 160/0/0 300/0/0")
    found = scan(bent, Assembly(60.0, 0.1), [100.0], LIMITS)[0]
    assert math.degrees(found.dogleg_rad_m * 30) == pytest.approx(3.0)


def test_an_interval_that_only_touches_does_not_count():
    bent = survey("0/0/0 100/0/0 130/3/0 200/3/0")
    below, across = scan(bent, Assembly(50.0, 0.1), [130.0, 129.9], LIMITS)
    assert below.dogleg_rad_m == 0
    assert across.dogleg_rad_m > 0.001


def test_exactly_at_the_limit_is_within_it():
    """Three degrees in 30 m may compute as 3.0000000000000004."""
    for start in range(0, 90, 3):
        bent = survey(f"0/{start}/0 30/{start + 3}/0")
        limits = Limits(setting_rad_m=Limit(math.radians(3) / 30, "invented"))
        assert scan(bent, Assembly(30.0, 0.1), [0.0], limits)[0].refusals == ()
        limits = Limits(setting_rad_m=Limit(math.radians(3) / 30 * (1 - 1e-8), "invented"))
        assert scan(bent, Assembly(30.0, 0.1), [0.0], limits)[0].refusals


def test_without_limits_nothing_is_within():
    found = scan(SKERROW, Assembly(30.4, 0.0914), [2150.0], Limits())[0]
    assert not found.refusals
    assert not found.within_limits
    assert len(found.not_checked) == 4
    assert all("not checked: needs" in line for line in found.not_checked)


def test_inclination_between_two_equal_stations():
    """An arc from 40/350 to 40/10 passes a steeper point in the middle: tan I = tan 40 cos 10."""
    arc = survey("0/40/350 100/40/10")
    found = scan(arc, Assembly(100.0, 0.1), [0.0], LIMITS)[0]
    lowest = math.atan(math.tan(math.radians(40)) * math.cos(math.radians(10)))
    assert found.inclination_rad[0] == pytest.approx(lowest, rel=1e-9)
    assert found.inclination_rad[1] == pytest.approx(math.radians(40))


def test_an_allowance_counts_everywhere():
    found = scan(SKERROW, Assembly(30.4, 0.0914), [2150.0], LIMITS, math.radians(0.5) / 30)[0]
    assert math.degrees(found.dogleg_rad_m * 30) == pytest.approx(0.62, abs=0.006)


@pytest.mark.parametrize(
    ("length_m", "top_m", "words"),
    [
        (3000.0, 0.0, "longer than the whole survey"),
        (30.0, 2700.0, "reaches out of the survey"),
        (30.0, -1.0, "reaches out of the survey"),
        (30.0, math.nan, "finite"),
    ],
)
def test_refusals(length_m, top_m, words):
    with pytest.raises(InputError, match=words):
        scan(SKERROW, Assembly(length_m, 0.1), [top_m], LIMITS)


def test_a_survey_out_of_order():
    with pytest.raises(InputError, match="must be deeper"):
        scan([SKERROW[1], SKERROW[0]], Assembly(1.0, 0.1), [10.0], LIMITS)


def test_a_limit_has_an_origin():
    with pytest.raises(InputError, match="where the limit comes from"):
        Limit(1.0, " ")
