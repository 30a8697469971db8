"""The calculator of one string on its contacts: a worked case, and plain refusals."""

from __future__ import annotations

import pytest

from abreast.actions.calculators import example, run
from abreast.errors import InputError

LBF, IN = 4.4482216152605, 0.0254


def changed(**more):
    return {**example("contact-beam"), **more}


def test_the_example_is_the_rod_that_is_too_long_for_its_bend():
    """48 EI/L3 (L2/8R - (D - d)): 1,271.1 lbf and 76,267 lbf in (Roark's beam, worked by hand)."""
    found = run("contact-beam", example("contact-beam"))
    assert found["state"] == "ok"
    push = {one["id"]: one["force_n"] for one in found["touching"]}
    assert abs(push["middle"]) / LBF == pytest.approx(1271.1, rel=3e-3)
    assert push["top"] * push["middle"] < 0
    assert found["moment_nm"] / (LBF * IN) == pytest.approx(76267, rel=3e-3)


def test_a_string_pushed_too_hard_says_so_and_gives_no_numbers():
    found = run("contact-beam", changed(tension_n=-1e9))
    assert found["state"] == "buckled"
    assert "moment_nm" not in found


def test_a_part_wider_than_the_hole_does_not_fit_and_is_named():
    wide = [dict(one) for one in example("contact-beam")["contacts"]]
    wide[1]["diameter_m"] = 0.23
    found = run("contact-beam", changed(contacts=wide))
    assert (found["state"], found["where"]) == ("does not fit", "middle")
    assert "side_n" not in found


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"ei_nm2": -1.0}, "above 0"),
        ({"longest_m": 1e-6}, "elements"),
        ({"contacts": [{"at_m": 1.0, "diameter_m": 0.1}] * 2}, "different places"),
        ({"contacts": [{"at_m": -9.0, "diameter_m": 0.1}, {"at_m": 1.0, "diameter_m": 0.1}]}, "-9"),
    ],
)
def test_nonsense_is_refused_in_one_sentence(more, word):
    with pytest.raises(InputError, match=word):
        run("contact-beam", changed(**more))
