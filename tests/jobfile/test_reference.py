"""Schema, starter folder and reference page, all made from the model."""

import json
from pathlib import Path

import jsonschema
import pytest
from tests.model.jobs import job_1, job_2

import abreast
from abreast.errors import InputError
from abreast.jobfile import job_schema, read_job, starter
from abreast.jobfile.layout import columns_of, sections, tables, top_columns
from abreast.jobfile.reference import reference_text

PAGE = Path(abreast.__file__).parents[2] / "docs" / "reference" / "job_folder.md"


def test_the_schema_is_a_schema_and_both_jobs_fit_it():
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    check = jsonschema.Draft202012Validator(schema)
    for job in (job_1(), job_2()):
        data = json.loads(job.model_dump_json())
        assert list(check.iter_errors(data)) == []
        assert list(check.iter_errors(data | {"nmae": "x"}))
        assert list(check.iter_errors(data | {"arrangement": "sideways"}))
        del data["union"]
        assert list(check.iter_errors(data))


@pytest.mark.parametrize("table", [*tables(), *sections()], ids=lambda table: table.name)
def test_columns_have_names_of_their_own_and_a_meaning(table):
    columns = columns_of(table.row)
    names = [column.name for column in columns]
    assert len(set(names)) == len(names)
    assert all(column.description for column in columns)


def test_names_of_keys_sections_and_tables_do_not_clash():
    names = [one.name for one in (*top_columns(), *sections())]
    assert len(set(names)) == len(names)
    files = [table.name for table in tables()]
    assert len(set(files)) == len(files)
    wanted = [
        "esp",
        "bypass",
        "rack",
        "survey",
        "casing",
        "holders",
        "upper",
        "corrections",
        "clamps",
        "threads",
    ]
    assert set(wanted) <= set(files)


def test_the_page_in_the_documentation_is_that_of_this_model():
    assert PAGE.read_text(encoding="utf-8") == reference_text(), (
        "make it anew: python -m abreast.jobfile > docs/reference/job_folder.md"
    )


@pytest.mark.parametrize("arrangement", ["bottom-supported", "top-hung"])
@pytest.mark.parametrize("units", ["oilfield", "SI"])
def test_a_starter_asks_for_exactly_the_required_fields(tmp_path, arrangement, units):
    starter(tmp_path / "new", arrangement=arrangement, units=units)
    result = read_job(tmp_path / "new")
    asked = {one.where.field for one in result.errors if one.code == "blank"}
    needed = {column.name for column in top_columns() if column.required}
    other = "guide" if arrangement == "bottom-supported" else "base"
    for section in sections():
        if section.required or section.name in ({"base", "guide", "survey"} - {other}):
            needed |= {
                f"{section.name}.{one.name}" for one in columns_of(section.row) if one.required
            }
    assert asked == needed - {"arrangement", "load_path", "units", "order.esp"}
    empty = {one.where.file for one in result.errors if one.code == "no-rows"}
    assert empty == {table.file for table in tables() if table.required}
    assert {one.code for one in result.errors} == {"blank", "no-rows"}


def test_a_starter_does_not_write_over_a_job(tmp_path):
    starter(tmp_path)
    with pytest.raises(InputError, match="already holds a job"):
        starter(tmp_path)


def test_a_starter_filled_in_becomes_a_job(tmp_path):
    """Every line of the starter works once its blank is filled and its mark taken off."""
    starter(tmp_path, units="oilfield")
    text = (tmp_path / "job.toml").read_text()
    plain = "\n".join(line.removeprefix("# ") for line in text.splitlines()[6:])
    (tmp_path / "job.toml").write_text(plain)
    result = read_job(tmp_path)
    assert {one.code for one in result.errors} == {"blank", "no-rows"}
