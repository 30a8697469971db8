"""Yield, side load and slip of the parts: read from folder and workbook, kept, open when blank."""

from __future__ import annotations

import csv
import shutil

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job, write_folder, write_workbook

LBF, PSI = 4.4482216152605, 6894.757293168  # pound-force and psi: exact by definition of the pound


@pytest.mark.parametrize("kind", ["folder", "workbook"])
def test_the_limits_of_the_parts_are_read_and_kept(tmp_path, kind):
    """As typed in the tables of job 1, in pounds."""
    job = read_job(example_path("quernstone_14")).require_job()
    if kind == "folder":
        write_folder(job, tmp_path / "again")
        job = read_job(tmp_path / "again").require_job()
    else:
        write_workbook(job, tmp_path / "again.xlsx")
        job = read_job(tmp_path / "again.xlsx").require_job()
    upper = {one.id: one for one in job.upper}
    assert upper["U3"].yield_pa.si == pytest.approx(80000 * PSI)
    assert str(upper["U3"].yield_pa.origin) == "standard: API Spec 5CT"
    assert upper["U2"].side_load_n.si == pytest.approx(5000 * LBF)
    assert upper["U5"].side_load_n.state == "not applicable"
    tail = {one.id: one for one in job.tail}
    assert tail["nipple"].yield_pa.si == pytest.approx(80000 * PSI)
    assert tail["tail guide"].side_load_n.si == pytest.approx(1500 * LBF)
    assert {one.may_slip for one in job.clamps} == {"yes"}
    assert job.clamps[0].side_load_n.si == pytest.approx(2500 * LBF)
    assert next(one for one in job.esp if one.id == "motor").side_load_n.si == pytest.approx(
        4000 * LBF
    )
    assert job.ytool.side_load_n.si == pytest.approx(5000 * LBF)
    assert job.pipe.side_load_n.si == pytest.approx(3000 * LBF)
    assert job.base is not None and job.base.side_load_n.reason == "asked of its maker"
    assert str(job.union.side_load_n.origin) == "invented"
    assert all(one.yield_pa.is_blank and one.side_load_n.is_blank for one in job.rack)


def test_a_job_without_these_columns_is_read_and_states_no_limit(tmp_path):
    folder = tmp_path / "job"
    shutil.copytree(example_path("skerrow_a09"), folder)
    for name in ("esp", "clamps", "upper"):
        path = folder / f"{name}.csv"
        rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
        new = ("side_load", "yield", "may_slip")
        keep = [k for k, one in enumerate(rows[0]) if not one.startswith(new)]
        assert len(keep) < len(rows[0])
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([row[k] for k in keep] for row in rows)
    job = read_job(folder).require_job()
    assert all(one.side_load_n.is_blank and one.yield_pa.is_blank for one in job.upper)
    assert all(one.side_load_n.is_blank for one in (*job.esp, *job.clamps))
    assert {one.may_slip for one in job.clamps} == {"not stated"}


def test_a_word_that_is_no_answer_is_told_with_its_cell(tmp_path):
    folder = tmp_path / "job"
    shutil.copytree(example_path("quernstone_14"), folder)
    path = folder / "clamps.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(",3000,yes,", ",3000,perhaps,", 1), encoding="utf-8")
    (one,) = [one for one in read_job(folder).issues if one.severity == "error"]
    assert (one.where.file, one.where.row, one.where.field) == ("clamps.csv", 2, "may_slip")
    assert "none of yes, no, not stated" in one.message
