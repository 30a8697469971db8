"""The closed frame: how its two legs share weight and take-up once the union is snug."""

from __future__ import annotations

from abreast.errors import AbreastError
from abreast.mechanics.ledger.book import Book
from abreast.mechanics.ledger.state import State
from abreast.mechanics.load_share import Bar, Hold, Pair, bar_forces, share, top_hung
from abreast.model.procedure import FloorPiece, FloorUnion
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["frame_forces", "frame_pair", "is_closed", "legs"]

Forces = dict[str, tuple[float, float]]


def legs(book: Book, union: FloorUnion) -> tuple[str, ...]:
    """Both joints of the closed frame at the Y-tool, and those of the union."""
    top = {one.id for one in book.pieces.values() if one.string == "Y-tool"}
    at_top = [one.id for one in book.joints.values() if one.upper in top and one.lower not in top]
    of_union = [one.id for one in book.at_piece.get(union.piece, [])]
    return tuple(dict.fromkeys((*at_top, *of_union, union.joint)))


def is_closed(book: Book, state: State) -> bool:
    """Whether both legs are made up to the Y-tool."""
    union = book.procedure.union
    if union is None:
        return False
    return all(state.joints.get(name) in ("made", "recorded") for name in legs(book, union))


def frame_pair(book: Book) -> tuple[Pair | None, str]:
    """Both legs as elastic lines, and what is missing when they can't be made."""
    esp = [one for one in book.procedure.pieces if one.string == "esp"]
    bypass = [one for one in book.procedure.pieces if one.string in ("bypass", "union")]
    for piece in (*esp, *bypass):
        if piece.ea_n is None:
            return None, f"axial stiffness EA of {piece.id}"
        if piece.mass_kg is None:
            return None, f"mass of {piece.id}"
    extra = {one.esp: 0.0 for one in book.procedure.clamps}
    for clamp in book.procedure.clamps:
        extra[clamp.esp] += (clamp.mass_kg or 0.0) * GRAVITY_M_S2
    below = sum(book.weight_n[o.id] for o in book.procedure.pieces if o.string in ("tail", "base"))
    top = sum(
        book.weight_n[o.id] for o in book.procedure.pieces if o.string in ("Y-tool", "tubing")
    )
    try:
        return Pair(
            tuple(_bar(one, book.weight_n[one.id] + extra.get(one.id, 0.0)) for one in esp),
            tuple(_bar(one, book.weight_n[one.id]) for one in bypass),
            below,
            top,
        ), ""
    except AbreastError as fault:
        return None, f"sizes that can be used: {fault}"


def _bar(piece: FloorPiece, weight_n: float) -> Bar:
    return Bar(piece.id, piece.top_m - piece.bottom_m, piece.ea_n or 0.0, weight_n)


def frame_forces(book: Book, state: State) -> tuple[Forces | None, str]:
    """Least and greatest force in each piece of both legs [N], tension positive.

    Returns
    -------
    dict or None
        By piece; None when the frame is not closed and snug, or when something
        is missing.
    str
        What is missing; blank when nothing is.
    """
    union = book.procedure.union
    if union is None or state.union_turns is None or not is_closed(book, state):
        return None, ""
    if union.travel_m is None and state.union_turns:
        return None, "travel per turn of the union"
    pair, missing = frame_pair(book)
    if pair is None:
        return None, missing
    if book.procedure.arrangement == "top-hung":
        found, hold = top_hung(pair), None
    else:
        hold = _now(book, state)
        snug = _as_hold(book, state.snug)
        misfit_m = state.union_turns * (union.travel_m or 0.0)
        found = share(pair, misfit_m, snug=snug, now=hold)
    on_esp = hold if hold is not None and hold.side == "esp" else None
    on_bypass = hold if hold is not None and hold.side == "bypass" else None
    forces = {
        one.name: (one.least_n, one.greatest_n)
        for bars, bottom_n, at in (
            (pair.esp, found.esp_bottom_n, on_esp),
            (pair.bypass, found.bypass_bottom_n, on_bypass),
        )
        for one in bar_forces(bars, bottom_n, pair.total_n, at)
    }
    return forces, ""


def _now(book: Book, state: State) -> Hold | None:
    carrying = [one for one in state.holds if one.taut]
    if len(carrying) != 1:
        carrying = [one for one in carrying if one.by == "plate"] or carrying
    one = carrying[0] if carrying else None
    return None if one is None else _as_hold(book, (book.pieces[one.on].string, one.z_m))


def _as_hold(book: Book, held: tuple[str, float] | None) -> Hold | None:
    if held is None or held[0] not in ("esp", "bypass"):
        return None
    string, z_m = held
    start_m = min(o.bottom_m for o in book.procedure.pieces if o.string == string)
    return Hold("esp" if string == "esp" else "bypass", max(0.0, z_m - start_m))
