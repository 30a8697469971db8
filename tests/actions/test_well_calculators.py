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
    [
        (240, 1271.1, 76267, 0.83780),
        (300, 1404.87, 104720, 1.30910),
        (360, 1404.87, 104720, 1.88516),
    ],
)
def test_rigid_tool_that_must_bend(length_in, force_lbf, moment_lbf_in, sag_in):
    """48 EI delta/L3, then 2 EI kappa/sqrt(6c/kappa); D 8.681, d 8.25 in, 8 deg/100 ft, I 30 in4.

    Sagittas of the chord; the outer wall, D/2 further out, has (1 + D/2R) less.
    """
    radius_in = 1200 / math.radians(8)
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
    assert found["sagitta_m"] / IN == pytest.approx(sag_in, abs=5.1e-6)
    outer_in = radius_in + 8.681 / 2
    bend_in = outer_in - math.sqrt(outer_in**2 - length_in**2 / 4) - 0.431
    assert found["must_bend_m"] / IN == pytest.approx(bend_in, rel=1e-7)
    assert found["must_bend_m"] / IN == pytest.approx(sag_in - 0.431, abs=1e-3)
    assert found["force_n"] / LBF == pytest.approx(force_lbf, rel=5e-5)
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(moment_lbf_in, rel=5e-5)
    assert (found["lies_m"] > 0) is (length_in > 240)  # sqrt(24 R c) = 298.2 in
    longest = run("rigid-tool-in-bend")["longest_m"]
    again = run("rigid-tool-in-bend", length_m=longest, ei_nm2=1e6)
    assert again["must_bend_m"] == pytest.approx(0.0, abs=1e-12)
    assert again["force_n"] == again["moment_nm"] == 0.0


def test_in_a_straight_hole_every_length_lies_unbent():
    found = run("rigid-tool-in-bend", curvature_rad_m=0.0, length_m=500.0, ei_nm2=1e6)
    assert "longest_m" not in found and "radius_m" not in found
    assert "every length lies unbent" in found["remark"]
    assert found["must_bend_m"] < 0 and found["force_n"] == 0.0


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


def test_one_element_of_the_paper():
    """Johancsik 1984: 2,948.70 lbf on the wall at 50,000 lbf, which is taken in the middle here."""
    upper, lower = steps((0, 26.5), (100, 23.5))
    lower["azimuth_rad"] = math.radians(2)
    weight_lbf_ft = 5.6069
    half_lbf = weight_lbf_ft * 100 * math.cos(math.radians(25)) / 2
    given = {"upper": upper, "lower": lower, "tension_n": (5e4 - half_lbf) * LBF}
    given |= {"friction_ratio": 0.25, "weight_n_m": weight_lbf_ft * LBF / FT}
    found = calculators.run("soft-string-element", given)
    assert found["wall_n"] / LBF == pytest.approx(2948.70, rel=3e-4)
    assert (found["up_n"] - found["down_n"]) / LBF == pytest.approx(2 * 0.25 * 2948.7, rel=1e-2)
    assert found["elements_count"] == 4  # 3.1 degrees of dogleg


@pytest.mark.parametrize("degrees", [0.5, 20, 90, 150])
@pytest.mark.parametrize("friction", [0.0, 0.3, 1.0])
def test_the_capstan(degrees, friction):
    """Weightless: T e^(+- mu theta), and on the wall the integral of T dtheta, exactly
    T theta, T (e^(mu theta) - 1)/mu, T (1 - e^(-mu theta))/mu; no length of element given."""
    turn = math.radians(degrees)
    upper, lower = steps((0, 0), (1000, degrees))
    given = {"upper": upper, "lower": lower, "tension_n": 1e5, "weight_n_m": 0.0}
    found = calculators.run("soft-string-element", {**given, "friction_ratio": friction})
    assert found["elements_count"] == math.ceil(degrees)
    assert found["up_n"] == pytest.approx(1e5 * math.exp(friction * turn), rel=5e-5)
    assert found["down_n"] == pytest.approx(1e5 * math.exp(-friction * turn), rel=5e-5)
    assert found["still_n"] == pytest.approx(1e5)
    assert found["wall_n"] == pytest.approx(1e5 * turn, rel=5e-5)
    if friction:
        up, down = math.expm1(friction * turn), -math.expm1(-friction * turn)
        assert found["wall_up_n"] == pytest.approx(1e5 * up / friction, rel=1e-4)
        assert found["wall_down_n"] == pytest.approx(1e5 * down / friction, rel=1e-4)


def test_a_straight_slope_lies_with_its_weight():
    """w L sin I on the wall, whatever the tension; one element."""
    upper, lower = steps((0, 30), (1000, 30))
    given = {"upper": upper, "lower": lower, "tension_n": -5e3, "weight_n_m": 100.0}
    found = calculators.run("soft-string-element", {**given, "friction_ratio": 0.2})
    assert found["wall_n"] == found["wall_up_n"] == pytest.approx(100 * 1000 * FT / 2)
    assert found["elements_count"] == 1


