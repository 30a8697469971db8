"""Surveys that arrive wrong: each slip is named at its cell, a right survey is left alone.

The right figures are those of the two bundled jobs, whose doglegs and true
vertical depths were worked outside the program. The slips are common practice,
no source.
"""

from __future__ import annotations

import csv
import io
import math

import pytest
from tests.jobfile.folders import files_1, put

from abreast.examples import example_path
from abreast.jobfile import read_job, write_folder
from abreast.jobfile.survey_rows import half_digit, station_rows, unit_typed

HEAD = "md [{m}],inclination [{a}],azimuth [{a}],tvd [{m}],dogleg [{d}]"


def bundled(name):
    """Heading and rows of the survey of a bundled job."""
    text = (example_path(name) / "survey.csv").read_text(encoding="utf-8")
    head, *rows = csv.reader(io.StringIO(text))
    return head, rows


FEET_HEAD, FEET = bundled("quernstone_14")
METRES_HEAD, METRES = bundled("skerrow_a09")


CLOSENESS = ("stations-apart", "survey-short")


def found(tmp_path, head, rows, left_out=CLOSENESS):
    """What is said of job 1 with this survey, but for its rack and how far the stations are apart.

    These few stations are often far apart; that has tests of its own.
    """
    text = "\n".join(",".join(row) for row in [head, *rows]) + "\n"
    result = read_job(put(tmp_path / "job", files_1() | {"survey.csv": text}))
    issues = (one for one in result.issues if one.where.piece != "P23")
    return [one for one in issues if one.code not in left_out]


def places(issues):
    return [(one.code, one.where.row, one.where.field) for one in issues]


def changed(rows, *cells):
    """The rows with single cells typed otherwise: file row, column, text."""
    new = [list(row) for row in rows]
    for row, column, text in cells:
        new[row - 2][column] = text
    return new


def column(rows, number, function):
    return [
        [*row[:number], function(float(row[number])) if row[number] else "", *row[number + 1 :]]
        for row in rows
    ]


MD, INC, AZ, TVD, DLS = range(5)


@pytest.mark.parametrize(("head", "rows"), [(FEET_HEAD, FEET), (METRES_HEAD, METRES)])
def test_a_right_survey_is_left_alone(tmp_path, head, rows):
    assert found(tmp_path / "whole", head, rows, left_out=()) == []
    assert found(tmp_path / "angles", head[:3], [row[:3] for row in rows]) == []
    assert found(tmp_path / "part", head, rows[5:]) == []
    # zeros at the end lost in a spreadsheet, or figures to one decimal only
    assert found(tmp_path / "bare", head, [[f"{float(x or 0):g}" for x in r] for r in rows]) == []
    assert found(tmp_path / "coarse", head, column(rows, DLS, lambda x: f"{x:.1f}")) == []


@pytest.mark.parametrize("name", ["quernstone_14", "skerrow_a09"])
def test_turning_north_leaves_a_right_survey_right(tmp_path, name):
    head, rows = bundled(name)
    for turn in (90, 295):
        turned = column(rows, AZ, lambda x, turn=turn: f"{(x + turn) % 360:.1f}")
        assert found(tmp_path / str(turn), head, turned) == []


def test_doglegs_from_finer_angles_than_printed(tmp_path):
    """0.05 degrees of rounding at both ends are 0.1 degrees of dogleg: no reason to ask."""
    nudged = changed(METRES, (8, DLS, "2.38"), (21, DLS, "1.50"))
    assert found(tmp_path, METRES_HEAD, nudged) == []


def test_per_30_m_in_a_column_per_100_ft(tmp_path):
    # Quernstone's figures per 30 m: 0.98425 times those per 100 ft
    rows = column(FEET, DLS, lambda x: f"{x * 30 / 30.48:.2f}")
    (one,) = found(tmp_path, FEET_HEAD, rows)
    assert places([one]) == [("dogleg-unit", 1, "dogleg")]
    assert "0.98425 times those of the stations" in str(one)
    assert "°/30 m may stand in a column of °/100 ft" in str(one)


