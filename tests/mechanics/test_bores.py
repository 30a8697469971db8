"""The bypass path from the tubing to its open end, and its smallest diameter."""

from __future__ import annotations

import pytest
from tests.checks.twins import IN, choice_1, choice_2, job_1, job_2, with_row, with_section

from abreast.mechanics.bores import path_bores
from abreast.model import Quantity
from abreast.spaceout.assemble import assemble


def path(job, choice):
    return path_bores(job, assemble(job, choice))


def smallest(bores):
    return min((b for b in bores if b.bore_m is not None), key=lambda b: b.bore_m)


def test_the_path_runs_from_the_hanger_to_the_guide():
    names = list(dict.fromkeys(b.piece for b in path(job_1(), choice_1())))
    assert names[0] == "U5"
    assert names[5:7] == ["Y-tool", "adjustable union"]
    assert names[7:13] == ["P10", "P08", "P04", "P01", "P07", "B05"]
    assert names[13:19] == ["base support", "P25", "T05", "T03", "T02", "T01"]
    assert names[19:] == ["nipple", "P24", "tail guide"]
    assert not any(b.needs for b in path(job_1(), choice_1()))


@pytest.mark.parametrize(
    ("job", "choice", "piece", "what", "bore_m"),
    [
        (job_1(), choice_1(), "nipple", "no-go", 2.20 * IN),
        (job_2(), choice_2(), "Y-tool", "plug nipple", 0.0476),
    ],
)
def test_smallest_bore_of_the_jobs(job, choice, piece, what, bore_m):
    found = smallest(path(job, choice))
    assert (found.piece, found.what) == (piece, what)
    assert found.bore_m == pytest.approx(bore_m)


def test_a_piece_with_a_bore_of_its_own():
    job = with_row(job_1(), "rack", "P07", bore_m=2.10 * IN)
    assert (smallest(path(job, choice_1())).piece, smallest(path(job, choice_1())).what) == (
        "P07",
        "bore",
    )


def test_the_drift_of_the_pipe_counts():
    job = with_section(job_1(), "pipe", drift_m=2.0 * IN)
    assert smallest(path(job, choice_1())).what == "drift"


def test_what_is_missing_is_asked_for_and_what_does_not_apply_is_not():
    job = with_section(job_1(), "union", bore_m=None)
    needs = [need for b in path(job, choice_1()) for need in b.needs]
    assert needs == ["bore of adjustable union adjustable union"]
    job = with_row(job_1(), "tail", "nipple", no_go_m=None)
    assert [n for b in path(job, choice_1()) for n in b.needs] == ["no go of tail piece nipple"]
    solid = with_section(job_1(), "ytool", bend_bore_m=Quantity.not_applicable("straight"))
    assert "S-bend" not in [b.what for b in path(solid, choice_1())]
