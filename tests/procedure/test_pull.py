"""The reverse job: made from a run, judged by the ledger, down to an empty hole."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.drawing.strings import CHOICE_1, CHOICE_2
from tests.procedure.hand_hung import hand_hung
from tests.procedure.hand_made import ACTIONS, FT, bare, hand_made

from abreast.errors import InputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.ledger import Fault, Ledger
from abreast.model import Choice
from abreast.model.job import LoadPath
from abreast.model.procedure import Procedure, Step
from abreast.procedure.dress import dress
from abreast.procedure.generate import generate
from abreast.procedure.prove import Proof, prove
from abreast.procedure.pull import pull
from abreast.procedure.pull_back import back
from abreast.procedure.words import step_words
from abreast.spaceout.assemble import assemble

RUN = hand_made()
PULL = pull(RUN)


def does(procedure: Procedure) -> list[str]:
    return [one.action.do for one in procedure.steps]


def place(do: str, **fields: Any) -> int:
    """Where an action of the pull stands; it must be there once."""
    found = [
        at
        for at, one in enumerate(PULL.steps)
        if one.action.do == do
        and all(getattr(one.action, key) == value for key, value in fields.items())
    ]
    assert len(found) == 1, (do, fields, found)
    return found[0]


def with_steps(actions: list[dict[str, Any]], **changes: Any) -> Procedure:
    steps = tuple(Step(id=str(at), action=one) for at, one in enumerate(actions, 1))  # type: ignore[arg-type]
    return bare(steps=steps, **changes)


def flat() -> list[dict[str, Any]]:
    return [one for _, actions in ACTIONS for one in actions]


def weights(proof: Proof) -> list[float]:
    """What hangs from or stands on holders after each step, all together."""
    return [sum(one.high_n for one in step.numbers.holds if one.taut) for step in proof.steps]


def test_the_run_itself_is_proved() -> None:
    assert prove(RUN).outcome == "proved"


def test_the_pull_is_proved_and_leaves_nothing() -> None:
    proof = prove(PULL)
    assert proof.outcome == "proved", proof.fault
    end = proof.steps[-1].after
    assert end.handed_over
    assert not end.offsets and not end.joints and not end.holds and not end.guards
    assert not end.twin_clamps and not end.mle and not end.union_locked


def test_the_start_is_the_end_of_the_run() -> None:
    end = prove(RUN).steps[-1].after
    start = PULL.start
    assert set(start.in_hole) == set(end.offsets)
    assert (start.line, start.holder, start.on, start.gear) == (
        "block",
        "LS-SF",
        "Y-tool",
        ("EL-LS",),
    )
    assert start.at_m - start.z_m == pytest.approx(end.offsets["Y-tool"])
    assert start.union_turns == 1.0 and start.union_locked and start.mle
    assert start.clamps == ("C1",)


def test_the_union_is_unloaded_first_by_the_recorded_turns() -> None:
    """Turned back, measured, unlocked, and only then a leg is loosened."""
    order = [
        place("land", holder="LC-P"),
        place("turn_union", turns=-1.0),
        place("confirm", due="union given back"),
        place("unlock_union"),
        place("confirm", due="pressure let off"),
        place("break_out", joint="J10"),
        place("break_out", joint="J9"),
        place("pull_apart", joints=("J9", "J10")),
    ]
    assert order == sorted(order)


def test_turns_as_run_are_given_back_and_not_those_as_planned() -> None:
    """As run the union took a quarter more than the programme asked; 0.13 turns are the play."""
    union = bare().union
    assert union is not None
    actions = [one | {"turns": 1.25} if one["do"] == "turn_union" else one for one in flat()]
    made = pull(with_steps(actions, union=union.model_copy(update={"turns_wanted": 1.25})))
    assert [one.action.turns for one in made.steps if one.action.do == "turn_union"] == [-1.25]  # type: ignore[union-attr]


def test_readings_come_before_the_cable_is_taken_off() -> None:
    assert place("remove_twin_clamp", clamp="C1") < place("confirm", due="reading before MLE")
    assert place("confirm", due="reading before MLE") < place("disconnect_mle")
    assert place("confirm", due="counts") == len(PULL.steps) - 2
    assert "reading after MLE" not in {getattr(one.action, "due", "") for one in PULL.steps}


def test_pieces_come_out_the_other_way_round() -> None:
    went_in = [one.action.pieces for one in RUN.steps if one.action.do == "pick_up"]  # type: ignore[union-attr]
    proof = prove(PULL)
    came_out = [
        set(step.before.offsets) - set(step.after.offsets)
        for step in proof.steps
        if step.step.action.do == "lay_down"
    ]
    assert came_out == [set(one) for one in reversed(went_in)]


def test_the_expected_weights_are_those_of_the_run() -> None:
    """The whole string first, a lighter one after every lay-down, nothing at the end."""
    seen = weights(prove(PULL))
    mass_kg = sum(one.mass_kg or 0.0 for one in RUN.pieces) + sum(
        one.mass_kg or 0.0 for one in RUN.clamps
    )
    assert seen[0] == pytest.approx(mass_kg * 9.80665, rel=1e-12)
    assert seen[-1] == 0.0
    downs = [at for at, one in enumerate(PULL.steps) if one.action.do == "lay_down"]
    assert all(seen[at] < seen[at - 1] for at in downs)


def test_lay_downs_name_their_pieces_and_weight() -> None:
    words = [step_words(PULL, one) for one in PULL.steps if one.action.do == "lay_down"]
    assert words[0] == (
        "Lay down adjustable union AU and Y-tool (383 lb) on the catwalk from the block,"
        " the lower end tailed in."
    )
    assert "gauge and motor (2,045 lb)" in words[3]


def test_tools_are_used_over_a_covered_hole() -> None:
    proof = prove(PULL)
    for step in proof.steps:
        if step.step.action.do in {"break_out", "remove_twin_clamp", "free_seat", "disconnect_mle"}:
            assert step.before.covered or step.before.plate == "closed"


def test_a_pull_is_dressed_for_its_dangers() -> None:
    text = " ".join(line for one in dress(PULL).steps for line in one.cautions)
    for word in ("Trapped pressure", "Recovered parts", "High voltage", "Part of a turn"):
        assert word in text


def test_a_lift_that_was_rejected_in_the_run_is_left_out() -> None:
    """B05 is picked up, found bad, laid down, and picked up again: the pull sees it once."""
    actions = flat()
    at = next(i for i, one in enumerate(actions) if one.get("pieces") == ["B05"])
    again = [actions[at], {"do": "lay_down", "line": "block"}]
    made = pull(with_steps([*actions[:at], *again, *actions[at:]]))
    assert [one.action for one in made.steps] == [one.action for one in PULL.steps]


def test_a_splice_is_cut_before_anything_is_opened() -> None:
    cable = bare().cable
    assert cable is not None
    spliced = cable.model_copy(update={"splice_z_m": 60 * FT})
    actions = flat()
    splice = [
        {"do": "cover", "on": True},
        {"do": "reel", "to": "hold"},
        {"do": "confirm", "due": "reading before splice"},
        {"do": "splice"},
        {"do": "confirm", "due": "reading after splice"},
        {"do": "cover", "on": False},
    ]
    made = pull(with_steps([*actions[:-2], *splice, *actions[-2:]], cable=spliced))
    assert prove(made).outcome == "proved"
    assert made.steps[0].action.do == "remark"
    assert "proved dead" in step_words(made, made.steps[0])


def test_a_refused_run_gives_no_pull() -> None:
    actions = [one for one in flat() if one["do"] != "fit_safety_clamp"]
    with pytest.raises(InputError, match=r"refused at step 4: .*back-up") as refused:
        pull(with_steps(actions))
    assert refused.value.code == "not-proved"


def test_a_pull_gives_no_pull() -> None:
    with pytest.raises(InputError, match="is a pull already"):
        pull(PULL)


def test_what_the_run_did_twice_is_undone_once() -> None:
    """A twin clamp moved, a joint broken out and made again."""
    actions = flat()
    clamp = next(i for i, one in enumerate(actions) if one["do"] == "fit_twin_clamp") + 1
    joint = next(i for i, one in enumerate(actions) if one.get("joint") == "J5") + 1
    off = {"do": "remove_twin_clamp", "clamp": "C1"}
    out = {"do": "break_out", "joint": "J5", "back_up": "B05"}
    again = [
        *actions[:joint],
        out,
        actions[joint - 1],
        *actions[joint:clamp],
        off,
        actions[clamp - 1],
        *actions[clamp:],
    ]
    assert prove(with_steps(again)).outcome == "proved"
    assert [one.action for one in pull(with_steps(again)).steps] == [
        one.action for one in PULL.steps
    ]


def test_a_step_that_cannot_be_undone_is_named() -> None:
    """Made up with the plate closed below it, the joint is too low to be broken out there."""
    joints = tuple(
        one.model_copy(update={"window_m": (3 * FT, 6 * FT)}) if one.id == "J2" else one
        for one in bare().joints
    )
    actions = flat()
    at = next(i for i, one in enumerate(actions) if one.get("joint") == "J2")
    plate = [{"do": "set_plate", "to": to} for to in ("closed", "off")]
    run = with_steps(
        [*actions[:at], plate[0], actions[at], plate[1], *actions[at + 1 :]], joints=joints
    )
    with pytest.raises(
        InputError, match=rf"step {at + 2} of the run can't be undone: .*J2 is 1"
    ) as e:
        pull(run)
    assert e.value.code == "no-pull"


def test_what_nothing_undoes_is_said() -> None:
    """Loops of a run are left out before; a break-out that is left over has no counterpart."""
    step = prove(PULL).steps[place("break_out", joint="J5")]
    with pytest.raises(Fault, match="nothing undoes 'break_out'"):
        list(back(Ledger(PULL).book, step, step.after))


@pytest.mark.parametrize("tied_on_block", [True, False])
def test_a_top_hung_string_comes_out_too(tied_on_block: bool) -> None:
    """The bypass goes back into its slips before the clamp that carries it is opened."""
    clamp = hand_hung().clamps[0]
    strong = (clamp.model_copy(update={"grip_n": clamp.grip_n if tied_on_block else 20e3}),)
    run = hand_hung(tied_on_block=tied_on_block, clamps=strong)
    assert prove(run).outcome == "proved"
    made = pull(run)
    proof = prove(made)
    assert proof.outcome == "proved", proof.fault
    assert not proof.steps[-1].after.offsets
    order = does(made)
    guarded = order.index("fit_safety_clamp")
    assert order.index("set_slips") < guarded < order.index("remove_twin_clamp")
    assert "turn_union" not in order  # it was locked snug, so nothing is to be given back


def test_moves_that_go_on_are_one_move() -> None:
    for made in (PULL, pull(hand_hung(tied_on_block=True))):
        both = list(zip(does(made), does(made)[1:], strict=False))
        assert ("hoist", "hoist") not in both and ("lower", "lower") not in both


def test_a_lift_is_brought_above_the_working_level_before_it_is_laid_down() -> None:
    made = pull(hand_hung(tied_on_block=True))
    at = next(i for i, one in enumerate(made.steps) if "pup joint Q10 (" in one.words)
    assert step_words(made, made.steps[at - 1]) == (
        "Hoist on the block until the bottom of pup joint Q10 comes level with the plate"
        " (bottom of pup joint Q10 z 11.780 m comes to 1.050 m above the floor)."
    )


@pytest.mark.parametrize(
    ("name", "choice", "path"),
    [
        ("quernstone_14", CHOICE_1, "esp-held"),
        ("quernstone_14", CHOICE_1, "bypass-held"),
        ("skerrow_a09", CHOICE_2, "top-hung"),
    ],
)
def test_the_runs_of_both_jobs_can_be_pulled(name: str, choice: Choice, path: LoadPath) -> None:
    job = read_job(example_path(name)).job
    assert job is not None
    made = pull(generate(job, assemble(job, choice), path))
    proof = prove(made)
    assert proof.outcome == "proved", proof.fault
    assert not proof.steps[-1].after.offsets
    assert made.steps[0].action.do == "remark" and made.start.spliced
    dressed = dress(made)
    assert all(one.records for one in dressed.steps)


def test_a_move_watches_what_comes_to_its_place() -> None:
    """The neck that lands, the grip of the slips at the rotary, the bottom of a lift."""
    job = read_job(example_path("quernstone_14")).job
    assert job is not None
    made = pull(generate(job, assemble(job, CHOICE_1)))
    necks = {one.neck.z_m for one in made.pieces if one.neck}
    pairs = list(pairwise(one.action for one in made.steps))
    landings = [one for one, other in pairs if other.do == "land"]
    assert len(landings) == 5
    assert all(one.z_m in necks for one in landings)  # type: ignore[union-attr]
    slips = [one for one, other in pairs if other.do == "set_slips"]
    assert [one.to_m for one in slips] == pytest.approx([0.0] * 6)  # type: ignore[union-attr]
    last = [one.action for one in made.steps if one.action.do == "hoist"][-1]
    assert last.mark == "bottom of tail guide" and last.to_m == pytest.approx(0.0)  # type: ignore[union-attr]


@settings(max_examples=25, deadline=None)
@given(
    turns=st.integers(0, 16).map(lambda quarter: quarter / 4),
    clear_ft=st.floats(5.0, 9.0),
    base_ft=st.floats(4.0, 5.0),
)
def test_any_run_that_is_proved_can_be_pulled(
    turns: float, clear_ft: float, base_ft: float
) -> None:
    """Whatever the turns as run, how high it was hoisted and where the base stood."""
    union = bare().union
    assert union is not None
    actions = []
    for one in flat():
        changed = dict(one)
        if one["do"] == "turn_union":
            changed["turns"] = turns
        if one.get("to_m") == 6.6 * FT:
            changed["to_m"] = clear_ft * FT
        if one.get("to_m") == 4.6 * FT:
            changed["to_m"] = base_ft * FT
        actions.append(changed)
    stroke = {"turns_wanted": turns, "to_closed_m": 1.0}
    run = with_steps(actions, union=union.model_copy(update=stroke))
    ran = prove(run)
    assume(ran.outcome == "proved")
    made = pull(run)
    proof = prove(made)
    assert proof.outcome == "proved", proof.fault
    assert not proof.steps[-1].after.offsets
    given_back = sum(getattr(one.action, "turns", 0.0) for one in made.steps)
    assert given_back == -turns


def both_held() -> Procedure:
    """The first job with two lines on its block, and a holding clamp for the bypass."""
    job = read_job(example_path("quernstone_14")).job
    assert job is not None
    slips = next(one for one in job.holders if one.id == "SL-27")
    clamp = slips.model_copy(update={"id": "HC-27", "type": "holding clamp"})
    hoisting = job.hoisting.model_copy(update={"lines": "two lines"})
    job = job.model_copy(update={"holders": (*job.holders, clamp), "hoisting": hoisting})
    return generate(job, assemble(job, CHOICE_1), "both-held")


def test_a_string_held_on_both_sides_comes_out_with_its_tension_stated() -> None:
    """No move of two lines before a check has said what the ESP's line carries."""
    run = both_held()
    assert prove(run).outcome == "proved"
    made = pull(run)
    proof = prove(made)
    assert proof.outcome == "proved", proof.fault
    assert not proof.steps[-1].after.offsets
    moves = [
        one
        for one in proof.steps
        if one.step.action.do in {"hoist", "lower"} and len(one.step.action.lines) == 2  # type: ignore[union-attr]
    ]
    assert len(moves) > 8
    twin = [one for one in moves if "bypass" in strings(run, one.before.offsets)]
    assert all(any(hold.least_n for hold in one.before.holds) for one in twin)


def strings(run: Procedure, ids: Iterable[str]) -> set[str]:
    return {one.string for one in run.pieces if one.id in set(ids)}


def test_a_holding_clamp_grips_only_at_the_plate() -> None:
    proof = prove(pull(both_held()))
    fits = [one for one in proof.steps if getattr(one.step.action, "holder", "") == "HC-27"]
    assert [one.step.action.do for one in fits][:2] == ["fit", "land"]
    for one in fits:
        if one.step.action.do == "fit":
            hold = one.after.hold_of("HC-27")
            assert hold is not None
            assert one.after.at_m(hold.on, hold.z_m) == pytest.approx(3.6 * FT)


def test_a_pull_can_be_written_and_read_back() -> None:
    assert Procedure.model_validate_json(PULL.model_dump_json()) == PULL


def test_the_same_run_gives_the_same_pull() -> None:
    assert pull(hand_made()) == PULL
