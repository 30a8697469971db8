"""Checks of setting depth and of doglegs on the way: status, limit and what to do.

Both jobs as planned, then with one figure changed at a time. Figures are those
worked by hand in the tests of the ranking.
"""

import math

import pytest
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.checks.base import Context, answer
from abreast.checks.dogleg import dogleg_check
from abreast.checks.setting_depth import setting_depth_check
from abreast.errors import MissingInputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.setting_places import ContactResult
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Quantity, SurveyStation
from abreast.spaceout.assemble import assemble

JOB_1 = read_job(example_path("quernstone_14")).require_job()
JOB_2 = read_job(example_path("skerrow_a09")).require_job()
CONTEXT_1 = Context(JOB_1, assemble(JOB_1, CHOICE_1), CHOICE_1)
CONTEXT_2 = Context(JOB_2, assemble(JOB_2, CHOICE_2), CHOICE_2)


def scan_of(context):
    return where_to_set(context.job, context.assembly)


def setting(context, of=scan_of):
    return {one.where: one for one in answer(setting_depth_check(of), context)}


def ways(context):
    return {one.where: one for one in answer(dogleg_check(scan_of), context)}


def given(value, origin="sheet"):
    return Quantity.of(value, origin)


def per_30_m(degrees):
    return given(math.radians(degrees) / 30)


def job(context, **changes):
    changed = type(context.job).model_validate(context.job.model_copy(update=changes).model_dump())
    return Context(changed, context.assembly, context.choice)


def piece(context, name, **changes):
    rows = [one.model_copy(update=changes) if one.id == name else one for one in context.job.esp]
    return job(context, esp=tuple(rows))


def part(context, name, **changes):
    return job(context, **{name: getattr(context.job, name).model_copy(update=changes)})


@pytest.mark.parametrize("context", [CONTEXT_1, CONTEXT_2])
def test_both_jobs_as_planned(context):
    found = setting(context)
    assert {where for where, one in found.items() if one.status != "ok"} == {"contact model"}
    assert found["contact model"].status == "not checked"
    assert set(found) == {
        "dogleg",
        "a joint off",
        "inclination of motor",
        "inclination of protector",
        "bending stress",
        "in the well",
        "contact model",
        "other depths",
    }
    assert all(one.basis for where, one in found.items() if where != "contact model")


def test_quernstone_in_figures():
    found = setting(CONTEXT_1)["dogleg"]
    assert "Y-tool top at 5,600.0 ft ± 3.0 ft (RKB)" in found.text
    assert math.degrees(found.value * 30.48) == pytest.approx(0.35, abs=0.005)
    assert math.degrees(found.limit * 30.48) == pytest.approx(1.5)
    assert found.utilisation == pytest.approx(found.value / found.limit)
    assert "0.30°/100 ft added to every interval: tortuosity of the survey" in found.assumptions
    assert not any("contact" in one for one in found.assumptions)


def test_skerrow_passes_its_build_up_near_the_limit():
    """2.45 deg/30 m from 640 to 700 m, with the allowance 2.75 of 3."""
    found = ways(CONTEXT_2)
    whole = found["whole string"]
    assert whole.status == "near limit"
    assert whole.utilisation == pytest.approx(2.75 / 3, abs=0.002)
    assert "2.75°/30 m at 640.0 to 700.0 m, 0.30°/30 m of it allowance" in whole.text
    assert set(found) == {
        "whole string",
        "base, gauge, head, pup",
        "motor, protector, intake, pump-1, pump-2",
    }


def test_a_piece_with_a_limit_of_its_own_is_named():
    found = ways(piece(CONTEXT_2, "gauge", pass_dogleg_rad_m=per_30_m(2.5)))
    assert found["gauge"].status == "exceeds"
    assert found["gauge"].basis == "limit: sheet"
    assert found["gauge"].action
    assert found["base, head, pup"].status == "ok"


def test_of_pieces_with_one_limit_the_one_with_the_sharpest_bend_is_judged():
    """The bend begins 17 m below the Y-tool: the pump hangs above it, the motor below."""
    bent = job(CONTEXT_2, survey=rows((0, 0), (2168, 0), (2198, 2.8), (2700, 2.8)))
    found = ways(bent)["motor, protector, intake, pump-1, pump-2"]
    assert found.status == "exceeds"
    pumps = {one.piece: one.dogleg_rad_m for one in scan_of(bent).passed}
    assert pumps["pump-2"] < pumps["motor"] == pytest.approx(found.value)


