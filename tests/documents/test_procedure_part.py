"""The running procedure in the pack: every step, box and caution is there; a refused one says so.

The pages are read back with pypdf; loads are held to sums of masses times standard gravity
(ISO 80000-3: 9.80665 m/s2).
"""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from tests.documents.test_workpack import CHOICE_1, DRAFT, HOSTILE, close, pages_of, plan_of
from tests.drawing.strings import planned_1
from tests.procedure.hand_hung import hand_hung
from tests.procedure.hand_made import hand_made

from abreast.documents import workpack
from abreast.documents.procedure_part import ProcedurePart, no_procedure, procedure_part
from abreast.documents.procedure_steps import Picture
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model.entries import ENTRY_FIELDS
from abreast.model.procedure import Procedure
from abreast.procedure.dress import dress
from abreast.procedure.mutants import Mutant
from abreast.procedure.prove import Proof, ProvedStep, prove
from abreast.procedure.words import words

GRAVITY = 9.80665
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="88mm" height="120mm" viewBox="0 0 88 120"/>'


def drawn(_: ProvedStep) -> str:
    return SVG


def part_of(
    procedure: Procedure,
    picture: Picture | None = drawn,
    mutants: Any = None,
    proof: Proof | None = None,
) -> ProcedurePart:
    job, assembly = planned_1(revision=DRAFT)
    proof = proof or prove(procedure)
    return procedure_part(procedure, proof, job, assembly, picture=picture, mutants=mutants)


@cache
def job_and_plan() -> Any:
    job, assembly = planned_1(revision=DRAFT)
    return job, plan_of(job, assembly, CHOICE_1)


def printed(part: ProcedurePart | None) -> list[str]:
    return pages_of(workpack(*job_and_plan(), {}, (), part))


def steps_in(part: ProcedurePart) -> list[dict[str, Any]]:
    return [step for phase in part.data["phases"] for step in phase["steps"]]


def without(procedure: Procedure, do: str) -> Procedure:
    """The procedure without its first action of a kind."""
    gone = next(one for one in procedure.steps if one.action.do == do)
    return procedure.model_copy(
        update={"steps": tuple(s for s in procedure.steps if s is not gone)}
    )


RUNS = {"on the plate": dress(hand_made()), "top-hung": dress(hand_hung(tied_on_block=True))}
REFUSED = without(RUNS["on the plate"], "make_up")


@pytest.fixture(scope="module")
def whole() -> tuple[Procedure, ProcedurePart, str]:
    part = part_of(RUNS["on the plate"])
    return RUNS["on the plate"], part, close(" ".join(printed(part)))


# --- steps ----------------------------------------------------------------------------------


def test_every_step_is_printed_with_its_caution_before_it(
    whole: tuple[Procedure, ProcedurePart, str],
) -> None:
    procedure, _, text = whole
    at = text.index("Cautionsforeverystep")
    for step in procedure.steps:
        said = close(words(procedure, step.action))
        found = text.index(said, at)
        for caution in step.cautions:
            assert at <= text.index(close(caution), at) < found, (step.id, caution)
        at = found + len(said)


def test_stops_callers_and_signers_are_printed(
    whole: tuple[Procedure, ProcedurePart, str],
) -> None:
    procedure, _, text = whole
    for step in procedure.steps:
        assert all(close(one) in text for one in step.stop)
        assert not step.signs or close(", ".join(step.signs)) in text
        assert not step.calls or close(f"Calls: {step.calls}") in text


@pytest.mark.parametrize("name", RUNS)
def test_every_value_of_every_record_has_a_box(name: str) -> None:
    procedure = RUNS[name]
    for step, made in zip(procedure.steps, steps_in(part_of(procedure)), strict=True):
        boxes = [box for row in made["boxes"] for box in row]
        names = [box["name"].removesuffix(" (if taken)") for box in boxes]
        for kind in step.records:
            for field in ENTRY_FIELDS[kind]:
                signed = kind == "signature" and step.signs
                assert signed or field.what in names, (step.id, field.name)
                shown = field.what if field.required else f"{field.what} (if taken)"
                must = [box["required"] for box in boxes if box["name"] == shown]
                assert signed or must == [field.required] * len(must)
        assert names.count("time, initials") == 1
        assert [one for one in names if one.startswith("signed: ")] == [
            f"signed: {one}" for one in step.signs
        ]


def test_no_row_of_boxes_is_too_wide() -> None:
    for made in steps_in(part_of(RUNS["on the plate"])):
        most = 4 if made["picture"] else 8
        assert all(sum(box["wide"] for box in row) <= most for row in made["boxes"])


