"""Bending, side forces, drag, union, clamps on the way down: numbers, limits, words."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.checks.passing_runs import ROLLS, answers, filled, place, swapped
from tests.checks.twins import FT, LBF, job_1, job_2, with_row, with_section

from abreast.checks.passing_words import worst
from abreast.mechanics.clamp_bend import bend_at_clamps_n


def one_more(run, **numbers):
    """The run with one place of its way down more heavily loaded."""
    old = run.down[6]
    return swapped(run, "down", 6, place(run, old.md_m, old.roll_rad, **numbers))


# --- bending -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "limit_nm", "part"),
    [
        ("ESP bodies and necks", 3200, "body and neck of gauge"),
        ("ESP joints", 2000, "upper joint of base"),
        ("bypass pieces", 3000, "bypass piece"),
        ("union and blocks", 3600, "adjustable union"),
    ],
)
def test_the_part_nearest_to_its_limit_is_told(name, limit_nm, part):
    """Limits as job 2's tables state them."""
    where = f"passage-moment:{name}"
    found = answers(one_more(filled(2), moment_nm=0.8 * limit_nm))[where]
    assert found.limit == pytest.approx(limit_nm) and found.status == "ok"
    assert found.utilisation == pytest.approx(0.8)
    assert part in found.text and "roll 180°" in found.text and "Y-tool top at 1000 m" in found.text
    assert "between 100 N·m at the best" in found.text
    assert found.basis == "limit: invented"
    near = answers(one_more(filled(2), moment_nm=0.95 * limit_nm))[where]
    over = answers(one_more(filled(2), moment_nm=1.01 * limit_nm))[where]
    assert (near.status, over.status) == ("near limit", "exceeds")
    assert near.action and over.action


def test_a_limit_exceeded_counts_though_others_are_missing():
    job = with_row(job_2(), "esp", "pump-2", moment_nm=None)
    where = "passage-moment:ESP bodies and necks"
    found = answers(one_more(filled(2), moment_nm=5000.0), job=job)[where]
    assert found.status == "exceeds"
    found = answers(filled(2), job=job)[where]
    assert found.status == "not checked" and "pump-2" in found.needs[0]
    assert found.value == pytest.approx(100.0)


def test_with_no_limit_of_a_kind_the_greatest_moment_is_told():
    job = job_2()
    for section in ("union", "ytool"):
        job = with_section(job, section, moment_nm=None)
    run = filled(2)
    moments = run.down[6].moments_nm | {("Y-tool", "block"): 777.0}
    found = answers(one_more(run, moments_nm=moments), job=job)["passage-moment:union and blocks"]
    assert found.status == "not checked" and found.limit is None
    assert found.value == pytest.approx(777.0) and "Most bent is the Y-tool" in found.text
    assert len(found.needs) == 2 and "Y-tool top at 1000 m" in found.text


def test_a_piece_with_sizes_of_its_own_has_no_limit_of_the_pipe():
    job = with_row(job_2(), "rack", "Q07", body_od_m=0.0603)
    found = answers(filled(2), job=job)
    assert found["passage-moment:bypass pieces"].needs == (
        "bending moment that bypass piece Q07 may carry (column moment of table rack)",
    )
    stated = with_row(job, "rack", "Q07", moment_nm=500.0)
    told = answers(one_more(filled(2), moment_nm=400.0), job=stated)["passage-moment:bypass pieces"]
    assert not told.needs and "bypass piece Q07" in told.text and told.limit == pytest.approx(500)
    assert "Q07" in found["passage-stress:tubing and tail"].needs[0]


def test_the_dogleg_beside_it_is_that_of_the_survey():
    """Job 1 by its survey sheet: 3.07 deg/100 ft at 4,300 to 4,330 ft, all else is less."""
    run = filled(1, "locked")
    run = swapped(run, "down", 0, place(run, 4290 * FT, 0.0, moment_nm=900.0))
    text = answers(run, 1)["passage-moment:ESP joints"].text
    assert "3.07°/100 ft at 4300 to 4330 ft" in text
    run = swapped(run, "down", 0, place(run, 4340 * FT, 0.0, moment_nm=900.0))
    text = answers(run, 1)["passage-moment:ESP joints"].text
    assert "3.07" not in text and "at 4530 to 4630 ft" in text


