"""Procedures that are generated: their loads, their order, and that the ledger proves them.

Loads: source invented scenarios, printed in whole pounds and kilograms, weights in air.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.checks.twins import FT, LB, amend, choice_1, choice_2, job_1, job_2
from tests.procedure import derived

from abreast.errors import InputError, MissingInputError
from abreast.model import Assembly, Job
from abreast.model.procedure import Procedure
from abreast.procedure import generate as module
from abreast.procedure.generate import generate
from abreast.procedure.prove import Proof, ProvedStep, prove
from abreast.spaceout.assemble import assemble
from abreast.spaceout.choose import choose
from abreast.units.constants import GRAVITY_M_S2

ON_PLATE_1 = {"L1": 3444, "L2": 4085, "L3": 5064, "L4": 6127, "L5": 7301}
ON_PLATE_2 = {"L1": 589, "L2": 702, "L3": 935, "L4": 1199}
BOTTOM_SUPPORTED = ("esp-held", "bypass-held", "both-held")


@cache
def made_1(path: str = "esp-held") -> Procedure:
    return generate(derived.two_lines(job_1()), assemble(job_1(), choice_1()), path)


@cache
def made_2() -> Procedure:
    return generate(job_2(), assemble(job_2(), choice_2()))


@cache
def proof_1(path: str = "esp-held") -> Proof:
    return prove(made_1(path))


@cache
def proof_2() -> Proof:
    return prove(made_2())


def told(proof: Proof) -> str:
    return "" if proof.fault is None else f"{proof.fault.step}: {proof.fault.text}"


def at(proof: Proof, do: str, **about: object) -> int:
    """Place of the first step that does something."""
    for place, one in enumerate(proof.steps):
        action = one.step.action
        if action.do == do and all(getattr(action, k) == v for k, v in about.items()):
            return place
    raise AssertionError(f"no {do} {about}")


def carried_kg(step: ProvedStep) -> dict[str, float]:
    """What each holder certainly carries, by its name."""
    found = {}
    for one in step.numbers.holds:
        if one.taut:
            assert one.low_n == pytest.approx(one.high_n), one
            found[one.holder] = one.low_n / GRAVITY_M_S2
    return found


def last_of(proof: Proof, phase: str) -> ProvedStep:
    return [one for one in proof.steps if one.step.phase == phase][-1]


def below_tubing_kg(step: ProvedStep) -> float:
    """What hangs below the pup above the Y-tool: the scenarios leave its own mass out."""
    link = next(one for one in step.numbers.links if one.name == "joint Y-tool/U1")
    return link.high_n / GRAVITY_M_S2


# --- the loads of the scenarios ----------------------------------------------------------


@pytest.mark.parametrize("landing", ON_PLATE_1)
def test_clamp_on_the_plate_of_job_1(landing):
    load = carried_kg(last_of(proof_1(), f"landing {landing}"))
    assert len(load) == 1
    assert next(iter(load.values())) / LB == pytest.approx(ON_PLATE_1[landing], abs=0.51)


def test_slips_before_the_first_landing_of_job_1():
    """Tail 933, with base support 1,198, with B05 1,399 lb."""
    for phase, pounds in (("tail", 933), ("base support", 1198), ("lower bypass", 1399)):
        load = carried_kg(last_of(proof_1(), phase))
        assert load == {"SL-27": pytest.approx(pounds * LB, abs=0.51 * LB)}


def test_closed_frame_of_job_1():
    """The Y-tool carries 7,684, with the fifth twin clamp 7,730 lb."""
    proof = proof_1()
    on_top = proof.steps[at(proof, "lock_union") + 2]
    assert on_top.step.action.do == "take"
    assert below_tubing_kg(on_top) / LB == pytest.approx(7684, abs=0.51)
    assert below_tubing_kg(proof.steps[-1]) / LB == pytest.approx(7730, abs=0.51)


@pytest.mark.parametrize("landing", ON_PLATE_2)
def test_clamp_on_the_plate_of_job_2(landing):
    load = carried_kg(last_of(proof_2(), f"landing {landing}"))
    assert list(load.values()) == [pytest.approx(ON_PLATE_2[landing], abs=0.51)]


def test_closed_frame_of_job_2():
    assert below_tubing_kg(proof_2().steps[-1]) == pytest.approx(1306, abs=0.51)


def test_first_twin_clamp_of_job_2_carries_the_lower_bypass():
    """94 kg hang on the first clamp: entry guide, K01 and Q07."""
    step = last_of(proof_2(), "landing L1")
    link = next(one for one in step.numbers.links if one.name == "grip of the twin clamps")
    assert max(abs(link.low_n), abs(link.high_n)) / GRAVITY_M_S2 == pytest.approx(94, abs=0.51)


# --- the order ---------------------------------------------------------------------------


@pytest.mark.parametrize("path", BOTTOM_SUPPORTED)
def test_every_load_path_of_job_1_is_proved(path):
    assert proof_1(path).outcome == "proved", told(proof_1(path))


def test_job_2_is_proved():
    assert proof_2().outcome == "proved", told(proof_2())


def test_seat_is_locked_before_the_esp_pulls_it():
    proof = proof_1()
    assert at(proof, "make_up", joint="seat") < at(proof, "lock_seat")
    take = next(
        i
        for i, one in enumerate(proof.steps)
        if i > at(proof, "lock_seat") and one.step.action.do == "take"
    )
    assert take < at(proof, "land", holder="LC-M")


def test_mle_of_job_1_is_connected_at_the_second_landing_while_the_block_holds():
    """The pothead is 0.42 ft below the plate at the first landing, so it is hoisted for."""
    proof = proof_1()
    place = at(proof, "connect_mle")
    step = proof.steps[place]
    assert step.step.phase == "landing L2"
    assert carried_kg(step) == {"LC-P1": pytest.approx(4039 * LB, abs=0.51 * LB)}
    at_m = step.after.at_m("motor", 30.35 * FT - 1.15 * FT) - made_1().site.plate_m
    assert 2.0 * FT <= at_m <= 5.5 * FT
    assert at(proof, "remove", holder="LC-M") < place < at(proof, "fit_twin_clamp", clamp="C1")


def test_twin_clamp_goes_on_when_the_lifting_clamp_is_off_its_neck():
    proof = proof_1()
    pairs = {"C1": "motor", "C2": "protector", "C3": "pump-1", "C4": "pump-2", "C5": "pump-3"}
    for clamp, piece in pairs.items():
        assert at(proof, "remove", on=piece) < at(proof, "fit_twin_clamp", clamp=clamp)


def test_top_hung_twin_clamp_goes_on_before_its_landing():
    proof = proof_2()
    assert at(proof, "confirm", due="stick-down set") < at(proof, "fit_twin_clamp", clamp="C1")
    for clamp, holder, piece in (("C2", "LC-P1", "protector"), ("C3", "LC-P2", "pump-1")):
        fitted = at(proof, "fit_twin_clamp", clamp=clamp)
        assert at(proof, "fit", holder=holder, on=piece) < fitted < at(proof, "land", holder=holder)


def test_union_takes_one_turn_of_job_1_and_none_where_no_preload_is_wanted():
    """1.0 turn of 1/4 in moves 7,080 of the 7,379 lbf that hang; more would press the ESP."""
    assert made_1().union.turns_wanted == 1.0
    assert made_2().union.turns_wanted == 0.0
    assert not any(one.action.do == "turn_union" for one in made_2().steps)


def test_stand_by_clamp_is_never_loaded_when_the_bypass_holds():
    clamps = {"LC-M", "LC-P1", "LC-P2"}
    assert all(one.action.do != "land" for one in made_1("bypass-held").steps)
    parked = [one for one in proof_1("bypass-held").steps if one.step.action.do == "set_slips"]
    assert len(parked) > 5
    gaps_m = []
    for step in parked:
        assert all(one.high_n == 0 for one in step.numbers.holds if one.holder in clamps)
        plate_m = made_1("bypass-held").site.plate_m
        for hold in step.after.holds:
            if hold.holder in clamps and step.after.plate == "closed":
                gaps_m.append(step.after.at_m(hold.on, hold.z_m) - plate_m)
    assert gaps_m == [pytest.approx(0.02)] * 5  # measured gap of the stand-by: a choice, no source


def test_both_lines_go_down_with_a_stated_tension():
    """Whatever moves both strings, the ESP's line certainly carries something."""
    moved = 0
    for one in proof_1("both-held").steps:
        if one.step.action.do in ("hoist", "lower") and "second line" in one.step.action.lines:
            moved += 1
            mine = [h for h in one.numbers.holds if h.by == "second line"]
            assert mine[0].low_n > 0
    assert moved > 5


