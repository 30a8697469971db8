"""Where to set: the two invented jobs, every reason for a rank, and jobs that cannot be used.

Figures beside a comment are worked by hand from the survey of the job; the rest
holds by definition, or is looked at without the program's own tables.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.errors import InputError, MissingInputError
from abreast.examples import example_path
from abreast.formulas.survey import dogleg_severity
from abreast.jobfile import read_job
from abreast.mechanics.run_string import survey_stations
from abreast.mechanics.setting_places import ContactResult
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Quantity, SurveyStation
from abreast.spaceout.assemble import assemble

FT = 0.3048
JOB_1 = read_job(example_path("quernstone_14")).require_job()
JOB_2 = read_job(example_path("skerrow_a09")).require_job()
STRING_1, STRING_2 = assemble(JOB_1, CHOICE_1), assemble(JOB_2, CHOICE_2)
BOTH = pytest.mark.parametrize(("job", "string"), [(JOB_1, STRING_1), (JOB_2, STRING_2)])


def q(value):
    return Quantity.of(value, "invented")


def survey(*rows):
    return tuple(
        SurveyStation(md_m=md, inclination_rad=math.radians(i), azimuth_rad=math.radians(a))
        for md, i, a in rows
    )


def changed(job=JOB_1, part="setting", **changes):
    own = getattr(job, part).model_copy(update=changes)
    return job.model_copy(update={part: own})


def with_piece(name, **changes):
    rows = [one.model_copy(update=changes) if one.id == name else one for one in JOB_1.esp]
    return JOB_1.model_copy(update={"esp": tuple(rows)})


def per_100_ft(severity_rad_m):
    return math.degrees(severity_rad_m * 30.48)


def test_quernstone_as_planned():
    """0.05 deg/100 ft from 5,200 to 5,600 ft, and 0.3 of allowance; 113.4 ft of string."""
    found = where_to_set(JOB_1, STRING_1)
    planned = found.planned
    assert planned.top_md_m == pytest.approx(5600 * FT)
    assert per_100_ft(planned.dogleg_rad_m) == pytest.approx(0.35, abs=0.005)
    assert planned.candidate.dogleg_interval_md_m == pytest.approx((5200 * FT, 5600 * FT))
    assert found.straight.length_m / FT == pytest.approx(113.4, abs=0.005)
    # joints of 39.6 ft, half of it between depths
    assert found.joint_m / FT == pytest.approx(39.6)
    assert found.step_m / FT == pytest.approx(19.8)
    assert found.rank(planned) == 1
    assert not planned.is_refused and planned.slides
    assert found.not_checked == ()
    assert found.words()[0].startswith("Y-tool top planned at 5,600.0 ft: rank 1 of ")


def test_skerrow_as_planned():
    """0.12 deg/30 m by 2,150 m (2,140 to 2,170 m), 0.3 of allowance; straighter higher up."""
    found = where_to_set(JOB_2, STRING_2)
    assert math.degrees(found.planned.dogleg_rad_m * 30) == pytest.approx(0.42, abs=0.006)
    assert math.degrees(found.best.dogleg_rad_m * 30) == pytest.approx(0.32, abs=0.006)
    assert found.rank(found.planned) > 10
    assert "straighter by 0.11°/30 m" in found.words()[2]
    # from the Y-tool down to the motor base; the entry guide hangs 1.65 m lower
    assert found.straight.length_m == pytest.approx(28.71)
    assert found.tail_m == pytest.approx(1.65)


@BOTH
def test_every_depth_as_one_would_find_it_by_looking(job, string):
    """Sharpest interval by looking at each, with the tolerance at both ends; the tail apart."""
    found = where_to_set(job, string)
    hole = survey_stations(job)
    added, off = found.allowance_rad_m, found.tolerance_m

    def sharpest(top_m, foot_m):
        return added + max(
            dogleg_severity(a, b)
            for a, b in pairwise(hole)
            if a.md_m < foot_m - 1e-9 and b.md_m > top_m + 1e-9
        )

    for one in found.places:
        top, foot = one.top_md_m - off, one.candidate.bottom_md_m + off
        assert one.dogleg_rad_m == pytest.approx(sharpest(top, foot), rel=1e-9)
        assert one.candidate.running_rad_m == pytest.approx(sharpest(hole[0].md_m, foot), rel=1e-9)
        if one.slide_rad_m is not None:
            joint = found.joint_m
            assert one.slide_rad_m == pytest.approx(sharpest(top - joint, foot + joint), rel=1e-9)
        if one.tail_rad_m is not None:
            assert one.tail_rad_m == pytest.approx(
                sharpest(foot - 2 * off, foot + found.tail_m), rel=1e-9
            )


@BOTH
def test_the_order_is_that_of_its_reasons(job, string):
    found = where_to_set(job, string)
    for one, two in pairwise(found.places):
        assert one.is_refused <= two.is_refused
        if one.is_refused == two.is_refused and one.slides == two.slides:
            assert one.step <= two.step
            if one.step == two.step:
                assert abs(one.from_planned_m) <= abs(two.from_planned_m) + 1e-6
    assert {one.is_refused for one in found.places} == {True, False}
    assert all(found.reason(one) for one in found.places)
    tops = [one.top_md_m for one in found.places]
    assert len(set(tops)) == len(tops)
    assert max(b - a for a, b in pairwise(sorted(tops))) == pytest.approx(found.step_m)


def test_windows_are_the_unrefused():
    found = where_to_set(JOB_1, STRING_1)
    inside = [
        one
        for one in found.places
        if any(a - 1e-6 <= one.top_md_m <= b + 1e-6 for a, b in found.windows())
    ]
    assert len(inside) == found.unrefused
    edges = [md for window in found.windows() for md in window]
    assert edges == sorted(edges)
    assert len(found.windows()) == 3
    assert not any(one.is_refused for one in inside)


def test_base_support_does_not_enter_the_liner():
    """8.44 in against a drift of 6.059 in; its foot 113.4 ft and the 3 ft of tolerance above."""
    found = where_to_set(JOB_1, STRING_1)
    edge_m = (6650 - 3 - 113.4) * FT
    for one in found.places:
        words = " ".join(one.refusals("oilfield"))
        told = "base support (8.440 in) would enter 7 in 29 lb/ft L80 liner" in words
        assert told == (one.top_md_m > edge_m + 0.02)


def test_a_narrow_opening_refuses_by_name():
    stage = [
        one.model_copy(update={"drift_m": q(0.2)}) if one.name == "stage collar" else one
        for one in JOB_1.openings
    ]
    job = JOB_1.model_copy(update={"openings": tuple(stage)})
    found = where_to_set(job, STRING_1)
    (words,) = found.planned.refusals("oilfield")
    assert "would enter stage collar (drift 7.874 in) at 3,480.0 ft" in words
    assert found.reason(found.planned) == "base support would enter stage collar"
    out = [one.model_copy(update={"in_place": False}) for one in stage]
    free = where_to_set(JOB_1.model_copy(update={"openings": tuple(out)}), STRING_1)
    assert not free.planned.is_refused


def test_special_drift_counts():
    """A narrower drift by the standard, but a larger one proved in this very pipe."""
    rows = [one.model_copy(update={"drift_m": q(0.21)}) for one in JOB_1.casing]
    found = where_to_set(JOB_1.model_copy(update={"casing": tuple(rows)}), STRING_1)
    assert "base support (8.440 in) would enter" in found.planned.refusals("SI")[0]
    rows = [one.model_copy(update={"special_drift_m": q(0.2165)}) for one in rows]
    found = where_to_set(JOB_1.model_copy(update={"casing": tuple(rows)}), STRING_1)
    assert not found.planned.is_refused


def test_below_the_perforations():
    zone = (JOB_1.perforations[0].model_copy(update={"top_md_m": q(1750.0)}),)
    found = where_to_set(JOB_1.model_copy(update={"perforations": zone}), STRING_1)
    assert "lower end would be below the top perforation" in found.planned.refusals("SI")[0]
    assert found.planned.is_refused and not found.best.is_refused
    # of all others the lower end, tail and tolerance included, is above it
    whole_m = found.straight.length_m + found.tail_m + found.tolerance_m
    reach_m = found.joint_m + 1e-6
    others = [one for one in found.places if abs(one.from_planned_m) > reach_m]
    assert max(one.top_md_m for one in others) + whole_m <= 1750 + 1e-6


def test_above_the_fluid_level_and_above_its_own_completion():
    shallow = max(where_to_set(JOB_1, STRING_1).places, key=lambda one: -one.top_md_m)
    words = shallow.refusals("oilfield")
    told = "breaks a physical limit: intake would not be wholly under the fluid level at 1,450.0 ft"
    assert told in words
    assert any("pieces above the Y-tool are 56.7 ft long" in one for one in words)


def test_the_whole_intake_is_under_the_fluid_level():
    """Y-tool 4.20, pup 3.55, head 0.92, pumps 21.46, 21.46 and 17.84 ft above it: 69.43 ft.

    With 3 ft of tolerance under 1,450 ft the Y-tool is at 1,383.57 ft or deeper.
    """
    found = where_to_set(JOB_1, STRING_1)
    for one in found.places:
        dry = "intake not under the fluid level" in [bound.short for bound in one.bounds]
        assert dry == (one.top_md_m / FT < 1383.57 - 0.005)
        assert not dry or one.is_refused
    assert any("standing fluid level, 1,450.0 ft" in one for one in found.assumptions)


def with_level(level_ft):
    return changed(part="fluids", fluid_level_md_m=q(level_ft * FT))


@pytest.mark.parametrize(
    ("level_ft", "advised_ft", "far"),
    [
        (5670, 5619.8, False),  # 5,603.57 ft or deeper: a half joint of 19.8 ft
        (5760, 5699.0, True),  # 5,693.57 ft: five of them, within 300 ft
        (6000, 5936.6, True),  # 5,933.57 ft: seventeen, since none within 300 ft is wet
    ],
)
def test_where_the_planned_intake_is_dry_the_nearest_wet_depth_is_advised(
    level_ft, advised_ft, far
):
    found = where_to_set(with_level(level_ft), STRING_1)
    assert found.planned.is_refused
    assert "breaks a physical limit: intake" in found.planned.refusals("oilfield")[0]
    assert found.reason(found.planned) == "intake not under the fluid level"
    assert found.advised.top_md_m / FT == pytest.approx(advised_ft)
    assert found.is_far(found.advised) == far


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (
            changed(part="fluids", fluid_level_md_m=Quantity.not_measured()),
            "submergence not looked at: no fluid level stated",
        ),
        (JOB_1, "the level while producing, not looked at"),
    ],
)
def test_what_is_not_looked_at_of_the_fluid_is_told(job, words):
    assert any(one.endswith(words) for one in where_to_set(job, STRING_1).assumptions)


def test_without_an_intake_there_is_nothing_to_hold_under_the_fluid():
    pieces = [one for one in STRING_1.pieces if one.kind not in ("intake", "gas separator")]
    string = STRING_1.model_copy(update={"pieces": tuple(pieces)})
    found = where_to_set(JOB_1, string)
    assert "submergence not looked at: no intake among the ESP pieces" in found.assumptions
    assert not any("fluid level" in bound.words for bound in found.bounds)


def test_a_depth_far_off_is_not_advised_to_one_that_keeps_its_limits():
    """Skerrow is straightest 100.8 m higher; at its planned depth no limit is broken."""
    found = where_to_set(JOB_2, STRING_2)
    assert found.best.from_planned_m < -100
    assert found.advised is None or abs(found.advised.from_planned_m) <= 100 + 1e-6
    told = [one for one in found.words() if one.startswith("More than a joint off")]
    assert told == [
        "More than a joint off, the intake pressure changes and with it the pump's duty: ask the"
        " well's designer."
    ]
    assert not any("duty" in one for one in where_to_set(JOB_1, STRING_1).words())


def test_what_the_contact_model_refuses_is_not_advised():
    def confirm(top_md_m):
        return ContactResult("settled", 1.2 if abs(top_md_m / FT - 5619.8) < 0.1 else 0.4)

    found = where_to_set(with_level(5670), STRING_1, confirm)
    assert found.advised.top_md_m / FT != pytest.approx(5619.8)
    assert not found.advised.is_refused


def test_the_strictest_limit_is_named_with_its_origin():
    job = with_piece("protector", set_dogleg_rad_m=Quantity.of(math.radians(0.2) / 30.48, "sheet"))
    found = where_to_set(job, STRING_1)
    assert found.limits.setting_rad_m.origin == "protector: sheet"
    assert "limit 0.20°/100 ft (protector: sheet)" in found.planned.refusals("oilfield")[0]
    assert found.limits.running_rad_m.origin == "rules of the job: common practice"


@pytest.mark.parametrize(
    ("field", "topic", "need"),
    [
        ("set_dogleg_rad_m", "setting", "set dogleg of ESP piece motor"),
        ("pass_dogleg_rad_m", "passing", "pass dogleg of ESP piece motor"),
        ("max_inclination_rad", "inclination", "max inclination of ESP piece motor"),
        ("bending_stress_pa", "stress", "bending stress of ESP piece motor"),
    ],
)
def test_a_limit_that_nobody_gave(field, topic, need):
    job = read_again(with_piece("motor", **{field: Quantity.not_measured()}))
    found = where_to_set(job, STRING_1)
    assert found.needs(topic) == (need,)
    assert found.not_checked == (f"not checked: needs {need}",)
    applicable = read_again(with_piece("motor", **{field: Quantity.not_applicable("none")}))
    assert where_to_set(applicable, STRING_1).not_checked == ()


def read_again(job):
    """The same job, its quantities named as reading names them."""
    return type(job).model_validate(job.model_dump())


def test_rules_that_nobody_gave():
    rules = {
        "max_dogleg_set_rad_m": Quantity.not_measured(),
        "max_dogleg_pass_rad_m": Quantity.not_measured(),
    }
    found = where_to_set(read_again(changed(part="rules", **rules)), STRING_1)
    assert [one.topic for one in found.lacking] == ["setting", "passing"]
    # the limits of the pieces hold all the same
    assert per_100_ft(found.limits.setting_rad_m.value) == pytest.approx(1.5)


def test_each_piece_is_judged_where_it_hangs():
    """A limit of inclination on the motor, of a hole that steepens below the motor."""
    rows = survey((0, 0, 0), (1700, 5, 0), (1735, 5, 0), (1765, 60, 0), (2400, 60, 0))
    job = JOB_1.model_copy(update={"survey": rows})
    planned = where_to_set(job, STRING_1).planned
    tilts = {
        one.body.name: math.degrees(one.inclination_rad[1]) for one in planned.candidate.bodies
    }
    # the foot of the motor is 33.4 m below the Y-tool top, at 1740.3 m, and 0.9 m of tolerance
    assert tilts["pump-3"] == pytest.approx(5)
    assert tilts["protector"] == pytest.approx(5)
    assert 5 < tilts["motor"] < 60
    assert math.degrees(planned.candidate.inclination_rad[1]) > tilts["motor"]


def test_bending_stress_is_that_of_the_diameter_of_each_piece():
    """E kappa OD / 2 with 30 million psi: 5.40 in at 0.35 deg/100 ft gives 412 psi."""
    planned = where_to_set(JOB_1, STRING_1).planned
    motor = next(one for one in planned.candidate.bodies if one.body.name == "motor")
    kappa = motor.dogleg_rad_m * FT / 12
    assert motor.stress_pa / 6894.757 == pytest.approx(30.02e6 * kappa * 5.40 / 2, rel=1e-3)
    limit = q(0.5 * motor.stress_pa)
    found = where_to_set(with_piece("motor", bending_stress_pa=limit), STRING_1)
    assert "bending stress of motor" in found.planned.refusals("SI")[0]


def test_a_joint_off():
    """0.5 deg/30 m begins 8 m below the assembly: out of it, but within a joint of 12 m."""
    foot = 5600 * FT + where_to_set(JOB_1, STRING_1).straight.length_m
    rows = survey((0, 0, 0), (foot + 8, 0, 0), (foot + 38, 2, 0), (2400, 2, 0))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    assert per_100_ft(found.planned.dogleg_rad_m) == pytest.approx(0.3)
    assert per_100_ft(found.planned.slide_rad_m) == pytest.approx(0.3 + 2 * 30.48 / 30)
    assert not found.planned.slides and not found.planned.is_refused
    assert found.reason(found.planned).startswith("a joint off: 2.33°/100 ft")
    assert found.higher.slides and found.lower.is_refused
    assert found.nearby[0].top_md_m < found.planned.top_md_m


def test_no_tortuosity_nothing_added():
    found = where_to_set(
        changed(part="survey_head", tortuosity_rad_m=Quantity.not_measured()), STRING_1
    )
    assert per_100_ft(found.planned.dogleg_rad_m) == pytest.approx(0.05, abs=0.005)
    assert any("no tortuosity stated" in one for one in found.assumptions)


def test_what_rounding_may_make_is_told():
    """0.1 degree digits over 30 m at 48.2 degrees: 2 (0.05 + 0.05 sin 48.2) = 0.17 degrees.

    Over the 400 ft of Quernstone it is a hundredth.
    """
    words = "digits of the survey alone may make 0.17°/30 m in the sharpest interval (30.0 m)"
    assert words in where_to_set(JOB_2, STRING_2).assumptions
    assert not any("digits" in one for one in where_to_set(JOB_1, STRING_1).assumptions)


def test_the_way_down_is_judged_for_each_piece():
    """3.07 deg/100 ft from 4,300 to 4,330 ft and 0.3 of allowance for all of them."""
    whole, *pieces = where_to_set(JOB_1, STRING_1).passed
    assert whole.piece == ""
    assert per_100_ft(whole.limit.value) == pytest.approx(6)
    assert [one.piece for one in pieces] == [one.id for one in STRING_1.side("esp")]
    for one in (whole, *pieces):
        assert per_100_ft(one.dogleg_rad_m) == pytest.approx(3.37, abs=0.005)
        assert one.interval_md_m == pytest.approx((4300 * FT, 4330 * FT))
    assert whole.foot_md_m > max(one.foot_md_m for one in pieces)


def test_a_bend_that_only_the_lower_pieces_pass():
    """2 degrees in 30 m, 28 m below the Y-tool; the motor ends 33 m below it, pump-1 21 m."""
    top = 5600 * FT
    rows = survey((0, 0, 0), (top + 28, 0, 0), (top + 58, 2, 0), (2400, 2, 0))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    bends = {one.piece: per_100_ft(one.dogleg_rad_m) for one in found.passed}
    bent = 0.3 + 2 * 30.48 / 30
    assert {name for name, bend in bends.items() if bend == pytest.approx(bent)} == {
        *("", "guide", "gauge", "motor")
    }
    assert bends["pump-1"] == pytest.approx(0.3)


# --- contact model -------------------------------------------------------------------------


def test_the_contact_model_is_asked_where_it_matters():
    asked = []

    def confirm(top_md_m):
        asked.append(top_md_m)
        return ContactResult("settled", 0.4, "motor", 900.0, "C3")

    found = where_to_set(JOB_2, STRING_2, confirm)
    joint = found.joint_m
    wanted = [one.top_md_m for one in found.places[:3]]
    wanted += [2150.0, 2150.0 - joint, 2150.0 + joint]
    assert sorted(asked) == pytest.approx(sorted(wanted))
    assert found.planned.contact.moment_ratio == 0.4
    assert found.confirmed
    assert [one.contact is not None for one in found.places].count(True) == 6
    assert all("contact model" not in one for one in (*found.words(), *found.assumptions))


def test_without_the_contact_model_it_says_so():
    found = where_to_set(JOB_2, STRING_2)
    assert found.planned.contact is None
    assert "Not confirmed by the contact model." in found.words()


def test_what_the_contact_model_refuses_or_lacks():
    too_much = where_to_set(JOB_1, STRING_1, lambda _: ContactResult("settled", 1.2, "pump-1 neck"))
    assert "what pump-1 neck may carry" in too_much.reason(too_much.planned)

    def missing(_):
        raise MissingInputError("wall of ESP piece motor")

    found = where_to_set(JOB_1, STRING_1, missing)
    assert found.planned.contact.state == "not checked: needs wall of ESP piece motor"
    assert not found.planned.contact.refuses


# --- surveys and jobs that are hard to use ----------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (((0, 0, 0),), "survey of two stations"),
        (((0, 0, 0), (300, 90, 0), (330, 90, 180), (2400, 90, 0)), "survey.csv, row 4, inclin"),
        (
            ((0, 0, 0), (300, 90, 0), (250, 90, 180)),
            "survey.csv, row 4, md: 820.21 ft must be deeper than 984.25 ft",
        ),
        (((0, 0, 0), (20, 1, 0)), "needs a survey down to 5,855.1 ft; it ends at 65.6 ft"),
    ],
)
def test_surveys_that_cannot_be_used(rows, words):
    job = JOB_1.model_copy(update={"survey": survey(*rows)})
    with pytest.raises((InputError, MissingInputError)) as fault:
        where_to_set(job, STRING_1)
    assert words in str(fault.value)


def test_depths_that_are_not_in_the_hole():
    with pytest.raises(MissingInputError, match=r"down to 7,801.0 ft; it ends at 7,620.0 ft"):
        where_to_set(changed(ytool_top_md_m=q(2300.0)), STRING_1)
    with pytest.raises(InputError, match=r"the string lies from -35.8 ft") as fault:
        where_to_set(changed(ytool_top_md_m=q(-10.0)), STRING_1)
    assert (fault.value.where.file, fault.value.where.field) == ("job.toml", "setting.ytool_top_md")


@pytest.mark.parametrize(
    ("part", "field", "words"),
    [
        ("setting", "tolerance_m", "setting.tolerance: -1 is below 0"),
        ("survey_head", "tortuosity_rad_m", "survey.tortuosity: -1 is below 0"),
        ("rules", "max_dogleg_set_rad_m", "max dogleg set of the rules is below 0"),
    ],
)
def test_negative_figures(part, field, words):
    with pytest.raises(InputError, match=words):
        where_to_set(read_again(changed(part=part, **{field: q(-1.0)})), STRING_1)


def test_two_stations_and_a_vertical_hole():
    for rows in (survey((0, 0, 0), (2400, 20, 40)), survey((0, 0, 0), (2400, 0, 77))):
        found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
        assert found.rank(found.planned) == 1
    # the azimuth of a vertical station has no meaning: only the allowance is left
    assert per_100_ft(found.planned.dogleg_rad_m) == pytest.approx(0.3)


def test_nothing_is_within_the_limits_of_a_horizontal_hole():
    rows = survey((0, 0, 0), (300, 90, 0), (2400, 90, 0))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    assert found.unrefused == 0
    assert found.windows() == ()
    assert "inclination of motor 90.0°, limit 60.0° (invented)" in " ".join(found.words())
    assert "No depth of this well keeps every limit that was given." in found.words()


def test_a_survey_that_begins_in_the_hole_leaves_the_way_above_open():
    rows = survey(*((md, 0, 0) for md in range(500, 2500, 100)))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    assert found.needs("passing") == ("the survey above 1,640.4 ft",)


def test_stations_too_far_apart_leave_the_hole_between_them_open():
    """Above the string only the way down is open; beside it, or a joint off, the place too."""
    rows = survey(*((md, 0, 0) for md in (*range(0, 600, 100), *range(900, 2500, 100))))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    need = "the survey's stations between 1,640.4 ft and 2,952.8 ft"
    assert found.needs("passing") == (need,)
    assert found.needs("setting", "hole") == ()
    assert any(need in one for one in found.assumptions)


@pytest.mark.parametrize(("end_ft", "is_open"), [(5896, False), (5894, True)])
def test_the_hole_a_joint_deeper_counts(end_ft, is_open):
    """The string ends at 5,855.1 ft, tolerance included; a joint is 39.6 ft."""
    upper = ((md, 0, 0) for md in range(0, 1750, 100))
    rows = survey(*upper, (end_ft * FT, 0, 0), (2400, 0, 0))
    found = where_to_set(JOB_1.model_copy(update={"survey": rows}), STRING_1)
    assert bool(found.needs("hole")) == is_open


def test_another_datum_of_the_setting_depth():
    """The zero of the wireline crew lies 21.8 ft (26.0 less 4.2) below that of the job."""
    found = where_to_set(changed(datum="wireline zero"), STRING_1)
    assert found.planned.top_md_m / FT == pytest.approx(5600 + 21.8)
    with pytest.raises(InputError, match="not in the table of datums"):
        where_to_set(changed(datum="nowhere"), STRING_1)


def test_without_a_joint_only_the_planned_depth_is_looked_at():
    found = where_to_set(JOB_1.model_copy(update={"upper": ()}), STRING_1)
    assert found.places == (found.planned,)
    assert found.higher is None and found.lower is None
    assert any("joint of the tubing" in one for one in found.not_checked)


def test_very_short_joints_are_not_cut_off_silently():
    rows = tuple(one.model_copy(update={"joint_m": q(0.01)}) for one in JOB_1.upper)
    found = where_to_set(JOB_1.model_copy(update={"upper": rows}), STRING_1)
    assert len(found.places) <= 4003
    assert any("not every half joint" in one for one in found.assumptions)
    usual = where_to_set(JOB_1, STRING_1)
    assert min(one.top_md_m for one in found.places) <= min(one.top_md_m for one in usual.places)


def test_without_casing_or_perforations():
    found = where_to_set(JOB_1.model_copy(update={"casing": (), "perforations": ()}), STRING_1)
    assert found.needs("well") == ("the table of casing",)
    assert any("no perforations stated" in one for one in found.assumptions)
    assert max(one.candidate.bottom_md_m for one in found.places) > 2300


def test_below_the_last_shoe_nothing_is_known():
    """Of Skerrow's perforations taken away, the hole below 2,720 m has no stated bore."""
    rows = survey((0, 0, 0), (4000, 10, 0))
    job = JOB_2.model_copy(update={"survey": rows, "perforations": ()})
    found = where_to_set(job, STRING_2)
    deep = max(found.places, key=lambda one: one.top_md_m)
    assert deep.top_md_m > 3900
    assert deep.unknown and not deep.is_refused
    assert found.reason(deep).startswith("not checked: needs the bore of the hole from 2720.0 m")


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0.0, 40.0), min_size=3, max_size=9), st.floats(0.5, 40.0))
def test_any_hole_any_joint(inclinations, joint_m):
    """Planned depth always there, ranks are a permutation, neighbours a joint off."""
    step = 2400 / (len(inclinations) - 1)
    rows = survey(*((n * step, inc, 10 * n) for n, inc in enumerate(inclinations)))
    upper = tuple(one.model_copy(update={"joint_m": q(joint_m)}) for one in JOB_1.upper)
    job = JOB_1.model_copy(update={"survey": rows, "upper": upper})
    found = where_to_set(job, STRING_1)
    assert found.planned in found.places
    assert [found.rank(one) for one in found.places[:20]] == list(range(1, len(found.places) + 1))[
        :20
    ]
    for way, one in zip((-1, 1), (found.higher, found.lower), strict=True):
        assert one is None or one.from_planned_m == pytest.approx(way * joint_m, abs=1e-6)
    assert all(one.dogleg_rad_m >= found.allowance_rad_m for one in found.places)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.floats(0.0, 40.0), min_size=3, max_size=9),
    st.floats(0.05, 3.0),
    st.floats(300.0, 2300.0),
)
def test_advice_is_near_unless_the_plan_cannot_stay(inclinations, limit_deg, level_m):
    step = 2400 / (len(inclinations) - 1)
    rows = survey(*((n * step, inc, 0) for n, inc in enumerate(inclinations)))
    limit = q(math.radians(limit_deg) / 30)
    job = changed(
        changed(part="rules", max_dogleg_set_rad_m=limit), "fluids", fluid_level_md_m=q(level_m)
    )
    found = where_to_set(job.model_copy(update={"survey": rows}), STRING_1)
    good = [one for one in found.places if one.may_be_advised]
    advised = found.advised
    if advised is None:
        near = [one for one in good if abs(one.from_planned_m) <= 91.44 and not one.is_planned]
        assert not good or found.planned.may_be_advised
        assert all(one.rank_key > found.planned.rank_key for one in near)
        return
    assert advised in good and not advised.is_planned
    if abs(advised.from_planned_m) > found.joint_m + found.tolerance_m + 1e-6:
        assert found.is_far(advised)
        assert found.planned.may_be_advised or not any(not found.is_far(one) for one in good)
    if abs(advised.from_planned_m) > 91.44 + 1e-6:
        assert not any(abs(one.from_planned_m) <= 91.44 for one in good)
