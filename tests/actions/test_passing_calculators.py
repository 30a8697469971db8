"""The contact calculator: what it says of itself, and one plain sentence for nonsense."""

from __future__ import annotations

import copy
import json
import math

import pytest
from hypothesis import given as given_by
from hypothesis import settings
from hypothesis import strategies as st
from tests.mechanics import twins

from abreast.actions.calculators import example, run
from abreast.errors import InputError
from abreast.mechanics.beam_case import rest_in
from abreast.mechanics.twin_beam_mesh import mesh

SEGMENT = {"length_m": 10.0, "ei_nm2": 2e5}
PINNED = [{"at_m": 0.0}, {"at_m": 10.0}]
SURVEY = [{"md_m": md, "inclination_rad": 0.5, "azimuth_rad": 1.0} for md in (0.0, 100.0)]


def case(*, segment=None, string=None, **more):
    one = {"segments": [{**SEGMENT, **(segment or {})}], **(string or {})}
    return {"strings": [one], "held": PINNED, **more}


def twin(**more):
    beam = {"segments": [SEGMENT]}
    links = [{"at_m": 0.0}, {"at_m": 10.0}]
    return {"strings": [beam, beam], "links": links, "held": PINNED, **more}


def test_the_example_is_the_rod_that_is_too_long_for_its_bend():
    """48 EI/L3 (L2/8R - (D - d)): 1,271.1 lbf, by hand."""
    found = run("contact-beam", example("contact-beam"))
    push = {one["id"]: one["x_n"] for one in found["touching"]}
    assert -push["middle"] / 4.4482216 == pytest.approx(1271.1, rel=1e-4)
    assert push["top"] + push["middle"] + push["bottom"] == pytest.approx(0, abs=0.1)


def test_parts_and_segments_are_called_as_given_or_by_number():
    found = run("contact-beam", case(segment={"load_x_n_m": 1000.0}, bore_m=0.02, **two_parts()))
    assert found["touching"][0]["id"] == "part 1"
    assert found["segments"][0]["id"] == "segment 1"
    assert [one["at_m"] for one in found["places"]] == pytest.approx([0, 4, 5, 10])
    assert [one["id"] for one in found["places"]] == ["", "part 1", "part 2", ""]
    clamped = run("contact-beam", twin(**loaded()))["places"]
    assert [one["id"] for one in clamped] == ["link 1", "link 2"] * 2


def two_parts():
    return {
        "string": {"parts": [{"at_m": 4.0, "diameter_m": 0.001}, {"at_m": 5.0, "diameter_m": 0}]}
    }


def test_a_string_pushed_too_hard_says_so_and_gives_no_numbers():
    found = run("contact-beam", case(string={"tension_n": -1e9}))
    assert found == {"state": "buckled", "remarks": []}


@pytest.mark.parametrize(
    ("upper", "lower"),
    [
        ({"diameter_m": 0.19, "id": "narrow"}, {"diameter_m": 0.23}),
        ({"diameter_m": 0.1, "x_m": -0.16}, {"diameter_m": 0.11, "x_m": 0.16}),
    ],
)
def test_a_part_with_no_room_is_named(upper, lower):
    parts = [{"at_m": 4.0, "id": "wide", **upper}, {"at_m": 4.1, "id": "wide", **lower}]
    beam = {"segments": [SEGMENT], "parts": parts}
    found = run("contact-beam", {"strings": [beam], "held": PINNED, "bore_m": 0.22})
    assert (found["state"], found["where"]) == ("does not fit", "wide")
    assert "side_n" not in found


def test_no_clearance_at_all_follows_the_bend():
    """A part as wide as the bore stays on the axis; a beam that follows a bend has M = EI k."""
    parts = [{"at_m": 0.0, "diameter_m": 0.2, "length_m": 10.0}]
    found = run(
        "contact-beam",
        {"strings": [{"segments": [SEGMENT], "parts": parts}], "bore_m": 0.2, "dogleg_rad_m": 1e-3},
    )
    middle = [one for one in found["places"] if one["at_m"] == 0.0]
    assert found["state"] == "ok"
    assert max(abs(one["x_m"]) for one in middle) < 1e-5
    assert found["moment_nm"] == pytest.approx(2e5 * 1e-3, rel=0.1)


