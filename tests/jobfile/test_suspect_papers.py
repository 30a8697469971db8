"""What a tally says beside its figures is read too: damage, missing papers, serials."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.jobfile.folders import files_1, put, rack_1

from abreast.jobfile import Issue, read_job

PAPERS = ("remark", "no-certificate", "serial-twice")


def found(tmp_path: Path, note: str = "", **blank: str) -> list[Issue]:
    """Read job 1 with papers on every rack row; ``P07`` gets a note and what is given."""
    head, *rows = rack_1().splitlines()
    lines = [f"{head},serial,certificate,note"]
    for number, row in enumerate(rows):
        special = row.startswith("P07,")
        serial, paper = f"S-{number}", f"C-{number}"
        if special:
            serial, paper = blank.get("serial", serial), blank.get("certificate", paper)
        lines.append(f"{row},{serial},{paper},{note if special else ''}")
    files = files_1() | {"rack.csv": "\n".join(lines) + "\n"}
    result = read_job(put(tmp_path / "job", files))
    return [issue for issue in result.issues if issue.code in PAPERS]


def test_a_rack_with_all_its_papers_is_not_asked_about(tmp_path: Path) -> None:
    assert found(tmp_path) == []


@pytest.mark.parametrize(
    "note", ["pin nose dented", "Bent 2 m in", "REJECT", "thread galled", "laid aside by crew"]
)
def test_a_usable_piece_whose_note_tells_of_damage(tmp_path: Path, note: str) -> None:
    (issue,) = found(tmp_path, note)
    assert (issue.where.field, issue.where.piece, issue.where.row) == ("status", "P07", 22 + 1)
    assert note in issue.message
    assert issue.severity == "suspicion"


@pytest.mark.parametrize("note", ["no damage", "not bent", "painted green", "spare"])
def test_harmless_notes_pass(tmp_path: Path, note: str) -> None:
    assert found(tmp_path, note) == []


def test_one_certificate_missing_among_many(tmp_path: Path) -> None:
    (issue,) = found(tmp_path, certificate="")
    assert (issue.where.field, issue.where.piece) == ("certificate", "P07")
    assert "38 of 39" in issue.message


def test_a_serial_that_stands_twice(tmp_path: Path) -> None:
    (issue,) = found(tmp_path, serial="S-0")
    assert (issue.where.field, issue.where.piece) == ("serial", "P07")
    assert "B01" in issue.message


def test_a_tally_without_any_certificates_is_no_pattern(tmp_path: Path) -> None:
    files = files_1()
    codes = [issue.code for issue in read_job(put(tmp_path / "job", files)).issues]
    assert not set(codes) & set(PAPERS)
