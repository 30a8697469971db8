"""Who bears drag along the strings: by hand on a straight pair, and balances on random ones."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_axial import pull
from abreast.mechanics.twin_beam_mesh import mesh

EI, EA = 1e5, 2e8


def pair(
    clamps_m: tuple[float, ...], grips: bool, *, base: bool, union: str = "free", at_m=(6.0,)
) -> TwinBeam:
    """An ESP side from -2 to 12 m and a bypass from 0 to 10 m that touches at some depths."""
    main = BeamString("esp", (BeamSegment("esp", -2, 12, EI, 100, ea_n=EA),), ())
    discs = tuple(Disc(at, 0.1, 0.0, 0.03, f"at {at}") for at in at_m)
    bypass = BeamString("bypass", (BeamSegment("pipe", 0, 10, EI, 50, ea_n=EA, x_m=0.1),), discs)
    links = [Link(0, "rigid", name="Y-tool")]
    links += [Link(at, "clamp", 0.001, f"C{at:g}", grips) for at in clamps_m]
    if base:
        links.append(Link(10, "rigid", name="base"))
    return TwinBeam((main, bypass), tuple(links), (Held(0, -2),), union)  # type: ignore[arg-type]


def solved(twin: TwinBeam, drag_n: float):
    cut = mesh(twin, 1.0)
    none = np.zeros((1, len(cut.segments)))
    drags = np.zeros((1, cut.walls))
    for wall, one in enumerate(cut.contacts[: cut.walls]):
        drags[0, wall] = drag_n if one.string == 1 else 0.0
    return cut, pull(cut, none, drags, np.zeros(1))


def tension_at(cut, axial, string: int, at_m: float) -> float:
    for element, n in enumerate(cut.string):
        top_m = cut.node_m[cut.upper[element]]
        if n == string and top_m <= at_m < top_m + cut.length_m[element]:
            return float(axial.tension_n[0, element])
    raise AssertionError


def test_drag_between_two_grips_is_shared_as_in_a_bar_held_at_both_ends():
    """1 kN at 6 m between grips at 4 and 8 m: half goes up, half down."""
    cut, axial = solved(pair((4.0, 8.0), True, base=False), 1000.0)
    assert tension_at(cut, axial, 1, 5.2) == pytest.approx(-500)
    assert tension_at(cut, axial, 1, 7.2) == pytest.approx(500)
    assert tension_at(cut, axial, 1, 2.2) == tension_at(cut, axial, 1, 9.2) == 0
    assert tension_at(cut, axial, 0, 9.2) == 0
    assert tension_at(cut, axial, 0, 6.2) == pytest.approx(-500)
    assert tension_at(cut, axial, 0, 2.2) == pytest.approx(-1000)
    assert dict(zip(["Y", "C4", "C8"], axial.grip_n[0], strict=True)) == pytest.approx(
        {"Y": 0, "C4": 500, "C8": 500}
    )
    assert axial.top_n[0] == pytest.approx(-1000)


def test_drag_below_the_last_grip_all_goes_up_to_it():
    cut, axial = solved(pair((4.0,), True, base=False), 1000.0)
    assert tension_at(cut, axial, 1, 5.2) == pytest.approx(-1000)
    assert tension_at(cut, axial, 1, 7.2) == 0
    assert axial.grip_n[0, 1] == pytest.approx(1000)


def test_without_a_grip_it_goes_to_the_y_tool_or_the_base():
    cut, axial = solved(pair((4.0,), False, base=False), 1000.0)
    assert tension_at(cut, axial, 1, 2.2) == pytest.approx(-1000)
    cut, axial = solved(pair((4.0,), False, base=True), 1000.0)
    assert tension_at(cut, axial, 1, 2.2) == 0
    assert tension_at(cut, axial, 1, 7.2) == pytest.approx(1000)
    assert tension_at(cut, axial, 0, 2.2) == pytest.approx(-1000)


def test_above_the_first_grip_of_a_free_union_it_goes_down():
    cut, axial = solved(pair((8.0,), True, base=True), 1000.0)
    assert tension_at(cut, axial, 1, 7.2) == pytest.approx(1000)
    assert tension_at(cut, axial, 1, 2.2) == 0
    cut, axial = solved(pair((8.0,), True, base=True, union="locked"), 1000.0)
    assert tension_at(cut, axial, 1, 2.2) == pytest.approx(-250)
    assert tension_at(cut, axial, 1, 7.2) == pytest.approx(750)


@given(
    clamps=st.sets(st.integers(1, 9), max_size=4),
    touch=st.sets(st.integers(1, 9), min_size=1, max_size=5),
    grips=st.booleans(),
    base=st.booleans(),
    union=st.sampled_from(["free", "locked"]),
    drag_n=st.floats(-5e3, 5e3),
)
def test_the_top_carries_all_drag_however_it_gets_there(clamps, touch, grips, base, union, drag_n):
    twin = pair(
        tuple(float(at) for at in sorted(clamps)),
        grips,
        base=base,
        union=union if base else "free",
        at_m=tuple(float(at) for at in sorted(touch)),
    )
    _, axial = solved(twin, drag_n)
    assert axial.top_n[0] == pytest.approx(-drag_n * len(touch), abs=1e-6)