def test_per_100_ft_in_a_column_per_30_m(tmp_path):
    rows = column(METRES, DLS, lambda x: f"{x * 30.48 / 30:.2f}")
    (one,) = found(tmp_path, METRES_HEAD, rows)
    assert places([one]) == [("dogleg-unit", 1, "dogleg")]
    assert "1.016 times" in str(one)
    assert "°/100 ft may stand in a column of °/30 m" in str(one)


@pytest.mark.parametrize(
    ("factor", "said"),
    [
        (1 / 3, "°/10 m may stand in a column of °/30 m"),
        (math.pi / 180, "rad/30 m may stand in a column of °/30 m"),
        (math.pi / 180 / 30, "rad/m may stand in a column of °/30 m"),
    ],
)
def test_other_units_of_the_doglegs(tmp_path, factor, said):
    rows = column(METRES, DLS, lambda x: f"{x * factor:.7f}")
    (one,) = found(tmp_path, METRES_HEAD, rows)
    assert said in str(one)


def radians(rows):
    rows = column(rows, INC, lambda x: f"{math.radians(x):.4f}")
    return column(rows, AZ, lambda x: f"{math.radians(x):.4f}")


@pytest.mark.parametrize("width", [3, 4, 5])
def test_radians_in_columns_of_degrees(tmp_path, width):
    rows = [row[:width] for row in radians(METRES)]
    (one,) = found(tmp_path / "wrong", METRES_HEAD[:width], rows)
    assert places([one]) == [("angle-unit", 1, "inclination")]
    assert "may be radians" in str(one)
    right = [title.replace("[deg]", "[rad]") for title in METRES_HEAD]
    assert found(tmp_path / "right", right[:width], rows) == []


def test_a_nearly_vertical_hole_to_the_north_is_no_radians(tmp_path):
    """Reported figures that fit as degrees settle it."""
    rows = [["0", "0", "0", "0", ""]]
    rows += [[f"{100 * n}", "2", "5.5", f"{100 * n * math.cos(math.radians(2)):.1f}", ""]
             for n in range(1, 8)]  # fmt: skip
    assert found(tmp_path, METRES_HEAD[:4], [row[:4] for row in rows]) == []


def test_degrees_in_columns_of_radians(tmp_path):
    head = [title.replace("[deg]", "[rad]") for title in METRES_HEAD]
    issues = found(tmp_path, head, METRES)
    assert places(issues) == [("angle", 1, "inclination"), ("angle", 1, "azimuth")]
    assert all("Degrees in a column of radians?" in str(one) for one in issues)


def test_one_dogleg_typed_wrong(tmp_path):
    (one,) = found(tmp_path, METRES_HEAD, changed(METRES, (8, DLS, "5.42")))
    assert places([one]) == [("dogleg-differs", 8, "dogleg")]
    assert "reported 5.42°/30 m, but" in str(one)
    assert "give 2.40°/30 m" in str(one)


def test_one_true_depth_typed_wrong(tmp_path):
    (one,) = found(tmp_path, METRES_HEAD, changed(METRES, (17, TVD, "1143.1")))
    assert places([one]) == [("tvd-differs", 17, "tvd")]
    assert "reported 1143.10 m, but going on from the stations above gives 1134.1" in str(one)


def test_a_step_in_the_true_depths_is_asked_about_once(tmp_path):
    rows = [
        [*row[:3], f"{float(row[3]) + (3 if n > 14 else 0):.1f}", row[4]]
        for n, row in enumerate(METRES)
    ]
    assert places(found(tmp_path, METRES_HEAD, rows)) == [("tvd-differs", 17, "tvd")]


def test_true_depths_from_another_zero_are_no_contradiction(tmp_path):
    rows = column(METRES, TVD, lambda x: f"{x - 31.2:.1f}")
    assert found(tmp_path, METRES_HEAD, rows) == []


def test_survey_of_another_wellbore(tmp_path):
    """Reported columns of one hole beside the angles of another."""
    rows = [
        [*row[:2], str((float(row[2]) * 7) % 360), *row[3:]] if n % 2 else row
        for n, row in enumerate(METRES)
    ]
    rows = column(rows, INC, lambda x: f"{0.8 * x:.1f}")
    issues = found(tmp_path, METRES_HEAD, rows)
    heads = [place for place in places(issues) if place[1] == 1]
    assert heads == [("dogleg-differs", 1, "dogleg"), ("tvd-differs", 1, "tvd")]
    assert "of this wellbore" in str(issues[-1])


