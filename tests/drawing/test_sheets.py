"""All sheets of any string: legible, complete, and true through one map of heights."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from tests.drawing.faults import faults
from tests.drawing.reading import NS, root_of, words_of
from tests.drawing.strings import Planned, planned_1, planned_2, twin_strings

from abreast.drawing import PAPERS, Line, Paper, Rect, Scene, spaceout_stretched, spaceout_true, svg
from abreast.model import Assembly, Job, LandingState

MAKERS = {"true": spaceout_true, "stretched": spaceout_stretched}
PLANNED = {"bottom-supported": planned_1, "top-hung": planned_2}


def crowded() -> tuple[Job, Assembly]:
    """A string with a tail of 60 joints: too many labels for one sheet."""
    job, assembly = planned_1()
    lowest = assembly.pieces[0]
    tail = [
        lowest.model_copy(
            update={
                "id": f"X{n:02d}",
                "bottom_m": lowest.bottom_m - 9.0 * (60 - n),
                "top_m": lowest.bottom_m - 9.0 * (59 - n),
                "effective_m": 9.0,
            }
        )
        for n in range(60)
    ]
    return job, assembly.model_copy(update={"pieces": (*tail, *assembly.pieces)})


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(twin_strings())
def test_no_sheet_of_any_string_has_a_fault(planned: Planned) -> None:
    for make in MAKERS.values():
        for scene in make(planned.job, planned.assembly):
            assert faults(scene) == []


@pytest.mark.parametrize("mode", MAKERS)
@pytest.mark.parametrize("name", PLANNED)
@pytest.mark.parametrize("paper", PAPERS)
def test_the_invented_jobs_take_one_sheet_each(mode: str, name: str, paper: Paper) -> None:
    (scene,) = MAKERS[mode](*PLANNED[name](), paper=paper)
    assert (scene.width_mm, scene.height_mm) == PAPERS[paper]
    assert faults(scene) == []


@pytest.mark.parametrize("mode", MAKERS)
def test_too_many_labels_go_on_on_further_sheets(mode: str) -> None:
    job, assembly = crowded()
    scenes = MAKERS[mode](job, assembly)
    assert len(scenes) >= 2
    shown = [{one.part for one in scene.texts()} for scene in scenes]
    for piece in assembly.pieces:
        assert any(piece.id in parts for parts in shown), piece.id
    for number, scene in enumerate(scenes, 1):
        assert faults(scene) == []
        assert f"sheet {number} of {len(scenes)}" in scene.title
        assert any(f"sheet {number} of {len(scenes)}" in one.text for one in scene.texts())


@pytest.mark.parametrize("mode", MAKERS)
def test_a_sheet_shows_nothing_of_what_another_shows(mode: str) -> None:
    """Only a piece that is cut stands on two sheets; bars end where the drawing ends."""
    job, assembly = crowded()
    scenes = MAKERS[mode](job, assembly)
    bars = [
        {
            one.part
            for one in scene.items
            if isinstance(one, Rect) and one.part and one.height_mm > 0
        }
        for scene in scenes
    ]
    assert set().union(*bars) >= {piece.id for piece in assembly.pieces}
    for below, above in pairwise(bars):
        assert len(below & above) <= 2  # one piece of each string at most


def edges(text: str, assembly: Assembly) -> dict[float, float]:
    """Height and place on paper of both ends of every piece, from its rectangle in the file."""
    found: dict[float, float] = {}
    ids = {p.id: p for p in assembly.pieces if p.side != "both"}
    seen = set()
    for node in root_of(text).iter(f"{NS}rect"):
        part = node.get("data-part", "")
        if part not in ids or part in seen:
            continue
        seen.add(part)
        top = float(node.get("y", ""))
        found[ids[part].top_m] = top
        found[ids[part].bottom_m] = top + float(node.get("height", ""))
    assert seen == set(ids)
    return found


@pytest.mark.parametrize("name", PLANNED)
def test_both_sides_and_the_ruler_share_one_map(name: str) -> None:
    """Ticks lie where straight lines between the ends of the pieces of both sides put them."""
    job, assembly = PLANNED[name]()
    (scene,) = spaceout_stretched(job, assembly)
    text = svg(scene)
    knots = sorted(edges(text, assembly).items())
    falling = [y for _, y in knots]
    assert all(one >= other - 0.002 for one, other in pairwise(falling))
    unit_m = 0.3048 if job.units == "oilfield" else 1.0
    ticks = [w for w in words_of(text) if w.layer == "ruler" and w.right < 19]
    checked = 0
    for tick in ticks:
        if not re.fullmatch(r"[-0-9,]+", tick.text):
            continue
        height_m = float(tick.text.replace(",", "")) * unit_m
        spans = [pair for pair in pairwise(knots) if pair[0][0] <= height_m <= pair[1][0]]
        if not spans:
            continue
        (low_m, low), (high_m, high) = spans[0]
        if high_m - low_m < 1e-6:
            continue
        expected = low + (high - low) * (height_m - low_m) / (high_m - low_m)
        at_mm = tick.top + (tick.bottom - tick.top) * 0.4 / 0.97
        assert at_mm == pytest.approx(expected, abs=0.02)
        checked += 1
    assert checked >= 6


@pytest.mark.parametrize("name", PLANNED)
def test_short_parts_get_their_least_height_and_long_ones_the_printed_scale(name: str) -> None:
    """The note gives 1:n for long parts; no part is drawn smaller, and slivers stay limited."""
    job, assembly = PLANNED[name]()
    (scene,) = spaceout_stretched(job, assembly)
    said = next(w for w in scene.texts() if "STRETCHED ON SHORT ONES" in w.text)
    found = re.search(r"Long parts 1:([0-9]+)", said.text)
    assert found is not None
    n = float(found[1])
    knots = sorted(edges(svg(scene), assembly).items())
    longest = max(pairwise(knots), key=lambda pair: pair[1][0] - pair[0][0])
    (low_m, low), (high_m, high) = longest
    assert (high_m - low_m) * 1000 / (low - high) == pytest.approx(n, rel=0.01)
    for (low_m, low), (high_m, high) in pairwise(knots):
        if high_m - low_m > 1e-6:
            per_m = (low - high) / (high_m - low_m)
            assert 1000 / n * 0.99 <= per_m <= 40.0 * 1.01 + 0.01 / (high_m - low_m)


def test_break_marks_stand_only_on_parts_drawn_shorter_than_to_scale() -> None:
    """All parts of equal length: the map is linear, nothing is stretched and nothing is marked."""
    job, assembly = planned_1()
    (stretched,) = spaceout_stretched(job, assembly)

    def slanted(scene: Scene) -> int:
        lines = (one for one in scene.on("joint") if isinstance(one, Line))
        return sum(1 for one in lines if one.y1_mm != one.y2_mm)

    text = svg(stretched)
    by_height = edges(text, assembly)
    total_mm = max(by_height.values()) - min(by_height.values())
    total_m = max(by_height) - min(by_height)
    shorter = [
        piece.id
        for piece in assembly.pieces
        if piece.side != "both"
        and by_height[piece.bottom_m] - by_height[piece.top_m]
        < 0.98 * (piece.top_m - piece.bottom_m) * total_mm / total_m
    ]
    marks = slanted(stretched) // 2 - 1  # two strokes each; one mark is on the tubing above
    assert 4 <= len(shorter) <= 12
    assert abs(marks - len(shorter)) <= 1  # the ends of the sheet differ by the Y-tool's height


def test_a_landing_far_beyond_the_string_does_not_leave_the_sheet() -> None:
    job, assembly = planned_2()
    high = LandingState(
        id="L9",
        piece=assembly.landings[0].piece,
        neck_m=assembly.landings[0].neck_m,
        bypass_top_m=assembly.top_m + 50,
        above_plate_m=80.0,
        window_m=(0.5, 90.0),
    )
    assembly = assembly.model_copy(update={"landings": (*assembly.landings, high)})
    for make in MAKERS.values():
        for scene in make(job, assembly):
            assert faults(scene) == []
