"""Heights, closures and depths of the two invented jobs against their printed tables.

Source: the jobs' own tables (invented figures), printed to 0.01 ft and 0.01 m. Heights there
are counted from the base lower shoulder (job 1) and from the motor base (job 2).
"""

import pytest
from tests.model.jobs import FT, IN, LANDED_1, LANDED_2, LB, RACK_1, RACK_2, job_1, job_2

from abreast.errors import InputError, MissingInputError
from abreast.model import (
    Quantity,
    base_top_m,
    bypass_leg_m,
    clamp_height_m,
    convert_depth_m,
    depth_of_height_m,
    effective_length,
    esp_heights_m,
    esp_length_m,
    free_body_ends_m,
    landing_window_m,
    make_up_loss_m,
    neck_height_m,
    of_pipe,
    port_height_m,
    rack_item,
    seat_range,
    tail_items,
    to_esp_frame_m,
)

HALF_FT = 0.0051 * FT
NECKS_1 = (30.77, 42.19, 61.39, 82.85, 104.31)  # from the base lower shoulder [ft]
TOPS_1 = (33.83, 45.61, 65.43, 85.22, 106.82)
NECKS_2 = (10.60, 13.07, 19.37, 26.08)


@pytest.mark.parametrize(("piece", "printed"), list(zip(LANDED_1, NECKS_1, strict=True)))
def test_neck_heights_of_job_1_once_the_zero_is_changed(piece, printed):
    job = job_1()
    in_frame = to_esp_frame_m(job, printed * FT, "base lower shoulder")
    assert neck_height_m(job, piece) == pytest.approx(in_frame, abs=HALF_FT)


@pytest.mark.parametrize(("piece", "printed"), list(zip(LANDED_2, NECKS_2, strict=True)))
def test_neck_heights_of_job_2(piece, printed):
    assert neck_height_m(job_2(), piece) == pytest.approx(printed, abs=0.0051)


def test_esp_length_of_both_jobs():
    assert esp_length_m(job_1()) == pytest.approx(108.05 * FT, abs=HALF_FT)
    assert esp_length_m(job_2()) == pytest.approx(27.55, abs=0.0051)
    assert sum(p.mass_kg.si for p in job_1().esp) == pytest.approx(5227 * LB, abs=0.5 * LB)


def test_job_1_closes_at_mid_stroke_with_the_printed_tops():
    job = job_1()
    top = base_top_m(job) - seat_range(job).planned_m
    added = [effective_length(job, rack_item(job, i)).si for i in RACK_1]
    shift = to_esp_frame_m(job, 0.0, "base lower shoulder")
    tops = [top + sum(added[: n + 1]) for n in range(len(added))]
    landed = [*tops[:4], tops[5]]
    for computed, printed in zip(landed, TOPS_1, strict=True):
        assert computed - shift == pytest.approx(printed * FT, abs=HALF_FT)
    # "union exactly mid"
    assert bypass_leg_m(job) - tops[-1] == pytest.approx(job.union.wanted_m, abs=HALF_FT)


def test_job_2_closes_3_mm_short_of_mid_stroke():
    job = job_2()
    top = base_top_m(job) - seat_range(job).planned_m
    top += sum(effective_length(job, rack_item(job, i)).si for i in RACK_2)
    assert bypass_leg_m(job) - top - job.union.wanted_m == pytest.approx(-0.003, abs=0.0005)


def test_bypass_connection_as_zero_agrees_with_the_lower_shoulder():
    job = job_1()
    one = to_esp_frame_m(job, 3.10 * FT, "base lower shoulder")
    assert to_esp_frame_m(job, 0.0, "bypass connection") == pytest.approx(one)
    assert to_esp_frame_m(job, 1.5, "esp") == 1.5


def test_the_lower_shoulder_is_no_zero_of_a_top_hung_job():
    with pytest.raises(InputError, match="need a base support"):
        to_esp_frame_m(job_2(), 1.0, "base lower shoulder")


def test_tail_of_job_1_has_the_printed_length():
    job = job_1()
    length = sum(effective_length(job, item).si for item in tail_items(job))
    assert length == pytest.approx(138.67 * FT, abs=HALF_FT)


