"""What the hold ledger keeps on any legal walk, against a small static model of its own.

The model: joined pieces are one rigid body; each taut holder is a spring that only
pulls, with a random stiffness and a random height; joints are cut and weighed.
"""

from __future__ import annotations

import contextlib
import copy
import random
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.mechanics.ledger.small import actions, both_held, bypass_held, esp_held, move, top_hung

from abreast.mechanics.ledger import Fault, Ledger, State, loads
from abreast.model.procedure import Procedure, Step
from abreast.procedure.prove import prove

G = 9.80665
MAKERS = (esp_held, bypass_held, both_held, top_hung)
WALKS = settings(deadline=None, max_examples=60)
MORE = (
    {"do": "latch", "line": "block", "holder": "LC-M", "on": "motor", "gear": ["SLG"]},
    {"do": "latch", "line": "block", "holder": "LC-P", "on": "pump", "gear": ["SLG"]},
    {"do": "latch", "line": "tugger", "holder": "EL-B", "on": "P07"},
    {"do": "latch", "line": "second", "holder": "LC-M", "on": "motor", "gear": ["SLG"]},
    {"do": "take", "lines": ["second"]},
    {"do": "slack_off", "lines": ["second"]},
    {"do": "set_slips", "holder": "SL", "on": "B05", "support": "plate"},
    {"do": "set_slips", "holder": "SL", "on": "B05", "support": "rotary"},
    {"do": "fit_safety_clamp", "holder": "SC", "on": "B05", "gap_m": 0.1},
    {"do": "break_out", "joint": "J6"},
    {"do": "break_out", "joint": "J5", "back_up": "B05"},
    {"do": "pull_apart", "joints": ["J6"], "line": "block"},
    {"do": "remove_twin_clamp", "clamp": "C1"},
    {"do": "free_seat", "joint": "J3"},
    {"do": "lay_down", "line": "block"},
    {"do": "cover", "on": True},
    {"do": "cover", "on": False},
    move("hoist", 30.77, 7.0),
    move("lower", 30.77, 6.0),
)


@cache
def made(which: int) -> tuple[Procedure, Ledger, tuple[object, ...]]:
    procedure = MAKERS[which]()
    pool = [*actions(procedure), *MORE]
    steps = [Step(id="x", action=one) for one in pool if one["do"] != "hand_over"]
    return procedure, Ledger(procedure), tuple(one.action for one in steps)


@st.composite
def walks(draw):
    """A ledger and the states of a walk: a start of the proved work, then whatever is legal."""
    procedure, ledger, pool = made(draw(st.integers(0, len(MAKERS) - 1)))
    state = ledger.start
    for one in procedure.steps[: draw(st.integers(0, len(procedure.steps) - 1))]:
        state = ledger.act(state, one.action)
    states = [state]
    rng = random.Random(draw(st.integers(0, 2**32)))
    for action in rng.choices(pool, k=60):
        try:
            states.append(ledger.act(states[-1], action))
        except Fault:
            continue
    return ledger, states, rng


def bodies(procedure: Procedure, state: State, cut: str = "") -> list[set[str]]:
    """Joined pieces, with one joint cut."""
    found = [{one} for one in state.offsets]
    ties = [
        (joint.lower, joint.upper)
        for joint in procedure.joints
        if state.joints.get(joint.id) in ("made", "recorded") and joint.id != cut
    ]
    ties += [
        (one.esp, one.bypass)
        for one in procedure.clamps
        if one.carries and one.id in state.twin_clamps and one.id != cut
    ]
    for pair in ties:
        ends = [one for one in found if one & set(pair)]
        found = [one for one in found if one not in ends] + [set().union(*ends)]
    return found


def weight_n(procedure: Procedure, state: State, body: set[str]) -> float:
    pieces = sum(one.mass_kg * G for one in procedure.pieces if one.id in body)
    clamps = [one for one in procedure.clamps if one.id in state.twin_clamps and one.esp in body]
    return pieces + sum(one.mass_kg * G for one in clamps)


def springs(whole_n: float, count: int, rng: random.Random) -> list[float]:
    """Loads of springs that only pull, at random heights, under one rigid weight."""
    stiff = [10 ** rng.uniform(5, 8) for _ in range(count)]
    high = [rng.uniform(0, 0.02) for _ in range(count)]

    def pull(sag: float) -> list[float]:
        return [k * max(0.0, h + sag) for k, h in zip(stiff, high, strict=True)]

    low, top = -0.02, whole_n / min(stiff) + 1.0
    for _ in range(200):
        middle = (low + top) / 2
        low, top = (middle, top) if sum(pull(middle)) < whole_n else (low, middle)
    return pull(top)


def model(procedure: Procedure, state: State, rng: random.Random) -> list[float] | None:
    """A possible load for each hold; None when none was drawn inside what checks stated."""
    found = [0.0] * len(state.holds)
    for body in bodies(procedure, state):
        mine = [n for n, one in enumerate(state.holds) if one.on in body and one.taut]
        whole_n = weight_n(procedure, state, body)
        for _ in range(30):
            shares = springs(whole_n, len(mine), rng)
            limits = [(state.holds[n].least_n, state.holds[n].most_n) for n in mine]
            if all(
                (low is None or one >= low) and (top is None or one <= top)
                for one, (low, top) in zip(shares, limits, strict=True)
            ):
                break
        else:
            return None
        for n, one in zip(mine, shares, strict=True):
            found[n] = one
    return found