@pytest.mark.parametrize("path", BOTTOM_SUPPORTED)
def test_everything_given_out_comes_in(path):
    balance(made_1(path))


def balance(procedure: Procedure) -> None:
    """Fitted as often as removed; each piece off the rack once; each twin clamp fitted once."""
    seen = [one.action for one in procedure.steps]
    fitted = sorted((one.holder, one.on) for one in seen if one.do == "fit")
    removed = sorted((one.holder, one.on) for one in seen if one.do == "remove")
    assert fitted == removed
    picked = [piece for one in seen if one.do == "pick_up" for piece in one.pieces]
    assert sorted(picked) == sorted(one.id for one in procedure.pieces)
    closed = [one.clamp for one in seen if one.do == "fit_twin_clamp"]
    assert sorted(closed) == sorted(one.id for one in procedure.clamps)


# --- other jobs --------------------------------------------------------------------------

NAMED = {
    "two pumps": lambda: derived.undeclared(derived.without(job_1(), "pump-2")),
    "one pump": lambda: derived.without(job_1(), "pump-2", "pump-3"),
    "no MLE": lambda: derived.no_mle(job_1()),
    "no tail": lambda: derived.no_table(job_1(), "tail"),
    "no twin clamps": lambda: derived.no_table(job_1(), "clamps"),
    "no pup above": lambda: derived.no_table(job_1(), "upper"),
    "singles": lambda: derived.lifts_of(job_1(), 1),
    "pre-run": lambda: derived.fewer(
        job_1().model_copy(update={"rules": amend(job_1().rules, pre_run_height_m=60.0)}),
        frozenset(one.id for one in job_1().rack if one.kind == "joint" and one.id[0] == "B"),
    ),
    "tandem, pothead high": lambda: derived.tandem(job_1(), 8.08),
    "tandem, pothead low": lambda: derived.tandem(job_1(), 0.61),
}