def test_stress_is_moment_over_section_modulus():
    """Z of 60.33 by 50.67 mm pipe: pi/32 (D^4 - d^4)/D, any handbook of mechanics."""
    modulus_m3 = math.pi / 32 * (0.06033**4 - 0.05067**4) / 0.06033
    found = answers(one_more(filled(2), moment_nm=1000.0))["passage-stress:bypass pipe"]
    assert found.value == pytest.approx(1000.0 / modulus_m3, rel=2e-3)
    # L80: 80,000 psi, API Spec 5CT.
    assert found.limit == pytest.approx(552e6, rel=2e-3) and "MPa" in found.text
    assert found.status == "ok" and any("M/Z + T/A" in one for one in found.assumptions)


def test_pull_adds_to_bending_in_pipe_and_not_in_housings():
    """40 MPa in all where bending alone gives less: told with its share of bending."""
    names = ("Q07", "body"), ("motor", "body")
    run = one_more(filled(2), moment_nm=10.0, stresses_pa=dict.fromkeys(names, 40e6))
    bare = answers(filled(2))
    found = answers(run)
    pipe = "passage-stress:bypass pipe"
    assert found[pipe].value == pytest.approx(40e6) and "Q07: 40.0 MPa, 0." in found[pipe].text
    assert "of it by bending" in found[pipe].text and "of it by bending" not in bare[pipe].text
    housings = "passage-stress:ESP housings where it hangs"
    assert found[housings].value == bare[housings].value


def test_housings_are_held_to_their_stress_where_they_hang():
    run = filled(2)
    where = "passage-stress:ESP housings where it hangs"
    calm = answers(one_more(run, moment_nm=1e5))[where]
    bent = swapped(run, "hung", 1, place(run, 1500.0, ROLLS[1], moment_nm=200.0))
    assert answers(bent)[where].value == pytest.approx(2 * calm.value)
    assert calm.limit == pytest.approx(140e6)
    # A neck has its moment, and no stress of a housing.
    necks = {key: 1e5 if key[1] == "neck" else 100.0 for key in run.hung[0].moments_nm}
    stiff = swapped(run, "hung", 1, place(run, 1500.0, ROLLS[1], moments_nm=necks))
    assert answers(stiff)[where].value == pytest.approx(calm.value)


# --- forces --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("force_n", "status"),
    [(0.0, "ok"), (5000.0, "ok"), (5800.0, "near limit"), (6100.0, "exceeds")],
)
def test_the_guard_is_held_to_what_the_mle_may_bear(force_n, status):
    found = answers(one_more(filled(2), guard_n=force_n))
    assert "passage-cable:cable" not in found
    one = found["passage-cable:guard of the cable"]
    assert one.status == status and one.limit == pytest.approx(6000.0)
    assert ("does not touch" in one.text) == (force_n == 0.0)


def test_a_cable_without_a_guard_is_asked_itself():
    run = filled(2)
    beam = run.beams["free"]
    strings = tuple(
        replace(
            string,
            discs=tuple(
                replace(one, kind="cable") if one.kind == "guard" else one for one in string.discs
            ),
        )
        for string in beam.twin.strings
    )
    run = replace(run, beams={"free": replace(beam, twin=replace(beam.twin, strings=strings))})
    found = answers(one_more(run, cable_n=6100.0))
    assert "passage-cable:guard of the cable" not in found
    assert found["passage-cable:cable"].status == "exceeds"
    assert "The cable itself is pressed by at most 6.10 kN" in found["passage-cable:cable"].text


def dragged(drag_n, top_n, tubing_n=0.0):
    """Drag of the twin, and of the tubing above it that the model holds, and the pull at its top.

    The friction factor of job 2, as its sheet states it.
    """
    friction = job_2().friction.cased_ratio.si
    return {"drag_n": drag_n, "side_n": (drag_n + tubing_n) / friction, "top_n": top_n}


def test_drag_is_a_share_of_what_hangs():
    """Statics: what hangs is pull and drag; 31 % at the best roll and 59 % are 1.9 times."""
    run = filled(2, **dragged(3100.0, 6900.0))
    found = answers(one_more(run, **dragged(5900.0, 4100.0)))["passage-drag:lowering"]
    assert found.status == "ok" and found.utilisation == pytest.approx(0.59)
    assert "5.90 kN of the 10.00 kN" in found.text
    assert "between 31 % at the best and 59 % at the worst roll" in found.text
    assert "drags 1.9 times as much" in found.text
    # Picking up the pull holds drag and weight: 6.9 kN less 3.1 kN hang there.
    assert "Picking up it adds 3.10 kN" in found.text and "82 %" in found.text


