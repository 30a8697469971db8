"""A job folder: read whole, every fault with file, row and field, and written back."""

import os
import re

import pytest
from tests.jobfile.folders import (
    ESP_1,
    JOB_1,
    JOB_2,
    files_1,
    files_2,
    put,
    rack_1,
)
from tests.model.jobs import FT, job_1, job_2

from abreast.errors import InputError
from abreast.jobfile import Issue, read_job, write_folder
from abreast.model import neck_height_m


def read(tmp_path, files, **changes):
    return read_job(put(tmp_path / "job", files | changes))


def only(issues) -> Issue:
    assert len(issues) == 1, [str(one) for one in issues]
    return issues[0]


def test_job_1_is_read_with_its_values_units_and_origins(tmp_path):
    job = read(tmp_path, files_1()).require_job()
    assert len(job.rack) == 40
    assert job.rack[3].status == "rejected"
    assert job.base is not None
    assert job.base.seat_planned_m.si == pytest.approx(0.25 * FT)
    assert str(job.base.retainer_load_n.origin) == "sheet: base support rev 2"
    assert str(job.base.mass_kg.origin) == "invented"
    assert job.pipe.ei_nm2.reason == "no sheet"
    assert job.fluids.annulus_kg_m3.si == pytest.approx(1030.5, abs=0.1)
    assert job.lifts[0].pieces == ("P08", "P10")
    assert job.esp[4].workshop_joint_above
    # neck of the motor: 30.77 ft above the base lower shoulder, seat planned at 0.25 ft
    assert neck_height_m(job, "motor") == pytest.approx((30.77 - 1.15) * FT, abs=0.002)


def test_a_table_typed_top_to_bottom_is_turned_and_keeps_its_rows(tmp_path):
    result = read(tmp_path, files_2("Q12b"))
    job = result.require_job()
    assert [piece.id for piece in job.esp][:3] == ["base", "gauge", "motor"]
    write_folder(job, tmp_path / "again")
    text = (tmp_path / "again" / "esp.csv").read_text()
    assert [line.split(",")[0] for line in text.splitlines()][1:3] == ["pup", "head"]
    bad = files_2("Q12b")["esp.csv"].replace("9.84,91.4", "9.84x,91.4")
    issue = only(read(tmp_path, files_2("Q12b"), **{"esp.csv": bad}).errors)
    assert (issue.where.row, issue.where.field, issue.where.piece) == (8, "length", "motor")


def test_read_write_read_is_equal_and_write_read_write_is_byte_stable(tmp_path):
    for name, files in (("1", files_1()), ("2", files_2("Q12b"))):
        first = read_job(put(tmp_path / f"a{name}", files)).require_job()
        write_folder(first, tmp_path / f"b{name}")
        second = read_job(tmp_path / f"b{name}").require_job()
        assert second == first
        write_folder(second, tmp_path / f"c{name}")
        for file in (tmp_path / f"b{name}").iterdir():
            assert file.read_bytes() == (tmp_path / f"c{name}" / file.name).read_bytes()


def test_what_was_typed_is_written_as_typed(tmp_path):
    rack = rack_1().replace("31,31.42,", "31,31 ft 5 in @ measured: A. Pell,")
    job = read(tmp_path, files_1(), **{"rack.csv": rack}).require_job()
    write_folder(job, tmp_path / "again")
    text = (tmp_path / "again" / "rack.csv").read_text()
    assert "B01,joint,SF pin,SF box,31,31 ft 5 in @ measured: A. Pell,204," in text
    assert "P20,pup,SF pin,SF box,3,3.00,22," in text
    toml = (tmp_path / "again" / "job.toml").read_text()
    assert 'seat_step = "1/2 in"' in toml
    assert 'retainer_load = "15,000 lbf @ sheet: base support rev 2"' in toml


def test_lengths_not_plainly_in_their_unit_are_echoed(tmp_path):
    rack = rack_1().replace("31,31.42,", "31,31 ft 5 in,")
    echoes = [str(one) for one in read(tmp_path, files_1(), **{"rack.csv": rack}).echoes]
    assert "rack.csv, row 2, overall, B01: '31 ft 5 in' read as 31 ft 5 in = 31.417 ft" in echoes