@cache
def planned(name: str) -> tuple[Job, Assembly]:
    job = derived.two_lines(NAMED[name]())
    choice = choose(job, limit_s=2).choice
    assert choice is not None, name
    return job, assemble(job, choice)


@pytest.mark.parametrize("path", BOTTOM_SUPPORTED)
@pytest.mark.parametrize("name", NAMED)
def test_derived_jobs_are_proved_on_every_load_path(name, path):
    job, assembly = planned(name)
    if (name, path) == ("no tail", "both-held"):
        with pytest.raises(MissingInputError, match="a tail that slips can hold"):
            generate(job, assembly, path)
        return
    procedure = generate(job, assembly, path)
    proof = prove(procedure)
    assert_proved(proof)
    balance(procedure)


def assert_proved(proof: Proof) -> None:
    """Proved, but for an elevator on a Y-tool whose diameter there no table states."""
    assert proof.fault is None, told(proof)
    assert all(one.startswith("fit of ") for one in proof.unrated), proof.unrated
    assert all("Y-tool" in one for one in proof.unrated), proof.unrated


def test_pre_run_is_hoisted_back():
    """Two lifts before the first section: the string goes down for the second, and comes back."""
    job, assembly = planned("pre-run")
    assert len(assembly.landings[0].added) > 1
    steps = generate(job, assembly).steps
    lower_bypass = [one.action.do for one in steps if one.phase == "lower bypass"]
    assert "lower" in lower_bypass
    assert "hoist" in lower_bypass[lower_bypass.index("lower") :]


@pytest.mark.parametrize(
    "change",
    [
        lambda: derived.no_mle(job_2()),
        lambda: derived.without(job_2(), "pump-2"),
        lambda: derived.no_table(job_2(), "upper"),
        lambda: job_2().model_copy(update={"clamps": job_2().clamps[:1]}),
    ],
)
def test_derived_top_hung_jobs_are_proved(change):
    job = derived.undeclared(change())
    choice = choose(job, limit_s=2).choice
    procedure = generate(job, assemble(job, choice))
    proof = prove(procedure)
    assert_proved(proof)
    balance(procedure)


pups = st.frozensets(
    st.sampled_from([one.id for one in job_1().rack if one.usable_for == "bypass"]), max_size=12
)


