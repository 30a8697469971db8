"""Wells and strings that cannot be as they are typed: a sentence with its place, or no verdict."""

from __future__ import annotations

import csv
import io
import re
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.actions.folders import in_toml, job_folder
from tests.checks.twins import choice_1, choice_2

from abreast.actions.plan import plan
from abreast.checks import run_checks
from abreast.jobfile import read_job
from abreast.mechanics.down_hole import Missing, down_hole
from abreast.model import Finding
from abreast.spaceout.assemble import assemble

Edit = Callable[[Path], None]
JOB_1, JOB_2 = "quernstone_14/corrected", "skerrow_a09/corrected"
LINER = "7 in 29 lb/ft L80 tie-back and liner"
BORE = "tie-back polished bore"
UNKNOWN = "not measured: unknown"
EVERY_M = 600.0


def rows_of(folder: Path, table: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO((folder / f"{table}.csv").read_text(encoding="utf-8"))))


def put(folder: Path, table: str, rows: list[list[str]]) -> None:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(rows)
    (folder / f"{table}.csv").write_text(out.getvalue(), encoding="utf-8")


def cell(table: str, first: str, **cells: str) -> Edit:
    """Change cells of the rows whose first cell is ``first``; of all when that is blank."""

    def edit(folder: Path) -> None:
        rows = rows_of(folder, table)
        names = [heading.split(" [")[0] for heading in rows[0]]
        chosen = [row for row in rows[1:] if first in ("", row[0])]
        assert chosen
        for row in chosen:
            for name, text in cells.items():
                row[names.index(name)] = text
        put(folder, table, rows)

    return edit


def key(name: str, value: str) -> Edit:
    """Change a key of ``job.toml`` that stands there once."""

    def edit(folder: Path) -> None:
        text = (folder / "job.toml").read_text(encoding="utf-8")
        (line,) = re.findall(rf"^{name} = .*$", text, re.M)
        in_toml(folder, line, f'{name} = "{value}"')

    return edit


def survey(*stations: tuple[float | str, ...]) -> Edit:
    def edit(folder: Path) -> None:
        heading = ["md [m]", "inclination [deg]", "azimuth [deg]"]
        put(folder, "survey", [heading, *([str(one) for one in row] for row in stations)])

    return edit


def heading_only(table: str) -> Edit:
    return lambda folder: put(folder, table, rows_of(folder, table)[:1])


def typed(old: str, new: str) -> Edit:
    return lambda folder: in_toml(folder, old, new)


def both(*edits: Edit) -> Edit:
    def edit(folder: Path) -> None:
        for one in edits:
            one(folder)

    return edit


REFUSED = {
    "station twice": (survey((0, 0, 0), (900, 5, 60), (900, 5, 60)), "survey.csv, row 4, md"),
    "no azimuth": (survey((0, 0, 0), (900, 5, "")), "survey.csv, row 3, azimuth"),
    "no casing": (heading_only("casing"), "casing.csv: has no rows"),
    "casing of no length": (cell("casing", LINER, top_md="2720"), "casing.csv, row 3, shoe_md"),
    "opening of no length": (cell("openings", BORE, length="0"), "openings.csv, row 3, length"),
    "opening upside down": (cell("openings", BORE, length="-3"), "openings.csv, row 3, length"),
    "no depth": (key("ytool_top_md", ""), "setting.ytool_top_md"),
    "soft as nothing": (cell("esp", "motor", ei="0"), "esp.csv, row 4, ei"),
    "EI in another unit": (cell("esp", "motor", ei="180000000"), "esp.csv, row 4, ei"),
    "soft as wool": (typed('ei = "80 kN*m2"', 'ei = "1 N*m2"'), "union.ei"),
    "joint of no length": (cell("upper", "U5", joint="0"), "upper.csv, row 6, joint"),
    "clamp far off": (cell("clamps", "C2", centre="500"), "clamps.csv, row 3, centre"),
    "clamp on the wrong side": (cell("clamps", "C2", centre="-31"), "clamps.csv, row 3, centre"),
    "strings far apart": (key("axis_spacing", "2 m"), "ytool.centre"),
    "friction of glue": (key("cased", "1.5"), "friction.cased"),
    "friction that pushes": (key("cased", "-0.2"), "friction.cased"),
}


@pytest.mark.parametrize(("edit", "place"), REFUSED.values(), ids=REFUSED.keys())
def test_it_is_refused_with_its_place(tmp_path: Path, edit: Edit, place: str) -> None:
    folder = job_folder(tmp_path, JOB_2)
    edit(folder)
    result = read_job(folder)
    told = [f"{one.where}: {one.message}" for one in result.issues if one.severity == "error"]
    assert result.job is None
    assert any(place in one for one in told), told


def accept_survey(folder: Path) -> None:
    """Accept as it stands what looks wrong in the survey, as its owner may."""
    rows, told = rows_of(folder, "survey"), rows_of(folder, "corrections")
    for one in read_job(folder).suspicions:
        if one.where.file == "survey.csv":
            row = one.where.row or 1
            text = rows[row - 1][[head.split(" [")[0] for head in rows[0]].index("md")]
            who = ["A. Pell", "2025-03-06", "all there is"]
            told.append(["survey.csv", str(row), "md", text, text, *who])
    put(folder, "corrections", told)


