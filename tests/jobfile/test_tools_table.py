"""The table of tool strings: read with the jobs, faults with their row, written back."""

from __future__ import annotations

import shutil

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job, write_folder

HEAD = "string,part,length [ft],od [in],ei [lbf*in2],side_load [lbf],run_to,knuckle,note\n"


def read(tmp_path, rows):
    folder = tmp_path / "job"
    shutil.copytree(example_path("quernstone_14"), folder)
    (folder / "tools.csv").write_text(HEAD + rows, encoding="utf-8")
    return read_job(folder)


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
def test_the_tools_of_the_jobs_stay_as_they_are_written(name, tmp_path):
    job = read_job(example_path(name)).require_job()
    assert len({one.string for one in job.tools}) == 2
    write_folder(job, tmp_path / "again")
    assert read_job(tmp_path / "again").require_job().tools == job.tools


def test_a_row_with_its_units(tmp_path):
    (one,) = read(tmp_path, "run,bar,5.0,1.50,9500000,90,plug nipple,yes,\n").require_job().tools
    assert one.length_m.si == pytest.approx(1.524)
    assert one.od_m.si == pytest.approx(0.0381)
    assert one.ei_nm2.si == pytest.approx(9.5e6 * 4.4482216152605 * 0.0254**2)
    assert one.side_load_n.si == pytest.approx(400.34, abs=0.01)
    assert (one.run_to, one.knuckle) == ("plug nipple", True)


@pytest.mark.parametrize(
    ("rows", "row", "words"),
    [
        ("run,bar,5.0,0,,,,no,\n", 2, "od must be above 0"),
        ("run,bar,5.0,1.5,,,,no,\nrun,jar,-1,1.5,,,,no,\n", 3, "length must be above 0"),
        ("run,bar,5.0,1.5,,,,perhaps,\n", 2, "neither yes nor no"),
        ("run,bar,,1.5,,,,no,\n", 2, "is blank"),
        (",bar,5.0,1.5,,,,no,\n", 2, "is blank"),
    ],
)
def test_a_fault_is_told_with_its_row(rows, row, words, tmp_path):
    errors = [one for one in read(tmp_path, rows).issues if one.severity == "error"]
    assert errors
    assert all(one.where.file == "tools.csv" and one.where.row == row for one in errors)
    assert any(words in one.message for one in errors), [one.message for one in errors]