def test_a_picture_stands_where_another_holder_carries_and_nowhere_else() -> None:
    procedure = RUNS["on the plate"]
    part = part_of(procedure)
    moves = {"take", "slack_off", "pick_up", "lay_down"}
    for step, made in zip(procedure.steps, steps_in(part), strict=True):
        assert bool(made["picture"]) == (step.action.do in moves), step.id
    shown = [one["file"] for sheet in part.data["storyboard"] for one in sheet["pictures"]]
    assert shown == list(part.images)
    assert all(len(sheet["pictures"]) <= 6 for sheet in part.data["storyboard"])


def test_without_a_picture_maker_there_is_none() -> None:
    part = part_of(RUNS["on the plate"], picture=None)
    assert part.images == {}
    assert part.data["storyboard"] == []


# --- loads ----------------------------------------------------------------------------------


def test_the_lift_plan_carries_the_weight_of_its_pieces() -> None:
    procedure = RUNS["on the plate"].model_copy(update={"units": "SI"})
    mass = {one.id: one.mass_kg or 0.0 for one in procedure.pieces}
    lifts = part_of(procedure).data["lifts"]["lifts"]
    picked = [one.action for one in procedure.steps if one.action.do == "pick_up"]
    assert len(lifts) == len(picked)
    for lift, action in zip(lifts, picked, strict=True):
        weight_kn = sum(mass[one] for one in action.pieces) * GRAVITY / 1000
        for link in lift["chain"]:
            assert float(link["load"].removesuffix(" kN")) == pytest.approx(weight_kn, abs=0.006)
        gear = [link["name"].split()[-1] for link in lift["chain"][1:]]
        assert gear == [*action.gear, action.holder]


def test_the_lift_plan_counts_the_dynamic_factor() -> None:
    procedure = RUNS["on the plate"].model_copy(update={"units": "SI"})
    factor = procedure.site.dynamic_ratio
    assert factor is not None
    for take in part_of(procedure).data["lifts"]["takes"]:
        for link in take["chain"]:
            load, rating = (float(link[key].removesuffix(" kN")) for key in ("load", "rating"))
            used = 100 * load * factor / rating
            assert float(link["used"].removesuffix(" %")) == pytest.approx(used, abs=0.6)


def test_a_holder_without_a_rating_says_so() -> None:
    run = hand_made()
    bare = tuple(one.model_copy(update={"rating_n": None}) for one in run.holders)
    part = part_of(dress(run.model_copy(update={"holders": bare})))
    assert part.data["proof"]["outcome"] == "proved except"
    assert "EXCEPT" in part.data["proof"]["verdict"]
    chain = part.data["lifts"]["lifts"][0]["chain"]
    assert [one["used"] for one in chain[1:]] == ["no rating"] * (len(chain) - 1)
    assert part.data["proof"]["unrated"]


# --- cards and sheets -----------------------------------------------------------------------


def test_a_floor_card_for_each_landing_says_who_holds_and_what_is_next() -> None:
    procedure = RUNS["on the plate"]
    cards = part_of(procedure).data["floor"]
    assert len(cards) == sum(one.action.do == "land" for one in procedure.steps)
    ids = [one.id for one in procedure.steps]
    for card in cards:
        carrying = [one["words"] for one in card["holds"] if one["taut"]]
        assert len(carrying) == 1
        assert "on the plate" in carrying[0]
        following = ids[ids.index(card["step"]) + 1]
        assert card["next"][0].startswith(f"{following}  ")


def test_shut_in_cards_name_every_element_and_need_the_table_of_the_bop() -> None:
    bop = read_job(example_path("quernstone_14")).require_job().bop
    job, assembly = planned_1(revision=DRAFT, bop=bop)
    procedure = RUNS["on the plate"]
    cards = procedure_part(procedure, prove(procedure), job, assembly).data["shut_in"]["cards"]
    assert [one["title"] for one in cards] == [f"Landing {one.id}" for one in assembly.landings]
    for card in cards:
        assert {row[0] for row in card["rows"]} == {one.id for one in bop}
        assert not any(row[2].startswith("seals") for row in card["rows"] if " + " in row[1])
    bare = job.model_copy(update={"bop": ()})
    found = procedure_part(procedure, prove(procedure), bare, assembly).data["shut_in"]
    assert found == {"cards": [], "why": "not checked: needs the table of the BOP"}


def test_check_sheets_have_a_line_for_every_joint_reading_and_drift() -> None:
    procedure = RUNS["on the plate"]
    sheets = part_of(procedure).data["sheets"]
    of = {do: [s.id for s in procedure.steps if s.action.do == do] for do in ("make_up", "pick_up")}
    assert [one[0] for one in sheets["torque"]] == of["make_up"]
    electrical = [one.id for one in procedure.steps if "electrical" in one.records]
    assert electrical
    assert [one[0] for one in sheets["electrical"]] == electrical
    assert {one[0] for one in sheets["drift"]} <= set(of["pick_up"])


