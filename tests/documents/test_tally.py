"""The tally of the two invented jobs, against sums done by hand from their tables."""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import replace
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from tests.drawing.strings import CHOICE_1, Planned, planned_1, planned_2, twin_strings
from tests.model.jobs import FT, job_1, pipe_row

from abreast.documents import Tally, tally, tally_csv, tally_text, tally_workbook
from abreast.model import Choice, Suspicion


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def with_rejects() -> Tally:
    """Job 1 with four pieces that may not be run, each for another reason, and one to spare."""
    rack = [*job_1().model_dump(include={"rack"})["rack"]]
    more: list[dict[str, Any]] = [
        pipe_row("B04", 31.55, "SF", FT)
        | {"drift": "stopped", "status": "rejected", "status_reason": "drift stopped 14 ft in"},
        pipe_row("P20", 3.00, "SF", FT) | {"drift": "not done", "drift_reason": "drift lent out"},
        pipe_row("P21", 2.05, "SF", FT) | {"overall_m": None},
        pipe_row("P23", 10.08, "EU", FT),
        pipe_row("P22", 2.02, "SF", FT),
    ]
    suspected = Suspicion(file="rack.csv", field="lower_end", piece="P23", text="thread EU")
    job, assembly = planned_1(rack=[*rack, *more], suspicions=(suspected,))
    return tally(job, assembly, CHOICE_1.model_copy(update={"irreplaceable": ("P01",)}))


def test_pieces_stand_in_the_order_in_which_they_are_run() -> None:
    """Tail and base; before each landing its pipe, then the ESP section; last what closes."""
    rows = tally(*planned_1()).rows
    assert " ".join(row.id for row in rows) == (
        "bell P24 nipple T01 T02 T03 T05 P25 base support "
        "B05 guide gauge motor P07 protector P01 intake pump-1 P04 pump-2 "
        "P08 P10 pump-3 head pup adjustable union Y-tool"
    )
    assert [row.number for row in rows] == list(range(1, 28))


def test_both_sums_and_the_losses_are_those_of_the_sheet() -> None:
    """Pipe 30.97 + 12.02 + 20.06 + 20.03 + 12.07 + 10.01 = 105.16 ft, six losses of 0.24 ft;
    tail 0.74 + 4.10 + 1.35 + 31.88 + 31.74 + 32.02 + 31.95 + 6.08 = 139.86 ft, seven of 0.17."""
    sums = {one.part: one for one in tally(*planned_1()).sums}
    feet = {
        part: [round(value / FT, 6) for value in (s.overall_m, s.loss_m, s.effective_m)]
        for part, s in sums.items()
    }
    assert feet == {"bypass": [105.16, 1.44, 103.72], "tail": [139.86, 1.19, 138.67]}
    assert (sums["bypass"].count, sums["tail"].count) == (6, 8)


@pytest.mark.parametrize("planned", [planned_1, planned_2])
def test_the_tally_closes_by_its_own_figures(planned: Any) -> None:
    made = tally(*planned())
    pipe_m = sum(row.effective_m for row in made.rows if row.part == "bypass" and row.loss_m)
    assert made.union_m is not None
    assert made.connection_m + pipe_m + made.union_m == pytest.approx(made.leg_m, abs=1e-9)


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(twin_strings())
def test_heights_grow_by_what_each_piece_adds(planned: Planned) -> None:
    """In any string: every piece once, overall less loss is effective, tops above bottoms."""
    rows = tally(planned.job, planned.assembly).rows
    assert sorted(row.id for row in rows) == sorted(p.id for p in planned.assembly.pieces)
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    for row in rows:
        assert row.effective_m is not None
        assert row.bottom_m is not None
        assert row.top_m == pytest.approx(row.bottom_m + row.effective_m)
        if row.overall_m is not None and row.loss_m is not None:
            assert row.effective_m == pytest.approx(row.overall_m - row.loss_m, abs=1e-9)


def test_cumulative_counts_from_the_end_of_each_string() -> None:
    """Tail 138.67 ft, base 3.10, pipe 103.72, union 3.00: 248.49 ft to the bypass leg."""
    rows = {row.id: row for row in tally(*planned_1()).rows}
    found = {
        name: (rows[name].cumulative_m or 0) / FT for name in ("P25", "adjustable union", "pup")
    }
    assert found == pytest.approx({"P25": 138.67, "adjustable union": 248.49, "pup": 108.05})


def test_depths_name_their_datum_and_fall_as_heights_rise() -> None:
    """Y-tool top at 5,600 ft from RKB and z 112.25 ft; the top of B05 at z 32.68 ft."""
    made = tally(*planned_1())
    row = next(row for row in made.rows if row.id == "B05")
    assert made.datum == "RKB"
    assert (row.top_md_m or 0) / FT == pytest.approx(5679.57)
    assert "top MD from RKB [ft]" in tally_csv(made).splitlines()[0]


