"""Where to set in words: a string with no room is told so, and gets no rank."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.drawing.runs import run_2

from abreast.mechanics.setting_bounds import Bound
from abreast.mechanics.setting_places import SettingScan
from abreast.mechanics.setting_words import no_room, setting_words
from abreast.mechanics.where_to_set import where_to_set


@pytest.fixture(scope="module")
def scan() -> SettingScan:
    job, assembly, _ = run_2()
    return where_to_set(job, assembly)


def bounded(scan: SettingScan, above_m: float, below_m: float) -> SettingScan:
    """Bounds that cross or not; where they cross, every depth is refused."""
    bounds = (
        Bound(above_m, False, "the pieces above are long", "no room above"),
        Bound(below_m, True, "it would enter the liner", "enters the liner"),
    )
    places = tuple(
        replace(one, bounds=tuple(b for b in bounds if b.refuses(one.top_md_m)))
        for one in scan.places
    )
    planned = next(one for one in places if one.is_planned)
    return replace(scan, bounds=bounds, places=places, planned=planned)


def test_a_string_longer_than_the_well_is_told_what_room_there_is(scan: SettingScan) -> None:
    crossed = bounded(scan, 2900.0, 2400.0)
    assert crossed.unrefused == 0
    first = setting_words(crossed)[0]
    assert "500.0 m is missing" in first
    assert "only room for a Y-tool top down to 2400.0 m (enters the liner)" in first
    assert "needs 2900.0 m or deeper (no room above)" in first
    assert not any(re.search(r"\brank\b", one) for one in setting_words(crossed))


def test_where_there_is_room_the_rank_is_told(scan: SettingScan) -> None:
    free = bounded(scan, 500.0, 2500.0)
    assert no_room(free) == ""
    assert setting_words(free) == free.words()
    assert "rank" in setting_words(free)[0]


def test_what_is_merely_not_known_is_no_bound(scan: SettingScan) -> None:
    crossed = bounded(scan, 2900.0, 2400.0)
    unknown = tuple(replace(one, unknown=True) for one in crossed.bounds)
    assert no_room(replace(crossed, bounds=unknown)) == ""
