"""Bends of single pieces from the contact model, by hand from its moments."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from tests.checks.twins import choice_1, job_1

from abreast.mechanics.bypass_bends import piece_bends
from abreast.mechanics.bypass_tools import tool_passages
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.mechanics.twin_beam_lines import read_twin_beam
from abreast.mechanics.twin_beam_sweep import sweep
from abreast.spaceout.assemble import assemble


@cache
def hung():
    job = job_1()
    assembly = assemble(job, choice_1())
    twin = read_twin_beam(job, assembly, union="locked").twin
    top_m = assembly.piece("Y-tool").top_md_m + assembly.top_m - assembly.bypass_leg_m
    return twin, sweep(twin, read_hole(job), [top_m], (0.0, 1.5, 3.0), way="still")


def test_a_bend_is_moment_over_stiffness_at_the_worst_roll():
    """M / EI with the EI of the job's pipe: 2-7/8 in, 48.33 million lbf in2."""
    twin, places = hung()
    found = piece_bends({"locked": twin}, [replace(one, union="locked") for one in places])
    ei_nm2 = 48.33e6 * 4.4482216152605 * 0.0254**2
    for name in ("P25", "P07", "B05", "T01"):
        worst_nm = max(one.moments_nm[name, "body"] for one in places)
        assert found[name] == pytest.approx(worst_nm / ei_nm2, rel=1e-9)
    assert "Y-tool" not in found
    assert {"U1", "adjustable union"} <= set(found)


def test_single_bends_let_more_through_than_the_sharpest_all_along():
    twin, places = hung()
    job, assembly = job_1(), assemble(job_1(), choice_1())
    bends = piece_bends({"locked": twin}, [replace(one, union="locked") for one in places])
    single = tool_passages(job, assembly, bends).table
    all_along = tool_passages(job, assembly, max(bends.values())).table
    for one, other in zip(single, all_along, strict=True):
        # Lengths are told short, by 0.03 % at most.
        assert other.length_m <= one.length_m * (1 + 3e-4) + 1e-9
        assert one.length_m <= one.hole_m * (1 + 3e-4) + 1e-9
    assert any(one.length_m > other.length_m for one, other in zip(single, all_along, strict=True))


def test_no_shape_no_bend():
    twin, places = hung()
    lost = replace(places[0], union="locked", state="did not settle", moments_nm=None)
    good = replace(places[0], union="locked")
    assert piece_bends({"locked": twin}, [good, lost]) is None
    assert piece_bends({"locked": twin}, []) is None