def test_a_string_that_drags_more_than_it_weighs_must_be_pushed():
    """The tubing can do that, so it is no verdict on the whole string."""
    heavy = one_more(filled(2), **dragged(5000.0, -200.0))
    found = answers(heavy)["passage-drag:lowering"]
    assert found.status == "near limit" and found.value == pytest.approx(5000.0)
    # Not a limit used by 104 %: "every limit is kept" would be said beside it.
    assert found.limit is None and found.utilisation is None
    assert "must push with 0.20 kN" in found.text and "hook load" in found.text
    light = answers(one_more(filled(2), **dragged(4000.0, 200.0)))["passage-drag:lowering"]
    assert "must push" not in light.text


def test_drag_of_the_tubing_above_is_not_weight_that_is_missing():
    """Level: 1 kN of tubing drag brings the pull at the top to -5 kN, and nothing hangs."""
    level = one_more(filled(2), **dragged(4000.0, -5000.0, 1000.0))
    found = answers(level)["passage-drag:lowering"]
    assert "4.00 kN of the 0.00 kN" in found.text


def test_no_friction_factor_no_drag():
    run = filled(2)
    run = replace(run, hole=replace(run.hole, friction_ratio=None))
    job = with_section(job_2(), "friction", cased_ratio=None)
    found = answers(run, job=job)["passage-drag:lowering"]
    assert found.status == "not checked" and "friction factor" in found.needs[0]


# --- union ---------------------------------------------------------------------------------


@pytest.mark.parametrize("sign", [1, -1])
def test_a_locked_union_is_held_to_its_rating_both_ways(sign):
    run = filled(1, "locked", union_n=20e3)
    found = answers(one_more(run, union_n=sign * 50e3), 1)
    one = found["passage-union:force"]
    assert one.value == pytest.approx(50e3) and one.limit == pytest.approx(60000 * LBF)
    assert ("pushed by up to" in one.text) == (sign < 0)
    over = answers(one_more(run, union_n=sign * 300e3), 1)["passage-union:force"]
    assert over.status == "exceeds" and "able to move" in over.action
    assert "passage-union:stroke" not in found


def test_a_free_union_carries_nothing_and_needs_stroke():
    """Two arcs about one centre, 4.25 in apart: they differ by that times the angle."""
    run = filled(1, "free")
    tops_m = (4290 * FT, 5000 * FT)
    places = tuple(place(run, md_m) for md_m in tops_m)
    run = replace(run, down=places, up=places, hung=places)
    found = answers(run, 1)
    assert found["passage-union:force"].status == "ok"
    stroke = found["passage-union:stroke"]
    ends_m = run.beams["free"].twin.rigid_m
    # The sharpest of every inch or so between both places, not at one of them.
    zeros_m = np.arange(*tops_m, 0.03) + run.top_above_zero_m
    upper, lower = (run.hole.path.at(zeros_m + at_m).tangent for at_m in ends_m)
    angle = math.acos(float(np.min(np.sum(upper * lower, axis=1))))
    assert stroke.value == pytest.approx(4.25 * 0.0254 * angle, rel=1e-3)
    assert stroke.status == "ok" and "4290 ft" not in stroke.text
    job = with_section(job_1(), "setting", axis_spacing_m=20.0)
    assert answers(run, 1, job)["passage-union:stroke"].status == "exceeds"


# --- clamps --------------------------------------------------------------------------------


def straight(run):
    """The run in a hole without bends: nothing but drag asks a clamp to hold."""
    path = run.hole.path
    still = np.zeros_like(path.severity_rad_m)
    down = np.tile(path.tangent[0], (len(path.tangent), 1))
    return replace(
        run, hole=replace(run.hole, path=replace(path, severity_rad_m=still, tangent=down))
    )


@pytest.mark.parametrize(
    ("force_n", "status"),
    [(1000.0, "ok"), (-1000.0, "ok"), (4300.0, "near limit"), (-4600.0, "exceeds")],
)
def test_a_clamp_is_held_to_half_its_grip_either_way(force_n, status):
    """9 kN of grip, half of it may be used: the rules of job 2."""
    grips_n = {f"C{k}": 0.0 for k in range(1, 5)}
    found = answers(straight(one_more(filled(2), grips_n=grips_n | {"C2": force_n})))
    one = found["passage-clamp-grip:C2"]
    assert one.status == status and one.limit == pytest.approx(4500.0)
    assert "would slip" not in one.text
    assert found["passage-clamp-grip:C3"].status == "ok"


def test_a_clamp_that_would_slip_breaks_the_run():
    run = straight(one_more(filled(2), grips_n={f"C{k}": 9500.0 for k in range(1, 5)}))
    text = answers(run)["passage-clamp-grip:C1"].text
    assert "would slip" in text and "do not hold" in text