def test_rejected_pieces_are_kept_struck_with_their_reason() -> None:
    made = with_rejects()
    assert {row.id: row.reason for row in made.struck} == {
        "B04": "rejected: drift stopped 14 ft in",
        "P20": "drift not done: drift lent out",
        "P21": "length not measured: not given",
        "P23": "suspected: thread EU",
    }
    assert [row.id for row in made.left] == ["P22"]
    text = tally_text(made)
    assert "STRUCK, not to be run (4):" in text
    assert "  x B04, overall 31.55: rejected: drift stopped 14 ft in" in text
    assert "Left on the rack, effective (1): P22 1.78" in text


def test_a_struck_piece_is_in_no_sum() -> None:
    assert with_rejects().sums == tally(*planned_1()).sums


def test_a_piece_that_cannot_be_replaced_is_marked() -> None:
    marked = [row.id for row in with_rejects().rows if row.reason]
    assert marked == ["P01"]


@pytest.mark.parametrize("planned", [planned_1, planned_2])
def test_the_printed_tally_fits_a_terminal(planned: Any) -> None:
    lines = tally_text(tally(*planned())).splitlines()
    assert max(len(line) for line in lines) <= 100
    assert all(line == line.rstrip() for line in lines)


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(twin_strings())
def test_the_printed_tally_of_any_string_fits_a_terminal(planned: Planned) -> None:
    lines = tally_text(tally(planned.job, planned.assembly)).split("\n")
    assert max(len(line) for line in lines) <= 100


def test_the_printed_tally_shows_sums_closure_and_owner() -> None:
    made = tally(*planned_1())
    text = tally_text(made)
    assert f"fingerprint {made.fingerprint}" in text
    assert "closure: bypass connection z 1.95 + pipe 103.72 + union 3.00 = 108.67 ft" in text
    assert "DRAFT" not in text
    draft = tally(*planned_1(revision={"number": "2"}))
    assert "DRAFT: not approved" in tally_text(draft)


def test_csv_rows_carry_every_figure_bare() -> None:
    row = next(r for r in rows_of(tally_csv(tally(*planned_1()))) if r["id"] == "P01")
    expected = {
        "no.": "16",
        "state": "to run",
        "lower end": "SF pin",
        "overall [ft]": "20.06",
        "make-up loss [ft]": "0.24",
        "effective [ft]": "19.82",
        "top z [ft]": "64.28",
        "top MD from RKB [ft]": "5647.97",
        "landing": "L3",
        "revision": "1",
    }
    assert {name: row[name] for name in expected} == expected


def test_csv_lets_no_formula_through() -> None:
    made = tally(*planned_1())
    evil = replace(made.rows[0], what="=HYPERLINK(1)", serial="@SUM(1)", id="-1+1")
    row = rows_of(tally_csv(replace(made, rows=(evil,))))[0]
    assert (row["what"], row["serial"], row["id"]) == ("'=HYPERLINK(1)", "'@SUM(1)", "'-1+1")


def test_workbook_holds_numbers_struck_rows_and_no_formula() -> None:
    made = with_rejects()
    evil = replace(made.rows[0], what="=1+1")
    content = tally_workbook(replace(made, rows=(evil, *made.rows[1:])))
    sheet = openpyxl.load_workbook(io.BytesIO(content))["tally"]
    heading = [cell.value for cell in sheet[1]]
    cells = {row[heading.index("id")].value: row for row in sheet.iter_rows(min_row=2)}
    overall = heading.index("overall [ft]")
    assert cells["P01"][overall].value == pytest.approx(20.06)
    assert cells["P01"][overall].number_format == "0.00"
    assert cells["B04"][overall].font.strike
    assert not cells["P01"][overall].font.strike
    assert cells["bell"][heading.index("what")].data_type == "s"


def test_workbook_of_the_same_tally_has_the_same_bytes() -> None:
    one, other = (tally_workbook(tally(*planned_2())) for _ in range(2))
    assert one == other
    assert {info.date_time[0] for info in zipfile.ZipFile(io.BytesIO(one)).infolist()} == {1980}


def test_a_union_that_is_not_set_is_said_so() -> None:
    made = replace(tally(*planned_1()), union_m=None)
    assert "closure: the union is not set yet" in tally_text(made)


def test_an_unused_choice_marks_nothing() -> None:
    job, assembly = planned_2()
    choice = Choice(items=(), seat_m=0, union_m=0, bucket=0, pups=0, deviation_m=0)
    assert not any(row.reason for row in tally(job, assembly, choice).rows)
