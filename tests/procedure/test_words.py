"""Sentences for the rig floor: one for every kind of action, and no number of their own."""

from __future__ import annotations

import re
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.procedure.hand_made import FT, LBF, LBF_FT, bare, hand_made

from abreast.model import floor_actions as fa
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure, Step
from abreast.procedure.dress import dress
from abreast.procedure.words import short, step_words, words
from abreast.procedure.words_names import Names
from abreast.units import Dimension, feet_inches, show

KINDS: tuple[type[Any], ...] = get_args(get_args(Action)[0])
ONE_EACH: dict[str, dict[str, Any]] = {
    "pick_up": {
        "pieces": ["pump", "pup"],
        "line": "block",
        "holder": "LC-P",
        "on": "pump",
        "gear": ["SLG"],
    },
    "lay_down": {"line": "block"},
    "latch": {"line": "block", "holder": "LC-M", "on": "motor", "gear": ["SLG"]},
    "unlatch": {"line": "block"},
    "take": {"lines": ["block"]},
    "slack_off": {"lines": ["block"]},
    "state_tension": {
        "line": "block",
        "least_n": 900 * LBF,
        "most_n": 1700 * LBF,
        "by": "load cell",
    },
    "hoist": {"lines": ["block"], "z_m": 30.77 * FT, "to_m": 6.6 * FT},
    "lower": {"lines": ["block"], "z_m": 30.77 * FT, "to_m": 3.6 * FT},
    "fit": {"holder": "LC-M", "on": "motor"},
    "remove": {"holder": "LC-M", "on": "motor"},
    "land": {"holder": "LC-M"},
    "set_slips": {"holder": "SL", "on": "P25", "support": "rotary"},
    "pull_slips": {"holder": "SL"},
    "fit_safety_clamp": {"holder": "SC", "on": "P25", "gap_m": 0.5 * FT},
    "remove_safety_clamp": {"holder": "SC"},
    "set_plate": {"to": "closed"},
    "cover": {"on": True},
    "stab": {"joints": ["J9", "J10"], "line": "block"},
    "make_up": {"joint": "J5", "torque_nm": 1450 * LBF_FT, "back_up": "B05"},
    "record_torque": {"joint": "J5"},
    "break_out": {"joint": "J5", "back_up": "B05"},
    "pull_apart": {"joints": ["J9", "J10"], "line": "block"},
    "lock_seat": {"joint": "J3"},
    "free_seat": {"joint": "J3"},
    "fit_twin_clamp": {"clamp": "C1"},
    "remove_twin_clamp": {"clamp": "C1"},
    "connect_mle": {},
    "disconnect_mle": {},
    "reel": {"to": "follow"},
    "splice": {},
    "snug_union": {},
    "turn_union": {"turns": -1.0},
    "lock_union": {},
    "unlock_union": {},
    "confirm": {"due": "face difference"},
    "remark": {"text": "coffee"},
    "hand_over": {},
}


def action(do: str, **changes: Any) -> Action:
    fields = {"do": do} | ONE_EACH.get(do, {}) | changes
    return Step(id="1", action=fields).action  # type: ignore[arg-type]


def kind(one: type[Any]) -> str:
    return str(one.model_fields["do"].default)


@pytest.mark.parametrize("one", KINDS, ids=kind)
@pytest.mark.parametrize("units", ["oilfield", "SI"])
def test_every_kind_of_action_has_one_sentence_and_a_short_form(one: type[Any], units: str) -> None:
    procedure = bare(units=units)
    said = words(procedure, action(kind(one)))
    assert "\n" not in said and said.endswith(".") and said[0].isupper()
    assert "{" not in said and "None" not in said
    assert 0 < len(short(procedure, action(kind(one)))) <= 40


@pytest.mark.parametrize("one", KINDS, ids=kind)
def test_every_kind_of_action_is_dressed(one: type[Any]) -> None:
    step = dress(bare(steps=(Step(id="1", action=action(kind(one))),))).steps[0]
    assert step.records
    assert step.calls or kind(one) == "remark"


def data_numbers(data: object, units: str) -> set[str]:
    """Every number of the data as it may be shown, digits only."""
    shown: list[str] = []

    def walk(value: object) -> None:
        if isinstance(value, dict | list | tuple):
            for one in value.values() if isinstance(value, dict) else value:
                walk(one)
        elif isinstance(value, str):
            shown.append(value)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            shown.extend(ways(abs(float(value)), units))

    walk(data)
    return set(numbers(" ".join(shown)))


def ways(number: float, units: str) -> list[str]:
    """A number as it may be shown."""
    kinds = (Dimension.LENGTH, Dimension.MASS, Dimension.FORCE, Dimension.TORQUE, Dimension.ANGLE)
    plain = [show(number, one, units) for one in kinds]  # type: ignore[arg-type]
    by_rule = [feet_inches(number)] if number < 1000 else []
    small = [
        show(number, Dimension.LENGTH, units, small=True, digits=digits)  # type: ignore[arg-type]
        for digits in (None, 0)
    ]
    return [f"{number:g}", *plain, *by_rule, *small]


def made_of(procedure: Procedure, do: Action) -> list[float]:
    """Sums and products that are made of the data: weight of a lift, stroke of the turns."""
    if isinstance(do, fa.PickUp):
        masses = {one.id: one.mass_kg or 0.0 for one in procedure.pieces}
        return [sum(masses[one] for one in do.pieces)]
    if isinstance(do, fa.TurnUnion) and procedure.union and procedure.union.travel_m:
        return [abs(do.turns) * procedure.union.travel_m]
    return []


def numbers(text: str) -> list[str]:
    return re.findall(r"\d+(?:,\d{3})*(?:\.\d+)?", text)


