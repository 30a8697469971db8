"""Messages carry the units of the job, or both where code knows no job."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.errors import AbreastError
from abreast.examples import example_path
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.jobfile import read_job
from abreast.mechanics.bypass_way import bypass_way
from abreast.mechanics.hole_curve import hole_curve
from abreast.mechanics.hook_forecast import forecast_run
from abreast.mechanics.rigid_passage import rigid_passage
from abreast.mechanics.run_string import survey_positions
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble
from abreast.units import in_both

FT = 0.3048  # exactly, NIST SP 811
METRES = re.compile(r"\d (m|mm|kN|N·m|rad/m|kg/m3)\b")
FEET = re.compile(r"\d (ft|in|lbf)\b")
JOBS = {
    "oilfield": (read_job(example_path("quernstone_14")).require_job(), CHOICE_1),
    "SI": (read_job(example_path("skerrow_a09")).require_job(), CHOICE_2),
}


@given(st.floats(-1e5, 1e5), st.integers(1, 3))
def test_both_are_the_same_length(length_m: float, digits: int) -> None:
    found = re.fullmatch(r"(-?[\d.]+) m \((-?[\d.,]+) ft\)", in_both(length_m, digits))
    assert found is not None
    metres, feet = (float(one.replace(",", "")) for one in found.groups())
    half = 0.5 * 10**-digits + 1e-9
    assert abs(metres - length_m) <= half
    assert abs(feet - length_m / FT) <= half


def test_what_is_no_number_is_told_all_the_same() -> None:
    assert in_both(math.nan) == "nan m"


def test_beyond_the_survey_both_are_told() -> None:
    hole = positions([Station(0, 0, 0), Station(304.8, 0.1, 0)])
    with pytest.raises(AbreastError, match=r"from 0\.0 m \(0\.0 ft\) to 304\.8 m \(1,000\.0 ft\)"):
        path_frame(hole).at(np.array([400.0]))


def faults(units: str) -> list[str]:
    """What is asked back of a job whose survey is cut off, upside down, or begins in the hole."""
    job, choice = JOBS[units]
    string = assemble(job, choice)
    short = job.model_copy(update={"survey": job.survey[:8]})
    late = job.model_copy(update={"survey": job.survey[2:]})
    turned = job.model_copy(update={"survey": (*job.survey[:3], job.survey[1])})
    bare = [one.model_copy(update={"length_m": Quantity.of(0.5, "invented")}) for one in job.upper]
    low = job.model_copy(update={"upper": tuple(bare[:1])})
    asked = (
        lambda: hole_curve(short, 1500.0, 1600.0),
        lambda: rigid_passage(short, string),
        lambda: forecast_run(short, string),
        lambda: forecast_run(late, string),
        lambda: survey_positions(turned),
        lambda: bypass_way(low, string, 30.0),
    )
    told = []
    for ask in asked:
        with pytest.raises(AbreastError) as fault:
            ask()
        told.append(str(fault.value))
    return told


def test_a_job_is_answered_in_its_units() -> None:
    """A message may have both units; it never has those of the other system alone."""
    for one in faults("oilfield"):
        assert FEET.search(one), one
        assert not METRES.search(re.sub(r"[\d.]+ m \(", "", one)), one
    for one in faults("SI"):
        assert METRES.search(one), one
        assert not FEET.search(re.sub(r"\([\d.,]+ ft\)", "", one)), one
