"""What is looked at after every action: held, backed up, seat, ratings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.closed import frame_forces
from abreast.mechanics.ledger.loads import NOTHING_N, Loads, loads
from abreast.mechanics.ledger.rules import Fault
from abreast.mechanics.ledger.state import PLATE, ROTARY, Hold, State

__all__ = ["Link", "links", "watch"]

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Link:
    """Something that carries: least and greatest static load, its rating, and where it is from.

    ``utilisation`` counts the dynamic factor; None: no rating, or nothing carried.
    """

    name: str
    low_n: float
    high_n: float
    rating_n: float | None
    origin: str = ""
    utilisation: float | None = None

    @property
    def worst_n(self) -> float:
        """The larger of pull and push [N]."""
        return max(abs(self.low_n), abs(self.high_n))


def watch(book: Book, state: State) -> None:
    """A fault when a state breaks a rule, whatever led to it."""
    found = loads(book, state)
    _held(state, found)
    _backed_up(book, state, found)
    _seats(book, state, found)
    for link in links(book, state):
        if link.utilisation is not None and link.utilisation > 1 + _SAME:
            raise Fault(
                "rating",
                f"{link.name} would carry up to {book.load(link.worst_n)}"
                f"{_factor(book)}; it is rated {book.load(link.rating_n or 0.0)}.",
                "use a stronger one, or carry less",
            )


def _factor(book: Book) -> str:
    ratio = book.site.dynamic_ratio
    return f", times {ratio:g} for lifting" if ratio else ""


def _held(state: State, found: Loads) -> None:
    if not found.unheld:
        return
    number = found.unheld[0]
    named = [piece for piece, at in found.component.items() if at == number]
    raise Fault(
        "held",
        f"Nothing would hold {named[-1]}{_and_more(named)}.",
        "let a holder take the load first",
    )


def _and_more(named: list[str]) -> str:
    return f" and {len(named) - 1} more joined to it" if len(named) > 1 else ""


def _backed_up(book: Book, state: State, found: Loads) -> None:
    for hold, _, high_n in found.holds:
        if book.holders[hold.holder].type != "slips" or not hold.taut or high_n <= NOTHING_N:
            continue
        if _guarded(book, state, hold) or _closed_line(book, state, hold, high_n):
            continue
        raise Fault(
            "back-up",
            f"Slips {hold.holder} on {hold.on} would carry up to {book.load(high_n)} with no"
            " back-up.",
            f"fit a safety clamp on {hold.on} first",
        )


def _guarded(book: Book, state: State, slips: Hold) -> bool:
    """Whether a safety clamp sits close above the slips; one left from before may not."""
    most_m = book.site.safety_gap_m + _SAME
    return any(
        one.on == slips.on and -_SAME <= one.z_m - slips.z_m <= most_m for one in state.guards
    )


def _closed_line(book: Book, state: State, slips: Hold, load_n: float) -> bool:
    """Whether a line that can carry it is closed on the same leg, not past base or Y-tool."""
    reached = book.joined_to(state, slips.on, short_of=("base", "Y-tool"))
    return any(
        one.on in reached and one.by in book.lines and _strong(book, one, load_n)
        for one in state.holds
    )


def _strong(book: Book, hold: Hold, load_n: float) -> bool:
    """Whether nothing of a line's hold is rated for less than a load."""
    ratings = [book.holders[one].rating_n for one in (hold.holder, *hold.gear)]
    ratings.append(book.lines[hold.by].rating_n)
    return all(one is None or one >= load_n for one in ratings)


def _seats(book: Book, state: State, found: Loads) -> None:
    for name, (_, high_n) in found.pulls.items():
        joint = book.joints.get(name)
        if joint is None or joint.sort != "seat" or high_n <= NOTHING_N:
            continue
        if name not in state.locked_seats:
            raise Fault(
                "seat",
                f"The ESP's seat, joint {name}, would be pulled by up to {book.load(high_n)} and"
                f" {'is not locked' if joint.retained else 'has no retainer'}: the ESP would lift"
                " off it.",
                f"lock the seat {name} first" if joint.retained else "hold the bypass instead",
            )


def links(book: Book, state: State) -> tuple[Link, ...]:
    """Every link that carries in a state: holders, gear, lines, supports, joints, pieces."""
    return book.remembered("links", state, lambda: tuple(_links(book, state)))


