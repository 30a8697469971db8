"""The calculator of drift dummies: as hard as the real body, and one sentence for nonsense."""

from __future__ import annotations

import math

import pytest

from abreast.actions.dummy_calculators import CALCULATORS
from abreast.errors import InputError

(DUMMY,) = CALCULATORS


def run(**changes):
    return DUMMY.run({**DUMMY.example, **changes})


def test_the_wanted_dummy_pushes_as_hard():
    """Both lie on the bend: 2 EI kappa/a, a = sqrt(6c/kappa), c 2.6 and 2.0 mm, by hand.

    a = 2.843 m and 2.494 m, so 1,765 N and 2,509 N m, and 1.140e6 N m2 for the dummy.
    """
    found = run()
    assert found["real_n"] == pytest.approx(1765.0, abs=0.05)
    assert found["dummy_n"] == pytest.approx(found["real_n"])
    assert found["wanted_ei_nm2"] == pytest.approx(1.3e6 * math.sqrt(2.0 / 2.6))
    bar_nm2 = 2.07e11 * math.pi / 64 * found["wanted_bar_m"] ** 4
    assert bar_nm2 == pytest.approx(found["wanted_ei_nm2"])
    assert any("survey does not see" in line for line in found["does_not_prove"])


def test_a_dummy_of_a_known_stiffness_is_judged_as_it_is():
    found = run(dummy_ei_nm2=1e5)
    assert "wanted_ei_nm2" not in found
    assert found["dummy_n"] < found["real_n"]
    assert any("less than the real body" in line for line in found["does_not_prove"])


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"dummy_length_m": 0.5}, "pushes nowhere"),
        ({"length_m": 0.5}, "passes unbent"),
        ({"od_m": 0.3}, "below the bore"),
        ({"curvature_rad_m": 3.37}, "curvature_rad_m"),
        ({"ei_nm2": 0.0}, "ei_nm2"),
        ({"length_m": 1e-300}, "length_m"),
        ({"dummy_length_m": 1e-9}, "dummy_length_m"),
        ({"dummy_ei_nm2": -1.0}, "dummy_ei_nm2"),
    ],
)
def test_one_sentence_for_nonsense(changes, words):
    with pytest.raises(InputError) as caught:
        run(**changes)
    assert words in str(caught.value)
