"""``abreast solve`` for real, on the example of the case format page and cases made from it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from abreast.cli import main

Capture = pytest.CaptureFixture[str]
Data = dict[str, Any]
PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "case_format.md"


@pytest.fixture
def case() -> Data:
    block = re.search(r"^```json\n(.*?)^```", PAGE.read_text(encoding="utf-8"), re.S | re.M)
    assert block
    data: Data = json.loads(block[1])
    return data


def solve(case: Data, tmp_path: Path, capsys: Capture, *options: str) -> tuple[int, Data]:
    path = tmp_path / "a case.json"
    path.write_text(json.dumps(case))
    status = main(["solve", str(path), *options])
    out, err = capsys.readouterr()
    assert err == ""
    return status, json.loads(out)


def test_everything_that_can_be_asked_for(case: Data, tmp_path: Path, capsys: Capture) -> None:
    words = ["--alternatives", "2", "--fall-backs", "--explain", "--limit", "20"]
    status, answer = solve(case, tmp_path, capsys, *words)
    assert status == 0
    assert answer["proved"] is True
    assert answer["fall_backs"].keys() == set(answer["items"])
    # J1 and J2 are the only joints and nothing closes without both: no item can be replaced but
    # P1, and of the other pups P2 is 310 shorter and P3 615, outside a stroke of 240.
    assert {a["status"] for a in answer["fall_backs"].values()} == {"infeasible"}
    assert answer["blocking"] == []


def test_infeasible_is_status_1_and_names_the_cause(
    case: Data, tmp_path: Path, capsys: Capture
) -> None:
    """At 12,500 the clamp meets the connection between the joint and what stands on it."""
    case["clamps"][0]["height"] = 12500
    status, answer = solve(case, tmp_path, capsys, "--explain")
    assert status == 1
    assert (answer["status"], answer["items"], answer["proved"]) == ("infeasible", [], True)
    assert "clamp C1" in answer["blocking"]
    assert any(cure["kind"] == "clamp" and cure["name"] == "C1" for cure in answer["cures"])


def test_a_limit_gives_stopped_and_status_1(case: Data, tmp_path: Path, capsys: Capture) -> None:
    status, answer = solve(case, tmp_path, capsys, "--limit", "1e-9")
    assert status == 1
    assert answer["status"] == "stopped"
    assert answer["proved"] is False
    assert answer["bound"] <= [3, 0, 1, 0], "never above the optimum of the page"


def test_a_case_through_a_pipe(case: Data) -> None:
    words = [sys.executable, "-P", "-m", "abreast", "solve", "-"]
    done = subprocess.run(
        words, input=json.dumps(case), capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["items"] == ["J1", "P1", "J2"]


@pytest.mark.parametrize(
    ("field", "value", "part"),
    [
        ("max_itmes", 3, "unknown field 'max_itmes'; did you mean 'max_items'?"),
        ("gap", "24 m", "gap"),
        ("gap", 24000.5, "gap"),
        ("locked", ["J9"], "locked: 'J9' is not in the stock"),
        ("reserve", [1, 2], "reserve: has 2 entries"),
    ],
)
def test_a_case_that_cannot_be_used(
    field: str, value: object, part: str, case: Data, tmp_path: Path, capsys: Capture
) -> None:
    if field == "max_itmes":
        del case["max_items"]
    path = tmp_path / "case.json"
    path.write_text(json.dumps({**case, field: value}))
    assert main(["solve", str(path), "--json"]) == 2
    out, err = capsys.readouterr()
    assert part in err
    assert str(path) in err
    assert err.count("\n") == 1
    assert json.loads(out)["error"]["file"] == str(path)