def test_steep_shapes_are_remarked():
    assert run("contact-beam", case())["remarks"] == []
    (remark,) = run("contact-beam", case(segment={"load_x_n_m": 2000.0}))["remarks"]
    assert "for small ones" in remark


def test_a_held_point_where_both_strings_are_joined_counts_once():
    """Held on the bypass or on the ESP side of a clamp: the same beam and the same reaction."""
    one = run("contact-beam", twin(held=[{"at_m": 0.0}, {"at_m": 10.0}], **loaded()))
    other = run(
        "contact-beam", twin(held=[{"at_m": 0.0, "string": "second"}, {"at_m": 10.0}], **loaded())
    )
    assert other["held"][0]["x_n"] == pytest.approx(one["held"][0]["x_n"], rel=1e-9)
    assert one["held"][0]["x_n"] == pytest.approx(-500.0, rel=1e-6)


def loaded():
    return {"strings": [{"segments": [{**SEGMENT, "load_x_n_m": 100.0}]}, {"segments": [SEGMENT]}]}


REFUSED = {
    "no string": ({"strings": []}, "strings"),
    "three strings": ({"strings": [{"segments": [SEGMENT]}] * 3}, "strings"),
    "no segment": ({"strings": [{"segments": []}]}, "strings.1.segments"),
    "no stiffness": (case(segment={"ei_nm2": 0.0}), "strings.1.segments.1.ei_nm2"),
    "negative length": (case(segment={"length_m": -1.0}), "strings.1.segments.1.length_m"),
    "shorter than a place": (
        case(segment={"length_m": 1e-9}, held=[{"at_m": 0.0, "how": "built-in"}]),
        "strings.1.segments.1.length_m",
    ),
    "not a number": (case(segment={"load_x_n_m": math.nan}), "strings.1.segments.1.load_x_n_m"),
    "endless": (case(string={"tension_n": math.inf}), "strings.1.tension_n"),
    "huge": (case(string={"tension_n": 1e300}), "strings.1.tension_n"),
    "a number in quotes": (case(bore_m="0.2"), "bore_m"),
    "negative bore": (case(bore_m=-0.2), "bore_m"),
    "negative diameter": (
        case(string={"parts": [{"at_m": 1.0, "diameter_m": -0.1}]}),
        "strings.1.parts.1.diameter_m",
    ),
    "beyond the string": (
        case(string={"parts": [{"at_m": 9.0, "diameter_m": 0.1, "length_m": 2.0}]}),
        "strings.1.parts.1.at_m",
    ),
    "asked beyond": (case(asked_m=[5.0, 11.0]), "asked_m.2"),
    "held beyond": (case(held=[{"at_m": 0.0}, {"at_m": 11.0}]), "held"),
    "held on no string": (case(held=[{"at_m": 0.0, "string": "second"}]), "held.1.string"),
    "held so": (case(held=[{"at_m": 0.0, "how": "welded"}]), "held.1.how"),
    "loose": (case(held=[{"at_m": 0.0}]), "held"),
    "nothing holds it": (case(held=[]), "held"),
    "second string loose": (twin(links=[{"at_m": 0.0}]), "held"),
    "second string only with play": (
        twin(links=[{"at_m": 0.0}, {"at_m": 10.0, "play_m": 0.01}]),
        "held",
    ),
    "load away from the wall": (
        case(held=[], segment={"load_x_n_m": -100.0}, floor_m=0.02, **two_parts()),
        "held",
    ),
    "one link for one string": (case(links=[{"at_m": 0.0}]), "links"),
    "two links at one place": (twin(links=[{"at_m": 0.0}] * 2), "links.2.at_m"),
    "stiff clamp with play": (
        twin(links=[{"at_m": 0.0}, {"at_m": 10.0, "kind": "stiff", "play_m": 0.01}]),
        "links.2.play_m",
    ),
    "link beyond": (twin(links=[{"at_m": 0.0}, {"at_m": 10.5}]), "links"),
    "places too near": (case(asked_m=[5.0, 5.0005]), "strings"),
    "lock without axial stiffness": (twin(union="locked"), "strings.1.segments.1.ea_n"),
    "lock without ends": (
        twin(
            union="locked",
            strings=[{"segments": [{**SEGMENT, "ea_n": 1e8}]}] * 2,
        ),
        "union",
    ),
    "parts but no wall": (case(held=[], **two_parts()), "bore_m"),
    "two walls": (case(bore_m=0.2, floor_m=0.1), "bores"),
    "far floor": (case(floor_m=1e6), "floor_m"),
    "bore upside down": (
        case(bores=[{"top_md_m": 5.0, "bottom_md_m": 5.0, "bore_m": 0.2}]),
        "bores.1.bottom_md_m",
    ),
    "no bore there": (
        case(bores=[{"top_md_m": 0.0, "bottom_md_m": 3.0, "bore_m": 0.2}], **two_parts()),
        "bores",
    ),
    "weight with no hole": (case(segment={"weight_n_m": 100.0}), "strings.1.segments.1.weight_n_m"),
    "roll with no hole": (case(roll_rad=1.0), "roll_rad"),
    "friction with no hole": (case(friction_ratio=0.2), "friction_ratio"),
    "friction above 1": (case(stations=SURVEY, friction_ratio=1.5), "friction_ratio"),
    "friction below 0": (case(stations=SURVEY, friction_ratio=-0.1), "friction_ratio"),
    "one station": (case(stations=SURVEY[:1]), "stations"),
    "survey turns back": (case(stations=SURVEY[::-1]), "stations.2.md_m"),
    "beyond the survey": (case(stations=SURVEY, zero_md_m=95.0), "stations"),
    "load in a hole": (
        case(stations=SURVEY, segment={"load_x_n_m": 1.0}),
        "strings.1.segments.1.load_x_n_m",
    ),
    "tension in a hole": (case(stations=SURVEY, string={"tension_n": 1.0}), "strings.1.tension_n"),
    "curvature twice": (case(stations=SURVEY, dogleg_rad_m=1e-3), "dogleg_rad_m"),
    "flat wall in a hole": (case(stations=SURVEY, floor_m=0.1), "floor_m"),
    "more than floats": (
        case(segment={"buoyant_ratio": 1.5}, stations=SURVEY),
        "strings.1.segments.1.buoyant_ratio",
    ),
    "too fine": (case(longest_m=1e-6), "longest_m"),
    "misspelt": (case(dogleg_rad=1e-3), "dogleg_rad"),
}


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize(
    "segment", [{"ei_nm2": 1e-300, "load_x_n_m": 1e12}, {"ei_nm2": 1e12, "load_x_n_m": -1e12}]
)
def test_figures_beyond_all_sense_end_in_one_sentence(segment):
    with pytest.raises(InputError, match="units"):
        run("contact-beam", case(segment=segment))


