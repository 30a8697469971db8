"""Planning a job from its folder to its pack, on the two bundled jobs."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
import shutil
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import openpyxl
import pytest
from tests.actions.folders import in_table, in_toml, job_folder, reject
from tests.actions.wells import PLACE, no_well

from abreast.actions.pack_files import pack_files
from abreast.actions.plan import PlanReport, plan
from abreast.cli import main
from abreast.errors import InputError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import Plan

# Seldom looked at on its way down: the numbers are tested where they are worked out.
quick = partial(plan, every_m=500.0)
EXAMPLES = ("quernstone_14/corrected", "skerrow_a09/corrected")
DRAWINGS = (
    *("spaceout_stretched", "spaceout_true", "well", "well_path", "sections"),
    *("passing", "bent_twin", "setting_depth", "hook_load", "bypass_way"),
)
FILES = {
    "workpack.pdf",
    "plan.json",
    "tally.txt",
    "tally.csv",
    "tally.xlsx",
    "procedure.json",
    "pull_procedure.json",
    "fallbacks.txt",
    *(f"{name}.{ext}" for name in DRAWINGS for ext in ("svg", "pdf", "dxf")),
    "bent_twin_2.svg",
    "findings.csv",
    "findings.json",
    "corrections.csv",
    "index.txt",
}


SHEETS = ("tally.txt", "tally.csv", "fallbacks.txt", "spaceout_true.svg", "index.txt")


@dataclass
class Planned:
    job: Path
    out: Path
    report: PlanReport
    told: list[str]

    def read(self, name: str) -> str:
        return (self.out / name).read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def not_looked_at_in_the_well(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the well does to the string is worked out once, for ``planned``, which comes first."""
    monkeypatch.setattr(PLACE, no_well)


