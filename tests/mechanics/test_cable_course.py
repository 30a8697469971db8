"""The course of the cable: its start, its angle, and what is asked for."""

from __future__ import annotations

import math

import pytest
from tests.checks.twins import FT, IN, choice_1, job_1, with_row, with_section

from abreast.mechanics.cable import cable_course
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble

DEG = math.pi / 180


def course(job):
    return cable_course(job, assemble(job, choice_1()), 0.02)


def test_sizes_of_the_cable():
    cable = course(job_1()).at(60 * FT)
    assert cable.thickness_m / IN == pytest.approx(0.60)  # 0.50 and a guard of 0.10
    assert cable.width_m / IN == pytest.approx(1.30)
    assert cable.corner_radius_m / IN == pytest.approx(0.20)


def test_no_guard_is_no_thickness_but_an_unstated_one_is_asked_for():
    without = with_section(job_1(), "mle", guard_m=Quantity.not_applicable("no guard"))
    assert course(without).at(60 * FT).thickness_m / IN == pytest.approx(0.50)
    blank = with_section(job_1(), "mle", guard_m=None)
    assert course(blank).needs == ("guard of MLE motor lead extension",)
    assert course(blank).spans == ()


def test_corners_nobody_states_are_sharp_and_asked_for():
    blank = with_section(job_1(), "mle", corner_radius_m=None)
    assert course(blank).at(60 * FT).corner_radius_m == 0.0
    assert course(blank).corner_needs == ("corner radius of MLE motor lead extension",)
    stated = with_section(job_1(), "mle", corner_radius_m=Quantity.not_applicable("sharp"))
    assert course(stated).corner_needs == ()


def ports_with(job, **fields):
    return with_row(job, "ports", "pothead", **fields)


@pytest.mark.parametrize(
    ("mle_deg", "port_deg", "angle_deg", "asks"),
    [
        (85, 85, 85, ""),
        (85, None, 85, ""),
        (None, 85, 85, ""),
        (-85, 275, -85, ""),  # the same on the other side
        (85, 95, None, "one angle of the pothead: MLE and table of ports say 85° and 95°"),
        (None, None, None, "pothead angle of MLE motor lead extension"),
    ],
)
def test_one_angle_of_the_pothead(mle_deg, port_deg, angle_deg, asks):
    job = with_section(job_1(), "mle", pothead_angle_rad=None if mle_deg is None else mle_deg * DEG)
    job = ports_with(job, angle_rad=None if port_deg is None else port_deg * DEG)
    found = course(job)
    assert found.angle_rad == (None if angle_deg is None else pytest.approx(angle_deg * DEG))
    assert found.angle_needs == ((asks,) if asks else ())


def test_without_a_pothead_the_whole_esp_is_asked_about():
    job = job_1()
    job = job.model_copy(update={"ports": tuple(p for p in job.ports if p.kind != "pothead")})
    found = course(job)
    assert found.needs == ("a port of kind pothead",)
    assert found.bottom_m == 0.0
    [outline] = found.outlines()
    assert outline.needs == "a port of kind pothead"


def test_without_an_mle_it_is_asked_for():
    found = course(job_1().model_copy(update={"mle": None}))
    assert found.needs == ("the section of the MLE",)
    assert next(found.outlines()).needs.startswith("the section of the MLE")