def test_the_union_card_counts_quarter_turns() -> None:
    procedure = RUNS["on the plate"]
    union = procedure.union
    assert union is not None
    assert union.travel_m is not None
    card = part_of(procedure.model_copy(update={"units": "SI"})).data["union"]
    for row in card["rows"]:
        taken_mm = float(row["turns"]) * union.travel_m * 1000
        assert float(row["taken"].removesuffix(" mm")) == pytest.approx(taken_mm, abs=0.06)
    none = procedure.model_copy(update={"union": None})
    assert part_of(none, proof=prove(procedure)).data["union"] is None


def test_the_shift_is_handed_over_at_the_end_of_every_phase() -> None:
    procedure = RUNS["on the plate"]
    phases = [one.phase for one in procedure.steps]
    changes = sum(a != b for a, b in pairwise(phases))
    shift = part_of(procedure).data["shift"]
    assert len(shift) == changes + 1
    assert shift[-1]["step"] == procedure.steps[-1].id


# --- what was refused, and slips ------------------------------------------------------------


def test_a_refused_procedure_says_not_proved_on_every_page_of_it() -> None:
    proof = prove(REFUSED)
    assert proof.fault is not None
    pages = printed(part_of(REFUSED))
    marked = [n for n, page in enumerate(pages) if "NOT PROVED" in page]
    first = next(n for n, page in enumerate(pages) if "Rules that every step was held" in page)
    last = next(n for n, page in enumerate(pages) if "No order of work sees this" in page)
    assert marked == list(range(first, last + 1))
    assert close(proof.fault.text) in close(pages[first])
    assert close(f"Step {proof.fault.step}:") in close(pages[first])


def test_steps_after_the_fault_are_printed_and_not_judged() -> None:
    proof = prove(REFUSED)
    made = steps_in(part_of(REFUSED))
    assert len(made) == len(REFUSED.steps)
    judged = [one["judged"] for one in made]
    assert judged == [True] * len(proof.steps) + [False] * (len(made) - len(proof.steps))
    refused = [one["id"] for one in made if one["refused"]]
    assert proof.fault is not None
    assert refused == [proof.fault.step]
    assert not any(one["facts"] or one["holds"] for one in made if not one["judged"])


def test_a_proved_procedure_says_not_proved_nowhere(
    whole: tuple[Procedure, ProcedurePart, str],
) -> None:
    assert "NOTPROVED" not in whole[2]


def test_slips_that_no_rule_stops_are_listed_by_name() -> None:
    found = (
        Mutant("drop", "1.1", "", "refused", "1.2", "held", "It falls."),
        Mutant("drop", "1.2", "", "unexplained", "2.1", "", "joints"),
        Mutant("drop", "1.3", "", "no effect"),
        Mutant("swap", "1.4", "1.3", "commutes", "1.4"),
    )
    errors = part_of(RUNS["on the plate"], mutants=found).data["errors"]
    assert errors["eyes"] == [found[1].sentence, found[2].sentence]
    assert [(one[1], one[2]) for one in errors["stopped"]] == [("1", found[0].sentence)]
    assert errors["same"] == 1
    assert part_of(RUNS["on the plate"]).data["errors"]["run"] is False


def test_without_a_procedure_the_pack_says_what_it_needs() -> None:
    text = close(" ".join(printed(no_procedure("needs the lifting clamps"))))
    assert close("no procedure: needs the lifting clamps") in text
    assert "Runningprocedure" not in close(" ".join(printed(None)))


# --- the file -------------------------------------------------------------------------------


def test_the_same_procedure_gives_the_same_bytes() -> None:
    part = part_of(RUNS["top-hung"])
    again = part_of(dress(hand_hung(tied_on_block=True)))
    assert workpack(*job_and_plan(), {}, (), part) == workpack(*job_and_plan(), {}, (), again)


def test_words_that_look_like_commands_stay_words() -> None:
    run = RUNS["top-hung"]
    first = run.steps[0].model_copy(
        update={"words": HOSTILE, "cautions": (HOSTILE,), "stop": (HOSTILE,), "phase": HOSTILE}
    )
    odd = run.model_copy(update={"steps": (first, *run.steps[1:]), "name": HOSTILE})
    text = close(" ".join(printed(part_of(odd))))
    assert text.count(close(HOSTILE)) >= 4


def test_an_end_without_hand_over_is_told_as_such() -> None:
    run = RUNS["on the plate"]
    cut = run.model_copy(update={"steps": run.steps[:-1]})
    pages = printed(part_of(cut))
    first = next(page for page in pages if "Rules that every step was held" in page)
    assert re.search(r"At\s+its\s+end", first)
    assert prove(cut).outcome == "refused"
