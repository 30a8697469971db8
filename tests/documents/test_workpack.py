"""The printed work pack, read back with pypdf: what is on every page, and what must not be lost.

The shape of the file is held to ISO 19005-2 (PDF/A-2), the QR code to nothing here but its size.
"""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from tests.drawing.strings import CHOICE_1, CHOICE_2, planned_1, planned_2
from tests.model.jobs import FT, job_1, pipe_row

from abreast.checks import run_checks, tightest_first
from abreast.documents import PackDrawing, tally, workpack
from abreast.documents import workpack_typst as typesetting
from abreast.documents.workpack import workpack_data
from abreast.documents.workpack_glyphs import FONTS, coverage, shown
from abreast.documents.workpack_origins import DOUBTFUL, doubtful, given_values
from abreast.documents.workpack_torque import torques
from abreast.documents.workpack_words import verdict
from abreast.drawing import DRAWINGS, svg
from abreast.errors import AbreastError, MissingInputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import Assembly, Choice, Correction, FallBack, Job, Plan, Signature, fingerprint
from abreast.spaceout.assemble import assemble

DAY = date(2024, 5, 1)
SIGNED = {
    "number": "C",
    "prepared": Signature("A. Pell", DAY),
    "checked": Signature("B. Orr", date(2024, 5, 2)),
    "approved": Signature("C. Ives", date(2024, 5, 3)),
}
DRAFT = SIGNED | {"approved": None}
HOSTILE = "#panic(1) *b* $x$ <a> [c] \\ @r _i_ `c` = - + / // /* */"
NO_BLANK = "Q" * 40 + "-" + "W" * 39


def plan_of(job: Job, assembly: Assembly, choice: Choice, **changes: Any) -> Plan:
    lost = FallBack(rejected="P01", choice=None, cures=("one more pup of 20 ft",))
    kept = FallBack(rejected="B05", choice=choice, changed=("B05",))
    return Plan(
        job_name=job.name,
        fingerprint=fingerprint(job),
        status="optimal",
        proved=True,
        proof="Proved: nothing is better.",
        choice=choice.model_copy(update={"irreplaceable": ("P01",)}),
        fall_backs=(kept, lost),
        irreplaceable=("P01",),
        assembly=assembly,
        findings=tightest_first(run_checks(job, assembly, choice)),
    ).model_copy(update=changes)


def packed(job: Job, assembly: Assembly, choice: Choice, **changes: Any) -> bytes:
    scenes = DRAWINGS["spaceout_true"].make(job, assembly)
    drawings = [PackDrawing("Space-out drawing", svg(one), "spaceout_true.svg") for one in scenes]
    return workpack(job, plan_of(job, assembly, choice, **changes), {"P99": "no drift"}, drawings)


def pages_of(pdf: bytes) -> list[str]:
    """Words of each page; a sign without width only marks where a long word may break."""
    reader = PdfReader(io.BytesIO(pdf))
    return [page.extract_text().replace("\u200b", "") for page in reader.pages]


def close(text: str) -> str:
    """Words without blanks and line ends, which depend on the width of a column."""
    return re.sub(r"\s+", "", text.replace("\u200b", ""))


@pytest.fixture(scope="module", params=[1, 2])
def pack(request: pytest.FixtureRequest) -> tuple[Job, Plan, list[str]]:
    job, assembly = (planned_1 if request.param == 1 else planned_2)(revision=DRAFT)
    choice = CHOICE_1 if request.param == 1 else CHOICE_2
    pdf = packed(job, assembly, choice)
    return job, plan_of(job, assembly, choice), pages_of(pdf)


def test_every_page_says_draft_and_whose_it_is(pack: tuple[Job, Plan, list[str]]) -> None:
    job, plan, pages = pack
    assert len(pages) > 8
    for number, page in enumerate(pages, 1):
        words = close(page)
        assert "DRAFT" in words, number
        assert close(f"fingerprint {plan.fingerprint}, revision {job.revision.number}") in words
        assert close(job.name) in words
        assert f"page{number}of{len(pages)}" in words


def test_an_approved_pack_says_draft_nowhere_and_names_who_signed() -> None:
    job, assembly = planned_1(revision=SIGNED)
    pages = pages_of(packed(job, assembly, CHOICE_1))
    assert all("DRAFT" not in page for page in pages)
    assert close("Prepared A. Pell 2024-05-01 Checked B. Orr 2024-05-02") in close(pages[0])
    assert close("Approved C. Ives 2024-05-03") in close(pages[0])


