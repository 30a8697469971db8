"""The sheet of where to set: it can be read, and what it shows is what was ranked."""

import math

import pytest
from tests.drawing.faults import faults
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.drawing.scene import Circle, Outline, Rect
from abreast.drawing.setting_chart import setting_chart
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.setting_places import ContactResult
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Opening, Quantity, SurveyStation
from abreast.spaceout.assemble import assemble

CHOICES = {"quernstone_14": CHOICE_1, "skerrow_a09": CHOICE_2}


def planned(name, **changes):
    job = read_job(example_path(name)).require_job()
    string = assemble(job, CHOICES[name])
    return job.model_copy(update=changes), string


def drawn(name, confirm=None, paper="A4", **changes):
    job, string = planned(name, **changes)
    scan = where_to_set(job, string, confirm)
    (scene,) = setting_chart(job, string, scan, paper=paper)
    return scan, scene


def words(scene):
    return " | ".join(one.text for one in scene.texts())


def settled(_):
    return ContactResult("settled", 0.4, "motor", 900.0)


def horizontal():
    rows = ((0, 0), (300, 90), (2700, 90))
    return tuple(
        SurveyStation(md_m=md, inclination_rad=math.radians(i), azimuth_rad=0.0) for md, i in rows
    )


def narrow(count):
    return tuple(
        Opening(
            name=f"a narrow place of a rather long name, number {n}, of its kind the last",
            md_m=Quantity.of(100.0 * n + 400, "invented"),
            bore_m=Quantity.of(0.1, "invented"),
            drift_m=Quantity.of(0.09, "invented"),
        )
        for n in range(count)
    )


CASES = {
    "as planned": {},
    "contact model": {"confirm": settled},
    "large paper": {"paper": "A3"},
    "horizontal": {"survey": horizontal()},
    "narrow places": {"openings": narrow(9)},
    "no completion": {"upper": ()},
    "no casing, no zones": {"casing": (), "perforations": ()},
}


@pytest.mark.parametrize("name", list(CHOICES))
@pytest.mark.parametrize("case", list(CASES))
def test_nothing_overlaps_or_leaves_the_paper(name, case):
    _, scene = drawn(name, **CASES[case])
    assert faults(scene) == []


@pytest.mark.parametrize("name", list(CHOICES))
def test_the_planned_depth_and_the_ten_best_are_on_it(name):
    scan, scene = drawn(name)
    text = words(scene)
    assert f"planned {scan.length(scan.planned.top_md_m)}" in text
    shown = [one for one in scene.texts() if one.text == scan.reason(scan.places[9])]
    assert len(shown) == 1
    for one in scan.words():
        assert one in text
    assert "not asked" in text
    assert f"setting limit {scan.dogleg(scan.limits.setting_rad_m.value)}" in text


def test_windows_are_drawn_where_they_are():
    scan, scene = drawn("quernstone_14")
    places = [one.top_md_m for one in scan.places]
    boxes = [
        one
        for one in scene.items
        if isinstance(one, Rect) and one.fill == "grey" and one.height_mm == pytest.approx(2.6)
    ]
    string = [one for one in boxes if one.line_mm == pytest.approx(0.2)]
    assert len(string) == 1
    boxes = [one for one in boxes if one not in string]
    assert len(boxes) == len(scan.windows()) == 3
    first = min(places)
    last = 7420 * 0.3048  # the foot of the perforations
    for box, (low, high) in zip(boxes, scan.windows(), strict=True):
        half = scan.step_m / 2
        left, right = ((md - first) / (last - first) * 168 + 24 for md in (low - half, high + half))
        assert box.x_mm == pytest.approx(left)
        assert box.x_mm + box.width_mm == pytest.approx(right)


def test_the_band_goes_from_the_planned_to_a_joint_off():
    scan, scene = drawn("skerrow_a09")
    band = next(one for one in scene.items if isinstance(one, Outline))
    count = len(scan.places)
    assert len(band.points_mm) == 2 * count
    lower, upper = band.points_mm[:count], band.points_mm[: count - 1 : -1]
    assert all(b[1] <= a[1] + 1e-9 for a, b in zip(lower, upper, strict=True))
    # up the page by the dogleg: from the foot of the chart at 0 to its top
    by_depth = sorted(scan.places, key=lambda one: one.top_md_m)
    per_mm = (91 - lower[0][1]) / by_depth[0].dogleg_rad_m
    for point, place in zip(lower, by_depth, strict=True):
        assert 91 - point[1] == pytest.approx(per_mm * place.dogleg_rad_m, rel=1e-6)


def test_the_contact_model_is_ringed_and_a_refusal_black():
    scan, scene = drawn("skerrow_a09", settled)
    rings = [one for one in scene.items if isinstance(one, Circle)]
    assert len(rings) == sum(one.contact is not None for one in scan.places) == 6
    assert {one.fill for one in rings} == {"white"}
    assert "40 %" in words(scene)
    _, scene = drawn("skerrow_a09", lambda _: ContactResult("settled", 1.2, "motor"))
    assert {one.fill for one in scene.items if isinstance(one, Circle)} == {"black"}
    _, scene = drawn("skerrow_a09", lambda _: ContactResult("not checked: needs a wall"))
    assert "not known" in words(scene)


def test_what_is_not_checked_is_told():
    job, string = planned("skerrow_a09")
    rules = job.rules.model_copy(update={"max_dogleg_set_rad_m": Quantity.not_measured()})
    job = type(job).model_validate(job.model_copy(update={"rules": rules}).model_dump())
    (scene,) = setting_chart(job, string, where_to_set(job, string))
    assert "not checked: needs max dogleg set of the rules" in words(scene)