def test_limits_that_nobody_gave():
    none = Quantity.not_measured()
    found = ways(piece(CONTEXT_2, "gauge", pass_dogleg_rad_m=none))
    assert found["gauge"].needs == ("pass dogleg of gauge",)
    assert "2.75°/30 m" in found["gauge"].text
    rules = part(CONTEXT_2, "rules", max_dogleg_pass_rad_m=none, max_dogleg_set_rad_m=none)
    assert ways(rules)["whole string"].needs == ("max dogleg pass of the rules",)
    assert setting(rules)["dogleg"].needs == ("max dogleg set of the rules",)
    found = setting(piece(CONTEXT_2, "motor", set_dogleg_rad_m=none))
    assert found["dogleg"].needs == ("set dogleg of ESP piece motor",)
    assert found["a joint off"].status == "not checked"
    found = setting(piece(CONTEXT_2, "motor", max_inclination_rad=none))
    assert found["inclination of motor"].needs == ("max inclination of ESP piece motor",)
    found = setting(piece(CONTEXT_2, "motor", bending_stress_pa=none))
    assert found["bending stress"].needs == ("bending stress of ESP piece motor",)


def test_a_missing_limit_does_not_hide_one_that_is_broken():
    gauge = piece(CONTEXT_2, "gauge", set_dogleg_rad_m=per_30_m(0.4))
    both = piece(gauge, "motor", set_dogleg_rad_m=Quantity.not_measured())
    found = setting(both)["dogleg"]
    assert found.status == "exceeds"
    assert found.basis == "limit: gauge: sheet"
    # 2,049.2 m is as straight, but a joint lower it would be 0.50
    assert "set it at 2039.6 m" in found.action


def test_without_a_limit_that_applies_nothing_is_asked():
    none = Quantity.not_applicable("rated for any")
    found = setting(piece(CONTEXT_2, "motor", max_inclination_rad=none))
    assert "inclination of motor" not in found
    found = ways(piece(CONTEXT_2, "gauge", pass_dogleg_rad_m=none))
    assert "base, head, pup" in found


def test_other_pieces_with_a_limit_of_inclination_are_asked():
    found = setting(piece(CONTEXT_2, "intake", max_inclination_rad=given(math.radians(40))))
    assert found["inclination of intake"].status == "exceeds"
    assert "intake would hang at 48.2°" in found["inclination of intake"].text


def test_bending_stress_names_the_piece_nearest_to_its_limit():
    found = setting(piece(CONTEXT_2, "pump-1", bending_stress_pa=given(2.5e6)))["bending stress"]
    assert found.text.startswith("Nearest to its limit is pump-1: 2.2 MPa")
    assert found.status == "ok"
    found = setting(piece(CONTEXT_2, "pump-1", bending_stress_pa=given(2.0e6)))["bending stress"]
    assert found.status == "exceeds"


def rows(*stations):
    return tuple(
        SurveyStation(md_m=md, inclination_rad=math.radians(i), azimuth_rad=0.0)
        for md, i in stations
    )


def test_a_bend_within_a_joint_of_the_plan():
    """Straight to 2,185 m, then 2 degrees in 30 m; the string ends at 2178.7 m."""
    straight, after = range(0, 2185, 95), range(2300, 2800, 100)
    stations = (*((md, 0) for md in straight), (2185, 0), (2215, 2), *((md, 2) for md in after))
    bent = job(CONTEXT_2, survey=rows(*stations))
    found = setting(bent)
    assert found["dogleg"].status == "ok"
    assert found["a joint off"].status == "exceeds"
    assert "one joint lower 2159.6 m 2.30°/30 m" in found["a joint off"].text
    assert found["other depths"].status == "near limit"
    assert "set it at 2145.2 m: 4.8 m higher" in found["other depths"].action


def test_a_dry_intake_is_a_physical_limit_and_far_moves_name_the_pump():
    """As in the tests of the ranking: 5,699.0 ft is the first wet depth under 5,760 ft."""
    found = setting(part(CONTEXT_1, "fluids", fluid_level_md_m=given(5760 * 0.3048)))
    dry = "breaks a physical limit: intake would not be wholly under the fluid level at 5,760.0 ft"
    assert found["in the well"].status == "exceeds"
    assert dry in found["in the well"].text
    advice = (
        "set it at 5,699.0 ft: 99.0 ft deeper; breaks no limit that was given; more than a joint"
        " off, the intake pressure changes and with it the pump's duty: ask the well's designer"
    )
    assert found["in the well"].action == advice
    assert found["other depths"].status == "near limit"
    assert found["other depths"].action == advice
    none = part(CONTEXT_1, "fluids", fluid_level_md_m=Quantity.not_measured())
    told = setting(none)["other depths"].assumptions
    assert "submergence not looked at: no fluid level stated" in told