def test_a_pack_with_one_signature_short_is_a_draft() -> None:
    job, assembly = planned_1(revision=SIGNED | {"checked": None})
    assert all("DRAFT" in page for page in pages_of(packed(job, assembly, CHOICE_1)))


def test_every_finding_is_printed_with_its_status(pack: tuple[Job, Plan, list[str]]) -> None:
    _, plan, pages = pack
    words = close(" ".join(pages))
    topics = words[words.rindex("Bytopic") :]
    assert plan.findings
    for one in plan.findings:
        status = "EXCEEDS" if one.status == "exceeds" else one.status
        assert close(status + (one.where or "whole job") + one.text) in topics, one.id
        assert close(one.question) in topics
        assert close(one.basis) in topics
        assert close(one.action) in topics
    for one in plan.findings:
        if one.status in ("exceeds", "near limit"):
            assert words.count(close(one.text)) >= 2, one.id


def test_what_was_not_checked_names_what_it_needs(pack: tuple[Job, Plan, list[str]]) -> None:
    _, plan, pages = pack
    words = close(" ".join(pages))
    part = words[words.rindex("Notapass.") :]
    missing = [one for one in plan.findings if one.status == "not checked"]
    assert missing
    for one in missing:
        assert all(close(need) in part for need in one.needs)
        assert close(one.question) in part


def test_every_row_of_the_tally_is_printed() -> None:
    rack = [*job_1().model_dump(include={"rack"})["rack"]]
    bad = pipe_row("B04", 31.55, "SF", FT) | {
        "drift": "stopped",
        "status": "rejected",
        "status_reason": "drift stopped 14 ft in",
    }
    spare = pipe_row("P22", 2.02, "SF", FT) | {"note": "upper row of the rack"}
    job, assembly = planned_1(rack=[*rack, bad, spare])
    data = workpack_data(job, plan_of(job, assembly, CHOICE_1), {})
    pages = pages_of(packed(job, assembly, CHOICE_1))
    (start,) = (n for n, page in enumerate(pages) if n and "Effective is overall" in page)
    words = close(" ".join(pages[start : start + 2]))
    for row in data["tally"]["rows"]:
        figures = (row["overall"], row["loss"], row["effective"], row["cumulative"], row["top"])
        line = row["no"] + row["part"] + row["id"] + (row["what"] or "")
        assert close(line) in words
        assert close("".join(figures) + row["depth"]) in words
    assert [row["id"] for row in data["tally"]["rows"]] == [
        row.id for row in tally(job, assembly).rows
    ]
    assert close("B04 joint SF pin/box 31.55 rejected: drift stopped 14 ft in") in words
    whole = close(" ".join(pages))
    assert close("RED TAPE do not use: rejected: drift stopped 14 ft in") in whole
    assert close("stays on the rack (upper row of the rack)") in whole


def test_the_pull_order_is_that_of_running() -> None:
    """Pieces leave the rack as they go into the well: the tail first, then the choice."""
    job, assembly = planned_1()
    pulls = workpack_data(job, plan_of(job, assembly, CHOICE_1), {})["rack"]["pulls"]
    tail = ["P24", "T01", "T02", "T03", "T05", "P25"]
    assert [one["id"] for one in pulls] == [*tail, *CHOICE_1.items]
    assert [one["pull"] for one in pulls] == [str(n) for n in range(1, 13)]
    assert pulls[-1]["lift"] == "one lift, made up on the rack: P08+P10 (D1)"
    assert pulls[-1]["when"] == "before landing L5"


def test_the_running_list_holds_every_piece_once_and_every_landing() -> None:
    job, assembly = planned_1()
    run = workpack_data(job, plan_of(job, assembly, CHOICE_1), {})["run"]
    numbers = [row["no"] for stage in run["stages"] for row in stage["rows"]]
    assert numbers == [str(n) for n in range(1, 28)]
    landings = [stage["landing"]["id"] for stage in run["stages"] if stage["landing"]]
    assert landings == ["L1", "L2", "L3", "L4", "L5"]
    assert "2.38 ft" in run["stages"][-1]["tape"]


