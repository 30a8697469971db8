"""Surveys that do not see the hole: stations too far apart, and an end above the string.

The distance, 304.8 m (1,000 ft), is common practice, no source.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobfile.folders import files_1, put

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.jobfile.survey_gaps import LONG_M, gaps, gaps_needed
from abreast.jobfile.survey_reach import planned_foot_md_m

FT = 0.3048
DEEP = [*range(0, 6001, 300)]
"""Depths of a survey that is near enough everywhere, and reaches below the string [ft]."""


def issues(tmp_path, stations, unit="ft", corrections=()):
    head = f"md [{unit}],inclination [deg],azimuth [deg]"
    lines = [head, *(",".join(map(str, one)) for one in stations)]
    files = files_1() | {"survey.csv": "\n".join(lines) + "\n"}
    if corrections:
        head = "file,row,field,was,now,who,when,why"
        files["corrections.csv"] = "\n".join((head, *corrections)) + "\n"
    result = read_job(put(tmp_path / "job", files))
    assert not result.errors
    return [one for one in result.issues if one.where.file == "survey.csv"], result.job


def told(found):
    return [(one.severity, one.code, one.where.row, one.where.field) for one in found]


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
def test_the_example_jobs_are_surveyed_closely_enough(name):
    job = read_job(example_path(name)).require_job()
    assert not list(gaps(one.md_m.si for one in job.survey))
    assert planned_foot_md_m(job) < job.survey[-1].md_m.si


def test_two_stations_are_no_survey(tmp_path):
    found, job = issues(tmp_path, [(0, 0, 0), (7620, 0, 0)])
    assert told(found) == [("suspicion", "stations-apart", 3, "md")]
    assert "no station between 0.0 ft and 7,620.0 ft: over more than 1000 ft" in found[0].message
    assert [one.field for one in job.suspicions if not one.piece] == ["md"]


def test_several_are_one_question(tmp_path):
    found, _ = issues(tmp_path, [(md, 0, 0) for md in range(0, 12001, 1200)])
    assert told(found) == [("suspicion", "stations-apart", 1, "md")]
    assert "between 0.0 ft and 1,200.0 ft, and none in 9 more intervals" in found[0].message


@pytest.mark.parametrize(("gap_ft", "codes"), [(1000, []), (1001, ["stations-apart"])])
def test_1000_ft_is_the_edge(tmp_path, gap_ft, codes):
    depths = [md for md in DEEP if md <= 3000] + [md + gap_ft - 300 for md in DEEP if md > 3000]
    found, _ = issues(tmp_path, [(md, 0, 0) for md in depths])
    assert [one.code for one in found] == codes


def test_accepted_the_job_can_be_used(tmp_path):
    row = "survey.csv,3,md,7620,7620,A. Pell,2025-03-06,all there is"
    found, job = issues(tmp_path, [(0, 0, 0), (7620, 0, 0)], corrections=[row])
    assert found == []
    assert all(one.piece for one in job.suspicions)


def test_a_survey_that_ends_above_the_string(tmp_path):
    """Quernstone 14: Y-tool at 5,600 ft, 252.07 ft of string, 3 ft of tolerance."""
    found, _ = issues(tmp_path, [(md, 1, 30) for md in DEEP if md <= 4200])
    assert told(found) == [("suspicion", "survey-short", 16, "md")]
    assert found[0].message == (
        "the survey ends at 4,200.00 ft, but the planned string reaches down to 5,855.07 ft"
        " (workover RKB); the last 1,655.07 ft of its way are not surveyed"
    )


@pytest.mark.parametrize(("end_ft", "codes"), [(5855.1, []), (5855.0, ["survey-short"])])
def test_the_tolerance_of_the_depth_counts(tmp_path, end_ft, codes):
    rows = [(md, 1, 30) for md in (*[d for d in DEEP if d < 5800], end_ft)]
    found, _ = issues(tmp_path, rows)
    assert [one.code for one in found] == codes


def test_angles_in_the_wrong_unit_are_one_question(tmp_path):
    """Degrees in a column of radians: not one line for each cell."""
    lines = ["md [ft],inclination [rad],azimuth [deg]", *(f"{md},12.5,30" for md in DEEP)]
    files = files_1() | {"survey.csv": "\n".join(lines) + "\n"}
    found = [one for one in read_job(put(tmp_path / "job", files)).issues if one.code == "angle"]
    assert told(found) == [("suspicion", "angle", 1, "inclination")]
    # 12.5 rad
    assert "21 of 21 are outside 0 to 180°, the farthest 716.2°" in found[0].message


@given(st.lists(st.floats(0.1, 2000), min_size=1, max_size=40))
def test_gaps_are_the_long_steps_and_no_others(steps):
    depths = [0.0]
    for step in steps:
        depths.append(depths[-1] + step)
    found = list(gaps(depths))
    assert all(one.length_m > LONG_M for one in found)
    assert len(found) == sum(b - a > LONG_M + 1e-3 for a, b in pairwise(depths))
    assert bool(gaps_needed(found, "SI")) == bool(found)
