"""The bundled jobs close as their trade figures say, by plain sums.

Lengths, windows and weights are invented and coherent with each other; the
expected columns were added by hand, apart from the program.
"""

from __future__ import annotations

from functools import cache

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import Job
from abreast.model.frame import (
    base_top_m,
    bypass_leg_m,
    clamp_height_m,
    depth_of_height_m,
    effective_length,
    esp_heights_m,
    free_body_ends_m,
    landing_window_m,
    neck_height_m,
    port_height_m,
    rack_item,
    seat_range,
    tail_items,
)

FT, IN, LB = 0.3048, 0.0254, 0.45359237
JOB_1, JOB_2 = "quernstone_14", "skerrow_a09"
LIFTS_1 = (("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10"))
LIFTS_2 = (("K01", "Q07"), ("Q10",), ("Q02",), ("Q04",))


@cache
def job(name: str) -> Job:
    return read_job(example_path(name)).require_job()


def tops_m(name: str, lifts: tuple[tuple[str, ...], ...]) -> list[float]:
    """Bypass top after each lift, the seat or stick-down as planned."""
    one = job(name)
    top = base_top_m(one) - seat_range(one).planned_m
    tops = []
    for lift in lifts:
        top += sum(effective_length(one, rack_item(one, i)).si for i in lift)
        tops.append(top)
    return tops


@pytest.mark.parametrize(
    ("name", "lifts", "unit", "above_plate", "union"),
    [
        (JOB_1, LIFTS_1, FT, (3.06, 3.42, 4.04, 2.37, 2.51), 3.00),
        (JOB_2, LIFTS_2, 1.0, (1.176, 1.692, 1.424, 0.773), 0.857),
    ],
    ids=[JOB_1, JOB_2],
)
def test_known_closure_keeps_every_window(
    name: str,
    lifts: tuple[tuple[str, ...], ...],
    unit: float,
    above_plate: tuple[float, ...],
    union: float,
) -> None:
    one = job(name)
    tops = tops_m(name, lifts)
    for top, landing, wanted in zip(tops, one.landings, above_plate, strict=True):
        stands = top - neck_height_m(one, landing.piece)
        assert stands / unit == pytest.approx(wanted, abs=1e-6)
        low, high = landing_window_m(one, landing)
        assert low <= stands <= high
    length = bypass_leg_m(one) - tops[-1]
    assert length / unit == pytest.approx(union, abs=1e-6)
    low, high = one.union.window_m
    assert low < length < high


@pytest.mark.parametrize(("name", "lifts"), [(JOB_1, LIFTS_1), (JOB_2, LIFTS_2)])
def test_every_twin_clamp_closes_on_one_free_body(
    name: str, lifts: tuple[tuple[str, ...], ...]
) -> None:
    one = job(name)
    top = base_top_m(one) - seat_range(one).planned_m
    bodies = []
    for item in (rack_item(one, i) for lift in lifts for i in lift):
        upset, coupling = free_body_ends_m(one, item)
        bottom, top = top, top + effective_length(one, item).si
        bodies.append((bottom + upset, top - coupling))
    assert one.clamps
    for clamp in one.clamps:
        reach = clamp.length_m.si / 2 + clamp.clearance_m.si
        middle = clamp_height_m(one, clamp)
        assert any(a <= middle - reach and middle + reach <= b for a, b in bodies), clamp.id


def test_lifts_of_the_land_job_keep_its_limits() -> None:
    """A double at the last landing only: two pieces, under the 42 ft of the catwalk."""
    one = job(JOB_1)
    assert one.rules.max_lift_pieces == 2
    overall = [sum(rack_item(one, i).overall_m.si for i in lift) for lift in LIFTS_1]
    assert max(overall) < one.rules.max_lift_length_m.si == pytest.approx(42 * FT)
    assert [len(lift) for lift in LIFTS_1] == [1, 1, 1, 1, 2]


