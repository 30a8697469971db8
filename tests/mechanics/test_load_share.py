"""Sharing of weight and take-up: worked example, closed forms, limits, an independent model."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.mechanics.load_share import (
    Bar,
    Hold,
    Pair,
    bar_forces,
    flexibility,
    flexibility_above,
    forces,
    gripped_union,
    held_share,
    misfit_for,
    share,
    slack,
    top_hung,
)

IN, LBF, FT = 0.0254, 4.4482216152605, 0.3048
PSI = LBF / IN**2


def example() -> Pair:
    """40 m; ESP side EA 6.0e8 N, 450 N/m; bypass 73.0/62.0 mm, 206 GPa, 80 N/m; 15 kN below."""
    steel_m2 = np.pi / 4 * (0.073**2 - 0.062**2)
    assert round(steel_m2, 8) == 1.16632e-3
    esp, bypass = Bar("esp", 40, 6.0e8, 18e3), Bar("bypass", 40, 206e9 * steel_m2, 3.2e3)
    return Pair((esp,), (bypass,), 15e3)


class TestWorkedExample:
    """Reckoned by hand; elementary mechanics."""

    def test_flexibilities(self):
        pair = example()
        assert f"{flexibility(pair.esp):.5e}" == "6.66667e-08"
        assert f"{flexibility(pair.bypass):.6e}" == "1.664855e-07"
        assert f"{pair.flexibility_m_n:.6e}" == "2.331522e-07"

    def test_free_at_locking_the_esp_carries_everything(self):
        state = share(example(), stroke_m=(0.1, 0.1))
        assert (state.mode, state.union_n) == ("free", 0.0)
        assert state.bypass_bottom_n == pytest.approx(-3.2e3)
        assert state.esp_bottom_n == pytest.approx(18.2e3)
        assert state.esp_top_n == pytest.approx(36.2e3)

    def test_locked_and_12_4_mm_too_short(self):
        state = share(example(), 0.0124)
        assert round(state.union_n / 1e3, 3) == 53.184
        assert round(state.bypass_bottom_n / 1e3, 2) == 49.98
        assert round(state.esp_bottom_n / 1e3, 2) == -34.98
        assert round(state.esp_top_n / 1e3, 2) == -16.98
        assert round((state.esp_top_n + state.union_n) / 1e3, 1) == 36.2

    def test_a_free_union_opens_and_forces_stay(self):
        state = share(example(), 0.0124, stroke_m=(0.1, 0.1))
        assert (state.mode, state.opening_m, state.union_n) == ("free", 0.0124, 0.0)

    def test_a_stop_after_8_mm(self):
        state = share(example(), 0.0124, stroke_m=(0.1, 0.008))
        assert state.mode == "open stop"
        assert round(state.union_n / 1e3, 2) == 18.87
        assert round(state.esp_bottom_n / 1e3, 2) == -0.67

    def test_a_millimetre_shifts_4_29_kn(self):
        assert round(example().stiffness_n_m / 1e6, 2) == 4.29


def test_simple_frame_of_housings_at_0_907_of_their_diameter():
    """The simplification of the first job: 30 Mpsi; guide and pup are 3-1/2 in pipe of 2.992 in.

    Invented job; figures reckoned by hand: 85,100, 42,400 and 28,300 lbf/in, 1,770 lbf for a
    quarter turn of 4 threads to the inch, 0.26 in for 7,425 lb.
    """

    def tube(length_ft, od_in, bore_in):
        area_m2 = np.pi / 4 * (od_in**2 - bore_in**2) * IN**2
        return Bar("", length_ft * FT, 30e6 * PSI * area_m2, 0.0)

    housings = [(2.06, 4.50), (27.42, 5.40), (74.40, 5.13)]
    esp = [tube(length, od, 0.907 * od) for length, od in housings]
    esp += [tube(0.62 + 3.55, 3.50, 2.992)]
    bypass = [tube(109.82 - 3.10, 2.875, 2.441)]
    unit = LBF / IN
    assert 1 / flexibility(esp) / unit == pytest.approx(85_100, abs=50)
    assert 1 / flexibility(bypass) / unit == pytest.approx(42_400, abs=50)
    pair = Pair(tuple(esp), tuple(bypass), 7425 * LBF)
    assert pair.stiffness_n_m / unit == pytest.approx(28_300, abs=50)
    assert pair.stiffness_n_m * 0.0625 * IN / LBF == pytest.approx(1770, abs=5)
    # Snug while hanging by the Y-tool; no stretch above a clamp on the plate.
    take_up_in = misfit_for(pair, pair.hanging_n) / IN
    assert take_up_in == pytest.approx(0.26, abs=0.005)
    assert take_up_in / 0.25 == pytest.approx(1.05, abs=0.005)


def test_two_tied_strings_share_by_their_stiffness():
    """50,000 lbf on 2-7/8 in 6.5 and 3-1/2 in 9.3 lb/ft of one length: 20,580.83 / 29,419.17 lbf.

    Elementary: in the ratio of the steel areas.
    """
    areas_m2 = (
        np.pi / 4 * (od**2 - bore**2) * IN**2 for od, bore in ((2.875, 2.441), (3.5, 2.992))
    )
    one, two = (Bar("", 120 * FT, 30e6 * PSI * area_m2, 0.0) for area_m2 in areas_m2)
    # Snug with no load, then the load is put on: string one alone would stretch by F f.
    pair = Pair((one,), (two,), 50_000 * LBF)
    state = share(pair, slack(pair) - slack(Pair((one,), (two,), 0.0)))
    assert state.esp_top_n / LBF == pytest.approx(20_580.83, abs=0.005)
    assert state.union_n / LBF == pytest.approx(29_419.17, abs=0.005)


# --- holder on the plate, then the block ---------------------------------------------------


def test_the_block_takes_over_and_the_bypass_gets_its_part():
    """The load moves from the neck to the Y-tool: f_above / (f_E + f_B) of it to the bypass."""
    pair, neck = example(), Hold("esp", 38.0)
    plate = share(pair, 0.002, snug=neck, now=neck)
    block = share(pair, 0.002, snug=neck)
    assert plate.union_n == pytest.approx(0.002 * pair.stiffness_n_m)
    assert plate.esp_top_n == pytest.approx(-plate.union_n)  # no Y-tool weight here
    part = flexibility_above(pair.esp, 38.0) / pair.flexibility_m_n
    assert part == pytest.approx(2 / 6.0e8 / 2.331522e-7, rel=1e-6)
    assert block.union_n - plate.union_n == pytest.approx(part * pair.total_n)


def test_forces_along_the_esp_drop_at_the_neck():
    pair, neck = example(), Hold("esp", 38.0)
    state = share(pair, 0.002, snug=neck, now=neck)
    [esp], [bypass] = forces(pair, state, neck)
    below_neck_n = state.esp_bottom_n + 18e3 * 38 / 40
    assert esp.greatest_n == pytest.approx(below_neck_n)
    assert esp.least_n == pytest.approx(below_neck_n - pair.total_n)
    assert esp.worst_n == pytest.approx(max(below_neck_n, pair.total_n - below_neck_n))
    assert bypass.greatest_n == pytest.approx(state.union_n)


def test_a_holder_at_the_very_top_is_seen():
    [bar] = bar_forces([Bar("", 2.0, 1e8, 100.0)], 50.0, 150.0, Hold("esp", 2.0))
    assert (bar.least_n, bar.greatest_n) == (0.0, 150.0)


# --- only seated, and free to fall ---------------------------------------------------------


def test_an_esp_that_only_stands_lifts_off_and_leaves_a_gap():
    """Held by the retainer it would pull 18.2 kN; else the bypass takes it and stretches more."""
    pair = example()
    state = share(pair, seated=True)
    assert state.esp_bottom_n == 0.0
    assert state.bypass_bottom_n == pytest.approx(15e3)
    assert state.union_n == pytest.approx(18.2e3)
    assert state.gap_m == pytest.approx(18.2e3 * 2.331522e-7, rel=1e-6)
    assert share(pair, 0.0124, seated=True) == share(pair, 0.0124)


@pytest.mark.parametrize("misfit_m", [0.0, -0.2])
def test_nothing_holds_the_bypass_of_a_seated_esp_under_a_free_union(misfit_m):
    with pytest.raises(InputError, match="nothing holds the bypass") as caught:
        share(example(), misfit_m, stroke_m=(0.1, 0.1), seated=True)
    assert caught.value.code == "not-held"


def test_top_hung_shares_nothing():
    state = top_hung(example())
    assert (state.esp_top_n, state.union_n, state.bypass_bottom_n) == (18e3, 18.2e3, 15e3)


# --- clamps that grip ----------------------------------------------------------------------


def test_a_clamp_that_holds_leaves_only_what_is_above_it():
    pair = example()
    assert held_share(pair, 30.0) == pytest.approx(4 * pair.stiffness_n_m)
    assert gripped_union(pair, 0.001, [(30.0, None)]) == pytest.approx(4 * 4289.04, rel=1e-5)


def test_a_clamp_that_slips_adds_its_grip_by_what_lies_below():
    """Compatibility by hand: T (f/4) + (T - G)(3f/4) = u."""
    pair, grip_n, take_up_m = example(), 2000.0, 0.002
    union_n = gripped_union(pair, take_up_m, [(30.0, grip_n)])
    f = pair.flexibility_m_n
    assert union_n * f / 4 + (union_n - grip_n) * 3 * f / 4 == pytest.approx(take_up_m)
    assert gripped_union(pair, take_up_m, []) == pytest.approx(take_up_m / f)
    assert gripped_union(pair, take_up_m, [(30.0, 1e9)]) == pytest.approx(4 * take_up_m / f)


# --- properties ----------------------------------------------------------------------------

bars = st.lists(
    st.builds(
        Bar,
        name=st.just(""),
        length_m=st.floats(0.2, 30),
        ea_n=st.floats(5e7, 2e9),
        weight_n=st.floats(0, 2e4),
    ),
    min_size=1,
    max_size=4,
).map(tuple)
pairs = st.builds(Pair, esp=bars, bypass=bars, below_n=st.floats(0, 5e4), ytool_n=st.floats(0, 5e3))
misfits = st.integers(-2000, 2000).map(lambda n: n * 1e-5)
strokes = st.integers(0, 1000).map(lambda n: n * 1e-5)


def hold_on(pair: Pair, where: float | None, side: str = "esp") -> Hold | None:
    line = pair.esp if side == "esp" else pair.bypass
    return None if where is None else Hold(side, where * sum(bar.length_m for bar in line))


wheres = st.one_of(st.none(), st.integers(0, 1000).map(lambda n: n / 1000))
sides = st.sampled_from(["esp", "bypass"])


# An independent model: nodes, two elements a piece, weights lumped, the union a constraint.


def nodes_of(line, hold_m):
    """Elements of a line as (length, EA, weight), and the count of them below the holder."""
    elements, below, at = [], None, 0.0
    for bar in line:
        cuts = {0.0, bar.length_m / 2, bar.length_m}
        if hold_m is not None and at <= hold_m <= at + bar.length_m:
            cuts.add(hold_m - at)
        for low, high in itertools.pairwise(sorted(cuts)):
            if below is None and hold_m is not None and at + low >= hold_m - 1e-12:
                below = len(elements)
            weight_n = bar.weight_n * (high - low) / bar.length_m
            elements.append((high - low, bar.ea_n, weight_n))
        at += bar.length_m
    return elements, len(elements) if below is None else below


def by_finite_elements(pair: Pair, hold: Hold | None, gap_m: float | None):
    """Union force and gap between bypass top and Y-tool; a gap of None leaves the top free."""
    lines = [
        nodes_of(line, hold.height_m if hold is not None and hold.side == side else None)
        for side, line in (("esp", pair.esp), ("bypass", pair.bypass))
    ]
    count_e, count_b = (len(elements) for elements, _ in lines)
    chains = [list(range(count_e + 1)), [0, *range(count_e + 1, count_e + 1 + count_b)]]
    size, ytool, top = count_e + count_b + 1, count_e, chains[1][-1]
    k, f = np.zeros((size + 2, size + 2)), np.zeros(size + 2)
    f[0] -= pair.below_n
    f[ytool] -= pair.ytool_n
    for (elements, _), chain in zip(lines, chains, strict=True):
        for (length_m, ea_n, weight_n), low, high in zip(elements, chain, chain[1:], strict=False):
            k[np.ix_([low, high], [low, high])] += ea_n / length_m * np.array([[1, -1], [-1, 1]])
            f[[low, high]] -= weight_n / 2
    held = ytool
    if hold is not None:
        line = 0 if hold.side == "esp" else 1
        held = chains[line][lines[line][1]]
    k[size, held] = k[held, size] = 1.0
    if gap_m is None:
        k[size + 1, size + 1] = 1.0
    else:
        k[size + 1, [ytool, top]] = k[[ytool, top], size + 1] = (1.0, -1.0)
        f[size + 1] = gap_m
    scale = np.where(np.arange(size + 2) < size, 1.0, 1e8)  # constraints of the size of springs
    x = np.linalg.solve(k * np.outer(scale, scale), f * scale) * scale
    return x[size + 1], x[ytool] - x[top]


@settings(max_examples=150, deadline=None)
@given(pairs, misfits, wheres, wheres, sides)
def test_finite_elements_give_the_same_union_force(pair, misfit_m, where_snug, where_now, side):
    snug, now = hold_on(pair, where_snug, side), hold_on(pair, where_now, side)
    _, gap_m = by_finite_elements(pair, snug, None)
    union_n, _ = by_finite_elements(pair, now, gap_m - misfit_m)
    found = share(pair, misfit_m, snug=snug, now=now).union_n
    scale_n = max(pair.total_n, 0.02 * pair.stiffness_n_m, 1.0)
    assert found == pytest.approx(union_n, abs=1e-5 * scale_n)


@given(pairs, misfits, wheres, sides)
def test_equilibrium_holds(pair, misfit_m, where, side):
    now = hold_on(pair, where, side)
    state = share(pair, misfit_m, now=now)
    near = pytest.approx
    scale_n = 1e-9 * (pair.total_n + abs(state.union_n) + 1)
    assert state.bypass_bottom_n + state.esp_bottom_n == near(pair.below_n, abs=scale_n)
    above_n = 0.0 if now is not None else pair.total_n
    assert state.esp_top_n + state.union_n + pair.ytool_n == near(above_n, abs=scale_n)
    esp, bypass = forces(pair, state, now)
    assert esp[-1].least_n - scale_n <= state.esp_top_n <= esp[-1].greatest_n + scale_n
    assert bypass[-1].least_n - scale_n <= state.union_n <= bypass[-1].greatest_n + scale_n


@given(pairs, misfits, strokes, strokes)
def test_exactly_one_state_of_a_sliding_union_is_consistent(pair, misfit_m, closed_m, open_m):
    assume(min(abs(misfit_m + closed_m), abs(misfit_m - open_m)) > 1e-7)
    state = share(pair, misfit_m, stroke_m=(closed_m, open_m))
    f = pair.flexibility_m_n
    # Each state on trial: its own force or opening, held against what it may be.
    consistent = []
    if -closed_m <= misfit_m <= open_m:
        consistent.append(("free", 0.0, misfit_m))
    if (push_n := (misfit_m + closed_m) / f) < 0:
        consistent.append(("closed stop", push_n, -closed_m))
    if (pull_n := (misfit_m - open_m) / f) > 0:
        consistent.append(("open stop", pull_n, open_m))
    [(mode, union_n, opening_m)] = consistent
    assert (state.mode, state.opening_m) == (mode, pytest.approx(opening_m))
    # A slack is a difference of stretches: it is known to their rounding.
    rounding_n = 1e-9 * (pair.total_n + 0.02 * pair.stiffness_n_m)
    assert state.union_n == pytest.approx(union_n, abs=rounding_n)


@given(pairs, st.floats(0.001, 0.02))
def test_of_a_very_stiff_side_only_the_other_stretches(pair, misfit_m):
    """f_B -> 0: the ESP alone sets the force, and the other way round."""
    for side, other in (("esp", "bypass"), ("bypass", "esp")):
        stiff = tuple(Bar("", b.length_m, b.ea_n * 1e9, b.weight_n) for b in getattr(pair, side))
        lines = {side: stiff, other: getattr(pair, other)}
        one = Pair(lines["esp"], lines["bypass"], pair.below_n, pair.ytool_n)
        assert share(one, misfit_m).union_n == pytest.approx(
            misfit_m / flexibility(lines[other]), rel=1e-5
        )


@given(pairs, st.floats(0, 1))
def test_load_put_below_goes_to_a_very_stiff_bypass(pair, where):
    """Locked without force, weight then added below: the stiff side takes all of it."""
    stiff = tuple(Bar("", b.length_m, b.ea_n * 1e9, b.weight_n) for b in pair.bypass)
    before = Pair(pair.esp, stiff, pair.below_n)
    after = Pair(pair.esp, stiff, pair.below_n + 1e4 * (1 + where))
    added_m = slack(after) - slack(before)
    assert share(after, added_m).union_n == pytest.approx(1e4 * (1 + where), rel=1e-4)


@given(pairs, misfits, wheres)
def test_a_seated_esp_never_pulls_and_touches_or_gapes(pair, misfit_m, where):
    state = share(pair, misfit_m, now=hold_on(pair, where), seated=True)
    assert state.esp_bottom_n <= 1e-9 * pair.total_n
    assert state.gap_m >= 0
    assert state.gap_m == 0 or state.esp_bottom_n == 0
    assert state.bypass_bottom_n + state.esp_bottom_n == pytest.approx(pair.below_n, abs=1e-4)


@given(pairs, st.floats(-1e5, 1e5), wheres)
def test_the_take_up_for_a_force_gives_it(pair, union_n, where):
    snug = hold_on(pair, where)
    take_up_m = misfit_for(pair, union_n, snug=snug)
    assert share(pair, take_up_m, snug=snug).union_n == pytest.approx(union_n, abs=1e-3)


@given(pairs, st.floats(0, 0.02), st.lists(st.tuples(st.floats(0.05, 0.9), st.floats(0, 2e4))))
def test_gripping_clamps_only_add_and_never_more_than_their_grip(pair, take_up_m, clamps):
    low_m = min(sum(b.length_m for b in line) for line in (pair.esp, pair.bypass))
    placed = [(part * low_m, grip_n) for part, grip_n in clamps]
    union_n, slid_n = gripped_union(pair, take_up_m, placed), take_up_m * pair.stiffness_n_m
    assert slid_n * (1 - 1e-9) <= union_n
    assert union_n <= (slid_n + sum(grip_n for _, grip_n in placed)) * (1 + 1e-9) + 1e-6


@pytest.mark.parametrize("height_m", [-0.1, 40.1, float("nan")])
def test_a_height_off_the_line_is_refused(height_m):
    with pytest.raises(InputError):
        flexibility_above(example().esp, height_m)


def test_lines_without_pieces_are_refused():
    with pytest.raises(InputError):
        Pair((), example().bypass, 0.0)
