"""``abreast calc`` with the calculators there are: examples run, pipes work, faults are told."""

from __future__ import annotations

import json
import math
import subprocess
import sys

import pytest

from abreast.actions import calculators
from abreast.cli import main

Capture = pytest.CaptureFixture[str]
NAMES = [name for name, _ in calculators.names()]


def piped(name: str, text: str) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, "-P", "-m", "abreast", "calc", name]
    return subprocess.run(words, input=text, capture_output=True, text=True, check=False)


def test_list_has_a_line_for_each(capsys: Capture) -> None:
    assert main(["calc", "--list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == NAMES
    assert all(len(line.split()) > 2 for line in lines)


@pytest.mark.parametrize("name", NAMES)
def test_example_and_schema_are_json_and_agree(name: str, capsys: Capture) -> None:
    import jsonschema

    assert main(["calc", "--schema", name]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert main(["calc", "--example", name]) == 0
    jsonschema.validate(json.loads(capsys.readouterr().out), schema)


def test_an_example_goes_through_a_pipe() -> None:
    """API drift of 9-5/8 in 47 lb/ft casing: 8.525 in (API Spec 5CT)."""
    done = piped("drift", '{"kind": "casing", "od_m": 0.244475, "wall_m": 0.0119888}')
    assert (done.returncode, done.stderr) == (0, "")
    drift_in = json.loads(done.stdout)["drift_m"] / 0.0254
    assert math.isclose(drift_in, 8.525, abs_tol=0.0005)


@pytest.mark.parametrize(
    ("name", "text", "part"),
    [
        ("drift", "[]", "drift needs one JSON object"),
        ("drift", '{"kind": "casing", "od": 1}', "did you mean od_m?"),
        ("drift", '{"kind": "casing", "od_m": "7 in"}', "od_m"),
        ("drfit", "{}", "did you mean drift?"),
        ("dogleg", "", "not readable as JSON"),
        ("dogleg", '{"course_m": NaN}', "NaN is not a number"),
        ("dogleg", '{"course_m": 30, "course_m": 40}', "'course_m' stands twice"),
        ("survey-table", '{"stations": []}', "stations: has 0 entries"),
        ("contact-beam", '{"strings": [{"segments": []}]}', "strings.1.segments"),
    ],
)
def test_input_that_cannot_be_used_is_one_sentence(name: str, text: str, part: str) -> None:
    done = piped(name, text)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("abreast: ")
    assert done.stderr.count("\n") == 1
    assert part in done.stderr