@pytest.fixture(scope="module", params=EXAMPLES)
def planned(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Planned:
    folder = tmp_path_factory.mktemp("planned")
    job = job_folder(folder, request.param)
    told: list[str] = []
    return Planned(job, folder / "pack", quick(job, folder / "pack", progress=told.append), told)


def test_the_pack_holds_what_its_index_says(planned: Planned) -> None:
    assert {path.name for path in planned.out.iterdir()} == FILES
    assert set(planned.report.files) == FILES
    listed = [
        line.split("  ") for line in planned.read("index.txt").splitlines() if line[64:65] == " "
    ]
    assert {name for _, name, *_ in listed} == FILES - {"index.txt"}
    for digest, name, *_ in listed:
        assert hashlib.sha256((planned.out / name).read_bytes()).hexdigest() == digest


def test_the_plan_on_file_reads_back_equal(planned: Planned) -> None:
    on_file = Plan.model_validate_json(planned.read("plan.json"))
    assert on_file == planned.report.plan.model_copy(update={"elapsed_s": 0.0})
    assert on_file.proved
    assert on_file.status == "optimal"


def test_every_sheet_carries_the_fingerprint(planned: Planned) -> None:
    mark = planned.report.plan.fingerprint
    for name in (
        "plan.json",
        "tally.txt",
        "tally.csv",
        "fallbacks.txt",
        *(f"{drawing}.svg" for drawing in DRAWINGS),
        "index.txt",
    ):
        assert mark in planned.read(name), name
    assert mark in planned.report.text()


def test_the_bundled_jobs_are_drafts_and_every_sheet_says_so(planned: Planned) -> None:
    for name in SHEETS:
        assert "DRAFT" in planned.read(name), name
    assert "DRAFT" in planned.report.text()


def test_the_joints_close_on_the_y_tool_by_the_rack_table(planned: Planned) -> None:
    """Overall less loss of each joint, by the user's own table, fills the gap to the union."""
    report = planned.report
    assert report.plan.choice is not None
    assert report.plan.assembly is not None
    overall = {item.id: item.overall_m.si for item in report.job.rack}
    loss_m = next(t.make_up_loss_m.si for t in report.job.threads if t.id in ("SF", "FJ"))
    pipe_m = sum(overall[item] - loss_m for item in report.plan.choice.items)
    job, seat_m = report.job, report.plan.choice.seat_m
    bottom_m = (
        -seat_m + job.guide.length_m.si
        if job.guide is not None
        else (job.base.bypass_shoulder_m.si - job.base.seat_plane_m.si - seat_m if job.base else 0)
    )
    esp_m = sum(piece.actual_m.si for piece in job.esp if not piece.spare_of)
    gap_m = esp_m + job.ytool.bypass_leg_above_esp_leg_m.si - bottom_m - pipe_m
    assert report.plan.choice.union_m == pytest.approx(gap_m, abs=1e-9)


def test_findings_are_all_there_tightest_first(planned: Planned) -> None:
    rows = list(csv.DictReader(io.StringIO(planned.read("findings.csv"))))
    data = json.loads(planned.read("findings.json"))
    assert [row["id"] for row in rows] == [one["id"] for one in data]
    assert len(rows) == len(planned.report.plan.findings) > 50
    rank = ["exceeds", "near limit", "not checked", "ok"]
    ranks = [rank.index(row["status"]) for row in rows]
    assert ranks == sorted(ranks)
    assert planned.report.not_checked == ranks.count(2)


def test_workbook_and_drawing_open(planned: Planned) -> None:
    book = openpyxl.load_workbook(planned.out / "tally.xlsx")
    assert book.sheetnames == ["tally", "sums"]
    drawing = ET.fromstring(planned.read("spaceout_stretched.svg"))
    parts = {node.get("data-part") for node in drawing.iter()}
    assert planned.report.plan.choice is not None
    assert set(planned.report.plan.choice.items) <= parts


def test_the_summary_fits_one_screen_and_names_the_joints(planned: Planned) -> None:
    lines = planned.report.text().splitlines()
    assert len(lines) <= 46
    assert max(map(len, lines)) <= 100
    assert not [one for one in lines if "…" in one and not one.startswith("  … and ")]
    assert planned.report.plan.choice is not None
    shown = " ".join(line for line in lines if line.startswith("  L"))
    assert all(f"{item} " in shown for item in planned.report.plan.choice.items)


def test_the_same_plan_gives_the_same_bytes(planned: Planned) -> None:
    """Made anew from a plan that took another time and was read back from its file."""
    report = planned.report
    again = Plan.model_validate_json(planned.read("plan.json"))
    slower = again.model_copy(update={"elapsed_s": 99.0})
    files = pack_files(read_job(planned.job).require_job(), slower, report.dropped, report.well)
    assert files == {name: (planned.out / name).read_bytes() for name in FILES}


def test_data_and_exit_status_agree_with_the_findings(planned: Planned) -> None:
    report = planned.report
    data = report.as_dict()
    json.dumps(data, allow_nan=False)
    exceeds = any(one.status == "exceeds" for one in report.plan.findings)
    assert (report.exit_status, data["exit_status"]) == (int(exceeds), int(exceeds))
    assert data["status"] == "optimal"
    assert data["not_checked"] == report.not_checked


def test_the_command_prints_the_summary_and_strict_counts_what_is_open(
    planned: Planned, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["plan", str(planned.job), "-o", str(tmp_path / "pack"), "--every", "500 m"]
    assert planned.report.not_checked > 0
    assert main([*words, "--strict"]) == 1
    assert "SPACE-OUT FOUND. Proved: no plan has fewer than" in capsys.readouterr().out
    assert main([*words, "--json"]) == planned.report.exit_status
    assert json.loads(capsys.readouterr().out)["fingerprint"] == planned.report.plan.fingerprint


def test_a_limit_exceeded_gives_status_1(tmp_path: Path) -> None:
    """A false rotary rated far below the load that stands on it."""
    job = job_folder(tmp_path)
    in_table(job, "holders", "LC-P2", rating="3000")
    report = quick(job, tmp_path / "pack")
    assert report.plan.status == "optimal"
    assert report.exit_status == 1
    assert "EXCEED A LIMIT" in report.text()
    assert "  EXCEEDS " in report.text()


def test_a_rejected_piece_is_planned_around_with_the_well_as_it_is(tmp_path: Path) -> None:
    """After L2, P02 galls: what is run stays, the seat stays, P02 is struck with its reason."""
    job = job_folder(tmp_path)
    first = quick(job, tmp_path / "pack").plan.choice
    assert first is not None
    run = first.items[:2]
    lost = first.items[2]
    reject(job, lost)
    in_toml(
        job, 'seat_locked = "not measured: set on location"', f'seat_locked = "{first.seat_m} m"'
    )
    with (job / "job.toml").open("a", encoding="utf-8") as file:
        file.write(f'\n[in_well]\npieces = "{"; ".join(run)}"\nlandings_passed = "2"\n')
    report = quick(job, tmp_path / "pack")
    second = report.plan.choice
    assert second is not None
    assert second.items[:2] == run
    assert lost not in second.items
    assert second.seat_m == pytest.approx(first.seat_m)
    tally = (tmp_path / "pack" / "tally.csv").read_text(encoding="utf-8")
    states = {row["id"]: row["state"] for row in csv.DictReader(io.StringIO(tally))}
    assert [states[name] for name in (*run, "motor", "base support")] == ["run"] * 4
    assert (states[second.items[2]], states["pump-1"]) == ("to run", "to run")
    assert states[lost] == "struck"
    assert "landing passed" in report.text()
    assert report.plan.fingerprint not in (tmp_path / "job" / "job.toml").read_text()


def test_nothing_closes_says_what_is_in_the_way(tmp_path: Path) -> None:
    """Five of the six joints of the closure B05 | P07 | P01 | P04 | P08+P10 and no other pipe:
    the sixth adds 9.77 ft, so a pup about as long is what helps."""
    job = job_folder(tmp_path)
    spare = [*(f"B0{n}" for n in (1, 2, 3, 6, 7, 8)), *(f"P{n:02}" for n in range(9, 23))]
    reject(job, *spare, "P02", "P03", "P05", "P06")
    report = quick(job, tmp_path / "pack")
    assert report.plan.status == "infeasible"
    assert report.exit_status == 1
    assert report.plan.choice is None
    text = report.text()
    assert "NO SPACE-OUT." in text
    assert "In the way:" in text
    assert "What would help" in text
    (low, high) = re.findall(r"one more pup of ([0-9.]+) ft to ([0-9.]+) ft effective", text)[0]
    assert float(low) <= 9.77 <= float(high)
    sheet = (tmp_path / "pack" / "fallbacks.txt").read_text(encoding="utf-8")
    assert "pin galled: B01, B02" in sheet
    lines = text.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 100
    assert not (tmp_path / "pack" / "tally.txt").exists()
    assert "NO SPACE-OUT" in (tmp_path / "pack" / "index.txt").read_text()


def test_a_suspicion_about_the_whole_job_blocks_the_plan(tmp_path: Path) -> None:
    """The ESP table said to run from top to bottom, while its guide stands first."""
    job = job_folder(tmp_path)
    in_toml(job, 'esp = "bottom to top"', 'esp = "top to bottom"')
    report = quick(job, tmp_path / "pack")
    assert report.plan.status == "blocked"
    assert report.exit_status == 1
    assert "NOT PLANNED." in report.text()
    assert "order.esp" in report.text()
    assert "open suspicions" in (tmp_path / "pack" / "index.txt").read_text()


def test_an_unreadable_job_writes_nothing(tmp_path: Path) -> None:
    job = job_folder(tmp_path, "skerrow_a09/as_received")
    with pytest.raises(InputError, match="'Q12' stands twice"):
        quick(job, tmp_path / "pack")
    assert not (tmp_path / "pack").exists()


def test_a_missing_length_is_named(tmp_path: Path) -> None:
    job = job_folder(tmp_path)
    in_table(job, "esp", "pump-2", length="not measured: crate not opened")
    with pytest.raises(InputError, match=r"no space-out without length of ESP piece pump-2"):
        quick(job, tmp_path / "pack")
    assert not (tmp_path / "pack").exists()


def test_the_target_is_refused_before_anything_is_searched(tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    (tmp_path / "pack" / "diary.txt").write_text("x")
    told: list[str] = []
    with pytest.raises(InputError, match="no work pack"):
        quick(job_folder(tmp_path), tmp_path / "pack", progress=told.append)
    assert told == []


def test_progress_is_told(planned: Planned) -> None:
    assert planned.told[0] == "reading the job"
    assert planned.told[-1] == "writing the pack"
    assert "checking" in planned.told


def test_a_workbook_plans_like_its_folder(tmp_path: Path) -> None:
    job = job_folder(tmp_path)
    assert main(["convert", str(job), str(tmp_path / "job.xlsx")]) == 0
    from_book = quick(tmp_path / "job.xlsx", tmp_path / "book").plan
    shutil.rmtree(tmp_path / "book")
    from_folder = quick(job, tmp_path / "book").plan
    assert from_book.choice == from_folder.choice
    assert from_book.fingerprint == from_folder.fingerprint


def test_drawings_come_on_the_paper_asked_for(tmp_path: Path) -> None:
    """Width of the sheets in mm, ISO 216; the rest of the pack stays A4."""
    for paper, wide in (("A4", "210"), ("A3", "297")):
        quick(example_path("quernstone_14"), tmp_path / paper, paper=paper)  # type: ignore[arg-type]
        for name in ("spaceout_stretched", "spaceout_true", "well", "sections"):
            head = (tmp_path / paper / f"{name}.svg").read_text()[:400]
            assert f'width="{wide}mm"' in head, name
