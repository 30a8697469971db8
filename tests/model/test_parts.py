"""What holds for every part of the model, and the small computations parts do themselves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel, ValidationError
from tests.model.jobs import FT, job_1, job_2

from abreast.model import Finding, Job, Plan, Quantity, Rules
from abreast.model.assembly import Assembly, PlacedPiece
from abreast.units import dimension_of_field


def _models(model: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    if model in seen:
        return
    seen.add(model)
    yield model
    for info in model.model_fields.values():
        yield from _inside(info.annotation, seen)


def _inside(annotation: Any, seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield from _models(annotation, seen)
    for part in get_args(annotation) if get_origin(annotation) else ():
        yield from _inside(part, seen)


MODELS = list(_models(Plan, set())) + list(_models(Job, set()))


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_field_is_described_and_every_type_is_closed(model):
    assert model.__doc__
    assert model.model_config["frozen"] is True
    assert model.model_config["extra"] == "forbid"
    for name, info in model.model_fields.items():
        assert info.description, name


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_quantity_names_its_unit(model):
    for name, info in model.model_fields.items():
        if isinstance(info.annotation, type) and issubclass(info.annotation, Quantity):
            assert dimension_of_field(name) is not None, name


def test_parts_do_not_change_and_refuse_unknown_fields():
    job = job_1()
    with pytest.raises(ValidationError, match="frozen"):
        job.name = "other"  # type: ignore[misc]
    with pytest.raises(ValidationError, match="Extra inputs"):
        Rules.model_validate({"reserve_faktor_ratio": 3.0})


def test_a_job_goes_through_json_unchanged():
    for job in (job_1(), job_2()):
        assert Job.model_validate_json(job.model_dump_json()) == job


def test_usable_window_of_the_union_is_the_middle_half_unless_stated():
    union = job_1().union
    assert union.window_m == pytest.approx((2.80 * FT, 3.20 * FT))
    assert union.wanted_m == pytest.approx(3.00 * FT)
    assert union.stroke_m == pytest.approx(0.80 * FT)
    own = union.model_copy(update={"usable_low_m": Quantity.of(0.85), "target_m": Quantity.of(0.9)})
    assert own.window_m == pytest.approx((0.85, 3.20 * FT))
    assert own.wanted_m == 0.9


def test_unsigned_is_a_draft():
    job = job_1()
    assert not job.revision.is_draft
    for name in ("prepared", "checked", "approved"):
        assert job.revision.model_copy(update={name: None}).is_draft


def test_usual_rules_are_marked_common_practice():
    rules = Rules()
    for name in Rules.model_fields:
        value = getattr(rules, name)
        if isinstance(value, Quantity) and value.is_given:
            assert value.origin.kind == "common practice", name


def test_only_drifted_measured_unsuspected_usable_pieces_are_usable():
    job = job_1()
    item = job.rack[0]
    assert job.usable(item)
    rows = {
        "drift": {"drift": "not done", "drift_reason": "no rabbit"},
        "status": {"status": "spare"},
        "length": {"overall_m": {"state": "not measured", "reason": "cap on"}},
    }
    for change in rows.values():
        assert not job.usable(type(item).model_validate(item.model_dump() | change))
    suspicion = {"file": "rack.csv", "row": 2, "field": "overall", "piece": item.id, "text": "odd"}
    assert not job_1(suspicions=[suspicion]).usable(item)


def test_an_assembly_finds_its_pieces():
    piece = PlacedPiece(
        side="bypass", id="B05", kind="joint", bottom_m=0.6, top_m=10.0, planned_m=9.4,
        effective_m=9.4,
    )  # fmt: skip
    whole = Assembly(
        status="planned", arrangement="bottom-supported", seat_m=0.0762, pieces=(piece,),
        esp_leg_m=32.9, bypass_leg_m=33.1, top_m=34.2,
    )  # fmt: skip
    assert whole.piece("B05") is piece
    assert whole.side("esp", "both") == ()
    with pytest.raises(KeyError):
        whole.piece("B06")


def test_a_finding_has_one_of_four_outcomes():
    with pytest.raises(ValidationError):
        Finding.model_validate({"id": "x", "question": "?", "status": "fine", "text": "."})
