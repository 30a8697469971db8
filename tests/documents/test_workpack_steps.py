"""The lines of the running list between the pieces: seat, twin clamps, cable, union.

The order is that of the trade: a clamp goes on a neck once the next section carries its weight
past the plate (common practice, no source).
"""

from __future__ import annotations

from typing import Any

import pytest
from tests.drawing.strings import CHOICE_1, CHOICE_2, planned_1, planned_2
from tests.model.jobs import FT, LANDED_2

from abreast.documents import tally
from abreast.documents.workpack_front import summary
from abreast.documents.workpack_run import pull_order, rack_sheet, running_list
from abreast.documents.workpack_steps import AFTER_BASE, Step, steps
from abreast.documents.workpack_torque import torques
from abreast.model import Assembly, Choice, Job, Plan, Quantity

Planned = tuple[Job, Assembly, Choice]
CLAMPS_2 = [
    {"id": f"C{n}", "piece": piece, "length_m": 0.2, "max_od_m": 0.151, "mass_kg": 9.5}
    for n, piece in enumerate(LANDED_2, 1)
]


@pytest.fixture(params=[1, 2])
def planned(request: pytest.FixtureRequest) -> Planned:
    job, assembly = planned_1() if request.param == 1 else planned_2(clamps=CLAMPS_2)
    return job, assembly, CHOICE_1 if request.param == 1 else CHOICE_2


def of(tag: str, found: list[Step]) -> list[Step]:
    return [one for one in found if one.tag == tag]


def read_through(job: Job, assembly: Assembly) -> list[str]:
    """Tags, pieces and landings in the order in which a person reads the list."""
    run = running_list(tally(job, assembly), assembly)
    words = []
    for stage in run["stages"]:
        words += [f"{one['tag']} {one['text']}" for one in stage["early"]]
        for row in stage["rows"]:
            words += [row["id"], *(f"{one['tag']} {one['text']}" for one in row["after"])]
        words += [f"{one['tag']} {one['text']}" for one in stage["steps"]]
        if stage["landing"]:
            words.append(f"LAND {stage['landing']['id']}")
    return words


def test_every_clamp_is_closed_after_its_neck_landed_and_before_it_goes_down(
    planned: Planned,
) -> None:
    job, assembly, _ = planned
    read = read_through(job, assembly)
    assert job.clamps
    for clamp in job.clamps:
        (at,) = [n for n, text in enumerate(read) if text.startswith(f"CLOSE CLAMP {clamp.id} ")]
        ids = [one.id for one in assembly.landings if one.piece == clamp.piece]
        for landing in ids:
            assert read.index(f"LAND {landing}") < at
        later = [
            f"LAND {one.id}"
            for one in assembly.landings
            if one.neck_m > clamp_z(assembly, clamp.id) + 1
        ]
        assert all(at < read.index(one) for one in later)


def clamp_z(assembly: Assembly, clamp_id: str) -> float:
    return next(one.height_m for one in assembly.clamps if one.id == clamp_id)


def test_a_clamp_line_names_the_torque_or_that_it_is_not_stated() -> None:
    job, assembly = planned_1()
    stated = Quantity.of(81.3491)  # 60 lbf·ft of 1.355818 N·m
    with_it, without = (
        job.model_copy(
            update={
                "clamps": tuple(
                    one.model_copy(update={"bolt_torque_nm": torque, "bolts": 4})
                    for one in job.clamps
                )
            }
        )
        for torque in (stated, Quantity.not_measured())
    )
    assert "4 bolts to 60 lbf·ft" in of("CLOSE CLAMP", steps(with_it, assembly))[0].text
    assert "not stated" in of("CLOSE CLAMP", steps(without, assembly))[0].text


def test_the_seat_is_set_before_the_first_landing_the_stick_down_before_the_first_clamp() -> None:
    job, assembly = planned_1()
    read = read_through(job, assembly)
    (seat,) = [n for n, text in enumerate(read) if text.startswith("SET SEAT")]
    assert read[seat - 1] == "base support"
    assert seat < read.index(f"LAND {assembly.landings[0].id}")
    job, assembly = planned_2(clamps=CLAMPS_2)
    read = read_through(job, assembly)
    (seat,) = [n for n, text in enumerate(read) if text.startswith("SET STICK-DOWN")]
    assert read[seat + 1].startswith("CLOSE CLAMP")
    assert not any(text.startswith("CLOSE CLAMP") for text in read[:seat])
    assert of("SET STICK-DOWN", steps(job, assembly))[0].stage != AFTER_BASE


