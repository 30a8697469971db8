"""Invented racks of measured tubing, and a sequence of pieces that is meant to be the plan.

Nominal lengths are the ones tubing is sold in (a joint near 31 ft, pups of 1 to
20 ft); how far single pieces stray from them is invented.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Any

__all__ = ["Draft", "Piece", "add_stock", "lay_plan"]

Piece = dict[str, Any]

_JOINT_MM = 9550.0
_FOOT_MM = 304.8
_PUP_FT = (20, 15, 12, 10, 8, 6, 4, 3, 2, 1.5, 1)
# A pup and two shorter ones that make up the same length, in feet.
_TRIPLES = ((20, 12, 8), (15, 12, 3), (12, 8, 4), (10, 6, 4), (8, 6, 2), (6, 4, 2), (4, 3, 1))


@dataclass
class Draft:
    """What is being drawn up: the random source, the grid, the rack and the planted plan."""

    rng: random.Random
    size: int
    traits: frozenset[str]
    tick_mm: float
    measured_to_mm: float
    stock: list[Piece] = field(default_factory=list)
    groups: list[list[Piece]] = field(default_factory=list)

    def ticks(self, length_mm: float) -> int:
        return round(length_mm / self.tick_mm)

    def measured(self, length_mm: float) -> int:
        """A length as somebody would write it down, in ticks."""
        return self.ticks(round(length_mm / self.measured_to_mm) * self.measured_to_mm)

    @property
    def plan(self) -> list[Piece]:
        return [piece for group in self.groups for piece in group]


def add_piece(
    draft: Draft, kind: str, length_mm: float, pin: str = "SF", box: str | None = None
) -> Piece:
    """One more measured piece on the rack; ``length_mm`` is what it adds to the string."""
    stray = draft.rng.gauss(0, 28 if kind == "joint" else 9)
    effective = draft.measured(max(150.0, length_mm + max(-80.0, min(80.0, stray))))
    loss = draft.ticks(62 if pin == "SF" else 52)
    piece = {
        "id": f"{kind[0].upper()}{len(draft.stock) + 1:03d}",
        "kind": kind,
        "overall": effective + loss,
        "make_up_loss": loss,
        "effective": effective,
        "coupling": draft.ticks(75 if pin == "SF" else 130),
        "upset": draft.ticks(40 if pin == "SF" else 90),
        "pin": pin,
        "box": box or pin,
        "drift_ok": True,
    }
    if kind not in {"joint", "pup", "crossover"}:
        piece["profile"] = draft.ticks(draft.rng.uniform(100, length_mm - 100))
    draft.stock.append(piece)
    return piece


def _pup_mm(rng: random.Random, avoid: frozenset[float] = frozenset()) -> float:
    return rng.choice([foot for foot in _PUP_FT if foot not in avoid]) * _FOOT_MM


def lay_plan(draft: Draft) -> None:
    """Plant a plan on the empty rack, as groups of pieces with a landing above each."""
    if "scarce" in draft.traits:
        _lay_scarce(draft)
    else:
        _lay_any(draft)


def _length_of_plan(draft: Draft) -> int:
    """Pieces in the planted plan; ``long`` takes nearly the whole rack, up to 14 pieces."""
    if "long" in draft.traits:
        return min(14, draft.size - 2)
    for size, low, high in ((10, 4, 5), (20, 4, 6), (40, 5, 8), (80, 6, 11)):
        if draft.size <= size:
            return draft.rng.randint(low, high)
    return draft.rng.randint(8, 14)


def _lay_any(draft: Draft) -> None:
    """A third joints, the rest pups, with crossover and accessories where asked for."""
    rng, n = draft.rng, _length_of_plan(draft)
    kinds = ["joint"] * max(1, n // 3)
    kinds += [kind for kind in ("nipple", "carrier") if kind in draft.traits]
    kinds += ["pup"] * (n - len(kinds) - ("threads" in draft.traits))
    rng.shuffle(kinds)
    if "threads" in draft.traits:
        kinds.insert(rng.randint(1, len(kinds) - 1), "crossover")
    thread = "EU" if "threads" in draft.traits else "SF"
    pieces = []
    for kind in kinds:
        box = "SF" if kind == "crossover" else thread
        pieces.append(add_piece(draft, kind, _length_mm(rng, kind), thread, box))
        thread = box
    draft.groups = _in_groups(rng, pieces)


def _length_mm(rng: random.Random, kind: str) -> float:
    if kind == "joint":
        return _JOINT_MM
    if kind == "pup":
        return _pup_mm(rng)
    return rng.uniform(300, 1400)


def _in_groups(rng: random.Random, pieces: list[Piece]) -> list[list[Piece]]:
    """Cut the plan into at most six groups of one to three pieces, the first maybe longer."""
    groups: list[list[Piece]] = []
    rest = list(pieces)
    while rest and len(groups) < 5:
        k = rng.choice([1, 2, 2, 3, 3])
        groups.insert(0, rest[-k:])
        rest = rest[:-k]
    if rest:
        groups.insert(0, rest)
    return groups


def _lay_scarce(draft: Draft) -> None:
    """Pairs of equally long sections; the pup that fills one of them exists once only."""
    rng = draft.rng
    rounds = 1 if draft.size <= 20 else rng.choice([1, 2]) if draft.size <= 40 else 2
    for long, *short in rng.sample(_TRIPLES, rounds):
        filled = [[long], short]
        rng.shuffle(filled)
        for feet in filled:
            group = [add_piece(draft, "joint", _JOINT_MM)]
            group += [add_piece(draft, "pup", foot * _FOOT_MM) for foot in feet]
            draft.groups.append(group)


def add_stock(draft: Draft) -> None:
    """Fill the rack around the planted plan, spoil a few pieces, and shuffle it."""
    planted = len(draft.stock)
    taken = frozenset(
        foot
        for foot in _PUP_FT
        if "scarce" in draft.traits
        and any(abs(p["effective"] * draft.tick_mm - foot * _FOOT_MM) < 80 for p in draft.stock)
    )
    while len(draft.stock) < draft.size:
        _add_one(draft, taken)
    for piece in draft.stock[planted:]:
        piece["drift_ok"] = draft.rng.random() > 0.05
    draft.rng.shuffle(draft.stock)


def _add_one(draft: Draft, taken: frozenset[float]) -> None:
    rng = draft.rng
    kind = rng.choices(["joint", "pup", "other"], [35, 60, 5])[0]
    families = ["SF", "EU"] if "threads" in draft.traits else ["SF"] * 24 + ["EU"]
    thread = rng.choice(families)
    others = [k for k in ("nipple", "carrier", "threads") if k in draft.traits]
    if kind != "other" or not others:
        kind = "pup" if kind == "other" else kind
        add_piece(draft, kind, _JOINT_MM if kind == "joint" else _pup_mm(rng, taken), thread)
        return
    kind = rng.choice(others)
    if kind == "threads":
        box = "EU" if thread == "SF" else "SF"
        add_piece(draft, "crossover", rng.uniform(300, 1400), thread, box)
    else:
        add_piece(draft, kind, rng.uniform(300, 1400), thread)