def findings(folder: Path, name: str = JOB_2) -> tuple[dict[str, Finding], object]:
    """All findings, and the run, or what it needs; a warning is a fault."""
    accept_survey(folder)
    job = read_job(folder).require_job()
    choice = choice_1() if name == JOB_1 else choice_2()
    assembly = assemble(job, choice)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        well = down_hole(job, assembly, step_m=EVERY_M)
        found = run_checks(job, assembly, choice, well)
    return {one.id: one for one in found}, well.running


OPEN = {
    "one station": (survey((0, 0, 0)), "two stations or more"),
    "survey too short": (
        survey((0, 0, 0), (1500, 5, 60)),
        "a survey down to 2180.4 m; it ends at 1500.0 m",
    ),
    "survey ends beside it": (
        survey((0, 0, 0), (2160, 5, 60)),
        "a survey down to 2180.4 m; it ends at 2160.0 m",
    ),
    "casing too short": (cell("casing", LINER, shoe_md="2160"), "casing down to the lower end"),
    "gap in the casing": (
        both(
            cell("casing", LINER, top_md="1300"),
            cell("casing", "9-5/8 in 47 lb/ft", shoe_md="1200"),
        ),
        "there is no bore at",
    ),
    "depth above the hole": (key("ytool_top_md", "-20 m"), "a planned depth at which"),
    "depth below the hole": (
        key("ytool_top_md", "2900 m"),
        "a survey down to 2930.4 m; it ends at 2720.0 m",
    ),
    "clamp somewhere": (cell("clamps", "", centre=UNKNOWN), "centre of twin clamp C1"),
    "clamp that may rattle": (cell("clamps", "", play=UNKNOWN), "play of twin clamp C1"),
    "fluid level": (key("fluid_level_md", UNKNOWN), "fluid level md"),
    "no completion": (heading_only("upper"), "m above the Y-tool"),
    "strings in each other": (key("axis_spacing", "61 mm"), "overlap by"),
}


@pytest.mark.parametrize(("edit", "needs"), OPEN.values(), ids=OPEN.keys())
def test_what_is_missing_leaves_the_way_down_open(tmp_path: Path, edit: Edit, needs: str) -> None:
    folder = job_folder(tmp_path, JOB_2)
    edit(folder)
    found, running = findings(folder)
    assert isinstance(running, Missing)
    assert needs in running.needs
    way_down = [one for name, one in found.items() if name.startswith("passage")]
    assert way_down
    assert {one.status for one in way_down} == {"not checked"}


def odd_holes() -> Iterator[tuple[str, Edit]]:
    yield "vertical", survey((0, 0, "n/a: vertical"), (1000, 0, UNKNOWN), (2720, 0, 359))
    yield "two stations", survey((0, 0, 0), (2720, 40, 60))
    wrap = [(100 * k, min(2 * k, 30), 359 if k % 2 else 1) for k in range(1, 28)]
    yield "about north", survey((0, 0, 0), *wrap, (2720, 30, 1))


@pytest.mark.parametrize("edit", dict(odd_holes()).values(), ids=dict(odd_holes()).keys())
def test_an_odd_hole_is_passed_at_every_roll(tmp_path: Path, edit: Edit) -> None:
    folder = job_folder(tmp_path, JOB_2)
    edit(folder)
    found, running = findings(folder)
    assert not isinstance(running, Missing), running
    assert found["passage:lowering"].status == "ok"
    assert found["hook-load:picking up"].status in ("ok", "near limit")


def test_a_hole_that_climbs_is_planned_with_no_verdict_on_the_way(tmp_path: Path) -> None:
    """From 1,000 m the hole lies flat, then climbs: the string must be pushed, and only leans."""
    folder = job_folder(tmp_path, JOB_2)
    build = [(400 + 30 * k, 4 * k, 60) for k in range(1, 26)]
    straight = [(100 * k, 0, 60) for k in range(1, 5)]
    up = [(1150 + 100 * k, 100, 60) for k in range(1, 16)]
    survey((0, 0, 0), *straight, *build, *up, (2720, 100, 60))(folder)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        done = plan(folder, tmp_path / "pack", every_m=EVERY_M)
    found = {one.id: one for one in done.plan.findings}
    assert found["passage:lowering"].status != "ok"
    assert "more than 1000 %" in found["passage-drag:lowering"].text
    assert found["setting-depth:contact model"].status != "ok"
    assert found["hook-load:slacking off"].status == "exceeds"
    assert done.exit_status == 1


def test_a_completion_that_ends_below_its_hanger_gives_no_hook_load(tmp_path: Path) -> None:
    folder = job_folder(tmp_path, JOB_2)
    put(folder, "upper", [row for row in rows_of(folder, "upper") if row[0] != "U5"])
    found, running = findings(folder)
    assert not isinstance(running, Missing)
    loads = [one for name, one in found.items() if name.startswith("hook-load")]
    assert {one.status for one in loads} == {"not checked"}
    assert "the rest of the completion in upper.csv" in loads[0].needs[0]