def test_torques_are_those_of_the_joint_below() -> None:
    """From the bundled job: flange of the gauge 35, motor 55, swivel nut of the pup 900 lbf·ft."""
    job = read_job(example_path("quernstone_14")).require_job()
    assembly = assemble(job, CHOICE_1)
    found = torques(tally(job, assembly), assembly)
    assert found["motor"] == "35 each bolt"
    assert found["protector"] == "55 each bolt"
    assert found["pump-1"] == "workshop joint"
    assert found["B05"] == "1,300 / 1,450 / 1,600"
    assert found["T01"] == "1,700 / 2,250 / 2,800"
    assert found["adjustable union"] == "1,450"
    assert found["Y-tool"] == "ESP leg 900, bypass leg 1,450"
    assert "guide" not in found


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "Space-out found and proved"),
        ({"status": "stopped"}, "Space-out found, NOT PROVED: the search was stopped"),
        ({"status": "stopped", "choice": None}, "NO SPACE-OUT FOUND: the search was stopped"),
        ({"status": "blocked", "choice": None}, "NOT PLANNED: open suspicions"),
    ],
)
def test_the_verdict_claims_no_proof_that_is_not_there(changes: dict[str, Any], said: str) -> None:
    plan = plan_of(*planned_1(), CHOICE_1).model_copy(update={"findings": (), **changes})
    assert verdict(plan) == said


def test_a_proved_space_out_over_a_limit_is_not_to_be_run() -> None:
    plan = plan_of(*planned_1(), CHOICE_1)
    over = [one.model_copy(update={"status": "exceeds"}) for one in plan.findings[:2]]
    said = verdict(plan.model_copy(update={"findings": tuple(over)}))
    assert said.startswith("DO NOT RUN IT SO: 2 limits are exceeded")


