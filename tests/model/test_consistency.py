"""What parts of a job say of one another."""

import pytest
from pydantic import ValidationError
from tests.model.jobs import job_1, job_2

from abreast.model import Job, contradictions


def with_row(job: Job, table: str, index: int, **changes) -> dict:
    rows = [row.model_dump() for row in getattr(job, table)]
    rows[index] |= changes
    return {table: rows}


J1, J2 = job_1(), job_2()
CASES = {
    "twice": (job_1, with_row(J1, "rack", 1, id="B05"), "'B05' stands twice"),
    "port": (job_1, with_row(J1, "ports", 0, piece="moter"), "did you mean 'motor'"),
    "landing": (job_1, with_row(J1, "landings", 0, piece="gauge"), "has no clamp neck"),
    "clamp": (job_1, with_row(J1, "clamps", 0, piece="engine"), "not in the ESP table"),
    "holder": (job_1, with_row(J1, "landings", 0, holder="LC"), "not in the table of holders"),
    "spare": (job_1, with_row(J1, "esp", 3, spare_of="pump"), "not in the ESP table"),
    "spare of itself": (job_1, with_row(J1, "esp", 1, spare_of="gauge"), "itself a spare"),
    "spare landed": (job_1, with_row(J1, "esp", 3, spare_of="motor"), "not in the string"),
    "lift": (job_1, with_row(J1, "lifts", 0, pieces=["P08", "P99"]), "'P99' is not in the rack"),
    "two places": (job_1, with_row(J1, "lifts", 0, pieces=["P08", "T01"]), "in another place too"),
    "tail": (job_1, with_row(J1, "tail", 1, id="P99"), "'P99' is not in the rack"),
    "own or rack": (job_1, with_row(J1, "tail", 0, id="T01"), "'T01' is on the rack too"),
    "thread": (job_1, with_row(J1, "rack", 0, lower_end="XX pin"), "add the thread"),
    "datum": (job_1, {"depth_datum": "KB"}, "a depth needs a named zero"),
    "row datum": (job_1, with_row(J1, "casing", 0, datum="KB"), "a depth needs a named zero"),
    "casing": (job_1, with_row(J1, "casing", 0, shoe_md_m=0.0), "is not below top_md"),
    "path": (job_1, {"load_path": "top-hung"}, "does not go with arrangement"),
    "no base": (job_1, {"base": None}, "needs section base"),
    "base": (job_2, {"base": J1.base}, "has no section base"),
    "tail hung": (job_2, {"tail": [J1.tail[0]]}, "has no tail"),
    "no esp": (job_2, {"esp": [], "landings": []}, "no ESP piece in the string"),
    "seat": (
        job_1,
        {"base": J1.base.model_dump() | {"seat_planned_m": 0.5}},
        "seat_planned: is outside its range",
    ),
    "seat range": (
        job_1,
        {"base": J1.base.model_dump() | {"seat_min_m": 0.5}},
        "seat_min: is above the maximum",
    ),
    "seat step": (
        job_1,
        {"base": J1.base.model_dump() | {"seat_step_m": 0.0}},
        "seat_step: is not above zero",
    ),
    "survey": (
        job_1,
        {"survey": [{"md_m": d, "inclination_rad": 0, "azimuth_rad": 0} for d in (0, 9, 9)]},
        "depth does not increase",
    ),
    "survey head": (
        job_1,
        {
            "survey_head": None,
            "survey": [{"md_m": 0, "inclination_rad": 0, "azimuth_rad": 0}],
        },
        "needs its section",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("build", "changes", "said"), CASES.values(), ids=CASES.keys())
def test_a_contradiction_is_refused_in_words(build, changes, said):
    with pytest.raises(ValidationError, match=said):
        build(**changes)


def test_sound_jobs_contradict_nothing():
    assert not list(contradictions(J1))
    assert not list(contradictions(J2))


ROWS = {
    "drift reason": ("rack", 0, {"drift": "not done"}, "needs its drift_reason"),
    "drift stopped": ("rack", 0, {"drift": "stopped"}, "set rejected or laid aside"),
    "rejected": ("rack", 0, {"status": "rejected"}, "needs its status_reason"),
    "clamp place": ("clamps", 0, {"height_m": 9.0}, "either the piece .* or a height"),
    "no clamp place": ("clamps", 0, {"piece": ""}, "either the piece .* or a height"),
    "half a window": ("landings", 0, {"window_low_m": 0.6}, "both ends or neither"),
    "window": ("landings", 0, {"grip_low_m": 0.6, "grip_high_m": 0.2}, "grip: the low end"),
    "tail length": ("tail", 0, {"overall_m": None}, "give its overall length"),
    "tail twice": ("tail", 1, {"overall_m": 3.0}, "belongs in the rack table"),
    "one piece": ("lifts", 0, {"pieces": ["P08"]}, "at least 2 items"),
    "semicolon": ("rack", 0, {"id": "B;05"}, "pattern"),
    "control sign": ("rack", 0, {"note": "a\x00b"}, "unprintable"),
}


@pytest.mark.parametrize(("table", "index", "change", "said"), ROWS.values(), ids=ROWS.keys())
def test_a_row_that_contradicts_itself_is_refused(table, index, change, said):
    with pytest.raises(ValidationError, match=said):
        job_1(**with_row(J1, table, index, **change))


def test_a_union_that_does_not_open_and_a_window_upside_down():
    with pytest.raises(ValidationError, match="closed is not shorter than open"):
        job_1(union=J1.union.model_dump() | {"open_m": 0.7})
    with pytest.raises(ValidationError, match="low is above high"):
        job_1(window={"low_m": 1.7, "high_m": 0.6})
