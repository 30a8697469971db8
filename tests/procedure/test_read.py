"""Procedures read from files: one sentence for each fault, whatever a file holds."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.procedure.read import (
    faults_of_text,
    procedure_text,
    read_procedure,
    write_procedure,
)

Data = dict[str, Any]


def smallest() -> Data:
    """The least that has the form of a procedure."""
    return {
        "format": 1,
        "name": "small",
        "arrangement": "bottom-supported",
        "load_path": "esp-held",
        "site": {"plate_m": 1.0, "reach_m": [0.5, 1.7]},
        "lines": [{"id": "BLOCK", "hoist": "block"}],
        "pieces": [
            {"id": "T01", "string": "tail", "bottom_m": 0, "top_m": 9.5, "slick_m": [[0.3, 9.2]]},
            {"id": "T02", "string": "tail", "bottom_m": 9.5, "top_m": 19},
        ],
        "joints": [{"id": "T02-T01", "lower": "T01", "upper": "T02", "sort": "thread", "z_m": 9.5}],
        "holders": [{"id": "EL", "type": "elevator"}, {"id": "SUB", "type": "lifting sub"}],
        "steps": [
            {"id": "1", "action": {"do": "fit", "holder": "SUB", "on": "T01"}},
            {
                "id": "2",
                "action": {
                    "do": "pick_up",
                    "pieces": ["T01"],
                    "line": "BLOCK",
                    "holder": "SUB",
                    "on": "T01",
                    "gear": ["EL"],
                },
            },
        ],
    }


@pytest.fixture
def small() -> Data:
    return smallest()


def faults(data: Data) -> list[str]:
    return [str(one) for one in faults_of_text(json.dumps(data), "steps.json")]


def put(data: Data, path: str, value: object) -> Data:
    *way, last = [int(one) if one.isdigit() else one for one in path.split(".")]
    at: Any = data
    for one in way:
        at = at[one]
    at[last] = value
    return data


def test_what_is_written_is_read_back_equal(small: Data, tmp_path: Path) -> None:
    procedure = read_procedure(json.dumps(small))
    path = tmp_path / "steps.json"
    write_procedure(procedure, path)
    assert read_procedure(path) == procedure
    assert path.read_text(encoding="utf-8") == procedure_text(procedure)
    assert [one.name for one in tmp_path.iterdir()] == ["steps.json"], "no temporary file is left"


def test_every_step_has_a_line_of_its_own(small: Data) -> None:
    text = procedure_text(read_procedure(json.dumps(small)))
    assert '    {"id": "1", "action": {"do": "fit", "holder": "SUB", "on": "T01"}},\n' in text
    assert json.loads(text)["format"] == 1


def test_a_number_that_is_not_finite_is_not_written(small: Data) -> None:
    procedure = read_procedure(json.dumps(small))
    site = procedure.site.model_copy(update={"plate_m": float("nan")})
    with pytest.raises(InputError, match="finite"):
        procedure_text(procedure.model_copy(update={"site": site}))


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        ("steps.0.action.do", "fitt", "step 1, action: 'fitt' is no action; did you mean 'fit'?"),
        ("steps.0.action.onn", "T01", "step 1, onn: 'onn' is no field here; did you mean 'on'?"),
        (
            "steps.1.action.holder",
            "SUBB",
            "step 2, holder: 'SUBB' is no holder of this procedure; did you mean 'SUB'?",
        ),
        (
            "steps.1.action.pieces",
            ["T1"],
            "step 2, pieces: 'T1' is no piece of this procedure; did you mean 'T01'?",
        ),
        (
            "steps.1.action.line",
            "crane",
            "step 2, line: 'crane' is no line of this procedure; known are BLOCK",
        ),
        ("steps.1.action.pieces", [], "step 2, pieces: must name at least one"),
        ("steps.0.id", "2", "step id 2 is there twice"),
        ("site.plate_m", "1", "site.plate_m: must be a number without quotes"),
        ("site.plate_m", True, "site.plate_m: must be a number without quotes"),
        ("site.reach_m", [1.7, 0.5], "site.reach_m: from 1.7 to 0.5 is upside down"),
        ("site.reach_m", [0.5], "site.reach_m.1: is missing; two numbers are needed"),
        ("site.dynamic_ratio", 0.9, "site.dynamic_ratio: 0.9 would make loads smaller"),
        ("pieces.0.strng", "tail", "piece T01, strng: 'strng' is no field here; did you mean 'str"),
        ("pieces.0.mass_kg", -1, "piece T01, mass_kg: must not be negative"),
        ("pieces.0.mass_kg", 1e300, "piece T01, mass_kg: a number beyond 1e+12"),
        ("joints.0.load_n", 0, "joint T02-T01, load_n: 0 can't be; it must be above 0, or null"),
        ("pieces.1.load_n", -5e4, "piece T02, load_n: -50000 can't be"),
        ("site.plate_rating_n", -1, "site, plate_rating_n: -1 can't be"),
        ("site.plate_m", -1, "site, plate_m: -1 can't be; it must not be negative"),
        ("pieces.1.neck", {"z_m": 18.0, "od_m": 0}, "piece T02, neck, od_m: 0 can't be"),
        ("lines.0.rating_n", 0, "line BLOCK, rating_n: must be above 0"),
        ("joints.0.upper", "T03", "joint T02-T01: there is no piece T03"),
        ("load_path", "esp held", "load_path: 'esp held' is no choice; did you mean 'esp-held'?"),
        ("format", 2, "format: '2' is no choice; take 1"),
        ("start", {"in_hole": ["T01"]}, "start, line: is blank; say which line carries"),
        (
            "start",
            {"in_hole": ["T01"], "line": "BLOCK", "holder": "EL", "on": "T02"},
            "start, on: 'T02' is not in start.in_hole",
        ),
        (
            "dues",
            [{"id": "gas", "sort": "reading", "text": "gas test", "before": ["pick up T01"]}],
            "due gas, before: 'pick' is no action; did you mean 'pick_up'?",
        ),
        (
            "dues",
            [{"id": "counts", "sort": "count", "text": "less", "before": ["remark"]}],
            "due counts, id: is due already",
        ),
        ("steps.1.action", {"do": "confirm", "due": "count"}, "did you mean 'counts'?"),
        ("steps.1.action", {"due": "count"}, "step 2, action: does not say what is done"),
        ("steps", {}, "steps: must be a list in [ ]"),
    ],
)
def test_a_fault_is_one_sentence_with_its_place(
    path: str, value: object, sentence: str, small: Data
) -> None:
    (found,) = faults(put(small, path, value))
    assert found.startswith("steps.json")
    assert sentence in found
    assert "\n" not in found


def test_all_faults_are_found_and_the_first_one_counts_them(small: Data) -> None:
    put(small, "steps.0.action.on", "T09")
    put(small, "steps.1.action.gear", ["EK"])
    assert len(faults(small)) == 2
    with pytest.raises(InputError, match=r"step 1, on: 'T09' .* \(1 more fault in the file\)"):
        read_procedure(json.dumps(small), "steps.json")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "not readable as JSON"),
        ("{", "not readable as JSON"),
        ("[]", "one JSON object"),
        ('{"name": "a", "name": "b"}', "field 'name' stands twice"),
        ('{"steps": [{"id": "7", "id": "8"}]}', "field 'id' of '8' stands twice"),
        ('{"site": {"plate_m": NaN}}', "NaN is no number"),
        ('{"site": {"plate_m": 1e999}}', "site.plate_m: a number beyond"),
        ('{"site": {"plate_m": ' + "9" * 5000 + "}}", "a number of 5000 digits"),
        ("[" * 100_000, "nested too deep"),
        ('{"name": ' + "[" * 40 + "]" * 40 + "}", "nested deeper"),
        ('{"name": "\\ud800"}', "half of a two-part sign"),
        ('{"\\ud800": 1}', "steps.json"),
        ('{"name": {"a\\nb": 1e13}}', "name.a b: a number beyond"),
        ('{"name": "' + "x" * 20_000 + '"}', "a text of 20000 signs"),
        ('{"steps": [' + ",".join(["0"] * 5001) + "]}", "steps: a list of 5001"),
    ],
)
def test_hostile_text_is_refused(text: str, sentence: str) -> None:
    found = faults_of_text(text, "steps.json")
    assert sentence in str(found[0])
    assert all("\n" not in str(one) for one in found)


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_procedure(tmp_path / "none.json")
    path = tmp_path / "latin.json"
    path.write_bytes(b'{"name": "\xe9"}')
    with pytest.raises(InputError, match="byte 11 is not UTF-8"):
        read_procedure(path)


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)
PATHS = [
    "name", "site", "site.reach_m", "lines", "lines.0", "pieces", "pieces.1.neck", "joints.0.z_m",
    "holders.0.type", "holders.1", "clamps", "cable", "union", "dues", "start", "steps", "steps.0",
    "steps.0.action", "steps.1.action.do", "steps.1.action.gear", "steps.1.action.line",
]  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(path=st.sampled_from(PATHS), value=JSON)
def test_no_value_gives_anything_but_a_sentence(path: str, value: object) -> None:
    text = json.dumps(put(smallest(), path, value))
    try:
        procedure = read_procedure(text, "steps.json")
    except InputError as fault:
        assert "steps.json" in str(fault)
        assert "\n" not in str(fault)
        return
    assert read_procedure(procedure_text(procedure)) == procedure
