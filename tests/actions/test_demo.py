"""The demonstration runs from an empty folder, and again over itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.actions.folders import reject
from tests.actions.wells import PLACE, no_well

from abreast.actions.demo import demo
from abreast.cli import main
from abreast.errors import InputError


@pytest.fixture(autouse=True)
def _no_well(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(PLACE, no_well)


def test_demo_writes_job_and_pack(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "-o", str(tmp_path / "out")]) == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["job", "pack"]
    assert (tmp_path / "out" / "pack" / "spaceout_stretched.svg").is_file()
    shown = capsys.readouterr()
    assert "SPACE-OUT FOUND" in shown.out
    assert shown.err == ""


def test_a_changed_demo_job_is_planned_as_it_stands(tmp_path: Path) -> None:
    first = demo(tmp_path).plan.choice
    assert first is not None
    reject(tmp_path / "job", first.items[0])
    second = demo(tmp_path).plan.choice
    assert second is not None
    assert first.items[0] not in second.items


def test_demo_takes_no_folder_of_others(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "thesis.txt").write_text("x")
    with pytest.raises(InputError, match="holds files already"):
        demo(tmp_path)
    (tmp_path / "file").write_text("x")
    with pytest.raises(InputError, match="is no folder"):
        demo(tmp_path / "file")
    assert (tmp_path / "job" / "thesis.txt").read_text() == "x"
