"""Invariants of the formulas, and that nonsense is refused with the argument named."""

import math
import random
from dataclasses import astuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.formulas.lifting import buoyancy_factor, sling_leg_load
from abreast.formulas.makeup import (
    TorqueWindow,
    eight_round_optimum_torque,
    make_up_loss,
    tong_torque,
    torque_window,
)
from abreast.formulas.measuring import (
    ErrorTerm,
    closure_error,
    length_at_temperature,
    tape_corrected_length,
    thermal_expansion,
)
from abreast.formulas.tubulars import (
    EffectiveLength,
    OverallLength,
    bore_area,
    drift_diameter,
    drift_mandrel_length,
    effective_length,
    inside_diameter,
    plain_end_weight,
    second_moment,
    steel_area,
    string_length,
    wall_of_plain_end_weight,
)

INCH, FOOT = 0.0254, 0.3048
NAN, INF = math.nan, math.inf
terms = st.lists(
    st.builds(ErrorTerm, st.floats(0, 0.1), st.integers(1, 20), st.booleans()),
    min_size=1,
    max_size=8,
)


def test_tops_of_an_invented_bypass_string():
    """Joints of an invented job, ft; each top is the one below plus overall less 0.24."""
    overall = [30.97, 12.02, 20.06, 20.03, 12.07, 10.01]
    pieces = [effective_length(OverallLength(x * FOOT), 0.24 * FOOT) for x in overall]
    tops = [3.10 + string_length(pieces[: k + 1]) / FOOT for k in range(len(pieces))]
    assert [round(top, 2) for top in tops] == [33.83, 45.61, 65.43, 85.22, 97.05, 106.82]


def test_overall_and_effective_lengths_do_not_mix():
    overall, effective = OverallLength(9.5), EffectiveLength(9.4)
    for mix in (
        lambda: overall + effective,
        lambda: effective + overall,
        lambda: overall + overall,
    ):
        with pytest.raises((TypeError, AttributeError)):
            mix()
    assert overall != effective
    assert effective + EffectiveLength(0.6) == EffectiveLength(10.0)


@settings(deadline=None)
@given(st.floats(0.1, 20), st.floats(0, 0.09))
def test_effective_and_loss_give_the_overall_back(overall, loss):
    effective = effective_length(OverallLength(overall), loss)
    assert effective.m + loss == pytest.approx(overall, rel=1e-12)
    assert 0 < effective.m <= overall


@settings(deadline=None)
@given(st.floats(4.5, 20), st.floats(0.5, 0.95))
def test_drift_is_under_the_bore_and_grows_with_it(od_in, ratio):
    od, bore = od_in * INCH, od_in * INCH * ratio
    drift = drift_diameter(od, bore, "casing")
    assert 0 < drift < bore
    assert drift_diameter(od, bore * 1.01, "casing") > drift


@pytest.mark.parametrize(
    ("od_mm", "kind", "allowance_in"),
    [
        (244.47, "casing", 5 / 32),  # 9-5/8 in as a metric table rounds it
        (244.5, "casing", 5 / 32),
        (219.1, "casing", 1 / 8),
        (339.7, "casing", 5 / 32),
        (73.0, "tubing", 3 / 32),
        (73.03, "tubing", 3 / 32),
        (88.9, "tubing", 1 / 8),
    ],
)
def test_metric_rounding_does_not_change_the_size_class(od_mm, kind, allowance_in):
    bore = od_mm / 1000 * 0.85
    assert bore - drift_diameter(od_mm / 1000, bore, kind) == pytest.approx(allowance_in * INCH)


@settings(deadline=None)
@given(terms)
def test_error_budget_bounds(errors):
    error = closure_error(errors)
    assert error.quadrature_m <= error.worst_m * (1 + 1e-12)
    assert error.quadrature_m >= max(t.likely_m for t in errors) * (1 - 1e-12)
    assert closure_error([*errors, ErrorTerm(0.01)]).quadrature_m >= error.quadrature_m


@settings(deadline=None)
@given(terms, st.randoms())
def test_error_budget_does_not_depend_on_order(errors, chance):
    shuffled = list(errors)
    chance.shuffle(shuffled)
    assert astuple(closure_error(shuffled)) == pytest.approx(astuple(closure_error(errors)))


@settings(deadline=None)
@given(st.floats(1e-6, 0.1), st.integers(2, 20))
def test_a_chance_term_may_be_split(spread, count):
    whole = closure_error([ErrorTerm(spread, count)])
    parts = closure_error([ErrorTerm(spread, 1), ErrorTerm(spread, count - 1)])
    assert astuple(parts) == pytest.approx(astuple(whole))


