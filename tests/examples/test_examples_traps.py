"""Every kind of slip that tallies and component sheets arrive with is caught at its cell.

The job is small and hand-typed; each trap spoils one thing in it. The list of
slips is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.examples.harrow_beck import FILES, column, put, spoilt

from abreast.jobfile import Issue, read_job, write_workbook


def found(tmp_path: Path, files: dict[str, str]) -> list[Issue]:
    return list(read_job(put(tmp_path / "job", files)).issues)


def test_the_job_itself_is_clean(tmp_path: Path) -> None:
    result = read_job(put(tmp_path / "job", FILES))
    assert result.issues == ()
    job = result.require_job()
    assert [piece.id for piece in job.esp][:2] == ["foot", "gauge"]
    assert all(job.usable(item) for item in job.rack)


def rack(old: str, new: str) -> dict[str, str]:
    return spoilt("rack.csv", (old, new))


EFFECTIVE = ["31.01", "30.96", "31.08", "31.04", "30.99", "11.81", "9.80", "9.74"]
EFFECTIVE += ["5.82", "3.78", "1.79", "31.71", "5.90"]
DOTTED = ["31.03", "31.02", "31.04", "31.03", "31.05", "12.00", "10.00", "9.11"]
DOTTED += ["6.01", "4.00", "2.00", "31.11", "6.01"]

# Each trap: files, then (file, row, field) and words of the message that must come.
TRAPS: dict[str, tuple[dict[str, str], tuple[str, int | None, str], tuple[str, ...]]] = {
    "effective length copied into the overall column": (
        rack("31.24,31.25,31.01", "31.01,31.01,31.01"),
        ("rack.csv", 2, "overall"),
        ("same", "copied"),
    ),
    "loss taken off twice": (
        rack("6.05,6.05,5.82", "6.05,6.05,5.59"),
        ("rack.csv", 10, "effective"),
        ("twice",),
    ),
    "loss of another thread taken off": (
        rack("6.05,6.05,5.82", "6.05,6.05,5.88"),
        ("rack.csv", 10, "effective"),
        ("thread ET",),
    ),
    "thread that loses nothing": (
        spoilt("threads.csv", ("SXL,left,0.23", "SXL,left,0")),
        ("threads.csv", 4, "make_up_loss"),
        ("loses no length",),
    ),
    "feet and inches with a hyphen": (
        rack("31.24,", "31-05,"),
        ("rack.csv", 2, "overall"),
        ("31-05", "31 ft 5 in"),
    ),
    "metres in a column of feet": (
        rack("10.03,10.04,9.80,67", "3.06,3.06,,"),
        ("rack.csv", 8, "overall"),
        ("nominal", "metres", "m"),
    ),
    "off by one foot": (
        rack("31.31,31.30,31.08", "32.31,32.31,"),
        ("rack.csv", 4, "overall"),
        ("longer than its class", "Off by 1.00", "31.31"),
    ),
    "digits swapped": (
        rack("31.27,31.27,31.04", "31.72,31.72,"),
        ("rack.csv", 5, "overall"),
        ("Digits swapped", "31.27"),
    ),
    "two measurements that disagree": (
        rack("31.31,31.30", "31.31,31.40"),
        ("rack.csv", 4, "overall_2"),
        ("two measurements differ",),
    ),
    "one number on two pieces": (
        rack("J2,joint", "J1,joint"),
        ("rack.csv", 3, "id"),
        ("'J1'", "twice", "row 2"),
    ),
    "table typed the other way up": (
        spoilt("job.toml", ('"top to bottom"', '"bottom to top"')),
        ("job.toml", 11, "order.esp"),
        ("lowest ESP piece is a discharge head",),
    ),
    "a row forgotten, as the running length shows": (
        spoilt("esp.csv", ("gauge,gauge,gauge,2.00,4.50,4.50,90,,,2.90\n", "")),
        ("esp.csv", 5, "cumulative"),
        ("running length", "add up"),
    ),
    "wrong thread": (
        spoilt(
            "rack.csv",
            ("P4,pup,SX pin,SX box", "P4,pup,ET pin,ET box"),
            ("6.05,6.05,5.82", "6.05,6.05,"),
        ),
        ("rack.csv", 10, "lower_end"),
        ("thread ET", "nowhere in the bypass"),
    ),
    "thread of the wrong hand": (
        rack("P4,pup,SX pin,SX box", "P4,pup,SXL pin,SXL box"),
        ("rack.csv", 10, "lower_end"),
        ("SXL", "left-hand"),
    ),
    "thread code that no table knows": (
        rack("P4,pup,SX pin,SX box", "P4,pup,SZ pin,SZ box"),
        ("rack.csv", 10, "lower_end"),
        ("'SZ'", "table of threads"),
    ),
    "box on both ends": (
        rack("P4,pup,SX pin,SX box", "P4,pup,SX box,SX box"),
        ("rack.csv", 10, "lower_end"),
        ("is a box", "no pin"),
    ),
    "a crossover called a pup": (
        rack("P4,pup,SX pin,SX box", "P4,pup,SX pin,ET box"),
        ("rack.csv", 10, "upper_end"),
        ("crossover",),
    ),
    "tail that does not screw together": (
        spoilt("bypass.csv", ("plain,ET box", "plain,SX box")),
        ("bypass.csv", 3, "id"),
        ("ET pin", "does not go into"),
    ),
    "kilograms in a column of pounds": (
        rack("30.99,203,", "30.99,92,"),
        ("rack.csv", 6, "mass"),
        ("weighs 2.9", "Kilograms may stand for pounds: 92 kg would fit"),
    ),
    "torque in another unit": (
        spoilt("threads.csv", ("SX,right,0.23,1300,1450,1600", "SX,right,0.23,13,14.5,16")),
        ("threads.csv", 2, "torque_opt"),
        ("no make-up torque",),
    ),
    "torques changed about": (
        spoilt("threads.csv", ("SX,right,0.23,1300,1450,1600", "SX,right,0.23,1450,1300,1600")),
        ("threads.csv", 2, "torque_opt"),
        ("do not rise",),
    ),
    "ppg for specific gravity": (
        spoilt("job.toml", ("8.5 ppg", "8.5 SG")),
        ("job.toml", 62, "fluids.annulus"),
        ("no density of a well fluid",),
    ),
    "depth without a known zero": (
        spoilt("casing.csv", ("8.599,KB", "8.599,old KB")),
        ("casing.csv", 2, "datum"),
        ("'old KB'", "named zero"),
    ),
    "body and largest diameter changed about": (
        spoilt("esp.csv", ("0.90,3.50,4.50,50", "0.90,4.50,3.50,50")),
        ("esp.csv", 7, "max_od"),
        ("below that of the body", "swapped"),
    ),
    "neck thicker than the body": (
        spoilt("esp.csv", ("0.48,4.10", "0.48,6.10")),
        ("esp.csv", 5, "neck_od"),
        ("thicker than the body",),
    ),
    "connection thinner than the pipe": (
        spoilt("job.toml", ('joint_od = "3.00 in"', 'joint_od = "2.80 in"')),
        ("job.toml", 49, "pipe.joint_od"),
        ("joint od is smaller than body od",),
    ),
    "bore of the casing taken for its drift": (
        spoilt("casing.csv", ("8.755,8.599", "8.755,8.755")),
        ("casing.csv", 2, "drift"),
        ("drift",),
    ),
    "casing of another weight": (
        spoilt("casing.csv", ("8.755,8.599", "8.681,8.525")),
        ("casing.csv", 2, "bore"),
        ("weight",),
    ),
    "blank in a cell that must be filled": (
        rack("31.24,31.25,31.01", ",31.25,31.01"),
        ("rack.csv", 2, "overall"),
        ("is blank", "not measured"),
    ),
    "a dash for a number": (
        rack("31.24,", "-,"),
        ("rack.csv", 2, "overall"),
        ("'-'", "not measured: why"),
    ),
    "n/a without its reason": (
        rack("31.24,", "n/a,"),
        ("rack.csv", 2, "overall"),
        ("needs its reason",),
    ),
    "ok for a number": (
        rack("31.24,31.25", "ok,31.25"),
        ("rack.csv", 2, "overall"),
        ("'ok'", "not measured: why"),
    ),
    "decimal comma": (
        rack("31.24,31.25", '"31,24",31.25'),
        ("rack.csv", 2, "overall"),
        ("31,24", "decimal", "31.24"),
    ),
    "a date where a length was": (
        rack("10.03,10.04", "2024-05-10,10.04"),
        ("rack.csv", 8, "overall"),
        ("2024-05-10",),
    ),
    "drift left blank": (
        rack("204,passed", "204,"),
        ("rack.csv", 4, "drift"),
        ("is blank", "drift"),
    ),
    "drift stopped, yet kept as usable": (
        rack("204,passed", "204,stopped"),
        ("rack.csv", 4, ""),
        ("drift stopped", "usable"),
    ),
    "remark of damage on a usable piece": (
        rack("A4,C4,", "A4,C4,box end dented"),
        ("rack.csv", 5, "status"),
        ("box end dented", "usable"),
    ),
    "certificate missing": (
        rack("A4,C4,", "A4,,"),
        ("rack.csv", 5, "certificate"),
        ("no certificate",),
    ),
    "serial of another piece": (
        rack("A4,C4,", "A3,C4,"),
        ("rack.csv", 5, "serial"),
        ("'A3'", "J3"),
    ),
    "heading without its unit": (
        rack(",overall [ft],", ",overall,"),
        ("rack.csv", 2, "overall"),
        ("no unit",),
    ),
    "heading with a unit of another kind": (
        rack(",overall [ft],", ",overall [lb],"),
        ("rack.csv", 1, "overall [lb]"),
        ("lb",),
    ),
    "heading misspelt": (
        rack(",nominal [ft],", ",nomnal [ft],"),
        ("rack.csv", 1, "nomnal [ft]"),
        ("did you mean 'nominal'",),
    ),
    "all effective lengths in the overall column": (
        column("overall", EFFECTIVE),
        ("rack.csv", 1, "overall"),
        ("effective lengths",),
    ),
    "feet and inches by the decimal point": (
        column("overall", DOTTED),
        ("rack.csv", 1, "overall"),
        (".11", "feet and inches"),
    ),
}
# Where a column is spoilt whole, single rows are asked about as well.
WHOLE = {"all effective lengths in the overall column", "feet and inches by the decimal point"}
MANY = {"heading without its unit", "heading with a unit of another kind"}


@pytest.mark.parametrize("name", TRAPS)
def test_trap_is_caught_at_its_cell(name: str, tmp_path: Path) -> None:
    files, place, words = TRAPS[name]
    issues = found(tmp_path, files)
    at_place = [i for i in issues if (i.where.file, i.where.row, i.where.field) == place]
    assert at_place, [str(issue) for issue in issues]
    told = " ".join(str(issue) for issue in at_place)
    assert not [word for word in words if word not in told], told
    if name not in WHOLE | MANY:
        assert issues == at_place, [str(issue) for issue in issues]


def test_feet_and_inches_are_read_back(tmp_path: Path) -> None:
    files = rack("31.24,31.25", '"31\' 2 7/8""",31.25')
    result = read_job(put(tmp_path / "job", files))
    assert result.issues == ()
    (echo,) = result.echoes
    assert (echo.where.row, echo.where.field) == (2, "overall")
    assert "31 ft 2 7/8 in = 31.24 ft" in echo.read


