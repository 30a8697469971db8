"""The sheet of the well path: doglegs as published, nothing off the paper."""

import dataclasses

import pytest
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.drawing.chart import Axes, Axis
from abreast.drawing.scene import Rect, Text
from abreast.drawing.well_path import well_path
from abreast.errors import MissingInputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.run_string import survey_stations
from abreast.spaceout.assemble import assemble

CHOICES = {"quernstone_14": CHOICE_1, "skerrow_a09": CHOICE_2}


def planned(name):
    job = read_job(example_path(name)).job
    return job, assemble(job, CHOICES[name])


def words(scene):
    return " | ".join(one.text for one in scene.texts())


@pytest.mark.parametrize(
    ("name", "sharpest"),
    [
        ("quernstone_14", "sharpest interval 3.07 at MD 4300 to 4330 ft"),
        ("skerrow_a09", "sharpest interval 2.45 at MD 640 to 700 m"),
    ],
)
def test_the_sharpest_interval_is_named(name, sharpest):
    """3.07 deg/100 ft and 2.45 deg/30 m: the invented wells' own figures, worked apart."""
    job, assembly = planned(name)
    (scene,) = well_path(job, assembly)
    assert sharpest in words(scene)
    bars = [one for one in scene.items if isinstance(one, Rect) and one.fill == "grey"]
    assert len(bars) == len(job.survey) - 1
    for item in scene.items:
        left, top, right, bottom = item.box_mm
        assert left >= -1e-6 and top >= -1e-6
        assert right <= scene.width_mm + 1e-6 and bottom <= scene.height_mm + 1e-6


def test_a_survey_of_one_station_is_asked_for():
    job = read_job(example_path("quernstone_14")).job
    short = job.model_copy(update={"survey": job.survey[:1]})
    with pytest.raises(MissingInputError, match="survey of two stations"):
        survey_stations(short)


def test_axes_put_values_where_their_ticks_are():
    axes = Axes(10, 20, 100, 50, Axis(0, 10, "x"), Axis(5, 0, "y"))
    assert axes.at(0, 5) == (10, 20)
    assert axes.at(10, 0) == (110, 70)
    ticks = [one for one in axes.frame() if isinstance(one, Text) and one.text == "4"]
    assert {round(one.x_mm, 6) for one in ticks if one.anchor == "middle"} == {50.0}
    turned = dataclasses.replace(axes, y=Axis(0, 5, "y"))
    assert turned.at(0, 5) == (10, 70)