def test_a_seat_set_anew_is_told_in_two_notations_on_both_pages() -> None:
    job, assembly = planned_1()
    moved = assembly.model_copy(update={"seat_m": 0.375 * FT})  # 4.5 in
    text = of("SET SEAT", steps(job, moved))[0].text
    assert "0.38 ft (4 1/2 in)" in text
    assert "NOT the 0.25 ft (3 in)" in text
    plan = Plan(job_name="j", fingerprint="f", status="optimal", choice=CHOICE_1, assembly=moved)
    fact = dict(summary(job, plan, {})["facts"])["Seat height"]
    assert fact == "SET ANEW: 0.38 ft (4 1/2 in); the job had planned 0.25 ft (3 in)"
    same = dict(summary(job, plan.model_copy(update={"assembly": assembly}), {})["facts"])
    assert same["Seat height"] == "0.25 ft (3 in), as the job had planned it"


def port(height_ft: float, **more: Any) -> list[dict[str, Any]]:
    return [
        {"id": "pothead", "piece": "motor", "kind": "pothead", "height_m": height_ft * FT} | more
    ]


MLE = {"name": "MLE", "thickness_m": 0.0127, "width_m": 0.033, "length_m": 30.0}


@pytest.mark.parametrize(
    ("height_ft", "said", "early"),
    [(26.52, "below the plate", False), (27.4, "above the plate at landing L1", True)],
)
def test_the_cable_is_connected_where_hands_reach_or_the_block_hoists(
    height_ft: float, said: str, early: bool
) -> None:
    job, assembly = planned_1(ports=port(height_ft), mle=MLE)
    (one,) = of("CONNECT MLE", steps(job, assembly))
    assert said in one.text
    assert (one.stage, one.early) == (1, early)


def test_a_cable_without_a_pothead_is_not_planned() -> None:
    job, assembly = planned_1(ports=[], mle=MLE)
    (one,) = of("CONNECT MLE", steps(job, assembly))
    assert "not planned: needs a port of kind pothead" in one.text


def test_the_union_tells_exposed_stroke_and_turns() -> None:
    """0.40 ft open from closed at 4 threads/in is 0.40 * 12 * 4 = 19.2 turns."""
    union = {"travel_per_turn_m": 0.25 * 0.0254, "lock": "lock nut", "lock_torque_nm": 406.745}
    job, assembly = planned_1()
    parts = job.union.model_copy(update={n: v for n, v in union.items() if n == "lock"})
    parts = parts.model_copy(
        update={
            name: Quantity.of(value) for name, value in union.items() if isinstance(value, float)
        }
    )
    job = job.model_copy(update={"union": parts})
    (one,) = of("SET UNION", steps(job, assembly))
    opened_in = (assembly.union.length_m - job.union.closed_m.si) / 0.0254 if assembly.union else 0
    assert f"{opened_in * 4:.1f} turns from closed" in one.text
    assert "Lock: lock nut, 300 lbf·ft" in one.text
    assert one.stage == len(assembly.landings)


def test_the_lowest_end_of_the_bypass_has_no_torque() -> None:
    """With a tail the base support is made up on it; without one its pin is made up on nothing."""
    eu = {"id": "EU", "make_up_loss_m": 0.05, "torque_opt_nm": 3000.0}
    threads = [{"id": "SF", "make_up_loss_m": 0.24 * FT}, eu]
    for tail, has_torque in ((None, True), ([], False)):
        changes = {"threads": threads} | ({} if tail is None else {"tail": tail})
        job, assembly = planned_1(**changes)
        found = torques(tally(job, assembly), assembly)
        assert ("base support" in found) is has_torque


def test_places_on_the_rack_sheet_are_no_rows(planned: Planned) -> None:
    job, assembly, _ = planned
    made = tally(job, assembly)
    ids = [item.id for item in job.rack]
    for pull in pull_order(made):
        assert pull["place"] == f"place {ids.index(pull['id']) + 1}"
    assert [row["place"] for row in rack_sheet(job, made)["rows"]][:2] == ["1", "2"]


def test_a_step_of_a_passed_landing_is_to_be_confirmed_not_ticked() -> None:
    job, assembly = planned_1(mle=MLE, in_well={"pieces": ["B05", "P07"], "landings_passed": 2})
    found = [one for one in steps(job, assembly) if one.stage >= 0]
    assert {one.tag for one in found if "confirm" in one.text} == {"CONNECT MLE", "CLOSE CLAMP"}
    assert all(("confirm" in one.text) == (one.stage < 2) for one in found)
    assert not any(one.done for one in found)
