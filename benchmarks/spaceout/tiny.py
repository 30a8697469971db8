"""Tiny cases with every rule in play, small enough to be settled by trying every plan."""

from __future__ import annotations

import itertools
import random
from typing import Any

__all__ = ["generate_tiny"]

_THREADS = ("SF", "EU")


def generate_tiny(seed: int) -> dict[str, Any]:
    """A case of at most 8 items, plans of at most 5, lengths of a few ticks.

    Windows are laid around one random plan, then about half of them are moved,
    so that cases with and without a solution come up about equally often. Which
    rules are present is drawn anew for each case.
    """
    rng = random.Random(f"tiny {seed}")
    stock = _stock(rng)
    plan = _plan(rng, stock)
    n = len(plan)
    seat = {"min": rng.randint(-2, 1), "max": 2, "step": rng.randint(1, 3)}
    tops = [10 - seat["min"]]
    for item in plan:
        tops.append(tops[-1] + item["effective"])
    length = rng.randint(3, 8)
    case = {
        "name": f"tiny {seed}",
        "tick_mm": 1.0,
        "base": {"height": 10, "box": plan[0]["pin"]},
        "seat": seat | {"locked": rng.choice([None, None, None, seat["min"]])},
        "gap": tops[-1] + length,
        "union": _union(rng, length, plan[-1]["box"]),
        "reserve": sorted(rng.choice([0, 0, 0, 1]) for _ in range(6)),
        "clamps": _clamps(rng, tops),
        "landings": _landings(rng, tops),
        "accessories": _accessories(rng, plan, tops),
        "max_overall": rng.choice([8, 10, 12, 20]),
        "max_items": min(5, n + rng.randint(0, 2)),
        "locked": [item["id"] for item in plan[: rng.choice([0, 0, 0, 1, 2])]],
        "excluded": [item["id"] for item in stock if rng.random() < 0.05],
        "stock": stock,
    }
    return _with_lifts(rng, case, tops)


def _stock(rng: random.Random) -> list[dict[str, Any]]:
    mixed = rng.random() < 0.4
    return [_item(rng, f"S{k}", mixed) for k in range(rng.randint(3, 8))]


def _plan(rng: random.Random, stock: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A sequence that mostly may be run: one nipple, threads that mostly fit, drift passed."""
    nipples = [item for item in stock if item["kind"] == "nipple"]
    others = [item for item in stock if item["kind"] != "nipple"]
    pool = others + nipples[: rng.choice([0, 1, 1])] or nipples
    plan = rng.sample(pool, rng.randint(1, min(5, len(pool))))
    for lower, upper in itertools.pairwise(plan):
        if rng.random() < 0.9:
            upper["pin"] = lower["box"]
    for item in plan:
        item["drift_ok"] = item["drift_ok"] or rng.random() < 0.8
    return plan


def _item(rng: random.Random, name: str, mixed: bool) -> dict[str, Any]:
    effective = rng.randint(1, 9)
    kind = rng.choice(["joint", "pup", "pup", "crossover", "nipple"])
    return {
        "id": name,
        "kind": kind,
        "overall": effective + 1,
        "make_up_loss": 1,
        "effective": effective,
        "coupling": rng.choice([0, 0, 1]),
        "upset": rng.choice([0, 0, 1]),
        "pin": rng.choice(_THREADS) if mixed else "SF",
        "box": rng.choice(_THREADS) if mixed else "SF",
        "drift_ok": rng.random() > 0.06,
        "profile": rng.choice([None, 0, 1, effective]) if kind == "nipple" else None,
    }


def _union(rng: random.Random, length: int, pin: str) -> dict[str, Any]:
    return {
        "pin": pin,
        "min": length - rng.randint(0, 4),
        "max": length + rng.randint(0, 4),
        "target": length + rng.randint(-2, 2),
        "bucket": rng.randint(1, 3),
    }


def _clamps(rng: random.Random, tops: list[int]) -> list[dict[str, Any]]:
    """Up to two clamps with disjoint reaches, each near the middle of some item."""
    clamps: list[dict[str, Any]] = []
    reached = -100
    for k in sorted(rng.sample(range(len(tops) - 1), min(len(tops) - 1, rng.randint(0, 2)))):
        clamp: dict[str, Any] = {
            "id": f"C{k}",
            "height": (tops[k] + tops[k + 1]) // 2 + rng.randint(-1, 1),
            "shift_down": rng.randint(0, 2),
            "shift_up": rng.randint(0, 2),
            "half_length": rng.randint(0, 1),
            "clearance": rng.randint(0, 1),
        }
        r = clamp["half_length"] + clamp["clearance"]
        if clamp["height"] - clamp["shift_down"] - r >= reached:
            clamps.append(clamp)
            reached = clamp["height"] + clamp["shift_up"] + r
    return clamps


def _landings(rng: random.Random, tops: list[int]) -> list[dict[str, Any]]:
    """Up to three landings, the last one near the top; no window end ever falls."""
    count = rng.choice([0, 1, 2, 2, 3])
    chosen = [*sorted(rng.choices(tops, k=count - 1)), tops[-1]] if count else []
    width = rng.randint(1, 4)
    landings: list[dict[str, Any]] = []
    table = -100
    for k, top in enumerate(chosen):
        table = max(table, top - 3 - rng.randint(0, width) + rng.choice([0, 0, 0, -1, 1]))
        landing = {"id": f"L{k + 1}", "table": table, "window": [3, 3 + width]}
        if rng.random() < 0.25:
            low = rng.randint(-1, 3)
            landing["grip"] = [low, low + rng.randint(0, 2)]
        landings.append(landing)
    return landings


def _accessories(
    rng: random.Random, plan: list[dict[str, Any]], tops: list[int]
) -> list[dict[str, Any]]:
    nipples = [k for k, item in enumerate(plan) if item["kind"] == "nipple"]
    if not nipples and rng.random() < 0.9:
        return []
    at = tops[nipples[0]] if nipples else tops[-1] - 3
    low = at + rng.randint(-4, 1)
    return [{"kind": "nipple", "window": [low, low + rng.randint(1, 14)]}]


def _with_lifts(rng: random.Random, case: dict[str, Any], tops: list[int]) -> dict[str, Any]:
    """Some cases get lifts, some of those with locked items have landings passed."""
    landings = case["landings"]
    if rng.random() < 0.5:
        ceiling = landings[0]["table"] + landings[0]["window"][1] if landings else tops[-1]
        case["lifts"] = {
            "max_pieces": rng.randint(1, 3),
            "max_length": rng.randint(8, 24),
            "pre_run_height": rng.choice([None, ceiling, rng.randint(0, ceiling)]),
        }
    if case["locked"] and rng.random() < 0.6:
        case["landings_passed"] = rng.randint(0, len(landings))
    return case