FAULTS = {
    "blank": ("rack.csv", "31,31.42,", "31,,", 2, "overall", "is blank; fill in"),
    "unknown unit": ("rack.csv", "overall [ft]", "overall [yd]", 1, "overall [yd]", "not a unit"),
    "wrong unit": ("rack.csv", "overall [ft]", "overall [lb]", 1, "overall [lb]", "lb"),
    "unknown column": ("rack.csv", "nominal [ft]", "nominel [ft]", 1, "nominel [ft]",
                       "did you mean 'nominal'"),
    "no unit": ("rack.csv", "overall [ft]", "overall", 2, "overall", "has no unit"),
    "twice": ("rack.csv", "mass [lb]", "nominal [ft]", 1, "nominal [ft]", "stands twice"),
    "choice": ("rack.csv", "B01,joint", "B01,joynt", 2, "kind", "did you mean 'joint'"),
    "loose cell": ("rack.csv", "usable,,bypass\nB02", "usable,,bypass,x\nB02", 2, "",
                   "outside the columns"),
    "stopped": ("rack.csv", "14,rejected", "14,usable", 5, "", "set rejected or laid aside"),
    "blank row": ("casing.csv", "9-5/8", "\n9-5/8", 3, "", "delete the row"),
    "reference": ("landings.csv", "L1,motor", "L1,moter", 2, "piece", "did you mean 'motor'"),
    "key": ("job.toml", "seat_plane =", "seat_plan =", 27, "base.seat_plan",
            "did you mean 'seat_plane'"),
    "section": ("job.toml", "[ytool]", "[ytol]", 48, "ytol", "did you mean 'ytool'"),
    "number": ("job.toml", '"8.44 in"', "8.44", 32, "base.max_od", "has no unit"),
    "list": ("job.toml", '"8.44 in"', '["8.44 in"]', None, "base.max_od", "write one value"),
    "toml": ("job.toml", '"8.44 in"', "8.44 in", 32, "", "put texts in quotation marks"),
    "format": ("job.toml", "format = 1", "format = 2", 1, "format", "reads format = 1"),
    "no format": ("job.toml", "format = 1\n", "", None, "format", "write format = 1"),
    "datum": ("job.toml", '"workover RKB"\nheights', '"KB"\nheights', 7, "depth_datum",
              "needs a named zero"),
    "zero": ("job.toml", '"base lower shoulder"', '"rig floor"', 8, "heights_from", "none of esp"),
    "quote": ("esp.csv", '"2.75 in', '2.75" in', 2, "", "loose|CSV|outside"),
}  # fmt: skip


@pytest.mark.parametrize("case", FAULTS.values(), ids=FAULTS.keys())
def test_a_fault_is_told_with_file_row_field_and_what_to_do(tmp_path, case):
    file, was, now, row, field, said = case
    files = files_1()
    assert was in files[file]
    result = read(tmp_path, files, **{file: files[file].replace(was, now, 1)})
    assert result.job is None
    found = [one for one in result.errors if one.where.row == row and one.where.field == field]
    assert found, [str(one) for one in result.errors]
    assert any(one.where.file == file for one in found)
    assert any(re.search(said, str(one)) for one in found), [str(one) for one in found]


def test_all_faults_are_told_at_once(tmp_path):
    rack = rack_1().replace("31,31.42,", "31,,").replace("31,31.36,", "31,ok,")
    toml = JOB_1.replace('"8.45 in"', '"8,45 in"').replace('"78 lb"', '""')
    result = read(tmp_path, files_1(), **{"rack.csv": rack, "job.toml": toml})
    places = {(one.where.file, one.where.row, one.where.field) for one in result.errors}
    assert places == {
        ("rack.csv", 2, "overall"),
        ("rack.csv", 3, "overall"),
        ("job.toml", 51, "ytool.max_od"),
        ("job.toml", 43, "union.mass"),
    }
    with pytest.raises(InputError, match=r"\(3 more\)"):
        result.require_job()


