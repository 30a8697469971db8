"""Cautions, hold points, stops and records: each where it belongs, and not everywhere."""

from __future__ import annotations

import re
from typing import Any

import pytest
from tests.procedure.hand_made import bare, hand_made
from tests.procedure.test_words import KINDS, action, kind

from abreast.model import floor_actions as fa
from abreast.model.entries import ENTRY_FIELDS
from abreast.model.procedure import Due, Procedure, Step
from abreast.procedure.dress import HOLD_POINT, dress
from abreast.procedure.words_cautions import CAUTIONS, STOPS

DRESSED = dress(hand_made())
DEFERS = re.compile(r"maker|site|local rules|licensed|certificates")


def steps_of(do: str, procedure: Procedure = DRESSED) -> list[Step]:
    return [one for one in procedure.steps if one.action.do == do]


def caution(key: str) -> str:
    return next(one.text for one in CAUTIONS if one.key == key)


def cautions(do: str, **changes: Any) -> tuple[str, ...]:
    return dress(bare(steps=(Step(id="1", action=action(do, **changes)),))).steps[0].cautions


@pytest.mark.parametrize("one", CAUTIONS, ids=lambda one: one.key)
def test_every_caution_leaves_the_last_word_to_others(one: Any) -> None:
    assert DEFERS.search(one.text)


def test_keys_are_there_once() -> None:
    for table in (CAUTIONS, STOPS):
        assert len({one.key for one in table}) == len(table)


def test_every_line_of_the_tables_is_used_and_none_is_everywhere() -> None:
    """One run, one pull, one of load path B: together they show every line, none on most steps."""
    twin = {"start": {"in_hole": ("B05", "motor"), "mle": True}}
    all_kinds = tuple(Step(id=kind(one), action=action(kind(one))) for one in KINDS)
    others = (
        Step(id="flange", action=action("stab", joints=["J6"])),
        Step(id="two lines", action=action("take", lines=["block", "tugger"])),
        Step(id="reading", action=action("confirm", due="reading before MLE")),
        Step(id="count", action=action("confirm", due="counts")),
    )
    shown: list[Step] = []
    for changes in ({}, {"purpose": "pull"}, {"load_path": "bypass-held"}):
        shown += dress(bare(steps=(*all_kinds, *others), **twin, **changes)).steps
    for one in CAUTIONS:
        count = sum(one.text in step.cautions for step in shown)
        assert 0 < count < len(shown) / 4, one.key
    for one in STOPS:
        assert any(one.text in step.stop for step in shown), one.key


def test_lifts_carry_the_caution_of_suspended_loads() -> None:
    lifts = steps_of("pick_up")
    assert len(lifts) == 6
    assert all(caution("suspended load") in one.cautions for one in lifts)
    assert not any(caution("suspended load") in one.cautions for one in steps_of("make_up"))


def test_only_lifts_of_the_esp_warn_of_its_cable() -> None:
    warned = [
        one.action.pieces for one in steps_of("pick_up") if caution("esp handling") in one.cautions
    ]  # type: ignore[union-attr]
    assert warned == [("gauge", "motor"), ("pump", "pup")]


def test_hands_between_the_strings_only_where_both_stand() -> None:
    """The first bypass piece has nothing beside it; the motor comes down beside it."""
    marked = [
        one.action.joints[0]
        for one in steps_of("stab")
        if caution("pinch point") in one.cautions  # type: ignore[union-attr]
    ]
    assert marked == ["J3", "J5", "J6", "J9"]


def test_electrical_readings_warn_of_high_voltage_and_of_the_gauge() -> None:
    for one in steps_of("confirm"):
        electrical = one.action.due.startswith("reading")  # type: ignore[union-attr]
        assert (caution("high voltage") in one.cautions) is electrical
        assert (caution("gauge") in one.cautions) is electrical
        assert ("electrical" in one.records) is electrical


def test_the_cable_is_live_for_whoever_works_on_it() -> None:
    for do in ("connect_mle", "disconnect_mle", "splice"):
        assert caution("live cable") in cautions(do)
    assert caution("live cable") not in cautions("reel")


def test_pressure_is_trapped_where_things_are_loosened() -> None:
    assert caution("trapped pressure") in cautions("break_out")
    assert caution("trapped pressure") not in cautions("make_up")


def test_a_caution_of_a_phase_is_said_once_in_it() -> None:
    text = caution("wind")
    phases = [one.phase for one in DRESSED.steps if text in one.cautions]
    assert phases == ["Base", "Landing L1", "Landing L2", "Close the frame"]


