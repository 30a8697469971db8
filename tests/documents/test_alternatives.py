"""What to run instead, on paper."""

from __future__ import annotations

from tests.drawing.strings import CHOICE_1, CHOICE_2
from tests.model.jobs import job_1, job_2

from abreast.documents import alternatives_text
from abreast.model import FallBack, Plan


def sheet(**changes: object) -> str:
    plan = Plan(job_name="x", fingerprint="ABCD-EF01-A", status="optimal", choice=CHOICE_1)
    return alternatives_text(job_1(), plan.model_copy(update=changes))


def test_each_piece_has_its_fall_back_with_lifts_union_and_seat() -> None:
    """The live case of job 1: P04 galls, P02 takes its place, the union 0.08 ft more closed."""
    items = ("B05", "P07", "P01", "P02", "P08", "P10")
    lifts = (("B05",), ("P07",), ("P01",), ("P02",), ("P08", "P10"))
    near = CHOICE_1.model_copy(
        update={"items": items, "lifts": lifts, "union_m": 2.92 * 0.3048, "deviation_m": 0.024384}
    )
    text = sheet(fall_backs=(FallBack(rejected="P04", choice=near, changed=("P02",)),))
    assert "plan: B05  P07  P01  P04  P08+P10\n" in text
    assert "without P04 (new: P02): B05  P07  P01  P02  P08+P10\n" in text
    assert "union 2.92, 0.08 off the wanted length; seat height 0.25" in text
    assert "MOVES THE SEAT" not in text


def test_a_fall_back_that_moves_the_seat_says_so_aloud() -> None:
    moved = CHOICE_1.model_copy(update={"seat_m": 0.1})
    text = sheet(fall_backs=(FallBack(rejected="P04", choice=moved, best=CHOICE_1),))
    assert text.count("MOVES THE SEAT HEIGHT: only while it can still be set") == 1
    assert "or, all above it chosen anew: B05" in text
    assert "without P04 (no new piece)" in text


def test_a_piece_nothing_replaces_stands_with_its_cures() -> None:
    lost = FallBack(rejected="P10", choice=None, cures=("one more pup of 10 ft",))
    text = sheet(fall_backs=(lost,), runners_up=(CHOICE_1,))
    assert "without P10: NOTHING CLOSES\n  would help: one more pup of 10 ft" in text
    assert "runner-up 1: B05" in text


def test_pieces_in_the_well_are_not_in_the_lifts_but_in_the_string() -> None:
    later = CHOICE_1.model_copy(
        update={
            "lifts": CHOICE_1.lifts[2:] if CHOICE_1.lifts else None,
            "clamp_shifts_m": {"C2": 0.03},
        }
    )
    text = sheet(choice=later)
    assert "plan: B05  P07  P01  P04  P08+P10\n" in text
    assert "twin clamps moved: C2 +1.181 in" in text


def test_a_top_hung_draft_speaks_of_stick_down() -> None:
    plan = Plan(job_name="x", fingerprint="f", status="optimal", choice=CHOICE_2)
    text = alternatives_text(job_2(revision={"number": "3"}), plan)
    assert "stick-down 1.650" in text
    assert "DRAFT: not approved" in text
    assert max(map(len, text.splitlines())) <= 100


def test_nothing_closes_tells_rules_cures_and_unused_pieces() -> None:
    text = sheet(
        status="infeasible",
        choice=None,
        proof="Proved: nothing closes.",
        blocking=("lifts", "clamp C2", "accessory", "no single rule is the cause"),
        cures=("one more pup of 4.00 ft",),
    )
    assert "Proved: nothing closes." in text
    assert "lifts: each lift is made up within reach" in text
    assert "twin clamp C2: free pipe" in text
    assert "\n  accessory\n  no single rule is the cause\n" in text
    assert "\n  one more pup of 4.00 ft\n" in text


def test_pieces_not_used_are_grouped_by_reason() -> None:
    plan = Plan(job_name="x", fingerprint="f", status="optimal", choice=CHOICE_1)
    text = alternatives_text(job_1(), plan, {"B04": "no drift", "T01": "tail", "B06": "no drift"})
    assert "Not used from the rack:\n  no drift: B04, B06\n  tail: T01\n" in text