def test_one_piece_in_two_places(tmp_path: Path) -> None:
    files = FILES | {"lifts.csv": "id,pieces\nD1,P1; P2\nD2,P2; P3\n"}
    (issue,) = found(tmp_path, files)
    assert (issue.where.file, issue.where.row, issue.where.field) == ("lifts.csv", 3, "pieces")
    assert "one place only" in issue.message


def spoil_sheet(path: Path, how: str) -> None:
    """What a spreadsheet program does to a tally behind one's back."""
    from openpyxl import load_workbook

    book = load_workbook(path)
    sheet = book["rack"]
    letter = next(c.column_letter for c in sheet[1] if str(c.value).startswith("overall ["))
    cell = sheet[f"{letter}8"]
    if how == "formula":
        cell.value = "=2*5"
    elif how == "date":
        cell.value, cell.number_format = 45422, "dd-mmm"
    elif how == "merged":
        sheet.merge_cells(f"{letter}8:{letter}9")
    elif how == "hidden":
        sheet.row_dimensions[8].hidden = True
    elif how == "text":
        cell.value = "10.03"
    else:
        cell.value = "#REF!"
        cell.data_type = "e"
    book.save(path)


@pytest.mark.parametrize(
    ("how", "severity", "words"),
    [
        ("formula", "error", ("is a formula",)),
        ("date", "error", ("made a date",)),
        ("merged", "error", ("merged cells", "8:")),
        ("hidden", "error", ("row 8 is hidden",)),
        ("text", "notice", ("stored as text",)),
        ("error", "error", ("#REF!",)),
    ],
)
def test_what_a_spreadsheet_did_is_told_with_its_address(
    how: str, severity: str, words: tuple[str, ...], tmp_path: Path
) -> None:
    path = tmp_path / "job.xlsx"
    write_workbook(read_job(put(tmp_path / "job", FILES)).require_job(), path)
    assert read_job(path).issues == ()
    spoil_sheet(path, how)
    issues = read_job(path).issues
    first = issues[0]
    assert first.severity == severity
    assert all(word in first.message for word in words), first.message
    if how in ("formula", "date", "text", "error"):
        assert first.cell.endswith("8")
        assert "rack" in first.where.file
