"""Calculators on the curved hole: what they pass on, and one sentence for nonsense."""

from __future__ import annotations

import math

import pytest

from abreast.actions import calculators
from abreast.errors import InputError


def run(name, **changes):
    return calculators.run(name, {**calculators.example(name), **changes})


IN, LBF, FT = 0.0254, 4.4482216152605, 0.3048
PPG = 0.45359237 / (231 * IN**3)


@pytest.mark.parametrize(
    ("length_in", "force_lbf", "moment_lbf_in", "sag_in"),
    [(240, 1271.1, 76267, 0.83780), (300, 1404.8, 105360, 1.30910), (360, 1346.3, 121163, 1.88516)],
)
def test_rigid_tool_that_must_bend(length_in, force_lbf, moment_lbf_in, sag_in):
    """48 EI delta/L3, D 8.681, d 8.25 in, 8 deg/100 ft, I 30 in4; sagittas of the chord."""
    found = calculators.run(
        "rigid-tool-in-bend",
        {
            "bore_m": 8.681 * IN,
            "od_m": 8.25 * IN,
            "curvature_rad_m": math.radians(8) / 30.48,
            "length_m": length_in * IN,
            "ei_nm2": 30e6 * 30 * LBF * IN**2,
        },
    )
    assert found["sagitta_m"] / IN == pytest.approx(sag_in, rel=2e-4)
    assert found["must_bend_m"] / IN == pytest.approx(sag_in - 0.431, abs=3e-4)
    assert found["force_n"] / LBF == pytest.approx(force_lbf, rel=5e-5)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(moment_lbf_in, rel=5e-5)
    assert ("remark" in found) is (length_in > 240)  # 12 delta/L2 against 1/R


@pytest.mark.parametrize(
    ("bore", "od", "radius", "longest"),
    [(8.681, 8.25, 13750.99, 217.779), (10, 4, 30, 39.191836), (2, 0, 10, 12.649111)],
)
def test_longest_rigid_tool(bore, od, radius, longest):
    """2 sqrt((D - d)(2R + d)); sampled outside as a cylinder in a torus. Lengths in metres here."""
    scale = max(1.0, 20 / radius)  # no hole bends to a radius below a metre
    given = {"bore_m": bore * scale, "od_m": od * scale, "curvature_rad_m": 1 / (radius * scale)}
    found = calculators.run("rigid-tool-in-bend", given)
    assert found["longest_m"] / scale == pytest.approx(longest, rel=1e-5)


def test_stress_of_a_body_that_follows_the_bend():
    """E OD/2R: 2-7/8 in at 10 deg/100 ft 6,272.3 psi with 30 million psi."""
    given = {"bore_m": 0.2, "od_m": 2.875 * IN, "curvature_rad_m": math.radians(10) / 30.48}
    found = calculators.run("rigid-tool-in-bend", given)
    psi = found["follows_stress_pa"] / (LBF / IN**2)
    assert psi == pytest.approx(6272.3, rel=1e-3)  # the program's E is rounded: 207 GPa


def steps(*rows):
    return [
        {"md_m": md * FT, "inclination_rad": math.radians(inc), "azimuth_rad": 0.0}
        for md, inc in rows
    ]


def test_soft_string_of_a_whole_well():
    """Vertical, 3 deg/100 ft to 60, hold: worked outside as a differential equation [lbf]."""
    lengths = (3000, 2000, 1000)
    mass_kg_m = 5.60687 * LBF / FT / 9.80665
    items = [
        {"id": name, "length_m": length * FT, "mass_kg": mass_kg_m * length * FT}
        for name, length in zip(("hold", "build", "vertical"), lengths, strict=True)
    ]
    given = {
        "stations": steps((0, 0), (1000, 0), (3000, 60), (6000, 60)),
        "items": items,
        "bottom_md_m": 6000 * FT,
        "friction_ratio": 0.25,
    }
    found = calculators.run("soft-string", given)
    for way, loads in {
        "still": (8410.31, 17683.99, 23290.86),
        "up": (12052.07, 24524.73, 30131.60),
        "down": (4768.54, 12733.04, 18339.91),
    }.items():
        tops = [one[f"{way}_n"] / LBF for one in found["tops"]]
        assert tops == pytest.approx(loads, abs=0.5)
        assert found[f"{way}_n"] == found["tops"][-1][f"{way}_n"]
    assert [one["md_m"] / FT for one in found["tops"]] == pytest.approx([3000, 1000, 0])


