"""Workbooks that are damaged inside a part are read all the same, or refused in one sentence."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.jobfile.write import workbook_bytes

SHEET = "xl/worksheets/sheet1.xml"
JOB = read_job(example_path("quernstone_14")).require_job()
SOUND = workbook_bytes(JOB)


def repacked(tmp_path: Path, part: str, old: bytes, new: bytes) -> Path:
    """The workbook of a bundled job with a text replaced everywhere in one part."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(SOUND)) as source,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for name in source.namelist():
            content = source.read(name)
            if name == part:
                assert old in content
                content = content.replace(old, new)
            target.writestr(name, content)
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(out.getvalue())
    return path


def test_a_number_format_that_is_not_there_changes_no_value(tmp_path: Path) -> None:
    path = repacked(tmp_path, "xl/styles.xml", b'<numFmt numFmtId="16', b'<numFmt numFmtId="96')
    assert read_job(path).job == JOB


@pytest.mark.parametrize(
    ("part", "old", "new"),
    [
        (SHEET, b'r="A2"', b'r="banana"'),
        (SHEET, b't="s"', b't="d"'),
        (SHEET, b"<v>", b"<v>9999"),
        ("xl/sharedStrings.xml", b"<t>", b"<u>"),
        ("xl/workbook.xml", b'name="job"', b'name=""'),
    ],
)
def test_damage_is_refused_in_one_sentence(
    part: str, old: bytes, new: bytes, tmp_path: Path
) -> None:
    result = read_job(repacked(tmp_path, part, old, new))
    assert result.job is None
    message = str(result.errors[0])
    assert "damaged.xlsx" in message
    assert "\n" not in message
    assert len(message) < 400
