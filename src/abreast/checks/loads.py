"""What hangs on what: the lifts, and the masses on the holder at each landing.

Masses in air. The load path is the one the job declares; nothing is presumed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from abreast.checks.stages import bypass_lifts
from abreast.errors import MissingInputError
from abreast.model import Assembly, Job, LandingState, PlacedPiece
from abreast.spaceout.placing import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = [
    "Hanging",
    "Lift",
    "LiftKind",
    "by_length",
    "bypass_below_kg",
    "clamps_kg",
    "closed_frame",
    "hanging",
    "lifts",
    "mass_kg",
]

LiftKind = Literal["tail", "base", "bypass", "esp", "Y-tool"]


@dataclass(frozen=True, slots=True)
class Lift:
    """What goes up in one piece."""

    name: str
    kind: LiftKind
    pieces: tuple[PlacedPiece, ...]
    landing: str = ""

    @property
    def mass_kg(self) -> float:
        """Mass in air [kg]; MissingInputError when a piece was not weighed."""
        return mass_kg(self.pieces)

    @property
    def length_m(self) -> float:
        """Overall length, inner make-up loss counted, so never too short [m]."""
        return sum(p.effective_m if p.overall_m is None else p.overall_m for p in self.pieces)


@dataclass(frozen=True, slots=True)
class Hanging:
    """The masses below one landing's plate, or below the Y-tool once the frame is closed [kg]."""

    name: str
    esp_kg: float
    foot_kg: float
    bypass_kg: float
    clamps_kg: float
    ytool_kg: float = 0.0

    @property
    def total_kg(self) -> float:
        """All that hangs [kg]."""
        return self.esp_kg + self.foot_kg + self.bypass_kg + self.clamps_kg + self.ytool_kg

    @property
    def bypass_side_kg(self) -> float:
        """Tail, base support or entry guide, and bypass [kg]."""
        return self.foot_kg + self.bypass_kg


def mass_kg(pieces: Iterable[PlacedPiece]) -> float:
    """Mass of some pieces in air [kg].

    Raises
    ------
    MissingInputError
        Naming the first piece whose mass is not known.
    """
    total = 0.0
    for piece in pieces:
        if piece.mass_kg is None:
            raise MissingInputError(needs=f"mass of {piece.id}")
        total += piece.mass_kg
    return total


def by_length(job: Job, assembly: Assembly) -> tuple[str, ...]:
    """Rack pieces whose mass was not stated but follows from their length."""
    weighed = {item.id for item in job.rack if item.mass_kg.is_given}
    rack = {item.id for item in job.rack}
    return tuple(
        piece.id
        for piece in assembly.side("bypass")
        if piece.id in rack - weighed and piece.mass_kg is not None
    )


def _foot(assembly: Assembly) -> tuple[PlacedPiece, ...]:
    """Tail and base support, or the entry guide."""
    pieces = assembly.side("bypass", "both")
    last = next(i for i, piece in enumerate(pieces) if piece.id in (BASE_ID, GUIDE_ID))
    return pieces[: last + 1]


def lifts(assembly: Assembly) -> tuple[Lift, ...]:
    """Every lift of the run in its order of kinds: tail, base, bypass, ESP, Y-tool with union.

    What is above the last landing's neck goes up with that section; the union
    goes up in the Y-tool.
    """
    return tuple(_lifts(assembly))


def _lifts(assembly: Assembly) -> Iterator[Lift]:
    for piece in _foot(assembly):
        base = piece.id in (BASE_ID, GUIDE_ID)
        yield Lift(piece.id, "base" if base else "tail", (piece,))
    for lift in bypass_lifts(assembly):
        yield Lift(lift.name, "bypass", lift.pieces, lift.landing)
    for (name, at), pieces in groupby(assembly.side("esp"), key=lambda p: (p.lift, p.landing)):
        yield Lift(name, "esp", tuple(pieces), at)
    top = tuple(p for p in assembly.pieces if p.id in (UNION_ID, YTOOL_ID))
    yield Lift("+".join(p.id for p in top), "Y-tool", top)


def bypass_below_kg(assembly: Assembly, landing: str) -> float:
    """Bypass pieces added until that landing [kg]."""
    order = [state.id for state in assembly.landings]
    reached = set(order[: order.index(landing) + 1])
    return mass_kg(
        p for lift in bypass_lifts(assembly) for p in lift.pieces if p.landing in reached
    )


def clamps_kg(job: Job, assembly: Assembly, up_to_m: float, *, with_own: bool) -> float:
    """Twin clamps below a height, with or without the one at it [kg]."""
    part = {clamp.id: clamp for clamp in job.clamps}
    reach_m = up_to_m + (1e-6 if with_own else -1e-6)
    return sum(part[c.id].mass_kg.si for c in assembly.clamps if c.height_m < reach_m)


def hanging(job: Job, assembly: Assembly) -> tuple[Hanging, ...]:
    """What hangs below the plate at each landing, bottom to top.

    Parameters
    ----------
    job : Job
        The job.
    assembly : Assembly
        The string, planned or as run.

    Returns
    -------
    tuple of Hanging
        One for each landing of the assembly.

    Raises
    ------
    MissingInputError
        If a mass is missing.

    Notes
    -----
    The twin clamp at a landing's own neck counts only in a top-hung job, where
    it has to be tight before the ESP can carry the bypass; elsewhere it is
    fitted after the lifting clamp has left that neck. No buoyancy: the string is
    in air, or as good as, where a holder could fail.
    """
    return tuple(_hanging(job, assembly, state) for state in assembly.landings)


def _hanging(job: Job, assembly: Assembly, state: LandingState) -> Hanging:
    order = [one.id for one in assembly.landings]
    reached = set(order[: order.index(state.id) + 1])
    return Hanging(
        name=state.id,
        esp_kg=mass_kg(p for p in assembly.side("esp") if p.landing in reached),
        foot_kg=mass_kg(_foot(assembly)),
        bypass_kg=bypass_below_kg(assembly, state.id),
        clamps_kg=clamps_kg(job, assembly, state.neck_m, with_own=job.is_top_hung),
    )


def closed_frame(job: Job, assembly: Assembly) -> Hanging:
    """What hangs on the block once the frame is closed, all twin clamps fitted."""
    return Hanging(
        name="closed frame",
        esp_kg=mass_kg(assembly.side("esp")),
        foot_kg=mass_kg(_foot(assembly)),
        bypass_kg=mass_kg(p for lift in bypass_lifts(assembly) for p in lift.pieces),
        clamps_kg=clamps_kg(job, assembly, assembly.top_m, with_own=True),
        ytool_kg=mass_kg(p for p in assembly.pieces if p.id in (UNION_ID, YTOOL_ID)),
    )
