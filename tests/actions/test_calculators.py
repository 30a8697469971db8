"""Every calculator: its example runs, its schema is true, nonsense gets one sentence."""

import copy
import json
import math

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from abreast.actions import calculators
from abreast.errors import InputError
from abreast.formulas.makeup import torque_window
from abreast.formulas.measuring import ErrorTerm, closure_error
from abreast.formulas.tubulars import drift_diameter, plain_end_weight
from abreast.standards import eue_torque
from abreast.units import dimension_of_field

INCH, LB_FT = 0.0254, 0.45359237 / 0.3048
NAMES = [name for name, _ in calculators.names()]
# Numbers without a unit of their own; 'si' and 'value' carry it in a field beside them.
UNITLESS = {"legs", "count", "friction_factor", "ratio_factor", "si", "value"}


def refusal(name, data):
    with pytest.raises(InputError) as caught:
        calculators.run(name, data)
    return caught.value


def objects_in(schema):
    """The schema itself and every object it defines."""
    return [schema, *schema.get("$defs", {}).values()]


@pytest.mark.parametrize("name", NAMES)
class TestEveryCalculator:
    def test_its_example_fits_its_schema_and_runs(self, name):
        example, schema = calculators.example(name), calculators.schema(name)
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.validate(json.loads(json.dumps(example)), schema)
        result = calculators.run(name, example)
        jsonschema.validate(json.loads(json.dumps(result, allow_nan=False)), schema["x-output"])

    def test_it_shows_formula_and_source(self, name):
        schema = calculators.schema(name)
        assert schema["x-formula"]
        assert schema["x-source"]
        assert schema["description"] == dict(calculators.names())[name]

    def test_every_field_is_described_and_carries_its_unit(self, name):
        schema = calculators.schema(name)
        for part in objects_in(schema) + objects_in(schema["x-output"]):
            for field, facts in part.get("properties", {}).items():
                assert facts.get("description"), field
                kinds = {facts.get("type"), *(x.get("type") for x in facts.get("anyOf", ()))}
                if {"number", "integer"} & kinds and field not in UNITLESS:
                    assert dimension_of_field(field), field

    def test_a_number_that_is_none_is_refused(self, name):
        example = calculators.example(name)
        for field, value in example.items():
            if not isinstance(value, float):
                continue
            for bad in (math.nan, math.inf, -math.inf, "1.0", True, None, [], {}, 10**400, -1e300):
                error = refused_or_finite(name, {**example, field: bad})
                if error is None:  # an optional field may be left out
                    assert bad is None
                else:
                    assert error.where.field == field

    def test_an_unknown_field_is_refused(self, name):
        error = refusal(name, {**calculators.example(name), "colour": "red"})
        assert (error.code, error.where.field) == ("bad-input", "colour")

    def test_what_is_no_object_is_refused(self, name):
        for data in ([], None, "x", 3.0):
            assert "one JSON object" in refusal(name, data).message

    @settings(deadline=None, max_examples=40)
    @given(chance=st.data())
    def test_wild_figures_give_a_finite_result_or_one_sentence(self, name, chance):
        data = copy.deepcopy(calculators.example(name))
        field = chance.draw(st.sampled_from(sorted(data)))
        data[field] = chance.draw(WILD)
        refused_or_finite(name, data)


WILD = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.floats(1e-6, 1e3)
    | st.text(max_size=70),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=12), inner, max_size=3)
    ),
    max_leaves=6,
)


def refused_or_finite(name, data):
    """The refusal, or None when there is a result, which must be plain finite JSON."""
    try:
        json.dumps(calculators.run(name, data), allow_nan=False)
    except InputError as error:
        assert error.message
        assert "\n" not in error.message
        return error
    return None


@settings(deadline=None)
@given(st.sampled_from(NAMES), st.dictionaries(st.text(max_size=12), WILD, max_size=4))
def test_any_object_is_answered(name, data):
    refused_or_finite(name, data)


def test_what_there_is():
    wanted = {
        "convert",
        "drift",
        "effective-length",
        "error-budget",
        "make-up-loss",
        "make-up-torque",
        "plain-end-weight",
        "tape-temperature",
    }
    assert wanted <= set(NAMES)
    assert sorted(NAMES) == NAMES
    assert all(summary for _, summary in calculators.names())


