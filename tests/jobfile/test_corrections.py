"""Corrections: applied only where they fit, kept for printing, and able to accept a suspicion."""

import pytest
from tests.jobfile.folders import files_1, files_2, put, rack_2, row_of
from tests.model.jobs import FT

from abreast.jobfile import read_job, write_folder, write_workbook

HEAD = "file,row,field,was,now,who,when,why\n"
Q27 = row_of(rack_2(), "Q27")
Q28 = row_of(rack_2(), "Q28")
SECOND_Q12 = Q27 + 1
BY = "A. Pell,2024-05-01"
FEET = f"rack.csv,{Q27},overall,10.04,10.04 ft,{BY},feet in the metric tally\n"
RENAME = f"rack.csv,{SECOND_Q12},id,Q12,Q12b,{BY},painted anew\n"
TAKE_OUT = f"rack.csv,{Q28},status,usable,laid aside,{BY},EU thread\n"
REASON = f"rack.csv,{Q28},status_reason,,EU thread,{BY},EU thread\n"
ALL = HEAD + FEET + RENAME + TAKE_OUT + REASON


def read(folder, corrections, files=None):
    return read_job(put(folder, (files or files_2()) | {"corrections.csv": corrections}))


def test_the_received_job_2_is_usable_once_corrected(tmp_path):
    result = read(tmp_path, ALL)
    job = result.require_job()
    assert result.issues == ()
    assert job.rack[Q27 - 2].overall_m.si == pytest.approx(10.04 * FT)
    assert job.rack[SECOND_Q12 - 2].id == "Q12b"
    assert [row.now for row in job.corrections] == ["10.04 ft", "Q12b", "laid aside", "EU thread"]
    assert job.corrections[0].was == "10.04 m"


def test_without_corrections_the_job_is_as_received(tmp_path):
    put(tmp_path, files_2() | {"corrections.csv": ALL})
    raw = read_job(tmp_path, apply_corrections=False)
    assert raw.job is None
    assert any("Q12" in str(one) for one in raw.errors)


def test_a_corrected_job_is_written_read_and_written_again_alike(tmp_path):
    job = read(tmp_path / "a", ALL).require_job()
    write_folder(job, tmp_path / "b")
    again = read_job(tmp_path / "b")
    assert again.require_job() == job
    assert again.issues == ()
    write_folder(again.require_job(), tmp_path / "c")
    for path in (tmp_path / "b").iterdir():
        assert path.read_bytes() == (tmp_path / "c" / path.name).read_bytes()
    write_workbook(job, tmp_path / "job.xlsx")
    assert read_job(tmp_path / "job.xlsx").require_job() == job


def test_a_suspicion_is_settled_by_accepting_the_cell_as_it_stands(tmp_path):
    accept = f"rack.csv,{Q27},overall,10.04,10.04,{BY},a long pup indeed\n"
    result = read(tmp_path / "a", HEAD + accept + RENAME + TAKE_OUT + REASON)
    job = result.require_job()
    assert result.suspicions == ()
    assert job.corrections[0].accepts
    assert job.usable(job.rack[Q27 - 2])
    write_folder(job, tmp_path / "b")
    assert read_job(tmp_path / "b").require_job() == job


def test_an_accepted_cell_that_changes_again_is_asked_back(tmp_path):
    accept = f"rack.csv,{Q27},overall,10.04,10.04,{BY},a long pup indeed\n"
    files = files_2("Q12b")
    files["rack.csv"] = files["rack.csv"].replace("10.04", "10.14")
    (error,) = read(tmp_path, HEAD + accept, files).errors
    assert "holds '10.14'; look at the cell again" in str(error)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("rack.csv,2,overall,9.6,9.5", "holds '9.562'; look at the cell again"),
        ("rack.csv,99,overall,9.6,9.5", "has no row 99; its rows run from 2 to 41"),
        ("rack.csv,2,overal,9.6,9.5", "did you mean 'overall'"),
        ("rak.csv,2,overall,9.6,9.5", "did you mean 'rack.csv'"),
        ("upper.csv,2,length,9.6,9.5", "upper.csv is not in this job"),
        ("job.toml,,union.clsed,0.74 m,0.75 m", "did you mean 'union.closed'"),
        ("../rack.csv,2,overall,9.6,9.5", "is no table of a job"),
        ("rack.csv,x,overall,9.6,9.5", "digits only"),
    ],
)
def test_a_correction_that_does_not_fit_is_refused(tmp_path, row, said):
    result = read(tmp_path, f"{HEAD}{row},{BY},because\n", files_2("Q12b"))
    assert result.job is None
    (error,) = result.errors
    assert said in str(error)
    assert (error.where.file, error.where.row) == ("corrections.csv", 2)


def test_a_correction_needs_a_name_a_day_and_a_reason(tmp_path):
    result = read(tmp_path, f"{HEAD}rack.csv,2,overall,9.562,9.561,,,\n", files_2("Q12b"))
    assert {one.where.field for one in result.errors} == {"who", "when", "why"}


