"""The order of the run: what is lifted before which landing, and what is fitted when."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.checks.stages import bypass_lifts
from abreast.errors import MissingInputError
from abreast.model import Assembly, Job, LandingState
from abreast.model.procedure import Procedure
from abreast.procedure.lifting import landing_clamps

__all__ = ["Names", "RunPlan", "Section", "Work", "run_plan"]

Names = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """Something fitted while the string hangs: a twin clamp, or the MLE (blank clamp)."""

    z_m: float
    clamp: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """One landing: the bypass lifts before it, the ESP section, its lifting clamp."""

    landing: LandingState
    lifts: tuple[Names, ...]
    esp: Names
    clamp: str

    @property
    def on(self) -> str:
        """The piece whose neck lands."""
        return self.landing.piece


@dataclass(frozen=True, slots=True)
class RunPlan:
    """The whole run.

    Parameters
    ----------
    foot : tuple of tuple of str
        Lifts of tail and base support; of a top-hung string the entry guide.
    sections : tuple of Section
        Landing by landing.
    last_lifts : tuple of tuple of str
        Bypass lifts after the last landing.
    """

    foot: tuple[Names, ...]
    sections: tuple[Section, ...]
    last_lifts: tuple[Names, ...]


def run_plan(job: Job, assembly: Assembly, floor: Procedure) -> RunPlan:
    """Read the order of the run from the landings of an assembly.

    Raises
    ------
    MissingInputError
        If an ESP piece belongs to no landing, or no clamp fits one.
    """
    lost = [one.id for one in assembly.side("esp") if not one.landing]
    if lost:
        raise MissingInputError(needs=f"a landing for {lost[0]}: its section hangs at none")
    lifts = bypass_lifts(assembly)
    typed = {one.id: one for one in job.landings}
    clamps = landing_clamps(job, [typed[one.id] for one in assembly.landings])
    sections = tuple(
        Section(
            landing,
            tuple(tuple(p.id for p in one.pieces) for one in lifts if one.landing == landing.id),
            tuple(p.id for p in assembly.side("esp") if p.landing == landing.id),
            clamp,
        )
        for landing, clamp in zip(assembly.landings, clamps, strict=True)
    )
    known = {one.id for one in assembly.landings}
    last = tuple(tuple(p.id for p in one.pieces) for one in lifts if one.landing not in known)
    return RunPlan(_foot(floor), sections, last)


def _foot(floor: Procedure) -> tuple[Names, ...]:
    """Tail, base support or entry guide in lifts: what slips can't hold goes up with the next.

    The last lift ends in the base support; of a top-hung string the entry guide
    goes up with the lowest bypass lift and is no lift of its own.
    """
    slick = {one.id for one in floor.pieces if one.slick_m}
    found: list[Names] = []
    now: list[str] = []
    for piece in floor.pieces:
        if piece.string not in ("tail", "base"):
            continue
        now.append(piece.id)
        if piece.id in slick or piece.string == "base":
            found.append(tuple(now))
            now = []
    return (*found, tuple(now)) if now else tuple(found)
