"""The space-out drawing, judged from its SVG: to scale, legible, the same bytes every time."""

from __future__ import annotations

import re
from datetime import date

import pytest
from tests.drawing.reading import NS, outside, overlaps, root_of, words_of
from tests.drawing.strings import planned_1, planned_2

from abreast.drawing import LAYERS, PAPERS, Paper, Scene, spaceout_true, svg
from abreast.errors import InputError
from abreast.model import Assembly, Job, Signature, fingerprint

PLANNED = {"bottom-supported": planned_1, "top-hung": planned_2}


def drawn(planned: tuple[Job, Assembly], paper: Paper = "A4") -> tuple[Scene, str]:
    (scene,) = spaceout_true(*planned, paper=paper)
    return scene, svg(scene)


def scale_of(text: str) -> float:
    found = re.search(r"Scale along the well 1:([0-9.]+) ", text)
    assert found is not None
    return float(found[1])


def rects(text: str, part: str) -> list[tuple[float, float]]:
    """Top and bottom of every rectangle of a piece [mm]."""
    nodes = (n for n in root_of(text).iter(f"{NS}rect") if n.get("data-part") == part)
    return [
        (float(n.get("y", "")), float(n.get("y", "")) + float(n.get("height", ""))) for n in nodes
    ]


@pytest.mark.parametrize("name", PLANNED)
@pytest.mark.parametrize("paper", PAPERS)
def test_words_overlap_nowhere_and_stay_on_the_sheet(name: str, paper: Paper) -> None:
    _, text = drawn(PLANNED[name](), paper)
    assert len(words_of(text)) > 80
    assert overlaps(text) == []
    assert outside(text) == []


@pytest.mark.parametrize("name", PLANNED)
def test_pieces_above_the_tail_are_to_the_printed_scale(name: str) -> None:
    job, assembly = PLANNED[name]()
    _, text = drawn((job, assembly))
    scale = scale_of(text)
    top_mm, _ = rects(text, "Y-tool")[0]
    checked = 0
    for piece in assembly.pieces:
        if piece.side == "both" or piece.id in {one.id for one in job.tail}:
            continue
        (top, bottom), *_ = rects(text, piece.id)
        assert bottom - top == pytest.approx(piece.effective_m * 1000 / scale, abs=0.002)
        below_mm = (assembly.top_m - piece.top_m) * 1000 / scale
        assert top - top_mm == pytest.approx(below_mm, abs=0.002)
        checked += 1
    assert checked >= 14


@pytest.mark.parametrize("name", PLANNED)
def test_the_ruler_shows_true_heights_and_depths(name: str) -> None:
    """A figure at a tick, times the unit, is the height or depth that the scale gives there."""
    job, assembly = PLANNED[name]()
    _, text = drawn((job, assembly))
    unit_m = 0.3048 if job.units == "oilfield" else 1.0
    top_mm, _ = rects(text, "Y-tool")[0]
    top_md_m = assembly.piece("Y-tool").top_md_m
    assert top_md_m is not None
    ticks = [w for w in words_of(text) if w.layer == "ruler" and re.fullmatch(r"[-0-9,.]+", w.text)]
    to_scale = [w for w in ticks if "." not in w.text]
    assert len(to_scale) > 20
    for words in to_scale:
        at_mm = words.top + (words.bottom - words.top) * 0.4 / 0.97 - top_mm
        value_m = float(words.text.replace(",", "")) * unit_m
        below_m = at_mm * scale_of(text) / 1000
        left = words.right < 19
        expected_m = assembly.top_m - below_m if left else top_md_m + below_m
        assert value_m == pytest.approx(expected_m, abs=0.002)


def test_a_long_tail_is_broken_and_its_true_length_written() -> None:
    """Tail of 8 pieces: 0.74 + 3.93 + 1.18 + 31.71 + 31.57 + 31.85 + 31.78 + 5.91 = 138.67 ft."""
    _, text = drawn(planned_1())
    words = [w.text for w in words_of(text)]
    assert "tail, 8 pieces, true length 138.67 ft" in words
    assert "below here not to scale; figures are true" in words
    # Tail end 1.15 + 138.67 = 139.82 ft below height 0; Y-tool top 112.25 ft at 5,600 ft.
    assert {"-139.82", "5,852.07"} <= set(words)


