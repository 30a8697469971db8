"""Random space-out cases of realistic size, in the format of ``abreast solve``.

A plan is planted first; sections, necks, windows and the gap are then laid
around it, so that the case can be solved. Two traits take that certainty away
again: ``off`` moves the gap, ``short`` takes pieces of a planted length off the
rack.
"""

from __future__ import annotations

import random
from itertools import accumulate
from typing import Any

from benchmarks.spaceout.pieces import Draft, Piece, add_stock, lay_plan

__all__ = ["FLAVOURS", "SIZES", "generate"]

SIZES = (10, 20, 40, 80, 127)

FLAVOURS: dict[str, frozenset[str]] = {
    "plain": frozenset(),
    "tight": frozenset({"tight"}),
    "top-hung": frozenset({"top-hung"}),
    "threads": frozenset({"threads"}),
    "accessories": frozenset({"nipple", "carrier"}),
    "grip": frozenset({"grip"}),
    "locked": frozenset({"locked"}),
    "scarce": frozenset({"scarce", "tight"}),
    "long": frozenset({"long"}),
    "narrow": frozenset({"narrow", "tight"}),
    "off": frozenset({"off", "narrow", "tight"}),
    "short": frozenset({"short", "tight"}),
    "lifts": frozenset({"lifts"}),
    "lifts-locked": frozenset({"lifts", "locked", "grip"}),
    "lifts-mixed": frozenset({"lifts", "threads", "nipple", "grip"}),
    "lifts-scarce": frozenset({"lifts", "scarce", "tight"}),
    "lifts-long": frozenset({"lifts", "long"}),
    "lifts-short": frozenset({"lifts", "short", "tight"}),
}


def generate(seed: int, size: int, flavour: str) -> dict[str, Any]:
    """A case with ``size`` pieces on the rack.

    Parameters
    ----------
    seed : int
        Same seed, size and flavour: same case.
    size : int
        Pieces in the stock, 10 or more.
    flavour : str
        One of ``FLAVOURS``.

    Returns
    -------
    dict
        Plain data for ``parse_case``; lengths in ticks of 0.1 or 1 mm. The
        remark ``planted`` keeps the plan the case was laid around.
    """
    rng = random.Random(f"{seed} {size} {flavour}")
    tick_mm = rng.choice([0.1, 0.1, 1.0])
    grid_mm = rng.choice([1.0, 3.048] if tick_mm < 1 else [1.0])
    draft = Draft(rng, size, FLAVOURS[flavour], tick_mm, grid_mm)
    lay_plan(draft)
    add_stock(draft)
    case = _base_and_seat(draft)
    tops = _planted_tops(draft, case)
    case["name"] = f"{flavour} {size} {seed}"
    case |= _landings(draft, tops)
    case |= _clamps(draft, tops, case["landings"])
    case |= _union(draft, tops[-1])
    case |= _limits(draft)
    case |= _accessories(draft, tops)
    if "lifts" in draft.traits:
        case |= _lifts(draft, tops, case["landings"])
    if "locked" in draft.traits:
        _lock(draft, tops, case)
    if "short" in draft.traits:
        _shorten(draft, case)
    if "off" in draft.traits:
        case["gap"] += draft.ticks(rng.uniform(-300, 300))
    case["stock"] = draft.stock
    return case


def _base_and_seat(draft: Draft) -> dict[str, Any]:
    """Bottom-supported: half-inch steps of the seat; top-hung: the stick-down of the guide."""
    hung = "top-hung" in draft.traits
    step = draft.ticks(5 if hung else 12.7)
    low, count = (draft.ticks(1000), 400) if hung else (0, 12)
    if "narrow" in draft.traits:
        count = 0
    return {
        "tick_mm": draft.tick_mm,
        "base": {"height": draft.ticks(320 if hung else 945), "box": draft.plan[0]["pin"]},
        "seat": {"min": low, "max": low + step * count, "step": step},
    }


def _planted_tops(draft: Draft, case: dict[str, Any]) -> list[int]:
    """Plant a seat, note the whole planted plan in the case, and return its tops."""
    seat = case["seat"]
    height = seat["min"] + draft.rng.randrange(0, seat["max"] - seat["min"] + 1, seat["step"])
    case["planted"] = {"items": [piece["id"] for piece in draft.plan], "seat": height}
    lengths = (piece["effective"] for piece in draft.plan)
    return list(accumulate(lengths, initial=case["base"]["height"] - height))


def _landings(draft: Draft, tops: list[int]) -> dict[str, Any]:
    """A section ends where a group ends; the bypass top stands in its window there."""
    rng = draft.rng
    low, high = (800.0, 950.0) if "tight" in draft.traits else (600.0, 1700.0)
    window = [draft.ticks(low), draft.ticks(high)]
    landings: list[dict[str, Any]] = []
    table = -(10**8)
    for k, end in enumerate(accumulate(len(group) for group in draft.groups)):
        table = max(table, tops[end] - rng.randint(*window))
        landing: dict[str, Any] = {"id": f"L{k + 1}", "table": table, "window": window}
        if "grip" in draft.traits and rng.random() < 0.5:
            landing |= _grip(draft, tops, table)
        landings.append(landing)
    return {"landings": landings}


def _grip(draft: Draft, tops: list[int], table: int) -> dict[str, Any]:
    low, high = draft.ticks(120), draft.ticks(420)
    covered = _covered(draft, tops, table + low, table + high)
    return {"grip": [low, high]} if covered else {}