@pytest.mark.parametrize("call", [calculators.schema, calculators.example])
def test_an_unknown_name_suggests_the_nearest(call):
    with pytest.raises(InputError, match="did you mean drift") as caught:
        call("drfit")
    assert caught.value.code == "unknown-calculator"
    with pytest.raises(InputError, match=r"there are .*plain-end-weight"):
        call("zzz")


def test_results_are_those_of_the_formulas():
    pipe = {"od_m": 9.625 * INCH, "bore_m": 8.681 * INCH}
    result = calculators.run("drift", {"kind": "casing", **pipe})
    assert result["drift_m"] == drift_diameter(pipe["od_m"], pipe["bore_m"], "casing")
    assert result["name"] == "9-5/8 in 47 lb/ft"
    worn = calculators.run("drift", {"kind": "casing", "od_m": 0.2445, "bore_m": 0.2235})
    assert "name" not in worn
    result = calculators.run("plain-end-weight", {"od_m": 0.1143, "wall_m": 0.00635})
    assert result["weight_kg_m"] == plain_end_weight(0.1143, 0.00635)
    terms = [{"spread_m": 0.002, "count": 9}, {"spread_m": 0.006, "common": True}]
    result = calculators.run("error-budget", {"terms": terms})
    error = closure_error([ErrorTerm(0.002, 9), ErrorTerm(0.006, common=True)])
    assert (result["quadrature_m"], result["worst_m"]) == (error.quadrature_m, error.worst_m)


def test_drift_from_the_wall_is_that_from_the_bore():
    by_wall = {"kind": "tubing", "od_m": 2.875 * INCH, "wall_m": 0.217 * INCH}
    by_bore = {"kind": "tubing", "od_m": 2.875 * INCH, "bore_m": 2.441 * INCH}
    first, second = calculators.run("drift", by_wall), calculators.run("drift", by_bore)
    assert first["drift_m"] == pytest.approx(second["drift_m"], rel=1e-12)
    assert refusal("drift", {"kind": "tubing", "od_m": 0.073}).message == "give bore_m or wall_m"


def test_drift_tells_a_drift_that_is_the_bore():
    pipe = {"kind": "casing", "od_m": 0.244475, "bore_m": 0.2204974, "stated_drift_m": 0.2204974}
    (remark,) = calculators.run("drift", pipe)["remarks"]
    assert "inside diameter itself" in remark


def test_string_heights_and_the_faulty_piece_by_its_place():
    pieces = [{"overall_m": 9.5, "make_up_loss_m": 0.1}, {"overall_m": 3.1, "make_up_loss_m": 0.1}]
    result = calculators.run("string-length", {"pieces": pieces, "bottom_m": 1.0})
    assert result == {"length_m": 12.4, "tops_m": [10.4, 13.4]}
    pieces[1] = {"id": "P07", "overall_m": 3.1, "make_up_loss_m": 4.0}
    error = refusal("string-length", {"pieces": pieces})
    assert (error.where.field, error.where.piece) == ("pieces.2.make_up_loss_m", "P07")


def test_make_up_loss_by_name_and_by_coupling():
    by_name = calculators.run("make-up-loss", {"size": "2-7/8", "end": "EUE"})
    by_length = calculators.run("make-up-loss", {"coupling_length_m": 5.25 * INCH})
    assert by_name["make_up_loss_m"] == by_length["make_up_loss_m"] == pytest.approx(2.125 * INCH)
    assert "memory" in by_name["basis"]
    assert "size and end" in refusal("make-up-loss", {}).message


def test_make_up_torque_by_name_and_by_sheet():
    named = {"size": "2-7/8", "weight_kg_m": 6.5 * LB_FT, "grade": "L80"}
    table = eue_torque("2-7/8", 6.5, "L80")
    result = calculators.run("make-up-torque", {**named, "friction_factor": 0.9})
    assert result["optimum_nm"] == pytest.approx(0.9 * table.optimum_nm)
    result = calculators.run("make-up-torque", {"optimum_nm": 2000.0, "arm_m": 0.5})
    window = torque_window(2000.0)
    assert (result["minimum_nm"], result["maximum_nm"]) == (window.minimum_nm, window.maximum_nm)
    assert result["line_pull_n"] == pytest.approx(4000.0)
    stated = {"optimum_nm": 2000.0, "minimum_nm": 1900.0, "maximum_nm": 2100.0}
    assert calculators.run("make-up-torque", stated)["basis"] == "torques as given"
    assert "grade" in refusal("make-up-torque", {"size": "2-7/8"}).message