def _links(book: Book, state: State) -> Iterator[Link]:
    found = loads(book, state)
    factor = book.site.dynamic_ratio or 1.0
    on_support: dict[str, float] = {}
    on_hoist: dict[str, list[tuple[Hold, float]]] = {}
    for hold, low_n, high_n in found.holds:
        if not hold.taut:
            continue
        for name in (hold.holder, *hold.gear):
            one = book.holders[name]
            yield _link(f"{one.type} {name}", low_n, high_n, one.rating_n, factor, one.origin)
        if hold.by in book.lines:
            on_hoist.setdefault(book.lines[hold.by].hoist, []).append((hold, high_n))
        else:
            on_support[hold.by] = on_support.get(hold.by, 0.0) + high_n
    yield from _supports(book, found, on_support, on_hoist, factor)
    yield from _inside(book, state, found, factor)


def _supports(
    book: Book,
    found: Loads,
    on_support: dict[str, float],
    on_hoist: dict[str, list[tuple[Hold, float]]],
    factor: float,
) -> Iterator[Link]:
    ratings = {PLATE: book.site.plate_rating_n, ROTARY: book.site.rotary_rating_n}
    names = {PLATE: "false rotary", ROTARY: "rotary"}
    for support, sum_n in on_support.items():
        most_n = min(sum_n, sum(found.weight_n))
        yield _link(names.get(support, support), 0.0, most_n, ratings.get(support), factor)
    for hoist, mine in on_hoist.items():
        whole = {found.component[hold.on]: 0.0 for hold, _ in mine}
        for hold, high_n in mine:
            number = found.component[hold.on]
            whole[number] = min(found.weight_n[number], whole[number] + high_n)
        rating = next(one.rating_n for one in book.lines.values() if one.hoist == hoist)
        yield _link(hoist, 0.0, sum(whole.values()), rating, factor)


def _inside(book: Book, state: State, found: Loads, factor: float) -> Iterator[Link]:
    frame, _ = frame_forces(book, state)
    for name, (low_n, high_n) in found.pulls.items():
        joint = book.joints.get(name)
        if joint is None:
            yield _grips(book, state, low_n, high_n, factor)
            continue
        ends = [frame[one] for one in (joint.lower, joint.upper) if frame and one in frame]
        least_n = min((one[0] for one in ends), default=low_n)
        most_n = max((one[1] for one in ends), default=high_n)
        yield _link(f"joint {name}", least_n, most_n, joint.load_n, factor)
    for name, (low_n, high_n) in (_pieces(book, found) | (frame or {})).items():
        rating = book.pieces[name].load_n
        if rating is not None or name in (frame or {}):
            yield _link(name, low_n, high_n, rating, factor)


def _pieces(book: Book, found: Loads) -> dict[str, tuple[float, float]]:
    """Least and greatest force in each piece: of its joints, and of what holds it."""
    forces: dict[str, tuple[float, float]] = {}

    def add(piece: str, low_n: float, high_n: float) -> None:
        least_n, most_n = forces.get(piece, (0.0, 0.0))
        forces[piece] = (min(least_n, low_n), max(most_n, high_n))

    for name, (low_n, high_n) in found.pulls.items():
        if name in book.joints:
            add(book.joints[name].lower, low_n, high_n)
            add(book.joints[name].upper, low_n, high_n)
    for hold, _, high_n in found.holds:
        if hold.taut:
            add(hold.on, 0.0, high_n)
    return forces


def _grips(book: Book, state: State, low_n: float, high_n: float, factor: float) -> Link:
    """Twin clamps that carry the bypass: all closed ones together."""
    mine = [one for one in book.procedure.clamps if one.carries and one.id in state.twin_clamps]
    grips = [one.grip_n for one in mine]
    rating = None if any(one is None for one in grips) else sum(one or 0.0 for one in grips)
    return _link("grip of the twin clamps", low_n, high_n, rating, factor)


def _link(
    name: str, low_n: float, high_n: float, rating_n: float | None, factor: float, origin: str = ""
) -> Link:
    worst = max(abs(low_n), abs(high_n))
    used = None if rating_n is None else _used(worst * factor, rating_n)
    return Link(name, low_n, high_n, rating_n, origin, used)


def _used(load_n: float, rating_n: float) -> float:
    """Part of a rating that is used; a rating of nothing or less carries nothing."""
    if rating_n > 0:
        return load_n / rating_n
    return math.inf if load_n > 0 else 0.0
