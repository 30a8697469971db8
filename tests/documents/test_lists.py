"""Lists of findings and corrections, and tables in general."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest

from abreast.documents import Column, Row, Table, corrections_table, csv_of, findings_table, text_of
from abreast.model import Correction, Finding
from abreast.units import Dimension

TIGHT = Finding(
    id="closure.stroke",
    question="Is enough stroke left?",
    status="exceeds",
    text="0.05 ft left",
    dimension="length",
    value=0.01524,
    limit=0.024384,
    utilisation=1.6,
    where="union",
    basis="common practice",
    action="choose another pup",
)
OPEN = Finding(
    id="load.plate",
    question="Does the plate carry it?",
    status="not checked",
    text="not checked: needs the rating of the false rotary",
    dimension="force",
    needs=("false rotary rating", "mass of P01"),
)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_findings_print_in_the_units_of_the_job() -> None:
    """0.01524 m is 0.05 ft and 0.024384 m is 0.08 ft: 1 ft is 0.3048 m."""
    row = read(csv_of(findings_table([TIGHT, OPEN], "oilfield")))[0]
    assert (row["value"], row["limit"], row["unit"], row["utilisation"]) == (
        "0.05",
        "0.08",
        "ft",
        "1.60",
    )
    assert (row["status"], row["where"], row["what to do"]) == (
        "exceeds",
        "union",
        "choose another pup",
    )


def test_what_was_not_checked_says_what_it_needs() -> None:
    row = read(csv_of(findings_table([TIGHT, OPEN], "SI")))[1]
    assert (row["value"], row["unit"]) == ("", "kN")
    assert row["needs"] == "false rotary rating; mass of P01"


def test_corrections_tell_accepted_from_corrected() -> None:
    common = {"file": "rack.csv", "row": 4, "field": "overall", "who": "A. Pell", "why": "taped"}
    day = date(2024, 5, 1)
    made = [
        Correction(was="31.42", now="34.12", when=day, **common),
        Correction(was="31.42", now="31.42", when=day, **common),
    ]
    rows = read(csv_of(corrections_table(made, "SI")))
    assert [row["kind"] for row in rows] == ["corrected", "accepted"]
    assert (rows[0]["when"], rows[0]["who"], rows[0]["row"]) == ("2024-05-01", "A. Pell", "4")


LONG = Table(
    "t",
    (Column("name", least=4), Column("length", Dimension.LENGTH), Column("n")),
    (Row(("a very long name that will not fit", 1.0, 3)), Row(("b", 1234.5, None), struck=True)),
    "oilfield",
)


def test_text_cuts_words_never_figures() -> None:
    lines = text_of(LONG, 30).splitlines()
    assert max(map(len, lines)) <= 30
    assert "…" in lines[2]
    assert lines[3].startswith("x b ")
    assert lines[3].endswith("4,050.20")
    assert "length [ft]" in lines[0]


@pytest.mark.parametrize(("cell", "text"), [(1234.5, "4050.20"), (-1.0, "-3.28")])
def test_csv_figures_are_bare_numbers(cell: float, text: str) -> None:
    table = Table("t", (Column("length", Dimension.LENGTH),), (Row((cell,)),), "oilfield")
    assert read(csv_of(table)) == [{"length [ft]": text}]