def test_pipe_above_the_survey_is_never_dropped():
    """A vertical survey from 1000 m says nothing of the 1000 m of string above it."""
    given = {
        "stations": [{"md_m": md, "inclination_rad": 0.0, "azimuth_rad": 0.0} for md in (1e3, 2e3)],
        "items": [{"id": "pipe", "length_m": 2000.0, "mass_kg": 2e5 / 9.80665}],
        "bottom_md_m": 2000.0,
        "friction_ratio": 0.2,
    }
    with pytest.raises(InputError) as caught:
        calculators.run("soft-string", given)
    assert caught.value.where.field == "stations.1.md_m"
    top = {"md_m": 0.0, "inclination_rad": 0.0, "azimuth_rad": 0.0}
    whole = calculators.run("soft-string", {**given, "stations": [top, *given["stations"]]})
    assert whole["still_n"] == pytest.approx(2e5)
    assert whole["remarks"] == []
    short = calculators.run(
        "soft-string", {**given, "stations": [top, *given["stations"]], "bottom_md_m": 1500.0}
    )
    assert short["still_n"] == pytest.approx(1.5e5)
    assert short["remarks"] == ["500.00 m of the string stand above the surface: not counted"]


def test_fluid_inside_without_a_bore():
    with pytest.raises(InputError, match="no piece has a bore"):
        run("weight-in-fluid", bore_m=0.0)
    items = calculators.example("soft-string")["items"]
    solid = {**items[0], "id": "bar", "length_m": 10.0, "bore_m": 0.0}
    with pytest.raises(InputError, match="no piece has a bore"):
        run("soft-string", items=[{**items[0], "bore_m": 0.0}])
    found = run("soft-string", items=[solid, *items])
    assert "no bore given, no fluid counted inside: bar" in found["remarks"]


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


def test_a_depth_out_of_the_survey_is_named_by_its_number():
    with pytest.raises(InputError) as caught:
        run("setting-depth", tops_md_m=[900.0, 2719.0, 2150.0])
    assert caught.value.where.field == "tops_md_m.2"
    with pytest.raises(InputError, match=r"2719.00001 m the assembly reaches .* 2719 m"):
        run("setting-depth", tops_md_m=[2719.00001 - 30.4], stations=cut_at(2719.0))


def cut_at(md_m):
    rows = calculators.example("setting-depth")["stations"]
    return [*rows[:-1], {**rows[-1], "md_m": md_m}]


def test_a_refusal_shows_the_digits_that_decide():
    """1.0004 of 1.0 deg/30 m, not 1.00 above 1.00."""
    ends = [{"md_m": 0.0, "inclination_rad": 0.0, "azimuth_rad": 0.0}]
    ends.append({"md_m": 300.0, "inclination_rad": math.radians(10.004), "azimuth_rad": 0.0})
    limits = {"setting_limit_rad_m": math.radians(1.0) / 30, "stress_limit_pa": 1.6e6}
    given = {"stations": ends, "length_m": 30.0, "od_m": 0.02659, "tops_md_m": [100.0]}
    (one,) = calculators.run("setting-depth", {**given, **limits})["candidates"]
    assert one["refusals"][0].startswith("dogleg 1.0004°/30 m")
    assert "limit 1.0000°/30 m" in one["refusals"][0]
    stress_mpa = 2.07e11 * math.radians(1.0004) / 30 * 0.02659 / 2 / 1e6
    assert f"bending stress {stress_mpa:.3f} MPa, limit 1.600 MPa" in one["refusals"][1]


def test_hole_above_the_first_station_is_not_checked():
    """The way down from the surface to 400 m was not seen."""
    rows = calculators.example("setting-depth")["stations"]
    for one in run("setting-depth", stations=rows[1:])["candidates"]:
        assert "the hole above 400 m: not checked: needs its survey" in one["not_checked"]
    assert not any(
        "hole above" in line for line in run("setting-depth")["candidates"][0]["not_checked"]
    )


def test_tool_passage_says_what_it_needs():
    assert run("tool-passage")["verdict"] == "passes"
    assert run("tool-passage", length_m=3.0)["verdict"] == "not checked"
    free = run("tool-passage", length_m=3.0, ei_nm2=2e4)
    assert free["verdict"] == "not checked" and "needs most_force_n" in free["words"]
    limited = {"length_m": 3.0, "ei_nm2": 2e4, "most_force_n": 1.001 * free["force_n"]}
    assert run("tool-passage", **limited)["verdict"] == "passes bent"


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
    """As for a rigid rod, 2 sqrt((D - d)(2R + d)); here a parabola, shorter by d/4R."""
    given = {
        "way": [{"id": "bend", "length_m": 30.0, "bore_m": bore_in * IN}],
        "od_m": od_in * IN,
        "curvature_rad_m": math.radians(degrees) / 30.48,
        "length_m": longest_ft * FT * 0.999,
    }
    found = calculators.run("tool-passage", given)
    assert found["longest_m"] / FT == pytest.approx(longest_ft, rel=2e-4)
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
        ("soft-string", {"bottom_md_m": 1e-7}, "nothing hangs"),
        ("contact-beam", {"longest_m": 1e10}, "longest_m"),
        ("soft-string", {"stations": deep(), "bottom_md_m": 1e11}, "deeper than any well"),
        ("rigid-tool-in-bend", {"od_m": 0.2205}, "od_m"),
        ("rigid-tool-in-bend", {"curvature_rad_m": -1e-9}, "curvature_rad_m"),
        ("rigid-tool-in-bend", {"length_m": 1e-300}, "length_m"),
        ("rigid-tool-in-bend", {"length_m": 1e4}, "longer than a bend"),
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
        ("tool-passage", {"way": [{"id": "a", "length_m": 1e-300, "bore_m": 0.06}]}, "length_m"),
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
