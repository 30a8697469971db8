"""Heights worth stopping at: where clamps land, joints are worked on and slips can be set."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.mechanics.ledger import State, loads
from abreast.mechanics.ledger.book import Book
from abreast.model.floor_actions import Hoist, Lower

__all__ = ["heights"]

_FARTHEST_M = 20.0
_SAME_M = 1e-3
_TOP_ABOVE_M = 1.0  # a top that elevator or hands can reach, with slick pipe at the support


def heights(book: Book, state: State, lines: tuple[str, ...]) -> Iterator[Hoist | Lower]:
    """Hoistings and lowerings of what some lines carry, to the meaningful heights.

    A neck at the plate; a neck, a joint or a top at working height. Each string
    stops once at a height, and moves at most 20 m.
    """
    on = state.on_line(lines[0])
    if on is None:
        return
    seen: set[int] = {0}
    for z_m, to_m, mark in _stops(book, state, on.on):
        by_m = to_m - (state.offsets[on.on] + z_m)
        step = round(by_m / _SAME_M)
        if step in seen or abs(by_m) > _FARTHEST_M:
            continue
        seen.add(step)
        move = Hoist if by_m > 0 else Lower
        yield move(lines=lines, z_m=z_m, to_m=to_m, mark=mark)


def _stops(book: Book, state: State, on: str) -> Iterator[tuple[float, float, str]]:
    """Height of the string, height above the floor, and what it is."""
    members = loads(book, state).members(on)
    level_m, site = book.level_m(state), book.site
    hands_m = level_m + sum(site.reach_m) / 2
    for name in members:
        piece = book.pieces[name]
        if piece.neck is not None:
            if state.plate != "off":
                yield piece.neck.z_m, site.plate_m, f"neck of {name}"
            yield piece.neck.z_m, hands_m, f"neck of {name}"
        if piece.string != "esp":
            top_m = level_m + max(site.reach_m[0], min(_TOP_ABOVE_M, site.reach_m[1]))
            yield piece.top_m, top_m, f"top of {name}"
    inside = set(members)
    for name in state.joints:
        joint = book.joints[name]
        if joint.lower in inside and joint.sort != "workshop":
            window = joint.window_m or site.reach_m
            yield joint.z_m, level_m + sum(window) / 2, f"joint {name}"
