"""Cross-sections: to the printed scale, placed and turned as the fit says, with its clearances."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.checks.twins import IN, choice_1, choice_2, job_1, job_2, with_row, with_section
from tests.drawing.faults import faults

from abreast.drawing import PAPERS, Circle, Outline, Paper, Scene, section_sheets
from abreast.model import Job
from abreast.spaceout.assemble import assemble


def sheet_1(job: Job | None = None, paper: Paper = "A4") -> Scene:
    job = job or job_1()
    (scene,) = section_sheets(job, assemble(job, choice_1()), paper=paper)
    return scene


def sheet_2(job: Job | None = None, paper: Paper = "A4") -> Scene:
    job = job or job_2()
    (scene,) = section_sheets(job, assemble(job, choice_2()), paper=paper)
    return scene


def scale_of(scene: Scene) -> float:
    found = next(
        re.match(r"Scale 1:([0-9.]+) ", t.text) for t in scene.texts() if "Scale" in t.text
    )
    assert found is not None
    return float(found[1])


def circles(scene: Scene, part: str) -> list[Circle]:
    return [one for one in scene.items if isinstance(one, Circle) and one.part == part]


@pytest.mark.parametrize("sheet", [sheet_1, sheet_2])
@pytest.mark.parametrize("paper", PAPERS)
def test_the_invented_jobs_have_no_fault(sheet: object, paper: Paper) -> None:
    scene = sheet(None, paper)  # type: ignore[operator]
    assert faults(scene) == []
    headings = [t for t in scene.texts() if re.match(r"[1-6]: ", t.text)]
    assert len(headings) == 6


def test_clearances_are_those_reckoned_by_hand() -> None:
    """(D1 + D2)/2 + 4.25 in against the drift of 8.525 in; blocks and clamps by their diameter.

    Motor (5.40 + 2.875)/2 + 4.25 = 8.3875; protector and pumps with the 3.02 in
    connection (5.13 + 3.02)/2 + 4.25 = 8.325; Y-tool 8.45, base 8.44, clamp 8.42.
    """
    words = [one.text for one in sheet_1().texts() if one.text.startswith("clearance ")]
    assert words[:3] == ["clearance +0.075 in", "clearance +0.085 in", "clearance +0.105 in"]
    assert {"clearance +0.137 in", "clearance +0.200 in"} >= set(words[4:])
    assert [float(one.split()[1]) for one in words] == sorted(float(w.split()[1]) for w in words)


def test_discs_are_to_scale_and_as_far_apart_as_the_axes() -> None:
    scene, job = sheet_1(), job_1()
    mm_per_m = 1000 / scale_of(scene)
    motor = next(one for one in circles(scene, "motor") if one.radius_mm > 2.5 * IN * mm_per_m)
    beside = min(
        circles(scene, "B05"),
        key=lambda one: abs(one.y_mm - motor.y_mm) + abs(one.x_mm - motor.x_mm),
    )
    assert 2 * motor.radius_mm == pytest.approx(5.40 * IN * mm_per_m, abs=1e-6)
    assert 2 * beside.radius_mm == pytest.approx(2.875 * IN * mm_per_m, abs=1e-6)
    spacing_m = job.setting.axis_spacing_m.si
    assert beside.x_mm - motor.x_mm == pytest.approx(spacing_m * mm_per_m, abs=1e-6)
    assert beside.y_mm == pytest.approx(motor.y_mm, abs=1e-9)


def test_bore_and_drift_lie_round_everything_that_fits() -> None:
    scene = sheet_1()
    mm_per_m = 1000 / scale_of(scene)
    limits = [one for one in scene.on("limit") if isinstance(one, Circle)]
    bores = [one for one in limits if one.line_mm == pytest.approx(0.6)]
    drifts = [one for one in limits if one.dash_mm]
    assert {round(2 * one.radius_mm / mm_per_m / IN, 3) for one in bores} == {8.681}
    assert {round(2 * one.radius_mm / mm_per_m / IN, 3) for one in drifts} == {8.525}
    discs = [one for one in scene.items if isinstance(one, Circle) and one.part]
    assert len(discs) >= 14
    for disc in discs:
        drift = min(drifts, key=lambda d: math.hypot(d.x_mm - disc.x_mm, d.y_mm - disc.y_mm))
        apart = math.hypot(drift.x_mm - disc.x_mm, drift.y_mm - disc.y_mm)
        assert apart + disc.radius_mm <= drift.radius_mm + 1e-6


@pytest.mark.parametrize("degrees", [85.0, 40.0, -85.0])
def test_the_cable_lies_clockwise_of_the_bypass_line_looking_down(degrees: float) -> None:
    """On paper 0° points right and +90° down the page, which is clockwise."""
    job = with_section(job_1(), "mle", pothead_angle_rad=math.radians(degrees))
    job = with_row(job, "ports", "pothead", angle_rad=math.radians(degrees))
    scene = sheet_1(job)
    cables = [one for one in scene.items if isinstance(one, Outline) and one.part == "MLE"]
    assert cables
    for cable in cables:
        left, top, right, bottom = cable.box_mm
        x, y = (left + right) / 2, (top + bottom) / 2
        esp = min(
            (c for c in scene.on("esp") if isinstance(c, Circle)),
            key=lambda c: math.hypot(c.x_mm - x, c.y_mm - y),
        )
        turned = math.degrees(math.atan2(y - esp.y_mm, x - esp.x_mm))
        assert turned == pytest.approx(degrees, abs=0.5)


def test_a_part_over_drift_is_told_with_its_sign() -> None:
    """A motor of 95.25 mm: (95.25 + 60.33)/2 + 76.65 = 154.44, 0.54 mm over the drift of 153.90."""
    job = with_row(job_2(), "esp", "motor", body_od_m=0.09525, max_od_m=0.09525)
    words = [one.text for one in sheet_2(job).texts()]
    assert next(one for one in words if one.startswith("clearance ")) == "clearance -0.5 mm"
    assert "TOO LARGE for the drift" in words


def test_an_unknown_drift_is_never_a_clearance() -> None:
    job = job_2()
    rows = tuple(
        one.model_copy(update={"drift_m": one.drift_m.not_measured().labelled(one.drift_m.label)})
        for one in job.casing
    )
    words = [
        one.text
        for one in sheet_2(job.model_copy(update={"casing": rows})).texts()
        if one.text.startswith("clearance")
    ]
    assert words
    assert all("NOT KNOWN" in text for text in words)


def test_a_missing_diameter_is_told_in_its_section() -> None:
    job = with_section(job_2(), "mle", thickness_m=None)
    words = " ".join(one.text for one in sheet_2(job).texts())
    assert "NOT DRAWN: needs" in words


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    first=st.booleans(),
    spacing=st.floats(0.5, 1.6),
    motor=st.floats(0.3, 1.7),
    pipe=st.floats(0.2, 2.0),
    degrees=st.floats(-180, 180),
)
def test_no_section_sheet_has_a_fault(
    first: bool, spacing: float, motor: float, pipe: float, degrees: float
) -> None:
    job, choice = (job_1(), choice_1()) if first else (job_2(), choice_2())
    angle = math.radians(degrees)
    job = with_section(job, "setting", axis_spacing_m=job.setting.axis_spacing_m.si * spacing)
    od_m = next(one for one in job.esp if one.id == "motor").max_od_m.si * motor
    job = with_row(job, "esp", "motor", body_od_m=od_m, max_od_m=od_m)
    body, joint = job.pipe.body_od_m.si * pipe, (job.pipe.joint_od_m.known or 0.06) * pipe
    job = with_section(job, "pipe", body_od_m=body, joint_od_m=joint)
    job = with_section(job, "mle", pothead_angle_rad=angle)
    job = with_row(job, "ports", "pothead", angle_rad=angle)
    for scene in section_sheets(job, assemble(job, choice)):
        assert faults(scene) == []
