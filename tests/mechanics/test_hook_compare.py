"""Records made with known causes are told for what they are; friction between worked-out ones."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.mechanics.test_hook_forecast import both, expected
from tests.mechanics.test_run_string import of

from abreast.errors import InputError, MissingInputError
from abreast.mechanics import hook_compare
from abreast.mechanics.hook_compare import FrictionTable, Recorded
from abreast.mechanics.hook_forecast import forecast_run
from abreast.model import Quantity

NAMES = ["quernstone_14", "skerrow_a09"]
NOISE_N = 1500.0


@cache
def table_of(name):
    return FrictionTable(expected(name))


def compare(found, records, **more):
    """With the tables of the two jobs, worked out once."""
    known = [table_of(name) for name in NAMES if found is expected(name)]
    return hook_compare.compare(found, records, table=(known or [None])[0], **more)


def record(found, friction, numbers, seed, up_n=0.0, down_n=0.0):
    """Readings of an indicator with scatter; extra loads on the last of them."""
    rng, loads, records = random.Random(seed), found.run.loads(friction), []
    for number in numbers:
        last = number == numbers[-1]
        up, down = (
            load + found.block_n + rng.gauss(0, NOISE_N) + last * extra
            for load, extra in (
                (loads[number].up_n[-1], up_n),
                (loads[number].down_n[-1], down_n),
            )
        )
        records.append(Recorded(number, up, down))
    return records


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("friction", [0.08, 0.31, 0.66, 0.97])
def test_any_friction_between_those_worked_out(name, friction):
    found = expected(name)
    table = table_of(name)
    for row, load in zip(found.rows, found.run.loads(friction), strict=True):
        up, down, still = table(row.bottom_md_m, friction)
        near = 3e-4 * still
        assert up == pytest.approx(load.up_n[-1], abs=near)
        assert down == pytest.approx(load.down_n[-1], abs=near)
        assert still == pytest.approx(load.still_n[-1], rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_an_ordinary_run_calls_no_alarm(name):
    found = expected(name)
    told = compare(found, record(found, 0.27, range(0, len(found.rows), 8), 14))
    assert {one.kind for one in told} == {"within band"}
    assert told[-1].friction_ratio == pytest.approx(0.27, abs=0.03)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("up", "down", "kind"),
    [(0.0, -2.0, "hang-up"), (2.0, 0.0, "hang-up"), (2.0, 2.0, "weight"), (4.0, 1.5, "unclear")],
)
@pytest.mark.parametrize("until", [60, 100, 140])
def test_what_is_added_is_told(name, up, down, kind, until):
    found = expected(name)
    alarm_n = found.rows[until].alarm_n
    numbers = range(0, until + 1, 10)
    records = record(found, 0.27, numbers, until, up * alarm_n, down * alarm_n)
    assert compare(found, records)[-1].kind == kind


@pytest.mark.parametrize("seed", range(5))
def test_a_change_of_friction_is_no_hang_up(seed):
    """At 0.7 pick-up gains over twice what slack-off loses: both ways all the same."""
    found = expected("skerrow_a09")
    before = record(found, 0.27, range(0, 200, 10), seed)
    (after,) = record(found, 0.7, [200], seed)
    told = compare(found, [*before, after])[-1]
    assert told.up_off_n > 1.8 * -told.down_off_n > 0
    assert told.kind == "friction change"
    assert "friction 0.7" in told.words
    assert not told.within


def test_another_friction_from_the_start_is_seen_as_such():
    """Outside the band of the plan, yet as the readings before it."""
    found = expected("skerrow_a09")
    told = compare(found, record(found, 0.36, range(0, len(found.rows), 5), 3))
    kinds = {one.kind for one in told}
    assert kinds == {"within band", "as the readings before"}
    assert told[-1].friction_ratio == pytest.approx(0.36, abs=0.02)
    assert not told[-1].within


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(NAMES), st.integers(0, 140), st.floats(-3, 3), st.floats(-3, 3))
def test_within_is_the_band_of_the_row(name, number, up, down):
    found = expected(name)
    row = found.rows[number]
    up_n, down_n = row.up_n + up * row.alarm_n, row.down_n + down * row.alarm_n
    (told,) = compare(found, [Recorded(number, up_n, down_n)], block_included=False)
    low, high = row.up_band_n
    slack = 1e-6 * row.alarm_n
    if low + slack < up_n < high - slack and abs(down) < 1 - 1e-6:
        assert told.within
        assert told.kind == "within band"
    if abs(up) > 1 + 1e-6 or abs(down) > 1 + 1e-6:
        assert not told.within
        assert told.kind != "within band"
    assert told.up_off_n == pytest.approx(up * row.alarm_n, abs=1e-6 * row.up_n)


def test_one_weight_alone_is_inside_its_band_or_not_told():
    found = expected("quernstone_14")
    row = found.rows[100]
    inside, outside = (
        compare(found, [Recorded(100, up_n=row.up_n + off)], block_included=False)[0]
        for off in (0.5 * row.alarm_n, 1.5 * row.alarm_n)
    )
    assert (inside.kind, inside.within) == ("within band", True)
    assert (outside.kind, outside.within) == ("not told", False)
    assert outside.words.startswith("not checked: needs the weight both")


def test_the_weight_of_the_block_is_taken_off_or_asked_for():
    found = expected("quernstone_14")
    row = found.rows[50]
    shown = Recorded(50, row.up_n + found.block_n, row.down_n + found.block_n)
    assert compare(found, [shown])[0].up_off_n == pytest.approx(0.0, abs=1e-6)
    with pytest.raises(MissingInputError, match="block mass"):
        compare(replace(found, block_n=None), [shown])


def test_refusals():
    found = expected("quernstone_14")
    with pytest.raises(InputError, match=f"it has 0 to {len(found.rows) - 1}"):
        compare(found, [Recorded(len(found.rows), 1e5, 1e5)])
    with pytest.raises(InputError, match="picking up, slacking off"):
        Recorded(3)


def test_the_drag_of_the_twin_goes_with_the_friction():
    job, assembly = both()["skerrow_a09"]
    found = forecast_run(
        of(job, "friction", clamp_drag_n=Quantity.of(0.0)), assembly, lambda _: 4e3
    )
    still, less, as_is = (found.run.loads(friction)[0] for friction in (0.0, 0.125, 0.25))
    assert still.up_n[-1] == pytest.approx(still.still_n[-1])
    assert less.up_n[-1] - less.still_n[-1] == pytest.approx(2e3)
    assert as_is.still_n[-1] - as_is.down_n[-1] == pytest.approx(4e3)