def test_a_key_of_job_toml_is_corrected_in_the_same_way(tmp_path):
    row = f"job.toml,,union.closed,740 mm,0.75 m,{BY},measured\n"
    job = read(tmp_path / "a", HEAD + row, files_2("Q12b")).require_job()
    assert job.union.closed_m.si == 0.75
    write_folder(job, tmp_path / "b")
    assert read_job(tmp_path / "b").require_job() == job


def test_corrections_of_one_cell_follow_one_another(tmp_path):
    first = f"rack.csv,2,overall,9.562,9.652,{BY},read again\n"
    second = f"rack.csv,2,overall,9.652,9.560,{BY},read a third time\n"
    job = read(tmp_path / "a", HEAD + first + second, files_2("Q12b")).require_job()
    assert job.rack[0].overall_m.si == 9.560
    write_folder(job, tmp_path / "b")
    assert read_job(tmp_path / "b").require_job() == job
    (error,) = read(tmp_path / "c", HEAD + second + first, files_2("Q12b")).errors
    assert "put them in order" in str(error)


def test_a_blank_cell_can_be_filled_and_a_heading_corrected(tmp_path):
    rows = (
        f"rack.csv,2,nominal,9.5,,{BY},not a full joint\n"
        f"datums.csv,1,elevation [m],elevation [m],elevation [ft],{BY},feet on the rig sheet\n"
    )
    job = read(tmp_path, HEAD + rows, files_2("Q12b")).require_job()
    assert job.rack[0].nominal_m.is_blank
    assert job.datums[0].elevation_m.si == pytest.approx(31.2 * FT)


def test_a_bare_correction_keeps_its_unit_when_the_column_is_written_in_another(tmp_path):
    """Most cells in feet under a heading in metres: the column is written in feet."""
    files = files_2("Q12b")
    text = files["rack.csv"].replace("overall [m]", "overall [m]")
    lines = text.splitlines()
    for n in range(3, len(lines)):
        cells = lines[n].split(",")
        cells[5] = f"{float(cells[5]) / 0.3048:.2f} ft"
        lines[n] = ",".join(cells)
    files["rack.csv"] = "\n".join(lines) + "\n"
    row = f"rack.csv,2,overall,9.562,9.560,{BY},read again\n"
    job = read(tmp_path / "a", HEAD + row, files).require_job()
    write_folder(job, tmp_path / "b")
    assert "overall [ft]" in (tmp_path / "b" / "rack.csv").read_text()
    assert read_job(tmp_path / "b").require_job() == job


def test_corrections_of_job_1_keep_their_rows_in_a_table_typed_top_to_bottom(tmp_path):
    files = files_1()
    head, *rows = files["esp.csv"].replace(",cumulative [ft]", "").splitlines()
    rows = [row.rpartition(",")[0] for row in rows]
    files["esp.csv"] = "\n".join([head, *reversed(rows)]) + "\n"
    files["job.toml"] = files["job.toml"].replace('esp = "bottom to top"', 'esp = "top to bottom"')
    row = f"esp.csv,2,length,3.55,3.56,{BY},measured\n"
    job = read(tmp_path / "a", HEAD + row, files).require_job()
    assert job.esp[-1].length_m.si == pytest.approx(3.56 * FT)
    write_folder(job, tmp_path / "b")
    assert read_job(tmp_path / "b").require_job() == job


def test_a_correction_that_empties_its_column_is_read_back(tmp_path):
    head, *rows = rack_2("Q12b").splitlines()
    rows = [f"{row}," for row in rows]
    rows[0] += "0"
    files = files_2() | {"rack.csv": "\n".join([f"{head},make_up_loss [m]", *rows]) + "\n"}
    settled = FEET + TAKE_OUT + REASON
    row = f"rack.csv,2,make_up_loss,0,,{BY},copied; that of the thread\n"
    job = read(tmp_path / "a", HEAD + settled + row, files).require_job()
    write_folder(job, tmp_path / "b")
    write_workbook(job, tmp_path / "job.xlsx")
    assert read_job(tmp_path / "b").require_job() == job
    assert read_job(tmp_path / "job.xlsx").require_job() == job


def test_a_correction_may_name_a_column_the_tally_does_not_have(tmp_path):
    head, *rows = rack_2("Q12b").splitlines()
    shorter = "\n".join(row.rpartition(",")[0].rpartition(",")[0] for row in [head, *rows]) + "\n"
    rejected = (
        f"rack.csv,3,status,,rejected,{BY},pin galled\n"
        f"rack.csv,3,status_reason,,pin galled,{BY},pin galled\n"
        f"rack.csv,2,overall_2,,9.562 m,{BY},measured again\n"
    )
    files = files_2() | {"rack.csv": shorter}
    job = read(tmp_path / "a", HEAD + FEET + rejected, files).job
    assert (job.rack[1].status, job.rack[1].status_reason) == ("rejected", "pin galled")
    assert job.rack[0].status == "usable"
    assert job.rack[0].overall_2_m.si == 9.562
    write_folder(job, tmp_path / "b")
    assert read_job(tmp_path / "b").job == job
