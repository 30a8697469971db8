"""Files that are broken or meant to do harm: one clear sentence, soon, in little memory."""

import io
import os
import re
import time
import tracemalloc
import zipfile

import pytest
from tests.jobfile.folders import files_1, put, rack_1
from tests.model.jobs import job_1

from abreast.jobfile import read_job, write_workbook
from abreast.jobfile.folder_in import csv_table
from abreast.jobfile.guard import MOST_BYTES, MOST_ROWS, MOST_STATIONS

SOON_S = 8.0
LITTLE_BYTES = 150_000_000


def refused(path, *, measure=False) -> str:
    """The first error, after making sure that it took little time of the processor.

    Measuring memory makes everything slow, so only what could swell is measured.
    """
    if measure:
        tracemalloc.start()
    started = time.process_time()
    result = read_job(path)
    took_s = time.process_time() - started
    if measure:
        assert tracemalloc.get_traced_memory()[1] < LITTLE_BYTES
        tracemalloc.stop()
    assert result.job is None
    assert took_s < SOON_S
    text = str(result.errors[0])
    assert "Traceback" not in text
    assert "\n" not in text
    return text


@pytest.fixture
def folder(tmp_path):
    return put(tmp_path / "job", files_1())


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    file = tmp_path_factory.mktemp("book") / "sound.xlsx"
    write_workbook(job_1(), file)
    return file.read_bytes()