def test_digits_of_an_inclination_swapped(tmp_path):
    """48.1 typed as 84.1: one jump, not two, and the figures beside it disagree."""
    bare = [row[:3] for row in METRES]
    (one,) = found(tmp_path / "bare", METRES_HEAD[:3], changed(bare, (22, INC, "84.1")))
    assert places([one]) == [("survey-jump", 22, "inclination")]
    issues = found(tmp_path / "whole", METRES_HEAD, changed(METRES, (22, INC, "84.1")))
    assert ("survey-jump", 22, "inclination") in places(issues)
    assert {row for _, row, _ in places(issues)} <= {22, 23}


def test_azimuth_turned_about(tmp_path):
    bare = [row[:3] for row in METRES]
    (one,) = found(tmp_path, METRES_HEAD[:3], changed(bare, (25, AZ, "246")))
    assert places([one]) == [("survey-jump", 25, "azimuth")]


@pytest.mark.parametrize(
    ("cell", "field"), [((9, INC, "-24.2"), "inclination"), ((9, AZ, "460"), "azimuth")]
)
def test_angles_out_of_range(tmp_path, cell, field):
    issues = found(tmp_path, METRES_HEAD[:3], changed([row[:3] for row in METRES], cell))
    assert ("angle", 9, field) in places(issues)


def test_depths_that_do_not_increase(tmp_path):
    bare = [row[:3] for row in METRES]
    (one,) = found(tmp_path / "less", METRES_HEAD[:3], changed(bare, (8, MD, "519")))
    assert (one.severity, places([one])) == ("error", [("contradiction", 8, "md")])
    gap = changed(bare, (7, MD, "not measured: smudged"), (8, MD, "455"))
    (one,) = found(tmp_path / "gap", METRES_HEAD[:3], gap)
    assert (one.severity, places([one])) == ("suspicion", [("depth", 8, "md")])


@pytest.mark.parametrize(
    ("angles", "said"),
    [(("9.8", "61"), "with the same angles in the row above. Delete one"),
     (("9.9", "61"), "with other angles in the row above. Check which is right")],
)  # fmt: skip
def test_a_station_that_is_there_twice(tmp_path, angles, said):
    bare = [row[:3] for row in METRES]
    rows = changed(bare, (8, MD, "520"), (8, INC, angles[0]), (8, AZ, angles[1]))
    error, one = found(tmp_path, METRES_HEAD[:3], rows)
    assert (error.severity, places([error])) == ("error", [("contradiction", 8, "md")])
    assert places([one]) == [("repeated", 8, "md")]
    assert said in str(one)


def test_a_survey_upside_down_is_asked_about_once(tmp_path):
    issues = found(tmp_path, METRES_HEAD[:3], [row[:3] for row in reversed(METRES)])
    asked = [one for one in issues if one.severity == "suspicion"]
    assert places(asked) == [("order", 1, "md")]
    assert "top first" in str(asked[0])


def test_a_depth_above_the_zero(tmp_path):
    bare = changed([row[:3] for row in METRES], (2, MD, "-20"))
    (one,) = found(tmp_path, METRES_HEAD[:3], bare)
    assert places([one]) == [("depth", 2, "md")]
    assert "sign and the datum" in str(one)


def stations(*rows):
    return [[str(cell) for cell in row] for row in rows]


@pytest.mark.parametrize(
    "rows",
    [
        # through north: 359 and 1 are two degrees apart
        stations((0, 0, 0), (100, 5, 359), (130, 5.5, 1), (160, 6, 358.5), (190, 6.5, 0.4)),
        stations((0, 0, 0), (400, 40, 359.9), (430, 40, 0.1), (460, 40, 359.9), (490, 40, 0.1)),
        # a vertical station has no azimuth, one nearly so hardly any
        stations((0, 0, 12), (100, 0, 300), (200, 0, 45), (300, 0, 181), (400, 2, 33)),
        stations((0, 0, 12), (30, 0.3, 300), (60, 0.3, 120), (90, 0.2, 45), (120, 0.4, 180)),
        # past horizontal and back
        stations((0, 0, 0), (400, 30, 10), (800, 60, 10), (1100, 89, 10), (1300, 96, 12),
                 (1500, 95, 10), (1700, 91, 9), (1900, 88, 9)),
    ],
)  # fmt: skip
def test_what_only_looks_like_a_jump_is_left_alone(tmp_path, rows):
    assert found(tmp_path, METRES_HEAD[:3], rows) == []


