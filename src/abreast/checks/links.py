"""Every link that carries the string while it is built, and the greatest load through it.

By the declared load path, in air. What is between two strings that share a load
is not known here: such a link is given the whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

from abreast.checks.gear import of_type
from abreast.checks.hanging import landing_gear
from abreast.checks.loads import Hanging, closed_frame, hanging, mass_kg
from abreast.model import Assembly, Job, PlacedPiece, Quantity, esp_string, rack_item, tail_items

__all__ = ["Link", "links"]


@dataclass(frozen=True, slots=True)
class Link:
    """One link of the load path: the greatest mass that hangs on it [kg], and its rating [N]."""

    name: str
    mass_kg: float
    rating_n: Quantity


def links(job: Job, assembly: Assembly) -> tuple[Link, ...]:
    """The links of the declared load path, from the plate down and up to the Y-tool.

    Raises
    ------
    MissingInputError
        If a mass is missing. A missing rating stays in the link.
    """
    states = hanging(job, assembly)
    if not states:
        return ()
    found = [*_at_plate(job, states), *_tail(job, assembly), *_foot(job, states[-1])]
    if job.load_path != "bypass-held":
        found += _esp(job, assembly, states[-1])
    else:
        found += _bypass(job, assembly, states[-1].total_kg, "carries all")
    return (*found, *_closed(job, assembly))


def _at_plate(job: Job, states: tuple[Hanging, ...]) -> Iterator[Link]:
    landing = {one.id: one for one in job.landings}
    for state in states:
        for gear in landing_gear(job, landing[state.name]):
            yield Link(f"{gear.name} at {state.name}", state.total_kg, gear.rating_n)
    heaviest = states[-1]
    for sling in of_type(job, "slings", sides=("esp", "both", "any")):
        yield Link(sling.id, heaviest.total_kg, sling.rating_n)


def _tail(job: Job, assembly: Assembly) -> Iterator[Link]:
    """Each thread of the tail with what hangs below its highest connection."""
    masses = [mass_kg([p]) for p in assembly.side("bypass")]
    threads = {thread.id: thread for thread in job.threads}
    greatest: dict[str, float] = {}
    for item, below_kg in zip(tail_items(job), accumulate(masses), strict=False):
        if item.upper_end is not None:
            greatest[item.upper_end.thread] = below_kg
    for name, below_kg in greatest.items():
        if name in threads:
            yield Link(f"thread {name} of the tail", below_kg, threads[name].load_n)


def _foot(job: Job, state: Hanging) -> Iterator[Link]:
    if job.base is None:
        return
    yield Link("base support", state.bypass_side_kg, job.base.rating_n)
    if job.load_path == "esp-held":
        yield Link("guide retainer", state.bypass_side_kg, job.base.retainer_load_n)


def _esp(job: Job, assembly: Assembly, state: Hanging) -> Iterator[Link]:
    """Housing and upper joint of each ESP piece: what hangs below, all of the bypass side too."""
    part = {piece.id: piece for piece in esp_string(job)}
    placed = assembly.side("esp")
    carried = state.bypass_side_kg + state.clamps_kg
    for piece, below_kg in zip(placed, accumulate(mass_kg([p]) for p in placed), strict=True):
        load_kg = carried + below_kg
        yield Link(f"housing of {piece.id}", load_kg, part[piece.id].load_n)
        if part[piece.id].upper_joint != "none":
            yield Link(f"upper joint of {piece.id}", load_kg, part[piece.id].upper_joint_load_n)


def _bypass(job: Job, assembly: Assembly, load_kg: float, why: str) -> Iterator[Link]:
    threads = {thread.id: thread for thread in job.threads}
    used = {rack_item(job, p.id).upper_end.thread for p in _items(job, assembly)}
    for name in sorted(used & threads.keys()):
        yield Link(f"thread {name} of the bypass ({why})", load_kg, threads[name].load_n)


def _items(job: Job, assembly: Assembly) -> list[PlacedPiece]:
    rack = {item.id for item in job.rack}
    tail = {piece.id for piece in job.tail}
    return [p for p in assembly.side("bypass") if p.id in rack and p.id not in tail]


def _closed(job: Job, assembly: Assembly) -> Iterator[Link]:
    """Once the frame is closed: the bypass may carry everything, or in a top-hung job itself."""
    if assembly.union is None:
        return
    state = closed_frame(job, assembly)
    yield Link("Y-tool", state.total_kg, job.ytool.rating_n)
    yield Link("block", state.total_kg, job.rig.block_rating_n)
    for elevator in of_type(job, "elevator", sides=("tubing", "both", "any")):
        yield Link(elevator.id, state.total_kg, elevator.rating_n)
    load_kg = state.bypass_side_kg if job.is_top_hung else state.total_kg - state.ytool_kg
    why = "hangs from the union" if job.is_top_hung else "if it carries all"
    yield Link("adjustable union", load_kg, job.union.rating_n)
    yield from _bypass(job, assembly, load_kg, why)
