"""The verdict box and findings in brief: what is open leads, and no code of a check is printed."""

from __future__ import annotations

from typing import Any

from abreast.documents.brief import LONGEST, brief, is_small
from abreast.documents.lists import findings_table
from abreast.documents.verdict import TOPICS, verdict_box
from abreast.model import Finding, Plan

LONG = "word " * 60


def found(name: str, status: Any = "ok", use: float | None = None, **more: Any) -> Finding:
    own = {"id": name, "question": f"Is {name.partition(':')[0]} kept?", "text": "t."}
    return Finding(**(own | {"status": status, "utilisation": use} | more))


def box(*findings: Finding, narrow: str = "") -> dict[str, Any]:
    plan = Plan(job_name="x", fingerprint="x", status="optimal", findings=findings)
    return verdict_box(plan, "oilfield", narrow)


def test_what_was_kept_is_told_by_topic_with_the_most_that_is_used() -> None:
    made = box(
        found("passage-moment:a", use=0.5),
        found("dogleg:b", "near limit", 0.931),
        found("setting-depth:c", use=0.29),
        found("slings:d", use=0.11),
        found("hook-load:e", "not checked"),
    )
    assert made["kept"] == "way down 93.1 %, set there 29 %, all else 11 %"
    assert made["exceeded"] == []


def test_nothing_checked_is_not_called_kept() -> None:
    made = box(found("passage:a", "not checked", needs=("a survey",)))
    assert made["kept"] == ""
    assert made["first"] == ["Is passage kept? needs a survey"]


def test_what_exceeds_is_no_part_of_what_is_kept() -> None:
    made = box(found("hook-load:up", "exceeds", 1.2, text="Pull 12 of 10.", where="up"))
    assert made["kept"] == ""
    assert made["exceeded"] == ["Is hook-load kept? up Pull 12 of 10."]


def test_narrower_casing_is_told_with_its_numbers_and_checks_are_counted_once() -> None:
    open_ = [
        found("passage-narrow:worst", "not checked", needs=("a caliper", "a dummy")),
        found("fit-along:a", "not checked", needs=("a drift",), where="a"),
        found("fit-along:b", "not checked", needs=("a drift",), where="b"),
    ]
    made = box(*open_, narrow="narrower casing, at its drift: 16 of 16 places do not fit")
    first, second = made["first"]
    assert first == (
        "Narrower casing, at its drift: 16 of 16 places do not fit. Needs a caliper; a dummy"
    )
    assert second == "Is fit-along kept? a: needs a drift; and 1 more like it"
    assert made["open"] == 2


def test_every_topic_knows_checks_that_are_asked() -> None:
    from abreast.checks import CHECKS

    for topic in TOPICS:
        for start in topic.checks:
            assert any(one.id.startswith(start) for one in CHECKS), start


def test_a_long_finding_is_told_by_its_question_and_never_by_its_code() -> None:
    long = found("passage-clamp-grip:C1", text=LONG, where="C1")
    assert len(LONG) > LONGEST
    assert brief(long, "SI") == "Is passage-clamp-grip kept? C1: in full in findings.csv."
    sized = long.model_copy(update={"dimension": "force", "value": 4448.22, "limit": 8896.44})
    assert "C1: 1,000 lbf, limit 2,000 lbf" in brief(sized, "oilfield")


def test_sizes_across_the_string_stand_in_inches_in_every_list() -> None:
    """8.660 in are 0.7217 ft (1 in = 25.4 mm, NIST SP 811): no diameter is printed so."""
    words = f"they need 8.660 in: 0.135 in over. {LONG}"
    wide = found("fit-along:a", "exceeds", 1.02, text=words).model_copy(
        update={"dimension": "length", "value": 8.660 * 0.0254, "limit": 8.525 * 0.0254}
    )
    assert is_small(wide, "oilfield")
    assert "8.660 in, limit 8.525 in" in brief(wide, "oilfield")
    table = findings_table([wide], "oilfield")
    row = dict(zip([one.heading for one in table.columns], table.rows[0].cells, strict=True))
    assert (row["value"], row["limit"], row["unit"]) == ("8.66", "8.525", "in")
    long = wide.model_copy(update={"text": "31.42 ft of pipe.", "value": 31.42 * 0.3048})
    assert not is_small(long, "oilfield")
