"""A job as one workbook: the same job both ways, and a strict reader.

The workbooks to be refused are made with a general-purpose library, as a person's spreadsheet
program would save them.
"""

import datetime as dt
import re

import openpyxl
import pytest
from tests.jobfile.folders import files_1, files_2, put
from tests.model.jobs import job_1, job_2

from abreast.jobfile import read_job, write_folder, write_workbook


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    return read_job(put(tmp_path_factory.mktemp("job"), files_1())).require_job()


@pytest.fixture(scope="module")
def made(job, tmp_path_factory):
    file = tmp_path_factory.mktemp("book") / "job.xlsx"
    write_workbook(job, file)
    return file


def changed(made, tmp_path, change):
    """The workbook opened, changed and saved again by another program."""
    book = openpyxl.load_workbook(made)
    change(book)
    file = tmp_path / "changed.xlsx"
    book.save(file)
    return read_job(file)


def test_folder_and_workbook_hold_the_same_job(job, made, tmp_path):
    result = read_job(made)
    assert result.require_job() == job
    assert result.of("notice") == ()
    write_folder(result.require_job(), tmp_path / "from_book")
    write_folder(job, tmp_path / "from_job")
    names = {path.name for path in (tmp_path / "from_job").iterdir()}
    assert names == {path.name for path in (tmp_path / "from_book").iterdir()}
    for name in names:
        texts = [(tmp_path / one / name).read_bytes() for one in ("from_job", "from_book")]
        assert texts[0] == texts[1], name


def test_equal_jobs_give_equal_bytes(job, made, tmp_path):
    write_workbook(read_job(made).require_job(), tmp_path / "again.xlsx")
    assert (tmp_path / "again.xlsx").read_bytes() == made.read_bytes()
    for name, other in (("1", job_1()), ("2", job_2())):
        write_workbook(other, tmp_path / f"{name}.xlsx")
        assert read_job(tmp_path / f"{name}.xlsx").require_job() == other
    two = read_job(put(tmp_path / "two", files_2("Q12b"))).require_job()
    write_workbook(two, tmp_path / "two.xlsx")
    assert read_job(tmp_path / "two.xlsx").require_job() == two


def test_another_program_finds_numbers_as_numbers_with_their_digits(made):
    book = openpyxl.load_workbook(made)
    assert book.sheetnames[0] == "job"
    rack = book["rack"]
    heading = [cell.value for cell in rack[1]]
    cell = rack.cell(row=38, column=heading.index("overall [ft]") + 1)
    assert (rack["A38"].value, cell.value, cell.number_format) == ("P22", 2.02, "0.00")
    keys = {row[0].value: row[1].value for row in book["job"].iter_rows(min_row=2)}
    assert keys["base.seat_plane"] == "0.90 ft"


def test_saved_by_another_program_it_is_still_the_same_job(job, made, tmp_path):
    assert changed(made, tmp_path, lambda book: None).require_job() == job


def test_texts_that_look_like_formulas_stay_texts(job, tmp_path):
    texts = ("=1+1", "+44", "-x", "@home", "'q")
    rack = [
        item.model_copy(update={"note": texts[n]}) if n < len(texts) else item
        for n, item in enumerate(job.rack)
    ]
    odd = job.model_copy(update={"rack": tuple(rack)})
    write_workbook(odd, tmp_path / "odd.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "odd.xlsx")["rack"]
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} <= {"s", "n"}
    assert read_job(tmp_path / "odd.xlsx").require_job() == odd


def _formula(book):
    book["rack"]["F2"] = "=F3+1"


def _merge(book):
    book["rack"].merge_cells("A2:A3")


def _hide_row(book):
    book["rack"].row_dimensions[4].hidden = True


def _hide_column(book):
    book["rack"].column_dimensions["C"].hidden = True


def _hide_sheet(book):
    book["rack"].sheet_state = "hidden"


def _date(book):
    book["rack"]["F2"] = dt.datetime(2024, 5, 10)


def _date_as_id(book):
    book["rack"]["A2"] = dt.datetime(2024, 5, 10)


def _time(book):
    book["rack"]["F2"] = dt.time(10, 5)


def _comma(book):
    book["rack"]["F2"] = "31,42"


def _key(book):
    for row in book["job"].iter_rows():
        if row[0].value == "base.max_od":
            row[1].value = "8,44 in"


