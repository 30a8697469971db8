"""What holds for the fit whatever the sizes are: larger parts never fit better."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import IN, choice_1, job_1, with_row, with_section

from abreast.formulas.enclosing import enclosing_circle
from abreast.formulas.flat_cable import edge_margin
from abreast.mechanics.fit import fit
from abreast.spaceout.assemble import assemble

ESP = [piece.id for piece in job_1().esp if not piece.is_spare]
GROWN = st.floats(0.0, 0.5).map(lambda inches: inches * IN)
FEW = settings(deadline=None, max_examples=15)


def fit_1(job, **more):
    return fit(job, assemble(job, choice_1()), **more)


def rooms(found):
    return [c.to_drift_m for c in found.clearances if not c.passage.behind]


BASE = fit_1(job_1())


@FEW
@given(st.sampled_from(ESP), GROWN)
def test_a_thicker_piece_never_gains_room(piece, more_m):
    part = next(p for p in job_1().esp if p.id == piece)
    found = fit_1(with_row(job_1(), "esp", piece, max_od_m=part.max_od_m.si + more_m))
    assert all(b <= a + 1e-12 for a, b in zip(rooms(BASE), rooms(found), strict=True))


@FEW
@given(GROWN, GROWN)
def test_a_thicker_bypass_or_cable_never_widens_the_window(joint_m, cable_m):
    job = job_1()
    job = with_section(job, "pipe", joint_od_m=job.pipe.joint_od_m.si + joint_m)
    job = with_section(job, "mle", thickness_m=job.mle.thickness_m.si + cable_m)
    found = fit_1(job)
    for angle in (math.radians(degree) for degree in range(0, 181, 5)):
        before = edge_margin(BASE.whole_run, angle)
        after = edge_margin(found.whole_run, angle)
        if after is not None and after > 1e-5:
            assert before is not None
            assert before >= -1e-5


@FEW
@given(st.floats(0, 2), st.floats(0, 2))
def test_more_spread_never_gains_room(one_m, other_m):
    less, more = (fit_1(job_1(), spread_m=s) for s in sorted((one_m, other_m)))
    assert all(b <= a + 1e-12 for a, b in zip(rooms(less), rooms(more), strict=True))
    assert more.tightest.diameter_m >= less.tightest.diameter_m - 1e-12


@FEW
@given(st.floats(4.2, 4.6))
def test_every_section_holds_its_shapes_and_is_decided_by_its_own(spacing_in):
    found = fit_1(with_section(job_1(), "setting", axis_spacing_m=spacing_in * IN))
    for section in found.sections:
        circle = section.circle
        for disc in section.cut.discs:
            reach = math.hypot(disc.x_m - circle.x_m, disc.y_m - circle.y_m) + disc.radius_m
            assert reach <= circle.radius_m + 1e-9
        assert section.deciders <= {shape.piece for shape in section.shapes}
        assert section.deciders
        few = [d for s in section.shapes if s.name in section.deciding for d in s.discs]
        assert enclosing_circle(few).radius_m == pytest.approx(circle.radius_m, abs=1e-9)


def test_sections_stand_on_one_another_and_cover_the_assembly():
    assembly = assemble(job_1(), choice_1())
    for below, above in zip(BASE.sections, BASE.sections[1:], strict=False):
        assert above.bottom_m == pytest.approx(below.top_m, abs=1e-6)
    assert BASE.sections[0].bottom_m == pytest.approx(min(p.bottom_m for p in assembly.pieces))
    assert BASE.sections[-1].top_m == pytest.approx(assembly.top_m)
    for piece in assembly.pieces:
        middle_m = (piece.bottom_m + piece.top_m) / 2
        assert BASE.at(middle_m).has(piece.id)
