"""The case generators: every case is accepted, the same seed gives the same case."""

from __future__ import annotations

import json

import pytest
from benchmarks.spaceout.generate import FLAVOURS, SIZES, generate
from benchmarks.spaceout.tiny import generate_tiny

from abreast.spaceout.case import parse_case
from abreast.spaceout.checker import violations


@pytest.mark.parametrize("flavour", FLAVOURS)
def test_generated_cases_are_accepted_and_repeatable(flavour):
    for size in SIZES:
        data = generate(3, size, flavour)
        case = parse_case(json.loads(json.dumps(data)))
        assert data == generate(3, size, flavour) != generate(4, size, flavour)
        gone = flavour.endswith("short")
        assert len(case.stock) == size or (gone and 0 < len(case.stock) < size)
        assert (case.lifts is not None) is flavour.startswith("lifts")


@pytest.mark.parametrize("flavour", [f for f in FLAVOURS if not f.endswith(("short", "off"))])
def test_the_planted_plan_keeps_every_rule(flavour):
    for size in SIZES:
        data = generate(1, size, flavour)
        planted = data["planted"]
        assert violations(parse_case(data), planted["items"], planted["seat"]) == []


def test_tiny_cases_are_tiny_and_accepted():
    for seed in range(200):
        case = parse_case(generate_tiny(seed))
        assert len(case.stock) <= 8
        assert case.max_items <= 5
