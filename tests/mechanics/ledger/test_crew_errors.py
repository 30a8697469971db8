"""What crews get wrong: each error is refused no later than where it is made, by its rule.

The list follows common practice for twin strings; no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.mechanics.ledger.small import (
    FT,
    LBF,
    LBF_FT,
    PLATE_FT,
    act,
    actions,
    at,
    both_held,
    bypass_held,
    esp_held,
    move,
    rule,
    spliced,
    top_hung,
    upto,
)

from abreast.mechanics.ledger import Fault
from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.watch import watch
from abreast.model.procedure import HoistLine, Procedure
from abreast.procedure.prove import prove

ESP = esp_held()
WORK = actions(ESP)


def without(procedure: Procedure, do: str, **about: Any) -> tuple[str, int, int]:
    """Rule, place of the fault in the broken work, and the place of what was left out."""
    place = at(actions(procedure), do, **about)
    return *spliced(procedure, (place, place + 1, [])), place


def before(do: str, **about: Any) -> tuple[Any, Any]:
    return upto(ESP, at(WORK, do, **about))


@pytest.mark.parametrize("made", [esp_held, top_hung])
def test_whole_runs_are_proved(made):
    assert prove(made()).outcome == "proved"


@pytest.mark.parametrize("made", [bypass_held, both_held])
def test_part_runs_lack_only_their_end(made):
    fault = prove(made()).fault
    assert fault is not None
    assert fault.step == "end"


# --- slips, safety clamps, elevators ------------------------------------------------------


def test_line_freed_before_slips_took_the_weight():
    place = at(WORK, "slack_off")
    assert spliced(ESP, (place, place + 1, [])) == ("empty", place)


def test_safety_clamp_too_high():
    place = at(WORK, "fit_safety_clamp")
    high = WORK[place] | {"gap_m": 0.3}
    assert spliced(ESP, (place, place + 1, [high])) == ("back-up", place)


def test_no_safety_clamp_on_slips():
    found, where, place = without(ESP, "fit_safety_clamp")
    assert found == "back-up"
    assert where <= place + 2, "no later than when the line is freed"


def test_safety_clamp_forgotten_before_lowering():
    found, where, _ = without(ESP, "remove_safety_clamp")
    assert (found, where) == ("clear", at(WORK, "lower", z_m=30.77 * FT) - 1)


def test_safety_clamp_left_from_before_is_no_back_up():
    """Slips are pulled and set again lower; the clamp stays where it was."""
    ledger, state = before("cover", on=True)
    again = (
        {"do": "latch", "line": "block", "holder": "SOFT", "on": "base"},
        {"do": "take", "lines": ["block"]},
        {"do": "pull_slips", "holder": "SL"},
        move("hoist", 3.1, 5.6),
        {"do": "set_slips", "holder": "SL", "on": "P25", "support": "rotary"},
        {"do": "slack_off", "lines": ["block"]},
    )
    assert rule(ledger, state, *again) == "back-up"


def test_elevator_opened_on_a_safety_clamp_alone():
    place = at(WORK, "slack_off")
    no_slips = at(WORK, "set_slips")
    assert spliced(ESP, (no_slips, no_slips + 1, []))[0] == "back-up"
    ledger, state = upto(ESP, place)
    assert rule(ledger, state, {"do": "unlatch", "line": "block"}) == "empty"


def test_line_that_could_not_carry_it_is_no_back_up():
    ledger, state = upto(bypass_held(), len(actions(bypass_held())))
    alone = replace(state, guards=())
    watch(ledger.book, alone)
    weak = HoistLine(id="block", hoist="block", rating_n=2000.0)
    book = Book(bypass_held(lines=(weak, ledger.book.lines["second"])))
    with pytest.raises(Fault, match="no back-up"):
        watch(book, alone)


# --- who carries --------------------------------------------------------------------------


def test_twin_taken_by_the_bypass_elevator_alone():
    """The ESP section would stand on its seat, pushed, on the cable side."""
    ledger, state = before("fit", holder="LC-P")
    bypass = {"do": "latch", "line": "block", "holder": "LS-SF", "on": "P07", "gear": ["EL-LS"]}
    fit = {"do": "fit", "holder": "LS-SF", "on": "P07"}
    assert rule(ledger, state, fit, bypass, {"do": "take", "lines": ["block"]}) == "slack"


def test_one_line_of_two_takes_all():
    work = actions(both_held())
    place = at(work, "take")
    assert spliced(both_held(), (place, place + 1, [{"do": "take", "lines": ["block"]}])) == (
        "slack",
        place,
    )


def test_both_lines_without_a_stated_tension():
    procedure = both_held()
    place = at(actions(procedure), "state_tension")
    found, where = spliced(procedure, (place, place + 1, []))
    assert (found, where) == ("slack", at(actions(procedure), "lower", z_m=30.77 * FT) - 1)


def test_tension_of_before_the_last_lowering_by_two_hoists():
    """Two hoists never lower quite alike: what was stated is void after the move."""
    procedure = both_held("second")
    work = actions(procedure)
    assert spliced(procedure) == spliced(both_held())
    places = [n for n, one in enumerate(work) if one["do"] == "state_tension"]
    found, where = spliced(procedure, (places[1], places[1] + 1, []))
    assert (found, where) == ("slack", places[1])


def test_tension_that_contradicts_the_weight():
    procedure = both_held()
    place = at(actions(procedure), "state_tension")
    for bounds in ({"least_n": 1e6}, {"least_n": 10.0, "most_n": 5.0}):
        wrong = {"do": "state_tension", "line": "second"} | bounds
        assert spliced(procedure, (place, place + 1, [wrong])) == ("rating", place)


def test_clamp_for_one_section_would_carry_all_when_the_other_line_slacks():
    """The bounds of both lines go up to the whole weight."""
    work = actions(both_held())
    whole_n = prove(both_held()).steps[at(work, "take")].numbers.holds
    most_n = max(one.high_n for one in whole_n if one.by == "second")
    holders = tuple(
        one.model_copy(update={"rating_n": 0.9 * most_n * 1.3}) if one.id == "LC-M" else one
        for one in both_held().holders
    )
    fault = prove(both_held(holders=holders)).fault
    assert fault is not None
    assert (fault.rule, fault.index) == ("rating", at(work, "take"))


def test_clamp_that_looks_slack_is_removed():
    """After the joint is made, clamp and line may both carry."""
    ledger, state = before("record_torque", joint="J6")
    assert rule(ledger, state, {"do": "remove", "holder": "LC-M", "on": "motor"}) == "empty"


def test_slips_that_look_slack_are_pulled():
    ledger, state = before("lock_seat")
    assert rule(ledger, state, {"do": "pull_slips", "holder": "SL"}) == "empty"


def test_esp_left_standing_free_on_its_seat():
    ledger, state = before("take")
    slack = {"do": "slack_off", "lines": ["block"]}
    assert rule(ledger, state, slack, {"do": "unlatch", "line": "block"}) == "slack"


# --- clamps, plate, subs: counted and in the way ------------------------------------------


def test_lifting_clamp_goes_below_the_plate():
    """It is in the way of the twin clamp; and without that, of the lowering."""
    found, where, place = without(ESP, "remove", holder="LC-M")
    clamp = at(WORK, "fit_twin_clamp", clamp="C1")
    assert (found, where) == ("clear", clamp - 1)
    cuts = (place, place + 1, []), (clamp, clamp + 1, [])
    assert spliced(ESP, *cuts) == ("lost", at(WORK, "lower", z_m=41.0 * FT) - 2)


def test_plate_closed_above_a_lifting_clamp():
    procedure = ESP
    place = at(WORK, "set_plate", to="closed")
    low = move("lower", 30.77, 1.0)
    assert spliced(procedure, (place - 1, place, [low])) == ("lost", place)


def test_lifting_clamp_left_on_at_the_end():
    assert without(ESP, "remove", holder="LC-P")[0] in ("clear", "lost")


def test_false_rotary_halves_left():
    place = at(WORK, "set_plate", to="off")
    assert without(ESP, "set_plate", to="off") == ("clear", len(WORK) - 2, place)


def test_halves_taken_away_under_the_clamp():
    ledger, state = before("fit", holder="LC-P")
    assert rule(ledger, state, {"do": "set_plate", "to": "open"}) == "empty"


def test_lifting_sub_left_on_under_the_next_joint():
    """It is on B05 when P07 is stabbed; one more sub is at hand."""
    assert without(ESP, "remove", holder="LS-SF", on="B05")[:2] == (
        "lost",
        at(WORK, "stab", joints=("J5",)) - 1,
    )


def test_lifting_sub_forgotten():
    place = at(WORK, "fit", holder="LS-SF")
    lift = {"do": "pick_up", "pieces": ["B05"], "line": "block", "holder": "EL-B", "on": "B05"}
    assert spliced(ESP, (place, place + 2, [lift])) == ("fit", place)
    assert spliced(ESP, (place, place + 1, [])) == ("fit", place)


def test_counted_before_the_last_clamp_is_off():
    place, off = at(WORK, "confirm", due="counts"), at(WORK, "remove", holder="LC-P")
    count = [WORK[place]]
    assert spliced(ESP, (off, off, count)) == ("lost", off)
    assert without(ESP, "confirm", due="counts")[:2] == ("due", len(WORK) - 2)


def test_count_is_void_when_something_is_given_out_again():
    ledger, state = before("hand_over")
    again = ({"do": "cover", "on": True}, {"do": "fit", "holder": "LC-P", "on": "pump"})
    off = {"do": "remove", "holder": "LC-P", "on": "pump"}
    assert rule(ledger, state, *again, off, {"do": "hand_over"}) == "due"


# --- joints --------------------------------------------------------------------------------


def test_picked_up_on_hand_tight():
    place = at(WORK, "make_up", joint="J6")
    found, where = spliced(ESP, (place, place + 3, []))
    assert (found, where) == ("loose", place)


@pytest.mark.parametrize("name", ["J2", "J9", "J10"])
def test_made_up_without_back_up(name):
    place = at(WORK, "make_up", joint=name)
    bare = WORK[place] | {"back_up": ""}
    assert spliced(ESP, (place, place + 1, [bare])) == ("torque", place)


@pytest.mark.parametrize("torque", [1299.0, 1601.0])
def test_torque_outside_the_window(torque):
    place = at(WORK, "make_up", joint="J2")
    wrong = WORK[place] | {"torque_nm": torque * LBF_FT}
    assert spliced(ESP, (place, place + 1, [wrong])) == ("torque", place)


@pytest.mark.parametrize("name", ["J2", "J6"])
def test_torque_not_recorded_before_it_goes_below(name):
    """J2 goes below with the motor's landing, J6 with the pump's."""
    found, where, place = without(ESP, "record_torque", joint=name)
    lower = next(n for n in range(place, len(WORK)) if WORK[n]["do"] == "lower")
    assert (found, where) == ("torque", lower - 1)


@pytest.mark.parametrize(("name", "waits"), [("J3", "J6"), ("J6", "J9")])
def test_orientation_unsigned_before_the_next_section(name, waits):
    found, where, _ = without(ESP, "confirm", due=f"orientation {name}")
    stab = next(n for n, o in enumerate(WORK) if o["do"] == "stab" and waits in o["joints"])
    assert (found, where) == ("due", stab - 1)


def test_orientation_signed_before_it_can_be_seen():
    place = at(WORK, "make_up", joint="J6")
    sign = {"do": "confirm", "due": "orientation J6"}
    assert spliced(ESP, (place, place, [sign])) == ("due", place)


def test_orientation_is_signed_anew_after_breaking_out():
    ledger, state = before("take", lines=("block",))
    again = act(
        ledger,
        state,
        {"do": "free_seat", "joint": "J3"},
        {"do": "break_out", "joint": "J3"},
        {"do": "make_up", "joint": "J3"},
    )
    assert "orientation J3" in state.confirmed
    assert "orientation J3" not in again.confirmed


def test_seat_not_locked_before_the_esp_is_taken():
    found, where, _ = without(ESP, "lock_seat")
    assert (found, where) == ("seat", at(WORK, "take") - 1)


def test_seat_freed_while_it_carries():
    ledger, state = before("fit", holder="LC-P")
    assert rule(ledger, state, {"do": "free_seat", "joint": "J3"}) == "seat"


def test_tools_over_the_open_hole():
    found, where, place = without(ESP, "cover", on=True)
    assert (found, where) == ("cover", at(WORK, "make_up", joint="J2") - 1)
    assert place < where


# --- wrong thing --------------------------------------------------------------------------


def test_clamp_of_the_other_neck():
    place = at(WORK, "fit", holder="LC-M")
    wrong = WORK[place] | {"holder": "LC-P"}
    assert spliced(ESP, (place, place + 1, [wrong])) == ("fit", place)


def test_clamp_with_the_wrong_insert():
    holders = tuple(
        one.model_copy(update={"insert": "IN-360"}) if one.id == "LC-M" else one
        for one in ESP.holders
    )
    fault = prove(esp_held(holders=holders)).fault
    assert fault is not None
    assert (fault.rule, fault.index) == ("fit", at(WORK, "fit", holder="LC-M"))


def test_sub_for_other_pipe():
    place = at(WORK, "fit", holder="LS-SF")
    wrong = WORK[place] | {"holder": "SUB2"}
    assert spliced(ESP, (place, place + 1, [wrong])) == ("fit", place)


def test_elevator_on_a_motor():
    place = at(WORK, "fit", holder="LC-M")
    lift = WORK[place + 1] | {"holder": "EL-LS", "gear": []}
    assert spliced(ESP, (place, place + 2, [lift])) == ("fit", place)


@pytest.mark.parametrize("gear", [["SLG"], ["SC"], ["SL"], []])
def test_lifting_sub_without_an_elevator(gear):
    place = at(WORK, "pick_up", on="B05")
    wrong = WORK[place] | {"gear": gear}
    assert spliced(ESP, (place, place + 1, [wrong])) == ("fit", place)


def test_piece_run_twice():
    place = at(WORK, "fit", holder="LC-P")
    again = WORK[at(WORK, "pick_up", on="B05")]
    ledger, state = upto(ESP, place)
    fit = {"do": "fit", "holder": "LS-SF", "on": "P07"}
    assert rule(ledger, state, fit, again) == "order"


def test_pieces_in_the_wrong_order():
    """P07 would go on the base, where B05 belongs."""
    place = at(WORK, "stab", joints=("J2",))
    wrong = WORK[place] | {"joints": ["J5"]}
    assert spliced(ESP, (place, place + 1, [wrong])) == ("order", place)


# --- heights ------------------------------------------------------------------------------


def test_lowering_forgotten():
    found, where, _ = without(ESP, "lower", z_m=30.77 * FT, to_m=PLATE_FT * FT)
    assert (found, where) == ("height", at(WORK, "land") - 1)


def test_hook_too_high():
    low = tuple(one.model_copy(update={"hook_max_m": 8.0}) for one in ESP.lines)
    fault = prove(esp_held(lines=low)).fault
    assert fault is not None
    assert fault.rule == "height"
    assert "hook" in fault.text


def test_slings_too_short_beside_the_bypass():
    holders = tuple(
        one.model_copy(update={"length_m": 0.5}) if one.id == "SLG" else one for one in ESP.holders
    )
    fault = prove(esp_held(holders=holders)).fault
    assert fault is not None
    assert (fault.rule, "slings" in fault.text) == ("height", True)


# --- cable, union, clamps, end ------------------------------------------------------------


@pytest.mark.parametrize("due", ["reading before MLE", "reading after MLE"])
def test_reading_missing_at_the_mle(due):
    found, where, place = without(ESP, "confirm", due=due)
    assert found == "due"
    assert where <= place + 3


def test_reading_before_the_motor_is_there():
    assert spliced(ESP, (0, 0, [{"do": "confirm", "due": "reading before MLE"}])) == ("due", 0)


def test_moved_with_the_reel_held():
    found, where, _ = without(ESP, "reel")
    assert (found, where) == ("cable", at(WORK, "lower", z_m=41.0 * FT) - 1)


def test_mle_forgotten_at_the_pothead():
    place = at(WORK, "confirm", due="reading before MLE")
    found, where = spliced(ESP, (place, place + 5, []))
    assert found in ("cable", "order")
    assert where == at(WORK, "lower", z_m=41.0 * FT) - 5


def test_twin_clamp_forgotten():
    found, where, _ = without(ESP, "fit_twin_clamp", clamp="C1")
    assert (found, where) == ("order", at(WORK, "lower", z_m=41.0 * FT) - 1)


def test_twin_clamp_over_the_cable_before_the_cable():
    mle = at(WORK, "confirm", due="reading before MLE")
    clamp = at(WORK, "fit_twin_clamp", clamp="C1")
    assert spliced(ESP, (mle, mle, [WORK[clamp]])) == ("cable", mle)


def test_union_locked_without_its_turns():
    found, where, place = without(ESP, "turn_union")
    assert (found, where) == ("order", place)


def test_turns_without_snug():
    found, where, place = without(ESP, "snug_union")
    assert (found, where) == ("order", place)


def test_union_at_the_end_of_its_stroke():
    place = at(WORK, "turn_union")
    far = WORK[place] | {"turns": 20.0}
    assert spliced(ESP, (place, place + 1, [far])) == ("height", place)


def test_union_not_locked():
    """Nor the stroke measured: both are seen at the hand-over at the latest."""
    place = at(WORK, "lock_union")
    assert spliced(ESP, (place, place + 2, [])) == ("order", len(WORK) - 3)


def test_string_lowered_with_the_union_unlocked():
    place, off = at(WORK, "lock_union"), at(WORK, "set_plate", to="off")
    low = move("lower", 41.0, 5.0)
    found, where = spliced(ESP, (place, place + 2, []), (off, off + 1, [WORK[off], low]))
    assert (found, where) == ("order", off - 1)


def test_union_unlocked_under_load():
    ledger, state = before("confirm", due="union stroke")
    assert rule(ledger, state, {"do": "unlock_union"}) == "empty"


def test_faces_measured_before_both_are_there():
    assert spliced(ESP, (0, 0, [{"do": "confirm", "due": "face difference"}])) == ("due", 0)
    assert without(ESP, "confirm", due="face difference")[0] == "due"


def test_nothing_follows_the_hand_over():
    last = len(WORK)
    assert spliced(ESP, (last, last, [{"do": "cover", "on": True}])) == ("order", last)


# --- what is not known --------------------------------------------------------------------


@pytest.mark.parametrize("name", ["LC-M", "SL", "SLG", "LS-SF"])
def test_missing_rating_is_named(name):
    holders = tuple(
        one.model_copy(update={"rating_n": None}) if one.id == name else one for one in ESP.holders
    )
    proof = prove(esp_held(holders=holders))
    assert proof.outcome == "proved except"
    assert any(name in one for one in proof.unrated)


@pytest.mark.parametrize("field", ["dynamic_ratio", "plate_rating_n", "rotary_rating_n"])
def test_missing_number_of_the_site_is_named(field):
    site = ESP.site.model_copy(update={field: None})
    proof = prove(esp_held(site=site))
    assert proof.outcome == "proved except"
    assert len(proof.unrated) == 1


def test_dynamic_factor_counts():
    """A clamp for the weight alone does not do for a lift."""
    steps = prove(ESP).steps
    weight_n = max(
        one.high_n for step in steps for one in step.numbers.holds if one.holder == "LC-M"
    )
    for ratio, outcome in ((1.29, "refused"), (1.31, "proved")):
        holders = tuple(
            one.model_copy(update={"rating_n": ratio * weight_n}) if one.id == "LC-M" else one
            for one in ESP.holders
        )
        assert prove(esp_held(holders=holders)).outcome == outcome
    assert weight_n > 1000 * LBF


@pytest.mark.parametrize("load_n", [0.0, -1000.0])
def test_joint_rated_for_nothing_carries_nothing(load_n):
    joints = tuple(
        one.model_copy(update={"load_n": load_n}) if one.id == "J6" else one for one in ESP.joints
    )
    fault = prove(esp_held(joints=joints)).fault
    assert fault is not None
    assert fault.rule == "rating"


@pytest.mark.parametrize("name", ["base", "B05", "motor"])
def test_piece_rated_for_less_than_hangs_from_it(name):
    """Known before the frame is closed: the piece itself, not only its joints."""
    pieces = tuple(
        one.model_copy(update={"load_n": 500.0}) if one.id == name else one for one in ESP.pieces
    )
    fault = prove(esp_held(pieces=pieces)).fault
    assert fault is not None
    assert (fault.rule, fault.index < at(WORK, "snug_union")) == ("rating", True)
    assert name in fault.text