def test_error_budget_against_the_stroke():
    given = {"terms": [{"spread_m": 0.01, "count": 4}], "half_stroke_m": 0.05}
    result = calculators.run("error-budget", given)
    assert result["stroke_ratio"] == pytest.approx(2.5)
    assert result["covers_worst"] is True
    given["half_stroke_m"] = 0.039
    assert calculators.run("error-budget", given)["covers_worst"] is False
    exact = calculators.run("error-budget", {"terms": [{"spread_m": 0}], "half_stroke_m": 1.0})
    assert "stroke_ratio" not in exact


def test_tape_and_pipe_temperature():
    result = calculators.run("tape-temperature", {"reading_m": 30.0, "tape_k": 313.15})
    assert result["true_m"] == pytest.approx(30.0 * (1 + 12.42e-6 * 20), rel=1e-12)
    assert "at_wanted_m" not in result
    both = {"reading_m": 30.0, "tape_k": 313.15, "pipe_k": 313.15, "wanted_k": 293.15}
    assert calculators.run("tape-temperature", both)["at_wanted_m"] == pytest.approx(30.0, abs=1e-5)


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"text": "31 ft 5 in", "to": "m"}, {"value": 9.5758, "quantity": "length"}),
        ({"text": "26.4 lb/ft", "to": "kg/m"}, {"quantity": "mass per length"}),
        ({"text": "180 degF", "to": "°C"}, {"quantity": "temperature", "metric": "82.2 °C"}),
        (
            {"text": "40 °F", "quantity": "temperature difference"},
            {"metric": "22.2 K", "reading": "40 °F"},
        ),
        ({"text": "31.42", "written_in": "ft"}, {"feet_inches": "31 ft 5 1/16 in"}),
        ({"text": "8.6 ppg", "to": "SG"}, {"quantity": "density", "oilfield": "8.60 ppg"}),
        ({"text": "62 %", "quantity": "ratio"}, {"si": 0.62}),
    ],
)
def test_convert_reads_what_people_write(given, expected):
    result = calculators.run("convert", given)
    assert {key: result[key] for key in expected} == pytest.approx(expected)


@pytest.mark.parametrize(
    ("given", "code", "field"),
    [
        ({"text": "9,577 m"}, "decimal-comma", "text"),
        ({"text": "31.42"}, "needs-unit", "text"),
        ({"text": "5 zorks"}, "unknown-unit", "text"),
        ({"text": "5 ft", "to": "kg"}, "wrong-dimension", "to"),
        ({"text": "5 ft", "quantity": "mass"}, "wrong-dimension", "text"),
        ({"text": "5", "quantity": "weightiness"}, "bad-input", "quantity"),
        ({"text": "9**9**9 m"}, "not-a-number", "text"),
        ({"text": "nan m"}, "not-a-number", "text"),
    ],
)
def test_convert_asks_back(given, code, field):
    error = refusal("convert", given)
    assert (error.code, error.where.field) == (code, field)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("drift", {}, "kind: this field is missing (and 1 more fault in the input)"),
        ("drift", {"kind": "pipe", "od_m": 1.0}, "kind: 'pipe' must be 'casing' or 'tubing'"),
        ("drift", {"kind": "casing", "od": 0.2}, "od: no such field; did you mean od_m?"),
        (
            "drift",
            {"kind": "casing", "od_m": 0.2, "bore_m": 0.3},
            "bore_m: 0.3 must be below od_m (0.2)",
        ),
        ("error-budget", {"terms": []}, "terms: has 0 entries, and needs 1 at least"),
        (
            "error-budget",
            {"terms": [{"spread_m": 1, "count": 0}]},
            "terms.1.count: 0 must be at least 1",
        ),
        (
            "error-budget",
            {"terms": [{"spread_m": "1"}]},
            "terms.1.spread_m: must be a number, without unit or quotes",
        ),
        (
            "sling-load",
            {"load_n": 1.0, "legs": 2, "angle_rad": 0.1},
            "angle_rad: 5.7 degrees is too flat; legs below 30 degrees above the horizontal need"
            " engineering of their own",
        ),
    ],
)
def test_the_sentence_names_field_value_and_bound(name, data, said):
    assert str(refusal(name, data)).startswith(said)
