"""The well sketch: every depth of the tables told in order at its place, labels apart."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.checks.twins import FT, choice_1, choice_2, job_1, job_2, with_section
from tests.drawing.faults import faults
from tests.drawing.strings import Planned, twin_strings

from abreast.drawing import PAPERS, Line, Paper, Rect, Scene, well_sketch
from abreast.errors import MissingInputError
from abreast.model import Job, Opening, Perforation
from abreast.spaceout.assemble import assemble


def sketch_1(job: Job | None = None, paper: Paper = "A4") -> Scene:
    job = job or job_1()
    (scene,) = well_sketch(job, assemble(job, choice_1()), paper=paper)
    return scene


def sketch_2(job: Job | None = None, paper: Paper = "A4") -> Scene:
    job = job or job_2()
    (scene,) = well_sketch(job, assemble(job, choice_2()), paper=paper)
    return scene


def told(scene: Scene) -> dict[str, str]:
    """The figure in the row of each name, from where the words stand."""
    rows: dict[tuple[float, bool], list[tuple[float, str]]] = {}
    middle = scene.width_mm / 2
    for one in scene.texts():
        if one.layer == "label":
            left = one.box_mm[0]
            rows.setdefault((round(one.y_mm, 3), left > middle), []).append((left, one.text))
    found = {}
    for row in rows.values():
        words = [text for _, text in sorted(row)]
        found[words[-2] if len(words) > 1 else words[0]] = words[-1]
    return found


@pytest.mark.parametrize("sketch", [sketch_1, sketch_2])
@pytest.mark.parametrize("paper", PAPERS)
def test_the_invented_wells_have_no_fault(sketch: object, paper: Paper) -> None:
    assert faults(sketch(None, paper)) == []  # type: ignore[operator]


def test_depths_of_the_first_well_are_those_of_its_tables() -> None:
    """Tail end 5,600 + 112.25 + 1.15 + 138.67 = 5,852.07 ft; the liner begins 797.93 ft below."""
    rows = told(sketch_1())
    assert rows["stage collar"] == "3,480.00"
    assert rows["shoe of 9-5/8 in 47 lb/ft L80"] == "6,900.00"
    assert rows["perforations main zone"] == "7,300.00"
    assert rows["their lower end"] == "7,420.00"
    assert rows["Y-tool, top"] == "5,600.00"
    assert rows["base support, lower shoulder"] == "5,713.40"
    assert rows["lowest end: tail guide"] == "5,852.07"
    assert rows["top of 7 in 29 lb/ft L80 liner"] == "6,650.00"
    words = {one.text for one in sketch_1().texts()}
    assert {"NEXT", "END", "797.93 ft below the lowest end", "smallest bore 2.200 in"} <= words


def test_the_survey_is_marked() -> None:
    """3° is passed between 2,150 ft (2.6°) and 2,250 ft (4.5°): 2,150 + 100 x 0.4/1.9 = 2,171.05.

    At 5,600 ft a station says 4.1°; 12.3° at 3,000 ft is the most.
    """
    rows = told(sketch_1())
    assert rows["kick-off, inclination passes 3.0°"] == "2,171.05"
    assert rows["greatest inclination 12.3°"] == "3,000.00"
    assert rows["inclination at Y-tool 4.1°"] == "5,600.00"


def test_a_well_with_nothing_below_says_so() -> None:
    words = " ".join(one.text for one in sketch_2().texts())
    assert "No narrow place and no top of a liner below the string" in words
    assert "NEXT: what a tool meets" in words


def test_what_is_pulled_is_outlined_and_what_stays_is_black() -> None:
    scene = sketch_2()
    blocks = [one for one in scene.on("casing") if isinstance(one, Rect)]
    assert sorted(one.fill for one in blocks) == ["black", "black", "none", "none"]
    assert any("pulled before the run" in one.text for one in scene.texts())


def test_the_ruler_shows_true_depths() -> None:
    """Depths that the ruler and the shoes tell lie in one order on paper."""
    scene = sketch_1()
    ticks = [
        (one.y_mm - 0.35 * one.size_mm, float(one.text.replace(",", "")) * FT)
        for one in scene.on("ruler")
        if not isinstance(one, Line | Rect) and re.fullmatch(r"[0-9,]+", one.text)  # type: ignore[union-attr]
    ]
    assert len(ticks) >= 8
    assert all(a[1] < b[1] for a, b in pairwise(sorted(ticks)))
    shoes = sorted(
        max(y for _, y in one.points_mm)  # type: ignore[union-attr]
        for one in scene.on("casing")
        if hasattr(one, "points_mm")
    )
    for depth_m, at_mm in zip((2150 * FT, 6900 * FT, 7620 * FT), shoes[::2], strict=True):
        above = [y for y, value in ticks if value <= depth_m]
        below = [y for y, value in ticks if value > depth_m]
        assert max(above) <= at_mm + 0.01
        assert min(below, default=1e9) >= at_mm - 0.01


def test_depths_from_another_datum_are_changed_to_the_jobs_own() -> None:
    """A zero 1.5 m higher counts every depth 1.5 m deeper."""
    job = job_2()
    datum = job.datums[0].model_copy(
        update={
            "id": "old",
            "elevation_m": type(job.datums[0].elevation_m).of(
                next(d for d in job.datums if d.id == job.depth_datum).elevation_m.si + 1.5
            ),
        }
    )
    job = job.model_copy(update={"datums": (*job.datums, datum)})
    rows = told(sketch_2(with_row_of(job, "tie-back polished bore", datum="old")))
    assert rows["tie-back polished bore"] == "1253.500"


def with_row_of(job: Job, name: str, **fields: object) -> Job:
    rows = tuple(one.model_copy(update=fields) if one.name == name else one for one in job.openings)
    return job.model_copy(update={"openings": rows})


def test_what_has_no_depth_is_named_and_left_out() -> None:
    job = job_2()
    opening = next(one for one in job.openings if one.name == "tie-back polished bore")
    unknown = type(opening.md_m).not_measured("tally lost").labelled(opening.md_m.label)
    scene = sketch_2(with_row_of(job, opening.name, md_m=unknown))
    words = " ".join(one.text for one in scene.texts())
    assert opening.name not in told(scene)
    assert "NOT DRAWN, not stated:" in words
    assert "tie-back polished bore" in words


def test_without_the_setting_depth_there_is_no_sketch() -> None:
    job = with_section(job_1(), "setting", ytool_top_md_m=None)
    with pytest.raises(MissingInputError, match="ytool top md"):
        sketch_1(job)


NAMES = st.text(st.characters(categories=["L", "N", "P", "Zs"]), min_size=1, max_size=40)


@st.composite
def wells(draw: st.DrawFn) -> Planned:
    """Any string in a well with up to eight narrow places and zones, anywhere."""
    planned = draw(twin_strings())
    depth = st.floats(0, 7000)
    openings = [
        {
            "name": f"n{n} {draw(NAMES)}"[:80].replace(";", ""),
            "md_m": draw(depth),
            "bore_m": 0.2,
            "in_place": draw(st.booleans()),
        }
        for n in range(draw(st.integers(0, 8)))
    ]
    zones = [
        {"name": draw(NAMES), "top_md_m": top, "bottom_md_m": top + draw(st.floats(0, 300))}
        for top in draw(st.lists(depth, max_size=5))
    ]
    job = planned.job.model_copy(
        update={
            "openings": tuple(Opening.model_validate(one) for one in openings),
            "perforations": tuple(Perforation.model_validate(one) for one in zones),
        }
    )
    return Planned(job, planned.assembly)


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(wells())
def test_no_well_has_a_fault(planned: Planned) -> None:
    if all(piece.top_md_m is None for piece in planned.assembly.pieces):
        with pytest.raises(MissingInputError):
            well_sketch(planned.job, planned.assembly)
        return
    for scene in well_sketch(planned.job, planned.assembly):
        assert faults(scene) == []


def test_a_moved_row_moves_the_next_restriction() -> None:
    """A liner hung at 6,000 ft is met 147.93 ft below the tail end at 5,852.07 ft."""
    name = "7 in 29 lb/ft L80 liner"
    job = job_1()
    rows = tuple(
        one.model_copy(update={"top_md_m": type(one.top_md_m).of(6000 * FT)})
        if one.name == name
        else one
        for one in job.casing
    )
    words = {one.text for one in sketch_1(job.model_copy(update={"casing": rows})).texts()}
    assert "147.93 ft below the lowest end" in words
