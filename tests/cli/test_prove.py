"""``abreast prove`` for real, on the examples of the format page and on an invented job."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from tests.procedure.example import example, example_text

from abreast.cli import main
from abreast.examples import example_path

Capture = pytest.CaptureFixture[str]
Data = dict[str, Any]


def prove(text: str, tmp_path: Path, capsys: Capture, *options: str) -> tuple[int, str]:
    path = tmp_path / "the steps.json"
    path.write_text(text, encoding="utf-8")
    status = main(["prove", str(path), *options])
    out, err = capsys.readouterr()
    assert err == ""
    return status, out


def test_a_proved_procedure(tmp_path: Path, capsys: Capture) -> None:
    status, out = prove(example_text(), tmp_path, capsys)
    assert status == 0
    assert "PROVED: 27 steps, no rule is broken" in out
    assert "THIS RESTS ON:\n  load path esp-held, as declared" in out
    assert "MUTANTS" not in out


def test_mutants_are_counted(tmp_path: Path, capsys: Capture) -> None:
    status, out = prove(example_text(), tmp_path, capsys, "--mutants")
    assert status == 0
    assert "MUTANTS (97): " in out
    _, text = prove(example_text(), tmp_path, capsys, "--mutants", "--json")
    found = json.loads(text)["mutants"]
    assert sum(found["counts"].values()) == len(found["list"]) == 97


def test_what_is_not_rated_counts_only_when_strict(tmp_path: Path, capsys: Capture) -> None:
    data = example()
    del data["holders"][1]["rating_n"]
    status, out = prove(json.dumps(data), tmp_path, capsys)
    assert status == 0
    assert "PROVED EXCEPT for 1 thing not rated: 27 steps" in out
    assert "  rating of lifting sub LS\n" in out
    status, text = prove(json.dumps(data), tmp_path, capsys, "--strict", "--json")
    assert status == 1
    report = json.loads(text)
    assert (report["outcome"], report["not_checked"]) == ("proved except", 1)


def test_a_counterexample_names_step_rule_state_and_repair(tmp_path: Path, capsys: Capture) -> None:
    status, text = prove(example_text(1), tmp_path, capsys, "--json")
    assert status == 1
    report = json.loads(text)
    fault = report["fault"]
    assert (report["outcome"], report["passed"]) == ("refused", 5)
    assert (fault["step"], fault["index"], fault["rule"]) == ("6", 5, "back-up")
    # 66 kg times 9.80665 m/s2 hangs in the slips, nothing on the slack line
    held = {one["holder"]: (one["taut"], one["least_n"], one["most_n"]) for one in fault["holds"]}
    assert held["LS"] == (False, 0.0, 0.0)
    assert held["SLIPS"] == (True, pytest.approx(647.2389), pytest.approx(647.2389))
    assert [one["proved"] for one in report["repairs"]] == [True]


def test_the_repaired_procedure_can_be_written(tmp_path: Path, capsys: Capture) -> None:
    out = tmp_path / "repaired.json"
    status, _ = prove(example_text(1), tmp_path, capsys, "-o", str(out))
    assert status == 1
    assert main(["prove", str(out)]) == 0
    assert "PROVED: 10 steps" in capsys.readouterr().out
    assert main(["prove", str(out), "-o", str(out)]) == 2
    assert "is there already" in capsys.readouterr().err


def test_a_procedure_without_a_hand_over(tmp_path: Path, capsys: Capture) -> None:
    data = example()
    data["steps"].pop()
    status, out = prove(json.dumps(data), tmp_path, capsys)
    assert status == 1
    assert "REFUSED at its end: 26 of 26 steps pass" in out
    assert "Before the end: Hand the twin string over" in out


def test_a_start_that_cannot_be(tmp_path: Path, capsys: Capture) -> None:
    start = {"in_hole": ["T01"], "line": "BLOCK", "holder": "SC", "on": "T01"}
    status, out = prove(json.dumps({**example(), "start": start}), tmp_path, capsys, "--mutants")
    assert status == 1
    assert "REFUSED at its start: 0 of 27 steps pass" in out
    assert "Nothing is in the hole, and nothing is held" in out
    assert "REPAIR: none found" in out


def test_a_procedure_through_a_pipe() -> None:
    words = [sys.executable, "-P", "-m", "abreast", "prove", "-"]
    done = subprocess.run(words, input=example_text(), capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("standard input: tail of two joints\nPROVED")


def test_the_procedure_of_a_job(tmp_path: Path, capsys: Capture) -> None:
    job = str(example_path("skerrow_a09/corrected"))
    out = tmp_path / "steps.json"
    status = main(["prove", job, "-o", str(out), "--json"])
    report = json.loads(capsys.readouterr().out)
    assert status == report["exit_status"]
    assert report["outcome"] != "refused", report["fault"]
    assert main(["prove", str(out), "--json"]) == status
    again = json.loads(capsys.readouterr().out)
    assert {**again, "source": job} == report, "the file holds the same procedure"


@pytest.mark.parametrize(
    ("field", "value", "part"),
    [
        ("load_pat", "esp-held", "load_pat: 'load_pat' is no field here; did you mean 'load_path'"),
        ("steps", [{"id": "1", "action": {"do": "lift"}}], "step 1, action: 'lift' is no action"),
        ("site", 3, "site: must be an object"),
    ],
)
def test_a_file_that_cannot_be_used(
    field: str, value: object, part: str, tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / "steps.json"
    path.write_text(json.dumps({**example(), field: value}))
    assert main(["prove", str(path), "--json"]) == 2
    out, err = capsys.readouterr()
    assert part in err
    assert str(path) in err
    assert err.count("\n") == 1
    assert json.loads(out)["error"]["file"] == str(path)


def test_no_file(tmp_path: Path, capsys: Capture) -> None:
    assert main(["prove", str(tmp_path / "none.json")]) == 2
    assert "cannot be used" in capsys.readouterr().err


def test_the_pull_of_a_run_is_made_and_proved(tmp_path):
    from tests.procedure.hand_made import hand_made

    from abreast.actions.prove import prove_text
    from abreast.procedure.read import procedure_text

    out = tmp_path / "pull.json"
    report = prove_text(procedure_text(hand_made()), "run.json", pulling=True, out=out)
    assert report.procedure.purpose == "pull"
    assert report.proof.outcome != "refused"
    again = prove_text(out.read_text(encoding="utf-8"), "pull.json")
    assert again.proof.outcome == report.proof.outcome
    assert [one.action.do for one in again.procedure.steps][-1] == "hand_over"