def test_a_reference_to_a_row_that_could_not_be_read_is_no_second_fault(tmp_path):
    esp = ESP_1.replace("27.42", '"27,42"')
    issue = only(read(tmp_path, files_1(), **{"esp.csv": esp}).errors)
    assert (issue.where.field, issue.where.piece) == ("length", "motor")


def test_missing_tables_and_sections_are_named(tmp_path):
    files = files_1()
    del files["threads.csv"]
    files["job.toml"] = JOB_1.replace('[window]\nlow = "2.0 ft"\nhigh = "5.5 ft"\n', "")
    files["datums.csv"] = "id,elevation [ft]\n"
    texts = [str(one) for one in read(tmp_path, files).errors]
    assert any("no table threads.csv" in text for text in texts)
    assert any("no section [window]; it needs low, high" in text for text in texts)
    assert any(text.startswith("datums.csv: has no rows") for text in texts)


def test_an_unknown_csv_is_told_and_other_files_are_left_alone(tmp_path):
    folder = put(tmp_path / "job", files_1() | {"raks.csv": "a\n", "notes.txt": "hello"})
    issue = only(read_job(folder).errors)
    assert "did you mean 'rack.csv'" in str(issue)
    (folder / "raks.csv").unlink()
    write_folder(read_job(folder).require_job(), folder)
    assert (folder / "notes.txt").read_text() == "hello"


def test_a_table_without_rows_leaves_no_file(tmp_path):
    folder = put(tmp_path / "job", files_1())
    job = read_job(folder).require_job()
    write_folder(job.model_copy(update={"lifts": ()}), folder)
    assert not (folder / "lifts.csv").exists()
    assert read_job(folder).require_job().lifts == ()


def test_cells_that_a_spreadsheet_would_run_are_written_harmless_and_read_back(tmp_path):
    texts = ["=1+1", "+44 20", "-x", "@home", "'quoted", "''twice", "'=1", "plain"]
    job = job_1()
    rack = [
        item.model_copy(update={"note": note}) for item, note in zip(job.rack, texts, strict=False)
    ]
    job = job_1(rack=[row.model_dump() for row in [*rack, *job.rack[len(rack) :]]])
    write_folder(job, tmp_path / "job")
    text = (tmp_path / "job" / "rack.csv").read_text()
    for line in text.splitlines():
        for cell in line.split(","):
            assert cell[:1] not in ("=", "+", "@")
            assert not cell.startswith("-") or cell[1:].replace(".", "").isdigit()
    again = read_job(tmp_path / "job").require_job()
    assert [item.note for item in again.rack[: len(texts)]] == texts


def test_the_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path):
    folder = put(tmp_path / "job", files_1())
    plain = read_job(folder).require_job()
    for name, text in files_1().items():
        (folder / name).write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read_job(folder).require_job() == plain
    assert read_job(folder / "job.toml").require_job() == plain


def test_writing_is_all_or_nothing(tmp_path, monkeypatch):
    folder = put(tmp_path / "job", files_1())
    job = read_job(folder).require_job()
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="No space left"):
        write_folder(job, folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_heights_counted_from_the_base_are_converted_once_and_written_back(tmp_path):
    clamps = "id,height [ft],length [ft],max_od [in],mass [lb]\nC1,30.77,0.70,8.42,46\n"
    job = read(tmp_path, files_1(), **{"clamps.csv": clamps}).require_job()
    assert job.clamps[0].height_m.si == pytest.approx(29.62 * FT)
    write_folder(job, tmp_path / "again")
    assert "C1,30.77,0.70" in (tmp_path / "again" / "clamps.csv").read_text()
    assert read_job(tmp_path / "again").require_job() == job
    top_hung = JOB_2.replace(
        "default_origin", 'heights_from = "base lower shoulder"\ndefault_origin'
    )
    result = read_job(put(tmp_path / "hung", files_2("Q12b") | {"job.toml": top_hung}))
    assert "need a base support" in str(only(result.errors))


def test_jobs_made_by_programs_travel_as_well(tmp_path):
    for name, job in (("1", job_1()), ("2", job_2())):
        write_folder(job, tmp_path / name)
        assert read_job(tmp_path / name).require_job() == job