@pytest.mark.parametrize(
    ("rows", "row"),
    [
        (stations((0, 0, 0), (300, 90, 0), (330, 90, 180), (500, 90, 180)), 4),
        (stations((0, 0, 0), (300, 90, 0), (330, 90, 180), (500, 90, 0)), 4),
    ],
)
def test_a_hole_that_turns_right_back(tmp_path, rows, row):
    """No single arc joins opposite directions; one station off is asked about once."""
    (one,) = found(tmp_path, METRES_HEAD[:3], rows)
    assert places([one]) == [("survey-turn", row, "azimuth")]
    assert "180.0° from the station above" in str(one)


def test_every_finding_names_its_place_and_proposes(tmp_path):
    rows = changed(METRES, (8, DLS, "5.42"), (17, TVD, "1143.1"), (22, INC, "84.1"), (2, MD, "-1"))
    for one in found(tmp_path, METRES_HEAD, rows):
        assert one.where.file == "survey.csv"
        assert one.where.row and one.where.field
        assert "Check" in str(one)


def test_a_digit_too_many_in_the_last_depth(tmp_path):
    bare = changed([row[:3] for row in METRES], (len(METRES) + 1, MD, "27200"))
    (one,) = found(tmp_path, METRES_HEAD[:3], bare)
    assert places([one]) == [("depth-jump", len(METRES) + 1, "md")]


@pytest.mark.parametrize("text", ["1e300", "-1e300", "1e-320", "1e9", "999999"])
@pytest.mark.parametrize("number", [MD, INC, AZ, TVD, DLS])
def test_figures_beyond_reason_are_asked_about(tmp_path, number, text):
    issues = found(tmp_path, METRES_HEAD, changed(METRES, (9, number, text)))
    assert issues
    assert {row for _, row, _ in places(issues)} & {9, 1}


def test_what_is_not_measured_is_stepped_over(tmp_path):
    rows = changed(
        METRES, (9, INC, "not measured: tool failed"), (2, AZ, "n/a: vertical"), (20, TVD, "")
    )
    assert found(tmp_path, METRES_HEAD, rows) == []


def test_a_suspicion_blocks_the_job_until_it_is_accepted(tmp_path):
    rows = changed(METRES, (8, DLS, "5.42"))
    text = "\n".join(",".join(row) for row in [METRES_HEAD, *rows]) + "\n"
    files = files_1() | {"survey.csv": text}
    assert read_job(put(tmp_path / "a", files)).is_blocked
    accepted = (
        "file,row,field,was,now,who,when,why\n"
        "survey.csv,8,dogleg,5.42,5.42,A. Pell,2024-05-02,as the sheet says\n"
    )
    result = read_job(put(tmp_path / "b", files | {"corrections.csv": accepted}))
    assert not result.is_blocked, [str(one) for one in result.issues]


def test_stations_and_their_digits():
    job = read_job(example_path("skerrow_a09")).require_job()
    rows = station_rows(job)
    assert [one.index for one in rows] == list(range(len(METRES)))
    half = half_digit(one.row.inclination_rad for one in rows)
    assert half == pytest.approx(math.radians(0.05), rel=1e-12)
    assert half_digit(one.row.md_m for one in rows) == pytest.approx(0.5)
    assert half_digit(()) == 0
    assert unit_typed(one.row.dogleg_rad_m for one in rows) == "°/30 m"


def test_doglegs_written_back_are_bare_numbers_under_their_heading(tmp_path):
    write_folder(read_job(example_path("quernstone_14")).require_job(), tmp_path)
    text = (tmp_path / "survey.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    column_name = next(name for name in rows[0] if name.startswith("dogleg ["))
    assert [row[column_name] for row in rows] == [row[DLS] for row in FEET]