def _covered(draft: Draft, tops: list[int], low: int, high: int) -> bool:
    return any(
        below + piece["upset"] <= low and high <= below + piece["effective"] - piece["coupling"]
        for piece, below in zip(draft.plan, tops, strict=False)
    )


def _clamps(draft: Draft, tops: list[int], landings: list[dict[str, Any]]) -> dict[str, Any]:
    """A twin clamp near each neck, where the planted plan has room for it."""
    rng, half, clear = draft.rng, draft.ticks(107), draft.ticks(25)
    shift = 0 if "tight" in draft.traits else draft.ticks(rng.choice([0, 60, 120]))
    clamps: list[dict[str, Any]] = []
    reached, r = -(10**8), half + clear
    for landing in [landing for landing in landings for _ in range(4)]:
        if clamps and clamps[-1]["landing"] == landing["id"]:
            continue
        height = landing["table"] - draft.ticks(rng.uniform(50, 900))
        moved = height + rng.randint(-shift, shift)
        if height - shift - r >= reached and _covered(draft, tops, moved - r, moved + r):
            reached = height + shift + r
            clamps.append(
                {
                    "id": f"TC{len(clamps) + 1}",
                    "landing": landing["id"],
                    "height": height,
                    "shift_down": shift,
                    "shift_up": shift,
                    "half_length": half,
                    "clearance": clear,
                }
            )
    return {"clamps": clamps}


def _union(draft: Draft, top: int) -> dict[str, Any]:
    """Middle half of the stroke; the planted plan leaves the union somewhere inside it."""
    rng, n = draft.rng, len(draft.plan)
    reserve = [draft.ticks(2 + 1.5 * k**0.5) + k // 2 for k in range(n + 3)]
    target = draft.ticks(860)
    reach = draft.ticks(25 if "tight" in draft.traits else 60)
    if "narrow" in draft.traits:
        reach = reserve[n] + draft.ticks(1)
    free = max(0, reach - reserve[n])
    return {
        "gap": top + target + rng.randint(-free, free),
        "union": {
            "pin": draft.plan[-1]["box"],
            "min": target - reach,
            "max": target + reach,
            "target": target,
            "bucket": draft.ticks(5 if "tight" in draft.traits else 10),
        },
        "reserve": reserve,
        "max_items": max(n, min(14, n + rng.randint(0, 2))),
    }


def _limits(draft: Draft) -> dict[str, Any]:
    planted = {piece["id"] for piece in draft.plan}
    spare = [piece["id"] for piece in draft.stock if piece["id"] not in planted]
    excluded = draft.rng.sample(spare, min(len(spare), draft.rng.randint(0, 2)))
    return {"max_overall": draft.ticks(9720), "excluded": sorted(excluded), "locked": []}


def _accessories(draft: Draft, tops: list[int]) -> dict[str, Any]:
    wanted = []
    for piece, below in zip(draft.plan, tops, strict=False):
        if "profile" in piece:
            at, reach = below + piece["profile"], draft.ticks(draft.rng.uniform(500, 4000))
            low = at - draft.rng.randint(0, reach)
            wanted.append({"kind": piece["kind"], "window": [low, low + reach]})
    return {"accessories": wanted}


def _lifts(draft: Draft, tops: list[int], landings: list[dict[str, Any]]) -> dict[str, Any]:
    """Each group goes up in one piece; the lowest may be a pre-run of several lifts."""
    later = draft.groups[1:] or draft.groups
    longest = max(sum(piece["overall"] for piece in group) for group in later)
    first, pieces = draft.groups[0], max(len(group) for group in later)
    max_length = max(longest, *(piece["overall"] for piece in draft.plan))
    single = len(first) <= pieces and sum(p["overall"] for p in first) <= max_length
    ceiling = landings[0]["table"] + landings[0]["window"][1]
    pre = None
    if not single or draft.rng.random() < 0.5:
        pre = min(tops[len(first) - 1] + draft.ticks(300), ceiling)
    limits = {
        "max_pieces": pieces,
        "max_length": max_length + draft.ticks(draft.rng.choice([0, 500, 2000])),
        "pre_run_height": pre,
    }
    return {"lifts": limits}


def _lock(draft: Draft, tops: list[int], case: dict[str, Any]) -> None:
    """Part of the groups is in the well; the seat is fixed with the first of them."""
    done = draft.rng.randint(1, max(1, len(draft.groups) - 1))
    locked: list[Piece] = [piece for group in draft.groups[:done] for piece in group]
    case["locked"] = [piece["id"] for piece in locked]
    case["seat"]["locked"] = case["base"]["height"] - tops[0]
    case["landings_passed"] = draft.rng.choice([done, done, None])
    if draft.rng.random() < 0.3:
        locked[0]["drift_ok"] = False


def _shorten(draft: Draft, case: dict[str, Any]) -> None:
    """Take every pup of the length of one planted pup off the rack."""
    pups = [piece for piece in draft.plan if piece["kind"] == "pup"] or draft.plan
    gone = draft.rng.choice(pups)["effective"]
    near = draft.ticks(60)
    draft.stock = [p for p in draft.stock if abs(p["effective"] - gone) > near]
    left = {piece["id"] for piece in draft.stock}
    case["excluded"] = [i for i in case["excluded"] if i in left]
