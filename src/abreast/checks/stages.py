"""What stands while each ESP section hangs on the plate: the bypass after every lift."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from abreast.model import Assembly, LandingState, PlacedPiece
from abreast.spaceout.placing import UNION_ID

__all__ = ["BypassLift", "Stage", "bypass_items", "bypass_lifts", "stages"]

_TAIL = ("base support", "entry guide")


@dataclass(frozen=True, slots=True)
class BypassLift:
    """A lift of the bypass: made up while the section before ``landing`` hangs."""

    name: str
    landing: str
    pieces: tuple[PlacedPiece, ...]

    @property
    def bottom_m(self) -> float:
        """Height of its lower end [m]."""
        return self.pieces[0].bottom_m

    @property
    def top_m(self) -> float:
        """Height of its upper end [m]."""
        return self.pieces[-1].top_m


@dataclass(frozen=True, slots=True)
class Stage:
    """One landing, and the lifts made up while its section hangs on the plate."""

    state: LandingState
    lifts: tuple[BypassLift, ...]

    def above_plate_m(self) -> tuple[float, ...]:
        """Bypass top above the plate: on landing, then after each lift [m]."""
        tops = (self.state.bypass_top_m, *(lift.top_m for lift in self.lifts))
        return tuple(top - self.state.neck_m for top in tops)


def bypass_items(assembly: Assembly) -> tuple[PlacedPiece, ...]:
    """The pieces of the bypass above base support or entry guide, without the union."""
    pieces = assembly.side("bypass", "both")
    foot = next(i for i, piece in enumerate(pieces) if piece.id in _TAIL)
    return tuple(p for p in pieces[foot + 1 :] if p.side == "bypass" and p.id != UNION_ID)


def bypass_lifts(assembly: Assembly) -> tuple[BypassLift, ...]:
    """The lifts of the bypass, bottom to top."""
    groups = groupby(bypass_items(assembly), key=lambda piece: (piece.lift, piece.landing))
    return tuple(BypassLift(name, at, tuple(pieces)) for (name, at), pieces in groups)


def stages(assembly: Assembly) -> Iterator[Stage]:
    """Each landing in turn, with the lifts that are added before the next."""
    lifts = bypass_lifts(assembly)
    names = [state.id for state in assembly.landings]
    for number, state in enumerate(assembly.landings, 1):
        after = names[number] if number < len(names) else ""
        yield Stage(state, tuple(lift for lift in lifts if lift.landing == after))