@pytest.mark.parametrize("name", REFUSED)
def test_nonsense_is_refused_with_its_field(name):
    given, field = REFUSED[name]
    with pytest.raises(InputError) as caught:
        run("contact-beam", given)
    assert caught.value.where.field == field
    assert "\n" not in caught.value.message


def leaves(data, path=()):
    """The path of every value in nested data."""
    if isinstance(data, dict):
        for name, part in data.items():
            yield from leaves(part, (*path, name))
    elif isinstance(data, list):
        for number, part in enumerate(data):
            yield from leaves(part, (*path, number))
    if path:
        yield path


WILD = (None, True, 0, 0.0, -1.0, 1e-9, 1e12, -1e12, 1e300, math.nan, math.inf, "1.0", [], {})


@pytest.mark.filterwarnings("error")
@settings(deadline=None, max_examples=80)
@given_by(chance=st.data())
def test_one_wild_value_anywhere_ends_in_a_result_or_one_sentence(chance):
    given = copy.deepcopy(chance.draw(st.sampled_from([FULL, twin(**loaded())])))
    *way, last = chance.draw(st.sampled_from(list(leaves(given))))
    part = given
    for step in way:
        part = part[step]
    part[last] = chance.draw(st.sampled_from(WILD) | st.floats(-100, 100))
    try:
        found = run("contact-beam", given)
    except InputError as fault:
        assert fault.message
        assert "\n" not in fault.message
    else:
        json.dumps(found, allow_nan=False)
        assert found["state"] in ("ok", "does not fit", "buckled")