def test_the_sheet_says_whose_it_is_and_what_it_may_be_used_for() -> None:
    job, assembly = planned_1()
    words = [w.text for w in words_of(drawn((job, assembly))[1])]
    assert fingerprint(job) in words
    assert "Quernstone 14" in words
    assert "DRAFT" not in words
    assert any("NOT TO SCALE ACROSS" in text for text in words)


def test_an_unapproved_job_prints_draft() -> None:
    signed = Signature("A. Pell", date(2024, 5, 1))
    planned = planned_1(revision={"number": "2", "prepared": signed})
    scene, text = drawn(planned)
    words = [w.text for w in words_of(text)]
    assert words.count("DRAFT") == 2
    assert "not approved: not for use on the rig" in words
    assert scene.title.endswith("DRAFT")


def test_joints_stand_with_number_length_and_height() -> None:
    """P01: 20.06 - 0.24 = 19.82 ft; its top 65.43 ft above the base shoulder, z 64.28 ft."""
    _, text = drawn(planned_1())
    words = words_of(text)
    (name,) = (w for w in words if w.text == "P01")
    row = sorted((w.left, w.text) for w in words if abs(w.top - name.top) < 0.01 and w.left > 130)
    assert [text for _, text in row] == ["16", "P01", "19.82", "64.28", "5,647.97"]


def test_union_landing_and_tape_check_are_told() -> None:
    """Job 2: union 857 of 740 to 980 mm; K01+Q07 stand 1.176 m above the motor neck."""
    words = {w.text for w in words_of(drawn(planned_2())[1])}
    assert "stroke left: 0.117 to closed, 0.123 to open" in words
    assert "0.003 shorter than wanted" in words
    assert "top 1.176 above plate (0.600 to 1.700)" in words
    assert {"TAPE", "0.697 m", "stick-down 1.650 m"} <= words


def test_the_same_job_gives_the_same_bytes() -> None:
    assert drawn(planned_1())[1] == drawn(planned_1())[1]


def test_numbers_are_short_and_layers_known() -> None:
    _, text = drawn(planned_1())
    values = re.findall(r' (?:x|y|x1|y1|x2|y2|width|height|font-size|textLength)="([^"m]*)"', text)
    assert len(values) > 800
    assert all(re.fullmatch(r"-?[0-9]+(\.[0-9]{0,2}[1-9])?", value) for value in values)
    assert set(re.findall(r'class="(\w+)"', text)) == set(LAYERS) - {"casing", "limit", "cable"}


def test_names_cannot_break_out_of_the_file() -> None:
    evil = '</text><script>alert(1)</script>&"\u202e'
    _, text = drawn(planned_1(name=evil, well="a\tb"))
    root = root_of(text)
    assert not list(root.iter(f"{NS}script"))
    assert evil[:-1] in (root.findtext(f"{NS}title") or "")


def test_an_unknown_depth_leaves_only_heights() -> None:
    planned = planned_1(setting={"axis_spacing_m": 0.1, "ytool_top_md_m": None})
    words = {w.text for w in words_of(drawn(planned)[1])}
    assert "MD [ft]" not in words
    assert "top MD" not in words
    assert any("depth not known" in text for text in words)


def test_more_labels_than_paper_are_refused() -> None:
    """200 clamps at one height can't be spread over sheets; three further rows stand by them."""
    job, assembly = planned_1()
    clamp = assembly.clamps[0]
    many = tuple(clamp.model_copy(update={"id": f"C{n}"}) for n in range(200))
    with pytest.raises(InputError, match=r"20[0-9] rows of labels do not fit on a sheet of A4"):
        spaceout_true(job, assembly.model_copy(update={"clamps": many}))


def test_unknown_paper_is_refused() -> None:
    with pytest.raises(InputError, match="choose one of A4, A3"):
        spaceout_true(*planned_1(), paper="A5")  # type: ignore[arg-type]
