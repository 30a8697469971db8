"""What follows from a chosen sequence: heights, lifts and clamp shifts."""

from __future__ import annotations

from functools import cache

from abreast.spaceout.case import Case, Item
from abreast.spaceout.tables import Tables

__all__ = ["clamp_shifts", "cut_into_lifts", "tops"]


def tops(case: Case, items: list[Item], seat: int) -> list[int]:
    """P_0 to P_n for the items bottom to top."""
    heights = [case.base.height - seat]
    for item in items:
        heights.append(heights[-1] + item.effective)
    return heights


def clamp_shifts(case: Case, items: list[Item], seat: int) -> dict[str, int]:
    """For each clamp the smallest shift (up before down) that puts it on one free body."""
    heights = tops(case, items, seat)
    shifts = {}
    for clamp in case.clamps:
        r = clamp.half_length + clamp.clearance
        best: list[tuple[int, int, int]] = []
        for item, bottom, top in zip(items, heights, heights[1:], strict=False):
            lo = max(bottom + item.upset + r - clamp.height, -clamp.shift_down)
            hi = min(top - item.coupling - r - clamp.height, clamp.shift_up)
            if lo <= hi:
                shift = min(max(0, lo), hi)
                best.append((abs(shift), -shift, shift))
        shifts[clamp.id] = min(best)[2]
    return shifts


def cut_into_lifts(tables: Tables, items: list[Item], seat: int) -> list[list[str]] | None:
    """The free items cut into lifts with the fewest multi-item ones; None when no cut will do.

    Ties go to the cut with the fewest lifts, then the one with the larger lifts lower down.
    """
    case = tables.case
    lifts = case.lifts
    assert lifts is not None
    heights = tops(case, items, seat)
    first, n = len(case.locked), len(items)

    def reached(height: int) -> int:
        return next(k for lo, hi, k in tables.zones if lo <= height <= hi)

    def may_start(at: int) -> bool:
        if at == first and first == 0:
            return True
        return any(lo <= heights[at] <= hi for lo, hi, _ in tables.lift_starts)

    @cache
    def best(at: int) -> tuple[int, int, tuple[int, ...]] | None:
        if at == n:
            return 0, 0, ()
        if not may_start(at):
            return None
        found = []
        for end in range(at + 1, min(n, at + lifts.max_pieces) + 1):
            length = sum(item.overall for item in items[at:end])
            if length > lifts.max_length or heights[end] > tables.ceiling(reached(heights[at])):
                break
            rest = best(end)
            if rest is not None:
                many = rest[0] + (end - at > 1)
                found.append((many, rest[1] + 1, (at - end, *rest[2])))
        return min(found) if found else None

    cut = best(first)
    if cut is None:
        return None
    parts, at = [], first
    for size in cut[2]:
        parts.append([item.id for item in items[at : at - size]])
        at -= size
    return parts