def test_error_budget_is_the_spread_of_many_simulated_strings():
    """Outside judge: the standard deviation of 20,000 strings drawn at random."""
    chance = random.Random(7)
    terms = [ErrorTerm(0.0015, 9), ErrorTerm(0.0013, 6, common=True), ErrorTerm(0.006)]
    sums = []
    for _ in range(20_000):
        total = sum(chance.gauss(0, 0.0015) for _ in range(9))
        total += 6 * chance.gauss(0, 0.0013) + chance.gauss(0, 0.006)
        sums.append(total)
    simulated = math.sqrt(math.fsum(s * s for s in sums) / len(sums))
    assert closure_error(terms).quadrature_m == pytest.approx(simulated, rel=0.02)


@settings(deadline=None)
@given(st.floats(0.01, 100), st.floats(250, 350), st.floats(250, 350))
def test_warming_and_cooling_again_changes_nothing(length, first, second):
    there = length_at_temperature(length, first, second)
    assert length_at_temperature(there, second, first) == pytest.approx(length, rel=4e-6)
    assert tape_corrected_length(length, 293.15) == length


@settings(deadline=None)
@given(st.floats(100, 20_000), st.floats(0.5, 2))
def test_compound_scales_the_whole_window(optimum, factor):
    window = torque_window(optimum)
    scaled = window.with_compound(factor)
    assert scaled.optimum_nm == pytest.approx(optimum * factor)
    assert scaled.holds(scaled.minimum_nm)
    assert scaled.holds(scaled.maximum_nm)
    assert not scaled.holds(scaled.maximum_nm * 1.001)


REFUSED = [
    ("overall_m", lambda: OverallLength(0.0)),
    ("overall_m", lambda: OverallLength(NAN)),
    ("effective_m", lambda: EffectiveLength(-1.0)),
    ("make_up_loss_m", lambda: effective_length(OverallLength(1.0), -0.1)),
    ("make_up_loss_m", lambda: effective_length(OverallLength(1.0), 1.0)),
    ("od_m", lambda: inside_diameter(-0.1, 0.01)),
    ("wall_m", lambda: inside_diameter(0.1, 0.05)),
    ("wall_m", lambda: plain_end_weight(0.1, INF)),
    ("bore_m", lambda: drift_diameter(0.2, 0.2, "casing")),
    ("bore_m", lambda: drift_diameter(2.375 * INCH, 0.001, "tubing")),
    ("od_m", lambda: drift_diameter(1.0, 0.9, "casing")),
    ("od_m", lambda: drift_diameter(NAN, 0.9, "casing")),
    ("od_m", lambda: drift_mandrel_length(0.02, "tubing")),
    ("kind", lambda: drift_diameter(0.2, 0.18, "drill pipe")),
    ("weight_kg_m", lambda: wall_of_plain_end_weight(0.1, 100.0)),
    ("bore_m", lambda: steel_area(0.1, 0.1)),
    ("bore_m", lambda: bore_area(0.0)),
    ("bore_m", lambda: second_moment(0.1, NAN)),
    ("standoff_m", lambda: make_up_loss(0.02)),
    ("coupling_length_m", lambda: make_up_loss(0.0)),
    ("optimum_nm", lambda: torque_window(0.0)),
    ("optimum_nm", lambda: TorqueWindow(10.0, 5.0, 20.0)),
    ("friction_factor", lambda: torque_window(1.0).with_compound(5.0)),
    ("thread_length_m", lambda: eight_round_optimum_torque(0.07, 0.06, 0.01, 5e8, 6e8)),
    ("yield_pa", lambda: eight_round_optimum_torque(0.0786, 0.062, 0.054, 0.0, 6e8)),
    ("angle_rad", lambda: tong_torque(1.0, 1.0, 2.0)),
    ("line_pull_n", lambda: tong_torque(0.0, 1.0)),
    ("spread_m", lambda: ErrorTerm(-0.1)),
    ("count", lambda: ErrorTerm(0.1, 0)),
    ("terms", lambda: closure_error([])),
    ("length_m", lambda: thermal_expansion(-1.0, 1.0)),
    ("rise_dk", lambda: thermal_expansion(1.0, 501.0)),
    ("measured_at_k", lambda: length_at_temperature(1.0, 0.0, 300.0)),
    ("reading_m", lambda: tape_corrected_length(INF, 300.0)),
    ("legs", lambda: sling_leg_load(1.0, 5, 1.0)),
    ("angle_rad", lambda: sling_leg_load(1.0, 2, math.radians(29.9))),
    ("angle_rad", lambda: sling_leg_load(1.0, 2, NAN)),
    ("fluid_kg_m3", lambda: buoyancy_factor(7850.0)),
]


@pytest.mark.parametrize(("argument", "call"), REFUSED)
def test_nonsense_is_refused_by_name(argument, call):
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == "out-of-range"
    assert caught.value.where.field == argument
    assert str(caught.value).startswith(f"{argument}: ")
