"""What stands across the blow-out preventer, against heights worked out by hand."""

from __future__ import annotations

import pytest
from tests.checks.twins import FT, ZERO_1, amend, choice_1, job_1, with_row

from abreast.mechanics.across import across, moments
from abreast.mechanics.fit import fit
from abreast.spaceout.assemble import assemble

# plate 3.6 ft above the floor; annular 7.5, rams 11.0, blind-shear 13.0, variable 16.0 below it
SEEN = {
    "L1": ([19.7, 16.2, 14.2, 11.2], [{"motor", "B05"}] * 4),
    "L2": (
        [31.1, 27.6, 25.6, 22.6],
        [{"motor", "B05", "C1", "MLE"}, {"motor", "B05"}, {"motor", "B05"}, {"motor", "B05"}],
    ),
    "L3": (
        [50.3, 46.8, 44.8, 41.8],
        [
            {"pump-1", "P01", "MLE"},
            {"pump-1", "P01", "MLE"},
            {"pump-1", "P07", "MLE"},
            {"protector", "P07", "MLE"},
        ],
    ),
    "L4": (
        [71.8, 68.3, 66.3, 63.3],
        [{"pump-2", "P04", "MLE"}] * 3 + [{"pump-2", "P01", "MLE"}],
    ),
    "L5": (
        [93.2, 89.7, 87.7, 84.7],
        [{"pump-3", "P08", "MLE"}] * 3 + [{"pump-3", "P04", "MLE"}],
    ),
}


def views(job, name):
    assembly = assemble(job, choice_1())
    moment = next(m for m in moments(assembly) if m.name == name)
    return across(job, fit(job, assembly), moment)


@pytest.mark.parametrize("landing", SEEN)
def test_heights_and_pieces_at_each_landing(landing):
    heights_ft, pieces = SEEN[landing]
    seen = views(job_1(), landing)
    assert [(v.height_m + ZERO_1) / FT for v in seen] == pytest.approx(heights_ft, abs=0.051)
    assert [set(v.pieces) for v in seen] == pieces
    assert {v.seals for v in seen} == {"no"}


def test_half_way_between_two_landings():
    assembly = assemble(job_1(), choice_1())
    names = [m.name for m in moments(assembly)]
    assert names[:3] == ["L1", "half-way to L2", "L2"]
    assert len(names) == 9
    seen = views(job_1(), "half-way to L3")
    # plate between 42.19 and 61.39 ft: 51.79; annular 11.1 ft below it
    assert (seen[0].height_m + ZERO_1) / FT == pytest.approx(51.79 - 11.1)


def test_one_pipe_across_the_rams():
    """Elements so deep that only the tail stands in them: 2.875 in body or 3.668 in coupling."""
    job = job_1()
    rows = [amend(e, below_floor_m=(35 + i) * FT) for i, e in enumerate(job.bop)]
    seen = views(job.model_copy(update={"bop": tuple(rows)}), "L1")
    by_name = {v.element: v for v in seen}
    assert by_name["annular"].pieces == ("T05",)
    assert by_name["annular"].seals == "yes"  # 2.375 to 11 in
    assert by_name["variable rams"].seals == "yes"  # 2.875 to 5 in
    assert by_name["4-1/2 in rams"].seals == "no"
    assert "out of its range" in by_name["4-1/2 in rams"].why
    assert by_name["blind-shear rams"].seals == "no"


def test_an_empty_hole_and_a_block():
    job = job_1()
    deep = [amend(e, below_floor_m=(200 + i) * FT) for i, e in enumerate(job.bop)]
    seen = {v.element: v for v in views(job.model_copy(update={"bop": tuple(deep)}), "L1")}
    assert seen["annular"].pieces == ()
    assert {name for name, v in seen.items() if v.seals == "yes"} == {
        "annular",
        "blind-shear rams",
    }
    level = [amend(e, below_floor_m=(30.77 - 3.6 - 0.1) * FT) for e in job.bop[:1]]
    [base] = views(job.model_copy(update={"bop": tuple(level)}), "L1")
    assert base.pieces == ("base support",)
    assert (base.seals, base.why) == ("no", "what stands there is not one round body")


def test_what_is_not_stated_is_not_called_closed():
    job = with_row(job_1(), "bop", "annular", below_floor_m=35 * FT, closes_max_od_m=None)
    annular = next(v for v in views(job, "L1") if v.element == "annular")
    assert annular.seals == "not known"
    assert annular.needs == ("closes max od of BOP element annular",)
    job = with_row(job_1(), "bop", "annular", below_floor_m=35 * FT)
    job = with_row(job, "rack", "T05", joint_od_m=None)
    job = job.model_copy(update={"pipe": amend(job.pipe, body_od_m=None, joint_od_m=None)})
    annular = next(v for v in views(job, "L1") if v.element == "annular")
    assert annular.seals == "not known"
