"""The summary is one screen of whole sentences, whatever the plan holds."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.drawing.strings import CHOICE_1, planned_1

from abreast.actions.plan_text import plan_text
from abreast.actions.report import clip, columns, first_blocks, first_lines, wrap
from abreast.documents.brief import LONGEST
from abreast.model import Choice, Correction, FallBack, Finding, Plan, Suspicion

JOB, ASSEMBLY = planned_1()
TEXT = st.text(max_size=150) | st.sampled_from(["x" * 150, "two words " * 15, "line\nbreak"])
STATUS = st.sampled_from(["ok", "near limit", "exceeds", "not checked"])
FINDINGS = st.builds(
    Finding,
    id=TEXT,
    question=TEXT,
    status=STATUS,
    text=TEXT,
    utilisation=st.none() | st.floats(0, 30),
    where=TEXT,
    needs=st.lists(TEXT, max_size=3).map(tuple),
)
ITEMS = st.lists(st.text(max_size=30), max_size=16).map(tuple)
CHOICES = st.builds(
    Choice,
    items=ITEMS,
    seat_m=st.floats(0, 1),
    union_m=st.floats(0, 1),
    bucket=st.just(0),
    pups=st.just(0),
    deviation_m=st.floats(0, 1),
)
FALL_BACKS = st.builds(
    FallBack,
    rejected=TEXT,
    choice=st.none() | CHOICES,
    changed=ITEMS,
    cures=st.lists(TEXT, max_size=3).map(tuple),
)
REASONS = st.lists(TEXT, max_size=30).map(tuple)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    has = draw(st.booleans())
    landings = ASSEMBLY.landings * draw(st.integers(0, 5))
    seat_m = draw(st.sampled_from([ASSEMBLY.seat_m, 0.0]))
    return Plan(
        job_name="x",
        fingerprint="ABCD-EF01-A",
        status=draw(st.sampled_from(["optimal", "infeasible", "stopped", "blocked"])),
        proof=draw(TEXT),
        choice=CHOICE_1 if has else None,
        assembly=ASSEMBLY.model_copy(update={"landings": landings, "seat_m": seat_m})
        if has
        else None,
        findings=tuple(draw(st.lists(FINDINGS, max_size=25))),
        fall_backs=tuple(draw(st.lists(FALL_BACKS, max_size=16))),
        irreplaceable=draw(ITEMS),
        blocking=draw(REASONS),
        cures=draw(REASONS),
    )


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(plans(), st.dictionaries(TEXT, TEXT, max_size=20), st.integers(0, 30))
def test_any_plan_takes_about_a_screen(plan: Plan, dropped: dict[str, str], barred: int) -> None:
    """The texts are longer than any real ones; each is whole or, with its list, only counted."""
    suspicions = [Suspicion(file="f", field="x", piece=f"P{n}", text="t") for n in range(barred)]
    job = JOB.model_copy(update={"name": "n" * 80, "suspicions": tuple(suspicions)})
    lines = plan_text(job, plan, dropped, "/a/long/path" * 12, ["f"] * 9).split("\n")
    assert len(lines) <= 65
    assert max(map(len, lines)) <= 100
    assert "ABCD-EF01-A" in " ".join(lines[:2])
    cut = [one for one in lines if "…" in one and not one.startswith("  … and ")]
    assert cut == []


@given(st.lists(st.lists(st.just("x"), min_size=1, max_size=4), max_size=9), st.integers(1, 20))
def test_blocks_are_whole_or_counted(blocks: list[list[str]], most: int) -> None:
    shown = first_blocks(blocks, most, "all.txt")
    told = shown[-1:] if shown and shown[-1].startswith("  … and ") else []
    left = int(told[0].split()[2]) if told else 0
    kept = blocks[: len(blocks) - left]
    assert shown == [line for block in kept for line in block] + told
    first = len(blocks[0]) if blocks else 0
    assert len(shown) <= max(most, first + bool(told))
    if told:
        assert told[0].endswith("more, see all.txt")


def test_a_wide_cell_moves_only_its_own_row() -> None:
    assert columns([("a", "b"), ("x" * 9, "c")], most=4) == ["a  b", "xxxxxxxxx  c"]


def text_of(**changes: object) -> str:
    plan = Plan(
        job_name="x",
        fingerprint="ABCD-EF01-A",
        status="optimal",
        proof="Proved.",
        choice=CHOICE_1,
        assembly=ASSEMBLY,
    )
    return plan_text(JOB, plan.model_copy(update=changes), {}, "out", [])


def test_lifts_landings_and_union_read_as_on_the_rig() -> None:
    """P08 11.83 and P10 9.77 go up as one; the bypass top then stands 2.51 ft above the plate."""
    lines = [" ".join(line.split()) for line in text_of().splitlines()]
    assert "L5 pump-3 P08 11.83 + P10 9.77 then top 2.51 above plate (2.00 to 5.50)" in lines
    union = "Union 3.00 ft; stroke left 0.40 to closed, 0.40 to open; seat height 0.25 ft (3 in)"
    assert union in lines
    assert "Tape before the Y-tool goes on: ESP face 2.38 ft above the bypass top" in lines


def test_a_seat_that_is_not_as_planned_is_told() -> None:
    assert "SET ANEW" not in text_of(choice=CHOICE_1, assembly=ASSEMBLY)
    moved = ASSEMBLY.model_copy(update={"seat_m": 0.0})
    text = text_of(choice=CHOICE_1, assembly=moved)
    assert "SET ANEW: the job had planned seat height 0.25 ft" in text


def test_what_was_not_checked_is_counted_and_the_first_told() -> None:
    missing = Finding(
        id="a", question="q", status="not checked", text="t", where="L1", needs=("mass of P01",)
    )
    ok = Finding(id="b", question="q", status="ok", text="fine", utilisation=0.5)
    text = text_of(findings=(missing, missing, ok))
    assert "Checks: 0 exceeds, 0 near limit, 2 not checked, 1 ok" in text
    assert "2 not checked, first: L1: needs mass of P01" in text
    assert "  ok 50.0%: fine" in text


def test_limits_come_before_standing_facts_which_take_a_line_for_each_check() -> None:
    ports = [
        Finding(id=f"port:{name}", question="In reach?", status="near limit", text="t", where=name)
        for name in ("pothead", "vent", "drain")
    ]
    tight = Finding(
        id="sling:L4", question="q", status="near limit", text="short", utilisation=0.94
    )
    lines = text_of(findings=(*ports, tight)).split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("Checks: "))
    assert lines[at + 1 : at + 3] == [
        "  near limit 94.0%: short",
        "  near limit at pothead, vent, drain: In reach?",
    ]


def test_a_topic_tells_its_verdict_what_is_nearest_and_what_is_open() -> None:
    bend = Finding(
        id="passage-moment:joints",
        question="q",
        status="ok",
        text="Bent by 9 of 10.",
        utilisation=0.9,
    )
    open_ = Finding(
        id="dogleg:all", question="q", status="not checked", text="t", where="all", needs=("a", "b")
    )
    text = " ".join(text_of(findings=(bend, open_)).split())
    assert (
        "Way down: every limit that was checked is kept, 90.0 % used at most. Nearest: Bent by 9 of"
        " 10. 1 NOT CHECKED, first: all: needs a and 1 more."
    ) in text
    over = bend.model_copy(update={"status": "exceeds", "utilisation": 1.2})
    text = " ".join(text_of(findings=(over,)).split())
    assert "Way down: 1 LIMIT EXCEEDED, see EXCEEDS below." in text
    assert "EXCEEDS 120.0%: Bent by 9 of 10." in text
    text = " ".join(text_of(findings=(open_,)).split())
    assert "Way down: no limit was checked. 1 NOT CHECKED, first: all: needs a and 1 more." in text
    assert "is kept" not in text


def test_of_a_long_finding_the_figures_are_shown_and_no_part_of_a_sentence() -> None:
    """4,338.6 N m are 3,200 lbf ft (1.35582 N m each, NIST SP 811)."""
    long = Finding(
        id="lift:A",
        question="q",
        status="near limit",
        text="word " * 60,
        utilisation=0.95,
        dimension="torque",
        value=4338.6 * 0.95,
        limit=4338.6,
    )
    assert len(long.text) > LONGEST
    text = text_of(findings=(long,))
    shown = "  near limit 95.0%: q: 3,040 lbf·ft, limit 3,200 lbf·ft; in full in findings.csv."
    assert shown in text.split("\n")
    assert "word" not in text
    bare = long.model_copy(update={"value": None, "limit": None})
    assert "  near limit 95.0%: q: in full in findings.csv." in text_of(findings=(bare,))


def test_the_gravest_that_no_topic_told_is_told_with_the_count() -> None:
    def missing(name: str, need: str) -> Finding:
        return Finding(id=name, question="q", status="not checked", text="t", needs=(need,))

    text = text_of(findings=(missing("hook-load:up", "a rope"), missing("connections:x", "a pin")))
    assert text.count("needs a rope") == 1
    assert "2 not checked, besides those above: needs a pin" in text
    text = text_of(findings=(missing("hook-load:up", "a rope"),))
    assert "1 not checked, told above" in text


def test_what_a_topic_told_is_not_told_again() -> None:
    near = Finding(
        id="hook-load:up", question="q", status="near limit", text="Pull 9 of 10.", utilisation=0.9
    )
    assert text_of(findings=(near,)).count("Pull 9 of 10.") == 1


def test_fall_backs_name_new_pieces_and_a_moved_seat() -> None:
    moved = CHOICE_1.model_copy(update={"seat_m": 0.0})
    good = FallBack(rejected="P01", choice=CHOICE_1, changed=("P02",))
    text = text_of(
        fall_backs=(
            good,
            good.model_copy(update={"choice": moved}),
            FallBack(rejected="P04", choice=None, cures=("one more pup of 4.00 ft",)),
        ),
        irreplaceable=("P04",),
    )
    assert "without P01: run B05 P07 P01 P04 P08 P10 (new: P02)" in text
    assert "(new: P02; MOVES THE SEAT)" in text
    assert "without P04: nothing closes; would help: one more pup of 4.00 ft" in text
    assert "NOTHING CLOSES WITHOUT: P04" in text
    assert "every piece can be replaced" not in text


def test_corrections_and_barred_pieces_are_counted() -> None:
    common = {"file": "rack", "row": 2, "field": "overall", "who": "A", "why": "w"}
    fixed = Correction(was="1", now="2", when=date(2024, 1, 1), **common)  # type: ignore[arg-type]
    kept = Correction(was="1", now="1", when=date(2024, 1, 1), **common)  # type: ignore[arg-type]
    barred = Suspicion(file="rack.csv", field="x", piece="P23", text="t")
    job = JOB.model_copy(update={"corrections": (fixed, kept), "suspicions": (barred,)})
    plan = Plan(job_name="x", fingerprint="f", status="infeasible", proof="p", cures=("c",))
    text = plan_text(job, plan, {"P99": "no drift"}, "out", [])
    assert "Corrections: 1 cell corrected, 1 accepted as it stands" in text
    assert "Barred by open suspicions, see abreast check: P23" in text
    assert "Not used from the rack:\n  no drift: P99" in text


@pytest.mark.parametrize("width", [1, 5, 100])
@given(st.text(max_size=120))
def test_clip_never_exceeds_its_width(width: int, text: str) -> None:
    shown = clip(text, width)
    assert len(shown) <= width
    assert "\n" not in shown


def test_lists_are_cut_with_a_count() -> None:
    assert first_lines(list("abc"), 3, "f") == ["a", "b", "c"]
    assert first_lines(list("abcd"), 3, "f") == ["a", "b", "  … and 2 more, see f"]
    assert len(wrap("word " * 100, 2)) == 2
    assert columns([("a", "b"), ("long", "c")]) == ["a     b", "long  c"]
    assert columns([]) == []