def test_rows_to_write_on_are_big_enough_for_gloves() -> None:
    """At least 9 mm from one piece to the next, as a hand in a glove needs it."""
    job, assembly = planned_1()
    reader = PdfReader(io.BytesIO(packed(job, assembly, CHOICE_1)))
    (page,) = (p for p in reader.pages if "In this order, from the top" in p.extract_text())
    heights: dict[str, float] = {}

    def see(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        heights.setdefault(text.strip(), tm[5] * cm[3] + cm[5])

    page.extract_text(visitor_text=see)
    at = [heights[name] for name in ("T01", "T02", "T03", "T05", "P25")]
    gaps_mm = [abs(low - high) * 25.4 / 72 for low, high in pairwise(at)]
    assert min(gaps_mm) >= 9.0
    assert max(gaps_mm) < 20.0


def test_what_has_no_fall_back_stands_out(pack: tuple[Job, Plan, list[str]]) -> None:
    words = close(" ".join(pack[2]))
    assert close("NO FALL-BACK Nothing closes without P01.") in words
    assert close("P01 NOTHING CLOSES Stop and call the office.") in words
    assert close("would help: one more pup of 20 ft") in words
    assert close("NOTHING CLOSES WITHOUT P01") in words


def test_a_name_is_printed_as_it_is_and_never_run() -> None:
    job, assembly = planned_1(name=HOSTILE, well=NO_BLANK, note=HOSTILE)
    pages = pages_of(packed(job, assembly, CHOICE_1, proof=HOSTILE))
    assert all(close(HOSTILE) in close(page) for page in pages)
    assert close(NO_BLANK) in close(pages[0])


def test_a_sign_without_a_glyph_is_printed_as_its_code() -> None:
    """U+4E95 is not in the typeface; U+202E would turn the words round it."""
    job, assembly = planned_1(well="well 井 \u202e7", name="Brønn ≥ 4 µ")
    pages = pages_of(packed(job, assembly, CHOICE_1))
    assert close("Well well [U+4E95] [U+202E]7") in close(pages[0])
    assert close("Brønn ≥ 4 µ") in close(pages[0])


def test_coverage_is_what_fonttools_reads() -> None:
    """Against fontTools' own reader of the same files, basic plane."""
    from fontTools.ttLib import TTFont

    maps = [set(TTFont(path).getBestCmap()) for path in sorted(FONTS.glob("*.ttf"))]
    assert len(maps) == 2
    common = {code for code in maps[0] & maps[1] if code < 0xFFFF}
    assert coverage() == common
    assert shown("A\u0000\u4e95") == "A[U+0000][U+4E95]"


def test_without_a_space_out_the_pack_tells_why() -> None:
    job = job_1(revision=DRAFT)
    plan = Plan(
        job_name=job.name,
        fingerprint=fingerprint(job),
        status="infeasible",
        proof="Proved: no choice closes.",
        blocking=("landing L3",),
        cures=("one more pup of 22 ft",),
    )
    pages = pages_of(workpack(job, plan, {"P99": "no drift"}))
    words = close(" ".join(pages))
    for said in (
        "NO SPACE-OUT: nothing closes",
        "landing L3: the bypass top must stand in its working window",
        "one more pup of 22 ft",
        "no drift: P99",
        "No string was planned, so no check was made.",
    ):
        assert close(said) in words
    assert close("Running list") not in words
    assert all("DRAFT" in page for page in pages)


def test_the_file_is_pdf_a_2b_with_its_typefaces_in_it() -> None:
    """ISO 19005-2: part and conformance in XMP (6.6.4), an output intent (6.2.3), every typeface
    embedded (6.2.11.4.1), no encryption (6.1.3); A4 is ISO 216."""
    job, assembly = planned_1(revision=SIGNED)
    reader = PdfReader(io.BytesIO(packed(job, assembly, CHOICE_1)))
    xmp = reader.xmp_metadata
    assert xmp is not None
    space = "http://www.aiim.org/pdfa/ns/id/"
    told = {n.localName: n.firstChild.data for n in xmp.get_nodes_in_namespace("", space)}
    told |= {
        a.localName: a.value
        for n in xmp.rdf_root.getElementsByTagName("rdf:Description")
        for a in n.attributes.values()
        if a.namespaceURI == space
    }
    assert told == {"part": "2", "conformance": "B"}
    assert not reader.is_encrypted
    assert "/OutputIntents" in reader.root_object
    descriptors = 0
    for one in (reader.get_object(n) for n in range(1, len(reader.xref[0]) + 1)):
        if isinstance(one, dict) and one.get("/Type") == "/FontDescriptor":
            descriptors += 1
            assert {"/FontFile2", "/FontFile3"} & set(one)
    assert descriptors >= 2
    first = reader.pages[0].mediabox
    assert [round(float(side) * 25.4 / 72) for side in (first.width, first.height)] == [210, 297]
    assert reader.metadata is not None
    assert reader.metadata.creation_date is not None
    assert reader.metadata.creation_date.date() == date(2024, 5, 3)


_ANEW = """
import sys
from pathlib import Path
from tests.documents.test_workpack import CHOICE_1, packed, planned_1
Path(sys.argv[1]).write_bytes(packed(*planned_1(), CHOICE_1))
"""


def test_the_same_plan_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    """Another process, another clock zone and language: nothing of the machine gets in."""
    out = tmp_path / "anew.pdf"
    root = Path(__file__).resolve().parents[2]
    changed = {"TZ": "Pacific/Auckland", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1", "HOME": "/"}
    command = [sys.executable, "-c", _ANEW, str(out)]
    subprocess.run(command, cwd=root, env=os.environ | changed, check=True)
    assert out.read_bytes() == packed(*planned_1(), CHOICE_1)


def test_a_warning_stops_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A typeface that is missing is only a warning to the typesetter; here it is an end."""
    main = "#set document(date: datetime(year: 2024, month: 5, day: 1))\n"
    (tmp_path / "workpack.typ").write_text(main + '#set text(font: "No Such Face")\nwords')
    monkeypatch.setattr(typesetting, "_TEMPLATES", tmp_path)
    with pytest.raises(AbreastError, match=r"could not be set.*no such face"):
        typesetting.typeset({}, {})


def test_a_template_cannot_read_outside_its_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("x")
    inner = tmp_path / "templates"
    inner.mkdir()
    (inner / "workpack.typ").write_text(f'#read("{secret}")')
    monkeypatch.setattr(typesetting, "_TEMPLATES", inner)
    with pytest.raises(AbreastError, match="could not be set"):
        typesetting.typeset({}, {})


@pytest.mark.parametrize("package", ["typst", "segno"])
def test_a_missing_package_is_named_with_the_way_to_get_it(
    package: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(MissingInputError) as fault:
        packed(*planned_1(), CHOICE_1)
    assert fault.value.needs == (
        f"the package {package} (install abreast with its 'documents' extra)"
    )


def test_every_doubtful_value_is_listed() -> None:
    job = job_1()
    found = [one for one in given_values(job) if one.origin.kind in DOUBTFUL]
    listed = doubtful(job)
    assert sum(group["count"] for group in listed) == sum(one.table != "rules" for one in found)
    every = {(one.table, one.text) for one in found if one.table != "rules"}
    printed = {
        (line["table"], text)
        for group in listed
        for line in group["fields"]
        for text in re.findall(r"-?[\d,.]+\d|\d", line["values"])
    }
    assert every <= printed
    kinds = [group["origin"].split(":")[0] for group in listed]
    assert kinds == sorted(kinds, key=DOUBTFUL.index)


def test_corrections_are_printed_with_who_when_and_why() -> None:
    fixed = Correction(
        file="rack.csv", row=7, field="overall", was="31.42", now="31.24",
        who="A. Pell", when=DAY, why="digits swapped; taped again",
    )  # fmt: skip
    kept = fixed.model_copy(update={"row": 9, "now": "31.42", "why": "it is that long"})
    job, assembly = planned_1(corrections=(fixed, kept))
    words = close(pages_of(packed(job, assembly, CHOICE_1))[-1])
    assert close("rack.csv 7 overall 31.42 31.24 A. Pell 2024-05-01 digits swapped; taped") in words
    assert close("31.42 accepted as it stands A. Pell 2024-05-01 it is that long") in words


def test_long_words_run_on_to_the_next_page_and_off_none() -> None:
    """The longest remarks a job takes, in the narrowest columns: nothing lies under the foot."""
    long = ("longwords " * 198) + "ENDMARK"
    rack = [*job_1().model_dump(include={"rack"})["rack"]]
    rack[0] |= {"note": long}
    bad = pipe_row("B04", 31.55, "SF", FT) | {"status": "rejected", "status_reason": long}
    why = Correction(file="rack.csv", row=7, field="note", was=long, who="A", when=DAY, why=long)
    job, assembly = planned_1(rack=[*rack, bad], corrections=(why,), note=long)
    reader = PdfReader(io.BytesIO(packed(job, assembly, CHOICE_1)))
    lowest_mm, ends = [], 0
    for page in reader.pages:
        seen: list[tuple[str, float]] = []
        page.extract_text(
            visitor_text=lambda text, cm, tm, *_, seen=seen: seen.append(
                (text, (tm[5] * cm[3] + cm[5]) * 25.4 / 72)
            )
        )
        body = [y for text, y in seen if "longwords" in text or "ENDMARK" in text]
        ends += sum(text.count("ENDMARK") for text, _ in seen)
        lowest_mm += [min(body)] if body else []
    assert min(lowest_mm) > 21.0
    assert ends >= 6


def test_a_drawing_keeps_its_own_paper_and_hides_nothing() -> None:
    """A3 stays A3, and the drawing its full size: a ruler may be laid on it."""
    job, assembly = planned_1()
    size = 'width="297mm" height="420mm" viewBox="0 0 297 420"'
    marks = '<text x="20" y="30" font-size="4">§</text><text x="20" y="330">¶</text>'
    a3 = PackDrawing("Wide", f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{marks}</svg>')
    pdf = workpack(job, plan_of(job, assembly, CHOICE_1), {}, [a3, replace(a3, title="Second")])
    pages = PdfReader(io.BytesIO(pdf)).pages
    wide = [page for page in pages if round(float(page.mediabox.width) * 25.4 / 72) == 297]
    assert len(wide) == 2
    for page in wide:
        heights_mm = {}

        def note(text: str, cm, tm, *_, found=heights_mm) -> None:  # type: ignore[no-untyped-def]
            found[text.strip()] = (tm[5] * cm[3] + cm[5]) * 25.4 / 72

        page.extract_text(visitor_text=note)
        assert heights_mm["§"] - heights_mm["¶"] == pytest.approx(300.0, abs=0.1)
    words = close(pages_of(pdf)[0])
    assert "Wide" in words
    assert "Second" in words


def test_no_word_of_the_pack_calls_anything_safe(pack: tuple[Job, Plan, list[str]]) -> None:
    words = " ".join(pack[2])
    found = set(re.findall(r"\b\w*safe\w*\b(?: clamp)?", words, re.IGNORECASE))
    assert found <= {"safety clamp"}
