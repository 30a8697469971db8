"""Which bores a part passes: what stands in what, how deep it goes, what is missing."""

from __future__ import annotations

import pytest
from tests.checks.twins import FT, IN, amend, choice_1, job_1, with_row, with_section

from abreast.mechanics.fit import fit
from abreast.mechanics.passages import passages, uncovered_m
from abreast.model import CasingString, Datum, Opening
from abreast.spaceout.assemble import assemble

LINER, DEEP = "7 in 29 lb/ft L80 liner", 5852 * FT


def casing(name, top_m, shoe_m, bore_m, drift_m=None, **more):
    drift = bore_m - 0.004 if drift_m is None else drift_m
    return CasingString(
        name=name, top_md_m=top_m, shoe_md_m=shoe_m, bore_m=bore_m, drift_m=drift, **more
    )


def cased(*rows, **more):
    return job_1().model_copy(update={"casing": rows, "openings": (), **more})


def named(job, deepest_m):
    return {p.name: p for p in passages(job, deepest_m) if p.kind != "rig"}


def fit_1(job):
    return fit(job, assemble(job, choice_1()))


def clearance(found, name):
    return next(c for c in found.clearances if c.passage.name == name)


def test_a_casing_is_passed_from_where_nothing_narrower_stands_in_it():
    """A tie-back to 900 m, a liner from 1500 m: the wide casing is bare from 900 to 1500 m."""
    job = cased(
        casing("wide", 0.0, 2000.0, 0.22),
        casing("tie-back", 0.0, 900.0, 0.16),
        casing("liner", 1500.0, 2500.0, 0.15),
    )
    ways = named(job, 2400.0)
    assert ways["wide"].top_md_m == 900.0
    assert ways["wide"].behind == ""
    assert ways["liner"].top_md_m == 1500.0
    assert "liner" not in named(job, 1400.0)


def test_a_casing_behind_others_is_passed_by_nothing():
    job = cased(
        casing("surface", 0.0, 700.0, 0.31),
        casing("inner", 0.0, 500.0, 0.22),
        casing("lower", 450.0, 2000.0, 0.16),
    )
    assert named(job, 1900.0)["surface"].behind == "inner, lower"
    assert named(job, 1900.0)["inner"].behind == ""  # bare from 0 to 450 m
    assert named(job, 400.0)["surface"].behind == "inner"


def test_an_unknown_bore_hides_nothing_and_is_hidden_by_nothing():
    job = cased(casing("a", 0.0, 900.0, 0.22), amend(casing("b", 0.0, 900.0, 0.16), bore_m=None))
    ways = named(job, 800.0)
    assert ways["a"].behind == ""
    assert ways["b"].behind == ""
    assert ways["b"].needs == ("bore of casing b",)


def test_a_special_drift_takes_the_place_of_the_drift():
    special = casing("a", 0.0, 900.0, 0.22, 0.2165, special_drift_m=0.2185)
    way = named(cased(special), 800.0)["a"]
    assert (way.drift_m, way.special) == (0.2185, True)
    smaller = casing("a", 0.0, 900.0, 0.22, 0.2165, special_drift_m=0.2160)
    way = named(cased(smaller), 800.0)["a"]
    assert (way.drift_m, way.special) == (0.2165, False)
    only = amend(special, drift_m=None)
    assert named(cased(only), 800.0)["a"].needs == ()


def test_depths_are_counted_from_one_datum():
    """Drilling rig 5.5 ft higher: its 100 m are 98.3 m from the workover rig."""
    other = casing("a", 100.0, 900.0, 0.22, datum="drilling RKB")
    assert named(cased(other), 800.0)["a"].top_md_m == pytest.approx(100.0 - 5.5 * FT)
    row = Opening(name="collar", md_m=50.0, bore_m=0.2, drift_m=0.19, datum="drilling RKB")
    job = cased(casing("a", 0.0, 900.0, 0.22)).model_copy(update={"openings": (row,)})
    assert named(job, 800.0)["collar"].top_md_m == pytest.approx(50.0 - 5.5 * FT)


def test_an_unknown_datum_elevation_is_asked_for():
    datums = (Datum(id="RKB", elevation_m=None), *job_1().datums[1:])
    found = fit_1(job_1().model_copy(update={"datums": datums}))
    assert any("elevation" in need for need in found.depth_needs)
    assert found.way_needs[: len(found.depth_needs)] == found.depth_needs
    assert found.whole_run is None


@pytest.mark.parametrize(
    ("rows", "deepest_m", "bare"),
    [
        ([(0, 900), (850, 2000)], 1900, ()),
        ([(0, 900), (1000, 2000)], 1900, ((900, 1000),)),
        ([(0, 900), (1000, 2000)], 2100, ((900, 1000), (2000, 2100))),
        ([(0, 900)], 850, ()),
        ([(10, 900)], 850, ()),  # above the shallowest top is the wellhead
    ],
)
def test_depths_with_no_casing(rows, deepest_m, bare):
    job = cased(*(casing(f"c{i}", float(a), float(b), 0.2) for i, (a, b) in enumerate(rows)))
    assert uncovered_m(job, float(deepest_m)) == bare


def test_each_part_passes_what_lies_above_its_own_depth():
    """Liner top at 5,760 ft: only the tail passes it, its widest is the guide of 4.50 in.

    Lower shoulder of the base at 5,713.4 ft; the string may hang 3 ft deeper.
    """
    for top_ft, widest_in in ((5760, 4.50), (5717, 4.50), (5715, 8.44), (5700, 8.44)):
        job = with_row(job_1(), "datums", "RKB")
        rows = [c if c.name != LINER else amend(c, top_md_m=top_ft * FT) for c in job.casing]
        found = fit_1(job.model_copy(update={"casing": tuple(rows)}))
        assert clearance(found, LINER).envelope_m / IN == pytest.approx(widest_in), top_ft
    exact = with_section(job_1(), "setting", tolerance_m=0.0)
    rows = [c if c.name != LINER else amend(c, top_md_m=5715 * FT) for c in exact.casing]
    found = fit_1(exact.model_copy(update={"casing": tuple(rows)}))
    assert clearance(found, LINER).envelope_m / IN == pytest.approx(4.50)
    assert found.sections[0].limit_m == pytest.approx(6.059 * IN)
    assert found.of("motor")[0].limit_m == pytest.approx(8.525 * IN)


def test_a_liner_below_the_tail_is_not_passed():
    assert LINER not in {p.name for p in passages(job_1(), DEEP)}
    assert LINER in {p.name for p in passages(job_1(), None)}  # depth unknown: all of them


def test_openings_of_the_rig_are_passed_by_all():
    ways = [p for p in passages(job_1(), DEEP) if p.kind == "rig"]
    assert [p.name for p in ways][:2] == ["false rotary", "rotary table"]
    assert {p.name for p in ways[2:]} == {element.id for element in job_1().bop}
    assert all(p.drift_m == p.bore_m for p in ways)
    blank = with_section(job_1(), "rig", false_rotary_opening_m=None)
    assert passages(blank, DEEP)[0].needs == ("false rotary opening of rig invented workover rig",)
