"""A bare case as text: what is refused, and what the answer object holds."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from benchmarks.spaceout.generate import generate
from benchmarks.spaceout.tiny import generate_tiny

from abreast.actions import solve as action
from abreast.actions.solve import solve_text
from abreast.errors import AbreastError, InputError
from abreast.spaceout.case import Answer, parse_case
from abreast.spaceout.checker import violations

Data = dict[str, Any]


def case(**changes: Any) -> Data:
    """Two joints and a pup on a base at 0; 50 + 20 + 10 leave the union its 5."""
    data = {
        "name": "small",
        "tick_mm": 1,
        "base": {"height": 0, "box": "SF"},
        "seat": {"min": 0, "max": 2},
        "gap": 85,
        "union": {"pin": "SF", "min": 4, "max": 6, "target": 5, "bucket": 1},
        "reserve": [0, 0, 0, 0],
        "clamps": [],
        "landings": [],
        "max_overall": 60,
        "max_items": 3,
        "stock": [
            {"id": i, "kind": kind, "overall": size, "effective": size, "pin": "SF", "box": "SF"}
            for i, kind, size in (("J1", "joint", 50), ("P20", "pup", 20), ("P10", "pup", 10))
        ],
    }
    return data | changes


def clamp(name: str, height: int) -> Data:
    return {"id": name, "height": height, "half_length": 5, "shift_up": 10}


def landing(name: str, table: int) -> Data:
    return {"id": name, "table": table, "window": [0, 5]}


def stock_with(**changes: Any) -> list[Data]:
    first, *rest = case()["stock"]
    return [first | changes, *rest]


LIFTS = {"max_pieces": 2, "max_length": 90, "pre_run_height": None}

# What is written, and words that the one sentence must have.
REFUSED: dict[str, tuple[Data, tuple[str, ...]]] = {
    "misspelt key": (
        {k: v for k, v in case(max_itmes=3).items() if k != "max_items"},
        ("unknown field 'max_itmes'", "did you mean 'max_items'?"),
    ),
    "key missing": ({k: v for k, v in case().items() if k != "gap"}, ("gap",)),
    "text for a number": (case(gap="85 mm"), ("gap", "integer")),
    "half a tick": (case(gap=85.5), ("gap", "integer")),
    "truth for a number": (case(gap=True), ("gap", "integer")),
    "number for a list": (case(stock=7), ("stock",)),
    "list for an object": (case(union=[4, 6]), ("union",)),
    "length below zero": (case(stock=stock_with(effective=0)), ("stock.0.effective", "1")),
    "id that is a number": (case(stock=stock_with(id=7)), ("stock.0.id", "string")),
    "id without signs": (case(stock=stock_with(id="")), ("stock.0.id",)),
    "infinite tick": (case(tick_mm=math.inf), ("tick_mm",)),
    "tick of no length": (case(tick_mm=0), ("tick_mm",)),
    "id twice": (case(stock=case()["stock"] * 2), ("'J1'", "more than once")),
    "locked piece unknown": (case(locked=["J9"]), ("locked", "'J9'", "not in the stock")),
    "locked piece twice": (case(locked=["J1", "J1"]), ("locked", "twice")),
    "reserve too short": (case(reserve=[0, 0]), ("reserve", "2 entries", "max_items = 3")),
    "union upside down": (case(union=case()["union"] | {"min": 7}), ("union", "min is above max")),
    "bucket of no width": (case(union=case()["union"] | {"bucket": 0}), ("union.bucket",)),
    "seat upside down": (case(seat={"min": 3, "max": 2}), ("seat", "min is above max")),
    "seat without end": (case(seat={"min": 0, "max": 10**6}), ("seat", "20,000", "coarser step")),
    "clamps overlap": (
        case(clamps=[clamp("C1", 20), clamp("C2", 35)]),
        ("C1 and C2", "overlap"),
    ),
    "clamp twice": (case(clamps=[clamp("C1", 20), clamp("C1", 60)]), ("clamps", "twice")),
    "landings fall": (
        case(landings=[landing("L1", 60), landing("L2", 50)], lifts=LIFTS),
        ("landings", "bottom-up"),
    ),
    "window upside down": (
        case(landings=[landing("L1", 60) | {"window": [5, 0]}]),
        ("landing L1", "upside down"),
    ),
    "pre-run above the first window": (
        case(landings=[landing("L1", 60)], lifts=LIFTS | {"pre_run_height": 66}),
        ("pre_run_height", "above"),
    ),
    "more landings passed than there are": (case(landings_passed=1), ("landings_passed",)),
    "accessory twice": (
        case(accessories=[{"kind": "nipple", "window": [0, 9]}] * 2),
        ("accessories", "twice"),
    ),
    "string without end": (case(gap=10**9), ("gap", "20,000,000", "coarser tick_mm")),
    "length beyond all reason": (case(gap=10**30), ("gap",)),
    "sixty-one items": (case(max_items=61, reserve=[0] * 62), ("max_items", "60")),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_case_is_refused_in_one_sentence(name: str) -> None:
    data, words = REFUSED[name]
    with pytest.raises(InputError) as caught:
        solve_text(json.dumps(data), "the case.json")
    told = str(caught.value)
    assert told.startswith("the case.json")
    assert "\n" not in told
    assert [word for word in words if word not in told] == [], told


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ("not readable as JSON",)),
        ("{", ("not readable as JSON",)),
        ('{"gap": 1,}', ("not readable as JSON",)),
        ("[" * 100_000, ("not readable as JSON",)),
        ("[1, 2]", ("a case is one JSON object",)),
        ("null", ("a case is one JSON object",)),
        ("\x00", ("not readable as JSON",)),
    ],
)
def test_text_that_is_no_json_object(text: str, words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        solve_text(text, "case.json")
    told = str(caught.value)
    assert told.startswith("case.json")
    assert "\n" not in told
    assert [word for word in words if word not in told] == [], told


def test_a_foreign_remark_may_stand() -> None:
    assert solve_text(json.dumps(case(planted={"items": []}, weather="dry")))["status"] == "optimal"


def test_no_rule_can_be_switched_off_by_a_key_of_the_file() -> None:
    data = case(landings=[landing("L1", 62) | {"required": False}])
    assert solve_text(json.dumps(data))["status"] == "infeasible"


# --- the answer ---------------------------------------------------------------------------


def test_answer_has_the_fields_of_the_format() -> None:
    answer = solve_text(json.dumps(case()))
    assert answer.pop("elapsed_s") >= 0
    assert answer == {
        "status": "optimal",
        "objective": [3, 0, 2, 0],
        "items": ["P20", "P10", "J1"],
        "seat": 0,
        "union": 5,
        "lifts": None,
        "clamp_shifts": {},
        "proved": True,
    }


def test_everything_asked_for_is_there_and_is_plain_json() -> None:
    data = generate(7, 20, "lifts")
    answer = solve_text(json.dumps(data), alternatives=3, fall_backs=True, explain=True)
    assert json.loads(json.dumps(answer)) == answer
    whole = parse_case(data)
    assert len(answer["alternatives"]) == 3
    sets = [frozenset(one["items"]) for one in (answer, *answer["alternatives"])]
    assert len(set(sets)) == 4
    for one in answer["alternatives"]:
        assert one["objective"] >= answer["objective"]
        assert violations(whole, one["items"], one["seat"], one["lifts"]) == []
    assert set(answer["fall_backs"]) == set(answer["items"])
    for rejected, loss in answer["fall_backs"].items():
        assert rejected not in loss["items"]
        assert {"changed_lines", "re_optimised"} <= set(loss)
    assert (answer["blocking"], answer["cures"]) == ([], [])


def test_alternatives_of_a_grip_without_length_are_not_forgotten() -> None:
    """P20 + J1 + P10 and the like: a grip at 50 or 70 is met by an end of two pieces."""
    touch = landing("L1", 70) | {"window": [-80, 20], "grip": [0, 0]}
    data = case(landings=[touch])
    data["stock"].append(data["stock"][2] | {"id": "P11", "effective": 11, "overall": 11})
    answer = solve_text(json.dumps(data), alternatives=2)
    assert [one["objective"] for one in answer["alternatives"]] == [[3, 0, 2, 0]]
    assert set(answer["alternatives"][0]["items"]) == {"J1", "P20", "P11"}


def test_infeasible_says_why() -> None:
    answer = solve_text(
        json.dumps(case(max_items=2)), alternatives=2, fall_backs=True, explain=True
    )
    assert (answer["status"], answer["objective"], answer["items"]) == ("infeasible", None, [])
    assert (answer["alternatives"], answer["fall_backs"]) == ([], {})
    assert "max_items" in answer["blocking"]
    kinds = {cure["kind"] for cure in answer["cures"]}
    assert kinds == {"union", "max_items", "pup"}


@pytest.mark.parametrize("limit_s", [0.0, 1e-9, 0.01])
def test_a_limit_holds_for_everything_together(limit_s: float) -> None:
    data = json.dumps(generate(3, 80, "lifts-scarce"))
    answer = solve_text(data, limit_s=limit_s, alternatives=3, fall_backs=True, explain=True)
    assert answer["status"] == "stopped"
    assert len(answer["bound"]) == 4
    assert not answer["proved"]


def test_a_wrong_answer_is_never_passed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """The checker stands between the search and the user."""
    wrong = Answer("optimal", (3, 0, 2, 0), ("J1", "P10", "P20"), 1, 5, proved=True)
    monkeypatch.setattr("abreast.spaceout.solve.solve", lambda *_, **__: wrong)
    with pytest.raises(AbreastError, match="failed its own check"):
        action.solve_text(json.dumps(case()))


def test_tiny_cases_of_every_kind_go_through() -> None:
    """Alternatives, fall-backs and reasons of a hundred cases; each passes its own check."""
    statuses = set()
    for seed in range(50_000, 50_060):
        data = json.dumps(generate_tiny(seed))
        answer = solve_text(data, alternatives=2, fall_backs=True, explain=True)
        statuses.add(answer["status"])
        assert (answer["blocking"] == []) is (answer["status"] == "optimal")
    assert statuses == {"optimal", "infeasible"}