def test_load_path_b_never_loads_the_stand_by_clamp() -> None:
    text = caution("stand-by clamp")
    assert text not in cautions("fit")
    other = dress(hand_made(load_path="bypass-held"))
    assert [text in one.cautions for one in steps_of("fit", other)].count(True) == 2


def test_hold_points_are_signed_by_both() -> None:
    signed = {one.action.do for one in DRESSED.steps if one.signs}
    assert signed == {
        "confirm",
        "lock_seat",
        "connect_mle",
        "turn_union",
        "lock_union",
        "take",
        "hand_over",
    }
    assert all(one.signs in ((), HOLD_POINT) for one in DRESSED.steps)
    assert [bool(one.signs) for one in steps_of("take")] == [False, False, True]


def test_records_are_those_that_the_record_knows() -> None:
    for one in DRESSED.steps:
        assert one.records
        assert set(one.records) <= set(ENTRY_FIELDS)
    assert [one.records for one in steps_of("record_torque")] == [("torque",)] * 5
    assert all("piece run" in one.records for one in steps_of("pick_up"))
    assert steps_of("lock_seat")[0].records == ("seat", "signature")
    dues = {one.action.due: one.records for one in steps_of("confirm")}  # type: ignore[union-attr]
    assert dues["orientation J3"] == ("orientation", "signature")
    assert dues["seat set"] == ("seat", "signature")
    assert dues["face difference"] == ("face difference", "signature")
    assert dues["union stroke"] == ("union", "signature")
    assert dues["counts"] == ("count", "signature")


def test_how_a_piece_came_out_is_written_down() -> None:
    for purpose, records in (("run", ("time",)), ("pull", ("time", "remark"))):
        steps = (Step(id="1", action=action("lay_down")),)
        assert dress(bare(purpose=purpose, steps=steps)).steps[0].records == records


def test_a_job_of_its_own_asks_by_the_sort_of_what_is_due() -> None:
    own = Due(id="motor", sort="reading", text="phase readings of the motor", before=("stab J6",))
    steps = (Step(id="1", action=action("confirm", due="motor")),)
    assert dress(bare(dues=(own,), steps=steps)).steps[0].records == ("electrical", "signature")


def test_a_check_with_an_insulation_test_in_it_is_electrical_too() -> None:
    text = "shaft turned, oil, phase and insulation readings"
    own = Due(id="motor ready", sort="check", text=text, before=("pick_up motor",))
    steps = (Step(id="1", action=action("confirm", due="motor ready")),)
    made = dress(bare(dues=(own,), steps=steps)).steps[0]
    assert made.records == ("electrical", "signature") and made.calls == "ESP technician"
    assert {caution("high voltage"), caution("gauge")} <= set(made.cautions)


def test_who_calls_follows_the_joint() -> None:
    calls = {one.action.joint: one.calls for one in steps_of("make_up")}  # type: ignore[union-attr]
    assert calls["J5"] == "tong operator"
    assert calls["J6"] == "ESP technician"


def test_what_a_step_has_is_kept_and_twice_is_once() -> None:
    own = Step(id="1", action=action("take"), cautions=("mind the gate",), calls="driller")
    made = dress(bare(steps=(own,))).steps[0]
    assert made.cautions == ("mind the gate",) and made.calls == "driller"
    assert made.stop and made.records == ("load",)
    assert dress(DRESSED) == DRESSED


def test_dressing_changes_nothing_that_is_done() -> None:
    plain = hand_made()
    assert [one.action for one in DRESSED.steps] == [one.action for one in plain.steps]
    assert not any(one.words for one in DRESSED.steps)


def test_the_pull_forgets_what_was_laid_down() -> None:
    """Once the ESP has been parted and laid down, nothing stands between two strings."""
    do: list[fa.Action] = [
        action("pull_apart", joints=["J3"]),
        action("lay_down"),
        action("pull_apart", joints=["J2"]),
    ]
    steps = tuple(Step(id=str(place), action=one) for place, one in enumerate(do))
    start = {"in_hole": tuple(one.id for one in bare().pieces)}
    made = dress(bare(purpose="pull", start=start, steps=steps))
    marked = [caution("pinch point") in one.cautions for one in made.steps]
    assert marked == [True, False, False]


def test_every_kind_of_action_is_known_to_the_model() -> None:
    base = fa.Remark.__mro__[1]
    made = {one for one in vars(fa).values() if isinstance(one, type) and issubclass(one, base)}
    assert made - {base} == set(KINDS)