@settings(max_examples=12, deadline=None)
@given(
    gone=pups,
    pumps=st.sampled_from([(), ("pump-2",), ("pump-2", "pump-3")]),
    mle=st.booleans(),
    tail=st.integers(0, 8),
    most=st.integers(1, 2),
    path=st.sampled_from(BOTTOM_SUPPORTED),
)
def test_any_plan_is_proved(gone, pumps, mle, tail, most, path):
    job = derived.undeclared(derived.without(derived.fewer(job_1(), gone), *pumps))
    job = derived.lifts_of(derived.two_lines(job if mle else derived.no_mle(job)), most)
    # Slings that are too short for a plan are the plan's fault, not the procedure's.
    job = job.model_copy(update={"hoisting": amend(job.hoisting, sling_margin_m=0.0)})
    # A tail that ends below the base support anywhere, also in a nipple.
    job = job.model_copy(update={"tail": job.tail[:tail]})
    choice = choose(job, limit_s=2).choice
    if choice is None:
        return
    try:
        procedure = generate(job, assemble(job, choice), path)
    except MissingInputError as fault:  # one hook can't hold the base and lift the motor
        assert path == "both-held", fault
        assert "a tail that slips can hold" in fault.needs, fault
        return
    proof = prove(procedure)
    assert_proved(proof)
    balance(procedure)


# --- what is missing ---------------------------------------------------------------------


def made(job: Job, path: str = "esp-held") -> Procedure:
    return generate(job, assemble(job, choice_1()), path)


@pytest.mark.parametrize(
    ("change", "path", "needs"),
    [
        (lambda job: derived.no_holder(job, "slips"), "esp-held", "slips for P24"),
        (lambda job: derived.no_holder(job, "safety clamp"), "esp-held", "a safety clamp for P24"),
        (lambda job: derived.no_holder(job, "slings"), "esp-held", "slings for the lifting"),
        (lambda job: derived.no_holder(job, "tugger"), "bypass-held", "a second line"),
        (lambda job: job, "both-held", "two lines of the block"),
        (
            lambda job: derived.undeclared(derived.no_holder(job, "lifting clamp")),
            "esp-held",
            "the lifting clamp of landing L1",
        ),
    ],
)
def test_without_it_no_procedure_can_be_made(change, path, needs):
    with pytest.raises(MissingInputError, match=needs):
        made(change(job_1()), path)


def test_ratings_that_nobody_stated_are_null_and_named():
    rig = amend(job_1().rig, block_rating_n=None, daf_derrick_ratio=None)
    procedure = made(job_1().model_copy(update={"rig": rig}))
    assert procedure.lines[0].rating_n is None
    proof = prove(procedure)
    assert proof.outcome == "proved except", told(proof)
    assert "rating of block" in proof.unrated
    assert "dynamic factor of the site" in proof.unrated


def test_esp_that_only_stands_can_not_hold_the_string():
    """The load path decides: held by the ESP it would lift off, held by the bypass it stands."""
    job = derived.not_retained(job_1())
    proof = prove(made(job))
    assert proof.fault is not None
    assert proof.fault.rule == "seat"
    assert prove(made(job, "bypass-held")).outcome == "proved"


def test_bypass_that_is_not_slick_at_the_plate_can_not_hang_there():
    """Top-hung: stick-down is set while slips hold the bypass at the plate of the motor."""
    threads = tuple(
        amend(one, coupling_m=2.0) if one.id == "FJ" else one for one in job_2().threads
    )
    job = job_2().model_copy(update={"threads": threads})
    with pytest.raises(MissingInputError, match="slick pipe of Q07 at the plate of landing L1"):
        generate(job, assemble(job, choice_2()))


def test_load_path_has_to_suit_the_arrangement():
    with pytest.raises(InputError, match="can't be run top-hung"):
        made(job_1(), "top-hung")
    with pytest.raises(InputError, match="can't be run esp-held"):
        generate(job_2(), assemble(job_2(), choice_2()), "esp-held")


def test_generator_does_not_look_at_the_ledger():
    """It does not trust itself: only the proof judges."""
    room = Path(module.__file__).parent
    names = ["floor*.py", "generate*.py", "lifting.py", "plan_of_run.py", "script.py", "ways.py"]
    files = [path for name in names for path in room.glob(name) if "changes" not in path.name]
    assert len(files) > 8
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                assert not (node.module or "").startswith("abreast.mechanics.ledger"), path.name
                assert node.module != "abreast.procedure.prove", path.name
