"""Tiny cases of three kinds in which a search may go astray, each drawn around a random plan.

``crowded``: nearly everything closes, so that the rule for ties decides.
``lifted``: lifts at their limits, windows of landings that overlap.
``scarce``: a few lengths whose sums coincide, so that a piece is wanted twice.
"""

from __future__ import annotations

import random
from itertools import accumulate, pairwise
from typing import Any

__all__ = ["crowded", "lifted", "scarce"]

Data = dict[str, Any]


def _piece(name: str, length: int, **more: Any) -> Data:
    plain = {"id": name, "kind": "joint", "overall": length, "effective": length}
    return plain | {"pin": "SF", "box": "SF"} | more


def _plan(rng: random.Random, stock: list[Data], count: int) -> list[int]:
    """Tops of a plan of that many pieces, the base first."""
    lengths = (piece["effective"] for piece in rng.sample(stock, count))
    return list(accumulate(lengths, initial=0))


def _case(stock: list[Data], top: int, items: int, **more: Any) -> Data:
    data = {
        "base": {"height": 0, "box": "SF"},
        "seat": {"min": 0, "max": 0},
        "gap": top + 4,
        "union": {"pin": "SF", "min": 4, "max": 4, "target": 4, "bucket": 1},
        "reserve": [0] * 6,
        "clamps": [],
        "max_overall": 12,
        "max_items": items,
        "stock": stock,
    }
    return data | more


def crowded(seed: int) -> Data:
    """A rack on which nearly everything closes: pieces alike, or alike but for the upset."""
    rng = random.Random(f"crowded {seed}")
    stock = []
    for number in rng.sample([1, 2, 3, 4, 5, 6, 10, 11], 7):
        length, upset = rng.choice([2, 3, 3, 4, 5]), rng.choice([0, 0, 1])
        stock.append(_piece(f"S{number}", length, overall=length + 1, upset=upset))
    tops = _plan(rng, stock, 4)
    lifts = {"max_pieces": 3, "max_length": 13, "pre_run_height": None}
    return _case(
        stock,
        tops[-1],
        4,
        seat={"min": -1, "max": 1},
        union={"pin": "SF", "min": 3, "max": 5, "target": 4, "bucket": 2},
        landings=[{"id": f"L{k}", "table": tops[k], "window": [-1, 1]} for k in (2, 4)],
        lifts=rng.choice([None, lifts, lifts]),
    )


def lifted(seed: int) -> Data:
    """Lifts as long and of as many pieces as the plan needs, or one less."""
    rng = random.Random(f"lifted {seed}")
    stock = []
    for number in range(7):
        length = rng.randint(2, 7)
        more = {"overall": length + rng.choice([0, 1, 1, 2]), "kind": rng.choice(["joint", "pup"])}
        stock.append(_piece(f"S{number}", length, **more))
    count = rng.randint(3, 5)
    tops = _plan(rng, stock, count)
    ends = [*sorted(rng.sample(range(1, count), rng.randint(0, count - 2))), count]
    landings = _overlapping(rng, [tops[end] for end in ends])
    first_high = landings[0]["table"] + landings[0]["window"][1]
    groups = list(pairwise([0, *ends]))
    longest = max(tops[b] - tops[a] + b - a for a, b in groups)
    lifts = {
        "max_pieces": max(1, max(b - a for a, b in groups) + rng.choice([0, 0, -1])),
        "max_length": longest + rng.choice([-1, 0, 0, 1]),
        "pre_run_height": rng.choice([None, None, min(first_high, tops[1])]),
    }
    union = {"min": 4 - rng.randint(0, 1), "max": 4 + rng.randint(0, 1)}
    return _case(
        stock,
        tops[-1],
        count,
        seat={"min": 0, "max": rng.choice([0, 0, 1])},
        union={"pin": "SF", "target": 4, "bucket": 1} | union,
        landings=landings,
        lifts=lifts,
    )


def _overlapping(rng: random.Random, tops: list[int]) -> list[Data]:
    """One or two landings for each of the tops; no window end falls."""
    landings: list[Data] = []
    low = high = -9
    for top in tops:
        for _ in range(rng.choice([1, 1, 2])):
            low, high = max(low, top - rng.randint(0, 3)), max(high, top + rng.randint(0, 2))
            landings.append({"id": f"L{len(landings)}", "table": low, "window": [0, high - low]})
    return landings


def scarce(seed: int) -> Data:
    """Seven lengths of which many have equal sums, an exact closure, up to two exact landings."""
    rng = random.Random(f"scarce {seed}")
    lengths = rng.sample(range(2, 11), 7)
    stock = [_piece(f"S{k}", length) for k, length in enumerate(lengths)]
    count = rng.choice([4, 5])
    tops = _plan(rng, stock, count)
    chosen = rng.sample(range(1, count), rng.randint(0, 2))
    landings = [{"id": f"L{k}", "table": tops[k], "window": [0, 0]} for k in chosen]
    return _case(stock, tops[-1], count, landings=landings)