def repacked(sound, tmp_path, change):
    """The sound workbook with one part replaced or added."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(sound)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        parts = {name: old.read(name) for name in old.namelist()}
        parts |= change(parts)
        for name, content in parts.items():
            new.writestr(name, content)
    file = tmp_path / "bad.xlsx"
    file.write_bytes(out.getvalue())
    return file


def test_nothing_there(tmp_path):
    assert "does not exist" in refused(tmp_path / "none")
    assert "has no job.toml" in refused(tmp_path)
    (tmp_path / "job.pdf").write_bytes(b"%PDF")
    assert "neither a job folder nor a workbook" in refused(tmp_path / "job.pdf")


def test_names_and_folders_that_the_system_refuses(tmp_path, folder, monkeypatch):
    assert "does not exist" in refused(tmp_path / ("x" * 5000))
    assert "does not exist" in refused(tmp_path / "a\0b")

    def no_rights(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(folder), "iterdir", no_rights)
    assert "cannot be read (Permission denied); check name and rights" in refused(folder)


@pytest.mark.parametrize("name", ["job.toml", "rack.csv"])
@pytest.mark.parametrize(
    ("content", "said"),
    [
        pytest.param(b"a\x00b" * 100, "is not text", id="binary"),
        pytest.param("nämä".encode("latin-1"), "not UTF-8", id="latin-1"),
        pytest.param(b"x" * (MOST_BYTES + 10), "is larger than", id="huge"),
    ],
)
def test_files_that_are_no_text_of_a_job(folder, name, content, said):
    (folder / name).write_bytes(content)
    text = refused(folder)
    assert said in text
    assert text.startswith(name)


@pytest.mark.parametrize(
    "content",
    [
        pytest.param("a = " + "[" * 100_000, id="deep list"),
        pytest.param("a = " + "{b=" * 50_000, id="deep table"),
        pytest.param(".".join(["a"] * 100_000) + " = 1", id="long dotted key"),
        pytest.param("[" + ".".join(["a"] * 100_000) + "]\n", id="long section"),
        pytest.param("a = 1" + "0" * 10_000, id="large number"),
        pytest.param("[a]\n" * 50_000, id="section again and again"),
        pytest.param("a = \"" + "x" * 5_000 + "\"", id="long text"),
        pytest.param("\n".join(f"k{n} = 1" for n in range(20_000)), id="many keys"),
        pytest.param("[[base]]\n" * 10_000, id="list of sections"),
        pytest.param("a = \"\\ud800\"", id="half a sign"),
    ],
)  # fmt: skip
def test_toml_built_to_choke_a_reader(folder, content):
    (folder / "job.toml").write_text(content)
    assert "job.toml" in refused(folder)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        pytest.param("id,kind\n" + "a,b\n" * (MOST_ROWS + 5), "rows", id="many rows"),
        pytest.param("a," * 5_000 + "\n", "columns", id="many columns"),
        pytest.param("id\n" + "x" * 200_000 + "\n", "CSV|characters", id="large cell"),
        pytest.param("id,kind\n\"" + "x\n" * 50_000, "CSV|characters", id="open quotation mark"),
        pytest.param("id;kind;overall\nB01;joint;31.42\n", "not parted by commas", id="semicolons"),
        pytest.param("id\tkind\nB01\tjoint\n", "not parted by commas", id="tabs"),
        pytest.param("", "no heading", id="empty"),
        pytest.param(",,,\n", "no heading", id="blank heading"),
        pytest.param("id,kind\na,\x1fb\n", "", id="control sign"),
    ],
)  # fmt: skip
def test_csv_built_to_choke_a_reader(folder, content, said):
    (folder / "rack.csv").write_text(content)
    text = refused(folder)
    assert "rack.csv" in text
    assert re.search(said, text), text


def test_a_survey_may_be_longer_than_other_tables(folder):
    heading = "md [m],inclination [deg],azimuth [deg]\n"
    many = "".join(f"{n},0,0\n" for n in range(MOST_ROWS + 5))
    assert len(csv_table("survey", "survey.csv", heading + many).rows) == MOST_ROWS + 5
    (folder / "survey.csv").write_text(heading + "1,0,0\n" * (MOST_STATIONS + 1))
    assert f"survey.csv: has more than {MOST_STATIONS} rows" in refused(folder)


def test_number_texts_built_to_choke_a_parser(folder):
    for text in ("9" * 1_900, "1e999999999", "9**9**9", "1" + " 000" * 400, "((((" * 400):
        (folder / "rack.csv").write_text(rack_1().replace("31.42", text))
        assert "rack.csv, row 2, overall, B01" in refused(folder)


def test_links_that_leave_the_folder_or_lead_nowhere(folder, tmp_path):
    secret = tmp_path / "secret.csv"
    secret.write_text("id,kind\nsecret,joint\n")
    rack = folder / "rack.csv"
    rack.unlink()
    rack.symlink_to(secret)
    text = refused(folder)
    assert "rack.csv: leads out of the job folder" in text
    assert "secret" not in text
    rack.unlink()
    rack.symlink_to(folder / "rack.csv")
    assert "rack.csv: leads nowhere" in refused(folder)
    rack.unlink()
    (folder / "inner.txt").write_text(rack_1())
    rack.symlink_to("inner.txt")
    assert read_job(folder).job is not None


def test_what_is_no_ordinary_file(folder, tmp_path):
    (folder / "rack.csv").unlink()
    os.mkfifo(folder / "rack.csv")
    assert "is not an ordinary file" in refused(folder)
    (folder / "rack.csv").unlink()
    (folder / "rack.csv").mkdir()
    assert "is not an ordinary file" in refused(folder)
    os.mkfifo(tmp_path / "job.xlsx")
    assert "is not an ordinary file" in refused(tmp_path / "job.xlsx")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        pytest.param(b"", "damaged or no workbook", id="empty"),
        pytest.param(b"PK\x03\x04 rubbish", "damaged or no workbook", id="rubbish"),
        pytest.param(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 99, "password", id="old or locked"),
        pytest.param(b"id,kind\n", "damaged or no workbook", id="text"),
        pytest.param(b"\0" * (MOST_BYTES + 1), "is larger than", id="huge"),
    ],
)
def test_files_that_are_no_workbook(tmp_path, content, said):
    (tmp_path / "job.xlsx").write_bytes(content)
    assert said in refused(tmp_path / "job.xlsx", measure=True)


@pytest.mark.parametrize("part", [0.2, 0.6, 0.95, 0.999])
def test_a_truncated_workbook(sound, tmp_path, part):
    (tmp_path / "cut.xlsx").write_bytes(sound[: int(len(sound) * part)])
    assert "damaged or no workbook" in refused(tmp_path / "cut.xlsx")


def test_a_workbook_with_a_damaged_part(sound, tmp_path):
    middle = len(sound) // 2
    (tmp_path / "bad.xlsx").write_bytes(sound[:middle] + b"\xff" * 40 + sound[middle + 40 :])
    assert "save it again as .xlsx" in refused(tmp_path / "bad.xlsx")
    file = repacked(sound, tmp_path, lambda parts: {"xl/workbook.xml": b"<workbook"})
    assert "cannot be read as a workbook" in refused(file)


def test_a_workbook_that_unpacks_to_very_much(sound, tmp_path):
    file = repacked(sound, tmp_path, lambda parts: {"xl/media/x.bin": b"\0" * 40_000_000})
    assert file.stat().st_size < MOST_BYTES
    assert "unpacks to more than" in refused(file, measure=True)
    many = repacked(sound, tmp_path, lambda parts: {f"x/{n}.bin": b"" for n in range(1000)})
    assert "unpacks to more than" in refused(many)


def test_a_workbook_whose_parts_lie_about_their_size(sound, tmp_path):
    """The packed size is what the directory says; a part that unpacks to more is damaged."""
    file = repacked(sound, tmp_path, lambda parts: {"xl/worksheets/sheet2.xml": b" " * 9_000_000})
    content = bytearray(file.read_bytes())
    size = (9_000_000).to_bytes(4, "little")
    at = content.find(size)
    while at >= 0:
        content[at : at + 4] = (1000).to_bytes(4, "little")
        at = content.find(size)
    file.write_bytes(content)
    assert "save it again as .xlsx" in refused(file)


@pytest.mark.parametrize(
    "encode",
    [
        pytest.param(lambda text: text.encode(), id="utf-8"),
        pytest.param(lambda text: text.encode("utf-16"), id="utf-16"),
    ],
)
def test_entities_that_multiply(sound, tmp_path, encode):
    lol = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    bomb = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY l0 "lol">{lol}]><x>&l9;</x>'
    file = repacked(sound, tmp_path, lambda parts: {"xl/sharedStrings.xml": encode(bomb)})
    assert "holds declarations" in refused(file, measure=True)


def test_merged_cells_over_the_whole_sheet(sound, tmp_path):
    def merge(parts):
        name = "xl/worksheets/sheet2.xml"
        merged = b'<mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells></worksheet>'
        return {name: parts[name].replace(b"</worksheet>", merged)}

    assert "merged cells A1:XFD1048576" in refused(repacked(sound, tmp_path, merge), measure=True)


def test_a_cell_at_the_far_corner(sound, tmp_path):
    def far(parts):
        name = "xl/worksheets/sheet2.xml"
        row = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
        return {name: parts[name].replace(b"</sheetData>", row)}

    assert "rows or 200 columns in use" in refused(repacked(sound, tmp_path, far), measure=True)


def test_parts_whose_path_leaves_the_file(sound, tmp_path):
    file = repacked(sound, tmp_path, lambda parts: {"../../evil.xml": b"<x/>"})
    assert "path that leaves the file" in refused(file)
    assert not (tmp_path.parent.parent / "evil.xml").exists()


def test_tables_that_refer_to_themselves(folder):
    esp = files_1()["esp.csv"].splitlines()
    esp[0] += ",spare_of"
    esp[1:] = [f"{line}," for line in esp[1:]]
    esp[1] += "gauge"
    esp[2] += "guide"
    (folder / "esp.csv").write_text("\n".join(esp) + "\n")
    assert "is itself a spare" in refused(folder)


def test_a_thousand_faults_are_told_up_to_a_point(folder):
    rows = "".join(
        f"X{n},joint,SF pin,SF box,31,ok,200,passed,,usable,,bypass\n" for n in range(900)
    )
    (folder / "rack.csv").write_text(rack_1() + rows)
    result = read_job(folder)
    assert len(result.issues) == 501
    assert "more issues are not listed" in str(result.issues[-1])


def test_a_long_and_sound_job_is_read_soon(folder):
    rows = "".join(
        f"X{n},pup,SF pin,SF box,20,20.{n % 9 + 1:02d},132,passed,,usable,,bypass\n"
        for n in range(1000)
    )
    (folder / "rack.csv").write_text(rack_1() + rows)
    started = time.process_time()
    assert read_job(folder).job is not None
    assert time.process_time() - started < SOON_S


def test_thousands_of_wrong_references_and_crossovers(folder):
    row = "SF pin,EU box,,1.2,10,passed,,usable,,bypass\n"
    more = "".join(f"X{n},crossover,{row}" for n in range(2000))
    (folder / "rack.csv").write_text(rack_1() + more)
    landings = "".join(f"M{n},X{n}\n" for n in range(2000))
    (folder / "landings.csv").write_text(f"id,piece\n{landings}")
    assert "is not in the ESP table" in refused(folder)