def test_bends_may_keep_a_clamp_and_never_condemn_it():
    run = filled(2)
    open_job = with_row(job_2(), "clamps", "C1", may_slip="not stated")
    open_ = answers(run, job=open_job)["passage-clamp-grip:C1"]
    assert open_.status == "not checked" and "column may_slip of table clamps" in open_.needs[0]
    assert open_.value == pytest.approx(20.0)
    strong = with_row(open_job, "clamps", "C1", grip_load_n=60e3)
    kept = answers(run, job=strong)["passage-clamp-grip:C1"]
    assert kept.status == "ok"
    assert kept.value == pytest.approx(20.0 + 1.5 * most_in_bends_n(run, job_2(), "C1"), rel=1e-3)


def most_in_bends_n(run, job, clamp):
    """Of every half foot of the way."""
    first_m, last_m = (place.md_m + run.top_above_zero_m for place in (run.down[0], run.down[-1]))
    zeros_m = np.arange(first_m, last_m, 0.15)
    twin = next(iter(run.beams.values())).twin
    spacing_m = job.setting.axis_spacing_m.si
    return bend_at_clamps_n(twin, run.hole.path, zeros_m, spacing_m)[clamp].max()


@pytest.mark.parametrize("clamp", ["C1", "C4", "C5"])
def test_a_clamp_is_asked_where_it_stands_at_the_end_of_a_bend(clamp):
    """Job 1 looked at in three depths, far from its sharp bend between 4,300 and 4,330 ft."""
    run = filled(1, "locked")
    text = answers(run, 1)[f"passage-clamp-grip:{clamp}"].text
    told_lbf = float(text.split("Bends ask up to ")[1].split(" lbf")[0].replace(",", ""))
    of_every_half_foot = 1.5 * most_in_bends_n(run, job_1(), clamp)
    assert of_every_half_foot <= told_lbf * LBF + 5 <= 1.03 * of_every_half_foot


@pytest.mark.parametrize(("force_n", "status"), [(20.0, "ok"), (4600.0, "exceeds")])
def test_a_clamp_that_may_slip_in_bends_is_asked_for_the_drag_alone(force_n, status):
    """Half of 9 kN may be used; the bends of job 2 ask more, and its makers let it slip."""
    grips_n = {f"C{k}": 20.0 for k in range(1, 5)}
    run = one_more(filled(2), grips_n=grips_n | {"C1": force_n})
    strong = with_row(job_2(), "clamps", "C2", grip_load_n=60e3)
    found = answers(run, job=strong)
    one = found["passage-clamp-grip:C1"]
    assert one.status == status and one.value == pytest.approx(force_n) and not one.needs
    assert ("mark the bypass at it" in one.text) == (status == "ok")
    # The bound on what the bends ask of C2 is within its grip: no word of slip.
    assert "slip there" not in found["passage-clamp-grip:C2"].text


def test_a_clamp_that_must_hold_is_asked_for_the_grip_that_would():
    run = filled(2)
    job = with_row(job_2(), "clamps", "C1", may_slip="no")
    one = answers(run, job=job)["passage-clamp-grip:C1"]
    assert one.status == "not checked" and "slip there" not in one.text
    (need,) = one.needs
    assert "column grip_load of table clamps" in need and "must not slip" in need
    asked_n = float(need.split(" kN")[0].split()[-1]) * 1e3
    enough = with_row(job, "clamps", "C1", grip_load_n=asked_n + 10.0)
    assert answers(run, job=enough)["passage-clamp-grip:C1"].status != "not checked"
    less = with_row(job, "clamps", "C1", grip_load_n=asked_n - 100.0)
    assert answers(run, job=less)["passage-clamp-grip:C1"].status == "not checked"


@pytest.mark.parametrize(
    ("field", "value", "needs"),
    [
        ("grip", "not stated", "what it does to the strings"),
        ("grip_load_n", None, "grip load"),
    ],
)
def test_a_grip_nobody_stated_is_no_pass(field, value, needs):
    job = with_row(job_2(), "clamps", "C1", **{field: value})
    found = answers(straight(filled(2)), job=job)["passage-clamp-grip:C1"]
    assert found.status == "not checked" and needs in found.needs[0]


def test_a_clamp_that_slides_is_not_asked():
    job = with_row(job_2(), "clamps", "C1", grip="slides on bypass")
    assert "passage-clamp-grip:C1" not in answers(filled(2), job=job)


def test_worst_knows_its_way_and_its_best():
    run = one_more(filled(2), side_n=7000.0)
    found = worst(run, lambda one: one.side_n)
    assert (found.way, found.value, found.best) == ("lowering", 7000.0, 4000.0)
    assert worst(run, lambda one: one.side_n, ("hanging",)).value == 4000.0
    assert worst(run, lambda _: None) is None
