"""What the hook load may not exceed: the rig, the block, what grips the tubing, each piece."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast.mechanics.hook_load import HookLoad
from abreast.mechanics.needs import needs_of
from abreast.mechanics.run_string import LANDING_STRING, RunPiece
from abreast.model import Job, Quantity
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["HookLimit", "block_weight_n", "hook_limits"]

_TUBING = ("tubing", "both", "any")


@dataclass(frozen=True, slots=True)
class HookLimit:
    """One limit, and the greatest load it meets while picking up.

    Parameters
    ----------
    name : str
        What is limited.
    load_n : float
        Greatest load on it [N]; the block's with the weight of block and bails.
    number : int
        The piece with whose upper end at the surface it comes.
    rating_n : float or None
        What it may carry [N]; None: not stated.
    origin : str
        Where the rating comes from.
    needs : str
        What is missing.
    with_block : bool
        The weight of block and bails is in the load.
    at_hook : bool
        It is met by the load at the hook, not by that farther down.
    """

    name: str
    load_n: float
    number: int
    rating_n: float | None
    origin: str = ""
    needs: str = ""
    with_block: bool = False
    at_hook: bool = True

    @property
    def utilisation(self) -> float | None:
        """Load over rating; None where there is no rating above zero."""
        return self.load_n / self.rating_n if self.rating_n else None


def hook_limits(
    job: Job, pieces: Sequence[RunPiece], loads: Sequence[HookLoad]
) -> tuple[HookLimit, ...]:
    """Every limit of the hook load, the tightest first, then those that nobody stated.

    Parameters
    ----------
    job : Job
        Pull allowed, block, holders of the tubing, ratings of the pieces.
    pieces : sequence of RunPiece
        The string, bottom up.
    loads : sequence of HookLoad
        The forecast, one for each piece.

    Notes
    -----
    Picking up, no dynamic factor. Each piece is held against the greatest load
    at its upper end on the whole way down; of the joints of one row only the
    hardest pulled is kept.
    """
    found = [*_at_hook(job, loads), *_pieces(job, pieces, loads)]
    rated = [one for one in found if one.rating_n is not None]
    tight = sorted(rated, key=lambda one: one.load_n / max(one.rating_n or 0.0, 1e-9), reverse=True)
    return (*tight, *(one for one in found if one.rating_n is None))


def _limit(
    name: str,
    rating_n: Quantity,
    load_n: float,
    number: int,
    *,
    with_block: bool = False,
    at_hook: bool = True,
) -> HookLimit:
    needs = "" if rating_n.is_given else needs_of(rating_n)[0]
    origin = str(rating_n.origin)
    return HookLimit(name, load_n, number, rating_n.known, origin, needs, with_block, at_hook)


def _at_hook(job: Job, loads: Sequence[HookLoad]) -> Iterator[HookLimit]:
    number = max(range(len(loads)), key=lambda one: loads[one].up_n[-1])
    most_n = loads[number].up_n[-1]
    yield _limit("pull allowed on this job", job.hoisting.max_pull_n, most_n, number)
    block_n = block_weight_n(job)
    if block_n is None:
        needs = needs_of(job.rig.block_mass_kg)[0]
        yield HookLimit("block", most_n, number, None, "", needs, with_block=True)
    else:
        rating = job.rig.block_rating_n
        yield _limit("block", rating, most_n + block_n, number, with_block=True)
    for kind in ("elevator", "slips"):
        holders = [one for one in job.holders if one.type == kind and one.side in _TUBING]
        for holder in holders:
            yield _limit(f"{kind} {holder.id}", holder.rating_n, most_n, number)
        if not holders:
            needs = f"{kind} for the tubing in the table of holders"
            yield HookLimit(f"{kind} of the tubing", most_n, number, None, "", needs)
    yield _limit("rotary table", job.rig.rotary_rating_n, most_n, number)


def block_weight_n(job: Job) -> float | None:
    """Weight of block and bails on the indicator; None: not stated [N]."""
    mass_kg = job.rig.block_mass_kg.known
    return None if mass_kg is None else mass_kg * GRAVITY_M_S2


def _pieces(job: Job, pieces: Sequence[RunPiece], loads: Sequence[HookLoad]) -> Iterator[HookLimit]:
    hardest: dict[str, tuple[float, int, RunPiece]] = {}
    for index, piece in enumerate(pieces):
        rows = range(index, len(loads))
        number = max(rows, key=lambda row: loads[row].up_n[loads[row].tops[index]])
        most_n = loads[number].up_n[loads[number].tops[index]]
        key = piece.source.id if piece.source else ""
        if key not in hardest or most_n > hardest[key][0]:
            hardest[key] = (most_n, number, piece)
    for most_n, number, piece in hardest.values():
        if piece.source is None:
            yield _limit("Y-tool", job.ytool.rating_n, most_n, number, at_hook=False)
            continue
        name = piece.item.name
        if name == LANDING_STRING:
            name = f"{LANDING_STRING}, rated as {piece.source.id}"
        top = piece is pieces[-1]
        yield _limit(name, piece.source.rating_n, most_n, number, at_hook=top)
