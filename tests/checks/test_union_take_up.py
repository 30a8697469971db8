"""What taking up the union does to the invented jobs, and what each missing input leaves open."""

from __future__ import annotations

import pytest
from tests.checks.twins import (
    IN,
    LBF,
    choice_1,
    choice_2,
    found,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.model import Job, Quantity

ID = "union-take-up:"


def take_up(job: Job, choice=None):
    findings = found(job, choice or choice_1())
    return {k.removeprefix(ID): f for k, f in findings.items() if k.startswith(ID)}


def with_path(job: Job, path: str) -> Job:
    return job.model_copy(update={"load_path": path})


def test_a_quarter_turn_of_job_1():
    finding = take_up(job_1())["quarter turn"]
    assert finding.status == "ok"
    assert finding.value / LBF == pytest.approx(1770, abs=5)
    assert finding.limit / LBF == pytest.approx(7425)
    assert "1,770 lbf of the 7,425 lbf" in finding.text
    assert "The closed frame is stiff" in finding.text
    assert "As long as C4 grips both strings" in finding.text


def test_clamps_that_slide_say_nothing_of_gripping():
    job = job_1()
    for clamp in job.clamps:
        job = with_row(job, "clamps", clamp.id, grip="slides on bypass")
    answers = take_up(job)
    assert "grip" not in answers["quarter turn"].text
    assert answers["union"].value / LBF == pytest.approx(7425 * 1.3)


def test_a_clamp_of_unknown_grip_is_asked_for_where_it_decides():
    """Never slipping, C4 would let the take-up press far more than the joints carry."""
    job = with_row(job_1(), "clamps", "C4", grip_load_n=None)
    finding = take_up(job)["ESP on the Y-tool"]
    assert finding.status == "not checked"
    assert "grip load of twin clamp C4" in finding.text
    weak = take_up(with_row(job, "esp", "pump-3", load_n=500.0))["ESP on the Y-tool"]
    assert weak.status == "exceeds"
    assert take_up(job)["union"].status == "ok"  # it carries even that


def test_a_union_too_coarse_to_set_the_load_exceeds():
    finding = take_up(with_section(job_1(), "union", travel_per_turn_m=1.2 * IN))["quarter turn"]
    assert finding.status == "exceeds"
    assert "less than a quarter turn" in finding.action


def test_the_whole_load_in_turns_and_in_stroke():
    finding = take_up(job_1())["whole load"]
    assert "0.257 in or 1.03 turns from snug move all 7,425 lbf" in finding.text
    assert finding.limit / IN == pytest.approx(0.40 * 12)
    short = take_up(with_section(job_1(), "union", closed_m=3.00 * 0.3048 - 0.2 * IN))
    assert short["whole load"].status == "exceeds"


def test_both_states_of_the_step():
    """On the plate the top of the ESP is pressed, Y-tool included; on the block it is relieved."""
    answers = take_up(job_1())
    plate, block = answers["ESP on the plate"], answers["ESP on the Y-tool"]
    assert "the top of the ESP is pressed by 7,578 lbf" in plate.text
    assert "pulled by 7,273 lbf with the union snug" in block.text
    assert "free of load with the whole load moved" in block.text
    assert "then pressed by 5,457 lbf" in block.text  # it stands with its own weight on the seat


def test_the_bypass_has_all_from_the_start_if_it_is_held():
    """The block then only stretches the short end above the slips."""
    answers = take_up(with_path(job_1(), "bypass-held"))
    assert "with no take-up" in answers["whole load"].text
    assert answers["guide retainer"].value == 0
    assert "pressed by" in answers["guide retainer"].text


@pytest.mark.parametrize(
    ("section", "field", "place"),
    [
        ("union", "rating_n", "union"),
        ("base", "rating_n", "bypass"),
        ("base", "retainer_load_n", "guide retainer"),
        ("pipe", "body_load_n", "bypass"),
    ],
)
def test_a_rating_decides_or_is_asked_for(section, field, place):
    weak = take_up(with_section(job_1(), section, **{field: 500.0}))[place]
    assert weak.status == "exceeds"
    assert weak.action
    gone = take_up(with_section(job_1(), section, **{field: None}))[place]
    assert gone.status == "not checked"


@pytest.mark.parametrize("field", ["load_n", "upper_joint_load_n"])
@pytest.mark.parametrize("place", ["ESP on the plate", "ESP on the Y-tool"])
def test_each_piece_of_the_esp_is_held_against_its_rating(field, place):
    assert take_up(with_row(job_1(), "esp", "pump-3", **{field: 500.0}))[place].status == "exceeds"
    gone = take_up(with_row(job_1(), "esp", "pump-3", **{field: None}))[place]
    assert gone.status == "not checked"
    assert "pump-3" in gone.text


def test_a_known_rating_that_is_exceeded_shows_though_another_is_missing():
    job = with_row(job_1(), "esp", "pump-3", load_n=500.0)
    job = with_row(job, "esp", "gauge", load_n=None)
    assert take_up(job)["ESP on the plate"].status == "exceeds"


def test_a_thread_and_a_body_of_its_own_size_are_asked_for():
    assert (
        "load of thread SF"
        in take_up(with_row(job_1(), "threads", "SF", load_n=None))["bypass"].text
    )
    own = take_up(with_row(job_1(), "rack", "B05", bore_m=2.2 * IN))["bypass"]
    assert own.status == "not checked"
    assert "the body of B05" in own.text


@pytest.mark.parametrize(
    ("section", "field", "needs"),
    [
        ("union", "travel_per_turn_m", "travel per turn of adjustable union"),
        ("union", "ea_n", "ea of adjustable union"),
        ("union", "mass_kg", "mass of adjustable union"),
    ],
)
def test_a_missing_input_is_named(section, field, needs):
    finding = take_up(with_section(job_1(), section, **{field: None}))["quarter turn"]
    assert finding.status == "not checked"
    assert needs in finding.text


def test_two_holders_that_share_in_an_unknown_way_leave_all_open():
    answers = take_up(with_path(job_1(), "both-held"))
    assert {finding.status for finding in answers.values()} == {"not checked"}
    assert "which of the two holders" in answers["union"].text


def test_an_esp_that_holds_the_frame_needs_a_retained_guide():
    loose = Quantity.not_applicable("the guide only stands in its seat")
    answers = take_up(with_section(job_1(), "base", retainer_load_n=loose))
    assert "guide retainer" not in answers
    assert {finding.status for finding in answers.values()} == {"not checked"}
    held = take_up(with_path(with_section(job_1(), "base", retainer_load_n=loose), "bypass-held"))
    assert held["union"].status == "ok"


def test_top_hung_shares_nothing():
    answers = take_up(job_2(), choice_2())
    assert set(answers) == {"union", "bypass", "ESP on the Y-tool"}
    assert {finding.status for finding in answers.values()} == {"ok"}
    assert "Top-hung, no take-up is reckoned" in answers["union"].text