def test_no_joint_and_the_end_of_the_survey():
    assert setting(job(CONTEXT_2, upper=()))["a joint off"].status == "not checked"
    short = job(CONTEXT_2, survey=rows((0, 0), (2185, 0)))
    found = setting(short)["a joint off"]
    assert found.status == "not checked"
    assert "one joint lower not in the survey" in found.text


def test_the_well_refuses_or_is_not_known():
    zone = CONTEXT_2.job.perforations[0].model_copy(update={"top_md_m": given(2175.0)})
    found = setting(job(CONTEXT_2, perforations=(zone,)))["in the well"]
    assert found.status == "exceeds"
    assert "below the top perforation at 2175.0 m" in found.text
    assert "set it at" in found.action
    bare = job(CONTEXT_2, casing=CONTEXT_2.job.casing[:1])
    found = setting(bare)["in the well"]
    assert found.needs == ("the bore of the hole from 1310.0 m down",)
    assert setting(job(CONTEXT_2, casing=()))["in the well"].needs == ("the table of casing",)


def test_the_way_above_the_survey_is_not_seen():
    found = ways(job(CONTEXT_2, survey=rows(*((md, 0) for md in range(500, 2800, 100)))))
    assert found["whole string"].needs == ("the survey above 500.0 m",)


def test_two_stations_say_nothing_of_the_hole():
    """Nobody knows that a hole is vertical between stations 2,700 m apart."""
    two = job(CONTEXT_2, survey=rows((0, 0), (2700, 0)))
    need = ("the survey's stations between 0.0 m and 2700.0 m",)
    assert ways(two)["whole string"].needs == need
    assert all(one.status == "not checked" for one in ways(two).values())
    found = setting(two)
    open_ = {name for name, one in found.items() if one.needs == need}
    assert {"dogleg", "a joint off", "other depths", "inclination of motor"} <= open_
    assert all(one.status == "not checked" for name, one in found.items() if name != "in the well")


def test_stations_150_m_apart_are_enough():
    near = job(CONTEXT_2, survey=rows(*((md, 0) for md in range(0, 2800, 150))))
    assert ways(near)["whole string"].status == "ok"
    assert setting(near)["dogleg"].status == "ok"


def test_a_limit_that_is_broken_stays_broken():
    """However little is known of an interval: the dogleg of its stations is there at least."""
    sharp = job(CONTEXT_2, survey=rows((0, 0), (300, 0), (330, 8), (2700, 8)))
    assert ways(sharp)["whole string"].status == "exceeds"


@pytest.mark.parametrize(
    ("ratio", "status"),
    [(0.4, "ok"), (0.95, "near limit"), (1.1, "exceeds"), (None, "not checked")],
)
def test_what_the_contact_model_found(ratio, status):
    def of(context):
        result = ContactResult("settled", ratio, "pump-1 neck", 900.0, "C3")
        return where_to_set(context.job, context.assembly, lambda _: result)

    found = setting(CONTEXT_1, of)["contact model"]
    assert found.status == status
    assert found.utilisation == ratio
    if ratio:
        moment = f"{100 * ratio:.0f} % of the moment that may be carried (pump-1 neck)"
        # 900 N over 4.4482 N/lbf
        assert f"planned: {moment}, side force 202 lbf (C3), settled" in found.text


def test_the_worst_of_the_planned_depth_and_a_joint_off():
    def of(context):
        planned = context.job.setting.ytool_top_md_m.si
        return where_to_set(
            context.job,
            context.assembly,
            lambda md: ContactResult("settled", 1.2 if md > planned + 1 else 0.3),
        )

    found = setting(CONTEXT_1, of)["contact model"]
    assert found.status == "exceeds"
    assert found.action.startswith("one joint lower: ")


def test_missing_scan_is_not_checked():
    def none(_):
        raise MissingInputError("a survey of two stations or more in survey.csv")

    for check in (setting_depth_check(none), dogleg_check(none)):
        (found,) = answer(check, CONTEXT_1)
        assert found.status == "not checked"
        assert found.needs == ("a survey of two stations or more in survey.csv",)


def test_a_survey_that_turns_right_back_is_told_by_its_row():
    bad = tuple(
        SurveyStation(md_m=md, inclination_rad=math.pi / 2, azimuth_rad=az)
        for md, az in ((0, 0), (300, math.pi), (2700, math.pi))
    )
    (found,) = setting(job(CONTEXT_2, survey=bad)).values()
    assert found.status == "not checked"
    assert "survey.csv, row 3, inclination" in found.text