def _error(book):
    book["rack"]["F2"] = "#N/A"
    book["rack"]["F2"].data_type = "e"


def _filler(book):
    book["rack"]["F2"] = "ok"


def _long(book):
    book["rack"]["F2"] = "x" * 5000


def _unknown(book):
    book.create_sheet("raks")


def _format(book):
    for row in book["job"].iter_rows():
        if row[0].value == "format":
            row[1].value = "=1"


def _whole_row(book):
    for cell in book["rack"][2]:
        cell.value = "=1"


REFUSED = {
    "formula": (_formula, r"row 2, overall, B01 \(cell F2\): is a formula; paste its value"),
    "merged": (_merge, r"sheet rack: merged cells A2:A3; unmerge them"),
    "hidden row": (_hide_row, r"row 4 is hidden; show it or delete it"),
    "hidden column": (_hide_column, r"column C is hidden"),
    "hidden sheet": (_hide_sheet, r"the sheet itself is hidden"),
    "date": (_date, r"\(cell F2\): was made a date by the spreadsheet \(10 May 2024\)"),
    "date as id": (_date_as_id, r"\(cell A2\): was made a date"),
    "time": (_time, r"\(cell F2\): was made a time"),
    "comma": (_comma, r"overall, B01 \(cell F2\): '31,42'.*Write 31.42 ft"),
    "key": (_key, r"sheet job, row \d+, base.max_od \(cell B\d+\): '8,44 in'"),
    "error": (_error, r"\(cell F2\): holds the error #N/A"),
    "filler": (_filler, r"\(cell F2\): 'ok' is not a value"),
    "long": (_long, r"\(cell F2\): holds 5000 characters"),
    "unknown sheet": (_unknown, r"sheet 'raks' is no table of a job; did you mean 'rack'"),
}


@pytest.mark.parametrize(("change", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_what_a_spreadsheet_may_have_changed_is_refused_with_its_address(
    made, tmp_path, change, said
):
    result = changed(made, tmp_path, change)
    assert result.job is None
    texts = [str(one) for one in result.errors]
    assert any(re.search(said, text) for text in texts), texts


def test_a_number_stored_as_text_is_read_and_told(made, job, tmp_path):
    def change(book):
        book["rack"]["F2"] = "31.42"

    result = changed(made, tmp_path, change)
    assert result.require_job() == job
    (notice,) = result.of("notice")
    assert (notice.cell, notice.where.row, notice.where.field) == ("F2", 2, "overall")


def test_a_sheet_of_notes_may_stand_beside_the_tables(made, job, tmp_path):
    def change(book):
        book.create_sheet("Notes")["A1"] = "=1+1"

    assert changed(made, tmp_path, change).require_job() == job


def test_a_key_that_stands_twice_and_a_job_sheet_that_is_missing(made, tmp_path):
    def twice(book):
        book["job"].append(["Base.Seat plane", "1 ft"])

    assert "stands twice" in str(changed(made, tmp_path, twice).errors[0])

    def gone(book):
        del book["job"]

    assert "has no sheet 'job'" in str(changed(made, tmp_path, gone).errors[0])


def test_a_day_may_be_a_date_where_a_day_belongs(made, tmp_path):
    def change(book):
        sheet = book.create_sheet("corrections")
        sheet.append(["file", "row", "field", "was", "now", "who", "when", "why"])
        day = dt.datetime(2024, 5, 10)
        sheet.append(["rack", 39, "usable_for", "bypass", "tail", "A. Pell", day, "EU thread"])

    result = changed(made, tmp_path, change)
    found = result.require_job()
    assert found.corrections[0].when == dt.date(2024, 5, 10)
    assert found.rack[37].usable_for == "tail"
    assert result.suspicions == ()


@pytest.mark.parametrize("change", [_formula, _date, _date_as_id, _time, _error, _long, _format])
def test_a_refused_cell_is_one_error(made, tmp_path, change):
    (one,) = changed(made, tmp_path, change).errors
    assert one.cell
    assert "is blank" not in str(one)


def test_a_row_of_formulas_is_not_called_blank(made, tmp_path):
    errors = changed(made, tmp_path, _whole_row).errors
    assert {one.code for one in errors} == {"formula"}
    assert len({one.cell for one in errors}) == len(errors)