@pytest.mark.parametrize("units", ["oilfield", "SI"])
def test_no_number_is_invented(units: str) -> None:
    procedure = hand_made(units=units)
    every = [action(kind(one)) for one in KINDS] + [one.action for one in procedure.steps]
    always = data_numbers(procedure.model_dump(exclude={"steps"}), units)
    for do in every:
        known = always | data_numbers([do.model_dump(), made_of(procedure, do)], units)
        assert set(numbers(words(procedure, do))) <= known, words(procedure, do)
        assert set(numbers(short(procedure, do))) <= known


def test_cautions_and_stops_hold_no_numbers() -> None:
    for step in dress(hand_made()).steps:
        assert not numbers(" ".join((*step.cautions, *step.stop)))


def test_a_landing_says_which_neck_comes_to_the_plate() -> None:
    assert words(bare(), action("lower")) == (
        "Lower on the block until the neck of motor stands on the plate"
        " (neck of motor z 30.77 ft comes to 3.60 ft above the floor)."
    )


def test_a_height_off_the_plate_is_also_given_by_rule() -> None:
    assert words(bare(), action("hoist")) == (
        "Hoist on the block until the neck of motor (z 30.77 ft) stands 6.60 ft"
        " (6 ft 7 3/16 in) above the floor."
    )
    below = words(bare(), action("lower", to_m=-6.6 * FT))
    assert "6.60 ft (6 ft 7 3/16 in) below the floor" in below


def test_a_mark_of_the_procedure_names_the_height() -> None:
    said = words(bare(units="SI"), action("hoist", mark="pothead", z_m=9.25, to_m=2.0))
    assert (
        said == "Hoist on the block until the pothead (z 9.250 m) stands 2.000 m above the floor."
    )


def test_slips_come_and_a_neck_comes_to_the_floor() -> None:
    for mark, said in (("slips on P25", "come"), ("pothead", "comes")):
        text = words(bare(units="SI"), action("lower", mark=mark, z_m=-1.0, to_m=0.0))
        assert (
            text == f"Lower on the block until the {mark} (z -1.000 m) {said} level with the floor."
        )


def test_a_twin_clamp_is_a_place_before_it_is_closed() -> None:
    said = words(bare(), action("hoist", mark="C1 at working height"))
    assert "until the place of twin clamp C1 (z" in said


def test_heights_that_are_nothing_are_shown_as_z() -> None:
    assert "until z 9.500 m stands" in words(bare(units="SI"), action("hoist", z_m=9.5))


def test_a_clamp_names_insert_and_neck() -> None:
    assert words(bare(), action("fit")) == (
        "Fit lifting clamp LC-M on the neck of motor;"
        " read off insert IN-410 and neck 4.100 in first."
    )


def test_threads_name_torque_window_and_back_up() -> None:
    assert words(bare(), action("make_up")) == (
        "Make up pup joint P07 on joint B05 to 1,450 lbf·ft"
        " (window 1,300 lbf·ft to 1,600 lbf·ft); hold joint B05 against turning."
    )


def test_a_torque_that_is_not_known_is_left_to_the_sheet() -> None:
    joints = tuple(
        one.model_copy(update={"torque_nm": None, "wanted_nm": None}) for one in bare().joints
    )
    said = words(bare(joints=joints), action("make_up", torque_nm=None))
    assert said == (
        "Make up pup joint P07 on joint B05, as its sheet says; hold joint B05 against turning."
    )


def test_a_weight_that_is_not_known_is_said_so() -> None:
    pieces = tuple(
        one.model_copy(update={"mass_kg": None}) if one.id == "pup" else one
        for one in bare().pieces
    )
    assert "(weight not known)" in words(bare(pieces=pieces), action("pick_up"))


def test_own_words_win() -> None:
    step = Step(id="1", action=action("lower"), words="  down she\ngoes ")
    assert step_words(bare(), step) == "Down she goes."
    blank = step.model_copy(update={"words": " "})
    assert step_words(bare(), blank) == words(bare(), step.action)


IDS = st.text(min_size=1, max_size=50)


@settings(max_examples=60)
@given(one=st.sampled_from(KINDS), other=IDS)
def test_unknown_ids_are_written_as_they_are(one: type[Any], other: str) -> None:
    """A procedure that will be refused can still be read; signs like braces are only text."""
    fields = ONE_EACH[kind(one)]
    lists = {"pieces", "lines", "joints", "gear"}
    closed = {"to", "on"} if kind(one) in {"set_plate", "reel", "cover"} else set()
    changed = {
        key: [other] if key in lists else other
        for key, value in fields.items()
        if (isinstance(value, str) or key in lists) and key not in closed
    }
    procedure = bare()
    do = action(kind(one), **changed)
    assert "\n" not in words(Names(procedure), do)
    assert len(short(procedure, do)) <= 40


def test_a_short_form_that_is_too_long_is_cut() -> None:
    cut = short(bare(), action("land", holder="a" * 60))
    assert cut == "Land " + "a" * 34 + "…" and len(cut) == 40
    assert short(bare(), action("lower")) == "Lower: neck of motor to plate"
    assert short(bare(), action("lower", mark="m" * 30)) == "Lower to plate"
    assert short(bare(), action("lower", to_m=0.0)) == "Lower: neck of motor to floor"
    assert short(bare(), action("hoist")) == "Hoist: neck of motor to 6.60 ft"
    assert short(bare(), action("pick_up", pieces=["a", "b", "c", "d"])) == "Pick up a to d"


def test_the_same_data_give_the_same_words() -> None:
    first, second = hand_made(), hand_made()
    assert [step_words(first, one) for one in first.steps] == [
        step_words(second, one) for one in second.steps
    ]
