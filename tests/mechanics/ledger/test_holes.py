"""Ways that a rig floor would call dangerous, looked for on purpose; each is refused."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.mechanics.ledger.small import (
    act,
    actions,
    at,
    both_held,
    esp_held,
    move,
    rule,
    spliced,
    top_hung,
    upto,
)

from abreast.mechanics.ledger import Fault, Ledger, State, loads
from abreast.model.procedure import StartState
from abreast.procedure.prove import prove

ESP = esp_held()
WORK = actions(ESP)
SUB = {"holder": "LS-SF", "gear": ["EL-LS"]}


def before(do: str, **about: Any) -> tuple[Ledger, State]:
    return upto(ESP, at(WORK, do, **about))


def test_floor_thread_is_not_made_by_picking_both_pieces_up():
    ledger, state = before("fit", holder="LC-M")
    lift = {"do": "pick_up", "pieces": ["P07", "AU"], "line": "block", "on": "AU"} | SUB
    assert rule(ledger, state, {"do": "fit", "holder": "LS-SF", "on": "AU"}, lift) == "loose"


def test_one_hoist_does_not_move_two_strings():
    """The second line of the block still hangs on the motor: one hook lifts nothing else."""
    procedure = both_held()
    ledger, state = upto(procedure, at(actions(procedure), "stab", joints=("J3",)))
    fit = {"do": "fit", "holder": "LS-SF", "on": "P07"}
    lift = {"do": "pick_up", "pieces": ["P07"], "line": "block", "on": "P07"} | SUB
    assert rule(ledger, state, fit, lift) == "line"


def test_twin_clamp_is_not_torn_between_what_moves_and_what_stands():
    """Clamps that do not carry tie all the same."""
    clamps = tuple(one.model_copy(update={"carries": False}) for one in top_hung().clamps)
    procedure = top_hung(clamps=clamps)
    work = actions(procedure)
    ledger, state = upto(procedure, at(work, "fit_twin_clamp") + 1)
    up = {"do": "hoist", "lines": ["block"], "z_m": 10.6, "to_m": 1.5}
    assert rule(ledger, state, up) == "clear"


def test_lift_on_two_lines_is_not_stabbed():
    ledger, state = before("stab", joints=("J2",))
    second = {"do": "latch", "line": "tugger", "holder": "SLG", "on": "B05"}
    stab = {"do": "stab", "joints": ["J2"], "line": "block"}
    assert rule(ledger, state, second, stab) == "line"


def test_lines_on_two_strings_are_not_taken_together():
    ledger, state = before("stab", joints=("J2",))
    tug = {"do": "latch", "line": "tugger", "holder": "SOFT", "on": "base"}
    assert rule(ledger, state, tug, {"do": "take", "lines": ["block", "tugger"]}) == "line"


def test_line_does_not_slack_off_to_a_slack_line():
    ledger, state = upto(ESP, 2)
    both = {"do": "latch", "line": "tugger", "holder": "SLG", "on": "base"}
    assert rule(ledger, state, both, {"do": "slack_off", "lines": ["block"]}) == "held"


def test_string_is_not_laid_down_from_the_hole():
    ledger, state = before("set_slips")
    assert rule(ledger, state, {"do": "lay_down", "line": "block"}) == "height"


def test_joint_is_not_broken_out_onto_slips_that_never_carried():
    ledger, state = before("remove_safety_clamp")
    assert rule(ledger, state, {"do": "break_out", "joint": "J3"}) == "seat"
    free = {"do": "free_seat", "joint": "J3"}
    assert rule(ledger, state, free) == "seat", "the line pulls on it"


def test_leg_of_the_closed_frame_is_not_opened_with_its_take_up():
    ledger, state = before("confirm", due="union stroke")
    out = {"do": "break_out", "joint": "J10", "back_up": "P07"}
    assert rule(ledger, state, out) == "empty"


def test_frame_opened_again_is_no_longer_snug():
    ledger, state = before("turn_union")
    parted = act(ledger, state, {"do": "break_out", "joint": "J10", "back_up": "P07"})
    assert parted.union_turns is None
    assert rule(ledger, parted, {"do": "snug_union"}) == "order"


def test_string_without_its_seat_is_not_handed_over():
    """As if the ESP had never been set down: all else is as at the end."""
    ledger, state = before("hand_over")
    act(ledger, state, {"do": "hand_over"})
    hung = replace(state, joints={k: v for k, v in state.joints.items() if k != "J3"})
    assert rule(ledger, hung, {"do": "hand_over"}) == "seat"
    assert rule(ledger, replace(state, locked_seats=frozenset()), {"do": "hand_over"}) == "seat"


def test_clamp_with_a_twin_lands_where_it_stands():
    """Two alike: one waits on a piece of the rack, the other is on the string."""
    holders = tuple(
        one.model_copy(update={"count": 2, "insert": "", "neck_od_m": None})
        if one.id == "LC-M"
        else one
        for one in ESP.holders
    )
    procedure = esp_held(holders=holders)
    work = actions(procedure)
    assert spliced(procedure, (0, 0, [{"do": "fit", "holder": "LC-M", "on": "pump"}]))[1] > at(
        work, "land"
    )


def test_string_is_not_lowered_through_the_cover():
    ledger, state = before("take", lines=("block",))
    low = ({"do": "take", "lines": ["block"]}, {"do": "remove_safety_clamp", "holder": "SC"})
    pull = {"do": "pull_slips", "holder": "SL"}
    assert rule(ledger, state, *low, pull, move("lower", 30.77, 6.6)) == "clear"


def test_stated_load_is_void_after_a_new_take():
    procedure = both_held()
    place = at(actions(procedure), "state_tension") + 1
    ledger, state = upto(procedure, place)
    assert any(one.least_n for one in state.holds)
    taken = act(ledger, state, {"do": "take", "lines": ["second", "block"]})
    assert not any(one.least_n for one in taken.holds)


def test_stated_load_is_void_after_slacking_off():
    procedure = both_held()
    ledger, state = upto(procedure, at(actions(procedure), "unlatch", line="second"))
    found = loads(ledger.book, state)
    whole_n = found.weight_n[0]
    assert {one[1:] for one in found.holds if one[0].taut} == {(0.0, whole_n)}


@pytest.mark.parametrize(
    ("start", "rule_id"),
    [
        ({"in_hole": ("P25",)}, "held"),
        ({"in_hole": ("nothing",)}, "known"),
        ({"in_hole": ("P25", "base"), "line": "block", "holder": "SOFT", "on": "B05"}, "held"),
        ({"in_hole": ("base",), "line": "rope", "holder": "SOFT", "on": "base"}, "known"),
        ({"in_hole": ("base",), "line": "block", "holder": "hand", "on": "base"}, "known"),
        ({"in_hole": ("base",), "line": "block", "holder": "SOFT", "gear": ("X",)}, "known"),
        ({"in_hole": ("P25",), "line": "block", "holder": "SC", "on": "P25"}, "fit"),
        ({"in_hole": ("P25", "B05"), "line": "block", "holder": "LS-SF", "on": "B05"}, "held"),
        ({"clamps": ("C9",)}, "known"),
        ({"line": "block", "holder": "SOFT", "on": "base"}, "known"),
    ],
)
def test_start_that_can_not_be(start, rule_id):
    proof = prove(esp_held(start=StartState(**start)))
    assert proof.outcome == "refused"
    assert proof.fault is not None
    assert (proof.fault.step, proof.fault.rule) == ("start", rule_id)


def test_start_in_the_hole_is_held_and_weighed():
    start = StartState(in_hole=("P25", "base"), at_m=1.0, line="block", holder="SOFT", on="base")
    ledger = Ledger(esp_held(start=start))
    found = loads(ledger.book, ledger.start)
    assert found.unheld == ()
    assert found.holds[0][1] == pytest.approx(found.weight_n[0])


def test_fault_says_which_rule_and_what_to_do():
    ledger, state = before("slack_off")
    with pytest.raises(Fault) as caught:
        act(ledger, state, {"do": "unlatch", "line": "block"})
    assert caught.value.rule == "empty"
    assert "block" in caught.value.text
    assert caught.value.cure


def test_indicator_shows_block_and_string():
    steps = prove(ESP).steps
    place = at(WORK, "take")
    whole_n = max(one.high_n for one in steps[place].numbers.holds)
    assert steps[place].numbers.indicator_after_n == pytest.approx(
        (whole_n + 4300 * 9.80665,) * 2, rel=1e-9
    )


def test_clamp_bolts_over_the_open_hole():
    ledger, state = before("confirm", due="counts")
    assert rule(ledger, state, {"do": "fit", "holder": "LC-P", "on": "pump"}) == "cover"


@pytest.mark.parametrize(("wide_m", "expected"), [(0.10, ""), (0.30, "clear")])
def test_plate_does_not_close_on_what_is_wider_than_its_opening(wide_m, expected):
    site = ESP.site.model_copy(update={"plate_opening_m": 0.2})
    pieces = tuple(
        one.model_copy(update={"max_od_m": wide_m}) if one.id == "motor" else one
        for one in ESP.pieces
    )
    procedure = esp_held(site=site, pieces=pieces)
    ledger, state = upto(procedure, at(WORK, "set_plate", to="closed"))
    assert rule(ledger, state, {"do": "set_plate", "to": "closed"}) == expected