def test_one_element_and_the_capstan():
    """Johancsik 1984: 2,948.70 lbf on the wall; weightless over 90 degrees e^(0.3 pi/2).

    Ours takes the mean tension of the element, which puts 0.5 % on the drag of the paper.
    """
    upper, lower = steps((0, 26.5), (100, 23.5))
    lower["azimuth_rad"] = math.radians(2)
    given = {"upper": upper, "lower": lower, "tension_n": 5e4 * LBF, "friction_ratio": 0.25}
    found = calculators.run("soft-string-element", {**given, "weight_n_m": 5.6069 * LBF / FT})
    assert found["wall_n"] / LBF == pytest.approx(2948.70, rel=3e-4)
    assert (found["up_n"] - found["down_n"]) / LBF == pytest.approx(2 * 0.25 * 2948.7, rel=1e-2)
    upper, lower = steps((0, 0), (1000, 90))
    given = {"upper": upper, "lower": lower, "tension_n": 1.0, "friction_ratio": 0.3}
    found = calculators.run("soft-string-element", {**given, "weight_n_m": 0.0, "longest_m": 0.5})
    assert found["up_n"] == pytest.approx(1.601978, abs=2e-6)
    assert found["down_n"] == pytest.approx(1 / 1.601978, abs=2e-6)


def test_soft_string_counts_what_it_is_given():
    bare, whole = run("soft-string"), run("soft-string", twin_drag_n=5e3, clamp_drag_n=0.0)
    assert len(bare["not_counted"]) == 2
    assert whole["not_counted"] == []
    assert whole["up_n"] > bare["up_n"] + 4e3
    assert whole["still_n"] == bare["still_n"]
    empty = run("soft-string", inside_level_md_m=2150.0)
    assert empty["still_n"] < bare["still_n"]


def test_setting_depth_ranks_and_says_why():
    best, other = run("setting-depth")["candidates"]
    assert best["top_md_m"] == 2150.0
    assert best["refusals"] == []
    assert "from 400.0 to 1060.0 m" in other["refusals"][0]
    assert len(best["not_checked"]) == 3


def test_tool_passage_says_what_it_needs():
    assert run("tool-passage")["verdict"] == "passes"
    assert run("tool-passage", length_m=3.0)["verdict"] == "not checked"
    assert run("tool-passage", length_m=3.0, ei_nm2=2e4)["verdict"] == "passes bent"


@pytest.mark.parametrize(
    ("mud_ppg", "ratio"),
    [
        (8.33, 0.87282),
        (8.60, 0.86870),
        (9.0, 0.86260),
        (9.5, 0.85496),
        (10, 0.84733),
        (12, 0.81679),
    ],
)
def test_weight_with_the_same_fluid_inside_and_out(mud_ppg, ratio):
    """1 - mud/65.5 (steel 65.5 ppg from memory), whatever the bore."""
    mud, steel = mud_ppg * PPG, 65.5 * PPG
    given = {"inside_kg_m3": mud, "outside_kg_m3": mud, "steel_kg_m3": steel}
    found = calculators.run("weight-in-fluid", {"mass_kg_m": 9.67, "bore_m": 0.062, **given})
    assert found["buoyancy_ratio"] == pytest.approx(ratio, abs=6e-6)
    assert found["air_n_m"] == pytest.approx(9.67 * 9.80665, rel=1e-12)


def test_weight_with_other_fluids():
    """ws + rho_i Ai - rho_o Ao: 2-7/8 in 6.5 lb/ft pipe, body only, by its areas."""
    steel_m2 = math.pi / 4 * (2.875**2 - 2.441**2) * IN**2
    inside_m2 = math.pi / 4 * (2.441 * IN) ** 2
    given = {"mass_kg_m": 7850 * steel_m2, "bore_m": 2.441 * IN, "steel_kg_m3": 7850.0}
    given |= {"inside_kg_m3": 850.0, "outside_kg_m3": 1078.0}
    expected = (7850 * steel_m2 + 850 * inside_m2 - 1078 * (steel_m2 + inside_m2)) * 9.80665
    found = calculators.run("weight-in-fluid", given)
    assert found["weight_n_m"] == pytest.approx(expected, rel=1e-12)
    empty = calculators.run("weight-in-fluid", {**given, "mass_kg_m": 1.0, "inside_kg_m3": 0.0})
    assert empty["weight_n_m"] < 0  # floats


