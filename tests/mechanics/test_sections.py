"""Outlines and cross-sections of small strings whose answer can be read off."""

from __future__ import annotations

import pytest
from tests.checks.twins import (
    FT,
    IN,
    ZERO_1,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.errors import MissingInputError
from abreast.formulas.enclosing import Disc
from abreast.mechanics.fit import fit
from abreast.mechanics.outlines import Outline, axial_spread_m, outlines
from abreast.mechanics.section import slices
from abreast.model import Quantity
from abreast.spaceout.assemble import AsRun, assemble


def shape(name, side, bottom, top, x, radius, needs=""):
    discs = () if radius is None else (Disc(x, 0.0, radius),)
    return Outline(name, side, "", bottom, top, discs, needs)


def shapes_1(job=None, spread_m=0.0, **changes):
    job = job or job_1()
    return outlines(job, assemble(job, choice_1(**changes)), spread_m)


def spans(shapes, piece, part):
    return [
        ((s.bottom_m + ZERO_1) / FT, (s.top_m + ZERO_1) / FT)
        for s in shapes
        if s.piece == piece and s.part == part
    ]


# --- slices --------------------------------------------------------------------------------


def test_a_slice_ends_where_anything_begins_or_ends():
    cuts = slices(
        [
            shape("A", "esp", 0.0, 3.0, 0.0, 1.0),
            shape("B", "bypass", 1.0, 2.0, 2.5, 0.5),
            shape("C", "bypass", 5.0, 6.0, 2.5, 0.5),
        ]
    )
    assert [(c.bottom_m, c.top_m, [s.piece for s in c.shapes]) for c in cuts] == [
        (0.0, 1.0, ["A"]),
        (1.0, 2.0, ["A", "B"]),
        (2.0, 3.0, ["A"]),
        (5.0, 6.0, ["C"]),
    ]
    assert [c.gap_m for c in cuts] == [None, pytest.approx(1.0), None, None]


def test_the_widest_of_a_string_hides_the_rest():
    cuts = slices(
        [shape("pipe", "bypass", 0.0, 4.0, 2.0, 0.5), shape("joint", "bypass", 1.0, 2.0, 2.0, 0.6)]
    )
    assert [[s.piece for s in c.shapes] for c in cuts] == [["pipe"], ["joint"], ["pipe"]]


def test_slices_that_are_the_same_are_one():
    cuts = slices(
        [
            shape("A", "esp", 0.0, 4.0, 0.0, 1.0),
            shape("inner", "esp", 1.0, 2.0, 0.0, 0.9),  # hidden: changes nothing
        ]
    )
    assert [(c.bottom_m, c.top_m) for c in cuts] == [(0.0, 4.0)]


def test_what_a_slice_lacks_is_told_by_what_lacks_it():
    cable = Outline("MLE", "cable", "", 0.0, 1.0, needs="width of the MLE")
    cut = slices([shape("A", "esp", 0.0, 1.0, 0.0, None, "max od of A"), cable])[0]
    assert cut.solid_needs == ("max od of A",)
    assert cut.cable_needs == ("width of the MLE",)
    assert cut.shapes == ()


# --- outlines ------------------------------------------------------------------------------


def test_necks_and_connections_where_they_are_stated():
    shapes = shapes_1()
    assert spans(shapes, "motor", "neck") == [pytest.approx((30.37, 31.17))]
    assert spans(shapes, "motor", "") == [
        pytest.approx((3.83, 30.37)),
        pytest.approx((31.17, 31.25)),
    ]
    # B05 from 3.10 to 33.83: upset 0.30 and coupling 0.35 ft
    assert spans(shapes, "B05", "connection") == [
        pytest.approx((3.10, 3.40)),
        pytest.approx((33.48, 33.83)),
    ]
    assert spans(shapes, "C1", "clamp") == [pytest.approx((30.42, 31.12))]
    assert spans(shapes, "guide", "") == [pytest.approx((0.30, 1.77))]  # nose 0.85 below 1.15


def test_without_stated_lengths_the_largest_diameter_holds_all_along():
    job = with_row(job_1(), "esp", "motor", neck_length_m=None)
    job = with_row(job, "threads", "SF", upset_m=None)
    shapes = shapes_1(job)
    assert spans(shapes, "motor", "neck") == []
    assert spans(shapes, "motor", "") == [pytest.approx((3.83, 31.25))]
    assert spans(shapes, "B05", "connection") == []
    widest = max(s.radius_m for s in shapes if s.piece == "B05")
    assert widest / IN == pytest.approx(1.51)


def test_only_what_can_slide_gets_longer_by_the_spread():
    plain, spread = shapes_1(), shapes_1(spread_m=0.02)
    longer = {
        one.name
        for one, other in zip(plain, spread, strict=True)
        if other.top_m - one.top_m > 0.019 and one.bottom_m - other.bottom_m > 0.019
    }
    same = {o.name for o, p in zip(plain, spread, strict=True) if o == p}
    assert {"B05 connection", "P07", "adjustable union"} <= longer
    assert {"motor", "motor neck", "base support", "Y-tool", "C1 clamp", "T01"} <= same
    assert longer.isdisjoint(same)


def test_a_flush_connection_is_as_wide_as_the_body():
    job = with_section(
        job_2(), "pipe", joint_od_m=Quantity.not_applicable("flush"), body_od_m=0.0603
    )
    found = fit(job, assemble(job, choice_2()))
    joint = next(s for sec in found.sections for s in sec.shapes if s.name == "K01 connection")
    assert joint.radius_m == pytest.approx(0.0603 / 2)


def test_clamps_and_blocks_lie_round_what_they_hold():
    for job, choice in ((job_1(), choice_1()), (job_2(), choice_2())):
        for section in fit(job, assemble(job, choice)).sections:
            for block in section.cut.side("both"):
                x, _, radius = block.discs[0]
                middle = section.bottom_m <= _middle(job, choice, block) <= section.top_m
                held = [d for s in section.cut.side("esp", "bypass") for d in s.discs]
                if middle and block.part == "clamp":
                    assert all(abs(d.x_m - x) + d.radius_m <= radius + 1e-9 for d in held)


def _middle(job, choice, block):
    return next(
        (c.height_m for c in assemble(job, choice).clamps if c.id == block.piece), float("nan")
    )


def test_missing_sizes_are_told_in_their_sections():
    found = fit(*_spoiled("esp", "pump-2", max_od_m=None))
    lacking = {need for section in found.sections for need in section.cut.needs}
    assert lacking == {"max od of ESP piece pump-2"}
    assert all(s.cut.needs == () for s in found.of("motor"))


def _spoiled(table, row, **fields):
    job = with_row(job_1(), table, row, **fields)
    return job, assemble(job, choice_1())


@pytest.mark.parametrize(
    ("spoil", "needs"),
    [
        (lambda job: with_section(job, "setting", axis_spacing_m=None), "axis spacing"),
        (lambda job: with_row(job, "clamps", "C2", length_m=None), "length of twin clamp C2"),
        (lambda job: with_section(job, "rules", spread_joint_m=None), "spread joint"),
    ],
)
def test_without_these_there_are_no_sections(spoil, needs):
    job = spoil(job_1())
    with pytest.raises(MissingInputError, match=needs):
        fit(job, assemble(job_1(), choice_1()))


def test_beside_an_unfinished_bypass_nothing_is_known():
    job = job_1()
    run = AsRun(bypass=frozenset({"base support", "B05", "P07"}))
    assembly = assemble(job, choice_1(items=("B05", "P07"), lifts=None), run)
    found = fit(job, assembly)
    above = [s for s in found.sections if s.bottom_m > assembly.side("bypass")[-1].top_m]
    assert all("the bypass pieces still to be run" in s.cut.needs for s in above if s.has("pump-2"))
    assert all(s.cut.needs == () for s in found.of("motor"))
    casing = next(c for c in found.clearances if c.passage.name.startswith("9-5/8"))
    assert "the bypass pieces still to be run" in casing.needs


def test_a_measured_length_moves_the_sections():
    """The pump measured 0.5 ft longer: what stands above it stands higher."""
    job = job_1()
    run = AsRun(esp_m={"pump-1": (17.84 + 0.5) * FT}, union_m=3.0 * FT)
    found = fit(job, assemble(job, choice_1(), run))
    assert (found.of("pump-2")[0].bottom_m + ZERO_1) / FT == pytest.approx(61.81 + 0.5)


def test_spread_of_the_second_job():
    job = job_2()
    spread_m = axial_spread_m(job, assemble(job, choice_2()))
    flanges, joints = 8, 5  # nine pieces, intake and lower pump measured as one
    assert spread_m == pytest.approx(
        3 * (flanges * 0.0015**2 + joints * 0.0013**2 + 0.00635**2) ** 0.5
    )


def test_spare_sections_are_not_in_the_string():
    names = {s.piece for s in shapes_1()}
    assert "pump-2S" not in names