def test_pre_run_of_the_offshore_job_reaches_its_second_joint() -> None:
    one = job(JOB_2)
    lower_end = tops_m(JOB_2, (("K01",),))[0]
    assert lower_end == pytest.approx(8.17, abs=1e-9)
    assert lower_end <= one.rules.pre_run_height_m.si


def test_spare_joint_swaps_in_for_one_that_galls() -> None:
    """P02 for P04 closes the union by 0.08 ft; it stays within the middle half."""
    lifts = (*LIFTS_1[:3], ("P02",), LIFTS_1[4])
    one = job(JOB_1)
    length = bypass_leg_m(one) - tops_m(JOB_1, lifts)[-1]
    assert length / FT == pytest.approx(3.00 - 0.08, abs=1e-6)
    low, high = one.union.window_m
    assert low < length < high


@pytest.mark.parametrize(
    ("name", "unit", "length", "mass"),
    [(JOB_1, FT, 108.05, 5227 * LB), (JOB_2, 1.0, 27.55, 963.0)],
)
def test_esp_side_adds_up(name: str, unit: float, length: float, mass: float) -> None:
    one = job(name)
    heights = esp_heights_m(one)
    assert max(top for _, top in heights.values()) / unit == pytest.approx(length, abs=1e-6)
    run = [piece for piece in one.esp if not piece.is_spare]
    assert sum(piece.mass_kg.si for piece in run) == pytest.approx(mass, abs=0.01)
    for piece in run:
        assert piece.cumulative_m.si == pytest.approx(heights[piece.id][1], abs=1e-6)


def test_tail_of_the_land_job_adds_up() -> None:
    one = job(JOB_1)
    tail = tail_items(one)
    length = sum(effective_length(one, piece).si for piece in tail)
    assert length / FT == pytest.approx(138.67, abs=1e-6)
    assert sum(piece.mass_kg.si for piece in tail) / LB == pytest.approx(933, abs=1e-6)


@pytest.mark.parametrize(
    ("height_ft", "depth_ft"),
    [(43.3 - 1.15, 5670.1), (30.35 - 1.15, 5683.05), (-1.15, 5713.4), (-138.67 - 1.15, 5852.07)],
    ids=["intake", "pothead", "base lower shoulder", "tail end"],
)
def test_depths_of_the_land_job(height_ft: float, depth_ft: float) -> None:
    depth = depth_of_height_m(job(JOB_1), height_ft * FT) / FT
    assert depth == pytest.approx(depth_ft, abs=0.005)


def test_hanging_weights_of_the_offshore_job() -> None:
    """Load on the lifting clamp after each landing, in air, twin clamps included [kg]."""
    one = job(JOB_2)
    assert one.guide is not None
    groups = (("base", "gauge", "motor"), ("protector",), ("intake", "pump-1"))
    groups += (("pump-2", "head", "pup"),)
    mass = {piece.id: piece.mass_kg.si for piece in one.esp}
    total, hanging = one.guide.mass_kg.si, []
    for group, lift, clamp in zip(groups, LIFTS_2, one.clamps, strict=True):
        total += sum(mass[i] for i in group) + clamp.mass_kg.si
        total += sum(rack_item(one, i).mass_kg.si for i in lift)
        hanging.append(round(total))
    assert hanging == [589, 702, 935, 1199]


def test_pothead_lies_below_the_plate_at_the_first_landing() -> None:
    one = job(JOB_1)
    pothead = next(port for port in one.ports if port.kind == "pothead")
    below = neck_height_m(one, "motor") - port_height_m(one, pothead)
    assert below / FT == pytest.approx(0.42, abs=1e-6)


def test_smallest_bore_of_the_land_job_is_its_no_go() -> None:
    one = job(JOB_1)
    bores = [piece.no_go_m.si for piece in one.tail if piece.no_go_m.is_given]
    bores += [one.ytool.nipple_bore_m.si, one.pipe.drift_m.si, one.union.bore_m.si]
    assert min(bores) / IN == pytest.approx(2.20, abs=1e-9)