@WALKS
@given(walks())
def test_intervals_hold_what_springs_carry(walk):
    ledger, states, rng = walk
    for state in states:
        true = model(ledger.procedure, state, rng)
        if true is None:
            continue
        for load_n, (_, low, high) in zip(true, loads(ledger.book, state).holds, strict=True):
            assert low - 1e-3 <= load_n <= high + 1e-3


@WALKS
@given(walks())
def test_one_taut_holder_carries_exactly_the_weight(walk):
    ledger, states, _ = walk
    for state in states:
        found = loads(ledger.book, state)
        for body in bodies(ledger.procedure, state):
            taut = [one for one in found.holds if one[0].taut and one[0].on in body]
            assert taut, "everything over the hole is held"
            if len(taut) == 1:
                whole_n = weight_n(ledger.procedure, state, body)
                assert taut[0][1:] == pytest.approx((whole_n, whole_n), rel=1e-9)


@WALKS
@given(walks())
def test_cut_joints_carry_what_is_on_one_side(walk):
    """Only where the joints make no loop: a closed frame shares by its stiffness."""
    ledger, states, rng = walk
    for state in states:
        true = model(ledger.procedure, state, rng)
        if true is None:
            continue
        for name, (low, high) in loads(ledger.book, state).pulls.items():
            pull = cut_n(ledger.procedure, state, name, true)
            assert pull is None or low - 1e-3 <= pull <= high + 1e-3


def cut_n(procedure: Procedure, state: State, name: str, true: list[float]) -> float | None:
    joint = next((one for one in procedure.joints if one.id == name), None)
    clamp = next((one for one in procedure.clamps if one.id == name), None)
    lower, upper = (joint.lower, joint.upper) if joint else (clamp.bypass, clamp.esp)
    below = next(one for one in bodies(procedure, state, name) if lower in one)
    if upper in below:
        return None
    held = sum(load for load, one in zip(true, state.holds, strict=True) if one.on in below)
    return weight_n(procedure, state, below) - held


@WALKS
@given(walks())
def test_acting_leaves_the_state_before_as_it_was(walk):
    ledger, states, rng = walk
    pool = made(MAKERS.index(esp_held))[2]
    state = states[-1]
    kept = copy.deepcopy(state)
    for action in rng.choices(pool, k=20):
        with contextlib.suppress(Fault):
            ledger.act(state, action)
        assert state == kept


@pytest.mark.parametrize("maker", [esp_held, top_hung])
@settings(deadline=None, max_examples=8)
@given(seed=st.integers(0, 2**32))
def test_names_do_not_matter(maker, seed):
    procedure = maker()
    ids = [
        one.id
        for group in ("pieces", "joints", "holders", "lines", "clamps")
        for one in getattr(procedure, group)
    ]
    rng = random.Random(seed)
    new = {one: f"{rng.randrange(10**6)}-{n}" for n, one in enumerate(dict.fromkeys(ids))}
    words = {"plate", "rotary", "base", "Y-tool"}  # also words of the format

    def swap(value: object, key: str = "") -> object:
        if isinstance(value, dict):
            return {k: swap(v, k) for k, v in value.items()}
        if isinstance(value, list | tuple):
            return [swap(one, key) for one in value]
        if key == "due" and str(value).startswith("orientation "):
            return f"orientation {new[str(value)[12:]]}"
        if key in ("due", "support", "string", "hoist", "do", "type", "sort"):
            return value
        if isinstance(value, str) and value in new and (key in IDS or value not in words):
            return new[value]
        return value

    renamed = Procedure.model_validate(swap(procedure.model_dump()))
    before, after = prove(procedure), prove(renamed)
    assert after.fault is None, after.fault
    assert (before.outcome, after.outcome) == ("proved", "proved")
    for one, two in zip(before.steps, after.steps, strict=True):
        assert [h.high_n for h in one.numbers.holds] == pytest.approx(
            [h.high_n for h in two.numbers.holds]
        )


IDS = {
    "id",
    "piece",
    "pieces",
    "lower",
    "upper",
    "on",
    "esp",
    "bypass",
    "joint",
    "holder",
    "back_up",
}


@settings(deadline=None, max_examples=25)
@given(
    maker=st.sampled_from([esp_held, top_hung]),
    place=st.integers(0, 30),
    factor=st.floats(1.0, 3.0),
    rating_n=st.floats(2e3, 3e4),
    holder=st.integers(0, 20),
)
def test_more_weight_is_never_refused_later(maker, place, factor, rating_n, holder):
    """Of a holder too weak: with more weight it is too weak at the same step or before."""
    procedure = maker()
    weak = procedure.holders[holder % len(procedure.holders)].id
    procedure = procedure.model_copy(
        update={
            "holders": tuple(
                one.model_copy(update={"rating_n": rating_n}) if one.id == weak else one
                for one in procedure.holders
            )
        }
    )
    which = procedure.pieces[place % len(procedure.pieces)].id
    heavier = procedure.model_copy(
        update={
            "pieces": tuple(
                one.model_copy(update={"mass_kg": one.mass_kg * factor}) if one.id == which else one
                for one in procedure.pieces
            )
        }
    )
    light, heavy = prove(procedure), prove(heavier)
    if light.fault is None:
        return
    assert light.fault.rule == "rating"
    assert heavy.fault is not None
    assert heavy.fault.rule == "rating"
    assert heavy.fault.index <= light.fault.index
