"""The contact calculator at its edges: no room, strong pulls, strings at the start of a survey."""

from __future__ import annotations

import math

import pytest
from tests.closed_form.test_contact_beam_closed_form import lies, part, string

from abreast.actions.calculators import run
from abreast.errors import InputError

STATIONS = [
    {"md_m": md, "inclination_rad": inc, "azimuth_rad": 1.0} for md, inc in ((0, 0.5), (100, 0.5))
]


@pytest.mark.parametrize("hole", [{}, {"stations": STATIONS, "zero_md_m": 40.0}])
@pytest.mark.parametrize("over_m", [1e-6, 3e-4, 0.05])
def test_a_part_wider_than_its_hole_does_not_fit_however_little(hole, over_m):
    beam = string(6, 2e6, [part(0, 0.2), part(3, 0.21 + over_m, id="wide"), part(6, 0.2)])
    found = run("contact-beam", {"strings": [beam], "bore_m": 0.21, **hole})
    assert (found["state"], found["where"]) == ("does not fit", "wide")
    assert "moment_nm" not in found


def test_a_part_as_wide_as_its_hole_stays_in_the_middle_of_it():
    beam = string(6, 2e6, [part(0, 0.21), part(3, 0.21), part(6, 0.21)], load_x_n_m=100.0)
    found = lies(beam, bore_m=0.21)
    assert max(abs(one["x_m"]) for one in found["places"]) < 1e-6


@pytest.mark.parametrize(
    ("across", "fits"), [({}, True), ({"x_m": 0.006}, False), ({"diameter_m": 0.5}, False)]
)
def test_a_part_where_the_string_is_held_must_fit_as_it_is(across, fits):
    beam = string(6, 2e6, [part(0, 0.19) | across])
    case = {"strings": [beam], "bore_m": 0.2, "held": [{"at_m": 0.0, "how": "built-in"}]}
    if fits:
        assert run("contact-beam", case)["state"] == "ok"
        return
    with pytest.raises(InputError, match=r"^held.1: part 1 does not fit"):
        run("contact-beam", case)


@pytest.mark.parametrize("zero_md_m", [0.0, 1.0, 94.0])
def test_a_string_may_begin_and_end_with_the_survey(zero_md_m):
    """Held by two couplings on the low side: each bears half of what lies across the hole."""
    beam = string(6, 2e6, [part(0, 0.2), part(6, 0.2)], weight_n_m=100.0)
    found = lies(beam, bore_m=0.21, stations=STATIONS, zero_md_m=zero_md_m)
    assert found["side_n"] == pytest.approx(600 * math.sin(0.5), rel=1e-6)


@pytest.mark.parametrize(("zero_md_m", "lies_to"), [(-1.0, "from -1 to 5"), (95.0, "95 to 101")])
def test_a_string_beyond_the_survey_is_refused_with_both_lengths(zero_md_m, lies_to):
    beam = string(6, 2e6, [part(0, 0.2), part(6, 0.2)])
    case = {"strings": [beam], "bore_m": 0.21, "stations": STATIONS, "zero_md_m": zero_md_m}
    with pytest.raises(InputError, match=rf"{lies_to} m of the hole; it goes from 0 to 100 m"):
        run("contact-beam", case)


@pytest.mark.parametrize("pull_n", [1e5, 1e6, 1e7])
def test_a_hard_pulled_beam_bends_close_to_its_ends_only(pull_n):
    """Built in, w L / 2k coth(kL/2) - w / k2, k2 = T/EI (Timoshenko and Gere, from memory)."""
    length, ei, w = 100.0, 1e5, 100.0
    held = [{"at_m": at, "how": "built-in"} for at in (0.0, length)]
    found = lies(string(length, ei, tension_n=pull_n, load_x_n_m=w), held=held)
    k = math.sqrt(pull_n / ei)
    by_hand = w * length / 2 / k / math.tanh(k * length / 2) - w / k**2
    assert found["moment_nm"] == pytest.approx(by_hand, rel=1e-4)


@pytest.mark.parametrize("times_euler", [1.5, 2.5])
def test_a_straight_strut_is_upset_by_a_touch_and_leans_on_its_bore(times_euler):
    """Feodosyev's column (from memory): the wall at mid-length, moment EI c k2 sin/(sin - cos)."""
    length, ei, bore_m = 12.0, 1e5, 0.04
    euler_n = math.pi**2 * ei / length**2
    parts = [part(0.5 * k) for k in range(1, 24)]
    beam = string(length, ei, parts, tension_n=-times_euler * euler_n)
    held = [{"at_m": at} for at in (0.0, length)]
    found = run("contact-beam", {"strings": [beam], "held": held, "bore_m": bore_m})
    assert found["state"] == "leans"
    half = math.sqrt(times_euler) * math.pi / 2
    wave = (bore_m / 2) / (math.sin(half) - half * math.cos(half))
    k = 2 * half / length
    assert found["moment_nm"] >= ei * wave * k**2 * math.sin(half) * (1 - 1e-3)
    assert found["side_n"] == pytest.approx(
        -2 * times_euler * euler_n * wave * k * math.cos(half), rel=2e-3
    )


@pytest.mark.parametrize("near_m", [0.0011, 0.003, 0.012])
def test_places_a_millimetre_apart_leave_five_digits(near_m):
    """5wL4/384EI and wL2/8, and three contacts in a bend, 48 EI (kL2/8 - c)/L3 on the middle."""
    length, w, ei = 12.0, 30.0, 2.0e5
    near = [6.0 + near_m * k for k in (-1, 0, 1)]
    held = [{"at_m": at} for at in (0.0, near_m, length)]
    found = lies(string(length, load_x_n_m=w), held=[held[0], held[2]], asked_m=near)
    middle = next(one for one in found["places"] if one["at_m"] == 6.0)
    assert middle["x_m"] == pytest.approx(5 * w * length**4 / (384 * ei), rel=1e-5)
    assert middle["moment_x_nm"] == pytest.approx(-w * length**2 / 8, rel=1e-5)
    bend, gap = math.radians(4) / 30, 0.02
    parts = [part(at) for at in (0.0, near[0], near[1], near[2], length)]
    rod = string(length, ei, parts)
    found = lies(rod, bore_m=gap, dogleg_rad_m=bend)
    push = 48 * ei * (bend * length**2 / 8 - gap) / length**3
    middle_n = sum(one["force_n"] for one in found["touching"] if abs(one["at_m"] - 6.0) < 0.1)
    assert middle_n == pytest.approx(push, rel=1e-5 + 0.5 * near_m**2)
    # Two supports close together clamp the end: wL2/8 there, as of a propped cantilever.
    found = lies(string(length, load_x_n_m=w), held=held)
    assert found["moment_nm"] == pytest.approx(w * length**2 / 8, rel=3 * near_m / length + 1e-4)
