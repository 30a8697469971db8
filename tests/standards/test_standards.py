"""The data files: complete, sourced, and true to the identities that tie their columns."""

import pytest

from abreast.errors import InputError
from abreast.formulas.tubulars import drift_diameter, plain_end_weight
from abreast.standards import (
    api_make_up,
    casing,
    casing_table,
    eue_torque,
    eue_torque_table,
    grade,
    grade_table,
    make_up_table,
    nearest_pipe,
    pipe_remarks,
    tubing,
    tubing_table,
)

INCH = 0.0254
LB_FT = 0.45359237 / 0.3048
PIPES = [*(("casing", row) for row in casing_table()), *(("tubing", row) for row in tubing_table())]
EVERY_ROW = [
    *casing_table(),
    *tubing_table(),
    *make_up_table(),
    *eue_torque_table(),
    *grade_table(),
]


@pytest.mark.parametrize(("kind", "row"), PIPES, ids=lambda x: getattr(x, "name", x))
class TestRows:
    def test_bore_is_outside_less_two_walls(self, kind, row):
        assert row.od_m - 2 * row.wall_m == pytest.approx(row.bore_m, abs=0.0006 * INCH)

    def test_drift_follows_the_rule(self, kind, row):
        assert row.drift_m == pytest.approx(
            drift_diameter(row.od_m, row.bore_m, kind), abs=0.0006 * INCH
        )

    def test_nominal_weight_is_a_little_more_than_plain_end(self, kind, row):
        plain = plain_end_weight(row.od_m, row.wall_m)
        assert all(1.0 <= weight / plain <= 1.07 for weight in row.weights_kg_m)

    def test_couplings_are_wider_than_the_pipe(self, kind, row):
        names = [n for n in row.__slots__ if "coupling" in n or n == "upset_od_m"]
        given = [x for n in names if (x := getattr(row, n)) is not None]
        assert all(x > row.od_m for x in given)

    def test_no_remark_on_the_row_itself(self, kind, row):
        for weight in row.weights_kg_m:
            remarks = pipe_remarks(
                kind,
                od_m=row.od_m,
                wall_m=row.wall_m,
                bore_m=row.bore_m,
                drift_m=row.drift_m,
                weight_kg_m=weight,
            )
            assert remarks == ()

    def test_it_is_its_own_nearest(self, kind, row):
        assert nearest_pipe(kind, row.od_m, row.bore_m) is row


@pytest.mark.parametrize("row", casing_table(), ids=lambda r: r.name)
def test_special_drift_lies_between_api_drift_and_bore(row):
    if row.special_drift_m is not None:
        assert row.drift_m < row.special_drift_m < row.bore_m
        remarks = pipe_remarks(
            "casing", od_m=row.od_m, bore_m=row.bore_m, drift_m=row.special_drift_m
        )
        assert [r.code for r in remarks] == ["drift-above-api"]


@pytest.mark.parametrize("row", EVERY_ROW, ids=lambda r: type(r).__name__)
def test_every_row_says_where_it_comes_from(row):
    assert row.source.startswith("API ")
    assert "read" in row.source or "memory" in row.source


def test_the_tables_are_whole():
    assert (len(casing_table()), len(tubing_table())) == (47, 10)
    assert len({row.name for row in casing_table()}) == 47


@pytest.mark.parametrize("size", ["9-5/8", "9 5/8", '9 5/8"', "9.625", "9-5/8 in", "244.5 mm"])
def test_a_size_may_be_written_as_people_write_it(size):
    assert casing(size, 47).name == "9-5/8 in 47 lb/ft"


def test_tubing_is_called_by_either_weight():
    assert tubing("2-3/8", 4.6) is tubing("2-3/8", 4.7)
    assert tubing("3-1/2", 10.2).name == "3-1/2 in 10.2 lb/ft"


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: casing("9-5/8", 48), "47"),
        (lambda: casing("9-1/8", 47), "9-5/8"),
        (lambda: tubing("2-7/8", 6.0), "6.5"),
        (lambda: api_make_up("2-7/8", "SF"), "data sheet"),
        (lambda: api_make_up("5", "EUE"), "2-7/8"),
        (lambda: eue_torque("2-7/8", 6.5, "P110"), "L80"),
        (lambda: eue_torque("2-7/8", 7.9, "L80"), "8.7"),
        (lambda: grade("X52"), "L80"),
    ],
)
def test_what_is_not_in_a_table_is_said_with_what_is(call, said):
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == "not-in-table"
    assert said in caught.value.message


def test_size_that_is_no_length_is_refused():
    with pytest.raises(InputError, match="cannot be read"):
        casing("large", 47)


@pytest.mark.parametrize("name", ["L80", "l-80", "L80-1", " L 80 "])
def test_grade_names(name):
    assert grade(name).grade == "L80"


@pytest.mark.parametrize(
    ("given", "codes", "said"),
    [
        ({"od": 9.625, "bore": 8.681, "drift": 8.681}, ["drift-is-bore"], "8.525 in"),
        ({"od": 9.625, "bore": 8.681, "drift": 8.75}, ["drift-above-bore"], "8.525 in"),
        ({"bore": 8.681, "drift": 8.681}, ["drift-is-bore"], "itself"),
        ({"od": 9.625, "bore": 8.681, "drift": 8.6}, ["drift-above-api"], "proof"),
        ({"od": 9.625, "bore": 8.681, "drift": 8.5}, [], ""),
        ({"od": 9.625, "wall": 0.435, "bore": 8.681}, ["bore-not-od-less-walls"], "8.755"),
        ({"od": 9.625, "bore": 8.755, "weight": 47}, ["weight-not-bore"], "43.5 lb/ft"),
        ({"od": 9.625, "wall": 0.435, "weight": 47}, ["weight-not-bore"], "8.681 in"),
        ({"od": 9.625, "bore": 8.7, "weight": 47}, ["weight-not-bore"], "8.681 in"),
        ({"od": 9.5, "wall": 0.472, "weight": 60}, ["weight-not-wall"], "45.56 lb/ft"),
        ({"od": 9.5, "wall": 0.472, "weight": 46}, [], ""),
        ({"od": 9.625}, [], ""),
        ({}, [], ""),
    ],
)
def test_slips_that_the_table_catches(given, codes, said):
    fields = {
        "od_m": given.get("od"),
        "wall_m": given.get("wall"),
        "bore_m": given.get("bore"),
        "drift_m": given.get("drift"),
    }
    si = {name: None if x is None else x * INCH for name, x in fields.items()}
    weight = given.get("weight")
    remarks = pipe_remarks("casing", weight_kg_m=weight and weight * LB_FT, **si)
    assert [remark.code for remark in remarks] == codes
    assert all(said in remark.message for remark in remarks)


def test_remarks_speak_the_users_units():
    (remark,) = pipe_remarks("casing", od_m=0.2445, bore_m=0.2205, drift_m=0.2205, system="SI")
    assert "220.5 mm" in remark.message
    assert "216.5 mm" in remark.message


def test_metric_figures_of_a_table_raise_no_remark():
    """9-5/8 in 47 lb/ft as a metric table rounds it."""
    remarks = pipe_remarks(
        "casing", od_m=0.24448, wall_m=0.01199, bore_m=0.2205, drift_m=0.21654, weight_kg_m=69.94
    )
    assert remarks == ()