@pytest.mark.parametrize(
    ("height_ft", "printed_md_ft"),
    [
        pytest.param(30.35, 5683.0, id="pothead"),
        pytest.param(1.77, 5711.6, id="gauge base"),
        pytest.param(0.0, 5713.4, id="base lower shoulder"),
        pytest.param(-138.67, 5852.1, id="tail end"),
    ],
)
def test_depths_of_job_1(height_ft, printed_md_ft):
    job = job_1()
    height = to_esp_frame_m(job, height_ft * FT, "base lower shoulder")
    # printed to 0.1 ft, the pothead to 1 ft
    slack = 0.55 if printed_md_ft == 5683.0 else 0.051
    assert depth_of_height_m(job, height) == pytest.approx(printed_md_ft * FT, abs=slack * FT)


def test_depths_of_job_2():
    assert depth_of_height_m(job_2(), 0.0) == pytest.approx(2178.7, abs=0.051)
    assert depth_of_height_m(job_2(), -1.65) == pytest.approx(2180.4, abs=0.051)


def test_a_datum_above_counts_more_depth():
    job = job_1()
    assert convert_depth_m(job, 1000.0, "RKB", "old RKB") == pytest.approx(1001.5)
    assert depth_of_height_m(job, 0.0, "old RKB") - depth_of_height_m(job, 0.0) == pytest.approx(
        1.5
    )
    with pytest.raises(InputError, match="a depth needs a named zero"):
        convert_depth_m(job, 1000.0, "nowhere")


def test_port_and_clamp_heights():
    job = job_1()
    wanted = to_esp_frame_m(job, 30.35 * FT, "base lower shoulder")
    assert port_height_m(job, job.ports[0]) == pytest.approx(wanted, abs=HALF_FT)
    assert clamp_height_m(job, job.clamps[0]) == neck_height_m(job, "motor")
    free = job.clamps[0].model_copy(update={"piece": "", "height_m": Quantity.of(4.0)})
    assert clamp_height_m(job, free) == 4.0


def test_a_remeasured_piece_moves_everything_above_it():
    job = job_1()
    longer = [
        p.model_copy(update={"remeasured_m": type(p.length_m).of(27.50 * FT)})
        if p.id == "motor"
        else p
        for p in job.esp
    ]
    moved = job_1(esp=longer)
    assert esp_heights_m(moved)["gauge"] == esp_heights_m(job)["gauge"]
    assert neck_height_m(moved, "pump-3") - neck_height_m(job, "pump-3") == pytest.approx(0.08 * FT)


def test_a_spare_is_not_in_the_string():
    job = job_1()
    spare = job.esp[3].model_copy(update={"id": "protector-2", "spare_of": "protector"})
    with_spare = job_1(esp=[*job.esp, spare])
    assert esp_length_m(with_spare) == esp_length_m(job)
    assert "protector-2" not in esp_heights_m(with_spare)


def test_a_missing_length_says_what_it_needs():
    job = job_1()
    rows = [p.model_dump() for p in job.esp]
    rows[4]["length_m"] = {"state": "not measured", "reason": "cap still on"}
    with pytest.raises(MissingInputError) as fault:
        esp_length_m(job_1(esp=rows))
    assert fault.value.needs == "length of ESP piece intake (not measured: cap still on)"


def test_own_loss_goes_before_that_of_the_thread():
    job = job_1()
    item = rack_item(job, "B05")
    assert make_up_loss_m(job, item) == pytest.approx(0.24 * FT)
    own = item.model_copy(update={"make_up_loss_m": Quantity.of(0.07)})
    assert make_up_loss_m(job, own) == 0.07
    # an entry guide with a box only loses nothing of its own
    assert make_up_loss_m(job, job.tail[0]) == 0.0
    with pytest.raises(KeyError):
        rack_item(job, "B99")


def test_sizes_fall_back_to_pipe_and_thread():
    job = job_1()
    item = rack_item(job, "B05")
    assert of_pipe(job, item, "joint_od_m").si == pytest.approx(3.02 * IN)
    assert free_body_ends_m(job, item) == (0.1, 0.2)
    assert of_pipe(job, job.tail[0], "bore_m").known is None


def test_landing_window_is_the_jobs_unless_the_landing_has_its_own():
    job = job_1()
    assert landing_window_m(job, job.landings[0]) == pytest.approx((2.0 * FT, 5.5 * FT))
    own = {"id": "L1", "piece": "motor", "window_low_m": 0.7, "window_high_m": 1.2}
    assert landing_window_m(job, job_1(landings=[own]).landings[0]) == (0.7, 1.2)
