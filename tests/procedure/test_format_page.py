"""The format page against the model: every field, action and rule, and both examples."""

from __future__ import annotations

import json
import re

import pytest
from pydantic import BaseModel
from tests.procedure.example import PAGE, example_text
from tests.procedure.hand_made import hand_made

from abreast.actions.prove import prove_text
from abreast.mechanics.ledger import RULES
from abreast.mechanics.ledger.dues import fixed_dues
from abreast.model import procedure as parts
from abreast.procedure.prove import prove
from abreast.procedure.read import procedure_text, read_procedure
from abreast.procedure.read_faults import ACTIONS

TEXT = PAGE.read_text(encoding="utf-8")
TABLES = (
    parts.Procedure, parts.FloorSite, parts.HoistLine, parts.FloorPiece, parts.Neck,
    parts.FloorJoint, parts.FloorHolder, parts.ClampPlace, parts.CableLine, parts.FloorUnion,
    parts.Due, parts.StartState, parts.Step,
)  # fmt: skip


@pytest.mark.parametrize("model", TABLES, ids=lambda one: one.__name__)
def test_every_field_is_told_and_no_other(model: type[BaseModel]) -> None:
    tables = re.findall(r"\| field \| meaning \| default \|\n\| --- .*\n((?:\|.*\n)+)", TEXT)
    shown = [[row.split(" | ")[:2] for row in table.splitlines()] for table in tables]
    fields = [[f"| `{name}`", one.description] for name, one in model.model_fields.items()]
    assert fields in shown


def test_every_action_has_an_example_that_is_one() -> None:
    lines = [json.loads(one) for one in re.findall(r"^```json\n(\{\"do\".*)\n```", TEXT, re.M)]
    assert [one["do"] for one in lines] == re.findall(r"^\*\*`(\w+)`\*\*: ", TEXT, re.M)
    assert sorted(one["do"] for one in lines) == sorted(ACTIONS)
    for one in lines:
        action = ACTIONS[one["do"]].model_validate_json(json.dumps(one), strict=True)
        assert (action.__doc__ or "") in TEXT
        for name, field in ACTIONS[one["do"]].model_fields.items():
            assert name == "do" or f"`{name}`: {field.description}" in TEXT


def test_every_rule_is_told_in_its_own_words() -> None:
    rows = re.findall(r"^\| `([\w-]+)` \| (.*) \|$", TEXT.split("## Rules")[1], re.M)
    assert dict(rows) == RULES


def test_every_fixed_due_is_told() -> None:
    cable = hand_made().cable
    assert cable is not None
    spliced = hand_made(cable=cable.model_copy(update={"splice_z_m": 20.0}))
    for due in fixed_dues(spliced):
        shown = "orientation ID" if due.id.startswith("orientation ") else due.id
        assert f"`{shown}`" in TEXT


def test_every_choice_is_told() -> None:
    schema = parts.Procedure.model_json_schema()
    for name in ("FloorPiece", "FloorJoint", "FloorHolder", "Due"):
        for field in schema["$defs"][name]["properties"].values():
            for choice in field.get("enum", ()):
                assert f"`{choice}`" in TEXT, (name, choice)


def test_the_example_is_proved_and_written_as_the_program_writes() -> None:
    procedure = read_procedure(example_text())
    assert prove(procedure).outcome == "proved"
    assert procedure_text(procedure) == example_text()


def test_the_refused_example_is_refused_as_shown() -> None:
    text = example_text(1)
    assert procedure_text(read_procedure(text)) == text
    report = prove_text(text, "refused.json")
    shown = re.findall(r"^```text\n(.*?)^```", TEXT, re.S | re.M)[-1]
    assert report.text() + "\n" == shown
    assert prove(report.repaired()).outcome == "proved"