FULL = {
    "strings": [
        {
            "segments": [
                {"length_m": 2.0, "ei_nm2": 1e5, "ea_n": 6e8, "weight_n_m": 100.0},
                {"length_m": 8.0, "ei_nm2": 8e5, "ea_n": 6e8, "weight_n_m": 200.0},
            ],
            "x_m": -0.05,
            "parts": [{"at_m": 1.0, "diameter_m": 0.1, "length_m": 3.0}],
        },
        {
            "segments": [{"length_m": 10.0, "ei_nm2": 1e5, "ea_n": 2e8, "weight_n_m": 90.0}],
            "x_m": 0.06,
            "parts": [{"at_m": 2.0, "diameter_m": 0.07, "length_m": 4.0}],
        },
    ],
    "links": [
        {"at_m": 0.0, "kind": "rigid"},
        {"at_m": 4.5, "play_m": 0.002},
        {"at_m": 10.0, "kind": "rigid"},
    ],
    "held": [{"at_m": 0.0}, {"at_m": 10.0, "how": "built-in"}],
    "union": "locked",
    "misfit_m": 1e-4,
    "bores": [{"top_md_m": 0.0, "bottom_md_m": 100.0, "bore_m": 0.23}],
    "stations": SURVEY,
    "zero_md_m": 50.0,
    "friction_ratio": 0.2,
    "way": "up",
    "asked_m": [3.0, 7.0],
}


def typed(whole):
    """A twin string of the contact model as a user would type it."""
    strings = [
        {
            "id": one.name,
            "top_m": one.top_m,
            "segments": [
                {
                    "id": part.name,
                    "length_m": part.bottom_m - part.top_m,
                    "ei_nm2": part.ei_nm2,
                    "ea_n": part.ea_n,
                    "weight_n_m": part.weight_n_m,
                    "buoyant_ratio": part.buoyant_ratio,
                    "x_m": part.x_m,
                }
                for part in one.segments
            ],
            "parts": [
                {
                    "id": disc.name,
                    "at_m": disc.at_m,
                    "length_m": disc.length_m,
                    "diameter_m": 2 * disc.radius_m,
                    "x_m": disc.x_m,
                    "y_m": disc.y_m,
                    "beside": disc.kind in ("body", "neck", "coupling"),
                }
                for disc in one.discs
            ],
        }
        for one in whole.strings
    ]
    links = [
        {"id": one.name, "at_m": one.at_m, "kind": one.kind, "play_m": one.play_m}
        for one in whole.links
    ]
    held = [{"at_m": one.at_m} for one in whole.held]
    return {"strings": strings, "links": links, "held": held, "union": whole.union}


HOLE = [  # that of twins.hole, in degrees
    (0.0, 0.0, 0.0),
    (200.0, 5.0, 20.0),
    (500.0, 30.0, 40.0),
    (900.0, 30.0, 40.0),
    (930.0, 32.1, 43.0),
    (1300.0, 30.0, 45.0),
    (1700.0, 22.0, 60.0),
]


@pytest.mark.parametrize("union", ["free", "locked"])
def test_a_whole_twin_in_its_hole_is_that_of_the_model(union):
    """60 m of ten sections with necks, eight joints, cable, clamps: typed, against the model."""
    whole, way = twins.twin(union=union), twins.hole()
    rows = [
        {"md_m": md_m, "inclination_rad": math.radians(inc), "azimuth_rad": math.radians(azi)}
        for md_m, inc, azi in HOLE
    ]
    given = {
        **typed(whole),
        "stations": rows,
        "zero_md_m": 430.0,
        "roll_rad": 0.7,
        "bore_m": twins.CASING_M,
        "fluid_md_m": 150.0,
        "friction_ratio": 0.25,
        "way": "down",
        "longest_m": 1.0,
    }
    found = run("contact-beam", given)
    model = rest_in(mesh(whole), way, 430.0, 0.7, 1.0)
    assert (found["state"], model.state) == ("ok", "ok")
    assert found["moment_nm"] == pytest.approx(float(model.shapes.moment_nm.max()), rel=1e-6)
    assert found["top_n"] == pytest.approx(model.top_n, rel=1e-9)
    assert found["drag_n"] == pytest.approx(model.drag_n, rel=1e-6)
    if union == "locked":
        assert found["union_n"] == pytest.approx(float(model.shapes.lock_n[0]), rel=1e-6)