def test_plug_is_pushed_where_the_pressure_is_less():
    """500 psi on 2.30 in: 2,077 lbf, pi/4 d2 dp by hand."""
    psi = LBF / IN**2
    given = {"above_pa": 2000 * psi, "below_pa": 2500 * psi, "seal_od_m": 2.30 * IN}
    found = calculators.run("plug-force", given)
    assert found["force_n"] / LBF == pytest.approx(2077.4, abs=0.05)
    down = calculators.run("plug-force", {**given, "above_pa": 3000 * psi})
    assert down["force_n"] / LBF == pytest.approx(-2077.4, abs=0.05)


def deep():
    ends = ((0.0, 0.0), (1e11, 0.1))
    return [{"md_m": md, "inclination_rad": inc, "azimuth_rad": 0.0} for md, inc in ends]


@pytest.mark.parametrize(
    ("bore_in", "od_in", "degrees", "longest_ft"),
    [(8.681, 8.25, 5, 18.148), (8.681, 8.00, 3, 29.449), (6.184, 5.90, 8, 11.647)],
)
def test_the_longest_tool_through_a_plain_bend(bore_in, od_in, degrees, longest_ft):
    """As for a rigid rod, 2 sqrt((D - d)(2R + d)); the channel is cut every 20 mm."""
    given = {
        "way": [{"id": "bend", "length_m": 30.0, "bore_m": bore_in * IN}],
        "od_m": od_in * IN,
        "curvature_rad_m": math.radians(degrees) / 30.48,
        "length_m": longest_ft * FT * 0.999,
    }
    found = calculators.run("tool-passage", given)
    assert found["longest_m"] / FT == pytest.approx(longest_ft, rel=1e-3)
    assert found["verdict"] == "passes"
    longer = calculators.run("tool-passage", {**given, "length_m": longest_ft * FT * 1.001})
    assert longer["verdict"] == "not checked"


@pytest.mark.parametrize(
    ("name", "changes", "words"),
    [
        ("rigid-tool-in-bend", {"od_m": 0.25}, "below the bore"),
        ("soft-string", {"friction_ratio": 1.2}, "friction_ratio"),
        ("soft-string", {"friction_ratio": -0.1}, "friction_ratio"),
        ("soft-string", {"bottom_md_m": 3000.0}, "outside the survey"),
        ("soft-string", {"stations": []}, "stations"),
        ("soft-string", {"friction_ratio": "0.2"}, "friction_ratio"),
        ("soft-string", {"items": []}, "items"),
        ("soft-string", {"bottom_md_m": 0.0}, "bottom_md_m"),
        ("soft-string", {"stations": deep(), "bottom_md_m": 1e11}, "deeper than any well"),
        ("rigid-tool-in-bend", {"od_m": 0.2205}, "od_m"),
        ("rigid-tool-in-bend", {"curvature_rad_m": 0.0}, "curvature_rad_m"),
        ("rigid-tool-in-bend", {"curvature_rad_m": 3.0}, "radians"),
        ("rigid-tool-in-bend", {"ei_nm2": 1e6}, "length_m"),
        ("soft-string-element", {"longest_m": 1e-9}, "longest_m"),
        ("soft-string-element", {"friction_ratio": 1.5}, "friction_ratio"),
        ("soft-string-element", {"lower": deep()[0]}, "upper.md_m"),
        ("setting-depth", {"inclination_limit_rad": 30.0}, "radians"),
        ("setting-depth", {"origin": " "}, "origin"),
        ("setting-depth", {"tops_md_m": []}, "tops_md_m"),
        ("setting-depth", {"stiff_length_m": 31.0}, "stiff_length_m"),
        ("tool-passage", {"way": []}, "way"),
        ("tool-passage", {"way": [{"id": "a", "length_m": 1.0, "bore_m": 0.0}]}, "way.1.bore_m"),
        ("setting-depth", {"length_m": 5000.0}, "longer than the whole survey"),
        ("setting-depth", {"tops_md_m": [2719.0]}, "reaches out of the survey"),
        ("tool-passage", {"clearance_m": -0.001}, "clearance_m"),
        ("tool-passage", {"way": [{"id": "a", "length_m": 301.0, "bore_m": 0.06}]}, "301 m long"),
        ("tool-passage", {"length_m": 90.0}, "longer than the way"),
    ],
)
def test_nonsense_is_refused(name, changes, words):
    with pytest.raises(InputError) as caught:
        run(name, **changes)
    assert words in str(caught.value)


@pytest.mark.parametrize("name", ["soft-string", "setting-depth"])
def test_a_survey_that_turns_back_is_refused(name):
    rows = calculators.example(name)["stations"]
    with pytest.raises(InputError, match="must be deeper"):
        run(name, stations=[rows[0], rows[2], rows[1], rows[3]])
