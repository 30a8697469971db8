"""The way of a job through the command line, for real: start, check, convert, plan."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from tests.actions.wells import PLACE, no_well

from abreast.cli import main
from abreast.examples import example_path

Capture = pytest.CaptureFixture[str]
AS_RECEIVED = str(example_path("quernstone_14/as_received"))


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder with a space in its name, as the current one."""
    folder = tmp_path / "my jobs"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def run(capsys: Capture, *words: str) -> tuple[int, str, str]:
    status = main(words)
    out, err = capsys.readouterr()
    return status, out, err


def test_an_example_goes_all_the_way(here: Path, capsys: Capture) -> None:
    assert run(capsys, "init", "a job")[0] == 0
    status, out, err = run(capsys, "check", "a job")
    assert (status, err) == (0, "")
    assert "Quernstone 14" in out

    status, out, err = run(capsys, "plan", "a job", "-o", "a pack", "--json", "--every", "100 m")
    plan = json.loads(out)
    exceeds = [one for one in plan["findings"] if one["status"] == "exceeds"]
    assert (status, err, exceeds) == (0, "", [])
    assert plan["status"] == "optimal"
    assert plan["proved"] is True
    for name in plan["pack"]["files"]:
        assert (here / "a pack" / name).stat().st_size > 0


def test_strict_fails_on_what_was_not_checked(here: Path, capsys: Capture) -> None:
    assert run(capsys, "init", "job")[0] == 0
    words = ("plan", "job", "-o", "pack", "--json", "--strict", "--every", "500 m")
    status, out, _ = run(capsys, *words)
    unknown = [one for one in json.loads(out)["findings"] if one["status"] == "not checked"]
    assert status == int(bool(unknown))


def test_the_workbook_says_the_same_as_the_folder(here: Path, capsys: Capture) -> None:
    assert run(capsys, "init", "job")[0] == 0
    assert run(capsys, "convert", "job", "job.xlsx") == (0, "job.xlsx: written from job\n", "")
    assert run(capsys, "convert", "job.xlsx", "again")[0] == 0
    found = [json.loads(run(capsys, "check", j, "--json")[1]) for j in ("job", "job.xlsx", "again")]
    assert len({one["fingerprint"] for one in found}) == 1
    assert all(one["usable"] for one in found)


def test_suspicions_of_a_tally_are_status_1(capsys: Capture) -> None:
    status, out, err = run(capsys, "check", AS_RECEIVED)
    assert (status, err) == (1, "")
    assert "P23" in out


def test_a_blank_job_is_status_2_and_says_what_to_fill_in(here: Path, capsys: Capture) -> None:
    assert run(capsys, "init", "job", "--blank")[0] == 0
    status, out, _ = run(capsys, "check", "job")
    assert status == 2
    assert "job.toml, row" in out
    assert "is blank" in out
    status, out, err = run(capsys, "plan", "job", "-o", "pack")
    assert (status, out) == (2, "")
    assert err.startswith("abreast: job")
    assert not (here / "pack").exists()


def test_nothing_of_the_user_is_written_over(here: Path, capsys: Capture) -> None:
    (here / "job").mkdir()
    note = here / "job" / "note.txt"
    note.write_text("mine")
    for words in (["init", "job"], ["plan", AS_RECEIVED, "-o", "job"]):
        status, out, err = run(capsys, *words)
        assert (status, out) == (2, "")
        assert err.startswith("abreast: job: ")
        assert err.count("\n") == 1
    assert [path.name for path in (here / "job").iterdir()] == ["note.txt"]
    assert note.read_text() == "mine"


@pytest.mark.parametrize(
    "words",
    [
        ["check", "nowhere"],
        ["plan", "nowhere", "-o", "pack"],
        ["convert", "nowhere", "x.xlsx"],
        ["check", "note.txt"],
        ["check", "note.xlsx"],
    ],
)
def test_a_job_that_is_none(words: list[str], here: Path, capsys: Capture) -> None:
    (here / "note.txt").write_text("no job")
    (here / "note.xlsx").write_text("no workbook")
    status, out, err = run(capsys, *words)
    assert status == 2
    assert words[1] in out + err
    assert "fault of abreast" not in err
    assert "Traceback" not in out + err


def test_schema_is_a_schema(capsys: Capture) -> None:
    status, out, _ = run(capsys, "schema")
    assert status == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(out))


def test_demo_can_be_run_again(
    here: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(PLACE, no_well)
    first = run(capsys, "demo")
    assert first[0] == 0
    assert "SPACE-OUT FOUND" in first[1]
    assert (here / "demo_out" / "pack" / "spaceout_stretched.svg").exists()
    assert run(capsys, "demo") == first
