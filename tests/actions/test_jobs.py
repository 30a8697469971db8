"""Starting, checking and converting jobs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from tests.actions.folders import in_table, in_toml, job_folder

from abreast.actions import jobs
from abreast.cli import main
from abreast.errors import InputError
from abreast.jobfile import read_job


def test_init_writes_a_job_that_can_be_planned(tmp_path: Path) -> None:
    jobs.init(tmp_path / "mine")
    report = jobs.check(tmp_path / "mine")
    assert report.exit_status == 0
    assert report.result.job is not None
    assert report.result.job.name == "Quernstone 14"


def test_init_blank_asks_for_everything_and_invents_nothing(tmp_path: Path) -> None:
    jobs.init(tmp_path / "mine", blank=True)
    report = jobs.check(tmp_path / "mine")
    assert report.exit_status == 2
    assert len(report.result.errors) > 20
    assert "Quernstone" not in (tmp_path / "mine" / "job.toml").read_text(encoding="utf-8")


def test_init_can_start_a_top_hung_job_and_one_in_feet(tmp_path: Path) -> None:
    jobs.init(tmp_path / "example", top_hung=True)
    report = jobs.check(tmp_path / "example")
    assert report.exit_status == 0
    assert report.result.require_job().is_top_hung
    jobs.init(tmp_path / "mine", blank=True, top_hung=True, oilfield=True)
    text = (tmp_path / "mine" / "job.toml").read_text(encoding="utf-8")
    assert "[guide]" in text
    assert "[base]" not in text
    assert "overall [ft]" in (tmp_path / "mine" / "rack.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize("blank", [False, True])
def test_init_overwrites_nothing(tmp_path: Path, blank: bool) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(InputError, match="holds files already; give a new or empty folder"):
        jobs.init(tmp_path, blank=blank)
    with pytest.raises(InputError, match="is no folder"):
        jobs.init(tmp_path / "notes.txt", blank=blank)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_check_tells_everything_at_once(tmp_path: Path) -> None:
    job = job_folder(tmp_path)
    in_table(job, "rack", "B01", overall="31,42")
    in_table(job, "rack", "P01", drift="")
    in_toml(job, 'seat_max = "0.50 ft"', 'seat_max = "0.50 fathoms"')
    report = jobs.check(job)
    assert report.exit_status == 2
    text = report.text()
    assert "cannot be used yet" in text
    for place in ("rack.csv, row 2, overall", "drift", "seat_max"):
        assert place in text
    assert len(report.result.errors) >= 3


def test_check_of_suspected_pieces_tells_what_to_do(tmp_path: Path) -> None:
    report = jobs.check(job_folder(tmp_path, "quernstone_14/as_received"))
    assert report.exit_status == 1
    text = report.text()
    assert "can be planned, some pieces barred: 0 errors, 1 suspicion" in text
    assert "rack.csv, row 39, lower_end, P23: thread EU occurs nowhere in the bypass" in text
    assert "READ AS (1):" in text
    assert "'1/2 in' read as 1/2 in = 0.5 in" in text


def test_a_suspicion_about_the_whole_job_is_told_as_such(tmp_path: Path) -> None:
    job = job_folder(tmp_path)
    in_toml(job, 'esp = "bottom to top"', 'esp = "top to bottom"')
    report = jobs.check(job)
    assert report.exit_status == 1
    assert "readable, but not to be planned yet" in report.text()
    assert report.as_dict()["usable"] is False


def test_counts_and_open_questions(tmp_path: Path) -> None:
    """Job 1 has 40 rack pieces, B04 rejected; two are then measured once, one not drifted."""
    job = job_folder(tmp_path)
    in_table(job, "rack", "B01", overall_2="")
    in_table(job, "rack", "B02", overall_2="")
    in_table(job, "rack", "P01", drift="not done")
    path = job / "rack.csv"
    text = path.read_text(encoding="utf-8")
    heading, _, rest = text.partition("\n")
    assert "drift_reason" not in heading
    rows = [f"{row}," for row in rest.splitlines()]
    rows = [f"{row}lent out" if row.startswith("P01,") else row for row in rows]
    path.write_text("\n".join([f"{heading},drift_reason", *rows]) + "\n", encoding="utf-8")
    report = jobs.check(job)
    assert report.result.job is not None
    counts = report.as_dict()["counts"]
    assert isinstance(counts, dict)
    assert (counts["rack pieces"], counts["usable rack pieces"]) == (40, 38)
    assert report.not_checked == 3
    expected = "not checked: 2 usable rack pieces measured once only, 1 piece not drifted"
    assert expected in report.text()
    assert main(["check", str(job)]) == 0
    assert main(["check", str(job), "--strict"]) == 1


def test_check_as_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = job_folder(tmp_path, "skerrow_a09/as_received")
    assert main(["check", str(job), "--json"]) == 2
    data = json.loads(capsys.readouterr().out)
    assert data["usable"] is False
    assert data["job"] is None
    first = next(one for one in data["issues"] if one["severity"] == "error")
    assert (first["file"], first["row"], first["piece"]) == ("rack.csv", 39, "Q12")


def test_lines_of_the_check_fit_a_terminal(tmp_path: Path) -> None:
    for name in ("quernstone_14/as_received", "skerrow_a09/as_received"):
        folder = tmp_path / name[:4]
        folder.mkdir()
        lines = jobs.check(job_folder(folder, name)).text().splitlines()
        assert max(map(len, lines)) <= 100


@pytest.mark.parametrize("name", ["quernstone_14/as_received", "skerrow_a09/corrected"])
def test_convert_there_and_back_is_the_same_job(tmp_path: Path, name: str) -> None:
    """Open suspicions and corrections travel with the job."""
    job = job_folder(tmp_path, name)
    jobs.convert(job, tmp_path / "job.xlsx")
    jobs.convert(tmp_path / "job.xlsx", tmp_path / "back")
    one, other = read_job(job), read_job(tmp_path / "back")
    assert one.job == other.job
    assert len(one.suspicions) == len(other.suspicions)


def test_convert_overwrites_nothing_and_refuses_what_it_cannot_read(tmp_path: Path) -> None:
    job = job_folder(tmp_path)
    (tmp_path / "book.xlsx").write_bytes(b"mine")
    with pytest.raises(InputError, match="is there already"):
        jobs.convert(job, tmp_path / "book.xlsx")
    with pytest.raises(InputError, match="holds files already"):
        jobs.convert(job, tmp_path / "job")
    with pytest.raises(InputError, match="does not exist"):
        jobs.convert(tmp_path / "none", tmp_path / "x")
    assert (tmp_path / "book.xlsx").read_bytes() == b"mine"


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(jobs.schema())
