"""The bundled jobs as received give exactly the traps put into them; corrected, none."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from abreast.errors import InputError
from abreast.examples import example_path, names
from abreast.jobfile import read_job, write_folder, write_workbook
from abreast.jobfile.layout import columns_of, sections, tables
from abreast.model import Job, effective_length, rack_item

JOBS = ("quernstone_14", "skerrow_a09")

# What a careful person finds in the tallies, put there on purpose.
EXPECTED = {
    "quernstone_14/as_received": {("suspicion", "thread", "rack.csv", 39, "lower_end", "P23")},
    "skerrow_a09/as_received": {
        ("suspicion", "remark", "rack.csv", 8, "status", "K07"),
        ("suspicion", "unit-swapped", "rack.csv", 38, "overall", "Q27"),
        ("suspicion", "measured-twice", "rack.csv", 38, "overall_2", "Q27"),
        ("suspicion", "mass", "rack.csv", 38, "mass", "Q27"),
        ("error", "contradiction", "rack.csv", 39, "id", "Q12"),
        ("suspicion", "thread", "rack.csv", 40, "lower_end", "Q28"),
        ("suspicion", "no-certificate", "rack.csv", 41, "certificate", "Q29"),
    },
    "quernstone_14/corrected": set(),
    "skerrow_a09/corrected": set(),
}


@pytest.mark.parametrize("name", EXPECTED)
def test_exactly_the_traps_are_found(name: str) -> None:
    found = [
        (i.severity, i.code, i.where.file, i.where.row, i.where.field, i.where.piece)
        for i in read_job(example_path(name)).issues
    ]
    assert len(found) == len(set(found))
    assert set(found) == EXPECTED[name]


@pytest.mark.parametrize("name", JOBS)
def test_without_its_corrections_a_corrected_job_is_as_received(name: str) -> None:
    received = read_job(example_path(f"{name}/as_received"))
    again = read_job(example_path(f"{name}/corrected"), apply_corrections=False)
    assert again.issues == received.issues


@pytest.mark.parametrize("name", JOBS)
def test_corrected_differs_from_as_received_by_the_corrections_alone(name: str) -> None:
    received, corrected = example_path(f"{name}/as_received"), example_path(name)
    files = {path.name: path.read_bytes() for path in received.iterdir()}
    others = {path.name: path.read_bytes() for path in corrected.iterdir()}
    assert others.pop("corrections.csv")
    assert others == files


@pytest.mark.parametrize("name", JOBS)
def test_every_correction_says_who_when_and_why(name: str) -> None:
    text = (example_path(name) / "corrections.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    assert len(rows) == len(read_job(example_path(name)).require_job().corrections)
    for row in rows:
        assert all(row[field] for field in ("file", "row", "field", "who", "when", "why"))
        assert row["was"] != row["now"]


def test_what_the_corrections_do() -> None:
    land = read_job(example_path("quernstone_14")).require_job()
    assert rack_item(land, "P23").usable_for == "tail"
    assert not land.usable(rack_item(land, "B04"))
    sea = read_job(example_path("skerrow_a09")).require_job()
    assert effective_length(sea, rack_item(sea, "Q27")).si == pytest.approx(
        10.04 * 0.3048 - 0.062, abs=1e-9
    )
    assert sea.usable(rack_item(sea, "Q30"))
    for piece in ("K07", "Q28", "Q29"):
        assert not sea.usable(rack_item(sea, piece))


@pytest.mark.parametrize("name", JOBS)
def test_there_and_back_as_folder_and_as_workbook(name: str, tmp_path: Path) -> None:
    job = read_job(example_path(name)).require_job()
    write_folder(job, tmp_path / "folder")
    from_folder = read_job(tmp_path / "folder")
    write_workbook(from_folder.require_job(), tmp_path / "job.xlsx")
    from_workbook = read_job(tmp_path / "job.xlsx")
    assert job == from_folder.job == from_workbook.job
    assert from_folder.issues == from_workbook.issues == ()
    write_folder(from_workbook.require_job(), tmp_path / "again")
    for path in sorted((tmp_path / "folder").iterdir()):
        assert (tmp_path / "again" / path.name).read_bytes() == path.read_bytes()


@pytest.mark.parametrize("name", JOBS)
def test_a_job_nobody_approved_is_a_draft(name: str) -> None:
    assert read_job(example_path(name)).require_job().revision.is_draft


def filled(job: Job) -> set[str]:
    """Every column and key that holds something somewhere in a job."""
    found = set()
    for section in sections():
        part = getattr(job, section.field)
        for column in columns_of(section.row) if part is not None else ():
            found |= {f"{section.name}.{column.name}"} if says(part, column.field) else set()
    for table in tables():
        for row in getattr(job, table.field):
            found |= {f"{table.file} {c.name}" for c in columns_of(table.row) if says(row, c.field)}
    return found


def says(part: object, field: str) -> bool:
    value = getattr(part, field)
    return not getattr(value, "is_blank", value in ("", None, ()))


def test_columns_no_bundled_job_fills_are_the_known_ones() -> None:
    """The longest list of a demonstration must not be 'not checked: needs ...'."""
    jobs = [read_job(example_path(name)).require_job() for name in JOBS]
    all_names = {f"{s.name}.{c.name}" for s in sections() for c in columns_of(s.row)}
    all_names |= {f"{t.file} {c.name}" for t in tables() for c in columns_of(t.row)}
    empty = all_names - filled(jobs[0]) - filled(jobs[1])
    remarks = {one for one in empty if one.endswith(("note", "origin", ".datum", " datum"))}
    assert {one for one in empty - remarks if not one.startswith(("accessories", "lifts"))} == {
        "in_well.pieces",  # nothing is run yet
        "revision.approved",  # nobody has approved an invented job
        "union.usable_low",  # the middle half of the stroke
        "union.usable_high",
        "union.target",
        "esp.csv remeasured",  # measured on location, later
        "landings.csv window_low",  # that of the job
        "landings.csv window_high",
        "landings.csv grip_low",  # no holding clamp in these load paths
        "landings.csv grip_high",
        "clamps.csv height",  # they sit on necks
        "casing.csv special_drift",
        "rack.csv make_up_loss",  # that of the thread, and sizes of the pipe
        "rack.csv body_od",
        "rack.csv bore",
        "rack.csv wall",
        "rack.csv yield",
        "rack.csv side_load",
        "rack.csv moment",
        "rack.csv upset",
        "rack.csv coupling",
        "rack.csv cumulative",
        "rack.csv drift_reason",
        "rack.csv profile",
        "rack.csv no_go",
        "rack.csv torque",
        "rack.csv spare_of",
        "bypass.csv make_up_loss",
        "bypass.csv torque",
        "bypass.csv cumulative",
        "upper.csv cumulative",
    }


def test_no_table_has_two_columns_of_one_name() -> None:
    for table in (*sections(), *tables()):
        columns = [column.name for column in columns_of(table.row)]
        assert len(columns) == len(set(columns)), table.name


def test_names_and_paths() -> None:
    assert names() == tuple(
        f"{job}/{form}" for job in JOBS for form in ("as_received", "corrected")
    )
    assert example_path("quernstone_14") == example_path("quernstone_14/corrected")
    with pytest.raises(InputError, match="did you mean 'skerrow_a09/corrected'"):
        example_path("skerrow_a9")
    with pytest.raises(InputError, match="there is no example"):
        example_path("../../etc")
